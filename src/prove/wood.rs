//! Where the mill really goes: on a machine whose axes are off, not where a program says.
//!
//! Its places on the wood are worked out here from job and shop alone, by nothing that had a hand
//! in writing the program.
//!
//! ```text
//!  told:  +----+          on the wood:    /------/      a millimetre told along X leads along one
//!         |    |                         /      /       vector, one along Y along another: places
//!         +----+                        /------/        move by both, and arcs become runs of arcs
//! ```
//!
//! Geometry.

use super::arc::flat;
use super::reader::{Move, Program, Spot};
use crate::geom::{Point, Vector};
use crate::shop::{Axes, Machine};
use std::borrow::Cow;
use std::f64::consts::FRAC_PI_2;

/// How far an arc that stands for a way on the wood may stray from it, in mm (geometry: it is
/// added wherever the cut is judged, a twentieth of what passes).
const STRAYS: f64 = 0.0005;
/// No arc needs as many pieces as this (geometry: a half circle of 10 m on the worst machine).
const MOST: u32 = 1000;

/// How far a way on the wood may be from where it is taken to be, in mm: nothing on true axes.
pub(super) fn strays(machine: &Machine) -> f64 {
    machine.axes.as_ref().map_or(0.0, |_| STRAYS)
}

/// Programs as their mills go on the wood: as they are where the axes are true.
pub fn on_wood<'p>(programs: &'p [Program], machine: &Machine) -> Cow<'p, [Program]> {
    let Some(axes) = &machine.axes else { return Cow::Borrowed(programs) };
    let rails = Rails::of(axes);
    let moved = programs.iter().map(|program| {
        program.with_moves(program.moves().flat_map(|step| rails.moves(&step)))
    });
    Cow::Owned(moved.collect())
}

/// Where a millimetre of X and one of Y lead on the wood.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rails {
    x: Vector,
    y: Vector,
}

/// A piece of an arc on the wood, and how far it strays.
type Part = (Option<(Point, f64)>, f64);

impl Rails {
    pub(super) fn of(axes: &Axes) -> Self {
        let lean = axes.lean.unwrap_or(0.0);
        let y = Vector::new(lean, 1.0) * axes.scale_y;
        Self { x: Vector::new(axes.scale_x, 0.0), y }
    }

    /// Where the mill stands when it is told a place.
    pub(super) fn place(&self, told: Point) -> Point {
        Point::default() + self.x * told.x + self.y * told.y
    }

    fn spot(&self, told: Spot) -> Spot {
        let at = self.place(flat(told));
        [at.x, at.y, told[2]]
    }

    /// One move on the wood, or several for an arc.
    fn moves(&self, step: &Move) -> Vec<Move> {
        let Some((centre, sweep)) = step.bow else {
            return vec![Move {
                from: self.spot(step.from),
                to: self.spot(step.to),
                ..*step
            }];
        };
        let out = flat(step.from) - centre;
        let at = |share: f64| {
            let z = step.from[2] + (step.to[2] - step.from[2]) * share;
            let round =
                centre + Vector::at_angle(out.angle() + sweep * share) * out.length();
            if share <= 0.0 {
                step.from
            } else if 1.0 <= share {
                step.to
            } else {
                [round.x, round.y, z]
            }
        };
        let counts = (1..MOST).map(f64::from);
        let enough = counts.skip_while(|n| *n * FRAC_PI_2 < sweep.abs());
        let parted = |count: f64| {
            let numbers = (0..MOST).map(f64::from).take_while(move |n| *n < count);
            numbers.map(move |n| (n / count, (n + 1.0) / count))
        };
        let whole = |count: f64| -> Option<Vec<Move>> {
            let turn = sweep / count;
            let one = |(first, last): (f64, f64)| {
                let middle = at(f64::midpoint(first, last));
                let ends = [at(first), middle, at(last)].map(|spot| self.spot(spot));
                let (bow, strays) = self.part(ends.map(flat), (out.length(), turn));
                let slack = step.slack * self.longest() + strays;
                let is_near = strays <= STRAYS;
                is_near.then_some(Move {
                    from: ends[0],
                    to: ends[2],
                    bow,
                    slack,
                    ..*step
                })
            };
            parted(count).map(one).collect()
        };
        let found = enough.map(whole).find_map(|all| all);
        // One that no pieces keep to strays without end: the proof refuses it.
        found.unwrap_or_else(|| vec![Move { slack: f64::INFINITY, ..*step }])
    }

    /// The arc through three places on the wood of an arc of this radius and turn, or a straight
    /// line where they lie on one; and how far it strays at most.
    ///
    /// Basis: geometry. The square of how far a place of the ellipse lies from a centre waves once
    /// and twice a turn; that twice is `r² apart` high. Less the square of the radius of the arc through
    /// three places, h apart, nothing is left at those: so it is no more than
    /// `r² apart 2/√27 h³` between them, and the distance itself no farther off than that over
    /// the radius.
    fn part(&self, [from, middle, to]: [Point; 3], (radius, turn): (f64, f64)) -> Part {
        let chord = to - from;
        let up = middle - from.middle(to);
        let across = chord.left();
        let rise = 2.0 * across.dot(up);
        let share = (up.dot(up) - chord.dot(chord) / 4.0) / rise;
        let centre = from.middle(to) + across * share;
        let (first, last) = (from - centre, to - centre);
        let sweep = libm::atan2(first.cross(last), first.dot(last));
        if !(centre.is_finite() && 0.0 < sweep * turn) {
            return (None, 2.0 * up.length());
        }
        let half = turn.abs() / 2.0;
        let square = radius * radius * self.apart() * 2.0 / 27f64.sqrt();
        (Some((centre, sweep)), square * half * half * half / first.length())
    }

    /// Half of what the squares of the longest and the shortest stretch differ by.
    fn apart(&self) -> f64 {
        let along = (self.x.dot(self.x) - self.y.dot(self.y)) / 2.0;
        let across = self.x.dot(self.y);
        (along * along + across * across).sqrt()
    }

    /// The longest that a millimetre becomes.
    fn longest(&self) -> f64 {
        let middle = f64::midpoint(self.x.dot(self.x), self.y.dot(self.y));
        (middle + self.apart()).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::super::distance::Shape;
    use super::super::reader::read;
    use super::*;
    use crate::units::{Diameter, Mm};

    fn machine(scale_x: f64, scale_y: f64, lean: f64) -> Machine {
        let mill = Diameter::new(Mm::of(6.0)).expect("more than zero");
        let axes = Axes { scale_x, scale_y, lean: Some(lean), measured: None };
        Machine { axes: Some(axes), ..Machine::new(mill) }
    }

    const START: &str = "G21 G17 G90 G94 G40 G49 G54\nG0 Z5\nF900\nG0 X10 Y20\n";

    /// Basis: geometry: places of each arc, each taken to the wood by itself.
    #[test]
    fn arcs_on_the_wood_are_where_their_places_are() {
        let arcs = [
            "G2 X50 Y20 I20 J0 Z1\n",
            "G3 X10 Y20 I300 J0\n",
            "G3 X10.1 Y20 I0.05 J0\n",
            "G2 X110 Y20 I50 J2000\n",
        ];
        for machine in [machine(1.01, 0.99, 0.01), machine(0.998, 1.0, -0.004)] {
            let rails = Rails::of(machine.axes.as_ref().expect("it has some"));
            for arc in arcs {
                let program = [read(&format!("{START}{arc}M2\n")).expect("it is legal")];
                let told = program[0].moves().last().expect("it moves");
                let wood = on_wood(&program, &machine);
                let pieces: Vec<Move> = wood[0].moves().skip(2).collect();
                let shapes: Vec<Shape> = pieces
                    .iter()
                    .map(|it| Shape { from: flat(it.from), to: flat(it.to), bow: it.bow })
                    .collect();
                let whole =
                    Shape { from: flat(told.from), to: flat(told.to), bow: told.bow };
                for step in 0u32..=500 {
                    let at = rails.place(whole.at(f64::from(step) / 500.0));
                    let gap = shapes.iter().map(|shape| shape.point_gap(at));
                    let gap = gap.fold(f64::INFINITY, f64::min);
                    assert!(gap <= STRAYS, "{arc}: {gap} at {step}");
                }
                assert!(pieces.iter().all(|it| it.slack <= 2.0 * STRAYS), "{arc}");
                assert!(pieces.len() < 120, "{arc}: {}", pieces.len());
                let last = pieces.last().expect("there is one");
                assert!((last.to[2] - told.to[2]).abs() < 1e-12, "as deep as told");
            }
        }
    }

    #[test]
    fn where_the_axes_are_true_nothing_is_moved() {
        let program = [read(&format!("{START}G2 X50 Y20 I20 J0\nM2\n")).expect("legal")];
        let machine = Machine { axes: None, ..machine(1.0, 1.0, 0.0) };
        assert!(
            matches!(on_wood(&program, &machine), Cow::Borrowed(_)),
            "it is the same"
        );
    }
}

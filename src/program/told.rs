//! What a machine whose axes are off must be told, so that its mill goes where the path leads:
//! the one place where a program makes up for them.

use crate::geom::{Piece, Point, Vector};
use crate::path::{Move, Toolpath};
use crate::shop::Axes;
use std::borrow::Cow;
use std::f64::consts::FRAC_PI_2;

/// How far an arc that is told may stray from where it should be told, in mm (geometry: half the
/// last figure of a program in mm).
const STRAYS: f64 = 0.0005;

/// The toolpath in places as the machine must be told them.
pub(super) fn told(toolpath: &Toolpath) -> Cow<'_, Toolpath> {
    let Some(axes) = &toolpath.machine.axes else { return Cow::Borrowed(toolpath) };
    let telling = Telling { axes, zero: toolpath.lay.work_zero };
    let starts = toolpath.moves[..1].iter().chain(&toolpath.moves);
    let steps = starts.zip(&toolpath.moves);
    let moves = steps.flat_map(|(before, step)| telling.moves(before, step)).collect();
    let air = toolpath.air.iter().map(|&at| telling.place(at)).collect();
    Cow::Owned(Toolpath { moves, air, ..toolpath.clone() })
}

/// How places are told, in the frame of the parts as laid.
struct Telling<'a> {
    axes: &'a Axes,
    zero: Point,
}

impl Telling<'_> {
    fn place(&self, at: Point) -> Point {
        self.zero + self.axes.told(at - self.zero)
    }

    /// One move, or several for an arc: told, it is no arc of a circle any more.
    fn moves(&self, before: &Move, step: &Move) -> Vec<Move> {
        let Some((centre, sweep)) = step.arc else {
            return vec![Move { to: self.place(step.to), ..*step }];
        };
        let arc = Piece::Arc { from: before.to, to: step.to, centre, sweep };
        let pieces = self.arc(&arc);
        let count = (0u32..).map(f64::from).nth(pieces.len()).unwrap_or(1.0);
        let nth = (1u32..).map(f64::from);
        let moves = nth.zip(&pieces).map(|(n, piece)| {
            let arc = match *piece {
                Piece::Line { .. } => None,
                Piece::Arc { centre, sweep, .. } => Some((centre, sweep)),
            };
            let z = before.z + (step.z - before.z) * (n / count);
            Move { to: piece.to(), z, arc, ..*step }
        });
        moves.collect()
    }

    /// An arc as it is told, in as few arcs as keep to it.
    fn arc(&self, arc: &Piece) -> Vec<Piece> {
        let Piece::Arc { sweep, .. } = *arc else { return Vec::new() };
        let counts = (1u32..).map(f64::from).skip_while(|n| *n * FRAC_PI_2 < sweep.abs());
        let parts = |count: f64| {
            let numbers = (0u32..).map(f64::from).take_while(move |n| *n < count);
            numbers.map(move |n| arc.part(n / count, (n + 1.0) / count))
        };
        let told = |count| parts(count).map(|part| self.piece(&part)).collect();
        let mut pieces = counts.map(told);
        pieces.find_map(|all: Option<Vec<Piece>>| all).unwrap_or_default()
    }

    /// A short arc as it is told: the arc through three of its places, or a straight line where
    /// it is nearly one; nothing where neither keeps to it.
    fn piece(&self, arc: &Piece) -> Option<Piece> {
        let [from, middle, to] = [0.0, 0.5, 1.0].map(|share| self.place(arc.at(share)));
        let bent =
            through(from, middle, to).filter(|told| self.strays(arc, told) <= STRAYS);
        let half = arc.at(0.5).distance(arc.at(0.0).middle(arc.at(1.0)));
        let straight = (2.0 * half <= STRAYS).then(|| Piece::line(from, to));
        bent.or(straight)
    }

    /// How far at most the arc through three told places of an arc strays from where that arc
    /// should be told.
    ///
    /// Basis: geometry. Told, a circle of radius r is an ellipse. The square of the distance
    /// of its places from any centre is, over their turn t, a constant, a wave of once a turn, and
    /// `r² apart cos 2t`, where `apart` is half of what the squares of its longest and its
    /// shortest stretch differ by. Less the square of the radius of the arc through three places,
    /// the middle and a turn of h to either side, it is nothing at those three. At a turn of u from
    /// the middle, which lies at a turn of a, it is therefore
    /// `2 r² apart (cos u − cos h) (cos(u + a) − cos a)`, and so at most
    /// `16/√27 r² apart sin³(h/2)`. A square that differs by that is of a distance that differs by
    /// as much, over the sum of the two distances.
    fn strays(&self, arc: &Piece, told: &Piece) -> f64 {
        let (Some(radius), Some(own)) = (arc.radius(), told.radius()) else {
            return f64::INFINITY;
        };
        let half = arc.length() / radius / 2.0;
        let sine = libm::sin(half / 2.0);
        let most = 16.0 / 27f64.sqrt() * sine * sine * sine;
        let square = radius * radius * self.apart() * most;
        square / (own + (own * own - square).max(0.0).sqrt())
    }

    /// Half of what the squares of the longest and the shortest stretch differ by.
    fn apart(&self) -> f64 {
        let [x, y] =
            [(1.0, 0.0), (0.0, 1.0)].map(|(x, y)| self.axes.told(Vector::new(x, y)));
        Vector::new((x.dot(x) - y.dot(y)) / 2.0, x.dot(y)).length()
    }
}

/// The arc of less than a half turn through three places; nothing where they lie on a line.
pub(super) fn through(from: Point, middle: Point, to: Point) -> Option<Piece> {
    let (a, b) = (from - middle, to - middle);
    let twice = 2.0 * a.cross(b);
    let out = (b.right() * a.dot(a) + a.left() * b.dot(b)) * (1.0 / twice);
    let centre = middle + out;
    let sweep = (from - centre).turn_to(to - centre);
    centre.is_finite().then_some(Piece::Arc { from, to, centre, sweep })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axes(scale_x: f64, scale_y: f64, lean: f64) -> Axes {
        Axes { scale_x, scale_y, lean: Some(lean), measured: None }
    }

    /// Arcs of all sizes, told to machines of all sorts: every place of theirs, told, lies as
    /// near to what is written as it must, and the bound is no less than what it really strays.
    #[test]
    fn arcs_are_told_within_their_bound() {
        let mut several = 0;
        for axes in [
            axes(1.01, 0.99, 0.0),
            axes(1.0, 1.0, 0.01),
            axes(0.991, 1.004, -0.007),
            axes(1.0004, 1.0, 0.0),
        ] {
            let telling = Telling { axes: &axes, zero: Point::new(-15.0, -15.0) };
            for (radius, sweep, at) in [
                (0.05, 2.2, 0.3),
                (3.0, -2.2, 1.0),
                (20.0, 3.1, -2.0),
                (400.0, 0.4, 4.0),
                (5000.0, 0.01, 0.1),
                (1e6, 1e-6, 0.1),
            ] {
                let centre = Point::new(70.0, 40.0);
                let from = centre + Vector::at_angle(at) * radius;
                let arc = Piece::arc_about(centre, from, sweep);
                let pieces = telling.arc(&arc);
                several += usize::from(1 < pieces.len());
                assert!(!pieces.is_empty() && pieces.len() < 40, "{}", pieces.len());
                let worst = worst(&telling, &arc, &pieces);
                assert!(worst <= STRAYS, "{axes:?} {radius} {sweep}: {worst}");
            }
        }
        assert!(5 < several, "one arc does not always do: {several}");
    }

    /// The farthest that a told place of an arc lies off what is written.
    fn worst(telling: &Telling<'_>, arc: &Piece, pieces: &[Piece]) -> f64 {
        let shares = (0u32..=2000).map(|n| f64::from(n) / 2000.0);
        let off = |share: f64| {
            let due = telling.place(arc.at(share));
            let gaps = pieces.iter().map(|piece| piece.distance(due));
            gaps.fold(f64::INFINITY, f64::min)
        };
        shares.map(off).fold(0.0, f64::max)
    }

    #[test]
    fn the_bound_is_not_far_above_what_an_arc_really_strays() {
        let axes = axes(1.008, 0.995, 0.004);
        let telling = Telling { axes: &axes, zero: Point::default() };
        for (radius, sweep) in [(10.0, 1.0), (50.0, 0.7), (300.0, 0.3), (2.0, 1.5)] {
            let (mut bound, mut most) = (0f64, 0f64);
            for step in 0u32..24 {
                let out = Vector::at_angle(f64::from(step) * 0.2618) * radius;
                let arc =
                    Piece::arc_about(Point::default(), Point::default() + out, sweep);
                let ends = [0.0, 0.5, 1.0].map(|share| telling.place(arc.at(share)));
                let told = through(ends[0], ends[1], ends[2]).expect("a circle");
                let strays = worst(&telling, &arc, &[told]);
                bound = telling.strays(&arc, &told);
                assert!(strays <= bound, "{radius} {sweep}: {strays} over {bound}");
                most = most.max(strays);
            }
            assert!(bound < 1.1 * most, "{radius} {sweep}: {most} far under {bound}");
        }
    }
}

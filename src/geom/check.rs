//! The independent check of a trimmed offset: distance, owner, side, completeness, joints and
//! the sum of areas. It measures for itself and shares no code with the offset.
//!
//! ```text
//!     . - - o - - .       each run is the radius off the loops and stands on its owner; where no
//!    :    r |      :      run stands the disc does not fit: the loops have a point nearer to its
//!    :  ____|____  :      centre; rings close and go round the void; what they enclose is what
//!    : |         | :      their feet enclose and the bands between
//! ```
//!
//! The idea to let a result prove itself: published: R. M. `McConnell`, K. Mehlhorn, S. Näher,
//! P. Schweitzer, Certifying Algorithms, 2011, Computer Science Review 5. What is checked and how
//! is our own (geometry).

use super::at_once::at_once;
use super::march::March;
use super::measure::{Ground, cross, span};
use super::tolerance::{FIT, JOIN_ENDS, RADIUS_STEP, ROUNDING, SAME_POINT};
use super::trim::{Knee, Owner, Place, Run, Trimmed, Untrimmed};
use super::{Loop, Piece, Point};
use std::cmp::Ordering;
use std::f64::consts::TAU;

/// A run may lie this far from its right distance: a fifth of the first step down of the
/// radius (geometry: at a radius a step too large or too small it must fail).
const DISTANCE: f64 = RADIUS_STEP / 5.0;
/// So many runs are worth a second thread, which costs as much as some hundred (measured).
const MANY_RUNS: usize = 2500;
/// A turn back by more than this, in radians, is one forward by about half, as at the tip of a
/// slot of exactly the disc's width.
const HALF_BACK: f64 = -3.1;
/// Where a run's distance is measured, and how much too near the loops may be there: at its ends,
/// which crossings put, and off its middle, where tangencies lie.
const PROBES: [(f64, f64); 5] = [
    (0.0, RADIUS_STEP),
    (0.157, DISTANCE),
    (OFF_MIDDLE, DISTANCE),
    (0.761, DISTANCE),
    (1.0, RADIUS_STEP),
];
/// A share of a run at which it touches nothing else.
const OFF_MIDDLE: f64 = 0.414;

/// Whether `trimmed` is the trimmed offset on the right of `loops`; the first fault found. What
/// comes back can be asked for touches.
pub(super) fn check<'a>(
    loops: &[Loop],
    trimmed: &'a Trimmed,
) -> Result<Checker<'a>, Untrimmed> {
    let checker = Checker {
        ground: Ground::new(loops, trimmed.radius + 4.0 * RADIUS_STEP),
        trimmed,
    };
    for piece in loops.iter().flat_map(Loop::pieces) {
        let is_short = piece.turns_by_half_at_most();
        require(is_short, piece.from(), "an arc of more than a half turn")?;
    }
    let runs = || (0..trimmed.runs.len()).try_for_each(|index| checker.run(index));
    let rest = || {
        checker.joints()?;
        checker.sides()?;
        March::over(&checker.ground, trimmed).completeness()?;
        checker.areas()
    };
    if trimmed.runs.len() < MANY_RUNS {
        runs()?;
        rest()?;
    } else {
        let (runs, rest) = at_once(&runs, rest);
        runs.and(rest)?;
    }
    Ok(checker)
}

/// A trimmed offset over the ground that it is judged by.
pub(super) struct Checker<'a> {
    ground: Ground,
    trimmed: &'a Trimmed,
}

/// Nothing, or the first fault found.
pub(super) type Checked = Result<(), Untrimmed>;

/// The fault, unless it holds.
fn require(holds: bool, at: Point, fault: &str) -> Checked {
    if holds { Ok(()) } else { Err(Untrimmed::new(at, fault)) }
}

/// The order of places along the loops.
fn order(one: &Place, other: &Place) -> Ordering {
    one.on.cmp(&other.on).then(one.key().total_cmp(&other.key()))
}

/// The knees in the order of the places that they leave, each with whether a joint was seen at it.
struct Knees<'a>(Vec<(&'a Knee, bool)>);

impl<'a> Knees<'a> {
    /// Those of a trimmed offset, none of them seen yet.
    fn of(trimmed: &'a Trimmed) -> Self {
        let mut knees: Vec<(&Knee, bool)> =
            trimmed.knees.iter().map(|knee| (knee, false)).collect();
        knees.sort_by(|a, b| order(&a.0.leaves, &b.0.leaves));
        Self(knees)
    }

    /// Sees a joint at one of them from the one place to the other, if there is one not seen yet.
    fn see(&mut self, at: Point, (leaves, arrives): (&Place, &Place)) -> bool {
        let first =
            self.0.partition_point(|(knee, _)| order(&knee.leaves, leaves).is_lt());
        let own =
            self.0[first..].iter_mut().take_while(|(knee, _)| knee.leaves == *leaves);
        let mut unseen = own.filter(|(_, seen)| !seen);
        let found = unseen.find(|(knee, _)| {
            knee.arrives == *arrives && span(knee.centre, at) <= RADIUS_STEP
        });
        found.map(|(_, seen)| *seen = true).is_some()
    }

    /// One that no joint was seen at.
    fn unseen(&self) -> Option<&'a Knee> {
        self.0.iter().find(|(_, seen)| !seen).map(|(knee, _)| *knee)
    }
}

impl Checker<'_> {
    /// Which shape of the ground a place is on.
    fn shape_index(&self, place: &Place) -> usize {
        self.ground.starts[place.on] + place.piece
    }

    /// The point of a place.
    fn foot(&self, place: &Place) -> Point {
        let t = if place.corner { 1.0 } else { place.t };
        self.ground.shapes[self.shape_index(place)].at(t).0
    }

    /// Owner and distance of one run: it lies no farther off than the radius, for it stands on its
    /// owner, and no nearer.
    fn run(&self, index: usize) -> Checked {
        let (run, before) = (&self.trimmed.runs[index], index.checked_sub(1));
        let Owner { from, to } = run.owner;
        let same = (from.on, from.piece, from.corner) == (to.on, to.piece, to.corner);
        require(same && from.t <= to.t, run.curve.from(), "a run without one owner")?;
        let stands = self.stands(run);
        require(stands, run.curve.from(), "a run that does not stand on its owner")?;
        let radius = self.trimmed.radius;
        let probes = PROBES.map(|(share, off)| (run.curve.at(share), radius - off));
        // Where the run before ends, it was measured.
        let goes_on = before.is_some_and(|before| {
            span(self.trimmed.runs[before].curve.to(), run.curve.from()) <= SAME_POINT
        });
        let probes = &probes[usize::from(goes_on)..];
        let crowded = self.ground.crowded(probes, self.shape_index(&from));
        crowded
            .map_or(Ok(()), |at| Err(Untrimmed::new(at, "a run at the wrong distance")))
    }

    /// Whether each place of a run is the radius off its owner's place at the same share of it.
    /// That is asked at the ends: two that are straight, or that turn alike about one centre, part
    /// the most there, and `apart` is what they may part by more where they do not turn quite
    /// alike.
    fn stands(&self, run: &Run) -> bool {
        let (radius, Owner { from, to }) = (self.trimmed.radius, run.owner);
        let shape = &self.ground.shapes[self.shape_index(&from)];
        let off = |place: Place, centre: Point| {
            if place.corner {
                return (span(self.foot(&place), centre) - radius).abs();
            }
            let (foot, out) = shape.at(place.t);
            span(foot + out * radius, centre)
        };
        let ends = off(from, run.curve.from()).max(off(to, run.curve.to()));
        let apart = match (run.curve, shape.turn()) {
            (Piece::Arc { centre, sweep, .. }, _) if from.corner => {
                span(centre, self.foot(&from)) * sweep.abs()
            }
            (Piece::Arc { from: start, centre, sweep, .. }, Some((own, turn))) => {
                let more = (sweep - turn * (to.t - from.t)).abs();
                span(centre, own) * sweep.abs() + span(start, centre) * more
            }
            (Piece::Line { .. }, None) if !from.corner => 0.0,
            _ => f64::INFINITY,
        };
        ends.max(apart) <= DISTANCE
    }

    /// Every run stands in one ring; rings close; a knee where the feet differ, nowhere else.
    fn joints(&self) -> Checked {
        let runs = &self.trimmed.runs;
        let mut used = vec![false; runs.len()];
        let mut knees = Knees::of(self.trimmed);
        for ring in &self.trimmed.rings {
            for (place, &index) in ring.iter().enumerate() {
                let (run, next) = (&runs[index], &runs[ring[(place + 1) % ring.len()]]);
                let at = run.curve.to();
                require(!used[index], at, "a run in two rings")?;
                used[index] = true;
                let gap = span(at, next.curve.from());
                // No run but a point ends where it starts, however short it is.
                let most = if ring.len() == 1 { SAME_POINT } else { 2.0 * JOIN_ENDS };
                require(gap <= most, at, "two runs that do not meet")?;
                self.joint(&mut knees, (run, next))?;
            }
        }
        if let Some(knee) = knees.unseen() {
            return Err(Untrimmed::new(knee.centre, "a knee that is none"));
        }
        let lost = used.iter().position(|used| !used);
        lost.map_or(Ok(()), |index| {
            Err(Untrimmed::new(runs[index].curve.from(), "a run in no ring"))
        })
    }

    /// Where the feet of a run's end and of the next one's start differ, there is a knee.
    fn joint(&self, knees: &mut Knees<'_>, (run, next): (&Run, &Run)) -> Checked {
        let (leaves, arrives) = (run.owner.to, next.owner.from);
        let (at, apart) = (run.curve.to(), span(self.foot(&leaves), self.foot(&arrives)));
        let differ = RADIUS_STEP < 2.0 * apart;
        if !differ {
            return Ok(());
        }
        if knees.see(at, (&leaves, &arrives)) {
            return self.knee(at, (&leaves, &arrives));
        }
        // Where the feet are a step apart, rounding tells whether it is one.
        require(apart <= 2.0 * RADIUS_STEP, at, "a knee is missing")
    }

    /// Two feet at the radius.
    fn knee(&self, centre: Point, (leaves, arrives): (&Place, &Place)) -> Checked {
        let radius = self.trimmed.radius;
        let feet = [self.foot(leaves), self.foot(arrives)];
        for foot in feet {
            let off = (span(foot, centre) - radius).abs();
            require(off <= 2.0 * RADIUS_STEP, centre, "a knee without two feet")?;
        }
        Ok(())
    }

    /// A knee at which the disc touches a third place: an exact fit, where rounding decides
    /// whether what the disc leaves is one place or two. At a radius a little smaller it is two.
    pub(super) fn third_touch(&self) -> Option<Point> {
        let mut knees = self.trimmed.knees.iter();
        knees.find(|knee| self.third(knee)).map(|knee| knee.centre)
    }

    /// Whether the disc at a knee touches a place away from both of its feet.
    fn third(&self, knee: &Knee) -> bool {
        let feet = [self.foot(&knee.leaves), self.foot(&knee.arrives)];
        let (limit, mut third) = (self.trimmed.radius + SAME_POINT, false);
        let beside = self.shape_index(&knee.leaves);
        self.ground.touches((knee.centre, limit), beside, |touch| {
            third |= feet.iter().all(|&foot| FIT < span(foot, touch));
        });
        third
    }

    /// One point of each ring lies in the void: the loops do not wind round it or, where they bound
    /// the void from without, once clockwise.
    fn sides(&self) -> Checked {
        let radius = self.trimmed.radius;
        let area: f64 = self
            .ground
            .shapes
            .iter()
            .map(|shape| shape.swept(Point::default(), (0.0, 1.0)))
            .sum();
        let void = if 0.0 <= area { 0.0 } else { -1.0 };
        for ring in &self.trimmed.rings {
            let at = self.trimmed.runs[ring[0]].curve.at(OFF_MIDDLE);
            let winds = self.ground.winding(at, radius / 2.0);
            require((winds - void).abs() < 0.5, at, "a ring on the wrong side")?;
        }
        Ok(())
    }

    /// The rings enclose what their feet enclose and the bands between the two.
    fn areas(&self) -> Checked {
        for ring in &self.trimmed.rings {
            let origin = self.trimmed.runs[ring[0]].curve.from();
            let (mut balance, mut slack) = (0.0, DISTANCE);
            for (place, &index) in ring.iter().enumerate() {
                let run = &self.trimmed.runs[index];
                let next = &self.trimmed.runs[ring[(place + 1) % ring.len()]];
                let (end, start) = (run.curve.to(), next.curve.from());
                let extent = span(origin, end) + self.trimmed.radius;
                slack += self.joint_slack(run, next)
                    + run.curve.length() * DISTANCE
                    + extent * (span(end, start) + 2.0 * ROUNDING * (1.0 + extent));
                balance +=
                    self.run_area(run, origin) + self.joint_area(run, next, origin);
            }
            require(balance.abs() <= slack, origin, "areas that do not sum")?;
        }
        Ok(())
    }

    /// Twice the area that a run sweeps, seen from `origin`, less what its feet sweep and the band
    /// between the two.
    fn run_area(&self, run: &Run, origin: Point) -> f64 {
        let Owner { from, to } = run.owner;
        let own = super::measure::Shape::of(&run.curve).swept(origin, (0.0, 1.0));
        if from.corner {
            let radius = self.trimmed.radius;
            let turn = match run.curve {
                Piece::Arc { sweep, .. } => sweep,
                Piece::Line { .. } => 0.0,
            };
            return own - radius * radius * turn;
        }
        let shape = &self.ground.shapes[self.shape_index(&from)];
        let range = (from.t, to.t);
        own - shape.swept(origin, range) - shape.band(self.trimmed.radius, range)
    }

    /// How much of the sum may come from a joint's feet, which may be off by a little.
    fn joint_slack(&self, run: &Run, next: &Run) -> f64 {
        let radius = self.trimmed.radius;
        let feet = [self.foot(&run.owner.to), self.foot(&next.owner.from)];
        let apart = span(feet[0], feet[1]);
        if apart <= RADIUS_STEP {
            return radius * apart;
        }
        let off = |foot: Point| (span(foot, run.curve.to()) - radius).abs();
        2.0 * radius * (off(feet[0]) + off(feet[1]))
    }

    /// The same for the joint: at a knee the feet are joined by the disc's arc, clockwise.
    fn joint_area(&self, run: &Run, next: &Run, origin: Point) -> f64 {
        let (a, b) = (self.foot(&run.owner.to), self.foot(&next.owner.from));
        let ring = cross(origin, run.curve.to(), next.curve.from());
        let mut feet = cross(origin, a, b);
        if RADIUS_STEP < span(a, b) {
            let centre = run.curve.to();
            let radius = self.trimmed.radius;
            let turn = libm::atan2(
                cross(centre, b, a),
                (a.x - centre.x) * (b.x - centre.x) + (a.y - centre.y) * (b.y - centre.y),
            );
            let turn = if turn < HALF_BACK { turn + TAU } else { turn };
            feet += radius * radius * libm::sin(turn);
        }
        ring - feet
    }
}

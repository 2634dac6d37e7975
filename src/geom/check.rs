//! The independent check of a trimmed offset: distance, owner, side, completeness, joints and
//! the sum of areas. It measures for itself and shares no code with the offset.

use super::held::Way;
use super::measure::{Ground, cross, span};
use super::tolerance::{FIT, JOIN_ENDS, RADIUS_STEP, ROUNDING, SAME_POINT};
use super::trim::{Knee, Owner, Place, Run, Trimmed, Untrimmed};
use super::{Loop, Point, Vector};
use std::cell::Cell;
use std::cmp::Ordering;
use std::f64::consts::PI;

/// A run may lie this far from its right distance: a fifth of the first step down of the
/// radius (geometry: at a radius a step too large or too small it must fail).
const DISTANCE: f64 = RADIUS_STEP / 5.0;
/// An untouched gap shorter than this, in mm, is not judged: on a straight wall it would be
/// under 1e-10 mm deep (geometry: a gap g is g²/8r deep).
const SHORTEST_GAP: f64 = 1e-4;
/// The march through what is untouched passes over touches shorter than this, in mm.
const SHORTEST_STEP: f64 = 0.01;
/// A point that the disc goes on holding over so many shortest steps will do; no other is looked
/// for.
const FAR_ENOUGH: f64 = 16.0;
/// A turn this near a half turn, in radians, goes straight back.
const STRAIGHT_BACK: f64 = 1e-9;
/// Where a run is measured: at its ends, and off its middle, where tangencies lie.
const PROBES: [f64; 5] = [0.0, 0.157, 0.414, 0.761, 1.0];

/// Whether `trimmed` is the trimmed offset on the right of `loops`; the first fault found. What
/// comes back can be asked for touches.
pub(super) fn check<'a>(
    loops: &[Loop],
    trimmed: &'a Trimmed,
) -> Result<Checker<'a>, Untrimmed> {
    let checker = Checker {
        ground: Ground::new(loops, trimmed.radius + 4.0 * RADIUS_STEP),
        last: Cell::new(None),
        trimmed,
    };
    for run in &trimmed.runs {
        checker.run(run)?;
    }
    checker.joints()?;
    checker.sides()?;
    checker.completeness(loops)?;
    checker.areas()?;
    Ok(checker)
}

/// A piece or a corner, and the way of the disc's centre along it.
struct Path {
    /// Index of the shape; at a corner, of the one that ends there.
    index: usize,
    /// Whether it is the corner.
    corner: bool,
    /// Length along the piece, or of the arc about the corner.
    length: f64,
    /// Length of the centre's way.
    pace: f64,
    way: Way,
}

/// A trimmed offset over the ground that it is judged by.
pub(super) struct Checker<'a> {
    ground: Ground,
    /// What was nearest where a gap was looked at last.
    last: Cell<Option<usize>>,
    trimmed: &'a Trimmed,
}

type Checked = Result<(), Untrimmed>;

fn require(holds: bool, at: Point, fault: &str) -> Checked {
    if holds { Ok(()) } else { Err(Untrimmed::new(at, fault)) }
}

/// What one run owns of a shape, or of the corner at its end.
struct Owned {
    /// Index of the shape, and whether it is its corner.
    of: (usize, bool),
    from: f64,
    to: f64,
}

/// What is owned of one shape or corner, at the head of what is owned of it and the later ones;
/// then the rest is that of the later ones.
fn own_of<'a>(of: (usize, bool), rest: &mut &'a [Owned]) -> &'a [Owned] {
    let before = rest.iter().take_while(|own| own.of < of).count();
    let own = rest[before..].iter().take_while(|own| own.of == of).count();
    let (own, later) = rest[before..].split_at(own);
    *rest = later;
    own
}

/// Whether one owned interval is exactly all there is.
fn is_whole(owned: &[Owned]) -> bool {
    matches!(*owned, [Owned { from, to, .. }] if from.abs() <= 0.0 && (to - 1.0).abs() <= 0.0)
}

/// The larger of two ends, if there is one.
fn farther(one: Option<f64>, other: Option<f64>) -> Option<f64> {
    one.into_iter().chain(other).reduce(f64::max)
}

/// The order of places along the loops.
fn order(one: &Place, other: &Place) -> Ordering {
    one.on.cmp(&other.on).then(one.key().total_cmp(&other.key()))
}

impl Checker<'_> {
    fn shape_index(&self, place: &Place) -> usize {
        self.ground.starts[place.on] + place.piece
    }

    fn loop_end(&self, on: usize) -> usize {
        self.ground.starts.get(on + 1).copied().unwrap_or(self.ground.shapes.len())
    }

    fn foot(&self, place: &Place) -> Point {
        let t = if place.corner { 1.0 } else { place.t };
        self.ground.shapes[self.shape_index(place)].at(t).0
    }

    /// Distance and owner of one run.
    fn run(&self, run: &Run) -> Checked {
        let radius = self.trimmed.radius;
        let Owner { from, to } = run.owner;
        let same = (from.on, from.piece, from.corner) == (to.on, to.piece, to.corner);
        require(same && from.t <= to.t, run.curve.from(), "a run without one owner")?;
        let own = self.shape_index(&from);
        let centres = PROBES.map(|share| run.curve.at(share));
        let distances = self.ground.distances(centres, own);
        for ((share, centre), distance) in PROBES.into_iter().zip(centres).zip(distances)
        {
            let inner = 0.0 < share && share < 1.0;
            let off = (distance - radius).abs();
            let most = if inner { DISTANCE } else { RADIUS_STEP };
            require(off <= most, centre, "a run at the wrong distance")?;
            let place = Place { t: from.t + (to.t - from.t) * share, ..from };
            let off = if place.corner {
                (span(self.foot(&place), centre) - radius).abs()
            } else {
                let (foot, out) =
                    self.ground.shapes[self.shape_index(&place)].at(place.t);
                span(foot + out * radius, centre)
            };
            require(off <= most, centre, "a run that does not stand on its owner")?;
        }
        Ok(())
    }

    /// Every run stands in one ring; rings close; a knee where the feet differ, nowhere else.
    fn joints(&self) -> Checked {
        let runs = &self.trimmed.runs;
        let mut used = vec![false; runs.len()];
        let mut knees: Vec<(&Knee, bool)> =
            self.trimmed.knees.iter().map(|knee| (knee, false)).collect();
        knees.sort_by(|a, b| order(&a.0.leaves, &b.0.leaves));
        for ring in &self.trimmed.rings {
            for (place, &index) in ring.iter().enumerate() {
                let (run, next) = (&runs[index], &runs[ring[(place + 1) % ring.len()]]);
                let at = run.curve.to();
                require(!used[index], at, "a run in two rings")?;
                used[index] = true;
                let gap = span(at, next.curve.from());
                require(gap <= 2.0 * JOIN_ENDS, at, "two runs that do not meet")?;
                let (leaves, arrives) = (run.owner.to, next.owner.from);
                let apart = span(self.foot(&leaves), self.foot(&arrives));
                if RADIUS_STEP < 2.0 * apart {
                    let first = knees.partition_point(|(knee, _)| {
                        order(&knee.leaves, &leaves).is_lt()
                    });
                    let own = knees[first..].iter_mut();
                    let found = own.take_while(|(knee, _)| knee.leaves == leaves).find(
                        |(knee, seen)| {
                            !seen
                                && knee.arrives == arrives
                                && span(knee.centre, at) <= RADIUS_STEP
                        },
                    );
                    // Where the feet are a step apart, rounding tells whether it is one.
                    let Some((_, seen)) = found else {
                        require(apart <= 2.0 * RADIUS_STEP, at, "a knee is missing")?;
                        continue;
                    };
                    *seen = true;
                    self.knee(at, (&leaves, &arrives))?;
                }
            }
        }
        if let Some((knee, _)) = knees.iter().find(|(_, seen)| !seen) {
            return Err(Untrimmed::new(knee.centre, "a knee that is none"));
        }
        let lost = used.iter().position(|used| !used);
        lost.map_or(Ok(()), |index| {
            Err(Untrimmed::new(runs[index].curve.from(), "a run in no ring"))
        })
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

    fn third(&self, knee: &Knee) -> bool {
        let feet = [self.foot(&knee.leaves), self.foot(&knee.arrives)];
        let touches = self.ground.touches(knee.centre, self.trimmed.radius + SAME_POINT);
        touches.iter().any(|&touch| feet.iter().all(|&foot| FIT < span(foot, touch)))
    }

    /// One point of each ring lies on the void's side.
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
            let at = self.trimmed.runs[ring[0]].curve.at(PROBES[2]);
            let winds = self.ground.winding(at, radius / 2.0);
            require((winds - void).abs() < 0.5, at, "a ring on the wrong side")?;
        }
        Ok(())
    }

    /// No place is owned twice, and where nothing is owned the disc does not fit.
    fn completeness(&self, loops: &[Loop]) -> Checked {
        let owned = self.owned();
        let mut rest = &owned[..];
        for on in 0..loops.len() {
            let (start, end) = (self.ground.starts[on], self.loop_end(on));
            let mut solid = (start..end)
                .filter(|&index| SAME_POINT < self.ground.shapes[index].length());
            let Some(first) = solid.next() else { continue };
            let mut index = first;
            for next in solid.chain([first]) {
                self.edge(index, own_of((index, false), &mut rest))?;
                self.corner((index, next), own_of((index, true), &mut rest))?;
                index = next;
            }
        }
        Ok(())
    }

    /// What the runs own of each shape and of the corner at its end, in order.
    fn owned(&self) -> Vec<Owned> {
        let own = |run: &Run| {
            let Owner { from, to } = run.owner;
            Owned { of: (self.shape_index(&from), from.corner), from: from.t, to: to.t }
        };
        let mut owned: Vec<Owned> = self.trimmed.runs.iter().map(own).collect();
        owned.sort_by(|a, b| a.of.cmp(&b.of).then(a.from.total_cmp(&b.from)));
        owned
    }

    fn edge(&self, index: usize, owned: &[Owned]) -> Checked {
        if is_whole(owned) {
            return Ok(());
        }
        let shape = &self.ground.shapes[index];
        let radius = self.trimmed.radius;
        let (length, pace) = (shape.length(), shape.band_length(radius));
        let way = shape.beside(radius);
        self.gaps(&Path { index, corner: false, length, pace, way }, owned)
    }

    fn corner(&self, (index, next): (usize, usize), owned: &[Owned]) -> Checked {
        if is_whole(owned) {
            return Ok(());
        }
        let (vertex, before) = self.ground.shapes[index].at(1.0);
        let (_, after) = self.ground.shapes[next].at(0.0);
        let turn = self.turn((index, next), (before, after));
        let start = libm::atan2(before.y, before.x);
        let radius = self.trimmed.radius;
        let length = (turn * radius).max(0.0);
        let way = Way::Round { about: vertex, radius, start, turn };
        self.gaps(&Path { index, corner: true, length, pace: length, way }, owned)
    }

    /// The turn at the end of a shape. Where it goes straight back, the sides a little way off
    /// tell which of the two ways round it went.
    fn turn(
        &self,
        (index, next): (usize, usize),
        (before, after): (Vector, Vector),
    ) -> f64 {
        let turn = libm::atan2(
            before.x * after.y - before.y * after.x,
            before.x * after.x + before.y * after.y,
        );
        if turn.abs() < PI - STRAIGHT_BACK {
            return turn;
        }
        let (one, two) = (&self.ground.shapes[index], &self.ground.shapes[next]);
        let way = one.length().min(two.length()) / 2.0;
        let (vertex, _) = one.at(1.0);
        let (arrives, _) = one.at(1.0 - way / one.length());
        let (leaves, _) = two.at(way / two.length());
        if 0.0 < cross(vertex, arrives, leaves) { -turn.abs() } else { turn.abs() }
    }

    /// The point of a path that the disc touches at `t`.
    fn foot_on(&self, path: &Path, t: f64) -> Point {
        self.ground.shapes[path.index].at(if path.corner { 1.0 } else { t }).0
    }

    /// No two owned intervals overlap, and the disc fits nowhere between them.
    fn gaps(&self, path: &Path, owned: &[Owned]) -> Checked {
        let mut from = 0.0;
        let ends = owned.iter().map(|own| (own.from, own.to));
        for (start, end) in ends.chain([(1.0, 1.0)]) {
            let gap = (start - from) * path.length;
            if gap < -RADIUS_STEP {
                let fault = "a place owned twice";
                return Err(Untrimmed::new(self.foot_on(path, from), fault));
            }
            if SHORTEST_GAP < gap {
                self.gap(path, (from, start))?;
            }
            from = end;
        }
        Ok(())
    }

    /// Marches through a gap from one point of the loops that the disc holds to the next, as far
    /// as it holds each, and no less than the shortest step.
    fn gap(&self, path: &Path, (from, to): (f64, f64)) -> Checked {
        // Where the centre hardly moves, as in a fillet of nearly the disc's own radius, depth
        // grows as slowly.
        let least = SHORTEST_STEP / path.length;
        let slow = (SHORTEST_GAP / path.pace.max(f64::MIN_POSITIVE)).min(least);
        let margin = slow.max(0.13 * SHORTEST_GAP / path.length);
        let mut t = from + margin;
        while t < to - margin {
            let enough = (t + FAR_ENOUGH * least).min(to - margin);
            let Some(held) = self.held_up_to(path, t, enough) else {
                let fault = "a place the disc reaches that no run owns";
                return Err(Untrimmed::new(self.foot_on(path, t), fault));
            };
            t = held.max(t + least);
        }
        Ok(())
    }

    /// Up to where on its way from `t` the disc holds a point of the loops; `None` where it
    /// holds none at `t`. What was nearest at the last place may tell, or a neighbour; if that
    /// is not `enough`, what is nearest here.
    fn held_up_to(&self, path: &Path, t: f64, enough: f64) -> Option<f64> {
        let centre = path.way.at(t);
        let mut best = None;
        let (own, next) = (path.corner.then_some(path.index), Some(path.index + 1));
        let likely = [self.last.get(), next, own, path.index.checked_sub(1)];
        for index in likely.into_iter().flatten() {
            best = farther(best, self.held_by(index, (path, t, centre)));
            if best.is_some_and(|end| enough <= end) {
                return best;
            }
        }
        let (_, nearest) = self.ground.nearest(centre, path.index);
        self.last.set(nearest);
        farther(best, self.held_by(nearest?, (path, t, centre)))
    }

    /// Up to where the disc holds what of one shape is nearest to its centre at `t`.
    fn held_by(
        &self,
        index: usize,
        (path, t, centre): (&Path, f64, Point),
    ) -> Option<f64> {
        let radius = self.trimmed.radius;
        let shape = self.ground.shapes.get(index)?;
        let lacks = radius - shape.distance(centre);
        let held = || path.way.holds_up_to(t, shape.nearest(centre), radius);
        (ROUNDING < lacks).then(held)
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

    /// Twice the area under a run, less that under its feet and the band between.
    fn run_area(&self, run: &Run, origin: Point) -> f64 {
        let Owner { from, to } = run.owner;
        let own = super::measure::Shape::of(&run.curve).swept(origin, (0.0, 1.0));
        if from.corner {
            let radius = self.trimmed.radius;
            let turn = match run.curve {
                super::Piece::Arc { sweep, .. } => sweep,
                super::Piece::Line { .. } => 0.0,
            };
            return own - radius * radius * turn;
        }
        let shape = &self.ground.shapes[self.shape_index(&from)];
        let range = (from.t, to.t);
        own - shape.swept(origin, range) - shape.band(self.trimmed.radius, range)
    }

    /// What feet that are off by as much as a joint allows do to the sum.
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
            // The tip of a slot of exactly the disc's width turns by half.
            let turn = if turn < -3.1 { turn + std::f64::consts::TAU } else { turn };
            feet += radius * radius * libm::sin(turn);
        }
        ring - feet
    }
}

//! The check's march along what no run owns: no place is owned twice, and where none is owned the
//! disc does not fit.
//!
//! ```text
//!  ____owned____.................____owned____     a gap: rolled to c, the disc holds some point
//!               c--->c'--->c''->                   of the loops, that is, has it within, and as
//!                                                  it rolls on it holds it at least up to c'
//! ```
//!
//! So it fits nowhere from c to c', where a next point is looked for: a gap takes as many steps as
//! there are points to hold, however long it is.
//!
//! Our own; how far a disc holds a point: geometry.

use super::Point;
use super::check::Checked;
use super::held::Way;
use super::measure::{Ground, cross, span};
use super::tolerance::{RADIUS_STEP, ROUNDING, SAME_POINT};
use super::trim::{Owner, Run, Trimmed, Untrimmed};
use std::f64::consts::{PI, TAU};
use std::ops::Range;

/// An untouched gap shorter than this, in mm, is not judged: on a straight wall it would be
/// under 1e-10 mm deep (geometry: a gap g is g²/8r deep).
const SHORTEST_GAP: f64 = 1e-4;
/// So near to its ends, in mm, a gap is not judged: they lie where crossings put them.
const MARGIN: f64 = 0.13 * SHORTEST_GAP;
/// The march through what is untouched passes over touches shorter than this, in mm.
const SHORTEST_STEP: f64 = 0.01;
/// A point that the disc goes on holding over so many shortest steps will do; no other is looked
/// for.
const FAR_ENOUGH: f64 = 16.0;
/// A turn this near a half turn, in radians, goes straight back: which way, the sides a little way
/// off know better than the directions.
const STRAIGHT_BACK: f64 = 1e-2;

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
    /// The centre's way.
    way: Way,
}

/// What one run owns of a shape, or of the corner at its end.
struct Owned {
    /// Index of the shape, and whether it is its corner.
    of: (usize, bool),
    from: f64,
    to: f64,
}

/// Takes what is owned of one shape or corner from the head of `rest`, which is what is owned of it
/// and of the later ones.
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

/// A march through the gaps between what the runs own.
pub(super) struct March<'a> {
    ground: &'a Ground,
    trimmed: &'a Trimmed,
    /// What was nearest where a gap was looked at last, on the loops before it and after it.
    last: [Option<usize>; 2],
}

impl<'a> March<'a> {
    /// The march over the ground that the runs stand on.
    pub(super) const fn over(ground: &'a Ground, trimmed: &'a Trimmed) -> Self {
        Self { ground, trimmed, last: [None, None] }
    }

    /// No place is owned twice, and where nothing is owned the disc does not fit.
    pub(super) fn completeness(&mut self) -> Checked {
        let owned = self.owned();
        let mut rest = &owned[..];
        let ground = self.ground;
        for ends in ground.starts.windows(2) {
            let mut solid = (ends[0]..ends[1])
                .filter(|&index| SAME_POINT < ground.shapes[index].length());
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
            let index = self.ground.starts[from.on] + from.piece;
            Owned { of: (index, from.corner), from: from.t, to: to.t }
        };
        let mut owned: Vec<Owned> = self.trimmed.runs.iter().map(own).collect();
        owned.sort_by(|a, b| a.of.cmp(&b.of).then(a.from.total_cmp(&b.from)));
        owned
    }

    /// Judges the gaps along one shape.
    fn edge(&mut self, index: usize, owned: &[Owned]) -> Checked {
        if is_whole(owned) {
            return Ok(());
        }
        let shape = &self.ground.shapes[index];
        let radius = self.trimmed.radius;
        let (length, pace) = (shape.length(), shape.band_length(radius));
        let way = shape.beside(radius);
        self.gaps(&Path { index, corner: false, length, pace, way }, owned)
    }

    /// Judges the gaps of the turn about the corner between two shapes.
    fn corner(&mut self, (index, next): (usize, usize), owned: &[Owned]) -> Checked {
        if is_whole(owned) {
            return Ok(());
        }
        let (vertex, before) = self.ground.shapes[index].at(1.0);
        let (_, after) = self.ground.shapes[next].at(0.0);
        let radius = self.trimmed.radius;
        let sine = before.x * after.y - before.y * after.x;
        let cosine = before.x * after.x + before.y * after.y;
        let goes_on = 0.0 < cosine && sine * radius <= SHORTEST_GAP * cosine;
        if owned.is_empty() && (goes_on || sine < -STRAIGHT_BACK) {
            // To turn about it, if at all, takes the disc no way worth judging.
            return Ok(());
        }
        let turn = self.turn((index, next), (sine, cosine));
        let length = (turn * radius).max(0.0);
        let out = before * radius;
        let way = Way::Round { from: vertex + out, out, turn };
        self.gaps(&Path { index, corner: true, length, pace: length, way }, owned)
    }

    /// The turn at the end of a shape. Where it goes straight back, the sides a little way off
    /// tell which of the two ways round it went.
    fn turn(&self, (index, next): (usize, usize), (sine, cosine): (f64, f64)) -> f64 {
        let turn = libm::atan2(sine, cosine);
        if turn.abs() < PI - STRAIGHT_BACK {
            return turn;
        }
        let (one, two) = (&self.ground.shapes[index], &self.ground.shapes[next]);
        let way = one.length().min(two.length()) / 2.0;
        let (vertex, _) = one.at(1.0);
        let (arrives, _) = one.at(1.0 - way / one.length());
        let (leaves, _) = two.at(way / two.length());
        match (0.0 < cross(vertex, arrives, leaves), 0.0 < turn) {
            (true, true) => turn - TAU,
            (false, false) => turn + TAU,
            _ => turn,
        }
    }

    /// The point of a path that the disc touches at `t`.
    fn foot_on(&self, path: &Path, t: f64) -> Point {
        self.ground.shapes[path.index].at(if path.corner { 1.0 } else { t }).0
    }

    /// No two owned intervals overlap, and the disc fits nowhere between them.
    fn gaps(&mut self, path: &Path, owned: &[Owned]) -> Checked {
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
    fn gap(&mut self, path: &Path, (from, to): (f64, f64)) -> Checked {
        // Where the centre hardly moves, as in a fillet of nearly the disc's own radius, depth
        // grows as slowly.
        let least = SHORTEST_STEP / path.length;
        let slow = (SHORTEST_GAP / path.pace.max(f64::MIN_POSITIVE)).min(least);
        let margin = slow.max(MARGIN / path.length);
        let mut t = from + margin;
        while t < to - margin {
            let rest = t..to - margin;
            let Some(held) = self.held_up_to(path, rest, FAR_ENOUGH * least) else {
                let fault = "a place the disc reaches that no run owns";
                return Err(Untrimmed::new(self.foot_on(path, t), fault));
            };
            t = held.max(t + least);
        }
        Ok(())
    }

    /// Up to where on what is left of its way the disc holds a point of the loops; `None` where
    /// it holds none at the start. What was nearest at the last place may tell, or a neighbour;
    /// if that is not `enough`, what is nearest here.
    fn held_up_to(&mut self, path: &Path, rest: Range<f64>, enough: f64) -> Option<f64> {
        let centre = path.way.at(rest.start);
        let enough = rest.end.min(rest.start + enough);
        let mut best = None;
        let own = path.index;
        let beside = [Some(own + 1), path.corner.then_some(own), own.checked_sub(1)];
        // Across a slot stands the next but one.
        let across = [Some(own + 2), own.checked_sub(2)];
        let likely = self.last.into_iter().chain(beside).chain(across);
        for index in likely.flatten() {
            best = farther(best, self.held_by(index, path, (&rest, centre)));
            if best.is_some_and(|end| enough <= end) {
                return best;
            }
        }
        let (_, nearest) = self.ground.nearest(centre, path.index);
        let nearest = nearest?;
        self.last[usize::from(path.index < nearest)] = Some(nearest);
        farther(best, self.held_by(nearest, path, (&rest, centre)))
    }

    /// Up to where the disc holds what of one shape is nearest to its centre at the start. While
    /// it goes straight past a straight one, it is nowhere farther from it than where it starts
    /// or ends.
    fn held_by(
        &self,
        index: usize,
        path: &Path,
        (rest, centre): (&Range<f64>, Point),
    ) -> Option<f64> {
        let radius = self.trimmed.radius;
        let shape = self.ground.shapes.get(index)?;
        let held = shape.nearest(centre);
        if radius - span(held, centre) <= ROUNDING {
            return None;
        }
        let straight = path.way.is_straight() && shape.turn().is_none();
        if straight && shape.is_within(radius - ROUNDING, path.way.at(rest.end)) {
            return Some(rest.end);
        }
        Some(path.way.holds_up_to(rest.start, held, radius))
    }
}

//! Which loop lies in which: outsides, openings in them, islands in those; each turned so
//! that the material is on its left.
//!
//! ```text
//!    .-----<-----.       in no other     outside, counter-clockwise
//!    | .--->---. |       in one          opening, clockwise
//!    | | .-<-. | |       in two          island, counter-clockwise
//!    | | '->-' | |
//!    | '---<---' |       as none cross, one point of a loop tells in which others it lies
//!    '----->-----'
//! ```
//!
//! Geometry.

use super::LoopKind;
use super::doubt::{self, Lie};
use super::ring::ShapedRing;
use super::strand::Report;
use crate::geom::tolerance::{BRIDGE, REPAIR};
use crate::geom::{Bounds, Grid, Loop, Tree};

/// The rings of one part with what each bounds: its outside, then openings, then islands.
pub(super) type Nest = Vec<(LoopKind, ShapedRing)>;

/// Leaves out a ring that is drawn twice.
pub(super) fn drop_doubled(rings: &mut Vec<ShapedRing>, report: &mut Report) {
    let (mut kept, mut loops) = (Vec::new(), Vec::<(Bounds, Loop)>::new());
    let mut corners = Grid::new(BRIDGE);
    for ring in rings.drain(..) {
        let this = ring.fitted();
        let bounds = this.bounds();
        let corner = Bounds { low: bounds.low, high: bounds.low };
        let mut is_doubled = false;
        corners.look(&corner.grown(2.0 * REPAIR), |index: usize| {
            let (around, other) = &loops[index];
            is_doubled = is_doubled
                || near_boxes(&bounds, around)
                    && lies_on(&this, other)
                    && lies_on(other, &this);
        });
        if is_doubled {
            let found = format!(
                "the loop at {}, {}, is drawn twice; {} is left out",
                report.point(ring.start()),
                report.size(&bounds),
                ring.first().called()
            );
            let place = ring.first().place_at(ring.start());
            report.repaired("outline-doubled", place, found);
        } else {
            corners.add(&corner, loops.len());
            kept.push(ring);
            loops.push((bounds, this));
        }
    }
    *rings = kept;
}

/// Whether two boxes are one within the repair tolerance.
fn near_boxes(one: &Bounds, other: &Bounds) -> bool {
    one.low.distance(other.low) <= 2.0 * REPAIR
        && one.high.distance(other.high) <= 2.0 * REPAIR
}

/// Whether the ends and the middles of the pieces of `a` lie on `b`.
fn lies_on(a: &Loop, b: &Loop) -> bool {
    let off = |point| b.at(b.nearest(point)).distance(point);
    let near = |t: f64| a.pieces().iter().all(|piece| off(piece.at(t)) <= REPAIR);
    near(0.0) && near(0.5)
}

/// The parts that these rings bound, in the order of their outsides.
pub(super) fn nested(rings: Vec<ShapedRing>, report: &mut Report) -> Vec<Nest> {
    let loops: Vec<Loop> = rings.iter().map(ShapedRing::fitted).collect();
    let boxes = Tree::new(loops.iter().map(Loop::bounds));
    let around: Vec<Vec<usize>> =
        (0..loops.len()).map(|inner| loops_around(inner, &loops, &boxes)).collect();
    doubt::note(&Lie { rings: &rings, loops: &loops, around: &around }, report);
    let outside = |index: usize| -> usize {
        if around[index].is_empty() {
            return index;
        }
        let is_outside = |&&other: &&usize| around[other].is_empty();
        *around[index].iter().find(is_outside).unwrap_or(&index)
    };
    let mut parts: Vec<(usize, Nest)> = (0..rings.len())
        .filter(|&index| around[index].is_empty())
        .map(|index| (index, Vec::new()))
        .collect();
    for (index, ring) in rings.into_iter().enumerate() {
        let kind = match around[index].len() {
            0 => LoopKind::Outside,
            depth if depth % 2 == 1 => LoopKind::Opening,
            _ => LoopKind::Island,
        };
        let ring = turned(ring, &loops[index], kind);
        let part = parts.binary_search_by_key(&outside(index), |(root, _)| *root);
        parts[part.expect("the largest loop around is an outside")].1.push((kind, ring));
    }
    let in_order = |mut nest: Nest| {
        nest.sort_by_key(|(kind, _)| match kind {
            LoopKind::Outside => 0,
            LoopKind::Opening => 1,
            LoopKind::Island => 2,
        });
        nest
    };
    parts.into_iter().map(|(_, nest)| in_order(nest)).collect()
}

/// The loops that `inner` lies in. As none cross, one point decides.
fn loops_around(inner: usize, loops: &[Loop], boxes: &Tree) -> Vec<usize> {
    let point = loops[inner].pieces()[0].at(0.5);
    let mut around = Vec::new();
    boxes.meeting(&Bounds { low: point, high: point }, |other| {
        if other != inner && loops[other].winding(point) != 0 {
            around.push(other);
        }
    });
    around
}

/// The ring with the material on its left.
fn turned(ring: ShapedRing, as_loop: &Loop, kind: LoopKind) -> ShapedRing {
    let counter_clockwise = 0.0 < as_loop.area();
    let ought = kind != LoopKind::Opening;
    if counter_clockwise == ought { ring } else { ring.reversed() }
}

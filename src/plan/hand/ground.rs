//! What hand work is worked out from: one part, what is settled about it, and the shop.

use super::super::places::Places;
use super::super::saw::Leaves;
use super::super::{DoneBy, Draft, FromFace, Part, Stretch};
use super::{SHALLOW_PARE, THICK};
use crate::geom::tolerance::REPAIR;
use crate::geom::{Loop, Piece, Point, SMOOTH_TURN, Span, Vector};
use crate::outline::Edge;
use crate::read::Role;
use crate::shop::{Face, Shop, defaults};

/// An inside corner nearer than this keeps a plane from the end of a run, in mm (from memory).
const PLANE_NOSE: f64 = defaults::PLANE_NOSE.value;

/// One part on the bench.
pub(super) struct Ground<'a> {
    parts: &'a [Part],
    /// Index of the part.
    pub(super) index: usize,
    /// What is settled.
    pub(super) draft: &'a Draft<'a>,
    /// The shop.
    pub(super) shop: &'a Shop,
    /// What is left on its edges.
    pub(super) leaves: Leaves,
    /// Index in the plan of the part's first stretch.
    first: usize,
    /// The part's stretches by place.
    stretches: Cover,
    /// The guide's edges by place, each with its index among them.
    edges: Cover,
}

/// Spans of a part's guide that cover some of its edge.
pub(super) struct Cover {
    /// The spans.
    pub(super) spans: Vec<Span>,
    places: Places,
}

impl Cover {
    /// Spans of these loops.
    pub(super) fn new(loops: &[Loop], spans: Vec<Span>) -> Self {
        let places = Places::new(loops, spans.iter().copied());
        Self { spans, places }
    }

    /// The spans at a run of edge or right beside it, by index.
    pub(super) fn near(&self, ring: &Loop, run: &Span) -> Vec<usize> {
        self.places.touching(ring, run, REPAIR)
    }

    /// How much of a run they cover, in mm.
    pub(super) fn covered(&self, ring: &Loop, run: &Span) -> f64 {
        let near = self.near(ring, run).into_iter();
        near.map(|index| overlap(ring, run, &self.spans[index])).sum()
    }
}

impl<'a> Ground<'a> {
    /// The part of this index.
    pub(super) fn new(
        (parts, index): (&'a [Part], usize),
        draft: &'a Draft<'a>,
        shop: &'a Shop,
    ) -> Self {
        let leaves = Leaves::of(&parts[index], shop);
        let guide = &parts[index].guide;
        // Stretches stand in order of their parts.
        let of_part = |at: usize| draft.stretches.partition_point(|it| it.part < at);
        let (first, end) = (of_part(index), of_part(index + 1));
        let own = draft.stretches[first..end].iter().map(|stretch| stretch.span);
        let stretches = Cover::new(&guide.loops, own.collect());
        let edges = guide.edges.iter().map(|edge| edge.span).collect();
        let edges = Cover::new(&guide.loops, edges);
        Self { parts, index, draft, shop, leaves, first, stretches, edges }
    }

    /// The part.
    pub(super) fn part(&self) -> &'a Part {
        &self.parts[self.index]
    }

    /// A loop of the part's guide.
    pub(super) fn ring(&self, on: usize) -> &'a Loop {
        &self.part().guide.loops[on]
    }

    /// The part's stretches, each with its index in the plan.
    pub(super) fn stretches(&self) -> impl Iterator<Item = (usize, &'a Stretch)> + '_ {
        let many = self.stretches.spans.len();
        self.draft.stretches.iter().enumerate().skip(self.first).take(many)
    }

    /// Those of them that lie at a run of edge or right beside it.
    pub(super) fn stretches_near(
        &self,
        run: Span,
    ) -> impl Iterator<Item = (usize, &'a Stretch)> + '_ {
        let near = self.stretches.near(self.ring(run.on), &run).into_iter();
        near.map(|index| (self.first + index, &self.draft.stretches[self.first + index]))
    }

    /// The bit that cuts a stretch, by its index in the rack; `None` where the hand does it.
    pub(super) fn bit_of(&self, stretch: &Stretch) -> Option<usize> {
        let DoneBy::Pass(number) = stretch.done_by else { return None };
        let pass = self.draft.passes.get(number - 1)?;
        self.draft.set_ups.get(pass.set_up).map(|set_up| set_up.bit)
    }

    /// The face the template is on as this part is worked.
    pub(super) fn template_face(&self) -> Face {
        let mine = self.draft.passes.iter().find(|pass| pass.part == self.index);
        let set_up = mine.and_then(|pass| self.draft.set_ups.get(pass.set_up));
        set_up
            .or(self.draft.set_ups.first())
            .map_or(Face::A, |set_up| set_up.template_face)
    }

    /// Whether a hand tool can ride on the template: its edge is the part's, and it did not come
    /// off for a lap in depth.
    pub(super) fn template_guides(&self) -> bool {
        let mut mine = self.draft.passes.iter().filter(|pass| pass.part == self.index);
        self.part().template_offset.abs() < REPAIR
            && mine.all(|pass| pass.layer.template_on)
    }

    /// From which face so deep a place is worked.
    pub(super) fn working_face(&self, depth: f64) -> FromFace {
        let thick = self.shop.stock.thick.is_some_and(|thick| THICK < thick.mm());
        if thick && SHALLOW_PARE < depth {
            FromFace::Both
        } else {
            FromFace::One(self.template_face())
        }
    }

    /// How much of `span` the other spans cover, in mm.
    pub(super) fn covered(&self, span: &Span, by: &[Span]) -> f64 {
        let here = by.iter().filter(|other| other.on == span.on);
        here.map(|other| overlap(self.ring(span.on), span, other)).sum()
    }

    /// How much of a span is routed, in mm.
    pub(super) fn routed(&self, span: &Span) -> f64 {
        let rout = self.edges_at(span).filter(|edge| edge.role == Role::Rout);
        rout.map(|edge| overlap(self.ring(span.on), span, &edge.span)).sum()
    }

    /// The edges of the guide at a run or right beside it.
    pub(super) fn edges_at(&self, run: &Span) -> impl Iterator<Item = &'a Edge> + '_ {
        let near = self.edges.near(self.ring(run.on), run).into_iter();
        near.map(|index| &self.part().guide.edges[index])
    }

    /// Whether a stretch ends where the span starts, or starts where it ends.
    pub(super) fn adjoins(&self, stretch: &Span, span: &Span) -> bool {
        let ring = self.ring(span.on);
        let meet = |a: f64, b: f64| {
            let gap = ring.wrapped(a - b);
            gap.min(ring.length() - gap) <= REPAIR
        };
        stretch.on == span.on
            && (meet(stretch.to(), span.from) || meet(span.to(), stretch.from))
    }

    /// The angle to the grain at a place of a direction of travel, in degrees.
    pub(super) fn phi(&self, at: Point, way: Vector) -> f64 {
        let axis = self.shop.stock.grain_of(&self.part().outline).at(at);
        crate::grain::phi(way.angle().to_degrees(), axis)
    }

    /// Whether an inside corner stands so near before a run, and so near behind it, that no plane
    /// gets to its end.
    pub(super) fn blocked(&self, span: &Span) -> [bool; 2] {
        let ring = self.ring(span.on);
        let inside =
            || (0..ring.pieces().len()).filter(|&at| ring.turn(at) <= -SMOOTH_TURN);
        let near = |gap: f64| gap <= PLANE_NOSE || ring.length() - gap <= REPAIR;
        let before = |at: usize| near(ring.wrapped(span.from - ring.start_of(at)));
        let behind = |at: usize| near(ring.wrapped(ring.start_of(at) - span.to()));
        [inside().any(before), inside().any(behind)]
    }

    /// The pieces of a span.
    pub(super) fn pieces(&self, span: &Span) -> Vec<Piece> {
        self.ring(span.on).run(span.from, span.length)
    }
}

/// How much two spans of one loop share, in mm.
pub(super) fn overlap(ring: &Loop, a: &Span, b: &Span) -> f64 {
    let ahead = ring.wrapped(b.from - a.from);
    [ahead, ahead - ring.length()]
        .into_iter()
        .map(|start| (start + b.length).min(a.length) - start.max(0.0))
        .filter(|shared| 0.0 < *shared)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry.
    #[test]
    fn spans_overlap_also_over_the_first_point() {
        let at = Point::new;
        let square =
            Loop::polygon(&[at(0.0, 0.0), at(10.0, 0.0), at(10.0, 10.0), at(0.0, 10.0)]);
        let span = |from: f64, length: f64| Span { on: 0, from, length };
        for (a, b, shared) in [
            (span(0.0, 10.0), span(5.0, 10.0), 5.0),
            (span(35.0, 10.0), span(0.0, 3.0), 3.0),
            (span(35.0, 10.0), span(30.0, 40.0), 10.0),
            (span(0.0, 40.0), span(39.0, 2.0), 2.0),
            (span(0.0, 10.0), span(10.0, 5.0), 0.0),
        ] {
            let found = overlap(&square, &a, &b);
            assert!((found - shared).abs() < 1e-9, "{a:?} {b:?}: {found}");
        }
    }
}

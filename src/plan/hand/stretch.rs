//! Stretches that no pass cuts: planed, shaved, rasped or pared to the line.

use super::super::{DoneBy, FromFace, HandKind, HandWork, Lower, RidesOn, Stretch, Tool};
use super::ground::{Cover, Ground, overlap};
use super::how;
use super::site::rides_on;
use super::tool::{Reachable, is_hollow, stretch_tool};
use crate::geom::tolerance::REPAIR;
use crate::geom::{Loop, Piece, Span};
use crate::outline::LoopKind;
use crate::reach::Site;
use crate::shop::Face;

/// The hand work of the stretches left to the hand that no listed place takes in.
pub(super) fn works(ground: &Ground<'_>, sites: &[&Site]) -> Vec<HandWork> {
    let walls = |sites: &mut dyn Iterator<Item = &Site>| {
        let spans = sites.flat_map(|site| site.walls.iter().copied()).collect();
        Cover::new(&ground.part().guide.loops, spans)
    };
    let taken = walls(&mut sites.iter().copied());
    let reach = ground.part().reach.iter().flatten();
    let of_any_bit = walls(&mut reach.flat_map(|reach| &reach.sites));
    ground
        .stretches()
        .filter(|(_, stretch)| stretch.is_by_hand())
        .filter(|(_, stretch)| {
            let span = stretch.span;
            taken.covered(ground.ring(span.on), &span) < span.length - REPAIR
        })
        .filter(|(_, stretch)| {
            stretch.touched || is_of_a_place(ground, stretch, &of_any_bit)
        })
        .map(|(index, stretch)| match &stretch.lower {
            Some(lower) if stretch.done_by != DoneBy::Hand => {
                below(work(ground, stretch), (ground, index), lower)
            }
            _ => work(ground, stretch),
        })
        .collect()
}

/// Whether an untouched stretch belongs to a place deep enough to be listed; else it is left by
/// no more than a knife line.
fn is_of_a_place(ground: &Ground<'_>, stretch: &Stretch, walls: &Cover) -> bool {
    let span = stretch.span;
    let ring = ground.ring(span.on);
    let near = walls.near(ring, &span);
    near.iter().any(|&wall| REPAIR < overlap(ring, &span, &walls.spans[wall]))
}

fn work(ground: &Ground<'_>, stretch: &Stretch) -> HandWork {
    let span = stretch.span;
    let ring = ground.ring(span.on);
    let pieces = ground.pieces(&span);
    let tool = stretch_tool(&reachable(ground, &span, &pieces), ground.shop.paper.unit);
    let middle = span.from + span.length / 2.0;
    let depth = ground
        .leaves
        .at(stretch.band, ground.phi(ring.at(middle), ring.direction_after(middle)));
    // Planes, shaves and rasps take the whole thickness at once and ride on nothing.
    let (rides_on, from_face) = match tool {
        Tool::Chisel(_) => (rides_on(ground, &[span]), ground.working_face(depth)),
        _ => (RidesOn::Line, FromFace::One(ground.template_face())),
    };
    HandWork {
        number: 0,
        part: ground.index,
        kind: HandKind::Stretch,
        at: ring.at(middle),
        angle: None,
        depth,
        sides: vec![span.length],
        area: depth * span.length,
        tool,
        rides_on,
        from_face,
        how: how::stretch(ground, stretch, (&pieces, tool, from_face)),
        border: vec![Loop::new(pieces)],
        spans: vec![span],
        why: stretch.why.clone(),
    }
}

/// The same work where only the lower layer is left: the routed face above guides it.
fn below(
    mut work: HandWork,
    (ground, index): (&Ground<'_>, usize),
    lower: &Lower,
) -> HandWork {
    let from = ground.shop.paper.length(lower.from);
    work.rides_on = RidesOn::Stretch(index);
    work.from_face = FromFace::One(Face::B);
    work.why = lower.why.clone();
    // The routed face above is the line: there is no template to knife along.
    work.how[0] = format!(
        "only the layer below {from} from face A still stands: take it down flush with the routed face above"
    );
    work
}

/// A short stretch beside a corner is pared with that corner's chisel, in one go.
pub(super) fn take_with_corners(
    ground: &Ground<'_>,
    stretches: &mut [HandWork],
    places: &[HandWork],
) {
    for work in stretches {
        let Tool::Chisel(width) = work.tool else { continue };
        let beside = |place: &&HandWork| {
            place.spans.iter().any(|wall| ground.adjoins(&work.spans[0], wall))
        };
        let chisels = places.iter().filter(beside).filter_map(|place| match place.tool {
            Tool::Chisel(width) => Some(width),
            _ => None,
        });
        if let Some(other) = chisels.max_by(f64::total_cmp) {
            work.tool = Tool::Chisel(width.max(other));
            work.how.push("take it in one go with the corner beside it".to_owned());
        }
    }
}

/// What decides the tool.
fn reachable(ground: &Ground<'_>, span: &Span, pieces: &[Piece]) -> Reachable {
    Reachable {
        length: span.length,
        room: edge_length(ground, span),
        hollow: pieces
            .iter()
            .filter(|piece| is_hollow(piece))
            .filter_map(Piece::radius)
            .min_by(f64::total_cmp),
        in_opening: ground.part().guide.kinds[span.on] == LoopKind::Opening,
        blocked_ends: ground.blocked(span).into_iter().filter(|it| *it).count(),
        grain_turns: !ground.shop.stock.kind.keeps_its_way(),
    }
}

/// The length of the edge, from corner to corner, that a stretch lies on.
fn edge_length(ground: &Ground<'_>, span: &Span) -> f64 {
    ground
        .edges_at(span)
        .filter(|edge| REPAIR < ground.covered(span, &[edge.span]))
        .map(|edge| edge.span.length)
        .fold(span.length, f64::max)
}

//! What enters the blank inside the template: only a mark may, shallow and clear of every edge.
//!
//! ```text
//!    top  ____.     .______.v._______     beside the template a cut goes through; inside it only a
//!             |     |                     mark is let in, no deeper than promised and so far from
//!    ---------'     '----------------     every edge
//! ```
//!
//! From memory: how far from an edge.

use super::cut::{Cut, LEVEL, UPRIGHT};
use super::cuts::Cuts;
use super::distance::Shape;
use super::edge::{Edges, Template};
use super::promise::{Hold, Promise};
use super::verdict::{Fault, Rule};
use crate::geom::Point;

/// How far a mark keeps from every edge, in mm (from memory).
const INSIDE: f64 = crate::shop::defaults::SCRIBE_INSIDE.value;
/// How much nearer it may come, in mm (geometry: rounding of a text in inches).
const NEARER: f64 = 0.01;
/// How far from a hole's centre its mark may lie, in mm (from memory: a drill's point).
const OFF_CENTRE: f64 = 0.05;

/// What was found of the moves inside the template.
pub(super) struct Marked {
    pub faults: Vec<Fault>,
    /// Of each move, whether it is part of a mark.
    pub is_mark: Vec<bool>,
}

/// Judges every move that enters the blank inside the template, until it has risen again.
pub(super) fn marks(
    cuts: &Cuts<'_>,
    promise: &Promise,
    (edges, template): (&Edges, &Template),
) -> Marked {
    let mut marked = Marked { faults: Vec::new(), is_mark: vec![false; cuts.count()] };
    let (mut down, mut inside) = (false, false);
    for (index, cut) in cuts.numbered() {
        let Some(shape) = cut.below(0.0) else {
            (down, inside) = (false, false);
            continue;
        };
        if !down {
            inside = template.holds(shape.from);
        }
        if inside {
            let wrong = fault(&cut, &shape, (promise, edges));
            marked.is_mark[index] = wrong.is_none();
            marked.faults.extend(wrong);
        }
        down = cut.low <= 0.0;
    }
    marked.faults.extend(centres(cuts, promise, edges));
    marked
}

/// What is wrong with a move inside the template.
fn fault(
    cut: &Cut,
    shape: &Shape,
    (promise, edges): (&Promise, &Edges),
) -> Option<Fault> {
    let paper = promise.paper;
    let at_centre = shape.length() < UPRIGHT
        && by_hand(promise).any(|centre| centre.distance(shape.to) <= OFF_CENTRE);
    let most = if at_centre {
        promise.machine.dimple_depth(cut.tool)
    } else {
        promise.machine.scribe_depth.mm()
    };
    let deep = -cut.high.min(cut.low);
    if most + LEVEL < deep {
        let text = format!(
            "the end mill enters the blank inside the template and goes {} deep, where a mark is at most {}",
            paper.fine(deep),
            paper.fine(most)
        );
        return Some(cut.fault(Rule::Gouge, text));
    }
    if !promise.machine.scribe && !at_centre {
        let text = "the end mill enters the blank inside the template";
        return Some(cut.fault(Rule::Gouge, text));
    }
    let reach = cut.radius + INSIDE - NEARER;
    let near = edges.near_cut(shape, reach)?;
    let text = format!(
        "a mark comes within {} of an edge, {} must be kept",
        paper.fine(near - cut.radius),
        paper.fine(INSIDE)
    );
    Some(cut.fault(Rule::Gouge, text))
}

/// The centres of the holes to be drilled by hand.
fn by_hand(promise: &Promise) -> impl Iterator<Item = Point> {
    promise.loops.iter().filter_map(|pledge| match pledge.hold {
        Hold::ByHand(centre) => Some(centre),
        _ => None,
    })
}

/// The centres that are not marked though there is room for it.
fn centres(cuts: &Cuts<'_>, promise: &Promise, edges: &Edges) -> Vec<Fault> {
    let tools = promise.tools();
    let narrowest = tools.first().map_or(0.0, |(_, machine)| machine.end_mill.radius());
    let bare = by_hand(promise).filter(|&centre| {
        let room = narrowest + INSIDE + NEARER;
        let is_marked = |cut: Cut| {
            cut.below(LEVEL - promise.machine.dimple_depth(cut.tool))
                .is_some_and(|shape| shape.point_gap(centre) <= OFF_CENTRE)
        };
        edges.near_point(centre, room).is_none() && !cuts.iter().any(is_marked)
    });
    let text = "the centre of a hole to drill by hand is not marked";
    bare.map(|centre| Fault::at(Rule::Leftover, 0, centre, text)).collect()
}

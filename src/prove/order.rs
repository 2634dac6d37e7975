//! Openings and recesses before the outline: one cut after the outline around it is cut in a part
//! that only tabs hold (common practice, no source).
//!
//! ```text
//!    .--- 2 ---------.     1  openings and recesses, while the blank still holds the part
//!    |  ( 1 )  [ 1 ] |     2  the outline round them
//!    '---------------'
//! ```

use super::cut::LEVEL;
use super::cuts::Cuts;
use super::distance::Shape;
use super::edge::Edges;
use super::promise::{Hold, Pledge, Promise};
use super::tree::Forest;
use super::verdict::{Fault, Rule};

/// A cut this much farther from an edge than the mill's radius does not cut that edge, in mm
/// (from memory: less than any rough lap's allowance).
const AT_THE_EDGE: f64 = 0.1;

/// When a loop's edge is cut at full depth: the first and the last cut, by their order.
type When = Option<(usize, usize)>;

/// The last cut of an opening or recess that comes too late.
pub(super) fn openings_first(
    promise: &Promise,
    edges: &Edges,
    cuts: &Cuts<'_>,
) -> Option<Fault> {
    if !promise.loops.iter().any(|ring| ring.drawn.area() < 0.0) {
        return None;
    }
    let when = when_cut(promise, edges, cuts);
    let loops = || promise.loops.iter().zip(&when);
    let outsides: Vec<(Forest, When)> = loops()
        .filter(|(ring, _)| 0.0 < ring.drawn.area())
        .map(|(ring, &at)| (Forest::new(ring.drawn.pieces().iter().map(Shape::of)), at))
        .collect();
    for (opening, at) in loops().filter(|(ring, _)| ring.drawn.area() < 0.0) {
        let Some((_, last)) = *at else { continue };
        let inside = opening.drawn.pieces()[0].from();
        let too_late = outsides.iter().any(|(around, at)| {
            at.is_some_and(|(first, _)| first < last)
                && around.winding(inside, |_| true) != 0
        });
        if too_late {
            let what = match opening.hold {
                Hold::Recess(_) => "a recess",
                _ => "an opening",
            };
            let text = format!(
                "{what} is cut after the outline around it: only tabs hold the part then"
            );
            return Some(cuts.get(last).fault(Rule::Order, text));
        }
    }
    None
}

/// When each loop's edge is cut at its full depth.
fn when_cut(promise: &Promise, edges: &Edges, cuts: &Cuts<'_>) -> Vec<When> {
    let mut when = vec![None; promise.loops.len()];
    let depths: Vec<Option<f64>> = promise.loops.iter().map(recess).collect();
    let recesses = || depths.iter().enumerate().filter_map(|(n, it)| Some((n, (*it)?)));
    for (order, cut) in cuts.numbered() {
        let at = |level: f64, may: &dyn Fn(usize) -> bool| {
            let shape = cut.below(level + LEVEL)?;
            let near = edges.near_shape(&shape, cut.radius + AT_THE_EDGE, may);
            near.map(|(_, index)| index)
        };
        let through = at(promise.bottom(), &|index| depths[index].is_none());
        let recesses = recesses().filter_map(|(n, deep)| at(-deep, &|index| index == n));
        for index in through.into_iter().chain(recesses) {
            let first = when[index].map_or(order, |(first, _)| first);
            when[index] = Some((first, order));
        }
    }
    when
}

/// How deep a recess is; nothing for what is cut through.
const fn recess(pledge: &Pledge) -> Option<f64> {
    match pledge.hold {
        Hold::Recess(depth) => Some(depth),
        _ => None,
    }
}

//! Openings before the outline: an opening cut after the outline around it is cut in a part
//! that only tabs hold (common practice, no source).

use super::cut::{Cut, LEVEL};
use super::distance::Shape;
use super::promise::Promise;
use super::tree::Forest;
use super::verdict::{Fault, Rule};

/// A cut this much farther from an edge than the mill's radius does not cut that edge, in mm
/// (from memory: less than any rough lap's allowance).
const AT_THE_EDGE: f64 = 0.1;

/// When a loop's edge is cut at full depth: the first and the last cut, by their order.
type When = Option<(usize, usize)>;

/// The first cut of an opening that comes too late.
pub(super) fn openings_first(
    promise: &Promise,
    edges: &[Vec<Shape>],
    cuts: &[Cut],
) -> Option<Fault> {
    let when = when_cut(promise, edges, cuts);
    let loops = || promise.loops.iter().zip(&when);
    let outsides: Vec<(Forest, When)> = loops()
        .filter(|(ring, _)| 0.0 < ring.drawn.area())
        .map(|(ring, &at)| {
            (Forest::new(ring.drawn.pieces().iter().map(Shape::of).collect()), at)
        })
        .collect();
    for (opening, at) in loops().filter(|(ring, _)| ring.drawn.area() < 0.0) {
        let Some((_, last)) = *at else { continue };
        let inside = opening.drawn.pieces()[0].from();
        let too_late = outsides.iter().any(|(around, at)| {
            at.is_some_and(|(first, _)| first < last) && around.winding(inside) != 0
        });
        if too_late {
            let text = "an opening is cut after the outline around it: only tabs hold the part then";
            return Some(cuts[last].fault(Rule::Order, text));
        }
    }
    None
}

/// When each loop's edge is cut at full depth.
fn when_cut(promise: &Promise, edges: &[Vec<Shape>], cuts: &[Cut]) -> Vec<When> {
    let of_loop: Vec<usize> = edges
        .iter()
        .enumerate()
        .flat_map(|(index, edge)| edge.iter().map(move |_| index))
        .collect();
    let forest = Forest::new(edges.iter().flatten().copied().collect());
    let mut when = vec![None; edges.len()];
    for (order, cut) in cuts.iter().enumerate() {
        let Some(shape) = cut.below(promise.bottom() + LEVEL) else { continue };
        let Some((_, edge)) = forest.near_shape(&shape, cut.radius + AT_THE_EDGE) else {
            continue;
        };
        let first = when[of_loop[edge]].map_or(order, |(first, _)| first);
        when[of_loop[edge]] = Some((first, order));
    }
    when
}

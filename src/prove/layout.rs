//! Every loop lies on the blank, and none in an opening that is cleared.

use super::edge::{Edges, winding_of};
use super::promise::{Hold, Pledge, Promise};
use super::verdict::{Fault, Rule};

/// What is wrong with where the loops lie.
pub(super) fn faults(promise: &Promise, edges: &Edges) -> Vec<Fault> {
    let cleared = promise.loops.iter().filter(|pledge| pledge.hold == Hold::Cleared);
    let island = cleared.filter_map(|opening| {
        let is_inside = |pledge: &&Pledge| {
            let start = pledge.drawn.pieces()[0].from();
            winding_of(&opening.drawn, start) != 0 && !std::ptr::eq(*pledge, opening)
        };
        let island = promise.loops.iter().find(is_inside)?;
        let at = island.drawn.pieces()[0].from();
        let text = "a piece stands in an opening that is cleared: nothing holds it";
        Some(Fault::at(Rule::Loose, 0, at, text))
    });
    island.chain(off_the_blank(promise, edges)).collect()
}

/// The first place where an edge does not lie on the blank.
fn off_the_blank(promise: &Promise, edges: &Edges) -> Option<Fault> {
    let blank = promise.blank;
    let off = edges.all().find(|shape| {
        let area = shape.bounds();
        let inside = blank.low.x <= area.low.x
            && blank.low.y <= area.low.y
            && area.high.x <= blank.high.x
            && area.high.y <= blank.high.y;
        !inside
    })?;
    let text = format!("the {} does not lie on the blank", promise.machine.cuts());
    Some(Fault::at(Rule::Layout, 0, off.from, text))
}

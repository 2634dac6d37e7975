//! The deepest cut into the template: each move's least distance to the edges.
//!
//! ```text
//!  ___________edge___________     a move gouges by its mill's radius less how near it comes to an edge:
//!        : <- radius less gouge   no area is needed, only the nearest place
//!  - - - o - - - - - ->
//! ```
//!
//! Geometry.

use super::cut::Cut;
use super::cuts::Cuts;
use super::edge::Edges;
use super::promise::{DRILL_WITHIN, Hold, Pledge, Promise};
use super::relief::is_relief;
use super::verdict::{Fault, Rule};
use super::wood::strays;

/// The deepest cut into the template that passes, in mm (measured: rounding of the text, chords
/// of a post without arcs and the fit of the drawing come to less).
pub(super) const GOUGE: f64 = crate::shop::defaults::MOST_GOUGE.value;

/// What was found.
pub(super) struct Gouged {
    pub faults: Vec<Fault>,
    /// The deepest cut, in mm.
    pub deepest: f64,
}

/// The deepest cuts into the template: into a hole that is bored, and into all else.
pub(super) fn gouges(promise: &Promise, cuts: &Cuts<'_>, edges: &Edges) -> Gouged {
    let mut gouged = Gouged { faults: Vec::new(), deepest: 0.0 };
    let strays = strays(&promise.machine);
    let in_a_bore = GOUGE.max(DRILL_WITHIN / 2.0) + 0.001;
    for (drilled, limit) in [(false, GOUGE), (true, in_a_bore)] {
        let is_wanted = |pledge: &Pledge| {
            pledge.is_cut() && matches!(pledge.hold, Hold::Drilled(_)) == drilled
        };
        let wanted: Vec<bool> = promise.loops.iter().map(is_wanted).collect();
        if !wanted.contains(&true) {
            continue;
        }
        let mut worst: (f64, Option<Cut>) = (0.0, None);
        for cut in cuts.iter() {
            let Some(shape) = cut.below(0.0) else { continue };
            if is_relief(&cut, promise, edges) {
                continue;
            }
            // A straight move on the wood may stand for an arc, and has no slack of its own.
            let reach = cut.radius + cut.slack.max(strays);
            // Nearly all moves end at the first boxes: only a deeper cut is looked for.
            let bound = reach - worst.0;
            let near = edges.near_shape(&shape, bound, |index| wanted[index]);
            if let Some((least, _)) = near {
                worst = (reach - least, Some(cut));
            }
        }
        gouged.deepest = gouged.deepest.max(worst.0);
        if let (true, Some(cut)) = (limit < worst.0, worst.1) {
            let what = promise.machine.cuts();
            let deep = promise.paper.decimals(worst.0, 4);
            let text = format!("it cuts {deep} into the {what}");
            gouged.faults.push(cut.fault(Rule::Gouge, text));
        }
    }
    gouged
}

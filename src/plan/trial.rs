//! What is tried first on an offcut: the worst stretch of all that is routed.

use super::{DoneBy, Pass, Stretch};
use crate::diag::{Problem, Weight};
use crate::grain::{Band, ROUGH};

/// The routed stretch that is most likely to go wrong: where most of the bit stands in wood if
/// that asks for care, then end grain, then the steepest to the grain, then the longest.
pub(super) fn worst(stretches: &[Stretch], passes: &[Pass]) -> Option<usize> {
    let rank = |index: usize| {
        let stretch = &stretches[index];
        let psi = deepest(stretch, passes);
        let end_grain = f64::from(u8::from(stretch.band == Band::EndGrain));
        let steep = stretch.phi.0.abs().max(stretch.phi.1.abs());
        let rough = if ROUGH < steep { steep } else { 0.0 };
        [psi, end_grain, rough, stretch.span.length]
    };
    (0..stretches.len()).filter(|&index| stretches[index].done_by != DoneBy::Hand).max_by(
        |&a, &b| rank(a).partial_cmp(&rank(b)).expect("finite").then_with(|| b.cmp(&a)),
    )
}

/// How deep the bit stands in wood on a stretch, in degrees, where that asks for care.
fn deepest(stretch: &Stretch, passes: &[Pass]) -> f64 {
    let DoneBy::Pass(number) = stretch.done_by else { return 0.0 };
    let own = passes.iter().filter(|pass| pass.number == number);
    own.flat_map(|pass| &pass.contact)
        .filter(|contact| contact.span.on == stretch.span.on)
        .filter(|contact| {
            let from = contact.span.from - stretch.span.from;
            -1e-6 <= from && from < stretch.span.length
        })
        .filter(|contact| contact.asks_for().is_some())
        .map(|contact| contact.psi)
        .fold(0.0, f64::max)
}

/// To try it first.
pub(super) fn first(stretch: &Stretch) -> Problem {
    let found = format!("the worst of all that is routed is stretch {}", stretch.name);
    let hint = "rout an offcut of the same wood first, held the same way, with its grain as there";
    Problem::new("trial-first", Weight::Hint, found, hint)
}

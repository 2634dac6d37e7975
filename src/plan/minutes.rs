//! Minutes at the bench, by the stated figures.

use super::{Draft, HandKind, HandWork, Lap, Pass, Tool};
use crate::geom::Span;
use crate::shop::defaults;

/// The minutes of a whole plan.
pub(super) fn minutes(draft: &Draft<'_>, hand: &[HandWork]) -> f64 {
    let changes: f64 = draft
        .set_ups
        .windows(2)
        .map(|pair| {
            let moved = pair[0].template_face != pair[1].template_face;
            let template = if moved { defaults::MINUTES_OTHER_FACE.value } else { 0.0 };
            defaults::MINUTES_SET_UP.value + template
        })
        .sum();
    let is_light = |pass: &&Pass| matches!(pass.lap, Lap::Light(_));
    let mut with_light: Vec<usize> =
        draft.passes.iter().filter(is_light).map(|pass| pass.set_up).collect();
    with_light.dedup();
    let bearings =
        with_light.iter().map(|_| defaults::MINUTES_BEARING.value).sum::<f64>();
    let passes: f64 = draft.passes.iter().map(of_pass).sum();
    changes + bearings + passes + hand.iter().map(by_hand).sum::<f64>()
}

/// The minutes of one pass.
pub(super) fn of_pass(pass: &Pass) -> f64 {
    let metres = pass.span.length / 1000.0;
    defaults::MINUTES_PASS.value + metres * defaults::MINUTES_METRE.value
}

fn by_hand(work: &HandWork) -> f64 {
    let hundreds = work.spans.iter().map(|span: &Span| span.length).sum::<f64>() / 100.0;
    match (work.kind, work.tool) {
        (HandKind::Site(_), _) => defaults::MINUTES_CORNER.value,
        (HandKind::Stretch, Tool::RoundSpokeshave | Tool::Rasp) => {
            hundreds * defaults::MINUTES_RASP.value
        }
        (HandKind::Stretch, _) => hundreds * defaults::MINUTES_PLANE.value,
    }
}

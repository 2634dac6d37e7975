//! What there is to say about grain that runs no one way, and about strips.

use super::super::assemble::Facts;
use super::whole;
use crate::diag::{Problem, Problems, Weight};
use crate::geom::tolerance;
use crate::read::GrainKind;
use crate::shop::{Shop, defaults};

/// Everything there is to say about the grain.
pub(super) fn remarks(parts: &[Facts], shop: &Shop) -> Problems {
    let mut notes = Problems::new();
    notes.extend(no_way(shop));
    notes.extend(strips(shop));
    notes.extend(parts.iter().filter_map(|part| strips_too_narrow(part, shop)));
    notes
}

/// In such grain no way round is downhill for sure.
fn no_way(shop: &Shop) -> Option<Problem> {
    let kind = shop.stock.kind;
    let runs = match kind {
        GrainKind::Straight | GrainKind::Stringy => return None,
        GrainKind::Interlocked => "leans one way and the other in turn",
        GrainKind::Curly => "rises and falls in waves",
        GrainKind::Mixed => "runs all ways",
    };
    let found = format!(
        "the grain is {} and {runs}: the ways round are those of the drawn grain, and none is downhill for sure",
        kind.word()
    );
    let hint = format!(
        "a sharp spiral bit, at most {} of waste a lap, an offcut first; where it tears all the same, leave a whisker and finish it with a scraper, never with a plane",
        shop.paper.measured(defaults::LEAVE_TENDER.value)
    );
    Some(Problem::new("no-downhill-promised", Weight::Caution, found, hint))
}

/// Strips are planned one by one, as they were read.
fn strips(shop: &Shop) -> Option<Problem> {
    let count = shop.stock.strips.len();
    let found = format!(
        "the board is glued up of {count} strips, and each is planned by the grain that was read on it"
    );
    let hint = "number the strips on face A and glue them up in that order and that way up; where one was turned or not read, call the grain `mixed`";
    (0 < count).then(|| Problem::new("strips-in-order", Weight::Caution, found, hint))
}

/// The strips of a board that do not reach across the part.
fn strips_too_narrow(part: &Facts, shop: &Shop) -> Option<Problem> {
    let strips = &shop.stock.strips;
    let together: f64 = strips.iter().map(|(wide, _)| wide).sum();
    let bounds = part.outline.bounds();
    let across = bounds.width().min(bounds.height());
    let found = format!(
        "the strips are {} wide together, and the part {}",
        shop.paper.length(together),
        shop.paper.length(across)
    );
    let hint = "the last strip is taken to go on; measure the strips again, or add one";
    let short = !strips.is_empty() && together + tolerance::REPAIR < across;
    short.then(|| {
        Problem::new("strips-too-narrow", Weight::Caution, found, hint).at(whole(part))
    })
}

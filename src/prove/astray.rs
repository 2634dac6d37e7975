//! A program stays over its blank: beside it stand fences and vices of which no promise knows,
//! and the machine's travel ends.
//!
//! ```text
//!  +---------------+       cutting below the top it may lead out by the mill's width and a little,
//!  |     blank   ~~|~~>    travelling a little farther
//!  +---------------+
//! ```
//!
//! From memory: the two figures beside it.

use super::cut::LEVEL;
use super::cuts::Cuts;
use super::promise::Promise;
use super::verdict::{Fault, Rule};
use crate::geom::Bounds;

/// How far a mill may go outside the blank below its top, beside its own width, in mm (from
/// memory).
const BESIDE: f64 = crate::shop::defaults::BESIDE_BLANK.value;
/// How far it may travel outside the blank, in mm (from memory).
const TRAVEL: f64 = crate::shop::defaults::TRAVEL_BESIDE.value;

/// The first cut that leads too far outside the blank, and the first travel.
pub(super) fn faults(cuts: &Cuts<'_>, promise: &Promise) -> Vec<Fault> {
    let (mut cutting, mut travelling) = (None, None);
    let outside = |area| beyond(&promise.blank, &area);
    let strays = cuts.iter().map(|cut| (outside(cut.shape.bounds()), cut));
    for (far, cut) in strays.filter(|(far, _)| 0.0 < *far) {
        let below = cut.below(-LEVEL).map_or(0.0, |shape| outside(shape.bounds()));
        if cutting.is_none() && 2.0 * cut.radius + BESIDE < below {
            let text = format!(
                "it goes {} outside the blank, lower than the blank's top",
                promise.paper.fine(below)
            );
            cutting = Some(cut.fault(Rule::Envelope, text));
        }
        if travelling.is_none() && TRAVEL < far {
            let far = promise.paper.fine(far);
            let text = format!("it travels {far} outside the blank");
            travelling = Some(cut.fault(Rule::Envelope, text));
        }
    }
    cutting.into_iter().chain(travelling).collect()
}

/// How far a box goes outside another along x or y, where it goes farthest.
fn beyond(whole: &Bounds, area: &Bounds) -> f64 {
    let x = (whole.low.x - area.low.x).max(area.high.x - whole.high.x);
    let y = (whole.low.y - area.low.y).max(area.high.y - whole.high.y);
    x.max(y).max(0.0)
}

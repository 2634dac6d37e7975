//! What the end mill that cuts the template leaves in its inside corners, and so in the part's.

use crate::diag::{Place, Problem, Source, Weight};
use crate::reach::Radii;
use crate::shop::{Bit, Shop};

/// A radius no caliper tells from another, in mm.
const SAME_RADIUS: f64 = 1e-6;

/// The radii by which a bit's reach goes.
///
/// Basis: geometry: in an inside corner of a template that was cut with an end mill, a smaller
/// bearing rides no deeper than the end mill went: the part comes out as from a bearing of the
/// end mill's size.
pub(super) fn radii(bit: &Bit, shop: &Shop) -> Radii {
    let (bearing, cutter) = (bit.bearing.radius(), bit.cutter.radius());
    let wider = beyond_bearing(bit, shop).unwrap_or(0.0);
    Radii { bearing: bearing + wider, cutter: cutter + wider }
}

/// By how much the end mill's radius passes the bearing's, where it does.
pub(super) fn beyond_bearing(bit: &Bit, shop: &Shop) -> Option<f64> {
    let machine = shop.machine.as_ref()?;
    let wider = machine.end_mill.radius() - bit.bearing.radius();
    (SAME_RADIUS < wider).then_some(wider)
}

/// What an end mill wider than the bearing costs.
pub(super) fn wider_than_bearing(bit: &Bit, shop: &Shop) -> Option<Problem> {
    beyond_bearing(bit, shop)?;
    let machine = shop.machine.as_ref()?;
    let paper = shop.paper;
    let found = format!(
        "the end mill ({}) is wider than the bearing of bit {} ({}): inside corners come out at a radius of {} instead of {}",
        paper.measured(machine.end_mill.mm()),
        bit.number,
        paper.measured(bit.bearing.mm()),
        paper.measured(radii(bit, shop).cutter),
        paper.measured(bit.cutter.radius())
    );
    let hint = format!(
        "the hand work is reckoned so; cut the template with an end mill of at most {}, or file its inside corners to that",
        paper.measured(bit.bearing.mm())
    );
    let place =
        Place::whole(Source::BitRack, "bits").element(format!("bit {}", bit.number));
    Some(Problem::new("mill-wider-than-bearing", Weight::Caution, found, hint).at(place))
}

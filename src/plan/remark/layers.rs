//! What there is to say about thick stock: the layer that is uphill, what would cut it, and
//! the lighter lap of an oversize bearing.

use super::super::assemble::Chosen;
use super::super::holding::of_rack;
use super::super::lap::Depth;
use super::super::{Reason, Stretch};
use crate::diag::{Problem, Problems, Weight};
use crate::shop::{Bit, Shop, defaults};
use crate::units::Mm;

/// Everything there is to say about layers.
pub(super) fn remarks(
    stretches: &[Stretch],
    shop: &Shop,
    chosen: &Chosen<'_>,
) -> Problems {
    let mut notes = Problems::new();
    notes.extend(two_layers(shop, chosen));
    notes.extend(uphill_layer(stretches, shop));
    notes.extend(one_offset(shop, chosen));
    notes
        .extend(chosen.bits().filter_map(|which| lighter_first(&shop.bits[which], shop)));
    notes
}

/// That the template is cut for one offset, and which bits of the rack it does not guide.
///
/// Basis: geometry: half of what bearing or bush is wider than the cutter.
fn one_offset(shop: &Shop, chosen: &Chosen<'_>) -> Option<Problem> {
    let offset = chosen.holdings.first()?.1.template_offset;
    let others: Vec<String> = shop
        .bits
        .iter()
        .filter(|bit| SAME < (bit.template_offset() - offset).abs())
        .filter(|bit| !chosen.bits().any(|used| is_oversize(bit, &shop.bits[used], shop)))
        .map(|bit| bit.number.to_string())
        .collect();
    if others.is_empty() {
        return None;
    }
    let found = format!(
        "the template is cut for an offset of {}: bit {} is not to be used with it",
        shop.paper.measured(offset.abs()),
        others.join(", ")
    );
    let hint = "write the bit it is for on the template; another bearing or bush would cut the part too large or too small";
    Some(Problem::new("template-for-one-offset", Weight::Caution, found, hint))
}

/// That no bit gets through, and where the layers meet.
fn two_layers(shop: &Shop, chosen: &Chosen<'_>) -> Option<Problem> {
    let (_, upper) = chosen.holdings.iter().find(|(_, it)| it.depth == Depth::Upper)?;
    let border = shop.paper.length(upper.layers.last()?.to?);
    let bit = &shop.bits[upper.set_up.bit];
    let found = format!(
        "bit {} gets {border} deep, not through the stock: it is cut in two layers that meet there",
        bit.number
    );
    let hint = "finish the upper layer first, and feel for a step where the layers meet";
    Some(Problem::new("two-layers", Weight::Hint, found, hint).at(of_rack(bit)))
}

/// The layer that is uphill, by name, and what would cut it with the tooth of the upper one.
///
/// Basis: geometry: turned over, the motor is on the other face and the tooth runs the other
/// way; from the same face it does not.
fn uphill_layer(stretches: &[Stretch], shop: &Shop) -> Option<Problem> {
    let lower = |stretch: &&Stretch| {
        stretch.lower.as_ref().is_some_and(|lower| lower.why == Reason::LayerUphill)
    };
    let uphill: Vec<&Stretch> = stretches.iter().filter(lower).collect();
    let from = uphill.first()?.lower.as_ref()?.from;
    let thick = shop.stock.thick.map_or(0.0, Mm::mm);
    let names: Vec<&str> = uphill.iter().map(|stretch| stretch.name.as_str()).collect();
    let found = format!(
        "the lower layer of stretch {}, from {} to {} below face A, is uphill: turned over, the tooth runs the other way",
        names.join(", "),
        shop.paper.length(from),
        shop.paper.length(thick)
    );
    let past = defaults::PAST_FAR_FACE.value;
    let hint = format!(
        "plane it down to the routed face above. A bit with its bearing by the shank that reaches {} below the base would rout it with the template off; so would one with its bearing at the tip, at least {} of cutter and the same reach, with the template fixed to face B on pins",
        shop.paper.length(thick + past),
        shop.paper.length(thick - from + past)
    );
    Some(Problem::new("layer-uphill", Weight::Hint, found, hint))
}

/// A bit of the rack with the same cutter and guide and an oversize bearing: run first, on the
/// same template, it leaves half of what the bearing is larger, everywhere alike.
///
/// Basis: geometry.
fn lighter_first(bit: &Bit, shop: &Shop) -> Option<Problem> {
    let oversize = |other: &&Bit| is_oversize(other, bit, shop);
    let other = shop.bits.iter().find(oversize)?;
    let leaves = shop.paper.measured(step(other, bit));
    let found = format!(
        "bit {} has the cutter of bit {} and a bearing that leaves {leaves} everywhere",
        other.number, bit.number
    );
    let hint = format!(
        "run each pass of bit {} first with bit {}, on the same template and the same way round: two light laps",
        bit.number, other.number
    );
    Some(Problem::new("lighter-lap-first", Weight::Hint, found, hint).at(of_rack(other)))
}

/// How much a bit leaves more than another on one template, in mm.
fn step(other: &Bit, bit: &Bit) -> f64 {
    (other.bearing.mm() - bit.bearing.mm()) / 2.0
}

/// Whether a bit is another with a bearing that leaves a little everywhere.
fn is_oversize(other: &Bit, bit: &Bit, shop: &Shop) -> bool {
    let alike = (other.cutter.mm() - bit.cutter.mm()).abs() < SAME
        && other.guides.iter().any(|guide| bit.guides.contains(guide));
    let step = step(other, bit);
    alike && defaults::LEAST_WASTE.value <= step && step < shop.leave.mm()
}

/// A width no caliper tells from another, in mm.
const SAME: f64 = 1e-6;

//! How a bit stands to template and stock: its bearing on the template, its teeth clear of it.
//!
//! All by geometry. With the bearing by the shank the teeth begin where the bearing ends, level
//! with the template's underside: any higher and they stand level with the template, any lower
//! and they leave a lip. A cutter much longer than the stock would stand far out beyond it: a
//! spacer under the template takes up the rest. With the bearing at the tip the teeth end at
//! the template's face, and what is too long stands beyond the face that is free.

use super::holding::{Holding, of_rack};
use super::{Carried, SetUp};
use crate::diag::{Problem, Weight};
use crate::shop::{Bit, Guide, Shop, defaults};
use crate::units::Mm;

/// How the bit stands in a set-up; what is not known is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    /// What the base rides on, or lies on the table.
    pub carried: Carried,
    /// Whether the bearing rides on the template; else on the edge that was routed before.
    pub by_template: bool,
    /// How far the teeth end below the base, or above the table, in mm.
    pub teeth_end: Option<f64>,
    /// How much of the bearing's height rides on the template, in mm.
    pub on_template: Option<f64>,
    /// How thick a spacer between template and stock must be, in mm, where one is needed.
    pub spacer: Option<f64>,
    /// How far the bit stands out on the side away from the motor, in mm: the room it wants.
    pub stands_out: Option<f64>,
}

/// How the bits of all set-ups stand.
pub(super) fn all(holdings: &[&Holding], shop: &Shop) -> Vec<Stand> {
    let spacers = spacers(holdings, shop);
    holdings.iter().zip(spacers).map(|(it, spacer)| Stand::of(it, spacer, shop)).collect()
}

/// The spacer of each set-up. The template stays on it as long as it stays on its face: all
/// set-ups there have the same, or none where one of them would not get its teeth through.
fn spacers(holdings: &[&Holding], shop: &Shop) -> Vec<Option<f64>> {
    let own: Vec<_> = holdings.iter().map(|it| wanted(it, shop)).collect();
    if shop.stock.over_floor.is_some() {
        return own;
    }
    let of = |holding: &&Holding| {
        let same_face = |other: &Holding| {
            other.layers[0].template_on
                && other.set_up.template_face == holding.set_up.template_face
        };
        let beside =
            || holdings.iter().zip(&own).filter(move |(other, _)| same_face(other));
        let thickest = beside().filter_map(|(_, own)| *own).max_by(f64::total_cmp)?;
        let carried = beside().all(|(other, _)| carries(other, thickest, shop));
        (same_face(holding) && carried).then_some(thickest)
    };
    holdings.iter().map(of).collect()
}

/// Whether the teeth of a holding still get through the stock over a spacer so thick.
fn carries(holding: &Holding, sheet: f64, shop: &Shop) -> bool {
    let bit = &shop.bits[holding.set_up.bit];
    let (Some(thick), Some(length)) = (shop.stock.thick, bit.cut_length) else {
        return false;
    };
    let (thick, length) = (thick.mm(), length.mm());
    match holding.set_up.guide {
        Guide::Shank => {
            holding.layers.len() == 1
                && thick + defaults::PAST_FAR_FACE.value <= length - sheet
        }
        Guide::Tip => {
            thick + sheet <= bit.reach.map_or(length, |reach| length.min(reach.mm()))
        }
        Guide::Bush => false,
    }
}

/// The spacer that a holding by itself wants.
fn wanted(holding: &Holding, shop: &Shop) -> Option<f64> {
    let bit = &shop.bits[holding.set_up.bit];
    let first = holding.layers[0];
    let (thick, length) = (shop.stock.thick?.mm(), bit.cut_length?.mm());
    let through = first.template_on && first.to.is_some_and(|to| thick <= to);
    (through && holding.set_up.guide == Guide::Shank)
        .then(|| spacer(bit, (length, thick), shop))
        .flatten()
}

impl Stand {
    /// How the bit of a holding stands in its first lap, over a spacer.
    fn of(holding: &Holding, spacer: Option<f64>, shop: &Shop) -> Self {
        let SetUp { bit, guide, .. } = holding.set_up;
        let bit = &shop.bits[bit];
        let first = holding.layers[0];
        let height = bit.body.bearing_height.map(Mm::mm);
        let thick = shop.stock.thick.map(Mm::mm);
        let template = shop.template.thick.mm();
        let on_template = height.filter(|_| first.template_on && guide != Guide::Bush);
        let carried = holding.set_up.carried_on();
        let plain = Self {
            carried,
            by_template: first.template_on,
            teeth_end: None,
            on_template: on_template.map(|height| height.min(template)),
            spacer: None,
            stands_out: None,
        };
        let through = thick.filter(|thick| first.to.is_some_and(|to| *thick <= to));
        match (guide, bit.cut_length.map(Mm::mm)) {
            (Guide::Shank, Some(length)) if first.template_on => {
                let above = spacer.unwrap_or(0.0);
                // Over a floor the teeth end there; else as deep as the template lets them.
                let below = match through.filter(|_| shop.stock.over_floor.is_some()) {
                    Some(floor) => floor.min(length),
                    None => length - above,
                };
                // A second bearing at the tip stands out beyond the teeth.
                let tip = if bit.guides.contains(&Guide::Tip) { height } else { None };
                let stands_out = through.map(|thick| below - thick + tip.unwrap_or(0.0));
                let teeth_end = Some(template + above + below);
                // What of the bearing is still beside the spacer does not ride on the template.
                let beside = above + below - length;
                let on_template =
                    height.map(|height| (height - beside).clamp(0.0, template));
                Self { teeth_end, on_template, spacer, stands_out, ..plain }
            }
            (Guide::Tip, _) if first.template_on => {
                let stands_out = height.map(|it| (it - template).max(0.0));
                let teeth_end = through.map(|thick| thick + spacer.unwrap_or(0.0));
                Self { teeth_end, spacer, stands_out, ..plain }
            }
            (Guide::Bush, _) if first.template_on => {
                let past = if through.is_some() { super::lap::past(shop) } else { 0.0 };
                Self { teeth_end: first.to.map(|to| template + to + past), ..plain }
            }
            // Turned over: the teeth end where the fresh face begins.
            (Guide::Tip, _) => {
                Self { teeth_end: first.to.map(|to| to - first.from), ..plain }
            }
            _ => plain,
        }
    }
}

/// The spacer that a cutter of this length wants in stock of this thickness, if any: the
/// thinnest sheet with which it stands out no farther than it may, the teeth still through; or
/// over a floor the thinnest that takes up all of the cutter above it, with enough of the
/// bearing left on the template and within the bit's reach, else a piece planed to just that.
fn spacer(bit: &Bit, (length, thick): (f64, f64), shop: &Shop) -> Option<f64> {
    let sheets = defaults::sheets(shop.paper.unit).iter().copied();
    let over = length - thick;
    if shop.stock.over_floor.is_some() {
        let spare = bit.body.bearing_height.map_or(0.0, |height| {
            let bearing = height.mm() - defaults::BEARING_CONTACT.value;
            let template = shop.template.thick.mm();
            let reach = bit.reach.map_or(f64::INFINITY, |it| it.mm() - template - length);
            bearing.min(reach)
        });
        let serves = |sheet: &f64| over <= *sheet && *sheet <= over + spare;
        return (defaults::CUTTER_GRACE.value < over)
            .then(|| sheets.clone().find(serves).unwrap_or(over));
    }
    let most = defaults::MOST_STANDS_OUT.value;
    if over <= most {
        return None;
    }
    let mut fits = sheets.filter(|sheet| *sheet <= over - defaults::PAST_FAR_FACE.value);
    let enough = fits.clone().find(|sheet| over - sheet <= most);
    enough.or_else(|| fits.next_back())
}

/// Why a bit cannot stand to any template as it must, or not to this one.
pub(super) fn stop(bit: &Bit, guide: Guide, shop: &Shop) -> Option<Problem> {
    if guide == Guide::Bush {
        return None;
    }
    bearing_too_low(bit, shop).or_else(|| template_too_thick(bit, guide, shop))
}

fn bearing_too_low(bit: &Bit, shop: &Shop) -> Option<Problem> {
    let least = defaults::BEARING_CONTACT.value;
    let height = bit.body.bearing_height?.mm();
    (height < least).then(|| {
        let found = format!(
            "the bearing of bit {} (`{}`) is only {} high: it must ride on at least {} of template",
            bit.number,
            bit.text,
            shop.paper.length(height),
            shop.paper.length(least)
        );
        let hint = "put two bearings on it, or take another bit; it is left out of the plan";
        Problem::stop("bearing-too-low", found, hint).at(of_rack(bit))
    })
}

/// The base rides on the template, so that a bit lowered to its full reach has its teeth below
/// the template only where that is no thicker than what reach has over the cutter.
fn template_too_thick(bit: &Bit, guide: Guide, shop: &Shop) -> Option<Problem> {
    let most = most_template(bit, guide)?;
    let thick = shop.template.thick.mm();
    (most < thick).then(|| {
        let found = format!(
            "bit {} (`{}`) does not get its teeth below a template {} thick: they would stand level with it",
            bit.number,
            bit.text,
            shop.paper.length(thick)
        );
        let hint = if most < defaults::BEARING_CONTACT.value {
            "a bit with more reach below the base; it is left out of the plan".to_owned()
        } else {
            format!(
                "a template at most {} thick, or a bit with more reach below the base; it is left out of the plan",
                shop.paper.length(most)
            )
        };
        Problem::stop("template-too-thick", found, hint).at(of_rack(bit))
    })
}

/// The thickest template under which a bit gets its teeth, in mm, where that is known.
fn most_template(bit: &Bit, guide: Guide) -> Option<f64> {
    let known = bit.reach.zip(bit.cut_length).filter(|_| guide == Guide::Shank);
    known.map(|(reach, length)| reach.mm() - length.mm())
}

/// What there is to say about a spacer.
pub(super) fn remark(stand: &Stand, set_up: &SetUp, shop: &Shop) -> Option<Problem> {
    let spacer = stand.spacer.filter(|_| set_up.guide == Guide::Shank)?;
    let bit = &shop.bits[set_up.bit];
    let beyond = if shop.stock.over_floor.is_some() {
        "longer than the lap is deep: with the teeth below the template it would cut into the floor"
    } else {
        "much longer than the stock is thick: with the teeth below the template it would stand far out beyond the stock"
    };
    let found = format!("the cutter of bit {} is {beyond}", bit.number);
    let hint = format!(
        "fix a spacer {} thick between template and stock, all its edges set back out of the bit's way; it stays there in every set-up, and the bearing still rides on the template",
        shop.paper.length(spacer)
    );
    Some(
        Problem::new("spacer-under-template", Weight::Caution, found, hint)
            .at(of_rack(bit)),
    )
}

#[cfg(test)]
mod tests {
    use super::super::holding::{Size, holdings};
    use super::super::shapes;
    use super::*;

    /// A shop with one bit, guided so, its cutter so long, its bearing so high.
    fn with(guide: Guide, (length, height): (f64, f64)) -> Shop {
        let mut shop = shapes::shop(0.0, &[12.7]);
        shop.bits[0].guides = vec![guide];
        shop.bits[0].cut_length = Some(Mm::of(length));
        shop.bits[0].body.bearing_height = Some(Mm::of(height));
        shop
    }

    fn stand(shop: &Shop) -> Stand {
        let (found, notes) = holdings(shop, Size::Handy);
        let [holding] = found.as_slice() else { panic!("one: {found:?} {notes:?}") };
        all(&[holding], shop)[0]
    }

    fn is(found: Option<f64>, expected: Option<f64>) {
        let near = match (found, expected) {
            (Some(one), Some(other)) => (one - other).abs() < 1e-9,
            (None, None) => true,
            _ => false,
        };
        assert!(near, "{found:?}, not {expected:?}");
    }

    /// Basis: geometry: the teeth begin at the template's underside, so that in stock of 20 a
    /// cutter of 25.4 ends 38.1 below the base that rides on a template of 12.7, 5.4 beyond the
    /// stock; a bearing of 5 rides with all its height, on a template of 4 with 4.
    #[test]
    fn a_bearing_by_the_shank_rides_on_the_template_and_the_teeth_begin_below() {
        let mut shop = with(Guide::Shank, (25.4, 5.0));
        let found = stand(&shop);
        is(found.teeth_end, Some(38.1));
        is(found.stands_out, Some(5.4));
        is(found.on_template, Some(5.0));
        is(found.spacer, None);
        assert_eq!(found.carried, Carried::Template, "the base");
        shop.template.thick = Mm::of(4.0);
        is(stand(&shop).on_template, Some(4.0));
    }

    /// Basis: geometry: a cutter of 50.8 in stock of 20 would stand out 30.8; a spacer of 22
    /// leaves 8.8, the next thinner one, of 18, 12.8: too much.
    #[test]
    fn a_cutter_much_too_long_wants_a_spacer() {
        let found = stand(&with(Guide::Shank, (50.8, 5.0)));
        is(found.spacer, Some(22.0));
        is(found.stands_out, Some(8.8));
        is(found.teeth_end, Some(63.5));
    }

    /// Basis: geometry: over a floor 10 deep a cutter of 25.4 wants a spacer of at least 15.4.
    /// With one of 18 a bearing of 5 would ride with 2.4 on the template, one of 8 with 5.4.
    /// The teeth end at the floor: 12.7, the spacer and 10 below the base; a reach of 39 allows
    /// none of 18. A cutter a hair too long wants none.
    #[test]
    fn over_a_floor_the_teeth_end_at_it() {
        let mut shop = with(Guide::Shank, (25.4, 5.0));
        shop.stock.over_floor = Some(Mm::of(20.0));
        shop.stock.thick = Some(Mm::of(10.0));
        let found = stand(&shop);
        is(found.spacer, Some(15.4));
        is(found.on_template, Some(5.0));
        is(found.teeth_end, Some(38.1));
        is(found.stands_out, Some(0.0));
        shop.bits[0].body.bearing_height = Some(Mm::of(8.0));
        let found = stand(&shop);
        is(found.spacer, Some(18.0));
        is(found.on_template, Some(5.4));
        is(found.teeth_end, Some(40.7));
        shop.bits[0].reach = Some(Mm::of(39.0));
        is(stand(&shop).spacer, Some(15.4));
        shop.bits[0].cut_length = Some(Mm::of(10.02));
        is(stand(&shop).spacer, None);
    }

    /// Basis: geometry: with the bearing at the tip the teeth end at the template, as deep as
    /// the stock is thick; a bearing of 15 stands 2.3 out below a template of 12.7.
    #[test]
    fn a_bearing_at_the_tip_ends_at_the_template() {
        let found = stand(&with(Guide::Tip, (50.8, 15.0)));
        is(found.teeth_end, Some(20.0));
        is(found.stands_out, Some(2.3));
        is(found.spacer, None);
        assert_eq!(found.carried, Carried::Part, "the base");
    }

    fn stops(shop: &Shop) -> Vec<&'static str> {
        holdings(shop, Size::Handy).1.iter().map(|note| note.id).collect()
    }

    /// Basis: geometry: lowered to its reach of 55 a cutter of 50.8 begins 4.2 below the base.
    #[test]
    fn teeth_are_never_level_with_the_template() {
        let mut shop = with(Guide::Shank, (50.8, 4.0));
        shop.bits[0].reach = Some(Mm::of(55.0));
        assert_eq!(stops(&shop), ["template-too-thick"], "12.7 is too thick");
        shop.template.thick = Mm::of(4.0);
        assert!(stops(&shop).is_empty(), "4 is not");
        shop.bits[0].reach = Some(Mm::of(53.0));
        shop.template.thick = Mm::of(3.0);
        assert_eq!(stops(&shop), ["template-too-thick"], "no template is thin enough");
    }

    #[test]
    fn a_bearing_lower_than_its_contact_is_not_used() {
        for guide in [Guide::Shank, Guide::Tip] {
            assert_eq!(
                stops(&with(guide, (25.4, 2.5))),
                ["bearing-too-low"],
                "{guide:?}"
            );
            assert!(stops(&with(guide, (25.4, 3.0))).is_empty(), "{guide:?}");
        }
    }
}

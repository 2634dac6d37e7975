//! The holdings a shop can choose among: bit and guide, station, template face; what no bit
//! may do is left out here and said.

use super::{Layer, SetUp};
use crate::diag::{Place, Problem, Problems, Source};
use crate::read::Station;
use crate::shop::{Bit, Face, Guide, Shop, defaults};

/// One way to hold bit, template and work.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Holding {
    /// The set-up it would be.
    pub(super) set_up: SetUp,
    /// The laps in depth it cuts in.
    pub(super) layers: Vec<Layer>,
    /// How far the template is set out for it, in mm; negative: set in.
    pub(super) template_offset: f64,
}

/// A width no caliper tells from another, in mm.
const SAME_WIDTH: f64 = 1e-6;

/// Every holding the shop may use; `small` where a part must not be held by hand at the table.
pub(super) fn holdings(shop: &Shop, small: bool) -> (Vec<Holding>, Problems) {
    let mut notes = Problems::new();
    if let Some(stop) = template_too_thin(shop) {
        return (Vec::new(), vec![stop]);
    }
    let stations = stations(shop, small, &mut notes);
    let faces: &[Face] =
        if shop.template.moves { &[Face::A, Face::B] } else { &[Face::A] };
    let mut all = Vec::new();
    for (index, bit) in shop.bits.iter().enumerate() {
        if let Some(stop) = eats_the_template(bit) {
            notes.push(stop);
            continue;
        }
        for &guide in &bit.guides {
            let layers = match layers(bit, guide, shop) {
                Ok(layers) => layers,
                Err(stop) => {
                    notes.push(*stop);
                    continue;
                }
            };
            for &station in &stations {
                if let Some(stop) = too_wide_by_hand(bit, station) {
                    notes.push(stop);
                    continue;
                }
                all.extend(faces.iter().map(|&template_face| Holding {
                    set_up: SetUp { template_face, bit: index, guide, station },
                    layers: layers.clone(),
                    template_offset: bit.cutter.radius() - bit.bearing.radius(),
                }));
            }
        }
    }
    (all, notes)
}

/// Where the parts may be worked; a small part goes to the hand where there is the choice.
fn stations(shop: &Shop, small: bool, notes: &mut Problems) -> Vec<Station> {
    let by_hand = shop.stations.contains(&Station::Hand);
    if !small || !shop.stations.contains(&Station::Table) {
        return shop.stations.clone();
    }
    let found = format!(
        "a part is smaller than {} mm: it is not held in the hands at the table",
        defaults::SMALL_PART.value
    );
    if by_hand {
        let hint = "it is routed by hand instead, taped or screwed to a bench piece";
        notes.push(Problem::stop("small-part-at-table", found, hint));
        return vec![Station::Hand];
    }
    let hint = format!(
        "fix it in a carrier at least {} mm long with handles, or rout it while it is still part of a larger board, hands never nearer than {} mm to the bit",
        defaults::SMALL_PART.value,
        defaults::HANDS.value
    );
    notes.push(Problem::stop("small-part-at-table", found, hint));
    shop.stations.clone()
}

/// The bearing must ride on enough of the template's edge.
fn template_too_thin(shop: &Shop) -> Option<Problem> {
    let least = defaults::BEARING_CONTACT.value;
    let thin = shop.template.thick.mm() < least;
    thin.then(|| {
        let found = format!(
            "a template {} thick does not carry a bearing",
            shop.paper.length(shop.template.thick.mm())
        );
        let hint = format!(
            "make it at least {} thick, better {}",
            shop.paper.length(least),
            shop.paper.length(defaults::TEMPLATE_THICK.value)
        );
        Problem::stop("template-too-thin", found, hint)
    })
}

/// A cutter larger than its bearing cuts into the template.
fn eats_the_template(bit: &Bit) -> Option<Problem> {
    let eats = bit.bearing.mm() + SAME_WIDTH < bit.cutter.mm();
    eats.then(|| {
        let found = format!(
            "bit {} (`{}`): the cutter is larger than its bearing and would eat the template",
            bit.number, bit.text
        );
        let hint = "put a bearing on it that is at least as wide as the cutter; the bit is left out of the plan";
        Problem::stop("cutter-over-bearing", found, hint).at(of_rack(bit))
    })
}

fn too_wide_by_hand(bit: &Bit, station: Station) -> Option<Problem> {
    let wide =
        station == Station::Hand && defaults::LARGEST_BY_HAND.value < bit.cutter.mm();
    wide.then(|| {
        let found = format!(
            "bit {} (`{}`) is wider than {} mm: no router is held by hand with it",
            bit.number,
            bit.text,
            defaults::LARGEST_BY_HAND.value
        );
        let hint = "use it at the table, or a smaller bit by hand";
        Problem::stop("bit-too-wide-by-hand", found, hint).at(of_rack(bit))
    })
}

/// The laps in depth with this guide, or why the bit is too short.
fn layers(bit: &Bit, guide: Guide, shop: &Shop) -> Result<Vec<Layer>, Box<Problem>> {
    let Some(thick) = shop.stock.thick.map(crate::units::Mm::mm) else {
        return Ok(vec![Layer { number: 1, from: 0.0, to: None, template_on: true }]);
    };
    let whole = Layer { number: 1, from: 0.0, to: Some(thick), template_on: true };
    let through = thick + defaults::PAST_FAR_FACE.value;
    let length = bit.cut_length.map_or(f64::INFINITY, crate::units::Mm::mm);
    let reach = bit.reach.map_or(f64::INFINITY, crate::units::Mm::mm);
    let too_short = |needs: String| {
        let found = format!("bit {} (`{}`) is too short: {needs}", bit.number, bit.text);
        let hint = match guide {
            Guide::Tip => {
                "a longer one, or a bit with its bearing by the shank, which can be lowered in laps; it is left out of the plan"
            }
            Guide::Shank | Guide::Bush => "a longer one; it is left out of the plan",
        };
        Err(Box::new(Problem::stop("bit-too-short", found, hint).at(of_rack(bit))))
    };
    if reach < through {
        return too_short(format!(
            "it reaches {} below the base, {} are needed",
            shop.paper.length(reach),
            shop.paper.length(through)
        ));
    }
    match guide {
        Guide::Tip if length < through => too_short(format!(
            "with its bearing at the tip it needs {} of cutter to stand through the stock",
            shop.paper.length(through)
        )),
        Guide::Tip => Ok(vec![whole]),
        Guide::Bush if reach < through + shop.template.thick.mm() => too_short(format!(
            "under the template's thickness it must reach {}",
            shop.paper.length(through + shop.template.thick.mm())
        )),
        Guide::Shank | Guide::Bush => {
            let least = defaults::BEARING_CONTACT.value + defaults::LAP_OVERLAP.value;
            let over_template = reach - shop.template.thick.mm();
            if length.min(over_template) < least.min(through) {
                return too_short(format!(
                    "a first lap takes at least {} below the template",
                    shop.paper.length(least.min(through))
                ));
            }
            Ok(laps(thick, (length, over_template), guide))
        }
    }
}

/// Laps in depth for a bit guided by the shank or a bush: each goes as deep as the cutter is
/// long, the later ones overlapping the last.
///
/// After the first a bearing by the shank lies below the template, on the routed edge: the
/// template does not guide it any more, nor do its run-ons, and comes off. A bush stays on it.
fn laps(thick: f64, (length, over_template): (f64, f64), guide: Guide) -> Vec<Layer> {
    let through = thick + defaults::PAST_FAR_FACE.value;
    let mut layers = Vec::new();
    let mut from = 0.0;
    for number in 1.. {
        let overlap = if number == 1 { 0.0 } else { defaults::LAP_OVERLAP.value };
        let deepest = from + length - overlap;
        let template_on = number == 1 || guide == Guide::Bush;
        let to = if number == 1 { deepest.min(over_template) } else { deepest };
        let last = through <= to;
        // A lap that ends level with the far face would leave nothing for the next to cut.
        let to = if last { thick } else { to.min(thick - defaults::PAST_FAR_FACE.value) };
        layers.push(Layer { number, from, to: Some(to), template_on });
        if last {
            break;
        }
        from = to;
    }
    layers
}

/// The place of a bit in the rack.
pub(super) fn of_rack(bit: &Bit) -> Place {
    Place::whole(Source::BitRack, "bits").element(format!("bit {}", bit.number))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn depths(layers: &[Layer]) -> Vec<(f64, f64, bool)> {
        layers
            .iter()
            .map(|layer| (layer.from, layer.to.expect("known"), layer.template_on))
            .collect()
    }

    /// Basis: geometry: a bit longer than the stock and 1 mm cuts it in one lap; else each lap
    /// goes as deep as the cutter is long, less 1 mm of overlap after the first.
    #[test]
    fn laps_go_as_deep_as_the_cutter_is_long() {
        let far = f64::INFINITY;
        assert_eq!(
            depths(&laps(20.0, (21.0, far), Guide::Shank)),
            vec![(0.0, 20.0, true)],
            "one lap"
        );
        assert_eq!(
            depths(&laps(20.0, (20.0, far), Guide::Shank)),
            vec![(0.0, 19.0, true), (19.0, 20.0, false)],
            "the teeth must stand 1 mm past the far face"
        );
        assert_eq!(
            depths(&laps(45.0, (25.4, far), Guide::Bush)),
            vec![(0.0, 25.4, true), (25.4, 45.0, true)],
            "a bush rides on the template in both"
        );
        assert_eq!(
            depths(&laps(45.0, (25.4, far), Guide::Shank)),
            vec![(0.0, 25.4, true), (25.4, 45.0, false)],
            "a bearing by the shank lies on the routed edge in the second"
        );
    }
}

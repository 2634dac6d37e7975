//! The holdings a shop can choose among: bit and guide, station, template face; what no bit
//! may do is left out here and said.

use super::lap::{self, Depth};
use super::light::Light;
use super::{Layer, SetUp, remark, stand};
use crate::diag::{Place, Problem, Problems, Source, Weight};
use crate::outline::Outline;
use crate::read::Station;
use crate::shop::{Bit, Face, Guide, Shop, defaults};
use crate::units::{Mm, Paper};

/// One way to hold bit, template and work.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Holding {
    /// The set-up it would be.
    pub(super) set_up: SetUp,
    /// What of the stock it cuts.
    pub(super) depth: Depth,
    /// The laps in depth it cuts in.
    pub(super) layers: Vec<Layer>,
    /// The lap with an oversize bearing that goes first, if one does.
    pub(super) light: Option<Light>,
    /// How far the template is set out for it, in mm; negative: set in.
    pub(super) template_offset: f64,
}

/// A width no caliper tells from another, in mm.
const SAME_WIDTH: f64 = 1e-6;

/// Whether the parts can be held in the hands at the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Size {
    /// They can.
    Handy,
    /// One is so small that the hands would come too near.
    Small,
    /// One is so heavy that it is hard to feed.
    Heavy,
}

impl Size {
    /// The size of these parts. A piece that goes on past the template is neither.
    pub(super) fn of(outlines: &[Outline], shop: &Shop) -> Self {
        let whole = || outlines.iter().filter(|outline| !remark::goes_on(outline));
        let is_small = |outline: &Outline| {
            let bounds = outline.loops[0].bounds();
            bounds.width().max(bounds.height()) < defaults::SMALL_PART.value
        };
        let is_heavy = |outline: &Outline| {
            let cubic_metres =
                outline.area() * shop.stock.thick.map_or(0.0, Mm::mm) * 1e-9;
            defaults::HEAVY_PART.value < cubic_metres * defaults::DENSITY.value
        };
        if whole().any(is_small) {
            Self::Small
        } else if whole().any(is_heavy) {
            Self::Heavy
        } else {
            Self::Handy
        }
    }
}

/// Every holding the shop may use for parts of this size.
pub(super) fn holdings(shop: &Shop, size: Size) -> (Vec<Holding>, Problems) {
    let mut notes = Problems::new();
    if let Some(stop) = template_too_thin(shop) {
        return (Vec::new(), vec![stop]);
    }
    let stations = stations(shop, size, &mut notes);
    let faces: &[Face] =
        if shop.template.moves { &[Face::A, Face::B] } else { &[Face::A] };
    let mut all = Vec::new();
    let mut short = Vec::new();
    for (index, bit) in shop.bits.iter().enumerate() {
        if let Some(stop) = eats_the_template(bit).or_else(|| other_template(bit, shop)) {
            notes.push(stop);
            continue;
        }
        let may_be_held =
            |station: &Station| match too_wide_by_hand(bit, *station, shop.paper) {
                Some(stop) => {
                    notes.push(stop);
                    false
                }
                None => true,
            };
        let stations: Vec<Station> =
            stations.iter().copied().filter(may_be_held).collect();
        for &guide in &bit.guides {
            if let Some(stop) = stand::stop(bit, guide, shop) {
                notes.push(stop);
                continue;
            }
            let ways = Ways { bit: index, guide, stations: &stations, faces };
            match lap::through(bit, guide, shop) {
                Ok(layers) => all.extend(ways.holdings(shop, Depth::Whole, &layers)),
                Err(stop) => short.push((ways.set_ups(), *stop)),
            }
        }
    }
    let (parted, stops) = lap::parted(shop, &all, short);
    all.extend(parted);
    notes.extend(stops);
    (all, notes)
}

/// The ways to hold one bit with one guide.
struct Ways<'a> {
    bit: usize,
    guide: Guide,
    stations: &'a [Station],
    faces: &'a [Face],
}

impl Ways<'_> {
    fn set_ups(&self) -> Vec<SetUp> {
        let Self { bit, guide, .. } = *self;
        let faces = |&station: &Station| {
            let set_up =
                move |&template_face| SetUp { template_face, bit, guide, station };
            self.faces.iter().map(set_up)
        };
        self.stations.iter().flat_map(faces).collect()
    }

    /// Each set-up as it is, and where an oversize bearing fits with a light lap first.
    ///
    /// In laps in depth the later ones ride on the routed edge: they have no light lap.
    fn holdings(&self, shop: &Shop, depth: Depth, layers: &[Layer]) -> Vec<Holding> {
        let light = Light::of(&shop.bits[self.bit], shop).filter(|_| layers.len() == 1);
        let held = |set_up| {
            let plain = Holding::new(set_up, (depth, layers.to_vec()), shop);
            let lighter = light.map(|it| Holding { light: Some(it), ..plain.clone() });
            std::iter::once(plain).chain(lighter)
        };
        self.set_ups().into_iter().flat_map(held).collect()
    }
}

impl Holding {
    /// A set-up that cuts so much of the stock in these laps.
    pub(super) fn new(
        set_up: SetUp,
        (depth, layers): (Depth, Vec<Layer>),
        shop: &Shop,
    ) -> Self {
        let bit = &shop.bits[set_up.bit];
        let template_offset = bit.template_offset();
        Self { set_up, depth, layers, light: None, template_offset }
    }
}

/// Where the parts may be worked; a small part goes to the hand where there is the choice.
fn stations(shop: &Shop, size: Size, notes: &mut Problems) -> Vec<Station> {
    let by_hand = shop.stations.contains(&Station::Hand);
    if size == Size::Handy || !shop.stations.contains(&Station::Table) {
        return shop.stations.clone();
    }
    if size == Size::Heavy {
        notes.push(heavy(by_hand));
        return if by_hand { vec![Station::Hand] } else { shop.stations.clone() };
    }
    let found = format!(
        "a part is smaller than {}: it is not held in the hands at the table",
        shop.paper.length(defaults::SMALL_PART.value)
    );
    if by_hand {
        let hint = "it is routed by hand instead, taped or screwed to a bench piece";
        notes.push(Problem::stop("small-part-at-table", found, hint));
        return vec![Station::Hand];
    }
    let hint = format!(
        "fix it in a carrier at least {} long with handles, or rout it while it is still part of a larger board, hands never nearer than {} to the bit",
        shop.paper.length(defaults::SMALL_PART.value),
        shop.paper.length(defaults::HANDS.value)
    );
    notes.push(Problem::stop("small-part-at-table", found, hint));
    shop.stations.clone()
}

fn heavy(by_hand: bool) -> Problem {
    let found = format!(
        "a part weighs more than {} kg: it is hard to feed over a table",
        defaults::HEAVY_PART.value
    );
    let hint = if by_hand {
        "it is routed by hand instead, clamped to the bench"
    } else {
        "carry it on stands of the table's height on both sides, or rout it by hand"
    };
    Problem::new("heavy-at-table", Weight::Caution, found, hint)
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

/// A template that was made for one bit guides another too near or too far.
///
/// Basis: geometry: half of what bearing or bush is wider than the cutter.
fn other_template(bit: &Bit, shop: &Shop) -> Option<Problem> {
    let made = shop.template.made_for.as_ref()?;
    let off = bit.template_offset() - made.template_offset();
    let found = format!(
        "the template was made for `{}`: bit {} (`{}`) would cut the part {} too {} on it, all round",
        made.text,
        bit.number,
        bit.text,
        shop.paper.measured(off.abs()),
        if off < 0.0 { "large" } else { "small" }
    );
    let hint = "use the bit and the bush or bearing it was made for, or make a template for this one; it is left out of the plan";
    (SAME_WIDTH < off.abs())
        .then(|| Problem::stop("template-made-for-another", found, hint).at(of_rack(bit)))
}

/// A cutter larger than its bearing cuts into the template.
fn eats_the_template(bit: &Bit) -> Option<Problem> {
    let eats = bit.bearing.mm() + SAME_WIDTH < bit.cutter.mm();
    eats.then(|| {
        let found = format!(
            "bit {} (`{}`): the cutter is larger than its bearing and would eat the template",
            bit.number, bit.text
        );
        let hint = "put a bearing on it, or a bush round it, at least as wide as the cutter; the bit is left out of the plan";
        Problem::stop("cutter-over-bearing", found, hint).at(of_rack(bit))
    })
}

fn too_wide_by_hand(bit: &Bit, station: Station, paper: Paper) -> Option<Problem> {
    let wide =
        station == Station::Hand && defaults::LARGEST_BY_HAND.value < bit.cutter.mm();
    wide.then(|| {
        let found = format!(
            "bit {} (`{}`) is wider than {}: no router is held by hand with it",
            bit.number,
            bit.text,
            paper.length(defaults::LARGEST_BY_HAND.value)
        );
        let hint = "use it at the table, or a smaller bit by hand";
        Problem::stop("bit-too-wide-by-hand", found, hint).at(of_rack(bit))
    })
}

/// The place of a bit in the rack.
pub(super) fn of_rack(bit: &Bit) -> Place {
    Place::whole(Source::BitRack, "bits").element(format!("bit {}", bit.number))
}

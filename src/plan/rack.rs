//! The rack held to a job: what each bit does there, and the one bit to buy that helps most.

use super::assemble::facts;
use super::holding::{self, Holding, Size};
use super::{HandKind, Plan, plan};
use crate::diag::{Failure, Problem, Problems};
use crate::outline::Outline;
use crate::reach::{Reach, SiteKind};
use crate::read::Role;
use crate::shop::{Bit, BitBody, Guide, Shop, defaults};
use crate::units::{Diameter, Mm, Unit};

/// What one bit of the rack does on the parts of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct BitRow {
    /// Its place in the rack, from 0.
    pub bit: usize,
    /// Why it may not be used at all, if so.
    pub stopped: Vec<Problem>,
    /// Edge to be routed, in mm, and what of it the bit touches.
    pub edge: (f64, f64),
    /// Places it does not get into: hollows, slots, necks and openings it bridges.
    pub bridges: usize,
    /// Inside corners it leaves.
    pub corners: usize,
    /// What it leaves in all those places, in mm².
    pub left: f64,
    /// In how many laps in depth it cuts at best; none where it may not be used.
    pub laps: Option<usize>,
    /// The set-ups of the plan it stands in, from 1.
    pub set_ups: Vec<usize>,
}

/// A bit to buy, flush with its bearing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Purchase {
    /// Its diameter, in mm.
    pub diameter: f64,
    /// Where its bearing is.
    pub guide: Guide,
    /// The least cutter that will do, in mm, where the stock's thickness is known.
    pub cut_length: Option<f64>,
    /// Edge by hand before and with it, in mm.
    pub by_hand: (f64, f64),
    /// Minutes at the bench before and with it; none before where there is no plan.
    pub minutes: (Option<f64>, f64),
}

/// The rack held to a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Rack {
    /// A row for each bit, in the rack's order.
    pub rows: Vec<BitRow>,
    /// The bit whose purchase would save most, if any would.
    pub purchase: Option<Purchase>,
}

/// Holds the rack to a job's parts.
///
/// # Errors
/// Refused where what a bit touches cannot be proved.
pub fn rack(outlines: &[Outline], shop: &Shop) -> Result<Rack, Failure> {
    let own = plan(outlines.to_vec(), shop).ok().map(|told| told.value);
    let rows = held(outlines, shop, own.as_ref())?;
    Ok(Rack { rows, purchase: purchase(outlines, shop, own.as_ref()) })
}

/// Holds each bit to a job's parts; `own` is the plan that its set-ups are counted in.
///
/// # Errors
/// As [`rack`].
pub fn held(
    outlines: &[Outline],
    shop: &Shop,
    own: Option<&Plan>,
) -> Result<Vec<BitRow>, Failure> {
    let (holdings, stops) = holding::holdings(shop, Size::of(outlines, shop));
    let mut rows: Vec<BitRow> = (0..shop.bits.len())
        .map(|bit| row(bit, (shop, &holdings), (&stops, own)))
        .collect();
    for indexed in outlines.iter().cloned().enumerate() {
        let part = facts(indexed, shop, &holdings, &mut Problems::new())?;
        let edges = part.guide.edges.iter().filter(|edge| edge.role == Role::Rout);
        let routed: f64 = edges.map(|edge| edge.span.length).sum();
        for row in &mut rows {
            row.edge.0 += routed;
            let touched = part.atoms.iter().filter(|atom| atom.bits[row.bit].touched);
            row.edge.1 += touched.map(|atom| atom.span.length).sum::<f64>();
            if let Some(reach) = &part.reach[row.bit] {
                row.add(reach);
            }
        }
    }
    Ok(rows)
}

fn row(
    bit: usize,
    (shop, holdings): (&Shop, &[Holding]),
    (stops, own): (&Problems, Option<&Plan>),
) -> BitRow {
    let name = format!("bit {}", shop.bits[bit].number);
    let about_it = |stop: &&Problem| {
        stop.place.as_ref().is_some_and(|place| place.element.as_ref() == Some(&name))
    };
    let held = holdings.iter().filter(|holding| holding.set_up.bit == bit);
    let set_ups = own.map_or(&[][..], |plan| &plan.set_ups);
    BitRow {
        bit,
        stopped: stops.iter().filter(about_it).cloned().collect(),
        edge: (0.0, 0.0),
        bridges: 0,
        corners: 0,
        left: 0.0,
        laps: held.map(|holding| holding.layers.len()).min(),
        set_ups: (1..)
            .zip(set_ups)
            .filter(|(_, it)| it.bit == bit)
            .map(|it| it.0)
            .collect(),
    }
}

impl BitRow {
    fn add(&mut self, reach: &Reach) {
        let corner = |kind: SiteKind| kind == SiteKind::InsideCorner;
        let corners = reach.sites.iter().filter(|site| corner(site.kind)).count();
        self.corners += corners;
        self.bridges += reach.sites.len() - corners;
        self.left +=
            reach.sites.iter().map(|site| site.area).sum::<f64>() + reach.shallow.1;
    }
}

/// The bit that would save most minutes, of those sold; of two that save alike the larger one.
fn purchase(outlines: &[Outline], shop: &Shop, own: Option<&Plan>) -> Option<Purchase> {
    let before = own.map(|plan| plan.minutes);
    let hand_before = own.map_or_else(|| all_edge(outlines), by_hand);
    let mut best: Option<Purchase> = None;
    for &diameter in sold(shop.paper.unit).iter().rev() {
        for guide in [Guide::Shank, Guide::Tip] {
            let with = bought(diameter, guide, shop)?;
            let Ok(told) = plan(outlines.to_vec(), &with) else { continue };
            let minutes = told.value.minutes;
            let bound = best.map_or(before, |best| Some(best.minutes.1));
            if bound.is_some_and(|bound| bound - LEAST_SAVED < minutes) {
                continue;
            }
            best = Some(Purchase {
                diameter,
                guide,
                cut_length: with.bits.last()?.cut_length.map(Mm::mm),
                by_hand: (hand_before, by_hand(&told.value)),
                minutes: (before, minutes),
            });
        }
    }
    best
}

/// All edge to be routed, in mm: what the hand does where there is no plan.
fn all_edge(outlines: &[Outline]) -> f64 {
    let edges = outlines.iter().flat_map(|outline| &outline.edges);
    edges.filter(|edge| edge.role == Role::Rout).map(|edge| edge.span.length).sum()
}

/// A bit that saves less is not worth buying, in minutes.
const LEAST_SAVED: f64 = defaults::LEAST_SAVED.value;

/// The widths of bits with bearings that are sold by this unit, in mm.
pub const fn sold(unit: Unit) -> &'static [f64] {
    match unit {
        Unit::Mm => &defaults::BITS_MM,
        Unit::Inch => &defaults::BITS_INCH,
    }
}

/// The shop with one bit more.
fn bought(diameter: f64, guide: Guide, shop: &Shop) -> Option<Shop> {
    let through = |thick: Mm| Mm::of(thick.mm() + super::lap::past(shop));
    let cutter = Diameter::new(Mm::of(diameter))?;
    let bit = Bit {
        number: shop.bits.len() + 1,
        text: format!(
            "{} with its bearing at the {}",
            shop.paper.length(diameter),
            guide.word()
        ),
        cutter,
        bearing: cutter,
        guides: vec![guide],
        cut_length: shop.stock.thick.map(through),
        reach: None,
        marked_speed: None,
        body: BitBody::default(),
    };
    let mut with = shop.clone();
    with.bits.push(bit);
    Some(with)
}

/// Edge a plan leaves to the hand as stretches, in mm.
fn by_hand(plan: &Plan) -> f64 {
    let stretches = plan.hand.iter().filter(|work| work.kind == HandKind::Stretch);
    stretches.flat_map(|work| &work.spans).fold(0.0, |sum, span| sum + span.length)
}

#[cfg(test)]
mod tests {
    use super::super::shapes::{apron, polygon, shop};
    use super::*;

    const NOTCHED: [(f64, f64); 6] = [
        (0.0, 0.0),
        (400.0, 0.0),
        (400.0, 200.0),
        (200.0, 200.0),
        (200.0, 400.0),
        (0.0, 400.0),
    ];

    /// Basis: geometry: one square corner: r²(1 - π/4) is left, and r of each wall.
    #[test]
    fn each_bit_says_what_it_leaves() {
        let part = polygon(&NOTCHED, &[Role::Rout; 6]);
        let mut shop = shop(0.0, &[12.7, 6.35, 19.05]);
        shop.bits[2].reach = Some(Mm::of(15.0));
        shop.bits[2].cut_length = Some(Mm::of(15.0));
        shop.bits[1].cut_length = Some(Mm::of(12.0));
        let rack = rack(&[part], &shop).expect("it can be held to the job");
        let [half, quarter, long] = rack.rows.as_slice() else { panic!("{rack:?}") };
        assert_eq!((half.corners, half.bridges, half.laps), (1, 0, Some(1)), "{half:?}");
        assert!((half.left - 8.653).abs() < 1e-3, "8.653 mm²: {}", half.left);
        assert!((half.edge.0 - 1600.0).abs() < 1e-6, "all round: {:?}", half.edge);
        assert!((half.edge.1 - 1587.3).abs() < 1e-6, "less 6.35 twice: {:?}", half.edge);
        assert_eq!(quarter.laps, Some(2), "12 mm of cutter in 20 mm: two laps");
        assert!((quarter.left - 8.653 / 4.0).abs() < 1e-3, "a quarter: {}", quarter.left);
        assert_eq!((long.stopped.len(), long.laps), (1, None), "too short: {long:?}");
        assert_eq!(quarter.set_ups, [1], "it touches most, so it does it all");
    }

    /// Basis: geometry: an arch is downhill one way with the bearing by the shank, the other
    /// way with it at the tip.
    #[test]
    fn half_an_arch_by_hand_wants_the_other_bearing_end() {
        let rack = rack(&[apron()], &shop(0.0, &[12.7])).expect("it can be held to it");
        let buy = rack.purchase.expect("there is something to save");
        assert_eq!((buy.guide, buy.cut_length), (Guide::Tip, Some(21.0)), "{buy:?}");
        assert!((buy.diameter - 19.0).abs() < 1e-9, "the largest that serves: {buy:?}");
        // From 5 degrees uphill on to the end, which is asin(240 / 840.357) = 16.594 degrees.
        let half = 840.357 * (16.594_f64 - 5.0).to_radians();
        assert!((buy.by_hand.0 - half).abs() < 0.05, "the uphill half: {buy:?}");
        assert!(buy.by_hand.1 < 1e-6, "all of it: {buy:?}");
        assert!(buy.minutes.1 < buy.minutes.0.expect("there was a plan"), "{buy:?}");
    }

    #[test]
    fn a_rack_that_does_it_all_needs_nothing() {
        let square =
            polygon(&[(0.0, 0.0), (400.0, 0.0), (400.0, 300.0)], &[Role::Rout; 3]);
        let rack = rack(&[square], &shop(0.0, &[12.7])).expect("it can be held to it");
        assert!(rack.rows[0].edge.1 > 0.0, "it touches: {rack:?}");
        let all = polygon(
            &[(0.0, 0.0), (400.0, 0.0), (400.0, 300.0), (0.0, 300.0)],
            &[Role::Rout; 4],
        );
        let rack =
            super::rack(&[all], &shop(0.0, &[12.7])).expect("it can be held to it");
        assert_eq!(rack.purchase, None, "one lap right round");
    }
}

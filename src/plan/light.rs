//! The light lap: an oversize bearing all round first, then the flush one, so that neither lap
//! meets all the waste.
//!
//! All by geometry: on a template of the part's own size a bearing wider than the cutter keeps
//! it off the line by half of what it is wider, everywhere it rides.

use super::engage::Curvature;
use crate::diag::Failure;
use crate::geom::Span;
use crate::outline::Outline;
use crate::reach::{self, Radii, SiteKind};
use crate::shop::{Bit, Guide, Shop, defaults};
use crate::units::Diameter;

/// A first lap with an oversize bearing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Light {
    /// The bearing.
    pub(super) bearing: Diameter,
    /// What it leaves for the flush lap, in mm.
    pub(super) leaves: f64,
}

/// A width no caliper tells from another, in mm.
const SAME: f64 = 1e-6;

impl Light {
    /// The oversize bearing of a bit that shares the waste most evenly between the two laps.
    ///
    /// Never one smaller than the flush bearing: what it leaves is more than nothing.
    pub(super) fn of(bit: &Bit, shop: &Shop) -> Option<Self> {
        let flush = (bit.bearing.mm() - bit.cutter.mm()).abs() < SAME;
        if !flush || bit.guides.contains(&Guide::Bush) {
            return None;
        }
        let leave = shop.leave.mm();
        let uneven = |light: &Self| (light.leaves - leave / 2.0).abs();
        bit.body
            .bearings
            .iter()
            .map(|&bearing| Self {
                bearing,
                leaves: bearing.radius() - bit.bearing.radius(),
            })
            .filter(|it| defaults::LEAST_WASTE.value <= it.leaves && it.leaves < leave)
            .min_by(|a, b| uneven(a).total_cmp(&uneven(b)))
    }

    /// Where the oversize bearing rides on the edge; nowhere on a loop with a narrow place that
    /// it does not get past.
    pub(super) fn rides(
        self,
        bit: &Bit,
        guide: &Outline,
        shop: &Shop,
    ) -> Result<Vec<Span>, Failure> {
        let mill = shop.machine.as_ref().map_or(0.0, |it| it.end_mill.radius());
        let disc = (bit.cutter.radius() + self.leaves).max(mill);
        let radii = Radii { bearing: disc, cutter: disc };
        let mut reach = reach::reach(guide, radii, shop.paper)?;
        let narrow = reach.sites.iter().filter(|site| match site.kind {
            SiteKind::Neck | SiteKind::Junction | SiteKind::Opening => true,
            SiteKind::InsideCorner | SiteKind::Hollow | SiteKind::Slot => false,
        });
        let shut: Vec<usize> =
            narrow.flat_map(|site| site.walls.iter().map(|wall| wall.on)).collect();
        reach.touched.retain(|span| !shut.contains(&span.on));
        Ok(reach.touched)
    }

    /// What the light lap and the flush one meet of this waste, each as waste and the curve of
    /// the edge it leaves.
    pub(super) fn shared(self, waste: f64, edge: Curvature) -> [(f64, Curvature); 2] {
        let first = (waste - self.leaves).max(0.0);
        [(first, edge.set_out(self.leaves)), (waste - first, edge)]
    }
}

#[cfg(test)]
mod tests {
    use super::super::engage;
    use super::super::shapes::shop;
    use super::*;
    use crate::units::Mm;

    fn across(mm: f64) -> Diameter {
        Diameter::new(Mm::of(mm)).expect("it has a width")
    }

    /// Basis: geometry: a bearing of 14.3 on a cutter of 12.7 leaves 0.8 everywhere.
    #[test]
    fn the_bearing_that_halves_the_waste_is_taken() {
        let mut shop = shop(0.0, &[12.7]);
        let light = |shop: &Shop| Light::of(&shop.bits[0], shop);
        shop.bits[0].body.bearings = vec![across(12.7), across(15.2), across(14.3)];
        let taken = light(&shop).expect("one fits");
        assert!((taken.leaves - 0.8).abs() < 1e-9, "{taken:?}");
        shop.bits[0].body.bearings = vec![across(11.0), across(12.7), across(19.0)];
        assert_eq!(light(&shop), None, "none smaller, none that leaves all the waste");
        shop.bits[0].body.bearings = vec![across(14.3)];
        shop.bits[0].bearing = across(14.3);
        assert_eq!(light(&shop), None, "the last lap would not be flush");
    }

    /// Basis: geometry: 1/16 in of waste in a hollow of 1.25 radii is 97.2 degrees in one lap;
    /// in two neither comes near that.
    #[test]
    fn in_a_tight_hollow_neither_lap_meets_it_all() {
        let light = Light { bearing: across(14.3), leaves: 0.8 };
        let hollow = Curvature::Hollow(1.25 * 6.35);
        let laps = light.shared(1.5875, hollow);
        let psi = laps.map(|(waste, edge)| engage::angle(waste, 6.35, edge));
        assert!((laps[0].0 + laps[1].0 - 1.5875).abs() < 1e-9, "all of it");
        assert!(psi.iter().all(|&it| it < 97.0), "{psi:?}");
        let end_grain = light.shared(0.8, Curvature::Straight);
        assert!(end_grain[0].0.abs() < 1e-9, "nothing is left for the first lap");
    }
}

//! The oversize bearing all round first, then the flush one, where one lap would be heavy.

use super::ROUT;
use super::outlines::{BOTH, guided, planned, rectangle};
use crate::geom::{Piece, Point};
use crate::outline::Outline;
use crate::plan::shapes::{outline, shop};
use crate::plan::{Lap, Plan};
use crate::shop::{Shop, defaults};
use crate::units::{Diameter, Mm};

/// A board with a hollow of this radius let into its far side, 80 degrees of it.
fn scooped(radius: f64) -> Outline {
    let at = Point::new;
    let half = 40_f64.to_radians();
    let (across, up) = (radius * libm::sin(half), radius * libm::cos(half));
    let (right, left) = (at(200.0 + across, 320.0), at(200.0 - across, 320.0));
    let centre = at(200.0, 320.0 + up);
    let pieces = vec![
        Piece::line(at(0.0, 0.0), at(400.0, 0.0)),
        Piece::line(at(400.0, 0.0), at(400.0, 320.0)),
        Piece::line(at(400.0, 320.0), right),
        Piece::Arc { from: right, to: left, centre, sweep: -2.0 * half },
        Piece::line(left, at(0.0, 320.0)),
        Piece::line(at(0.0, 320.0), at(0.0, 0.0)),
    ];
    outline(pieces, &[ROUT; 6])
}

/// A half-inch bit with both bearings, on which a 14.3 one fits too: it leaves 0.8.
fn rack() -> Shop {
    let mut rack = guided(shop(0.0, &[12.7]), &[BOTH]);
    rack.bits[0].body.bearings =
        vec![Diameter::new(Mm::of(14.3)).expect("it has a width")];
    rack
}

/// Its flush bearing.
const FLUSH: f64 = 12.7;

fn most(plan: &Plan) -> f64 {
    let contacts = plan.passes.iter().flat_map(|pass| &pass.contact);
    contacts.map(|contact| contact.psi).fold(0.0, f64::max)
}

/// Basis: geometry: with 1/16 in of waste the half-inch bit stands 84.0 degrees in wood in a
/// hollow of 8.5; with 0.7875 of it in one of 7.7, 70.8; with the last 0.8, 58.3.
#[test]
fn a_heavy_lap_is_shared_by_two_bearings() {
    let mut plain = rack();
    plain.bits[0].body.bearings.clear();
    let one = planned(scooped(8.5), &plain);
    assert!((most(&one) - 84.0).abs() < 0.1, "in one lap: {}", most(&one));
    assert!(0.0 < one.cost.care, "care is due");

    let two = planned(scooped(8.5), &rack());
    assert!((most(&two) - 70.8).abs() < 0.1, "in two: {}", most(&two));
    assert!(two.cost.care.abs() < 1e-9, "no care is due: {:?}", two.cost);
    assert!(one.cost.minutes < two.cost.minutes, "it takes longer, and it is counted");
    for set_up in 0..two.set_ups.len() {
        let own: Vec<_> = two.passes.iter().filter(|it| it.set_up == set_up).collect();
        let light: Vec<bool> =
            own.iter().map(|pass| matches!(pass.lap, Lap::Light(_))).collect();
        assert!(
            light.is_sorted_by(|a, b| a >= b),
            "all round before the flush: {light:?}"
        );
        for pass in own {
            let oversize = pass.bearing.mm() - FLUSH;
            match pass.lap {
                Lap::Light(leaves) => assert!((oversize / 2.0 - leaves).abs() < 1e-9),
                Lap::Only | Lap::Flush(_) => assert!(oversize.abs() < 1e-9, "flush"),
            }
        }
    }
    assert!(
        two.passes.iter().any(|pass| matches!(pass.lap, Lap::Light(_))),
        "it is planned"
    );
}

/// Basis: geometry: what both laps take together is what is left for the router, everywhere.
#[test]
fn both_laps_together_take_all_the_waste() {
    let plan = planned(scooped(8.5), &rack());
    let straight = |lap: fn(&Lap) -> bool| -> Vec<f64> {
        let own = plan.passes.iter().filter(|pass| lap(&pass.lap));
        own.flat_map(|pass| &pass.contact).map(|contact| contact.waste).collect()
    };
    let first = straight(|lap| matches!(lap, Lap::Light(_)));
    let second = straight(|lap| matches!(lap, Lap::Flush(_)));
    let has = |all: &[f64], waste: f64| all.iter().any(|it| (it - waste).abs() < 1e-9);
    assert!(has(&first, 0.7875) && has(&second, 0.8), "{first:?} {second:?}");
    assert!(first.iter().chain(&second).all(|waste| *waste <= 1.5875), "never more");
}

/// Basis: geometry: a bearing of 14.3 bridges a hollow of 7: all the waste waits for the flush
/// lap there, so that the light one helps nothing, and is not made.
#[test]
fn an_oversize_bearing_that_bridges_the_hollow_is_of_no_use() {
    let plan = planned(scooped(7.0), &rack());
    assert!(plan.passes.iter().all(|pass| pass.lap == Lap::Only), "{:?}", plan.passes);
}

#[test]
fn a_light_waste_has_one_lap() {
    let plan = planned(rectangle(400.0, 320.0), &rack());
    assert!(plan.passes.iter().all(|pass| pass.lap == Lap::Only), "41 degrees");
    assert!(most(&plan) < defaults::ENGAGEMENT_CAUTION.value, "no care is due");
}

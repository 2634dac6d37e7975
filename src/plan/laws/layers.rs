//! Thick stock that no bit gets through.

use super::outlines::{SHANK, TIP, guided, ids, planned, rectangle, slope};
use crate::grain::Band;
use crate::plan::shapes::shop;
use crate::plan::{DoneBy, HandKind, Plan, Reason, RidesOn, Start};
use crate::shop::{Face, Guide, Shop};
use crate::units::Mm;

/// Stock of 70, a bit by the shank that reaches 55, one at the tip with 38.1 of cutter.
fn thick() -> Shop {
    let mut shop = guided(shop(0.0, &[12.7, 12.7]), &[SHANK, TIP]);
    shop.stock.thick = Some(Mm::of(70.0));
    shop.template.thick = Mm::of(4.0);
    for (bit, (length, reach)) in shop.bits.iter_mut().zip([(50.8, 55.0), (38.1, 71.0)]) {
        (bit.cut_length, bit.reach) = (Some(Mm::of(length)), Some(Mm::of(reach)));
    }
    shop
}

fn lower(plan: &Plan) -> Vec<(Band, DoneBy, Reason)> {
    let stretches = plan.stretches.iter();
    stretches
        .map(|it| {
            let lower = it.lower.as_ref().expect("every stretch has two layers");
            assert!(
                (lower.from - 55.0).abs() < 1e-9,
                "as deep as the bit gets: {lower:?}"
            );
            (it.band, lower.done_by, lower.why.clone())
        })
        .collect()
}

/// Basis: geometry: along the grain and on end grain both ways are alike, so that both layers
/// of a rectangle are routed, the lower one turned over.
#[test]
fn square_to_the_grain_both_layers_are_routed() {
    let plan = planned(rectangle(400.0, 320.0), &thick());
    assert!(plan.stretches.iter().all(|it| !it.is_by_hand()), "all of it");
    let guides: Vec<Guide> = plan.set_ups.iter().map(|it| it.guide).collect();
    assert_eq!(guides, [Guide::Shank, Guide::Tip], "the upper layer first");
    let faces: Vec<Face> = plan.set_ups.iter().map(|it| it.face_up()).collect();
    assert_eq!(faces, [Face::A, Face::B], "then turned over");
    let laps: Vec<_> = plan.passes.iter().map(|pass| pass.layer).collect();
    let depths: Vec<_> =
        laps.iter().map(|lap| (lap.from, lap.to, lap.template_on)).collect();
    let last = (55.0, Some(70.0), false);
    assert_eq!(depths, [(0.0, Some(50.8), true), (50.8, Some(55.0), false), last]);
    assert!(ids(&plan).contains(&"two-layers"), "and it is said: {:?}", ids(&plan));
    assert!(
        lower(&plan).iter().all(|(_, by, _)| *by == DoneBy::Pass(3)),
        "the last pass"
    );
}

/// Basis: geometry: turned over, the tooth runs the other way: what is downhill above is
/// uphill below, always, and the plan names it.
#[test]
fn the_lower_layer_of_a_slope_is_uphill_and_named() {
    let plan = planned(slope(20.0), &thick());
    let uphill = (Band::Downhill, DoneBy::Hand, Reason::LayerUphill);
    assert_eq!(lower(&plan), [uphill], "the upper layer is routed, the lower planed");
    assert_eq!(plan.stretches[0].done_by, DoneBy::Pass(2), "in two laps");
    let note =
        plan.notes.iter().find(|note| note.id == "layer-uphill").expect("it is said");
    assert!(
        note.found.contains("stretch A, from 55 mm to 70 mm"),
        "which: {}",
        note.found
    );
    assert!(note.hint.contains("71 mm below the base"), "what would: {}", note.hint);
    assert!(note.hint.contains("16 mm of cutter"), "or: {}", note.hint);
    let [work] = plan.hand.as_slice() else { panic!("{:?}", plan.hand) };
    assert_eq!(work.kind, HandKind::Stretch, "one layer of one stretch");
    assert_eq!(work.rides_on, RidesOn::Stretch(0), "on its own upper layer");
    assert!(work.how[0].contains("below 55 mm from face A"), "{:?}", work.how);
}

/// Basis: geometry: the template on the other face and a tip bearing that reaches through keep
/// the motor on its side.
#[test]
fn with_the_template_on_the_other_face_the_lower_layer_is_routed_too() {
    let mut shop = thick();
    shop.template.moves = true;
    let plan = planned(slope(20.0), &shop);
    assert!(
        plan.stretches.iter().all(|it| !it.is_by_hand()),
        "all of it: {:?}",
        plan.stretches
    );
    let faces: Vec<Face> = plan.set_ups.iter().map(|it| it.template_face).collect();
    assert_eq!(faces, [Face::A, Face::B], "the template moves");
    assert!(
        plan.set_ups.iter().all(|it| it.motor_face() == Face::A),
        "the motor does not"
    );
    assert_eq!(plan.passes[2].start.0, Start::RunOn, "it rides on the template again");
    assert_eq!(plan.passes[2].layer.to, Some(15.0), "measured from face B");
}

/// Where a bit with the motor on a face gets through, nothing is cut in layers from there.
#[test]
fn a_longer_bit_cuts_right_through() {
    let mut shop = thick();
    shop.bits[0].reach = Some(Mm::of(71.0));
    let plan = planned(slope(20.0), &shop);
    assert!(plan.stretches.iter().all(|it| it.lower.is_none()), "{:?}", plan.stretches);
}

/// Basis: geometry: a bearing of 14.3 on a cutter of 12.7 leaves 0.8.
#[test]
fn an_oversize_bearing_gives_a_light_lap_first() {
    let mut shop = shop(0.0, &[12.7, 12.7]);
    shop.bits[1].bearing =
        crate::units::Diameter::new(Mm::of(14.3)).expect("it has a width");
    let plan = planned(rectangle(400.0, 320.0), &shop);
    let note = plan.notes.iter().find(|note| note.id == "lighter-lap-first");
    let found = &note.expect("it is said").found;
    assert!(found.contains("bit 2") && found.contains("0.8 mm"), "{found}");
}

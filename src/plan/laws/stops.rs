//! The hard stops, each by name, and what is refused.

use super::ROUT;
use super::outlines::{
    BOTH, SHANK, TIP, at_table, disc, guided, holed, ids, notched, planned, rectangle,
    refused, slope, slotted, stops,
};
use crate::diag::Weight;
use crate::geom::{Piece, Point};
use crate::grain::Band;
use crate::plan::shapes::{outline, polygon, shop, sides};
use crate::plan::{Feed, Reason};
use crate::read::{Role, Station};
use crate::units::{Diameter, Mm};

#[test]
fn stop_1_no_pass_climbs() {
    for degrees in [-7.0, 5.0, 12.0] {
        let shop = guided(shop(0.0, &[12.7]), &[BOTH]);
        let plan = planned(slope(degrees), &at_table(shop));
        assert!(plan.passes.iter().all(|it| it.feed == Feed::Conventional), "{degrees}");
    }
}

#[test]
fn stop_2_too_much_waste_is_sawn_closer() {
    let mut much = shop(0.0, &[6.0]);
    much.leave = Mm::of(3.0);
    let plan = planned(rectangle(400.0, 320.0), &much);
    assert!(stops(&plan).contains(&"leave-held-down"), "{:?}", plan.notes);
    assert!(plan.saw.iter().all(|line| line.leave <= 1.5 + 1e-9), "a quarter of 6 mm");
}

#[test]
fn stop_3_bearing_template_and_cutter_must_fit() {
    let mut eats = shop(0.0, &[12.7]);
    eats.bits[0].bearing = Diameter::new(Mm::of(12.0)).expect("more than zero");
    assert!(
        refused(notched(), &eats).contains(&"cutter-over-bearing"),
        "too small a bearing"
    );
    let mut thin = shop(0.0, &[12.7]);
    thin.template.thick = Mm::of(2.0);
    assert!(
        refused(notched(), &thin).contains(&"template-too-thin"),
        "too thin a template"
    );
    let mut short = guided(shop(0.0, &[12.7, 12.7]), &[TIP, SHANK]);
    short.bits[0].cut_length = Some(Mm::of(20.0));
    let plan = planned(notched(), &short);
    assert!(stops(&plan).contains(&"bit-too-short"), "20 mm of cutter in 20 mm stock");
    assert!(plan.set_ups.iter().all(|it| it.bit == 1), "the other bit does it");
}

#[test]
fn stop_4_starts_and_exits_are_safe() {
    for degrees in [0.0, 17.0, 30.0, 45.0, 60.0, 90.0, 120.0, 163.0] {
        for rack in [SHANK, TIP, BOTH] {
            let by_hand = guided(shop(degrees, &[12.7]), &[rack]);
            for outline in [notched(), rectangle(400.0, 320.0), holed(40.0), disc(160.0)]
            {
                planned(outline.clone(), &by_hand);
                planned(outline, &at_table(by_hand.clone()));
            }
        }
    }
}

/// Basis: geometry: an opening between D and D and twice the waste wide.
#[test]
fn stop_5_wood_never_stands_on_both_sides() {
    for (width, stopped) in [(12.7, true), (14.0, true), (15.8, true), (16.0, false)] {
        let plan = planned(slotted(width), &shop(90.0, &[12.7]));
        let walls: f64 = plan
            .stretches
            .iter()
            .filter(|it| it.why == Reason::WoodOnBothSides && it.band == Band::Along)
            .map(|it| it.span.length)
            .sum();
        assert_eq!(stops(&plan).contains(&"wood-on-both-sides"), stopped, "{width}");
        let expected = if stopped { 2.0 * 33.65 } else { 0.0 };
        assert!((walls - expected).abs() < 0.02, "both walls of {width}: {walls}");
        let touched =
            plan.stretches.iter().filter(|it| it.why == Reason::WoodOnBothSides);
        assert!(
            touched.into_iter().all(|it| it.touched),
            "touched all the same: {width}"
        );
    }
    let hole = planned(holed(7.0), &shop(0.0, &[12.7]));
    assert!(hole.passes.iter().all(|pass| pass.span.on == 0), "not in a 14 mm hole");
}

#[test]
fn stop_6_no_wide_bit_is_held_by_hand() {
    let wide = shop(0.0, &[38.0]);
    let ids = refused(rectangle(400.0, 320.0), &wide);
    assert!(ids.contains(&"bit-too-wide-by-hand"), "{ids:?}");
    let plan = planned(rectangle(400.0, 320.0), &at_table(wide));
    assert_eq!(plan.set_ups[0].station, Station::Table, "at the table it may");
}

#[test]
fn stop_8_no_bit_is_set_down_in_wood() {
    let plan = planned(holed(7.2), &shop(0.0, &[12.7]));
    assert!(stops(&plan).contains(&"no-entry"), "0.85 mm of room: {:?}", ids(&plan));
    assert!(plan.passes.iter().all(|pass| pass.span.on == 0), "only the outside");
}

#[test]
fn stop_9_a_small_part_is_not_held_at_the_table() {
    let mut either = shop(0.0, &[12.7]);
    either.stations = vec![Station::Table, Station::Hand];
    let plan = planned(notched(), &either);
    assert!(plan.set_ups.iter().all(|it| it.station == Station::Hand), "by hand instead");
    assert!(stops(&plan).contains(&"small-part-at-table"), "and it is said");
    assert!(ids(&plan).contains(&"base-over-part"), "taped down, with strips");
    let only = planned(notched(), &at_table(shop(0.0, &[12.7])));
    let note = only.notes.iter().find(|note| note.id == "small-part-at-table");
    assert!(note.expect("it is said").hint.contains("carrier"), "in a carrier");
}

/// Basis: from memory: a point sharper than 60 degrees cannot be backed.
#[test]
fn stop_10_end_grain_does_not_run_off_over_a_point() {
    let wedge = polygon(&[(0.0, 0.0), (300.0, 0.0), (300.0, 150.0)], &[ROUT; 3]);
    let plan = planned(wedge, &shop(0.0, &[12.7]));
    let end = plan.stretches.iter().filter(|it| it.band == Band::EndGrain);
    let by_hand: Vec<_> = end.filter(|it| it.why == Reason::CannotBeBacked).collect();
    assert!(by_hand.is_empty(), "a corner of 63 degrees is backed: {by_hand:?}");
    let sharp = polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 250.0)], &[ROUT; 3]);
    let plan = planned(sharp, &shop(0.0, &[12.7]));
    // The last 25 mm before the point; what of it is no wider than 12 mm is short grain too.
    let by_hand = plan.stretches.iter().filter(|it| it.band == Band::EndGrain);
    let by_hand: Vec<_> = by_hand.filter(|it| it.is_by_hand()).collect();
    let length: f64 = by_hand.iter().map(|it| it.span.length).sum();
    assert!(25.0 - 1e-6 < length, "{by_hand:?}");
    let blunt = polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 83.9)], &[ROUT; 3]);
    let plan = planned(blunt, &shop(0.0, &[12.7]));
    let reasons: Vec<_> = plan.stretches.iter().map(|it| it.why.clone()).collect();
    assert!(reasons.contains(&Reason::CannotBeBacked), "50 degrees: {reasons:?}");
    assert!(stops(&plan).contains(&"point-not-backed"), "{:?}", ids(&plan));
}

/// Basis: geometry: a 12.7 mm bit in a hollow of 7.5 mm with 1/16 in of waste is at 117
/// degrees; 1.447 mm of waste bring it to 110.
#[test]
fn a_hollow_too_tight_for_the_waste_says_how_much_to_leave() {
    let at = Point::new;
    let (foot, centre) = (at(207.5, 60.0), at(207.5, 67.5));
    let arc = Piece::arc_about(centre, foot, -std::f64::consts::FRAC_PI_2);
    let mut pieces = sides(&[(0.0, 0.0), (320.0, 0.0), (320.0, 60.0)]);
    pieces.truncate(2);
    let (far, left) = (at(200.0, 200.0), at(0.0, 200.0));
    pieces.extend([
        Piece::line(at(320.0, 60.0), foot),
        arc,
        Piece::line(arc.to(), far),
        Piece::line(far, left),
        Piece::line(left, at(0.0, 0.0)),
    ]);
    let plan =
        planned(outline(pieces, &[ROUT; 7]), &guided(shop(30.0, &[12.7]), &[BOTH]));
    let stop: Vec<_> =
        plan.notes.iter().filter(|note| note.id == "too-much-engagement").collect();
    assert_eq!(stop.len(), 1, "said once: {:?}", plan.notes);
    assert_eq!(stop[0].weight, Weight::Stop, "a stop");
    assert!(stop[0].hint.contains("1.45 mm"), "to what: {}", stop[0].hint);
    let end = plan.stretches.iter().find(|it| it.why == Reason::EndGrainInHollow);
    assert!(end.is_some(), "its end grain goes to the hand");
}

#[test]
fn where_no_edge_is_routed_there_is_no_plan() {
    let kept = polygon(&[(0.0, 0.0), (90.0, 0.0), (0.0, 90.0)], &[Role::TrueAlready; 3]);
    assert!(refused(kept, &shop(0.0, &[12.7])).contains(&"nothing-to-rout"), "no edge");
    let uphill = refused(slope(-7.0), &guided(shop(0.0, &[12.7]), &[SHANK]));
    assert!(uphill.contains(&"edge-left-to-hand"), "uphill only: {uphill:?}");
}

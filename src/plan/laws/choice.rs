//! What wins, and what a plan looks like.

use super::outlines::{
    BOTH, SHANK, at_table, disc, guided, holed, ids, notched, planned, rectangle, slope,
};
use crate::geom::{Loop, Point};
use crate::grain::Band;
use crate::plan::shapes::{apron, shop};
use crate::plan::{DoneBy, Exit, HandKind, Reason, Start};
use crate::reach::SiteKind;
use crate::shop::{Face, Guide, Shop};
use crate::units::{Diameter, Mm};

/// Basis: geometry. With the motor on face A an edge that falls to the grain along the walk
/// is downhill: the first set-up routs it. The other slope wants the other bearing end.
#[test]
fn one_slope_wants_the_shank_the_other_the_tip() {
    let rack = || guided(shop(0.0, &[12.7]), &[BOTH]);
    let first = planned(slope(20.0), &rack());
    assert_eq!(first.set_ups.len(), 1, "one set-up");
    assert_eq!(first.set_ups[0].guide, Guide::Shank, "the first wins");
    let second = planned(slope(-7.0), &rack());
    assert_eq!(second.set_ups.len(), 1, "one set-up");
    assert_eq!(second.set_ups[0].guide, Guide::Tip, "the second wins");
}

/// Basis: geometry. A hollow runs downhill into it from both ends.
#[test]
fn an_arch_needs_both_and_they_meet_in_the_middle() {
    let both = planned(apron(), &guided(shop(0.0, &[12.7]), &[BOTH]));
    assert_eq!(both.set_ups.len(), 2, "both set-ups");
    assert_eq!(both.passes.len(), 2, "one pass each");
    for pass in &both.passes {
        assert_eq!(pass.start.0, Start::RunOn, "it starts off the wood: {pass:?}");
        let past_middle = (pass.exit.1.x - 300.0).abs();
        assert!((past_middle - 12.0).abs() < 0.1, "12 mm past the middle: {past_middle}");
    }
    let middle = both.stretches.iter().filter(|it| it.band == Band::Along).count();
    assert_eq!(middle, 2, "the middle is parted where it runs along the grain");
}

#[test]
fn an_arch_with_one_bearing_end_says_what_would_save_the_plane() {
    let one = planned(apron(), &guided(shop(0.0, &[12.7]), &[SHANK]));
    let by_hand: Vec<_> =
        one.stretches.iter().filter(|it| it.done_by == DoneBy::Hand).collect();
    assert_eq!(by_hand.len(), 1, "the uphill side");
    assert_eq!(by_hand[0].why, Reason::UphillEverywhere, "why");
    let note = one.notes.iter().find(|note| note.id == "uphill-left-to-hand");
    let hint = &note.expect("it is said").hint;
    assert!(hint.contains("bearing at the tip"), "what to buy: {hint}");
    assert!(hint.contains("--template-moves"), "or what to allow: {hint}");
    let mut moved = guided(shop(0.0, &[12.7]), &[SHANK]);
    moved.template.moves = true;
    let moved = planned(apron(), &moved);
    assert!(moved.stretches.iter().all(|it| it.done_by != DoneBy::Hand), "all routed");
    let faces: Vec<Face> = moved.set_ups.iter().map(|it| it.template_face).collect();
    assert!(
        faces.contains(&Face::A) && faces.contains(&Face::B),
        "both faces: {faces:?}"
    );
}

#[test]
fn a_disc_is_four_quadrants_by_hand_and_at_the_table() {
    for shop in [
        guided(shop(90.0, &[12.7]), &[BOTH]),
        at_table(guided(shop(90.0, &[12.7]), &[BOTH])),
    ] {
        let plan = planned(disc(200.0), &shop);
        assert_eq!((plan.set_ups.len(), plan.passes.len()), (2, 4), "two and two");
        assert!(plan.stretches.iter().all(|it| it.done_by != DoneBy::Hand), "all routed");
        for pass in &plan.passes {
            let s = f64::from(plan.set_ups[pass.set_up].s());
            for &index in &pass.stretches {
                let phi = plan.stretches[index].phi;
                assert!(-0.2 < s * f64::midpoint(phi.0, phi.1), "downhill: {pass:?}");
            }
        }
    }
}

/// Basis: geometry: with the grain along a side, a square is along and end grain all round.
#[test]
fn a_loop_that_can_be_cut_whole_is_one_lap_begun_before_an_end() {
    let plan = planned(notched(), &shop(0.0, &[12.7]));
    assert_eq!(plan.passes.len(), 1, "one lap");
    let lap = &plan.passes[0];
    assert!(lap.closed, "right round");
    assert_eq!(lap.start, (Start::BeforeCorner, Point::new(75.0, 0.0)), "the star");
    assert_eq!(lap.exit.0, Exit::Closed, "it closes");
    let untouched: f64 =
        plan.stretches.iter().filter(|it| !it.touched).map(|it| it.span.length).sum();
    assert!((untouched - 12.7).abs() < 1e-6, "the corner's two sides: {untouched}");
}

#[test]
fn openings_come_first_and_are_entered_through_a_hole() {
    let plan = planned(holed(40.0), &guided(shop(0.0, &[12.7]), &[BOTH]));
    let mut outside_seen = [false; 2];
    for pass in &plan.passes {
        if pass.span.on == 0 {
            outside_seen[pass.set_up] = true;
        } else {
            assert!(!outside_seen[pass.set_up], "the opening first: {pass:?}");
            assert_eq!(pass.why, Reason::OpeningFirst, "and why");
        }
    }
    assert!(ids(&plan).contains(&"entry-hole"), "{:?}", ids(&plan));
}

#[test]
fn thick_stock_is_cut_in_laps_with_the_template_off_below() {
    let mut thick = shop(0.0, &[12.7]);
    thick.stock.thick = Some(Mm::of(45.0));
    thick.bits[0].cut_length = Some(Mm::of(25.4));
    thick.bits[0].reach = None;
    let plan = planned(rectangle(400.0, 320.0), &thick);
    let note = plan.notes.iter().find(|note| note.id == "least-reach");
    let said = &note.expect("it is said").found;
    assert!(said.contains("46 mm below the base"), "through and 1 mm: {said}");
    let laps: Vec<_> = plan.passes.iter().map(|pass| pass.layer).collect();
    assert_eq!(laps.len(), 2, "two laps: {laps:?}");
    assert!(laps[0].template_on && !laps[1].template_on, "{laps:?}");
    assert_eq!(laps[1].to, Some(45.0), "through");
    assert!(
        plan.stretches.iter().all(|it| it.done_by == DoneBy::Pass(2)),
        "done by the last"
    );
}

/// Basis: geometry: the template is set in by half of what the bush is wider than the bit.
#[test]
fn a_guide_bush_sets_the_template_in() {
    let mut bush = guided(shop(0.0, &[6.35]), &[&[Guide::Bush]]);
    bush.bits[0].bearing = Diameter::new(Mm::of(12.7)).expect("more than zero");
    let plan = planned(rectangle(400.0, 320.0), &bush);
    assert!((plan.parts[0].template_offset + 3.175).abs() < 1e-12, "set in");
    let template: f64 = plan.parts[0].template.iter().map(Loop::area).sum();
    assert!((template - 393.65 * 313.65).abs() < 1e-6, "{template}");
    assert!(ids(&plan).contains(&"corners-lost"), "{:?}", ids(&plan));
}

fn milled(across: f64) -> Shop {
    let mut shop = shop(0.0, &[12.7]);
    shop.machine = Some(crate::shop::Machine::new(
        Diameter::new(Mm::of(across)).expect("it has a width"),
    ));
    shop
}

/// Basis: geometry: a corner of 90° that a radius of 12.5 rounds is `12.5 (√2 − 1)` deep
/// and 12.5 along each side.
#[test]
fn the_end_mill_rounds_the_corner_of_a_notch() {
    for (across, depth, side) in [(25.0, 5.178, 12.5), (6.0, 2.630, 6.35)] {
        let shop = milled(across);
        let plan = planned(notched(), &shop);
        let corner = plan
            .hand
            .iter()
            .find(|work| work.kind == HandKind::Site(SiteKind::InsideCorner))
            .expect("the corner is listed");
        assert!((corner.depth - depth).abs() < 1e-3, "{across}: {}", corner.depth);
        for &found in &corner.sides {
            assert!((found - side).abs() < 1e-3, "{across}: {found}");
        }
        let said = plan.notes.iter().any(|it| it.id == "mill-wider-than-bearing");
        assert_eq!(said, 12.7 < across, "{across}: the caution");
    }
}

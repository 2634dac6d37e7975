//! Rules and failures that stand in print or are common practice, each as a case with what the plan must say.

use super::ROUT;
use super::outlines::{
    BOTH, SHANK, TIP, at_table, disc, guided, ids, planned, rectangle, refused, stops,
};
use crate::diag::Failure;
use crate::geom::{Piece, Point};
use crate::grain::Band;
use crate::outline::Outline;
use crate::plan::shapes::{apron, circle, outline, outlines, polygon, shop};
use crate::plan::{DoneBy, Exit, Feed, Plan, Reason};
use crate::read::Role;
use crate::shop::{Shop, defaults};
use crate::units::Mm;
use std::f64::consts::PI;

/// The signs of the tooth's angle in the four quadrants of a round or oval part, counted from
/// its right counter-clockwise, as the passes cut them.
fn cut_downhill(plan: &Plan) {
    for stretch in &plan.stretches {
        let DoneBy::Pass(number) = stretch.done_by else {
            panic!("all routed: {stretch:?}")
        };
        let s = f64::from(plan.set_ups[plan.passes[number - 1].set_up].s());
        let middle = s * f64::midpoint(stretch.phi.0, stretch.phi.1);
        let uphill = (-70.0..=-5.0).contains(&middle);
        assert!(!uphill, "never uphill: {stretch:?}");
    }
}

/// Where a part's edge faces, by the middle of a stretch: its quadrant round the origin.
fn quadrant(plan: &Plan, index: usize) -> usize {
    let stretch = &plan.stretches[index];
    let ring = &plan.parts[stretch.part].guide.loops[stretch.span.on];
    let at = ring.at(stretch.span.from + stretch.span.length / 2.0);
    match (0.0 < at.x, 0.0 < at.y) {
        (true, true) => 0,
        (false, true) => 1,
        (false, false) => 2,
        (true, false) => 3,
    }
}

/// An oval of many short chords.
fn oval(a: f64, b: f64) -> Outline {
    let points: Vec<(f64, f64)> = (0..720)
        .map(|i| f64::from(i) * PI / 360.0)
        .map(|turn| (a * libm::cos(turn), b * libm::sin(turn)))
        .collect();
    polygon(&points, &[ROUT; 720])
}

/// Basis: published: WOOD, "Reverse routing tames tear-out", woodmagazine.com: a round piece,
/// the grain from 12 to 6, at the router table: fed the usual way from 9 to 12 and from 3 to 6,
/// seen from above; the other two quadrants need the other way. Here those two are cut in the
/// other set-up. Any oval has the same quadrants (geometry).
#[test]
fn the_quadrants_of_a_disc_and_an_oval() {
    for part in [disc(200.0), oval(220.0, 160.0)] {
        for at_the_table in [true, false] {
            let mut rack = guided(shop(90.0, &[12.7]), &[BOTH]);
            if at_the_table {
                rack = at_table(rack);
            }
            let plan = planned(part.clone(), &rack);
            cut_downhill(&plan);
            for (index, stretch) in plan.stretches.iter().enumerate() {
                if stretch.band != Band::Downhill && stretch.band != Band::Uphill {
                    continue;
                }
                let DoneBy::Pass(number) = stretch.done_by else { panic!("routed") };
                let set_up = plan.set_ups[plan.passes[number - 1].set_up];
                // The first and the third quadrant want the motor on face A: walked
                // counter-clockwise the tooth falls away from the grain there.
                let first_or_third = quadrant(&plan, index).is_multiple_of(2);
                assert_eq!(0 < set_up.s(), first_or_third, "{stretch:?}");
            }
        }
    }
}

/// Basis: published: WOOD, "How do I avoid tearout", woodmagazine.com: end grain first, then
/// long grain, whose cut takes off the break-out.
#[test]
fn ends_come_before_long_grain() {
    for degrees in [0.0, 12.0, 30.0, 75.0] {
        let plan =
            planned(rectangle(400.0, 320.0), &guided(shop(degrees, &[12.7]), &[BOTH]));
        for set_up in 0..plan.set_ups.len() {
            let own = plan.passes.iter().filter(|pass| pass.set_up == set_up);
            let ends: Vec<bool> = own
                .map(|pass| {
                    let bands = pass.stretches.iter().map(|&it| plan.stretches[it].band);
                    bands.into_iter().any(|band| band == Band::EndGrain)
                })
                .collect();
            assert!(ends.is_sorted_by(|a, b| a >= b), "{degrees}: {ends:?}");
        }
    }
}

/// Basis: published: `ShopNotes`, "Routing end grain": a scrap at least as thick as the work
/// behind the exit.
#[test]
fn an_exit_at_a_corner_is_backed() {
    let kept = Role::TrueAlready;
    let points = [(0.0, 0.0), (400.0, 0.0), (400.0, 320.0), (0.0, 320.0)];
    let plan = planned(polygon(&points, &[kept, ROUT, kept, kept]), &shop(0.0, &[12.7]));
    let [pass] = plan.passes.as_slice() else { panic!("one end: {:?}", plan.passes) };
    assert_eq!(pass.backers.len(), 1, "its exit is backed: {pass:?}");
    assert!(matches!(pass.exit.0, Exit::RunOn | Exit::Backer), "{pass:?}");
}

/// Basis: common practice, no source: 1/16 in of waste; published: WOOD, "A template means never
/// having to say oops", woodmagazine.com: 1/8 in at most.
#[test]
fn a_sixteenth_is_left_and_never_over_an_eighth() {
    let plan = planned(rectangle(400.0, 320.0), &shop(45.0, &[12.7]));
    for line in &plan.saw {
        assert!((line.leave - 25.4 / 16.0).abs() < 1e-9, "1/16 in: {}", line.leave);
    }
    let mut much = shop(45.0, &[19.05]);
    much.leave = Mm::of(5.0);
    let plan = planned(rectangle(400.0, 320.0), &much);
    assert!(plan.saw.iter().all(|line| line.leave <= 25.4 / 8.0), "at most 1/8 in");
    assert!(stops(&plan).contains(&"leave-held-down"), "and it is said");
}

/// Basis: published: WOOD, "Avoid chip-out when pattern routing", woodmagazine.com: 1/16 to
/// 1/32 in (the fraction is hard to read in our copy) where the edge runs steep to the grain.
#[test]
fn less_is_left_where_the_edge_is_steep_to_the_grain() {
    let steep = polygon(&[(0.0, 0.0), (300.0, 0.0), (100.0, 346.4)], &[ROUT; 3]);
    let plan = planned(steep, &guided(shop(0.0, &[12.7]), &[BOTH]));
    let contact = plan.passes.iter().flat_map(|pass| &pass.contact);
    let wastes: Vec<f64> = contact.map(|contact| contact.waste).collect();
    assert!(wastes.iter().any(|waste| (waste - 0.8).abs() < 1e-9), "{wastes:?}");
}

/// Basis: common practice, no source: the cutting edge slightly longer than the work is thick.
#[test]
fn a_cutter_no_longer_than_the_work_is_not_used() {
    let with = |length: f64| {
        let mut shop = guided(shop(0.0, &[12.7]), &[TIP]);
        shop.bits[0].cut_length = Some(Mm::of(length));
        shop
    };
    assert!(refused(rectangle(400.0, 320.0), &with(20.0)).contains(&"bit-too-short"));
    assert_eq!(
        planned(rectangle(400.0, 320.0), &with(21.0)).passes.len(),
        1,
        "1 mm more"
    );
}

/// Basis: published: Maxwell, "Routing with a flip", Canadian Home Workshop: with a bearing at
/// either end the part is turned over where the grain turns contrary.
#[test]
fn a_bit_with_two_bearings_is_flipped_where_the_grain_turns() {
    let plan = planned(apron(), &guided(shop(0.0, &[12.7]), &[BOTH]));
    let s: Vec<i8> = plan.set_ups.iter().map(|set_up| set_up.s()).collect();
    assert_eq!(s.iter().sum::<i8>(), 0, "one each way: {s:?}");
    let up: Vec<_> = plan.set_ups.iter().map(|set_up| set_up.face_up()).collect();
    assert_ne!(up[0], up[1], "turned over");
    cut_downhill(&plan);
}

/// Basis: published: Popular Woodworking, 2022: small parts are routed on the larger board and
/// cut free after; common practice, no source: nothing under 12 in is held in the hands.
#[test]
fn a_small_part_at_the_table_stays_on_its_board() {
    let plan = planned(rectangle(200.0, 120.0), &at_table(shop(0.0, &[12.7])));
    let stop = plan.notes.iter().find(|note| note.id == "small-part-at-table");
    assert!(
        stop.expect("a hard stop").hint.contains("part of a larger board"),
        "{stop:?}"
    );
    let large = planned(rectangle(305.0, 120.0), &at_table(shop(0.0, &[12.7])));
    assert!(!stops(&large).contains(&"small-part-at-table"), "12 in is enough");
}

/// A paddle's end: a half disc on a handle, only the round edge routed, grain along it.
fn paddle() -> Outline {
    let at = Point::new;
    let round = Piece::arc_about(at(0.0, 0.0), at(90.0, 0.0), PI);
    let kept = Role::TrueAlready;
    let pieces = vec![
        round,
        Piece::line(round.to(), at(-90.0, -400.0)),
        Piece::line(at(-90.0, -400.0), at(90.0, -400.0)),
        Piece::line(at(90.0, -400.0), at(90.0, 0.0)),
    ];
    outline(pieces, &[ROUT, kept, kept, kept])
}

/// Failure (common practice, no source): a paddle's round end in walnut at the table: one side
/// went with the grain, the other kicked back. The plan: one quadrant, the other with the
/// pattern on the other side.
#[test]
fn failure_a_paddle_end_that_kicked_back() {
    let one = at_table(guided(shop(90.0, &[12.7]), &[SHANK]));
    let plan = planned(paddle(), &one);
    let uphill = plan.stretches.iter().filter(|it| it.why == Reason::UphillEverywhere);
    let left: f64 = uphill.map(|it| it.span.length).sum();
    // From 5 to 70 degrees of a quarter circle of 90.
    assert!((left - 90.0 * 65_f64.to_radians()).abs() < 0.1, "not routed: {left}");
    let mut moves = one;
    moves.template.moves = true;
    let plan = planned(paddle(), &moves);
    assert!(plan.stretches.iter().all(|it| !it.is_by_hand()), "with the pattern moved");
    assert_ne!(
        plan.set_ups[0].template_face, plan.set_ups[1].template_face,
        "both faces"
    );
}

/// Failure (common practice, no source): an arched apron at the table tore in its second half.
/// The advice: stop just past the middle, move the template to the other face.
#[test]
fn failure_an_apron_that_tore_in_its_second_half() {
    let mut rack = at_table(guided(shop(0.0, &[12.7]), &[SHANK]));
    rack.template.moves = true;
    let plan = planned(apron(), &rack);
    for pass in &plan.passes {
        let past = (pass.exit.1.x - 300.0).abs();
        assert!((past - defaults::OVERLAP.value).abs() < 0.1, "12 mm past: {past}");
    }
}

/// Failure (common practice, no source): a base plate's ends rounded to the bit's own size
/// grabbed and split, whichever way. The plan: nothing of it uphill, little waste on the end
/// grain, and the ends are not run off unheld.
#[test]
fn failure_a_round_end_that_split() {
    let at = Point::new;
    let end = Piece::arc_about(at(387.3, 12.7), at(387.3, 0.0), PI);
    let other = Piece::arc_about(at(12.7, 12.7), at(12.7, 25.4), PI);
    let pieces = vec![
        Piece::line(other.to(), at(387.3, 0.0)),
        end,
        Piece::line(end.to(), at(12.7, 25.4)),
        other,
    ];
    let plan = planned(outline(pieces, &[ROUT; 4]), &guided(shop(0.0, &[12.7]), &[BOTH]));
    for pass in &plan.passes {
        for contact in pass.contact.iter().filter(|contact| 0.85 < contact.waste) {
            let stretch =
                plan.stretches.iter().find(|it| it.span.from <= contact.span.from);
            assert!(
                stretch.is_some_and(|it| it.band != Band::EndGrain) || contact.psi < 75.0
            );
        }
    }
    assert!(
        plan.stretches.iter().any(|it| it.band == Band::EndGrain),
        "it has end grain"
    );
}

/// Failure (common practice, no source): a ring handle 3/4 in thick and wide, 3/4 in bit, 1/8
/// in of waste, broke twice in the short grain. The plan marks both necks and leaves less.
#[test]
fn failure_a_ring_handle_that_broke() {
    let round = |radius: f64, turn: f64| circle(Point::new(0.0, 0.0), radius, turn);
    let ring =
        outlines(vec![(round(57.15, 1.0), &[ROUT; 2]), (round(38.1, -1.0), &[ROUT; 2])]);
    let mut shop = guided(shop(0.0, &[19.05]), &[BOTH]);
    shop.stock.thick = Some(Mm::of(19.05));
    shop.leave = Mm::of(25.4 / 8.0);
    let plan = planned(ring, &shop);
    let bad = plan.short_grain.iter().filter(|place| place.marks == 2 && !place.tip);
    assert!(4 <= bad.count(), "both necks, inside and out: {:?}", plan.short_grain);
    assert!(ids(&plan).contains(&"short-grain"), "a support: {:?}", ids(&plan));
    assert!(stops(&plan).contains(&"leave-held-down"), "and less waste");
}

/// Failure (common practice, no source): a 6 mm ear in pine caught and broke off. The plan
/// leaves it to the hand.
#[test]
fn failure_an_ear_that_broke_off() {
    let points = [
        (0.0, 0.0),
        (400.0, 0.0),
        (400.0, 100.0),
        (206.0, 100.0),
        (206.0, 125.0),
        (200.0, 125.0),
        (200.0, 100.0),
        (0.0, 100.0),
    ];
    let plan =
        planned(polygon(&points, &[ROUT; 8]), &guided(shop(0.0, &[12.7]), &[BOTH]));
    assert!(stops(&plan).contains(&"short-grain-by-hand"), "{:?}", ids(&plan));
    let ring = &plan.parts[0].guide.loops[0];
    for pass in &plan.passes {
        for &index in &pass.stretches {
            let span = plan.stretches[index].span;
            let at = ring.at(span.from + span.length / 2.0);
            let on_the_ear = 199.0 < at.x && at.x < 207.0 && 101.0 < at.y;
            assert!(!on_the_ear, "no router on the ear: {:?}", plan.stretches[index]);
        }
    }
}

/// Failure (common practice, no source): cherry end grain with a half-inch bit: torn from the
/// hands, split in three. The plan leaves 0.8 mm on it and holds a small piece in a carrier.
#[test]
fn failure_end_grain_torn_from_the_hands() {
    let kept = Role::TrueAlready;
    let points = [(0.0, 0.0), (200.0, 0.0), (200.0, 150.0), (0.0, 150.0)];
    let part = polygon(&points, &[kept, ROUT, kept, kept]);
    let plan = planned(part, &at_table(shop(0.0, &[12.7])));
    assert!(plan.saw.iter().all(|line| line.leave <= 0.8), "{:?}", plan.saw);
    assert!(stops(&plan).contains(&"small-part-at-table"), "{:?}", ids(&plan));
    assert!(plan.passes.iter().all(|pass| !pass.backers.is_empty()), "backed");
}

/// A heavy part is not fed over a table where the person can rout by hand.
#[test]
fn a_heavy_part_is_routed_by_hand() {
    let mut either: Shop = shop(0.0, &[12.7]);
    either.stations = vec![crate::read::Station::Table, crate::read::Station::Hand];
    either.stock.thick = Some(Mm::of(60.0));
    let slab =
        || polygon(&[(0.0, 0.0), (700.0, 0.0), (700.0, 110.0), (0.0, 110.0)], &[ROUT; 4]);
    // 0.7 × 0.11 × 0.06 m at 700 kg/m³ is 3.2 kg.
    let plan = planned(slab(), &either);
    assert!(plan.set_ups.iter().all(|it| it.station == crate::read::Station::Hand));
    assert!(ids(&plan).contains(&"heavy-at-table"), "{:?}", ids(&plan));
    either.stock.thick = Some(Mm::of(20.0));
    let plan = planned(slab(), &either);
    assert!(plan.set_ups.iter().all(|it| it.station == crate::read::Station::Table));
}

/// A template for a bush guides no bit with a flush bearing.
#[test]
fn a_template_for_one_offset_is_not_used_with_another() {
    let mut rack =
        guided(shop(0.0, &[6.35, 12.7]), &[&[crate::shop::Guide::Bush], SHANK]);
    rack.bits[0].bearing =
        crate::units::Diameter::new(Mm::of(12.7)).expect("it has a width");
    let plan = planned(rectangle(400.0, 320.0), &rack);
    let note = plan.notes.iter().find(|note| note.id == "template-for-one-offset");
    assert!(note.is_some(), "it is said: {:?}", ids(&plan));
}

/// Basis: from memory. The worst stretch is tried on an offcut first.
#[test]
fn the_worst_stretch_is_tried_first() {
    let plan = planned(rectangle(400.0, 320.0), &guided(shop(10.0, &[12.7]), &[BOTH]));
    let note =
        plan.notes.iter().find(|note| note.id == "trial-first").expect("it is said");
    let worst = &plan.stretches[plan.trial.expect("there is one")];
    assert!(note.found.contains(&worst.name), "{}", note.found);
    assert_eq!(worst.band, Band::EndGrain, "of along, downhill and end grain: {worst:?}");
}

/// Basis: published: Woodworker's Journal, Winter 2010: break-out at the exit corner, which it
/// forestalls by a short climb cut of about 1/2 in. The plan climbs nowhere: a backer stands at
/// that very corner.
#[test]
fn the_exit_corner_is_backed_and_not_climbed() {
    let kept = Role::TrueAlready;
    let points = [(0.0, 0.0), (400.0, 0.0), (400.0, 320.0), (0.0, 320.0)];
    for (guide, corner) in [(SHANK, (400.0, 320.0)), (TIP, (400.0, 0.0))] {
        let part = polygon(&points, &[kept, ROUT, kept, kept]);
        let plan = planned(part, &guided(shop(0.0, &[12.7]), &[guide]));
        let [pass] = plan.passes.as_slice() else { panic!("one end: {:?}", plan.passes) };
        assert_eq!(pass.feed, Feed::Conventional, "no climb");
        let [backer] = pass.backers.as_slice() else { panic!("one: {pass:?}") };
        assert!(backer.distance(Point::new(corner.0, corner.1)) < 1e-6, "{backer:?}");
    }
}

/// Basis: published: WOOD, "Avoid chip-out when pattern routing", woodmagazine.com: up-cut
/// spirals at the table, down-cut ones by hand.
#[test]
fn a_spiral_that_pushes_the_wrong_way_is_told() {
    for (text, by_hand, told) in [
        ("1/2in spiral up-cut pattern", true, true),
        ("1/2in spiral down-cut pattern", true, false),
        ("1/2in spiral down-cut pattern", false, true),
        ("1/2in spiral up-cut pattern", false, false),
        ("1/2in pattern", true, false),
    ] {
        let mut rack = shop(0.0, &[12.7]);
        text.clone_into(&mut rack.bits[0].text);
        let rack = if by_hand { rack } else { at_table(rack) };
        let plan = planned(rectangle(400.0, 320.0), &rack);
        assert_eq!(
            ids(&plan).contains(&"wrong-twist"),
            told,
            "{text}, by hand: {by_hand}"
        );
    }
}

/// Basis: common practice, no source: where the bandsaw cannot follow, the waste is filed or
/// sanded closer before the tight radius is routed.
#[test]
fn where_the_saw_cannot_follow_the_waste_is_taken_down_first() {
    let at = Point::new;
    let hollow = Piece::arc_about(at(200.0, 320.0), at(212.0, 320.0), -PI);
    let pieces = vec![
        Piece::line(at(0.0, 0.0), at(400.0, 0.0)),
        Piece::line(at(400.0, 0.0), at(400.0, 320.0)),
        Piece::line(at(400.0, 320.0), at(212.0, 320.0)),
        hollow,
        Piece::line(hollow.to(), at(0.0, 320.0)),
        Piece::line(at(0.0, 320.0), at(0.0, 0.0)),
    ];
    let plan = planned(outline(pieces, &[ROUT; 6]), &shop(0.0, &[12.7]));
    let words: Vec<&str> = plan.prepare.iter().map(|step| step.task.word()).collect();
    let place = |word: &str| words.iter().position(|it| *it == word).expect(word);
    assert!(place("saw outside") < place("take down"), "{words:?}");
    assert!(place("take down") < place("template back"), "{words:?}");
}

/// Basis: common practice, no source: thick work is routed part of its depth off the
/// template, which then comes off; the bearing follows the fresh face.
#[test]
fn thick_work_is_routed_in_stages() {
    let mut rack = shop(0.0, &[12.7]);
    rack.stock.thick = Some(Mm::of(45.0));
    rack.bits[0].cut_length = Some(Mm::of(25.4));
    let plan = planned(rectangle(400.0, 320.0), &rack);
    let laps: Vec<_> = plan.passes.iter().map(|pass| pass.layer).collect();
    let [first, second] = laps.as_slice() else { panic!("two stages: {laps:?}") };
    assert!(first.template_on && !second.template_on, "{laps:?}");
    assert_eq!((first.to, second.to), (Some(25.4), Some(45.0)), "{laps:?}");
    // The bearing lies right above the teeth: on the face that the first lap left.
    assert!(second.from <= 25.4 && defaults::BEARING_CONTACT.value < second.from);
}

/// A template that is there already is used with no bit of another offset.
#[test]
fn a_bush_other_than_the_template_was_made_for_is_left_out() {
    let across =
        |mm: f64| crate::units::Diameter::new(Mm::of(mm)).expect("it has a width");
    let mut rack =
        guided(shop(0.0, &[6.35, 12.7]), &[&[crate::shop::Guide::Bush], SHANK]);
    rack.bits[0].bearing = across(12.7);
    let mut made = rack.bits[0].clone();
    made.bearing = across(15.875);
    rack.template.made_for = Some(made);
    let refused = refused(rectangle(400.0, 320.0), &rack);
    let count = refused.iter().filter(|id| **id == "template-made-for-another").count();
    assert_eq!(count, 2, "neither fits: {refused:?}");
    rack.bits[0].bearing = across(15.875);
    let plan = planned(rectangle(400.0, 320.0), &rack);
    assert!(plan.set_ups.iter().all(|it| it.bit == 0), "the bush it was made for");
    assert!(stops(&plan).contains(&"template-made-for-another"), "the other is left out");
}

/// Lengths in what is said are in the job's own unit.
#[test]
fn nothing_said_of_an_inch_job_is_in_millimetres() {
    let mut rack = at_table(guided(shop(0.0, &[12.7, 38.1]), &[SHANK, TIP]));
    rack.paper = crate::units::Paper { unit: crate::units::Unit::Inch, fraction: 32 };
    rack.stations.push(crate::read::Station::Hand);
    let one_side = {
        let kept = Role::TrueAlready;
        let points = [(0.0, 0.0), (200.0, 0.0), (200.0, 60.0), (0.0, 132.8)];
        polygon(&points, &[kept, kept, ROUT, kept])
    };
    rack.stock.thick = None;
    let mut said: Vec<crate::diag::Problem> =
        planned(rectangle(250.0, 120.0), &rack).notes;
    rack.bits.truncate(1);
    match crate::plan::plan(vec![one_side], &rack) {
        Err(Failure::Refused(problems)) => said.extend(problems),
        other => panic!("uphill, so refused: {other:?}"),
    }
    let found: Vec<&str> = said.iter().map(|one| one.id).collect();
    for id in ["small-part-at-table", "bit-too-wide-by-hand", "edge-left-to-hand"] {
        assert!(found.contains(&id), "{id} in {found:?}");
    }
    for one in said {
        let words = format!("{} {} {}", one.found, one.expected, one.hint);
        assert!(!words.contains(" mm"), "{words}");
    }
}

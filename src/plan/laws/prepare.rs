//! What is done between the marked blank and the first pass.

use super::ROUT;
use super::outlines::{SHANK, TIP, at_table, guided, holed, planned, rectangle};
use crate::plan::shapes::{apron, outlines, shop, sides};
use crate::plan::{Fastening, Plan, Seat, Task, Under};
use crate::read::Extra;
use crate::units::{Diameter, Mm};

fn words(plan: &Plan) -> Vec<&'static str> {
    plan.prepare.iter().map(|step| step.task.word()).collect()
}

fn back(plan: &Plan) -> (Seat, Fastening) {
    let found = plan.prepare.iter().find_map(|step| match step.task {
        Task::TemplateBack(seat, fastening) => Some((seat, fastening)),
        _ => None,
    });
    found.expect("the template goes back")
}

/// A board with an opening 30 wide and 110 long, square at its ends.
fn slotted(wide: f64) -> crate::outline::Outline {
    let board = sides(&[(0.0, 0.0), (400.0, 0.0), (400.0, 320.0), (0.0, 320.0)]);
    let slot = sides(&[
        (100.0, 100.0),
        (100.0, 100.0 + wide),
        (210.0, 100.0 + wide),
        (210.0, 100.0),
    ]);
    outlines(vec![(board, &[ROUT; 4]), (slot, &[ROUT; 4])])
}

/// Basis: from memory (the order); geometry: the hole clears the turning bit by 1 mm all round
/// and stays inside the line.
#[test]
fn openings_are_bored_and_sawn_before_the_outside() {
    let plan = planned(slotted(30.0), &shop(0.0, &[12.7]));
    assert_eq!(
        words(&plan),
        [
            "align",
            "trace",
            "template off",
            "bore",
            "saw opening",
            "saw outside",
            "template back"
        ]
    );
    let Task::Bore { at, wide, .. } = plan.prepare[3].task else { panic!("the hole") };
    assert!((wide - 15.0).abs() < 1e-9, "12.7 and 2, the next drill up: {wide}");
    let ring = &plan.parts[0].guide.loops[1];
    let far = ring.at(ring.nearest(at)).distance(at);
    assert!(wide / 2.0 <= far, "inside the line: {far}");
    let numbers: Vec<usize> = plan.prepare.iter().map(|step| step.number).collect();
    assert_eq!(numbers, [1, 2, 3, 4, 5, 6, 7], "in order");
}

/// A round hole that is drilled wide enough needs no other.
#[test]
fn a_drilled_opening_lets_the_bit_in() {
    let plan = planned(holed(15.0), &shop(0.0, &[12.7]));
    assert!(!words(&plan).contains(&"bore"), "26 of drill: {:?}", words(&plan));
}

/// Basis: from memory: an opening wider than half a base of 150 lets it tip, by hand alone. The
/// filler leaves the bit and 5 mm all round: 100 - 2 (12.7 + 5) is 64.6.
#[test]
fn a_wide_opening_gets_a_filler_by_hand() {
    let filler = |plan: &Plan| {
        plan.prepare.iter().find_map(|step| match step.task {
            Task::Fill { wide, under, .. } => Some((wide, under)),
            _ => None,
        })
    };
    let by_hand =
        |guides| filler(&planned(slotted(100.0), &guided(shop(0.0, &[12.7]), &[guides])));
    assert_eq!(
        by_hand(SHANK),
        Some((64.0, Under::Template)),
        "the base is on the template"
    );
    assert_eq!(by_hand(TIP), Some((64.0, Under::Part)), "the base is on the part");
    assert_eq!(filler(&planned(slotted(100.0), &at_table(shop(0.0, &[12.7])))), None);
    let narrow = planned(slotted(70.0), &shop(0.0, &[12.7]));
    assert_eq!(filler(&narrow), None, "half a base is 75");
}

/// Basis: geometry. An opening 45 wide round two sides of a square of 200 has wood where the
/// middle of its box is: no filler goes there, and nothing says so.
#[test]
fn no_filler_is_fixed_where_the_parts_wood_is() {
    let board = sides(&[(0.0, 0.0), (400.0, 0.0), (400.0, 320.0), (0.0, 320.0)]);
    let angle = sides(&[
        (100.0, 60.0),
        (100.0, 260.0),
        (145.0, 260.0),
        (145.0, 105.0),
        (300.0, 105.0),
        (300.0, 60.0),
    ]);
    let board = outlines(vec![(board, &[ROUT; 4]), (angle, &[ROUT; 6])]);
    let plan = planned(board, &shop(0.0, &[12.7]));
    assert!(!words(&plan).contains(&"fill"), "{:?}", words(&plan));
    let note = plan.notes.iter().find(|note| note.id == "support-in-opening");
    let hint = &note.expect("a base tips into it all the same").hint;
    assert!(hint.contains("clear of the bit") && !hint.contains("middle"), "{hint}");
}

/// Basis: from memory (the figures); common practice, no source (the kinds).
#[test]
fn tape_screws_or_pins_by_rule() {
    let plain = shop(0.0, &[12.7]);
    let whole = |shop| back(&planned(rectangle(400.0, 320.0), shop));
    assert_eq!(whole(&plain), (Seat::Inside, Fastening::Tape), "every edge is routed");
    assert_eq!(back(&planned(apron(), &plain)).0, Seat::TrueEdge, "a true edge");
    let mut moves = plain.clone();
    moves.template.moves = true;
    assert_eq!(whole(&moves).1, Fastening::Tape, "it may, and does not");
    assert_eq!(back(&planned(apron(), &moves)).1, Fastening::PinsToMove);
    assert_eq!(
        words(&planned(apron(), &moves))[1],
        "pins",
        "drilled before anything moves"
    );
    let mut thin = plain.clone();
    thin.template.thick = Mm::of(4.0);
    assert_eq!(whole(&thin).1, Fastening::ScrewsForThin);
    let small = planned(rectangle(110.0, 80.0), &plain);
    assert_eq!(back(&small).1, Fastening::ScrewsForArea, "88 square centimetres");
    let mut pinned = plain.clone();
    let diameter = Diameter::new(Mm::of(6.0)).expect("it has a width");
    let at = crate::geom::Point::new(50.0, 50.0);
    pinned.template.extras = vec![Extra::Pin { at, diameter }];
    assert_eq!(whole(&pinned).1, Fastening::Pins);
}

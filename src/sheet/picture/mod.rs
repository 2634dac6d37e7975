//! The pictures: one a set-up, as the person sees it, and those of the saw line, the corners
//! and the template's sizes.
//!
//! Every arrow is drawn from the tooth's way on face A and then seen on the face that is up;
//! no direction is ever taken from a word.

mod canvas;

mod care;

mod layout;

mod made;

mod edges;

pub(super) mod key;

mod saw;

mod moves;

mod sizes;

mod words;

use super::phrase;
use crate::draw::{Scene, svg};
use crate::plan::Plan;
use crate::shop::{Face, Machine, Shop};
pub(super) use moves::way_along_walk;

use canvas::Canvas;

/// The picture of one set-up, by its index, as SVG.
pub fn picture(plan: &Plan, shop: &Shop, at: usize, id: &str) -> String {
    svg(&set_up(plan, shop, at, id))
}

/// The picture of one set-up, by its index.
pub(super) fn set_up(plan: &Plan, shop: &Shop, set_up: usize, id: &str) -> Scene {
    let holding = &plan.set_ups[set_up];
    let title = words::title(plan, shop, set_up, id);
    let solid = shop.machine.as_ref().filter(|machine| machine.cuts_part());
    let small = moves::small_things(plan, set_up, solid);
    let mut canvas = Canvas::new(plan, &title.heading, holding.face_up(), &small);
    edges::hand_bands(&mut canvas);
    moves::backers(&mut canvas, set_up);
    edges::edges(&mut canvas, shop.paper);
    saw::saw_line(&mut canvas);
    edges::routed(&mut canvas, set_up);
    canvas.insets();
    sizes::overall(&mut canvas, shop.paper);
    sizes::names(&mut canvas);
    starts_and_ends(&mut canvas, set_up, solid);
    moves::arrows(&mut canvas, set_up);
    sizes::grain(&mut canvas, shop.stock.grain);
    sizes::references(&mut canvas, shop.reference);
    edges::hand_numbers(&mut canvas);
    let signs = care::short_grain(&mut canvas);
    care::contact(&mut canvas, set_up);
    edges::letters(&mut canvas, set_up);
    if let Some(machine) = solid {
        moves::feeds(&mut canvas);
        care::reliefs(&mut canvas, machine);
    }
    edges::keep(&mut canvas);
    edges::run_ons(&mut canvas);
    canvas.inset_words();
    care::notes(&mut canvas, &signs);
    words::notes(&mut canvas, set_up, shop);
    canvas.finish(&title, shop.paper)
}

/// The picture of the whole job, so wide and high, to stand among text: every stretch has its
/// letter, and the first set-up its stars and arrows, as the person sees them.
pub(super) fn whole(plan: &Plan, shop: &Shop, size: (f64, f64)) -> Scene {
    let solid = shop.machine.as_ref().filter(|machine| machine.cuts_part());
    let mut canvas = Canvas::alone(plan, plan.set_ups[0].face_up(), size);
    edges::hand_bands(&mut canvas);
    moves::backers(&mut canvas, 0);
    edges::edges(&mut canvas, shop.paper);
    edges::routed(&mut canvas, 0);
    sizes::overall(&mut canvas, shop.paper);
    sizes::names(&mut canvas);
    starts_and_ends(&mut canvas, 0, solid);
    moves::arrows(&mut canvas, 0);
    sizes::grain(&mut canvas, shop.stock.grain);
    sizes::references(&mut canvas, shop.reference);
    edges::hand_numbers(&mut canvas);
    care::short_grain(&mut canvas);
    edges::letters_with_room(&mut canvas);
    edges::keep(&mut canvas);
    if let Some(machine) = solid {
        moves::feeds(&mut canvas);
        care::reliefs(&mut canvas, machine);
    }
    let words = if plan.set_ups.len() < 2 {
        "NOT TO SCALE. Top of the page: far side of the bench."
    } else {
        "NOT TO SCALE. Top of the page: far side of the bench. Arrows and stars are those of set-up 1 ONLY."
    };
    let hand = if shop.sheets.left_handed { " Left-handed: NOT mirrored." } else { "" };
    canvas.finish_alone(&format!("{words}{hand}"))
}

/// Where passes start and end, or where the runs of a part that the machine cuts give way to each
/// other.
fn starts_and_ends(canvas: &mut Canvas<'_>, set_up: usize, solid: Option<&Machine>) {
    if solid.is_none() {
        moves::stars_and_ends(canvas, set_up);
    } else {
        moves::bars(canvas);
    }
}

/// The picture of an exercise on face A: letters, and nothing that would tell the answers.
pub(super) fn exercise(plan: &Plan, shop: &Shop, id: &str) -> Scene {
    let title = words::plain_title(shop, "EXERCISE, NOT A PLAN", id);
    let mut canvas = Canvas::new(plan, &title.heading, Face::A, &[]);
    edges::edges(&mut canvas, shop.paper);
    sizes::overall(&mut canvas, shop.paper);
    sizes::names(&mut canvas);
    sizes::grain(&mut canvas, shop.stock.grain);
    sizes::references(&mut canvas, shop.reference);
    edges::all_letters(&mut canvas);
    edges::borders(&mut canvas);
    edges::keep(&mut canvas);
    edges::run_ons(&mut canvas);
    words::exercise_notes(&mut canvas);
    canvas.finish(&title, shop.paper)
}

/// The picture of the saw line on face A.
pub(super) fn saw(plan: &Plan, shop: &Shop, id: &str) -> Scene {
    let title = words::plain_title(shop, "SAW: FACE A UP", id);
    let mut canvas = Canvas::new(plan, &title.heading, Face::A, &[]);
    edges::edges(&mut canvas, shop.paper);
    saw::saw_line(&mut canvas);
    sizes::overall(&mut canvas, shop.paper);
    edges::run_ons(&mut canvas);
    sizes::references(&mut canvas, shop.reference);
    sizes::names(&mut canvas);
    sizes::grain(&mut canvas, shop.stock.grain);
    care::left_by_the_saw(&mut canvas, shop.paper);
    edges::keep(&mut canvas);
    words::saw_notes(&mut canvas, shop.paper);
    canvas.finish(&title, shop.paper)
}

/// The picture of the template as it is made, on face A.
pub(super) fn template(plan: &Plan, shop: &Shop, id: &str) -> Scene {
    let title = words::plain_title(shop, "TEMPLATE: FACE A UP", id);
    let made = made::only_made(plan);
    let mut canvas = Canvas::new(&made, &title.heading, Face::A, &[]);
    made::lines(&mut canvas);
    sizes::of_templates(&mut canvas, shop.paper);
    edges::run_ons(&mut canvas);
    sizes::references(&mut canvas, shop.reference);
    sizes::names(&mut canvas);
    made::holes(&mut canvas, shop);
    sizes::grain(&mut canvas, shop.stock.grain);
    made::part_words(&mut canvas);
    words::template_notes(&mut canvas);
    canvas.finish(&title, shop.paper)
}

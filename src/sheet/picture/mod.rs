//! The pictures: one a set-up, as the person sees it, and those of the saw line, the corners
//! and the template's sizes.
//!
//! Every arrow is drawn from the tooth's way on face A and then seen on the face that is up;
//! no direction is ever taken from a word.

mod canvas;

mod layout;

mod made;

mod edges;

mod saw;

mod moves;

mod sizes;

mod words;

use super::phrase;
use crate::plan::Plan;
use crate::shop::{Face, Shop};
use canvas::Canvas;

/// The picture of one set-up, by its index, as SVG.
pub fn picture(plan: &Plan, shop: &Shop, set_up: usize, id: &str) -> String {
    let holding = &plan.set_ups[set_up];
    let title = words::title(plan, shop, set_up, id);
    let mut canvas = Canvas::new(
        plan,
        &title.heading,
        holding.face_up(),
        &moves::small_things(plan, set_up),
    );
    edges::hand_bands(&mut canvas);
    moves::backers(&mut canvas, set_up);
    edges::edges(&mut canvas);
    saw::saw_line(&mut canvas);
    edges::routed(&mut canvas, set_up);
    canvas.insets();
    sizes::overall(&mut canvas, shop.paper);
    sizes::names(&mut canvas);
    sizes::grain(&mut canvas, shop.stock.grain);
    moves::stars_and_ends(&mut canvas, set_up);
    moves::arrows(&mut canvas, set_up);
    sizes::references(&mut canvas, shop.reference);
    edges::hand_numbers(&mut canvas);
    edges::letters(&mut canvas, set_up);
    edges::keep(&mut canvas);
    edges::run_ons(&mut canvas);
    words::notes(&mut canvas, set_up, shop.paper);
    canvas.finish(&title, shop.paper)
}

/// The picture of the saw line on face A.
pub(super) fn saw(plan: &Plan, shop: &Shop, id: &str) -> String {
    let title = words::plain_title(shop, "SAW: FACE A UP", id);
    let mut canvas = Canvas::new(plan, &title.heading, Face::A, &[]);
    edges::edges(&mut canvas);
    saw::saw_line(&mut canvas);
    sizes::overall(&mut canvas, shop.paper);
    edges::run_ons(&mut canvas);
    sizes::references(&mut canvas, shop.reference);
    sizes::names(&mut canvas);
    sizes::grain(&mut canvas, shop.stock.grain);
    edges::keep(&mut canvas);
    words::saw_notes(&mut canvas, shop.paper);
    canvas.finish(&title, shop.paper)
}

/// The picture of the template as it is made, on face A.
pub(super) fn template(plan: &Plan, shop: &Shop, id: &str) -> String {
    let title = words::plain_title(shop, "TEMPLATE: FACE A UP", id);
    let mut canvas = Canvas::new(plan, &title.heading, Face::A, &[]);
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

//! The words on a picture: title block, notes, key.

use super::canvas::Canvas;
use super::moves::{KEY, MACHINE_KEY};
use super::phrase;
use crate::draw::{Pen, TitleBlock, column, column_down_to, column_height, key_row};
use crate::geom::{Bounds, Point, Vector};
use crate::plan::{Feed, Plan};
use crate::prove::Relief;
use crate::shop::{Machine, Shop};
use crate::units::Paper;

/// What the title block says of a set-up.
pub(super) fn title(plan: &Plan, shop: &Shop, set_up: usize, id: &str) -> TitleBlock {
    if let Some(machine) = shop.machine.as_ref().filter(|machine| machine.cuts_part()) {
        return machine_title(shop, machine, id);
    }
    let holding = &plan.set_ups[set_up];
    let bit = &shop.bits[holding.bit];
    let face = holding.face_up().letter();
    TitleBlock {
        name: shop.name.clone(),
        heading: format!(
            "SET-UP {} of {}: FACE {face} UP",
            set_up + 1,
            plan.set_ups.len()
        ),
        lines: vec![
            format!("Routed {}", phrase::station(holding.station)),
            phrase::bit_words(bit, holding.guide, shop.paper),
            phrase::template_words(holding, &plan.stands[set_up]),
            id_line(id),
            care(shop),
        ],
    }
}

/// What the title block says of the finishing lap of a part that the machine cuts itself.
fn machine_title(shop: &Shop, machine: &Machine, id: &str) -> TitleBlock {
    let paper = shop.paper;
    TitleBlock {
        name: shop.name.clone(),
        heading: "FINISHING LAP: FACE A UP".to_owned(),
        lines: vec![
            format!(
                "Cut by the machine, end mill {}",
                paper.measured(machine.end_mill.mm())
            ),
            format!("It takes the last {}", paper.measured(machine.allowance.mm())),
            id_line(id),
            care(shop),
        ],
    }
}

fn id_line(id: &str) -> String {
    format!("Plan {id}   Date ________")
}

/// The cautions of a picture that hangs at the bench without its sheet.
fn care(shop: &Shop) -> String {
    let joint = if shop.joint {
        " Shop rules, not a structural design: local code and a licensed engineer decide."
    } else {
        ""
    };
    format!(
        "Glasses, ears, mask. The bit's marking, manuals and local rules hold over this.{joint}"
    )
}

/// What the title block says of a picture that belongs to no set-up.
pub(super) fn plain_title(shop: &Shop, heading: &str, id: &str) -> TitleBlock {
    TitleBlock {
        name: shop.name.clone(),
        heading: heading.to_owned(),
        lines: vec![id_line(id), care(shop)],
    }
}

/// What to know of the saw line.
pub(super) fn saw_notes(canvas: &mut Canvas<'_>, paper: Paper) {
    let mut lines = vec!["#Saw on the dashed line, to its waste side.".to_owned()];
    for line in &canvas.plan.saw {
        let words = format!("Leave {} outside the edge.", paper.length(line.leave));
        if !lines.contains(&words) {
            lines.push(words);
        }
    }
    if !canvas.plan.thick.is_empty() {
        lines.push(
            "#Black drops: the blade leaves more there. Take it down before routing, as the drop says."
                .to_owned(),
        );
    }
    lines.push(
        "The dashed line is drawn farther out where it would touch the edge.".to_owned(),
    );
    lines.push("#Thin lines with KEEP are never cut.".to_owned());
    column(&mut canvas.scene, canvas.layout.frame.notes, &lines, NOTE_SIZE);
}

/// What to know of the template.
pub(super) fn template_notes(canvas: &mut Canvas<'_>) {
    let lines = [
        "#Thick: the template as it is made. Its sizes are overall.",
        "Thin: the part that lies under it.",
        "Where the two are one line, the template is of the part's size.",
        "#FACE A, the grain arrow and the job's name go on this face of it.",
    ];
    let lines = lines.map(str::to_owned);
    column(&mut canvas.scene, canvas.layout.frame.notes, &lines, NOTE_SIZE);
}

/// What to do on the picture of an exercise.
pub(super) fn exercise_notes(canvas: &mut Canvas<'_>) {
    let lines = [
        "#An exercise. Nothing is routed by this picture.",
        "Each edge with a letter ends at the short bars across it.",
        "Draw: an arrow beside each, the way the bit goes round; a star where a pass starts; a hatched block where one must back the end.",
        "#Then compare with the answers, and rout by the bench sheets alone.",
    ];
    let lines = lines.map(str::to_owned);
    column(&mut canvas.scene, canvas.layout.frame.notes, &lines, NOTE_SIZE);
}

/// The notes of a set-up and the key to the marks.
pub(super) fn notes(canvas: &mut Canvas<'_>, set_up: usize, shop: &Shop) {
    let block = canvas.layout.frame.notes;
    let beside = block.width() < 120.0;
    let key_height = 52.0;
    let (text_block, key_at) = if beside {
        let mut text = block;
        text.low.y += key_height;
        (text, Point::new(block.low.x + 3.0, block.low.y + key_height - 6.0))
    } else {
        let mut text = block;
        text.high.x -= 72.0;
        (text, Point::new(text.high.x + 3.0, block.high.y - 8.0))
    };
    let solid = shop.cuts_part();
    let (kept, passes) = if solid {
        (machine_lines(canvas.plan, shop), Vec::new())
    } else {
        (kept_lines(canvas.plan, set_up, shop), pass_lines(canvas.plan, set_up, shop))
    };
    let below = column_down_to(&mut canvas.scene, text_block, &kept, NOTE_TYPE);
    let left = Bounds {
        low: text_block.low,
        high: Point::new(text_block.high.x, below.max(text_block.low.y)),
    };
    column_down_to(&mut canvas.scene, left, &fitting(passes, left), NOTE_TYPE);
    key(canvas, (key_at, solid));
}

/// The type of the notes beside the drawing, and how small it may get before a word is cut: as
/// small print that is still read at arm's length (from memory).
const NOTE_TYPE: (f64, f64) = (NOTE_SIZE, 2.8);

const NOTE_SIZE: f64 = 4.0;

fn key(canvas: &mut Canvas<'_>, (at, solid): (Point, bool)) {
    let mut row = at;
    let pens: &[(Pen, &str)] = if solid { &MACHINE_KEY } else { &KEY };
    for &(pen, words) in pens {
        row.y = key_row(&mut canvas.scene, row, pen, words);
    }
    let arrow = Point::new(row.x, row.y + 1.2);
    let tip = Point::new(row.x + 14.0, row.y + 1.2);
    crate::draw::arrow_along(&mut canvas.scene, &[arrow, tip]);
    let words = Point::new(row.x + 16.5, row.y);
    let goes = if solid { "mill goes this way" } else { "bit goes this way round" };
    canvas.scene.letters(crate::draw::Text::new(words, goes, 3.8));
    row.y -= 6.5;
    let (sign, words) =
        (Point::new(row.x + 4.0, row.y + 1.2), Point::new(row.x + 16.5, row.y));
    if solid {
        crate::draw::exit_mark(&mut canvas.scene, sign, Vector::new(1.0, 0.0));
        canvas.scene.letters(crate::draw::Text::new(words, "a run ends", 3.8));
        return;
    }
    crate::draw::star(&mut canvas.scene, sign, "");
    canvas.scene.letters(crate::draw::Text::new(words, "start of the pass", 3.8));
    row.y -= 6.2;
    let corner = |x: f64, y: f64| Point::new(row.x + x, row.y + y);
    let block =
        [corner(0.0, -0.6), corner(9.0, -0.6), corner(9.0, 3.4), corner(0.0, 3.4)];
    crate::draw::hatched(&mut canvas.scene, &block);
    let words = Point::new(row.x + 16.5, row.y);
    canvas.scene.letters(crate::draw::Text::new(words, "backer, fixed flush", 3.8));
}

/// What to know of the runs that the machine finishes a part in.
fn machine_lines(plan: &Plan, shop: &Shop) -> Vec<String> {
    let all = |feed: Feed| {
        let own = plan.passes.iter().filter(|pass| pass.feed == feed);
        own.map(|pass| pass.number.to_string()).collect::<Vec<_>>().join(", ")
    };
    let (conventional, climb) = (all(Feed::Conventional), all(Feed::Climb));
    let mut lines = Vec::new();
    if !conventional.is_empty() {
        lines.push(format!("#Conventional: {conventional}"));
        lines.push("The part on the mill's LEFT.".to_owned());
    }
    if !climb.is_empty() {
        lines.push(format!("#CLIMB: {climb}"));
        lines.push("The part on the mill's RIGHT.".to_owned());
    }
    if shop.sheets.left_handed {
        lines.push(phrase::NOT_MIRRORED.to_owned());
    }
    if !plan.hand.is_empty() {
        lines.push("Grey, with a number: left for the hand.".to_owned());
    }
    lines.extend(relief_lines(plan, shop));
    lines.extend(phrase::signs(plan, 0));
    lines
}

/// What to know of relieved corners: how far past their lines each is cut.
fn relief_lines(plan: &Plan, shop: &Shop) -> Vec<String> {
    let Some(machine) = &shop.machine else { return Vec::new() };
    let past =
        |relief: &Relief| shop.paper.measured(relief.past(machine.end_mill.radius()));
    let pasts: Vec<String> =
        plan.relieved(machine).iter().map(|(_, relief)| past(relief)).collect();
    let mut lines = Vec::new();
    let mut numbers = 1..;
    for alike in pasts.chunk_by(|a, b| a == b) {
        let own: Vec<String> =
            numbers.by_ref().take(alike.len()).map(|n: usize| n.to_string()).collect();
        lines.push(format!("#RELIEF {}", own.join(", ")));
        lines.push(format!(
            "Cut on through the corner, {} past both lines: no chisel.",
            alike[0]
        ));
    }
    lines
}

/// What a person must have read before the router runs: it stands first, and is never cut.
fn kept_lines(plan: &Plan, set_up: usize, shop: &Shop) -> Vec<String> {
    let mut lines = vec![format!("#{}", phrase::keep_side(plan.set_ups[set_up].station))];
    if shop.sheets.left_handed {
        lines.push(phrase::NOT_MIRRORED.to_owned());
    }
    lines.push("#Only these stretches. Then STOP.".to_owned());
    lines.extend(phrase::signs(plan, set_up));
    lines
}

/// What the passes are: the Rout sheet has them too.
fn pass_lines(plan: &Plan, set_up: usize, shop: &Shop) -> Vec<String> {
    let own = plan.passes.iter().filter(|pass| pass.set_up == set_up);
    let lines = own.flat_map(|pass| {
        [
            format!("#Pass {}: {}", pass.number, phrase::worked(plan, pass)),
            format!(
                "Start: {}. End: {}.",
                phrase::start(pass.start.0, shop.paper),
                phrase::exit(pass.exit.0)
            ),
        ]
    });
    lines.collect()
}

/// As many lines of the passes as the block holds in the smallest type; where some do not, it
/// says where they are.
fn fitting(mut lines: Vec<String>, block: Bounds) -> Vec<String> {
    let holds = |lines: &[String]| {
        column_height(lines, NOTE_TYPE.1, block.width()) <= block.height()
    };
    if holds(&lines) {
        return lines;
    }
    let last = "Not all passes stand here: see the Rout sheet.".to_owned();
    // Each pass has two lines.
    let (mut fit, mut too_many) = (0, lines.len() / 2);
    while fit + 1 < too_many {
        let middle = usize::midpoint(fit, too_many);
        if holds(&[&lines[..2 * middle], std::slice::from_ref(&last)].concat()) {
            fit = middle;
        } else {
            too_many = middle;
        }
    }
    lines.truncate(2 * fit);
    lines.push(last);
    lines
}

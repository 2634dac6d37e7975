//! Setting out by hand: numbered pencil steps from the reference edge and end, the lines to be
//! cut, what to rub out, and closing checks.

mod batten;

mod checks;

mod curves;

mod picture;

mod reading;

mod steps;

#[cfg(test)]
mod tests;

mod words;

use super::bench::{general, unit_words};
use super::model::{Block, PLAN, Picture, Sheet, Sheets};
use super::pages::broken;
use super::{Bundle, file_stem, html, markdown, phrase};
use crate::outline::Outline;
use crate::shop::Reference;
use crate::units::Paper;
use reading::Rule;
use steps::{SetOut, set_out};

/// What a layout goes by, beside its outline.
#[derive(Debug, Clone, Copy)]
pub struct LayoutAsk<'a> {
    /// How the paper writes lengths.
    pub paper: Paper,
    /// What sizes are measured from.
    pub reference: Reference,
    /// The gap between mating faces, where the part is half of a joint.
    pub clearance: Option<f64>,
    /// Whether the parts are tail and socket of a lap, each half as thick there.
    pub lap: bool,
    /// The short id on every sheet.
    pub id: &'a str,
}

/// The files of the layout of some parts.
pub fn layout_bundle(outlines: &[Outline], name: &str, ask: &LayoutAsk<'_>) -> Bundle {
    let mut pages = by_hand(outlines, ask);
    for sheet in &mut pages {
        general(sheet);
    }
    let sheets = Sheets {
        name: name.to_owned(),
        id: ask.id.to_owned(),
        what: PLAN,
        units: unit_words(ask.paper),
        pages: broken(pages),
    };
    let name = file_stem(name);
    let files = vec![
        (format!("{name}-layout.html"), html::written(&sheets).into_bytes()),
        (format!("{name}-layout.md"), markdown::written(&sheets).into_bytes()),
    ];
    Bundle { name, files }
}

/// The layouts of parts that no router makes: each goes on to saw, chisel and plane.
pub(super) fn by_hand(outlines: &[Outline], ask: &LayoutAsk<'_>) -> Vec<Sheet> {
    let pages = outlines.iter().enumerate().map(|(index, outline)| {
        let mut sheet = sheet(outline, ask);
        sheet.heading("With saw and chisel");
        match (ask.lap, index) {
            (true, 0) => sheet.paragraph(TAIL),
            (true, _) => sheet.blocks.push(Block::Note("stop", SOCKET.to_owned())),
            (false, _) => with_saw_and_chisel(&mut sheet),
        }
        sheet
    });
    pages.collect()
}

/// How the tail of a lap is cut.
const TAIL: &str = "A lap is cut in its thickness first: shoulder and cheek sawn from face B down \
                    to the gauge line at half the thickness. Then this outline through what is \
                    left, pared square to the line from face A.";

/// How the socket of a lap is cut.
const SOCKET: &str = "Nothing of the socket is sawn through: its floor lies at half the \
                      thickness. Gauge that from face A; saw the walls slanting, in the waste, no \
                      deeper than the gauge line; chop the waste out from the edge; pare the \
                      walls to the line and the floor to the gauge line.";

/// From the lines to the part.
fn with_saw_and_chisel(sheet: &mut Sheet) {
    sheet.checks(
        [
            "Every thick line knifed on face A, carried square across the edges, and knifed on \
             face B: the lines of both faces meet.",
            "Clamped; sawn on the waste side, the line left standing; watch the line on the far \
             face too.",
            "Pared or planed to the line from both faces towards the middle, downhill to the \
             grain; end grain first, against a block.",
            "A square on face A shows no light along any cut; then the closing checks once more.",
        ]
        .map(str::to_owned),
    );
}

/// The layout read with the coarsest rule that keeps every corner within the joint's gap, or
/// with the finest there is.
fn read_finely(outline: &Outline, ask: &LayoutAsk<'_>) -> SetOut {
    let rules = Rule::all(ask.paper);
    let made = |rule: &Rule| set_out(outline, ask.reference, *rule);
    let fits = |made: &SetOut| {
        ask.clearance.is_none_or(|gap| gap <= 0.0 || words::farthest_off(made) <= gap)
    };
    let (finest, coarser) = rules.split_last().expect("paper has a rule");
    coarser.iter().map(made).find(fits).unwrap_or_else(|| made(finest))
}

/// The sheet of one part.
pub(super) fn sheet(outline: &Outline, ask: &LayoutAsk<'_>) -> Sheet {
    let made = read_finely(outline, ask);
    let mut sheet = Sheet::new(format!("Layout: {}", outline.name));
    sheet.paragraph(format!(
        "Reference edge: the {} edge as drawn. Reference end: the {} one; where it goes on or is \
         cut, a line squared across there. Edge true, line square; measure and gauge from \
         nothing else. Light pencil for what is rubbed out again; knife, then thick pencil for \
         what is cut.",
        if made.sides.far { "far" } else { "near" },
        if made.sides.right { "right" } else { "left" },
    ));
    if ask.reference.left_handed {
        sheet.paragraph(phrase::LEFT_BEVEL);
    }
    sheet.heading("Light lines");
    let light = made.light.iter().flat_map(|step| words::light(step, &made));
    sheet.blocks.push(Block::Steps(1, light.collect()));
    let cut = words::cuts(&made);
    if !cut.is_empty() {
        sheet.heading("Lines to be cut, thick");
        sheet.blocks.push(Block::Steps(1, cut));
    }
    sheet.heading("Then");
    sheet.checks(words::then(&made));
    sheet.heading("Closing checks");
    sheet.checks(checks::checks(&made));
    sheet.paragraph(words::rounding(&made, ask));
    let scene = picture::picture(outline, &made, ask.id);
    let title = format!("Layout of {}", outline.name);
    sheet.blocks.push(Block::Picture(Picture { scene, title, file: None }));
    sheet
}

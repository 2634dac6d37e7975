//! Setting out by hand: numbered pencil steps from the reference edge and end, the lines to be
//! cut, what to rub out, and closing checks.

mod checks;

mod picture;

mod reading;

mod steps;

#[cfg(test)]
mod tests;

mod words;

use super::bench::{general, unit_words};
use super::model::{Block, Picture, Sheet, Sheets};
use super::{Bundle, file_stem, html, markdown};
use crate::outline::Outline;
use crate::units::Paper;
use reading::Rule;
use steps::{End, Step, set_out};

/// The files of the layout of some parts.
pub fn layout_bundle(
    outlines: &[Outline],
    paper: Paper,
    (name, id): (&str, &str),
) -> Bundle {
    let rule = Rule { paper };
    let sheets = Sheets {
        name: name.to_owned(),
        id: id.to_owned(),
        units: unit_words(paper),
        pages: outlines.iter().map(|outline| sheet(outline, rule, id)).collect(),
    };
    let name = file_stem(name);
    let files = vec![
        (format!("{name}-layout.html"), html::written(&sheets).into_bytes()),
        (format!("{name}-layout.md"), markdown::written(&sheets).into_bytes()),
    ];
    Bundle { name, files }
}

fn sheet(outline: &Outline, rule: Rule, id: &str) -> Sheet {
    let made = set_out(outline, rule);
    let mut sheet = Sheet::new(format!("Layout: {}", outline.name));
    let end = match made.end {
        End::Left => "left",
        End::Right => "right",
    };
    sheet.paragraph(format!(
        "Reference edge: the near edge as drawn. Reference end: the {end} one; where the piece \
         goes on there, a line squared across it. Both true and square first; measure and gauge \
         from nothing else. Pencil light for what is rubbed out again; knife, then thick pencil \
         for what is cut.",
    ));
    let is_cut = |step: &&Step| {
        matches!(step, Step::Join { .. } | Step::Arc { .. } | Step::Batten { .. })
    };
    let (cut, light): (Vec<&Step>, Vec<&Step>) = made.steps.iter().partition(is_cut);
    // What stands already is neither drawn nor cut.
    sheet.heading("Light lines");
    let light = light.iter().flat_map(|step| words::light(step, rule));
    sheet.blocks.push(Block::Steps(light.collect()));
    sheet.heading("Lines to be cut, thick");
    let cut = cut.iter().filter_map(|step| words::cut(step, &made, rule));
    sheet.blocks.push(Block::Steps(cut.collect()));
    sheet.heading("Then");
    sheet.checks(words::then(&made, rule));
    sheet.heading("Closing checks");
    sheet.checks(checks::checks(&made, rule));
    sheet.paragraph(words::rounding(&made, rule));
    let svg = picture::picture(outline, &made, id);
    let title = format!("Layout of {}", outline.name);
    sheet.blocks.push(Block::Picture(Picture { svg, title, file: None }));
    general(&mut sheet);
    sheet
}

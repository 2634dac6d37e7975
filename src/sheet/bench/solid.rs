//! Sheets of a part that the machine cuts itself: its stock, and the runs of its finishing lap.

use super::{Job, stock};
use crate::plan::{Exit, Feed, Pass};
use crate::sheet::model::{Block, Picture, Sheet};
use crate::sheet::{phrase, picture, picture_name};
use crate::shop::Machine;
use crate::shop::defaults::Basis;

/// The heads of the table of runs.
pub(super) const HEAD: [&str; 5] = ["Run", "Stretches", "Way round", "End", "Why"];

/// Stock and mark: the machine's blank is the stock itself.
pub(super) fn stock_sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("Stock and mark");
    let thick = job.length(job.shop.blank_thick());
    let rows = job.plan.parts.iter().map(|part| {
        let (long, wide) = super::long_by_wide(part, part.outline.bounds());
        vec![
            part.outline.name.clone(),
            part.count.to_string(),
            job.length(long),
            job.length(wide),
            thick.clone(),
        ]
    });
    let rows = rows.collect();
    let head = ["Part", "How many", "Length", "Width", "Thickness"];
    sheet.table(&head, rows, &[2, 3, 4]);
    let species = job.shop.stock.species.as_deref().unwrap_or("____________");
    sheet.paragraph(format!(
        "Wood: {species}. Grain: {}. The size of the blank stands on the sheet Machine; the \
         program is run once for each blank.",
        stock::grain_of_all(job)
    ));
    sheet.checks(
        [
            "Blank planed to one thickness, flat, and measured in four places.",
            "FACE A and a long arrow with GRAIN drawn on it; FACE A goes up.",
            "Grain read on the edge too: where it is not as drawn, the runs do not hold.",
            "One spare blank, to see how the first climb run leaves its edge.",
        ]
        .map(str::to_owned),
    );
    stock::notes(&mut sheet, job);
    sheet
}

/// The finishing lap on the sheet of the machine, with its picture.
pub(super) fn runs(sheet: &mut Sheet, job: &Job<'_>, machine: &Machine) {
    sheet.heading("Finishing lap");
    let allowance = job.shop.paper.measured(machine.allowance.mm());
    let allowance = sheet.figure(allowance, Basis::FromMemory);
    let steepest =
        sheet.figure(format!("{:.0} degrees", machine.steepest_climb()), Basis::Geometry);
    let rule = if job.plan.passes.iter().any(|pass| pass.feed == Feed::Climb) {
        format!(
            " Uphill it climbs, as far as a climb cures: to {steepest} off the grain with this \
             mill and allowance."
        )
    } else {
        String::new()
    };
    sheet.paragraph(format!(
        "Roughed conventionally all round, {allowance} left; then these runs in this order, each \
         led in and out by itself.{rule}"
    ));
    let rows = job.plan.passes.iter().map(|pass| row(job, pass)).collect();
    sheet.table(&HEAD, rows, &[0, 1]);
    if job.plan.passes.iter().any(|pass| pass.feed == Feed::Climb) {
        sheet.blocks.push(Block::Note(
            "climb",
            "A climb run pulls the mill along: no play in the axes, hand on the stop."
                .to_owned(),
        ));
    }
    sheet.blocks.push(Block::Picture(pictured(job)));
}

/// What the picture of the finishing lap is called.
pub(super) const PICTURE: &str = "Finishing lap";

/// The picture of the finishing lap.
pub(super) fn pictured(job: &Job<'_>) -> Picture {
    Picture {
        scene: picture::set_up(job.plan, job.shop, 0, job.id),
        title: PICTURE.to_owned(),
        file: Some(picture_name(job.stem, 0)),
    }
}

/// A run in the table.
pub(super) fn row(job: &Job<'_>, pass: &Pass) -> Vec<String> {
    let first_of_many = !pass.closed && begins_a_lap(job, pass);
    let end = if first_of_many {
        format!(
            "{}; it begins in its middle and ends there, last of all",
            end(pass.exit.0)
        )
    } else {
        end(pass.exit.0).to_owned()
    };
    vec![
        pass.number.to_string(),
        phrase::worked(job.plan, pass),
        way(pass.feed).to_owned(),
        end,
        pass.why.words().to_owned(),
    ]
}

/// Whether a run is the first of its loop.
fn begins_a_lap(job: &Job<'_>, pass: &Pass) -> bool {
    let same = |other: &&Pass| (other.part, other.span.on) == (pass.part, pass.span.on);
    job.plan.passes.iter().find(same).is_some_and(|first| first.number == pass.number)
}

/// How the mill goes, by where the part is.
const fn way(feed: Feed) -> &'static str {
    match feed {
        Feed::Conventional => "conventional: the part on the mill's LEFT",
        Feed::Climb => "CLIMB: the part on the mill's RIGHT",
    }
}

/// How a run ends.
const fn end(exit: Exit) -> &'static str {
    match exit {
        Exit::Closed => "once round",
        Exit::BeforeHandWork => "where the edge is left for the hand",
        Exit::NextEdgeFull => "at the corner",
        Exit::AtTouch => "at the touch of the inside corner, and backs off",
        _ => "past the change-over: runs blend there",
    }
}

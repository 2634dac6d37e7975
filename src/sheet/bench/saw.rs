//! Saw: how far outside the line, and what the plan has to say of blades.

use super::Job;
use crate::sheet::hold::Hold;
use crate::sheet::model::{Block, Picture, Sheet};
use crate::sheet::{phrase, picture, prepare};
use crate::shop::defaults;

/// The sheet, where anything is sawn.
pub(super) fn sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("Saw");
    let head = ["Part", "Saw line", "Leave outside the line"];
    let mut rows: Vec<Vec<String>> = Vec::new();
    for line in &job.plan.saw {
        let way = if line.closed { "all round" } else { "along the routed edges" };
        let row = vec![
            job.plan.parts[line.part].outline.name.clone(),
            way.to_owned(),
            job.length(line.leave),
        ];
        if !rows.contains(&row) {
            rows.push(row);
        }
    }
    sheet.table(&head, rows, &[2]);
    let most = job.length(defaults::MOST_WASTE.value);
    let most = sheet.figure(most, defaults::MOST_WASTE.basis);
    let end = job.shop.leave_end_grain.mm();
    let end = sheet.figure(job.length(end), defaults::LEAVE_END_GRAIN.basis);
    steps(&mut sheet, job);
    sheet.checks([
        "Saw to the waste side of the saw line; never inside it.".to_owned(),
        format!("On end grain leave {end}."),
        format!(
            "Nowhere more than {most}, and no more than a quarter of the bit: take tight hollows \
             down with a drill, a drum or a rasp before routing."
        ),
        "Offcuts kept: they are backers and cradles.".to_owned(),
    ]);
    for note in job.plan.notes.iter().filter(|note| note.id.starts_with("saw-")) {
        sheet.blocks.push(Block::Note(note.weight.word(), phrase::note(note)));
    }
    Hold::Blank.add(&mut sheet, job.shop.sheets.hold_points);
    let scene = picture::saw(job.plan, job.shop, job.id);
    let title = "The saw line".to_owned();
    sheet.blocks.push(Block::Picture(Picture { scene, title, file: None }));
    sheet
}

/// What is done before the router, part by part, each with its reason.
fn steps(sheet: &mut Sheet, job: &Job<'_>) {
    for (index, part) in job.plan.parts.iter().enumerate() {
        let own: Vec<String> = job
            .plan
            .prepare
            .iter()
            .filter(|step| step.part == index)
            .map(|step| {
                let words = prepare::words(step, (job.plan, job.shop), job.shop.paper);
                format!("{words} ({}).", step.task.why())
            })
            .collect();
        if own.is_empty() {
            continue;
        }
        if 1 < job.plan.parts.len() {
            sheet.heading(part.outline.name.clone());
        }
        sheet.blocks.push(Block::Steps(1, own));
    }
}

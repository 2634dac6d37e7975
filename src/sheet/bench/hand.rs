//! The hand list: every place left to the hand, in working order.

use super::Job;
use crate::plan::HandWork;
use crate::sheet::model::Sheet;
use crate::sheet::phrase;

/// From this on tenths of a millimetre are fine enough, in mm (common practice, no source).
const LONG: f64 = 25.0;

/// The sheet, where there is anything to do by hand.
pub(super) fn sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("Hand list");
    let comes_off = job.plan.passes.iter().any(|pass| !pass.layer.template_on);
    let template = if job.shop.cuts_part() {
        "The part has come off the machine and is held in the vice: knife every line first."
    } else if comes_off {
        "Knife the lines of this list along the template before it comes off."
    } else {
        "The template stays on until this list is done."
    };
    sheet.paragraph(format!(
        "{template} In this order; the numbers are those on the pictures."
    ));
    let rows = job.plan.hand.iter().map(|work| row(job, work)).collect();
    sheet.table(&HEAD, rows, &[0]);
    let how: Vec<String> = job
        .plan
        .hand
        .iter()
        .filter(|work| !work.how.is_empty())
        .map(|work| format!("No. {}: {}.", work.number, work.how.join("; ")))
        .collect();
    if !how.is_empty() {
        sheet.heading("How");
        sheet.checks(how);
    }
    sheet
}

/// What is said of each place.
pub(in crate::sheet) const HEAD: [&str; 7] = [
    "No.",
    "What, where",
    "Left: depth / along the sides",
    "Tool",
    "Rides on",
    "From face",
    "Why",
];

/// The same of one place.
pub(in crate::sheet) fn row(job: &Job<'_>, work: &HandWork) -> Vec<String> {
    let part = &job.plan.parts[work.part];
    let reference = job.shop.reference.of(&part.outline);
    let (end, edge) = reference.sizes(part.outline.bounds(), work.at);
    let angle = work.angle.map(|angle| format!(" {angle:.1}°")).unwrap_or_default();
    let name = if 1 < job.plan.parts.len() {
        format!("{}: ", part.outline.name)
    } else {
        String::new()
    };
    // A corner's sides to hundredths, so that a quarter of an inch stays 6.35; a long run is
    // read off a rule.
    let size = |mm: f64| {
        if mm < LONG { job.shop.paper.measured(mm) } else { job.length(mm) }
    };
    let sides: Vec<String> = work.sides.iter().map(|&side| size(side)).collect();
    let depth = job.shop.paper.measured(work.depth);
    let left =
        if sides.is_empty() { depth } else { format!("{depth} / {}", sides.join(", ")) };
    let face = match phrase::from_face(work.from_face) {
        "both" => "half from each".to_owned(),
        face => face.to_owned(),
    };
    vec![
        work.number.to_string(),
        format!(
            "{name}{}{angle}, {} from the end, {} from the edge",
            phrase::hand_kind(work.kind),
            job.length(end),
            job.length(edge)
        ),
        left,
        phrase::tool(work.tool, job.shop.paper),
        phrase::rides_on(work, job.plan),
        face,
        work.why.words().to_owned(),
    ]
}

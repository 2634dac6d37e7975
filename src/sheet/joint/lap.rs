//! The sheet Lap: how two parts that lie on each other are each cut to half their thickness.

use super::JointJob;
use crate::sheet::model::{Block, Sheet};

/// The sheet, where the halves lap in their thickness.
pub(in crate::sheet) fn sheet(job: &JointJob<'_>) -> Option<Sheet> {
    let deep = job.facts.through.filter(|_| job.facts.halved)?;
    let mut sheet = Sheet::new("Lap");
    let (half, whole) = (job.paper.length(deep), job.paper.length(2.0 * deep));
    sheet.paragraph(format!(
        "Where they lie on each other both parts are half as thick: {half} of {whole}. Half A \
         keeps its face A and loses wood from face B; half B loses wood from face A and keeps \
         its face B. Both gauged from face A, so both faces A come out flush."
    ));
    sheet.heading("Gauge: one setting for both");
    sheet.blocks.push(Block::Steps(1, gauge(&half)));
    sheet.heading("Half A, the tail: before it is sawn to its outline");
    sheet.blocks.push(Block::Steps(1, tail(&half)));
    sheet.heading("Half B, the socket: it has a floor");
    sheet.blocks.push(Block::Steps(1, socket(job, deep)));
    let stop = "Nothing of the socket is sawn through. The bit stops at the floor, never past it.";
    sheet.blocks.push(Block::Note("stop", stop.to_owned()));
    Some(sheet)
}

fn gauge(half: &str) -> Vec<String> {
    vec![
        format!(
            "Set the gauge to {half} and try it from both faces of an offcut: the two pricks fall \
             together. If not, half of what is between them is the error."
        ),
        "Half A: from face A, along both edges from the shoulder to the end, and across the end. \
         X on the side of face B."
            .to_owned(),
        "Half B: from face A, along the edge between the walls of the socket. X on the side of \
         face A."
            .to_owned(),
    ]
}

fn tail(half: &str) -> Vec<String> {
    vec![
        "Knife the shoulder across face B, squared over from the shoulder on face A.".to_owned(),
        format!(
            "Saw the shoulder on the waste side, down to the gauge line: {half} from face A is \
             left."
        ),
        "Saw the cheek from the end to the shoulder, beside the gauge line in the waste; plane or \
         pare it flat to the line, never under it."
            .to_owned(),
        "Keep the piece that fell off: taped under the tail it carries it while the outline is \
         sawn and routed, and keeps the far side from breaking out."
            .to_owned(),
        "Then the tail's outline, template on face A, as the next sheets say.".to_owned(),
    ]
}

fn socket(job: &JointJob<'_>, deep: f64) -> Vec<String> {
    let half = job.paper.length(deep);
    let leave = job.paper.length(job.leave.mm());
    vec![
        format!(
            "Saw down inside each wall, {leave} off its line in the waste, slanting with it, and a \
             few times between; stop short of the gauge line."
        ),
        "Chop the bulk out from the edge with a chisel, bevel up, down to a shaving above the \
         gauge line."
            .to_owned(),
        format!(
            "By router: the teeth end {half} below face A of the stock, not a hair more, \
             whatever template and spacer lie on it. Rout an offcut first and lay the tail's cheek in it: the faces are flush. In \
             the socket the template guides the walls; then clear the floor between them."
        ),
        format!(
            "By hand: pare the walls down to the floor from face A, then the floor to the gauge \
             line, with the grain, from the edge inwards: {half} deep everywhere."
        ),
        "Square the two inner corners down to the floor, and no deeper.".to_owned(),
    ]
}

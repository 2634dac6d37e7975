//! A toolpath as text, in the words a controller wants; and the way to a proved program.

mod gcode;

mod header;

mod number;

mod time;

pub use header::Header;
pub use time::{Minutes, minutes};

use crate::diag::Failure;
use crate::path::{Lay, Toolpath, extra_hole, lay, moved_loop, pledges, toolpath};
use crate::plan::Plan;
use crate::post::Dialect;
use crate::prove::{Candidate, Judgement, Pledge, Promise, ProvedProgram, judge, prove};
use crate::shop::{Machine, Shop};

/// Writes a toolpath down.
pub fn write(toolpath: &Toolpath, dialect: &Dialect, header: &Header) -> Candidate {
    Candidate::new(gcode::text(toolpath, dialect, header))
}

/// The program that cuts the plan's templates, read back and proved, with the notes made on
/// the way.
///
/// # Errors
/// Refused where there is no machine, no toolpath, or where the proof fails.
pub fn template_program(
    plan: &Plan,
    shop: &Shop,
    dialect: &Dialect,
    id: &str,
) -> Result<ProvedProgram, Failure> {
    let machine = shop.machine.as_ref().ok_or_else(header::no_machine)?;
    let thick = shop.template.thick.mm();
    let toolpath = toolpath(&plan.parts, machine, thick, shop.paper)?;
    let header = Header { id: id.to_owned(), name: shop.name.clone() };
    let candidate = write(&toolpath, dialect, &header);
    let promise = promise(plan, shop, (machine, &toolpath.lay), dialect);
    let proved = prove(candidate, &promise).map_err(|verdict| verdict.refusal())?;
    let takes = minutes(proved.text(), dialect.dwell)
        .map_or(proved.figures().minutes, |takes| takes.likely);
    Ok(proved.with_told(toolpath.notes, takes))
}

/// What is thought of programs that are to cut the plan's templates, whoever wrote them.
///
/// # Errors
/// Refused where there is no machine, or where the parts do not fit on the blank.
pub fn judged(
    plan: &Plan,
    shop: &Shop,
    dialect: &Dialect,
    texts: &[&str],
) -> Result<Judgement, Failure> {
    let machine = shop.machine.as_ref().ok_or_else(header::no_machine)?;
    let lay = lay(&plan.parts, machine, shop.paper)?;
    Ok(judge(texts, &promise(plan, shop, (machine, &lay), dialect)))
}

/// What the program is judged by: the drawing as read, the shop, and where the parts lie.
pub fn promise(
    plan: &Plan,
    shop: &Shop,
    (machine, lay): (&Machine, &Lay),
    dialect: &Dialect,
) -> Promise {
    let mut loops = Vec::new();
    for (part, &shift) in plan.parts.iter().zip(&lay.shifts) {
        loops.extend(pledges(part, shift, machine));
        for extra in &shop.template.extras {
            let hole = moved_loop(&extra_hole(extra), shift);
            if part
                .template
                .iter()
                .any(|ring| ring.bounds() == extra_hole(extra).bounds())
            {
                loops.push(Pledge::new(hole, 0.0, machine));
            }
        }
    }
    Promise {
        loops,
        blank: lay.blank,
        work_zero: lay.work_zero,
        thick: shop.template.thick.mm(),
        machine: machine.clone(),
        dialect: dialect.clone(),
    }
}

#[cfg(test)]
mod tests;

//! A toolpath as text, in the words a controller wants; and the way to a proved program.

mod gcode;

mod header;

mod number;

mod test_piece;

mod time;

pub use header::Header;
pub use test_piece::test_piece;
pub use time::{Minutes, minutes};

use crate::diag::{Failure, Problems};
use crate::geom::Point;
use crate::path::{
    Lay, Task, Toolpath, centres, check_recesses, extra_hole, lay, marks, moved_loop,
    pledges, recesses, toolpath,
};
use crate::plan::{Part, Plan};
use crate::post::Dialect;
use crate::prove::{Candidate, Pledge, Promise, ProvedProgram, prove};
use crate::shop::{Machine, Shop, Tool};

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
    let lay = lay(&plan.parts, machine, shop.paper)?;
    check_recesses(&plan.parts, machine, shop.template.thick.mm())?;
    let promise = promise(&plan.parts, shop, (machine, &lay), dialect);
    let tools = promise.tools();
    let (mut marks, mut notes) = scribed(plan, shop, (machine, &lay), &tools);
    let header = Header { id: id.to_owned(), name: shop.name.clone() };
    let mut candidates = Vec::new();
    for &(tool, _) in &tools {
        let thick = shop.template.thick.mm();
        let task = Task { machine, tool, thick, marks: &marks };
        let toolpath = toolpath(&plan.parts, lay.clone(), task)?;
        candidates.push(write(&toolpath, dialect, &header));
        notes.extend(toolpath.notes);
        marks.clear();
    }
    let proved = prove(candidates, &promise).map_err(|verdict| verdict.refusal())?;
    let takes = likely(&proved, dialect, machine);
    Ok(proved.with_told(notes, takes))
}

/// How many minutes programs are likely to take on a machine.
fn likely(proved: &ProvedProgram, dialect: &Dialect, machine: &Machine) -> f64 {
    let one = |text: &String| Some(minutes(text, dialect.dwell, machine.rates)?.likely);
    let all = proved.texts().iter().map(one).sum::<Option<f64>>();
    all.unwrap_or(proved.figures().minutes)
}

/// What the first of the tools scribes: marks where they are asked for, and in any case the
/// centres of holes that are left to the drill.
fn scribed(
    plan: &Plan,
    shop: &Shop,
    (machine, lay): (&Machine, &Lay),
    tools: &[(Tool, Machine)],
) -> (Vec<Vec<Point>>, Problems) {
    let line = tools.first().map_or(0.0, |(_, machine)| machine.end_mill.mm());
    let centres = centres(&plan.parts, lay, (machine, line));
    let mut lines: Vec<Vec<Point>> = centres.into_iter().map(|at| vec![at]).collect();
    if !machine.scribe {
        return (lines, Problems::new());
    }
    let marks = marks(plan, shop, lay, line);
    lines.extend(marks.lines);
    (lines, marks.notes)
}

/// What programs that are to cut the plan's templates are judged by, whoever wrote them.
///
/// # Errors
/// Refused where there is no machine, or where the parts do not fit on the blank.
pub fn promised(plan: &Plan, shop: &Shop, dialect: &Dialect) -> Result<Promise, Failure> {
    let machine = shop.machine.as_ref().ok_or_else(header::no_machine)?;
    let lay = lay(&plan.parts, machine, shop.paper)?;
    Ok(promise(&plan.parts, shop, (machine, &lay), dialect))
}

/// What the program is judged by: the drawing as read, the shop, and where the parts lie.
pub fn promise(
    parts: &[Part],
    shop: &Shop,
    (machine, lay): (&Machine, &Lay),
    dialect: &Dialect,
) -> Promise {
    let mut loops = Vec::new();
    for (part, &shift) in parts.iter().zip(&lay.shifts) {
        loops.extend(pledges(part, shift, machine));
        loops.extend(recesses(part, shift, machine));
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

//! A toolpath as text, in the words a controller wants; and the way to a proved program.

mod gcode;

mod header;

mod number;

mod test_piece;

mod told;

mod time;

pub use header::Header;
pub use test_piece::test_piece;
pub use time::{Minutes, minutes};

use crate::diag::{Failure, Problems};
use crate::geom::{Point, Vector};
use crate::path::{
    GrainRule, Lay, Runs, Task, Toolpath, centres, check_recesses, extra_hole, lay,
    marks, moved_loop, pledges, recesses, toolpath,
};
use crate::plan::{Part, Plan, reliefs};
use crate::post::Dialect;
use crate::prove::{Candidate, Pledge, Promise, ProvedProgram, Relief, prove};
use crate::shop::{Machine, Shop, Tool};

/// Writes a toolpath down, in places as the machine must be told them.
pub fn write(toolpath: &Toolpath, dialect: &Dialect, header: &Header) -> Candidate {
    Candidate::new(gcode::text(&told::told(toolpath), dialect, header))
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
    check_recesses(&plan.parts, machine, (shop.blank_thick(), shop.paper))?;
    let promise = promise(&plan.parts, shop, (machine, &lay), dialect);
    let tools = promise.tools();
    let (mut marks, mut notes) = scribed(plan, shop, (machine, &lay), &tools);
    let header = Header { id: id.to_owned(), name: shop.name.clone() };
    let mut candidates = Vec::new();
    for &(tool, _) in &tools {
        let thick = shop.blank_thick();
        let runs = runs_of(plan, (shop, machine));
        let paper = shop.paper;
        let task = Task { machine, tool, thick, marks: &marks, runs, paper };
        let toolpath = toolpath(&plan.parts, lay.clone(), task)?;
        candidates.push(write(&toolpath, dialect, &header));
        notes.extend(toolpath.notes);
        marks.clear();
    }
    let proved = prove(candidates, &promise).map_err(|verdict| verdict.refusal())?;
    let takes = likely(&proved, dialect, machine);
    Ok(proved.with_told(notes, takes))
}

/// What a plan says of the finishing lap, where the machine cuts the part itself.
fn runs_of<'a>(plan: &'a Plan, (shop, machine): (&Shop, &Machine)) -> Option<Runs<'a>> {
    let axis = |part: &Part| shop.stock.grain_of(&part.outline).axis();
    let rule = |part| GrainRule { axis: axis(part), steepest: machine.steepest_climb() };
    let grain = plan.parts.first().map(rule);
    let grain = grain.filter(|_| machine.cuts_wood() && shop.stock.kind.keeps_its_way());
    machine.cuts_part().then(|| Runs {
        stretches: &plan.stretches,
        passes: &plan.passes,
        grain,
    })
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
    let (mut loops, mut relieved) = (Vec::new(), Vec::new());
    for (part, &shift) in parts.iter().zip(&lay.shifts) {
        loops.extend(
            pledges(part, shift, machine)
                .into_iter()
                .map(|it| in_wood(it, part, (shop, machine))),
        );
        relieved.extend(moved_reliefs(part, shift, machine));
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
        reliefs: relieved,
        blank: lay.blank,
        work_zero: lay.work_zero,
        thick: shop.blank_thick(),
        machine: machine.clone(),
        dialect: dialect.clone(),
        paper: shop.paper,
    }
}

/// The pledge as it holds where the finishing lap goes by the grain of solid wood.
fn in_wood(pledge: Pledge, part: &Part, (shop, machine): (&Shop, &Machine)) -> Pledge {
    if machine.cuts_wood() && shop.stock.kind.keeps_its_way() {
        pledge.in_wood(shop.stock.grain_of(&part.outline).axis(), machine)
    } else {
        pledge
    }
}

/// The corners of a part that are relieved, as it lies; of a template none are.
fn moved_reliefs(part: &Part, by: Vector, machine: &Machine) -> Vec<Relief> {
    if !machine.cuts_part() {
        return Vec::new();
    }
    let all = reliefs(&part.outline, machine).into_iter();
    all.map(|relief| Relief { corner: relief.corner + by, ..relief }).collect()
}

#[cfg(test)]
mod tests;

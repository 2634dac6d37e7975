//! What stands in a program's first lines for the person at the machine.

use super::number::Numbers;
use crate::diag::{Failure, Problem};
use crate::path::Toolpath;
use crate::post::Dialect;
use crate::read::{WorkZero, ZZero};
use crate::shop::Tool;
use crate::units::Unit;

/// What a program is called.
#[derive(Debug, Clone, PartialEq)]
pub struct Header {
    /// The short id that stands on every sheet.
    pub id: String,
    /// The job's name.
    pub name: String,
}

impl Header {
    /// The comments, each without its brackets.
    pub(super) fn comments(&self, toolpath: &Toolpath, dialect: &Dialect) -> Vec<String> {
        let numbers = Numbers::of(dialect);
        let size = |mm: f64| numbers.text(mm);
        let machine = &toolpath.machine;
        let (units, blank) = (dialect.units, &toolpath.lay.blank);
        let unit = if units == Unit::Mm { "mm" } else { "inches" };
        let zero = match machine.zero {
            WorkZero::Corner => "X0 Y0: lower left corner of the blank",
            WorkZero::Centre => "X0 Y0: middle of the blank",
        };
        let (z_zero, zero_above) = match machine.z_zero {
            ZZero::Top => ("Z0: top of the blank", 0.0),
            ZZero::Table => ("Z0: waste board under the blank", toolpath.thick),
        };
        let travel = toolpath.bounds();
        let (low, high) =
            (travel.low - toolpath.lay.work_zero, travel.high - toolpath.lay.work_zero);
        let mut comments = vec![
            format!("id {}", self.id),
            format!("{}: {}", self.name, machine.cuts()),
            format!("all lengths in {unit}, {}", dialect.units_word()),
            zero.to_owned(),
            z_zero.to_owned(),
            format!(
                "blank {} x {} x {} thick, measure it",
                size(blank.width()),
                size(blank.height()),
                size(toolpath.thick)
            ),
            tool(toolpath, size),
            format!("X {} to {}", size(low.x), size(high.x)),
            format!("Y {} to {}", size(low.y), size(high.y)),
            format!("lowest Z {}", size(zero_above + toolpath.lowest())),
            format!("{} tabs", toolpath.tabs.len()),
            "tool above the clearance before the start".to_owned(),
            "watch the first lap, hand on the stop".to_owned(),
        ];
        comments.extend(machine.axes.as_ref().map(|axes| {
            format!("places are told for one machine and no other: {}", axes.words())
        }));
        comments
    }
}

/// The tool, as measured; and how wide it cuts, where a test piece told that.
fn tool(toolpath: &Toolpath, size: impl Fn(f64) -> String) -> String {
    let cuts = size(toolpath.machine.end_mill.mm());
    let word = toolpath.tool.word();
    let bare = toolpath.machine.bare.filter(|_| toolpath.tool == Tool::EndMill);
    match bare {
        Some(bare) => {
            format!("{word} {} measured, cuts {cuts} by the test piece", size(bare.mm()))
        }
        None => format!("{word} {cuts} measured"),
    }
}

/// Why there is no program without a machine.
pub(super) fn no_machine() -> Failure {
    Failure::refused(Problem::stop(
        "no-end-mill",
        "no end mill was given",
        "give the end mill's measured width to have the template cut by a machine",
    ))
}

/// A text fit for a comment: ASCII without brackets.
pub(super) fn plain(text: &str) -> String {
    let fit = |c: char| (c == ' ' || c.is_ascii_graphic()) && !"()%".contains(c);
    text.chars().map(|c| if fit(c) { c } else { '_' }).collect()
}

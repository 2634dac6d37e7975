//! Machine: only where a proved program cuts the template.

use super::Job;
use crate::prove::Figures;
use crate::read::{WorkZero, ZZero};
use crate::sheet::model::Sheet;
use crate::units::{Paper, Unit};

/// The sheet.
pub(super) fn sheet(job: &Job<'_>, (file, figures): (&str, &Figures)) -> Sheet {
    let mut sheet = Sheet::new("Machine");
    // What the controller shows is compared with these: they stand in the program's unit.
    let paper = Paper { unit: figures.units, ..job.shop.paper };
    sheet.units = Some(match figures.units {
        Unit::Mm => "MM".to_owned(),
        Unit::Inch => "INCH, decimals".to_owned(),
    });
    let fine = |mm: f64| paper.fine(mm);
    let travel = &figures.travel;
    let mut rows = vec![
        pair("Program", file),
        pair("End mill, measured", &fine(figures.end_mill)),
        pair("Below the stock, into the waste board", &fine(figures.through_depth)),
        pair(
            "X runs from",
            &format!("{} to {}", fine(travel.low.x), fine(travel.high.x)),
        ),
        pair(
            "Y runs from",
            &format!("{} to {}", fine(travel.low.y), fine(travel.high.y)),
        ),
        pair("Deepest Z", &fine(figures.deepest)),
        pair("Lines", &figures.lines.to_string()),
        pair("Minutes at least", &format!("{:.0}", figures.minutes.max(1.0).ceil())),
        pair("Tabs", &figures.tabs.len().to_string()),
    ];
    if let Some(machine) = &job.shop.machine {
        let zero = match machine.zero {
            WorkZero::Corner => "the blank's lower left corner",
            WorkZero::Centre => "the middle of the blank",
        };
        let z_zero = match machine.z_zero {
            ZZero::Top => "the TOP of the blank",
            ZZero::Table => "the waste board UNDER the blank",
        };
        rows.insert(2, pair("X and Y are zero at", zero));
        rows.insert(3, pair("Z is zero at", z_zero));
        rows.push(pair("Spindle", &format!("{:.0} turns a minute", machine.rpm)));
        rows.push(pair(
            "Travels at",
            &format!("{} above the blank", fine(machine.clear.mm())),
        ));
    }
    sheet.table(&["What", "Figure"], rows, &[]);
    sheet.paragraph(format!(
        "Proved by reading the finished program back: deepest cut into the template {}, most \
         left standing {} (tabs and what the mill cannot reach apart).",
        fine(figures.gouge),
        fine(figures.leftover)
    ));
    sheet.checks([
        "Blank measured in four places, flat, thickness as entered.".to_owned(),
        "Screws and clamps outside the line of cut, and low.".to_owned(),
        "Bit changed? Z zeroed again.".to_owned(),
        "Outline run once in the air, hose and cable free.".to_owned(),
        format!(
            "Far corner reads X ______ Y ______ (no more than X {} Y {}).",
            fine(travel.high.x),
            fine(travel.high.y)
        ),
        "First lap watched, hand on the stop.".to_owned(),
        "Tabs pared flush; the line checked on the sheet of checks.".to_owned(),
    ]);
    sheet
}

fn pair(what: &str, value: &str) -> Vec<String> {
    vec![what.to_owned(), value.to_owned()]
}

//! The drawing's unit, and its size in words: coordinates carry none, so a wrong one would show
//! only here.

use dxf::enums::Units;

use super::file::File;
use crate::diag::{Problem, Weight};
use crate::read::{Checked, Drawing};
use crate::units::{MM_PER_INCH, Unit};

/// How large a unit of the drawing is, and who says so.
#[derive(Debug)]
pub(super) struct Scale {
    /// Millimetres in one unit.
    pub(super) mm: f64,
    unit: &'static str,
    said_by: &'static str,
}

/// The drawing's unit: what its header names, else what was asked for.
pub(super) fn scale(file: &File<'_>, asked: Option<Unit>) -> Checked<Scale> {
    let of_file = |unit, mm| Ok(Scale { mm, unit, said_by: "as the file says" });
    match file.drawing.header.default_drawing_units {
        Units::Inches => of_file("inches", MM_PER_INCH),
        Units::Feet => of_file("feet", 12.0 * MM_PER_INCH),
        Units::Yards => of_file("yards", 36.0 * MM_PER_INCH),
        Units::Millimeters => of_file("millimetres", 1.0),
        Units::Centimeters => of_file("centimetres", 10.0),
        Units::Decimeters => of_file("decimetres", 100.0),
        Units::Meters => of_file("metres", 1000.0),
        Units::Unitless => {
            let unit = asked.ok_or_else(|| unitless(file))?;
            let word = match unit {
                Unit::Mm => "millimetres",
                Unit::Inch => "inches",
            };
            Ok(Scale { mm: unit.in_mm(), unit: word, said_by: "as `units` says" })
        }
        _ => {
            let hint = "set the drawing's unit to mm or inch, with its lengths as they are, and save it anew";
            let found = "the drawing's unit is none of the workshop";
            let problem = Problem::stop("dxf-odd-unit", found, hint);
            Err(problem.expected("mm, cm, dm, m, in, ft or yd").at(file.place()).into())
        }
    }
}

fn unitless(file: &File<'_>) -> Problem {
    let hint = "say which unit it was drawn in with `--units mm` or `--units in` (in a job: `units = \"mm\"`), or set the unit in the drawing program";
    Problem::stop("dxf-no-unit", "the drawing names no unit", hint)
        .expected("a unit in the header: `$INSUNITS`")
        .at(file.place())
}

/// How large the drawing is, for the person to hold against the part.
pub(super) fn size(file: &File<'_>, scale: &Scale, drawing: &Drawing) -> Option<Problem> {
    let bounds = drawing.bounds();
    let (width, height) = (bounds.width(), bounds.height());
    if !(width.is_finite() && height.is_finite()) {
        return None;
    }
    let found = format!(
        "drawn in {}, {}: all that was read is {width:.1} × {height:.1} mm ({:.3} × {:.3} in)",
        scale.unit,
        scale.said_by,
        width / MM_PER_INCH,
        height / MM_PER_INCH
    );
    let hint = "check this size: the unit in the file may be wrong";
    Some(Problem::new("dxf-size", Weight::Hint, found, hint).at(file.place()))
}

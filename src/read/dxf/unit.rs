//! The drawing's unit, and its size in words: coordinates carry none, so a wrong one would show
//! only here.

use dxf::enums::Units;

use super::Asked;
use super::file::File;
use crate::diag::{Problem, Weight};
use crate::read::{Checked, Drawing, KnownSize};
use crate::units::{MM_PER_INCH, Unit};

/// How large a unit of the drawing is, and who says so.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    /// Millimetres in one unit.
    pub(super) mm: f64,
    unit: &'static str,
    said_by: &'static str,
    /// What `units` says, where the file says otherwise.
    other: Option<Unit>,
}

const INCHES: &str = "inches";
const MILLIMETRES: &str = "millimetres";

/// The drawing's unit: what its header names, else what was asked for.
pub(super) fn scale(file: &File<'_>, asked: &Asked<'_>) -> Checked<Scale> {
    let of_file = |unit, mm, system: Unit| {
        let other = asked.units.filter(|asked| *asked != system);
        Ok(Scale { mm, unit, said_by: "as the file says", other })
    };
    match file.drawing.header.default_drawing_units {
        Units::Inches => of_file(INCHES, MM_PER_INCH, Unit::Inch),
        Units::Feet => of_file("feet", 12.0 * MM_PER_INCH, Unit::Inch),
        Units::Yards => of_file("yards", 36.0 * MM_PER_INCH, Unit::Inch),
        Units::Millimeters => of_file(MILLIMETRES, 1.0, Unit::Mm),
        Units::Centimeters => of_file("centimetres", 10.0, Unit::Mm),
        Units::Decimeters => of_file("decimetres", 100.0, Unit::Mm),
        Units::Meters => of_file("metres", 1000.0, Unit::Mm),
        Units::Unitless => {
            // A size that is known says how large a unit is; until then any one does.
            let known = asked.size.map(|_| Unit::Mm);
            let unit = asked.units.or(known).ok_or_else(|| unitless(file))?;
            let said_by = "as `units` says";
            Ok(Scale { mm: unit.in_mm(), unit: word(unit), said_by, other: None })
        }
        _ => {
            let hint = "set the drawing's unit to mm or inch, with its lengths as they are, and save it anew";
            let found = "the drawing's unit is none of the workshop";
            let problem = Problem::stop("dxf-odd-unit", found, hint);
            Err(problem.expected("mm, cm, dm, m, in, ft or yd").at(file.place()).into())
        }
    }
}

const fn word(unit: Unit) -> &'static str {
    match unit {
        Unit::Mm => MILLIMETRES,
        Unit::Inch => INCHES,
    }
}

/// The unit that makes all that was read as large as a person knows it to be.
pub(super) fn known(
    file: &File<'_>,
    scale: Scale,
    (size, read): (KnownSize, &Drawing),
) -> Checked<Scale> {
    let bounds = read.bounds();
    let (wanted, drawn, word) = match size {
        KnownSize::Width(mm) => (mm.mm(), bounds.width(), "width"),
        KnownSize::Height(mm) => (mm.mm(), bounds.height(), "height"),
        KnownSize::Ppi(_) => {
            let found = "pixels an inch are given, and a DXF drawing has no pixels";
            let hint = "give `known-width` or `known-height`, or remove `ppi`";
            let problem = Problem::stop("dxf-known-size", found, hint);
            return Err(problem.at(file.place()).into());
        }
    };
    let mm = scale.mm * (wanted / drawn);
    if !(mm.is_finite() && 0.0 < mm) {
        let found =
            format!("all that is drawn has no {word}, so its known {word} says nothing");
        let hint = "give the other size, or `--units`";
        let problem = Problem::stop("dxf-known-size", found, hint);
        return Err(problem.at(file.place()).into());
    }
    let said_by = "as its known size says";
    Ok(Scale { mm, unit: "a unit of its own", said_by, other: None })
}

fn unitless(file: &File<'_>) -> Problem {
    let hint = "say which unit it was drawn in with `--units mm` or `--units in` (in a job: `units = \"mm\"`) or how wide all of it is with `--known-width`, or set the unit in the drawing program";
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
    let both = |width: f64, height: f64| {
        let (wide, high) = (width / MM_PER_INCH, height / MM_PER_INCH);
        format!("{width:.1} × {height:.1} mm ({wide:.3} × {high:.3} in)")
    };
    let Scale { mm, unit, said_by, other } = *scale;
    let found = format!(
        "drawn in {unit}, {said_by}: all that was read is {}",
        both(width, height)
    );
    let hint = "check this size: the unit in the file may be wrong";
    let Some(other) = other else {
        return Some(
            Problem::new("dxf-size", Weight::Hint, found, hint).at(file.place()),
        );
    };
    let times = other.in_mm() / mm;
    let found = format!(
        "{found}; `units` says {}, which would make it {}",
        word(other),
        both(width * times, height * times)
    );
    let hint = "check this size; where the file is wrong, give the right one of all that is drawn with `--known-width` or `--known-height`";
    Some(Problem::new("dxf-units-differ", Weight::Caution, found, hint).at(file.place()))
}

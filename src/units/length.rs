//! A length, and how people write one: `12.7mm`, `1/2in`, `1 1/2"`, `1-1/2 in`, `30 cm`.

use super::MM_PER_INCH;

/// A finite length in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Mm(f64);

impl Mm {
    /// A length, if the number is finite.
    pub fn new(mm: f64) -> Option<Self> {
        mm.is_finite().then_some(Self(mm))
    }

    /// A length that is known to be finite where it is written.
    ///
    /// # Panics
    /// Panics at compile time, or at once, when the number is not finite.
    pub const fn of(mm: f64) -> Self {
        assert!(mm.is_finite(), "a length is finite");
        Self(mm)
    }

    /// The number of millimetres: the only way out.
    pub const fn mm(self) -> f64 {
        self.0
    }
}

/// A length more than zero, measured across.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Diameter(Mm);

impl Diameter {
    /// A diameter, if the length is more than zero.
    pub fn new(across: Mm) -> Option<Self> {
        (0.0 < across.mm()).then_some(Self(across))
    }

    /// The length across, in millimetres.
    pub const fn mm(self) -> f64 {
        self.0.mm()
    }

    /// Half of it, in millimetres.
    pub const fn radius(self) -> f64 {
        self.0.mm() / 2.0
    }
}

/// The unit of a bare number, and of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Inches.
    Inch,
}

impl Unit {
    /// Millimetres in one of this unit.
    pub const fn in_mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Inch => MM_PER_INCH,
        }
    }
}

/// Why a text is no length.
#[derive(Debug, Clone, PartialEq)]
pub enum LengthError {
    /// There is a number but no unit, and none was given: it could be either.
    NoUnit {
        /// The number read.
        number: f64,
    },
    /// The text could not be read as a number with a unit.
    Unreadable,
}

impl LengthError {
    /// What was found, for a message; `text` is what was being read.
    pub fn found(&self, text: &str) -> String {
        match self {
            Self::NoUnit { number } => format!(
                "`{text}` has no unit: it could be {text} mm or {text} in ({:.3} mm)",
                number * MM_PER_INCH
            ),
            Self::Unreadable => format!("`{text}` is not a length"),
        }
    }

    /// What to do about it.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::NoUnit { .. } => {
                "write the unit (`12.7mm`, `1/2in`), or say once which it is with `--units mm` or `--units in` (in a job: `units = \"mm\"`)"
            }
            Self::Unreadable => {
                "write a length like `12.7mm`, `1/2in`, `1 1/2\"` or `1-1/2 in`"
            }
        }
    }
}

/// Reads a length; `bare` is the unit of a number that names none.
///
/// # Errors
/// [`LengthError::NoUnit`] where the unit is missing and `bare` is `None`;
/// [`LengthError::Unreadable`] for anything that is not a number with a unit.
///
/// ```
/// use spelch::units::{parse_length, Unit};
/// assert!((parse_length("1 1/2\"", None).unwrap().mm() - 38.1).abs() < 1e-12);
/// assert!((parse_length("1-1/2 in", None).unwrap().mm() - 38.1).abs() < 1e-12);
/// assert_eq!(parse_length("3", Some(Unit::Mm)).unwrap().mm(), 3.0);
/// assert!(parse_length("3", None).is_err());
/// ```
pub fn parse_length(text: &str, bare: Option<Unit>) -> Result<Mm, LengthError> {
    let lower = text.trim().to_lowercase();
    let split = lower
        .find(|c: char| !(c.is_ascii_digit() || " .-+/".contains(c)))
        .unwrap_or(lower.len());
    let (digits, unit) = lower.split_at(split);
    let number = parse_number(digits).ok_or(LengthError::Unreadable)?;
    let per = match unit.trim() {
        "mm" => 1.0,
        "cm" => 10.0,
        "m" => 1000.0,
        "in" | "inch" | "inches" | "\"" | "\u{2033}" | "\u{201d}" => MM_PER_INCH,
        "ft" | "'" => 12.0 * MM_PER_INCH,
        "" => bare.ok_or(LengthError::NoUnit { number })?.in_mm(),
        _ => return Err(LengthError::Unreadable),
    };
    Mm::new(number * per).ok_or(LengthError::Unreadable)
}

/// Reads `12.7`, `1/2`, `1 1/2` or `1-1/2`, with an optional sign in front.
fn parse_number(text: &str) -> Option<f64> {
    let text = text.trim();
    let (sign, text) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    if text.starts_with(['-', '+']) {
        return None;
    }
    let value = match text.split_once([' ', '-']) {
        Some((whole, fraction)) => plain(whole)? + ratio(fraction.trim())?,
        None => ratio(text).or_else(|| plain(text))?,
    };
    Some(sign * value)
}

fn ratio(text: &str) -> Option<f64> {
    let (above, below) = text.split_once('/')?;
    let (above, below) = (plain(above.trim())?, plain(below.trim())?);
    (0.0 < below).then(|| above / below)
}

fn plain(text: &str) -> Option<f64> {
    let digits = text.chars().all(|c| c.is_ascii_digit() || c == '.');
    (digits && !text.is_empty()).then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_as_people_write_them() {
        for (text, mm) in [
            ("12.7mm", 12.7),
            ("1/2in", 12.7),
            ("1/2 in", 12.7),
            ("3/4\"", 19.05),
            ("-1/4in", -6.35),
            ("2 cm", 20.0),
            ("1-1/2 in", 38.1),
            (".5in", 12.7),
        ] {
            let read = parse_length(text, None).expect(text).mm();
            assert!((read - mm).abs() < 1e-12, "{text}");
        }
    }

    #[test]
    fn texts_that_are_no_lengths() {
        for text in
            ["", "mm", "1/0in", "1 2 in", "--3mm", "nan mm", "1e3mm", "3 furlongs"]
        {
            assert_eq!(parse_length(text, None), Err(LengthError::Unreadable), "{text}");
        }
        assert_eq!(parse_length("12", None), Err(LengthError::NoUnit { number: 12.0 }));
    }
}

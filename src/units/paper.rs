//! Lengths as a sheet prints them: millimetres, or fractions of an inch with what is left over.

use super::{MM_PER_INCH, Unit};

/// How a sheet writes its lengths: one system on a sheet, never both in a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Paper {
    /// The unit of every length on the sheet.
    pub unit: Unit,
    /// The finest fraction of an inch, as its lower number (32 for 1/32 in).
    pub fraction: u32,
}

impl Paper {
    /// Millimetres.
    pub const MM: Self = Self { unit: Unit::Mm, fraction: 32 };

    /// A length with its unit: `12.7 mm`, `1/2 in`, `3/8 in shy`.
    ///
    /// ```
    /// use spelch::units::{Paper, Unit};
    /// let inch = Paper { unit: Unit::Inch, fraction: 32 };
    /// assert_eq!(inch.length(12.7), "1/2 in");
    /// assert_eq!(inch.length(9.65), "3/8 in strong");
    /// assert_eq!(Paper::MM.length(12.70), "12.7 mm");
    /// ```
    pub fn length(self, mm: f64) -> String {
        if self.is_lost(mm) {
            return format!("under 1/{} in", self.fraction);
        }
        format!("{}{}", self.number(mm), self.tail(mm))
    }

    /// Whether a length is something, and yet less than half of the finest fraction.
    fn is_lost(self, mm: f64) -> bool {
        let steps = mm.abs() / (MM_PER_INCH / f64::from(self.fraction));
        self.unit == Unit::Inch && 0.1 < steps && steps < 0.5
    }

    /// A length to a tenth of a millimetre or the paper's fraction, without the unit.
    pub fn number(self, mm: f64) -> String {
        match self.unit {
            Unit::Mm => trimmed(mm, 1),
            Unit::Inch => self.fraction_of_inch(mm).0,
        }
    }

    /// A size to measure at the bench where a tenth of a millimetre is too coarse: hundredths,
    /// so that a quarter of an inch stays 6.35 mm; in inches the fraction a rule shows.
    ///
    /// ```
    /// use spelch::units::{Paper, Unit};
    /// assert_eq!(Paper::MM.measured(6.35), "6.35 mm");
    /// assert_eq!(Paper { unit: Unit::Inch, fraction: 32 }.measured(6.35), "1/4 in");
    /// ```
    pub fn measured(self, mm: f64) -> String {
        match self.unit {
            Unit::Mm => self.fine(mm),
            Unit::Inch => self.length(mm),
        }
    }

    /// A figure of a machine or a gauge: hundredths of a millimetre, or thousandths of an inch.
    pub fn fine(self, mm: f64) -> String {
        self.decimals(mm, 2)
    }

    /// A length with at most so many decimals of a millimetre, or one more of an inch.
    pub fn decimals(self, mm: f64, decimals: usize) -> String {
        match self.unit {
            Unit::Mm => format!("{} mm", trimmed(mm, decimals)),
            Unit::Inch => format!("{} in", trimmed(mm / MM_PER_INCH, decimals + 1)),
        }
    }

    /// A point as it is read off a drawing or a machine: `X 10 mm, Y 2.5 mm`.
    ///
    /// ```
    /// use spelch::units::{Paper, Unit};
    /// assert_eq!(Paper::MM.point((10.0, 2.5)), "X 10 mm, Y 2.5 mm");
    /// let inch = Paper { unit: Unit::Inch, fraction: 32 };
    /// assert_eq!(inch.point((25.4, 2.5)), "X 1 in, Y 0.0984 in");
    /// ```
    pub fn point(self, (x, y): (f64, f64)) -> String {
        format!("X {}, Y {}", self.decimals(x, 3), self.decimals(y, 3))
    }

    /// An area, in mm², with its unit.
    pub fn area(self, square_mm: f64) -> String {
        match self.unit {
            Unit::Mm => format!("{} mm²", trimmed(square_mm, 1)),
            Unit::Inch => {
                let inch = MM_PER_INCH * MM_PER_INCH;
                format!("{} in²", trimmed(square_mm / inch, 4))
            }
        }
    }

    fn tail(self, mm: f64) -> String {
        match self.unit {
            Unit::Mm => " mm".to_owned(),
            Unit::Inch => format!(" in{}", self.fraction_of_inch(mm).1),
        }
    }

    /// The nearest fraction, and the trade's word for what is left over: more than a tenth
    /// of a step over is *strong*, as much under is *shy*.
    fn fraction_of_inch(self, mm: f64) -> (String, &'static str) {
        let step = MM_PER_INCH / f64::from(self.fraction);
        let steps = (mm.abs() / step).round();
        let over = mm.abs() / step - steps;
        let word = if 0.1 < over {
            " strong"
        } else if over < -0.1 {
            " shy"
        } else {
            ""
        };
        let sign = if mm < 0.0 && 0.0 < steps { "-" } else { "" };
        (format!("{sign}{}", mixed(steps, self.fraction)), word)
    }
}

/// A whole number of steps of `1/below` as a mixed number in lowest terms.
fn mixed(steps: f64, below: u32) -> String {
    let whole = (steps / f64::from(below)).floor();
    let (mut above, mut below) = (steps - whole * f64::from(below), f64::from(below));
    while 0.0 < above && above % 2.0 == 0.0 && below % 2.0 == 0.0 {
        above /= 2.0;
        below /= 2.0;
    }
    match (0.0 < whole, 0.0 < above) {
        (true, true) => format!("{whole} {above}/{below}"),
        (false, true) => format!("{above}/{below}"),
        (_, false) => format!("{whole}"),
    }
}

/// A number with at most so many decimals and no needless zeros.
fn trimmed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    };
    if text == "-0" { "0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_figures_keep_their_digits_in_inches() {
        let inch = Paper { unit: Unit::Inch, fraction: 32 };
        assert_eq!(inch.decimals(0.028, 4), "0.0011 in");
        assert_eq!(Paper::MM.decimals(0.028, 4), "0.028 mm");
    }

    #[test]
    fn fractions_say_what_is_left_over() {
        let inch = Paper { unit: Unit::Inch, fraction: 16 };
        assert_eq!(inch.length(38.1), "1 1/2 in");
        assert_eq!(inch.length(25.4), "1 in");
        assert_eq!(inch.length(9.2), "3/8 in shy");
        assert_eq!(inch.length(0.0), "0 in");
        assert_eq!(inch.length(0.4), "under 1/16 in");
    }
}

//! Numbers as a controller reads them: fixed figures, no exponent, no minus zero.

use crate::post::Dialect;
use crate::units::Unit;

/// How lengths are written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Numbers {
    unit: Unit,
    decimals: usize,
}

impl Numbers {
    pub(super) const fn of(dialect: &Dialect) -> Self {
        Self { unit: dialect.units, decimals: dialect.decimals }
    }

    /// A length in millimetres as text.
    pub(super) fn text(self, mm: f64) -> String {
        let text = format!("{:.*}", self.decimals, mm / self.unit.in_mm());
        let zero = text.chars().all(|c| "-0.".contains(c));
        if zero { text.trim_start_matches('-').to_owned() } else { text }
    }

    /// The length that the text of `mm` stands for, in millimetres.
    pub(super) fn rounded(self, mm: f64) -> f64 {
        self.text(mm).parse::<f64>().unwrap_or(mm) * self.unit.in_mm()
    }

    /// The smallest step, in millimetres.
    pub(super) fn step(self) -> f64 {
        let tenths = (0..self.decimals).fold(1.0, |step, _| step / 10.0);
        tenths * self.unit.in_mm()
    }

    /// A feed in millimetres a minute, never rounded up.
    pub(super) fn feed(self, mm: f64) -> String {
        match self.unit {
            Unit::Mm => format!("{:.0}", mm.floor().max(1.0)),
            Unit::Inch => {
                format!("{:.1}", (mm / self.unit.in_mm() * 10.0).floor().max(1.0) / 10.0)
            }
        }
    }
}

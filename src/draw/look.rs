//! How pens and inks look: one place for paper, file and page.

use super::scene::{Ink, Pen};

/// The look of a line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    /// How wide, in mm.
    pub(super) width: f64,
    /// Its colour.
    pub(super) ink: &'static str,
    /// Dashes and gaps in turn, in mm; none for a solid line.
    pub(super) dashes: &'static [f64],
}

/// The look of a pen: widths and dashes in mm (common practice, no source).
pub(super) const fn look(pen: Pen) -> Look {
    const BLACK: &str = colour(Ink::Black);
    let (width, ink, dashes): (f64, &str, &[f64]) = match pen {
        Pen::Now => (1.1, BLACK, &[]),
        Pen::NotNow | Pen::NeverCut => (0.35, BLACK, &[]),
        Pen::Saw => (0.4, BLACK, &[4.0, 1.8]),
        Pen::Centre => (0.3, BLACK, &[7.0, 1.5, 1.0, 1.5]),
        Pen::Hidden => (0.3, BLACK, &[1.8, 1.2]),
        Pen::Hand => (2.6, "#a6a6a6", &[]),
        Pen::Arrow => (0.9, colour(Ink::Blue), &[]),
        Pen::Fine => (0.25, BLACK, &[]),
        Pen::Border => (0.5, BLACK, &[]),
        Pen::Cut => (0.45, BLACK, &[]),
    };
    Look { width, ink, dashes }
}

/// An ink as `#rgb` or `#rrggbb`.
pub(super) const fn colour(ink: Ink) -> &'static str {
    match ink {
        Ink::Black => "#000",
        Ink::Grey => "#c8c8c8",
        Ink::Blue => "#0072b2",
        Ink::Vermilion => "#d55e00",
        Ink::White => "#fff",
    }
}

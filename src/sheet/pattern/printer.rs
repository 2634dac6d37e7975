//! The paper and the printer: page sizes, and making up for a printer that is not true.

use crate::diag::{Failure, Place, Problem, Source};
use crate::draw::Stretch;
use crate::shop::defaults;
use crate::units::{Diameter, Paper};

/// The size of a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageSize {
    /// 210 by 297 mm (published: ISO 216, Writing paper and certain classes of printed matter;
    /// from memory).
    A4,
    /// 8 1/2 by 11 in (from memory).
    Letter,
}

impl PageSize {
    /// Width and height, standing, in mm.
    pub const fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

/// What a pattern is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PatternOf {
    /// The part.
    Part,
    /// Its template.
    Template,
}

/// What is printed, and what prints it.
#[derive(Debug, Clone, PartialEq)]
pub struct Printer {
    /// The size of its pages.
    pub page: PageSize,
    /// What is drawn.
    pub of: PatternOf,
    /// How long the 100 mm bars across and up came out on paper, if they were measured.
    pub measured: Option<(Diameter, Diameter)>,
}

/// How long the bars are.
pub(super) const BAR: f64 = 100.0;

impl Printer {
    /// By how much the drawing is stretched.
    pub(super) fn stretch(&self) -> Result<Stretch, Failure> {
        let Some((across, up)) = self.measured else { return Ok(Stretch::NONE) };
        let (across, up) = (across.mm(), up.mm());
        for (bar, mm) in [("across", across), ("up", up)] {
            if defaults::MOST_STRETCH.value < (mm - BAR).abs() {
                return Err(Failure::input(not_true(bar, mm)));
            }
        }
        Ok(Stretch { x: BAR / across, y: BAR / up })
    }

    /// The page as it measures in the drawing's millimetres.
    pub(super) fn page(&self, stretch: Stretch) -> (f64, f64) {
        let (width, height) = self.page.size();
        (width / stretch.x, height / stretch.y)
    }
}

fn not_true(bar: &str, mm: f64) -> Problem {
    let found = format!("the 100 mm bar {bar} came out {} long", Paper::MM.fine(mm));
    let hint = "print once more at 100 %, actual size, with nothing fitted to the page; then measure again";
    let most = defaults::MOST_STRETCH.value;
    Problem::stop("print-not-true", found, hint)
        .expected(format!("{} to {} mm", BAR - most, BAR + most))
        .at(Place::whole(Source::Command, "--measured"))
}

//! The toolpath that cuts the templates out of a blank: cut out the openings, then cut round.

mod contour;

mod cut;

mod lap;

mod lay;

mod lead;

mod ramp;

mod route;

mod tabs;

mod walk;

pub use lay::{Lay, by_hand, lay};
pub(crate) use lay::{extra_hole, moved_loop, pledges};
pub(crate) use ramp::chords;

use crate::diag::{Failure, Problems};
use crate::geom::{Bounds, Point};
use crate::plan::Part;
use crate::shop::Machine;
use crate::units::Paper;

/// What a move is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Above the blank, from one cut to the next.
    Travel,
    /// Straight down at the plunge feed.
    Down,
    /// Straight up.
    Up,
    /// Down along the line of the cut.
    Ramp,
    /// A lap that leaves something for the finishing lap.
    Rough,
    /// From the kerf to the finished edge.
    LeadIn,
    /// The finishing lap.
    Finish,
    /// From the finished edge back into the kerf.
    LeadOut,
    /// Over a tab.
    OverTab,
    /// Clearing the inside of a small opening.
    Clear,
}

/// Where a move goes and how; it starts where the last one ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// What it is for.
    pub kind: Kind,
    /// Where it ends, in the frame of the parts as laid.
    pub to: Point,
    /// The height it ends at, above the top of the blank.
    pub z: f64,
    /// An arc's centre and its turn, counter-clockwise positive; `None` for a straight line.
    pub arc: Option<(Point, f64)>,
}

/// All moves, and what must be known to write them.
#[derive(Debug, Clone, PartialEq)]
pub struct Toolpath {
    /// The moves in order. The first goes straight up, from a place that is not known.
    pub moves: Vec<Move>,
    /// How the parts lie on the blank.
    pub lay: Lay,
    /// The machine.
    pub machine: Machine,
    /// The blank's thickness.
    pub thick: f64,
    /// The middles of the tabs, in the frame of the parts as laid.
    pub tabs: Vec<Point>,
    /// Corners of the box of the path, to be shown in the air before the spindle starts.
    pub air: Vec<Point>,
    /// Cautions and hints.
    pub notes: Problems,
}

impl Toolpath {
    /// The box of all its places.
    pub fn bounds(&self) -> Bounds {
        self.moves.iter().fold(Bounds::EMPTY, |all, step| all.with(step.to))
    }
}

/// The toolpath that cuts the templates of these parts.
///
/// # Errors
/// Refused where the parts do not fit the blank, where the machine's figures cannot be, or
/// where a loop cannot be held.
pub fn toolpath(
    parts: &[Part],
    machine: &Machine,
    template_thick: f64,
    paper: Paper,
) -> Result<Toolpath, Failure> {
    let lay = lay(parts, machine, paper)?;
    cut::toolpath(parts, lay, machine, template_thick)
}

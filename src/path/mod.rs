//! The toolpath that cuts templates, or the parts themselves, out of a blank: cut out the openings,
//! then cut round.

mod by_grain;

mod contour;

mod cut;

mod lap;

mod lay;

mod lead;

mod letters;

mod ramp;

mod relief;

mod route;

mod scribe;

mod tabs;

mod walk;

pub use lay::{Lay, by_hand, centres, check_recesses, lay};
pub(crate) use lay::{extra_hole, moved_loop, pledges, recesses};
pub(crate) use ramp::chords;
pub use scribe::{Marks, marks};

use crate::diag::{Failure, Problems};
use crate::geom::{Bounds, Piece, Point};
use crate::plan::{Part, Pass, Stretch};
use crate::shop::{Machine, Tool};
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
    /// Past the line of a hidden inside corner.
    Relief,
    /// A mark on the template's face.
    Scribe,
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

impl Move {
    /// Its line in X and Y, from where it starts.
    const fn piece(&self, from: Point) -> Piece {
        match self.arc {
            None => Piece::Line { from, to: self.to },
            Some((centre, sweep)) => Piece::Arc { from, to: self.to, centre, sweep },
        }
    }
}

/// All moves, and what must be known to write them.
#[derive(Debug, Clone, PartialEq)]
pub struct Toolpath {
    /// The moves in order. The first goes straight up, from a place that is not known.
    pub moves: Vec<Move>,
    /// How the parts lie on the blank.
    pub lay: Lay,
    /// What turns in the collet.
    pub tool: Tool,
    /// The machine as it is then.
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
    /// The lowest height it goes to, above the blank's top.
    pub fn lowest(&self) -> f64 {
        self.moves.iter().map(|step| step.z).fold(f64::INFINITY, f64::min)
    }

    /// The box of all its places, in the air and in the wood.
    pub fn bounds(&self) -> Bounds {
        self.air.iter().copied().fold(bounds(&self.moves), Bounds::with)
    }
}

/// The box of moves, the bows of their arcs with it. The first goes straight up and the second
/// goes to its end from a place that is not known.
fn bounds(moves: &[Move]) -> Bounds {
    let known = moves.get(1..).filter(|rest| !rest.is_empty()).unwrap_or(moves);
    let start = known.iter().take(1).map(|step| Bounds::EMPTY.with(step.to));
    let pairs = known.windows(2);
    start.chain(pairs.map(|pair| pair[1].piece(pair[0].to).bounds())).collect()
}

/// What one tool is to do.
#[derive(Debug, Clone, Copy)]
pub struct Task<'a> {
    /// The machine with its end mill, as the shop has it.
    pub machine: &'a Machine,
    /// The tool.
    pub tool: Tool,
    /// The blank's thickness.
    pub thick: f64,
    /// The lines it scribes, and the centres it marks as lines of one point.
    pub marks: &'a [Vec<Point>],
    /// What the plan says of the finishing lap, where it is the part itself that is cut.
    pub runs: Option<Runs<'a>>,
    /// How lengths are written where it cannot be done.
    pub paper: Paper,
}

/// How the finishing lap of a part is split.
#[derive(Debug, Clone, Copy)]
pub struct Runs<'a> {
    /// The plan's stretches.
    pub stretches: &'a [Stretch],
    /// Its passes: the runs, in the order in which they are cut.
    pub passes: &'a [Pass],
    /// How the grain rules the finishing lap, if it does.
    pub grain: Option<GrainRule>,
}

/// How the grain lies, and how steep uphill a climb may run, in degrees.
#[derive(Debug, Clone, Copy)]
pub struct GrainRule {
    /// The axis of the grain, counter-clockwise from +x.
    pub axis: f64,
    /// The steepest climb.
    pub steepest: f64,
}

/// One tool's share of cutting the templates of these parts as they are laid.
///
/// # Errors
/// Refused where the machine's figures cannot be, or where a loop cannot be held.
pub fn toolpath(parts: &[Part], lay: Lay, task: Task<'_>) -> Result<Toolpath, Failure> {
    cut::toolpath(parts, lay, task)
}

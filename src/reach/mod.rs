//! Facts about where a bit of a given size touches an outline, and what it cannot touch.
//!
//! ```text
//!    | .-.        |     a disc as large as the bit rolls in the void; what of the outline it
//!    |(   )       |     touches is reached, and each place that it leaves, as at the corners x,
//!    | '-'        |     is a site
//!    x____________x
//! ```
//!
//! Knows no bit, no set-up, and makes no choices. `compute` puts a reach together, `site` names
//! what is left, `enclosed` finds where the bit must be let in.
//!
//! Geometry: by the closing of [`crate::geom`].

mod compute;
mod enclosed;
mod site;

#[cfg(test)]
mod cases;
#[cfg(test)]
mod laws;
#[cfg(test)]
mod peers;
#[cfg(test)]
mod polygons;
#[cfg(test)]
mod smooth;
#[cfg(test)]
mod twice;

use crate::diag::Failure;
use crate::geom::{Loop, Point, Span};
use crate::outline::Outline;
use crate::units::Paper;

pub use crate::geom::Method;

/// The two radii that decide what a bearing-guided cutter leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Radii {
    /// Radius of what rides on the template: bearing or guide bush, in mm.
    pub bearing: f64,
    /// Radius of what cuts, in mm; at most `bearing`.
    pub cutter: f64,
}

/// The kind of a place the bit cannot reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SiteKind {
    /// One corner between two walls.
    InsideCorner,
    /// A curve tighter than the bit, without a corner.
    Hollow,
    /// Two corners or more behind one mouth.
    Slot,
    /// Closed off at two ends.
    Neck,
    /// Closed off at three ends or more.
    Junction,
    /// A whole opening that the bit does not enter.
    Opening,
}

impl SiteKind {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::InsideCorner => "inside corner",
            Self::Hollow => "hollow",
            Self::Slot => "slot",
            Self::Neck => "neck",
            Self::Junction => "junction",
            Self::Opening => "opening",
        }
    }
}

/// One place the bit cannot reach: a region between untouched walls and the bit's own arcs.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// What kind of place.
    pub kind: SiteKind,
    /// An inside corner's corner on the drawing; elsewhere the point deepest in the region.
    pub at: Point,
    /// The void's angle at an inside corner, in degrees.
    pub angle: Option<f64>,
    /// How far the deepest point is from the bit, in mm; for an opening that is not entered,
    /// the radius of the largest bit that would enter.
    pub depth: f64,
    /// Lengths of wall left along each side, in mm.
    pub sides: Vec<f64>,
    /// Area left, in mm².
    pub area: f64,
    /// The untouched walls, as spans of the outline, in order.
    pub walls: Vec<Span>,
    /// The closed border of the region: walls and bit's arcs, region on the left; islands and
    /// inner borders follow as further loops.
    pub border: Vec<Loop>,
}

/// A piece of the bit-centre's region that is not joined to the outside: it needs an entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Enclosed {
    /// Indices into [`Reach::centre`] of the loops that bound it.
    pub rings: Vec<usize>,
    /// A point in it as far from its border as can be had cheaply: where an entry hole goes.
    pub entry: Point,
    /// The largest radius about `entry` that stays in the centre's region, in mm.
    pub room: f64,
}

/// What one pair of radii does to an outline.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The runs of the outline that the cutter finishes, maximal, in order of loop and place.
    /// Shallower places do not part them.
    pub touched: Vec<Span>,
    /// What it cannot reach, deeper than the report depth, in order of the loop and place where
    /// the first wall of each starts. Of the part mirrored, a wall starts where it ended.
    pub sites: Vec<Site>,
    /// How many shallower places there are, and their area together, in mm².
    pub shallow: (usize, f64),
    /// Places where the bit fits exactly (within 2 µm): touched, and worth saying. The bit's
    /// centre there, one point a place.
    pub exact_fits: Vec<Point>,
    /// What the bit's centre can get to is bounded by these rings; the region lies on their right.
    pub centre: Vec<Loop>,
    /// Pieces of that region that need an entry hole.
    pub enclosed: Vec<Enclosed>,
    /// What the bit leaves standing: the part with what it cannot reach, less what it takes.
    pub finished: Vec<Loop>,
    /// Wood taken from outside corners because the bearing is larger than the cutter, in mm².
    pub lost: f64,
    /// How it was computed.
    pub method: Method,
}

/// What a bearing-guided cutter does to an outline: where it touches, what it cannot reach and
/// what it really leaves.
///
/// The template is taken as made for the part: the part itself, set out by the difference of the
/// radii. What is left standing is the part opened by that difference and closed by the cutter.
/// `paper` says how messages write lengths.
///
/// # Errors
/// Refused, with the place, when the radii make no sense together or when no method gives a
/// result that the independent check accepts.
pub fn reach(outline: &Outline, radii: Radii, paper: Paper) -> Result<Reach, Failure> {
    compute::reach(&outline.loops, radii).map_err(|refusal| refusal.told(radii, paper))
}

//! Plane geometry in plain `f64` millimetres: x to the right, y up, counter-clockwise positive.
//!
//! Knows no wood. Loops always have the material on their left.
//!
//! ```text
//!    y                  a loop of lines and arcs; walked, the material lies on its left:
//!    |   .--<--.        an outside goes round counter-clockwise, an opening clockwise
//!    |   | .>. |
//!    |   | '<' |
//!    |   '-->--'
//!    +------------- x
//! ```
//!
//! Geometry.
//!
//! # What it answers
//!
//! A disc rolls along loops on their right, in the void. Where does its centre go, what does it
//! touch, and what does it leave? One *trimmed offset* answers all of it.
//!
//! ```text
//!    |     :             walked from the right to the left and then up: the material on its left
//!    B     K - - - - -   K     a knee: from here the disc touches A and B at once
//!    |.                  - -   runs: the ways of the centre, the radius off what the disc touches
//!    | ` .               A, B  feet of the centre: the touch ends in A and goes on from B
//!    |_____A__________   left is what lies between the wall from A to B and the disc's own arc
//! ```
//!
//! The words of these files:
//!
//! - *piece*: a line, or an arc of at most a half turn; *loop*: pieces end to end that close;
//! - *foot*: the place on the loops nearest to the disc's centre; the disc *touches* where the foot
//!   is just the radius away;
//! - *raw piece*: where the centre would go along one piece, or about one corner, if there were
//!   nothing else;
//! - *run*: what survives of a raw piece; *owner*: the stretch of a piece, or the corner, that the
//!   disc touches meanwhile; *ring*: runs end to end that close;
//! - *knee*: where two runs meet that have different feet;
//! - *wall*: a stretch that the disc does not touch; *region*: what it leaves, between walls and
//!   its own arcs; *closing*: the loops with all regions filled;
//! - *exact fit*: a place exactly as wide as the disc, which rounding would open or close.
//!
//! # In which order to read it
//!
//! | files | what they are about |
//! |---|---|
//! | `point`, `piece`, `boundary`, `crossing` | points, pieces, loops, and where pieces meet |
//! | `tolerance`, `tree`, `grid` | how near is near, and how what is near is found |
//! | `raw`, `prune`, `survive`, `stitch`, `trim` | the trimmed offset, a step each |
//! | `near`, `offset`, `at_once` | its input near the origin, its short form, two threads |
//! | `measure`, `rooms`, `held`, `march`, `check` | the check, which shares no code with it |
//! | `union`, `second` | the second method, for what the check does not accept |
//! | `places`, `trace`, `region`, `largest`, `closing` | what the disc leaves, and what stands |
//! | `spans`, `play` | sets of stretches, and exact fits |
//! | `curve`, `biarc`, `fit` | lines and arcs for smooth curves |
//! | `pencil`, `chords`, `certify` | arcs for the chords of a smooth curve |

// Points, pieces and loops.
mod boundary;
pub mod crossing;
mod piece;
mod point;

// How near is near, and how what is near is found.
mod grid;
pub mod tolerance;
mod tree;

// The trimmed offset.
mod at_once;
mod near;
mod offset;
pub(crate) mod planted;
mod prune;
mod raw;
mod stitch;
mod survive;
mod trim;

// Its check.
mod check;
mod held;
mod march;
mod measure;
mod rooms;

// The second method.
mod second;
mod union;

// What the disc leaves.
mod closing;
mod largest;
mod places;
mod play;
mod region;
mod spans;
mod trace;

// Lines and arcs for curves and chords.
mod biarc;
mod certify;
mod chords;
mod curve;
mod fit;
mod pencil;

// What tests are made of, and the tests that are none of one file.
#[cfg(test)]
mod classes;
#[cfg(test)]
mod faults;
#[cfg(test)]
mod hard;
#[cfg(test)]
mod judge;
#[cfg(test)]
mod laws;
#[cfg(test)]
pub(crate) mod shapes;
#[cfg(test)]
mod sorts;
#[cfg(test)]
mod twice;

#[cfg(test)]
pub(crate) use biarc::{Heading, arc_from};
pub use boundary::{Join, Loop, SMOOTH_TURN, Span, nearest_loop, orientation};
pub use chords::{Arcs, arcs_of};
pub use closing::{Closing, Standing, close, close_to_fit};
pub use curve::Curve;
pub use fit::{Ends, Fitted, fit, regular};
pub use grid::Grid;
pub use largest::largest_disc;
pub use offset::offset_loops;
pub use piece::Piece;
pub use point::{Bounds, Point, Vector};
pub use region::{Corner, Region};
#[cfg(test)]
pub(crate) use second::{alone as by_second_method_alone, is_alone as is_second_alone};
pub use spans::merged;
pub use tree::Tree;
pub use trim::{
    Knee, Method, Owner, Place, Recheck, Run, Side, Trimmed, Untrimmed, trim,
    trim_by_polygons,
};

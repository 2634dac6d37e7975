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

pub mod tolerance;

mod point;

mod piece;

mod boundary;

mod tree;

mod grid;

mod curve;

mod biarc;

mod fit;

mod pencil;

mod chords;

pub mod crossing;

mod raw;

mod prune;

mod beside;

mod survive;

mod stitch;

mod near;

mod trim;

pub(crate) mod planted;

mod sweep;

mod second;

mod held;

mod rooms;

mod measure;

mod march;

mod check;

mod offset;

mod spans;

mod trace;

mod room;

mod region;

mod play;

mod closing;

#[cfg(test)]
pub(crate) mod shapes;

#[cfg(test)]
mod sorts;

#[cfg(test)]
mod judge;

#[cfg(test)]
mod classes;

#[cfg(test)]
mod hard;

#[cfg(test)]
mod laws;

#[cfg(test)]
mod faults;

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
pub use offset::offset_loops;
pub use piece::Piece;
pub use point::{Bounds, Point, Vector};
pub use region::{Corner, Region};
pub use room::largest_disc;
#[cfg(test)]
pub(crate) use second::{alone as by_second_method_alone, is_alone as is_second_alone};
pub use spans::merged;
pub use tree::Tree;
pub use trim::{
    Knee, Method, Owner, Place, Recheck, Run, Side, Trimmed, Untrimmed, trim,
    trim_by_polygons,
};

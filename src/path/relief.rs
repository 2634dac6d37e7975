//! Relieved inside corners: from the line of the finishing lap along the bisector until the mill
//! passes through the corner, and back, a depth at a time.
//!
//! ```text
//!  part |    .
//!       |   o  begin       from the line of the lap to where the rim passes through the corner K,
//!       |  /               and back; then a depth lower
//!       | x  end
//!       K___________
//!           part
//! ```
//!
//! Geometry.

use super::Kind;
use super::lap::{ABOVE, Depths};
use super::walk::Pen;
use crate::geom::{Loop, Point};
use crate::prove::Relief;

/// How near its line a relief must begin, in mm (geometry: rounding).
const NEAR: f64 = 1e-3;

/// Relieves the corners of a contour that has been finished, for a mill of this radius.
pub(super) fn relieve(
    pen: &mut Pen,
    (ring, reliefs): (&Loop, &[Relief]),
    (depths, radius, clear): (&Depths, f64, f64),
) {
    for relief in reliefs {
        let [begin, end]: [Point; 2] = relief.stem(radius);
        if NEAR < ring.at(ring.nearest(begin)).distance(begin) {
            continue;
        }
        pen.height(clear, Kind::Up);
        pen.line(begin, Kind::Travel);
        pen.height(ABOVE, Kind::Down);
        for low in depths.steps(0.0, depths.bottom) {
            pen.height(low, Kind::Down);
            pen.line(end, Kind::Relief);
            pen.line(begin, Kind::Relief);
        }
    }
}

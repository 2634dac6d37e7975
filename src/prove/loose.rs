//! Whether an opening that is to be cleared holds anything loose, and how wide an opening is:
//! boxes, halved until each is certain or too small to matter.
//!
//! ```text
//!    +-------+---+---+     a box is certain where its middle tells for all of it: outside, by the
//!    |       | ? |   |     edge or swept by the mill; else it is halved both ways, until it is too
//!    |       +---+---+     small to matter
//!    |       |   | ? |
//!    +-------+---+---+
//! ```
//!
//! Boxes in halves: common practice, no source.

use super::distance::Shape;
use super::promise::Pledge;
use super::tree::Forest;
use crate::geom::{Bounds, Loop, Point};

/// A box smaller than this, in mm, is what its middle is.
const SMALL: f64 = 0.05;

/// What is known of a box by its middle and its half diagonal.
enum Known {
    /// It does not hold what is looked for.
    No,
    /// Its middle is what is looked for.
    Yes,
    /// It must be halved.
    Unknown,
}

/// A place in the opening that no move sweeps though the mill could stand there.
pub(super) fn anywhere(
    pledge: &Pledge,
    edge: &[Shape],
    cuts: &Forest,
    radius: f64,
) -> Option<Point> {
    let border = Forest::new(edge.iter().copied());
    let drawn = Forest::new(pledge.drawn.pieces().iter().map(Shape::of));
    search(edge, |middle, half| {
        let (to_edge, _) = border.near_point(middle, f64::INFINITY, |_| true)?;
        let (to_drawn, _) = drawn.near_point(middle, f64::INFINITY, |_| true)?;
        let inside =
            is_in_opening(drawn.winding(middle, |_| true), to_drawn, pledge.grow);
        let swept = cuts.near_point(middle, radius, |_| true);
        let certain = to_edge + half < radius
            || (!inside && half < to_edge)
            || swept.is_some_and(|(far, _)| far + half < radius);
        Some(match (certain, inside && radius <= to_edge && swept.is_none()) {
            (true, _) => Known::No,
            (false, true) if half < SMALL => Known::Yes,
            (false, false) if half < SMALL => Known::No,
            _ => Known::Unknown,
        })
    })
}

/// Whether a point lies in an opening set out by `grow`, by how often the drawn loop goes round
/// it and how far that is.
const fn is_in_opening(winding: i32, far: f64, grow: f64) -> bool {
    if winding != 0 { grow < far } else { far < -grow }
}

/// Whether some place in the opening is farther than `reach` from its edge.
pub(super) fn is_wider_than(drawn: &Loop, grow: f64, reach: f64) -> bool {
    let edge: Vec<Shape> = drawn.pieces().iter().map(Shape::of).collect();
    let border = Forest::new(edge.iter().copied());
    let place = search(&edge, |middle, half| {
        let (far, _) = border.near_point(middle, f64::INFINITY, |_| true)?;
        let inside = is_in_opening(border.winding(middle, |_| true), far, grow);
        let depth = if inside { far - grow } else { -far };
        Some(match (depth + half <= reach, reach < depth) {
            (true, _) => Known::No,
            (false, true) => Known::Yes,
            (false, false) if half < SMALL => Known::No,
            (false, false) => Known::Unknown,
        })
    });
    place.is_some()
}

/// The middle of the first box that is what is looked for.
fn search(edge: &[Shape], ask: impl Fn(Point, f64) -> Option<Known>) -> Option<Point> {
    let whole: Bounds = edge.iter().map(Shape::bounds).collect();
    let mut open = vec![whole];
    while let Some(area) = open.pop() {
        let middle = area.centre();
        match ask(middle, middle.distance(area.high))? {
            Known::No => {}
            Known::Yes => return Some(middle),
            Known::Unknown => {
                let (low, high) = (area.low, area.high);
                let corners =
                    [low, high, Point::new(low.x, high.y), Point::new(high.x, low.y)];
                open.extend(
                    corners.map(|corner| Bounds::EMPTY.with(corner).with(middle)),
                );
            }
        }
    }
    None
}

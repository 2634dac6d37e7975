//! Where pieces and their carriers, whole lines and whole circles, meet.
//!
//! ```text
//!    . - .   h   the middle of the common chord lies on the line of centres; half the chord by
//!   ( c-(-|-)-c  Heron's product of sums and differences, which loses no digits where circles
//!    ' - '       nearly touch
//! ```
//!
//! Geometry.

use super::{Piece, Point, Vector};
use std::f64::consts::TAU;

/// What a piece lies on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Carrier {
    /// A whole straight line.
    Line {
        /// A point on it.
        through: Point,
        /// Its direction, length one.
        way: Vector,
    },
    /// A whole circle.
    Circle {
        /// Its centre.
        centre: Point,
        /// Its radius.
        radius: f64,
    },
}

/// A point that two pieces share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// Where on the first piece, `0..=1`.
    pub first: f64,
    /// Where on the second piece, `0..=1`.
    pub second: f64,
    /// The point.
    pub at: Point,
}

impl Carrier {
    /// What `piece` lies on.
    pub fn of(piece: &Piece) -> Self {
        match *piece {
            Piece::Line { from, .. } => {
                Self::Line { through: from, way: piece.direction(0.0) }
            }
            Piece::Arc { from, centre, .. } => {
                Self::Circle { centre, radius: from.distance(centre) }
            }
        }
    }
}

impl Carrier {
    /// The point of it nearest to `point`; of a circle about `point`, any.
    pub fn nearest(&self, point: Point) -> Point {
        match *self {
            Self::Line { through, way } => through + way * (point - through).dot(way),
            Self::Circle { centre, radius } => {
                let out = (point - centre).unit().unwrap_or(Vector::new(1.0, 0.0));
                centre + out * radius
            }
        }
    }

    /// Where it meets `other`: two points, equal where two lines cross.
    pub fn meets(&self, other: &Self) -> Option<[Point; 2]> {
        match (*self, *other) {
            (Self::Line { through, way }, _) => {
                let line = Piece::line(through, through + way);
                meets(&line, other).map(|both| both.map(|t| through + way * t))
            }
            (Self::Circle { .. }, Self::Line { .. }) => other.meets(self),
            (
                Self::Circle { centre, radius },
                Self::Circle { centre: about, radius: reach },
            ) => circles(radius, about - centre, reach)
                .map(|both| both.map(|out| centre + out)),
        }
    }
}

/// Where the carrier of `piece` meets `other`, as parameters of `piece`, on and beyond it.
/// Two lines meet once: the parameter stands twice. Carriers that coincide do not meet.
pub fn meets(piece: &Piece, other: &Carrier) -> Option<[f64; 2]> {
    match (*piece, *other) {
        (Piece::Line { from, to }, Carrier::Line { through, way }) => {
            let along = to - from;
            let sine = along.cross(way);
            // Below this the lines are parallel to the last bit (rounding of the product).
            (1e-14 * along.length() < sine.abs()).then(|| {
                let t = (through - from).cross(way) / sine;
                [t, t]
            })
        }
        (Piece::Line { from, to }, Carrier::Circle { centre, radius }) => {
            line_and_circle((from, to - from), centre, radius)
        }
        (Piece::Arc { centre, from, .. }, Carrier::Line { through, way }) => {
            let radius = from.distance(centre);
            let height = way.cross(centre - through);
            let square = (radius - height) * (radius + height);
            (0.0 <= square).then(|| {
                let (foot, half) = (way.right() * height, way * square.sqrt());
                [foot - half, foot + half].map(|out| parameter_of_angle(piece, out))
            })
        }
        (
            Piece::Arc { centre, from, .. },
            Carrier::Circle { centre: other, radius: reach },
        ) => circles(from.distance(centre), other - centre, reach)
            .map(|outs| outs.map(|out| parameter_of_angle(piece, out))),
    }
}

/// The line's height over the centre gives a well conditioned discriminant.
fn line_and_circle(
    (from, along): (Point, Vector),
    centre: Point,
    radius: f64,
) -> Option<[f64; 2]> {
    let square = along.dot(along);
    if radius < 0.0 || square <= 0.0 {
        return None;
    }
    let height = (from - centre).cross(along);
    let rest = radius * radius * square - height * height;
    (0.0 <= rest).then(|| {
        let (middle, half) = ((centre - from).dot(along), rest.sqrt());
        [(middle - half) / square, (middle + half) / square]
    })
}

/// Where a circle about the origin meets one about `way`, as vectors from the origin; by
/// Heron's product, which keeps its digits where the circles nearly touch.
fn circles(radius: f64, way: Vector, other: f64) -> Option<[Vector; 2]> {
    let distance = way.length();
    if other < 0.0 || distance < 1e-12 {
        return None;
    }
    let (sum, difference) = (radius + other, radius - other);
    let product = (sum + distance)
        * (sum - distance)
        * (distance + difference)
        * (distance - difference);
    if product < 0.0 {
        return None;
    }
    let unit = way * (1.0 / distance);
    let along = f64::midpoint(difference * sum / distance, distance);
    let half = product.sqrt() / (2.0 * distance);
    Some([unit * along + unit.right() * half, unit * along + unit.left() * half])
}

/// The parameter of a point on, or near, the carrier of `piece`.
pub fn parameter(piece: &Piece, point: Point) -> f64 {
    match *piece {
        Piece::Line { from, to } => {
            let along = to - from;
            (point - from).dot(along) / along.dot(along)
        }
        Piece::Arc { centre, .. } => parameter_of_angle(piece, point - centre),
    }
}

/// The parameter of the direction `out` on an arc: just before its start it is a little
/// negative, everywhere else it counts on past the end.
fn parameter_of_angle(piece: &Piece, out: Vector) -> f64 {
    let Piece::Arc { from, centre, sweep, .. } = *piece else { return 0.0 };
    let turn = (from - centre).turn_to(out) * sweep.signum();
    let turn = if turn <= -1e-7 { turn + TAU } else { turn };
    turn / sweep.abs()
}

/// Where two pieces cross or touch, their ends included, within `tolerance`.
/// Pieces on one carrier do not cross here.
pub fn crossings(first: &Piece, second: &Piece, tolerance: f64) -> Vec<Crossing> {
    let mut found: Vec<Crossing> = Vec::new();
    let slack = tolerance / first.length().max(tolerance);
    for t in meets(first, &Carrier::of(second)).into_iter().flatten() {
        if !(-slack <= t && t <= 1.0 + slack) {
            continue;
        }
        let t = t.clamp(0.0, 1.0);
        let at = first.at(t);
        let on_second = parameter(second, at).clamp(0.0, 1.0);
        let near = second.at(on_second).distance(at) <= tolerance;
        let new = found.iter().all(|other| tolerance < other.at.distance(at));
        if near && new {
            found.push(Crossing { first: t, second: on_second, at });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn at(x: f64, y: f64) -> Point {
        Point::new(x, y)
    }

    #[test]
    fn lines_and_circles_meet_where_pythagoras_says() {
        // geometry: the 3-4-5 triangle
        let line = Piece::line(at(-10.0, 3.0), at(10.0, 3.0));
        let arc = Piece::arc_about(at(0.0, 0.0), at(5.0, 0.0), PI);
        let hits = crossings(&line, &arc, 1e-9);
        assert_eq!(hits.len(), 2, "a chord has two ends");
        assert!(hits[0].at.distance(at(-4.0, 3.0)) < 1e-12, "left end");
        assert!(hits[1].at.distance(at(4.0, 3.0)) < 1e-12, "right end");
        let back = crossings(&arc, &line, 1e-9);
        assert_eq!(back.len(), 2, "and from the other side");
    }

    #[test]
    fn two_circles_meet_on_their_common_chord() {
        // geometry: equal circles a distance 6 apart with radius 5 meet 4 above and below
        let left = Piece::arc_about(at(-3.0, 0.0), at(2.0, 0.0), PI);
        let right = Piece::arc_about(at(3.0, 0.0), at(8.0, 0.0), PI);
        let hits = crossings(&left, &right, 1e-9);
        assert_eq!(hits.len(), 1, "the upper halves meet once");
        assert!(hits[0].at.distance(at(0.0, 4.0)) < 1e-12, "at the top of the chord");
    }

    #[test]
    fn parallel_lines_do_not_meet() {
        let low = Piece::line(at(0.0, 0.0), at(1.0, 0.3));
        let high = low.moved(Vector::new(0.0, 1.0));
        assert!(crossings(&low, &high, 1e-9).is_empty(), "they are parallel");
    }
}

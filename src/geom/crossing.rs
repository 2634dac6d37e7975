//! Where pieces and their carriers, the whole lines and whole circles that they lie on, meet.
//!
//! ```text
//!          |          The power of a place is the square of its distance from the centre c, less
//!     . - -x- .       that of the radius: nought on the circle. It is told by the way from a point
//!   .      |    .     s of the circle, never from c: of an arc that is nearly straight that would
//!  .     c f----s     have no digits left. Along a line the power is a square in the way from f,
//!   .      |    .     the foot of s on it; its two roots are the crossings x. Two circles meet on
//!     ' - -x- '       the line whose places have the same power of both.
//!          |
//! ```
//!
//! Geometry. The larger root by a sum and the other by their product: published: G. E. Forsythe,
//! How Do You Solve a Quadratic Equation?, 1966, Stanford University, CS-TR-66-40.

use super::tolerance::ROUNDING;
use super::{Piece, Point, Vector};
use std::f64::consts::TAU;

/// Lines are parallel where the sine of the angle between them is no more: rounding of a product.
const PARALLEL: f64 = 1e-14;
/// Circles have one centre where the square of its distance from the other is less, in mm².
const ONE_CENTRE: f64 = 1e-24;
/// On an arc a place so little before its start, in radians, is there, and not nearly a whole turn
/// past it.
const JUST_BEFORE: f64 = 1e-7;

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
        /// A point on it.
        start: Point,
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
            Piece::Arc { from, centre, .. } => Self::Circle { centre, start: from },
        }
    }

    /// The circle of a radius about `centre`.
    pub fn circle(centre: Point, radius: f64) -> Self {
        Self::Circle { centre, start: centre + Vector::new(radius, 0.0) }
    }

    /// The point of it nearest to `point`; of a circle about `point`, any.
    pub fn nearest(&self, point: Point) -> Point {
        match *self {
            Self::Line { through, way } => through + way * (point - through).dot(way),
            Self::Circle { centre, start } => {
                let out = point - centre;
                let far = out.length() + start.distance(centre);
                let off = power((centre, start), point) / far;
                out.unit().map_or(start, |out| point - out * off)
            }
        }
    }

    /// Where it meets `other`: two points, equal where two lines cross.
    pub fn meets(&self, other: &Self) -> Option<[Point; 2]> {
        match (*self, *other) {
            (Self::Line { through, way }, Self::Line { through: other, way: along }) => {
                let line = (through, through + way);
                lines(line, (other, along)).map(|t| [through + way * t; 2])
            }
            (Self::Line { through, way }, Self::Circle { centre, start })
            | (Self::Circle { centre, start }, Self::Line { through, way }) => {
                line_and_circle((through, way), (centre, start))
            }
            (
                Self::Circle { centre, start },
                Self::Circle { centre: about, start: place },
            ) => circles((centre, start), (about, place)),
        }
    }
}

/// Where the carrier of `piece` meets `other`, as parameters of `piece`, on and beyond it.
/// Two lines meet once: the parameter stands twice. Carriers that coincide do not meet.
pub fn meets(piece: &Piece, other: &Carrier) -> Option<[f64; 2]> {
    match (*piece, *other) {
        (Piece::Line { from, to }, Carrier::Line { through, way }) => {
            lines((from, to), (through, way)).map(|t| [t, t])
        }
        _ => Carrier::of(piece)
            .meets(other)
            .map(|both| both.map(|place| parameter(piece, place))),
    }
}

/// Where on the way between two points a line crosses it.
fn lines((from, to): (Point, Point), (through, way): (Point, Vector)) -> Option<f64> {
    let along = to - from;
    let sine = along.cross(way);
    let crosses = PARALLEL * along.length() < sine.abs();
    crosses.then(|| (through - from).cross(way) / sine)
}

/// The power of a point: the square of its distance from a circle's centre, less that of the
/// radius.
fn power((centre, start): (Point, Point), point: Point) -> f64 {
    let way = point - start;
    way.dot(way + (start - centre) * 2.0)
}

/// Where a line, by its direction of length one, meets a circle, in the line's order.
fn line_and_circle(
    (through, way): (Point, Vector),
    (centre, start): (Point, Point),
) -> Option<[Point; 2]> {
    let aside = through - start;
    from_foot(aside - way * aside.dot(way), way, (centre, start))
}

/// The same for a line that is known by the way from the circle's point `start` to its foot on the
/// line: at `x` from the foot the power is `x² + 2 x middle + power`.
fn from_foot(
    foot: Vector,
    way: Vector,
    (centre, start): (Point, Point),
) -> Option<[Point; 2]> {
    let out = start - centre;
    let (middle, power) = (way.dot(out), foot.dot(foot + out * 2.0));
    let square = middle * middle - power;
    // `square` is that of half the chord. A line that misses the circle by rounding touches it:
    // missing by `m` makes the square less than nought by `2 m` times the radius.
    let missed = 2.0 * ROUNDING;
    let meets = 0.0 <= square || square * square <= missed * missed * out.dot(out);
    meets.then(|| {
        // Of the two roots the larger one by a sum, the other by their product.
        let far = -(middle + square.max(0.0).sqrt().copysign(middle));
        let near = if far.abs() <= 0.0 { 0.0 } else { power / far };
        [far.min(near), far.max(near)].map(|along| start + (foot + way * along))
    })
}

/// Where two circles meet: first on the right of the way from the first centre to the second. It is
/// told from the smaller one, on which more digits are left.
fn circles(one: (Point, Point), two: (Point, Point)) -> Option<[Point; 2]> {
    let radius = |(centre, start): (Point, Point)| start.distance(centre);
    if radius(two) < radius(one) {
        return circles(two, one).map(|[right, left]| [left, right]);
    }
    let way = two.0 - one.0;
    let square = way.dot(way);
    if square < ONE_CENTRE {
        return None;
    }
    let foot = way * (power(two, one.1) / (2.0 * square));
    from_foot(foot, way.left() * (1.0 / square.sqrt()), one)
}

/// The parameter of a point on, or near, the carrier of `piece`: 0 at its start, 1 at its end. On
/// an arc's circle it counts on past the end all round, but for the places just before the start.
pub fn parameter(piece: &Piece, point: Point) -> f64 {
    match *piece {
        Piece::Line { from, to } => {
            let along = to - from;
            (point - from).dot(along) / along.dot(along)
        }
        Piece::Arc { from, centre, sweep, .. } => {
            let out = from - centre;
            let turn = libm::atan2(out.cross(point - from), out.dot(point - centre));
            let turn = turn * sweep.signum();
            let turn = if turn <= -JUST_BEFORE { turn + TAU } else { turn };
            turn / sweep.abs()
        }
    }
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
    use crate::geom::shapes::bulged;
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
    fn what_misses_a_circle_by_rounding_touches_it() {
        // geometry: the foot of the centre is the one place they share
        let arc = Piece::arc_about(at(0.0, 0.0), at(5.0, 0.0), PI);
        let line = |height| Piece::line(at(-10.0, height), at(10.0, height));
        for (height, touches) in [(5.0, true), (5.0 + 9e-12, true), (5.0 + 2e-11, false)]
        {
            let hits = crossings(&line(height), &arc, 1e-9);
            assert_eq!(hits.len(), usize::from(touches), "{height}: {hits:?}");
            assert!(hits.iter().all(|hit| hit.at.distance(at(0.0, 5.0)) < 1e-10));
        }
        let beside = Piece::arc_about(at(8.0, 0.0), at(5.0 + 9e-12, 0.0), PI);
        let hits = crossings(&arc, &beside, 1e-9);
        assert_eq!(hits.len(), 1, "circles too: {hits:?}");
    }

    #[test]
    fn an_arc_of_a_thousand_kilometres_keeps_its_digits() {
        // geometry: its height is the bulge times half the chord, and a disc about a place on
        // the chord meets it as far on either side as Pythagoras says
        let bulge = 2.5e-9;
        let flat = bulged(&[[-5.0, 0.0, bulge], [5.0, 0.0, 0.0]]).pieces()[0];
        assert!(flat.radius().is_some_and(|radius| 9e8 < radius), "{flat:?}");
        let line = Piece::line(at(0.0, -3.0), at(0.0, 3.0));
        let [hit] = crossings(&line, &flat, 1e-9)[..] else { panic!("one crossing") };
        assert!(hit.at.distance(at(0.0, -5.0 * bulge)) < 1e-15, "{hit:?}");
        assert!((hit.second - 0.5).abs() < 1e-12, "half-way: {hit:?}");
        assert!((flat.distance(at(0.0, 2.0)) - 2.0 - 5.0 * bulge).abs() < 1e-15);
        let disc = Carrier::circle(at(1.0, 0.0), 3.0);
        let places = Carrier::of(&flat).meets(&disc).expect("they meet");
        for place in places {
            assert!((place.distance(at(1.0, 0.0)) - 3.0).abs() < 1e-14, "{place:?}");
            let height = bulge * (25.0 - place.x * place.x) / 5.0;
            assert!((place.y + height).abs() < 1e-15, "{place:?} on the arc");
        }
    }

    #[test]
    fn parallel_lines_do_not_meet() {
        let low = Piece::line(at(0.0, 0.0), at(1.0, 0.3));
        let high = low.moved(Vector::new(0.0, 1.0));
        assert!(crossings(&low, &high, 1e-9).is_empty(), "they are parallel");
    }
}

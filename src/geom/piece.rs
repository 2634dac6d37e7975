//! A straight line or a circular arc of at most a half turn, walked from one end to the other.
//!
//! ```text
//!         . - to      an arc is kept as both its ends, its centre c and its sweep: how far it
//!       .     |       turns about c, here clockwise by a quarter turn, -1.57
//!      .      |
//!     from -- c
//! ```
//!
//! A place on an arc is told as its start moved along a chord, and how far a point is off its
//! circle by the way from the start to the point: told from the centre, both would lose their
//! digits where the radius is huge.
//!
//! Geometry.

use super::tolerance::RADIUS_STEP;
use super::{Bounds, Point, Vector};
use std::f64::consts::{PI, TAU};

/// A turn that lacks no more than this of a half turn, in radians, goes straight back, as at a
/// cusp: rounding of the directions.
const CUSP: f64 = 1e-9;
/// One that lacks more than this is none, however much the pieces bend.
const NEARLY_BACK: f64 = 1e-2;

/// An arc of a half turn may turn this much farther, in radians (geometry: rounding of its ends).
const HALF: f64 = 1e-9;

/// A sweep no larger than this, in radians, is less than a quarter turn: all its directions are
/// ahead of its first one.
const ACUTE: f64 = 1.0;

/// From a centre farther away than this, in mm, a point of an arc is told with fewer digits than
/// the kernel's rounding leaves it.
const FAR: f64 = 1e4;

/// One piece of a boundary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// A straight line.
    Line {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
    },
    /// A circular arc.
    Arc {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
        /// The centre of its circle.
        centre: Point,
        /// How far it turns, in radians, counter-clockwise positive; `0 < |sweep| <= pi`.
        sweep: f64,
    },
}

impl Piece {
    /// A line.
    pub const fn line(from: Point, to: Point) -> Self {
        Self::Line { from, to }
    }

    /// The arc about `centre` from `from`, turning by `sweep`; its end is computed.
    pub fn arc_about(centre: Point, from: Point, sweep: f64) -> Self {
        let to = turned(centre, from, sweep);
        Self::Arc { from, to, centre, sweep }
    }

    /// Where it starts.
    pub const fn from(&self) -> Point {
        match *self {
            Self::Line { from, .. } | Self::Arc { from, .. } => from,
        }
    }

    /// Where it ends.
    pub const fn to(&self) -> Point {
        match *self {
            Self::Line { to, .. } | Self::Arc { to, .. } => to,
        }
    }

    /// The radius of an arc; `None` for a line.
    pub fn radius(&self) -> Option<f64> {
        match *self {
            Self::Line { .. } => None,
            Self::Arc { from, centre, .. } => Some(from.distance(centre)),
        }
    }

    /// Its length.
    pub fn length(&self) -> f64 {
        match *self {
            Self::Line { from, to } => from.distance(to),
            Self::Arc { from, centre, sweep, .. } => from.distance(centre) * sweep.abs(),
        }
    }

    /// The point at `t` of the way, `0..=1`; the ends exactly.
    pub fn at(&self, t: f64) -> Point {
        if t <= 0.0 {
            return self.from();
        }
        if 1.0 <= t {
            return self.to();
        }
        match *self {
            Self::Line { from, to } => from + (to - from) * t,
            Self::Arc { from, centre, sweep, .. } => turned(centre, from, sweep * t),
        }
    }

    /// The direction of travel at `t`, length one. A piece without length points along +x.
    pub fn direction(&self, t: f64) -> Vector {
        let way = match *self {
            Self::Line { from, to } => to - from,
            Self::Arc { centre, sweep, .. } => {
                let out = self.at(t) - centre;
                if 0.0 < sweep { out.left() } else { out.right() }
            }
        };
        way.unit().unwrap_or(Vector::new(1.0, 0.0))
    }

    /// How sharply it bends: one over its radius, positive counter-clockwise.
    fn curvature(&self) -> f64 {
        match *self {
            Self::Line { .. } => 0.0,
            Self::Arc { from, centre, sweep, .. } => {
                sweep.signum() / from.distance(centre)
            }
        }
    }

    /// The turn from its end to the start of `next`, in radians, counter-clockwise positive.
    ///
    /// At a cusp, where the way goes straight back, the two directions do not tell which way it
    /// turned, but the bends do: the sides curve away from each other, so that it turned left where
    /// they bend to the right on the whole. Where they lie on each other left is as good.
    ///
    /// A way that lacks `l` of straight back is a cusp too where the sides, apart by `l s` less
    /// `bend s² / 2` at `s` from the tip, are nowhere farther on the wrong side than a nanometre:
    /// so drawings are rounded. Then the turn may be a hair more than half.
    pub fn turn_to(&self, next: &Self) -> f64 {
        let turn = self.direction(1.0).turn_to(next.direction(0.0));
        let lacks = PI - turn.abs();
        if NEARLY_BACK < lacks {
            return turn;
        }
        let bend = self.curvature() + next.curvature();
        let most_apart = lacks * lacks / (2.0 * bend.abs());
        if CUSP < lacks && RADIUS_STEP < most_apart {
            return turn;
        }
        match (0.0 < bend, 0.0 < turn) {
            (true, true) => turn - TAU,
            (false, false) => turn + TAU,
            _ => turn,
        }
    }

    /// The same piece walked the other way.
    #[must_use]
    pub const fn reversed(&self) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: to, to: from },
            Self::Arc { from, to, centre, sweep } => {
                Self::Arc { from: to, to: from, centre, sweep: -sweep }
            }
        }
    }

    /// The part from `t0` to `t1`, `0 <= t0 <= t1 <= 1`.
    #[must_use]
    pub fn part(&self, t0: f64, t1: f64) -> Self {
        let (from, to) = (self.at(t0), self.at(t1));
        match *self {
            Self::Line { .. } => Self::Line { from, to },
            Self::Arc { centre, sweep, .. } => {
                Self::Arc { from, to, centre, sweep: sweep * (t1 - t0) }
            }
        }
    }

    /// Whether it turns by a half turn at most, give or take rounding. What tells places on an arc
    /// from the tangents at its ends rests on that.
    pub(super) fn turns_by_half_at_most(&self) -> bool {
        match *self {
            Self::Line { .. } => true,
            Self::Arc { sweep, .. } => sweep.abs() <= PI + HALF,
        }
    }

    /// Whether the direction `out` from an arc's centre lies within its sweep, which is so where it
    /// lies past the way to its start and before the way to its end; true for a line.
    pub fn in_sweep(&self, out: Vector) -> bool {
        match *self {
            Self::Line { .. } => true,
            Self::Arc { from, to, centre, sweep } => {
                let (start, end, side) = (from - centre, to - centre, sweep.signum());
                // Seen from its centre, a sweep so small that rounding hides it is one line, on
                // which straight back is past and before as well: so it must lie ahead, too.
                let ahead = ACUTE < sweep.abs() || 0.0 < start.dot(out);
                ahead && 0.0 <= start.cross(out) * side && 0.0 <= out.cross(end) * side
            }
        }
    }

    /// Whether `point` lies between the lines from an arc's centre through its ends, so that the
    /// arc is nearest to it between its ends; true for a line. Told from the ends, for the digits.
    fn is_beside(&self, point: Point) -> bool {
        match *self {
            Self::Line { .. } => true,
            Self::Arc { from, to, centre, sweep } => {
                let side = sweep.signum();
                0.0 <= (from - centre).cross(point - from) * side
                    && 0.0 <= (point - to).cross(to - centre) * side
            }
        }
    }

    /// The nearest point of the piece to `point`, as `t`.
    pub fn nearest(&self, point: Point) -> f64 {
        match *self {
            Self::Line { from, to } => {
                let way = to - from;
                let square = way.dot(way);
                if 0.0 < square {
                    ((point - from).dot(way) / square).clamp(0.0, 1.0)
                } else {
                    0.0
                }
            }
            Self::Arc { from, to, centre, sweep } => {
                if self.is_beside(point) {
                    let (start, way) = (from - centre, point - from);
                    let along = start.dot(point - centre);
                    let turn = libm::atan2(start.cross(way), along) * sweep.signum();
                    let turn = if turn < 0.0 { turn + TAU } else { turn };
                    (turn / sweep.abs()).min(1.0)
                } else if point.distance(from) <= point.distance(to) {
                    0.0
                } else {
                    1.0
                }
            }
        }
    }

    /// How far `point` is from the piece.
    pub fn distance(&self, point: Point) -> f64 {
        match *self {
            Self::Line { .. } => self.at(self.nearest(point)).distance(point),
            Self::Arc { from, to, centre, .. } => {
                if self.is_beside(point) {
                    off_circle((centre, from), point).abs()
                } else {
                    point.distance(from).min(point.distance(to))
                }
            }
        }
    }

    /// The smallest upright box that holds it.
    pub fn bounds(&self) -> Bounds {
        let mut bounds = Bounds::EMPTY.with(self.from()).with(self.to());
        if let Self::Arc { from, centre, .. } = *self {
            let radius = from.distance(centre);
            let farthest = |out: Vector| {
                if radius < FAR {
                    centre + out * radius
                } else {
                    turned(centre, from, (from - centre).turn_to(out))
                }
            };
            for out in [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)] {
                let out = Vector::new(out.0, out.1);
                if self.in_sweep(out) {
                    bounds = bounds.with(farthest(out));
                }
            }
        }
        bounds
    }

    /// Twice the area between the piece and `origin`, counter-clockwise positive (Green).
    pub fn twice_area(&self, origin: Point) -> f64 {
        let chord = (self.from() - origin).cross(self.to() - origin);
        match *self {
            Self::Line { .. } => chord,
            Self::Arc { from, centre, sweep, .. } => {
                let out = from - centre;
                chord + out.dot(out) * sweep_less_sine(sweep)
            }
        }
    }

    /// The parallel so far to its right, to its left where negative; none where an arc has shrunk
    /// to a point or beyond.
    pub fn beside(&self, right: f64) -> Option<Self> {
        let Self::Arc { from, to, centre, sweep } = *self else {
            return Some(self.moved(self.direction(0.0).right() * right));
        };
        let more = right * sweep.signum() / from.distance(centre);
        let scaled = |end: Point| end + (end - centre) * more;
        (-1.0 < more).then(|| Self::Arc {
            from: scaled(from),
            to: scaled(to),
            centre,
            sweep,
        })
    }

    /// The same piece moved by `way`.
    #[must_use]
    pub fn moved(&self, way: Vector) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: from + way, to: to + way },
            Self::Arc { from, to, centre, sweep } => {
                Self::Arc { from: from + way, to: to + way, centre: centre + way, sweep }
            }
        }
    }
}

/// `point` turned about `centre`, in radians, counter-clockwise: moved along the chord of that
/// turn, which is twice the radius times the sine of half the turn, square to the radius
/// half-way.
fn turned(centre: Point, point: Point, radians: f64) -> Point {
    let (sin, cos) = libm::sincos(radians / 2.0);
    let out = point - centre;
    point + (out.left() * cos - out * sin) * (2.0 * sin)
}

/// How far `point` is outside the circle about `centre` through `from`: the difference of the
/// squares of distance and radius, told by the way from there, over their sum.
fn off_circle((centre, from): (Point, Point), point: Point) -> f64 {
    let (out, way) = (from - centre, point - from);
    way.dot(way + out * 2.0) / ((out + way).length() + out.length())
}

/// A sweep less its sine: twice the area between arc and chord where the radius is 1. Of a small
/// sweep by its series, for the difference would have no digits left.
fn sweep_less_sine(sweep: f64) -> f64 {
    if 1e-2 < sweep.abs() {
        return sweep - libm::sin(sweep);
    }
    let square = sweep * sweep;
    sweep * square / 6.0 * (1.0 - square / 20.0 * (1.0 - square / 42.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    #[test]
    fn round_ends_that_all_but_touch_turn_as_they_bend() {
        // geometry: two humps of 10 mm side by side, the second out of its place by as little as
        // their directions at the cusp differ; where they stand apart the void is a corner, and
        // walked the other way wood comes to a point
        let at = Point::new;
        for off in [0.0, 1e-9, -1e-9, 1e-7, -1e-7, 1e-5, -1e-5, 1e-3, -1e-3] {
            let hump = |from: f64, to: f64, sweep: f64| {
                let middle = at(f64::midpoint(from, to), 0.0);
                Piece::Arc { from: at(from, 0.0), to: at(to, off), centre: middle, sweep }
            };
            let (one, two) = (hump(40.0, 20.0, PI), hump(20.0, 0.0, PI - off));
            let (turn, back) =
                (one.turn_to(&two), two.reversed().turn_to(&one.reversed()));
            assert!((turn + PI).abs() < 1e-3, "{off}: {turn}");
            assert!((back - PI).abs() < 1e-3, "{off}: {back}");
        }
    }

    #[test]
    fn a_quarter_of_a_circle() {
        let arc = Piece::arc_about(Point::new(0.0, 0.0), Point::new(2.0, 0.0), FRAC_PI_2);
        assert!(arc.to().distance(Point::new(0.0, 2.0)) < 1e-15, "it ends at the top");
        assert!((arc.length() - PI).abs() < 1e-15, "length r times sweep");
        assert!(
            (arc.distance(Point::new(3.0, 3.0)) - (18f64.sqrt() - 2.0)).abs() < 1e-15
        );
        assert!((arc.distance(Point::new(0.0, -1.0)) - 5f64.sqrt()).abs() < 1e-15);
        assert!((arc.nearest(Point::new(1.0, 1.0)) - 0.5).abs() < 1e-15, "half-way");
        let box_ = arc.bounds();
        assert!(box_.low.x.abs() < 1e-15 && (box_.high.y - 2.0).abs() < 1e-15);
    }

    #[test]
    fn straight_back_from_a_tiny_sweep_is_not_in_it() {
        let ahead = Vector::new(0.6, 0.8);
        for radius in [1.0, 1e7, 2e13] {
            let (from, centre) = (Point::default(), Point::default() - ahead * radius);
            let to = from + ahead.left() * 1e-3;
            let arc = Piece::Arc { from, to, centre, sweep: 1e-3 / radius };
            for arc in [arc, arc.reversed()] {
                assert!(!arc.in_sweep(-ahead), "{radius}: {arc:?}");
                assert!(arc.in_sweep(from.middle(to) - centre), "{radius}: {arc:?}");
                assert!(arc.bounds().high.x.abs() < 1e-2, "{radius}: {:?}", arc.bounds());
            }
        }
    }

    #[test]
    fn a_box_holds_an_arc_of_any_radius_and_no_more() {
        // geometry: an arc over a chord of 10 rises by the tangent of a quarter of its turn
        // times half the chord
        for quarter in [1e-9_f64, 1e-6, 1e-4, 1e-3, 0.1, 0.4] {
            let height = 5.0 * quarter;
            let radius = f64::midpoint(25.0 / height, height);
            let centre = Point::new(5.0, height - radius);
            let (from, to) = (Point::new(10.0, 0.0), Point::new(0.0, 0.0));
            let sweep = 4.0 * libm::atan(quarter);
            let box_ = Piece::Arc { from, to, centre, sweep }.bounds();
            let off = (box_.high.y - height).abs() + box_.low.y.abs();
            assert!(off < 1e-12, "{off} for {radius}");
            assert!(box_.low.x.abs() < 1e-12 && (box_.high.x - 10.0).abs() < 1e-12);
        }
    }
}

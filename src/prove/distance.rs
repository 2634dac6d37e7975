//! Least distances of lines and arcs, in closed form: end points, feet, the line of centres,
//! and nothing where they cross. The proof's own; no other room measures with it.
//!
//! ```text
//!  a line   o                two circles            each pair has its nearest places at an end, at
//!           |                                       the foot of the other's end or centre, or on
//!     ------+------         ( c )---( d )           the line of both centres; or they cross
//! ```
//!
//! Geometry.

use crate::geom::{Bounds, Piece, Point, Vector};
use std::f64::consts::{PI, TAU};

/// A straight line, or an arc of up to a whole turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shape {
    pub from: Point,
    pub to: Point,
    /// An arc's centre and turn, counter-clockwise positive.
    pub bow: Option<(Point, f64)>,
}

impl Shape {
    pub(super) const fn of(piece: &Piece) -> Self {
        match *piece {
            Piece::Line { from, to } => Self { from, to, bow: None },
            Piece::Arc { from, to, centre, sweep } => {
                Self { from, to, bow: Some((centre, sweep)) }
            }
        }
    }

    pub(super) fn length(&self) -> f64 {
        match self.bow {
            None => self.from.distance(self.to),
            Some((centre, sweep)) => self.from.distance(centre) * sweep.abs(),
        }
    }

    /// The point at this share of the way.
    pub(super) fn at(&self, share: f64) -> Point {
        if share <= 0.0 {
            return self.from;
        }
        if 1.0 <= share {
            return self.to;
        }
        match self.bow {
            None => self.from + (self.to - self.from) * share,
            Some((centre, sweep)) => centre + turned(self.from - centre, sweep * share),
        }
    }

    /// The direction at this share of the way, length one.
    pub(super) fn direction(&self, share: f64) -> Vector {
        let way = match self.bow {
            None => self.to - self.from,
            Some((centre, sweep)) => {
                let out = turned(self.from - centre, sweep * share.clamp(0.0, 1.0));
                if 0.0 < sweep { out.left() } else { out.right() }
            }
        };
        way.unit().unwrap_or(Vector::new(1.0, 0.0))
    }

    /// The part between two shares of the way.
    pub(super) fn part(&self, first: f64, last: f64) -> Self {
        let bow = self.bow.map(|(centre, sweep)| (centre, sweep * (last - first)));
        Self { from: self.at(first), to: self.at(last), bow }
    }

    pub(super) fn moved(&self, by: Vector) -> Self {
        let bow = self.bow.map(|(centre, sweep)| (centre + by, sweep));
        Self { from: self.from + by, to: self.to + by, bow }
    }

    /// The smallest upright box round it.
    pub(super) fn bounds(&self) -> Bounds {
        let ends = Bounds::EMPTY.with(self.from).with(self.to);
        let Some((centre, _)) = self.bow else { return ends };
        let radius = self.radius();
        let ways = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];
        let outs = ways.into_iter().map(|(x, y)| Vector::new(x, y));
        outs.filter(|&out| self.faces(out))
            .fold(ends, |all, out| all.with(centre + out * radius))
            .grown((self.to.distance(centre) - radius).abs())
    }

    /// The radius at an arc's start.
    fn radius(&self) -> f64 {
        self.bow.map_or(0.0, |(centre, _)| self.from.distance(centre))
    }

    /// Whether an arc passes in this direction from its centre.
    pub(super) fn faces(&self, out: Vector) -> bool {
        let Some((centre, sweep)) = self.bow else { return false };
        if TAU <= sweep.abs() {
            return true;
        }
        // The end lies in the direction of the turn: no angle is needed.
        let (first, last) = (self.from - centre, self.to - centre);
        let (past, before) = if 0.0 < sweep {
            (first.cross(out), out.cross(last))
        } else {
            (out.cross(first), last.cross(out))
        };
        if sweep.abs() <= PI {
            0.0 <= past && 0.0 <= before
        } else {
            0.0 <= past || 0.0 <= before
        }
    }

    /// Whether a ray from a point to the right crosses it: 1 upwards, -1 downwards.
    pub(super) fn crossing(&self, point: Point) -> i32 {
        let Some((centre, sweep)) = self.bow else {
            let side = (self.to - self.from).cross(point - self.from);
            return step(self.from.y, self.to.y, point.y, |up| (0.0 < side) == up);
        };
        // From one top or bottom of the circle to the next its height only grows or only falls.
        let radius = self.radius();
        let start = libm::atan2(self.from.y - centre.y, self.from.x - centre.x);
        let mut ways: Vec<(f64, f64)> = Vec::new();
        let (low, high) = (start.min(start + sweep), start.max(start + sweep));
        let turns = (-3i32..=3).map(|n| PI * (f64::from(n) + 0.5));
        for turn in turns.filter(|&turn| low < turn && turn < high) {
            let top = if libm::sin(turn) < 0.0 { -radius } else { radius };
            ways.push((turn, centre.y + top));
        }
        if sweep < 0.0 {
            ways.reverse();
        }
        ways.push((start + sweep, self.to.y));
        let mut before = (start, self.from.y);
        let mut found = 0;
        for way in ways {
            let right = 0.0 < libm::cos(f64::midpoint(before.0, way.0));
            let up = point.y - centre.y;
            let out = (radius * radius - up * up).max(0.0).sqrt();
            let x = if right { centre.x + out } else { centre.x - out };
            found += step(before.1, way.1, point.y, |_| point.x < x);
            before = way;
        }
        found
    }

    /// How far a point is.
    pub(super) fn point_gap(&self, point: Point) -> f64 {
        match self.bow {
            None => self.foot_square(point).sqrt(),
            Some((centre, _)) => {
                let out = point - centre;
                let ends = square(point, self.from).min(square(point, self.to)).sqrt();
                if self.faces(out) {
                    (out.length() - self.radius()).abs().min(ends)
                } else {
                    ends
                }
            }
        }
    }

    /// How far one turns, in radians, who looks from a point along the way.
    pub(super) fn turn_about(&self, point: Point) -> f64 {
        let (a, b) = (self.from - point, self.to - point);
        let side = a.cross(b) + 0.0; // no minus zero: on the chord counts as on its left
        let turn = libm::atan2(side, a.dot(b));
        let Some((centre, sweep)) = self.bow else { return turn };
        // Between the chord and its arc the other way round.
        let between = point.distance(centre) < self.radius();
        if between && (side < 0.0) == (0.0 < sweep) {
            turn + TAU * sweep.signum()
        } else {
            turn
        }
    }

    /// The square of the distance of a point from a line.
    fn foot_square(&self, point: Point) -> f64 {
        let way = self.to - self.from;
        let whole = way.dot(way);
        if whole <= 0.0 {
            return square(point, self.from);
        }
        let share = ((point - self.from).dot(way) / whole).clamp(0.0, 1.0);
        square(point, self.from + way * share)
    }

    /// How near another shape comes.
    pub(super) fn shape_gap(&self, other: &Self) -> f64 {
        if self.bow.is_none() && other.bow.is_none() {
            return self.line_gap(other);
        }
        let ends = self
            .point_gap(other.from)
            .min(self.point_gap(other.to))
            .min(other.point_gap(self.from))
            .min(other.point_gap(self.to));
        let inner = match (self.bow, other.bow) {
            (None, _) => line_arc(self, other),
            (_, None) => line_arc(other, self),
            (Some(_), Some(_)) => arcs(self, other),
        };
        ends.min(inner)
    }

    /// The same of two lines: one root for all four ends.
    fn line_gap(&self, other: &Self) -> f64 {
        if cross_each_other(self, other) {
            return 0.0;
        }
        let ends = self.foot_square(other.from).min(self.foot_square(other.to));
        ends.min(other.foot_square(self.from)).min(other.foot_square(self.to)).sqrt()
    }
}

/// What a run from one height to another adds, where it passes a height on the right side.
fn step(from: f64, to: f64, at: f64, is_right: impl Fn(bool) -> bool) -> i32 {
    if from <= at && at < to && is_right(true) {
        1
    } else if to <= at && at < from && is_right(false) {
        -1
    } else {
        0
    }
}

fn turned(out: Vector, by: f64) -> Vector {
    let (sin, cos) = libm::sincos(by);
    Vector::new(out.x * cos - out.y * sin, out.x * sin + out.y * cos)
}

fn square(a: Point, b: Point) -> f64 {
    (b - a).dot(b - a)
}

fn cross_each_other(a: &Shape, b: &Shape) -> bool {
    let (u, v) = (a.to - a.from, b.to - b.from);
    let (first, last) = (u.cross(b.from - a.from), u.cross(b.to - a.from));
    let (third, fourth) = (v.cross(a.from - b.from), v.cross(a.to - b.from));
    first * last < 0.0 && third * fourth < 0.0
}

/// Within both: the foot of the centre on the line, or a crossing.
fn line_arc(line: &Shape, arc: &Shape) -> f64 {
    let Some((centre, _)) = arc.bow else { return f64::INFINITY };
    let way = line.to - line.from;
    let square = way.dot(way);
    if square <= 0.0 {
        return f64::INFINITY;
    }
    let radius = arc.radius();
    let share = (centre - line.from).dot(way) / square;
    let off = line.from + way * share - centre;
    let rest = radius * radius - off.dot(off);
    if 0.0 <= rest {
        let half = (rest / square).sqrt();
        let meets = |at: f64| {
            (0.0..=1.0).contains(&at) && arc.faces(line.from + way * at - centre)
        };
        return if meets(share - half) || meets(share + half) {
            0.0
        } else {
            f64::INFINITY
        };
    }
    if (0.0..=1.0).contains(&share) && arc.faces(off) {
        return off.length() - radius;
    }
    f64::INFINITY
}

/// Within both: on the line of centres, or a crossing.
fn arcs(a: &Shape, b: &Shape) -> f64 {
    let (Some((first, _)), Some((second, _))) = (a.bow, b.bow) else {
        return f64::INFINITY;
    };
    let (r, s) = (a.radius(), b.radius());
    let way = second - first;
    let apart = way.length();
    let Some(u) = way.unit() else { return f64::INFINITY };
    let along = (apart * apart + r * r - s * s) / (2.0 * apart);
    let up = r * r - along * along;
    if 0.0 <= up {
        let meets = |side: f64| {
            let out = u * along + u.left() * (up.sqrt() * side);
            a.faces(out) && b.faces(first + out - second)
        };
        if meets(1.0) || meets(-1.0) {
            return 0.0;
        }
    }
    let mut least = f64::INFINITY;
    for (p, q) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
        if a.faces(u * p) && b.faces(u * q) {
            least = least.min((apart + s * q - r * p).abs());
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(a: (f64, f64), b: (f64, f64)) -> Shape {
        Shape { from: Point::new(a.0, a.1), to: Point::new(b.0, b.1), bow: None }
    }

    fn arc(centre: (f64, f64), radius: f64, start: f64, sweep: f64) -> Shape {
        let centre = Point::new(centre.0, centre.1);
        let from = centre + Vector::at_angle(start) * radius;
        let to = centre + Vector::at_angle(start + sweep) * radius;
        Shape { from, to, bow: Some((centre, sweep)) }
    }

    /// The least distance by a fine walk along both.
    fn by_walking(a: &Shape, b: &Shape) -> f64 {
        let mut least = f64::INFINITY;
        for i in 0..=400 {
            for j in 0..=400 {
                let (p, q) = (a.at(f64::from(i) / 400.0), b.at(f64::from(j) / 400.0));
                least = least.min(p.distance(q));
            }
        }
        least
    }

    #[test]
    fn closed_forms_agree_with_a_fine_walk() {
        let mut seed = 7u32;
        let mut next = |span: f64| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(seed >> 8) / f64::from(1u32 << 24) * span
        };
        for case in 0..120 {
            let mut shape = || {
                if next(1.0) < 0.4 {
                    line((next(10.0), next(10.0)), (next(10.0), next(10.0)))
                } else {
                    let sweep = next(2.0 * TAU) - TAU;
                    arc((next(10.0), next(10.0)), 0.2 + next(4.0), next(TAU), sweep)
                }
            };
            let (a, b) = (shape(), shape());
            let (exact, walked) = (a.shape_gap(&b), by_walking(&a, &b));
            assert!(
                exact <= walked + 1e-9,
                "case {case}: {exact} is the least, not {walked}"
            );
            assert!(
                walked - exact < 0.09,
                "case {case}: {exact} is reached, by walking {walked}"
            );
        }
    }

    #[test]
    fn touching_and_crossing_shapes_are_at_no_distance() {
        let cross = line((0.0, 0.0), (4.0, 4.0)).shape_gap(&line((0.0, 4.0), (4.0, 0.0)));
        assert!(cross == 0.0, "two lines cross");
        let through =
            line((-5.0, 0.5), (5.0, 0.5)).shape_gap(&arc((0.0, 0.0), 2.0, 0.0, TAU));
        assert!(through == 0.0, "a line through a circle");
        let beside =
            line((-5.0, 3.0), (5.0, 3.0)).shape_gap(&arc((0.0, 0.0), 2.0, 0.0, 3.0));
        assert!((beside - 1.0).abs() < 1e-12, "one above the top of the arc");
        let inside =
            arc((0.0, 0.0), 2.0, 0.0, TAU).shape_gap(&arc((0.5, 0.0), 1.0, 0.0, TAU));
        assert!((inside - 0.5).abs() < 1e-12, "a circle in a circle");
    }
}

//! A closed loop of pieces with the material on its left, and spans along it.
//!
//! ```text
//!      ___<___
//!     |       |         how often it winds round a point p: of the chords that cross the ray to
//!     |   p - ) - - -   the right, one more for each that goes up, one less for each that goes
//!     |___>___|         down; and one more or less for each arc with p between it and its chord
//! ```
//!
//! Places along a loop are told in two ways: by how far it is from the loop's first point, in mm,
//! and as a piece and the share `t` of it.
//!
//! Rays: common practice, no source; the arcs' share is our own (geometry). On which side of a
//! chord a point lies is told exactly: published: J. R. Shewchuk, Adaptive Precision Floating-Point
//! Arithmetic and Fast Robust Geometric Predicates, 1997, Discrete & Computational Geometry 18, as
//! the crate `robust` has it.

use super::{Bounds, Piece, Point, Tree, Vector};
use std::f64::consts::PI;
use std::fmt;
use std::sync::OnceLock;

/// How two neighbouring pieces meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Join {
    /// The direction goes on.
    Smooth,
    /// The direction turns: a corner of the drawing.
    Corner,
}

/// A turn smaller than this, in radians, is no corner (from memory).
pub const SMOOTH_TURN: f64 = 1e-3;

/// A closed loop: each piece starts where the last one ended.
///
/// Places along it are measured in millimetres from its first point, in the way of its walk.
#[derive(Clone, PartialEq)]
pub struct Loop {
    pieces: Vec<Piece>,
    /// Where each piece starts, in mm along the loop, and at the end the whole length.
    starts: Vec<f64>,
    boxes: Boxes,
}

/// The tree of the pieces' boxes, made when it is first asked for. It follows from the pieces,
/// so that it never tells two loops apart.
#[derive(Clone, Default)]
struct Boxes(OnceLock<Tree>);

impl PartialEq for Boxes {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl fmt::Debug for Loop {
    /// What it is, whether its tree was asked for or not.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { pieces, starts, boxes: _ } = self;
        out.debug_struct("Loop").field("pieces", pieces).field("starts", starts).finish()
    }
}

/// A run along a loop; it may pass the loop's first point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Index of the loop in its outline.
    pub on: usize,
    /// Where it starts, in millimetres along the loop, `0 <= from < length of the loop`.
    pub from: f64,
    /// How long it is, at most the loop's length.
    pub length: f64,
}

impl Span {
    /// Where it ends, counted on past the loop's end.
    pub fn to(&self) -> f64 {
        self.from + self.length
    }
}

impl Loop {
    /// A loop of pieces that meet end to end and close.
    ///
    /// # Panics
    /// Panics when there is no piece: every caller has at least one.
    pub fn new(pieces: Vec<Piece>) -> Self {
        assert!(!pieces.is_empty(), "a loop has pieces");
        let mut starts = Vec::with_capacity(pieces.len() + 1);
        let mut length = 0.0;
        starts.push(length);
        for piece in &pieces {
            length += piece.length();
            starts.push(length);
        }
        Self { pieces, starts, boxes: Boxes::default() }
    }

    /// The polygon through these points.
    pub fn polygon(points: &[Point]) -> Self {
        let next = points.iter().cycle().skip(1);
        Self::new(points.iter().zip(next).map(|(&a, &b)| Piece::line(a, b)).collect())
    }

    /// A round opening: clockwise, two half arcs from its rightmost point.
    pub fn opening(centre: Point, radius: f64) -> Self {
        let out = Vector::new(radius, 0.0);
        let (right, left) = (centre + out, centre - out);
        let half = |from, to| Piece::Arc { from, to, centre, sweep: -PI };
        Self::new(vec![half(right, left), half(left, right)])
    }

    /// Its pieces in order.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Its length.
    pub fn length(&self) -> f64 {
        self.starts[self.pieces.len()]
    }

    /// Its area: positive counter-clockwise, negative clockwise.
    pub fn area(&self) -> f64 {
        let origin = self.pieces[0].from();
        self.pieces.iter().map(|piece| piece.twice_area(origin)).sum::<f64>() / 2.0
    }

    fn tree(&self) -> &Tree {
        self.boxes.0.get_or_init(|| Tree::of(&self.pieces))
    }

    /// The smallest upright box that holds it.
    pub fn bounds(&self) -> Bounds {
        self.tree().bounds()
    }

    /// Calls `found` with the index of every piece whose box meets `area`, in order.
    pub fn meeting(&self, area: &Bounds, found: impl FnMut(usize)) {
        self.tree().meeting(area, found);
    }

    /// The same loop walked the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self::new(self.pieces.iter().rev().map(Piece::reversed).collect())
    }

    /// Where piece `index` starts along the loop; `index` may equal the number of pieces.
    pub fn start_of(&self, index: usize) -> f64 {
        self.starts[index]
    }

    /// The place `along` mm from the start as a piece and `t`; any number, taken round the loop.
    /// At a joint, or a rounding before or after it, that is the start of the later piece.
    pub fn place(&self, along: f64) -> (usize, f64) {
        let along = self.wrapped(along);
        let begun = |&start: &f64| start <= along + super::tolerance::SAME_POINT;
        let index = self.starts.partition_point(begun).max(1) - 1;
        if index == self.pieces.len() {
            return (0, 0.0);
        }
        let (into, length) =
            (along - self.starts[index], self.starts[index + 1] - self.starts[index]);
        let t = if super::tolerance::SAME_POINT < into { into / length } else { 0.0 };
        (index, t.min(1.0))
    }

    /// `along` brought into `0 <= along < length`.
    pub fn wrapped(&self, along: f64) -> f64 {
        if 0.0 <= along && along < self.length() {
            return along;
        }
        let wrapped = along.rem_euclid(self.length());
        if wrapped < self.length() { wrapped } else { 0.0 }
    }

    /// The point `along` mm from the start.
    pub fn at(&self, along: f64) -> Point {
        let (index, t) = self.place(along);
        self.pieces[index].at(t)
    }

    /// The direction of travel just after `along`.
    pub fn direction_after(&self, along: f64) -> Vector {
        let (index, t) = self.place(along);
        self.pieces[index].direction(t)
    }

    /// The direction of travel just before `along`.
    pub fn direction_before(&self, along: f64) -> Vector {
        let (index, t) = self.place(along);
        if 0.0 < t {
            return self.pieces[index].direction(t);
        }
        self.pieces[self.before(index)].direction(1.0)
    }

    /// The pieces that share more than a point with the stretch between these two places,
    /// which does not pass the loop's first point.
    pub fn between(&self, from: f64, to: f64) -> std::ops::Range<usize> {
        let ends = &self.starts[1..];
        let first = ends.partition_point(|&end| end <= from);
        first..self.starts[..ends.len()].partition_point(|&start| start < to).max(first)
    }

    /// The index of the piece before `index`, round the loop.
    pub fn before(&self, index: usize) -> usize {
        (index + self.pieces.len() - 1) % self.pieces.len()
    }

    /// How the piece before `index` meets it.
    pub fn join(&self, index: usize) -> Join {
        if self.turn(index).abs() < SMOOTH_TURN { Join::Smooth } else { Join::Corner }
    }

    /// The turn at the start of piece `index`, in radians, counter-clockwise positive:
    /// an outside corner of the material is positive, an inside corner negative.
    pub fn turn(&self, index: usize) -> f64 {
        self.pieces[self.before(index)].turn_to(&self.pieces[index])
    }

    /// The pieces of a run that starts `from` mm along and is `length` mm long.
    pub fn run(&self, from: f64, length: f64) -> Vec<Piece> {
        self.walk(from, length).collect()
    }

    /// The same, one piece after the other.
    pub(super) fn walk(&self, from: f64, length: f64) -> impl Iterator<Item = Piece> {
        let (mut index, mut t) = self.place(from);
        let mut left = length.min(self.length());
        std::iter::from_fn(move || {
            while super::tolerance::SAME_POINT < left {
                let (here, start) = (index, t);
                let whole = self.starts[here + 1] - self.starts[here];
                let rest = whole * (1.0 - start);
                let ends = rest <= left || whole <= 0.0;
                let end = if ends { 1.0 } else { start + left / whole };
                left -= rest;
                (index, t) =
                    if here + 1 < self.pieces.len() { (here + 1, 0.0) } else { (0, 0.0) };
                if super::tolerance::SAME_POINT < (end - start) * whole {
                    return Some(self.pieces[here].part(start, end));
                }
            }
            None
        })
    }

    /// Where on the loop the nearest point to `point` lies, in millimetres along; of several
    /// the first.
    pub fn nearest(&self, point: Point) -> f64 {
        let Some(index) = self.tree().first_nearest(&self.pieces, point) else {
            return 0.0;
        };
        let piece = &self.pieces[index];
        self.starts[index] + piece.nearest(point) * piece.length()
    }

    /// How often the loop winds round `point`, counter-clockwise positive.
    pub fn winding(&self, point: Point) -> i32 {
        // Only a piece that the ray to the right meets has a share in it.
        let ray = Bounds { low: point, high: Point::new(f64::INFINITY, point.y) };
        let mut winding = 0;
        self.meeting(&ray.grown(super::tolerance::SAME_POINT), |index| {
            winding += winding_of(&self.pieces[index], point);
        });
        winding
    }
}

/// Of several loops the first of those nearest to `point`: the distance, its index, and how
/// far along it, in mm.
pub fn nearest_loop<'a>(
    loops: impl IntoIterator<Item = &'a Loop>,
    point: Point,
) -> Option<(f64, usize, f64)> {
    let mut best: Option<(f64, usize, f64)> = None;
    for (index, one) in loops.into_iter().enumerate() {
        let reach =
            best.map_or(f64::INFINITY, |best| best.0 + super::tolerance::SAME_POINT);
        if reach * reach < one.bounds().distance_squared(point) {
            continue;
        }
        let along = one.nearest(point);
        let distance = one.at(along).distance(point);
        if best.is_none_or(|best| distance < best.0) {
            best = Some((distance, index, along));
        }
    }
    best
}

/// A piece's share of the winding number: whether its chord crosses the ray, and one more or less
/// between an arc and its chord. To a chord belongs its lower end and not its upper one, so that
/// two chords that meet on the ray count once.
fn winding_of(piece: &Piece, point: Point) -> i32 {
    let (from, to) = (piece.from(), piece.to());
    let side = orientation(from, to, point);
    let mut winding = 0;
    if (from.y <= point.y) != (to.y <= point.y) {
        if from.y < to.y && 0.0 < side {
            winding = 1;
        } else if to.y < from.y && side < 0.0 {
            winding = -1;
        }
    }
    if let Piece::Arc { centre, sweep, .. } = *piece {
        // Within the circle, told from a point on it: else a huge radius leaves no digits.
        let (out, way) = (from - centre, point - from);
        if way.dot(way + out * 2.0) < 0.0 {
            // A chord that the point lies on did not count: as if the point lay just to the right
            // of it in the plane, and just above it where it is level.
            let right = from.y < to.y || (from.y <= to.y && to.x < from.x);
            if 0.0 < sweep && (side < 0.0 || (side == 0.0 && right)) {
                winding += 1;
            } else if sweep < 0.0 && (0.0 < side || (side == 0.0 && !right)) {
                winding -= 1;
            }
        }
    }
    winding
}

/// Exact sign of the turn from `a` over `b` to `c`: positive when `c` lies on the left.
pub fn orientation(a: Point, b: Point, c: Point) -> f64 {
    let coord = |p: Point| robust::Coord { x: p.x, y: p.y };
    robust::orient2d(coord(a), coord(b), coord(c))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Loop {
        let at = Point::new;
        Loop::polygon(&[at(0.0, 0.0), at(4.0, 0.0), at(4.0, 4.0), at(0.0, 4.0)])
    }

    #[test]
    fn places_wrap_round_the_loop() {
        let square = square();
        assert_eq!(square.at(17.0), Point::new(1.0, 0.0));
        assert_eq!(square.at(-1.0), Point::new(0.0, 1.0));
        let run = square.run(15.0, 3.0);
        assert_eq!(run.len(), 2, "it passes the first point");
        assert_eq!(
            (run[0].from(), run[1].to()),
            (Point::new(0.0, 1.0), Point::new(2.0, 0.0))
        );
    }

    #[test]
    fn a_rounding_off_a_joint_is_the_joint() {
        let square = square();
        for (along, piece) in
            [(4.0, 1), (4.0 - 1e-13, 1), (4.0 + 1e-13, 1), (16.0 - 1e-13, 0), (16.0, 0)]
        {
            assert_eq!(square.place(along), (piece, 0.0), "at {along}");
        }
        assert_eq!(square.direction_after(8.0 - 1e-13), Vector::new(-1.0, 0.0));
        assert_eq!(square.direction_before(8.0 - 1e-13), Vector::new(0.0, 1.0));
    }

    #[test]
    fn a_circle_winds_round_its_inside() {
        use std::f64::consts::PI;
        let (centre, right) = (Point::new(0.0, 0.0), Point::new(1.0, 0.0));
        let upper = Piece::arc_about(centre, right, PI);
        let lower = Piece::Arc { from: upper.to(), to: right, centre, sweep: PI };
        let circle = Loop::new(vec![upper, lower]);
        assert!((circle.area() - PI).abs() < 1e-12);
        assert_eq!(circle.winding(Point::new(0.3, 0.8)), 1);
        assert_eq!(circle.winding(Point::new(0.3, 1.1)), 0);
        assert_eq!(circle.winding(centre), 1);
    }

    #[test]
    fn a_point_on_the_chord_of_an_arc_is_inside() {
        use std::f64::consts::PI;
        let at = Point::new;
        let end = Piece::arc_about(at(4.0, 0.0), at(4.0, -1.0), PI);
        let top = Piece::line(end.to(), at(0.0, 1.0));
        let start = Piece::arc_about(at(0.0, 0.0), at(0.0, 1.0), PI);
        let low = Piece::line(start.to(), at(4.0, -1.0));
        let slot = Loop::new(vec![end, top, start, low]);
        let (upright, lying) =
            (slot.clone(), Loop::new(slot.pieces().iter().map(turn).collect()));
        for point in [at(4.0, 0.3), at(0.0, -0.2), at(0.0, 0.0), at(2.0, 0.0)] {
            assert_eq!(upright.winding(point), 1, "{point:?} in the slot");
            assert_eq!(upright.reversed().winding(point), -1, "{point:?} the other way");
            let turned = at(-point.y, point.x);
            assert_eq!(lying.winding(turned), 1, "{turned:?} in the slot turned");
            assert_eq!(lying.reversed().winding(turned), -1, "{turned:?} the other way");
        }
    }

    /// A quarter turn about the origin.
    fn turn(piece: &Piece) -> Piece {
        let turn = |p: Point| Point::new(-p.y, p.x);
        match *piece {
            Piece::Line { from, to } => Piece::line(turn(from), turn(to)),
            Piece::Arc { from, to, centre, sweep } => {
                Piece::Arc { from: turn(from), to: turn(to), centre: turn(centre), sweep }
            }
        }
    }
}

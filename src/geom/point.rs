//! Points, vectors and boxes. Adding two points is nonsense and does not compile.
//!
//! ```text
//!          b
//!         /           a.cross(b)    positive where b lies to the left of a, as here
//!        / ) turn     a.dot(b)      positive where b lies ahead of a, as here
//!       o----- a      a.turn_to(b)  the turn from a to b, positive to the left
//! ```
//!
//! Geometry.

use std::ops::{Add, Mul, Neg, Sub};

/// A place in the plane, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

/// A way from one place to another, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Vector {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

impl Point {
    /// The point at `x`, `y`.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// How far it is to `other`.
    pub fn distance(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// The point half-way to `other`.
    #[must_use]
    pub fn middle(self, other: Self) -> Self {
        self + (other - self) * 0.5
    }

    /// Whether both numbers are finite.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl Vector {
    /// The vector `x`, `y`.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The unit vector at this angle from +x, in radians, counter-clockwise.
    pub fn at_angle(radians: f64) -> Self {
        let (sin, cos) = libm::sincos(radians);
        Self::new(cos, sin)
    }

    /// The dot product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The cross product: positive when `other` lies counter-clockwise.
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Its length.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// Its angle from +x, in radians, counter-clockwise, in `-pi..=pi`.
    pub fn angle(self) -> f64 {
        libm::atan2(self.y, self.x)
    }

    /// The turn from this direction to `other`, in radians, counter-clockwise positive.
    pub fn turn_to(self, other: Self) -> f64 {
        libm::atan2(self.cross(other), self.dot(other))
    }

    /// The same length, a quarter turn counter-clockwise.
    #[must_use]
    pub const fn left(self) -> Self {
        Self::new(-self.y, self.x)
    }

    /// The same length, a quarter turn clockwise.
    #[must_use]
    pub const fn right(self) -> Self {
        Self::new(self.y, -self.x)
    }

    /// The same direction, length one; `None` for a vector without length.
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (0.0 < length).then(|| self * (1.0 / length))
    }
}

impl Add<Vector> for Point {
    type Output = Self;
    fn add(self, way: Vector) -> Self {
        Self::new(self.x + way.x, self.y + way.y)
    }
}

impl Sub<Vector> for Point {
    type Output = Self;
    fn sub(self, way: Vector) -> Self {
        Self::new(self.x - way.x, self.y - way.y)
    }
}

impl Sub for Point {
    type Output = Vector;
    fn sub(self, from: Self) -> Vector {
        Vector::new(self.x - from.x, self.y - from.y)
    }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Vector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y)
    }
}

impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor)
    }
}

impl Neg for Vector {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y)
    }
}

/// An upright box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// The lower left corner.
    pub low: Point,
    /// The upper right corner.
    pub high: Point,
}

impl Bounds {
    /// The box of nothing: joins with any other to that other.
    pub const EMPTY: Self = Self {
        low: Point::new(f64::MAX, f64::MAX),
        high: Point::new(f64::MIN, f64::MIN),
    };

    /// Its corners, round it, from the lowest left one.
    pub const fn corners(&self) -> [Point; 4] {
        let Self { low, high } = *self;
        [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)]
    }

    /// Whether nothing was ever added.
    pub fn is_empty(&self) -> bool {
        self.high.x < self.low.x
    }

    /// The box that also holds `point`.
    #[must_use]
    pub fn with(self, point: Point) -> Self {
        self.joined(&Self { low: point, high: point })
    }

    /// The box of the mirror image, left for right about x = 0.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        Self {
            low: Point::new(-self.high.x, self.low.y),
            high: Point::new(-self.low.x, self.high.y),
        }
    }

    /// The box of both.
    #[must_use]
    pub fn joined(self, other: &Self) -> Self {
        let (low, high) = (self.low, self.high);
        Self {
            low: Point::new(smaller(low.x, other.low.x), smaller(low.y, other.low.y)),
            high: Point::new(larger(high.x, other.high.x), larger(high.y, other.high.y)),
        }
    }

    /// The box moved.
    #[must_use]
    pub fn moved(self, by: Vector) -> Self {
        Self { low: self.low + by, high: self.high + by }
    }

    /// The box grown by `by` on every side.
    #[must_use]
    pub fn grown(self, by: f64) -> Self {
        let way = Vector::new(by, by);
        Self { low: self.low - way, high: self.high + way }
    }

    /// Whether the two share a point.
    pub fn meets(&self, other: &Self) -> bool {
        self.low.x <= other.high.x
            && other.low.x <= self.high.x
            && self.low.y <= other.high.y
            && other.low.y <= self.high.y
    }

    /// The square of the distance from `point`: zero inside.
    pub fn distance_squared(&self, point: Point) -> f64 {
        let dx = larger(larger(self.low.x - point.x, point.x - self.high.x), 0.0);
        let dy = larger(larger(self.low.y - point.y, point.y - self.high.y), 0.0);
        dx * dx + dy * dy
    }

    /// From left to right.
    pub fn width(&self) -> f64 {
        self.high.x - self.low.x
    }

    /// From bottom to top.
    pub fn height(&self) -> f64 {
        self.high.y - self.low.y
    }

    /// The middle.
    pub fn centre(&self) -> Point {
        self.low.middle(self.high)
    }
}

/// The larger of two numbers: one instruction, for unlike [`f64::max`] it takes no care of what is
/// no number.
pub(super) fn larger(a: f64, b: f64) -> f64 {
    if a < b { b } else { a }
}

/// The smaller of two numbers, likewise.
pub(super) fn smaller(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}

/// The box of all of them; of none, [`Bounds::EMPTY`].
impl FromIterator<Self> for Bounds {
    fn from_iter<I: IntoIterator<Item = Self>>(boxes: I) -> Self {
        boxes.into_iter().fold(Self::EMPTY, |all, one| all.joined(&one))
    }
}

//! Smooth curves of drawings before any fit: cubics by four points and runs of ellipses.
//!
//! ```text
//!      b -------- c      a cubic leaves a towards b and arrives at d from c; its second derivative
//!     /   . - .    \     runs straight from one end's to the other's, so that the larger of both
//!    / .         .  \    bounds it, and with it how far a chord strays: an eighth of it times the
//!   a               d    square of the chord's share of the parameter
//! ```
//!
//! Geometry. The larger root of a quadratic by a sum and the other by their product: published: G.
//! E. Forsythe, How Do You Solve a Quadratic Equation?, 1966, Stanford University, CS-TR-66-40.
//!
//! Takes a parameter from 0 to 1; gives points, derivatives with bounds, the parameters at which a
//! curve must be broken, and chords. Fitting lines and arcs is left to `fit`.

use super::{Piece, Point, Vector};
use std::f64::consts::{FRAC_PI_2, TAU};

/// A curve walked from parameter 0 to parameter 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Curve {
    /// A cubic by its four points.
    Cubic([Point; 4]),
    /// A run of an ellipse: `centre + x cos a + y sin a` for `a` from `start` by `sweep`.
    Ellipse {
        /// The centre.
        centre: Point,
        /// From the centre to where `a` is zero.
        x: Vector,
        /// From the centre to where `a` is a quarter turn.
        y: Vector,
        /// Where it starts, in radians.
        start: f64,
        /// How far it goes, signed, at most a whole turn.
        sweep: f64,
    },
}

/// Two breaks nearer than this in the parameter are one.
const SAME_PARAMETER: f64 = 1e-7;
/// A speed below this share of the curve's size is none: the curve stands still, as at a cusp.
const STANDS: f64 = 1e-6;
/// No stretch between two breaks becomes more chords than this.
const MOST_CHORDS: f64 = 1e6;
/// A coefficient of a quadratic below this share of the largest is rounding.
const NO_COEFFICIENT: f64 = 1e-14;
/// A discriminant no more below nought than this, where the largest coefficient is 1, is nought:
/// a cusp is a double root, which rounding must not lose.
const DOUBLE_ROOT: f64 = 1e-12;

impl Curve {
    /// The point at `t`; the ends of a cubic exactly.
    pub fn at(&self, t: f64) -> Point {
        match *self {
            Self::Cubic([a, b, c, d]) => {
                if t <= 0.0 {
                    return a;
                }
                if 1.0 <= t {
                    return d;
                }
                let s = 1.0 - t;
                a + (b - a) * (3.0 * s * s * t)
                    + (c - a) * (3.0 * s * t * t)
                    + (d - a) * (t * t * t)
            }
            Self::Ellipse { centre, x, y, start, sweep } => {
                let (sin, cos) = libm::sincos(start + sweep * t);
                centre + x * cos + y * sin
            }
        }
    }

    /// The first derivative by the parameter.
    pub fn velocity(&self, t: f64) -> Vector {
        match *self {
            Self::Cubic([a, b, c, d]) => {
                let s = 1.0 - t;
                (b - a) * (3.0 * s * s)
                    + (c - b) * (6.0 * s * t)
                    + (d - c) * (3.0 * t * t)
            }
            Self::Ellipse { x, y, start, sweep, .. } => {
                let (sin, cos) = libm::sincos(start + sweep * t);
                (y * cos - x * sin) * sweep
            }
        }
    }

    /// The second derivative by the parameter.
    pub fn acceleration(&self, t: f64) -> Vector {
        match *self {
            Self::Cubic([a, b, c, d]) => {
                ((a - b) + (c - b)) * (6.0 * (1.0 - t)) + ((b - c) + (d - c)) * (6.0 * t)
            }
            Self::Ellipse { x, y, start, sweep, .. } => {
                let (sin, cos) = libm::sincos(start + sweep * t);
                (x * cos + y * sin) * (-sweep * sweep)
            }
        }
    }

    /// No second derivative between `t0` and `t1` is longer than this.
    pub(super) fn acceleration_bound(&self, t0: f64, t1: f64) -> f64 {
        match *self {
            // It is linear in `t`, so its length is largest at an end.
            Self::Cubic(_) => {
                self.acceleration(t0).length().max(self.acceleration(t1).length())
            }
            Self::Ellipse { x, y, sweep, .. } => sweep * sweep * longest_radius(x, y),
        }
    }

    /// About how large the curve is: no chord of it is longer than twice this.
    pub fn size(&self) -> f64 {
        match *self {
            Self::Cubic([a, b, c, d]) => {
                a.distance(b).max(a.distance(c)).max(a.distance(d))
            }
            Self::Ellipse { x, y, .. } => longest_radius(x, y),
        }
    }

    /// The direction of travel just after `t`, length one; `None` for a curve that is a point.
    pub fn direction_after(&self, t: f64) -> Option<Vector> {
        self.direction(t, 1.0)
    }

    /// The direction of travel just before `t`, length one; `None` for a curve that is a point.
    pub fn direction_before(&self, t: f64) -> Option<Vector> {
        self.direction(t, -1.0)
    }

    /// The direction just after `t`, or just before where `way` is negative. Where the curve
    /// stands, it leaves along its second derivative and comes against it; where there is none, it
    /// does both along its third.
    fn direction(&self, t: f64, way: f64) -> Option<Vector> {
        let velocity = self.velocity(t);
        if STANDS * self.size() < velocity.length() {
            return velocity.unit();
        }
        let acceleration = self.acceleration(t);
        if STANDS * self.size() < acceleration.length() {
            return (acceleration * way).unit();
        }
        (self.acceleration(t + 1.0) - acceleration).unit()
    }

    /// The parameters strictly inside at which a fit must break: inflections and cusps of a
    /// cubic, the ends of the axes of an ellipse.
    pub fn breaks(&self) -> Vec<f64> {
        let mut found = match *self {
            Self::Cubic([a, b, c, d]) => {
                let first = b - a;
                let second = (a - b) + (c - b);
                let third = (d - a) + (b - c) * 3.0;
                let (k2, k1, k0) =
                    (second.cross(third), first.cross(third), first.cross(second));
                quadratic_roots(k2, k1, k0)
            }
            Self::Ellipse { x, y, start, sweep, .. } => axis_ends(x, y, start, sweep),
        };
        found.sort_by(f64::total_cmp);
        let mut kept: Vec<f64> = Vec::new();
        for t in found {
            match kept.last_mut() {
                Some(last) if t - *last < SAME_PARAMETER => {
                    *last = f64::midpoint(*last, t);
                }
                _ => kept.push(t),
            }
        }
        kept.retain(|t| SAME_PARAMETER < *t && *t < 1.0 - SAME_PARAMETER);
        kept
    }

    /// Chords that stray at most `tolerance` from the curve, from its start to its end.
    pub fn chords(&self, tolerance: f64) -> Vec<Piece> {
        let mut chords = Vec::new();
        let mut breaks = self.breaks();
        breaks.push(1.0);
        let (mut t, mut point) = (0.0, self.at(0.0));
        for end in breaks {
            let bound = self.acceleration_bound(t, end);
            let span = end - t;
            let n = (span * (bound / (8.0 * tolerance)).sqrt()).ceil();
            let n = n.clamp(1.0, MOST_CHORDS);
            let mut step = 1.0;
            while step <= n {
                let next = self.at(t + span * (step / n));
                if next != point {
                    chords.push(Piece::line(point, next));
                    point = next;
                }
                step += 1.0;
            }
            t = end;
        }
        chords
    }
}

/// The longest radius of the ellipse with these conjugate radii.
fn longest_radius(x: Vector, y: Vector) -> f64 {
    let (xx, yy, xy) = (x.dot(x), y.dot(y), x.dot(y));
    let half = (xx - yy) / 2.0;
    (f64::midpoint(xx, yy) + (half * half + xy * xy).sqrt()).sqrt()
}

/// The parameters at which the run passes an end of an axis.
fn axis_ends(x: Vector, y: Vector, start: f64, sweep: f64) -> Vec<f64> {
    let axis = libm::atan2(2.0 * x.dot(y), x.dot(x) - y.dot(y)) / 2.0;
    let mut angle = if 0.0 < sweep {
        start + (axis - start).rem_euclid(FRAC_PI_2)
    } else {
        start - (start - axis).rem_euclid(FRAC_PI_2)
    };
    let mut found = Vec::new();
    while (angle - start).abs() < sweep.abs().min(TAU) {
        found.push((angle - start) / sweep);
        angle += FRAC_PI_2.copysign(sweep);
    }
    found
}

/// The real roots of `k2 t² + k1 t + k0`; a double root may stand twice.
pub(super) fn quadratic_roots(k2: f64, k1: f64, k0: f64) -> Vec<f64> {
    let size = k2.abs().max(k1.abs()).max(k0.abs());
    if size <= 0.0 {
        return Vec::new();
    }
    let (k2, k1, k0) = (k2 / size, k1 / size, k0 / size);
    if k2.abs() < NO_COEFFICIENT {
        return if k1.abs() < NO_COEFFICIENT { Vec::new() } else { vec![-k0 / k1] };
    }
    let under = k1 * k1 - 4.0 * k2 * k0;
    if under < -DOUBLE_ROOT {
        return Vec::new();
    }
    let root = under.max(0.0).sqrt();
    let q = -f64::midpoint(k1, root.copysign(k1));
    if q == 0.0 { vec![0.0] } else { vec![q / k2, k0 / q] }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: &[f64], expected: &[f64]) {
        assert_eq!(found.len(), expected.len(), "{found:?} for {expected:?}");
        for (a, b) in found.iter().zip(expected) {
            assert!((a - b).abs() < 1e-9, "{found:?} for {expected:?}");
        }
    }

    #[test]
    fn an_s_breaks_at_its_middle_and_a_cusp_at_its_tip() {
        let at = Point::new;
        let s = Curve::Cubic([at(0.0, 0.0), at(1.0, 2.0), at(2.0, -2.0), at(3.0, 0.0)]);
        near(&s.breaks(), &[0.5]);
        let cusp = Curve::Cubic([at(0.0, 0.0), at(2.0, 2.0), at(0.0, 2.0), at(2.0, 0.0)]);
        near(&cusp.breaks(), &[0.5]);
        assert!(cusp.velocity(0.5).length() < 1e-12, "it stands at the tip");
        let up = cusp.direction_before(0.5).expect("a direction");
        assert!((up.y - 1.0).abs() < 1e-9, "it goes up into the tip");
    }

    #[test]
    fn chords_stray_no_more_than_asked() {
        let ellipse = Curve::Ellipse {
            centre: Point::new(1.0, 2.0),
            x: Vector::new(80.0, 10.0),
            y: Vector::new(-5.0, 30.0),
            start: 0.3,
            sweep: -4.0,
        };
        let chords = ellipse.chords(1e-4);
        // Basis: brute force, 100 points between the ends of 40 chords' worth of parameter.
        for i in 0..4001 {
            let point = ellipse.at(f64::from(i) / 4000.0);
            let off = chords.iter().map(|c| c.distance(point)).fold(f64::MAX, f64::min);
            assert!(off <= 1e-4, "{off} at {i}");
        }
    }
}

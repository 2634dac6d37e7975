//! How far a disc on its way goes on holding a point of the outline: as long as it does, it does
//! not fit, whatever else there is. The check's own; the offset knows nothing of it.
//!
//! ```text
//!     way of the centre
//!   ---c-----------c'--->    from c, where the disc holds the point p, it goes on holding it up
//!        `        /          to c', where p is just the radius r away: told in closed form, so
//!           `    / r         that no place between the two needs to be looked at
//!              p
//! ```
//!
//! Geometry.

use super::tolerance::ROUNDING;
use super::{Point, Vector};
use std::f64::consts::TAU;

/// The way of a disc's centre, over `t` from 0 to 1.
#[derive(Debug, Clone, Copy)]
pub(super) enum Way {
    /// A straight one.
    Straight {
        /// Where it starts.
        from: Point,
        /// From its start to its end.
        way: Vector,
    },
    /// Part of a circle.
    Round {
        /// Where it starts.
        from: Point,
        /// From the circle's centre to its start: no place on it is told from the centre, which
        /// a huge radius would rob of its digits.
        out: Vector,
        /// How far it turns, counter-clockwise positive.
        turn: f64,
    },
}

impl Way {
    /// Whether it is no part of a circle.
    pub(super) const fn is_straight(&self) -> bool {
        matches!(self, Self::Straight { .. })
    }

    /// The centre at `t`.
    pub(super) fn at(&self, t: f64) -> Point {
        match *self {
            Self::Straight { from, way } => {
                Point::new(from.x + way.x * t, from.y + way.y * t)
            }
            Self::Round { from, out, turn } => {
                let (sine, cosine) = libm::sincos(turn * t / 2.0);
                Point::new(
                    from.x - 2.0 * sine * (out.x * sine + out.y * cosine),
                    from.y + 2.0 * sine * (out.x * cosine - out.y * sine),
                )
            }
        }
    }

    /// Up to where a disc of radius `reach` that holds `point` at `t` goes on holding it, as the
    /// parameter there: 1 or more where it does so to the end.
    pub(super) fn holds_up_to(&self, t: f64, point: Point, reach: f64) -> f64 {
        let reach = reach - 2.0 * ROUNDING;
        match *self {
            Self::Straight { way, .. } => {
                let centre = self.at(t);
                let off = Vector::new(centre.x - point.x, centre.y - point.y);
                let square = way.x * way.x + way.y * way.y;
                let along = off.x * way.x + off.y * way.y;
                let rest = reach * reach - (off.x * off.x + off.y * off.y);
                let root = (along * along + square * rest).max(0.0).sqrt();
                t + ((root - along) / square.max(f64::MIN_POSITIVE)).max(0.0)
            }
            Self::Round { from, out, turn } => {
                let (wx, wy) = (point.x - from.x, point.y - from.y);
                let (px, py) = (out.x + wx, out.y + wy);
                let far = (px * px + py * py).sqrt();
                let radius = (out.x * out.x + out.y * out.y).sqrt();
                // How far the point is off the circle, and the square of the sine of a quarter of
                // the angle over which the disc holds it.
                let off = (wx * (wx + 2.0 * out.x) + wy * (wy + 2.0 * out.y))
                    / (far + radius).max(f64::MIN_POSITIVE);
                let square = (reach - off) * (reach + off)
                    / (4.0 * far * radius).max(f64::MIN_POSITIVE);
                if 1.0 <= square {
                    return 1.0;
                }
                let half = 2.0 * libm::asin(square.max(0.0).sqrt());
                // From the way's start to the point, as it is seen from the centre.
                let seen = libm::atan2(out.x * wy - out.y * wx, out.x * px + out.y * py);
                let ahead = wrapped(seen - turn * t) * turn.signum();
                t + ((ahead + half) / turn.abs().max(f64::MIN_POSITIVE)).max(0.0)
            }
        }
    }
}

/// The same angle within half a turn either way.
fn wrapped(angle: f64) -> f64 {
    angle - TAU * (angle / TAU).round()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry, the distance at many places.
    fn assert_held(way: &Way, point: Point, reach: f64) {
        for step in 0..1000 {
            let t = f64::from(step) / 1000.0;
            let held = |t: f64| way.at(t).distance(point) < reach;
            if !held(t) {
                continue;
            }
            let end = way.holds_up_to(t, point, reach);
            for share in 0..=20 {
                let inside = t + (end.min(1.0) - t) * f64::from(share) / 20.0;
                assert!(held(inside), "{way:?} holds {point:?} at {inside} from {t}");
            }
            assert!(1.0 < end + 1e-6 || !held(end + 1e-6), "and no longer: {way:?}, {t}");
        }
    }

    #[test]
    fn a_disc_holds_a_point_as_far_as_is_told_and_no_farther() {
        let at = Point::new;
        let straight = Way::Straight { from: at(-5.0, 1.0), way: Vector::new(10.0, 3.0) };
        for point in [at(0.0, 0.0), at(-5.0, 1.0), at(3.0, 5.0), at(0.0, 9.0)] {
            assert_held(&straight, point, 3.175);
        }
        for (radius, turn) in
            [(3.0, 2.0), (3.0, -2.0), (-1.5, 3.0), (0.4, -3.1), (8.0, 0.3)]
        {
            let out = Vector::at_angle(0.7) * radius;
            let round = Way::Round { from: at(1.0, 2.0) + out, out, turn };
            for point in [at(1.1, 2.0), at(4.0, 4.0), at(-1.0, 3.5), at(2.0, -2.0)] {
                assert_held(&round, point, 3.175);
            }
        }
    }
}

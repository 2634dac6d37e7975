//! How far a disc on its way goes on holding a point of the outline: as long as it does, it does
//! not fit, whatever else there is. The check's own; the offset knows nothing of it. Geometry.
//!
//! ```text
//!      way of the centre          While the centre is nearer than the radius to the point p,
//!    --c----------c'-->           the disc holds p: from c to c' for certain, in closed form,
//!        \        /               and no other place on the way between needs to be looked at.
//!       p `-r----'
//! ```

use super::tolerance::ROUNDING;
use super::{Point, Vector};
use std::f64::consts::{PI, TAU};

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
        /// Its centre.
        about: Point,
        /// Its radius; below zero the disc's centre lies opposite to its angle.
        radius: f64,
        /// The angle it starts at.
        start: f64,
        /// How far it turns, counter-clockwise positive.
        turn: f64,
    },
}

impl Way {
    /// The centre at `t`.
    pub(super) fn at(&self, t: f64) -> Point {
        match *self {
            Self::Straight { from, way } => {
                Point::new(from.x + way.x * t, from.y + way.y * t)
            }
            Self::Round { about, radius, start, turn } => {
                let (y, x) = libm::sincos(start + turn * t);
                Point::new(about.x + radius * x, about.y + radius * y)
            }
        }
    }

    /// Up to which `t` a disc of radius `reach`, which holds `point` at `t`, goes on holding it.
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
            Self::Round { about, radius, start, turn } => {
                let out = Vector::new(point.x - about.x, point.y - about.y);
                let far = (out.x * out.x + out.y * out.y).sqrt();
                // The cosine of half the angle in which the disc holds the point.
                let cosine = (far * far + radius * radius - reach * reach)
                    / (2.0 * far * radius.abs()).max(f64::MIN_POSITIVE);
                if cosine <= -1.0 {
                    return 1.0;
                }
                let half = libm::acos(cosine.min(1.0));
                let opposite = if radius < 0.0 { PI } else { 0.0 };
                let angle = start + turn * t + opposite;
                let ahead = wrapped(libm::atan2(out.y, out.x) - angle) * turn.signum();
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
            let round = Way::Round { about: at(1.0, 2.0), radius, start: 0.7, turn };
            for point in [at(1.1, 2.0), at(4.0, 4.0), at(-1.0, 3.5), at(2.0, -2.0)] {
                assert_held(&round, point, 3.175);
            }
        }
    }
}

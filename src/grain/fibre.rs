//! The angle from the grain to the tooth.
//!
//! ```text
//!             / walk
//!            /             phi is the turn from the grain to the walk; as the grain has no
//!           / ) phi        direction, half turns are taken off until it lies in -90 < phi <= 90
//!     -----+-------- grain
//! ```
//!
//! Geometry.

#[cfg(test)]
use crate::geom::Loop;
use crate::geom::Vector;

/// The angle from the grain to the tooth for a walk in this direction, `-90 < phi <= 90`.
///
/// Positive: with the part on the left and the tooth running along the walk, the fibres rise
/// out of the part ahead of it. For a motor on face B the sign turns.
///
/// ```
/// use spelch::grain::phi;
/// assert_eq!(phi(0.0, 0.0), 0.0);
/// assert_eq!(phi(30.0, 0.0), 30.0);
/// assert_eq!(phi(270.0, 0.0), 90.0);
/// assert_eq!(phi(10.0, 170.0), 20.0);
/// ```
pub fn phi(walk_degrees: f64, grain_degrees: f64) -> f64 {
    let turned = (walk_degrees - grain_degrees).rem_euclid(180.0);
    if turned <= 90.0 { turned } else { turned - 180.0 }
}

/// [`phi`] just after `along` on a loop.
#[cfg(test)]
pub(crate) fn phi_after(ring: &Loop, along: f64, grain_degrees: f64) -> f64 {
    phi(degrees(ring.direction_after(along)), grain_degrees)
}

/// The angle of a direction, in degrees counter-clockwise from +x.
pub(super) fn degrees(way: Vector) -> f64 {
    way.angle().to_degrees()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry. Walking back is the same angle to the grain but with the part on the
    /// other side, so the fibres that rose now dive: that is the sign `s` of a set-up.
    #[test]
    fn turning_the_grain_half_round_changes_nothing() {
        for walk in [0.0, 17.0, 90.0, 133.0, 271.5, -44.0] {
            for grain in [0.0, 30.0, 90.0, 149.0] {
                let here = phi(walk, grain);
                assert!(-90.0 < here && here <= 90.0, "{walk} {grain}");
                let there = phi(walk, grain + 180.0);
                assert!((here - there).abs() < 1e-9, "{walk} {grain}");
            }
        }
    }
}

//! Engagement: how much of the bit's circle stands in wood, and how much waste that allows.
//!
//! All by geometry. The waste is measured square to the finished edge.

use crate::shop::defaults::{MOST_WASTE, MOST_WASTE_OF_DIAMETER, WASTE_GRACE};

/// How the finished edge curves where the bit stands, with its radius in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Curvature {
    /// A straight edge.
    Straight,
    /// The void is round: the edge bends round the bit.
    Hollow(f64),
    /// The part is round: the edge bends away from the bit.
    Hump(f64),
}

impl Curvature {
    /// The curve of the same edge with so much left on it all along, in mm.
    pub(super) fn set_out(self, by: f64) -> Self {
        match self {
            Self::Straight => Self::Straight,
            Self::Hollow(radius) => Self::Hollow((radius - by).max(0.0)),
            Self::Hump(radius) => Self::Hump(radius + by),
        }
    }
}

/// The engagement angle in degrees, from the touch to the last tooth in wood: of a bit of this
/// radius with so much waste before it. Buried is 180.
pub(super) fn angle(waste: f64, radius: f64, curvature: Curvature) -> f64 {
    let (a, r) = (waste, radius);
    let cosine = match curvature {
        Curvature::Straight => 1.0 - a / r,
        Curvature::Hollow(hollow) if hollow - r <= a / 2.0 => -1.0,
        Curvature::Hollow(hollow) => {
            let (rim, path) = (hollow - a, hollow - r);
            (rim * rim - path * path - r * r) / (2.0 * r * path)
        }
        Curvature::Hump(hump) => {
            let (rim, path) = (hump + a, hump + r);
            (path * path + r * r - rim * rim) / (2.0 * r * path)
        }
    };
    libm::acos(cosine.clamp(-1.0, 1.0)).to_degrees()
}

/// The largest waste, in mm, that keeps the engagement within `limit` degrees; zero where the
/// hollow is no wider than the bit.
pub(super) fn largest_waste(limit: f64, radius: f64, curvature: Curvature) -> f64 {
    let (r, cosine) = (radius, libm::cos(limit.to_radians()));
    match curvature {
        Curvature::Straight => r * (1.0 - cosine),
        Curvature::Hollow(hollow) if hollow <= r => 0.0,
        Curvature::Hollow(hollow) => {
            let path = hollow - r;
            hollow - (path * path + r * r + 2.0 * r * path * cosine).max(0.0).sqrt()
        }
        Curvature::Hump(hump) => {
            let path = hump + r;
            (path * path + r * r - 2.0 * r * path * cosine).max(0.0).sqrt() - hump
        }
    }
}

/// The most waste, in mm, for a bit of this diameter: the smaller of 3 mm and a quarter of it.
pub fn waste_limit(diameter: f64) -> f64 {
    MOST_WASTE.value.min(MOST_WASTE_OF_DIAMETER.value * diameter)
}

/// Whether so much waste is within the limit for this bit, with its grace.
pub(super) fn waste_allowed(waste: f64, diameter: f64) -> bool {
    waste <= waste_limit(diameter) + WASTE_GRACE.value
}

#[cfg(test)]
mod tests {
    use super::*;

    const RADIUS: f64 = 6.35;
    const SIXTEENTH: f64 = 25.4 / 16.0;

    fn near(found: f64, expected: f64, within: f64, what: &str) {
        assert!((found - expected).abs() <= within, "{what}: {found}, not {expected}");
    }

    /// Basis: geometry, worked by hand for a 12.7 mm bit with 1/16 in of waste.
    #[test]
    fn the_half_inch_bit_meets_more_wood_the_tighter_the_hollow() {
        let psi = |curvature| angle(SIXTEENTH, RADIUS, curvature);
        near(psi(Curvature::Hump(RADIUS)), 30.8, 0.05, "hump of its own radius");
        near(psi(Curvature::Straight), 41.4, 0.05, "straight");
        near(psi(Curvature::Hollow(2.0 * RADIUS)), 57.9, 0.05, "hollow of 2 r");
        near(psi(Curvature::Hollow(1.5 * RADIUS)), 71.8, 0.05, "hollow of 1.5 r");
        near(psi(Curvature::Hollow(1.25 * RADIUS)), 97.2, 0.05, "hollow of 1.25 r");
        near(psi(Curvature::Hollow(1.1 * RADIUS)), 180.0, 0.0, "hollow of 1.1 r: buried");
        let eighth = angle(2.0 * SIXTEENTH, RADIUS, Curvature::Hollow(1.25 * RADIUS));
        near(eighth, 180.0, 1e-5, "hollow of 1.25 r at 1/8 in: just buried");
        near(psi(Curvature::Hollow(5.0)), 180.0, 0.0, "a hollow the bit does not enter");
    }

    /// Basis: geometry. The tooth marched round the rim, point by point.
    #[test]
    fn marching_round_the_rim_finds_the_same_angle() {
        for radius in [1.5875, 3.175, 6.35, 9.525] {
            for waste in [0.2, 0.8, 1.5875, 3.0] {
                for ratio in [1.05, 1.1, 1.25, 1.5, 2.0, 5.0, 40.0] {
                    for curvature in [
                        Curvature::Straight,
                        Curvature::Hollow(ratio * radius),
                        Curvature::Hump(ratio * radius),
                    ] {
                        let found = angle(waste, radius, curvature);
                        let marched = march(waste, radius, curvature);
                        near(
                            found,
                            marched,
                            0.02,
                            &format!("{radius} {waste} {curvature:?}"),
                        );
                    }
                }
            }
        }
    }

    /// From the touch on, in hundredths of a degree, to the first tooth beyond the raw edge.
    fn march(waste: f64, radius: f64, curvature: Curvature) -> f64 {
        let beyond = |step: i32| {
            let theta = (f64::from(step) / 100.0).to_radians();
            let (x, y) = (radius * libm::sin(theta), radius * (1.0 - libm::cos(theta)));
            // How far the tooth is from the finished edge; the touch is the origin, void up.
            let off = match curvature {
                Curvature::Straight => y,
                Curvature::Hollow(hollow) => {
                    hollow - (x * x + (hollow - y) * (hollow - y)).sqrt()
                }
                Curvature::Hump(hump) => (x * x + (hump + y) * (hump + y)).sqrt() - hump,
            };
            waste < off
        };
        (1..18000)
            .find(|&step| beyond(step))
            .map_or(180.0, |step| f64::from(step) / 100.0)
    }

    /// Basis: geometry. The largest waste for a limit gives the limit back.
    #[test]
    fn the_largest_waste_meets_its_limit() {
        for limit in [30.0, 75.0, 110.0] {
            for curvature in [
                Curvature::Straight,
                Curvature::Hollow(8.0),
                Curvature::Hollow(400.0),
                Curvature::Hump(2.0),
                Curvature::Hump(400.0),
            ] {
                let waste = largest_waste(limit, RADIUS, curvature);
                let what = format!("{limit} {curvature:?}");
                near(angle(waste, RADIUS, curvature), limit, 1e-6, &what);
            }
        }
        near(largest_waste(75.0, RADIUS, Curvature::Hollow(6.0)), 0.0, 0.0, "too tight");
    }

    /// Basis: common practice, no source (3 mm); from memory (a quarter, the grace).
    #[test]
    fn the_waste_limit_is_the_smaller_of_three_and_a_quarter() {
        near(waste_limit(12.7), 3.0, 0.0, "half-inch bit");
        near(waste_limit(6.0), 1.5, 0.0, "6 mm bit");
        assert!(waste_allowed(SIXTEENTH, 6.0), "1/16 in passes by the grace");
        assert!(!waste_allowed(1.7, 6.0), "1.7 mm does not");
    }
}

//! Every tolerance of the kernel, from the finest to the coarsest, each with what it bounds.

/// Rounding of one computed distance. Larger, and a kept depth `d` shows as a gap of
/// `sqrt(8 r d)` along a curve; smaller, and rounding reads as depth.
pub const ROUNDING: f64 = 1e-11;
/// Two computed points are the same point.
pub const SAME_POINT: f64 = 1e-9;
/// A crossing lies on the border of "within r".
pub const ON_BORDER: f64 = 1e-8;
/// First step down of the radius where an exact fit cannot be computed at r itself.
pub const RADIUS_STEP: f64 = 1e-6;
/// Ends of runs are joined.
pub const JOIN_ENDS: f64 = 1e-5;
/// The independent check accepts a distance.
pub const CHECK: f64 = 1e-4;
/// A curve is fitted with lines and arcs; a job can change it.
pub const FIT: f64 = 1e-3;
/// Drawn ends that meet, and repairs of the drawing.
pub const REPAIR: f64 = 1e-2;
/// A site shallower than this (a knife line) is summed, not listed.
pub const REPORT_DEPTH: f64 = 5e-2;
/// Drawn ends that nearly meet are joined, with a caution.
pub const BRIDGE: f64 = 1e-1;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_increases() {
        let all = [
            ROUNDING,
            SAME_POINT,
            ON_BORDER,
            RADIUS_STEP,
            JOIN_ENDS,
            CHECK,
            FIT,
            REPAIR,
            REPORT_DEPTH,
            BRIDGE,
        ];
        assert!(all.windows(2).all(|w| w[0] < w[1]), "each bounds more than the last");
    }
}

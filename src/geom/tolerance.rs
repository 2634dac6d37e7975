//! Every tolerance of the kernel, in mm, from the finest to the coarsest, each with what it bounds.
//!
//! ```text
//!  1e-11    1e-9   1e-8    1e-6    1e-5  1e-4   1e-3  1e-2    0.05    0.1
//!  |--------|------|-------|-------|-----|------|-----|-------|-------|
//!  rounding same   on the  a step  ends  check  fit   repair  report  bridge
//!           point  border  down    meet
//! ```
//!
//! Each is well above the one before it, so that no step spoils what a finer one has settled. The
//! first two are what rounding makes of sizes up to a metre (geometry); the others are chosen (from
//! memory).

/// Rounding of one computed distance: a place so much nearer than the radius is as far as the
/// radius. Smaller, and rounding reads as overlap; larger, and runs go on too far: a disc of radius
/// `r` that may sink into a wall by `d` covers `sqrt(8 r d)` of it (geometry).
pub const ROUNDING: f64 = 1e-11;
/// Two computed points are the same point.
pub const SAME_POINT: f64 = 1e-9;
/// A crossing lies on the border of what is within the radius of a piece.
pub const ON_BORDER: f64 = 1e-8;
/// First step down of the radius where an exact fit cannot be computed at the radius itself.
pub const RADIUS_STEP: f64 = 1e-6;
/// Ends of runs as near as this are joined.
pub const JOIN_ENDS: f64 = 1e-5;
/// What is asked of a result is asked to this: whether areas sum, whether a stretch is left, how
/// far chords stray from what was drawn.
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

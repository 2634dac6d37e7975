//! Loops moved outwards or inwards by a distance: the rings of [`mod@super::trim`], without owners.
//!
//! ```text
//!     .---------------.        outwards, rounded at outside corners
//!    :   ___________   :
//!    :  |  .-----.  |  :       inwards, sharp at them
//!    :  |  '-----'  |  :
//!    :  '-----------'  :
//!     '---------------'
//! ```
//!
//! Geometry: grown by a disc, or what a disc inside leaves to its centre.

use super::{Loop, Side, Untrimmed, trim};

/// The loops of the material grown by `by`, or shrunk where `by` is negative: rounded at
/// outside corners, exact on lines and arcs, checked. Material on the left, as always. What
/// vanishes is not there: the answer may be empty.
///
/// It is computed at `by` or, where something fits exactly, up to 10 nm short of it.
pub fn offset_loops(loops: &[Loop], by: f64) -> Result<Vec<Loop>, Untrimmed> {
    if by == 0.0 || loops.is_empty() {
        return Ok(loops.to_vec());
    }
    let side = if 0.0 < by { Side::Outward } else { Side::Inward };
    Ok(trim(loops, side, by.abs())?.ring_loops())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::shapes::polygon;
    use std::f64::consts::PI;

    fn area(loops: &[Loop]) -> f64 {
        loops.iter().map(Loop::area).sum()
    }

    #[test]
    fn a_square_grows_by_steiners_formula() {
        // geometry: area + perimeter d + pi d²
        let square = polygon(&[(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)]);
        let grown = offset_loops(&[square], 3.0).expect("it can be grown");
        assert_eq!(grown.len(), 1, "one loop");
        let wanted = 2500.0 + 600.0 + 9.0 * PI;
        assert!((area(&grown) - wanted).abs() < 1e-9, "{} for {wanted}", area(&grown));
    }

    #[test]
    fn a_square_shrinks_to_a_square_and_to_nothing() {
        let square = polygon(&[(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)]);
        let loops = [square];
        let shrunk = offset_loops(&loops, -3.0).expect("it can be shrunk");
        assert!((area(&shrunk) - 44.0 * 44.0).abs() < 1e-9, "a square of 44");
        let gone = offset_loops(&loops, -25.5).expect("it can be shrunk away");
        assert!(gone.is_empty(), "nothing is left");
    }

    #[test]
    fn an_opening_closes_as_its_part_grows() {
        let outside = polygon(&[(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)]);
        let opening = polygon(&[(20.0, 20.0), (20.0, 30.0), (30.0, 30.0), (30.0, 20.0)]);
        let loops = [outside, opening];
        let grown = offset_loops(&loops, 2.0).expect("it can be grown");
        let wanted = 2500.0 + 400.0 + 4.0 * PI - 36.0;
        assert!((area(&grown) - wanted).abs() < 1e-9, "the opening shrinks to 6 x 6");
        let closed = offset_loops(&loops, 6.0).expect("it can be grown");
        assert_eq!(closed.len(), 1, "the opening is gone");
    }
}

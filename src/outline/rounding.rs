//! How finely a drawing's numbers are written: what its points may be off by.
//!
//! ```text
//!    . . . . . .      the coarsest grid of a drawing program, 0.01 mm, 0.001 mm and so on, on
//!    . o . . . .      which all points lie; points on tenths of a millimetre were chosen by
//!    . . . . o .      somebody and are exact
//! ```
//!
//! Our own.

use super::strand::Strand;
use crate::geom::Point;

/// The grids that drawing programs round to, in mm, the coarsest first. Coarser numbers are
/// sizes that somebody chose.
const GRIDS: [f64; 5] = [1e-2, 1e-3, 1e-4, 1e-5, 1e-6];
/// A coarser grid than the drawing programs': numbers on it are exact.
const CHOSEN: f64 = 0.1;
/// A number this near to a grid lies on it, in mm: rounding of what was added up to it.
const ON_GRID: f64 = 1e-9;

/// The grid of the ends of these strands.
pub(super) fn rounding_of(ring: &[Strand]) -> f64 {
    let points: Vec<Point> = ring.iter().map(Strand::to).collect();
    rounding(&points)
}

/// The coarsest grid on which all these points lie, in mm; zero where there is none, or where
/// the numbers are so round that they were chosen.
fn rounding(points: &[Point]) -> f64 {
    let on = |step: f64| {
        let lies = |v: f64| ((v / step).round() * step - v).abs() <= ON_GRID;
        points.iter().all(|p| lies(p.x) && lies(p.y))
    };
    if on(CHOSEN) {
        return 0.0;
    }
    GRIDS.into_iter().find(|&step| on(step)).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_grid_is_the_coarsest_that_holds_all() {
        let at = Point::new;
        let near = |found: f64, wanted: f64| (found - wanted).abs() < 1e-15;
        assert!(near(rounding(&[at(1.234, 5.0), at(0.1, 2.25)]), 1e-3), "three decimals");
        assert!(near(rounding(&[at(1.5, 5.0), at(0.1, 2.0)]), 0.0), "chosen");
        assert!(near(rounding(&[at(1.0 / 3.0, 5.0)]), 0.0), "all decimals");
    }
}

//! The largest disc that fits into a region.
//!
//! ```text
//!   fits      tried      too large     the radius is sought between one that fits and one that
//!    |----------|------------|         is too large, by halves: a disc fits where some place of
//!                                      its raw offset lives
//! ```
//!
//! Halving: common practice, no source; that a place of the raw offset tells is our own.

use super::near::Near;
use super::prune::{Live, Pruner};
use super::raw::{Raw, Source, raw_pieces};
use super::{Bounds, Loop, Point};

/// Halvings of the radius: forty leave a relative error of 1e-12.
const HALVINGS: usize = 40;
/// Beyond this many pieces fewer halvings do: a relative error of 1e-5.
const MANY_PIECES: usize = 500;

/// The largest disc inside a region on the *right* of `loops`, as its centre and radius. `None` if
/// the region is empty.
pub fn largest_disc(loops: &[Loop]) -> Option<(Point, f64)> {
    let bounds: Bounds = loops.iter().map(Loop::bounds).collect();
    if bounds.is_empty() {
        return None;
    }
    let near = Near::of(loops);
    let source = Source::new(&near.loops);
    let halvings =
        if MANY_PIECES < source.pieces.len() { HALVINGS / 2 } else { HALVINGS };
    let (mut fits, mut too_large) = (0.0, bounds.width().min(bounds.height()) / 2.0);
    let mut best = None;
    for _ in 0..halvings {
        let radius = f64::midpoint(fits, too_large);
        match place_for(&source, radius) {
            Some(at) => {
                best = Some((at + near.way, radius));
                fits = radius;
            }
            None => too_large = radius,
        }
    }
    best
}

/// A place where a disc of `radius` touches the loops and overlaps none of them.
fn place_for(source: &Source, radius: f64) -> Option<Point> {
    let raws: Vec<Raw> = raw_pieces(source, radius);
    let mut pruner = Pruner::new(source, &raws, radius);
    let mut live: Vec<Live> = Vec::new();
    for index in 0..raws.len() {
        pruner.keep(index, (0.0, 1.0), &mut live);
        if let Some(one) = live.first() {
            return Some(raws[one.raw].curve.at(one.probe));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_disc_in_a_triangle_is_its_incircle() {
        // geometry: the 3-4-5 triangle has an incircle of radius 1 about (1, 1)
        let at = Point::new;
        let triangle =
            Loop::polygon(&[at(0.0, 0.0), at(4.0, 0.0), at(0.0, 3.0)]).reversed();
        let (centre, radius) = largest_disc(&[triangle]).expect("it has an inside");
        assert!((radius - 1.0).abs() < 1e-8, "radius {radius}");
        assert!(centre.distance(at(1.0, 1.0)) < 1e-7, "centre {centre:?}");
    }

    #[test]
    fn the_largest_disc_in_a_long_rectangle_is_half_as_wide() {
        let at = Point::new;
        let slot =
            Loop::polygon(&[at(0.0, 0.0), at(90.0, 0.0), at(90.0, 12.0), at(0.0, 12.0)]);
        let (_, radius) = largest_disc(&[slot.reversed()]).expect("it has an inside");
        assert!((radius - 6.0).abs() < 1e-8, "radius {radius}");
    }
}

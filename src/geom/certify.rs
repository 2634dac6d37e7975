//! How far chords stray at most from the pieces that take their place, which certifies these.
//!
//! ```text
//!       . - ' - .        how far the ends of the chords are off the arc is measured, and that
//!    o-----------o       each chord goes its way; between two ends the distance can grow by no
//!  /               \     more than a chord bows from a circle that bends as much
//! ```
//!
//! Our own (geometry).

use super::point::larger;
use super::{Piece, Point, Vector};

/// How far chords and pieces with the same ends stray from each other at most; nothing where
/// the chords go back.
///
/// The signed distance from pieces that meet tangent bends by at most one over the smallest
/// radius, so that between the ends of a chord it is off by an eighth of that times the square
/// of the chord (geometry).
pub(super) fn strays(points: &[Point], pieces: &[Piece]) -> Option<f64> {
    let radius = pieces.iter().filter_map(Piece::radius).fold(f64::INFINITY, f64::min);
    let carriers: Vec<Followed> = pieces.iter().map(Followed::of).collect();
    let (mut worst, mut longest) = (0.0f64, 0.0f64);
    let mut on = 0;
    for pair in points.windows(2) {
        let step = pair[1] - pair[0];
        longest = larger(longest, step.dot(step));
        while on + 1 < carriers.len() && carriers[on].is_past(pair[1]) {
            on += 1;
        }
        let (off, way) = carriers[on].see(pair[1]);
        if step.dot(way) < 0.0 {
            return None;
        }
        worst = larger(worst, off);
    }
    let tight = (radius - worst).max(radius / 2.0);
    Some(worst + longest / (8.0 * tight))
}

/// A piece as its chords follow it.
struct Followed {
    piece: Piece,
    /// Infinite for a line.
    radius: f64,
    end: Point,
    /// The direction at its end.
    way: Vector,
}

impl Followed {
    /// A piece that is to be followed.
    fn of(piece: &Piece) -> Self {
        let radius = piece.radius().unwrap_or(f64::INFINITY);
        Self { piece: *piece, radius, end: piece.to(), way: piece.direction(1.0) }
    }

    /// Whether a point lies beyond its end.
    fn is_past(&self, point: Point) -> bool {
        0.0 < (point - self.end).dot(self.way)
    }

    /// How far a point is off, and the direction of travel there, of any length.
    fn see(&self, point: Point) -> (f64, Vector) {
        match self.piece {
            Piece::Line { .. } => (self.way.cross(point - self.end).abs(), self.way),
            Piece::Arc { centre, sweep, .. } => {
                let out = point - centre;
                let off = (out.length() - self.radius).abs();
                (off, if 0.0 < sweep { out.left() } else { out.right() })
            }
        }
    }
}

//! Loops moved near the origin, where coordinates have most digits after the point.
//!
//! ```text
//!   +---.                     .---+
//!       : a kilometre         : o :   their middle is the origin; what is
//!       :         ------->    '---'   computed there is moved back as it is
//! ```
//!
//! A kilometre away a coordinate is rounded to 1e-10 mm, ten times what a kept point may lie inside
//! the radius. All that is computed, the check too, sees the loops made steady here.
//!
//! Our own; how many digits there are: geometry.

use super::tolerance::ROUNDING;
use super::{Bounds, Loop, Piece, Point, Vector};

/// An arc that bows from its chord by less than this, in mm, is taken as the chord where its radius
/// is large. Where it is small it is not: a short arc's ends look different ways.
const FLAT_SAGITTA: f64 = 1e-9;
/// A radius above this, in mm, costs digits.
const LARGE_RADIUS: f64 = 1e4;

/// Loops near the origin.
#[derive(Debug)]
pub(super) struct Near {
    pub(super) loops: Vec<Loop>,
    /// The way back to where they are.
    pub(super) way: Vector,
}

impl Near {
    /// The loops moved so that the middle of the box round them is the origin, and made steady:
    /// nearly straight arcs of large radius as their chords, whose direction has more digits,
    /// and other arcs with both ends on their circle.
    pub(super) fn of(loops: &[Loop]) -> Self {
        // Of the pieces: a loop's own box would take a tree, which nothing here asks again.
        let pieces = loops.iter().flat_map(Loop::pieces);
        let middle = pieces.map(Piece::bounds).collect::<Bounds>().centre();
        let way = middle - Point::default();
        let steady = |piece: &Piece| evened(straightened(piece.moved(-way)));
        let loops = loops.iter().map(|one| one.pieces().iter().map(steady).collect());
        Self { loops: loops.map(Loop::new).collect(), way }
    }
}

/// The chord of an arc as good as straight; every other piece as it is.
fn straightened(piece: Piece) -> Piece {
    match piece {
        Piece::Arc { from, to, centre, sweep } => {
            let (radius, sagitta) =
                (from.distance(centre), from.distance(to) * sweep.abs() / 8.0);
            let straight = LARGE_RADIUS < radius && sagitta < FLAT_SAGITTA;
            if straight { Piece::line(from, to) } else { piece }
        }
        Piece::Line { .. } => piece,
    }
}

/// An arc of a shorter chord, in mm, is left as it is: ends rounded a kilometre from the origin
/// would turn it by more than a millionth.
const SHORT_CHORD: f64 = 1e-4;

/// The arc with both ends on its circle, of which rounding may have put one off: its centre moved
/// along the chord to where both are as far.
fn evened(piece: Piece) -> Piece {
    let Piece::Arc { from, to, centre, sweep } = piece else { return piece };
    let out = from - centre;
    let off = (to - from).dot(out * 2.0 + (to - from)) / (2.0 * out.length());
    let chord = (to - from).unit().filter(|_| SHORT_CHORD < from.distance(to));
    let Some(chord) = chord.filter(|_| ROUNDING < 4.0 * off.abs()) else { return piece };
    let centre = centre + chord * (from.middle(to) - centre).dot(chord);
    let turn =
        libm::atan2((from - centre).cross(to - from), (from - centre).dot(to - centre));
    let sweep = if 0.0 < turn * sweep { turn } else { sweep };
    Piece::Arc { from, to, centre, sweep }
}

//! How far a mill may go down along a line, so that the text of every move keeps to the
//! steepest ramp, rounded figures and chords of arcs included.
//!
//! ```text
//!  o .                     a move falls by its way times the slope of the steepest ramp, less what
//!      ' - o .             the rounding of its figures may add: short moves fall too little, so
//!              ' - o       they are joined where a straight line hardly strays from them
//! ```
//!
//! Geometry.

use crate::geom::{Piece, Point};

/// The steepest ramp, in degrees (common practice, no source).
const RAMP: f64 = crate::shop::defaults::RAMP.value;
/// What rounding may add to the fall of one move as written, in mm (geometry: one step of the
/// last figure of a program in inches, and the way shortened by as much).
const ROUNDING: f64 = 0.003;
/// How far a chord may stray from its arc where there are only straight moves, in mm
/// (geometry: the gouge it makes on a hump).
const CHORD: f64 = 0.002;
/// The same for a ramp on an arc too small for any hump, as a share of its radius: its chords
/// stray towards the waste, and a lap follows (geometry: two to a half circle).
const HOLLOW_CHORD: f64 = 0.3;
/// And at most in mm (from memory).
const HOLLOW_MOST: f64 = 0.1;
/// A ramp in turns is written in no more moves for each mm it falls (from memory): more are a
/// plunge in disguise.
const MOST_MOVES: f64 = 200.0;
/// The same round a circle no smaller than the mill's own radius, whose chords must be short: a
/// bore twice as wide as its mill is no plunge (from memory: so many lines are still read in time).
const MOST_SHORT_MOVES: f64 = 700.0;
/// Pieces are joined up to this length, in mm (geometry: a twentieth of it rounds away).
const JOINED: f64 = 0.5;
/// How far a line that joins short pieces may stray from them, in mm (geometry: as chords).
const STRAY: f64 = CHORD;

/// Rise over run of the steepest ramp.
pub(super) fn slope() -> f64 {
    libm::tan(RAMP.to_radians())
}

/// In how many chords an arc is written where there are only straight moves. A mill goes round
/// no hump on a smaller radius than its own: on an arc below `hollow`, that of a mill on its way
/// down, fewer serve.
pub(crate) fn chords(radius: f64, sweep: f64, hollow: f64) -> f64 {
    let stray = if is_tight(radius, hollow) {
        (HOLLOW_CHORD * radius).min(HOLLOW_MOST)
    } else {
        CHORD
    };
    let most = 2.0 * libm::acos(1.0 - stray / radius.max(stray));
    (sweep.abs() / most).ceil().max(1.0)
}

/// In how many moves a piece is written at most, and how long they are together, on the way down
/// of a mill of this radius.
fn written(piece: &Piece, mill: f64) -> (f64, f64) {
    match *piece {
        Piece::Line { .. } => (1.0, piece.length()),
        Piece::Arc { from, centre, sweep, .. } => {
            let radius = centre.distance(from);
            let moves = chords(radius, sweep, mill);
            let half = libm::sin(sweep.abs() / (2.0 * moves));
            (moves, moves * 2.0 * radius * half)
        }
    }
}

/// How far a ramp of a mill of this radius may fall along a piece: a little less than the
/// steepest for every move it is written in.
pub(super) fn fall(piece: &Piece, mill: f64) -> f64 {
    let (moves, length) = written(piece, mill);
    (length * slope() - moves * ROUNDING).max(0.0)
}

/// How far a ramp may fall along these.
pub(super) fn falls(pieces: &[Piece], mill: f64) -> f64 {
    pieces.iter().map(|piece| fall(piece, mill)).sum()
}

/// Whether a ramp along these, time after time, falls enough for the moves it takes.
pub(super) fn is_worth(pieces: &[Piece], mill: f64) -> bool {
    let moves: f64 = pieces.iter().map(|piece| written(piece, mill).0).sum();
    let is_wide = |piece: &Piece| piece.radius().is_some_and(|own| !is_tight(own, mill));
    let most = if pieces.iter().all(is_wide) { MOST_SHORT_MOVES } else { MOST_MOVES };
    moves <= most * falls(pieces, mill)
}

/// Whether an arc is too small to go round a hump: a mill goes round none on a smaller radius than
/// its own.
fn is_tight(radius: f64, mill: f64) -> bool {
    radius < mill - ROUNDING
}

/// A run as a ramp goes along it: pieces too short to fall on are joined where a straight line
/// strays from them by next to nothing.
pub(super) fn joined(run: &[Piece]) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut start = 0;
    while start < run.len() {
        let mut end = start + 1;
        while end < run.len() && is_nearly_straight(&run[start..=end]) {
            end += 1;
        }
        pieces.push(match &run[start..end] {
            [one] => *one,
            several => Piece::line(several[0].from(), several[several.len() - 1].to()),
        });
        start = end;
    }
    pieces
}

/// Whether one short line may stand for a run.
fn is_nearly_straight(run: &[Piece]) -> bool {
    let line = Piece::line(run[0].from(), run[run.len() - 1].to());
    let near = |point: Point| line.distance(point) <= STRAY;
    let length: f64 = run.iter().map(Piece::length).sum();
    length <= JOINED && run.iter().all(|piece| near(piece.at(0.5)) && near(piece.to()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn a_long_line_falls_at_nearly_three_degrees_and_a_short_one_not_at_all() {
        let line = |length| Piece::line(Point::new(0.0, 0.0), Point::new(length, 0.0));
        let steep = fall(&line(100.0), 3.0) / 100.0;
        assert!((2.99..=3.0).contains(&libm::atan(steep).to_degrees()), "{steep}");
        assert!(fall(&line(0.05), 3.0) <= 0.0, "it would round to more than 3 degrees");
    }

    #[test]
    fn a_helix_as_wide_as_its_mill_is_worth_its_turns_and_a_stir_in_one_place_is_not() {
        let ring = |radius: f64| {
            let centre = Point::new(0.0, 0.0);
            let half = Piece::arc_about(centre, Point::new(radius, 0.0), -PI);
            [half, Piece::arc_about(centre, half.to(), -PI)]
        };
        for mill in [0.5, 0.75, 1.0, 1.5, 3.0] {
            for share in [1.0, 1.02, 1.3, 2.0, 5.0] {
                assert!(is_worth(&ring(share * mill), mill), "{share} of {mill}");
            }
            assert!(!is_worth(&ring(0.05), mill), "a tenth of a millimetre wider");
        }
    }

    #[test]
    fn a_curve_of_tiny_lines_is_joined_and_its_corner_kept() {
        let at = |n: u32| {
            let turn = f64::from(n) * 0.001;
            Point::new(20.0 * libm::cos(turn), 20.0 * libm::sin(turn))
        };
        let tiny: Vec<Piece> = (0..100).map(|n| Piece::line(at(n), at(n + 1))).collect();
        assert!(falls(&tiny, 3.0) <= 0.0, "each is 0.02 mm long");
        let few = joined(&tiny);
        assert!(few.len() < 8, "{}", few.len());
        assert!(0.06 < falls(&few, 3.0), "2 mm fall 0.08");
        let corner = [(0.0, 0.0), (0.1, 0.0), (0.1, 0.1)].map(|(x, y)| Point::new(x, y));
        let bent = [Piece::line(corner[0], corner[1]), Piece::line(corner[1], corner[2])];
        assert_eq!(joined(&bent), bent, "a corner is not cut off");
    }
}

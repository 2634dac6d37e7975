//! Sets a joint's line in from its mating faces, and keeps its ends on the board's border.

use super::border::Border;
use super::line::Line;
use crate::geom::crossing::Carrier;
use crate::geom::{Piece, Point, SMOOTH_TURN, Vector};

impl Line {
    /// The line moved to its left by so much (to its right when negative), its ends kept on the
    /// border; none where that leaves nothing of a piece.
    pub(super) fn set_in(&self, border: Border, left: f64) -> Option<Self> {
        if left == 0.0 {
            return Some(self.clone());
        }
        let drawn = self.pieces.iter().map(|(piece, _)| piece);
        let moved: Option<Vec<Piece>> =
            drawn.clone().map(|piece| piece.beside(-left)).collect();
        let moved = moved?;
        let drawn: Vec<&Piece> = drawn.collect();
        let inner = (1..drawn.len()).map(|index| {
            let (before, after) = (drawn[index - 1], drawn[index]);
            if before.turn_to(after).abs() < SMOOTH_TURN {
                return Some(moved[index].from());
            }
            meeting(&Carrier::of(&moved[index - 1]), &moved[index])
        });
        let first = border_meeting(border, &moved[0], drawn[0].from());
        let last = border_meeting(border, moved.last()?, self.to());
        let corners: Option<Vec<Point>> =
            std::iter::once(first).chain(inner).chain(std::iter::once(last)).collect();
        let corners = corners?;
        let pieces = self.pieces.iter().zip(&moved).zip(corners.windows(2));
        let pieces = pieces.map(|(((drawn, name), moved), ends)| {
            Some((between(moved, ends, drawn)?, name.clone()))
        });
        Some(Self { pieces: pieces.collect::<Option<Vec<_>>>()? })
    }
}

/// A closed loop moved to its left, each piece by so much; whether a piece may be moved stands
/// beside it. Pieces that go on smoothly into each other move together, or not at all. None where
/// that leaves nothing of a piece.
pub(super) fn ring_set_in(ring: &[(Piece, bool)], by: &[f64]) -> Option<Vec<Piece>> {
    let n_pieces = ring.len();
    let before = |index: usize| (index + n_pieces - 1) % n_pieces;
    let smooth =
        |index: usize| ring[before(index)].0.turn_to(&ring[index].0).abs() < SMOOTH_TURN;
    let smooth_after: Vec<bool> = (0..n_pieces).map(smooth).collect();
    let may = ring.iter().map(|(_, may)| f64::from(u8::from(*may))).collect();
    let may = spread(may, &smooth_after, f64::min);
    let by = by.iter().zip(&may).map(|(by, may)| by * may).collect();
    let by = spread(by, &smooth_after, f64::max);
    let moved: Option<Vec<Piece>> =
        ring.iter().zip(&by).map(|((piece, _), &by)| piece.beside(-by)).collect();
    let moved = moved?;
    let corner = |index: usize| {
        let last = before(index);
        if smooth_after[index] || by[last].max(by[index]) <= 0.0 {
            return Some(moved[index].from());
        }
        meeting(&Carrier::of(&moved[last]), &moved[index])
    };
    let corners: Option<Vec<Point>> = (0..n_pieces).map(corner).collect();
    let corners = corners?;
    let pieces = (0..n_pieces).map(|index| {
        let ends = [corners[index], corners[(index + 1) % n_pieces]];
        between(&moved[index], &ends, &ring[index].0)
    });
    pieces.collect()
}

/// Values of a loop's pieces, made one over every run of pieces that go on smoothly.
fn spread(mut values: Vec<f64>, smooth: &[bool], one: fn(f64, f64) -> f64) -> Vec<f64> {
    let n_pieces = values.len();
    // On past the loop's start and back again: a run may begin anywhere.
    let there = (0..2 * n_pieces).map(|index| index % n_pieces);
    for index in there.clone().chain(there.rev()) {
        let last = (index + n_pieces - 1) % n_pieces;
        if smooth[index] {
            let both = one(values[last], values[index]);
            (values[last], values[index]) = (both, both);
        }
    }
    values
}

/// Where a carrier meets the one of a piece, nearest to the piece's start.
fn meeting(before: &Carrier, after: &Piece) -> Option<Point> {
    let both = before.meets(&Carrier::of(after))?;
    nearest(both, after.from())
}

/// Where a moved piece meets the side of the border on which its end lay.
fn border_meeting(border: Border, moved: &Piece, end: Point) -> Option<Point> {
    let sides = border.sides_at(end).into_iter();
    let met = sides.filter_map(|side| {
        let both = Carrier::of(&border.line(side)).meets(&Carrier::of(moved))?;
        nearest(both, end)
    });
    // At a corner of the board the line runs on to the side that is left of the border.
    let on_it = met.filter(|at| !border.sides_at(*at).is_empty());
    on_it.min_by(|a, b| a.distance(end).total_cmp(&b.distance(end)))
}

fn nearest(both: [Point; 2], to: Point) -> Option<Point> {
    both.into_iter().min_by(|a, b| a.distance(to).total_cmp(&b.distance(to)))
}

/// The part of a moved piece between two corners; none where it would run backwards.
fn between(moved: &Piece, ends: &[Point], drawn: &Piece) -> Option<Piece> {
    let (from, to) = (ends[0], ends[1]);
    let Piece::Arc { centre, sweep, .. } = *moved else {
        let way: Vector = to - from;
        return (0.0 < way.dot(drawn.direction(0.0))).then(|| Piece::line(from, to));
    };
    let turned = |old: Point, new: Point| (old - centre).turn_to(new - centre);
    let sweep = sweep + turned(moved.to(), to) - turned(moved.from(), from);
    let runs_on = 0.0 < sweep * moved_sweep(drawn);
    runs_on.then_some(Piece::Arc { from, to, centre, sweep })
}

fn moved_sweep(drawn: &Piece) -> f64 {
    match *drawn {
        Piece::Arc { sweep, .. } => sweep,
        Piece::Line { .. } => 0.0,
    }
}

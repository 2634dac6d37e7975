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
            drawn.clone().map(|piece| beside(piece, left)).collect();
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

/// A piece moved to its left; none where an arc shrinks to nothing.
fn beside(piece: &Piece, left: f64) -> Option<Piece> {
    let Piece::Arc { from, centre, sweep, .. } = *piece else {
        return Some(piece.moved(piece.direction(0.0).left() * left));
    };
    let radius = from.distance(centre);
    let share = 1.0 - left * sweep.signum() / radius;
    (0.0 < share)
        .then(|| Piece::arc_about(centre, centre + (from - centre) * share, sweep))
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

//! The saw line, set off far enough to be told from its edge.

use super::canvas::Canvas;
use super::edges::waste_side;
use super::key;
use crate::draw::{Pen, WalkSide};
use crate::geom::{Piece, Point};

/// The saw line, drawn no nearer to the edge than can be told apart on paper.
pub(super) fn saw_line(canvas: &mut Canvas<'_>) {
    let plan = canvas.plan;
    let waste = waste_side(canvas.face);
    for line in &plan.saw {
        canvas.named(
            key::SAW.to_owned(),
            || key::SAW_WORDS.to_owned(),
            |canvas| {
                canvas.draw(line.part, |view, scene| {
                    let pieces = view.pieces(&line.pieces);
                    let short = SAW_APART - line.leave * view.scale;
                    let run = if 0.0 < short {
                        moved_out(&pieces, short, line.closed, waste)
                    } else {
                        pieces
                    };
                    scene.line(run, Pen::Saw);
                });
            },
        );
    }
}

/// The least distance at which saw line and edge are told apart on paper.
const SAW_APART: f64 = 3.0;

/// The run moved off by `by` to its waste side: each piece by itself, ends joined straight or
/// where neighbouring lines cross.
fn moved_out(pieces: &[Piece], by: f64, closed: bool, waste: WalkSide) -> Vec<Piece> {
    let right = match waste {
        WalkSide::Right => by,
        WalkSide::Left => -by,
    };
    let moved: Vec<Piece> =
        pieces.iter().filter_map(|piece| piece.beside(right)).collect();
    let n_moved = moved.len();
    let mut starts: Vec<Point> = moved.iter().map(Piece::from).collect();
    let mut ends: Vec<Point> = moved.iter().map(Piece::to).collect();
    for i in 0..n_moved {
        let next = (i + 1) % n_moved;
        if (next != 0 || closed)
            && let Some(cross) = lines_cross(&moved[i], &moved[next], 4.0 * by)
        {
            (ends[i], starts[next]) = (cross, cross);
        }
    }
    let mut run = Vec::new();
    for (i, piece) in moved.iter().enumerate() {
        run.push(match piece {
            Piece::Line { .. } => Piece::line(starts[i], ends[i]),
            Piece::Arc { .. } => *piece,
        });
        let next = (i + 1) % n_moved;
        if (next != 0 || closed) && 1e-6 < ends[i].distance(starts[next]) {
            run.push(Piece::line(ends[i], starts[next]));
        }
    }
    run
}

/// Where two neighbouring lines cross, if that is no farther than `reach` from their ends.
fn lines_cross(one: &Piece, other: &Piece, reach: f64) -> Option<Point> {
    let (Piece::Line { .. }, Piece::Line { .. }) = (one, other) else { return None };
    let (way, next) = (one.direction(0.0), other.direction(0.0));
    let turn = way.cross(next);
    if turn.abs() < 1e-3 {
        return None;
    }
    let cross = one.from() + way * ((other.from() - one.from()).cross(next) / turn);
    (cross.distance(one.to()) <= reach && cross.distance(other.from()) <= reach)
        .then_some(cross)
}

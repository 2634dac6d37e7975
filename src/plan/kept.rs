//! A template is set in only where the bit runs: the edges that are true already stay where
//! they are, so that template and board are laid flush by them.
//!
//! Moved out first by what the whole is then set in, they come back to their place.

use crate::geom::crossing::Carrier;
use crate::geom::tolerance::{CHECK, REPAIR};
use crate::geom::{Loop, Piece, Point, SMOOTH_TURN, nearest_loop};
use crate::outline::Outline;
use crate::read::Role;
use crate::shop::Bit;

/// Some loops of the guide with the edges moved out by `by` that are not routed; none where
/// that leaves no sound loop. A loop of which nothing is routed stays.
pub(super) fn spread(guide: &Outline, loops: &[Loop], by: f64) -> Option<Vec<Loop>> {
    let rings = loops.iter().enumerate();
    rings.map(|(on, ring)| spread_ring(ring, &stays(guide, on, ring), by)).collect()
}

/// For each piece of a loop, drawn or fitted, whether no bit runs along it.
fn stays(guide: &Outline, on: usize, ring: &Loop) -> Vec<bool> {
    let pieces = ring.pieces().iter();
    let stays: Vec<bool> = pieces
        .map(|piece| {
            let along = guide.loops[on].nearest(piece.at(0.5));
            !matches!(guide.role_at(on, along), Role::Rout | Role::RunOn)
        })
        .collect();
    let none_is_routed = stays.iter().all(|stays| *stays);
    if none_is_routed { vec![false; stays.len()] } else { stays }
}

fn spread_ring(ring: &Loop, stays: &[bool], by: f64) -> Option<Loop> {
    let n_pieces = stays.len();
    let pieces = ring.pieces().iter().zip(stays);
    let moved: Option<Vec<Piece>> = pieces
        .map(|(piece, &stays)| if stays { piece.beside(by) } else { Some(*piece) })
        .collect();
    let mut moved = moved?;
    let mut steps: Vec<Option<Piece>> = vec![None; n_pieces];
    for after in 0..n_pieces {
        let before = ring.before(after);
        if !stays[before] && !stays[after] {
            continue;
        }
        let turn = ring.turn(after);
        if turn.abs() < SMOOTH_TURN {
            let (from, to) = (moved[before].to(), moved[after].from());
            steps[after] = (REPAIR < from.distance(to)).then(|| Piece::line(from, to));
            continue;
        }
        if stays[before] && stays[after] && turn < 0.0 {
            return None; // set in again it would come back rounded
        }
        let carriers = [before, after].map(|index| Carrier::of(&moved[index]));
        let corner = ring.pieces()[after].from();
        let both = carriers[0].meets(&carriers[1])?;
        let met = both
            .into_iter()
            .min_by(|a, b| a.distance(corner).total_cmp(&b.distance(corner)))?;
        moved[before] = ending(&moved[before], met)?;
        moved[after] = ending(&moved[after].reversed(), met)?.reversed();
    }
    let joined = moved
        .into_iter()
        .zip(steps)
        .flat_map(|(piece, step)| step.into_iter().chain(std::iter::once(piece)));
    Some(Loop::new(joined.collect()))
}

/// A piece that ends on its own line at another place; none where it would run backwards.
fn ending(piece: &Piece, to: Point) -> Option<Piece> {
    let Piece::Arc { from, to: old, centre, sweep } = *piece else {
        let from = piece.from();
        let runs_on = 0.0 < (to - from).dot(piece.direction(0.0));
        return runs_on.then(|| Piece::line(from, to));
    };
    let turned = sweep + (old - centre).turn_to(to - centre);
    (0.0 < turned * sweep).then_some(Piece::Arc { from, to, centre, sweep: turned })
}

/// Whether a template with its true edges kept lies in the guide, and lets every bit go
/// wherever the one set in all round does.
pub(super) fn serves(
    guide: &Outline,
    (kept, set_in): (&[Loop], &[Loop]),
    bits: &[&Bit],
) -> bool {
    let lies_in = |at: Point| {
        let wood: i32 = guide.loops.iter().map(|ring| ring.winding(at)).sum();
        0 < wood || distance(&guide.loops, at) <= CHECK
    };
    let mut corners = kept.iter().flat_map(Loop::pieces);
    let inside = corners.all(|piece| lies_in(piece.from()) && lies_in(piece.at(0.5)));
    inside
        && bits.iter().all(|bit| {
            let guided = bit.bearing.radius();
            let mut centres = centres(guide, bit.cutter.radius()).into_iter();
            centres.all(|at| {
                distance(set_in, at) < guided - CHECK
                    || guided - CHECK <= distance(kept, at)
            })
        })
}

fn distance(loops: &[Loop], at: Point) -> f64 {
    nearest_loop(loops, at).map_or(f64::INFINITY, |(distance, ..)| distance)
}

/// Where the middle of a cutter stands along the routed edges.
fn centres(guide: &Outline, radius: f64) -> Vec<Point> {
    let mut centres = Vec::new();
    for edge in guide.edges.iter().filter(|edge| edge.role == Role::Rout) {
        let ring = &guide.loops[edge.span.on];
        for piece in ring.run(edge.span.from, edge.span.length) {
            let marks = super::ear::marks(piece.length());
            centres
                .extend(marks.map(|t| piece.at(t) + piece.direction(t).right() * radius));
        }
    }
    centres
}

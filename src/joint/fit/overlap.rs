//! The area two halves share, by Green's formula over what of each border lies in the other.

use super::is_wood;
use crate::geom::crossing::crossings;
use crate::geom::{Loop, Piece, Point, nearest_loop, tolerance};

/// The area in both.
pub(super) fn area(a: &[Loop], b: &[Loop]) -> f64 {
    let origin = a.first().map_or(Point::new(0.0, 0.0), |ring| ring.bounds().centre());
    let of_a = twice_inside(a, b, (origin, true));
    let of_b = twice_inside(b, a, (origin, false));
    f64::midpoint(of_a, of_b).max(0.0)
}

/// Twice the area under those runs of a border that lie in the other half. A run that both
/// borders share counts once, from the first, and only where both have wood on the same side.
fn twice_inside(border: &[Loop], other: &[Loop], (origin, shared): (Point, bool)) -> f64 {
    let pieces = border.iter().flat_map(Loop::pieces);
    let runs = pieces.flat_map(|piece| runs(piece, other));
    let inside = runs.filter(|run| {
        let middle = run.at(0.5);
        match nearest_loop(other, middle) {
            Some((distance, on, along)) if distance <= tolerance::CHECK => {
                let way = other[on].direction_after(along);
                shared && 0.0 < way.dot(run.direction(0.5))
            }
            _ => is_wood(other, middle),
        }
    });
    inside.map(|run| run.twice_area(origin)).sum()
}

/// A piece, parted wherever it meets the other's border.
fn runs(piece: &Piece, other: &[Loop]) -> Vec<Piece> {
    let mut places = vec![0.0, 1.0];
    for mate in other.iter().flat_map(Loop::pieces) {
        if !mate.bounds().grown(1.0).meets(&piece.bounds()) {
            continue;
        }
        let met = crossings(piece, mate, tolerance::JOIN_ENDS);
        places.extend(met.iter().map(|crossing| crossing.first));
        for end in [mate.from(), mate.to()] {
            let place = piece.nearest(end);
            if piece.at(place).distance(end) <= tolerance::CHECK {
                places.push(place);
            }
        }
    }
    places.sort_by(f64::total_cmp);
    let long =
        |ends: &[f64]| tolerance::SAME_POINT < (ends[1] - ends[0]) * piece.length();
    let parts = places.windows(2).filter(|ends| long(ends));
    parts.map(|ends| piece.part(ends[0], ends[1])).collect()
}

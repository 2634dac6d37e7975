//! The narrowest wood behind the inside corners of a half.

use super::is_wood;
use crate::geom::{Join, Loop, Piece, Point, nearest_loop, tolerance};

/// The narrowest wood from an inside corner to an edge that does not meet it there.
pub(super) fn narrowest(half: &[Loop]) -> Option<f64> {
    let corners = half.iter().flat_map(inside_corners);
    let widths = corners.filter_map(|corner| {
        let pieces = half.iter().flat_map(Loop::pieces);
        let across = pieces.filter(|piece| is_apart(piece, corner));
        let across = across.filter(|piece| {
            let foot = piece.at(piece.nearest(corner));
            let middle = corner.middle(foot);
            let free =
                nearest_loop(half, middle).is_some_and(|(d, ..)| tolerance::REPAIR < d);
            free && is_wood(half, middle)
        });
        across.map(|piece| piece.distance(corner)).min_by(f64::total_cmp)
    });
    widths.min_by(f64::total_cmp)
}

fn inside_corners(ring: &Loop) -> Vec<Point> {
    let indices = 0..ring.pieces().len();
    let inside = indices
        .filter(|&index| ring.join(index) == Join::Corner && ring.turn(index) < 0.0);
    inside.map(|index| ring.pieces()[index].from()).collect()
}

fn is_apart(piece: &Piece, corner: Point) -> bool {
    tolerance::REPAIR < piece.distance(corner)
}

//! How two halves fit when they are together: gap and overlap by face, the ways in which they
//! can be brought together, and the narrowest wood each has left.
//!
//! All of it is geometry. Faces that meet at every place but for the stated clearance touch.

mod contact;

mod neck;

mod overlap;

#[cfg(test)]
pub(super) mod tests;

use crate::geom::{Bounds, Loop, Piece, Point, Vector, nearest_loop, tolerance};

/// How two halves fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Each routed face of half A against half B.
    pub faces: Vec<FaceFit>,
    /// The area both halves would take, in mm²: 0 where they only touch.
    pub overlap: f64,
    /// The ways in which half B can be slid off half A in the plane of the drawing, as pairs
    /// of degrees counter-clockwise from +x; none where the halves are only dropped together
    /// across the thickness.
    pub ways: Vec<(f64, f64)>,
    /// The narrowest wood behind an inside corner of half A and of half B.
    pub necks: [Option<f64>; 2],
}

/// One face of half A against half B.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceFit {
    /// Its name.
    pub name: String,
    /// Where it lies when the joint is together, half A's wood on its left.
    pub piece: Piece,
    /// Places from its one end to its other: where, the way out of half A's wood, and how far
    /// off half B stands.
    pub places: Vec<(Point, Vector, f64)>,
    /// The least gap; less than zero where the halves overlap.
    pub least: f64,
    /// The widest gap.
    pub most: f64,
}

/// How halves fit that lie together in half A's frame: by half A's mating faces, which are to be
/// so far apart from half B.
pub(super) fn fit(
    faces: &[(Piece, String)],
    [a, b]: [&[Loop]; 2],
    clearance: f64,
) -> Fit {
    let measured =
        faces.iter().map(|(piece, name)| measured((piece, name), b, clearance));
    let necks = [neck::narrowest(a), neck::narrowest(b)];
    Fit {
        faces: measured.collect(),
        overlap: overlap([a, b]),
        ways: contact::ways((a, b), faces, clearance),
        necks,
    }
}

/// The area that both halves would take, in mm².
pub(super) fn overlap([a, b]: [&[Loop]; 2]) -> f64 {
    overlap::area(a, b)
}

/// How deep one half is sunk into the other at most, and where.
pub(super) fn deepest([a, b]: [&[Loop]; 2]) -> (f64, Point) {
    let places = |border: &[Loop]| -> Vec<Point> {
        let pieces = border.iter().flat_map(Loop::pieces);
        let shares = (0..PLACES).map(|place| f64::from(place) / f64::from(PLACES));
        let shares: Vec<f64> = shares.collect();
        pieces.flat_map(|piece| shares.iter().map(|&t| piece.at(t))).collect()
    };
    let mut worst = (0.0, Point::default());
    for (border, other) in [(a, b), (b, a)] {
        let box_of: Bounds = other.iter().map(Loop::bounds).collect();
        for at in places(border) {
            let inside = box_of.distance_squared(at) <= 0.0;
            let deep = if inside { -gap(other, at) } else { 0.0 };
            if worst.0 < deep {
                worst = (deep, at);
            }
        }
    }
    worst
}

/// Places tried along a face: between two lines or arcs the gap is least and widest at an end
/// or changes slowly between.
const PLACES: u32 = 64;

/// One face against the mate's wood.
pub(super) fn measured(
    (piece, name): (&Piece, &str),
    mate: &[Loop],
    clearance: f64,
) -> FaceFit {
    // Nearer to its ends than this the nearest wood may lie round an inside corner.
    let off_ends = (2.0 * clearance / piece.length()).min(0.25);
    let inner = piece.part(off_ends, 1.0 - off_ends);
    let places = (0..=PLACES).map(|place| {
        let t = f64::from(place) / f64::from(PLACES);
        let at = inner.at(t);
        (at, inner.direction(t).right(), gap(mate, at))
    });
    let places: Vec<(Point, Vector, f64)> = places.collect();
    let gaps = places.iter().map(|(.., gap)| *gap);
    let least = gaps.clone().fold(f64::INFINITY, f64::min);
    let most = gaps.fold(f64::NEG_INFINITY, f64::max);
    FaceFit { name: name.to_owned(), piece: *piece, places, least, most }
}

/// How far a point lies outside a half; less than zero in its wood.
fn gap(half: &[Loop], point: Point) -> f64 {
    let distance =
        nearest_loop(half, point).map_or(f64::INFINITY, |(distance, ..)| distance);
    if distance <= tolerance::CHECK {
        return 0.0;
    }
    if is_wood(half, point) { -distance } else { distance }
}

fn is_wood(half: &[Loop], point: Point) -> bool {
    half.iter().map(|ring| ring.winding(point)).sum::<i32>() == 1
}

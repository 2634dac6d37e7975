//! Two arcs that leave one point in one direction and arrive at another in another, with a common
//! tangent where they meet.
//!
//! ```text
//!       a --- o --- b        o      the joint of the two arcs, in the middle between a and b
//!      / .         . \       a, b   where its tangent meets those at `from` and `to`
//!     /.             .\
//!   from              to
//! ```
//!
//! From a it is as far to `from` as to o, and from b as far to o as to `to`. There are many such
//! pairs of arcs: this is the one with all four lengths alike.
//!
//! Source: published: R. Juckett, Biarc Interpolation, 2014, ryanjuckett.com, for the arcs from the
//! tangents that meet; that all lengths can be alike: geometry.

use super::{Piece, Point, Vector};

/// A point and the direction of travel there, length one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Heading {
    /// The point.
    pub(crate) at: Point,
    /// The direction.
    pub(crate) way: Vector,
}

/// An arc as flat as this is a line.
const FLAT: f64 = 1e-6;
/// And so is one that turns from its chord by no more than this, in radians.
const FLAT_TURN: f64 = 8e-6;

/// The arcs from `from` to `to`: two, or one where both lie on one circle, or a line.
/// `None` where no two arcs of less than a half turn each will do.
pub(super) fn biarc(from: Heading, to: Heading) -> Option<Vec<Piece>> {
    let chord = to.at - from.at;
    let length = chord.length();
    if length <= 0.0 {
        return None;
    }
    if is_flat(from.way, chord) && is_flat(-to.way, -chord) {
        return Some(vec![Piece::line(from.at, to.at)]);
    }
    let reach = tangent_length(chord, from.way, to.way)?;
    let joint = (from.at + from.way * reach).middle(to.at - to.way * reach);
    let first = arc_from(from, joint)?;
    let second = arc_from(Heading { at: to.at, way: -to.way }, joint)?.reversed();
    Some(vec![first, second])
}

/// The arc that leaves `from` and ends at `to`; a line where it is as good as flat; `None`
/// for a half turn or more.
pub(crate) fn arc_from(from: Heading, to: Point) -> Option<Piece> {
    let chord = to - from.at;
    if is_flat(from.way, chord) {
        return Some(Piece::line(from.at, to));
    }
    let sweep = 2.0 * from.way.turn_to(chord);
    if std::f64::consts::PI <= sweep.abs() {
        return None;
    }
    let side = from.way.left();
    let radius = chord.dot(chord) / (2.0 * chord.dot(side));
    Some(Piece::Arc { from: from.at, to, centre: from.at + side * radius, sweep })
}

/// Whether an arc that leaves in this direction over this chord is as good as the chord.
fn is_flat(way: Vector, chord: Vector) -> bool {
    let off = way.cross(chord).abs();
    // The sagitta is a quarter of the chord times the turn, the turn `off / chord`.
    let length = chord.length();
    0.0 < way.dot(chord) && off / 4.0 <= FLAT && off <= FLAT_TURN * length
}

/// The common tangent length `d` of `|chord − d (a + b)| = 2 d`.
fn tangent_length(chord: Vector, a: Vector, b: Vector) -> Option<f64> {
    let along = chord.dot(a + b);
    let square = chord.dot(chord);
    let open = 2.0 * (1.0 - a.dot(b));
    let root = (along * along + open * square).sqrt();
    // The form without cancellation where the directions lie alike.
    let reach =
        if 0.0 <= along { square / (along + root) } else { (root - along) / open };
    (reach.is_finite() && 0.0 < reach).then_some(reach)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_biarc_has_the_tangents_asked_for_and_no_kink() {
        for i in 0..200 {
            let a = f64::from(i * 37 % 100) / 100.0 - 0.5;
            let b = f64::from(i * 59 % 101) / 100.0 - 0.5;
            let from = Heading { at: Point::new(3.0, -1.0), way: Vector::at_angle(a) };
            let to = Heading { at: Point::new(13.0, 1.0), way: Vector::at_angle(b) };
            let arcs = biarc(from, to).expect("gentle turns");
            assert!(arcs[0].direction(0.0).cross(from.way).abs() < 1e-12, "start {i}");
            let last = arcs[arcs.len() - 1];
            assert!(last.direction(1.0).cross(to.way).abs() < 1e-12, "end {i}");
            if let [first, second] = arcs[..] {
                let kink = first.direction(1.0).cross(second.direction(0.0));
                assert!(kink.abs() < 1e-11, "kink {kink} at {i}");
                assert_eq!(first.to(), second.from(), "they meet");
            }
        }
    }
}

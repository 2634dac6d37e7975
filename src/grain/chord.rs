//! Chords through a part: how far the wood goes on from a place, exactly.
//!
//! ```text
//!      _____________
//!     |             |       from the place o along the fibres, one way and the other, to the first
//!     |<----o------>|       edge each; where there is none the place lies outside
//!     |_____________|
//! ```
//!
//! Geometry.

use crate::geom::{Loop, Piece, Point, Vector};

/// How far the wood goes on from a place, one way and the other, in mm.
///
/// `None` where it does not go on until an edge is met: the place lies outside.
pub fn chord(loops: &[Loop], at: Point, way: Vector) -> Option<(f64, f64)> {
    Some((ray(loops, at, -way)?, ray(loops, at, way)?))
}

/// How far it is from a place to the first edge this way, in mm; `way` has length one.
///
/// A joint that the ray only grazes ends it: else rounding would tell, and between two pieces
/// it could slip out of the part.
pub fn ray(loops: &[Loop], at: Point, way: Vector) -> Option<f64> {
    let mut first = f64::INFINITY;
    for piece in loops.iter().flat_map(Loop::pieces) {
        let [one, other] = match *piece {
            Piece::Line { from, to } => [line(at, way, (from, to)), None],
            Piece::Arc { .. } => arc(at, way, piece),
        };
        let hits = [one, other, grazed(at, way, piece.from())];
        for far in hits.into_iter().flatten().filter(|far| START < *far) {
            first = first.min(far);
        }
    }
    first.is_finite().then_some(first)
}

/// An edge nearer than this is the one the ray starts on, in mm.
const START: f64 = 1e-6;

/// Nearer than this to a joint or to the side of an arc, a ray meets it, in mm.
const GRAZE: f64 = 1e-6;

/// Where a ray passes a joint, as the way along the ray.
fn grazed(at: Point, way: Vector, joint: Point) -> Option<f64> {
    let reach = joint - at;
    (reach.cross(way).abs() <= GRAZE).then(|| reach.dot(way))
}

/// Where a ray meets a line, as the way along the ray.
fn line(at: Point, way: Vector, (from, to): (Point, Point)) -> Option<f64> {
    let (side, reach) = (to - from, from - at);
    let across = way.cross(side);
    let t = reach.cross(way) / across;
    (across != 0.0 && (0.0..=1.0).contains(&t)).then(|| reach.cross(side) / across)
}

/// Where a ray meets an arc, as the ways along the ray.
fn arc(at: Point, way: Vector, piece: &Piece) -> [Option<f64>; 2] {
    let Piece::Arc { from, centre, .. } = *piece else { return [None; 2] };
    let out = at - centre;
    let (middle, off) = (-out.dot(way), out.cross(way));
    let radius = from.distance(centre);
    if radius + GRAZE < off.abs() {
        return [None; 2];
    }
    let half = (radius * radius - off * off).max(0.0).sqrt();
    [middle - half, middle + half].map(|far| {
        let point = at + way * far;
        piece.in_sweep(point - centre).then_some(far)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::shapes::{Dice, star};
    use std::f64::consts::PI;

    /// Basis: geometry: chords of a ring of 200 and 260: through its wall square to it 60, along
    /// the grain at 22.5 degrees from the middle of the wall to the outer circle.
    #[test]
    fn chords_of_a_ring() {
        let at = Point::new;
        let circle = |radius: f64, turn: f64| {
            let half = Piece::arc_about(at(0.0, 0.0), at(radius, 0.0), turn * PI);
            Loop::new(vec![half, Piece::arc_about(at(0.0, 0.0), half.to(), turn * PI)])
        };
        let ring = [circle(260.0, 1.0), circle(200.0, -1.0)];
        let wall = ray(&ring, at(0.0, 200.0), Vector::new(0.0, 1.0)).expect("wood");
        assert!((wall - 60.0).abs() < 1e-9, "the wall: {wall}");
        let (back, ahead) =
            chord(&ring, at(0.0, 230.0), Vector::new(1.0, 0.0)).expect("wood");
        let half = (260.0_f64 * 260.0 - 230.0 * 230.0).sqrt();
        assert!((back - half).abs() < 1e-9 && (ahead - half).abs() < 1e-9, "a tangent");
        let slope = Vector::at_angle(PI / 8.0);
        let (_, ahead) = chord(&ring, at(0.0, 230.0), slope).expect("wood");
        let (sin, cos) = libm::sincos(PI / 8.0);
        let off = 230.0 * cos;
        let exact = (260.0 * 260.0 - off * off).sqrt() - 230.0 * sin;
        assert!((ahead - exact).abs() < 1e-9, "{ahead}, not {exact}");
    }

    /// Basis: geometry: a plus of five squares of 10: from the middle of one arm the corners
    /// between the arms lie on the way into the next one, whichever way the plus is turned.
    #[test]
    fn a_grazed_corner_ends_the_chord_whichever_way_it_is_turned() {
        let corners = [
            (10, 0),
            (20, 0),
            (20, 10),
            (30, 10),
            (30, 20),
            (20, 20),
            (20, 30),
            (10, 30),
            (10, 20),
            (0, 20),
            (0, 10),
            (10, 10),
        ];
        for turned in 0..360 {
            let along = Vector::at_angle(f64::from(turned));
            let place =
                |x: f64, y: f64| Point::new(0.0, 0.0) + along * x + along.left() * y;
            let corner = |&(x, y): &(i32, i32)| place(f64::from(x), f64::from(y));
            let points: Vec<Point> = corners.iter().map(corner).collect();
            let side = |index: usize| {
                Piece::line(points[index], points[(index + 1) % points.len()])
            };
            let plus = [Loop::new((0..points.len()).map(side).collect())];
            let far =
                ray(&plus, place(15.0, 5.0), (along + along.left()) * 0.5_f64.sqrt());
            let far = far.expect("wood");
            assert!((far - 50.0_f64.sqrt()).abs() < 1e-9, "{far}, turned by {turned}");
        }
    }

    /// Basis: measured: marching along the ray in small steps until the winding changes.
    #[test]
    fn marching_finds_the_same_edge() {
        let mut dice = Dice::new(31);
        for _ in 0..200 {
            let ring = [star(&mut dice)];
            let way = Vector::at_angle(2.0 * PI * dice.share());
            let at = ring[0].bounds().centre();
            let far = ray(&ring, at, way).expect("there is an edge");
            let inside = ring[0].winding(at);
            let step = far / 997.0;
            let mut marched = step / 2.0;
            while ring[0].winding(at + way * marched) == inside {
                marched += step;
            }
            assert!((marched - far).abs() <= step, "{marched}, not {far}");
        }
    }
}

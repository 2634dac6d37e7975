//! Circles drawn as four cubic curves, a quarter each, found again and told.
//!
//! ```text
//!    d----c          a quarter from a to d: its handles, from a to b and from d to c, stand square
//!      ` .   b       to the radius and are about 0.552 radii long, which is as near to a circle
//!          ` |       as a cubic gets
//!           `a
//! ```
//!
//! Geometry.

use super::chain::Ring;
use super::recover::ROUNDINGS;
use super::strand::{Report, Strand};
use crate::geom::{Piece, Point, Vector};
use crate::read::Stroke;
use std::f64::consts::{FRAC_PI_2, PI};

/// The handles of a cubic that stands for a quarter circle, as shares of its radius: the curve
/// strays from the circle by less than a thousandth of it (geometry).
const HANDLES: (f64, f64) = (0.551, 0.5535);

/// Points with all their decimals are off by no more, in mm.
const ALL_DECIMALS: f64 = 1e-6;

/// Makes two half circles of a circle drawn as four equal cubic quarters.
pub(super) fn circle_of_cubics(
    ring: &mut Ring,
    rounding: f64,
    report: &mut Report,
) -> bool {
    let cubic = |strand: &Strand| match strand.stroke {
        Stroke::Cubic(points) => Some(points),
        _ => None,
    };
    let quarters: Vec<[Point; 4]> = ring.iter().filter_map(cubic).collect();
    if quarters.len() != 4 || ring.len() != 4 {
        return false;
    }
    let ends =
        quarters.iter().fold(Vector::default(), |sum, q| sum + (q[0] - quarters[0][0]));
    let centre = quarters[0][0] + ends * 0.25;
    let radius = quarters.iter().map(|q| q[0].distance(centre)).sum::<f64>() / 4.0;
    let turn = (quarters[0][0] - centre).turn_to(quarters[0][3] - centre).signum();
    let slack = ALL_DECIMALS.max(ROUNDINGS * rounding);
    if !quarters.iter().all(|q| is_quarter(q, (centre, radius, turn), slack)) {
        return false;
    }
    let strays = quarters[0][0].middle(quarters[0][3]);
    let middle = (strays - centre) * 0.25
        + (quarters[0][1].middle(quarters[0][2]) - centre) * 0.75;
    let found = format!(
        "four curves are taken as a circle of radius {} about {}, from which they stray by {}: {}",
        report.paper.decimals(radius, 6),
        report.point(centre),
        report.paper.decimals((middle.length() - radius).abs(), 4),
        ring[0].called()
    );
    report.repaired("outline-circle-recovered", ring[0].place_at(centre), found);
    let from = quarters[0][0];
    let opposite = centre + (centre - from);
    let half = |from, to| Piece::Arc { from, to, centre, sweep: turn * PI };
    let strand = |piece| Strand { stroke: Stroke::Piece(piece), ..ring[0].clone() };
    *ring = vec![strand(half(from, opposite)), strand(half(opposite, from))];
    true
}

/// Whether a cubic stands for a quarter of this circle.
fn is_quarter(
    [a, b, c, d]: &[Point; 4],
    (centre, radius, turn): (Point, f64, f64),
    slack: f64,
) -> bool {
    let (start, end) = (*a - centre, *d - centre);
    let (leaves, arrives) = (*b - *a, *d - *c);
    let right_angle = start.turn_to(end) * turn - FRAC_PI_2;
    let handle = |length: f64| {
        HANDLES.0 * radius - slack <= length && length <= HANDLES.1 * radius + slack
    };
    // Across the radius at both ends.
    let along = |handle: Vector, out: Vector| handle.dot(out).abs() <= slack * radius;
    (start.length() - radius).abs() <= slack
        && (end.length() - radius).abs() <= slack
        && right_angle.abs() * radius <= 2.0 * slack
        && along(leaves, start)
        && along(arrives, end)
        && handle(leaves.length())
        && handle(arrives.length())
        && 0.0 < turn * start.cross(leaves)
        && 0.0 < turn * end.cross(arrives)
}

#[cfg(test)]
mod tests {
    use crate::geom::{Point, Vector};
    use crate::outline::tests::{drawn, good, ids, path};
    use crate::read::Stroke;
    use std::f64::consts::PI;

    #[test]
    fn a_circle_of_four_cubics_is_a_circle_and_told() {
        // Basis: geometry, the usual handle; between its ends the curve strays 2.73e-4 radii.
        for (radius, handle) in [(12.5, 0.552_284_75), (37.123_456, 0.551_915)] {
            let centre = Point::new(40.0, 50.0);
            let quarter = |k: u32| {
                let out = |k: u32| Vector::at_angle(-f64::from(k) * PI / 2.0) * radius;
                let (from, to) = (out(k), out(k + 1));
                let points = [from, from + to * handle, to + from * handle, to];
                drawn(Stroke::Cubic(points.map(|out| centre + out)))
            };
            let told = good(vec![path("c", (0..4).map(quarter).collect())]);
            assert_eq!(ids(&told.notes), ["outline-circle-recovered"], "told");
            let part = &told.value[0];
            let pieces = part.loops[0].pieces();
            assert_eq!(pieces.len(), 2, "two half circles");
            let found = pieces[0].radius().expect("an arc");
            assert!((found - radius).abs() < 1e-6, "{found} for {radius}");
            assert_eq!(part.drawn, part.loops, "and the proof takes it as one");
        }
    }
}

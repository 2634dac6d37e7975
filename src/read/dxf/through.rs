//! A curve that is given only by points it goes through.
//!
//! The format leaves open how it runs between them. Taken here is what is usual: the cubic
//! spline over the length of the chords, with the end directions where the file gives them, else
//! straight at its ends (common practice, no source). The person is told.

use dxf::Point as At;
use dxf::entities::Spline;
use nalgebra::{Point3, Vector3};

use super::entity::{Found, Shape, point};
use super::frame::Mark;

/// More fit points than this are no drawing's (from memory).
const MOST_POINTS: usize = 10_000;
/// Points laid round again at either end of a closed curve: what an end does fades by a factor
/// of 2 − √3 a point, so this is below rounding (geometry).
const ROUND_AGAIN: usize = 30;

/// What a spline with fit points only draws.
pub(super) fn fit_points(curve: &Spline) -> Found {
    let mut points: Vec<Point3<f64>> = curve.fit_points.iter().map(point).collect();
    points.dedup();
    if points.len() < 2 || MOST_POINTS < points.len() {
        return Found::Bad(
            "it has neither control points nor points to go through, each with x, y and z",
        );
    }
    let direction = |at: &At| point(at).coords.try_normalize(0.0);
    let ends = (direction(&curve.start_tangent), direction(&curve.end_tangent));
    let marks = if curve.is_closed() || curve.is_periodic() {
        if points.first() == points.last() {
            points.pop();
        }
        round(&points)
    } else {
        cubics(&points, ends)
    };
    let guess = "is given only by points it goes through; between them it is taken as the usual cubic spline";
    Found::Drawn(Shape { guess: Some(guess), ..Shape::open(marks) })
}

/// Smooth all round: the points are laid round again before and after, and the middle is taken.
fn round(points: &[Point3<f64>]) -> Vec<Mark> {
    let n = points.len();
    let start = n - ROUND_AGAIN % n;
    let long: Vec<Point3<f64>> =
        (0..=n + 2 * ROUND_AGAIN).map(|index| points[(start + index) % n]).collect();
    cubics(&long, (None, None))[ROUND_AGAIN..ROUND_AGAIN + n].to_vec()
}

/// The directions at the ends, where they are known.
type Ends = (Option<Vector3<f64>>, Option<Vector3<f64>>);

/// The cubic spline through the points, over the length of its chords.
fn cubics(points: &[Point3<f64>], ends: Ends) -> Vec<Mark> {
    let chords: Vec<Vector3<f64>> = points.windows(2).map(|p| p[1] - p[0]).collect();
    let velocities = velocities(&chords, ends);
    let cubic = |(index, chord): (usize, &Vector3<f64>)| {
        let (from, to) = (points[index], points[index + 1]);
        let third = chord.norm() / 3.0;
        let out = from + velocities[index] * third;
        Mark::Cubic([from, out, to - velocities[index + 1] * third, to])
    };
    chords.iter().enumerate().map(cubic).collect()
}

/// The velocity at each point, so that speed and bend are the same on both sides of it.
///
/// Geometry: between chords `a` before and `b` after, of lengths `h` and `k`, they are
/// `k v₀ + 2 (h + k) v₁ + h v₂ = 3 (k a / h + h b / k)`; without bend at an end
/// `2 v₀ + v₁ = 3 a / h`. Solved by elimination from the first row down.
fn velocities(chords: &[Vector3<f64>], (start, end): Ends) -> Vec<Vector3<f64>> {
    let n = chords.len();
    let length = |index: usize| chords[index].norm();
    let slope = |index: usize| chords[index] / length(index);
    // Each row reads: v at this point + `share` · v at the next = `sum`.
    let mut rows: Vec<(f64, Vector3<f64>)> =
        vec![start.map_or((0.5, slope(0) * 1.5), |way| (0.0, way))];
    for index in 1..n {
        let (h, k) = (length(index - 1), length(index));
        let right = (slope(index - 1) * k + slope(index) * h) * 3.0;
        let (share, sum) = rows[index - 1];
        let own = 2.0 * (h + k) - k * share;
        rows.push((h / own, (right - sum * k) / own));
    }
    let (share, sum) = rows[n - 1];
    let last = end.unwrap_or_else(|| (slope(n - 1) * 3.0 - sum) / (2.0 - share));
    let mut velocities = vec![last];
    for &(share, sum) in rows.iter().rev() {
        let next = velocities[velocities.len() - 1];
        velocities.push(sum - next * share);
    }
    velocities.reverse();
    velocities
}

//! The line and the circle that lie nearest to some points, and whether all of these lie on it.
//!
//! ```text
//!         .--o--.        nearest is the one for which the squares of the points' distances sum to
//!      o'        'o      least
//!    .'            `.o
//! ```
//!
//! A circle is worked out with the squares of distances first, which needs no start, and then
//! bettered twice with the distances themselves.
//!
//! published: N. Chernov, C. Lesort, Least Squares Fitting of Circles and Lines, 2003, arXiv
//! cs/0301001.

use crate::geom::{Point, Vector};

/// A larger radius, in mm, is a line.
const LARGEST_RADIUS: f64 = 1e5;

/// Whether one line or one circle passes all these points within `tolerance`.
pub(super) fn lie_on_one(points: &[Point], tolerance: f64) -> bool {
    line_of(points, tolerance).is_some() || circle_of(points, tolerance).is_some()
}

/// The circle that passes all these points within `tolerance`.
pub(super) fn circle_of(points: &[Point], tolerance: f64) -> Option<(Point, f64)> {
    let (centre, radius) = circle_through(points)?;
    let near = |p: &Point| (p.distance(centre) - radius).abs() <= tolerance;
    let all = radius <= LARGEST_RADIUS && points.iter().all(near);
    all.then_some((centre, radius))
}

/// The line that passes all these points within `tolerance`, in order: a point of it, and its
/// direction.
pub(super) fn line_of(points: &[Point], tolerance: f64) -> Option<(Point, Vector)> {
    let middle = middle(points);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for v in points.iter().map(|&p| p - middle) {
        xx += v.x * v.x;
        xy += v.x * v.y;
        yy += v.y * v.y;
    }
    let way = Vector::at_angle(libm::atan2(2.0 * xy, xx - yy) / 2.0);
    let along = (points[points.len() - 1] - points[0]).dot(way).signum();
    let off = |p: &Point| way.cross(*p - middle).abs();
    let forward = |pair: &[Point]| -tolerance <= along * (pair[1] - pair[0]).dot(way);
    let all =
        points.iter().all(|p| off(p) <= tolerance) && points.windows(2).all(forward);
    all.then_some((middle, way))
}

/// The middle of these points: their centre of gravity.
#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^52 points")]
fn middle(points: &[Point]) -> Point {
    let origin = points[0];
    let sum = points.iter().fold(Vector::default(), |sum, &p| sum + (p - origin));
    origin + sum * (1.0 / points.len() as f64)
}

/// The circle nearest to these points.
fn circle_through(points: &[Point]) -> Option<(Point, f64)> {
    #[expect(
        clippy::cast_precision_loss,
        reason = "there are far fewer than 2^52 points"
    )]
    let count = points.len() as f64;
    let middle = middle(points);
    let offs = || points.iter().map(|&p| p - middle);
    let (mut xx, mut xy, mut yy, mut x, mut y) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for v in offs() {
        let square = v.dot(v);
        xx += v.x * v.x;
        xy += v.x * v.y;
        yy += v.y * v.y;
        x += v.x * square / 2.0;
        y += v.y * square / 2.0;
    }
    let mut centre = middle + solved((xx, xy, yy), (x, y))?;
    let mut radius = 0.0;
    for _ in 0..2 {
        let ways: Vec<Vector> = points.iter().map(|&p| p - centre).collect();
        radius = ways.iter().map(|way| way.length()).sum::<f64>() / count;
        let units: Vec<Vector> = ways.iter().filter_map(|way| way.unit()).collect();
        let mean =
            units.iter().fold(Vector::default(), |sum, &u| sum + u) * (1.0 / count);
        let (mut xx, mut xy, mut yy, mut x, mut y) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (way, unit) in ways.iter().zip(units) {
            let (u, off) = (unit - mean, way.length() - radius);
            xx += u.x * u.x;
            xy += u.x * u.y;
            yy += u.y * u.y;
            x += u.x * off;
            y += u.y * off;
        }
        let step = solved((xx, xy, yy), (x, y))?;
        centre = centre + step;
        radius -= mean.dot(step);
    }
    Some((centre, radius))
}

/// The solution of two equations with a symmetric matrix.
fn solved((xx, xy, yy): (f64, f64, f64), (x, y): (f64, f64)) -> Option<Vector> {
    let determinant = xx * yy - xy * xy;
    let solution = Vector::new(yy * x - xy * y, xx * y - xy * x) * (1.0 / determinant);
    (0.0 < determinant && solution.length().is_finite()).then_some(solution)
}

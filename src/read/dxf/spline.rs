//! B-splines → cubics: exactly where they are plain and of degree three or less, else within
//! a stated amount.
//!
//! Between two knots a spline is one Bézier curve; its points come from de Boor's way (from
//! memory).

use dxf::entities::Spline;
use nalgebra::{Point3, Vector3, Vector4};

use super::entity::{Found, Shape, point};
use super::frame::Mark;
use super::through;

/// A part is halved at most this often: beyond, it stands nearly still.
const MOST_HALVINGS: u32 = 16;
/// Higher degrees are no drawing's (from memory: programs stop at 11 or 25).
const MOST_DEGREE: usize = 25;

/// What a spline draws: by its control points, or only through its fit points. Cubics stray at
/// most `fine` from it, in the drawing's units.
pub(super) fn spline(curve: &Spline, fine: f64) -> Found {
    if curve.control_points.is_empty() {
        return through::fit_points(curve);
    }
    match Net::of(curve) {
        Ok(net) => {
            let marks =
                net.parts().iter().flat_map(|part| cubics(part, (fine, 0))).collect();
            // Whether it closes shows by its ends, not by its flag.
            Found::Drawn(Shape::open(marks))
        }
        Err(why) => Found::Bad(why),
    }
}

/// Control points with their weights, and knots; as many knots as points, degree and one.
struct Net {
    degree: usize,
    knots: Vec<f64>,
    /// `(x·w, y·w, z·w, w)`.
    points: Vec<Vector4<f64>>,
}

impl Net {
    fn of(curve: &Spline) -> Result<Self, &'static str> {
        let degree = usize::try_from(curve.degree_of_curve).unwrap_or(0);
        let n = curve.control_points.len();
        if !(1..=MOST_DEGREE).contains(&degree) || n <= degree {
            return Err("its degree does not fit its control points");
        }
        let knots = curve.knot_values.clone();
        let rising = knots.windows(2).all(|pair| pair[0] <= pair[1]);
        if knots.len() != n + degree + 1 || !rising || knots[n] <= knots[degree] {
            return Err("its knots do not fit its control points");
        }
        let weights = &curve.weight_values;
        let sound = weights.iter().all(|weight| 0.0 < *weight && weight.is_finite());
        if !sound || !(weights.is_empty() || weights.len() == n) {
            return Err("its weights do not fit its control points");
        }
        let weighted = |(index, at)| {
            let weight = weights.get(index).copied().unwrap_or(1.0);
            (point(at).coords * weight).push(weight)
        };
        let points = curve.control_points.iter().enumerate().map(weighted).collect();
        Ok(Self { degree, knots, points })
    }

    /// The Bézier curves it is made of, in order.
    fn parts(&self) -> Vec<Vec<Vector4<f64>>> {
        let (degree, n) = (self.degree, self.points.len());
        let spans = (degree..n).filter(|&span| self.knots[span] < self.knots[span + 1]);
        spans.map(|span| self.part(span)).collect()
    }

    /// The Bézier curve between two knots: its points are the values of the curve's polar form
    /// at every mix of the two.
    fn part(&self, span: usize) -> Vec<Vector4<f64>> {
        let (low, high) = (self.knots[span], self.knots[span + 1]);
        let of_highs = |n_highs: usize| {
            let at = |level: usize| if level <= n_highs { high } else { low };
            self.polar(span, at)
        };
        (0..=self.degree).map(of_highs).collect()
    }

    /// De Boor's way with a parameter of its own for each level, from 1.
    fn polar(&self, span: usize, at: impl Fn(usize) -> f64) -> Vector4<f64> {
        let (degree, knots) = (self.degree, &self.knots);
        let mut points = self.points[span - degree..=span].to_vec();
        for level in 1..=degree {
            for index in (level..=degree).rev() {
                let from = knots[span - degree + index];
                let to = knots[span + 1 + index - level];
                let share = (at(level) - from) / (to - from);
                points[index] = points[index - 1].lerp(&points[index], share);
            }
        }
        points[degree]
    }
}

/// The cubics of a Bézier curve that was halved so often already.
fn cubics(part: &[Vector4<f64>], (fine, halved): (f64, u32)) -> Vec<Mark> {
    let cubic = match exact(part) {
        Some(cubic) => return vec![Mark::Cubic(cubic)],
        None => near(part),
    };
    if halved == MOST_HALVINGS || stray(part, &cubic) <= fine {
        return vec![Mark::Cubic(cubic)];
    }
    let (first, second) = halves(part, 0.5);
    let mut both = cubics(&first, (fine, halved + 1));
    both.extend(cubics(&second, (fine, halved + 1)));
    both
}

/// The cubic it is, where it is one.
fn exact(part: &[Vector4<f64>]) -> Option<[Point3<f64>; 4]> {
    let weight = part[0].w;
    if part.iter().any(|at| (at.w - weight).abs() > 1e-12 * weight) {
        return None;
    }
    let at: Vec<Point3<f64>> = part.iter().map(plain).collect();
    let mix = |a: usize, b: usize, share: f64| at[a] + (at[b] - at[a]) * share;
    match at.len() {
        2 => Some([at[0], mix(0, 1, 1.0 / 3.0), mix(0, 1, 2.0 / 3.0), at[1]]),
        3 => Some([at[0], mix(0, 1, 2.0 / 3.0), mix(2, 1, 2.0 / 3.0), at[2]]),
        4 => Some([at[0], at[1], at[2], at[3]]),
        _ => None,
    }
}

/// The cubic with the same ends and velocities there.
fn near(part: &[Vector4<f64>]) -> [Point3<f64>; 4] {
    let last = part.len() - 1;
    let (from, to) = (plain(&part[0]), plain(&part[last]));
    // Geometry: the velocity of a rational Bézier curve of degree n at its start is
    // n (w1 / w0) (p1 − p0); a third of it leads to the cubic's next point.
    let third = |end: usize, next: usize| -> Vector3<f64> {
        let n = f64::from(u32::try_from(last).unwrap_or(u32::MAX));
        let pull = n * part[next].w / part[end].w / 3.0;
        (plain(&part[next]) - plain(&part[end])) * pull
    };
    [from, from + third(0, 1), to + third(last, last - 1), to]
}

/// How far the cubic strays, as far as a few points show.
fn stray(part: &[Vector4<f64>], cubic: &[Point3<f64>; 4]) -> f64 {
    let whole: Vec<Vector4<f64>> = cubic.iter().map(|at| at.coords.push(1.0)).collect();
    let at = |points: &[Vector4<f64>], t: f64| plain(&halves(points, t).1[0]);
    [0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875]
        .iter()
        .map(|&t| (at(part, t) - at(&whole, t)).norm())
        .fold(0.0, f64::max)
}

/// A Bézier curve parted at `t`, by de Casteljau's way.
fn halves(part: &[Vector4<f64>], t: f64) -> (Vec<Vector4<f64>>, Vec<Vector4<f64>>) {
    let mut points = part.to_vec();
    let (mut first, mut second) = (Vec::new(), Vec::new());
    while let (Some(from), Some(to)) = (points.first(), points.last()) {
        first.push(*from);
        second.push(*to);
        points = points.windows(2).map(|pair| pair[0].lerp(&pair[1], t)).collect();
    }
    second.reverse();
    (first, second)
}

fn plain(at: &Vector4<f64>) -> Point3<f64> {
    Point3::from(at.xyz() / at.w)
}

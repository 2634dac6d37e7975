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

/// A part is halved at most this often; what still strays then is refused.
const MOST_HALVINGS: u32 = 16;
/// Higher degrees are no drawing's (from memory: programs stop at 11 or 25).
const MOST_DEGREE: usize = 25;

/// What a spline draws: by its control points, or only through its fit points. Cubics stray at
/// most `fine` from it, in the drawing's units.
pub(super) fn spline(curve: &Spline, fine: f64) -> Found {
    if curve.control_points.is_empty() {
        return through::fit_points(curve);
    }
    let net = match Net::of(curve) {
        Ok(net) => net,
        Err(why) => return Found::Bad(why),
    };
    let mut marks = Vec::new();
    for part in net.parts() {
        if cubics(&part, (fine, 0), &mut marks).is_none() {
            return Found::Bad("its weights make it turn too sharply");
        }
    }
    // Whether it closes shows by its ends, not by its flag.
    Found::Drawn(Shape::open(marks))
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

/// Adds the cubics of a Bézier curve that was halved so often already; nothing where they cannot
/// be shown to lie within `fine` of it.
fn cubics(
    part: &[Vector4<f64>],
    (fine, halved): (f64, u32),
    into: &mut Vec<Mark>,
) -> Option<()> {
    if let Some(cubic) = exact(part) {
        into.push(Mark::Cubic(cubic));
        return Some(());
    }
    let cubic = near(part);
    if stray(part, &cubic) <= fine {
        into.push(Mark::Cubic(cubic));
        return Some(());
    }
    if halved == MOST_HALVINGS {
        return None;
    }
    let (first, second) = halves(part, 0.5);
    cubics(&first, (fine, halved + 1), into)?;
    cubics(&second, (fine, halved + 1), into)
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

/// A bound on how far the cubic strays from the curve, parameter for parameter.
///
/// Geometry: with `w` the sum of the weights' basis functions and `p` the curve, `w (p − cubic)` is
/// a polynomial curve three degrees higher, which no point leaves the hull of its control points;
/// `w` is nowhere less than the least weight. With Bernstein's products the points are
/// `Σ C(n,i) C(3,j) / C(n+3,i+j) · wᵢ (pᵢ − cⱼ)`.
fn stray(part: &[Vector4<f64>], cubic: &[Point3<f64>; 4]) -> f64 {
    let n = part.len() - 1;
    let (own, threes, both) = (choices(n), choices(3), choices(n + 3));
    let mut apart = vec![Vector3::zeros(); n + 4];
    for (i, at) in part.iter().enumerate() {
        for (j, to) in cubic.iter().enumerate() {
            let share = own[i] * threes[j] / both[i + j];
            apart[i + j] += (plain(at) - to) * (at.w * share);
        }
    }
    let least = part.iter().map(|at| at.w).fold(f64::INFINITY, f64::min);
    let most = apart.iter().map(Vector3::norm).fold(0.0, f64::max);
    // What is no number is no bound.
    if (most / least).is_finite() { most / least } else { f64::INFINITY }
}

/// In how many ways none, one, two… can be chosen from `n`.
fn choices(n: usize) -> Vec<f64> {
    let mut row = vec![1.0];
    for _ in 0..n {
        let inner: Vec<f64> = row.windows(2).map(|pair| pair[0] + pair[1]).collect();
        row = [vec![1.0], inner, vec![1.0]].concat();
    }
    row
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry; a circle's arc as a rational curve of degree two, and curves of degree five
    /// with uneven weights, at 1000 parameters each.
    #[test]
    fn a_spline_never_strays_farther_than_its_bound() {
        let mut seed = 5u64;
        let mut random = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            f64::from(u32::try_from(seed >> 33).expect("31 bits")) / f64::from(1u32 << 31)
        };
        for degree in [2, 4, 5, 7] {
            for _ in 0..20 {
                let part: Vec<Vector4<f64>> = (0..=degree)
                    .map(|_| {
                        let weight = 0.2 + 3.0 * random();
                        let at = Vector3::new(100.0 * random(), 100.0 * random(), 0.0);
                        (at * weight).push(weight)
                    })
                    .collect();
                let cubic = near(&part);
                let bound = stray(&part, &cubic);
                let whole: Vec<Vector4<f64>> =
                    cubic.iter().map(|at| at.coords.push(1.0)).collect();
                let at = |points: &[Vector4<f64>], t: f64| plain(&halves(points, t).1[0]);
                let seen = (0..=1000)
                    .map(|k| f64::from(k) / 1000.0)
                    .map(|t| (at(&part, t) - at(&whole, t)).norm())
                    .fold(0.0, f64::max);
                assert!(seen <= bound, "degree {degree}: {seen} and {bound}");
                assert!(bound <= 100.0 * seen + 1e-9, "of use: {seen} and {bound}");
                let mut marks = Vec::new();
                cubics(&part, (1e-4, 0), &mut marks).expect("within the bound");
                assert!(marks.len() < 2000, "{} cubics", marks.len());
            }
        }
        let bent: Vec<Vector4<f64>> =
            [0.0, 1e30, 0.0, -1e30, 0.0].map(|y| Vector4::new(1.0, y, 0.0, 1.0)).to_vec();
        assert!(cubics(&bent, (1e-4, 0), &mut Vec::new()).is_none(), "told, not guessed");
    }
}

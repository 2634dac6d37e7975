//! Lines and arcs for the curves of drawings, within a tolerance and certified.
//!
//! ```text
//!        . - o - .           curve: broken where it bends the other way (x) and at cusps
//!     o '         ' x        o: joints of biarcs, each as long as the tolerance lets it be
//!   .                 ' o .
//! ```
//!
//! A curve is broken at inflections, cusps and ends of axes; each run between is covered greedily
//! by the longest biarcs that stray no more than the tolerance, so every joint inside a curve is
//! tangent. The deviation given is a bound, not an estimate: it is the largest distance of samples
//! to the arcs and what a curve of bounded second derivative can stray between two samples. Arc and
//! curve have the same ends and the curve's shadow on the arc leaves no gap, so it bounds the
//! distance of the arcs from the curve too.
//!
//! The greedy cover and its bound are our own (geometry); the arcs are those of [`super::biarc`].

use super::biarc::{Heading, biarc};
use super::curve::quadratic_roots;
use super::{Curve, Piece, Point, Vector};
use std::f64::consts::PI;

/// Lines and arcs in place of a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The pieces, each starting where the last one ended; empty for a curve that is a point.
    pub pieces: Vec<Piece>,
    /// No point of the curve is farther from the pieces, nor any of theirs from the curve.
    pub deviation: f64,
}

/// The directions to keep at the ends, where a neighbour goes on smoothly.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Ends {
    /// At the start: the curve's own where `None`.
    pub start: Option<Vector>,
    /// At the end: the curve's own where `None`.
    pub end: Option<Vector>,
}

/// A curve that strays less than this from a line is one: rounding of its points.
const STRAIGHT: f64 = 1e-9;
/// An arc that bows from its chord by less, in mm, is a line.
const NO_SAGITTA: f64 = 1e-9;
/// The share of the tolerance that what lies between two samples may take.
const BETWEEN_SAMPLES: f64 = 1.0 / 16.0;
/// No more samples than this are taken of one biarc.
const MOST_SAMPLES: f64 = 20_000.0;
/// A run shorter than this share of the curve is given up: a line takes its place.
const SHORTEST_RUN: f64 = 1e-6;
/// The longest run is sought to this share of its length.
const RUN_GRAIN: f64 = 0.02;

/// Fits lines and arcs to `curve` within `tolerance`.
///
/// ```
/// use spelch::geom::{Curve, Ends, Point, fit};
/// let at = Point::new;
/// let curve = Curve::Cubic([at(0.0, 0.0), at(10.0, 20.0), at(30.0, 20.0), at(40.0, 0.0)]);
/// let fitted = fit(&curve, 0.001, Ends::default());
/// assert!(fitted.deviation <= 0.001);
/// ```
pub fn fit(curve: &Curve, tolerance: f64, ends: Ends) -> Fitted {
    if let Some(pieces) = circle_of(curve).or_else(|| straight(curve)) {
        return Fitted { pieces, deviation: STRAIGHT };
    }
    let mut breaks = vec![0.0];
    breaks.extend(curve.breaks());
    breaks.push(1.0);
    let last = breaks.len() - 2;
    let mut fitted = Fitted { pieces: Vec::new(), deviation: 0.0 };
    for (index, pair) in breaks.windows(2).enumerate() {
        let run = Run {
            curve,
            tolerance,
            from: pair[0],
            to: pair[1],
            start: if index == 0 { ends.start } else { None },
            end: if index == last { ends.end } else { None },
        };
        run.cover(&mut fitted);
    }
    fitted
}

/// The same piece as arcs of at most a half turn, or as a line where it is as good as one.
pub fn regular(piece: Piece) -> Vec<Piece> {
    let Piece::Arc { from, to, centre, sweep } = piece else {
        return vec![piece];
    };
    let radius = from.distance(centre);
    if sweep.abs() <= PI && radius * (1.0 - libm::cos(sweep / 2.0)) < NO_SAGITTA {
        return vec![Piece::line(from, to)];
    }
    let n = (sweep.abs() / PI - 1e-12).ceil().max(1.0);
    let mut arcs = Vec::new();
    let (mut start, mut done) = (from, 1.0);
    while done < n {
        let mut arc = Piece::arc_about(centre, from, sweep * done / n);
        if let Piece::Arc { from, sweep: part, .. } = &mut arc {
            (*from, *part) = (start, sweep / n);
        }
        start = arc.to();
        arcs.push(arc);
        done += 1.0;
    }
    arcs.push(Piece::Arc { from: start, to, centre, sweep: sweep / n });
    arcs
}

/// The arcs of an ellipse that is a circle.
fn circle_of(curve: &Curve) -> Option<Vec<Piece>> {
    let Curve::Ellipse { centre, x, y, sweep, .. } = *curve else {
        return None;
    };
    let radius = x.length();
    let round = (radius - y.length()).abs() <= STRAIGHT
        && x.dot(y).abs() <= STRAIGHT * radius
        && 0.0 < radius;
    let sweep = if 0.0 < x.cross(y) { sweep } else { -sweep };
    round.then(|| {
        regular(Piece::Arc { from: curve.at(0.0), to: curve.at(1.0), centre, sweep })
    })
}

/// The lines of a cubic whose points lie on one line, through its turning points; nothing for
/// one whose points are all the same.
fn straight(curve: &Curve) -> Option<Vec<Piece>> {
    let Curve::Cubic(points) = *curve else {
        return None;
    };
    let [a, b, c, d] = points;
    let longest = [d - a, c - a, b - a].into_iter().fold(Vector::default(), |best, v| {
        if best.length() < v.length() { v } else { best }
    });
    let Some(along) = longest.unit() else {
        return Some(Vec::new());
    };
    if points.iter().any(|&p| STRAIGHT < along.cross(p - a).abs()) {
        return None;
    }
    let (first, second, third) =
        ((b - a).dot(along), (c - b).dot(along), (d - c).dot(along));
    let mut turns =
        quadratic_roots(first - 2.0 * second + third, 2.0 * (second - first), first);
    turns.retain(|t| 0.0 < *t && *t < 1.0);
    turns.sort_by(f64::total_cmp);
    turns.push(1.0);
    let mut pieces: Vec<Piece> = Vec::new();
    let mut point = a;
    for t in turns {
        let next = curve.at(t);
        if STRAIGHT < point.distance(next) {
            pieces.push(Piece::line(point, next));
            point = next;
        }
    }
    Some(pieces)
}

/// A stretch of a curve without inflection or cusp inside.
struct Run<'a> {
    curve: &'a Curve,
    tolerance: f64,
    /// The parameter where it starts.
    from: f64,
    /// The parameter where it ends.
    to: f64,
    /// The direction to start with, where it is not the curve's own.
    start: Option<Vector>,
    /// The direction to end with, likewise.
    end: Option<Vector>,
}

impl Run<'_> {
    /// Covers it with biarcs from its start to its end.
    fn cover(&self, fitted: &mut Fitted) {
        for pair in self.nodes().windows(2) {
            let (pieces, deviation) = self.biarc(pair[0], pair[1]).unwrap_or_else(|| {
                let line = Piece::line(self.curve.at(pair[0]), self.curve.at(pair[1]));
                (vec![line], self.deviation((pair[0], pair[1]), &[line], f64::MAX))
            });
            fitted.pieces.extend(pieces);
            fitted.deviation = fitted.deviation.max(deviation);
        }
    }

    /// The parameters between which one biarc each will do: as few as greed finds, the last
    /// two alike where they can be.
    fn nodes(&self) -> Vec<f64> {
        let mut nodes = vec![self.from];
        let mut at = self.from;
        let mut step = self.to - self.from;
        while at < self.to {
            let next = self.longest(at, step);
            step = next - at;
            at = next;
            nodes.push(at);
        }
        let n = nodes.len();
        if 3 <= n {
            let even = f64::midpoint(nodes[n - 3], nodes[n - 1]);
            let fits = self.biarc(nodes[n - 3], even).is_some()
                && self.biarc(even, nodes[n - 1]).is_some();
            if fits {
                nodes[n - 2] = even;
            }
        }
        nodes
    }

    /// How far one biarc from `at` can go; `guess` is the length to try first.
    fn longest(&self, at: f64, guess: f64) -> f64 {
        if self.biarc(at, self.to).is_some() {
            return self.to;
        }
        let shortest = SHORTEST_RUN * (self.to - self.from);
        let (mut good, mut bad) = (0.0, self.to - at);
        let mut step = guess.min(bad / 2.0);
        while shortest < step && RUN_GRAIN * bad < bad - good {
            if self.biarc(at, at + step).is_some() {
                good = step;
            } else {
                bad = step;
            }
            let wide = if good <= 0.0 { bad / 2.0 } else { f64::midpoint(good, bad) };
            step = if 0.0 < good { wide.min(good * 1.5) } else { wide };
        }
        if good <= 0.0 { (at + shortest).min(self.to) } else { at + good }
    }

    /// The biarc between two parameters and its deviation, if that is within the tolerance.
    fn biarc(&self, t0: f64, t1: f64) -> Option<(Vec<Piece>, f64)> {
        let start = if t0 <= self.from { self.start } else { None };
        let end = if self.to <= t1 { self.end } else { None };
        let from = start.or_else(|| self.curve.direction_after(t0))?;
        let to = end.or_else(|| self.curve.direction_before(t1))?;
        let pieces = biarc(
            Heading { at: self.curve.at(t0), way: from },
            Heading { at: self.curve.at(t1), way: to },
        )?;
        let strays = |t: f64| {
            self.tolerance < distance(&pieces, self.curve.at(t0 + (t1 - t0) * t))
        };
        if [0.5, 0.25, 0.75, 0.1, 0.9].into_iter().any(strays) {
            return None;
        }
        let deviation = self.deviation((t0, t1), &pieces, self.tolerance);
        (deviation <= self.tolerance).then_some((pieces, deviation))
    }

    /// A bound of the distance between the curve from `t0` to `t1` and the pieces; more than
    /// `enough` as soon as it is known to be.
    fn deviation(&self, (t0, t1): (f64, f64), pieces: &[Piece], enough: f64) -> f64 {
        let span = t1 - t0;
        let bend = self.bend(t0, t1, pieces);
        let between = self.tolerance * BETWEEN_SAMPLES;
        let n = (span * (bend / (8.0 * between)).sqrt()).ceil().clamp(8.0, MOST_SAMPLES);
        let slack = bend * (span / n) * (span / n) / 8.0;
        let (mut worst, mut step) = (0.0f64, 1.0);
        while step < n && worst + slack <= enough {
            let point = self.curve.at(t0 + span * (step / n));
            worst = worst.max(distance(pieces, point));
            step += 1.0;
        }
        worst + slack
    }

    /// A bound of the second derivative of the signed distance to the pieces: that of the
    /// curve, and the square of its speed over the radius.
    fn bend(&self, t0: f64, t1: f64, pieces: &[Piece]) -> f64 {
        let acceleration = self.curve.acceleration_bound(t0, t1);
        let middle = self.curve.velocity(f64::midpoint(t0, t1)).length();
        let speed = middle + acceleration * (t1 - t0) / 2.0;
        let radius = pieces
            .iter()
            .filter_map(Piece::radius)
            .map(|radius| (radius - self.tolerance).max(radius / 2.0))
            .fold(f64::INFINITY, f64::min);
        acceleration + speed * speed / radius
    }
}

/// How far a point is from the nearest of these pieces.
fn distance(pieces: &[Piece], point: Point) -> f64 {
    pieces.iter().map(|piece| piece.distance(point)).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: brute force, samples of each side against chords of the other.
    fn assert_fits(curve: &Curve, tolerance: f64) -> Fitted {
        let fitted = fit(curve, tolerance, Ends::default());
        assert!(fitted.deviation <= tolerance, "{} for {curve:?}", fitted.deviation);
        let samples: Vec<Point> =
            (0..=2000).map(|i| curve.at(f64::from(i) / 2000.0)).collect();
        for &point in &samples {
            let off = distance(&fitted.pieces, point);
            assert!(off <= fitted.deviation + 1e-9, "{off} off the arcs: {curve:?}");
        }
        let chords: Vec<Piece> =
            samples.windows(2).map(|pair| Piece::line(pair[0], pair[1])).collect();
        let sagitta = curve.acceleration_bound(0.0, 1.0) / (8.0 * 2000.0 * 2000.0);
        for piece in &fitted.pieces {
            for i in 0..=20 {
                let off = distance(&chords, piece.at(f64::from(i) / 20.0));
                let allowed = fitted.deviation + sagitta;
                assert!(off <= allowed, "{off} off the curve: {curve:?}");
            }
        }
        fitted
    }

    fn kinks(pieces: &[Piece]) -> f64 {
        let kink =
            |pair: &[Piece]| pair[0].direction(1.0).turn_to(pair[1].direction(0.0)).abs();
        pieces.windows(2).map(kink).fold(0.0, f64::max)
    }

    fn random(seed: &mut u64) -> f64 {
        *seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(*seed >> 33).expect("31 bits")) / f64::from(1u32 << 31)
    }

    #[test]
    fn a_quarter_of_a_circle_as_a_cubic_needs_few_arcs() {
        // Basis: the usual handles, 0.5522847 of the radius; 2.7e-4 of it off the circle.
        let (r, k) = (10.0, 5.522_847_498);
        let at = Point::new;
        let curve = Curve::Cubic([at(r, 0.0), at(r, k), at(k, r), at(0.0, r)]);
        let fitted = assert_fits(&curve, 0.001);
        assert!(fitted.pieces.len() <= 8, "{} pieces", fitted.pieces.len());
        assert!(kinks(&fitted.pieces) < 1e-9, "{}", kinks(&fitted.pieces));
    }

    #[test]
    fn random_cubics_are_fitted_within_every_tolerance() {
        let mut seed = 7;
        for i in 0..60 {
            let mut at =
                || Point::new(80.0 * random(&mut seed), 60.0 * random(&mut seed));
            let curve = Curve::Cubic([at(), at(), at(), at()]);
            for tolerance in [0.1, 0.001] {
                let fitted = assert_fits(&curve, tolerance);
                let kink = kinks(&fitted.pieces);
                assert!(kink < 1e-5, "kink {kink} in curve {i} at {tolerance}");
                assert!(fitted.pieces.len() <= 80, "{} pieces", fitted.pieces.len());
            }
        }
    }

    #[test]
    fn ellipses_are_fitted_and_circles_stay_two_arcs() {
        let ellipse = |x, y, start, sweep| Curve::Ellipse {
            centre: Point::new(5.0, 5.0),
            x,
            y,
            start,
            sweep,
        };
        for ratio in [0.9, 0.5, 0.1, 0.01] {
            let (x, y) = (Vector::new(60.0, 20.0), Vector::new(-20.0, 60.0) * ratio);
            let fitted = assert_fits(&ellipse(x, y, 0.0, 2.0 * PI), 0.001);
            assert!(kinks(&fitted.pieces) < 1e-5, "ratio {ratio}");
            assert_fits(&ellipse(x, y, 1.0, -2.5), 0.001);
        }
        let (x, y) = (Vector::new(0.0, 8.0), Vector::new(8.0, 0.0));
        let circle = fit(&ellipse(x, y, 0.0, 2.0 * PI), 0.001, Ends::default());
        assert_eq!(circle.pieces.len(), 2, "two half circles");
        let turned: f64 =
            circle.pieces.iter().map(|p| p.twice_area(Point::default())).sum();
        assert!((turned + 2.0 * PI * 64.0).abs() < 1e-9, "clockwise, its area exact");
    }

    #[test]
    fn cusps_loops_and_degenerate_cubics_are_fitted() {
        let at = Point::new;
        let cubic = |a, b, c, d| Curve::Cubic([a, b, c, d]);
        let cusp = cubic(at(0.0, 0.0), at(20.0, 20.0), at(0.0, 20.0), at(20.0, 0.0));
        let fitted = assert_fits(&cusp, 0.001);
        assert!(3.0 < kinks(&fitted.pieces), "the tip stays a corner");
        let near = cubic(at(0.0, 0.0), at(20.0, 20.0), at(0.001, 20.0), at(20.0, 0.0));
        assert_fits(&near, 0.001);
        assert_fits(
            &cubic(at(0.0, 0.0), at(30.0, 20.0), at(-10.0, 20.0), at(20.0, 0.0)),
            0.001,
        );
        // Handles of no length at one end, at both: the second is a line.
        assert_fits(
            &cubic(at(0.0, 0.0), at(0.0, 0.0), at(10.0, 20.0), at(30.0, 0.0)),
            0.001,
        );
        let line = cubic(at(0.0, 0.0), at(0.0, 0.0), at(30.0, 15.0), at(30.0, 15.0));
        assert_eq!(fit(&line, 0.001, Ends::default()).pieces.len(), 1, "a line");
        let over = cubic(at(0.0, 0.0), at(40.0, 0.0), at(40.0, 0.0), at(30.0, 0.0));
        let pieces = fit(&over, 0.001, Ends::default()).pieces;
        assert_eq!(pieces.len(), 2, "past its end and back");
        let point = cubic(at(1.0, 1.0), at(1.0, 1.0), at(1.0, 1.0), at(1.0, 1.0));
        assert!(fit(&point, 0.001, Ends::default()).pieces.is_empty(), "a point");
    }

    #[test]
    fn a_neighbours_direction_is_kept_at_an_end() {
        let at = Point::new;
        let curve =
            Curve::Cubic([at(0.0, 0.0), at(10.0, 0.005), at(20.0, 9.0), at(30.0, 9.0)]);
        let ends = Ends { start: Some(Vector::new(1.0, 0.0)), end: None };
        let fitted = fit(&curve, 0.001, ends);
        let start = fitted.pieces[0].direction(0.0);
        assert!(start.y.abs() < 1e-9 && fitted.deviation <= 0.001, "{start:?}");
    }

    #[test]
    fn arcs_over_half_a_turn_are_split_and_flat_ones_are_lines() {
        let from = Point::new(2.0, 0.0);
        let whole =
            Piece::Arc { from, to: from, centre: Point::default(), sweep: 2.0 * PI };
        let halves = regular(whole);
        assert_eq!(halves.len(), 2, "two halves");
        assert_eq!(halves[1].to(), from, "it closes exactly");
        let flat = Piece::arc_about(Point::new(0.0, 1e6), Point::default(), 1e-8);
        assert!(matches!(regular(flat)[..], [Piece::Line { .. }]), "a line");
    }
}

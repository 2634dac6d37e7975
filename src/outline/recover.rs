//! Designed lines and arcs that were chopped into chords, found again and told.
//!
//! ```text
//!      o--o--o
//!    o         o         o  ends of chords that one circle passes to the drawing's rounding;
//!   o           o-----      looser, the run would go no farther: where the arc ends a line begins
//! ```
//!
//! A run of chords is one line or one arc where all its points lie on it to the drawing's own
//! rounding and going on at eight times that would not carry it much farther: a designed piece ends
//! where it ends, while a run on a free curve grows with the cube root (geometry: a free curve
//! strays from its circle with the cube of the length).
//!
//! Our own; the line and the circle through many points have a source of their own.

use super::chain::Ring;
use super::cubics::circle_of_cubics;
use super::strand::{Report, Strand, join};
use super::through::{circle_of, lie_on_one, line_of};
use crate::geom::{Piece, Point, Vector};
use crate::read::Stroke;
use crate::units::Paper;
use std::f64::consts::PI;

/// So few chords are no sign of a design (from memory).
const FEWEST_CHORDS: usize = 4;
/// A chord that turns more is a side of a polygon (from memory).
const MOST_TURN: f64 = 20.0 * PI / 180.0;
/// Chords that stray more from their arc, in mm, are sides of a polygon (from memory).
const MOST_SAGITTA: f64 = 0.05;
/// Points with all their decimals lie on their circle to this, in mm.
const ALL_DECIMALS: f64 = 1e-7;
/// A rounded point may be off by so many roundings: half a one each way, and what the line or
/// circle through all of them may be off (geometry, and a quarter more).
pub(super) const ROUNDINGS: f64 = 0.9;
/// A run shorter than this many roundings says nothing of its shape.
const SHORTEST: f64 = 60.0;
/// How much looser a free curve is tried.
const LOOSER: f64 = 8.0;
/// An arc that turns farther, in radians, is kept as two: where it comes back to its start its
/// ends do not tell how far it turns.
const NEARLY_WHOLE: f64 = 1.9 * PI;

/// Puts the designed pieces back into a ring whose numbers lie on a grid of `rounding`; a circle of
/// four curves too.
pub(super) fn recover(ring: &mut Ring, rounding: f64, report: &mut Report) {
    if ring.is_empty() || circle_of_cubics(ring, rounding, report) {
        return;
    }
    let finder = Finder { rounding, tolerance: ALL_DECIMALS.max(ROUNDINGS * rounding) };
    let start = break_in(ring);
    ring.rotate_left(start);
    let mut recovered: Ring = Vec::with_capacity(ring.len());
    for chords in ring.chunk_by(alike) {
        let mut points = vec![chords[0].from()];
        points.extend(chords.iter().map(Strand::to));
        let mut at = 0;
        for found in finder.all(&points, ring.len() == chords.len()) {
            recovered.extend(chords[at..found.from].iter().cloned());
            let designed = &chords[found.from..found.to];
            tell(designed, &found, report);
            recovered.extend(found.strands(designed));
            at = found.to;
        }
        recovered.extend(chords[at..].iter().cloned());
    }
    if recovered.len() < ring.len() {
        *ring = recovered;
        meet(ring);
    } else {
        ring.rotate_right(start);
    }
}

/// Whether two strands can be chords of one piece.
pub(super) fn alike(a: &Strand, b: &Strand) -> bool {
    a.line().is_some() && b.line().is_some() && a.name == b.name && a.role == b.role
}

/// Joins what was recovered to its neighbours: their ends lie a rounding apart.
fn meet(ring: &mut Ring) {
    let n = ring.len();
    for index in 0..n {
        let next = (index + 1) % n;
        if index == next || ring[index].to() == ring[next].from() {
            continue;
        }
        let mut later = ring[next].clone();
        // The moves are part of the repair, which was told.
        join(&mut ring[index], &mut later, &mut Report::new(Paper::MM));
        ring[next] = later;
    }
}

/// Where no designed piece can go on: where the stroke changes, at the sharpest corner, or at
/// the end of the longest chord.
fn break_in(ring: &Ring) -> usize {
    let n = ring.len();
    let before = |index: usize| &ring[(index + n - 1) % n];
    let change = (0..n).find(|&index| !alike(before(index), &ring[index]));
    let turn =
        |index: usize| match (before(index).ends_along(), ring[index].starts_along()) {
            (Some(a), Some(b)) => a.turn_to(b).abs(),
            _ => 0.0,
        };
    let length = |index: usize| before(index).extent();
    let most = |of: &dyn Fn(usize) -> f64| {
        (0..n).max_by(|&a, &b| of(a).total_cmp(&of(b)).then(b.cmp(&a))).unwrap_or(0)
    };
    change.unwrap_or_else(|| {
        let sharpest = most(&turn);
        if MOST_TURN < turn(sharpest) { sharpest } else { most(&length) }
    })
}

/// What a run of chords was drawn as.
#[derive(Debug, Clone, Copy)]
enum Shape {
    Line {
        through: Point,
        way: Vector,
    },
    Arc {
        centre: Point,
        radius: f64,
        /// From the first point to the last, signed.
        sweep: f64,
    },
}

/// A designed piece: chords `from..to`.
#[derive(Debug, Clone, Copy)]
struct Found {
    from: usize,
    to: usize,
    shape: Shape,
}

impl Found {
    /// The strands that take the place of these chords.
    fn strands(&self, chords: &[Strand]) -> Vec<Strand> {
        let (first, last) = (&chords[0], &chords[chords.len() - 1]);
        let (from, to) = (first.from(), last.to());
        let with = |piece| Strand { stroke: Stroke::Piece(piece), ..first.clone() };
        match self.shape {
            Shape::Line { through, way } => {
                let on = |p: Point| through + way * (p - through).dot(way);
                vec![with(Piece::line(on(from), on(to)))]
            }
            Shape::Arc { centre, radius, sweep } => {
                let on =
                    |p: Point| centre + (p - centre).unit().unwrap_or_default() * radius;
                let (from, to) = (on(from), on(to));
                if sweep.abs() < NEARLY_WHOLE {
                    return vec![with(Piece::Arc { from, to, centre, sweep })];
                }
                let half = Piece::arc_about(centre, from, sweep / 2.0);
                let middle = half.to();
                let rest = Piece::Arc { from: middle, to, centre, sweep: sweep / 2.0 };
                vec![with(half), with(rest)]
            }
        }
    }
}

/// Tells of one designed piece.
fn tell(chords: &[Strand], found: &Found, report: &mut Report) {
    let first = &chords[0];
    let (from, count) = (first.from(), chords.len());
    let longest = chords.iter().map(Strand::extent).fold(0.0, f64::max);
    let (id, words) = match found.shape {
        Shape::Line { .. } => ("outline-line-recovered", "one line".to_owned()),
        Shape::Arc { radius, .. } => (
            "outline-arc-recovered",
            format!(
                "one arc of radius {}, from which they stray by {}",
                report.paper.decimals(radius, 6),
                report.paper.decimals(longest * longest / (8.0 * radius), 4)
            ),
        ),
    };
    let text = format!(
        "{count} chords from {} on are taken as {words}: {}",
        report.point(from),
        first.called()
    );
    report.repaired(id, first.place_at(from), text);
}

/// Finds designed pieces among chords.
struct Finder {
    rounding: f64,
    tolerance: f64,
}

impl Finder {
    /// All of them, in order; `whole` where the points go once round.
    fn all(&self, points: &[Point], whole: bool) -> Vec<Found> {
        let chords = points.len() - 1;
        if whole && let Some(shape) = self.shape(points) {
            return vec![Found { from: 0, to: chords, shape }];
        }
        let mut found = Vec::new();
        let mut at = 0;
        while at + FEWEST_CHORDS <= chords {
            let (length, shape) = self.longest(points, at);
            match shape {
                Some(shape) => {
                    found.push(Found { from: at, to: at + length, shape });
                    at += length;
                }
                // What a free curve's run covers holds no design in its first half.
                None => at += (length / 2).max(1),
            }
        }
        found
    }

    /// How many chords the longest run from point `at` has, and what it is, if it was designed.
    fn longest(&self, points: &[Point], at: usize) -> (usize, Option<Shape>) {
        let fits = |count: usize| self.shape(&points[at..=at + count]);
        let most = points.len() - 1 - at;
        let Some(mut shape) = fits(FEWEST_CHORDS) else {
            return (0, None);
        };
        let (mut good, mut bad) = (FEWEST_CHORDS, most + 1);
        while good + 1 < bad {
            let next = (2 * good).min(usize::midpoint(good, bad).max(good + 1));
            match fits(next) {
                Some(longer) => (good, shape) = (next, longer),
                None => bad = next,
            }
        }
        let run = (at, at + good);
        if length(points, run) < SHORTEST * self.rounding || self.is_free(points, run) {
            return (good, None);
        }
        (good, Some(shape))
    }

    /// Whether a run of points is one of a free curve: looser, it goes on in one way, in the
    /// other, or in both.
    fn is_free(&self, points: &[Point], (from, to): (usize, usize)) -> bool {
        let own = length(points, (from, to));
        let beyond = 0.25 * own + (64.0 * self.tolerance * own).sqrt();
        let forward = |way: f64| {
            let (mut end, mut gone) = (to, 0.0);
            while end + 1 < points.len() && gone < way {
                gone += points[end].distance(points[end + 1]);
                end += 1;
            }
            end
        };
        let backward = |way: f64| {
            let (mut start, mut gone) = (from, 0.0);
            while 0 < start && gone < way {
                gone += points[start].distance(points[start - 1]);
                start -= 1;
            }
            start
        };
        let half = beyond / 2.0;
        let wider = [
            (from, forward(beyond).max(to + 2)),
            (backward(beyond).min(from.saturating_sub(2)), to),
            (backward(half), forward(half)),
        ];
        let loose = LOOSER * self.tolerance;
        wider.into_iter().any(|(start, end)| {
            let there = end < points.len()
                && own + beyond <= length(points, (start, end))
                && 2 + to - from <= end - start;
            there && lie_on_one(&points[start..=end], loose)
        })
    }

    /// The line or the arc that these points may be designed as.
    fn shape(&self, points: &[Point]) -> Option<Shape> {
        let tolerance = self.tolerance;
        if points.len() <= FEWEST_CHORDS {
            return None;
        }
        if let Some((through, way)) = line_of(points, tolerance) {
            return Some(Shape::Line { through, way });
        }
        let (centre, radius) = circle_of(points, tolerance)?;
        let sweep: f64 = turns(points, centre).sum();
        let back = 2.0 * tolerance / radius;
        let flat = 2.0 * libm::acos((1.0 - MOST_SAGITTA / radius).max(-1.0));
        let most = MOST_TURN.min(flat) + back;
        let in_order = turns(points, centre)
            .map(|turn| turn * sweep.signum())
            .all(|turn| -back <= turn && turn <= most);
        let round = sweep.abs() <= 2.0 * PI + 1e-9;
        (in_order && round).then_some(Shape::Arc { centre, radius, sweep })
    }
}

/// How far each chord turns about a centre.
fn turns(points: &[Point], centre: Point) -> impl Iterator<Item = f64> {
    points.windows(2).map(move |p| (p[0] - centre).turn_to(p[1] - centre))
}

/// The length of the chords between two of these points.
fn length(points: &[Point], (from, to): (usize, usize)) -> f64 {
    points[from..=to].windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

#[cfg(test)]
mod tests {
    use super::super::tests::{line, path, read};
    use crate::geom::shapes::bulged;
    use crate::geom::{Loop, Piece, Point, Vector};
    use crate::outline::Outline;
    use crate::read::Path;
    use std::f64::consts::{PI, TAU};

    /// The points of a loop whose pieces are chopped into so many chords each, turned, and
    /// rounded to a grid if there is one.
    fn chopped(one: &Loop, chords: u32, (angle, step): (f64, f64)) -> Path {
        let (sin, cos) = libm::sincos(angle);
        let round = |v: f64| if 0.0 < step { (v / step).round() * step } else { v };
        let place = |p: Point| {
            Point::new(
                round(cos * p.x - sin * p.y + 31.7),
                round(sin * p.x + cos * p.y + 12.3),
            )
        };
        let points: Vec<Point> = one
            .pieces()
            .iter()
            .flat_map(|piece| {
                (0..chords).map(move |k| piece.at(f64::from(k) / f64::from(chords)))
            })
            .map(place)
            .collect();
        let next = points.iter().cycle().skip(1);
        path("chopped", points.iter().zip(next).map(|(&a, &b)| line(a, b)).collect())
    }

    fn outlined(path: Path) -> (Outline, Vec<&'static str>) {
        let told = read(vec![path], &[]).expect("it is sound");
        let ids = told.notes.iter().map(|note| note.id).collect();
        (told.value[0].clone(), ids)
    }

    /// An L with a fillet of 3.175 in its corner and a half round of 15 at one end.
    fn filleted() -> Loop {
        bulged(&[
            [0.0, 0.0, 0.0],
            [100.0, 0.0, 1.0],
            [100.0, 30.0, 0.0],
            [33.175, 30.0, -libm::tan(PI / 8.0)],
            [30.0, 33.175, 0.0],
            [30.0, 100.0, 0.0],
            [0.0, 100.0, 0.0],
        ])
    }

    #[test]
    fn chopped_lines_and_arcs_are_found_again_with_their_radii() {
        for chords in [20, 200, 2000] {
            for (step, near) in [(0.0, 1e-6), (1e-6, 4e-6), (1e-3, 4e-3)] {
                for angle in [0.0, 0.4] {
                    let case = format!("{chords} chords, grid {step}, turned {angle}");
                    let (part, ids) =
                        outlined(chopped(&filleted(), chords, (angle, step)));
                    let pieces = part.loops[0].pieces();
                    assert!(pieces.len() <= 8, "{} pieces: {case}", pieces.len());
                    for wanted in [3.175, 15.0] {
                        let radii = || pieces.iter().filter_map(Piece::radius);
                        assert!(
                            radii().any(|r| (r - wanted).abs() <= near),
                            "{wanted} in {:?}: {case}",
                            radii().collect::<Vec<_>>()
                        );
                    }
                    let corners = (0..pieces.len())
                        .filter(|&i| 1e-3 < part.loops[0].turn(i).abs())
                        .count();
                    assert_eq!(corners, 3, "the corners drawn: {case}");
                    assert!(ids.contains(&"outline-arc-recovered"), "told: {case}");
                }
            }
        }
    }

    #[test]
    fn polygons_and_free_curves_stay_what_they_are() {
        let ring = |count: u32, point: &dyn Fn(f64) -> Point| {
            let at = |k: u32| point(TAU * f64::from(k % count) / f64::from(count));
            path("ring", (0..count).map(|k| line(at(k), at(k + 1))).collect())
        };
        let round =
            |p: Point| Point::new((p.x * 1e3).round() / 1e3, (p.y * 1e3).round() / 1e3);
        let circle = |a: f64| Point::default() + Vector::at_angle(a + 0.1) * 20.0;
        let oval = |a: f64| Point::new(60.0 * libm::cos(a), 25.0 * libm::sin(a));
        for count in [8, 16] {
            let (part, ids) = outlined(ring(count, &circle));
            assert_eq!(part.loops[0].pieces().len(), count as usize, "a polygon");
            assert!(ids.is_empty(), "{ids:?}");
        }
        for count in [90, 500, 4000] {
            let (_, ids) = outlined(ring(count, &oval));
            assert!(!ids.contains(&"outline-arc-recovered"), "{count}: {ids:?}");
            let (_, ids) = outlined(ring(count, &|a| round(oval(a))));
            assert!(!ids.contains(&"outline-arc-recovered"), "rounded {count}: {ids:?}");
        }
        let (part, ids) = outlined(ring(60, &circle));
        assert_eq!(ids, ["outline-arc-recovered"], "sixty chords are a circle");
        assert!((part.area() - 400.0 * PI).abs() < 1e-6, "of its radius");
    }

    #[test]
    fn corners_stay_corners_on_chords_of_a_micrometre() {
        let square = Loop::polygon(
            &[(0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (0.0, 3.0)]
                .map(|(x, y)| Point::new(x, y)),
        );
        let (part, _) = outlined(chopped(&square, 3000, (0.3, 1e-3)));
        let one = &part.loops[0];
        assert_eq!(one.pieces().len(), 4, "four sides");
        for index in 0..4 {
            assert!((one.turn(index) - PI / 2.0).abs() < 2e-3, "square corners");
            assert!((one.pieces()[index].length() - 3.0).abs() < 5e-3, "in their places");
        }
    }
}

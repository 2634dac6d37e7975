//! Arcs for the chords of a smooth curve, within a tolerance and certified.
//!
//! Drawing programs write a curve as thousands of chords. Here they become few arcs again, in four
//! steps, each linear in the number of chords:
//!
//! ```text
//!   1 corners      2 runs          3 joints          4 biarcs
//!   .--.--.        o-----o         o-->--o--         .--o--.
//!         |              |               |                 o
//!         .              o               v                 .
//! ```
//!
//! 1. *Corners*, where the way turns sharply, part the chords; nothing goes over them.
//! 2. *Runs*: from each start the longest run that one circle follows ([`Pencil`]), found by
//!    doubling and halving from the length of the run before.
//! 3. *Joints*: two circles that each stray by `e` over a length `L` meet at an angle of up to `6
//!    √3 e / L` on either side (geometry: the end slope of the cubic `s (s² − a²)` by its height).
//!    A joint that turns no more was drawn smooth: both runs get the mean direction.
//! 4. *Biarcs*: each run becomes two arcs with the directions of its joints, so that no joint of a
//!    smooth curve is a corner. Each is certified against its chords; what strays too far is
//!    halved, and what is too short stays chords.
//!
//! Our own (geometry); the biarcs' source stands there.

use super::biarc::{Heading, biarc};
use super::certify::strays;
use super::fit::Ends;
use super::pencil::{Pencil, Round};
use super::{Piece, Point, Vector};

/// A run of chords and the pieces that take its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Arcs {
    /// The first point of the run.
    pub from: usize,
    /// The last point of the run.
    pub to: usize,
    /// The pieces from the one to the other.
    pub pieces: Vec<Piece>,
    /// No point of the chords is farther from the pieces, nor any of theirs from the chords.
    pub deviation: f64,
}

/// A turn of at least this, in radians, can be a corner; twice as much as any joint of two fits
/// makes (geometry, for chords no longer than the runs).
const CORNER: f64 = 0.2;
/// A corner turns so many times as much as a point beside it: the points of a coarse circle
/// turn alike (from memory).
const SHARPER: f64 = 3.0;
/// The turn at a point is that between the points so many tolerances away.
const LOOK: f64 = 8.0;
/// The share of the tolerance that a circle may stray; what is left is for the tangents.
const SHARE: f64 = 0.6;
/// Fewer chords than this are no fewer as two arcs.
const FEWEST: usize = 4;
/// The longest run is sought to this share of its length.
const GRAIN: usize = 64;
/// The turn of a joint that the tolerance of two fits can make, by tolerance and length: six
/// times the root of three, and half as much again for what the chords hide.
const KINK: f64 = 15.6;
/// No more than this is ever taken for a smooth joint, in radians.
const MOST_KINK: f64 = 0.1;

/// The runs of these points that arcs follow within `tolerance`, in order; the chords between
/// runs stay. Where the last point is the first one the chain is closed, and its ends are a
/// joint like the others.
pub fn arcs_of(points: &[Point], tolerance: f64, ends: Ends) -> Vec<Arcs> {
    if points.len() <= FEWEST {
        return Vec::new();
    }
    let chain = Chain { points, tolerance, ends };
    let corners = chain.corners();
    let runs = chain.runs(&corners);
    let ways = chain.ways(&runs, &corners);
    let mut arcs = Vec::new();
    for (run, ends) in runs.iter().zip(ways) {
        if FEWEST <= run.to - run.from {
            chain.cover(run, ends, &mut arcs);
        }
    }
    arcs
}

/// A run that one circle follows, from point to point.
#[derive(Debug, Clone, Copy)]
struct Run {
    from: usize,
    to: usize,
    /// None for a single chord without length.
    round: Option<Round>,
}

/// Points with chords from each to the next, which arcs are sought for.
struct Chain<'a> {
    points: &'a [Point],
    tolerance: f64,
    ends: Ends,
}

impl Chain<'_> {
    /// Whether its last point is the first one.
    fn is_closed(&self) -> bool {
        self.points[0] == self.points[self.points.len() - 1]
    }

    /// The inner points where the way turns sharply.
    fn corners(&self) -> Vec<usize> {
        let look = LOOK * self.tolerance;
        let turns = self.turns(look * look);
        let turn = |index: usize| f64::from(turns[index]);
        let last = self.points.len() - 1;
        let near = |a: usize, b: usize| self.points[a].distance(self.points[b]) < look;
        let sharpest = |&index: &usize| {
            let beaten = |other: usize| {
                turn(index) < turn(other) || (turn(index) <= turn(other) && other < index)
            };
            let before = (1..index).rev().take_while(|&other| near(index, other));
            let after = (index + 1..last).take_while(|&other| near(index, other));
            !before.chain(after).any(beaten)
        };
        let alone =
            |&index: &usize| SHARPER * turn(index - 1).min(turn(index + 1)) < turn(index);
        (1..last)
            .filter(|&index| CORNER < turn(index))
            .filter(alone)
            .filter(sharpest)
            .collect()
    }

    /// How much the way turns at each point, between the nearest points that are not within
    /// the look, given as its square; small turns read as zero.
    fn turns(&self, look: f64) -> Vec<f32> {
        let points = self.points;
        let far = |a: Point, b: Point| look <= (b - a).dot(b - a);
        let (mut before, mut after) = (0, 0);
        let mut turns = vec![0.0; points.len()];
        for index in 1..points.len() - 1 {
            while before + 1 < index && far(points[before + 1], points[index]) {
                before += 1;
            }
            after = after.max(index + 1);
            while after + 1 < points.len() && !far(points[index], points[after]) {
                after += 1;
            }
            let (a, b) = (points[index] - points[before], points[after] - points[index]);
            let (sine, cosine) = (a.cross(b), a.dot(b));
            // A tangent of half the least turn spares the arc tangent nearly everywhere.
            if cosine <= 0.0 || CORNER / 2.0 * cosine < sine.abs() {
                #[expect(clippy::cast_possible_truncation, reason = "a rough angle")]
                let turn = a.turn_to(b).abs() as f32;
                turns[index] = turn;
            }
        }
        turns
    }

    /// The chain as runs from corner to corner, each as long as one circle follows.
    fn runs(&self, corners: &[usize]) -> Vec<Run> {
        let mut runs = Vec::new();
        let (mut from, mut guess) = (0, FEWEST);
        for &stop in corners.iter().chain([&(self.points.len() - 1)]) {
            let first = runs.len();
            while from < stop {
                let run = self.longest(from, stop, guess);
                guess = (run.to - run.from).max(2);
                from = run.to;
                runs.push(run);
            }
            self.even_out(&mut runs[first..]);
        }
        runs
    }

    /// Makes the last two of some runs alike where they can be: greed leaves a short last one.
    fn even_out(&self, runs: &mut [Run]) {
        let [.., one, two] = runs else { return };
        let middle = usize::midpoint(one.from, two.to);
        let run = |from, to| Some(Run { from, to, round: Some(self.round(from, to)?) });
        if let (Some(first), Some(last)) = (run(one.from, middle), run(middle, two.to)) {
            (*one, *two) = (first, last);
        }
    }

    /// The circle of a run, if there is one.
    fn round(&self, from: usize, to: usize) -> Option<Round> {
        let pencil = Pencil::of(self.points[from], self.points[to])?;
        pencil.through(&self.points[from + 1..to], SHARE * self.tolerance)
    }

    /// The longest run from a point, at most to `stop`; `guess` chords are tried first.
    fn longest(&self, from: usize, stop: usize, guess: usize) -> Run {
        let mut good = Run { from, to: from + 1, round: self.round(from, from + 1) };
        let mut bad = stop + 1;
        let mut to = (from + guess).min(stop);
        while good.to + 1 < bad && good.to < stop {
            match self.round(from, to) {
                Some(round) => good = Run { from, to, round: Some(round) },
                None => bad = to,
            }
            let (length, known) = (good.to - from, bad <= stop);
            if known && (bad - good.to) * GRAIN < length {
                break;
            }
            to = if known {
                let part = if length == 1 { (bad - from) * 4 / 5 } else { 0 };
                usize::midpoint(good.to, bad).max(from + part).min(bad - 1)
            } else {
                (from + length * 5 / 4 + 1).min(stop)
            };
        }
        good
    }

    /// The directions in which each run starts and ends: where a joint is smooth, that of both.
    fn ways(&self, runs: &[Run], corners: &[usize]) -> Vec<(Vector, Vector)> {
        let own = |run: &Run| {
            let at = |index: usize| {
                run.round
                    .map_or(Vector::new(1.0, 0.0), |r| r.direction(self.points[index]))
            };
            (at(run.from), at(run.to))
        };
        let mut ways: Vec<(Vector, Vector)> = runs.iter().map(own).collect();
        let last = runs.len() - 1;
        for next in 1..runs.len() {
            if corners.binary_search(&runs[next].from).is_err() {
                self.meet(runs, &mut ways, (next - 1, next));
            }
        }
        if self.is_closed() {
            self.meet(runs, &mut ways, (last, 0));
            return ways;
        }
        let smooth = |own: Vector, other: Option<Vector>, run: &Run| {
            let other = other?;
            let most = self.kink(run, run);
            (own.turn_to(other).abs() <= most).then_some(other)
        };
        let (first, end) = (ways[0].0, ways[last].1);
        ways[0].0 = smooth(first, self.ends.start, &runs[0]).unwrap_or(first);
        ways[last].1 = smooth(end, self.ends.end, &runs[last]).unwrap_or(end);
        ways
    }

    /// Gives two runs one direction where they meet, if that was drawn smooth. A run that stays
    /// chords keeps its own, and the other one as well.
    fn meet(
        &self,
        runs: &[Run],
        ways: &mut [(Vector, Vector)],
        (one, two): (usize, usize),
    ) {
        let short = |index: usize| runs[index].to - runs[index].from < FEWEST;
        if short(one) || short(two) {
            return;
        }
        let (arrives, leaves) = (ways[one].1, ways[two].0);
        if arrives.turn_to(leaves).abs() <= self.kink(&runs[one], &runs[two]) {
            let chord = |index: usize| runs[index].round.map_or(0.0, |r| r.chord());
            // The longer run knows its direction better.
            let mean = arrives * chord(one) + leaves * chord(two);
            let way = mean.unit().unwrap_or(leaves);
            (ways[one].1, ways[two].0) = (way, way);
        }
    }

    /// The largest turn between two runs that their tolerance alone can make.
    fn kink(&self, one: &Run, two: &Run) -> f64 {
        let share = |run: &Run| {
            run.round.map_or(0.0, |round| KINK * self.tolerance / round.chord())
        };
        (share(one) + share(two)).min(MOST_KINK)
    }

    /// Covers a run with one biarc, or its halves with one each.
    fn cover(&self, run: &Run, (start, end): (Vector, Vector), arcs: &mut Vec<Arcs>) {
        let Run { from, to, round: Some(round) } = *run else { return };
        let heading = |index: usize, way| Heading { at: self.points[index], way };
        let pieces = biarc(heading(from, start), heading(to, end));
        let fitted = pieces.and_then(|pieces| {
            let deviation = strays(&self.points[from..=to], &pieces)?;
            (deviation <= self.tolerance).then_some(Arcs { from, to, pieces, deviation })
        });
        if let Some(fitted) = fitted {
            arcs.push(fitted);
        } else if 2 * FEWEST <= to - from {
            let middle = usize::midpoint(from, to);
            let way = round.direction(self.points[middle]);
            self.cover(&Run { to: middle, ..*run }, (start, way), arcs);
            self.cover(&Run { from: middle, ..*run }, (way, end), arcs);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::{Loop, close};
    use std::f64::consts::{PI, TAU};

    /// A wavy ring of so many chords, on a grid if there is one; the last point is the first.
    fn wavy(chords: u32, grid: f64) -> Vec<Point> {
        let place = |index: u32| {
            let turn = TAU * f64::from(index % chords) / f64::from(chords);
            let wave = |times: f64, shift: f64| libm::sin(times * turn + shift);
            let radius = 100.0
                + 8.0 * wave(7.0, 0.0)
                + 3.0 * wave(23.0, 1.0)
                + 0.8 * wave(61.0, 2.0);
            let on = |v: f64| if 0.0 < grid { (v / grid).round() * grid } else { v };
            Point::new(on(radius * libm::cos(turn)), on(radius * libm::sin(turn)))
        };
        let mut points: Vec<Point> = (0..=chords).map(place).collect();
        points.dedup();
        points
    }

    /// The loop with arcs for its chords, how far it strays, and how many chords are left.
    fn fitted(points: &[Point], tolerance: f64) -> (Loop, f64, usize) {
        let arcs = arcs_of(points, tolerance, Ends::default());
        let (mut pieces, mut worst, mut left, mut at) = (Vec::new(), 0.0f64, 0, 0);
        let last = points.len() - 1;
        let end = Arcs { from: last, to: last, pieces: Vec::new(), deviation: 0.0 };
        for run in arcs.into_iter().chain([end]) {
            let chords = points[at..=run.from].windows(2);
            left += chords.len();
            pieces.extend(chords.map(|pair| Piece::line(pair[0], pair[1])));
            pieces.extend(run.pieces);
            worst = worst.max(run.deviation);
            at = run.to;
        }
        (Loop::new(pieces), worst, left)
    }

    fn sharpest(one: &Loop) -> f64 {
        (0..one.pieces().len()).map(|index| one.turn(index).abs()).fold(0.0, f64::max)
    }

    #[test]
    fn chords_of_a_smooth_curve_become_few_arcs_without_a_corner() {
        for (chords, grid, tolerance, most) in [
            (10_000, 0.0, 1e-3, 1_600),
            (100_000, 0.0, 1e-3, 1_600),
            (100_000, 0.0, 2.5e-4, 3_000),
            (100_000, 1e-3, 3e-3, 1_600),
        ] {
            let points = wavy(chords, grid);
            let (one, deviation, left) = fitted(&points, tolerance);
            let case = format!("{chords} chords on {grid} within {tolerance}");
            assert!(one.pieces().len() <= most, "{} pieces: {case}", one.pieces().len());
            assert_eq!(left, 0, "chords left: {case}");
            assert!(deviation <= tolerance, "{deviation}: {case}");
            assert!(sharpest(&one) < 1e-4, "a joint of {}: {case}", sharpest(&one));
            // Basis: brute force, the points of each against the other.
            for &point in points.iter().step_by(97) {
                let off = one.at(one.nearest(point)).distance(point);
                assert!(off <= deviation + 1e-9, "{off} off the arcs: {case}");
            }
            let raw = Loop::polygon(&points[1..]);
            for piece in one.pieces() {
                let point = piece.at(0.37);
                let off = raw.at(raw.nearest(point)).distance(point);
                assert!(off <= deviation + 1e-9, "{off} off the chords: {case}");
            }
        }
    }

    #[test]
    fn the_places_left_are_those_of_the_raw_chords() {
        // A disc on the inside of the wavy ring. A place a micrometre deep may be half as deep
        // or twice on the other.
        let points = wavy(10_000, 0.0);
        let (one, ..) = fitted(&points, 1e-3);
        let places = |ring: &Loop| -> Vec<(Point, f64, f64)> {
            let closing = close(&[ring.reversed()], 3.175).expect("it closes");
            let places = closing.regions.iter();
            places.map(|region| (region.deepest, region.area, region.depth)).collect()
        };
        let (of_arcs, of_chords) = (places(&one), places(&Loop::polygon(&points[1..])));
        for (ones, others) in [(&of_arcs, &of_chords), (&of_chords, &of_arcs)] {
            let deep: Vec<_> = ones.iter().filter(|place| 2e-3 < place.2).collect();
            assert!(15 < deep.len(), "{} places", deep.len());
            for (at, area, _) in deep {
                let near = |other: &&(Point, f64, f64)| {
                    5e-4 < other.2 && other.0.distance(*at) < 0.5
                };
                let same = others.iter().find(near).expect("a place there too");
                assert!(
                    (area - same.1).abs() < 0.02 * same.1 + 1e-3,
                    "{area}, {}",
                    same.1
                );
            }
        }
    }

    #[test]
    fn corners_stay_where_they_were_drawn() {
        // A half round on a rectangle, chopped; the grid is coarser than some chords.
        for (chords, grid) in [(200, 0.0), (2_000, 0.0), (2_000, 1e-3), (20_000, 1e-3)] {
            let on = |v: f64| if grid > 0.0 { (v / grid).round() * grid } else { v };
            let mut points: Vec<Point> = (0..=chords)
                .map(|index| {
                    let out = Vector::at_angle(PI * f64::from(index) / f64::from(chords));
                    Point::new(on(15.0 * out.x), on(15.0 * out.y))
                })
                .collect();
            points.dedup();
            points.extend([Point::new(-15.0, -20.0), Point::new(0.0, -12.0), points[0]]);
            let (one, deviation, _) = fitted(&points, 1e-3f64.max(3.0 * grid));
            assert!(one.pieces().len() <= 40, "{} pieces", one.pieces().len());
            assert!(deviation <= 1e-3f64.max(3.0 * grid), "{deviation}");
            let corners: Vec<Point> = (0..one.pieces().len())
                .filter(|&index| 1e-2 < one.turn(index).abs())
                .map(|index| one.pieces()[index].from())
                .collect();
            assert_eq!(corners.len(), 3, "{chords} on {grid}: {corners:?}");
        }
    }

    #[test]
    fn polygons_and_noise_stay_chords() {
        let polygon: Vec<Point> = (0..=24)
            .map(|index| {
                let turn = TAU * f64::from(index % 24) / 24.0;
                Point::default() + Vector::at_angle(turn) * 8.0
            })
            .collect();
        assert!(arcs_of(&polygon, 1e-3, Ends::default()).is_empty(), "a polygon");
        let mut noise = wavy(2_000, 0.0);
        let mut shift = 0.3f64;
        for point in &mut noise {
            shift = (shift * 97.3).fract();
            point.x += 0.05 * (shift - 0.5);
        }
        let (one, _, left) = fitted(&noise, 1e-3);
        assert!(left * 10 > 9 * 2_000, "{left} chords left of noise");
        assert!(one.pieces().len() <= 2_001, "never more pieces than chords");
    }

    #[test]
    fn chains_of_few_or_equal_points_are_left_alone() {
        let at = Point::new(1.0, 1.0);
        for count in 0..8 {
            let points = vec![at; count];
            assert!(arcs_of(&points, 1e-3, Ends::default()).is_empty(), "{count} points");
        }
    }
}

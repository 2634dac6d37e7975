//! A curve laid out for a batten: no more points than hold the batten on the curve, at handy
//! places that share their settings.

use super::curves::crossings;
use super::reading::{Reading, Rule};
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use crate::shop::Sides;
use crate::shop::defaults::{LAYOUT_STEPS_INCH, LAYOUT_STEPS_MM};
use crate::units::{MM_PER_INCH, Unit};

/// Places looked at between two points of the batten.
const PLACES: u32 = 16;

/// A curve that is drawn along one batten, and what its sizes are read with.
pub(super) struct Curve<'a> {
    /// Its loop.
    pub(super) ring: &'a Loop,
    /// Its pieces, in order.
    pub(super) pieces: &'a [usize],
    /// The box of the part, and from which of its sides sizes are measured.
    pub(super) base: (Bounds, Sides),
    /// The rule.
    pub(super) rule: Rule,
}

/// A point nearer to another than this share of a step says nothing that the other does not
/// (from memory).
const NEAR: f64 = 0.05;

/// A point on the curve and how far along the curve it is.
type Placed = (f64, Point);

impl Curve<'_> {
    /// The points that the batten is bent through, beside its ends: of the ones that hold it
    /// within half a step of the rule those that ask for the fewest settings of the gauge. Where
    /// not even the shortest steps hold it, those.
    pub(super) fn points(&self) -> Vec<Point> {
        let steps = self.steps();
        let starts = 0..steps.len();
        let tried: Vec<Vec<Placed>> = starts
            .flat_map(|start| self.zeros(steps[start]).map(move |zero| (start, zero)))
            .map(|(start, zero)| self.refined(&steps[start..], zero))
            .collect();
        let held = tried.iter().filter(|points| self.loose(points).is_empty());
        let best = held.min_by_key(|points| self.settings(points)).or(tried.last());
        best.into_iter().flatten().map(|(_, at)| *at).collect()
    }

    /// The points at the longest of some steps from a place, and at the next shorter ones where
    /// those do not hold the batten.
    fn refined(&self, steps: &[f64], zero: Point) -> Vec<Placed> {
        let mut points = self.crossed(steps[0], zero);
        for &step in &steps[1..] {
            let loose = self.loose(&points);
            let mut finer = self.crossed(step, zero);
            finer.retain(|(along, _)| {
                loose
                    .iter()
                    .any(|[from, to]| self.near(step) < (along - from).min(to - along))
            });
            points.extend(finer);
            points.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        points
    }

    /// How near to another a point says nothing new, in mm along: a share of a step, or so near
    /// that both might read alike, which is at most 0.53 of a step of the rule across (geometry).
    fn near(&self, step: f64) -> f64 {
        (NEAR * step).max(self.rule.step())
    }

    /// The handy steps, the longest first, in mm.
    fn steps(&self) -> Vec<f64> {
        let (steps, unit) = match self.rule.paper.unit {
            Unit::Mm => (LAYOUT_STEPS_MM, 1.0),
            Unit::Inch => (LAYOUT_STEPS_INCH, MM_PER_INCH),
        };
        steps.iter().map(|step| step * unit).collect()
    }

    /// Where steps may be counted from: the reference corner, and where the curve is alike on
    /// both sides of its middle, there, so that each setting serves twice.
    fn zeros(&self, step: f64) -> impl Iterator<Item = Point> {
        let corner = self.base.1.corner(self.base.0);
        let middle = self.middle().map(|x| Point::new(x, corner.y));
        let beside = middle.map(|at| at + Vector::new(step / 2.0, 0.0));
        std::iter::once(corner).chain(middle).chain(beside)
    }

    /// Where the upright line lies in which a single arc is its own mirror image.
    fn middle(&self) -> Option<f64> {
        let [index] = self.pieces else { return None };
        let Piece::Arc { from, to, centre, .. } = self.ring.pieces()[*index] else {
            return None;
        };
        ((from.y - to.y).abs() < super::steps::LEVEL).then_some(centre.x)
    }

    /// The curve's points at even steps from a place, in order: on upright lines where the curve
    /// runs rather along the edge, on level ones where it runs rather away from it.
    fn crossed(&self, step: f64, zero: Point) -> Vec<Placed> {
        let mut found: Vec<Placed> = Vec::new();
        let mut start = 0.0;
        for &index in self.pieces {
            let piece = &self.ring.pieces()[index];
            let bounds = piece.bounds();
            for (upright, [low, high], zero) in [
                (true, [bounds.low.x, bounds.high.x], zero.x),
                (false, [bounds.low.y, bounds.high.y], zero.y),
            ] {
                let mut number = ((low - zero) / step).ceil();
                while zero + number * step <= high {
                    let met = crossings(piece, zero + number * step, upright);
                    let placed = met
                        .into_iter()
                        .map(|t| (start + t * piece.length(), piece.at(t)));
                    found.extend(placed);
                    number += 1.0;
                }
            }
            start += piece.length();
        }
        found.retain(|(along, _)| self.near(step) < along.min(start - along));
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.dedup_by(|a, b| a.0 - b.0 < self.near(step));
        found
    }

    /// How many settings of the gauge some points ask for, and how many points they are.
    fn settings(&self, points: &[Placed]) -> (usize, usize) {
        let (bounds, sides) = self.base;
        let across = |at: Point| self.rule.read(sides.sizes(bounds, at).1);
        let mut settings: Vec<Reading> =
            points.iter().map(|(_, at)| across(*at)).collect();
        settings.sort_unstable();
        settings.dedup();
        (settings.len(), points.len())
    }

    /// Between which places along the curve a batten bent through these points, as they are
    /// read, strays from it by more than half a step of the rule.
    fn loose(&self, points: &[Placed]) -> Vec<[f64; 2]> {
        let ends = self.piece_ends();
        let Some(&whole) = ends.last() else { return Vec::new() };
        let mut knots = vec![0.0];
        knots.extend(points.iter().map(|(along, _)| *along));
        knots.push(whole);
        let pins = knots.iter().map(|&along| self.as_read(self.at(along)));
        let batten = Batten::through(pins.collect());
        let most = self.rule.step() / 2.0;
        let spans = knots.windows(2).enumerate().filter(|(span, two)| {
            let even = (1..PLACES).map(|place| {
                let share = f64::from(place) / f64::from(PLACES);
                (place, two[0] + (two[1] - two[0]) * share)
            });
            let joints = ends.iter().copied().filter(|&end| two[0] < end && end < two[1]);
            let drawn = batten.chords(*span);
            // There are two chords a place: the one that is meant is asked first.
            let is_held = |(place, along): (u32, f64)| {
                let at = self.at(along);
                let chords = drawn.iter().cycle().skip(2 * place as usize);
                chords.take(drawn.len()).any(|chord| chord.distance(at) <= most)
            };
            !even.chain(joints.map(|end| (0, end))).all(is_held)
        });
        spans.map(|(_, two)| [two[0], two[1]]).collect()
    }

    /// How far along the curve each of its pieces ends.
    fn piece_ends(&self) -> Vec<f64> {
        let lengths = self.pieces.iter().map(|&index| self.ring.pieces()[index].length());
        let run = lengths.scan(0.0, |end, length| {
            *end += length;
            Some(*end)
        });
        run.collect()
    }

    /// The point so far along the curve.
    fn at(&self, along: f64) -> Point {
        let start = self.ring.start_of(self.pieces[0]);
        self.ring.at(self.ring.wrapped(start + along))
    }

    /// Where a point comes to lie that is read off the rule.
    fn as_read(&self, at: Point) -> Point {
        let (bounds, sides) = self.base;
        let (along, across) = sides.sizes(bounds, at);
        let read = |mm: f64| self.rule.mm(self.rule.read(mm));
        sides.back(bounds, Point::new(read(along), read(across)))
    }
}

/// A thin batten held by pins, its ends free: between the pins it bends as a natural cubic
/// spline over their distances (geometry, for bends that are small from pin to pin).
pub(super) struct Batten {
    pins: Vec<Point>,
    /// How it bends at each pin: the second derivative over the distance.
    bends: Vec<Vector>,
}

impl Batten {
    /// The batten through these pins, of which no two neighbours are the same.
    pub(super) fn through(pins: Vec<Point>) -> Self {
        let n_pins = pins.len();
        debug_assert!(
            n_pins < 3 || pins.windows(2).all(|two| two[0] != two[1]),
            "a bend about two pins in one place is no number: {pins:?}"
        );
        let zero = Vector::new(0.0, 0.0);
        let mut bends = vec![zero; n_pins];
        // The three bends about each inner pin, solved from the one end and back again.
        let mut ratios = vec![0.0; n_pins];
        for index in 1..n_pins.saturating_sub(1) {
            let (before, here, after) = (pins[index - 1], pins[index], pins[index + 1]);
            let (h, k) = (here.distance(before), after.distance(here));
            let right = ((after - here) * (1.0 / k) - (here - before) * (1.0 / h)) * 6.0;
            let pivot = 2.0 * (h + k) - h * ratios[index - 1];
            ratios[index] = k / pivot;
            bends[index] = (right - bends[index - 1] * h) * (1.0 / pivot);
        }
        for index in (1..n_pins.saturating_sub(1)).rev() {
            bends[index] = bends[index] - bends[index + 1] * ratios[index];
        }
        Self { pins, bends }
    }

    /// The batten from a pin to the next, in short chords.
    pub(super) fn chords(&self, span: usize) -> Vec<Piece> {
        let n_chords = 2 * PLACES;
        let place = |number: u32| self.at(span, f64::from(number) / f64::from(n_chords));
        (0..n_chords)
            .map(|number| Piece::line(place(number), place(number + 1)))
            .collect()
    }

    fn at(&self, span: usize, t: f64) -> Point {
        let (from, to) = (self.pins[span], self.pins[span + 1]);
        let h = to.distance(from);
        let u = 1.0 - t;
        let bend =
            self.bends[span] * (u * u * u - u) + self.bends[span + 1] * (t * t * t - t);
        from + (to - from) * t + bend * (h * h / 6.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Paper;

    /// Basis: geometry. The rule's readings are at most 3/8 of a step wide: points a whole step
    /// apart along a curve that turns by less than half a turn between them read otherwise.
    #[test]
    fn no_two_points_of_a_batten_read_alike() {
        let paper = Paper { unit: Unit::Inch, fraction: 8 };
        let rule = Rule::all(paper)[0];
        for place in 0..40_u32 {
            let (radius, shift) =
                (30.0 + 7.3 * f64::from(place), 0.37 * f64::from(place));
            let from = Point::new(shift, 0.0);
            let centre = Point::new(shift + 0.6 * radius, 0.8 * radius);
            let arc = Piece::arc_about(centre, from, 1.2);
            let ring = Loop::new(vec![arc, Piece::line(arc.to(), from)]);
            let sides = Sides { far: false, right: false };
            let base = (ring.bounds(), sides);
            let curve = Curve { ring: &ring, pieces: &[0], base, rule };
            let mut points = vec![from];
            points.extend(curve.points());
            points.push(arc.to());
            let read = points.iter().map(|&at| curve.as_read(at)).collect::<Vec<_>>();
            let alike = read.windows(2).filter(|two| two[0] == two[1]).count();
            assert_eq!(alike, 0, "radius {radius}: {read:?}");
        }
    }

    /// Basis: geometry. On a flat curve of even bend a free end springs straight: there the
    /// batten is 0.0487 h²/R off between its last two pins, and hardly off beyond the next.
    #[test]
    fn a_batten_springs_straight_at_its_ends() {
        let (radius, h) = (9000.0, 100.0);
        let pin = |place: i32| {
            let x = f64::from(place) * h;
            Point::new(x, x * x / (2.0 * radius))
        };
        let batten = Batten::through((0..=10).map(pin).collect());
        let off = |span: usize| {
            let starts = batten.chords(span).into_iter().map(|chord| chord.from());
            starts
                .map(|at| (at.y - at.x * at.x / (2.0 * radius)).abs())
                .fold(0.0, f64::max)
        };
        let (end, next, middle) = (off(0), off(1), off(5));
        assert!((end - 0.0487 * h * h / radius).abs() < 1e-3, "{end}");
        assert!(next < 0.3 * end && middle < 0.01 * end, "{next} {middle}");
    }
}

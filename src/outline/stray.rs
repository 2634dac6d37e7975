//! Lines that do not close in a drawing that may hold more than outlines: dimension lines and
//! centre lines, which are left out, or an outline with a gap, which must not be.
//!
//! ```text
//!    .------- -----.        left out: a line inside or beside that comes near nothing
//!    | --- - ----- | --
//!    |             |        given: an outline with a gap, whose ends nearly meet each other or
//!    '-------------'        another's, or that would go round something closed
//! ```
//!
//! Our own; how near: from memory.

use super::chain::Ring;
use super::strand::{Report, Strand};
use crate::diag::{Place, Problem, Source, Weight};
use crate::geom::{Bounds, Grid, Point, Vector};
use crate::read::Tally;

/// An open run of chains.
#[derive(Debug)]
pub(super) struct Run {
    pub(super) strands: Ring,
    /// The place of each chain.
    pub(super) places: Vec<Place>,
    /// Where it starts and where it ends.
    pub(super) ends: [Point; 2],
    /// How many ends meet at either end.
    pub(super) meeting: [usize; 2],
}

/// A run whose ends are nearer than this share of its length was meant to close (from memory).
const NEARLY_CLOSED: f64 = 0.1;
/// Ends of two runs nearer than this, in mm, were meant to meet (from memory), unless one run
/// turns back along the other as the lines of a hatching do.
const NEAR_MISS: f64 = 1.0;
/// Turning by more than this, in radians, is turning back (from memory).
const TURNS_BACK: f64 = 2.6;

/// Sorts open runs: counts those that are left out, and gives those that look like an outline
/// that does not close. Where nothing closes, the longest is given.
pub(super) fn sort<'r>(
    open: &'r [Run],
    rings: &[Ring],
    left_out: &mut Tally,
) -> Vec<&'r Run> {
    if rings.is_empty() {
        let longest = |a: &&Run, b: &&Run| a.length().total_cmp(&b.length());
        return open.iter().max_by(longest).into_iter().collect();
    }
    let mut ends = Grid::new(NEAR_MISS);
    for (index, run) in open.iter().enumerate() {
        for (end, &at) in run.ends.iter().enumerate() {
            if run.meeting[end] == 1 {
                ends.add(&Bounds { low: at, high: at }, (index, end));
            }
        }
    }
    let inside: Vec<Point> = rings.iter().map(|ring| ring[0].at(0.5)).collect();
    let mut suspects = Vec::new();
    for run in open {
        if run.nearly_closes() || run.nearly_meets(open, &ends) || run.goes_round(&inside)
        {
            suspects.push(run);
        } else {
            for place in &run.places {
                left_out.add(place.layer.as_deref().unwrap_or("0"), kind(place));
            }
        }
    }
    suspects
}

/// Notes what was left out of the drawing; a caution where lines were.
pub(super) fn note(
    left_out: &Tally,
    (lines, drawing): (bool, &str),
    report: &mut Report,
) {
    if left_out.is_empty() {
        return;
    }
    let weight = if lines { Weight::Caution } else { Weight::Hint };
    let found = format!("left out, as no part of a closed line: {}", left_out.words());
    let hint = "look whether all of the part is in the picture; else name its layers or close its lines in the drawing";
    let problem = Problem::new("outline-left-out", weight, found, hint);
    report.note(problem.at(Place::whole(Source::Drawing, drawing)));
}

/// The kind of the entity at a place: the word before its handle.
fn kind(place: &Place) -> &str {
    let element = place.element.as_deref().unwrap_or("line");
    let own = element.rsplit('/').next().unwrap_or(element);
    own.split(['#', ' ']).next().unwrap_or(own)
}

impl Run {
    /// Some points along it: its ends and a few of each stroke.
    fn points(&self) -> impl Iterator<Item = Point> {
        let of = |strand: &Strand| [0.0, 0.25, 0.5, 0.75].map(|t| strand.at(t));
        self.strands.iter().flat_map(of).chain([self.ends[1]])
    }

    /// About how long it is.
    fn length(&self) -> f64 {
        let points: Vec<Point> = self.points().collect();
        points.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
    }

    /// Whether its ends are so near to each other that it was meant to close.
    fn nearly_closes(&self) -> bool {
        let [from, to] = self.ends;
        from.distance(to) <= NEARLY_CLOSED * self.length()
    }

    /// The direction in which it leaves through an end.
    fn leaves_along(&self, end: usize) -> Option<Vector> {
        if end == 0 {
            return self.strands[0].starts_along().map(|way| way * -1.0);
        }
        self.strands[self.strands.len() - 1].ends_along()
    }

    /// Whether one of its free ends nearly meets that of another run, to go on along it.
    fn nearly_meets(&self, open: &[Self], ends: &Grid<(usize, usize)>) -> bool {
        (0..2).filter(|&end| self.meeting[end] == 1).any(|end| {
            let at = self.ends[end];
            let mut meets = false;
            let area = Bounds { low: at, high: at }.grown(NEAR_MISS);
            ends.look(&area, |(index, other_end)| {
                let other = &open[index];
                let turn = self.leaves_along(end).zip(other.leaves_along(other_end));
                let turn = turn.map_or(0.0, |(out, back)| out.turn_to(back * -1.0).abs());
                meets |= !std::ptr::eq(self, other)
                    && at.distance(other.ends[other_end]) <= NEAR_MISS
                    && turn <= TURNS_BACK;
            });
            meets
        })
    }

    /// Whether it would go round one of these points if a straight line closed it.
    fn goes_round(&self, inside: &[Point]) -> bool {
        if self.strands.len() == 1 && self.strands[0].line().is_some() {
            return false;
        }
        let points: Vec<Point> = self.points().collect();
        let bounds = points.iter().fold(Bounds::EMPTY, |all, &point| all.with(point));
        inside
            .iter()
            .filter(|point| bounds.distance_squared(**point) <= 0.0)
            .any(|&point| is_inside(point, &points))
    }
}

/// Whether a point lies in a closed polygon: a ray to the right crosses it an odd number of
/// times (geometry).
fn is_inside(point: Point, polygon: &[Point]) -> bool {
    let next = polygon.iter().cycle().skip(1);
    let crossed = polygon.iter().zip(next).filter(|&(a, b)| {
        (a.y <= point.y) != (b.y <= point.y)
            && point.x < a.x + (b.x - a.x) * (point.y - a.y) / (b.y - a.y)
    });
    crossed.count() % 2 == 1
}

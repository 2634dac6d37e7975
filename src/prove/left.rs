//! A march along an edge: where it is reached, where the end mill cannot reach, and where it
//! stands though it could be cut.
//!
//! ```text
//!    edge ---reached---|---stands---|---beyond---|
//!            = = = )          o           K        reached: a move within the mill's radius; else
//!                                                  the mill is stood there: free it could have
//!    of a tab below its top                        cut (o), or it does not get there (K)
//!    = = = )           ( = = =
//!          |<- neck ->|
//! ```
//!
//! How far a state certainly goes on: geometry.

use super::cut::LEFT;
use super::distance::Shape;
use super::edge::{Edges, Template};
use super::tree::Forest;
use crate::geom::{Point, Vector};
use std::f64::consts::PI;

/// The least step along an edge, in mm.
const STEP: f64 = 0.002;
/// The step over edge that is not reached, in mm.
const COARSE: f64 = 0.01;
/// Beyond what a move reaches it is looked for so much farther off, in mm (from memory: half a tab
/// and less): while none is as near none need be asked again.
const AFIELD: f64 = 4.0;
/// Cuts within so much of the mill's radius of an edge belong to it, in mm (from memory: the
/// allowance of a rough lap and more).
const BESIDE: f64 = 1.0;

/// The moves that are to cut an edge, and what keeps them from it.
pub(super) struct Work<'a> {
    /// All edges: what keeps the mill from reaching.
    pub edges: &'a Edges,
    /// On which side of the edges the waste is.
    pub template: &'a Template,
    pub cuts: &'a Forest,
    pub radius: f64,
}

/// A run of edge that stands though it could be cut.
#[derive(Debug, Clone)]
pub(super) struct Standing {
    pub middle: Point,
    pub length: f64,
    /// Points along it, first to last.
    points: Vec<Point>,
}

/// Moves of tools that may be of several widths.
pub(super) struct Swept {
    ways: Forest,
    /// How wide the tool of each is, halved.
    radii: Vec<f64>,
    widest: f64,
}

impl Swept {
    pub(super) fn new(moves: impl Iterator<Item = (Shape, f64)>) -> Self {
        let (ways, radii): (Vec<Shape>, Vec<f64>) = moves.unzip();
        let widest = radii.iter().copied().fold(0.0, f64::max);
        Self { ways: Forest::new(ways.into_iter()), radii, widest }
    }

    /// The moves whose cut lies beside a point.
    fn beside(&self, point: Point) -> Vec<usize> {
        let mut near = self.ways.within(point, self.widest + BESIDE);
        let gap = |n: usize| self.ways.shape(n).point_gap(point);
        near.retain(|&n| gap(n) <= self.radii[n] + BESIDE);
        near
    }

    /// What stands between the cuts of some moves and those of others.
    fn gap(&self, before: &[usize], after: &[usize]) -> f64 {
        let there = Forest::new(after.iter().map(|&index| self.ways.shape(index)));
        let mut least = f64::INFINITY;
        for &one in before {
            // Of tools of several widths the nearest way may not be the nearest cut.
            let bound = least + self.radii[one] + self.widest;
            let shape = self.ways.shape(one);
            for other in there.beside(&shape, bound) {
                let radii = self.radii[one] + self.radii[after[other]];
                least = least.min(there.shape(other).shape_gap(&shape) - radii);
            }
        }
        least
    }
}

/// What a march found.
#[derive(Debug, Clone, Default)]
pub(super) struct Found {
    pub standing: Vec<Standing>,
    /// The most left where the edge counts as reached, in mm.
    pub leftover: f64,
    /// Whether any of it is reached.
    pub reached: bool,
}

impl Found {
    /// Whether none of it is reached though it could be.
    pub(super) const fn is_untouched(&self) -> bool {
        !self.reached && !self.standing.is_empty()
    }
}

/// What is found at one point.
#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    Reached,
    Beyond,
    Stands,
}

/// One step of a march.
#[derive(Clone, Copy)]
struct Pace {
    point: Point,
    /// Where it starts, in mm along the whole edge.
    along: f64,
    length: f64,
    state: State,
    /// How far the nearest move is at most.
    far: f64,
}

/// Marches along an edge once round.
pub(super) fn march(work: &Work<'_>, edge: impl Iterator<Item = Shape>) -> Found {
    let mut paces: Vec<Pace> = Vec::new();
    let mut before = 0.0;
    let mut last = None;
    // Up to where along the edge certainly no move reaches it; where it goes on elsewhere, that
    // says nothing.
    let (mut unreached, mut end) = (0.0, None);
    for shape in edge {
        let whole = shape.length();
        let mut on = 0.0;
        if end.replace(shape.to) != Some(shape.from) {
            unreached = 0.0;
        }
        while on < whole {
            let point = shape.at(on / whole);
            let along = before + on;
            let rest = whole - on;
            let goes_on = last.and_then(|by| work.goes_on(by, point, rest));
            let (state, far, by) = goes_on.unwrap_or_else(|| {
                let near = if along < unreached { Err(0.0) } else { work.near(point) };
                match near {
                    Ok((far, by)) => (State::Reached, far, Some(by)),
                    Err(run) => {
                        unreached = unreached.max(along + run);
                        let out = shape.direction(on / whole).right();
                        (work.unreached(point, out), work.radius + LEFT, None)
                    }
                }
            });
            last = by;
            let length = if goes_on.is_some() {
                rest.max(1e-9)
            } else {
                work.step(&shape, on, (far, by)).min(rest).max(1e-9)
            };
            push(&mut paces, Pace { point, along, length, state, far }, work.radius);
            on += length;
        }
        before += whole;
    }
    start_between_runs(&mut paces);
    Found {
        standing: standing(&paces),
        leftover: leftover(&paces, work, before),
        reached: paces.iter().any(|pace| pace.state == State::Reached),
    }
}

/// Adds a pace; runs of edge at which nothing at all is left are one.
fn push(paces: &mut Vec<Pace>, pace: Pace, radius: f64) {
    let is_clean = |pace: &Pace| pace.state == State::Reached && pace.far <= radius;
    match paces.last_mut().filter(|last| is_clean(last) && is_clean(&pace)) {
        Some(last) => last.length += pace.length,
        None => paces.push(pace),
    }
}

/// Turns a loop's paces so that no standing run passes over their ends.
fn start_between_runs(paces: &mut [Pace]) {
    if let Some(first) = paces.iter().position(|pace| pace.state != State::Stands) {
        paces.rotate_left(first);
    }
}

/// The runs that stand.
fn standing(paces: &[Pace]) -> Vec<Standing> {
    let runs = paces.chunk_by(|a, b| a.state == b.state);
    let stand = runs.filter(|run| run[0].state == State::Stands);
    let found = stand.map(|run| Standing {
        middle: run[run.len() / 2].point,
        length: run.iter().map(|pace| pace.length).sum(),
        points: run.iter().map(|pace| pace.point).collect(),
    });
    found.collect()
}

/// The most left where the edge is reached; not beside a run that is not, where a round mill
/// leaves a little on its own way out.
fn leftover(paces: &[Pace], work: &Work<'_>, whole: f64) -> f64 {
    let radius = work.radius;
    let beside = 2.0 * (2.0 * radius * LEFT).sqrt();
    let mut apart: Vec<&Pace> =
        paces.iter().filter(|p| p.state != State::Reached).collect();
    apart.sort_by(|a, b| a.along.total_cmp(&b.along));
    // Round the loop; a gap just below nothing is rounding.
    let gap = |from: f64, to: f64| {
        let gap = to - from;
        if gap < -STEP { gap + whole } else { gap.max(0.0) }
    };
    // Paces do not overlap: the nearest are the next one and the last one.
    let is_beside = |pace: &Pace| {
        let after = apart.partition_point(|other| other.along < pace.along);
        let next = apart.get(after).or(apart.first());
        let last = apart[..after].last().or(apart.last());
        next.is_some_and(|next| gap(pace.along, next.along) < beside)
            || last.is_some_and(|last| gap(last.along + last.length, pace.along) < beside)
    };
    let mut most = 0.0;
    for pace in paces.iter().filter(|pace| pace.state == State::Reached) {
        if most < pace.far - radius && !is_beside(pace) {
            most = (work.far(pace) - radius).max(most);
        }
    }
    most
}

impl Work<'_> {
    /// What is the case at a point, and how far at most a move is from it, where the move that
    /// reached last or one beside it certainly reaches so long a run from there: the nearest of
    /// all would say no more.
    fn goes_on(
        &self,
        last: usize,
        point: Point,
        run: f64,
    ) -> Option<(State, f64, Option<usize>)> {
        let far = |by: usize| self.cuts.shape(by).point_gap(point);
        let mut best = (far(last), last);
        while self.radius < best.0 {
            let beside = [best.1.wrapping_sub(1), best.1 + 1].into_iter();
            let beside = beside.filter(|&by| by < self.cuts.count());
            let nearest =
                beside.map(|by| (far(by), by)).min_by(|a, b| a.0.total_cmp(&b.0));
            let Some(nearer) = nearest.filter(|one| one.0 < best.0) else { break };
            best = nearer;
        }
        let certain = self.radius + LEFT - best.0;
        (run <= certain).then_some((State::Reached, best.0, Some(best.1)))
    }

    /// How far the nearest move is from the start of a pace that is reached.
    fn far(&self, pace: &Pace) -> f64 {
        let near = self.cuts.near_point(pace.point, pace.far, |_| true);
        near.map_or(pace.far, |(far, _)| far)
    }

    /// The nearest move to a point of the edge, where it reaches it; else over how long a run
    /// from there certainly none does.
    fn near(&self, point: Point) -> Result<(f64, usize), f64> {
        let limit = self.radius + LEFT;
        match self.cuts.near_point(point, limit + AFIELD, |_| true) {
            Some((far, by)) if far < limit => Ok((far, by)),
            Some((far, _)) => Err(far - limit),
            None => Err(AFIELD),
        }
    }

    /// What is the case at a point of the edge that no move reaches, its waste towards `out`.
    fn unreached(&self, point: Point, out: Vector) -> State {
        let limit = self.radius + LEFT;
        // The mill's centre square to the edge, and as far off as still counts as reached: in
        // a slight inside corner only the second is clear of the other side.
        let free = [self.radius, limit].into_iter().any(|far| {
            let centre = point + out * far;
            let near = self.edges.near_point(centre, self.radius - LEFT);
            near.is_none() && !self.is_across(point, centre)
        });
        if free { State::Stands } else { State::Beyond }
    }

    /// Whether the way from a point of the edge to the mill's centre leads through another
    /// edge into the template: deep in a cusp the far edge may be so near that the centre
    /// is clear of it on its other side. That far edge is then within twice [`LEFT`] of the point.
    fn is_across(&self, point: Point, centre: Point) -> bool {
        1 < self.edges.within(point, 2.0 * LEFT) && self.template.holds(centre)
    }

    /// How far on the same certainly holds, or the least step: where a move reaches the edge,
    /// as far as that same move certainly does.
    fn step(&self, shape: &Shape, along: f64, (far, by): (f64, Option<usize>)) -> f64 {
        let limit = self.radius + LEFT;
        let Some(by) = by else { return COARSE };
        // The distance to a move grows at most by the way gone.
        let certain = (limit - far).max(STEP);
        let cut = self.cuts.shape(by);
        let length = shape.length();
        let mut whole = length - along;
        while certain < whole {
            let run = shape.part(along / length, (along + whole) / length);
            if reaches(&cut, &run, limit) {
                return whole;
            }
            whole /= 2.0;
        }
        certain
    }
}

/// Whether a move certainly comes as near as `limit` to all of a run whose start it does.
fn reaches(cut: &Shape, run: &Shape, limit: f64) -> bool {
    let length = run.length();
    match (cut.bow, run.bow) {
        // The tube round a straight move is convex, and an arc strays from its chord by less
        // than its height.
        (None, None) => cut.point_gap(run.to) <= limit,
        (None, Some((centre, _))) => {
            let radius = run.from.distance(centre);
            let strays = length * length / (8.0 * radius);
            length < radius
                && [run.from, run.to]
                    .iter()
                    .all(|&end| cut.point_gap(end) <= limit - strays)
        }
        // Between circles that are nearly one inside the other the distance hardly changes.
        (Some((middle, sweep)), Some((centre, _))) if sweep.abs() <= PI => {
            let (own, other) = (run.from.distance(centre), cut.from.distance(middle));
            let apart = centre.distance(middle);
            (own - other).abs() + apart <= limit
                && length < own
                && apart < own / 2.0
                && [run.from, run.to].iter().all(|&at| cut.faces(at - middle))
        }
        (Some(_), _) => false,
    }
}

impl Standing {
    /// What stands at the narrowest place between the cuts on its two sides; nothing where a
    /// cut comes in between them.
    pub(super) fn neck(&self, low: &Swept) -> f64 {
        let (mut before, mut after) = (Vec::new(), Vec::new());
        let last = self.points.len() - 1;
        for step in 0..=30 {
            let index = last * step / 30;
            let near = low.beside(self.points[index]);
            let third = 3 * index / (last + 1);
            match third {
                0 => before.extend(near),
                1 if near.is_empty() => {}
                1 => return 0.0,
                _ => after.extend(near),
            }
        }
        before.sort_unstable();
        before.dedup();
        after.sort_unstable();
        after.dedup();
        low.gap(&before, &after)
    }
}

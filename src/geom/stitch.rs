//! Joins the runs of the trimmed offset end to end into rings.
//!
//! ```text
//!    ---a-->*---b-->     a goes on along the raw curve where it can; else with what starts where
//!          / \           it ends, looked for ever farther around, up to the join tolerance. Of
//!         c   d          b, c and d it takes c, the farthest to the right
//! ```
//!
//! What lies on the right of a run is where the centre can be: to turn as far to the right as there
//! is a way keeps to one region, so that rings that touch in a point stay apart.
//!
//! Our own.

use super::prune::Live;
use super::raw::{Raw, Source, Stand};
use super::tolerance::{JOIN_ENDS, SAME_POINT};
use super::{Point, Vector};

/// Which run follows each run; `Err` holds an end that nothing follows.
pub(super) fn successors(
    source: &Source,
    raws: &[Raw],
    live: &[Live],
) -> Result<Vec<usize>, Point> {
    let mut stitcher = Stitcher {
        raws,
        live,
        next: vec![NOTHING; live.len()],
        taken: vec![false; live.len()],
    };
    stitcher.go_on_along_the_raw_curve(source);
    let mut starts = stitcher.free_starts();
    let mut ends = stitcher.open_ends();
    let mut tolerance = SAME_POINT;
    while !ends.is_empty() && tolerance < 1.5 * JOIN_ENDS {
        ends.retain(|&end| !stitcher.joins_by_place(end, &starts, tolerance));
        starts.retain(|&(_, start)| !stitcher.taken[start]);
        tolerance *= 10.0;
    }
    match ends.first() {
        Some(&index) => Err(stitcher.end(index)),
        None => Ok(stitcher.next),
    }
}

/// The rings that a successor table makes, each from its first run on.
pub(super) fn rings(next: &[usize]) -> Vec<Vec<usize>> {
    let mut seen = vec![false; next.len()];
    let mut rings = Vec::new();
    for first in 0..next.len() {
        let mut ring = Vec::new();
        let mut run = first;
        while !seen[run] {
            seen[run] = true;
            ring.push(run);
            run = next[run];
        }
        if !ring.is_empty() {
            rings.push(ring);
        }
    }
    rings
}

/// What follows an open end.
const NOTHING: usize = usize::MAX;

/// The runs, and what follows each so far.
struct Stitcher<'a> {
    raws: &'a [Raw],
    live: &'a [Live],
    /// The run that follows each, or [`NOTHING`].
    next: Vec<usize>,
    /// Whether a run follows another already.
    taken: Vec<bool>,
}

impl Stitcher<'_> {
    /// Where a run starts.
    fn start(&self, index: usize) -> Point {
        let one = &self.live[index];
        self.raws[one.raw].curve.at(one.from)
    }

    /// Where it ends.
    fn end(&self, index: usize) -> Point {
        let one = &self.live[index];
        self.raws[one.raw].curve.at(one.to)
    }

    /// Lets one run follow another.
    fn link(&mut self, from: usize, to: usize) {
        self.next[from] = to;
        self.taken[to] = true;
    }

    /// A raw piece that lives to its end goes on with the one after it.
    fn go_on_along_the_raw_curve(&mut self, source: &Source) {
        let mut starts = vec![NOTHING; self.raws.len()];
        for (index, one) in self.live.iter().enumerate() {
            if one.from <= 0.0 {
                starts[one.raw] = index;
            }
        }
        let ways = Ways { source, raws: self.raws };
        // The first raw piece of the loop that the runs are on.
        let mut first = 0;
        for (index, one) in self.live.iter().enumerate() {
            first = ways.first_on(one.raw, first);
            if one.to < 1.0 {
                continue;
            }
            let to = starts[ways.after(one.raw, first)];
            if to != NOTHING
                && !self.taken[to]
                && self.start(to).distance(self.end(index)) < 2.0 * JOIN_ENDS
            {
                self.link(index, to);
            }
        }
    }

    /// The runs that nothing follows yet.
    fn open_ends(&self) -> Vec<usize> {
        (0..self.live.len()).filter(|&index| self.next[index] == NOTHING).collect()
    }

    /// The free starts, from left to right.
    fn free_starts(&self) -> Vec<(Point, usize)> {
        let mut starts: Vec<(Point, usize)> = (0..self.live.len())
            .filter(|&index| !self.taken[index])
            .map(|index| (self.start(index), index))
            .collect();
        starts.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        starts
    }

    /// Joins an open end to a free start no further than `tolerance` away, if there is one.
    fn joins_by_place(
        &mut self,
        end: usize,
        starts: &[(Point, usize)],
        tolerance: f64,
    ) -> bool {
        let found = self.best_start(end, starts, tolerance);
        if let Some(start) = found {
            self.link(end, start);
        }
        found.is_some()
    }

    /// Of the free starts at the place where a run ends, the one that turns farthest to the right:
    /// it keeps rings that touch apart.
    fn best_start(
        &self,
        end: usize,
        starts: &[(Point, usize)],
        tolerance: f64,
    ) -> Option<usize> {
        let at = self.end(end);
        let way = self.way(end, self.live[end].to);
        let first = starts.partition_point(|start| start.0.x < at.x - tolerance);
        starts[first..]
            .iter()
            .take_while(|start| start.0.x <= at.x + tolerance)
            .filter(|start| !self.taken[start.1] && start.0.distance(at) <= tolerance)
            .filter(|start| start.1 != end || self.is_point(end))
            .map(|&(_, start)| {
                let turn = way.turn_to(self.way(start, self.live[start].from));
                // Itself only where there is nothing else: a point may be a ring alone.
                (if start == end { turn + 10.0 } else { turn }, start)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, start)| start)
    }

    /// Whether a run is a point, and so ends where it starts: nothing longer does, for an arc
    /// turns by half at most.
    fn is_point(&self, index: usize) -> bool {
        self.raws[self.live[index].raw].stand == Stand::Centre
    }

    /// The direction of a run at a place of its raw piece.
    fn way(&self, index: usize, t: f64) -> Vector {
        self.raws[self.live[index].raw].curve.direction(t)
    }
}

/// The raw pieces in boundary order, loop by loop.
struct Ways<'a> {
    source: &'a Source,
    raws: &'a [Raw],
}

impl Ways<'_> {
    /// The loop that a raw piece is on.
    fn on(&self, raw: usize) -> usize {
        self.source.on[self.raws[raw].source]
    }

    /// The first raw piece on the loop of `raw`, which is that of `first` or a later one.
    fn first_on(&self, raw: usize, first: usize) -> usize {
        if self.on(first) == self.on(raw) {
            return first;
        }
        let later = &self.raws[first..=raw];
        first + later.partition_point(|one| self.source.on[one.source] < self.on(raw))
    }

    /// The raw piece after `raw`, round its loop, whose first one is `first`.
    fn after(&self, raw: usize, first: usize) -> usize {
        let next = raw + 1;
        if next < self.raws.len() && self.on(next) == self.on(raw) { next } else { first }
    }
}

//! Joins the runs of the trimmed offset end to end into rings.

use super::prune::Live;
use super::raw::{Raw, Source};
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
        next: vec![None; live.len()],
        taken: vec![false; live.len()],
    };
    stitcher.go_on_along_the_raw_curve(source);
    let mut tolerance = SAME_POINT;
    while tolerance < 1.5 * JOIN_ENDS {
        stitcher.join_by_place(tolerance);
        tolerance *= 10.0;
    }
    let open = stitcher.next.iter().position(Option::is_none);
    match open {
        Some(index) => Err(stitcher.end(index)),
        None => Ok(stitcher.next.into_iter().flatten().collect()),
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

struct Stitcher<'a> {
    raws: &'a [Raw],
    live: &'a [Live],
    next: Vec<Option<usize>>,
    taken: Vec<bool>,
}

impl Stitcher<'_> {
    fn start(&self, index: usize) -> Point {
        let one = &self.live[index];
        self.raws[one.raw].curve.at(one.from)
    }

    fn end(&self, index: usize) -> Point {
        let one = &self.live[index];
        self.raws[one.raw].curve.at(one.to)
    }

    fn link(&mut self, from: usize, to: usize) {
        self.next[from] = Some(to);
        self.taken[to] = true;
    }

    /// A raw piece that lives to its end goes on with the one after it.
    fn go_on_along_the_raw_curve(&mut self, source: &Source) {
        let follower = followers(source, self.raws);
        let mut starts = vec![None; self.raws.len()];
        for (index, one) in self.live.iter().enumerate() {
            if one.from <= 0.0 {
                starts[one.raw] = Some(index);
            }
        }
        for (index, one) in self.live.iter().enumerate() {
            let follows = (1.0 <= one.to).then(|| starts[follower[one.raw]]).flatten();
            if let Some(to) = follows
                && !self.taken[to]
                && self.start(to).distance(self.end(index)) < 2.0 * JOIN_ENDS
            {
                self.link(index, to);
            }
        }
    }

    /// Joins open ends to free starts no further than `tolerance` away.
    fn join_by_place(&mut self, tolerance: f64) {
        let ends: Vec<usize> =
            (0..self.live.len()).filter(|&index| self.next[index].is_none()).collect();
        let mut starts: Vec<(Point, usize)> = (0..self.live.len())
            .filter(|&index| !self.taken[index])
            .map(|index| (self.start(index), index))
            .collect();
        starts.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        for end in ends {
            if let Some(start) = self.best_start(end, &starts, tolerance) {
                self.link(end, start);
            }
        }
    }

    /// Of several free starts at one place, the first one clockwise of the way back: it keeps
    /// rings that touch apart.
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
            .map(|&(_, start)| {
                let turn = way.turn_to(self.way(start, self.live[start].from));
                let itself = start == end && 1 < self.live.len();
                (if itself { turn + 10.0 } else { turn }, start)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, start)| start)
    }

    fn way(&self, index: usize, t: f64) -> Vector {
        self.raws[self.live[index].raw].curve.direction(t)
    }
}

/// The raw piece after each raw piece, round its loop.
fn followers(source: &Source, raws: &[Raw]) -> Vec<usize> {
    let on = |index: usize| source.on[raws[index].source];
    let mut first = 0;
    let mut followers = Vec::with_capacity(raws.len());
    for index in 0..raws.len() {
        if 0 < index && on(index) != on(index - 1) {
            first = index;
        }
        let last = index + 1 == raws.len() || on(index + 1) != on(index);
        followers.push(if last { first } else { index + 1 });
    }
    followers
}

//! Open chains as a net: ends that meet share a knot.
//!
//! ```text
//!    0---a---1 2---b---3          chain i has the ends 2 i and 2 i + 1; ends that meet share a
//!                      4---c---5  knot: two in one are mates (1 and 2), one alone is free (0),
//!                      6---d---7  three and more have no mate (3, 4 and 6)
//! ```
//!
//! Common practice, no source.

use super::chain::Ring;
use crate::geom::tolerance::{BRIDGE, REPAIR};
use crate::geom::{Bounds, Grid, Point};

/// A chain is closed over a gap only where it is this many times as long (from memory): a speck
/// is no ring.
const SPECK: f64 = 10.0;

/// Chains and the knots in which their ends meet. Ends `2 i` and `2 i + 1` are the start and the
/// end of chain `i`.
#[derive(Debug)]
pub(super) struct Net {
    chains: Vec<Ring>,
    /// The knot of each end.
    knots: Vec<usize>,
    /// The ends in each knot.
    ends: Vec<Vec<usize>>,
}

impl Net {
    /// The net of these chains: ends within the repair tolerance of a knot's first end meet.
    pub(super) fn new(chains: Vec<Ring>) -> Self {
        let (mut knots, mut ends) = (Vec::new(), Vec::<Vec<usize>>::new());
        let mut first: Vec<Point> = Vec::new();
        let mut grid = Grid::new(BRIDGE);
        let points = chains.iter().flat_map(|chain| [chain[0].from(), end_of(chain)]);
        for (end, point) in points.enumerate() {
            let mut near: Option<usize> = None;
            grid.look(&spot(point).grown(REPAIR), |knot: usize| {
                if first[knot].distance(point) <= REPAIR {
                    near.get_or_insert(knot);
                }
            });
            let knot = near.unwrap_or_else(|| {
                grid.add(&spot(point), ends.len());
                ends.push(Vec::new());
                first.push(point);
                ends.len() - 1
            });
            ends[knot].push(end);
            knots.push(knot);
        }
        Self { chains, knots, ends }
    }

    /// The chains in order.
    pub(super) fn chains(&self) -> &[Ring] {
        &self.chains
    }

    /// The knots in which a chain starts and ends.
    pub(super) fn knots_of(&self, chain: usize) -> [usize; 2] {
        [self.knots[2 * chain], self.knots[2 * chain + 1]]
    }

    /// Where an end lies.
    pub(super) fn at(&self, end: usize) -> Point {
        let chain = &self.chains[end / 2];
        if is_start(end) { chain[0].from() } else { end_of(chain) }
    }

    /// How many ends meet where this one lies, itself among them.
    pub(super) fn n_at(&self, end: usize) -> usize {
        self.ends[self.knots[end]].len()
    }

    /// The one end that this one meets; none where it meets nothing, or more than one.
    pub(super) fn mate(&self, end: usize) -> Option<usize> {
        match self.ends[self.knots[end]][..] {
            [one, other] if one == end => Some(other),
            [other, one] if one == end => Some(other),
            _ => None,
        }
    }

    /// Joins free ends that nearly meet and are each other's nearest.
    pub(super) fn bridge(&mut self) {
        let free: Vec<usize> =
            (0..self.knots.len()).filter(|&end| self.n_at(end) == 1).collect();
        let mut grid = Grid::new(BRIDGE);
        for &end in &free {
            grid.add(&spot(self.at(end)), end);
        }
        let nearest: Vec<Option<usize>> =
            free.iter().map(|&end| self.nearest(end, &grid)).collect();
        for (&end, &near) in free.iter().zip(&nearest) {
            let Some(near) = near.filter(|&near| end < near) else { continue };
            let back = free.binary_search(&near).ok().and_then(|at| nearest[at]);
            if back == Some(end) {
                let (knot, gone) = (self.knots[end], self.knots[near]);
                self.ends[gone].clear();
                self.ends[knot].push(near);
                self.knots[near] = knot;
            }
        }
    }

    /// The nearest of the other free ends that it may be joined to.
    fn nearest(&self, end: usize, grid: &Grid<usize>) -> Option<usize> {
        let at = self.at(end);
        let mut best: Option<(f64, usize)> = None;
        grid.look(&spot(at).grown(BRIDGE), |other| {
            let gap = at.distance(self.at(other));
            let fits = other / 2 != end / 2 || SPECK * gap < self.reach(end / 2);
            let nearer = best.is_none_or(|(least, _)| gap < least);
            if other != end && fits && gap <= BRIDGE && nearer {
                best = Some((gap, other));
            }
        });
        best.map(|(_, other)| other)
    }

    /// How far a chain gets from its start, as far as a few points show; a stroke by itself is
    /// closed only within the repair tolerance.
    fn reach(&self, chain: usize) -> f64 {
        let chain = &self.chains[chain];
        let from = chain[0].from();
        let far = chain.iter().map(|strand| from.distance(strand.at(0.5)));
        if chain.len() < 2 { 0.0 } else { far.fold(0.0, f64::max) }
    }

    /// Takes the chains out of their knots that end in nothing, and then those that end in
    /// nothing without them: what is left are rings, and chains between rings. Says of each
    /// chain whether it was taken; mates among those are as before.
    pub(super) fn take_strays(&mut self) -> Vec<bool> {
        let mut strays = vec![false; self.chains.len()];
        let mut degrees: Vec<usize> = self.ends.iter().map(Vec::len).collect();
        let mut open: Vec<usize> =
            (0..degrees.len()).filter(|&knot| degrees[knot] == 1).collect();
        while let Some(knot) = open.pop() {
            let Some(&end) = self.ends[knot].iter().find(|&&end| !strays[end / 2]) else {
                continue;
            };
            strays[end / 2] = true;
            for knot in self.knots_of(end / 2) {
                degrees[knot] -= 1;
                if degrees[knot] == 1 {
                    open.push(knot);
                }
            }
        }
        for ends in &mut self.ends {
            if ends.iter().any(|end| !strays[end / 2]) {
                ends.retain(|end| !strays[end / 2]);
            }
        }
        strays
    }
}

/// Whether an end is the one at which its chain starts.
pub(super) fn is_start(end: usize) -> bool {
    end.is_multiple_of(2)
}

/// Where a chain ends.
fn end_of(chain: &Ring) -> Point {
    chain[chain.len() - 1].to()
}

/// The box of one point.
fn spot(point: Point) -> Bounds {
    Bounds { low: point, high: point }
}

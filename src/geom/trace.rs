//! What the disc leaves, followed along walls it does not touch and along its own arcs.
//!
//! At a knee the disc touches two feet at once. Its arc between them and the untouched wall
//! behind close a region; where discs overlap, their arcs are trimmed against each other.
//!
//! ```text
//!  |   . - .         K  the disc's centre at a knee
//!  | .       .       A  the foot that it leaves: the touch ends
//!  A     K     .     B  the foot that it arrives at: the touch goes on
//!  | .       .       what the disc leaves lies between the walls from A round the corner
//!  |   ` . '         to B, and the disc's arc from B back to A
//!  |_____B_______
//! ```
//!
//! Everything is for the right side of the loops, and for one trimmed offset.

use super::crossing::{Carrier, meets, parameter};
use super::tolerance::{RADIUS_STEP, SAME_POINT};
use super::trim::{Knee, Trimmed, Untrimmed};
use super::{Bounds, Loop, Piece, Point, Tree};
use std::f64::consts::TAU;

/// A stretch of wall from one knee to the next start of a touch on the same loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wall {
    pub(super) on: usize,
    /// In mm along the loop.
    pub(super) from: f64,
    pub(super) length: f64,
}

/// The disc's arcs from one touch to the next, leaving one knee's arrival foot and ending at
/// a knee's leaving foot; empty where the disc only turned about a corner.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chain {
    /// The knee whose arc it starts on.
    pub(super) first: usize,
    /// The knee whose arc it ends on.
    pub(super) last: usize,
    /// The knees whose arcs it uses, in order.
    pub(super) knees: Vec<usize>,
    pub(super) arcs: Vec<Piece>,
}

/// A closed walk: wall, arcs, wall, arcs; the region on its right. Voids between discs alone
/// have no walls.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Cycle {
    pub(super) walls: Vec<Wall>,
    /// The knees it uses, in order, each once.
    pub(super) knees: Vec<usize>,
    pub(super) border: Vec<Piece>,
}

/// All cycles, and all chains of arcs: the cycles bound what the disc leaves, the chains with
/// the touched stretches bound the rest.
#[derive(Debug, Default)]
pub(super) struct Traced {
    pub(super) cycles: Vec<Cycle>,
    pub(super) chains: Vec<Chain>,
    /// Walks around voids between discs, as arcs.
    pub(super) voids: Vec<Vec<Piece>>,
}

/// A crossing of two knees' arcs.
#[derive(Debug, Clone, Copy)]
struct Cut {
    t: f64,
    other: usize,
    there: f64,
}

pub(super) fn trace(loops: &[Loop], trimmed: &Trimmed) -> Result<Traced, Untrimmed> {
    let arcs = trimmed
        .knees
        .iter()
        .map(|knee| arc_of(loops, knee))
        .collect::<Result<Vec<Piece>, Untrimmed>>()?;
    let cuts = cuts_between(&arcs, trimmed.radius);
    let disc = |knee: &Knee| Bounds::EMPTY.with(knee.centre).grown(trimmed.radius);
    let discs = Tree::new(trimmed.knees.iter().map(disc).collect());
    let starts = starts(&trimmed.knees);
    let tracer = Tracer { loops, trimmed, arcs, cuts, starts, discs };
    let mut traced = Traced::default();
    tracer.walls(&mut traced)?;
    tracer.voids(&mut traced);
    Ok(traced)
}

/// The disc's arc from the foot it arrives at to the foot it leaves, counter-clockwise.
fn arc_of(loops: &[Loop], knee: &Knee) -> Result<Piece, Untrimmed> {
    let (from, to) = (knee.arrives.point(loops), knee.leaves.point(loops));
    let sweep = (from - knee.centre).turn_to(to - knee.centre);
    // The tip of a slot of exactly the disc's width turns by half, give or take rounding.
    let sweep = if sweep < -3.1 { sweep + TAU } else { sweep };
    if sweep < 0.0 {
        return Err(Untrimmed::new(knee.centre, "a disc that would turn backwards"));
    }
    Ok(Piece::Arc { from, to, centre: knee.centre, sweep })
}

/// Knees in the order of the starts of touch that they arrive at.
fn starts(knees: &[Knee]) -> Vec<(usize, f64, usize)> {
    let mut starts: Vec<(usize, f64, usize)> = knees
        .iter()
        .enumerate()
        .map(|(index, knee)| (knee.arrives.on, knee.arrives.key(), index))
        .collect();
    starts.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    starts
}

fn cuts_between(arcs: &[Piece], radius: f64) -> Vec<Vec<Cut>> {
    let mut cuts: Vec<Vec<Cut>> = vec![Vec::new(); arcs.len()];
    let boxes: Vec<Bounds> = arcs.iter().map(Piece::bounds).collect();
    let tree = Tree::new(boxes.clone());
    for (first, area) in boxes.iter().enumerate() {
        tree.meeting(area, |second| {
            if first < second {
                for (t, u) in crossings_of(&arcs[first], &arcs[second], radius) {
                    cuts[first].push(Cut { t, other: second, there: u });
                    cuts[second].push(Cut { t: u, other: first, there: t });
                }
            }
        });
    }
    for own in &mut cuts {
        own.sort_by(|a, b| a.t.total_cmp(&b.t));
    }
    cuts
}

fn crossings_of(first: &Piece, second: &Piece, radius: f64) -> Vec<(f64, f64)> {
    let (Piece::Arc { centre: one, .. }, Piece::Arc { centre: two, .. }) =
        (*first, *second)
    else {
        return Vec::new();
    };
    if one.distance(two) < RADIUS_STEP {
        return Vec::new();
    }
    let inner = |t: f64| 1e-13 < t && t < 1.0 - 1e-13;
    // Two discs that touch the same corner do not cross there.
    let shared: Vec<Point> = [first.from(), first.to()]
        .into_iter()
        .filter(|end| {
            [second.from(), second.to()]
                .iter()
                .any(|other| end.distance(*other) < SAME_POINT)
        })
        .collect();
    meets(first, &Carrier::Circle { centre: two, radius })
        .into_iter()
        .flatten()
        .filter(|&t| shared.iter().all(|end| RADIUS_STEP < end.distance(first.at(t))))
        .map(|t| (t, parameter(second, first.at(t))))
        .filter(|&(t, u)| inner(t) && inner(u))
        .collect()
}

struct Tracer<'a> {
    loops: &'a [Loop],
    trimmed: &'a Trimmed,
    arcs: Vec<Piece>,
    cuts: Vec<Vec<Cut>>,
    starts: Vec<(usize, f64, usize)>,
    /// The boxes of the knees' discs.
    discs: Tree,
}

impl Tracer<'_> {
    fn walls(&self, traced: &mut Traced) -> Result<(), Untrimmed> {
        let mut walked = vec![false; self.arcs.len()];
        for first in 0..self.arcs.len() {
            if walked[first] {
                continue;
            }
            let mut cycle = Cycle::default();
            let mut knee = first;
            while !walked[knee] {
                walked[knee] = true;
                let (wall, next) = self.wall(knee);
                if wall.length <= SAME_POINT && self.starts_inside_a_disc(next) {
                    if knee != first {
                        return Err(self.lost(knee));
                    }
                    let turned = (next, knee);
                    traced.chains.push(Chain {
                        first: turned.0,
                        last: turned.1,
                        knees: Vec::new(),
                        arcs: Vec::new(),
                    });
                    break;
                }
                let run = self.loops[wall.on].run(wall.from, wall.length);
                cycle.border.extend(run);
                cycle.walls.push(wall);
                let chain = self.chain(next)?;
                cycle.border.extend(chain.arcs.iter().copied());
                cycle.knees.extend(chain.knees.iter().copied());
                knee = chain.last;
                traced.chains.push(chain);
            }
            if knee != first {
                return Err(self.lost(knee));
            }
            if !cycle.border.is_empty() {
                cycle.knees.sort_unstable();
                cycle.knees.dedup();
                traced.cycles.push(cycle);
            }
        }
        Ok(())
    }

    fn lost(&self, knee: usize) -> Untrimmed {
        let centre = self.trimmed.knees[knee].centre;
        Untrimmed::new(centre, "what the disc leaves does not close")
    }

    /// The wall after the foot that `knee` leaves, and the knee at whose arrival it ends.
    fn wall(&self, knee: usize) -> (Wall, usize) {
        let leaves = self.trimmed.knees[knee].leaves;
        let on = leaves.on;
        let first = self.starts.partition_point(|start| start.0 < on);
        let last = self.starts.partition_point(|start| start.0 <= on);
        let own = &self.starts[first..last];
        let later = own.partition_point(|start| start.1 < leaves.key());
        let wraps = later == own.len();
        // Every knee that leaves a loop is matched by one that arrives at it.
        let next = own.get(if wraps { 0 } else { later }).map_or(knee, |start| start.2);
        let arrives = self.trimmed.knees[next].arrives;
        let (from, to) = (leaves.along(self.loops), arrives.along(self.loops));
        let whole = if wraps { self.loops[on].length() } else { 0.0 };
        let length = (to - from + whole).max(0.0);
        (Wall { on, from: self.loops[on].wrapped(from), length }, next)
    }

    /// Whether the first part of a knee's arc lies inside another disc: then the disc only
    /// turned about a corner there, and the region behind starts elsewhere.
    fn starts_inside_a_disc(&self, knee: usize) -> bool {
        let end = self.cuts[knee].first().map_or(1.0, |cut| cut.t);
        self.inside_a_disc(self.arcs[knee].at(0.5 * end))
    }

    fn inside_a_disc(&self, point: Point) -> bool {
        let reach = self.trimmed.radius - SAME_POINT;
        let mut inside = false;
        self.discs.meeting(&Bounds::EMPTY.with(point), |knee| {
            inside |= self.trimmed.knees[knee].centre.distance(point) < reach;
        });
        inside
    }

    /// Along the arcs from the arrival of `first` until some arc's end.
    fn chain(&self, first: usize) -> Result<Chain, Untrimmed> {
        let mut chain = Chain { first, last: first, knees: Vec::new(), arcs: Vec::new() };
        let (mut knee, mut t) = (first, 0.0);
        for _ in 0..=self.arcs.len() {
            chain.knees.push(knee);
            chain.last = knee;
            match self.next_cut(knee, t) {
                None => {
                    chain.arcs.push(self.arcs[knee].part(t, 1.0));
                    return Ok(chain);
                }
                Some(cut) => {
                    chain.arcs.push(self.arcs[knee].part(t, cut.t));
                    (knee, t) = (cut.other, cut.there);
                }
            }
        }
        Err(self.lost(first))
    }

    fn next_cut(&self, knee: usize, after: f64) -> Option<Cut> {
        self.cuts[knee].iter().find(|cut| after + 1e-12 < cut.t).copied()
    }

    /// Voids between discs that no wall reaches: every arc between two crossings that lies
    /// outside all other discs and that no chain has used.
    fn voids(&self, traced: &mut Traced) {
        let mut used: Vec<Vec<f64>> = vec![Vec::new(); self.arcs.len()];
        for chain in &traced.chains {
            for (&knee, arc) in chain.knees.iter().zip(&chain.arcs) {
                used[knee].push(parameter(&self.arcs[knee], arc.from()));
            }
        }
        let near = |a: f64, b: f64| (a - b).abs() < 1e-7;
        for knee in 0..self.arcs.len() {
            for cut in &self.cuts[knee] {
                let start = cut.t;
                let Some(end) = self.next_cut(knee, start) else { continue };
                let middle = self.arcs[knee].at(f64::midpoint(start, end.t));
                let seen = used[knee].iter().any(|&other| near(start, other));
                if seen || self.inside_a_disc(middle) {
                    continue;
                }
                let mut walk = Vec::new();
                let (mut at, mut t) = (knee, start);
                while !used[at].iter().any(|&other| near(t, other)) {
                    used[at].push(t);
                    let Some(next) = self.next_cut(at, t) else { break };
                    walk.push(self.arcs[at].part(t, next.t));
                    (at, t) = (next.other, next.there);
                }
                traced.voids.push(walk);
            }
        }
    }
}

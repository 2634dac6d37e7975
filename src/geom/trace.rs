//! What the disc leaves, followed along walls it does not touch and along its own arcs.
//!
//! At a knee the disc touches two feet at once. Its arc between them and the untouched wall behind
//! close a region; where discs overlap, their arcs are trimmed against each other.
//!
//! ```text
//!  | .         .        K  the disc's centre at a knee; the loop is walked to the left and up
//!  |.           .       A  the foot that it leaves: the touch ends
//!  B     K      .       B  the foot that it arrives at: the touch goes on
//!  |.           .       what the disc leaves lies between the wall from A round the corner to B
//!  | .         .        and the disc's arc from B back to A
//!  |____`_A_'_____
//! ```
//!
//! A region is walked by turns: from a foot A along the wall to the next foot B, from there along
//! arcs, from one to the other where they cross, to a foot A, and so on until it closes.
//!
//! Everything is for the right side of the loops, and for one trimmed offset. Our own (geometry).

use super::crossing::{Carrier, meets, parameter};
use super::places::Places;
use super::tolerance::{RADIUS_STEP, SAME_POINT};
use super::trim::{Knee, Trimmed, Untrimmed};
use super::{Bounds, Loop, Piece, Point, Span, Tree};
use std::cell::OnceCell;
use std::f64::consts::TAU;
use std::ops::Range;

/// A turn back by more than this, in radians, is one forward by about half: at the tip of a slot of
/// exactly the disc's width rounding tells which.
const HALF_BACK: f64 = -3.1;
/// A crossing no farther than this from an end of an arc, as a share of it, is the end.
const AT_END: f64 = 1e-13;
/// A crossing no farther than this after another, as a share of an arc, is the same one.
const SAME_CUT: f64 = 1e-12;
/// Parts of an arc that start no farther than this apart, as a share of it, are the same part.
const SAME_START: f64 = 1e-7;

/// The disc's arcs between two walls: from the foot that a knee arrives at, over the arcs of other
/// knees where they cross, to the foot that a knee leaves. There are none where the disc only
/// turned about a corner.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chain {
    /// The knee whose arc it starts on.
    pub(super) first: usize,
    /// The knee whose arc it ends on.
    pub(super) last: usize,
    /// Which of all arcs are its own, in order: indices of [`Traced::bows`].
    pub(super) arcs: Range<usize>,
    /// Where there are none: the wall between the two touches, hardly more than a point.
    pub(super) wall: Option<Span>,
}

/// A part of one knee's arc that bounds what the disc leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bow {
    pub(super) knee: usize,
    pub(super) arc: Piece,
}

/// A closed walk: wall, arcs, wall, arcs; the region that the disc leaves is on its right.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Cycle {
    /// The stretches of wall, each from a knee to the next start of a touch on the same loop.
    pub(super) walls: Vec<Span>,
    /// The knees it uses, in order, each once.
    pub(super) knees: Vec<usize>,
    /// The whole walk.
    pub(super) border: Vec<Piece>,
}

/// All that was walked. The cycles bound what the disc leaves; the chains, with the stretches that
/// it touches, bound what stands when that is filled.
#[derive(Debug)]
pub(super) struct Traced {
    pub(super) cycles: Vec<Cycle>,
    pub(super) chains: Vec<Chain>,
    /// The arcs of all chains, one chain's after the other's.
    pub(super) bows: Vec<Bow>,
    /// Walks around what is left between discs alone, with no wall.
    pub(super) voids: Vec<Vec<Piece>>,
}

/// The longest wall between two discs that counts for none: a disc that leaves a straight wall over
/// a length `w` is nowhere more than `w² / 8r` from it (geometry), which is to be no more than what
/// two points that are the same may lie apart.
fn longest_flat(radius: f64) -> f64 {
    (8.0 * radius * SAME_POINT).sqrt().max(SAME_POINT)
}

/// A crossing of two knees' arcs.
#[derive(Debug, Clone, Copy)]
struct Cut {
    /// On which knee's arc it is, and where.
    knee: usize,
    t: f64,
    other: usize,
    there: f64,
}

/// Walks along all walls and arcs of a trimmed offset.
pub(super) fn trace(loops: &[Loop], trimmed: &Trimmed) -> Result<Traced, Untrimmed> {
    let mut arcs = Vec::with_capacity(trimmed.knees.len());
    for knee in &trimmed.knees {
        arcs.push(arc_of(loops, knee)?);
    }
    let cuts = cuts_between(&arcs, trimmed.radius);
    let starts = Places::of(&trimmed.knees, |knee| knee.arrives);
    let discs = OnceCell::new();
    let tracer = Tracer { loops, trimmed, arcs, cuts, starts, discs };
    let mut traced = Traced {
        cycles: Vec::with_capacity(trimmed.knees.len()),
        chains: Vec::with_capacity(trimmed.knees.len()),
        bows: Vec::with_capacity(trimmed.knees.len()),
        voids: Vec::new(),
    };
    tracer.walls(&mut traced)?;
    tracer.voids(&mut traced);
    Ok(traced)
}

/// The disc's arc from the foot it arrives at to the foot it leaves, counter-clockwise.
fn arc_of(loops: &[Loop], knee: &Knee) -> Result<Piece, Untrimmed> {
    let (from, to) = (knee.arrives.point(loops), knee.leaves.point(loops));
    let sweep = (from - knee.centre).turn_to(to - knee.centre);
    let sweep = if sweep < HALF_BACK { sweep + TAU } else { sweep };
    if sweep < 0.0 {
        return Err(Untrimmed::new(knee.centre, "a disc that would turn backwards"));
    }
    let arc = Piece::Arc { from, to, centre: knee.centre, sweep };
    if !arc.turns_by_half_at_most() {
        let fault = "a disc that would turn by more than half";
        return Err(Untrimmed::new(knee.centre, fault));
    }
    Ok(arc)
}

/// Where the arcs cross each other, in the order of the arcs and along each.
fn cuts_between(arcs: &[Piece], radius: f64) -> Vec<Cut> {
    let mut cuts = Vec::new();
    Tree::of(arcs).pairs(|first, second| {
        for (t, u) in crossings_of(&arcs[first], &arcs[second], radius) {
            cuts.push(Cut { knee: first, t, other: second, there: u });
            cuts.push(Cut { knee: second, t: u, other: first, there: t });
        }
    });
    cuts.sort_by(|a, b| a.knee.cmp(&b.knee).then(a.t.total_cmp(&b.t)));
    cuts
}

/// Where two knees' arcs cross, as places on both: at most twice.
fn crossings_of(
    first: &Piece,
    second: &Piece,
    radius: f64,
) -> impl Iterator<Item = (f64, f64)> {
    let met = match (*first, *second) {
        (Piece::Arc { centre: one, .. }, Piece::Arc { centre, .. })
            if RADIUS_STEP <= one.distance(centre) =>
        {
            meets(first, &Carrier::circle(centre, radius))
        }
        _ => None,
    };
    let inner = |t: f64| AT_END < t && t < 1.0 - AT_END;
    // Two discs that touch the same corner, or a wall hardly apart, do not cross there.
    let (ends, flat) = ([second.from(), second.to()], longest_flat(radius));
    let shared = [first.from(), first.to()]
        .map(|end| ends.iter().any(|other| end.distance(*other) < flat).then_some(end));
    let apart = move |at: Point| {
        shared.iter().flatten().all(|end| RADIUS_STEP.max(flat) < end.distance(at))
    };
    met.into_iter()
        .flatten()
        .filter(move |&t| apart(first.at(t)))
        .map(|t| (t, parameter(second, first.at(t))))
        .filter(move |&(t, u)| inner(t) && inner(u))
}

/// What the walks go by.
struct Tracer<'a> {
    loops: &'a [Loop],
    trimmed: &'a Trimmed,
    /// The arc of each knee.
    arcs: Vec<Piece>,
    /// Where they cross each other, in order of knee and place.
    cuts: Vec<Cut>,
    /// The starts of touches that the knees arrive at.
    starts: Places,
    /// The boxes of the knees' discs, made when first asked for.
    discs: OnceCell<Tree>,
}

impl Tracer<'_> {
    /// Walks from each wall round what lies behind it.
    fn walls(&self, traced: &mut Traced) -> Result<(), Untrimmed> {
        let mut walked = vec![false; self.arcs.len()];
        let flat = longest_flat(self.trimmed.radius);
        for first in 0..self.arcs.len() {
            if walked[first] {
                continue;
            }
            let mut cycle = Cycle::default();
            let mut knee = first;
            while !walked[knee] {
                walked[knee] = true;
                let (wall, next) = self.wall(knee);
                if wall.length <= flat && self.starts_inside_a_disc(next) {
                    if knee != first {
                        return Err(self.lost(knee));
                    }
                    let wall = Some(wall);
                    traced.chains.push(Chain {
                        first: next,
                        last: knee,
                        arcs: 0..0,
                        wall,
                    });
                    break;
                }
                cycle.border.extend(self.loops[wall.on].walk(wall.from, wall.length));
                cycle.walls.push(wall);
                let chain = self.chain(next, &mut traced.bows)?;
                let bows = &traced.bows[chain.arcs.clone()];
                cycle.border.extend(bows.iter().map(|bow| bow.arc));
                cycle.knees.extend(bows.iter().map(|bow| bow.knee));
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

    /// A walk that does not come back.
    fn lost(&self, knee: usize) -> Untrimmed {
        let centre = self.trimmed.knees[knee].centre;
        Untrimmed::new(centre, "what the disc leaves does not close")
    }

    /// The wall after the foot that `knee` leaves, and the knee at whose arrival it ends.
    fn wall(&self, knee: usize) -> (Span, usize) {
        let leaves = self.trimmed.knees[knee].leaves;
        let on = leaves.on;
        let (next, wraps) = self.starts.next(&leaves);
        // Every knee that leaves a loop is matched by one that arrives at it.
        let next = next.unwrap_or(knee);
        let arrives = self.trimmed.knees[next].arrives;
        let (from, to) = (leaves.along(self.loops), arrives.along(self.loops));
        let whole = if wraps { self.loops[on].length() } else { 0.0 };
        let length = (to - from + whole).max(0.0);
        (Span { on, from: self.loops[on].wrapped(from), length }, next)
    }

    /// Whether the first part of a knee's arc lies inside another disc: then the disc only
    /// turned about a corner there, and the region behind starts elsewhere.
    fn starts_inside_a_disc(&self, knee: usize) -> bool {
        let end = self.cuts_of(knee).first().map_or(1.0, |cut| cut.t);
        self.inside_a_disc(self.arcs[knee].at(0.5 * end))
    }

    /// Whether a point lies inside the disc at some knee.
    fn inside_a_disc(&self, point: Point) -> bool {
        let reach = self.trimmed.radius - SAME_POINT;
        let mut inside = false;
        self.discs().meeting(&Bounds::EMPTY.with(point), |knee| {
            inside |= self.trimmed.knees[knee].centre.distance(point) < reach;
        });
        inside
    }

    /// The boxes of the discs at the knees.
    fn discs(&self) -> &Tree {
        let Trimmed { radius, ref knees, .. } = *self.trimmed;
        let disc = |knee: &Knee| Bounds::EMPTY.with(knee.centre).grown(radius);
        self.discs.get_or_init(|| Tree::new(knees.iter().map(disc)))
    }

    /// Along the arcs from the arrival of `first` until some arc's end.
    fn chain(&self, first: usize, bows: &mut Vec<Bow>) -> Result<Chain, Untrimmed> {
        let start = bows.len();
        let (mut knee, mut t) = (first, 0.0);
        for _ in 0..=self.arcs.len() {
            let cut = self.next_cut(knee, t);
            let arc = self.arcs[knee].part(t, cut.map_or(1.0, |cut| cut.t));
            bows.push(Bow { knee, arc });
            let Some(cut) = cut else {
                let arcs = start..bows.len();
                return Ok(Chain { first, last: knee, arcs, wall: None });
            };
            (knee, t) = (cut.other, cut.there);
        }
        Err(self.lost(first))
    }

    /// The crossings of one knee's arc, in order.
    fn cuts_of(&self, knee: usize) -> &[Cut] {
        let first = self.cuts.partition_point(|cut| cut.knee < knee);
        let own = self.cuts[first..].partition_point(|cut| cut.knee <= knee);
        &self.cuts[first..first + own]
    }

    /// The first crossing of a knee's arc after a place of it.
    fn next_cut(&self, knee: usize, after: f64) -> Option<Cut> {
        self.cuts_of(knee).iter().find(|cut| after + SAME_CUT < cut.t).copied()
    }

    /// Walks around what is left between discs, where no wall reaches: along every part of an arc
    /// between two crossings that lies outside all other discs and that no chain has used.
    fn voids(&self, traced: &mut Traced) {
        if self.cuts.is_empty() {
            return;
        }
        let mut used: Vec<Vec<f64>> = vec![Vec::new(); self.arcs.len()];
        for &Bow { knee, arc } in &traced.bows {
            used[knee].push(parameter(&self.arcs[knee], arc.from()));
        }
        let near = |a: f64, b: f64| (a - b).abs() < SAME_START;
        for &Cut { knee, t: start, .. } in &self.cuts {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::shapes::rectangle;
    use crate::geom::trim::Place;
    use std::f64::consts::PI;

    /// Basis: geometry: feet on two walls, 0.4 mm over or under where the disc turns by half.
    #[test]
    fn a_disc_that_turns_by_more_than_half_is_refused() {
        let loops = [rectangle(0.0, 0.0, 20.0, 10.0)];
        let foot = |piece, t| Place { on: 0, piece, corner: false, t };
        let arc = |t: f64| {
            let (arrives, leaves) = (foot(3, 0.5), foot(1, t));
            arc_of(&loops, &Knee { centre: Point::new(10.0, 5.0), leaves, arrives })
        };
        let turn = |arc: Piece| match arc {
            Piece::Arc { sweep, .. } => sweep,
            Piece::Line { .. } => 0.0,
        };
        let under = turn(arc(0.46).expect("less than half")) - PI;
        assert!((under + 0.04).abs() < 0.001, "{under}");
        let half = turn(arc(0.5).expect("a slot of its width"));
        assert!((half - PI).abs() < 1e-12, "{half}");
        let over = arc(0.54).expect_err("more than half");
        assert!(over.fault.contains("more than half"), "{over:?}");
    }
}

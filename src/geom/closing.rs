//! The loops closed by a disc: what is left standing when the disc has cut wherever it can go, with
//! where each of its pieces came from.
//!
//! ```text
//!   |            |              |            |
//!   |            |    closed    |            |      the touched stretches as they were, and the
//!   |            |    ------>   `.          .'      disc's arcs between them
//!   |____________|                `.______.'
//! ```
//!
//! No second offset is made, so that closed again it is the same (geometry; the assembling from
//! runs and knees is our own).

use super::places::Places;
use super::play::{Play, play};
use super::region::{Region, regions};
use super::spans::merged;
use super::tolerance::{CHECK, JOIN_ENDS, SAME_POINT};
use super::trace::{Chain, Traced, trace};
use super::trim::{Method, Trimmed, Untrimmed, closed, first_accepted};
use super::{Loop, Piece, Point, Span};

/// A loop of what is left standing.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The loop, material on the left.
    pub outline: Loop,
    /// For each piece, the stretch of the source that it is, or `None` for the disc's arc.
    pub origins: Vec<Option<Span>>,
}

impl Standing {
    /// A loop of the source as it is: every piece is itself.
    pub fn whole(on: usize, one: &Loop) -> Self {
        let origin = |index: usize| {
            let (from, to) = (one.start_of(index), one.start_of(index + 1));
            Some(Span { on, from, length: to - from })
        };
        let origins = (0..one.pieces().len()).map(origin).collect();
        Self { outline: one.clone(), origins }
    }
}

/// Loops closed by a disc on their right.
#[derive(Debug, Clone, PartialEq)]
pub struct Closing {
    /// The trimmed offset behind it.
    pub trimmed: Trimmed,
    /// The runs of the loops that the disc touches, maximal, in order.
    pub touched: Vec<Span>,
    /// What the disc leaves.
    pub regions: Vec<Region>,
    /// What is left standing: the touched stretches, unchanged, and the disc's arcs.
    pub standing: Vec<Standing>,
    /// Where the disc's centre is when it fits exactly, to within 2 µm: one point a place.
    pub exact_fits: Vec<Point>,
}

/// The loops closed by a disc of `radius`: by what it leaves on their right.
pub fn close(loops: &[Loop], radius: f64) -> Result<Closing, Untrimmed> {
    if loops.is_empty() {
        return Err(Untrimmed::new(Point::default(), "there are no loops"));
    }
    first_accepted(loops, radius, |trimmed| close_with(loops, trimmed))
}

/// The same; where the disc fits but for 2 µm, it fits, and where it fits exactly is told.
pub fn close_to_fit(loops: &[Loop], radius: f64) -> Result<Closing, Untrimmed> {
    let Play { lacks, fits } = play(loops, radius);
    let mut closing = close(loops, radius - lacks)?;
    if 0.0 < lacks {
        closing.trimmed.method = match closing.trimmed.method {
            Method::Exact => Method::Shrunk(lacks),
            Method::Shrunk(by) => Method::Shrunk(lacks + by),
            Method::Polygons => Method::Polygons,
        };
    }
    closing.exact_fits = fits;
    Ok(closing)
}

/// The closing that belongs to a trimmed offset.
fn close_with(loops: &[Loop], trimmed: Trimmed) -> Result<Closing, Untrimmed> {
    let traced = trace(loops, &trimmed)?;
    let mut standing = standing(loops, &trimmed, &traced)?;
    for walk in &traced.voids {
        let mut parts = Parts::default();
        walk.iter().rev().for_each(|arc| parts.push(arc.reversed(), None));
        standing.extend(parts.assembled());
    }
    let regions = regions(loops, &trimmed, traced)?;
    let touched = merged(loops, &trimmed.touched(loops), JOIN_ENDS);
    let closing = Closing { trimmed, touched, regions, standing, exact_fits: Vec::new() };
    sums(loops, &closing)?;
    Ok(closing)
}

/// What stands is what stood and what the disc leaves: but for what is asked of an area, and a
/// thousandth of that for each mm of the loops.
fn sums(loops: &[Loop], closing: &Closing) -> Result<(), Untrimmed> {
    let before: f64 = loops.iter().map(Loop::area).sum();
    let after: f64 = closing.standing.iter().map(|one| one.outline.area()).sum();
    let left: f64 = closing.regions.iter().map(|region| region.area).sum();
    let length: f64 = loops.iter().map(Loop::length).sum();
    let off = (after - before - left).abs();
    if off <= CHECK * (1.0 + 1e-3 * length) {
        return Ok(());
    }
    let worst = closing.regions.iter().max_by(|a, b| a.area.total_cmp(&b.area));
    let at = worst.map_or_else(Point::default, |region| region.deepest);
    Err(Untrimmed::new(at, format!("areas left that are off by {off:.6} mm²")))
}

/// Pieces with their origins.
#[derive(Default)]
struct Parts {
    pieces: Vec<Piece>,
    origins: Vec<Option<Span>>,
}

impl Parts {
    /// Adds a piece, unless it has no length.
    fn push(&mut self, piece: Piece, origin: Option<Span>) {
        if SAME_POINT < piece.length() {
            self.pieces.push(piece);
            self.origins.push(origin);
        }
    }

    /// Adds the pieces of a stretch of the loops, unchanged.
    fn push_along(&mut self, loops: &[Loop], Span { on, from, length }: Span) {
        let mut along = from;
        for piece in loops[on].walk(from, length) {
            let span =
                Span { on, from: loops[on].wrapped(along), length: piece.length() };
            along += span.length;
            self.push(piece, Some(span));
        }
    }

    /// The parts as a loop that closes; nothing if nothing is left.
    fn assembled(self) -> Option<Standing> {
        let Self { pieces, origins } = self;
        let outline = closed(pieces)?;
        Some(Standing { outline, origins })
    }
}

/// What is left standing: loops touched all round as they are, others walked by turns along what is
/// touched and along chains of arcs.
fn standing(
    loops: &[Loop],
    trimmed: &Trimmed,
    traced: &Traced,
) -> Result<Vec<Standing>, Untrimmed> {
    let mut standing = untouched_by_knees(loops, trimmed);
    let mut chain_to: Vec<Option<&Chain>> = vec![None; trimmed.knees.len()];
    for chain in &traced.chains {
        chain_to[chain.last] = Some(chain);
    }
    let leaves = Places::of(&trimmed.knees, |knee| knee.leaves);
    let mut walked = vec![false; trimmed.knees.len()];
    for first in 0..trimmed.knees.len() {
        if walked[first] {
            continue;
        }
        let mut parts = Parts::default();
        let mut knee = first;
        // A knee whose arc lies wholly inside other discs starts no stretch's chain.
        while !walked[knee] {
            walked[knee] = true;
            let end = stretch_from((loops, trimmed), (knee, &leaves), &mut parts);
            let Some(chain) = chain_to[end] else {
                let at = trimmed.knees[end].centre;
                return Err(Untrimmed::new(at, "a touch that nothing follows"));
            };
            let bows = traced.bows[chain.arcs.clone()].iter().rev();
            bows.for_each(|bow| parts.push(bow.arc.reversed(), None));
            if let Some(wall) = chain.wall {
                parts.push_along(loops, wall);
            }
            knee = chain.first;
        }
        standing.extend(parts.assembled());
    }
    Ok(standing)
}

/// The loops that are touched all round.
fn untouched_by_knees(loops: &[Loop], trimmed: &Trimmed) -> Vec<Standing> {
    let mut whole = vec![false; loops.len()];
    for run in &trimmed.runs {
        whole[run.owner.from.on] = true;
    }
    for knee in &trimmed.knees {
        whole[knee.leaves.on] = false;
        whole[knee.arrives.on] = false;
    }
    (0..loops.len())
        .filter(|&on| whole[on])
        .map(|on| Standing::whole(on, &loops[on]))
        .collect()
}

/// Adds the touched stretch from the foot that `knee` arrives at; the knee that ends it.
fn stretch_from(
    (loops, trimmed): (&[Loop], &Trimmed),
    (knee, leaves): (usize, &Places),
    parts: &mut Parts,
) -> usize {
    let arrives = trimmed.knees[knee].arrives;
    let on = arrives.on;
    let (end, wraps) = leaves.next(&arrives);
    let end = end.unwrap_or(knee);
    let from = arrives.along(loops);
    let to = trimmed.knees[end].leaves.along(loops);
    let whole = if wraps { loops[on].length() } else { 0.0 };
    let length = (to - from + whole).max(0.0);
    parts.push_along(loops, Span { on, from, length });
    end
}

//! Which edge is meant by a place on the drawing: the nearest, where one is near and no other is as
//! near.
//!
//! ```text
//!     _________________
//!    |     x           |     x means the edge above it: that is near enough, and no
//!    |                 |     other is as near
//! ```
//!
//! Our own; how near: from memory.

use super::edge::{runs, strokes};
use super::nest::Nest;
use super::ring::Bit;
use crate::diag::Problem;
use crate::geom::Point;
use crate::units::Paper;
use std::collections::BTreeSet;

/// An edge this far off is not meant any more, in mm (from memory: so far a drawing may change
/// before a job must be told).
const NEAR: f64 = 5.0;
/// Two edges whose distances differ by less are as near, in mm (from memory: a pencil's line).
const AS_NEAR: f64 = 0.3;

/// The pieces of one edge.
#[derive(Debug)]
pub(super) struct Near {
    part: usize,
    on: usize,
    pieces: BTreeSet<usize>,
}

impl Near {
    /// Whether a piece is of it.
    pub(super) fn has(&self, part: usize, on: usize, piece: usize) -> bool {
        (part, on) == (self.part, self.on) && self.pieces.contains(&piece)
    }
}

/// The edge that a place on the drawing means.
///
/// # Errors
/// None is near, or two are as near.
pub(super) fn edge_near(
    parts: &[Nest],
    at: Point,
    paper: Paper,
) -> Result<Near, Box<Problem>> {
    let mut all: Vec<(f64, Near)> = Vec::new();
    for (part, nest) in parts.iter().enumerate() {
        for (on, (_, ring)) in nest.iter().enumerate() {
            let bits = ring.bits();
            let near = bits.iter().map(|bit| bit.piece.distance(at));
            let distances: Vec<f64> = near.collect();
            for stroke in runs(&bits).iter().flat_map(|run| named(&bits, run)) {
                let distance = stroke.iter().map(|&index| distances[index]);
                let distance = distance.fold(f64::INFINITY, f64::min);
                let pieces = stroke.into_iter().collect();
                all.push((distance, Near { part, on, pieces }));
            }
        }
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut nearest = all.into_iter();
    let first = nearest.next().filter(|(distance, _)| *distance <= NEAR);
    let Some((distance, near)) = first else { return Err(none_near(at, paper).into()) };
    match nearest.next() {
        Some((other, _)) if other - distance < AS_NEAR => Err(two_near(at, paper).into()),
        _ => Ok(near),
    }
}

/// The edges of a run: what is spoken of by itself, and within it what bears one name.
fn named(bits: &[Bit<'_>], run: &[usize]) -> Vec<Vec<usize>> {
    let name = |index: usize| &bits[index].strand.name;
    let strokes = strokes(bits, run).into_iter();
    let edges = strokes.flat_map(|stroke| stroke.chunk_by(|&a, &b| name(a) == name(b)));
    edges.map(<[usize]>::to_vec).collect()
}

/// No edge is near enough.
fn none_near(at: Point, paper: Paper) -> Problem {
    let (near, at) = (paper.decimals(NEAR, 1), paper.point((at.x, at.y)));
    let found = format!("no edge lies within {near} of {at}");
    let hint =
        "write a place on the edge that is meant, like its middle, as the drawing has it";
    Problem::stop("edge-not-near", found, hint)
}

/// Two edges are as near as each other.
fn two_near(at: Point, paper: Paper) -> Problem {
    let at = paper.point((at.x, at.y));
    let found = format!("two edges are as near to {at} as each other");
    let hint = "write a place that lies on one edge alone, like its middle";
    Problem::stop("edges-as-near", found, hint)
}

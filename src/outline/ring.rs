//! A ring of strands as lines and arcs, fitted and as drawn, in the same order and way.
//!
//! ```text
//!    strands      ---a---   ~~~b~~~   ---c---
//!    drawn        -------   .......   -------     curves as fine chords: what the proof goes by
//!    fitted       -------   ( )( )    -------     within the tolerance, end to end
//! ```
//!
//! Our own.

use super::chain::Ring;
use super::strand::Strand;
use crate::geom::planted;
use crate::geom::tolerance::CHECK;
use crate::geom::{
    Arcs, Bounds, Ends, Loop, Piece, Point, SMOOTH_TURN, Vector, fit, regular,
};
use crate::read::Stroke;

/// One strand as pieces.
#[derive(Debug, Clone)]
pub(super) struct Shaped {
    pub(super) strand: Strand,
    /// Lines and arcs within the tolerance.
    pub(super) fitted: Vec<Piece>,
    /// What was drawn: lines and arcs as they are, curves as fine chords.
    pub(super) drawn: Vec<Piece>,
}

/// A closed ring of lines and arcs.
#[derive(Debug, Clone)]
pub(super) struct ShapedRing {
    /// Its strands in order.
    pub(super) parts: Vec<Shaped>,
    /// How far the fitted pieces stray from what was drawn, in mm.
    pub(super) deviation: f64,
}

/// A piece of the fitted ring with what is known of its edge.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bit<'a> {
    pub(super) piece: Piece,
    pub(super) part: usize,
    pub(super) strand: &'a Strand,
}

/// Fits every strand of a ring, whose joints are `settled`, its chords with the arcs found for
/// them; nothing where nothing is left of the ring.
pub(super) fn shaped(
    ring: &Ring,
    settled: &Ring,
    arcs: &[Arcs],
    tolerance: f64,
) -> Option<ShapedRing> {
    let mut deviation = 0.0f64;
    let n = ring.len();
    let mut parts: Vec<Shaped> = Vec::new();
    let mut arcs = arcs.iter().peekable();
    // The last run may pass the first strand.
    let mut index = arcs.clone().last().map_or(0, |run| run.to.saturating_sub(n));
    while index < n {
        let part = if let Some(run) = arcs.next_if(|run| run.from == index) {
            index = run.to;
            deviation = deviation.max(run.deviation);
            let chords = (run.from..run.to).map(|at| &ring[at % n]);
            let drawn = chords.filter_map(Strand::line);
            Shaped {
                strand: ring[run.from].clone(),
                fitted: run.pieces.clone(),
                drawn: drawn.map(|(from, to)| Piece::line(from, to)).collect(),
            }
        } else {
            let (part, strays) = alone(&ring[index], settled, (index, tolerance));
            index += 1;
            deviation = deviation.max(strays);
            part
        };
        if !part.fitted.is_empty() && !part.drawn.is_empty() {
            parts.push(part);
        }
    }
    weld(&mut parts, |part| &mut part.fitted);
    weld(&mut parts, |part| &mut part.drawn);
    (!parts.is_empty()).then_some(ShapedRing { parts, deviation })
}

/// One strand as it is fitted by itself, and how far that strays.
fn alone(
    strand: &Strand,
    settled: &Ring,
    (index, tolerance): (usize, f64),
) -> (Shaped, f64) {
    let (fitted, drawn, strays) = match (strand.stroke, strand.curve()) {
        (_, Some(curve)) => {
            let fitted = fit(&curve, tolerance, ends(settled, index));
            (planted::fitted(fitted.pieces), curve.chords(CHECK), fitted.deviation)
        }
        (Stroke::Piece(piece), None) => match settled[index].stroke {
            Stroke::Piece(tangent) => (regular(tangent), regular(piece), 0.0),
            Stroke::Cubic(_) | Stroke::Ellipse { .. } => (Vec::new(), Vec::new(), 0.0),
        },
        (Stroke::Cubic(_) | Stroke::Ellipse { .. }, None) => {
            (Vec::new(), Vec::new(), 0.0)
        }
    };
    (Shaped { strand: strand.clone(), fitted, drawn }, strays)
}

/// The directions a curve must keep so that a smooth joint is exactly tangent: that of a line
/// or an arc beside it, the mean with a curve beside it.
fn ends(ring: &Ring, index: usize) -> Ends {
    let n = ring.len();
    let (before, strand, after) =
        (&ring[(index + n - 1) % n], &ring[index], &ring[(index + 1) % n]);
    let common = |own: Option<Vector>, other: Option<Vector>, neighbour: &Strand| {
        let (own, other) = (own?, other?);
        if SMOOTH_TURN <= own.turn_to(other).abs() {
            return None;
        }
        if neighbour.curve().is_some() { (own + other).unit() } else { Some(other) }
    };
    Ends {
        start: common(strand.starts_along(), before.ends_along(), before),
        end: common(strand.ends_along(), after.starts_along(), after),
    }
}

/// Makes every piece start exactly where the last one ends, round the ring.
fn weld(parts: &mut [Shaped], of: impl Fn(&mut Shaped) -> &mut Vec<Piece>) {
    let pieces = parts.last_mut().map(&of);
    let Some(mut end) = pieces.and_then(|pieces| pieces.last()).map(Piece::to) else {
        return;
    };
    for part in parts {
        for piece in of(part) {
            match piece {
                Piece::Line { from, .. } | Piece::Arc { from, .. } => *from = end,
            }
            end = piece.to();
        }
    }
}

impl ShapedRing {
    /// The ring as lines and arcs within the tolerance.
    pub(super) fn fitted(&self) -> Loop {
        Loop::new(self.parts.iter().flat_map(|part| part.fitted.clone()).collect())
    }

    /// The ring as it was drawn.
    pub(super) fn drawn(&self) -> Loop {
        Loop::new(self.parts.iter().flat_map(|part| part.drawn.clone()).collect())
    }

    /// The box of the ring as fitted.
    pub(super) fn bounds(&self) -> Bounds {
        self.parts.iter().flat_map(|part| &part.fitted).map(Piece::bounds).collect()
    }

    /// The fitted pieces in order, each with its strand.
    pub(super) fn bits(&self) -> Vec<Bit<'_>> {
        let mut bits = Vec::new();
        for (part, shaped) in self.parts.iter().enumerate() {
            let bit = |&piece| Bit { piece, part, strand: &shaped.strand };
            bits.extend(shaped.fitted.iter().map(bit));
        }
        bits
    }

    /// The same ring walked the other way, from the same start.
    pub(super) fn reversed(&self) -> Self {
        let turned =
            |pieces: &[Piece]| pieces.iter().rev().map(Piece::reversed).collect();
        let parts = self.parts.iter().rev().map(|part| Shaped {
            strand: part.strand.reversed(),
            fitted: turned(&part.fitted),
            drawn: turned(&part.drawn),
        });
        Self { parts: parts.collect(), deviation: self.deviation }
    }

    /// Starts the ring at a corner between strands, or where name or role change, if there is
    /// such a place.
    pub(super) fn start_well(&mut self) {
        let n = self.parts.len();
        let before = |index: usize| &self.parts[(index + n - 1) % n];
        let corner = |&index: &usize| {
            let (last, first) =
                (before(index).fitted.last(), self.parts[index].fitted.first());
            last.zip(first).is_some_and(|(a, b)| {
                SMOOTH_TURN <= a.direction(1.0).turn_to(b.direction(0.0)).abs()
            })
        };
        let change = |&index: &usize| {
            let (a, b) = (&before(index).strand, &self.parts[index].strand);
            (&a.name, a.role) != (&b.name, b.role)
        };
        let start = (0..n).find(corner).or_else(|| (0..n).find(change)).unwrap_or(0);
        self.parts.rotate_left(start);
    }

    /// A point of it, for messages.
    pub(super) fn start(&self) -> Point {
        self.parts[0].fitted[0].from()
    }

    /// Its first strand, for messages.
    pub(super) fn first(&self) -> &Strand {
        &self.parts[0].strand
    }
}

//! Which chords of a ring are those of a smooth curve, and the arcs that take their place.

use super::chain::Ring;
use super::recover::alike;
use super::strand::{Report, Strand, written};
use crate::diag::{Problem, Weight};
use crate::geom::{Arcs, Ends, Point, arcs_of};

/// A chord so many times as long as one beside it was drawn as a line (from memory).
const LONG: f64 = 3.0;
/// Rounded points may be off by one rounding and a half, those at the ends of a run too.
const ROUNDINGS: f64 = 3.0;
/// On a grid, chords up to so many roundings long lie in line by chance, and are one by now
/// (from memory).
const MERGED: f64 = 60.0;

/// The runs of chords that arcs follow, by index of their strands in the ring, in order. A run
/// may pass the ring's first strand: then it ends beyond the last one.
///
/// They stray by no more than `fit`, or where the numbers of the drawing lie on a coarser grid
/// of `rounding`, by what that can make.
pub(super) fn arcs(
    ring: &Ring,
    fit: f64,
    rounding: f64,
    report: &mut Report,
) -> Vec<Arcs> {
    let n = ring.len();
    let tolerance = fit.max(ROUNDINGS * rounding);
    let least = MERGED * rounding;
    let lines: Vec<bool> = (0..n)
        .map(|index| least < ring[index].extent() && is_line(ring, index))
        .collect();
    let before = |index: usize| (index + n - 1) % n;
    let goes_on = |index: usize| {
        !lines[before(index)]
            && !lines[index]
            && alike(&ring[before(index)], &ring[index])
    };
    let breaks: Vec<usize> = (0..n).filter(|&index| !goes_on(index)).collect();
    let first = breaks.first().copied().unwrap_or(0);
    let ends = breaks.iter().skip(1).copied().chain([first + n]);
    let starts = breaks.iter().copied().chain(breaks.is_empty().then_some(0));
    let mut all = Vec::new();
    for (from, to) in starts.zip(ends) {
        if from < n && ring[from].line().is_some() && !lines[from] {
            all.extend(chain(ring, (from, to), tolerance));
        }
    }
    tell(ring, &all, report);
    all
}

/// The arcs of one chain of chords, whose points are those of its strands.
fn chain(ring: &Ring, (from, to): (usize, usize), tolerance: f64) -> Vec<Arcs> {
    let n = ring.len();
    let chords = (from..to).map(|index| &ring[index % n]);
    let mut points: Vec<Point> = vec![ring[from].from()];
    points.extend(chords.map(Strand::to));
    let ends = Ends {
        start: ring[(from + n - 1) % n].ends_along(),
        end: ring[to % n].starts_along(),
    };
    let in_ring = |run: Arcs| Arcs { from: run.from + from, to: run.to + from, ..run };
    arcs_of(&points, tolerance, ends).into_iter().map(in_ring).collect()
}

/// Whether a chord was drawn as a line beside the chords of a curve.
fn is_line(ring: &Ring, index: usize) -> bool {
    let n = ring.len();
    let strand = &ring[index];
    [&ring[(index + n - 1) % n], &ring[(index + 1) % n]]
        .into_iter()
        .any(|other| other.line().is_some() && LONG * other.extent() < strand.extent())
}

/// Tells of the chords that became arcs.
fn tell(ring: &Ring, arcs: &[Arcs], report: &mut Report) {
    let Some(first) = arcs.first() else { return };
    let chords: usize = arcs.iter().map(|run| run.to - run.from).sum();
    let pieces: usize = arcs.iter().map(|run| run.pieces.len()).sum();
    let off = arcs.iter().map(|run| run.deviation).fold(0.0, f64::max);
    let strand = &ring[first.from];
    let at = strand.from();
    let found = format!(
        "{chords} chords from {} on are taken as {pieces} lines and arcs, from which they stray by {off:.4} mm at most: {}",
        written(at),
        strand.called()
    );
    let hint = "ask for a finer `fit` if each chord is meant as a flat";
    let note = Problem::new("outline-chords-fitted", Weight::Hint, found, hint);
    report.note(note.at(strand.place_at(at)));
}

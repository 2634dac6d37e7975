//! Which chords of a ring are those of a smooth curve, and the arcs that take their place.
//!
//! ```text
//!      line     chords of a curve     line       a chord much longer than one beside it was drawn
//!    --------.--.--.--.--.--.--.--.--------      as a line; those between are handed to the fit
//!            |<----- one chain ----->|           with the ways of the lines at both ends
//! ```
//!
//! Our own; the arcs are those of [`crate::geom`].

use super::chain::Ring;
use super::recover::alike;
use super::strand::{Report, Strand};
use crate::diag::{Problem, Weight};
use crate::geom::{Arcs, Ends, Point, arcs_of};

/// A chord so many times as long as one beside it was drawn as a line (from memory).
const LONG: f64 = 3.0;
/// Rounded points may be off by one rounding and a half, those at the ends of a run too.
const ROUNDINGS: f64 = 3.0;
/// On a grid, chords up to so many roundings long lie in line by chance, and are one by now
/// (from memory).
const MERGED: f64 = 60.0;

/// The runs of chords that arcs follow, by index of their strands in the ring, in order of where
/// they start. The last one may pass the ring's first strand: then it ends beyond the last one.
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
        .map(|index| {
            let long = least < ring[index].extent() && is_line(ring, index);
            long && !is_by_chance(ring, index, rounding)
        })
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
    all.sort_by_key(|run| run.from);
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
    // A chain that passes the first strand may hold runs that start behind it.
    let in_ring = |run: Arcs| {
        let start = (run.from + from) % n;
        Arcs { from: start, to: start + run.to - run.from, ..run }
    };
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

/// Whether a chord may be some of a curve's that lie in line by chance: the points around are
/// rounded, and over as long a way on either side the chords turn so little that the curve would
/// bow from it by no more than the points may be off.
fn is_by_chance(ring: &Ring, index: usize, rounding: f64) -> bool {
    let (strand, length) = (&ring[index], ring[index].extent());
    let turn = |ahead: bool| {
        let other = far_end(ring, index, ahead)?;
        let (along, beside) = if ahead {
            (strand.to() - strand.from(), other - strand.to())
        } else {
            (strand.from() - other, strand.to() - strand.from())
        };
        Some(along.turn_to(beside).abs())
    };
    // A chord bows by an eighth of its length times its turn (geometry).
    let most = 8.0 * ROUNDINGS * rounding / length;
    [true, false].into_iter().all(|ahead| turn(ahead).is_some_and(|turn| turn <= most))
}

/// The end of the chords that go on from one, ahead or back, for at least its own length; nothing
/// where they end before.
fn far_end(ring: &Ring, index: usize, ahead: bool) -> Option<Point> {
    let (n, length) = (ring.len(), ring[index].extent());
    let (mut at, mut gone) = (index, 0.0);
    while gone < length {
        let next = if ahead { (at + 1) % n } else { (at + n - 1) % n };
        if next == index || !alike(&ring[at], &ring[next]) {
            return None;
        }
        (at, gone) = (next, gone + ring[next].extent());
    }
    Some(if ahead { ring[at].to() } else { ring[at].from() })
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
        "{chords} chords from {} on are taken as {pieces} lines and arcs, from which they stray by {} at most: {}",
        report.point(at),
        report.paper.decimals(off, 4),
        strand.called()
    );
    let hint = "ask for a finer `fit` if each chord is meant as a flat";
    let note = Problem::new("outline-chords-fitted", Weight::Hint, found, hint);
    report.note(note.at(strand.place_at(at)));
}

#[cfg(test)]
mod tests {
    use crate::geom::Piece;
    use crate::outline::tests::{good, polygon};
    use std::f64::consts::TAU;

    /// A wavy ring in chords, its numbers rounded, that starts at an angle.
    fn wave(n: u32, waves: f64, start: f64, step: f64) -> Vec<(f64, f64)> {
        let round = |x: f64| (x / step).round() * step;
        let corner = |index| {
            let angle = TAU * f64::from(index) / f64::from(n) + start;
            let radius = 100.0 + 8.0 * libm::sin(waves * angle);
            (round(radius * libm::cos(angle)), round(radius * libm::sin(angle)))
        };
        (0..n).map(corner).collect()
    }

    #[test]
    fn nothing_is_lost_wherever_in_a_curve_the_ring_starts() {
        let mut refitted = 0;
        for (waves, start, step) in [
            (3.0, 0.37, 1e-3),
            (3.0, 0.37, 1e-4),
            (5.0, 0.1, 1e-3),
            (8.0, 0.0, 1e-3),
            (8.0, 0.1, 1e-3),
        ] {
            for n in [400, 1000, 3000] {
                let points = wave(n, waves, start, step);
                let next = points.iter().cycle().skip(1);
                let long: f64 = points
                    .iter()
                    .zip(next)
                    .map(|(a, b)| libm::hypot(b.0 - a.0, b.1 - a.1))
                    .sum();
                let told = good(vec![polygon("wave", &points)]);
                let outline = &told.value[0].loops[0];
                let read: f64 = outline.pieces().iter().map(Piece::length).sum();
                assert!((read - long).abs() < 0.2, "{read} of {long}: {n}, {waves}");
                refitted += usize::from(outline.pieces().len() < points.len() / 2);
            }
        }
        assert!(5 < refitted, "most of them are arcs now: {refitted}");
    }
    #[test]
    fn chords_that_lie_in_line_by_chance_are_no_lines() {
        // geometry: a smooth curve has no corner, however its numbers are rounded
        for (n, step) in [(10_000, 1e-3), (10_000, 1e-4), (40_000, 1e-5)] {
            let told = good(vec![polygon("wave", &wave(n, 7.0, 0.0, step))]);
            let outline = &told.value[0];
            let arcs = outline.loops[0].pieces().iter();
            assert!(arcs.clone().all(|piece| piece.radius().is_some()), "{n}, {step}");
            assert!(arcs.count() < 500, "few of them: {n}, {step}");
            assert_eq!(outline.edges.len(), 1, "no corner: {n}, {step}");
            assert!(outline.deviation <= 4.0 * step.max(1e-3), "{}", outline.deviation);
        }
    }
}

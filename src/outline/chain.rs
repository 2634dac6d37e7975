//! From paths to rings of strands: what closes by itself is a ring, what is drawn in pieces is
//! put together by `loose`.
//!
//! ```text
//!    --a--> - --b-->       a gap within the repair tolerance is joined, a wider one parts the
//!    ^              |      path; what comes back to its start is a ring, and what is said to
//!    '------<-------'      close is closed by a straight line
//! ```
//!
//! Our own.

use super::strand::{Report, Strand, join, strands};
use super::{FAR, loose};
use crate::diag::Problem;
use crate::geom::Piece;
use crate::geom::tolerance::{JOIN_ENDS, REPAIR};
use crate::read::{Drawing, Path, Stroke};

/// Strands in order; in a ring the last one ends where the first one starts.
pub(super) type Ring = Vec<Strand>;

/// The rings of a drawing.
pub(super) fn rings(drawing: &Drawing, report: &mut Report) -> Vec<Ring> {
    let mut rings = Vec::new();
    let mut open = Vec::new();
    for path in &drawing.paths {
        let Some(chain) = sound(path, report) else { continue };
        for mut chain in split_at_gaps(chain, report) {
            if path.closed {
                close(&mut chain);
            }
            if ends_meet(&chain) { rings.push(chain) } else { open.push(chain) }
        }
    }
    if drawing.beside.is_some() {
        loose::sorted(open, &mut rings, drawing, report);
    } else {
        rings.extend(loose::chained(open, report));
    }
    for ring in &mut rings {
        join_round(ring, report);
    }
    rings
}

/// The strokes of a path that have a length, or nothing where a number is not finite or so far
/// off that a fit would not end.
fn sound(path: &Path, report: &mut Report) -> Option<Ring> {
    let mut chain = strands(path);
    if let Some(bad) = chain.iter().find(|strand| !strand.is_finite()) {
        let found = format!("{} has a number that is not finite", bad.called());
        let hint = "draw it again, or correct the number in the file";
        report.stop(
            Problem::stop("outline-not-finite", found, hint).at(path.place.clone()),
        );
        return None;
    }
    if let Some(far) = chain.iter().find(|strand| FAR < strand.farthest()) {
        let found = format!(
            "{} reaches {} off",
            far.called(),
            report.paper.decimals(far.farthest(), 0)
        );
        let hint = "check the units of the drawing and move it near the origin";
        let problem = Problem::stop("outline-absurd", found, hint);
        let expected = format!("at most {} off", report.paper.decimals(FAR, 0));
        report.stop(problem.at(path.place.clone()).expected(expected));
        return None;
    }
    let all = chain.len();
    let first = chain.iter().find(|strand| is_point(strand)).map(Strand::from);
    chain.retain(|strand| !is_point(strand));
    if let Some(at) = first {
        let place = path.place.clone().at(at.x, at.y);
        let found = format!(
            "{} doubled point(s) left out, the first at {}",
            all - chain.len(),
            report.point(at)
        );
        report.repaired("outline-doubled-point", place, found);
    }
    (!chain.is_empty()).then_some(chain)
}

/// A stroke that goes nowhere.
fn is_point(strand: &Strand) -> bool {
    strand.extent() <= JOIN_ENDS
}

/// The chain in parts between gaps too wide to be joined; smaller ones are joined.
fn split_at_gaps(chain: Ring, report: &mut Report) -> Vec<Ring> {
    let mut parts: Vec<Ring> = Vec::new();
    for mut strand in chain {
        let last = parts.last_mut().and_then(|part| part.last_mut());
        match last.filter(|last| last.to().distance(strand.from()) <= REPAIR) {
            Some(last) => {
                join(last, &mut strand, report);
                parts.last_mut().expect("it has a last strand").push(strand);
            }
            None => parts.push(vec![strand]),
        }
    }
    parts
}

/// Closes a chain whose drawing says that it closes, with a straight line where it must.
fn close(chain: &mut Ring) {
    if ends_meet(chain) {
        return;
    }
    let (from, to) = (chain[chain.len() - 1].to(), chain[0].from());
    let stroke = Stroke::Piece(Piece::line(from, to));
    let last = &chain[chain.len() - 1];
    let number = last.number + 1;
    chain.push(Strand {
        stroke,
        name: None,
        role: None,
        place: last.place.clone(),
        number,
    });
}

/// Whether a chain ends where it starts; a chain of one short stroke does not.
fn ends_meet(chain: &[Strand]) -> bool {
    let (from, to) = (chain[0].from(), chain[chain.len() - 1].to());
    let farthest = chain.iter().map(|s| from.distance(s.at(0.5))).fold(0.0, f64::max);
    from.distance(to) <= REPAIR && REPAIR < farthest
}

/// Joins every strand of a ring to the next, round it.
fn join_round(ring: &mut Ring, report: &mut Report) {
    let n = ring.len();
    if n < 2 {
        return;
    }
    for index in 0..n {
        let next = (index + 1) % n;
        let mut later = ring[next].clone();
        join(&mut ring[index], &mut later, report);
        ring[next] = later;
    }
}

//! From paths to rings of strands: what is drawn in pieces is put together, what stays open
//! is refused.

use super::strand::{Report, Strand, join, strands, written};
use crate::diag::Problem;
use crate::geom::Point;
use crate::geom::tolerance::{JOIN_ENDS, REPAIR};
use crate::geom::{Piece, Vector};
use crate::read::{Path, Stroke};

/// Strands in order; in a ring the last one ends where the first one starts.
pub(super) type Ring = Vec<Strand>;

/// The rings of these paths.
pub(super) fn rings(paths: &[Path], report: &mut Report) -> Vec<Ring> {
    let mut rings = Vec::new();
    let mut open = Vec::new();
    for path in paths {
        let Some(chain) = sound(path, report) else { continue };
        for mut chain in split_at_gaps(chain, report) {
            if path.closed {
                close(&mut chain);
            }
            if ends_meet(&chain) { rings.push(chain) } else { open.push(chain) }
        }
    }
    drop_doubled(&mut open, report);
    rings.extend(chained(&open, report));
    for ring in &mut rings {
        join_round(ring, report);
    }
    rings
}

/// The strokes of a path that have a length, or nothing where a number is not finite.
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
    let all = chain.len();
    let first = chain.iter().find(|strand| is_point(strand)).map(Strand::from);
    chain.retain(|strand| !is_point(strand));
    if let Some(at) = first {
        let place = path.place.clone().at(at.x, at.y);
        let found = format!(
            "{} doubled point(s) left out, the first at {}",
            all - chain.len(),
            written(at)
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

/// Leaves out open chains that lie on another one.
fn drop_doubled(open: &mut Vec<Ring>, report: &mut Report) {
    let mut kept: Vec<Ring> = Vec::new();
    for chain in open.drain(..) {
        let back: Ring = chain.iter().rev().map(Strand::reversed).collect();
        let same = |other: &Ring| {
            let on = |one: &Ring| {
                one.len() == other.len()
                    && one.iter().zip(other).all(|(a, b)| a.lies_on(b))
            };
            on(&chain) || on(&back)
        };
        if kept.iter().any(same) {
            let at = chain[0].from();
            let found = format!("{} is drawn twice; one is left out", chain[0].called());
            report.repaired("outline-doubled", chain[0].place_at(at), found);
        } else {
            kept.push(chain);
        }
    }
    *open = kept;
}

/// An end of an open chain.
#[derive(Debug, Clone, Copy)]
struct End {
    chain: usize,
    /// Whether it is where the chain starts.
    start: bool,
    at: Point,
}

/// Chains open chains end to end into rings; what stays open or branches is refused.
fn chained(chains: &[Ring], report: &mut Report) -> Vec<Ring> {
    let ends = ends_of(chains);
    let mates = mates(&ends);
    let mut used = vec![false; chains.len()];
    let mut rings = Vec::new();
    // Open runs first, from their free ends; then only rings are left.
    let free = |mate: &Vec<usize>| mate.len() != 1;
    let starts = (0..ends.len()).filter(|&e| free(&mates[e])).chain(0..ends.len());
    for first in starts {
        if used[ends[first].chain] {
            continue;
        }
        let (run, last) = walk(first, &mates, &mut used);
        let ring: Ring = run
            .iter()
            .flat_map(|&end| {
                let chain = &chains[ends[end].chain];
                if ends[end].start { chain.clone() } else { backwards(chain) }
            })
            .collect();
        if mates[first].first() == Some(&last) && mates[first].len() == 1 {
            rings.push(ring);
        } else {
            refuse_open(&ring, (mates[first].len(), mates[last].len()), report);
        }
    }
    rings
}

fn backwards(chain: &Ring) -> Ring {
    chain.iter().rev().map(Strand::reversed).collect()
}

/// Ends `2 i` and `2 i + 1` are the start and the end of chain `i`.
fn ends_of(chains: &[Ring]) -> Vec<End> {
    let both = |(chain, ring): (usize, &Ring)| {
        let last = ring.len() - 1;
        [
            End { chain, start: true, at: ring[0].from() },
            End { chain, start: false, at: ring[last].to() },
        ]
    };
    chains.iter().enumerate().flat_map(both).collect()
}

/// For each end, the other ends within the repair tolerance.
fn mates(ends: &[End]) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..ends.len()).collect();
    order.sort_by(|&a, &b| ends[a].at.x.total_cmp(&ends[b].at.x).then(a.cmp(&b)));
    let mut mates = vec![Vec::new(); ends.len()];
    for (rank, &a) in order.iter().enumerate() {
        for &b in &order[rank + 1..] {
            let way: Vector = ends[b].at - ends[a].at;
            if REPAIR < way.x {
                break;
            }
            if way.length() <= REPAIR {
                mates[a].push(b);
                mates[b].push(a);
            }
        }
    }
    mates
}

/// Walks from chain to chain, starting at end `first`, while each end has one mate. Gives the
/// ends at which each chain was entered, and the end at which the walk stopped.
fn walk(first: usize, mates: &[Vec<usize>], used: &mut [bool]) -> (Vec<usize>, usize) {
    let mut run = Vec::new();
    let mut entered = first;
    loop {
        used[entered / 2] = true;
        run.push(entered);
        let left = entered ^ 1;
        match mates[left][..] {
            [next] if !used[next / 2] => entered = next,
            _ => return (run, left),
        }
    }
}

/// Refuses a run that does not close: its ends meet nothing, or more than one other end.
fn refuse_open(run: &Ring, (at_start, at_end): (usize, usize), report: &mut Report) {
    let (first, last) = (&run[0], &run[run.len() - 1]);
    let (from, to) = (first.from(), last.to());
    if 1 < at_start || 1 < at_end {
        let (strand, at) = if 1 < at_end { (last, to) } else { (first, from) };
        let found = format!("more than two ends meet at {}", written(at));
        let hint = "keep the two lines that bound the part there and delete the others";
        report.stop(
            Problem::stop("outline-branches", found, hint)
                .at(strand.place_at(at))
                .expected("each end to meet one other"),
        );
        return;
    }
    let found = format!(
        "the line from {} to {} is open: its ends are {:.3} mm apart",
        written(from),
        written(to),
        from.distance(to)
    );
    let hint = "close it: draw on to the start (`Z` in a path, `close` in a walk), or give the board that this line parts";
    report.stop(
        Problem::stop("outline-open", found, hint)
            .at(last.place_at(to))
            .expected(format!("ends that meet within {REPAIR} mm")),
    );
}

//! Repairs of a ring within the repair tolerance, each reported: tiny steps at corners,
//! spikes, doubled edges, points on straight lines.

use super::chain::Ring;
use super::strand::{Report, Strand, join, written};
use crate::geom::tolerance::{REPAIR, SAME_POINT};
use crate::geom::{Piece, Point};
use crate::read::Stroke;

/// A turn back of more than this, in radians, over the same way is a spike (from memory).
const SPIKE_TURN: f64 = 3.0;
/// A tiny step is one that turns at least this much at an end, in radians: chords of a fine
/// curve turn less (from memory).
const STEP_TURN: f64 = 0.1;
/// A point this near to the line through its neighbours lies on it: looser, and the fine
/// chords of a curve would grow together into longer ones.
const ON_LINE: f64 = 1e-7;

/// Repairs a ring; what is left may be nothing.
pub(super) fn clean(ring: &mut Ring, report: &mut Report) {
    let mut index = 0;
    while index < ring.len() {
        let before = ring.len();
        if drop_step(ring, index, report) || drop_spike(ring, index, report) {
            // What was taken away may lay a repair bare on either side of it.
            index = index.min(ring.len()).saturating_sub(2 + before - ring.len());
        } else {
            index += 1;
        }
    }
}

/// The turn from strand `index` to the next, in radians; zero where there is none.
fn turn_after(ring: &Ring, index: usize) -> f64 {
    let next = &ring[(index + 1) % ring.len()];
    match (ring[index].ends_along(), next.starts_along()) {
        (Some(before), Some(after)) => before.turn_to(after),
        _ => 0.0,
    }
}

/// Takes strand `index` away if it is a tiny step: its neighbours are joined over it.
fn drop_step(ring: &mut Ring, index: usize, report: &mut Report) -> bool {
    let n = ring.len();
    let turn = |at: usize| turn_after(ring, at).abs();
    let tiny = |at: usize| ring[at % n].extent() < REPAIR;
    // A tiny stroke among tiny ones is part of a curve that is drawn finely.
    let is_step = 2 < n
        && tiny(index)
        && !tiny(index + 1)
        && !tiny(index + n - 1)
        && STEP_TURN < turn(index).max(turn((index + n - 1) % n));
    if !is_step {
        return false;
    }
    let step = ring.remove(index);
    let found = format!(
        "a step of {:.4} mm at {} is taken away: {}",
        step.extent(),
        written(step.from()),
        step.called()
    );
    report.repaired("outline-tiny-step", step.place_at(step.from()), found);
    join_before(ring, index);
    true
}

/// Takes the spike or doubled edge at the end of strand `index` away, if there is one.
fn drop_spike(ring: &mut Ring, index: usize, report: &mut Report) -> bool {
    let n = ring.len();
    if n < 2 || turn_after(ring, index).abs() < SPIKE_TURN {
        return false;
    }
    let next = (index + 1) % n;
    let tip = ring[index].to();
    let Some(left) = folded(&ring[index], &ring[next]) else { return false };
    let found =
        format!("a spike at {} is cut off: {}", written(tip), ring[index].called());
    report.repaired("outline-spike", ring[index].place_at(tip), found);
    match left {
        Left::First(first) => {
            ring[index] = first;
            ring.remove(next);
            join_before(ring, next);
        }
        Left::Second(second) => {
            ring[next] = second;
            ring.remove(index);
            join_before(ring, index);
        }
        Left::Nothing => {
            ring.remove(index.max(next));
            ring.remove(index.min(next));
            join_before(ring, index.min(next));
        }
    }
    true
}

/// Joins strand `index` of a ring, after one was taken away there, to the one before it. The
/// gap is part of the repair, which was reported.
fn join_before(ring: &mut Ring, index: usize) {
    let n = ring.len();
    if n < 2 {
        return;
    }
    let (index, before) = (index % n, (index + n - 1) % n);
    let mut later = ring[index].clone();
    join(&mut ring[before], &mut later, &mut Report::default());
    ring[index] = later;
}

/// What is left of two strands that go out and back over the same way.
enum Left {
    First(Strand),
    Second(Strand),
    Nothing,
}

/// What is left of `a` and `b` if `b` goes back over `a`.
fn folded(a: &Strand, b: &Strand) -> Option<Left> {
    if b.reversed().lies_on(a) {
        return Some(Left::Nothing);
    }
    let (out, back) = (a.line()?, b.line()?);
    let (first, second) = (Piece::line(out.0, out.1), Piece::line(back.0, back.1));
    let cut = |strand: &Strand, from: Point, to: Point| Strand {
        stroke: Stroke::Piece(Piece::line(from, to)),
        ..strand.clone()
    };
    if first.distance(back.1) <= REPAIR {
        let meeting = first.at(first.nearest(back.1));
        return Some(Left::First(cut(a, out.0, meeting)));
    }
    if second.distance(out.0) <= REPAIR {
        let meeting = second.at(second.nearest(out.0));
        return Some(Left::Second(cut(b, meeting, back.1)));
    }
    None
}

/// Makes one line of two that go on straight, where name and role are the same.
pub(super) fn merge_lines(ring: &mut Ring, report: &mut Report) {
    let before = ring.len();
    let mut left = before;
    let mut first: Option<(Strand, Point)> = None;
    let mut merged: Ring = Vec::with_capacity(before);
    for strand in ring.drain(..) {
        let last = merged.last_mut().filter(|_| 2 < left);
        match last.and_then(|last| one_line(last, &strand).map(|line| (last, line))) {
            Some((last, line)) => {
                first.get_or_insert((last.clone(), last.to()));
                last.stroke = Stroke::Piece(line);
                left -= 1;
            }
            None => merged.push(strand),
        }
    }
    if 2 < left
        && let Some(line) = one_line(&merged[left - 1], &merged[0])
    {
        let last = &mut merged[left - 1];
        first.get_or_insert((last.clone(), last.to()));
        last.stroke = Stroke::Piece(line);
        merged.remove(0);
    }
    *ring = merged;
    if let Some((strand, at)) = first {
        let found = format!(
            "{} point(s) on straight lines left out, the first at {}",
            before - ring.len(),
            written(at)
        );
        report.repaired("outline-point-on-line", strand.place_at(at), found);
    }
}

/// The one line that two lines are.
fn one_line(a: &Strand, b: &Strand) -> Option<Piece> {
    let (out, on) = (a.line()?, b.line()?);
    let line = Piece::line(out.0, on.1);
    let straight = a.name == b.name
        && a.role == b.role
        && out.1.distance(on.0) <= SAME_POINT
        && 0.0 < (out.1 - out.0).dot(on.1 - on.0)
        && line.distance(out.1) <= ON_LINE;
    straight.then_some(line)
}

//! Repairs of a ring within the repair tolerance, each reported: tiny steps at corners,
//! spikes, doubled edges, points on straight lines.
//!
//! ```text
//!    -----.               -----.-----             ---o----o---
//!         '-----               |                  points on a
//!    a tiny step:         a spike: out and        straight line
//!    joined over          back the same way
//! ```
//!
//! Our own; how small and how sharp stands beside each figure.

use super::chain::Ring;
use super::strand::{Report, Strand, join};
use crate::geom::tolerance::{REPAIR, SAME_POINT};
use crate::geom::{Piece, Point};
use crate::read::Stroke;
use crate::units::Paper;
use std::collections::VecDeque;

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
    if let Some(first) = ring.iter().position(|strand| REPAIR <= strand.extent()) {
        ring.rotate_left(first);
    }
    // The strand looked at is the first, those done are the last: what is taken away is never in
    // the middle.
    let mut turning: Turning = std::mem::take(ring).into();
    let mut n_done = 0;
    while n_done < turning.len() {
        let before = turning.len();
        let n_ahead = before - n_done;
        if drop_step(&mut turning, n_ahead, report) || drop_spike(&mut turning, report) {
            let dropped = before - turning.len();
            // What was taken away may lay a repair bare on either side of it.
            let back = (2 + dropped).min(n_done).min(turning.len());
            turning.rotate_right(back);
            n_done = (n_done - back).min(turning.len());
        } else {
            turning.rotate_left(1);
            n_done += 1;
        }
    }
    *ring = turning.into();
}

/// A ring that is turned, so that what is looked at comes first.
type Turning = VecDeque<Strand>;

/// The turn from strand `index` to the next, in radians; zero where there is none.
fn turn_after(ring: &Turning, index: usize) -> f64 {
    let next = &ring[(index + 1) % ring.len()];
    match (ring[index].ends_along(), next.starts_along()) {
        (Some(before), Some(after)) => before.turn_to(after),
        _ => 0.0,
    }
}

/// Takes the crumbs that a ring begins with away, if they are a tiny step at a corner: their
/// neighbours are joined over them.
fn drop_step(ring: &mut Turning, n_ahead: usize, report: &mut Report) -> bool {
    let Some(count) = crumbs(ring, n_ahead) else { return false };
    let joints = (0..count).chain([ring.len() - 1]);
    if joints.into_iter().all(|at| turn_after(ring, at).abs() <= STEP_TURN) {
        return false;
    }
    let steps: Vec<Strand> = ring.drain(..count).collect();
    let step = &steps[0];
    let what = if count == 1 { "a step".to_owned() } else { format!("{count} crumbs") };
    let found = format!(
        "{what} of {} at {}, taken away: {}",
        report.paper.decimals(spread(&steps), 4),
        report.point(step.from()),
        step.called()
    );
    report.repaired("outline-tiny-step", step.place_at(step.from()), found);
    join_over(ring);
    true
}

/// How many strokes a ring begins with that lie all together within the repair tolerance, between
/// two that do not. Tiny strokes that lead farther are part of a curve that is drawn finely.
fn crumbs(ring: &Turning, n_ahead: usize) -> Option<usize> {
    let n = ring.len();
    let is_tiny = |strand: &Strand| strand.extent() < REPAIR;
    if is_tiny(&ring[n - 1]) {
        return None;
    }
    let from = ring[0].from();
    let mut count = 0;
    for strand in ring.iter().take(n_ahead).take_while(|strand| is_tiny(strand)) {
        if REPAIR <= from.distance(strand.to()) {
            return None;
        }
        count += 1;
    }
    (0 < count && count + 1 < n).then_some(count)
}

/// How far strokes get from where the first of them starts.
fn spread(strands: &[Strand]) -> f64 {
    let from = strands[0].from();
    let far = |strand: &Strand| {
        let tops = [0.25, 0.5, 0.75, 1.0].map(|t| from.distance(strand.at(t)));
        tops.into_iter().fold(0.0, f64::max)
    };
    strands.iter().map(far).fold(0.0, f64::max)
}

/// Takes the spike or doubled edge at the end of the first strand away, if there is one.
fn drop_spike(ring: &mut Turning, report: &mut Report) -> bool {
    if ring.len() < 2 || turn_after(ring, 0).abs() < SPIKE_TURN {
        return false;
    }
    let Some(left) = folded(&ring[0], &ring[1]) else { return false };
    let tip = ring[0].to();
    let found = format!(
        "a spike of {} at {} is cut off: {}",
        report.paper.decimals(ring[0].extent().min(ring[1].extent()), 4),
        report.point(tip),
        ring[0].called()
    );
    report.repaired("outline-spike", ring[0].place_at(tip), found);
    ring.drain(..2);
    match left {
        Left::First(first) => {
            // It is joined on to what follows.
            ring.push_back(first);
            join_over(ring);
            ring.rotate_right(1);
        }
        Left::Second(second) => {
            ring.push_front(second);
            join_over(ring);
        }
        Left::Nothing => join_over(ring),
    }
    true
}

/// Joins the last strand of a ring to the first, after what lay between was taken away. The gap is
/// part of the repair, which was reported.
fn join_over(ring: &mut Turning) {
    if ring.len() < 2 {
        return;
    }
    let last = ring.len() - 1;
    let mut first = ring[0].clone();
    join(&mut ring[last], &mut first, &mut Report::new(Paper::MM));
    ring[0] = first;
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
            report.point(at)
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

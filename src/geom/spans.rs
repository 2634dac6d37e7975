//! Sets of spans along loops: merged to maximal runs, and one set less another.
//!
//! ```text
//!    ---- ----    ---       sorted by where they start, each either goes on with the run before
//!       -----               it or starts a new one; the last may pass the loop's first point
//!    =========    ===
//! ```
//!
//! Common practice, no source.

use super::{Loop, Span};

/// An interval of a loop that does not pass its first point.
type Interval = (f64, f64);

/// The spans as maximal runs in order of loop and start: those that overlap, or lie no more
/// than `gap` apart, become one, also over the loop's first point. A loop that is covered
/// whole is one span of its whole length. Spans no longer than `gap` are dropped.
pub fn merged(loops: &[Loop], spans: &[Span], gap: f64) -> Vec<Span> {
    let mut all = Vec::new();
    for (on, (one, own)) in loops.iter().zip(flat(loops, spans)).enumerate() {
        let runs = joined(own, gap);
        all.extend(
            closed_up(runs, one.length(), gap)
                .into_iter()
                .filter(|run| gap < run.1 - run.0)
                .map(|(from, to)| Span { on, from, length: to - from }),
        );
    }
    all
}

/// What of `spans` no span of `others` covers, in pieces longer than `least`.
pub(super) fn less(
    loops: &[Loop],
    spans: &[Span],
    others: &[Span],
    least: f64,
) -> Vec<Span> {
    let mut all = Vec::new();
    let both = flat(loops, spans).into_iter().zip(flat(loops, others));
    for (on, (one, (own, others))) in loops.iter().zip(both).enumerate() {
        let holes = joined(others, 0.0);
        let mut rest = Vec::new();
        for (mut from, to) in joined(own, 0.0) {
            // Holes are in order and do not overlap.
            let first = holes.partition_point(|hole| hole.1 <= from);
            for hole in holes[first..].iter().take_while(|hole| hole.0 < to) {
                rest.push((from, hole.0));
                from = hole.1;
            }
            rest.push((from, to));
        }
        let rest = rest.into_iter().filter(|run| 0.0 < run.1 - run.0).collect();
        all.extend(
            closed_up(rest, one.length(), 0.0)
                .into_iter()
                .filter(|run| least < run.1 - run.0)
                .map(|(from, to)| Span { on, from, length: to - from }),
        );
    }
    all
}

/// The spans as intervals of each loop, cut at the loop's first point.
fn flat(loops: &[Loop], spans: &[Span]) -> Vec<Vec<Interval>> {
    let mut all = vec![Vec::new(); loops.len()];
    for span in spans {
        let whole = loops[span.on].length();
        let (from, to) = (span.from, span.from + span.length.min(whole));
        all[span.on].push((from, to.min(whole)));
        if whole < to {
            all[span.on].push((0.0, to - whole));
        }
    }
    all
}

/// Intervals as maximal ones, in order: those no more than `gap` apart become one.
fn joined(mut intervals: Vec<Interval>, gap: f64) -> Vec<Interval> {
    intervals.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut runs: Vec<Interval> = Vec::new();
    for (from, to) in intervals {
        match runs.last_mut() {
            Some(last) if from <= last.1 + gap => last.1 = last.1.max(to),
            _ => runs.push((from, to)),
        }
    }
    runs
}

/// Joins the last run with the first where they meet at the loop's first point.
fn closed_up(mut runs: Vec<Interval>, whole: f64, gap: f64) -> Vec<Interval> {
    let [first, .., last] = runs.as_mut_slice() else {
        for run in &mut runs {
            if whole - gap <= run.1 - run.0 {
                *run = (0.0, whole);
            }
        }
        return runs;
    };
    if first.0 + whole <= last.1 + gap {
        last.1 = whole + first.1;
        if whole - gap <= last.1 - last.0 {
            return vec![(0.0, whole)];
        }
        runs.remove(0);
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;

    fn square() -> Vec<Loop> {
        let at = Point::new;
        vec![Loop::polygon(&[at(0.0, 0.0), at(4.0, 0.0), at(4.0, 4.0), at(0.0, 4.0)])]
    }

    fn span(from: f64, length: f64) -> Span {
        Span { on: 0, from, length }
    }

    #[test]
    fn runs_join_over_the_first_point() {
        let spans = [span(14.0, 2.0), span(0.0, 3.0), span(5.0, 1.0)];
        assert_eq!(
            merged(&square(), &spans, 1e-6),
            [span(5.0, 1.0), span(14.0, 5.0)],
            "the last and the first are one"
        );
    }

    #[test]
    fn a_loop_touched_all_round_is_one_span() {
        let spans = [span(10.0, 8.0), span(2.0, 8.0)];
        assert_eq!(merged(&square(), &spans, 1e-6), [span(0.0, 16.0)], "once round");
    }

    #[test]
    fn what_is_left_of_a_span_may_pass_the_first_point() {
        let rest = less(&square(), &[span(0.0, 16.0)], &[span(3.0, 4.0)], 0.1);
        assert_eq!(rest, [span(7.0, 12.0)], "round the first point");
    }
}

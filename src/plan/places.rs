//! Spans of a guide's loops, looked up by place.

use crate::geom::{Loop, Span};

/// Spans in order, so that those at a place need no search through all.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Places {
    /// For each loop where its spans begin, in order, each with its index.
    begins: Vec<Vec<(f64, usize)>>,
    /// For each loop where its spans begin and end, in order.
    borders: Vec<Vec<f64>>,
    /// How long each of the spans is.
    lengths: Vec<f64>,
    /// How long the longest of each loop is.
    longest: Vec<f64>,
}

impl Places {
    /// Puts spans of these loops in order.
    pub(super) fn new(loops: &[Loop], spans: impl IntoIterator<Item = Span>) -> Self {
        let mut begins = vec![Vec::new(); loops.len()];
        let mut borders = vec![Vec::new(); loops.len()];
        let mut longest = vec![0.0_f64; loops.len()];
        let mut lengths = Vec::new();
        for (index, span) in spans.into_iter().enumerate() {
            let ring = &loops[span.on];
            begins[span.on].push((ring.wrapped(span.from), index));
            borders[span.on].extend([span.from, span.to()].map(|at| ring.wrapped(at)));
            longest[span.on] = longest[span.on].max(span.length);
            lengths.push(span.length);
        }
        for all in &mut begins {
            all.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        for all in &mut borders {
            all.sort_by(f64::total_cmp);
        }
        Self { begins, borders, lengths, longest }
    }

    /// The first span that holds a place of a loop.
    pub(super) fn at(&self, (ring, on): (&Loop, usize), along: f64) -> Option<usize> {
        let begins = &self.begins[on];
        let along = ring.wrapped(along);
        let before = begins.partition_point(|&(from, _)| from <= along);
        let back = begins[..before].iter().rev().chain(begins[before..].iter().rev());
        let near = back
            .map(|&(from, index)| (ring.wrapped(along - from), index))
            .take_while(|&(gone, _)| gone <= self.longest[on]);
        near.filter(|&(gone, index)| gone <= self.lengths[index])
            .map(|(_, index)| index)
            .min()
    }

    /// The spans that a run and `by` mm on either side of it share a place with, in order.
    pub(super) fn touching(&self, ring: &Loop, run: &Span, by: f64) -> Vec<usize> {
        let begins = &self.begins[run.on];
        let from = ring.wrapped(run.from - by);
        let length = (run.length + 2.0 * by).min(ring.length());
        let after = begins.partition_point(|&(begin, _)| begin < from);
        let onward = begins[after..].iter().chain(&begins[..after]);
        let begun =
            onward.take_while(|&&(begin, _)| ring.wrapped(begin - from) <= length);
        let mut found: Vec<usize> = begun.map(|&(_, index)| index).collect();
        let before = begins[..after].iter().rev().chain(begins[after..].iter().rev());
        let gone = |&&(begin, _): &&(f64, usize)| ring.wrapped(from - begin);
        let running = before
            .take_while(|it| gone(it) <= self.longest[run.on])
            .filter(|it| gone(it) <= self.lengths[it.1]);
        found.extend(running.map(|&(_, index)| index));
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Where spans begin or end within a run, from its start.
    pub(super) fn borders_in(&self, ring: &Loop, run: &Span) -> Vec<f64> {
        let borders = &self.borders[run.on];
        let first = borders.partition_point(|&at| at < run.from);
        let onward = borders[first..].iter().chain(&borders[..first]);
        onward
            .map(|at| ring.wrapped(at - run.from))
            .take_while(|&offset| offset < run.length)
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;

    /// Basis: the same by looking through all of them, at places all round a loop.
    #[test]
    fn a_place_finds_the_span_that_a_search_finds() {
        let at = Point::new;
        let corners = [at(0.0, 0.0), at(30.0, 0.0), at(30.0, 20.0), at(0.0, 20.0)];
        let ring = Loop::polygon(&corners);
        let span = |from, length| Span { on: 0, from, length };
        let spans =
            [span(90.0, 20.0), span(15.0, 30.0), span(20.0, 2.0), span(60.0, 10.0)];
        let places = Places::new(std::slice::from_ref(&ring), spans);
        let (mut held, mut free) = (0, 0);
        for tenth in 0..1000_u32 {
            let along = f64::from(tenth) / 10.0 + 0.05;
            let holds = |span: &Span| ring.wrapped(along - span.from) <= span.length;
            let found = places.at((&ring, 0), along);
            assert_eq!(found, spans.iter().position(holds), "at {along}");
            if found.is_some() { held += 1 } else { free += 1 }
        }
        assert_eq!((held, free), (600, 400), "60 of the 100 mm round it are held");
        let touched = |run: Span, by: f64| places.touching(&ring, &run, by);
        assert_eq!(touched(span(46.0, 10.0), 0.5), [0; 0], "between two");
        assert_eq!(touched(span(46.0, 13.5), 0.5), [3], "up to one");
        assert_eq!(touched(span(16.0, 1.0), 0.0), [1], "within one");
        assert_eq!(touched(span(95.0, 30.0), 0.0), [0, 1, 2], "over the first point");
        assert_eq!(touched(span(0.0, 100.0), 1.0), [0, 1, 2, 3], "all round");
        let run = span(85.0, 40.0);
        assert_eq!(places.borders_in(&ring, &run), [5.0, 25.0, 30.0, 35.0, 37.0]);
    }
}

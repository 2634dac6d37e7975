//! The places where touches end along the loops, or those where they start, in order: one of each
//! knee.
//!
//! ```text
//!   ====A.......B====A......B===     along a loop touches end at A and start at B by turns: after
//!       wall         wall            A comes a wall up to the next B, after B a touch up to the
//!                                    next A, and after the last one the first
//! ```
//!
//! Our own.

use super::trim::{Knee, Place};

/// One place of each knee, in the order along the loops.
#[derive(Debug)]
pub(super) struct Places {
    /// The loop and the key of each place, and its knee.
    all: Vec<(usize, f64, usize)>,
}

impl Places {
    /// That place of each knee which `place` tells.
    pub(super) fn of(knees: &[Knee], place: impl Fn(&Knee) -> Place) -> Self {
        let mut all: Vec<(usize, f64, usize)> = knees
            .iter()
            .enumerate()
            .map(|(index, knee)| (place(knee), index))
            .map(|(place, index)| (place.on, place.key(), index))
            .collect();
        all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        Self { all }
    }

    /// The knee of the first of them at `from` or after it, round its loop, and whether the loop's
    /// first point is passed on the way there; no knee where the loop has none.
    pub(super) fn next(&self, from: &Place) -> (Option<usize>, bool) {
        let first = self.all.partition_point(|end| end.0 < from.on);
        let last = self.all.partition_point(|end| end.0 <= from.on);
        let own = &self.all[first..last];
        let later = own.partition_point(|end| end.1 < from.key());
        let wraps = later == own.len();
        (own.get(if wraps { 0 } else { later }).map(|end| end.2), wraps)
    }
}

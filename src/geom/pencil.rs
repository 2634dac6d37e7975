//! The circles through two points, and which of them a run of points follows.
//!
//! In the frame of the chord from the first point to the last, half of it `a` long, every circle
//! through both ends is `y = q (a² − x² − y²)` for one number `q`; zero is the line. A point that
//! may be off by `e` allows `y − e <= q w <= y + e`, with `w = a² − x² − y²`: an interval of `q`.
//! One pass over the points cuts these intervals with each other, and what is left are all the
//! circles that follow them all: the slope of `y − q w` is nowhere on a circle below one, so that
//! no point is farther off than `e`.
//!
//! ```text
//!            . - ' | ' - .
//!        . '       | y     ' .
//!      /           |           \
//!   first -------- + ---- a --- last    x
//! ```
//!
//! Geometry; cutting the intervals in one pass is our own.

use super::point::{larger, smaller};
use super::{Point, Vector};
use std::ops::Range;

/// So many points of a long run are looked at before all are.
const PROBES: usize = 16;
/// A run as short as this is not probed.
const SHORT: usize = 2 * PROBES;
/// The largest `q` times the chord: an arc of about a quarter turn.
const MOST_BEND: f64 = 0.9;

/// The circles through the ends of a run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pencil {
    middle: Point,
    /// From the first end to the last, length one.
    along: Vector,
    /// Half the chord.
    half: f64,
}

/// One circle of a pencil.
#[derive(Debug, Clone, Copy)]
pub(super) struct Round {
    pencil: Pencil,
    q: f64,
}

impl Pencil {
    /// The pencil of two points that are not one.
    pub(super) fn of(from: Point, to: Point) -> Option<Self> {
        let chord = to - from;
        let along = chord.unit()?;
        Some(Self { middle: from.middle(to), along, half: chord.length() / 2.0 })
    }

    /// The circle that all these points follow within `tolerance`: the line if it will do.
    pub(super) fn through(&self, points: &[Point], tolerance: f64) -> Option<Round> {
        let most = MOST_BEND / (2.0 * self.half);
        let mut range = -most..most;
        if SHORT < points.len() {
            let probes = points.iter().step_by(points.len() / PROBES);
            range = self.narrowed(probes, range, tolerance)?;
        }
        let Range { start, end } = self.narrowed(points.iter(), range, tolerance)?;
        let straight = start <= 0.0 && 0.0 <= end;
        let q = if straight { 0.0 } else { f64::midpoint(start, end) };
        Some(Round { pencil: *self, q })
    }

    /// What these points leave of a range of `q`.
    fn narrowed<'a>(
        &self,
        points: impl Iterator<Item = &'a Point>,
        Range { mut start, mut end }: Range<f64>,
        tolerance: f64,
    ) -> Option<Range<f64>> {
        let square = self.half * self.half;
        for &point in points {
            let way = point - self.middle;
            let (x, y) = (way.dot(self.along), self.along.cross(way));
            let w = square - way.dot(way);
            if 0.0 < w {
                start = larger(start, (y - tolerance) / w);
                end = smaller(end, (y + tolerance) / w);
                if end < start {
                    return None;
                }
            } else if tolerance < y.abs() || self.half + tolerance < x.abs() {
                return None;
            }
        }
        Some(start..end)
    }
}

impl Round {
    /// The direction of travel at a point near it.
    pub(super) fn direction(&self, at: Point) -> Vector {
        let Pencil { middle, along, .. } = self.pencil;
        let way = at - middle;
        let (x, y) = (way.dot(along), along.cross(way));
        // The gradient of `y − q w`, a quarter turn to the right.
        let run = along * (1.0 + 2.0 * self.q * y) - along.left() * (2.0 * self.q * x);
        run.unit().unwrap_or(along)
    }

    /// How far the ends are apart.
    pub(super) fn chord(&self) -> f64 {
        2.0 * self.pencil.half
    }
}

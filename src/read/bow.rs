//! A run of an ellipse as drawings give it, and the strokes it becomes.

use std::f64::consts::{PI, TAU};

use super::Stroke;
use crate::geom::{Piece, Point, Vector, tolerance};

/// A run of an ellipse: `centre + x·cos a + y·sin a` for `a` from `start` by `sweep`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bow {
    /// Where it starts.
    pub(super) from: Point,
    /// Where it ends.
    pub(super) to: Point,
    /// The centre.
    pub(super) centre: Point,
    /// From the centre to where `a` is zero.
    pub(super) x: Vector,
    /// From the centre to where `a` is a quarter turn.
    pub(super) y: Vector,
    /// Where it starts, in radians.
    pub(super) start: f64,
    /// How far it goes, signed.
    pub(super) sweep: f64,
}

impl Bow {
    /// What it becomes: arcs of at most a half turn where it is circular.
    pub(super) fn strokes(&self) -> Vec<Stroke> {
        if self.is_circular() {
            return self.arcs().into_iter().map(Stroke::Piece).collect();
        }
        let Self { centre, x, y, start, sweep, .. } = *self;
        vec![Stroke::Ellipse { centre, x, y, start, sweep }]
    }

    fn is_circular(&self) -> bool {
        let (a, b) = (self.x.length(), self.y.length());
        let skew = self.x.dot(self.y).abs() / a.max(b).max(tolerance::SAME_POINT);
        (a - b).abs() < tolerance::SAME_POINT && skew < tolerance::SAME_POINT
    }

    /// One arc, or two halves where it turns by more than a half turn.
    fn arcs(&self) -> Vec<Piece> {
        let sweep = self.sweep * self.x.cross(self.y).signum();
        let Self { from, to, centre, .. } = *self;
        let slack = tolerance::SAME_POINT;
        if sweep.abs() <= PI + slack {
            let sweep = sweep.clamp(-PI, PI);
            return vec![Piece::Arc { from, to, centre, sweep }];
        }
        if TAU - slack <= sweep.abs() {
            let sweep = PI.copysign(sweep);
            let middle = centre - (from - centre);
            return vec![
                Piece::Arc { from, to: middle, centre, sweep },
                Piece::Arc { from: middle, to, centre, sweep },
            ];
        }
        let first = Piece::arc_about(centre, from, sweep / 2.0);
        let second = Piece::Arc { from: first.to(), to, centre, sweep: sweep / 2.0 };
        vec![first, second]
    }
}

/// Sine and cosine of an angle in degrees, exact at the quarter turns, which drawings are full
/// of.
pub(super) fn turn(degrees: f64) -> (f64, f64) {
    let quarters = degrees / 90.0;
    if quarters.fract().abs() <= 0.0 && quarters.abs() < 1e9 {
        return match quarters.rem_euclid(4.0) {
            q if q < 0.5 => (0.0, 1.0),
            q if q < 1.5 => (1.0, 0.0),
            q if q < 2.5 => (0.0, -1.0),
            _ => (-1.0, 0.0),
        };
    }
    libm::sincos(degrees.to_radians())
}

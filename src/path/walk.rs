//! Moves along a loop: level or down a ramp, rising over the tabs.

use super::{Kind, Move};
use crate::geom::{Loop, Piece, Point};

/// A run of a loop over which the mill is lifted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lift {
    /// Where it starts, in mm along the loop.
    pub from: f64,
    /// How long it is.
    pub length: f64,
}

/// A loop to be walked, with the runs over which the mill is lifted to a level.
#[derive(Debug, Clone)]
pub(super) struct Track {
    pub ring: Loop,
    pub lifts: Vec<Lift>,
    pub top: f64,
}

/// A run to be walked.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    /// Where it starts, in mm along the loop.
    pub from: f64,
    /// How far it goes, as often round as needed.
    pub length: f64,
    /// The height at its start.
    pub high: f64,
    /// The height at its end.
    pub low: f64,
    /// What it is for.
    pub kind: Kind,
}

impl Run {
    /// A run that stays on one height.
    pub(super) const fn level(from: f64, length: f64, z: f64, kind: Kind) -> Self {
        Self { from, length, high: z, low: z, kind }
    }

    fn height(&self, gone: f64) -> f64 {
        if self.length <= 0.0 {
            return self.low;
        }
        self.high + (self.low - self.high) * (gone / self.length).min(1.0)
    }
}

/// The pen that draws moves one after the other.
#[derive(Debug)]
pub(super) struct Pen {
    pub moves: Vec<Move>,
    at: Point,
    z: f64,
}

/// Moves shorter than this are left out, in mm: they would round to nothing.
const NOTHING: f64 = 1e-6;

impl Pen {
    /// A pen at this height over a place that is not known.
    pub(super) fn new(clear: f64, first: Point) -> Self {
        let moves = vec![Move { kind: Kind::Up, to: first, z: clear, arc: None }];
        Self { moves, at: first, z: clear }
    }

    /// Straight up or down.
    pub(super) fn height(&mut self, z: f64, kind: Kind) {
        if NOTHING < (z - self.z).abs() {
            self.push(Move { kind, to: self.at, z, arc: None });
        }
    }

    /// A straight line on the level.
    pub(super) fn line(&mut self, to: Point, kind: Kind) {
        if NOTHING < to.distance(self.at) {
            self.push(Move { kind, to, z: self.z, arc: None });
        }
    }

    /// A piece, ending at this height.
    pub(super) fn piece(&mut self, piece: &Piece, z: f64, kind: Kind) {
        if piece.length() <= NOTHING {
            return;
        }
        let arc = match *piece {
            Piece::Line { .. } => None,
            Piece::Arc { centre, sweep, .. } => Some((centre, sweep)),
        };
        self.push(Move { kind, to: piece.to(), z, arc });
    }

    fn push(&mut self, step: Move) {
        (self.at, self.z) = (step.to, step.z);
        self.moves.push(step);
    }

    /// Walks a run of a track, in stretches that lie wholly over a tab or wholly beside.
    pub(super) fn walk(&mut self, track: &Track, run: &Run) {
        let mut gone = 0.0;
        while NOTHING < run.length - gone {
            let along = track.ring.wrapped(run.from + gone);
            let (lifted, until) = track.next(along);
            let step = until.min(run.length - gone).min(track.ring.length());
            let least = if lifted { track.top } else { f64::NEG_INFINITY };
            let stretch = Run {
                from: along,
                length: step,
                high: run.height(gone).max(least),
                low: run.height(gone + step).max(least),
                kind: if lifted { Kind::OverTab } else { run.kind },
            };
            self.height(
                stretch.high,
                if stretch.high < self.z { Kind::Down } else { Kind::Up },
            );
            self.stretch(&track.ring, &stretch);
            gone += step;
        }
    }

    /// One stretch, its height changing evenly along it.
    fn stretch(&mut self, ring: &Loop, run: &Run) {
        let pieces = ring.run(run.from, run.length);
        let whole: f64 = pieces.iter().map(Piece::length).sum();
        let mut gone = 0.0;
        for piece in &pieces {
            gone += piece.length();
            let share = if 0.0 < whole { gone / whole } else { 1.0 };
            self.piece(piece, run.high + (run.low - run.high) * share, run.kind);
        }
    }
}

impl Track {
    /// Whether the mill is lifted just after `along`, and how far on that changes.
    fn next(&self, along: f64) -> (bool, f64) {
        let mut until = f64::INFINITY;
        for lift in &self.lifts {
            let past = self.ring.wrapped(along - lift.from);
            let before = self.ring.length() - past;
            if past < lift.length - NOTHING {
                return (true, lift.length - past);
            }
            if NOTHING < before {
                until = until.min(before);
            } else {
                return (true, lift.length + before);
            }
        }
        (false, until)
    }
}

//! Moves along a loop: level, over the tabs, or down by ramps.
//!
//! ```text
//!  in turns        to and fro
//!  o - .           o - .            a short ring is gone round as it falls; between tabs the mill
//!        ' - .     . - '            goes out and back, and comes to where it began, lower; the lap
//!              o   o                after it takes what is left under the ramp
//! ```
//!
//! Common practice, no source; how steep: see [`super::ramp`].

use super::ramp::{fall, falls, is_worth, joined, slope};
use super::{Kind, Move};
use crate::diag::{Failure, Place, Problem, Source};
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

/// A stretch of a walk that lies wholly over a tab or wholly beside.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    pub from: f64,
    pub length: f64,
    pub lifted: bool,
}

/// The pen that draws moves one after the other.
#[derive(Debug)]
pub(super) struct Pen {
    pub moves: Vec<Move>,
    /// Where it is; nowhere until it has gone to its first cut.
    at: Option<Point>,
    z: f64,
    /// The mill's radius.
    mill: f64,
}

/// Moves shorter than this are left out, in mm: they would round to nothing.
const NOTHING: f64 = 1e-6;

/// No arc turns farther, in radians (geometry: the wrong way round it would be more than a half
/// circle, which no program of ours holds and the proof refuses).
const LONGEST_SWEEP: f64 = 2.2;

impl Pen {
    /// A pen for a mill of this radius, at this height over a place that is not known.
    pub(super) fn new(mill: f64, clear: f64, first: Point) -> Self {
        let moves = vec![Move { kind: Kind::Up, to: first, z: clear, arc: None }];
        Self { moves, at: None, z: clear, mill }
    }

    /// Where it is, or at first where it would best be.
    pub(super) fn place(&self) -> Point {
        self.at.unwrap_or(self.moves[0].to)
    }

    /// Straight up or down.
    pub(super) fn height(&mut self, z: f64, kind: Kind) {
        if NOTHING < (z - self.z).abs() {
            self.push(Move { kind, to: self.place(), z, arc: None });
        }
    }

    /// A straight line on the level.
    pub(super) fn line(&mut self, to: Point, kind: Kind) {
        if self.at.is_none_or(|at| NOTHING < to.distance(at)) {
            self.push(Move { kind, to, z: self.z, arc: None });
        }
    }

    /// A piece, ending at this height; a long arc in two.
    pub(super) fn piece(&mut self, piece: &Piece, z: f64, kind: Kind) {
        if piece.length() <= NOTHING {
            return;
        }
        let arc = match *piece {
            Piece::Line { .. } => None,
            Piece::Arc { sweep, .. } if LONGEST_SWEEP < sweep.abs() => {
                self.piece(&piece.part(0.0, 0.5), f64::midpoint(self.z, z), kind);
                self.piece(&piece.part(0.5, 1.0), z, kind);
                return;
            }
            Piece::Arc { centre, sweep, .. } => Some((centre, sweep)),
        };
        self.push(Move { kind, to: piece.to(), z, arc });
    }

    fn push(&mut self, step: Move) {
        (self.at, self.z) = (Some(step.to), step.z);
        self.moves.push(step);
    }

    /// On the level along a ring.
    pub(super) fn level(&mut self, ring: &Loop, (from, length): (f64, f64), kind: Kind) {
        for piece in ring.run(from, length) {
            self.piece(&piece, self.z, kind);
        }
    }

    /// Down to a level by ramps that begin and end at one place of a track and stay between
    /// its tabs: in turns where the ring is short, else to and fro. A lap on that level must
    /// follow, which cuts what is left under the ramps.
    pub(super) fn sink(
        &mut self,
        track: &Track,
        at: f64,
        low: f64,
    ) -> Result<(), Failure> {
        let drop = self.z - low;
        if drop <= NOTHING {
            return Ok(());
        }
        let turn = joined(&track.ring.run(at, track.ring.length()));
        if track.lifts.is_empty() && falls(&turn, self.mill) <= drop {
            if !is_worth(&turn, self.mill) {
                return Err(no_ramp(self.place()));
            }
            return self.ramps(&[turn], low);
        }
        let there = track.leg(at, (drop, self.mill));
        let back = there.iter().rev().map(Piece::reversed).collect();
        self.ramps(&[there, back], low)
    }

    /// Down to a level along these ways, one after the other, as often as it takes.
    fn ramps(&mut self, ways: &[Vec<Piece>], low: f64) -> Result<(), Failure> {
        let high = self.z;
        let once: f64 = ways.iter().map(|way| falls(way, self.mill)).sum();
        if once <= NOTHING {
            return Err(no_ramp(self.place()));
        }
        let times = ((high - low) / once).ceil();
        let whole = times * once;
        let mut gone = 0.0;
        for _ in (1u32..).take_while(|&n| f64::from(n) <= times) {
            for piece in ways.iter().flatten() {
                gone += fall(piece, self.mill);
                self.piece(piece, high + (low - high) * (gone / whole), Kind::Ramp);
            }
        }
        self.z = low;
        if let Some(last) = self.moves.last_mut() {
            last.z = low; // rounding
        }
        Ok(())
    }
}

/// Why there is no way down.
fn no_ramp(at: Point) -> Failure {
    let problem = Problem::stop(
        "no-ramp",
        "there is no room for the end mill to go down by a ramp of at most 3 degrees",
        "use another end mill, or cut it by hand",
    );
    let place = Place::whole(Source::Drawing, "template").at(at.x, at.y);
    Failure::refused(problem.at(place))
}

impl Track {
    /// The same, to be walked the other way round.
    pub(super) fn turned_round(&self) -> Self {
        let back = |lift: &Lift| Lift {
            from: self.ring.wrapped(self.ring.length() - lift.from - lift.length),
            length: lift.length,
        };
        let lifts = self.lifts.iter().map(back).collect();
        Self { ring: self.ring.reversed(), lifts, top: self.top }
    }

    /// A run of it in stretches over tabs and beside.
    pub(super) fn stretches(&self, from: f64, length: f64) -> Vec<Stretch> {
        let mut stretches = Vec::new();
        let mut gone = 0.0;
        while NOTHING < length - gone {
            let along = self.ring.wrapped(from + gone);
            let (lifted, until) = self.next(along);
            let step = until.min(length - gone).min(self.ring.length());
            stretches.push(Stretch { from: along, length: step, lifted });
            gone += step;
        }
        stretches
    }

    /// Where the stretch between tabs starts in which a place lies; the place itself where
    /// there are no tabs.
    pub(super) fn gap_start(&self, along: f64) -> f64 {
        let (_, behind) = self.room(along);
        if self.lifts.is_empty() { along } else { self.ring.wrapped(along - behind) }
    }

    /// Where the stretch between tabs nearest to a point that just left a tab starts.
    pub(super) fn gap_near(&self, point: Point) -> f64 {
        let starts = self.lifts.iter().map(|lift| lift.from + lift.length);
        let far = |along: f64| self.ring.at(along).distance(point);
        let nearest = starts.min_by(|&a, &b| far(a).total_cmp(&far(b)));
        self.ring.wrapped(nearest.unwrap_or_else(|| self.ring.nearest(point)))
    }

    /// How far it is from a place to the next tab, and to the last one.
    fn room(&self, along: f64) -> (f64, f64) {
        let whole = self.ring.length();
        let near = |gap: f64| {
            let gap = self.ring.wrapped(gap);
            if whole - gap < NOTHING { 0.0 } else { gap }
        };
        let pairs = self
            .lifts
            .iter()
            .map(|lift| (near(lift.from - along), near(along - lift.from - lift.length)));
        pairs.fold((whole, whole), |least, gap| (least.0.min(gap.0), least.1.min(gap.1)))
    }

    /// The way out from a place, towards the farther tab, on which a ramp there and back falls
    /// by `drop` for a mill of this radius; shorter where there is no room.
    fn leg(&self, at: f64, (drop, mill): (f64, f64)) -> Vec<Piece> {
        let (ahead, behind) = self.room(at);
        let room = ahead.max(behind);
        let mut length = drop / (2.0 * slope());
        loop {
            let run = if behind <= ahead {
                self.ring.run(at, length.min(room))
            } else {
                let length = length.min(room);
                let run = self.ring.run(self.ring.wrapped(at - length), length);
                run.iter().rev().map(Piece::reversed).collect()
            };
            let way = joined(&run);
            if room <= length || drop <= 2.0 * falls(&way, mill) {
                return way;
            }
            length *= 1.1;
        }
    }

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

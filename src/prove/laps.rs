//! Which way round edges are roughed, and which way round they are finished where no grain rules
//! it: conventionally, the part on the left of the mill, but for a finishing lap that the job
//! lets climb.

use super::cut::{Cut, LEVEL};
use super::cuts::Cuts;
use super::edge::Edges;
use super::promise::{Pledge, Promise};
use super::runs::{STEP, TOUCH, Tally};
use super::verdict::{Fault, Rule};
use crate::geom::{Point, Vector};
use crate::shop::LapWay;

/// So much farther from an edge than the allowance a lap still roughs it, in mm (from memory).
const ABOUT: f64 = 0.5;
/// Roughing is looked at so often, in mm.
const LOOK: f64 = 2.0;
/// A lead swings past beside an edge over no more than this, in mm (from memory).
const LEAST: f64 = 10.0;
/// What falls by less than this, as rise over run, is no ramp but a lap: half a degree (from
/// memory). A ramp may go to and fro.
const FALL: f64 = 0.0087;
/// An edge is beside the mill within so much of its least distance, in mm (from memory).
const BESIDE: f64 = 0.05;

/// The first place where an edge is roughed the wrong way round, and the first where one is
/// finished so.
pub(super) fn faults(cuts: &Cuts<'_>, promise: &Promise, edges: &Edges) -> Vec<Fault> {
    let laps = Laps { cuts, promise, edges };
    laps.rough().into_iter().chain(laps.finish()).collect()
}

/// On which side of a mill on its way an edge lies.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
    /// On both, or on neither.
    Unclear,
}

struct Laps<'a> {
    cuts: &'a Cuts<'a>,
    promise: &'a Promise,
    edges: &'a Edges,
}

impl Laps<'_> {
    fn pledge(&self, index: usize) -> &Pledge {
        &self.promise.loops[index]
    }

    /// On which side the edge of a loop lies that is so far from a place, to within `slack`.
    fn side(
        &self,
        (at, way): (Point, Vector),
        far: f64,
        (index, slack): (usize, f64),
    ) -> Side {
        let is_there = |out: Vector| {
            self.edges.near_point_of(at + out * far, slack, |n| n == index).is_some()
        };
        match (is_there(way.left()), is_there(way.right())) {
            (true, false) => Side::Left,
            (false, true) => Side::Right,
            _ => Side::Unclear,
        }
    }

    /// The first place where the mill has climbed on the level for too long, beside an edge that
    /// a later lap finishes.
    fn rough(&self) -> Option<Fault> {
        let level = -self.promise.machine.scribe_depth.mm() - LEVEL;
        let (mut gone, mut climbed) = (0.0, 0.0);
        for cut in self.cuts.iter() {
            let Some(shape) = cut.below(level).filter(|_| !cut.rapid) else {
                (gone, climbed) = (0.0, 0.0);
                continue;
            };
            let length = shape.length();
            let fall = (cut.high - cut.low) / cut.shape.length().max(LEVEL);
            let mut at = LOOK - gone;
            while at <= length {
                let share = at / length;
                let place = (shape.at(share), shape.direction(share));
                match self.roughed(place, cut.radius) {
                    Some((_, Side::Right)) => climbed += LOOK * (1.0 - fall / FALL),
                    Some((_, Side::Unclear)) => {}
                    Some((_, Side::Left)) | None => climbed = 0.0,
                }
                climbed = f64::max(climbed, 0.0);
                if LEAST < climbed {
                    let what = self.promise.machine.cuts();
                    let text =
                        format!("it roughs with the {what} on the mill's right: a climb");
                    return Some(cut.fault(Rule::Direction, text));
                }
                at += LOOK;
            }
            gone = LOOK - (at - length);
        }
        None
    }

    /// The loop that a mill of this radius roughs at a place, and on which side of it it lies.
    fn roughed(&self, place: (Point, Vector), radius: f64) -> Option<(usize, Side)> {
        let most = radius + self.promise.machine.allowance.mm() + ABOUT;
        let is_lapped = |index: usize| {
            let pledge = self.pledge(index);
            pledge.lap.is_some() || pledge.wood.is_some()
        };
        let (far, index) = self.edges.near_point_of(place.0, most, is_lapped)?;
        (radius + TOUCH < far).then(|| (index, self.side(place, far, (index, BESIDE))))
    }

    /// The first place where an edge has been finished the other way round than promised for
    /// longer than a lead touches it.
    fn finish(&self) -> Option<Fault> {
        let lapped = |pledge: &&Pledge| pledge.lap.is_some();
        let bottoms = self.promise.loops.iter().filter(lapped).map(|it| self.bottom(it));
        let deepest = bottoms.fold(f64::NEG_INFINITY, f64::max);
        let mut roughed = Roughed::new(self);
        let mut tally = Tally::default();
        for cut in self.cuts.iter() {
            roughed.take(&cut);
            let length = cut.shape.length();
            if cut.rapid || deepest < cut.high.max(cut.low) {
                tally = Tally::default();
                continue;
            }
            let reach = cut.radius + TOUCH;
            let may = |index: usize| self.pledge(index).lap.is_some();
            if self.edges.near_shape(&cut.shape, reach, may).is_none() {
                tally.off(length);
                continue;
            }
            let steps = (length / STEP).ceil();
            for step in (1u32..).map(f64::from).take_while(|step| *step <= steps) {
                // Looked at in the middle of each step.
                match self.finished(&cut, (step - 0.5) / steps, &roughed) {
                    None => tally.off(length / steps),
                    Some(true) => tally = Tally::default(),
                    Some(false) if tally.wrong(length / steps) => {
                        return Some(cut.fault(Rule::Direction, self.text()));
                    }
                    Some(false) => {}
                }
            }
        }
        None
    }

    /// Whether a move finishes an edge at a place as promised; nothing where it finishes none.
    fn finished(&self, cut: &Cut, share: f64, roughed: &Roughed<'_>) -> Option<bool> {
        let place = (cut.shape.at(share), cut.shape.direction(share));
        let is_at = |index: usize| {
            let pledge = self.pledge(index);
            pledge.lap.is_some() && cut.high.max(cut.low) <= self.bottom(pledge)
        };
        let (_, index) = self.edges.near_point_of(place.0, cut.radius + TOUCH, is_at)?;
        let due = self.pledge(index).lap?;
        let side = self.side(place, cut.radius, (index, TOUCH));
        Some(match due {
            LapWay::Conventional => side != Side::Right,
            // What was not roughed is cut in one, and never climbed.
            LapWay::Climb => side != Side::Left || !roughed.is(index),
        })
    }

    /// The level at which a loop counts as finished.
    fn bottom(&self, pledge: &Pledge) -> f64 {
        self.promise.bottom_of(pledge.hold) + LEVEL
    }

    fn text(&self) -> String {
        let what = self.promise.machine.cuts();
        match self.promise.machine.finish {
            LapWay::Conventional => {
                format!(
                    "it climbs along an edge of the {what} that is to be finished conventionally"
                )
            }
            LapWay::Climb => {
                format!(
                    "it finishes an edge of the {what} conventionally that is to be climbed"
                )
            }
        }
    }
}

/// How much of each loop has been roughed before its finishing lap: asked only where that climbs.
struct Roughed<'a> {
    laps: &'a Laps<'a>,
    /// Of each loop, how much, and how long it is.
    loops: Vec<(f64, f64)>,
    gone: f64,
}

impl<'a> Roughed<'a> {
    fn new(laps: &'a Laps<'a>) -> Self {
        let climbs = laps.promise.machine.finish == LapWay::Climb;
        let length = |index| laps.edges.of(index).map(|shape| shape.length()).sum();
        let count = if climbs { laps.promise.loops.len() } else { 0 };
        Self { laps, loops: (0..count).map(|n| (0.0, length(n))).collect(), gone: 0.0 }
    }

    fn take(&mut self, cut: &Cut) {
        if self.loops.is_empty() || cut.rapid || 0.0 <= cut.high.max(cut.low) {
            return;
        }
        self.gone += cut.shape.length();
        if self.gone < LOOK {
            return;
        }
        let place = (cut.shape.at(0.5), cut.shape.direction(0.5));
        if let Some((index, _)) = self.laps.roughed(place, cut.radius) {
            self.loops[index].0 += self.gone;
        }
        self.gone = 0.0;
    }

    /// Whether a lap went round a loop, half of it at the least, before it is finished.
    fn is(&self, index: usize) -> bool {
        self.loops.get(index).is_some_and(|(gone, length)| length / 2.0 <= *gone)
    }
}

//! Which way round edges are roughed, and which way round they are cut to their line where no
//! grain rules it: conventionally, the part on the left of the mill, on the way down and on every
//! level, but for a finishing lap that the job lets climb where laps before it left a little.
//!
//! ```text
//!    part | o ^            ^ o | part      with the part on the left of its way the mill cuts
//!    conventional             a climb      conventionally, with the part on the right it climbs
//! ```
//!
//! Geometry.

use super::cut::{Cut, LEVEL};
use super::cuts::Cuts;
use super::distance::Shape;
use super::edge::Edges;
use super::promise::{Pledge, Promise};
use super::runs::{STEP, TOUCH, Tally};
use super::verdict::{Fault, Rule};
use crate::geom::{Point, Vector};
use crate::shop::LapWay;
use std::f64::consts::TAU;

/// So much farther from an edge than the allowance a lap still roughs it, in mm (from memory).
const ABOUT: f64 = 0.5;
/// Roughing is looked at so often, in mm (geometry: a fifth of what a lead may swing past).
const LOOK: f64 = 2.0;
/// A lead swings past beside an edge over no more than this, in mm (from memory).
const LEAST: f64 = 10.0;
/// What falls by less than this, as rise over run, is no ramp but a lap: half a degree (from
/// memory). A ramp may go to and fro, and so climb on one of its two ways.
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

/// How an edge is cut to its line.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    /// As promised.
    Due,
    Climbed,
    NotClimbed,
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

    /// The first place where the mill has climbed for too long beside an edge: off its line on
    /// the level, or on the way down, on the line too.
    fn rough(&self) -> Option<Fault> {
        let (mut gone, mut lap, mut ramp) = (0.0, 0.0, Ramp::default());
        for cut in self.cuts.iter() {
            let falls = ramp.goes_on(&cut);
            if falls {
                ramp.take(&cut);
                lap = 0.0;
            } else if let Some(climbed) = ramp.end() {
                return Some(self.climbs(&climbed));
            }
            let shape = if falls { Some(cut.shape) } else { cut.below(self.marks()) };
            let Some(shape) = shape.filter(|_| !cut.rapid) else {
                (gone, lap) = (0.0, 0.0);
                continue;
            };
            for place in looks(&shape, LOOK, &mut gone) {
                if falls {
                    ramp.climbed += self.climbed_on_a_ramp(place, cut.radius);
                    continue;
                }
                match self.roughed(place, cut.radius) {
                    Some((_, Side::Right)) => lap += LOOK,
                    Some((_, Side::Unclear)) => {}
                    Some((_, Side::Left)) | None => lap = 0.0,
                }
                if LEAST < lap {
                    return Some(self.climbs(&cut));
                }
            }
        }
        ramp.end().map(|climbed| self.climbs(&climbed))
    }

    /// So much farther a ramp has climbed at a place, or so much of it is undone.
    fn climbed_on_a_ramp(&self, place: (Point, Vector), radius: f64) -> f64 {
        match self.beside(place, radius).map(|(_, _, side)| side) {
            Some(Side::Right) => LOOK,
            Some(Side::Left) => -LOOK,
            Some(Side::Unclear) | None => 0.0,
        }
    }

    fn climbs(&self, cut: &Cut) -> Fault {
        let what = self.promise.machine.cuts();
        let text = format!("it roughs with the {what} on the mill's right: a climb");
        cut.fault(Rule::Direction, text)
    }

    /// How long a lap is that roughs a loop all round (geometry: set out from an outline by so
    /// much, or in from an opening, a line that turns once is a whole turn of it longer or
    /// shorter).
    fn rough_lap(&self, index: usize) -> f64 {
        let pledge = self.pledge(index);
        let edge: f64 = self.edges.of(index).map(|shape| shape.length()).sum();
        let Some(machine) = self.promise.machine.with(pledge.tool) else { return edge };
        let out = TAU * (machine.end_mill.radius() + machine.allowance.mm());
        (edge + pledge.drawn.area().signum() * out).max(0.0)
    }

    /// The level under which nothing is a mark.
    fn marks(&self) -> f64 {
        -self.promise.machine.scribe_depth.mm() - LEVEL
    }

    /// The loop that a mill of this radius roughs at a place, and on which side of it it lies.
    fn roughed(&self, place: (Point, Vector), radius: f64) -> Option<(usize, Side)> {
        let (far, index, side) = self.beside(place, radius)?;
        (radius + TOUCH < far).then_some((index, side))
    }

    /// The loop beside a mill of this radius at a place, on its line or off it by the allowance:
    /// how far it is, and on which side.
    fn beside(&self, place: (Point, Vector), radius: f64) -> Option<(f64, usize, Side)> {
        let most = radius + self.promise.machine.allowance.mm() + ABOUT;
        let is_lapped = |index: usize| {
            let pledge = self.pledge(index);
            pledge.lap.is_some() || pledge.wood.is_some()
        };
        let (far, index) = self.edges.near_point_of(place.0, most, is_lapped)?;
        Some((far, index, self.side(place, far, (index, BESIDE))))
    }

    /// The first place where an edge has been cut to its line the other way round than promised
    /// for longer than a lead touches it.
    fn finish(&self) -> Option<Fault> {
        let mut roughed = Roughed::new(self);
        let (mut gone, mut tally) = (0.0, Tally::default());
        for cut in self.cuts.iter() {
            roughed.take(&cut);
            if cut.rapid || self.marks() < cut.high.max(cut.low) {
                (gone, tally) = (0.0, Tally::default());
                continue;
            }
            if is_ramp(&cut) {
                tally.off(cut.shape.length());
                continue;
            }
            for place in looks(&cut.shape, STEP, &mut gone) {
                match self.finished(&cut, place, &roughed) {
                    Some(Way::Due) => tally.right(STEP),
                    Some(wrong) if tally.wrong(STEP) => {
                        return Some(cut.fault(Rule::Direction, self.text(wrong)));
                    }
                    Some(_) => {}
                    // How near an edge is counts only where a fault is in the making.
                    None if tally.is_clean() => {}
                    None if self.is_at_an_edge(place.0, cut.radius) => tally.right(STEP),
                    None => tally.off(STEP),
                }
            }
        }
        None
    }

    /// Which way round a move cuts an edge to its line at a place; nothing where no edge lies
    /// square beside it, or none that could be cut the wrong way.
    fn finished(
        &self,
        cut: &Cut,
        (at, way): (Point, Vector),
        roughed: &Roughed<'_>,
    ) -> Option<Way> {
        let touched = |out: Vector| {
            let may = |index: usize| self.pledge(index).lap.is_some();
            let touch = at + out * cut.radius;
            self.edges.near_point_of(touch, TOUCH, may).map(|(_, index)| index)
        };
        let right = touched(way.right());
        if right.is_none() && roughed.loops.is_empty() {
            return None; // a conventional cut, if any: nothing can be wrong with it
        }
        match (right, touched(way.left())) {
            (Some(index), None) if !roughed.is(index) => Some(Way::Climbed),
            // What was not roughed is cut in one, and never climbed, however high above the
            // bottom.
            (None, Some(index)) if roughed.is(index) => {
                let bottom = self.bottom(self.pledge(index));
                let is_above = bottom < cut.high.max(cut.low);
                Some(if is_above { Way::Due } else { Way::NotClimbed })
            }
            (None, None) => None,
            _ => Some(Way::Due),
        }
    }

    /// Whether a mill's rim touches an edge that has laps.
    fn is_at_an_edge(&self, at: Point, radius: f64) -> bool {
        let may = |index: usize| self.pledge(index).lap.is_some();
        self.edges.near_point_of(at, radius + TOUCH, may).is_some()
    }

    /// The level at which a loop counts as finished.
    fn bottom(&self, pledge: &Pledge) -> f64 {
        self.promise.bottom_of(pledge.hold) + LEVEL
    }

    fn text(&self, wrong: Way) -> String {
        let what = self.promise.machine.cuts();
        if wrong == Way::NotClimbed {
            return format!(
                "it finishes an edge of the {what} conventionally that is to be climbed"
            );
        }
        let why = match self.promise.machine.finish {
            LapWay::Conventional => "that is to be cut conventionally",
            LapWay::Climb => "with no lap before that leaves a little",
        };
        format!("it climbs along an edge of the {what} {why}")
    }
}

/// The way down that a mill is on: how much farther it has climbed on it than gone conventionally.
#[derive(Default)]
struct Ramp {
    climbed: f64,
    /// The last move that fell, and how far the mill has gone since.
    last: Option<(Cut, f64)>,
}

impl Ramp {
    /// Whether a move belongs to it: one that falls, or a short one between two of them.
    fn goes_on(&self, cut: &Cut) -> bool {
        let gone = self.last.map(|(_, gone)| gone + cut.shape.length());
        is_ramp(cut) || (!cut.rapid && gone.is_some_and(|gone| gone <= LOOK))
    }

    fn take(&mut self, cut: &Cut) {
        self.last = match self.last {
            Some((last, gone)) if !is_ramp(cut) => {
                Some((last, gone + cut.shape.length()))
            }
            _ => Some((*cut, 0.0)),
        };
    }

    /// Its last move, where it is over and was a climb: one to and fro is none, nor is one that
    /// goes round conventionally.
    fn end(&mut self) -> Option<Cut> {
        let Self { climbed, last } = std::mem::take(self);
        last.map(|(cut, _)| cut).filter(|_| LEAST < climbed)
    }
}

/// The places of a way that are looked at every so many mm, each with its direction; so much was
/// gone since the last one, and is at its end.
fn looks(
    shape: &Shape,
    every: f64,
    gone: &mut f64,
) -> impl Iterator<Item = (Point, Vector)> + use<> {
    let shape = *shape;
    let length = shape.length();
    let first = every - *gone;
    *gone = (*gone + length) % every;
    let all = (0u32..).map(move |n| first + every * f64::from(n));
    let shares = all.take_while(move |at| *at <= length).map(move |at| at / length);
    shares.map(move |share| (shape.at(share), shape.direction(share)))
}

/// Whether a move goes down so steeply that it is no lap.
fn is_ramp(cut: &Cut) -> bool {
    !cut.rapid && FALL * cut.shape.length().max(LEVEL) <= cut.high - cut.low
}

/// How much of each loop has been roughed before its finishing lap: asked only where that climbs.
struct Roughed<'a> {
    laps: &'a Laps<'a>,
    /// Of each loop, how much, and how long a lap is that roughs it.
    loops: Vec<(f64, f64)>,
    gone: f64,
}

impl<'a> Roughed<'a> {
    fn new(laps: &'a Laps<'a>) -> Self {
        let climbs = laps.promise.machine.finish == LapWay::Climb;
        let count = if climbs { laps.promise.loops.len() } else { 0 };
        let loops = (0..count).map(|n| (0.0, laps.rough_lap(n)));
        Self { laps, loops: loops.collect(), gone: 0.0 }
    }

    fn take(&mut self, cut: &Cut) {
        let is_lap = !cut.rapid && !is_ramp(cut) && cut.high.max(cut.low) < 0.0;
        if self.loops.is_empty() || !is_lap {
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

//! Whether a program is fit for the bench, line by line: what a careful person asks of any
//! program before starting it (common practice, no source).

use super::cut::UPRIGHT;
use super::promise::Promise;
use super::reader::{Move, Program, Step};
use super::slope::Slope;
use super::verdict::{Fault, Rule};
use crate::post::{Arcs, Spindle};
use crate::shop::Machine;
use std::f64::consts::PI;

/// How far a height may be off, in mm (geometry: the last figure of a program in inches).
const HEIGHT: f64 = 0.003;
/// A dwell for the spindle, in seconds: no less, no more (from memory).
const DWELL: std::ops::RangeInclusive<f64> = 1.0..=60.0;
/// A feed along the cut is the machine's: no less than this share of it (from memory).
const LEAST_FEED: f64 = 0.5;
/// No coordinate is larger, in mm (from memory: controllers that count in single precision).
const FARTHEST: f64 = 10_000.0;

/// What holds as the program goes on.
struct Watch<'a> {
    promise: &'a Promise,
    machine: &'a Machine,
    faults: Vec<Fault>,
    sets: Vec<&'static str>,
    moved: bool,
    high: bool,
    slope: Slope,
    /// Started, and up to speed.
    spindle: (bool, bool),
    ended: bool,
}

/// Everything that makes a program unfit for this machine.
pub(super) fn faults(
    program: &Program,
    promise: &Promise,
    machine: &Machine,
) -> Vec<Fault> {
    let mut watch = Watch {
        promise,
        machine,
        faults: Vec::new(),
        sets: Vec::new(),
        moved: false,
        high: false,
        slope: Slope::default(),
        spindle: (false, false),
        ended: false,
    };
    if !program.undeclared.is_empty() {
        let what = program.undeclared.join(", ");
        watch.fault(Rule::State, 0, format!("it moves before declaring: {what}"));
    }
    for &line in &program.doubtful {
        watch.fault(Rule::Envelope, line, "`/`, or a comment that is not plain ASCII");
    }
    let (longest, line) = program.longest;
    if promise.dialect.line_length < longest {
        watch.fault(Rule::Envelope, line, format!("the line has {longest} characters"));
    }
    for step in program.steps() {
        watch.step(&step);
    }
    if !watch.ended {
        watch.fault(Rule::End, program.lines, "it does not end with M2 or M30");
    }
    watch.faults
}

/// Whether a move ends farther away than any machine reaches.
pub(super) fn is_beyond(step: &Move) -> bool {
    step.to.iter().any(|axis| FARTHEST < axis.abs())
}

impl Watch<'_> {
    fn fault(&mut self, rule: Rule, line: usize, text: impl Into<String>) {
        self.faults.push(Fault::new(rule, line, text));
    }

    fn step(&mut self, step: &Step) {
        match *step {
            Step::Move(ref step) => self.motion(step),
            Step::Dwell(line, number) => self.dwell(line, number),
            Step::Start(line, speed, back) => self.start(line, speed, back),
            Step::Speed(line, speed) if self.spindle.0 => self.turns(line, speed),
            Step::Speed(..) => {}
            Step::Halt(line) => self.halt(line),
            Step::Pause(line) => self.pause(line),
            Step::Change(line) => self.fault(Rule::Stops, line, "it changes the tool"),
            Step::Set(line, name) => self.set(line, name),
            Step::End(line, _) => self.end(line),
        }
    }

    fn set(&mut self, line: usize, name: &'static str) {
        if name == "G91" {
            self.fault(Rule::Absolute, line, "G91: coordinates must be absolute");
        }
        if self.moved && !self.sets.contains(&name) {
            self.fault(Rule::State, line, format!("{name} on the way"));
        }
        self.sets.push(name);
    }

    fn start(&mut self, line: usize, speed: f64, back: bool) {
        if back {
            self.fault(Rule::Spindle, line, "M4: the end mill would turn backwards");
        }
        if self.promise.dialect.spindle == Spindle::ByHand {
            self.fault(Rule::Spindle, line, "M3, but the spindle is switched by hand");
        }
        if speed <= 0.0 {
            self.fault(Rule::Spindle, line, "the spindle starts without a speed");
        } else {
            self.turns(line, speed);
        }
        if !self.high {
            self.fault(Rule::Spindle, line, "the spindle starts below the clearance");
        }
        self.spindle = (true, false);
    }

    /// The turns are the job's: faster is too fast for the mill, slower makes thicker chips than
    /// its feed is reckoned for.
    fn turns(&mut self, line: usize, speed: f64) {
        let due = self.machine.rpm;
        let how = if due + 1.0 < speed {
            "too fast"
        } else if speed + 1.0 < due {
            "too slow"
        } else {
            return;
        };
        let text =
            format!("{speed:.0} turns a minute is {how}: the job's turns are {due:.0}");
        self.fault(Rule::Spindle, line, text);
    }

    fn dwell(&mut self, line: usize, number: f64) {
        let seconds = number / self.promise.dialect.dwell.in_a_second();
        if !DWELL.contains(&seconds) {
            self.fault(Rule::Spindle, line, format!("a dwell of {seconds} seconds"));
        } else if self.spindle.0 {
            self.spindle.1 = true;
        }
    }

    fn pause(&mut self, line: usize) {
        let by_hand = self.promise.dialect.spindle == Spindle::ByHand;
        if by_hand && self.high {
            // The person switches it on, and at the next pause off.
            let on = !self.spindle.0;
            self.spindle = (on, on);
        } else {
            self.fault(Rule::Stops, line, "it stops on the way");
        }
    }

    fn halt(&mut self, line: usize) {
        if !self.high {
            self.fault(Rule::End, line, "the spindle stops below the clearance");
        }
        self.spindle = (false, false);
    }

    fn end(&mut self, line: usize) {
        if !self.high {
            self.fault(Rule::End, line, "it ends below the clearance");
        }
        if self.spindle.0 && self.promise.dialect.spindle == Spindle::Words {
            self.fault(Rule::End, line, "it ends with the spindle on");
        }
        self.ended = true;
    }

    fn motion(&mut self, step: &Move) {
        let lift = self.promise.z_above_top();
        let clear = self.machine.clear.mm() - HEIGHT;
        let (from, to) = (step.from[2] + lift, step.to[2] + lift);
        self.places(step);
        if self.moved {
            if step.rapid {
                self.slope = Slope::default();
                self.rapid(step, (from, to), clear);
            } else {
                self.cutting(step);
            }
        } else if !step.rapid || step.given.x || step.given.y || to < clear {
            let text = "the first move is not Z alone, up to the clearance";
            self.fault(Rule::FirstMove, step.line, text);
        }
        self.moved = true;
        self.high = clear <= to;
    }

    fn places(&mut self, step: &Move) {
        if is_beyond(step) {
            let most = self.promise.paper.fine(FARTHEST);
            let text = format!("a coordinate beyond {most}");
            self.fault(Rule::Envelope, step.line, text);
        }
        if step.bow.is_none() {
            return;
        }
        if self.promise.dialect.arcs == Arcs::None {
            self.fault(Rule::Arcs, step.line, "an arc, but the controller has none");
        }
        if step.given.radius {
            self.fault(Rule::Arcs, step.line, "an arc by its radius");
        } else if !(step.given.x && step.given.y && step.given.centre) {
            self.fault(Rule::Arcs, step.line, "an arc without all of X, Y, I and J");
        }
        if step.bow.is_some_and(|(_, sweep)| PI + 0.01 < sweep.abs()) {
            self.fault(Rule::Arcs, step.line, "an arc of more than a half circle");
        }
    }

    fn rapid(&mut self, step: &Move, (from, to): (f64, f64), clear: f64) {
        let flat = step.given.x || step.given.y;
        if flat && step.given.z && from.to_bits() != to.to_bits() {
            self.fault(Rule::FirstMove, step.line, "a rapid in Z and in X or Y");
        }
        if flat && from.min(to) < clear {
            self.fault(
                Rule::Clearance,
                step.line,
                "a rapid in X or Y below the clearance",
            );
        }
        if to < from && to < clear {
            self.fault(Rule::Clearance, step.line, "a rapid down past the clearance");
        }
    }

    fn cutting(&mut self, step: &Move) {
        if self.spindle != (true, true) {
            self.fault(
                Rule::Spindle,
                step.line,
                "it cuts before the spindle is up to speed",
            );
        }
        if step.from.iter().chain(&step.to).any(|axis| axis.is_nan()) {
            self.fault(
                Rule::FirstMove,
                step.line,
                "it cuts from a place that is not known",
            );
            return;
        }
        let (machine, paper) = (self.machine, self.promise.paper);
        let (length, down) = (step.length(), step.from[2] - step.to[2]);
        if length <= 0.0 {
            return;
        }
        let run = (length * length - down * down).max(0.0).sqrt();
        let limit = machine.feed * 1.001 + 0.5;
        if limit < step.feed {
            self.fault(
                Rule::Feed,
                step.line,
                format!("a feed of {} a minute is too fast", paper.fine(step.feed)),
            );
        }
        let sinks = step.feed * (down - HEIGHT) / length;
        if machine.plunge * 1.01 + 0.5 < sinks {
            self.fault(
                Rule::Feed,
                step.line,
                format!("it plunges at {} a minute", paper.fine(sinks)),
            );
        }
        let upright = run < UPRIGHT;
        let due = LEAST_FEED
            * machine.feed.min(if down <= 0.0 {
                machine.feed
            } else {
                machine.plunge * length / down
            });
        if !upright && step.feed < due {
            self.fault(
                Rule::Feed,
                step.line,
                format!("a feed of {} a minute along the cut", paper.fine(step.feed)),
            );
        }
        // Whether wood is where it goes straight down, the cut tells.
        if self.slope.is_steep(run, down) && !upright {
            self.fault(Rule::Depth, step.line, "a ramp steeper than 3 degrees");
        }
    }
}

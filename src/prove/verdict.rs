//! What is wrong with a program: rules broken, with line and place.

use crate::diag::{Failure, Place, Problem, Source};
use crate::geom::Point;

/// A rule a program can break.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// It is no program by the report, or holds what is not read here.
    Legal,
    /// All state is declared before anything moves, and stays.
    State,
    /// The first move is Z alone, up; rapids never mix Z with X and Y.
    FirstMove,
    /// The spindle is started, and up to speed, before anything is cut.
    Spindle,
    /// Rapids in X and Y stay above the clearance.
    Clearance,
    /// Feeds are given and are the machine's.
    Feed,
    /// Every coordinate is absolute; nothing shifts the zero.
    Absolute,
    /// It ends up high, with the spindle off and an end word.
    End,
    /// No stop and no change of tool on the way.
    Stops,
    /// Arcs are written in full and are at most half circles.
    Arcs,
    /// Ramps are no steeper than allowed, and no cut is deeper than promised.
    Depth,
    /// It stays near its blank, within what a small machine can count, and on its line length.
    Envelope,
    /// Nothing is cut from the template.
    Gouge,
    /// Everything that is to be cut is cut.
    Leftover,
    /// Tabs are as promised.
    Tabs,
    /// Nothing loose is left in an opening that is to be cleared.
    Loose,
    /// Openings and recesses are cut while the blank is still whole.
    Order,
    /// The parts lie clear of each other and on the blank.
    Layout,
    /// Bit, collet nut and spindle keep clear of clamps and screws.
    KeepOut,
    /// Edges are roughed and finished the way round that was promised; in solid wood by its
    /// grain.
    Direction,
}

impl Rule {
    /// Every rule.
    pub const ALL: [Self; 20] = [
        Self::Legal,
        Self::State,
        Self::FirstMove,
        Self::Spindle,
        Self::Clearance,
        Self::Feed,
        Self::Absolute,
        Self::End,
        Self::Stops,
        Self::Arcs,
        Self::Depth,
        Self::Envelope,
        Self::Gouge,
        Self::Leftover,
        Self::Tabs,
        Self::Loose,
        Self::Order,
        Self::KeepOut,
        Self::Layout,
        Self::Direction,
    ];

    /// A stable id in words.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Legal => "program-legal",
            Self::State => "program-state",
            Self::FirstMove => "program-first-move",
            Self::Spindle => "program-spindle",
            Self::Clearance => "program-clearance",
            Self::Feed => "program-feed",
            Self::Absolute => "program-absolute",
            Self::End => "program-end",
            Self::Stops => "program-stops",
            Self::Arcs => "program-arcs",
            Self::Depth => "program-depth",
            Self::Envelope => "program-envelope",
            Self::Gouge => "program-gouge",
            Self::Leftover => "program-leftover",
            Self::Tabs => "program-tabs",
            Self::Loose => "program-loose",
            Self::Order => "program-order",
            Self::Layout => "program-layout",
            Self::KeepOut => "program-keep-out",
            Self::Direction => "program-direction",
        }
    }
}

impl Rule {
    /// What to do about a fault.
    pub const fn advice(self) -> &'static str {
        match self {
            Self::Legal => {
                "mend that, or have the program written anew; what is not read here is not judged"
            }
            Self::State => {
                "let the first lines declare units, plane, distances, feed mode, offsets"
            }
            Self::FirstMove => {
                "let it first go straight up to the travel height, then across"
            }
            Self::Spindle => {
                "give the speed, start the spindle up high, wait for it, and only then cut"
            }
            Self::Clearance => "lift to the travel height before going across at rapid",
            Self::Feed => "give each move a feed within the machine's",
            Self::Absolute => "have it written with absolute places (G90)",
            Self::End => "let it go up, stop the spindle, and end with M2 or M30",
            Self::Stops => {
                "take out the stop or the change of tool; one program for each tool"
            }
            Self::Arcs => {
                "have arcs written with X, Y, I and J, each at most a half circle, or as lines"
            }
            Self::Depth => {
                "go down along a ramp of at most 3 degrees, and no deeper than promised"
            }
            Self::Envelope => {
                "check the line's length, its figures and where zero lies, or choose another post"
            }
            Self::Gouge => {
                "check end mill, zero and outline: the work would be spoiled here"
            }
            Self::Leftover => {
                "check end mill, depth and zero: wood is left that should be gone"
            }
            Self::Tabs => {
                "leave the tabs that the job promises: as many, as wide, as high"
            }
            Self::Loose => {
                "clear it, hold it with tabs, or leave all on a skin (`bottom = \"skin\"` under `[machine]`)"
            }
            Self::Order => "cut openings and recesses first, the outline last",
            Self::Direction => {
                "cut this edge the other way round; in solid wood it may be left standing for the plane"
            }
            Self::KeepOut => "move the clamp, or hold the blank in another way",
            Self::Layout => "take a larger blank, or lay the parts otherwise on it",
        }
    }
}

/// A rule broken.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Which.
    pub rule: Rule,
    /// Which of the programs that were judged together, from 0.
    pub program: usize,
    /// The line of the text, from 1; 0 where it is about the whole.
    pub line: usize,
    /// What was found.
    pub text: String,
    /// Where on the parts as laid, if anywhere.
    pub at: Option<Point>,
}

impl Fault {
    /// A fault on a line.
    pub(super) fn new(rule: Rule, line: usize, text: impl Into<String>) -> Self {
        Self { rule, program: 0, line, text: text.into(), at: None }
    }

    /// A fault at a place.
    pub(super) fn at(
        rule: Rule,
        line: usize,
        at: Point,
        text: impl Into<String>,
    ) -> Self {
        Self { rule, program: 0, line, text: text.into(), at: Some(at) }
    }

    /// The same fault, in one of several programs.
    pub(super) fn in_program(mut self, program: usize) -> Self {
        self.program = program;
        self
    }
}

/// Everything found wrong, in the order of the text; never empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The faults.
    pub faults: Vec<Fault>,
}

impl Verdict {
    /// Whether a rule is broken.
    pub fn breaks(&self, rule: Rule) -> bool {
        self.faults.iter().any(|fault| fault.rule == rule)
    }

    /// The refusal of a program of our own that does not prove.
    pub fn refusal(&self) -> Failure {
        let problems = self.faults.iter().take(10).map(|fault| {
            let mut place = Place::whole(Source::Program, "program");
            place.line = (0 < fault.line).then_some(fault.line);
            if let Some(at) = fault.at {
                place = place.at(at.x, at.y);
            }
            let hint = match fault.rule {
                Rule::KeepOut => "no program is handed over; move the clamp, or hold the blank in another way",
                Rule::Loose => "no program is handed over; leave all on a skin (`bottom = \"skin\"` under `[machine]`), or saw that piece by hand and draw it so",
                _ => "no program is handed over; change the end mill or the outline there, or cut it by hand",
            };
            Problem::stop(
                fault.rule.id(),
                format!("the program does not prove: {}", fault.text),
                hint,
            )
            .at(place)
        });
        Failure::Refused(problems.collect())
    }
}

//! A program's text as moves, by the states of the report: published: NIST, The NIST RS274NGC
//! Interpreter - Version 3, NISTIR 6556, 2000.

use super::arc;
use super::cycle::{Cycle, Hole};
use super::state::{Distance, Motion, Path, State};
use super::verdict::{Fault, Rule, Verdict};
use super::words::Block;
use crate::geom::Point;
use std::num::NonZeroU32;

/// Where the tool is, in mm as the program counts; an axis not yet moved is not a number.
pub(super) type Spot = [f64; 3];

/// Which of a line's words were given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "one for each word")]
pub(super) struct Given {
    pub x: bool,
    pub y: bool,
    pub z: bool,
    /// Both I and J.
    pub centre: bool,
    /// R.
    pub radius: bool,
}

/// One move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Move {
    /// The line of the text, from 1.
    pub line: usize,
    /// Whether it is a rapid.
    pub rapid: bool,
    pub(super) from: Spot,
    pub(super) to: Spot,
    /// An arc's centre and signed turn in X and Y.
    pub(super) bow: Option<(Point, f64)>,
    /// How far the arc's two ends differ in their distance from its centre.
    pub(super) slack: f64,
    /// Feed, in mm a minute.
    pub(super) feed: f64,
    pub(super) given: Given,
}

impl Move {
    /// Where it starts, in mm as the program counts.
    pub const fn start(&self) -> [f64; 3] {
        self.from
    }

    /// Its feed, in mm a minute.
    pub const fn feed(&self) -> f64 {
        self.feed
    }

    /// Where it ends, in mm as the program counts.
    pub const fn end(&self) -> [f64; 3] {
        self.to
    }

    /// An arc's centre and its turn in radians, counter-clockwise positive.
    pub const fn arc(&self) -> Option<(Point, f64)> {
        self.bow
    }

    /// Its length in space.
    pub fn length(&self) -> f64 {
        let flat = match self.bow {
            None => arc::flat(self.from).distance(arc::flat(self.to)),
            Some((centre, sweep)) => arc::flat(self.from).distance(centre) * sweep.abs(),
        };
        let up = self.to[2] - self.from[2];
        (flat * flat + up * up).sqrt()
    }
}

/// A move as a program keeps it: it starts where the one before ends, and an arc's rest stands
/// with the arcs.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Kept {
    to: Spot,
    feed: f64,
    /// Which of the arcs it is, counted from one.
    arc: Option<NonZeroU32>,
    line: u32,
    rapid: bool,
    given: Given,
}

/// What a program does, in order.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// It moves.
    Move(Move),
    /// It waits for the number after P.
    Dwell(usize, f64),
    /// The spindle starts, at this speed; the other way round when `true`.
    Start(usize, f64, bool),
    /// Its speed is given, whether or not it turns.
    Speed(usize, f64),
    /// The spindle stops.
    Halt(usize),
    /// The program waits for the person.
    Pause(usize),
    /// The tool is changed.
    Change(usize),
    /// Something is declared or set that must not change on the way.
    Set(usize, &'static str),
    /// It ends with M2 or M30.
    End(usize, u32),
}

/// A program, read.
#[derive(Debug, Clone, PartialEq)]
pub struct Program {
    moves: Vec<Kept>,
    arcs: Vec<arc::Arc>,
    /// All other steps, each with the number of moves before it.
    others: Vec<(usize, Step)>,
    /// What had not been declared when it first moved.
    pub(super) undeclared: Vec<&'static str>,
    /// Lines that are skipped or not by a switch, and those with odd comments.
    pub(super) doubtful: Vec<usize>,
    /// Lines of text, and how long the longest is, with its line.
    pub(super) lines: usize,
    pub(super) longest: (usize, usize),
    /// Everything that stood in the way of reading it.
    pub(super) faults: Vec<Fault>,
}

impl Program {
    /// Its moves.
    pub fn moves(&self) -> impl Iterator<Item = Move> + '_ {
        (0..self.moves.len()).map(|index| self.motion(index))
    }

    /// A program of these moves, one after the other; what else it does is left out.
    pub(super) fn with_moves(&self, moves: impl Iterator<Item = Move>) -> Self {
        let mut all = Reader::new().program;
        for step in moves {
            let bow = step.bow;
            all.arcs.extend(bow.map(|(centre, sweep)| arc::Arc {
                centre,
                sweep,
                mismatch: step.slack,
            }));
            let number = bow.and_then(|_| u32::try_from(all.arcs.len()).ok());
            let Move { to, feed, rapid, given, .. } = step;
            let line = u32::try_from(step.line).unwrap_or(u32::MAX);
            let arc = number.and_then(NonZeroU32::new);
            all.moves.push(Kept { to, feed, arc, line, rapid, given });
        }
        all.lines = self.lines;
        all
    }

    /// How many moves it has.
    pub(super) const fn count(&self) -> usize {
        self.moves.len()
    }

    /// One of its moves.
    pub(super) fn motion(&self, index: usize) -> Move {
        let own = &self.moves[index];
        let before = index.checked_sub(1).map(|before| self.moves[before].to);
        let bow = own.arc.map(|arc| self.arcs[arc.get() as usize - 1]);
        Move {
            line: own.line as usize,
            rapid: own.rapid,
            from: before.unwrap_or([f64::NAN; 3]),
            to: own.to,
            bow: bow.map(|arc| (arc.centre, arc.sweep)),
            slack: bow.map_or(0.0, |arc| arc.mismatch),
            feed: own.feed,
            given: own.given,
        }
    }

    /// Everything it does, in order.
    pub fn steps(&self) -> impl Iterator<Item = Step> + '_ {
        let mut others = self.others.iter().peekable();
        let mut index = 0;
        std::iter::from_fn(move || {
            if let Some((_, step)) = others.next_if(|(before, _)| *before <= index) {
                return Some(step.clone());
            }
            index += 1;
            (index <= self.count()).then(|| Step::Move(self.motion(index - 1)))
        })
    }
}

/// Reads a program.
///
/// # Errors
/// The verdict names every line that is not legal or not read here: parameters, expressions,
/// cutter compensation, shifts of the zero, other planes, unknown words.
pub fn read(text: &str) -> Result<Program, Verdict> {
    let program = Reader::new().read(text);
    if program.faults.is_empty() {
        Ok(program)
    } else {
        Err(Verdict { faults: program.faults })
    }
}

/// What some editors put before the first letter of a text.
const BYTE_ORDER_MARK: &str = "a byte-order mark stands before the first letter: save the file as \
                               plain ASCII, a controller may stumble over it";

struct Reader {
    state: State,
    program: Program,
    line: usize,
}

impl Reader {
    fn new() -> Self {
        let program = Program {
            moves: Vec::new(),
            arcs: Vec::new(),
            others: Vec::new(),
            undeclared: Vec::new(),
            doubtful: Vec::new(),
            lines: 0,
            longest: (0, 0),
            faults: Vec::new(),
        };
        Self { state: State::new(), program, line: 0 }
    }

    fn read(mut self, text: &str) -> Program {
        let (mut percents, mut ended, mut begun) = (0, false, false);
        let (mut words, mut bare) = (Block::default(), String::new());
        self.program.lines = text.lines().count();
        self.program.moves.reserve_exact(self.program.lines);
        let plain = text.strip_prefix('\u{feff}');
        for line in plain.unwrap_or(text).split('\n') {
            self.line += 1;
            if self.line == 1 && plain.is_some() {
                self.fault(BYTE_ORDER_MARK);
            }
            self.measure(line);
            match words.read(line, &mut bare) {
                Err(text) => self.fault(text),
                Ok(()) if words.percent && begun && percents == 0 => {
                    self.fault("`%` may only stand first and last");
                }
                Ok(()) if words.percent => percents += 1,
                Ok(()) => {
                    begun = begun || !line.trim().is_empty();
                    ended = self.block(&words);
                }
            }
            begun |= 0 < percents;
            if ended || percents == 2 {
                break;
            }
        }
        if !ended && percents != 2 {
            self.fault("the program has no end: no M2, no M30, no second `%`");
        }
        self.program
    }

    /// Keeps the length of the longest line.
    fn measure(&mut self, line: &str) {
        let most = self.program.longest.0;
        if most < line.len() {
            let length = line.trim_end_matches('\r').chars().count();
            if most < length {
                self.program.longest = (length, self.line);
            }
        }
    }

    fn fault(&mut self, text: impl Into<String>) {
        self.program.faults.push(Fault::new(Rule::Legal, self.line, text));
    }

    fn push(&mut self, step: Step) {
        self.program.others.push((self.program.moves.len(), step));
    }

    /// Executes one line in the order of the report's table 8; `true` where the program ends.
    fn block(&mut self, block: &Block) -> bool {
        if block.optional || block.odd_comment {
            self.program.doubtful.push(self.line);
        }
        let codes = match self.state.take(block) {
            Ok(codes) => codes,
            Err(text) => {
                self.fault(text);
                return false;
            }
        };
        for step in codes.before(self.line) {
            self.push(step);
        }
        let motion = self.state.motion_of(block, &codes);
        let moved = motion.map(|motion| self.motion(motion?, block));
        if let Some(Err(text)) = moved {
            self.fault(text);
        }
        if let Some(step) = codes.stop(self.line) {
            let ends = matches!(step, Step::End(..));
            self.push(step);
            return ends;
        }
        false
    }

    /// Moves by the motion word that holds.
    fn motion(&mut self, motion: Motion, block: &Block) -> Result<(), String> {
        if self.program.moves.is_empty() {
            self.program.undeclared = self.state.undeclared();
        }
        let to = self.target(block)?;
        match motion {
            Motion::Path(path) => self.path(path, block, to),
            Motion::Cycle(cycle) => self.cycle(cycle, block, to),
        }
    }

    /// Where the axis words lead.
    fn target(&self, block: &Block) -> Result<Spot, String> {
        let mut to = self.state.at;
        for (axis, letter) in ['X', 'Y', 'Z'].into_iter().enumerate() {
            let Some(value) = block.get(letter) else { continue };
            let value = value * self.state.scale();
            to[axis] = match self.state.distance {
                Distance::Absolute => value,
                Distance::Incremental if to[axis].is_nan() => {
                    return Err(format!(
                        "{letter} is counted from a place that is not known"
                    ));
                }
                Distance::Incremental => to[axis] + value,
            };
        }
        Ok(to)
    }

    fn path(&mut self, path: Path, block: &Block, to: Spot) -> Result<(), String> {
        let has = |letter| block.get(letter).is_some();
        let given = Given {
            x: has('X'),
            y: has('Y'),
            z: has('Z'),
            centre: has('I') && has('J'),
            radius: has('R'),
        };
        if !(given.x || given.y || given.z) {
            return Err("a motion word without X, Y or Z".to_owned());
        }
        if path != Path::Rapid && self.state.feed <= 0.0 {
            return Err("a move at feed before any F".to_owned());
        }
        let arc = match path {
            Path::Rapid | Path::Straight => None,
            Path::Clockwise | Path::Counter => {
                let words =
                    arc::Words::of(block, self.state.scale(), path == Path::Counter);
                Some(arc::about(&words, self.state.at, to)?)
            }
        };
        self.go(to, (path == Path::Rapid, given), arc)
    }

    /// Keeps a move and is where it ends.
    fn go(
        &mut self,
        to: Spot,
        (rapid, given): (bool, Given),
        arc: Option<arc::Arc>,
    ) -> Result<(), String> {
        let small = |number: usize| {
            u32::try_from(number)
                .map_err(|_too_large| "the program is too long".to_owned())
        };
        let arcs = &mut self.program.arcs;
        arcs.extend(arc);
        let arc = if arc.is_some() { NonZeroU32::new(small(arcs.len())?) } else { None };
        let (line, feed) = (small(self.line)?, self.state.feed);
        self.program.moves.push(Kept { to, feed, arc, line, rapid, given });
        self.state.at = to;
        Ok(())
    }

    /// A drilling cycle, as the moves it stands for.
    fn cycle(&mut self, cycle: Cycle, block: &Block, to: Spot) -> Result<(), String> {
        if self.state.feed <= 0.0 {
            return Err("a cycle before any F".to_owned());
        }
        let hole = Hole::of(block, &mut self.state, to)?;
        for (rapid, to) in hole.moves(cycle, self.state.at)? {
            let given = Given { x: true, y: true, z: true, centre: false, radius: false };
            if self.state.at.map(f64::to_bits) != to.map(f64::to_bits) {
                self.go(to, (rapid, given), None)?;
            }
        }
        Ok(())
    }
}

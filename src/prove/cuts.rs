//! All cuts of programs that run one after the other, each made from its move when it is asked
//! for: a million of them are not kept beside their moves.

use super::cut::Cut;
use super::promise::Promise;
use super::reader::{Move, Program};
use crate::shop::Tool;

/// The cuts of all moves from a place that is known, each with the tool that makes it.
pub(super) struct Cuts<'a> {
    runs: Vec<Run<'a>>,
    promise: &'a Promise,
}

/// The moves of one program.
struct Run<'a> {
    program: &'a Program,
    /// The number of the program.
    index: usize,
    /// How many moves the programs before it have.
    before: usize,
    /// Its tool, and half its width.
    tool: (Tool, f64),
}

impl Run<'_> {
    fn cut(&self, step: &Move, promise: &Promise) -> Cut {
        let (tool, radius) = self.tool;
        Cut::of(step, (self.index, tool, radius), promise)
    }
}

impl<'a> Cuts<'a> {
    pub(super) fn new(programs: &'a [Program], promise: &'a Promise) -> Self {
        let tools = promise.tools();
        let mut before = 0;
        let runs = programs.iter().enumerate().map(|(index, program)| {
            let (tool, machine) = &tools[index.min(tools.len() - 1)];
            let tool = (*tool, machine.end_mill.radius());
            let run = Run { program, index, before, tool };
            before += program.count();
            run
        });
        Self { runs: runs.collect(), promise }
    }

    /// The cuts in order.
    pub(super) fn iter(&self) -> impl Iterator<Item = Cut> + '_ {
        self.numbered().map(|(_, cut)| cut)
    }

    /// The same, each with its number among all moves.
    pub(super) fn numbered(&self) -> impl Iterator<Item = (usize, Cut)> + '_ {
        let known =
            |step: &Move| step.from.iter().chain(&step.to).all(|axis| axis.is_finite());
        self.runs.iter().flat_map(move |run| {
            let moves = (run.before..).zip(run.program.moves());
            let moves = moves.filter(move |(_, step)| known(step));
            moves.map(|(number, step)| (number, run.cut(&step, self.promise)))
        })
    }

    /// The cut with this number.
    pub(super) fn get(&self, number: usize) -> Cut {
        let own = self.runs.partition_point(|run| run.before <= number) - 1;
        let run = &self.runs[own];
        run.cut(&run.program.motion(number - run.before), self.promise)
    }

    /// How many moves there are.
    pub(super) fn count(&self) -> usize {
        self.runs.last().map_or(0, |run| run.before + run.program.count())
    }
}

//! The cut itself, by distances only: the largest gouge, what is left standing, the tabs.

use super::arc::flat;
use super::beside::beside;
use super::cuts::Cuts;
use super::distance::Shape;
use super::edge::{Edges, Template, winding_of};
use super::gouge::gouges;
use super::left::{Found, Standing, Swept, Work, march};
use super::mark::marks;
use super::promise::{Hold, LEAST_NECK, Pledge, Promise, TAB_SHARE, Wood};
use super::reader::{Move, Program};
use super::short::Unreached;
use super::slope::Slope;
use super::tree::Forest;
use super::verdict::{Fault, Rule};
use super::{
    Figures, adrift, astray, bite, keep_out, laps, layout, loose, order, relief, runs,
    short, wood,
};
use crate::geom::{Point, Vector};
use crate::shop::Tool;
use std::sync::Arc;

/// The most left standing that passes, in mm.
pub(super) const LEFT: f64 = 0.01;
/// How far a level may be off, in mm (geometry: the last figure of a program in inches).
pub(super) const LEVEL: f64 = 0.004;
/// How much longer than promised a neck may be, in mm.
const LONGER: f64 = 1.0;
/// How much shorter a neck may be, in mm (geometry: rounding).
const SHORTER: f64 = 0.02;
/// No more lengths of tabs than this are told.
const MOST_LENGTHS: usize = 8;
/// How near to a skin or a drilled hole's centre counts, in mm.
pub(super) const NEAR: f64 = 0.1;

/// A move over less than this is too short to be a ramp by itself, in mm (geometry: ten steps
/// of the last figure of a program in inches).
pub(super) const UPRIGHT: f64 = 0.03;

/// A move in the frame of the parts as laid, heights above the blank's top.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cut {
    /// The program and its line.
    pub line: (usize, usize),
    pub rapid: bool,
    pub shape: Shape,
    pub high: f64,
    pub low: f64,
    pub slack: f64,
    /// The tool that makes it, and half its width.
    pub tool: Tool,
    pub radius: f64,
}

impl Cut {
    pub(super) fn of(
        step: &Move,
        (program, tool, radius): (usize, Tool, f64),
        promise: &Promise,
    ) -> Self {
        let by = promise.work_zero - Point::default();
        let lift = promise.z_above_top();
        let shape = Shape { from: flat(step.from), to: flat(step.to), bow: step.bow };
        Self {
            line: (program, step.line),
            rapid: step.rapid,
            shape: shape.moved(by),
            high: step.from[2] + lift,
            low: step.to[2] + lift,
            slack: step.slack,
            tool,
            radius,
        }
    }

    /// A fault of this move.
    pub(super) fn fault(&self, rule: Rule, text: impl Into<String>) -> Fault {
        let (program, line) = self.line;
        Fault::at(rule, line, self.shape.to, text).in_program(program)
    }

    /// The part that is no higher than `level`.
    pub(super) fn below(&self, level: f64) -> Option<Shape> {
        match (self.high <= level, self.low <= level) {
            (true, true) => Some(self.shape),
            (false, false) => None,
            (first, _) => {
                let share = (self.high - level) / (self.high - self.low);
                Some(if first {
                    self.shape.part(0.0, share)
                } else {
                    self.shape.part(share, 1.0)
                })
            }
        }
    }
}

/// What was found.
pub(super) struct Judged {
    pub faults: Vec<Fault>,
    pub figures: Figures,
}

/// What is judged, and by what.
struct Judge<'a> {
    promise: &'a Promise,
    cuts: &'a Cuts<'a>,
    edges: Arc<Edges>,
    template: Template,
    faults: Vec<Fault>,
    /// The loops that no cut reaches at their depth.
    unreached: Vec<Unreached>,
    gouge: f64,
    leftover: f64,
    /// The lowest level of any move.
    deepest: f64,
    tabs: Vec<Point>,
    /// How far a way on the wood may be from where it is taken to be.
    strays: f64,
}

/// Judges what programs cut that run one after the other.
pub(super) fn judge(programs: &[Program], promise: &Promise) -> Judged {
    let wood = wood::on_wood(programs, &promise.machine);
    let cuts = Cuts::new(&wood, promise);
    let edges = Arc::new(Edges::new(&promise.loops));
    let mut judge = Judge {
        promise,
        cuts: &cuts,
        template: Template::new(&promise.loops, &edges),
        edges: Arc::clone(&edges),
        faults: Vec::new(),
        unreached: Vec::new(),
        gouge: 0.0,
        leftover: 0.0,
        deepest: 0.0,
        tabs: Vec::new(),
        strays: wood::strays(&promise.machine),
    };
    // The two longest works know nothing of each other.
    let gouges = || (gouges(promise, &cuts, &edges), adrift::faults(&cuts, promise));
    let ((gouged, adrift), before) = beside(&gouges, || judge.all_but_gouges());
    judge.gouge = gouged.deepest;
    judge.faults.splice(before..before, gouged.faults);
    judge.faults.extend(adrift);
    judge.faults.extend(order::openings_first(promise, &judge.edges, &cuts));
    let figures = judge.figures(programs);
    Judged { faults: judge.faults, figures }
}

impl Judge<'_> {
    /// Everything but the gouges; how many faults there are before theirs.
    fn all_but_gouges(&mut self) -> usize {
        self.faults.extend(layout::faults(self.promise, &self.edges));
        self.depth();
        self.entries();
        let before = self.faults.len();
        self.loops();
        let unreached = std::mem::take(&mut self.unreached);
        let at = (self.cuts, &*self.edges);
        self.faults.extend(short::faults(unreached, at, self.promise));
        self.keep_outs();
        self.faults.extend(astray::faults(self.cuts, self.promise));
        self.faults.extend(bite::fault(self.cuts, self.promise));
        self.faults.extend(laps::faults(self.cuts, self.promise, &self.edges));
        self.faults.extend(runs::faults(self.cuts, self.promise, &self.edges));
        before
    }

    /// Nothing goes deeper than promised, nor deeper than the mill stands out of its nut.
    fn depth(&mut self) {
        let lowest = |cut: &Cut| cut.high.min(cut.low);
        self.deepest = self.cuts.iter().map(|cut| lowest(&cut)).fold(0.0, f64::min);
        let first = |level: f64| {
            let is_deeper = self.deepest < level;
            is_deeper.then(|| self.cuts.iter().find(|cut| lowest(cut) < level)).flatten()
        };
        let out = self.promise.machine.holder.stick_out.mm();
        let too_deep = first(self.promise.bottom() - LEVEL);
        let rubs = first(-out - LEVEL);
        if let Some(cut) = too_deep {
            let deep = self.promise.paper.fine(-lowest(&cut));
            let text = format!("it goes {deep} below the blank's top");
            self.faults.push(cut.fault(Rule::Depth, text));
        }
        if let Some(cut) = rubs {
            let text = format!(
                "it cuts {} deep with a mill that stands {} out of its nut: the nut would rub \
                 on the blank",
                self.promise.paper.fine(-lowest(&cut)),
                self.promise.paper.fine(out)
            );
            self.faults.push(cut.fault(Rule::Depth, text));
        }
    }

    /// Nothing of the machine strikes a clamp or a screw, travelling or cutting.
    fn keep_outs(&mut self) {
        self.faults.extend(keep_out::faults(self.cuts, self.promise));
    }

    /// Where the mill enters the blank: beside the template, or for a mark in it; straight
    /// down only for a mark, where the wood is gone already, or in a bore.
    fn entries(&mut self) {
        let marked = marks(self.cuts, self.promise, (&self.edges, &self.template));
        self.faults.extend(marked.faults);
        self.plunges(&marked.is_mark);
    }

    fn plunges(&mut self, is_mark: &[bool]) {
        let mut slope = Slope::default();
        let mut straight = |index: usize, cut: &Cut| {
            if cut.rapid {
                slope = Slope::default();
            }
            let run = cut.shape.length();
            let steep = slope.is_steep(run, cut.high - cut.low);
            steep && run < UPRIGHT && cut.low < -LEVEL && !is_mark[index]
        };
        let plunges: Vec<(usize, Cut)> =
            self.cuts.numbered().filter(|(index, cut)| straight(*index, cut)).collect();
        let free = self.freed(&plunges);
        for ((_, cut), _) in plunges.iter().zip(free).filter(|(_, free)| !free) {
            if !self.promise.is_bored(cut.tool, cut.shape.to) {
                let text = "it goes straight down into wood that is not cut yet";
                self.faults.push(cut.fault(Rule::Depth, text));
            }
        }
    }

    /// Of each of these plunges, whether the wood under it was cut before.
    fn freed(&self, plunges: &[(usize, Cut)]) -> Vec<bool> {
        let point = |(_, cut): &(usize, Cut)| {
            let at = cut.shape.to;
            Shape { from: at, to: at, bow: None }
        };
        let places = Forest::new(plunges.iter().map(point));
        let mut free = vec![false; plunges.len()];
        let last = plunges.last().map_or(0, |(index, _)| *index);
        for (before, earlier) in self.cuts.numbered().take_while(|(n, _)| *n < last) {
            for near in places.beside(&earlier.shape, LEFT) {
                let (index, plunge) = &plunges[near];
                if free[near] || *index <= before || earlier.radius < plunge.radius {
                    continue;
                }
                let low = earlier.below(plunge.low + LEVEL);
                free[near] =
                    low.is_some_and(|shape| shape.point_gap(plunge.shape.to) <= LEFT);
            }
        }
        free
    }

    /// A tool's moves at or below a level; none where they are not wanted.
    fn below(&self, tool: Tool, level: f64, wanted: bool) -> Forest {
        let own = self.cuts.iter().filter(|cut| wanted && cut.tool == tool);
        let shapes: Vec<Shape> = own.filter_map(|cut| cut.below(level)).collect();
        Forest::new(shapes.into_iter())
    }

    /// Each loop's edge, all the way round, by the tool that is to cut it.
    fn loops(&mut self) {
        let under = self.promise.tab_top() - LEVEL;
        let cuts = self.cuts.iter();
        // A neck may be narrower than it seems, and an edge farther from what cuts it.
        let strays = self.strays;
        let low = Swept::new(
            cuts.filter_map(|cut| Some((cut.below(under)?, cut.radius + strays))),
        );
        for (tool, machine) in self.promise.tools() {
            self.loops_of(tool, machine.end_mill.radius() - strays, &low);
        }
    }

    fn loops_of(&mut self, tool: Tool, radius: f64, low: &Swept) {
        let loops = self.promise.loops.iter();
        let own: Vec<usize> =
            loops.enumerate().filter(|(_, p)| p.tool == tool).map(|(n, _)| n).collect();
        let holds = |is: fn(&Hold) -> bool| {
            own.iter().any(|&index| is(&self.promise.loops[index].hold))
        };
        let skinned = holds(|hold| *hold == Hold::Skin);
        let tabbed = holds(|hold| matches!(hold, Hold::Tabs { .. }));
        let skin_level = self.promise.bottom_of(Hold::Skin);
        let full = self.below(tool, self.promise.bottom() + LEVEL, true);
        let skin = self.below(tool, skin_level + LEVEL, skinned);
        let through = self.below(tool, skin_level - LEVEL, skinned);
        let above = self.below(tool, self.promise.tab_top() + LEVEL, tabbed);
        let reliefs = self.promise.reliefs.iter().filter(|it| it.tool == tool);
        if 0 < full.count() {
            self.faults.extend(relief::missing(reliefs, (&full, radius)));
        }
        let (edges, template) = (Arc::clone(&self.edges), self.template.clone());
        for index in own {
            let Pledge { hold, wood, .. } = self.promise.loops[index];
            let cuts = if hold == Hold::Skin { &skin } else { &full };
            let (edges, template) = (&edges, &template);
            let work = Work { edges, template, cuts, radius };
            let parts = wood.map(|wood| self.parted(index, &wood, &work));
            let edge = || runs::to_finish(edges, index, parts.as_ref());
            match hold {
                Hold::ByHand(_) => {}
                Hold::Recess(depth) => self.recess((tool, radius), (index, depth)),
                Hold::Drilled(centre) => self.drilled((index, centre), &full),
                Hold::Skin => {
                    let found = march(&work, edge());
                    self.edge_is_cut(index, &found);
                    self.skin_is_whole(index, (&through, radius));
                }
                Hold::Cleared => {
                    let found = march(&work, edge());
                    self.edge_is_cut(index, &found);
                    if found.reached {
                        self.nothing_is_loose(index, (&full, radius));
                    }
                }
                Hold::Tabs { count, neck } => {
                    let found = march(&work, edge());
                    if found.is_untouched() {
                        self.edge_is_cut(index, &found);
                        continue;
                    }
                    let higher = march(&Work { cuts: &above, ..work }, edge());
                    self.nothing_stands(&higher);
                    self.leftover = self.leftover.max(found.leftover);
                    self.tabs(
                        &found.standing,
                        (index, count, neck),
                        (low, found.reached),
                    );
                }
            }
        }
    }

    /// A loop's edge parted by the grain; no more than the allowance stands where nothing
    /// finishes it.
    fn parted(&mut self, index: usize, wood: &Wood, work: &Work<'_>) -> [Vec<Shape>; 2] {
        let parts = runs::finished_and_left(work.edges.of(index), wood);
        let beside = Work { radius: work.radius + wood.allowance, ..*work };
        let found = march(&beside, parts[1].iter().copied());
        self.edge_is_cut(index, &Found { leftover: 0.0, ..found });
        parts
    }

    /// A recess is cleared all over, and no deeper than promised.
    fn recess(&mut self, (tool, radius): (Tool, f64), (index, depth): (usize, f64)) {
        let pledge = &self.promise.loops[index];
        let floor = self.below(tool, LEVEL - depth, true);
        let (edges, template) = (&self.edges, &self.template);
        let work = Work { edges, template, cuts: &floor, radius };
        let edge: Vec<Shape> = edges.of(index).collect();
        let found = march(&work, edge.iter().copied());
        let place = loose::anywhere(pledge, &edge, &floor, radius);
        let too_deep = self.cuts.iter().find_map(|cut| {
            let shape = cut.below(-depth - LEVEL)?;
            let text = format!(
                "it goes {} deep in a recess of {}",
                self.promise.paper.fine(-cut.low.min(cut.high)),
                self.promise.paper.fine(depth)
            );
            (winding_of(&pledge.drawn, shape.to) != 0)
                .then(|| cut.fault(Rule::Gouge, text))
        });
        if let (true, Some(at)) = (found.standing.is_empty(), place) {
            let text = "a recess is not cleared all over";
            self.faults.push(Fault::at(Rule::Leftover, 0, at, text));
        }
        self.faults.extend(too_deep);
        self.edge_is_cut(index, &found);
    }

    /// Nothing stands of a loop's edge; how deep it is cut where it is not reached at all is
    /// looked at in the end.
    fn edge_is_cut(&mut self, index: usize, found: &Found) {
        if found.is_untouched() {
            self.unreached.push((index, self.standing(found)));
        } else {
            self.nothing_stands(found);
        }
    }

    fn nothing_stands(&mut self, found: &Found) {
        self.leftover = self.leftover.max(found.leftover);
        self.faults.extend(self.standing(found));
    }

    /// A fault for each run of edge that stands.
    fn standing(&self, found: &Found) -> Vec<Fault> {
        let fault = |run: &Standing| {
            let long = self.promise.paper.fine(run.length);
            let text = format!("{long} of edge is not cut");
            Fault::at(Rule::Leftover, 0, run.middle, text)
        };
        found.standing.iter().map(fault).collect()
    }

    fn nothing_is_loose(&mut self, index: usize, (full, radius): (&Forest, f64)) {
        let edge: Vec<Shape> = self.edges.of(index).collect();
        let place = loose::anywhere(&self.promise.loops[index], &edge, full, radius);
        let text = "a loose piece is left in an opening to be cleared";
        let fault = place.map(|at| Fault::at(Rule::Loose, 0, at, text));
        self.faults.extend(fault);
    }

    fn drilled(&mut self, (index, centre): (usize, Point), full: &Forest) {
        let near = full.near_point(centre, 1.0, |_| true);
        if near.is_none_or(|(distance, _)| LEFT < distance) {
            let text = "a hole of the end mill's width is not drilled";
            let fault = Fault::at(Rule::Leftover, 0, centre, text);
            self.unreached.push((index, vec![fault]));
        }
    }

    fn skin_is_whole(&mut self, index: usize, (through, radius): (&Forest, f64)) {
        let reach = radius + NEAR;
        let is_cut = |s: &Shape| through.near_shape(s, reach, |_| true).is_some();
        let cut = self.edges.of(index).find(is_cut);
        if let Some(shape) = cut {
            let text = "the skin that holds a small piece is cut through";
            self.faults.push(Fault::at(Rule::Tabs, 0, shape.from, text));
        }
    }

    /// The tabs of one loop: as many as promised, each as wide as promised.
    fn tabs(
        &mut self,
        standing: &[Standing],
        (index, count, neck): (usize, u32, f64),
        (low, reached): (&Swept, bool),
    ) {
        let paper = self.promise.paper;
        let due = if reached { count } else { 0 };
        let many = standing.len();
        if u32::try_from(many) != Ok(due) {
            let at = standing.first().map_or(self.edges.start(index), |run| run.middle);
            let lengths = standing.iter().take(MOST_LENGTHS);
            let lengths: Vec<String> =
                lengths.map(|run| paper.fine(run.length)).collect();
            let more = if MOST_LENGTHS < many { ", …" } else { "" };
            let text = format!(
                "{many} tabs are left where {due} are promised (lengths {}{more})",
                lengths.join(", ")
            );
            self.faults.push(Fault::at(Rule::Tabs, 0, at, text));
            return;
        }
        let mut all = 0.0;
        for run in standing {
            let stands = run.neck(low);
            all += stands;
            let least = (neck - SHORTER).max(LEAST_NECK);
            if !(least..=neck + LONGER).contains(&stands) {
                let text = format!(
                    "a tab's neck is {} where {} is promised",
                    paper.fine(stands),
                    paper.fine(neck)
                );
                self.faults.push(Fault::at(Rule::Tabs, 0, run.middle, text));
            }
            self.tabs.push(run.middle);
        }
        let length: f64 = self.edges.of(index).map(|shape| shape.length()).sum();
        if TAB_SHARE * length + f64::from(due) * 0.2 < all {
            let at = self.edges.start(index);
            let text = "tabs take more of the edge than they may";
            self.faults.push(Fault::at(Rule::Tabs, 0, at, text));
        }
    }

    fn figures(&self, programs: &[Program]) -> Figures {
        let back: Vector = Point::default() - self.promise.work_zero;
        // What the machine shows is what it is told.
        let told = Cuts::new(programs, self.promise);
        let boxes = told.iter().map(|cut| cut.shape.moved(back).bounds());
        let moves = || programs.iter().flat_map(Program::moves);
        let cutting = || moves().filter(|step| !step.rapid && 0.0 < step.length());
        Figures {
            work_zero: self.promise.work_zero,
            end_mill: self.promise.machine.end_mill.mm(),
            through_depth: (-self.deepest - self.promise.thick).max(0.0),
            gouge: self.gouge,
            leftover: self.leftover,
            path_length: cutting().map(|step| step.length()).sum(),
            minutes: cutting().map(|step| step.length() / step.feed).sum(),
            likely_minutes: cutting().map(|step| step.length() / step.feed).sum(),
            tabs: self.tabs.clone(),
            travel: boxes.collect(),
            deepest: self.deepest - self.promise.z_above_top(),
            lines: programs.iter().map(|program| program.lines).sum(),
            units: self.promise.dialect.units,
            spindle: self.promise.dialect.spindle,
        }
    }
}

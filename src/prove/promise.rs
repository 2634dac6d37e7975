//! What a program may leave uncut and how it must move: made from job and shop, with limits,
//! never from the plan or the toolpath.

use super::cut::{LEFT, NEAR};
use super::loose::is_wider_than;
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use crate::post::Dialect;
use crate::read::{Bottom, ZZero};
use crate::shop::{LapWay, Machine, Tool};
use crate::units::Paper;

/// A neck narrower than this is no tab (from memory).
pub(super) const LEAST_NECK: f64 = crate::shop::defaults::LEAST_NECK.value;
/// The largest share of a loop's length that its tabs may take (from memory).
pub(super) const TAB_SHARE: f64 = crate::shop::defaults::TAB_SHARE.value;
/// One tab for about so much of a short loop, and of a long one, in mm (from memory).
pub(super) const TAB_SPACING: [f64; 2] = [60.0, 400.0];
/// Fewer tabs than this do not hold (from memory).
pub(super) const LEAST_TABS: u32 = 2;
/// As many as this where there is length for them (from memory).
pub(super) const GOOD_TABS: u32 = 4;
/// An opening is cleared where none of it is farther from its edge than this, as a share of
/// the mill's width: what tabs would hold is a sliver (from memory).
const CLEAR_WITHIN: f64 = 1.5;
/// A short opening is cleared up to this share: there is hardly room for tabs (from memory).
const CLEAR_WITHIN_SHORT: f64 = 3.0;
/// An opening up to this length is short, in mm (from memory).
const SHORT: f64 = 180.0;
/// A hole this near to the mill's own width, in mm, is drilled (from memory).
pub(super) const DRILL_WITHIN: f64 = crate::shop::defaults::DRILL_WITHIN.value;

/// Another is cut by a helix where it is wider than the mill by so much, in mm (from memory).
const HELIX_OVER: f64 = crate::shop::defaults::HELIX_OVER.value;

/// How the wood beside a loop is kept from being thrown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold {
    /// Tabs of this net neck; the machine says how high they stand.
    Tabs {
        /// How many.
        count: u32,
        /// What stands of each at its narrowest place, in mm.
        neck: f64,
    },
    /// The whole opening is cleared: nothing is left to be thrown.
    Cleared,
    /// A skin is left under it, to be cut with a knife.
    Skin,
    /// A recess: the whole of it is cleared to this depth.
    Recess(f64),
    /// A round hole of the mill's own width, about this centre.
    Drilled(Point),
    /// A round hole smaller than the mill, or too little wider for a helix: not cut, drilled by
    /// hand about this centre.
    ByHand(Point),
}

/// How the grain of solid wood lets an edge be finished, for a spindle on face A.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wood {
    /// The axis of the grain, in degrees counter-clockwise from +x.
    pub grain: f64,
    /// How steep uphill a climb may run, in degrees.
    pub steepest: f64,
    /// What the finishing lap takes, in mm: so much stands where nothing finishes an edge.
    pub allowance: f64,
}

/// An inside corner that the mill relieves, so that a square corner of another part fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relief {
    /// The corner as read.
    pub corner: Point,
    /// Along its bisector, away from the part; length one.
    pub away: Vector,
    /// Half of the angle between its edges, in radians.
    pub half: f64,
    /// What cuts it.
    pub tool: Tool,
}

impl Relief {
    /// Where a mill of this radius touches both edges, and how far on along the bisector it
    /// passes through the corner itself.
    pub fn stem(&self, radius: f64) -> [Point; 2] {
        let at = |far: f64| self.corner + self.away * far;
        [at(radius / libm::sin(self.half)), at(radius)]
    }

    /// How far past the edges a mill of this radius then cuts.
    pub fn past(&self, radius: f64) -> f64 {
        radius * (1.0 - libm::sin(self.half))
    }
}

/// One loop of the drawing as read, where it lies on the blank.
#[derive(Debug, Clone, PartialEq)]
pub struct Pledge {
    /// The loop as read, material on the left.
    pub drawn: Loop,
    /// How far the edge to be cut lies outside the drawn one, in mm; negative inside.
    pub grow: f64,
    /// How the wood beside it is held.
    pub hold: Hold,
    /// What cuts it.
    pub tool: Tool,
    /// Which way round its finishing lap goes, where no grain rules that; `None` where any way
    /// round will do: a bore, a recess, an opening without room for a lap before the last.
    pub lap: Option<LapWay>,
    /// The grain that its finishing lap goes by.
    pub wood: Option<Wood>,
}

impl Pledge {
    /// The pledge for a loop, by the rules for holding.
    pub fn new(drawn: Loop, grow: f64, machine: &Machine) -> Self {
        let (tool, with_tool) = cut_by(&drawn, grow, machine);
        let hold = match (hold(&drawn, grow, &with_tool), machine.bottom) {
            (bored @ (Hold::Drilled(_) | Hold::ByHand(_)), _) => bored,
            (_, Bottom::Skin) => Hold::Skin,
            (hold, Bottom::Through) => hold,
        };
        let by_lap = matches!(hold, Hold::Tabs { .. } | Hold::Cleared | Hold::Skin);
        let room = with_tool.end_mill.radius() + with_tool.allowance.mm();
        let has_room = 0.0 < drawn.area() || is_wider_than(&drawn, grow, room);
        let lap = (by_lap && has_room).then_some(machine.finish);
        Self { drawn, grow, hold, tool, lap, wood: None }
    }

    /// The same in solid wood with its grain along this axis.
    #[must_use]
    pub fn in_wood(mut self, grain: f64, machine: &Machine) -> Self {
        let Some(machine) = machine.with(self.tool) else { return self };
        if self.lap.take().is_some() {
            let (steepest, allowance) =
                (machine.steepest_climb(), machine.allowance.mm());
            self.wood = Some(Wood { grain, steepest, allowance });
        }
        self
    }

    /// The pledge for a recess of this depth.
    pub fn recess(drawn: Loop, depth: f64, machine: &Machine) -> Self {
        let (tool, _) = cut_by(&drawn, 0.0, machine);
        Self { drawn, grow: 0.0, hold: Hold::Recess(depth), tool, lap: None, wood: None }
    }

    /// Whether its mill comes into it anywhere.
    pub fn is_entered(&self, machine: &Machine) -> bool {
        let reach = |machine: Machine| machine.end_mill.radius() - LEFT;
        let reach = machine.with(self.tool).map(reach);
        reach.is_some_and(|reach| is_wider_than(&self.drawn, self.grow, reach))
    }

    /// Whether the machine cuts it at all.
    pub(super) const fn is_cut(&self) -> bool {
        !matches!(self.hold, Hold::ByHand(_))
    }
}

/// Everything a program is judged by.
#[derive(Debug, Clone, PartialEq)]
pub struct Promise {
    /// The loops, in the frame of the drawing as laid on the blank.
    pub loops: Vec<Pledge>,
    /// The inside corners that are relieved: only there the part is cut past its line.
    pub reliefs: Vec<Relief>,
    /// The blank in the same frame.
    pub blank: Bounds,
    /// The program's zero in the same frame.
    pub work_zero: Point,
    /// The blank's thickness, in mm.
    pub thick: f64,
    /// The machine and what was chosen for it.
    pub machine: Machine,
    /// How the controller wants its words.
    pub dialect: Dialect,
    /// How the job writes lengths, in what is said of a program too.
    pub paper: Paper,
}

impl Promise {
    /// The tools that have something to do, in the order in which their programs run, each
    /// with the machine as it is then.
    pub fn tools(&self) -> Vec<(Tool, Machine)> {
        let all = [Tool::Point, Tool::SmallMill, Tool::EndMill];
        let busy = all.into_iter().filter(|&tool| {
            tool != Tool::SmallMill || self.loops.iter().any(|pledge| pledge.tool == tool)
        });
        busy.filter_map(|tool| Some((tool, self.machine.with(tool)?))).collect()
    }

    /// Whether a hole of a tool's own width is to be bored at a place.
    pub(super) fn is_bored(&self, tool: Tool, at: Point) -> bool {
        self.loops.iter().any(|pledge| match pledge.hold {
            Hold::Drilled(centre) => pledge.tool == tool && centre.distance(at) <= NEAR,
            _ => false,
        })
    }

    /// What to add to a program's Z to have it above the blank's top.
    pub(super) fn z_above_top(&self) -> f64 {
        match self.machine.z_zero {
            ZZero::Top => 0.0,
            ZZero::Table => -self.thick,
        }
    }

    /// The deepest level, above the blank's top.
    pub(super) fn bottom(&self) -> f64 {
        self.machine.deepest(self.thick)
    }

    /// The level a loop's edge must be cut down to.
    pub(super) fn bottom_of(&self, hold: Hold) -> f64 {
        match hold {
            Hold::Skin => self.machine.skin_level(self.thick),
            Hold::Recess(depth) => -depth,
            _ => self.bottom(),
        }
    }

    /// The level of the tabs' tops.
    pub(super) fn tab_top(&self) -> f64 {
        tab_top(self.thick, &self.machine)
    }
}

/// The level of the tabs' tops, above the blank's top: at least a third of a thin blank is
/// cut above them.
pub fn tab_top(thick: f64, machine: &Machine) -> f64 {
    -thick + machine.tab_high.mm().min(thick * 2.0 / 3.0)
}

/// What cuts a loop: the end mill, or the smaller one where an opening is too narrow for it.
fn cut_by(drawn: &Loop, grow: f64, machine: &Machine) -> (Tool, Machine) {
    let enters = |machine: &Machine| {
        let radius = machine.end_mill.radius();
        circle(drawn).map_or_else(
            || is_wider_than(drawn, grow, radius - LEFT),
            |(_, wide)| !matches!(bored(2.0 * (wide - grow - radius)), Bored::ByHand),
        )
    };
    let small = machine
        .with(Tool::SmallMill)
        .filter(|small| drawn.area() < 0.0 && !enters(machine) && enters(small));
    small.map_or_else(
        || (Tool::EndMill, machine.clone()),
        |small| (Tool::SmallMill, small),
    )
}

/// How the wood beside a loop is held.
fn hold(drawn: &Loop, grow: f64, machine: &Machine) -> Hold {
    let (end_mill, neck) = (machine.end_mill.mm(), machine.tab_neck.mm());
    let opening = drawn.area() < 0.0;
    if let (true, Some((centre, radius))) = (opening, circle(drawn)) {
        match bored(2.0 * (radius - grow) - end_mill) {
            Bored::Straight => return Hold::Drilled(centre),
            Bored::ByHand => return Hold::ByHand(centre),
            Bored::ByHelix => {}
        }
    }
    let short = drawn.length() <= SHORT;
    let within = if short { CLEAR_WITHIN_SHORT } else { CLEAR_WITHIN };
    if opening && !is_wider_than(drawn, grow, within * end_mill) {
        return Hold::Cleared;
    }
    let length = drawn.length();
    let [near, far] = TAB_SPACING.map(|spacing| (length / spacing).ceil());
    let may = (TAB_SHARE * length / neck).floor();
    let good = near.min(f64::from(GOOD_TABS)).max(far).min(may);
    if f64::from(LEAST_TABS) <= good {
        let count = (LEAST_TABS..10_000).take_while(|&n| f64::from(n) <= good).last();
        return Hold::Tabs { count: count.unwrap_or(LEAST_TABS), neck };
    }
    if opening { Hold::Cleared } else { Hold::Skin }
}

/// How a round hole is bored.
enum Bored {
    Straight,
    ByHelix,
    ByHand,
}

/// How a hole is bored that is wider than the mill by `over`.
fn bored(over: f64) -> Bored {
    if over.abs() <= DRILL_WITHIN {
        Bored::Straight
    } else if over < HELIX_OVER {
        Bored::ByHand
    } else {
        Bored::ByHelix
    }
}

/// Centre and radius of a loop that is one circle.
fn circle(drawn: &Loop) -> Option<(Point, f64)> {
    let Piece::Arc { from, centre, .. } = drawn.pieces()[0] else { return None };
    let radius = from.distance(centre);
    let same = drawn.pieces().iter().all(|piece| match *piece {
        Piece::Line { .. } => false,
        Piece::Arc { from, centre: other, .. } => {
            other.distance(centre) < 1e-6 && (from.distance(other) - radius).abs() < 1e-6
        }
    });
    same.then_some((centre, radius))
}

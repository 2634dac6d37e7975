//! Choices, each with its reason: set-ups, stretches, passes, hand work, saw line, template.

mod able;
mod assemble;
mod atom;
mod choose;
mod contact;
mod done;
mod ear;
mod engage;
mod entry;
mod finish;
mod hand;
mod holding;
mod kept;
mod lap;
#[cfg(test)]
mod laws;
mod leave;
mod light;
mod mill;
mod minutes;
mod pass;
mod places;
mod prepare;
mod rack;
mod reason;
mod remark;
mod run;
mod run_on;
mod saw;
mod set_out;
mod setup;
#[cfg(test)]
mod shapes;
mod shared;
mod short;
mod sides;
mod solid;
mod stand;
mod start;
mod stretch;

mod template;
mod trial;

pub use contact::Contact;
pub use engage::waste_limit;
pub use leave::{Saw, Sawn, TakeDown, Thick};
pub use prepare::{Fastening, Seat, Step, Task, Under};
pub use rack::{BitRow, Purchase, Rack, held, rack, sold};
pub use reason::Reason;
pub use setup::{Carried, SetUp, Turn};
pub use shared::{Shared, SharedWay};
pub use short::ShortGrain;
pub use solid::reliefs;
pub use stand::Stand;

use crate::diag::{Outcome, Problem};
use crate::geom::{Loop, Piece, Point, Span};
use crate::grain::Band;
use crate::outline::Outline;
use crate::prove::Relief;
use crate::reach::{Reach, SiteKind};
use crate::shop::{Face, Machine, Shop};
use crate::units::Diameter;

/// Plans the parts with what the shop owns: which edges, which set-up, which way round.
///
/// # Errors
/// Refused where no stretch at all can be cut, or no template can be had; the reasons say why.
pub fn plan(outlines: Vec<Outline>, shop: &Shop) -> Outcome<Plan> {
    match shop.machine.as_ref().filter(|machine| machine.cuts_part()) {
        Some(machine) => solid::solid(outlines, shop, machine),
        None => assemble::assemble(outlines, shop),
    }
}

/// A run of a routed edge in one band, wholly touched by the bit or wholly not.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// `A`, `B`, … unique in the plan.
    pub name: String,
    /// Index of the part.
    pub part: usize,
    /// Where it lies on the template's outline of that part.
    pub span: Span,
    /// Angle from the grain to the tooth for `s = +1` at its start and end, in degrees.
    pub phi: (f64, f64),
    /// Its band for `s = +1`.
    pub band: Band,
    /// Whether the bit that would cut it can touch it.
    pub touched: bool,
    /// Who does it.
    pub done_by: DoneBy,
    /// Why.
    pub why: Reason,
    /// What becomes of the lower layer, where no bit gets through the stock here; the rest is
    /// then about the upper layer alone.
    pub lower: Option<Lower>,
}

/// The lower layer of a stretch.
#[derive(Debug, Clone, PartialEq)]
pub struct Lower {
    /// Where it begins, in mm below face A.
    pub from: f64,
    /// Who does it.
    pub done_by: DoneBy,
    /// Why.
    pub why: Reason,
}

impl Stretch {
    /// Whether anything of it is left to the hand.
    pub fn is_by_hand(&self) -> bool {
        let lower = self.lower.as_ref().map(|lower| lower.done_by);
        self.done_by == DoneBy::Hand || lower == Some(DoneBy::Hand)
    }
}

/// Who does a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DoneBy {
    /// A pass, by its number from 1.
    Pass(usize),
    /// The hand.
    Hand,
}

/// How the bit is fed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feed {
    /// Against the tooth.
    Conventional,
    /// With the tooth.
    Climb,
}

impl Feed {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Conventional => "conventional",
            Self::Climb => "climb",
        }
    }
}

/// A depth of stock, measured from the face the template lies on, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer {
    /// From 1, in the order they are cut.
    pub number: usize,
    /// Where it begins.
    pub from: f64,
    /// Where it ends; `None` where the stock's thickness is not known.
    pub to: Option<f64>,
    /// Whether the template is still on.
    pub template_on: bool,
}

/// How a pass starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// On the template's run-on, off the wood.
    RunOn,
    /// On a block fixed flush.
    Block,
    /// Swinging in where the edge allows it.
    SwingIn,
    /// At the table, off a starting pin.
    StartingPin,
    /// By hand, 25 mm before an outside corner.
    BeforeCorner,
}

/// How a pass ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Off onto the template's run-on.
    RunOn,
    /// Against a backer fixed flush.
    Backer,
    /// Where it began: the lap closes.
    Closed,
    /// Lifting away on a stretch, blended by the next pass.
    Overlap,
    /// Lifting away where hand work begins.
    BeforeHandWork,
    /// Stopping at the touch of an inside corner and backing off.
    AtTouch,
    /// Round a corner whose next edge is still full.
    NextEdgeFull,
}

/// What a pass with its bearing does of the waste.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lap {
    /// All of it.
    Only,
    /// The light lap: its oversize bearing leaves so much, in mm.
    Light(f64),
    /// The flush lap after a light one, which left so much, in mm.
    Flush(f64),
}

impl Lap {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Only => "only",
            Self::Light(_) => "light",
            Self::Flush(_) => "flush",
        }
    }
}

/// One pass: neighbouring stretches cut in one set-up with one feed.
#[derive(Debug, Clone, PartialEq)]
pub struct Pass {
    /// From 1, in working order.
    pub number: usize,
    /// Index of its set-up in the plan.
    pub set_up: usize,
    /// Index of the part.
    pub part: usize,
    /// The feed.
    pub feed: Feed,
    /// Indices of its stretches in the plan, in the order of the outline's walk.
    pub stretches: Vec<usize>,
    /// The run of the template's outline it covers with overlap and run-on, part on the left.
    pub span: Span,
    /// Whether it goes round the whole loop.
    pub closed: bool,
    /// The depth it cuts.
    pub layer: Layer,
    /// The bearing, or bush, that it rides on.
    pub bearing: Diameter,
    /// What it takes of the waste.
    pub lap: Lap,
    /// How it starts, and where: the star.
    pub start: (Start, Point),
    /// How it ends, and where.
    pub exit: (Exit, Point),
    /// Blocks to fix, each with the place it backs.
    pub backers: Vec<Point>,
    /// How much of the bit stands in wood along it.
    pub contact: Vec<Contact>,
    /// The same on arriving in the inside corner it ends in, in degrees.
    pub arrival: Option<f64>,
    /// Why it stands where it stands in the order.
    pub why: Reason,
}

impl Pass {
    /// Minutes at the bench by the stated figures, without changes of set-up and bearing.
    pub fn minutes(&self) -> f64 {
        minutes::of_pass(self)
    }
}

/// What is to be done by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct HandWork {
    /// From 1, in working order.
    pub number: usize,
    /// Index of the part.
    pub part: usize,
    /// A site's kind, or a stretch left to the hand.
    pub kind: HandKind,
    /// Where: the corner, the deepest point, or the middle of the stretch.
    pub at: Point,
    /// The void's angle at an inside corner, in degrees.
    pub angle: Option<f64>,
    /// How deep, in mm.
    pub depth: f64,
    /// Lengths along the sides, in mm.
    pub sides: Vec<f64>,
    /// Area, in mm².
    pub area: f64,
    /// The tool, in words, with its width: `chisel 10 mm`.
    pub tool: Tool,
    /// What the tool rides on.
    pub rides_on: RidesOn,
    /// From which face.
    pub from_face: FromFace,
    /// The border of what is left, as loops; or the stretch itself.
    pub border: Vec<Loop>,
    /// Spans of the template's outline it is about.
    pub spans: Vec<Span>,
    /// Why it is left to the hand.
    pub why: Reason,
    /// How to go about it, one short clause a line.
    pub how: Vec<String>,
}

/// A site, or a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HandKind {
    /// A place the bit cannot reach.
    Site(SiteKind),
    /// A stretch the bit could reach and must not cut.
    Stretch,
}

/// A hand tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tool {
    /// A chisel of this width, in mm.
    Chisel(f64),
    /// A fretsaw or fine saw kerf on the bisector, then a knife.
    FretsawAndKnife,
    /// A plane or flat spokeshave.
    Plane,
    /// A round spokeshave.
    RoundSpokeshave,
    /// A rasp, then a scraper: where the grain turns a plane lifts it.
    Scraper,
    /// A rasp or drum, then a file.
    Rasp,
    /// A drill, then a file.
    DrillAndFile,
}

/// What a hand tool rides on.
#[derive(Debug, Clone, PartialEq)]
pub enum RidesOn {
    /// The template's edge.
    Template,
    /// The routed face of this stretch, by index.
    Stretch(usize),
    /// Nothing: to the line.
    Line,
}

/// From which face a hand tool works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FromFace {
    /// From this face.
    One(Face),
    /// Half from each.
    Both,
}

/// The saw line of one run of routed edge.
#[derive(Debug, Clone, PartialEq)]
pub struct SawLine {
    /// Index of the part.
    pub part: usize,
    /// The line, in order.
    pub pieces: Vec<Piece>,
    /// Whether it closes.
    pub closed: bool,
    /// What it leaves, in mm.
    pub leave: f64,
}

/// One part and how many.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The part as drawn, with its roles.
    pub outline: Outline,
    /// The same with the template's run-ons: everything in the plan lies on this one.
    pub guide: Outline,
    /// The template that is made: the guide, set in or out for bit and bearing; none where
    /// another part's serves.
    pub template: Vec<Loop>,
    /// The guide as drawn with the edges moved out that are not routed: set in as a whole it is
    /// the template, and those edges lie where they lie on the part. None where the template is
    /// the guide itself, or is set in or out all round.
    pub set_from: Option<Vec<Loop>>,
    /// Whose template serves, where it has none of its own.
    pub shared: Option<Shared>,
    /// How far the template's routed edges lie outside the part's, in mm; negative inside.
    pub template_offset: f64,
    /// How many to make.
    pub count: u32,
    /// Facts for each bit of the rack that may be used, in the rack's order.
    pub reach: Vec<Option<Reach>>,
    /// Where an oversize bearing of each bit rides, in the rack's order; empty where it has none.
    pub light: Vec<Vec<Span>>,
    /// What the passes as chosen leave standing of the part.
    pub finished: Vec<Loop>,
}

impl Part {
    /// Whether any of a loop's edge is routed.
    pub fn has_routed(&self, on: usize) -> bool {
        self.guide.edges_of(on).any(|edge| edge.role == crate::read::Role::Rout)
    }
}

/// What is settled before the hand work is worked out.
#[derive(Debug, Clone, Copy)]
pub struct Draft<'a> {
    /// The set-ups, in working order.
    pub set_ups: &'a [SetUp],
    /// The stretches, in order of part, loop and place.
    pub stretches: &'a [Stretch],
    /// The passes, in working order.
    pub passes: &'a [Pass],
}

/// What decided for these set-ups: compared part by part in this order, the least wins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cost {
    /// Edge left to the hand that some bit, bearing end and station of the shop could rout, in
    /// mm.
    pub left: f64,
    /// Edge routed where care is due, in mm, once for each thing that asks for it.
    pub care: f64,
    /// Minutes of set-ups, passes and their metres.
    pub minutes: f64,
    /// Edge routed a little uphill, along the grain or past the middle of end grain, in mm.
    pub against: f64,
}

/// The whole plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The parts.
    pub parts: Vec<Part>,
    /// The set-ups, in working order.
    pub set_ups: Vec<SetUp>,
    /// How the bit stands in each of them.
    pub stands: Vec<Stand>,
    /// The stretches, in order of part, loop and place.
    pub stretches: Vec<Stretch>,
    /// The passes, in working order.
    pub passes: Vec<Pass>,
    /// What is done by hand, in working order.
    pub hand: Vec<HandWork>,
    /// The saw lines.
    pub saw: Vec<SawLine>,
    /// What saws each routed loop.
    pub sawn: Vec<Sawn>,
    /// Where the saw leaves more than its line says.
    pub thick: Vec<Thick>,
    /// The steps before the router, in working order.
    pub prepare: Vec<Step>,
    /// The stretch that is tried first on an offcut: the worst of those routed.
    pub trial: Option<usize>,
    /// Narrow places whose fibres run out.
    pub short_grain: Vec<ShortGrain>,
    /// The least cutting length that would do, for bits whose length is not known, in mm.
    pub least_cut_length: Option<f64>,
    /// What decided for these set-ups.
    pub cost: Cost,
    /// Minutes at the bench by the stated figures, with the hand work.
    pub minutes: f64,
    /// What there is to say about it.
    pub notes: Vec<Problem>,
}

impl Plan {
    /// The parts whose template is made, with their indices: one may serve another part too.
    pub fn made(&self) -> impl Iterator<Item = (usize, &Part)> + Clone {
        self.parts.iter().enumerate().filter(|(_, part)| part.shared.is_none())
    }

    /// The corners that a machine relieves, each with the index of its part, in the order in
    /// which they are numbered.
    pub fn relieved(&self, machine: &Machine) -> Vec<(usize, Relief)> {
        let parts = self.parts.iter().enumerate().filter(|_| machine.cuts_part());
        let all = parts.flat_map(|(index, part)| {
            reliefs(&part.outline, machine).into_iter().map(move |relief| (index, relief))
        });
        all.collect()
    }
}

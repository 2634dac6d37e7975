//! What a person asks for, as far as it was said: from a job file, from options, or both.
//!
//! Everything is optional here; `shop` fills in the defaults and says what is missing.

use super::machine::MachineWish;
use super::{JointWish, Mate, Pick, Rack, Role, SetIn, Sizes};
use crate::diag::{Place, Source};
use crate::geom::Point;
use crate::units::{Diameter, Mm, Paper, Unit};
use std::collections::BTreeMap;

/// Where the outline comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum ShapeSource {
    /// A drawing in a file, named relative to the job.
    Drawing(String),
    /// Walks round the loops of the outline.
    Walks(Vec<Walk>),
    /// A board and one open line across it.
    BoardAndLine(BoardAndLine),
    /// A joint by name.
    Joint(JointWish),
}

/// One loop or one line, walked from a start.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// Where it starts.
    pub start: Point,
    /// The steps, each with its name if it has one.
    pub steps: Vec<(Step, Option<String>)>,
    /// Where in the job it stands.
    pub place: Place,
    /// Where each step stands, as far as that is known: in order, or empty.
    pub step_places: Vec<Place>,
}

/// One step of a walk; lengths in mm, angles in degrees.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// Straight by this much to the right (`x`) and up (`y`).
    By(f64, f64),
    /// Straight to a point.
    To(Point),
    /// Straight on at an angle, counter-clockwise from +x.
    At {
        /// The angle.
        degrees: f64,
        /// How far.
        length: f64,
    },
    /// Straight on in the direction of the last step's end.
    On(f64),
    /// Straight on, square to the last step's end: to its left when positive.
    Square(f64),
    /// An arc that goes on smoothly from the last step's end.
    Turn {
        /// The radius.
        radius: f64,
        /// How far it turns.
        degrees: f64,
        /// Counter-clockwise.
        left: bool,
    },
    /// An arc of this radius to a point; the shorter way, turning left when `left`.
    Arc {
        /// Where it ends.
        to: Point,
        /// The radius.
        radius: f64,
        /// Counter-clockwise.
        left: bool,
    },
    /// An arc through a point to another.
    Through {
        /// A point on the way.
        through: Point,
        /// Where it ends.
        to: Point,
    },
    /// Straight back to the start.
    Close,
}

/// A board that lies with one corner at the origin, its length along +x, and a line across it
/// that parts it into half A (on the left of the line) and half B (on its right).
#[derive(Debug, Clone, PartialEq)]
pub struct BoardAndLine {
    /// The board's length along x.
    pub length: Mm,
    /// The board's width along y.
    pub width: Mm,
    /// The line, from one edge of the board to another.
    pub line: Walk,
    /// The gap between two mating faces.
    pub clearance: Option<Mm>,
    /// Which half gives the gap.
    pub set_in: SetIn,
}

/// A side that edges of the outside loop face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// −x.
    Left,
    /// +x.
    Right,
    /// −y.
    Near,
    /// +y.
    Far,
}

impl Side {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Near => "near",
            Self::Far => "far",
        }
    }
}

/// A size that the person knows of a drawing which does not say its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum KnownSize {
    /// Pixels an inch.
    Ppi(f64),
    /// The width of all that is drawn.
    Width(Mm),
    /// The height of all that is drawn.
    Height(Mm),
}

/// Which edges are meant.
#[derive(Debug, Clone, PartialEq)]
pub enum EdgeRef {
    /// Those of the outside loop that face this side.
    Side(Side),
    /// The steps of this name, or the drawing's element of this id.
    Name(String),
    /// The one nearest to this place of the drawing.
    At(Point),
}

/// A role asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct RoleWish {
    /// Which edges.
    pub which: EdgeRef,
    /// What is done to them.
    pub role: Role,
    /// Where it was asked.
    pub place: Place,
}

/// How the grain is to lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GrainWish {
    /// Along the longer side of the part's bounds.
    Long,
    /// Across it.
    Across,
    /// At an angle, in degrees counter-clockwise from +x.
    Degrees(f64),
}

/// What the grain is like.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum GrainKind {
    /// It runs one way.
    #[default]
    Straight,
    /// It runs one way and splits far.
    Stringy,
    /// It leans one way and the other in turn, layer by layer.
    Interlocked,
    /// It runs in waves.
    Curly,
    /// It runs all ways, or in strips that nobody has read.
    Mixed,
}

impl GrainKind {
    /// All of them.
    pub const ALL: [Self; 5] =
        [Self::Straight, Self::Stringy, Self::Interlocked, Self::Curly, Self::Mixed];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Stringy => "stringy",
            Self::Interlocked => "interlocked",
            Self::Curly => "curly",
            Self::Mixed => "mixed",
        }
    }

    /// Whether a way round that is downhill on the drawing is so in the wood.
    pub const fn keeps_its_way(self) -> bool {
        matches!(self, Self::Straight | Self::Stringy)
    }
}

/// A strip of a board that is glued up of several.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// How wide it is.
    pub wide: Mm,
    /// The axis of its grain, in degrees counter-clockwise from +x.
    pub grain: f64,
}

/// Where a person works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Station {
    /// The router in both hands, the work clamped.
    Hand,
    /// The router under a table, the work in the hands.
    Table,
}

impl BitText {
    /// The bit's name on the rack, if it is one: its own words would begin with its width.
    pub fn rack_name(&self) -> Option<&str> {
        let text = self.text.trim();
        let name = text.split(',').next().unwrap_or(text).trim();
        name.starts_with(char::is_alphabetic).then_some(name)
    }
}

impl Station {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hand => "hand",
            Self::Table => "table",
        }
    }
}

/// A bit as a person writes it: `1/2in flush-trim`, `1/4in straight + 1/2in bush`.
#[derive(Debug, Clone, PartialEq)]
pub struct BitText {
    /// The text.
    pub text: String,
    /// Where it stands.
    pub place: Place,
}

/// Something the template is to have beyond the part's own shape.
#[derive(Debug, Clone, PartialEq)]
pub enum Extra {
    /// A hole for a pin.
    Pin {
        /// Its centre.
        at: Point,
        /// Its width.
        diameter: Diameter,
    },
    /// A hole to hang the template by.
    HangHole {
        /// Its centre.
        at: Point,
        /// Its width.
        diameter: Diameter,
    },
}

/// What is asked of the template.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TemplateWish {
    /// Its thickness.
    pub thickness: Option<Mm>,
    /// Whether it may be fixed to the other face on pins.
    pub moves: Option<bool>,
    /// How far it runs on past the part where a routed edge meets one that is not.
    pub run_on: Option<Mm>,
    /// Holes it is to have.
    pub extras: Vec<Extra>,
    /// The bit it was made for, where it is there already.
    pub made_for: Option<BitText>,
}

/// Which hand is made of a part that has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    /// The left one, as drawn.
    Left,
    /// The right one, as drawn.
    Right,
    /// The left one as drawn, and the right one as its mirror image.
    Pair,
}

/// What is asked of the sheets beside their contents.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct SheetWish {
    /// The person is left-handed: only words change, never a direction.
    pub left_handed: bool,
    /// The work stops at certain points until somebody has looked at it.
    pub hold_points: bool,
    /// A pupil's sheet, with the bands and directions left to fill in, and its answers.
    pub handout: bool,
}

/// A kind of file that is made of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// The sheets as a page.
    Page,
    /// The sheets as text.
    Text,
    /// A picture a set-up.
    Pictures,
    /// The plan as data.
    Data,
    /// The machine program.
    Program,
}

impl FileKind {
    /// All of them with their words.
    pub const ALL: [(Self, &'static str); 5] = [
        (Self::Page, "page"),
        (Self::Text, "text"),
        (Self::Pictures, "pictures"),
        (Self::Data, "data"),
        (Self::Program, "program"),
    ];
}

/// Everything that was asked for.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Job {
    /// The job's name.
    pub name: Option<String>,
    /// The unit of bare lengths and, unless it says otherwise, of the paper.
    pub units: Option<Unit>,
    /// The unit of the paper, where it is another one.
    pub paper: Option<Unit>,
    /// The finest fraction of an inch on paper, as its lower number.
    pub fraction: Option<u32>,
    /// Where the outline comes from.
    pub shape: Option<ShapeSource>,
    /// The second half of a joint whose first half is that outline.
    pub mate: Option<Mate>,
    /// The size of a drawing that does not say its own.
    pub known_size: Option<KnownSize>,
    /// Which layers and colours of the drawing are meant.
    pub pick: Pick,
    /// How far fitted arcs may stray from drawn curves.
    pub fit: Option<Mm>,
    /// Roles asked for, later ones holding over earlier ones.
    pub roles: Vec<RoleWish>,
    /// How the grain lies.
    pub grain: Option<GrainWish>,
    /// What it is like.
    pub grain_kind: Option<GrainKind>,
    /// The strips the board is glued up from, side by side.
    pub strips: Vec<Strip>,
    /// The stock's measured thickness.
    pub thick: Option<Mm>,
    /// The stock's width.
    pub width: Option<Mm>,
    /// The named sizes, which lengths laid over the job may use too.
    pub sizes: Sizes,
    /// The stock's species, only to be printed.
    pub species: Option<String>,
    /// The bits to use, by their own words or by their names on the rack.
    pub bits: Vec<BitText>,
    /// The rack's file, named relative to the job.
    pub rack_file: Option<String>,
    /// The rack that names are looked up on; whoever reads files puts it here.
    pub rack: Rack,
    /// The bearing of every bit that names none.
    pub bearing: Option<Diameter>,
    /// The cutting length of every bit that names none.
    pub cut_length: Option<Mm>,
    /// Where the person works; more than one is allowed.
    pub stations: Vec<Station>,
    /// Waste to leave for the router.
    pub leave: Option<Mm>,
    /// How many to make.
    pub count: Option<u32>,
    /// Which hand.
    pub hand: Option<Hand>,
    /// The side of the part that is its reference edge: near or far.
    pub reference_edge: Option<Side>,
    /// The side of the part that is its reference end: left or right.
    pub reference_end: Option<Side>,
    /// What is asked of the sheets.
    pub sheets: SheetWish,
    /// Which files to make; none named means all.
    pub files: Vec<FileKind>,
    /// The template.
    pub template: TemplateWish,
    /// The machine.
    pub machine: MachineWish,
    /// The shop's own rules, printed above the cautions.
    pub shop_rules: Vec<String>,
    /// Where its keys and tables stand in its file, the machine's as `machine.mill`; the end of
    /// the file under no name.
    pub keys: BTreeMap<String, Place>,
}

/// Where the rack of a job is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RackFrom<'j> {
    /// In the file that the job names: what is wrong with it is told even where nothing is
    /// named on it.
    Own(&'j str),
    /// In the one that jobs share.
    Shared,
    /// Nothing is named on a rack.
    Nowhere,
}

impl Job {
    /// Where its rack is found.
    pub fn rack_from(&self) -> RackFrom<'_> {
        let is_needed = self.machine.mill.is_some()
            || self.machine.axes.is_some()
            || self.bits.iter().any(|bit| bit.rack_name().is_some());
        match &self.rack_file {
            Some(file) => RackFrom::Own(file),
            None if is_needed => RackFrom::Shared,
            None => RackFrom::Nowhere,
        }
    }

    /// The unit of the paper.
    pub fn paper_unit(&self) -> Unit {
        self.paper.or(self.units).unwrap_or(Unit::Mm)
    }

    /// How its paper writes lengths.
    pub fn on_paper(&self) -> Paper {
        let fraction = self.fraction.unwrap_or(Paper::MM.fraction);
        Paper { unit: self.paper_unit(), fraction }
    }

    /// Where a key of the job stands; where it would be added, if it is not there.
    pub fn place(&self, key: &str) -> Place {
        let place = self.keys.get(key).or_else(|| self.keys.get("")).cloned();
        place.unwrap_or_else(|| {
            let name = self.name.as_deref().unwrap_or("job");
            Place::whole(Source::Job, name).element(key)
        })
    }
}

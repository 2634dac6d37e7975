//! What the person owns and chose, complete: bits, stock, template, ways of working, machine.

mod axes;

mod bit;

pub mod defaults;

mod feed;

mod fill;

mod machine;

mod machine_problems;

mod mill;

mod solid;

mod speed;

pub use axes::Axes;
pub use feed::{chart_chip, light_chip};
pub use fill::{grain, leave, reference, shop};
pub use machine::{Holder, KeepOut, LapWay, Machine, Rates, Recess, Tool};
pub use speed::{bit_speed, rim_limit};

use crate::geom::{Bounds, Point, tolerance};
use crate::grain::Grain;
use crate::outline::Outline;
use crate::read::{Extra, FileKind, GrainKind, Role, SheetWish, Station};
use crate::units::{Diameter, Mm, Paper};

/// Which face of the wood. Face A is the face the drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// The face the drawing shows.
    A,
    /// The other one.
    B,
}

impl Face {
    /// The face on the other side.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::A => Self::B,
            Self::B => Self::A,
        }
    }

    /// Its letter.
    pub const fn letter(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::B => "B",
        }
    }
}

/// What guides a bit in one set-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Guide {
    /// The bearing by the shank.
    Shank,
    /// The bearing at the tip.
    Tip,
    /// A guide bush in the router's base.
    Bush,
}

impl Guide {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shank => "shank",
            Self::Tip => "tip",
            Self::Bush => "bush",
        }
    }
}

/// A bit of the rack.
#[derive(Debug, Clone, PartialEq)]
pub struct Bit {
    /// Its number on the sheets, from 1.
    pub number: usize,
    /// As the person wrote it.
    pub text: String,
    /// What cuts.
    pub cutter: Diameter,
    /// What rides on the template: bearing or bush.
    pub bearing: Diameter,
    /// Where it is guided: one guide, or shank and tip.
    pub guides: Vec<Guide>,
    /// How long the cutter is, if known.
    pub cut_length: Option<Mm>,
    /// How far it reaches below the base at full grip, if known.
    pub reach: Option<Mm>,
    /// The speed marked on it, in turns a minute, if known.
    pub marked_speed: Option<f64>,
    /// What else is known of it.
    pub body: BitBody,
}

/// What a bit is like beside what it cuts and what guides it, as far as it is known.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BitBody {
    /// Its shank.
    pub shank: Option<Diameter>,
    /// How high its bearing is.
    pub bearing_height: Option<Mm>,
    /// The bearings that fit it.
    pub bearings: Vec<Diameter>,
    /// How many cutting edges it has.
    pub flutes: Option<u32>,
}

impl Bit {
    /// How far its template's edge lies outside the part's, in mm; negative inside.
    pub const fn template_offset(&self) -> f64 {
        self.cutter.radius() - self.bearing.radius()
    }

    /// The words `plan.json` has for its bearing: `shank`, `tip`, `both` or `bush`.
    pub fn bearing_end(&self) -> &'static str {
        match self.guides.as_slice() {
            [one] => one.word(),
            _ => "both",
        }
    }
}

/// The stock.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Stock {
    /// Measured thickness or, where parts lap, how deep each is cut from its face.
    pub thick: Option<Mm>,
    /// The whole thickness, where the cut stops at a floor before the far face.
    pub over_floor: Option<Mm>,
    /// The part that is a socket over that floor, by index: nothing of it is sawn.
    pub socket: Option<usize>,
    /// Measured width.
    pub width: Option<Mm>,
    /// Species, only to be printed.
    pub species: Option<String>,
    /// The axis of the grain, in degrees counter-clockwise from +x on face A, `0 <= grain < 180`.
    pub grain: f64,
    /// The strips it is glued up from, each with its width in mm and the axis of its grain;
    /// none where it is one board.
    pub strips: Vec<(f64, f64)>,
    /// What the grain is like.
    pub kind: GrainKind,
}

impl Stock {
    /// Whether a part, by index, is sawn to its outline: a saw goes right through.
    pub fn is_sawn(&self, part: usize) -> bool {
        self.socket != Some(part)
    }

    /// How the grain lies in a part: in the mirror image of what is drawn it is mirrored too.
    pub fn grain_of(&self, outline: &Outline) -> Grain {
        let whole = outline.bounds();
        if !outline.mirrored {
            return Grain::of_strips(self.grain, &self.strips, whole);
        }
        let drawn = whole.mirrored();
        Grain::of_strips(self.grain, &self.strips, drawn).mirrored(drawn)
    }
}

/// What the sizes of a part are measured from, as face A shows it: as far as the person said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reference {
    /// Whether the edge is the far one.
    pub far: bool,
    /// Whether the end is the right one; none where nobody said.
    pub right: Option<bool>,
    /// Whether the person is left-handed: where nothing else decides, the other end.
    pub left_handed: bool,
}

/// The sides that the sizes of one part are measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sides {
    /// Whether the edge is the far one.
    pub far: bool,
    /// Whether the end is the right one.
    pub right: bool,
}

impl Reference {
    /// That of a part: the mirror image's end is on the other side; where nobody said, the end
    /// that is there already goes before one that is yet to be cut.
    #[must_use]
    pub fn of(self, outline: &Outline) -> Sides {
        let whole = outline.bounds();
        let right = self.right.map_or_else(
            || match [whole.low.x, whole.high.x].map(|x| stands(outline, x)) {
                [false, true] => true,
                [true, false] => false,
                [_, _] => outline.mirrored != self.left_handed,
            },
            |right| right != outline.mirrored,
        );
        Sides { far: self.far, right }
    }
}

/// Whether a part has an edge at this end that is not cut.
fn stands(outline: &Outline, x: f64) -> bool {
    outline.edges.iter().filter(|edge| edge.role != Role::Rout).any(|edge| {
        let ring = &outline.loops[edge.span.on];
        let ends = [edge.span.from, edge.span.from + edge.span.length];
        ends.iter().all(|&along| (ring.at(along).x - x).abs() < tolerance::REPAIR)
    })
}

impl Sides {
    /// The corner of a part's bounds where edge and end meet.
    pub const fn corner(self, whole: Bounds) -> Point {
        let x = if self.right { whole.high.x } else { whole.low.x };
        let y = if self.far { whole.high.y } else { whole.low.y };
        Point::new(x, y)
    }

    /// How far a point of a part lies from the reference end and from the reference edge.
    pub const fn sizes(self, whole: Bounds, at: Point) -> (f64, f64) {
        let corner = self.corner(whole);
        let x = if self.right { corner.x - at.x } else { at.x - corner.x };
        let y = if self.far { corner.y - at.y } else { at.y - corner.y };
        (x, y)
    }

    /// The point of a part that lies so far from the reference end and the reference edge.
    pub fn back(self, whole: Bounds, at: Point) -> Point {
        let corner = self.corner(whole);
        let x = if self.right { corner.x - at.x } else { corner.x + at.x };
        let y = if self.far { corner.y - at.y } else { corner.y + at.y };
        Point::new(x, y)
    }
}

/// The template, as far as it is a choice.
#[derive(Debug, Clone, PartialEq)]
pub struct Template {
    /// Its thickness.
    pub thick: Mm,
    /// Whether it may be fixed to the other face on pins.
    pub moves: bool,
    /// How far it runs on past the part.
    pub run_on: Mm,
    /// Holes it is to have.
    pub extras: Vec<Extra>,
    /// The bit it was made for, where it is there already.
    pub made_for: Option<Bit>,
}

/// Everything the person owns and chose.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// The job's name: the start of every file's name.
    pub name: String,
    /// How sheets write lengths.
    pub paper: Paper,
    /// The rack, in the order given.
    pub bits: Vec<Bit>,
    /// Where the person works.
    pub stations: Vec<Station>,
    /// The stock.
    pub stock: Stock,
    /// The template.
    pub template: Template,
    /// Waste to leave for the router, in mm.
    pub leave: Mm,
    /// Waste to leave on end grain, in mm.
    pub leave_end_grain: Mm,
    /// How many of each part.
    pub count: u32,
    /// What sizes are measured from.
    pub reference: Reference,
    /// What is asked of the sheets.
    pub sheets: SheetWish,
    /// Which files to make; none named means all.
    pub files: Vec<FileKind>,
    /// The machine, if there is one.
    pub machine: Option<Machine>,
    /// Whether the parts are halves of a joint.
    pub joint: bool,
    /// The shop's own rules.
    pub shop_rules: Vec<String>,
}

impl Shop {
    /// Whether the machine cuts the part itself: no template, no router.
    pub fn cuts_part(&self) -> bool {
        self.machine.as_ref().is_some_and(Machine::cuts_part)
    }

    /// How thick the machine's blank is, in mm: a sheet for a template, or the stock.
    pub fn blank_thick(&self) -> f64 {
        let stock = self.stock.thick.filter(|_| self.cuts_part());
        stock.unwrap_or(self.template.thick).mm()
    }
}

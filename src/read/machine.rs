//! What a person asks of the machine that cuts the template, or the part itself, as far as it was
//! said.

use crate::diag::Place;
use crate::geom::Point;
use crate::units::{Diameter, Mm};

/// Where the machine's X and Y are zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WorkZero {
    /// The blank's lower left corner.
    Corner,
    /// The blank's middle.
    Centre,
}

/// Where the machine's Z is zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ZZero {
    /// The top of the blank.
    Top,
    /// The waste board under it.
    Table,
}

/// What a machine cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Material {
    /// Fibre board.
    Mdf,
    /// Plywood.
    Plywood,
    /// Solid wood of a conifer.
    Softwood,
    /// Solid wood of a broad-leaved tree.
    Hardwood,
    /// A hard plastic: acrylic, phenolic.
    Plastic,
}

impl Material {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mdf => "mdf",
            Self::Plywood => "plywood",
            Self::Softwood => "softwood",
            Self::Hardwood => "hardwood",
            Self::Plastic => "plastic",
        }
    }
}

/// How far down a template is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bottom {
    /// Through, held by tabs.
    Through,
    /// Down to a skin that holds everything, cut with a knife.
    Skin,
}

/// What the machine cuts out of its blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Cut {
    /// The template that the router then follows.
    #[default]
    Template,
    /// The part itself, out of the stock.
    Part,
}

/// Something on the blank or beside it that the machine must keep clear of.
#[derive(Debug, Clone, PartialEq)]
pub struct KeepOutWish {
    /// What it is.
    pub name: String,
    /// Its lower left corner from the program's zero.
    pub at: Point,
    /// Its size along x and y.
    pub size: Point,
    /// How high it stands above the blank.
    pub high: Mm,
}

/// What lies round a recess, in the drawing's frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RecessShape {
    /// A circle about a point.
    Round(Point, Diameter),
    /// An upright rectangle: its lower left corner and its size.
    Square(Point, Point),
}

/// A part of the template's face that is cleared to a depth.
#[derive(Debug, Clone, PartialEq)]
pub struct RecessWish {
    /// What it is for.
    pub name: String,
    /// What lies round it.
    pub shape: RecessShape,
    /// How deep it is.
    pub depth: Mm,
}

/// Inside corners that the job calls hidden: the mill may cut past the line there.
#[derive(Debug, Clone, PartialEq)]
pub enum Hidden {
    /// Those at the ends of every edge of this name.
    Edge(String),
    /// The one at this place of the drawing.
    Corner(Point),
}

/// What is asked of the machine. Without an end mill there is no machine.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MachineWish {
    /// The end mill, measured.
    pub end_mill: Option<Diameter>,
    /// The end mill, by its name on the rack.
    pub mill: Option<String>,
    /// How wide it really cuts, by a test piece.
    pub kerf: Option<Diameter>,
    /// The machine's axes, by their name on the rack.
    pub axes: Option<String>,
    /// A smaller end mill for the openings that it does not enter, measured.
    pub small_mill: Option<Diameter>,
    /// Whether marks are scribed on the template's face.
    pub scribe: Option<bool>,
    /// How wide a line the point makes that scribes them.
    pub scribe_point: Option<Diameter>,
    /// How deep they are scribed.
    pub scribe_depth: Option<Mm>,
    /// Whether the finishing lap climbs.
    pub climb_finish: Option<bool>,
    /// How fast it speeds up and slows down, in mm/s2.
    pub acceleration: Option<Mm>,
    /// How fast it travels above the work, in mm a minute.
    pub travel_rate: Option<Mm>,
    /// How fast it travels up and down, in mm a minute.
    pub travel_rate_z: Option<Mm>,
    /// How many flutes it has.
    pub flutes: Option<u32>,
    /// The highest speed marked on it.
    pub marked_speed: Option<f64>,
    /// What it cuts out of its blank.
    pub cut: Option<Cut>,
    /// What is left for the finishing lap.
    pub allowance: Option<Mm>,
    /// The inside corners that are relieved, each with where that was asked.
    pub relieve: Vec<(Hidden, Place)>,
    /// What it cuts.
    pub material: Option<Material>,
    /// How thick a chip a tooth is to take.
    pub chip: Option<Mm>,
    /// The most feed of the machine, in mm a minute.
    pub feed_most: Option<Mm>,
    /// The blank, along x and y.
    pub blank: Option<(Mm, Mm)>,
    /// Where X and Y are zero.
    pub zero: Option<WorkZero>,
    /// Where Z is zero.
    pub z_zero: Option<ZZero>,
    /// The height above the blank at which the tool may travel.
    pub clear: Option<Mm>,
    /// Feed, in mm a minute.
    pub feed: Option<Mm>,
    /// Plunge feed, in mm a minute.
    pub plunge: Option<Mm>,
    /// Turns a minute.
    pub rpm: Option<f64>,
    /// How far down it cuts.
    pub bottom: Option<Bottom>,
    /// How far it goes into the waste board.
    pub through: Option<Mm>,
    /// The skin it leaves.
    pub skin: Option<Mm>,
    /// What stands of a tab at its narrowest place.
    pub tab_neck: Option<Mm>,
    /// How high a tab stands above the underside.
    pub tab_high: Option<Mm>,
    /// Whether the box of the path is shown in the air first.
    pub air_pass: Option<bool>,
    /// Whether the outline is scratched first.
    pub scratch_pass: Option<bool>,
    /// How far the mill stands out of its collet nut.
    pub stick_out: Option<Mm>,
    /// The collet nut's width.
    pub nut_wide: Option<Mm>,
    /// The collet nut's height.
    pub nut_high: Option<Mm>,
    /// The spindle's width.
    pub spindle_wide: Option<Mm>,
    /// Clamps and screws.
    pub keep_outs: Vec<KeepOutWish>,
    /// What is cleared to a depth.
    pub recesses: Vec<RecessWish>,
    /// The post's name, or the text of a post file with its name.
    pub post: Option<PostChoice>,
}

/// Which post writes the program.
#[derive(Debug, Clone, PartialEq)]
pub enum PostChoice {
    /// One that is compiled in.
    Named(String),
    /// A file's text.
    File {
        /// The file's name.
        name: String,
        /// What it holds.
        text: String,
    },
}

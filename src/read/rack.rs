//! The bits a shop owns, as its rack's file describes them.

use crate::diag::Place;
use crate::units::{Diameter, Mm};

/// What guides a bit of the rack.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BearingAt {
    /// A bearing by the shank.
    Shank,
    /// A bearing at the tip.
    Tip,
    /// A bearing at either end.
    Both,
    /// A bush in the router's base.
    Bush,
}

impl BearingAt {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shank => "shank",
            Self::Tip => "tip",
            Self::Both => "both",
            Self::Bush => "bush",
        }
    }
}

/// A bit of the rack, as far as it is known.
#[derive(Debug, Clone, PartialEq)]
pub struct RackBit {
    /// What jobs call it.
    pub name: String,
    /// What cuts.
    pub cutter: Diameter,
    /// What guides it.
    pub guided: BearingAt,
    /// The bearing it has on, or the bush, if it is not as wide as the cutter.
    pub bearing: Option<Diameter>,
    /// The bearings that fit it.
    pub bearings: Vec<Diameter>,
    /// How high its bearing is.
    pub bearing_height: Option<Mm>,
    /// How long the cutter is.
    pub cut_length: Option<Mm>,
    /// The shank.
    pub shank: Option<Diameter>,
    /// How far it reaches below the base at full grip.
    pub reach: Option<Mm>,
    /// How many cutting edges it has.
    pub flutes: Option<u32>,
    /// The speed marked on it, in turns a minute.
    pub marked_speed: Option<f64>,
}

/// An end mill of the rack, for a machine.
#[derive(Debug, Clone, PartialEq)]
pub struct RackMill {
    /// What jobs call it.
    pub name: String,
    /// Its width, measured.
    pub wide: Diameter,
    /// How wide it really cuts, by a test piece.
    pub kerf: Option<Diameter>,
    /// How many cutting edges it has.
    pub flutes: Option<u32>,
    /// The speed marked on it, in turns a minute.
    pub marked_speed: Option<f64>,
}

/// A machine's axes as a test piece measured them; lengths may be in any unit.
#[derive(Debug, Clone, PartialEq)]
pub struct RackAxes {
    /// What jobs call them.
    pub name: String,
    /// What 100 told along X come out as.
    pub x_per_100: f64,
    /// The same along Y.
    pub y_per_100: f64,
    /// How far Y leans over 100, to the right where it is more than zero.
    pub lean_per_100: Option<f64>,
    /// When that was measured, in the person's words.
    pub measured: Option<String>,
    /// Where the first three stand, in that order; the whole where one is left out.
    pub places: [Place; 3],
}

/// The bits a shop owns.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rack {
    /// Its file's name.
    pub name: String,
    /// The bits, in the file's order.
    pub bits: Vec<RackBit>,
    /// The end mills of its machine.
    pub mills: Vec<RackMill>,
    /// The axes of its machines.
    pub axes: Vec<RackAxes>,
}

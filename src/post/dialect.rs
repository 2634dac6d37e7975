//! A controller by what it can do.

use crate::units::Unit;
use serde::Deserialize;

/// How arcs are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Arcs {
    /// G2 and G3 with I and J counted from the arc's start.
    Centre,
    /// Not at all: short straight moves.
    None,
}

/// What the P word of G4 counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Dwell {
    /// Seconds.
    Seconds,
    /// Thousandths of a second.
    Milliseconds,
}

impl Dwell {
    /// How many of it are in a second.
    pub const fn in_a_second(self) -> f64 {
        match self {
            Self::Seconds => 1.0,
            Self::Milliseconds => 1000.0,
        }
    }
}

/// Who starts the spindle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum Spindle {
    /// The program, with S, M3 and M5.
    #[serde(rename = "words")]
    Words,
    /// The person, at an M0.
    #[serde(rename = "by hand")]
    ByHand,
}

/// The word a program ends with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum End {
    /// M2.
    M2,
    /// M30, which some controllers take for an exchange of pallets.
    M30,
}

impl End {
    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::M2 => "M2",
            Self::M30 => "M30",
        }
    }
}

/// How words for the person are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Comments {
    /// In ( ).
    Brackets,
    /// Not at all.
    None,
}

/// How fast a rapid goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum Rapids {
    /// At the machine's own rate.
    #[serde(rename = "own rate")]
    OwnRate,
    /// At the last F, as on boards made for printers.
    #[serde(rename = "last feed")]
    LastFeed,
}

/// How a controller wants its words.
#[derive(Debug, Clone, PartialEq)]
pub struct Dialect {
    /// The post's name.
    pub name: String,
    /// What it is, in a few words.
    pub about: String,
    /// The unit of every number.
    pub units: Unit,
    /// Figures after the point.
    pub decimals: usize,
    /// How arcs are written.
    pub arcs: Arcs,
    /// What a dwell counts.
    pub dwell: Dwell,
    /// Who starts the spindle.
    pub spindle: Spindle,
    /// The word at the end.
    pub end: End,
    /// No line is longer, in characters.
    pub line_length: usize,
    /// Whether lines are numbered.
    pub line_numbers: bool,
    /// The ending of the file's name, without the dot.
    pub extension: String,
    /// How words for the person are written.
    pub comments: Comments,
    /// Whether the program stands between two lines with a `%`.
    pub percent: bool,
    /// How fast a rapid goes.
    pub rapids: Rapids,
}

impl Dialect {
    /// The word that sets the unit.
    pub const fn units_word(&self) -> &'static str {
        match self.units {
            Unit::Mm => "G21",
            Unit::Inch => "G20",
        }
    }
}

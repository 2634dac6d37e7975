//! Every figure the planner uses that geometry does not settle: value, unit, basis, and how to
//! change it. It stands here once; the code reads it by its name.

mod bench;

mod choice;

mod doubt;

mod grain;

mod hand;

mod joint;

mod limit;

mod machine;

mod movement;

mod paper;

mod wedge;

pub use bench::*;
pub use choice::*;
pub use doubt::*;
pub use grain::*;
pub use hand::*;
pub use joint::*;
pub use limit::*;
pub use machine::*;
pub use movement::*;
pub use paper::*;
pub use wedge::*;

use std::fmt;

/// Where a figure comes from. Nothing else is a basis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Author or body, title, year, place.
    Published(&'static str),
    /// Common practice, no source.
    CommonPractice,
    /// From memory.
    FromMemory,
    /// Geometry.
    Geometry,
    /// Measured.
    Measured,
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Published(source) => write!(f, "published: {source}"),
            Self::CommonPractice => f.write_str("common practice, no source"),
            Self::FromMemory => f.write_str("from memory"),
            Self::Geometry => f.write_str("geometry"),
            Self::Measured => f.write_str("measured"),
        }
    }
}

/// One figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Default {
    /// What it is, in words.
    pub name: &'static str,
    /// How much.
    pub value: f64,
    /// Its unit, in words.
    pub unit: &'static str,
    /// Where it comes from.
    pub basis: Basis,
    /// How to change it.
    pub change: &'static str,
}

/// All of them, in the order they are printed.
pub fn all() -> impl Iterator<Item = &'static Default> {
    let bench = BENCH.iter().chain(&CHOICE).chain(&GRAIN).chain(&HAND).chain(&MACHINE);
    bench
        .chain(&LIMIT)
        .chain(&DOUBT)
        .chain(&PAPER)
        .chain(&WEDGE)
        .chain(&JOINT)
        .chain([&MEETS_WITHIN])
        .chain(&FIT)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_says_what_it_is() {
        for (index, one) in all().enumerate() {
            assert!(0.0 < one.value, "{} has a value", one.name);
            assert!(!one.change.is_empty(), "{} says how to change it", one.name);
            let twice = all().skip(index + 1).any(|other| other.name == one.name);
            assert!(!twice, "{} stands once", one.name);
        }
    }
}

//! How wood moves across its grain as it takes up and gives off water.
//!
//! `change = width × coefficient × change of moisture in per cent`, good from 6 to 14 per cent;
//! along the grain it hardly moves.

use super::{Basis, Default};

const HANDBOOK: Basis = Basis::Published(
    "Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, Table 13-5, Madison",
);
/// Tables of flooring trades, which name no author.
const FLOORING: Basis = Basis::CommonPractice;

/// What a species does for one per cent of moisture, flat-sawn: the way it moves most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moves {
    /// The words a species is known by, all of which its name must hold.
    pub words: &'static [&'static str],
    /// Its share of the width for one per cent.
    pub share: f64,
    /// Where that comes from.
    pub basis: Basis,
}

const fn moves(words: &'static [&'static str], share: f64) -> Moves {
    Moves { words, share, basis: HANDBOOK }
}

/// The species, more special names first.
const SPECIES: [Moves; 23] = [
    moves(&["white", "oak"], 0.003_65),
    moves(&["oak"], 0.003_69),
    moves(&["red", "maple"], 0.002_89),
    moves(&["maple"], 0.003_53),
    moves(&["white", "ash"], 0.002_74),
    moves(&["ash"], 0.002_74),
    moves(&["beech"], 0.004_31),
    moves(&["birch"], 0.003_38),
    moves(&["cherry"], 0.002_48),
    moves(&["alder"], 0.002_56),
    moves(&["aspen"], 0.002_34),
    moves(&["walnut"], 0.002_74),
    moves(&["basswood"], 0.003_30),
    moves(&["elm"], 0.003_38),
    moves(&["sweetgum"], 0.003_65),
    Moves { words: &["douglas"], share: 0.002_67, basis: FLOORING },
    Moves { words: &["pine"], share: 0.002_65, basis: FLOORING },
    Moves { words: &["teak"], share: 0.001_86, basis: FLOORING },
    Moves { words: &["padauk"], share: 0.001_80, basis: FLOORING },
    Moves { words: &["wenge"], share: 0.002_01, basis: FLOORING },
    Moves { words: &["purpleheart"], share: 0.002_12, basis: FLOORING },
    Moves { words: &["mesquite"], share: 0.001_29, basis: FLOORING },
    Moves { words: &["fir"], share: 0.002_67, basis: FLOORING },
];

/// How a species moves, by its name.
pub fn movement(species: &str) -> Option<&'static Moves> {
    let name = species.to_lowercase();
    let holds =
        |word: &&str| name.split(|c: char| !c.is_alphabetic()).any(|w| w == *word);
    SPECIES.iter().find(|one| one.words.iter().all(holds))
}

impl Moves {
    /// By how much a width changes.
    pub fn change(&self, width: f64, percent: f64) -> f64 {
        width * self.share * percent
    }
}

/// How far the moisture of a piece is taken to swing in a year.
pub const MOISTURE_SWING: Default = Default {
    name: "how far the moisture of wood swings indoors in a year",
    value: 4.0,
    unit: "per cent",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Movement across the grain that matters in a joint.
pub const MOVEMENT_MATTERS: Default = Default {
    name: "movement across the grain of a joint that matters",
    value: 0.5,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// The widest gap a glue line bears.
pub const GLUE_GAP: Default = Default {
    name: "widest gap of a glued joint; at twice that a mortise and tenon lost a fifth of its strength",
    value: 0.13,
    unit: "mm",
    basis: Basis::Published(
        "D. Bollock, Purdue, in Fine Woodworking, January/February 2017",
    ),
    change: "not to be changed",
};

/// All of them.
pub const FIT: [Default; 3] = [MOISTURE_SWING, MOVEMENT_MATTERS, GLUE_GAP];

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: the coefficients, worked by hand.
    #[test]
    fn widths_change_as_worked_by_hand() {
        for (species, width, percent, change) in [
            ("hard maple", 300.0, 4.0, 4.236),
            ("Red oak", 254.0, 4.0, 3.749),
            ("mesquite", 127.0, 3.0, 0.4915),
        ] {
            let moves = movement(species).expect(species);
            let found = moves.change(width, percent);
            assert!((found - change).abs() < 0.001, "{species}: {found}");
        }
        assert!(movement("plywood").is_none(), "a species that is not known");
        assert!(movement("smash").is_none(), "only whole words are names");
    }
}

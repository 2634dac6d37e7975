//! Figures of hand work, template and saw.

use super::{Basis, Default};
use crate::grain;

/// Stock thicker than this is pared from both faces.
pub const PARED_FROM_BOTH_FACES: Default = Default {
    name: "stock thicker than this is pared from both faces",
    value: 25.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// What is no deeper than this is pared from one face whatever the stock.
pub const SHALLOW_PARE: Default = Default {
    name: "what is no deeper than this is pared from one face whatever the stock",
    value: 1.5,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Width of a chisel over the side it pares: about a third of its back rides on the wall.
pub const CHISEL_OVER_SIDE: Default = Default {
    name: "width of a chisel over the side it pares: about a third of its back rides on the wall",
    value: 1.5,
    unit: "times",
    basis: Basis::CommonPractice,
    change: "not to be changed yet",
};

/// Longest edge that is pared with a chisel.
pub const MOST_PARED: Default = Default {
    name: "longest edge that is pared with a chisel",
    value: 30.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "not to be changed yet",
};

/// A void sharper than this is sawn on its bisector before any chisel.
pub const SHARP_VOID: Default = Default {
    name: "a void sharper than this is sawn on its bisector before any chisel",
    value: 75.0,
    unit: "degrees",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// A hollow of a smaller radius takes no round spokeshave.
pub const SPOKESHAVE_RADIUS: Default = Default {
    name: "a hollow of a smaller radius takes no round spokeshave",
    value: 50.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Shortest run-on of the template.
pub const LEAST_RUN_ON: Default = Default {
    name: "shortest run-on of the template",
    value: 15.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Run-ons nearer to each other than this become one.
pub const LEAST_RUN_ON_GAP: Default = Default {
    name: "run-ons nearer to each other than this become one",
    value: 25.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// How far a saw line runs straight on where its run ends.
pub const SAW_RUN_OUT: Default = Default {
    name: "how far a saw line runs straight on where its run ends",
    value: 10.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// What is left in the middle of an opening must be wider than this to be sawn.
pub const LEAST_PLUG: Default = Default {
    name: "what is left in the middle of an opening must be wider than this to be sawn",
    value: 3.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Room for saw and run-off, added to each side of a routed part.
pub const ROUND_THE_PART: Default = Default {
    name: "room for saw and run-off, added to each side of a routed part",
    value: 12.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// All of these, in the order they are printed.
pub(super) const HAND: [Default; 11] = [
    PARED_FROM_BOTH_FACES,
    SHALLOW_PARE,
    CHISEL_OVER_SIDE,
    MOST_PARED,
    SHARP_VOID,
    SPOKESHAVE_RADIUS,
    LEAST_RUN_ON,
    LEAST_RUN_ON_GAP,
    SAW_RUN_OUT,
    LEAST_PLUG,
    ROUND_THE_PART,
];

/// The grain's own figures stand where the grain is measured.
pub(super) const GRAIN: [Default; 3] = [
    Default {
        name: "the tooth runs along the grain up to",
        value: grain::ALONG,
        unit: "degrees",
        basis: Basis::FromMemory,
        change: "not to be changed",
    },
    Default {
        name: "over this downhill the edge is rough and little waste is left",
        value: grain::ROUGH,
        unit: "degrees",
        basis: Basis::Published("Lungu, Gurau, Cosereanu, BioResources 18(3), 2023"),
        change: "not to be changed",
    },
    Default {
        name: "it is end grain over",
        value: grain::END_GRAIN,
        unit: "degrees",
        basis: Basis::FromMemory,
        change: "not to be changed",
    },
];

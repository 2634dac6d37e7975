//! Figures of hand work, template and saw.

use super::{Basis, Default};

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

/// How near an inside corner no plane cuts.
pub const PLANE_NOSE: Default = Default {
    name: "how near an inside corner no plane or spokeshave cuts",
    value: 15.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
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

/// Narrowest bandsaw blade most people keep.
pub const COMMON_BLADE: Default = Default {
    name: "narrowest bandsaw blade most people keep",
    value: 6.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Tightest radius a jigsaw turns.
pub const JIGSAW_RADIUS: Default = Default {
    name: "tightest radius a jigsaw turns",
    value: 15.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Least width of an opening that a jigsaw works in.
pub const JIGSAW_ROOM: Default = Default {
    name: "least width of an opening that a jigsaw works in",
    value: 25.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Thickest stock a jigsaw cuts square.
pub const JIGSAW_THICK: Default = Default {
    name: "thickest stock a jigsaw cuts square",
    value: 40.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Thickest stock a fretsaw is used on.
pub const FRETSAW_THICK: Default = Default {
    name: "thickest stock a fretsaw is used on; thicker is drilled out",
    value: 25.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Largest drill most people have.
pub const LARGEST_DRILL: Default = Default {
    name: "largest drill most people have",
    value: 40.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Smallest drill that opens a hollow.
pub const SMALLEST_DRILL: Default = Default {
    name: "smallest drill worth opening a hollow with",
    value: 6.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Smallest sanding drum.
pub const SMALLEST_DRUM: Default = Default {
    name: "smallest sanding drum",
    value: 13.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Least face of a template for tape.
pub const TAPED_AREA: Default = Default {
    name: "least face of a template that tape alone holds",
    value: 10000.0,
    unit: "mm²",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Thinnest template that is pried off tape.
pub const TAPED_THICK: Default = Default {
    name: "thinnest template that is pried off tape without breaking",
    value: 5.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Room between a filler and the bit.
pub const FILLER_CLEAR: Default = Default {
    name: "room between a filler in an opening and the bit that goes round it",
    value: 5.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Narrowest filler that carries a base.
pub const LEAST_FILLER: Default = Default {
    name: "narrowest filler in an opening that carries a router's base",
    value: 20.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// All of these, in the order they are printed.
pub(super) const HAND: [Default; 24] = [
    PARED_FROM_BOTH_FACES,
    SHALLOW_PARE,
    CHISEL_OVER_SIDE,
    MOST_PARED,
    SHARP_VOID,
    PLANE_NOSE,
    SPOKESHAVE_RADIUS,
    LEAST_RUN_ON,
    LEAST_RUN_ON_GAP,
    SAW_RUN_OUT,
    LEAST_PLUG,
    ROUND_THE_PART,
    COMMON_BLADE,
    JIGSAW_RADIUS,
    JIGSAW_ROOM,
    JIGSAW_THICK,
    FRETSAW_THICK,
    LARGEST_DRILL,
    SMALLEST_DRILL,
    SMALLEST_DRUM,
    TAPED_AREA,
    TAPED_THICK,
    FILLER_CLEAR,
    LEAST_FILLER,
];

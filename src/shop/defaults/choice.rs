//! Figures that choose bits and where to work.

use super::{Basis, Default};
use crate::units::Unit;

/// Stock thicker than this asks for care with a bit, in bit diameters.
pub const SLENDER: Default = Default {
    name: "stock thicker than this asks for care: the bit stands far out and bends",
    value: 3.0,
    unit: "bit diameters",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// A heavier part is not fed over a table.
pub const HEAVY_PART: Default = Default {
    name: "a part heavier than this is routed by hand where the person can",
    value: 2.5,
    unit: "kg",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// What wood weighs.
pub const DENSITY: Default = Default {
    name: "what wood weighs, to tell a heavy part",
    value: 700.0,
    unit: "kg a cubic metre",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Least turn of an outside corner beside which a block finds room: at a flatter bend the next
/// edge's waste lies in its place, and the bit swings in or lifts away as on a hump.
pub const FLAT_BEND: Default = Default {
    name: "least turn of an outside corner that a block is fixed at",
    value: 30.0,
    unit: "degrees",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// Length of a backer.
pub const BACKER_LENGTH: Default = Default {
    name: "length of a block that backs the end of a pass",
    value: 3.0,
    unit: "bit diameters",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// Minutes a bit must save to be worth buying.
pub const LEAST_SAVED: Default = Default {
    name: "minutes at the bench that a bit must save to be named as worth buying",
    value: 1.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Diameters of bits with bearings sold by the millimetre (from memory).
pub const BITS_MM: [f64; 7] = [6.0, 8.0, 10.0, 12.0, 12.7, 16.0, 19.0];

/// Diameters of bits with bearings sold by the inch, in mm: 1/4 to 3/4 (from memory).
pub const BITS_INCH: [f64; 5] = [6.35, 9.525, 12.7, 15.875, 19.05];

/// How far a bit may stand out beyond the stock.
pub const MOST_STANDS_OUT: Default = Default {
    name: "how far a bit may stand out beyond the stock before a spacer goes under the template",
    value: 12.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Changing the bearing after a light lap.
pub const MINUTES_BEARING: Default = Default {
    name: "changing the bearing after a light lap",
    value: 4.0,
    unit: "minutes",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// What a tooth takes of hard wood at a good pace by hand.
pub const HAND_CHIP: Default = Default {
    name: "what a tooth takes at a good pace by hand; less rubs and burns",
    value: 0.1,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// Sheets for templates and spacers sold by the millimetre (common practice, no source).
pub const SHEETS_MM: [f64; 9] = [3.0, 4.0, 6.0, 9.0, 12.0, 15.0, 18.0, 22.0, 25.0];

/// The same sold by the inch, in mm: 1/8 to 1 (common practice, no source).
pub const SHEETS_INCH: [f64; 6] = [3.175, 6.35, 9.525, 12.7, 19.05, 25.4];

/// The sheets sold by this unit, the thinnest first, in mm.
pub const fn sheets(unit: Unit) -> &'static [f64] {
    match unit {
        Unit::Mm => &SHEETS_MM,
        Unit::Inch => &SHEETS_INCH,
    }
}

/// All of these, in the order they are printed.
pub(super) const CHOICE: [Default; 9] = [
    SLENDER,
    HEAVY_PART,
    DENSITY,
    FLAT_BEND,
    BACKER_LENGTH,
    LEAST_SAVED,
    MOST_STANDS_OUT,
    MINUTES_BEARING,
    HAND_CHIP,
];

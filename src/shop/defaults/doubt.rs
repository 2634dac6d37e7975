//! Sizes that hardly anything has which is routed: where one is met, a unit may have slipped.

use super::{Basis, Default};

/// A drawing smaller than this both ways may be in inches.
pub const SMALLEST_DRAWING: Default = Default {
    name: "a drawing smaller than this both ways may be in inches",
    value: 40.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// A drawing larger than this may be in another unit.
pub const LARGEST_DRAWING: Default = Default {
    name: "a drawing larger than this may be in another unit",
    value: 3000.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// A bit with a cutter narrower than this is none: its unit is wrong.
pub const NARROWEST_CUTTER: Default = Default {
    name: "a cutter narrower than this is taken for a wrong unit, and refused",
    value: 1.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// A bit with a cutter wider than this is none: its unit is wrong.
pub const WIDEST_CUTTER: Default = Default {
    name: "a cutter wider than this is taken for a wrong unit, and refused",
    value: 100.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// Stock thicker than this is none that is routed: its unit is wrong.
pub const THICKEST_STOCK: Default = Default {
    name: "stock thicker than this is taken for a wrong unit, and refused",
    value: 400.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// All of these, in the order they are printed.
pub(super) const DOUBT: [Default; 5] =
    [SMALLEST_DRAWING, LARGEST_DRAWING, NARROWEST_CUTTER, WIDEST_CUTTER, THICKEST_STOCK];

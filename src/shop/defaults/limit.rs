//! What no job and no program may ask of the machine.

use super::{Basis, Default};

/// Deepest cut at one go that a proof passes, as a share of the mill's width.
pub const MOST_BITE: Default = Default {
    name: "deepest cut at one go that a proof passes, as a share of the mill's width",
    value: 1.0,
    unit: "of the width",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Farther into the waste board is a slip of a figure.
pub const MOST_THROUGH: Default = Default {
    name: "farther into the waste board is a slip of a figure",
    value: 3.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// A chip over so many times the most of the charts is refused.
pub const MOST_CHIP: Default = Default {
    name: "a chip over so many times the most of the charts is refused",
    value: 2.0,
    unit: "times the charts' most",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// How far a mill may go outside the blank below its top, beside its own width.
pub const BESIDE_BLANK: Default = Default {
    name: "how far a mill may go outside the blank below its top, beside its own width",
    value: 15.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`blank` under [machine]",
};

/// How far it may travel outside the blank above its top.
pub const TRAVEL_BESIDE: Default = Default {
    name: "how far it may travel outside the blank above its top",
    value: 300.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`blank` under [machine]",
};

/// All of these, in the order they are printed.
pub(super) const LIMIT: [Default; 5] =
    [MOST_BITE, MOST_THROUGH, MOST_CHIP, BESIDE_BLANK, TRAVEL_BESIDE];

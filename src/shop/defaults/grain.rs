//! Figures of the grain: its bands, and where it is short.

use super::{Basis, Default};
use crate::grain;
pub use crate::grain::{ALONG, END_GRAIN};

/// A narrow place whose grain runs out steeper than 1 in this is marked `!`.
pub const SHORT_GRAIN: Default = Default {
    name: "a narrow place whose grain runs out steeper than 1 in this is marked !",
    value: 5.0,
    unit: "to 1",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Steeper than 1 in this it is marked `!!`.
pub const SHORT_GRAIN_WORSE: Default = Default {
    name: "a narrow place whose grain runs out steeper than 1 in this is marked !!",
    value: 3.0,
    unit: "to 1",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Wider places are not looked at for short grain.
pub const SHORT_GRAIN_WIDTH: Default = Default {
    name: "places wider than this are not looked at for short grain",
    value: 75.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Longer fibres are not short.
pub const SHORT_GRAIN_FIBRE: Default = Default {
    name: "fibres longer than this are not short, however the grain runs out",
    value: 300.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// Shorter runs of short grain are not named.
pub const SHORT_GRAIN_LEAST: Default = Default {
    name: "runs of short grain shorter than this are not named",
    value: 6.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};
/// How far apart the edge is looked at for short grain.
pub const SHORT_GRAIN_STEP: Default = Default {
    name: "how far apart the edge is looked at for short grain",
    value: 2.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// A `!!` place no wider than this is not routed.
pub const SHORT_GRAIN_BY_HAND: Default = Default {
    name: "a place marked !! and no wider than this is not routed",
    value: 12.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// All of these, in the order they are printed; the bands stand where the grain is measured.
pub(super) const GRAIN: [Default; 10] = [
    Default {
        name: "the tooth runs along the grain up to",
        value: ALONG,
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
        value: END_GRAIN,
        unit: "degrees",
        basis: Basis::FromMemory,
        change: "not to be changed",
    },
    SHORT_GRAIN,
    SHORT_GRAIN_WORSE,
    SHORT_GRAIN_WIDTH,
    SHORT_GRAIN_FIBRE,
    SHORT_GRAIN_LEAST,
    SHORT_GRAIN_STEP,
    SHORT_GRAIN_BY_HAND,
];

//! Figures of wedges.

use super::{Basis, Default};
use crate::joint::{Habits, WedgeKind};

/// The slope of folding wedges.
pub const FOLDING_SLOPE: Default = Default {
    name: "slope of folding wedges, 1 in",
    value: 12.0,
    unit: "",
    basis: Basis::FromMemory,
    change: "--slope",
};
/// The slope of a tusk wedge.
pub const TUSK_SLOPE: Default = Default {
    name: "slope of a tusk wedge, 1 in",
    value: 6.0,
    unit: "",
    basis: Basis::CommonPractice,
    change: "--slope",
};
/// The slope of a tenon wedge: about 4 degrees.
pub const TENON_SLOPE: Default = Default {
    name: "slope of a tenon wedge, 1 in",
    value: 14.3,
    unit: "",
    basis: Basis::CommonPractice,
    change: "--slope",
};
/// What stands out before the head, to be driven.
pub const WEDGE_TO_DRIVE: Default = Default {
    name: "length of a wedge that stands out when it first bites, to be driven",
    value: 15.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "--to-drive",
};
/// What stands out past the tip, to be trimmed.
pub const WEDGE_TO_TRIM: Default = Default {
    name: "length of a wedge past the far face when it first bites, to be trimmed",
    value: 5.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "--to-trim",
};
/// The kerf of the saw that cuts wedges.
pub const WEDGE_KERF: Default = Default {
    name: "kerf of the saw that cuts wedges, and of the saw cut for a tenon wedge",
    value: 1.5,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "--kerf",
};
/// By how much a wedge is lower than its slot.
pub const WEDGE_SHAVING: Default = Default {
    name: "by how much a wedge is lower than its slot: a shaving",
    value: 0.15,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// The thinnest tip of a wedge.
pub const WEDGE_TIP: Default = Default {
    name: "thinnest tip of a wedge that is driven through",
    value: 3.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// The least friction of dry wood on wood.
pub const WOOD_FRICTION: Default = Default {
    name: "least friction of dry wood on wood, of 0.25 to 0.5",
    value: 0.25,
    unit: "of the pressing force",
    basis: Basis::FromMemory,
    change: "--friction",
};
/// How far a tusk wedge's slot begins inside the face.
pub const TUSK_SET_IN: Default = Default {
    name: "how far the slot of a tusk wedge begins inside the face it draws up",
    value: 3.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "--set-in",
};

/// All of them.
pub const WEDGE: [Default; 10] = [
    FOLDING_SLOPE,
    TUSK_SLOPE,
    TENON_SLOPE,
    WEDGE_TO_DRIVE,
    WEDGE_TO_TRIM,
    WEDGE_KERF,
    WEDGE_SHAVING,
    WEDGE_TIP,
    WOOD_FRICTION,
    TUSK_SET_IN,
];

/// The figures wedges are made by where nothing else is said.
pub const WEDGE_HABITS: Habits = Habits {
    to_drive: WEDGE_TO_DRIVE.value,
    to_trim: WEDGE_TO_TRIM.value,
    kerf: WEDGE_KERF.value,
    shaving: WEDGE_SHAVING.value,
    least_tip: WEDGE_TIP.value,
    friction: WOOD_FRICTION.value,
    set_in: TUSK_SET_IN.value,
};

/// The slope of a kind of wedge.
pub const fn wedge_slope(kind: WedgeKind) -> Default {
    match kind {
        WedgeKind::Folding => FOLDING_SLOPE,
        WedgeKind::Tusk => TUSK_SLOPE,
        WedgeKind::Tenon => TENON_SLOPE,
    }
}

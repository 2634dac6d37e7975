//! Figures of patterns on paper.

use super::{Basis, Default};

/// What a printer leaves free round a page.
pub const PAPER_MARGIN: Default = Default {
    name: "margin of a page of a full-size pattern",
    value: 10.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "not to be changed",
};
/// How far the sheets of a pattern lie over each other.
pub const PAPER_OVERLAP: Default = Default {
    name: "overlap of the sheets of a full-size pattern",
    value: 10.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "not to be changed",
};
/// How far a printer may be off before the print is refused.
pub const MOST_STRETCH: Default = Default {
    name: "how far a printed 100 mm bar may be off and still be made up for",
    value: 3.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed",
};
/// What paper may grow in damp air.
pub const PAPER_GROWS: Default = Default {
    name: "what paper may grow across its making in damp air",
    value: 0.3,
    unit: "% of its length",
    basis: Basis::FromMemory,
    change: "not to be changed",
};

/// All of them.
pub const PAPER: [Default; 4] = [PAPER_MARGIN, PAPER_OVERLAP, MOST_STRETCH, PAPER_GROWS];

//! Figures of the machine that cuts the template.

use super::{Basis, Default};

/// Steepest ramp.
pub const RAMP: Default = Default {
    name: "steepest ramp",
    value: 3.0,
    unit: "degrees",
    basis: Basis::CommonPractice,
    change: "not to be changed yet",
};

/// Deepest lap of a mill, as a share of its width.
pub const PASS_DEPTH: Default = Default {
    name: "deepest lap of a mill, as a share of its width",
    value: 0.5,
    unit: "of the width",
    basis: Basis::CommonPractice,
    change: "not to be changed yet",
};

/// What rough laps leave above the underside.
pub const ROUGH_FLOOR: Default = Default {
    name: "what rough laps leave above the underside",
    value: 0.8,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// What is left for the finishing lap.
pub const ALLOWANCE: Default = Default {
    name: "what is left for the finishing lap",
    value: 0.3,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`allowance` under [machine]",
};

/// What is left for the finishing lap of a part of solid wood.
pub const PART_ALLOWANCE: Default = Default {
    name: "what is left for the finishing lap of a part of solid wood",
    value: 1.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`allowance` under [machine]",
};

/// The most that is left for it, as a share of the mill's width: more is no finishing lap.
pub const MOST_ALLOWANCE: Default = Default {
    name: "the most that is left for the finishing lap, as a share of the mill's width",
    value: 0.4,
    unit: "of the width",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// How far runs of a finishing lap overlap where they join.
pub const RUNS_OVERLAP: Default = Default {
    name: "how far runs of a finishing lap overlap where they join",
    value: 5.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// How far past its limits the grain may turn under a run: a lead swings off the edge there.
pub const RUN_SLACK: Default = Default {
    name: "how far past its limit the grain may turn under the end of a run",
    value: 2.0,
    unit: "degrees",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// How far the finishing lap goes on past its start.
pub const LAP_PAST_START: Default = Default {
    name: "how far the finishing lap goes on past its start",
    value: 5.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Margin of the blank round the templates.
pub const BLANK_MARGIN: Default = Default {
    name: "margin of the blank round the templates",
    value: 15.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// What must stand outside the cut for tabs to hold to.
pub const BLANK_RIM: Default = Default {
    name: "what must stand outside the cut for tabs to hold to",
    value: 2.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Net neck of a tab: what stands at its narrowest place.
pub const TAB_NECK: Default = Default {
    name: "net neck of a tab: what stands at its narrowest place",
    value: 5.0,
    unit: "mm",
    basis: Basis::CommonPractice,
    change: "`tab-neck` under [machine]",
};

/// A narrower neck is no tab.
pub const LEAST_NECK: Default = Default {
    name: "a narrower neck is no tab",
    value: 3.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Height of a tab above the underside of the blank.
pub const TAB_HEIGHT: Default = Default {
    name: "height of a tab above the underside of the blank",
    value: 2.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`tab-high` under [machine]",
};

/// A lower tab breaks out.
pub const LEAST_TAB_HEIGHT: Default = Default {
    name: "a lower tab breaks out",
    value: 1.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Largest share of a loop's length that its tabs may take.
pub const TAB_SHARE: Default = Default {
    name: "largest share of a loop's length that its tabs may take",
    value: 0.15,
    unit: "of the length",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Skin left under a small piece that tabs cannot hold.
pub const SKIN: Default = Default {
    name: "skin left under a small piece that tabs cannot hold",
    value: 0.5,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`skin` under [machine]",
};

/// A thinner skin is cut through where the blank is not flat.
pub const LEAST_SKIN: Default = Default {
    name: "a thinner skin is cut through where the blank is not flat",
    value: 0.3,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Depth of the scratch that shows where the outline will be.
pub const SCRATCH: Default = Default {
    name: "depth of the scratch that shows where the outline will be",
    value: 0.3,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`scratch-pass` under [machine] to have it",
};

/// Depth of the marks scribed on the template's face.
pub const SCRIBE_DEPTH: Default = Default {
    name: "depth of the marks scribed on the template's face",
    value: 0.3,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`scribe-depth` under [machine]",
};

/// Deeper marks weaken a template.
pub const MOST_SCRIBE: Default = Default {
    name: "deeper marks weaken a template",
    value: 1.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Deepest mark that an end mill makes at a hole's centre: as wide as the mill, deeper it is a
/// hole of its own.
pub const MOST_DIMPLE: Default = Default {
    name: "deepest mark that an end mill makes at the centre of a hole to drill by hand",
    value: 0.3,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`scribe-point` under [machine], for a mark as deep as the others",
};

/// A cut that differs more from the end mill's width is a slip of the measuring.
pub const MOST_WIDER: Default = Default {
    name: "a cut that differs more from the end mill's width is a slip of the measuring",
    value: 0.5,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Readings of a test piece may disagree by this much.
pub const READINGS_APART: Default = Default {
    name: "readings of a test piece may disagree by this much",
    value: 0.1,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// What calipers tell.
pub const CALIPERS: Default = Default {
    name: "what calipers tell",
    value: 0.03,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// An axis off by a larger share is made up for, and better set right on the machine: a square of
/// 100 mm and a ring of 40, each read wrong by what calipers tell, come to 0.0004.
pub const AXIS_OFF: Default = Default {
    name: "an axis off by a larger share is made up for, and better set right on the machine",
    value: 0.0005,
    unit: "of the length",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// A lean of more over 100 mm is made up for, and the machine better squared: two diagonals of
/// 141 mm, each read wrong by what calipers tell, come to 0.04.
pub const LEAN: Default = Default {
    name: "a lean of more over 100 mm is made up for, and the machine better squared",
    value: 0.05,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Axes off by a larger share are no matter for a program: something is loose or set wrong.
pub const FAR_OFF: Default = Default {
    name: "axes off by a larger share, or that lean by more, must be set right first",
    value: 0.01,
    unit: "of the length",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// What must stand beside a recess and under it.
pub const RECESS_WALL: Default = Default {
    name: "what must stand beside a recess and under it",
    value: 2.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Height of scribed letters, but no less than four widths of their line.
pub const SCRIBE_LETTER: Default = Default {
    name: "height of scribed letters, but no less than four widths of their line",
    value: 7.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`scribe-point` under [machine], for the width of the line",
};

/// How far marks keep from the template's edge.
pub const SCRIBE_INSIDE: Default = Default {
    name: "how far marks keep from the template's edge",
    value: 1.5,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// A hole this near to the mill's own width is drilled.
pub const DRILL_WITHIN: Default = Default {
    name: "a hole this near to the mill's own width is drilled",
    value: 0.05,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// A hole wider than the mill by less than this, and not drilled, is left to the hand: a helix
/// of 3 degrees would fall less than 0.05 mm a turn there, a plunge in disguise that rubs in one
/// place for hundreds of turns.
pub const HELIX_OVER: Default = Default {
    name: "a hole that is not drilled is cut by a helix when it is wider than the mill by",
    value: 0.3,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Time the spindle is given to reach its speed.
pub const SPIN_UP: Default = Default {
    name: "time the spindle is given to reach its speed",
    value: 5.0,
    unit: "seconds",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// Deepest cut into the template that a proof passes.
pub const MOST_GOUGE: Default = Default {
    name: "deepest cut into the template that a proof passes",
    value: 0.01,
    unit: "mm",
    basis: Basis::Measured,
    change: "not to be changed yet",
};

/// Rate of travel above the work.
pub const TRAVEL_RATE: Default = Default {
    name: "rate of travel above the work",
    value: 3000.0,
    unit: "mm a minute",
    basis: Basis::FromMemory,
    change: "`travel-rate` under [machine]",
};

/// Rate of travel up and down.
pub const TRAVEL_RATE_Z: Default = Default {
    name: "rate of travel up and down",
    value: 600.0,
    unit: "mm a minute",
    basis: Basis::FromMemory,
    change: "`travel-rate-z` under [machine]",
};

/// How fast the machine speeds up and slows down.
pub const ACCELERATION: Default = Default {
    name: "how fast the machine speeds up and slows down",
    value: 100.0,
    unit: "mm/s2",
    basis: Basis::FromMemory,
    change: "`acceleration` under [machine]",
};

/// By how much a machine rounds a corner it does not stop in.
pub const CORNER_ROUNDED: Default = Default {
    name: "by how much a machine rounds a corner it does not stop in",
    value: 0.01,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "not to be changed yet",
};

/// How far bit, nut and spindle keep from clamps and screws.
pub const KEEP_OUT_MARGIN: Default = Default {
    name: "how far bit, nut and spindle keep from clamps and screws",
    value: 2.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "give the clamp a larger `size` or `high` under [[machine.keep-outs]]",
};

/// How far the end mill stands out of its nut.
pub const STICK_OUT: Default = Default {
    name: "how far the end mill stands out of its nut",
    value: 25.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`stick-out` under [machine]",
};

/// Width of the collet nut.
pub const NUT_WIDE: Default = Default {
    name: "width of the collet nut",
    value: 28.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`nut-wide` under [machine]",
};

/// Height of the collet nut.
pub const NUT_HIGH: Default = Default {
    name: "height of the collet nut",
    value: 20.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`nut-high` under [machine]",
};

/// Width of the spindle above the nut.
pub const SPINDLE_WIDE: Default = Default {
    name: "width of the spindle above the nut",
    value: 80.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`spindle-wide` under [machine]",
};

/// All of these, in the order they are printed.
pub(super) const MACHINE: [Default; 44] = [
    RAMP,
    PASS_DEPTH,
    ROUGH_FLOOR,
    ALLOWANCE,
    PART_ALLOWANCE,
    MOST_ALLOWANCE,
    RUNS_OVERLAP,
    RUN_SLACK,
    LAP_PAST_START,
    BLANK_MARGIN,
    BLANK_RIM,
    TAB_NECK,
    LEAST_NECK,
    TAB_HEIGHT,
    LEAST_TAB_HEIGHT,
    TAB_SHARE,
    SKIN,
    LEAST_SKIN,
    SCRATCH,
    SCRIBE_DEPTH,
    MOST_SCRIBE,
    MOST_DIMPLE,
    SCRIBE_INSIDE,
    SCRIBE_LETTER,
    RECESS_WALL,
    MOST_WIDER,
    READINGS_APART,
    CALIPERS,
    AXIS_OFF,
    LEAN,
    FAR_OFF,
    DRILL_WITHIN,
    HELIX_OVER,
    SPIN_UP,
    MOST_GOUGE,
    TRAVEL_RATE,
    TRAVEL_RATE_Z,
    ACCELERATION,
    CORNER_ROUNDED,
    KEEP_OUT_MARGIN,
    STICK_OUT,
    NUT_WIDE,
    NUT_HIGH,
    SPINDLE_WIDE,
];

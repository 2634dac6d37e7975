//! Wedges from a slot and the stock's thickness: folding pairs, tusk wedges, tenon wedges.
//!
//! Lengths in mm. A taper of 1 in `n` is the whole taper of one wedge. All of it is geometry
//! but for the friction of wood on wood, which the asker gives.

mod refuse;

mod strip;

#[cfg(test)]
mod tests;

pub use strip::{Cut, Strip};

use crate::diag::Failure;
use crate::units::Paper;

/// What a wedge does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WedgeKind {
    /// Two wedges that slide on each other and spread a slot, as in a scarf.
    Folding,
    /// One wedge through a tenon that stands out, which draws its shoulders up.
    Tusk,
    /// A wedge in a saw kerf of a tenon's end, which spreads it in its mortise; two of them.
    Tenon,
}

impl WedgeKind {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Folding => "folding wedges",
            Self::Tusk => "tusk wedge",
            Self::Tenon => "tenon wedges",
        }
    }

    /// How many make one set.
    pub const fn count(self) -> u32 {
        match self {
            Self::Folding | Self::Tenon => 2,
            Self::Tusk => 1,
        }
    }
}

/// The slot a wedge goes through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// The way the wedge spreads: for folding and tusk wedges the slot's width in the middle
    /// of its depth; for a tenon wedge the room it fills at the outer face.
    pub width: f64,
    /// Square to that, on the same face: what limits the height of the wedge.
    pub height: f64,
    /// How deep the wedge goes: the stock's thickness.
    pub through: f64,
}

/// How a wedge tapers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Taper {
    /// 1 in so many.
    OneIn(f64),
    /// Given by its two ends.
    Ends {
        /// The thick end.
        head: f64,
        /// The thin end.
        tip: f64,
    },
}

/// On what a wedge pushes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Push {
    /// Along the grain of the wood it pushes on: its end grain.
    EndGrain,
    /// Across the grain: its long grain, which splits.
    LongGrain,
}

/// The figures a wedge is made by; none of them is geometry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habits {
    /// Length that stands out before the head, to be driven.
    pub to_drive: f64,
    /// Length past the tip's face, to be trimmed.
    pub to_trim: f64,
    /// The saw's kerf.
    pub kerf: f64,
    /// By how much a wedge is lower than its slot.
    pub shaving: f64,
    /// The thinnest tip.
    pub least_tip: f64,
    /// The least friction of dry wood on wood.
    pub friction: f64,
    /// How far a tusk wedge's slot begins inside the face it draws up.
    pub set_in: f64,
}

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WedgeAsk {
    /// What the wedge does.
    pub kind: WedgeKind,
    /// Its slot.
    pub slot: Slot,
    /// Its taper.
    pub taper: Taper,
    /// On what it pushes.
    pub push: Push,
    /// How wide the tenon is across a tusk wedge's slot, if known.
    pub tenon: Option<f64>,
    /// How many sets are made.
    pub sets: u32,
    /// The figures it is made by.
    pub habits: Habits,
    /// How what is told of it writes lengths.
    pub paper: Paper,
}

/// The wedges of a slot.
#[derive(Debug, Clone, PartialEq)]
pub struct Wedges {
    /// What was asked.
    pub ask: WedgeAsk,
    /// The taper is 1 in so many.
    pub one_in: f64,
    /// The thick end.
    pub head: f64,
    /// The thin end.
    pub tip: f64,
    /// How long it is, as it is cut.
    pub length: f64,
    /// How high: the slot less a shaving.
    pub height: f64,
    /// The strip they are sawn from.
    pub strip: Strip,
}

/// Whether friction holds a driven wedge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// Also where one of its faces may slip: the rule.
    Holds,
    /// Only while neither face slips: the limit.
    WhileDry,
    /// It springs back.
    SpringsBack,
}

/// Works out the wedges of a slot.
///
/// # Errors
/// [`Failure::Refused`] where they would not hold, would split the wood, would bottom out or
/// could not be made, each with what would do.
///
/// ```
/// use spelch::joint::{Habits, Push, Slot, Taper, WedgeAsk, WedgeKind, wedges};
/// let habits = Habits {
///     to_drive: 15.0, to_trim: 5.0, kerf: 1.5, shaving: 0.15, least_tip: 3.0,
///     friction: 0.25, set_in: 3.0,
/// };
/// let slot = Slot { width: 12.0, height: 23.0, through: 45.0 };
/// let ask = WedgeAsk {
///     kind: WedgeKind::Folding, slot, taper: Taper::OneIn(12.0), push: Push::EndGrain,
///     tenon: None, sets: 1, habits, paper: spelch::units::Paper::MM,
/// };
/// let pair = wedges(&ask).unwrap();
/// assert_eq!(pair.length, 65.0);
/// assert!((pair.lift(16.0) - 16.0 / 12.0).abs() < 1e-12);
/// ```
pub fn wedges(ask: &WedgeAsk) -> Result<Wedges, Failure> {
    refuse::unsound(ask)?;
    let WedgeAsk { kind, slot, habits, .. } = *ask;
    let length = match kind {
        WedgeKind::Folding | WedgeKind::Tusk => {
            slot.through + habits.to_drive + habits.to_trim
        }
        WedgeKind::Tenon => slot.width * one_in(ask) + habits.to_drive,
    };
    let one_in = one_in(ask);
    let past_middle = slot.through / 2.0 + habits.to_trim;
    let tip = match (kind, ask.taper) {
        (_, Taper::Ends { tip, .. }) => tip,
        (WedgeKind::Folding, _) => slot.width / 2.0 - past_middle / one_in,
        (WedgeKind::Tusk, _) => slot.width - past_middle / one_in,
        (WedgeKind::Tenon, _) => habits.kerf,
    };
    let head = tip + length / one_in;
    let height = slot.height - habits.shaving;
    let count = kind.count() * ask.sets;
    let strip = Strip::of((head, tip), (length, height), (habits.kerf, count));
    let made = Wedges { ask: *ask, one_in, head, tip, length, height, strip };
    refuse::unusable(&made)?;
    Ok(made)
}

/// The taper as 1 in so many.
fn one_in(ask: &WedgeAsk) -> f64 {
    let WedgeAsk { kind, slot, habits, taper, .. } = *ask;
    match taper {
        Taper::OneIn(one_in) => one_in,
        Taper::Ends { head, tip } => {
            let through = match kind {
                WedgeKind::Folding | WedgeKind::Tusk => slot.through + habits.to_trim,
                // Both ends are given: so is the length, by the room it fills.
                WedgeKind::Tenon => slot.through * DEEPEST,
            };
            (through + habits.to_drive) / (head - tip)
        }
    }
}

/// How deep a tenon wedge may go, as a share of the mortise: it must not reach the bottom of
/// its kerf (from memory).
const DEEPEST: f64 = 0.9;

impl Wedges {
    /// The taper in degrees.
    pub fn degrees(&self) -> f64 {
        libm::atan(1.0 / self.one_in).to_degrees()
    }

    /// By how much driving one wedge this far spreads.
    pub fn lift(&self, drive: f64) -> f64 {
        drive / self.one_in
    }

    /// How far each can still be driven when it first bites.
    pub const fn drive_left(&self) -> f64 {
        self.ask.habits.to_drive
    }

    /// How far it spreads or draws at most, from the first bite until the heads are flush.
    pub fn most_lift(&self) -> f64 {
        let driven = match self.ask.kind {
            WedgeKind::Folding => 2.0 * self.drive_left(),
            WedgeKind::Tusk | WedgeKind::Tenon => self.drive_left(),
        };
        self.lift(driven)
    }

    /// Whether friction holds it.
    pub fn hold(&self) -> Hold {
        hold(self.one_in, self.ask.habits.friction)
    }

    /// The force along the wedge that clamps with a force of 1: a wedge between two faces.
    pub fn force(&self) -> f64 {
        let angle = libm::atan(1.0 / self.one_in);
        let friction = self.ask.habits.friction;
        libm::tan(angle + libm::atan(friction)) + friction
    }
}

/// Whether a taper of 1 in so many holds at this friction: the rule counts one face, the limit
/// both.
fn hold(one_in: f64, friction: f64) -> Hold {
    let angle = libm::atan(1.0 / one_in);
    let slip = libm::atan(friction);
    if angle < slip {
        Hold::Holds
    } else if angle < 2.0 * slip {
        Hold::WhileDry
    } else {
        Hold::SpringsBack
    }
}

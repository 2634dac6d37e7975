//! A joint asked for by name, with the sizes that were given.

use super::Checked;
use crate::diag::{Place, Problem};
use crate::units::Mm;

/// A joint that has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JointName {
    /// Two ends halved on each other.
    HalfLap,
    /// A tail lapped into a socket.
    DovetailedLap,
    /// A tongue in a fork.
    Bridle,
    /// A scarf with a slope and a nib at each end.
    SplayedScarf,
    /// A scarf with a table in its middle, drawn up by folding wedges.
    TabledScarf,
    /// A tenon through a post, drawn up by a tusk wedge.
    TuskTenon,
    /// Fingers of two boards between each other.
    FingerJoint,
}

impl JointName {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::HalfLap,
        Self::DovetailedLap,
        Self::Bridle,
        Self::SplayedScarf,
        Self::TabledScarf,
        Self::TuskTenon,
        Self::FingerJoint,
    ];

    /// The name as it is written in a job.
    pub const fn word(self) -> &'static str {
        match self {
            Self::HalfLap => "half-lap",
            Self::DovetailedLap => "dovetailed-lap",
            Self::Bridle => "bridle",
            Self::SplayedScarf => "splayed-scarf",
            Self::TabledScarf => "tabled-scarf",
            Self::TuskTenon => "tusk-tenon",
            Self::FingerJoint => "finger-joint",
        }
    }
}

/// How hard the wood is, which some proportions go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wood {
    /// Oak, ash, beech and the like.
    Hard,
    /// Fir, pine and the like.
    Soft,
}

/// Which halves are set in to give the joint its clearance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetIn {
    /// Both, half of it each.
    Both,
    /// Half A alone.
    A,
    /// Half B alone.
    B,
}

impl SetIn {
    /// How much of a clearance half A and half B give.
    pub fn shares(self, clearance: f64) -> [f64; 2] {
        match self {
            Self::Both => [clearance / 2.0, clearance / 2.0],
            Self::A => [clearance, 0.0],
            Self::B => [0.0, clearance],
        }
    }
}

/// A joint by name: its stock, and the sizes that are not to follow it.
#[derive(Debug, Clone, PartialEq)]
pub struct JointWish {
    /// Which joint.
    pub name: JointName,
    /// The stock's width.
    pub width: Mm,
    /// How long each piece is drawn.
    pub length: Option<Mm>,
    /// How long the joint is, along the piece.
    pub long: Option<Mm>,
    /// How deep the nibs are.
    pub nib: Option<Mm>,
    /// The slope of a tail, 1 in so many.
    pub slope: Option<f64>,
    /// How wide the slot for wedges is.
    pub slot: Option<Mm>,
    /// What the piece goes through or laps on: its mate's width or thickness.
    pub mate: Option<Mm>,
    /// How many fingers both have together.
    pub fingers: Option<u32>,
    /// The gap between two mating faces.
    pub clearance: Option<Mm>,
    /// Which half gives the gap.
    pub set_in: SetIn,
    /// How hard the wood is.
    pub wood: Wood,
    /// Where it was asked.
    pub place: Place,
}

#[cfg(test)]
impl JointWish {
    /// A joint of stock this wide, in mm, of which nothing else is said: for tests.
    pub(crate) fn plain(name: JointName, width: f64) -> Self {
        Self {
            name,
            width: Mm::of(width),
            length: None,
            long: None,
            nib: None,
            slope: None,
            slot: None,
            mate: None,
            fingers: None,
            clearance: None,
            set_in: SetIn::Both,
            wood: Wood::Hard,
            place: Place::whole(crate::diag::Source::Job, "joint.toml"),
        }
    }
}

/// The joint of this name.
///
/// # Errors
/// `joint-unknown`, with all names.
pub fn joint_text(text: &str, place: &Place) -> Checked<JointName> {
    let wanted = text.trim().to_lowercase().replace([' ', '_'], "-");
    JointName::ALL.into_iter().find(|name| name.word() == wanted).ok_or_else(|| {
        let names = JointName::ALL.map(JointName::word).join("`, `");
        let found = format!("`{text}` is no joint known by name");
        let hint =
            format!("name one of `{names}`, or draw its line under `[board.line]`");
        Problem::stop("joint-unknown", found, hint).at(place.clone()).into()
    })
}

/// `hard` or `soft`.
///
/// # Errors
/// `wood-unreadable`.
pub fn wood_text(text: &str, place: &Place) -> Checked<Wood> {
    match text.trim() {
        "hard" => Ok(Wood::Hard),
        "soft" => Ok(Wood::Soft),
        _ => Err(one_of(("wood-unreadable", text), "`hard` or `soft`", place)),
    }
}

/// `both`, `A` or `B`.
///
/// # Errors
/// `set-in-unreadable`.
pub fn set_in_text(text: &str, place: &Place) -> Checked<SetIn> {
    match text.trim() {
        "both" => Ok(SetIn::Both),
        "A" | "a" => Ok(SetIn::A),
        "B" | "b" => Ok(SetIn::B),
        _ => Err(one_of(("set-in-unreadable", text), "`both`, `A` or `B`", place)),
    }
}

fn one_of((id, text): (&'static str, &str), words: &str, place: &Place) -> Box<Problem> {
    let found = format!("`{text}` is not {words}");
    Problem::stop(id, found, format!("write {words}")).at(place.clone()).into()
}

//! Why something was chosen.

/// Why something was chosen: data, and the one place that words it.
#[derive(Debug, Clone, PartialEq)]
pub enum Reason {
    /// The tooth runs along the grain.
    AlongTheGrain,
    /// The tooth runs downhill.
    Downhill,
    /// End grain, backed.
    EndGrainBacked,
    /// A little uphill: a climb lets the thick chip meet the grain at a kinder angle.
    ClimbCures,
    /// So steep uphill that no climb cures it.
    TooSteepToClimb,
    /// A hidden inside corner that the mill relieves.
    Relieved,
    /// No grain, or no room, for a lap that goes by it.
    AnyWayRound,
    /// Ends before long grain, so that the next edge cleans up the break-out.
    EndsFirst,
    /// The bit cannot get in.
    BitCannotReach,
    /// It would be uphill in every set-up the rack gives.
    UphillEverywhere,
    /// The lower layer of thick stock is uphill where the upper is downhill: the motor turns.
    LayerUphill,
    /// End grain at a point that cannot be backed.
    CannotBeBacked,
    /// A short piece of end grain that runs into an inside corner.
    ShortEndGrain,
    /// End grain in a hollow too tight for it.
    EndGrainInHollow,
    /// A set-up for so little edge is not made.
    TooLittleForASetUp,
    /// Wood would stand on both sides of the bit.
    WoodOnBothSides,
    /// No entry hole clears the turning bit.
    NoEntry,
    /// The part is too small to be held for it.
    PartTooSmall,
    /// A narrow place of short grain would break.
    ShortGrain,
    /// No pass can start or end safely here.
    NoSafeStart,
    /// No bit on the rack is long enough.
    BitTooShort,
    /// The bit cannot be used at all; the note says why.
    BitNotUsable,
    /// Its grain runs no one way: neither way round is downhill for sure.
    NoWayPromised,
    /// Long edges after the ends.
    LongGrainLast,
    /// Openings while the blank is big.
    OpeningFirst,
}

impl Reason {
    /// The reason as a clause, for sheets and messages alike.
    pub const fn words(&self) -> &'static str {
        match self {
            Self::AlongTheGrain => "the tooth runs along the grain",
            Self::Downhill => "the tooth runs downhill",
            Self::EndGrainBacked => "end grain, held where the bit leaves it",
            Self::ClimbCures => "uphill, and a climb cures it",
            Self::TooSteepToClimb => "too steep uphill for a climb",
            Self::Relieved => "a hidden corner, relieved by the mill",
            Self::AnyWayRound => "once round, either way will do",
            Self::EndsFirst => {
                "ends first, so that the next edge takes off any break-out"
            }
            Self::BitCannotReach => "the bit cannot get in",
            Self::UphillEverywhere => "uphill in every set-up these bits give",
            Self::LayerUphill => {
                "uphill below: turned over, the tooth runs the other way"
            }
            Self::CannotBeBacked => "end grain at a point that cannot be backed",
            Self::ShortEndGrain => {
                "a short piece of end grain that runs into an inside corner"
            }
            Self::EndGrainInHollow => "end grain in a hollow too tight for it",
            Self::TooLittleForASetUp => "too little edge to make a set-up for",
            Self::WoodOnBothSides => "wood would stand on both sides of the bit",
            Self::NoEntry => "no entry hole clears the turning bit",
            Self::PartTooSmall => "the part is too small to be held for it",
            Self::ShortGrain => "short grain: the narrow place would break",
            Self::NoSafeStart => "no pass can start or end safely here",
            Self::BitTooShort => "no bit on the rack is long enough",
            Self::BitNotUsable => "the bit cannot be used here; see the notes",
            Self::NoWayPromised => {
                "light cuts: in this grain neither way round is downhill for sure"
            }
            Self::LongGrainLast => "long edges after the ends",
            Self::OpeningFirst => "openings while the blank is big",
        }
    }
}

//! The rules that sizes follow; their figures stand with all others in `shop`.

/// A proportion of a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Length of a half lap, of the width.
    LapLong,
    /// Length of a lapped tail, of its mate's width.
    TailLong,
    /// Width of a tail's tip, of the width.
    TailTip,
    /// Widest tip of a tail, of the width.
    TailMost,
    /// Slope of a tail in hardwood, 1 in.
    TailHard,
    /// Slope of a tail in softwood, 1 in.
    TailSoft,
    /// Tongue of a bridle, of the thickness.
    BridleTongue,
    /// Length of a scarf in hardwood, of the depth.
    ScarfHard,
    /// Length of a scarf in softwood, of the depth.
    ScarfSoft,
    /// Depth of a nib, of the depth.
    Nib,
    /// Depth of a table, of the depth.
    Table,
    /// Width of a through tenon, of the width.
    TenonWide,
    /// Height of a tusk wedge's slot, of the tenon.
    TuskHigh,
    /// Tenon beyond a tusk wedge's slot, of the slot's width.
    TuskBeyond,
    /// Width of a finger, of the thickness.
    FingerWide,
    /// Gap between mating faces, in mm.
    Clearance,
}

impl Rule {
    /// All of them, in the order in which their figures stand.
    pub const ALL: [Self; 16] = [
        Self::LapLong,
        Self::TailLong,
        Self::TailTip,
        Self::TailMost,
        Self::TailHard,
        Self::TailSoft,
        Self::BridleTongue,
        Self::ScarfHard,
        Self::ScarfSoft,
        Self::Nib,
        Self::Table,
        Self::TenonWide,
        Self::TuskHigh,
        Self::TuskBeyond,
        Self::FingerWide,
        Self::Clearance,
    ];
}

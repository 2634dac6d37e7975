//! Facts about how the grain meets an outline.
//!
//! Knows no bit and no set-up; every angle here is for a motor on face A (`s = +1`).
//!
//! ```text
//!    =====/ walked up      walked down \=====    = fibres of the part, on the left of the walk
//!    ====/                              \====
//!    ===/  downhill: the       uphill:   \===    at the left they run out of it ahead of the
//!    ==/   fibres are cut   they split    \==    tooth, at the right into it
//! ```
//!
//! Geometry; the borders of the bands have their bases beside them.

mod axis;

mod band;

mod chord;

mod fibre;

pub use axis::{Grain, of_mirror_image};
pub use band::bands;
pub use chord::{chord, ray};
pub use fibre::phi;
#[cfg(test)]
pub(crate) use fibre::phi_after;

use crate::geom::Span;

/// The tooth runs along the grain up to this angle, in degrees (from memory).
pub const ALONG: f64 = 5.0;
/// Over this angle downhill the edge is rough and little waste should be left, in degrees
/// (published: Lungu, Gurau, Cosereanu, `BioResources` 18(3), 2023: the worst edge at 60).
pub const ROUGH: f64 = 60.0;
/// Over this angle it is end grain, in degrees (from memory).
pub const END_GRAIN: f64 = 70.0;

/// How the tooth meets the grain along a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Band {
    /// Within 5 degrees of the grain.
    Along,
    /// The fibres rise out of the part ahead of the tooth: cut this way.
    Downhill,
    /// The fibres dive into the part ahead of the tooth: they split.
    Uphill,
    /// Within 20 degrees of square to the grain.
    EndGrain,
}

impl Band {
    /// The band at this angle from the grain to the tooth, in degrees.
    pub fn of(phi: f64) -> Self {
        if END_GRAIN < phi.abs() {
            Self::EndGrain
        } else if phi.abs() <= ALONG {
            Self::Along
        } else if 0.0 < phi {
            Self::Downhill
        } else {
            Self::Uphill
        }
    }

    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Along => "along",
            Self::Downhill => "downhill",
            Self::Uphill => "uphill",
            Self::EndGrain => "end grain",
        }
    }

    /// The band when the motor is on the other face.
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Along => Self::Along,
            Self::Downhill => Self::Uphill,
            Self::Uphill => Self::Downhill,
            Self::EndGrain => Self::EndGrain,
        }
    }
}

/// A run of a routed edge in one band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandRun {
    /// Where it lies: between corners, on rout edges only.
    pub span: Span,
    /// The angle from the grain to the tooth at its start and its end, in degrees, `-90..=90`.
    pub phi: (f64, f64),
    /// Its band.
    pub band: Band,
}

//! Slips that a test plants in the code itself, one stage at a time: the check or the proof that
//! stands behind the stage must refuse what comes of it. Outside tests there are none.
//!
//! ```text
//!   loops --> offset (slip!) --> check: refused      curves --> fit (slip!) --> proof: refused
//! ```
//!
//! Our own.

use super::trim::{Trimmed, Untrimmed};
use super::{Piece, Vector};

/// A slip in one stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Slip {
    /// The offset is computed for a disc 5 µm larger.
    Offset,
    /// Two runs of the offset have each other's owners.
    Owner,
    /// The arcs of a curve lie 20 µm aside.
    Fit,
    /// The levels of a cut come in the wrong order.
    Depths,
    /// There are twice as many tabs.
    Tabs,
}

#[cfg(test)]
thread_local! {
    static PLANTED: std::cell::Cell<Option<Slip>> = const { std::cell::Cell::new(None) };
}

/// Whether a test has planted this.
#[cfg(test)]
pub(crate) fn is(slip: Slip) -> bool {
    PLANTED.get() == Some(slip)
}

/// Nobody has.
#[cfg(not(test))]
pub(crate) const fn is(_: Slip) -> bool {
    false
}

/// Does some work, on this thread, with a slip in it.
#[cfg(test)]
pub(crate) fn with<T>(slip: Slip, work: impl FnOnce() -> T) -> T {
    PLANTED.set(Some(slip));
    let result = work();
    PLANTED.set(None);
    result
}

/// What is computed at a radius.
pub(super) fn trimmed(
    radius: f64,
    compute: impl Fn(f64) -> Result<Trimmed, Untrimmed>,
) -> Result<Trimmed, Untrimmed> {
    if is(Slip::Offset) {
        return Ok(Trimmed { radius, ..compute(radius + 0.005)? });
    }
    let mut trimmed = compute(radius)?;
    if let (true, [first, second, ..]) = (is(Slip::Owner), &mut trimmed.runs[..]) {
        std::mem::swap(&mut first.owner, &mut second.owner);
    }
    Ok(trimmed)
}

/// What a curve is fitted by.
pub(crate) fn fitted(pieces: Vec<Piece>) -> Vec<Piece> {
    let aside = Vector::new(0.02, 0.0);
    let planted = is(Slip::Fit);
    pieces.into_iter().map(|it| if planted { it.moved(aside) } else { it }).collect()
}

//! What can be pointed at in a picture: keys, and words for those who cannot see it.

use crate::plan::{Pass, Stretch};

/// The key of a stretch.
pub(in crate::sheet) fn stretch(stretch: &Stretch) -> String {
    format!("stretch-{}", stretch.name)
}

/// A stretch in words.
pub(in crate::sheet) fn stretch_words(stretch: &Stretch) -> String {
    format!("Stretch {}, {}", stretch.name, stretch.band.words())
}

/// The key of a place for the hand.
pub(in crate::sheet) fn hand(number: usize) -> String {
    format!("hand-{number}")
}

/// A place for the hand in words.
pub(in crate::sheet) fn hand_words(number: usize) -> String {
    format!("Hand work, number {number}")
}

/// The key of a pass.
pub(in crate::sheet) fn pass(pass: &Pass) -> String {
    format!("pass-{}", pass.number)
}

/// Passes that start or end at one place, in words that hold those of the picture.
pub(in crate::sheet) fn pass_words(numbers: &str, place: &str) -> String {
    format!("Pass {numbers}: {place} {numbers}")
}

/// The key of an edge that is not routed, by what a job calls it.
pub(in crate::sheet) fn edge(called: &str) -> String {
    format!("edge-{called}")
}

/// The key of a note, by its index.
pub(in crate::sheet) fn note(index: usize) -> String {
    format!("note-{}", index + 1)
}

/// The key of the saw line, and its words.
pub(in crate::sheet) const SAW: &str = "saw";
pub(in crate::sheet) const SAW_WORDS: &str = "Saw line";
/// The key of short grain, and its words.
pub(in crate::sheet) const SHORT: &str = "short-grain";
pub(in crate::sheet) const SHORT_WORDS: &str = "Short grain";
/// The key of the grain's arrow, and its words.
pub(in crate::sheet) const GRAIN: &str = "grain";
pub(in crate::sheet) const GRAIN_WORDS: &str = "Grain";
/// The key of the grain's arrow in the mirror image of a part, and its words.
pub(in crate::sheet) const MIRRORED_GRAIN: &str = "mirrored-grain";
pub(in crate::sheet) const MIRRORED_GRAIN_WORDS: &str = "Grain of the mirror image";

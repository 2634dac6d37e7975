//! Lengths and angles as text and back: the only place where units convert.
//!
//! Inside, everything is millimetres and degrees or radians, as each name says.

mod length;
mod paper;

pub use length::{Diameter, LengthError, Mm, Unit, parse_length};
pub use paper::Paper;

/// Millimetres in an inch (from memory).
pub const MM_PER_INCH: f64 = 25.4;

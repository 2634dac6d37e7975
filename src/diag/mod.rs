//! One type for everything the tool has to say about what it was given or what it found.

mod problem;
mod source;

pub use problem::{Failure, Outcome, Problem, Problems, Told, Weight};
pub use source::{Place, Source};

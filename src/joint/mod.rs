//! A joint as one open line across a board: the drawings of both halves, which meet by
//! construction, and whether one template serves both.

mod line;

mod border;

mod parting;

mod set_in;

mod halves;

mod mating;

mod alike;

mod meet;

mod mated;

mod wedge;

mod named;

mod fit;

mod facts;

pub use alike::{Alike, Serves};
pub use facts::{Facts, JointKind, board_facts, facts};
pub use fit::{FaceFit, Fit};
pub use halves::halves;
pub use mated::{Halves, MateHabits, mated};
pub use mating::{Mating, Mirror, mating};
pub use named::{JointStock, Pair, Rule, Size, named};
pub use wedge::{
    Cut, Habits, Hold, Push, Slot, Strip, Taper, WedgeAsk, WedgeKind, Wedges, wedges,
};

use crate::diag::{Outcome, Told};
use crate::read::{Drawing, Job, Load, ShapeSource, drawing};

/// The drawings of a job: both halves of a board and a line, else the one outline.
///
/// # Errors
/// As [`halves()`] and [`drawing`].
pub fn drawings(job: &Job, load: &Load<'_>) -> Outcome<Vec<Drawing>> {
    if let Some(ShapeSource::BoardAndLine(board)) = &job.shape {
        return halves(job.name.as_deref().unwrap_or("joint"), board, job.on_paper());
    }
    let Told { value, notes } = drawing(job, load)?;
    Ok(Told { value: vec![value], notes })
}

#[cfg(test)]
mod tests;

#[cfg(test)]
mod bad_samples;

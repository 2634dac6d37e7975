//! A joint as one open line across a board: the drawings of both halves, which meet by
//! construction, and whether one template serves both.

mod line;

mod border;

mod halves;

mod mating;

pub use halves::halves;
pub use mating::{Mating, Mirror, mating};

use crate::diag::{Failure, Outcome, Problem, Told};
use crate::geom::Point;
use crate::read::{Drawing, Job, Load, ShapeSource, drawing};

/// The drawings of a job: both halves of a board and a line, else the one outline.
///
/// # Errors
/// As [`halves()`] and [`drawing`].
pub fn drawings(job: &Job, load: &Load<'_>) -> Outcome<Vec<Drawing>> {
    if let Some(ShapeSource::BoardAndLine(board)) = &job.shape {
        return halves(job.name.as_deref().unwrap_or("joint"), board);
    }
    let Told { value, notes } = drawing(job, load)?;
    Ok(Told { value: vec![value], notes })
}

/// A problem of the line, at a point of it.
fn at_point(problem: Problem, board: &crate::read::BoardAndLine, at: Point) -> Failure {
    Failure::input(problem.at(board.line.place.clone().at(at.x, at.y)))
}

#[cfg(test)]
mod tests;

#[cfg(test)]
mod bad_samples;

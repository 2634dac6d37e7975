//! Parts a board along a line.

use super::border::Border;
use super::line::Line;
use super::parting::Parting;
use crate::diag::{Outcome, Told};
use crate::read::{BoardAndLine, Drawing};

/// The two halves of a board parted by a line, as closed drawings in the board's frame.
///
/// Half A lies on the left of the line as it is walked, half B on its right. The line's strokes
/// are routed; the board's edges are true already; an end of the board that the line does not
/// part goes on. Both halves have the line's own pieces, so they meet by construction.
///
/// # Errors
/// [`crate::diag::Failure::Input`] with the point where the line misses the board, leaves it, or
/// meets itself.
///
/// ```
/// use spelch::diag::{Place, Source};
/// use spelch::geom::Point;
/// use spelch::read::{BoardAndLine, Step, Walk};
/// use spelch::units::Mm;
/// let line = Walk {
///     start: Point::new(40.0, 0.0),
///     steps: vec![(Step::To(Point::new(60.0, 30.0)), None)],
///     place: Place::whole(Source::Job, "rail.toml"),
///     step_places: Vec::new(),
/// };
/// let board = BoardAndLine { length: Mm::of(100.0), width: Mm::of(30.0), line };
/// let halves = spelch::joint::halves("rail", &board).unwrap().value;
/// assert_eq!(halves[0].name, "rail half A");
/// assert_eq!(halves[0].paths[0].strokes.len(), 4);
/// ```
pub fn halves(name: &str, board: &BoardAndLine) -> Outcome<Vec<Drawing>> {
    let line = Line::of(board)?;
    let parting =
        Parting { border: Border::of(board), place: &board.line.place, title: name };
    let value = parting.halves(&[line.clone(), line]).into();
    Ok(Told { value, notes: Vec::new() })
}

//! Parts a board along a line.

use super::border::Border;
use super::line::Line;
use super::parting::Parting;
use crate::diag::{Failure, Outcome, Told};
use crate::read::{BoardAndLine, Drawing};
use crate::units::{Mm, Paper};

/// The two halves of a board parted by a line, as closed drawings in the board's frame.
///
/// Half A lies on the left of the line as it is walked, half B on its right. The line's strokes
/// are routed; the board's edges are true already; an end of the board that the line does not
/// part goes on. Without a clearance both halves have the line's own pieces, so they meet by
/// construction; with one, each stands back from the line by its share. `paper` says how messages
/// write lengths.
///
/// # Errors
/// [`crate::diag::Failure::Input`] with the point where the line misses the board, leaves it, or
/// meets itself, or that the clearance leaves nothing of a piece.
///
/// ```
/// use spelch::diag::{Place, Source};
/// use spelch::geom::Point;
/// use spelch::read::{BoardAndLine, SetIn, Step, Walk};
/// use spelch::units::{Mm, Paper};
/// let line = Walk {
///     start: Point::new(40.0, 0.0),
///     steps: vec![(Step::To(Point::new(60.0, 30.0)), None)],
///     place: Place::whole(Source::Job, "rail.toml"),
///     step_places: Vec::new(),
/// };
/// let (length, width) = (Mm::of(100.0), Mm::of(30.0));
/// let board = BoardAndLine { length, width, line, clearance: None, set_in: SetIn::Both };
/// let halves = spelch::joint::halves("rail", &board, Paper::MM).unwrap().value;
/// assert_eq!(halves[0].name, "rail half A");
/// assert_eq!(halves[0].paths[0].strokes.len(), 4);
/// ```
pub fn halves(name: &str, board: &BoardAndLine, paper: Paper) -> Outcome<Vec<Drawing>> {
    let parting = parting(name, board, paper);
    let value = parting.halves(&lines(&parting, board)?).into();
    Ok(Told { value, notes: Vec::new() })
}

/// How a board is parted.
pub(super) fn parting<'a>(
    title: &'a str,
    board: &'a BoardAndLine,
    paper: Paper,
) -> Parting<'a> {
    Parting { border: Border::of(board), place: &board.line.place, title, paper }
}

/// The line of half A and that of half B: the one line, set in by what each half gives of the
/// clearance.
pub(super) fn lines(
    parting: &Parting<'_>,
    board: &BoardAndLine,
) -> Result<[Line; 2], Failure> {
    let line = Line::of(board, parting.paper)?;
    let clearance = board.clearance.map_or(0.0, Mm::mm);
    parting.set_in(&[line.clone(), line], board.set_in.shares(clearance))
}

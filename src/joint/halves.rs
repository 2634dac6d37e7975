//! Parts a board along a line.

use super::border::Border;
use super::line::Line;
use crate::diag::{Outcome, Told};
use crate::geom::{Piece, Point};
use crate::read::{BoardAndLine, Drawing, Drawn, Path, Role, Stroke};

/// The name of a step of the line that has none.
const JOINT: &str = "joint";

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
    let along: Vec<(Piece, Option<String>)> = line.pieces.clone();
    let back = line.pieces.iter().rev();
    let back = back.map(|(piece, name)| (piece.reversed(), name.clone())).collect();
    let half = |letter: &str, line: Vec<(Piece, Option<String>)>, ends: [Point; 2]| {
        let [from, to] = ends;
        let routed = line.into_iter().map(|(piece, name)| Drawn {
            stroke: Stroke::Piece(piece),
            name: Some(name.unwrap_or_else(|| JOINT.to_owned())),
            role: Some(Role::Rout),
        });
        let border = Border::of(board).run(from, to).into_iter().map(|(piece, role)| {
            Drawn { stroke: Stroke::Piece(piece), name: None, role: Some(role) }
        });
        let strokes = routed.chain(border).collect();
        let place = board.line.place.clone().element(format!("half {letter}"));
        let path = Path { strokes, closed: true, place };
        Drawing { name: format!("{name} half {letter}"), paths: vec![path] }
    };
    let value = vec![
        half("A", along, [line.to(), line.from()]),
        half("B", back, [line.from(), line.to()]),
    ];
    Ok(Told { value, notes: Vec::new() })
}

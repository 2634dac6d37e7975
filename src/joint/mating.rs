//! Whether one template serves both halves: found by turning the line, and the board with it.

use super::alike::{Alike, Serves};
use super::border::{BoardSide, Border};
use super::halves::{lines, parting};
use super::line::Line;
use crate::diag::Failure;
use crate::geom::{Piece, Point, Vector, tolerance};
use crate::read::BoardAndLine;
use crate::units::Paper;

/// How the halves of a joint are alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mating {
    /// The point about which the line, and the board's two edges, lie on themselves after a
    /// half-turn: half A turned about it is half B, so one template serves both, the second
    /// piece laid end for end with the same face up.
    pub half_turn: Option<Point>,
    /// The axis in which each half is its own mirror image: its template may lie either face
    /// up. Half A's template does not serve half B for that.
    pub mirror: Option<Mirror>,
}

/// A mirror's axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mirror {
    /// A point on it.
    pub through: Point,
    /// Its direction, length one.
    pub way: Vector,
}

impl Mating {
    /// What it says of the templates.
    pub(super) fn alike(&self) -> Alike {
        Alike {
            serves: self.half_turn.map(|_| Serves::EndForEnd),
            either_face: [self.mirror.is_some(); 2],
        }
    }
}

/// How the halves of a board and a line are alike; `paper` says how messages write lengths.
///
/// # Errors
/// As [`super::halves()`].
pub fn mating(board: &BoardAndLine, paper: Paper) -> Result<Mating, Failure> {
    let parting = parting("", board, paper);
    let [a, b] = lines(&parting, board)?;
    Ok(alike(parting.border, [&a, &b]))
}

/// How halves are alike whose faces lie on these two lines.
pub(super) fn alike(border: Border, [a, b]: [&Line; 2]) -> Mating {
    let middle = a.from().middle(b.to());
    let half_turn = |point: Point| middle + (middle - point);
    let turned = lies_on(a, b, half_turn) && board_lies_on_itself(border, a, half_turn);
    let centre = a.from().middle(a.to());
    let axis =
        (a.to() - a.from()).left().unit().map(|way| Mirror { through: centre, way });
    let mirror = axis.filter(|axis| {
        let mirrored = |point: Point| axis.mirrored(point);
        lies_on(a, a, mirrored)
            && lies_on(b, b, mirrored)
            && board_lies_on_itself(border, a, mirrored)
    });
    Mating { half_turn: turned.then_some(middle), mirror }
}

impl Mirror {
    /// The mirror image of a point.
    #[must_use]
    pub fn mirrored(&self, point: Point) -> Point {
        let foot = self.through + self.way * (point - self.through).dot(self.way);
        foot + (foot - point)
    }
}

/// Whether every place of the moved line lies on the other, within a repair. The moves asked
/// about are their own inverses and the lines as long as each other, so one way is enough.
fn lies_on(line: &Line, other: &Line, moved: impl Fn(Point) -> Point) -> bool {
    /// Places tried on each piece besides its ends. Two pieces of lines and arcs that agree at
    /// this many places are the same.
    const PLACES: u32 = 16;
    line.pieces.iter().all(|(piece, _)| {
        (0..=PLACES).all(|place| {
            let point = moved(piece.at(f64::from(place) / f64::from(PLACES)));
            other
                .pieces
                .iter()
                .any(|(piece, _)| piece.distance(point) <= tolerance::REPAIR)
        })
    })
}

/// Whether the sides of the board that stay as a template's true edges, or that the line parts,
/// lie on each other: without that the template's own edges would not lie on the other half's.
fn board_lies_on_itself(
    border: Border,
    line: &Line,
    moved: impl Fn(Point) -> Point,
) -> bool {
    let ends = [line.from(), line.to()];
    let parts_an_end =
        ends.iter().any(|&end| border.sides_at(end).iter().any(|side| side.is_end()));
    let keeps = |sides: [BoardSide; 2]| {
        let carriers = sides.map(|side| border.line(side));
        carriers.iter().all(|side| {
            let images = [moved(side.from()), moved(side.to())];
            carriers.iter().any(|other| images.iter().all(|&image| is_on(other, image)))
        })
    };
    keeps([BoardSide::NearEdge, BoardSide::FarEdge])
        && (!parts_an_end || keeps([BoardSide::LeftEnd, BoardSide::RightEnd]))
}

/// Whether a point lies on the whole line that carries a side.
fn is_on(side: &Piece, point: Point) -> bool {
    let off = (point - side.from()).cross(side.direction(0.0));
    off.abs() <= tolerance::REPAIR
}

//! What the lines of a joint make of a board: a closed drawing of each half.

use super::border::Border;
use super::line::Line;
use crate::diag::{Failure, Place, Problem};
use crate::geom::{Piece, Point};
use crate::read::{Drawing, Drawn, Path, Role, Stroke};
use crate::units::Paper;

/// The name of a step of the line that has none.
const JOINT: &str = "joint";

/// A board that is parted.
#[derive(Debug, Clone, Copy)]
pub(super) struct Parting<'a> {
    pub(super) border: Border,
    /// Where it was asked.
    pub(super) place: &'a Place,
    /// The job's name.
    pub(super) title: &'a str,
    /// How messages write lengths.
    pub(super) paper: Paper,
}

/// Pieces that follow each other, each with its name.
type Named = Vec<(Piece, Option<String>)>;

impl Parting<'_> {
    /// Half A, on the left of the first line, and half B, on the right of the second.
    pub(super) fn halves(&self, [a, b]: &[Line; 2]) -> [Drawing; 2] {
        let back = b.pieces.iter().rev();
        let back = back.map(|(piece, name)| (piece.reversed(), name.clone())).collect();
        [
            self.half("A", a.pieces.clone(), [a.to(), a.from()]),
            self.half("B", back, [b.from(), b.to()]),
        ]
    }

    /// The lines set in by what each half gives of the clearance.
    pub(super) fn set_in(
        &self,
        [a, b]: &[Line; 2],
        [left, right]: [f64; 2],
    ) -> Result<[Line; 2], Failure> {
        let set_in = |line: &Line, left: f64| {
            line.set_in(self.border, left).ok_or_else(|| {
                let found = "the gap between the faces is wider than a piece of the line bears: set in, nothing of it is left";
                let hint = "ask for a smaller clearance, or draw the piece longer or rounder";
                let problem = Problem::stop("joint-clearance-too-wide", found, hint);
                Failure::input(problem.at(self.place.clone()))
            })
        };
        let lines = [set_in(a, left)?, set_in(b, -right)?];
        self.check(&lines)?;
        Ok(lines)
    }

    /// What is wrong with the lines.
    fn check(&self, lines: &[Line; 2]) -> Result<(), Failure> {
        let Self { border, place, paper, .. } = *self;
        let faults = lines.iter().flat_map(|line| line.faults(border, place, paper));
        let problems: Vec<_> = faults.collect();
        if problems.is_empty() { Ok(()) } else { Err(Failure::Input(problems)) }
    }

    fn half(&self, letter: &str, line: Named, [from, to]: [Point; 2]) -> Drawing {
        let routed = line.into_iter().map(|(piece, name)| Drawn {
            stroke: Stroke::Piece(piece),
            name: Some(name.unwrap_or_else(|| JOINT.to_owned())),
            role: Some(Role::Rout),
        });
        let border = self.border.run(from, to).into_iter().map(|(piece, role)| Drawn {
            stroke: Stroke::Piece(piece),
            name: None,
            role: Some(role),
        });
        let strokes = routed.chain(border).collect();
        let place = self.place.clone().element(format!("half {letter}"));
        let path = Path { strokes, closed: true, place };
        Drawing {
            name: format!("{} half {letter}", self.title),
            beside: None,
            paths: vec![path],
        }
    }
}

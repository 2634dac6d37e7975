//! The line of a joint, checked: it begins and ends on the border, stays on the board and does
//! not meet itself.

use super::border::Border;
use crate::diag::{Failure, Place, Problem};
use crate::geom::crossing::crossings;
use crate::geom::{Bounds, Piece, Point, tolerance};
use crate::read::{BoardAndLine, Drawn, Stroke, walk_path};
use crate::units::Paper;

/// A line that parts a board into two halves.
#[derive(Debug, Clone)]
pub(super) struct Line {
    /// Its pieces in order, each with its name.
    pub(super) pieces: Vec<(Piece, Option<String>)>,
}

impl Line {
    /// The line of a board and a line.
    pub(super) fn of(board: &BoardAndLine, paper: Paper) -> Result<Self, Failure> {
        let path = walk_path(&board.line, false, paper)
            .map_err(|problem| Failure::input(*problem))?;
        let pieces = path.strokes.into_iter().filter_map(|drawn| {
            let Drawn { stroke: Stroke::Piece(piece), name, role: _ } = drawn else {
                return None;
            };
            Some((piece, name))
        });
        let line = Self { pieces: pieces.collect() };
        let problems = line.faults(Border::of(board), &board.line.place, paper);
        if problems.is_empty() { Ok(line) } else { Err(Failure::Input(problems)) }
    }

    /// Where it starts.
    pub(super) fn from(&self) -> Point {
        self.pieces[0].0.from()
    }

    /// Where it ends.
    pub(super) fn to(&self) -> Point {
        self.pieces[self.pieces.len() - 1].0.to()
    }

    /// What is wrong with it, each with its point.
    pub(super) fn faults(
        &self,
        border: Border,
        place: &Place,
        paper: Paper,
    ) -> Vec<Problem> {
        let faults = [
            self.misses(border, paper),
            self.leaves(border, paper),
            self.meets_itself(paper),
        ];
        let faults = faults.into_iter().flatten();
        faults.map(|(problem, at)| problem.at(place.clone().at(at.x, at.y))).collect()
    }

    /// Its ends must lie on two different sides of the board.
    fn misses(&self, border: Border, paper: Paper) -> Option<(Problem, Point)> {
        let ends = [("starts", self.from()), ("ends", self.to())];
        for (word, end) in ends {
            if border.sides_at(end).is_empty() {
                let found = format!(
                    "the line {word} at {}: {} off the board's border",
                    paper.point((end.x, end.y)),
                    paper.decimals(off(border, end), 3)
                );
                let hint = "start and end the line on the board's border: one corner of the board is at 0, 0, and its length runs along x";
                let problem = Problem::stop("joint-line-misses", found, hint)
                    .expected("both ends of the line on the board's border");
                return Some((problem, end));
            }
        }
        let (first, last) = (border.sides_at(self.from()), border.sides_at(self.to()));
        let parts = first.iter().any(|side| last.iter().any(|other| other != side));
        (!parts).then(|| {
            let end = self.to();
            let found = format!(
                "the line comes back to the edge it started from, at {}",
                paper.point((end.x, end.y))
            );
            let hint = "move the line's end to another edge or end of the board; a notch in one part is an `[outline]`";
            let problem = Problem::stop("joint-line-same-edge", found, hint)
                .expected("a line from one edge to another");
            (problem, end)
        })
    }

    /// Between its ends it must stay inside the board, and off its border.
    fn leaves(&self, border: Border, paper: Paper) -> Option<(Problem, Point)> {
        let (from, to) = (self.from(), self.to());
        let is_end = |point: Point| {
            point.distance(from).min(point.distance(to)) <= tolerance::REPAIR
        };
        let places = self.pieces.iter().flat_map(|(piece, _)| extremes(piece));
        let places = places.filter(|&point| !is_end(point));
        let worst = places
            .map(|point| (border.depth(point), point))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|&(depth, _)| depth <= tolerance::REPAIR);
        worst.map(|(depth, at)| {
            let how = if depth < -tolerance::REPAIR { "leaves the board" } else { "touches the board's border" };
            let found = format!("the line {how} at {}", paper.point((at.x, at.y)));
            let hint = "keep the line inside the board between its two ends, or make the board wider";
            let problem = Problem::stop("joint-line-leaves", found, hint)
                .expected("a line that touches the border only where it starts and ends");
            (problem, at)
        })
    }

    /// It must not cross, touch or double itself.
    fn meets_itself(&self, paper: Paper) -> Option<(Problem, Point)> {
        let pieces: Vec<Piece> = self.pieces.iter().map(|(piece, _)| *piece).collect();
        for (index, first) in pieces.iter().enumerate() {
            for (ahead, second) in pieces[index + 1..].iter().enumerate() {
                let at = if ahead == 0 {
                    meet_beside_joint(first, second)
                } else {
                    meet(first, second)
                };
                if let Some(at) = at {
                    let (first, second) = (index + 1, index + ahead + 2);
                    let found = format!(
                        "the line meets itself at {}: step {first} and step {second}",
                        paper.point((at.x, at.y))
                    );
                    let hint = "move the line's steps so that it never comes back to where it was";
                    let problem = Problem::stop("joint-line-crosses", found, hint);
                    return Some((problem, at));
                }
            }
        }
        None
    }
}

/// How far off the border a point lies.
fn off(border: Border, point: Point) -> f64 {
    border.depth(point).abs()
}

/// The ends of a piece, and where an arc reaches farthest.
fn extremes(piece: &Piece) -> Vec<Point> {
    let mut points = vec![piece.from(), piece.to()];
    if let Piece::Arc { centre, .. } = *piece {
        let Bounds { low, high } = piece.bounds();
        let sides = [
            Point::new(low.x, centre.y),
            Point::new(high.x, centre.y),
            Point::new(centre.x, low.y),
            Point::new(centre.x, high.y),
        ];
        let on_arc = |point: &Point| piece.distance(*point) <= tolerance::SAME_POINT;
        points.extend(sides.into_iter().filter(on_arc));
    }
    points
}

/// Where two pieces that do not follow each other cross or come nearer than a repair.
fn meet(first: &Piece, second: &Piece) -> Option<Point> {
    let crossed = crossings(first, second, tolerance::JOIN_ENDS);
    crossed.first().map(|crossing| crossing.at).or_else(|| {
        let ends_on = |ends: &Piece, other: &Piece| {
            let near = |point: &Point| other.distance(*point) <= tolerance::REPAIR;
            [ends.from(), ends.to()].into_iter().find(near)
        };
        ends_on(first, second).or_else(|| ends_on(second, first))
    })
}

/// Where two pieces that follow each other meet beside the point they share, or turn back.
fn meet_beside_joint(first: &Piece, second: &Piece) -> Option<Point> {
    /// A turn nearer to a half turn than this, in radians, leaves no wood between (from
    /// memory).
    const TURNS_BACK: f64 = 1e-3;
    let joint = first.to();
    let turn = first.direction(1.0).turn_to(second.direction(0.0)).abs();
    if std::f64::consts::PI - TURNS_BACK < turn {
        return Some(joint);
    }
    let crossed = crossings(first, second, tolerance::JOIN_ENDS);
    let beside = |at: &Point| tolerance::REPAIR < at.distance(joint);
    crossed.into_iter().map(|crossing| crossing.at).find(beside)
}

//! The border of a board: where points lie on it, and its runs from one point to another.

use crate::geom::{Piece, Point, tolerance};
use crate::read::{BoardAndLine, Role};

/// A board's border, walked counter-clockwise from the origin.
#[derive(Debug, Clone, Copy)]
pub(super) struct Border {
    length: f64,
    width: f64,
}

/// One of the four sides, in the order of the walk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BoardSide {
    /// The edge at y = 0.
    NearEdge,
    /// The end at the board's length.
    RightEnd,
    /// The edge at the board's width.
    FarEdge,
    /// The end at x = 0.
    LeftEnd,
}

impl BoardSide {
    const ALL: [Self; 4] = [Self::NearEdge, Self::RightEnd, Self::FarEdge, Self::LeftEnd];

    /// Whether it is an end of the board rather than an edge.
    pub(super) const fn is_end(self) -> bool {
        matches!(self, Self::LeftEnd | Self::RightEnd)
    }
}

impl Border {
    /// The border of a board.
    pub(super) const fn of(board: &BoardAndLine) -> Self {
        Self { length: board.length.mm(), width: board.width.mm() }
    }

    /// The border of a board of this length and width.
    pub(super) const fn sized((length, width): (f64, f64)) -> Self {
        Self { length, width }
    }

    /// How far inside the border a point lies; less than zero outside.
    pub(super) fn depth(self, point: Point) -> f64 {
        let Self { length, width } = self;
        point.x.min(length - point.x).min(point.y).min(width - point.y)
    }

    /// The sides a point lies on, within [`tolerance::REPAIR`].
    pub(super) fn sides_at(self, point: Point) -> Vec<BoardSide> {
        let on = |side: &BoardSide| self.line(*side).distance(point) <= tolerance::REPAIR;
        BoardSide::ALL.into_iter().filter(on).collect()
    }

    /// The run of the border from one point to another, counter-clockwise, with each piece's
    /// role: edges are true already; an end goes on unless the line parts it.
    pub(super) fn run(self, from: Point, to: Point) -> Vec<(Piece, Role)> {
        let start = self.along(from);
        let round = 2.0 * (self.length + self.width);
        let length = (self.along(to) - start).rem_euclid(round);
        let corners = self.corners();
        let passed = corners.iter().filter_map(|&corner| {
            let along = (self.along(corner) - start).rem_euclid(round);
            let inside =
                tolerance::SAME_POINT < along && along < length - tolerance::SAME_POINT;
            inside.then_some((along, corner))
        });
        let mut passed: Vec<(f64, Point)> = passed.collect();
        passed.sort_by(|a, b| a.0.total_cmp(&b.0));
        let points = std::iter::once(from)
            .chain(passed.into_iter().map(|(_, corner)| corner))
            .chain(std::iter::once(to));
        let points: Vec<Point> = points.collect();
        let pieces = points.windows(2).map(|ends| Piece::line(ends[0], ends[1]));
        pieces
            .filter(|piece| tolerance::SAME_POINT < piece.length())
            .map(|piece| (piece, self.role(&piece)))
            .collect()
    }

    fn role(self, piece: &Piece) -> Role {
        let middle = piece.at(0.5);
        let is_end = self.sides_at(middle).iter().any(|side| side.is_end());
        let is_whole = self.width - piece.length() <= tolerance::REPAIR;
        if is_end && is_whole { Role::GoesOn } else { Role::TrueAlready }
    }

    fn corners(self) -> [Point; 4] {
        let Self { length, width } = self;
        let at = Point::new;
        [at(0.0, 0.0), at(length, 0.0), at(length, width), at(0.0, width)]
    }

    /// A side as a piece, counter-clockwise.
    pub(super) fn line(self, side: BoardSide) -> Piece {
        let [a, b, c, d] = self.corners();
        match side {
            BoardSide::NearEdge => Piece::line(a, b),
            BoardSide::RightEnd => Piece::line(b, c),
            BoardSide::FarEdge => Piece::line(c, d),
            BoardSide::LeftEnd => Piece::line(d, a),
        }
    }

    /// How far along the border the nearest place to a point lies.
    fn along(self, point: Point) -> f64 {
        let mut start = 0.0;
        let mut best = (f64::INFINITY, 0.0);
        for side in BoardSide::ALL {
            let line = self.line(side);
            let distance = line.distance(point);
            if distance < best.0 {
                best = (distance, start + line.nearest(point) * line.length());
            }
            start += line.length();
        }
        best.1
    }
}

//! A half moved as it is: turned, turned over and slid.

use crate::geom::{Piece, Point, Vector};
use crate::read::{Drawing, Drawn, Lie, Path, Stroke};

/// A movement that keeps every length: where the axes and zero go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Placing {
    x: Vector,
    y: Vector,
    zero: Point,
}

impl Placing {
    /// How the second half lies on the first.
    pub(super) fn of(lie: &Lie) -> Self {
        let x = Vector::at_angle(lie.degrees.to_radians());
        let (x, y) = if lie.turned_over { (-x, x.left()) } else { (x, x.left()) };
        Self { x, y, zero: Point::new(0.0, 0.0) + lie.slide }
    }

    /// The movement that lays one line on another as long, turned over or not; none for lines
    /// without length.
    pub(super) fn between(from: [Point; 2], to: [Point; 2], over: bool) -> Option<Self> {
        let (one, other) = ((from[1] - from[0]).unit()?, (to[1] - to[0]).unit()?);
        // Where +x goes: as far from the other's way as it lies from the one's.
        let x = if over {
            other * one.x + other.left() * one.y
        } else {
            other * one.x - other.left() * one.y
        };
        let y = if over { -x.left() } else { x.left() };
        let turned = Self { x, y, zero: Point::new(0.0, 0.0) };
        Some(Self {
            zero: Point::new(0.0, 0.0) + (to[0] - turned.point(from[0])),
            ..turned
        })
    }

    /// Where a point goes.
    pub(super) fn point(&self, at: Point) -> Point {
        self.zero + self.x * at.x + self.y * at.y
    }

    /// The way back.
    pub(super) fn back(&self) -> Self {
        let (x, y) = (Vector::new(self.x.x, self.y.x), Vector::new(self.x.y, self.y.y));
        let turned = Self { x, y, zero: Point::new(0.0, 0.0) };
        Self {
            zero: Point::new(0.0, 0.0) - (turned.point(self.zero) - turned.zero),
            ..turned
        }
    }

    /// Whether it turns over.
    fn is_over(&self) -> bool {
        self.x.cross(self.y) < 0.0
    }

    /// A piece where it goes, walked the same way.
    pub(super) fn piece(&self, piece: &Piece) -> Piece {
        match *piece {
            Piece::Line { from, to } => Piece::line(self.point(from), self.point(to)),
            Piece::Arc { from, to, centre, sweep } => Piece::Arc {
                from: self.point(from),
                to: self.point(to),
                centre: self.point(centre),
                sweep: if self.is_over() { -sweep } else { sweep },
            },
        }
    }

    /// A half of lines and arcs where it goes, its wood still on the left.
    pub(super) fn drawing(&self, half: &Drawing) -> Drawing {
        let paths = half.paths.iter().map(|path| {
            let strokes = path.strokes.iter().map(|drawn| self.drawn(drawn));
            let strokes =
                if self.is_over() { strokes.rev().collect() } else { strokes.collect() };
            Path { strokes, ..path.clone() }
        });
        Drawing { paths: paths.collect(), ..half.clone() }
    }

    fn drawn(&self, drawn: &Drawn) -> Drawn {
        let stroke = match drawn.stroke {
            Stroke::Piece(piece) if self.is_over() => {
                Stroke::Piece(self.piece(&piece).reversed())
            }
            Stroke::Piece(piece) => Stroke::Piece(self.piece(&piece)),
            curve @ (Stroke::Cubic(_) | Stroke::Ellipse { .. }) => curve,
        };
        Drawn { stroke, ..drawn.clone() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry.
    #[test]
    fn a_movement_and_its_way_back_are_nothing() {
        for (turned_over, degrees) in
            [(false, 0.0), (false, 90.0), (true, 0.0), (true, 37.0), (false, 180.0)]
        {
            let slide = Vector::new(12.0, -7.0);
            let placing = Placing::of(&Lie { turned_over, degrees, slide });
            let at = Point::new(3.0, 5.0);
            let back = placing.back().point(placing.point(at));
            assert!(back.distance(at) < 1e-12, "{placing:?}: {back:?}");
            assert_eq!(placing.is_over(), turned_over);
            let to = [placing.point(at), placing.point(Point::new(9.0, 6.0))];
            let again = Placing::between([at, Point::new(9.0, 6.0)], to, turned_over)
                .expect("a line");
            let other = Point::new(-20.0, 11.0);
            assert!(
                again.point(other).distance(placing.point(other)) < 1e-12,
                "{again:?}"
            );
        }
        let quarter = Placing::of(&Lie { degrees: 90.0, ..Lie::default() });
        assert!(
            quarter.point(Point::new(1.0, 0.0)).distance(Point::new(0.0, 1.0)) < 1e-12
        );
        let over = Placing::of(&Lie { turned_over: true, ..Lie::default() });
        assert_eq!(over.point(Point::new(2.0, 3.0)), Point::new(-2.0, 3.0));
    }
}

//! From the drawing's own units, y down, to millimetres, y up.

use nalgebra::{Matrix3, Point2, Vector2};
use svgtypes::{TransformListParser, TransformListToken};

use super::page::Page;
use super::viewport::Lay;
use crate::geom::{Piece, Point, Vector};
use crate::read::Stroke;
pub(super) use crate::read::bow::{Bow, turn};

/// An affine map.
#[derive(Debug, Clone, Copy)]
pub(super) struct Map(Matrix3<f64>);

/// A stroke in the drawing's own units. The ends of a bow are kept as written.
#[derive(Debug, Clone, Copy)]
pub(super) enum Mark {
    /// A straight line.
    Line(Point, Point),
    /// A cubic curve.
    Cubic([Point; 4]),
    /// A run of an ellipse.
    Bow(Bow),
}

impl Map {
    /// From the page's user units to millimetres, turned up.
    pub(super) fn of_page(page: &Page) -> Self {
        let up = of_numbers([1.0, 0.0, 0.0, -1.0, 0.0, page.height]);
        Self(up).laid(&page.lay)
    }

    /// This map after a view box has been laid into its room.
    #[must_use]
    pub(super) fn laid(self, lay: &Lay) -> Self {
        let Lay { sx, sy, left, top, low_x, low_y } = *lay;
        self.after([sx, 0.0, 0.0, sy, left - sx * low_x, top - sy * low_y])
    }

    /// This map after another, given by its six numbers in SVG's order.
    #[must_use]
    pub(super) fn after(self, numbers: [f64; 6]) -> Self {
        Self(self.0 * of_numbers(numbers))
    }

    /// This map after a shift.
    #[must_use]
    pub(super) fn shifted(self, x: f64, y: f64) -> Self {
        self.after([1.0, 0.0, 0.0, 1.0, x, y])
    }

    /// The map back, where there is one.
    pub(super) fn back(&self) -> Option<Self> {
        self.0.try_inverse().map(Self)
    }

    /// This map after a `transform` attribute, or where that cannot be read.
    pub(super) fn with(self, transform: &str) -> Result<Self, svgtypes::Error> {
        let mut matrix = self.0;
        for token in TransformListParser::from(transform) {
            matrix *= matrix_of(token?);
        }
        Ok(Self(matrix))
    }

    /// Whether it keeps areas above zero and all numbers finite.
    pub(super) fn is_sound(&self) -> bool {
        let spread = self.0.fixed_view::<2, 2>(0, 0).determinant();
        self.0.iter().all(|number| number.is_finite()) && 0.0 < spread.abs()
    }

    /// How much longer a length of one becomes, at most.
    pub(super) fn growth(&self) -> f64 {
        self.vector(Vector::new(1.0, 0.0))
            .length()
            .max(self.vector(Vector::new(0.0, 1.0)).length())
    }

    /// Where a point comes to lie.
    pub(super) fn point(&self, point: Point) -> Point {
        let at = self.0.transform_point(&Point2::new(point.x, point.y));
        Point::new(at.x, at.y)
    }

    fn vector(&self, vector: Vector) -> Vector {
        let way = self.0.transform_vector(&Vector2::new(vector.x, vector.y));
        Vector::new(way.x, way.y)
    }

    /// What a mark becomes; a bow that is circular becomes arcs of at most a half turn.
    pub(super) fn strokes(&self, mark: &Mark) -> Vec<Stroke> {
        match *mark {
            Mark::Line(from, to) => {
                vec![Stroke::Piece(Piece::line(self.point(from), self.point(to)))]
            }
            Mark::Cubic(points) => {
                vec![Stroke::Cubic(points.map(|point| self.point(point)))]
            }
            Mark::Bow(bow) => self.bow(&bow),
        }
    }

    fn bow(&self, bow: &Bow) -> Vec<Stroke> {
        let mapped = Bow {
            from: self.point(bow.from),
            to: self.point(bow.to),
            centre: self.point(bow.centre),
            x: self.vector(bow.x),
            y: self.vector(bow.y),
            ..*bow
        };
        mapped.strokes()
    }
}

fn of_numbers([a, b, c, d, e, f]: [f64; 6]) -> Matrix3<f64> {
    Matrix3::new(a, c, e, b, d, f, 0.0, 0.0, 1.0)
}

fn matrix_of(token: TransformListToken) -> Matrix3<f64> {
    of_numbers(match token {
        TransformListToken::Matrix { a, b, c, d, e, f } => [a, b, c, d, e, f],
        TransformListToken::Translate { tx, ty } => [1.0, 0.0, 0.0, 1.0, tx, ty],
        TransformListToken::Scale { sx, sy } => [sx, 0.0, 0.0, sy, 0.0, 0.0],
        TransformListToken::Rotate { angle } => rotation(angle),
        TransformListToken::SkewX { angle } => [1.0, 0.0, slope(angle), 1.0, 0.0, 0.0],
        TransformListToken::SkewY { angle } => [1.0, slope(angle), 0.0, 1.0, 0.0, 0.0],
    })
}

/// The six numbers of a turn, in degrees.
pub(super) fn rotation(degrees: f64) -> [f64; 6] {
    let (sin, cos) = turn(degrees);
    [cos, sin, -sin, cos, 0.0, 0.0]
}

/// The tangent of an angle in degrees.
pub(super) fn slope(degrees: f64) -> f64 {
    let (sin, cos) = turn(degrees);
    sin / cos
}

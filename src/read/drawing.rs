//! A drawing as read: strokes in millimetres, y up, with the place each came from.

use super::{Role, Tally};
use crate::diag::Place;
use crate::geom::{Bounds, Piece, Point, Vector};
use kurbo::Shape;
use std::f64::consts::TAU;

/// One stroke, before any fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stroke {
    /// A straight line or a circular arc.
    Piece(Piece),
    /// A cubic curve by its four points.
    Cubic([Point; 4]),
    /// A run of an ellipse: `centre + x·cos a + y·sin a` for `a` from `start` by `sweep` radians.
    Ellipse {
        /// The centre.
        centre: Point,
        /// From the centre to where `a` is zero.
        x: Vector,
        /// From the centre to where `a` is a quarter turn.
        y: Vector,
        /// Where it starts.
        start: f64,
        /// How far it goes, signed, at most a whole turn.
        sweep: f64,
    },
}

impl Stroke {
    /// Where it is at a share of its run, from 0 to 1.
    pub fn at(&self, share: f64) -> Point {
        match *self {
            Self::Piece(piece) => piece.at(share),
            Self::Cubic([a, b, c, d]) => {
                let on = |a: Point, b: Point| a + (b - a) * share;
                let (ab, bc, cd) = (on(a, b), on(b, c), on(c, d));
                on(on(ab, bc), on(bc, cd))
            }
            Self::Ellipse { centre, x, y, start, sweep } => {
                let (sin, cos) = libm::sincos(start + sweep * share);
                centre + x * cos + y * sin
            }
        }
    }

    /// Where it starts.
    pub fn from(&self) -> Point {
        match *self {
            Self::Piece(piece) => piece.from(),
            Self::Cubic(points) => points[0],
            Self::Ellipse { centre, x, y, start, .. } => {
                let (sin, cos) = libm::sincos(start);
                centre + x * cos + y * sin
            }
        }
    }
}

/// A stroke with what is known of its edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// The stroke.
    pub stroke: Stroke,
    /// The name its edge may be called by.
    pub name: Option<String>,
    /// A role it has by construction.
    pub role: Option<Role>,
}

/// Strokes that follow each other, each starting where the last one ended.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// The strokes in order; never empty.
    pub strokes: Vec<Drawn>,
    /// Whether the drawing says it closes.
    pub closed: bool,
    /// Where it came from.
    pub place: Place,
}

/// What a drawing holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The part's name.
    pub name: String,
    /// What was left out of a drawing that may hold more than outlines: dimension lines, centre
    /// lines, notes. In such a drawing a line that does not close is left out too. Nothing where
    /// every line must be part of an outline.
    pub beside: Option<Tally>,
    /// Its paths.
    pub paths: Vec<Path>,
}

impl Drawing {
    /// The smallest upright box that holds all that is drawn.
    pub fn bounds(&self) -> Bounds {
        let strokes = self.paths.iter().flat_map(|path| &path.strokes);
        strokes.map(|drawn| drawn.stroke.bounds()).collect()
    }

    /// The mirror image: left and right change places.
    #[must_use]
    pub fn mirrored(mut self) -> Self {
        let drawn = self.paths.iter_mut().flat_map(|path| &mut path.strokes);
        for one in drawn {
            one.stroke = one.stroke.mirrored();
        }
        self
    }
}

impl Stroke {
    /// The smallest upright box that holds it.
    pub fn bounds(&self) -> Bounds {
        match *self {
            Self::Piece(piece) => piece.bounds(),
            Self::Cubic([a, b, c, d]) => {
                let [a, b, c, d] = [a, b, c, d].map(|at| (at.x, at.y));
                let bounds = kurbo::CubicBez::new(a, b, c, d).bounding_box();
                Bounds {
                    low: Point::new(bounds.x0, bounds.y0),
                    high: Point::new(bounds.x1, bounds.y1),
                }
            }
            Self::Ellipse { centre, x, y, start, sweep } => {
                let at = |angle: f64| {
                    let (sin, cos) = libm::sincos(angle);
                    centre + x * cos + y * sin
                };
                // It turns back where its derivative along one of the axes is zero.
                let turns = [libm::atan2(y.x, x.x), libm::atan2(y.y, x.y)];
                let turns = turns.into_iter().flat_map(|t| [t, t + TAU / 2.0]);
                let within = |angle: &f64| {
                    let along = (angle - start) * sweep.signum();
                    along.rem_euclid(TAU) <= sweep.abs()
                };
                let turns = turns.filter(within).map(at);
                let ends = Bounds::EMPTY.with(at(start)).with(at(start + sweep));
                turns.fold(ends, Bounds::with)
            }
        }
    }

    fn mirrored(self) -> Self {
        let point = |at: Point| Point::new(-at.x, at.y);
        let way = |way: Vector| Vector::new(-way.x, way.y);
        match self {
            Self::Piece(Piece::Line { from, to }) => {
                Self::Piece(Piece::line(point(from), point(to)))
            }
            Self::Piece(Piece::Arc { from, to, centre, sweep }) => {
                let (from, to, centre) = (point(from), point(to), point(centre));
                Self::Piece(Piece::Arc { from, to, centre, sweep: -sweep })
            }
            Self::Cubic(points) => Self::Cubic(points.map(point)),
            Self::Ellipse { centre, x, y, start, sweep } => {
                let (centre, x, y) = (point(centre), way(x), way(y));
                Self::Ellipse { centre, x, y, start, sweep }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_ellipse_is_as_wide_as_its_turning_points() {
        let (x, y) = (Vector::new(30.0, 40.0), Vector::new(-4.0, 3.0));
        let whole = Stroke::Ellipse {
            centre: Point::new(1.0, 2.0),
            x,
            y,
            start: 0.3,
            sweep: TAU,
        };
        let bounds = whole.bounds();
        // Half the width of an ellipse with conjugate radii x and y is the length of (x.x, y.x).
        assert!((bounds.width() - 2.0 * 916_f64.sqrt()).abs() < 1e-9, "{bounds:?}");
        assert!((bounds.height() - 2.0 * 1609_f64.sqrt()).abs() < 1e-9, "{bounds:?}");
        let part = Stroke::Ellipse {
            centre: Point::new(1.0, 2.0),
            x,
            y,
            start: 0.0,
            sweep: -0.1,
        };
        let chords = (0..=1000).map(|i| {
            let (sin, cos) = libm::sincos(-0.1 * f64::from(i) / 1000.0);
            Point::new(1.0, 2.0) + x * cos + y * sin
        });
        let dense = chords.fold(Bounds::EMPTY, Bounds::with);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-3;
        let bounds = part.bounds();
        assert!(near(bounds.width(), dense.width()), "{bounds:?} {dense:?}");
        assert!(near(bounds.height(), dense.height()), "{bounds:?} {dense:?}");
    }
}

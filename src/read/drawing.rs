//! A drawing as read: strokes in millimetres, y up, with the place each came from.

use super::Role;
use crate::diag::Place;
use crate::geom::{Piece, Point, Vector};

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
    /// Its paths.
    pub paths: Vec<Path>,
}

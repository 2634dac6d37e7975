//! One entity → its kind in the format's own word, and the marks it draws in its own frame.

use std::f64::consts::TAU;

use dxf::entities::{Arc, Ellipse, EntityType, Line};
use dxf::{Point as At, Vector as Way};
use nalgebra::{Point3, Vector3};

use super::frame::Mark;
use super::{polyline, spline};
use crate::read::bow::turn;

/// A turn within this of none, in radians, is a whole one (from memory): ends written with six
/// decimals.
const WHOLE_TURN: f64 = 1e-6;

/// What an entity draws.
#[derive(Debug)]
pub(super) struct Shape {
    /// The marks, each starting where the last one ends.
    pub(super) marks: Vec<Mark>,
    /// Whether the file says that it closes.
    pub(super) closed: bool,
    /// The normal of the plane its numbers lie in; none where they lie in the drawing's space.
    pub(super) normal: Option<Way>,
    /// What was made up where the file leaves it open.
    pub(super) guess: Option<&'static str>,
}

impl Shape {
    /// An open shape in the drawing's space.
    pub(super) fn open(marks: Vec<Mark>) -> Self {
        Self { marks, closed: false, normal: None, guess: None }
    }
}

/// What is to be done with an entity.
#[derive(Debug)]
pub(super) enum Found {
    /// It draws this.
    Drawn(Shape),
    /// It is no line: text, a dimension, a filled area.
    NoLine,
    /// It cannot be read, because of this.
    Bad(&'static str),
}

/// The format's word for an entity.
pub(super) fn kind(entity: &EntityType) -> &'static str {
    match entity {
        EntityType::Line(_) => "LINE",
        EntityType::Arc(_) => "ARC",
        EntityType::Circle(_) => "CIRCLE",
        EntityType::Ellipse(_) => "ELLIPSE",
        EntityType::LwPolyline(_) => "LWPOLYLINE",
        EntityType::Polyline(line)
            if line.is_3d_polygon_mesh() || line.is_polyface_mesh() =>
        {
            "mesh POLYLINE"
        }
        EntityType::Polyline(_) => "POLYLINE",
        EntityType::Spline(_) => "SPLINE",
        EntityType::Insert(_) => "INSERT",
        EntityType::Text(_) => "TEXT",
        EntityType::MText(_) => "MTEXT",
        EntityType::Attribute(_) => "ATTRIB",
        EntityType::AttributeDefinition(_) => "ATTDEF",
        EntityType::RotatedDimension(_)
        | EntityType::RadialDimension(_)
        | EntityType::DiameterDimension(_)
        | EntityType::AngularThreePointDimension(_)
        | EntityType::OrdinateDimension(_) => "DIMENSION",
        EntityType::Leader(_) => "LEADER",
        EntityType::ModelPoint(_) => "POINT",
        EntityType::Solid(_) | EntityType::Trace(_) => "SOLID",
        EntityType::Face3D(_) => "3DFACE",
        EntityType::Image(_) => "IMAGE",
        EntityType::Ray(_) | EntityType::XLine(_) => "XLINE",
        EntityType::MLine(_) => "MLINE",
        EntityType::Helix(_) => "HELIX",
        _ => "other",
    }
}

/// What an entity draws; cubics stray at most `fine` from its curves, in the drawing's units.
pub(super) fn found(entity: &EntityType, fine: f64) -> Found {
    match entity {
        EntityType::Line(Line { p1, p2, .. }) => {
            Found::Drawn(Shape::open(vec![Mark::Line([point(p1), point(p2)])]))
        }
        EntityType::Arc(arc) => Found::Drawn(self::arc(arc)),
        EntityType::Circle(circle) => {
            let Arc { start_angle, end_angle, .. } = Arc::default();
            let round = Arc {
                center: circle.center.clone(),
                radius: circle.radius,
                normal: circle.normal.clone(),
                start_angle,
                end_angle,
                ..Arc::default()
            };
            Found::Drawn(Shape { closed: true, ..arc(&round) })
        }
        EntityType::Ellipse(ellipse) => Found::Drawn(self::ellipse(ellipse)),
        EntityType::LwPolyline(line) => Found::Drawn(polyline::light(line)),
        EntityType::Polyline(line) => polyline::heavy(line),
        EntityType::Spline(curve) => spline::spline(curve, fine),
        _ => Found::NoLine,
    }
}

/// A point in space.
pub(super) fn point(at: &At) -> Point3<f64> {
    Point3::new(at.x, at.y, at.z)
}

/// From `start` on to `end`, never nothing.
fn turn_between(start: f64, end: f64) -> f64 {
    let sweep = (end - start).rem_euclid(TAU);
    let some = WHOLE_TURN..=TAU - WHOLE_TURN;
    if some.contains(&sweep) { sweep } else { TAU }
}

fn arc(arc: &Arc) -> Shape {
    let (centre, r) = (point(&arc.center), arc.radius);
    let at = |degrees: f64| {
        let (sin, cos) = turn(degrees);
        centre + Vector3::new(r * cos, r * sin, 0.0)
    };
    let start = arc.start_angle.to_radians();
    let sweep = turn_between(start, arc.end_angle.to_radians());
    let from = at(arc.start_angle);
    let to = if TAU <= sweep { from } else { at(arc.end_angle) };
    let axes = [Vector3::x() * r, Vector3::y() * r];
    let mark = Mark::Bow { ends: [from, to], centre, axes, start, sweep };
    Shape { normal: Some(arc.normal.clone()), ..Shape::open(vec![mark]) }
}

/// Its numbers lie in the drawing's space; it runs counter-clockwise about its normal.
fn ellipse(ellipse: &Ellipse) -> Shape {
    let way = |v: &Way| Vector3::new(v.x, v.y, v.z);
    let (centre, x) = (point(&ellipse.center), way(&ellipse.major_axis));
    let normal = way(&ellipse.normal).try_normalize(0.0).unwrap_or_else(Vector3::z);
    let y = normal.cross(&x) * ellipse.minor_axis_ratio;
    let start = ellipse.start_parameter;
    let sweep = turn_between(start, ellipse.end_parameter);
    let at = |parameter: f64| {
        let (sin, cos) = libm::sincos(parameter);
        centre + x * cos + y * sin
    };
    let from = at(start);
    let to = if TAU <= sweep { from } else { at(start + sweep) };
    let mark = Mark::Bow { ends: [from, to], centre, axes: [x, y], start, sweep };
    Shape { closed: TAU <= sweep, ..Shape::open(vec![mark]) }
}

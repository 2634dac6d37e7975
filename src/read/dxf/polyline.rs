//! Polylines, old and light: corners joined by lines, or by arcs where a corner has a bulge.

use dxf::entities::{LwPolyline, Polyline};
use nalgebra::{Point3, Vector3};

use super::entity::{Found, Shape, point};
use super::frame::Mark;
use crate::geom::tolerance::SAME_POINT;

/// A corner with the bulge of the run to the next one: the tangent of a quarter of its arc's
/// angle, counter-clockwise positive.
type Corner = (Point3<f64>, f64);

/// A light polyline lies in the plane of its extrusion.
pub(super) fn light(line: &LwPolyline) -> Shape {
    let corners = line.vertices.iter().map(|v| (Point3::new(v.x, v.y, 0.0), v.bulge));
    let normal = Some(line.extrusion_direction.clone());
    Shape { normal, ..run(&corners.collect::<Vec<_>>(), line.is_closed()) }
}

/// An old polyline lies in its plane, or in space; meshes are no lines.
pub(super) fn heavy(line: &Polyline) -> Found {
    if line.is_3d_polygon_mesh() || line.is_polyface_mesh() {
        return Found::NoLine;
    }
    // What a smoothed polyline was smoothed from is kept in the file, but not drawn.
    let drawn = line.vertices().filter(|vertex| !vertex.is_spline_frame_control_point());
    let corners: Vec<Corner> =
        drawn.map(|vertex| (point(&vertex.location), vertex.bulge)).collect();
    let shape = run(&corners, line.is_closed());
    let normal = (!line.is_3d_polyline()).then(|| line.normal.clone());
    Found::Drawn(Shape { normal, ..shape })
}

fn run(corners: &[Corner], closed: bool) -> Shape {
    let mut marks: Vec<Mark> =
        corners.windows(2).map(|pair| mark(pair[0], pair[1].0)).collect();
    // The last bulge belongs to the run that closes it.
    if let (true, [(first, _), .., last]) = (closed, corners) {
        marks.push(mark(*last, *first));
    }
    Shape { closed, ..Shape::open(marks) }
}

/// Geometry: with bulge b over a chord of length L the centre lies L (1 − b²) / 4b to the left of
/// its middle.
fn mark((from, bulge): Corner, to: Point3<f64>) -> Mark {
    let chord = to - from;
    if (bulge * chord.norm()).abs() <= SAME_POINT {
        return Mark::Line([from, to]);
    }
    let left = Vector3::new(-chord.y, chord.x, 0.0);
    let centre = from + chord / 2.0 + left * ((1.0 - bulge * bulge) / (4.0 * bulge));
    let x = from - centre;
    let axes = [x, Vector3::new(-x.y, x.x, 0.0)];
    let sweep = 4.0 * libm::atan(bulge);
    Mark::Bow { ends: [from, to], centre, axes, start: 0.0, sweep }
}

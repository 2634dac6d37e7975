//! Relieved inside corners: the only places where a part may be cut past its line, and only as
//! far as the corner itself.
//!
//! ```text
//!  part |    .              the mill's centre goes down the bisector, from the line of its lap (o)
//!       |   o               to where its rim passes through the corner K: past both edges there,
//!       |  /                and nowhere else
//!       | x
//!       K___________
//!           part
//! ```
//!
//! Geometry.

use super::cut::{Cut, LEFT};
use super::distance::Shape;
use super::edge::Edges;
use super::gouge::GOUGE;
use super::promise::{Promise, Relief};
use super::tree::Forest;
use super::verdict::{Fault, Rule};
use crate::geom::{Point, Vector};

/// How far a move may lie off a relief's line, in mm (geometry: rounding of a text in inches).
const OFF: f64 = 0.01;

/// Whether a move is one of a relief, which may cut past both edges of its corner: it lies on
/// the corner's bisector, goes no deeper than to pass through the corner, and cuts into no
/// other edge.
pub(super) fn is_relief(cut: &Cut, promise: &Promise, edges: &Edges) -> bool {
    promise.reliefs.iter().any(|relief| {
        let on_stem = cut.tool == relief.tool
            && cut.shape.bow.is_none()
            && stands_on(relief, &cut.shape, cut.radius);
        on_stem && {
            let near = edges.beside(&cut.shape, cut.radius + cut.slack - GOUGE);
            near.iter().all(|edge| is_own(relief, edge))
        }
    })
}

/// Whether a straight move lies on a relief's line.
fn stands_on(relief: &Relief, shape: &Shape, radius: f64) -> bool {
    let [from, to] = relief.stem(radius);
    let stem = Shape { from, to, bow: None };
    [shape.from, shape.to].iter().all(|&end| stem.point_gap(end) <= OFF)
}

/// Whether an edge is one of the two of a relief's corner.
fn is_own(relief: &Relief, edge: &Shape) -> bool {
    let along = |turn: f64| {
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let away = relief.away;
        Vector::new(away.x * cos - away.y * sin, away.x * sin + away.y * cos)
    };
    let on = |way: Vector, at: Point| {
        let off = at - relief.corner;
        way.cross(off).abs() <= OFF && -OFF <= way.dot(off)
    };
    edge.bow.is_none()
        && [relief.half, -relief.half].into_iter().any(|turn| {
            let way = along(turn);
            on(way, edge.from) && on(way, edge.to)
        })
}

/// The corners that are to be relieved and are not, of one tool and its moves at full depth.
pub(super) fn missing<'a>(
    reliefs: impl Iterator<Item = &'a Relief>,
    (full, radius): (&Forest, f64),
) -> Vec<Fault> {
    let uncut = reliefs.filter(|relief| {
        full.near_point(relief.corner, radius + LEFT, |_| true).is_none()
    });
    let text = "an inside corner that is to be relieved is not";
    uncut.map(|relief| Fault::at(Rule::Leftover, 0, relief.corner, text)).collect()
}

//! Layout: running sizes of the corners from the reference end and the reference edge.

use super::Job;
use crate::geom::{Bounds, Join, Loop, Piece, Point};
use crate::plan::Part;
use crate::sheet::model::{Block, Picture, Sheet};
use crate::sheet::picture;

/// One point to lay out.
pub(in crate::sheet) struct Corner {
    /// From 1, over all parts.
    pub(in crate::sheet) number: usize,
    /// Index of its part.
    pub(in crate::sheet) part: usize,
    /// Where it is.
    pub(in crate::sheet) at: Point,
    what: String,
}

/// The sheet.
pub(super) fn sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("Layout");
    sheet.paragraph(
        "Measure every size from the reference end and the reference edge, never from the last \
         mark. Knife what is to be cut, pencil the rest.",
    );
    let corners = corners(job);
    for (index, part) in job.plan.parts.iter().enumerate() {
        if 1 < job.plan.parts.len() {
            sheet.heading(part.outline.name.clone());
        }
        let whole = part.outline.bounds();
        let reference = job.shop.reference.of(&part.outline);
        let rows = corners
            .iter()
            .filter(|corner| corner.part == index)
            .map(|corner| {
                let (end, edge) = reference.sizes(whole, corner.at);
                let (end, edge) = (job.length(end), job.length(edge));
                vec![corner.number.to_string(), end, edge, corner.what.clone()]
            })
            .collect();
        let head = ["Point", "From the reference end", "From the reference edge", "What"];
        sheet.table(&head, rows, &[1, 2]);
    }
    let svg = picture::layout(job.plan, job.shop, &corners, job.id);
    sheet.blocks.push(Block::Picture(Picture {
        svg,
        title: "Points of the layout".to_owned(),
        file: None,
    }));
    sheet
}

/// The points of all parts: corners, ends of arcs, centres.
fn corners(job: &Job<'_>) -> Vec<Corner> {
    let mut corners = Vec::new();
    for (part, from) in job.plan.parts.iter().enumerate() {
        for (at, what) in points(from, job) {
            corners.push(Corner { number: corners.len() + 1, part, at, what });
        }
    }
    corners
}

fn points(part: &Part, job: &Job<'_>) -> Vec<(Point, String)> {
    let rings = part.outline.loops.iter();
    rings.flat_map(|ring| loop_points(ring, part.outline.bounds(), job)).collect()
}

/// The most points a loop has whose arcs are listed; beyond it only corners are: a drawing of
/// many short arcs is traced from the template, not laid out.
const MANY: usize = 24;

fn loop_points(ring: &Loop, whole: Bounds, job: &Job<'_>) -> Vec<(Point, String)> {
    let pieces = ring.pieces();
    let many = MANY < pieces.len();
    let mut points = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        let join = ring.join(index);
        let bent =
            piece.radius().is_some() || pieces[ring.before(index)].radius().is_some();
        let same = circle(&pieces[ring.before(index)], piece);
        match join {
            Join::Corner => points.push((piece.from(), corner_words(ring.turn(index)))),
            Join::Smooth if bent && !same && !many => {
                points.push((piece.from(), "a curve begins or ends, smooth".to_owned()));
            }
            Join::Smooth => {}
        }
        if let (Piece::Arc { centre, .. }, Some(radius)) = (*piece, piece.radius())
            && !many
            && (index == 0 || !same)
        {
            points.push(curve_point(piece, (centre, radius), whole, job));
        }
    }
    points
}

/// The point that fixes a curve: its centre where a compass can stand on the bench beside the
/// part, else the curve's middle, for a batten.
fn curve_point(
    piece: &Piece,
    (centre, radius): (Point, f64),
    whole: Bounds,
    job: &Job<'_>,
) -> (Point, String) {
    let radius = job.length(radius);
    let near = whole.grown(whole.width().max(whole.height()) / 2.0);
    if near.distance_squared(centre) <= 0.0 {
        (centre, format!("centre, radius {radius}"))
    } else {
        (piece.at(0.5), format!("middle of a curve, radius {radius}: bend a batten"))
    }
}

/// Whether two pieces lie on one circle.
fn circle(one: &Piece, other: &Piece) -> bool {
    let (Piece::Arc { centre: a, .. }, Piece::Arc { centre: b, .. }) = (one, other)
    else {
        return false;
    };
    let apart = one.radius().unwrap_or(0.0) - other.radius().unwrap_or(0.0);
    a.distance(*b) < 1e-3 && apart.abs() < 1e-3
}

fn corner_words(turn: f64) -> String {
    let inside = 180.0 - turn.abs().to_degrees();
    let kind = if 0.0 < turn { "outside corner" } else { "inside corner" };
    format!("{kind}, {inside:.1}°")
}

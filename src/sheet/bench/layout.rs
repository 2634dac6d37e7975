//! Layout: running sizes of the corners from the reference end and the reference edge; centres
//! of arcs that a trammel can reach; points for a batten along every other curve.

use super::Job;
use super::curves::{Curves, Line};
use crate::geom::tolerance::REPAIR;
use crate::geom::{Join, Loop, Piece, Point};
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
    /// Whether a trammel stands there: the centre of a curve.
    pub(in crate::sheet) is_centre: bool,
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

/// The points of all parts: corners, ends of curves, centres, points for a batten.
fn corners(job: &Job<'_>) -> Vec<Corner> {
    let mut corners = Vec::new();
    for (part, from) in job.plan.parts.iter().enumerate() {
        for (at, what, is_centre) in points(from, job) {
            corners.push(Corner { number: corners.len() + 1, part, at, is_centre, what });
        }
    }
    corners
}

/// A point to lay out, what it is, and whether it is a centre.
type Mark = (Point, String, bool);

fn points(part: &Part, job: &Job<'_>) -> Vec<Mark> {
    let rings = part.outline.loops.iter().zip(&part.outline.drawn);
    let base = (part.outline.bounds(), job.shop.reference.of(&part.outline));
    rings
        .flat_map(|(ring, drawn)| {
            loop_points(ring, &Curves::new(ring, drawn, base, job.shop.paper), job)
        })
        .collect()
}

/// The most lines and drawn arcs a loop has whose arcs are listed; beyond it only corners are:
/// a drawing of many short arcs is traced from the template, not laid out.
const MANY: usize = 24;

fn loop_points(ring: &Loop, curves: &Curves<'_>, job: &Job<'_>) -> Vec<Mark> {
    let pieces = ring.pieces();
    let many = MANY < curves.n_drawn();
    let mut points: Vec<Mark> = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        let (before, here) = (curves.line(ring.before(index)), curves.line(index));
        let same = circle(&pieces[ring.before(index)], piece);
        match ring.join(index) {
            Join::Corner => {
                points.push((piece.from(), corner_words(ring.turn(index)), false));
            }
            Join::Smooth if begins(before, here) && !same && !many => {
                let words = "a curve begins or ends, smooth".to_owned();
                points.push((piece.from(), words, false));
            }
            Join::Smooth => {}
        }
        match (here, *piece, piece.radius()) {
            (Line::Compass, Piece::Arc { centre, .. }, Some(radius))
                if !many && (index == 0 || !same) =>
            {
                let off = if curves.is_off(centre) { OFF_THE_STOCK } else { "" };
                let words = format!("centre, radius {}{off}", job.length(radius));
                points.push((centre, words, true));
            }
            (Line::Batten, ..) => {
                let on = curves.for_batten(index).into_iter();
                let words = "on the curve: bend a batten";
                for at in on {
                    let last = points.last().map(|point| point.0);
                    if last.is_none_or(|last| REPAIR < last.distance(at)) {
                        points.push((at, words.to_owned(), false));
                    }
                }
            }
            _ => {}
        }
    }
    points
}

/// What is said of a centre whose size from end or edge is negative.
const OFF_THE_STOCK: &str = "; off the stock, a minus is beyond the reference";

/// Whether a curve begins or ends where two pieces meet smoothly.
fn begins(before: Line, here: Line) -> bool {
    (before != Line::Straight || here != Line::Straight)
        && (before != Line::Batten || here != Line::Batten)
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

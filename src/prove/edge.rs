//! The edge a program must leave: the loops as read, each point set out or in square to them,
//! less what lies nearer to another part of them. No loops are built and none are needed.

use super::distance::Shape;
use super::promise::Pledge;
use super::tree::Forest;
use crate::geom::{Loop, Piece, Point};
use std::f64::consts::TAU;

/// A kept point may be so much nearer to the loops than asked, in mm (geometry: rounding).
const NEARER: f64 = 1e-5;
/// The least step along an edge that is being trimmed, in mm.
const STEP: f64 = 0.02;

/// The template of some pledges, to be asked which points lie in it.
pub(super) struct Template {
    drawn: Forest,
    /// How far the edge lies outside each of those shapes.
    grows: Vec<f64>,
}

impl Template {
    /// The template, as far as the machine cuts it.
    pub(super) fn new(pledges: &[Pledge]) -> Self {
        let cut = pledges.iter().filter(|pledge| pledge.is_cut());
        let shapes = cut.flat_map(|pledge| {
            pledge.drawn.pieces().iter().map(|piece| (Shape::of(piece), pledge.grow))
        });
        let (drawn, grows): (Vec<Shape>, Vec<f64>) = shapes.unzip();
        Self { drawn: Forest::new(drawn), grows }
    }

    /// Whether a point lies in it.
    pub(super) fn holds(&self, point: Point) -> bool {
        let near = self.drawn.near_point(point, f64::INFINITY, |_| true);
        let Some((least, index)) = near else { return false };
        let grow = self.grows[index];
        if self.drawn.winding(point) != 0 { -grow < least } else { least < grow }
    }
}

/// How often a loop goes round a point.
pub(super) fn winding_of(ring: &Loop, point: Point) -> i32 {
    let pieces = ring.pieces().iter();
    let turn: f64 = pieces.map(|piece| Shape::of(piece).turn_about(point)).sum();
    let turns = turn / TAU;
    let steps = (-1000..=1000).find(|&n| (f64::from(n) - turns).abs() < 0.5);
    steps.unwrap_or(0)
}

/// The edges of all pledges, each in order along its loop.
pub(super) fn edges(all: &[Pledge]) -> Vec<Vec<Shape>> {
    let mut forests: Vec<(f64, Forest)> = Vec::new();
    let mut edges = Vec::new();
    for (index, pledge) in all.iter().enumerate() {
        let same = |other: &&Pledge| other.grow.to_bits() == pledge.grow.to_bits();
        if pledge.grow.abs() < NEARER {
            edges.push(pledge.drawn.pieces().iter().map(Shape::of).collect());
            continue;
        }
        let known =
            forests.iter().position(|(grow, _)| grow.to_bits() == pledge.grow.to_bits());
        let known = known.unwrap_or_else(|| {
            let shapes = all.iter().filter(same).flat_map(|p| p.drawn.pieces());
            let forest = Forest::new(shapes.map(Shape::of).collect());
            forests.push((pledge.grow, forest));
            forests.len() - 1
        });
        let before = all[..index].iter().filter(same).map(|p| p.drawn.pieces().len());
        edges.push(edge(pledge, &forests[known].1, before.sum()));
    }
    edges
}

/// The edge of one pledge, whose own pieces are in the forest from `first` on.
fn edge(pledge: &Pledge, forest: &Forest, first: usize) -> Vec<Shape> {
    let own = pledge.drawn.pieces();
    let mut edge = Vec::new();
    for (index, piece) in own.iter().enumerate() {
        let next = (index + 1) % own.len();
        if let Some(side) = set_out(piece, pledge.grow) {
            trim(&side, forest, (pledge.grow.abs(), &[first + index]), &mut edge);
        }
        if let Some(corner) = round(piece, &own[next], pledge.grow) {
            let feet = [first + index, first + next];
            trim(&corner, forest, (pledge.grow.abs(), &feet), &mut edge);
        }
    }
    edge
}

/// A piece set out to its right by `grow`; `None` where nothing of it is left.
fn set_out(piece: &Piece, grow: f64) -> Option<Shape> {
    let shape = Shape::of(piece);
    let Some((centre, sweep)) = shape.bow else {
        return Some(shape.moved(shape.direction(0.0).right() * grow));
    };
    let radius = shape.from.distance(centre);
    let wider = if 0.0 < sweep { radius + grow } else { radius - grow };
    (0.0 < wider).then(|| Shape {
        from: centre + (shape.from - centre) * (wider / radius),
        to: centre + (shape.to - centre) * (wider / radius),
        bow: Some((centre, sweep)),
    })
}

/// The arc about a corner where the edges set out part.
fn round(piece: &Piece, next: &Piece, grow: f64) -> Option<Shape> {
    let (before, after) =
        (Shape::of(piece).direction(1.0), Shape::of(next).direction(0.0));
    let turn = libm::atan2(before.cross(after), before.dot(after));
    let corner = next.from();
    (0.0 < turn * grow && 1e-9 < turn.abs()).then(|| Shape {
        from: corner + before.right() * grow,
        to: corner + after.right() * grow,
        bow: Some((corner, turn)),
    })
}

/// Adds the parts of a shape that are no nearer than `by` to any but their own pieces.
fn trim(
    shape: &Shape,
    forest: &Forest,
    (by, own): (f64, &[usize]),
    edge: &mut Vec<Shape>,
) {
    let length = shape.length();
    let room = |along: f64| {
        let point = shape.at(along / length);
        let near =
            forest.near_point(point, 2.0 * by + 1.0, |index| !own.contains(&index));
        near.map_or(by + 1.0, |(distance, _)| distance) - by + NEARER
    };
    let mut along = 0.0;
    let mut start = (0.0 <= room(0.0)).then_some(0.0);
    while along < length {
        let step = room(along).abs().max(STEP).min(length - along);
        let next = if along + step < length { along + step } else { length };
        let kept = 0.0 <= room(next);
        match (start, kept) {
            (None, true) => start = Some(border(&room, next, along)),
            (Some(from), false) => {
                push(shape, (from, border(&room, along, next)), edge);
                start = None;
            }
            _ => {}
        }
        along = next;
    }
    if let Some(from) = start {
        push(shape, (from, length), edge);
    }
}

fn push(shape: &Shape, (from, to): (f64, f64), edge: &mut Vec<Shape>) {
    let length = shape.length();
    if 1e-6 < to - from {
        edge.push(shape.part(from / length, to / length));
    }
}

/// Where between a place that is kept and one that is not the border lies.
fn border(room: &impl Fn(f64) -> f64, mut kept: f64, mut lost: f64) -> f64 {
    for _ in 0..40 {
        let middle = f64::midpoint(kept, lost);
        if 0.0 <= room(middle) {
            kept = middle;
        } else {
            lost = middle;
        }
    }
    kept
}

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
#[derive(Debug)]
pub(super) struct Template {
    /// The loops as read, each with how far its edge lies outside it.
    loops: Vec<(Forest, f64)>,
}

impl Template {
    pub(super) fn of(pledges: &[Pledge]) -> Self {
        let forest = |pledge: &Pledge| {
            let shapes = pledge.drawn.pieces().iter().map(Shape::of).collect();
            (Forest::new(shapes), pledge.grow)
        };
        let cut = pledges.iter().filter(|pledge| pledge.is_cut());
        Self { loops: cut.map(forest).collect() }
    }

    /// Whether a point lies in it.
    pub(super) fn holds(&self, point: Point) -> bool {
        let (mut turn, mut least, mut grow) = (0.0, f64::INFINITY, 0.0);
        for (forest, wider) in &self.loops {
            turn += forest.turn_about(point);
            if let Some((far, _)) = forest.near_point(point, least, |_| true) {
                (least, grow) = (far, *wider);
            }
        }
        if 0.5 < (turn / TAU).abs() { -grow < least } else { least < grow }
    }
}

/// Whether a point lies in the opening inside a loop set out by `grow`.
pub(super) fn in_opening(drawn: &Loop, grow: f64, point: Point) -> bool {
    let pieces = drawn.pieces().iter();
    let least = pieces
        .map(|piece| Shape::of(piece).point_gap(point))
        .fold(f64::INFINITY, f64::min);
    let inside = winding_of(drawn, point) != 0;
    if inside { grow < least } else { least < -grow }
}

/// How often a loop goes round a point.
pub(super) fn winding_of(ring: &Loop, point: Point) -> i32 {
    let pieces = ring.pieces().iter();
    let turn: f64 = pieces.map(|piece| Shape::of(piece).turn_about(point)).sum();
    let turns = turn / TAU;
    let steps = (-1000..=1000).find(|&n| (f64::from(n) - turns).abs() < 0.5);
    steps.unwrap_or(0)
}

/// The edge of one pledge, in order along its loop.
pub(super) fn edge(pledge: &Pledge, all: &[Pledge]) -> Vec<Shape> {
    if pledge.grow.abs() < NEARER {
        return pledge.drawn.pieces().iter().map(Shape::of).collect();
    }
    let drawn = all.iter().filter(|other| other.grow.to_bits() == pledge.grow.to_bits());
    let shapes: Vec<Shape> =
        drawn.flat_map(|other| other.drawn.pieces().iter().map(Shape::of)).collect();
    let own = pledge.drawn.pieces();
    let first = shapes.iter().position(|shape| *shape == Shape::of(&own[0])).unwrap_or(0);
    let forest = Forest::new(shapes);
    let mut edge = Vec::new();
    for (index, piece) in own.iter().enumerate() {
        let next = (index + 1) % own.len();
        if let Some(side) = set_out(piece, pledge.grow) {
            trim(&side, &forest, (pledge.grow.abs(), &[first + index]), &mut edge);
        }
        if let Some(corner) = round(piece, &own[next], pledge.grow) {
            let feet = [first + index, first + next];
            trim(&corner, &forest, (pledge.grow.abs(), &feet), &mut edge);
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

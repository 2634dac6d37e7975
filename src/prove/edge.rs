//! The edge a program must leave: the loops as read, each point set out or in square to them,
//! less what lies nearer to another part of them. No loops are built and none are needed.
//!
//! ```text
//!   . - - - - - - - .       each piece set out square by as much as is promised, an arc about each
//!  :   ___________   :      corner that opens; what lies nearer than that to another piece of the
//!  :  |     ______|  :      loops is trimmed off (x)
//!  :  |    |  . - - x
//!  :  |    |  x
//! ```
//!
//! Geometry.

use super::distance::Shape;
use super::promise::Pledge;
use super::tree::Forest;
use crate::geom::{Loop, Piece, Point};
use std::f64::consts::TAU;
use std::sync::Arc;

/// A kept point may be so much nearer to the loops than asked, in mm (geometry: rounding).
const NEARER: f64 = 1e-5;
/// The least step along an edge that is being trimmed, in mm.
const STEP: f64 = 0.02;

/// The edges of all loops in one tree, each loop's in order.
pub(super) struct Edges {
    forest: Forest,
    /// Of each shape, which loop it belongs to.
    of_loop: Vec<u32>,
    /// Where each loop's shapes start, and where the last one's end.
    starts: Vec<usize>,
    /// Of each loop, whether the machine cuts it.
    is_cut: Vec<bool>,
}

impl Edges {
    /// The edges that programs must leave.
    pub(super) fn new(pledges: &[Pledge]) -> Self {
        if pledges.iter().all(|pledge| pledge.grow.abs() < NEARER) {
            return Self::drawn(pledges);
        }
        let edges = edges(pledges);
        Self::of_loops(pledges, |index| edges[index].iter().copied())
    }

    /// The loops as drawn.
    fn drawn(pledges: &[Pledge]) -> Self {
        Self::of_loops(pledges, |index| {
            pledges[index].drawn.pieces().iter().map(Shape::of)
        })
    }

    fn of_loops<I: Iterator<Item = Shape>>(
        pledges: &[Pledge],
        edge: impl Fn(usize) -> I,
    ) -> Self {
        let mut starts = vec![0];
        let mut of_loop = Vec::new();
        for (number, index) in (0..).zip(0..pledges.len()) {
            of_loop.extend(edge(index).map(|_| number));
            starts.push(of_loop.len());
        }
        let mut shapes = (0..pledges.len()).flat_map(&edge);
        // A known number of shapes needs no room to grow into.
        let shapes = (0..of_loop.len()).map_while(|_| shapes.next());
        let forest = Forest::new(shapes);
        let is_cut = pledges.iter().map(Pledge::is_cut).collect();
        Self { forest, of_loop, starts, is_cut }
    }

    /// The edge of one loop, in order.
    pub(super) fn of(&self, index: usize) -> impl Iterator<Item = Shape> + '_ {
        (self.starts[index]..self.starts[index + 1]).map(|shape| self.forest.shape(shape))
    }

    /// Where the edge of a loop starts.
    pub(super) fn start(&self, index: usize) -> Point {
        self.forest.shape(self.starts[index]).from
    }

    /// All edges, those that are not cut too.
    pub(super) fn all(&self) -> impl Iterator<Item = Shape> + '_ {
        (0..self.forest.count()).map(|shape| self.forest.shape(shape))
    }

    fn loop_of(&self, shape: usize) -> usize {
        self.of_loop[shape] as usize
    }

    fn is_cut(&self, shape: usize) -> bool {
        self.is_cut[self.loop_of(shape)]
    }

    /// How near the edges that are cut come to a point, if nearer than `bound`.
    pub(super) fn near_point(&self, point: Point, bound: f64) -> Option<f64> {
        let near = self.forest.near_point(point, bound, |shape| self.is_cut(shape));
        near.map(|(far, _)| far)
    }

    /// How near the edges of the loops that may be taken come to a point, if nearer than
    /// `bound`, and which loop's it is.
    pub(super) fn near_point_of(
        &self,
        point: Point,
        bound: f64,
        may: impl Fn(usize) -> bool,
    ) -> Option<(f64, usize)> {
        let near = self.forest.near_point(point, bound, |shape| may(self.loop_of(shape)));
        near.map(|(far, shape)| (far, self.loop_of(shape)))
    }

    /// How near the edges of the loops that may be taken come to a shape, if nearer than
    /// `bound`, and which loop's it is.
    pub(super) fn near_shape(
        &self,
        shape: &Shape,
        bound: f64,
        may: impl Fn(usize) -> bool,
    ) -> Option<(f64, usize)> {
        let may = |edge: usize| may(self.loop_of(edge));
        let near = self.forest.near_shape(shape, bound, may);
        near.map(|(far, edge)| (far, self.loop_of(edge)))
    }

    /// The same of the edges that are cut.
    pub(super) fn near_cut(&self, shape: &Shape, bound: f64) -> Option<f64> {
        self.near_shape(shape, bound, |index| self.is_cut[index]).map(|(far, _)| far)
    }

    /// The edges that are cut within `reach` of a shape.
    pub(super) fn beside(&self, shape: &Shape, reach: f64) -> Vec<Shape> {
        let near = self.forest.beside(shape, reach).into_iter();
        near.filter(|&edge| self.is_cut(edge))
            .map(|edge| self.forest.shape(edge))
            .collect()
    }

    /// How many shapes of edges that are cut are within `reach` of a point.
    pub(super) fn within(&self, point: Point, reach: f64) -> usize {
        let near = self.forest.within(point, reach);
        near.into_iter().filter(|&shape| self.is_cut(shape)).count()
    }
}

/// The template of some pledges, to be asked which points lie in it.
#[derive(Clone)]
pub(super) struct Template {
    /// The loops as drawn.
    drawn: Arc<Edges>,
    /// How far the edge lies outside each of them.
    grows: Vec<f64>,
}

impl Template {
    /// The template, as far as the machine cuts it.
    pub(super) fn new(pledges: &[Pledge], edges: &Arc<Edges>) -> Self {
        let grows: Vec<f64> = pledges.iter().map(|pledge| pledge.grow).collect();
        let as_drawn = grows.iter().all(|grow| grow.abs() < NEARER);
        let drawn =
            if as_drawn { Arc::clone(edges) } else { Arc::new(Edges::drawn(pledges)) };
        Self { drawn, grows }
    }

    /// Whether a point lies in it.
    pub(super) fn holds(&self, point: Point) -> bool {
        let is_cut = |shape: usize| self.drawn.is_cut(shape);
        let near = self.drawn.forest.near_point(point, f64::INFINITY, is_cut);
        let Some((least, shape)) = near else { return false };
        let grow = self.grows[self.drawn.loop_of(shape)];
        let inside = self.drawn.forest.winding(point, is_cut) != 0;
        if inside { -grow < least } else { least < grow }
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
fn edges(all: &[Pledge]) -> Vec<Vec<Shape>> {
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
            let forest = Forest::new(shapes.map(Shape::of));
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

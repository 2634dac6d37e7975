//! The places a disc leaves, with their measures.
//!
//! ```text
//!   | .         .      area    that within the border, by Green's formula
//!   |.           .     depth   how far the deepest point d is from the disc: the place of the
//!   B     K      .             wall farthest from the nearest knee K, as the way from d to K
//!   |.           .             leaves through the disc's arc
//!   | .         .      sides   the lengths of wall from foot or corner to the next, here from A
//!   d____`_A_'____             to d and from d to B
//! ```
//!
//! A place may have islands: inner borders are given to the smallest outer one round them.
//!
//! Our own (geometry).

use super::crossing::{Carrier, meets};
use super::largest::largest_disc;
use super::tolerance::ON_BORDER;
use super::trace::{Cycle, Traced};
use super::trim::{Trimmed, Untrimmed, closed};
use super::{Bounds, Loop, Piece, Point, SMOOTH_TURN, Span, Tree};

/// With more knees than this only neighbouring ones are compared for the deepest point.
const MANY_KNEES: usize = 40;

/// A corner of the untouched wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Where it is.
    pub at: Point,
    /// The turn of the walk there, in radians: an inside corner is negative.
    pub turn: f64,
}

/// A place the disc leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// The untouched stretches of the loops around it, in order; islands' last.
    pub walls: Vec<Span>,
    /// Its border, the region on the left: the outer one first.
    pub border: Vec<Loop>,
    /// Its area.
    pub area: f64,
    /// How far its deepest point is from the disc; without knees, the radius of the largest
    /// disc that would enter.
    pub depth: f64,
    /// That point, or the centre of that disc.
    pub deepest: Point,
    /// At how many places the disc stops before it.
    pub knees: usize,
    /// The corners of its walls.
    pub corners: Vec<Corner>,
    /// Lengths of wall from touch or corner to corner or touch.
    pub sides: Vec<f64>,
}

/// A closed border with its walls, before it is known whose border it is.
struct Ring {
    walls: Vec<Span>,
    knees: Vec<usize>,
    /// The region on the left, its ends meeting to the last bit: a ray that passes between two
    /// ends tells the wrong side.
    border: Loop,
    /// Positive for an outer border.
    area: f64,
}

impl Ring {
    /// `None` where nothing is left of it.
    fn of(Cycle { walls, knees, border }: Cycle) -> Option<Self> {
        let origin = border.first()?.from();
        let swept = border.iter().map(|piece| piece.twice_area(origin)).sum::<f64>();
        let border = on_the_left(border)?;
        Some(Self { walls, knees, border, area: -swept / 2.0 })
    }
}

/// All places the disc leaves.
pub(super) fn regions(
    loops: &[Loop],
    trimmed: &Trimmed,
    traced: Traced,
) -> Result<Vec<Region>, Untrimmed> {
    let voids = traced.voids.into_iter();
    let voids = voids.map(|border| Cycle { border, ..Cycle::default() });
    let untouched = untouched(loops, trimmed).into_iter().map(|on| {
        let whole = Span { on, from: 0.0, length: loops[on].length() };
        let border = loops[on].pieces().to_vec();
        Cycle { walls: vec![whole], border, ..Cycle::default() }
    });
    let rings =
        traced.cycles.into_iter().chain(voids).chain(untouched).filter_map(Ring::of);
    let (outer, inner): (Vec<Ring>, Vec<Ring>) = rings
        .filter(|ring| 0.0 < ring.area || ring.area < -ON_BORDER)
        .partition(|ring| 0.0 < ring.area);
    let measured = Measure { loops, trimmed };
    if inner.is_empty() {
        // Most drawings leave no island: then the borders are not asked.
        let alone = |outer| measured.region(outer, Vec::new());
        return Ok(outer.into_iter().filter_map(alone).collect());
    }
    let mut islands: Vec<Vec<Ring>> = outer.iter().map(|_| Vec::new()).collect();
    let boxes = Tree::new(outer.iter().map(|ring| ring.border.bounds()));
    for ring in inner {
        let Some(around) = smallest_around((&outer, &boxes), &ring) else {
            let at = ring.border.pieces()[0].from();
            return Err(Untrimmed::new(at, "an inner border without a place around it"));
        };
        islands[around].push(ring);
    }
    let both = outer.into_iter().zip(islands);
    Ok(both.filter_map(|(outer, islands)| measured.region(outer, islands)).collect())
}

/// The loops that the disc nowhere touches.
fn untouched(loops: &[Loop], trimmed: &Trimmed) -> Vec<usize> {
    let mut touched = vec![false; loops.len()];
    for run in &trimmed.runs {
        touched[run.owner.from.on] = true;
    }
    (0..loops.len()).filter(|&on| !touched[on]).collect()
}

/// The smallest of the outer rings, given with their boxes, that an inner one lies in.
fn smallest_around((outer, boxes): (&[Ring], &Tree), inner: &Ring) -> Option<usize> {
    let point = inner.border.pieces()[0].at(0.414);
    let mut smallest: Option<usize> = None;
    boxes.meeting(&Bounds::EMPTY.with(point), |index| {
        let Ring { area, ref border, .. } = outer[index];
        let smaller = smallest.is_none_or(|other| area < outer[other].area);
        if inner.area.abs() <= area && smaller && border.winding(point) != 0 {
            smallest = Some(index);
        }
    });
    smallest
}

/// What the measures are taken from.
struct Measure<'a> {
    loops: &'a [Loop],
    trimmed: &'a Trimmed,
}

impl Measure<'_> {
    /// The region between an outer ring and the islands in it; none where it has no room.
    fn region(&self, outer: Ring, islands: Vec<Ring>) -> Option<Region> {
        let area = outer.area + islands.iter().map(|island| island.area).sum::<f64>();
        let Ring { mut walls, mut knees, border: around, .. } = outer;
        let mut border = Vec::with_capacity(1 + islands.len());
        border.push(around);
        for island in islands {
            walls.extend(island.walls);
            knees.extend(island.knees);
            border.push(island.border);
        }
        let (depth, deepest) = if knees.is_empty() {
            let turned: Vec<Loop> = border.iter().map(Loop::reversed).collect();
            let (at, radius) = largest_disc(&turned)?;
            (radius, at)
        } else {
            self.deepest(&walls, &knees)
        };
        let mut sides = Vec::new();
        let mut corners = Vec::new();
        for wall in &walls {
            self.sides(wall, &mut sides, &mut corners);
        }
        let knees = knees.len();
        Some(Region { walls, border, area, depth, deepest, knees, corners, sides })
    }

    /// The pieces of a wall.
    fn walk(&self, wall: &Span) -> impl Iterator<Item = Piece> {
        self.loops[wall.on].walk(wall.from, wall.length)
    }

    /// The point of the walls farthest from its nearest knee, and how far it is from the disc
    /// there.
    ///
    /// On a line that is at an end or where two knees are as near; on an arc it may also be
    /// straight behind the arc's centre, seen from a knee.
    fn deepest(&self, walls: &[Span], knees: &[usize]) -> (f64, Point) {
        let radius = self.trimmed.radius;
        let centre = |&knee: &usize| self.trimmed.knees[knee].centre;
        let mut deepest = (0.0, centre(&knees[0]));
        let mut see = |point: Point| {
            let away = |knee: &usize| centre(knee).distance(point);
            let depth = knees.iter().map(away).fold(f64::INFINITY, f64::min) - radius;
            if deepest.0 < depth {
                deepest = (depth, point);
            }
        };
        let bisectors = bisectors(&knees.iter().map(centre));
        for piece in walls.iter().flat_map(|wall| self.walk(wall)) {
            see(piece.from());
            see(piece.to());
            if let Piece::Arc { centre: about, .. } = piece {
                for out in knees.iter().map(|knee| about - centre(knee)) {
                    if let Some(unit) = out.unit().filter(|&unit| piece.in_sweep(unit)) {
                        see(about + unit * piece.radius().unwrap_or(0.0));
                    }
                }
            }
            let hits = bisectors.iter().filter_map(|line| meets(&piece, line)).flatten();
            hits.filter(|&t| 0.0 < t && t < 1.0).for_each(|t| see(piece.at(t)));
        }
        deepest
    }

    /// The lengths from touch or corner to corner or touch along one wall, and its corners.
    fn sides(&self, wall: &Span, sides: &mut Vec<f64>, corners: &mut Vec<Corner>) {
        let whole = self.loops[wall.on].length() <= wall.length;
        let mut before = if whole { self.walk(wall).last() } else { None };
        let (first_side, mut length) = (sides.len(), 0.0);
        let mut smooth_start = whole;
        for (index, piece) in self.walk(wall).enumerate() {
            let turn = before.map_or(0.0, |before| before.turn_to(&piece));
            if SMOOTH_TURN <= turn.abs() {
                corners.push(Corner { at: piece.from(), turn });
                if 0 < index {
                    sides.push(length);
                    length = 0.0;
                } else {
                    smooth_start = false;
                }
            }
            length += piece.length();
            before = Some(piece);
        }
        if before.is_none() {
            return;
        }
        match sides.get_mut(first_side) {
            // An untouched loop that starts in the middle of a side.
            Some(side) if smooth_start => *side += length,
            _ => sides.push(length),
        }
    }
}

/// The border as a loop with the region on its left, of pieces that have it on their right.
fn on_the_left(mut border: Vec<Piece>) -> Option<Loop> {
    border.reverse();
    for piece in &mut border {
        *piece = piece.reversed();
    }
    closed(border)
}

/// The lines on which two knees are equally far.
fn bisectors(centres: &(impl ExactSizeIterator<Item = Point> + Clone)) -> Vec<Carrier> {
    let mut lines = Vec::new();
    let most = if MANY_KNEES < centres.len() { 1 } else { centres.len() };
    for (first, one) in centres.clone().enumerate() {
        for two in centres.clone().skip(first + 1).take(most) {
            if let Some(way) = (two - one).left().unit() {
                lines.push(Carrier::Line { through: one.middle(two), way });
            }
        }
    }
    lines
}

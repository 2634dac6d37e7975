//! The places a disc leaves, with their measures.

use super::crossing::{Carrier, meets};
use super::room::largest_disc;
use super::tolerance::ON_BORDER;
use super::trace::{Cycle, Traced, Wall};
use super::trim::{Trimmed, Untrimmed, closed};
use super::{Bounds, Loop, Piece, Point, SMOOTH_TURN, Span, Tree, Vector};

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
    walls: Vec<Wall>,
    knees: Vec<usize>,
    /// The region on the right.
    border: Vec<Piece>,
    /// Positive for an outer border.
    area: f64,
}

/// All places the disc leaves.
pub(super) fn regions(
    loops: &[Loop],
    trimmed: &Trimmed,
    traced: &Traced,
) -> Result<Vec<Region>, Untrimmed> {
    let mut rings: Vec<Ring> = traced.cycles.iter().map(ring_of).collect();
    rings.extend(
        traced.voids.iter().map(|walk| ring(Vec::new(), Vec::new(), walk.clone())),
    );
    rings.extend(untouched(loops, trimmed).into_iter().map(|on| {
        let length = loops[on].length();
        let wall = Wall { on, from: 0.0, length };
        ring(vec![wall], Vec::new(), loops[on].pieces().to_vec())
    }));
    rings.retain(|ring| 0.0 < ring.area || ring.area < -ON_BORDER);
    let (outer, inner): (Vec<Ring>, Vec<Ring>) =
        rings.into_iter().partition(|ring| 0.0 < ring.area);
    let mut islands: Vec<Vec<Ring>> = outer.iter().map(|_| Vec::new()).collect();
    // Most drawings leave no island: then the borders are not asked.
    let borders: Vec<Loop> = if inner.is_empty() {
        Vec::new()
    } else {
        outer.iter().map(|ring| Loop::new(ring.border.clone())).collect()
    };
    let boxes = Tree::new(borders.iter().map(Loop::bounds).collect());
    for ring in inner {
        let Some(around) = smallest_around((&outer, &borders, &boxes), &ring) else {
            let at = ring.border[0].from();
            return Err(Untrimmed::new(at, "an inner border without a place around it"));
        };
        islands[around].push(ring);
    }
    let measured = Measure { loops, trimmed };
    Ok(outer
        .into_iter()
        .zip(islands)
        .filter_map(|(outer, islands)| measured.region(outer, islands))
        .collect())
}

/// The loops that the disc nowhere touches.
fn untouched(loops: &[Loop], trimmed: &Trimmed) -> Vec<usize> {
    let mut touched = vec![false; loops.len()];
    for run in &trimmed.runs {
        touched[run.owner.from.on] = true;
    }
    (0..loops.len()).filter(|&on| !touched[on]).collect()
}

fn ring_of(cycle: &Cycle) -> Ring {
    ring(cycle.walls.clone(), cycle.knees.clone(), cycle.border.clone())
}

fn ring(walls: Vec<Wall>, knees: Vec<usize>, border: Vec<Piece>) -> Ring {
    let origin = border.first().map_or_else(Point::default, Piece::from);
    let area = -border.iter().map(|piece| piece.twice_area(origin)).sum::<f64>() / 2.0;
    Ring { walls, knees, border, area }
}

/// The smallest of the outer rings, given with their borders and the boxes of those, that an inner
/// one lies in.
fn smallest_around(
    (outer, borders, boxes): (&[Ring], &[Loop], &Tree),
    inner: &Ring,
) -> Option<usize> {
    let point = inner.border[0].at(0.414);
    let mut smallest: Option<usize> = None;
    boxes.meeting(&Bounds::EMPTY.with(point), |index| {
        let area = outer[index].area;
        let smaller = smallest.is_none_or(|other| area < outer[other].area);
        if inner.area.abs() <= area && smaller && borders[index].winding(point) != 0 {
            smallest = Some(index);
        }
    });
    smallest
}

struct Measure<'a> {
    loops: &'a [Loop],
    trimmed: &'a Trimmed,
}

impl Measure<'_> {
    fn region(&self, outer: Ring, islands: Vec<Ring>) -> Option<Region> {
        let area = outer.area + islands.iter().map(|island| island.area).sum::<f64>();
        let rings: Vec<Ring> = [outer].into_iter().chain(islands).collect();
        let mut border = Vec::with_capacity(rings.len());
        for ring in &rings {
            border.push(closed(ring.border.clone())?.reversed());
        }
        let knees = rings.iter().flat_map(|ring| &ring.knees);
        let centres: Vec<Point> =
            knees.map(|&knee| self.trimmed.knees[knee].centre).collect();
        let walls: Vec<Wall> =
            rings.iter().flat_map(|ring| ring.walls.iter().copied()).collect();
        let (depth, deepest) = if centres.is_empty() {
            let turned: Vec<Loop> = border.iter().map(Loop::reversed).collect();
            let (at, radius) = largest_disc(&turned)?;
            (radius, at)
        } else {
            self.deepest(&walls, &centres)
        };
        let mut sides = Vec::new();
        let mut corners = Vec::new();
        for wall in &walls {
            self.sides(wall, &mut sides, &mut corners);
        }
        let span =
            |wall: &Wall| Span { on: wall.on, from: wall.from, length: wall.length };
        Some(Region {
            walls: walls.iter().map(span).collect(),
            border,
            area,
            depth,
            deepest,
            knees: centres.len(),
            corners,
            sides,
        })
    }

    fn run(&self, wall: &Wall) -> Vec<Piece> {
        self.loops[wall.on].run(wall.from, wall.length)
    }

    /// The point of the walls furthest from its nearest knee. The way from it to the nearest
    /// centre leaves through the arc, so this is its distance from the disc.
    fn deepest(&self, walls: &[Wall], centres: &[Point]) -> (f64, Point) {
        let radius = self.trimmed.radius;
        let mut deepest = (0.0, centres[0]);
        let mut see = |point: Point| {
            let away = |centre: &Point| centre.distance(point);
            let depth = centres.iter().map(away).fold(f64::INFINITY, f64::min) - radius;
            if deepest.0 < depth {
                deepest = (depth, point);
            }
        };
        let bisectors = bisectors(centres);
        for piece in walls.iter().flat_map(|wall| self.run(wall)) {
            see(piece.from());
            see(piece.to());
            if let Piece::Arc { centre, .. } = piece {
                for out in centres.iter().map(|&knee| centre - knee) {
                    if let Some(unit) = out.unit().filter(|&unit| piece.in_sweep(unit)) {
                        see(centre + unit * piece.radius().unwrap_or(0.0));
                    }
                }
            }
            let hits = bisectors.iter().filter_map(|line| meets(&piece, line)).flatten();
            hits.filter(|&t| 0.0 < t && t < 1.0).for_each(|t| see(piece.at(t)));
        }
        deepest
    }

    /// The lengths from touch or corner to corner or touch along one wall, and its corners.
    fn sides(&self, wall: &Wall, sides: &mut Vec<f64>, corners: &mut Vec<Corner>) {
        let whole = self.loops[wall.on].length() <= wall.length;
        let pieces = self.run(wall);
        let Some(last) = pieces.last() else { return };
        let mut length = 0.0;
        let mut before: Vector = last.direction(1.0);
        let first_side = sides.len();
        for (index, piece) in pieces.iter().enumerate() {
            let turn = before.turn_to(piece.direction(0.0));
            if (0 < index || whole) && SMOOTH_TURN <= turn.abs() {
                corners.push(Corner { at: piece.from(), turn });
                if 0 < index {
                    sides.push(length);
                    length = 0.0;
                }
            }
            length += piece.length();
            before = piece.direction(1.0);
        }
        let smooth_start = whole
            && last.direction(1.0).turn_to(pieces[0].direction(0.0)).abs() < SMOOTH_TURN;
        match sides.get_mut(first_side) {
            // An untouched loop that starts in the middle of a side.
            Some(side) if smooth_start => *side += length,
            _ => sides.push(length),
        }
    }
}

/// The lines on which two knees are equally far.
fn bisectors(centres: &[Point]) -> Vec<Carrier> {
    let mut lines = Vec::new();
    for (first, &one) in centres.iter().enumerate() {
        let last = if MANY_KNEES < centres.len() { first + 2 } else { centres.len() };
        for &two in &centres[first + 1..last.min(centres.len())] {
            if let Some(way) = (two - one).left().unit() {
                lines.push(Carrier::Line { through: one.middle(two), way });
            }
        }
    }
    lines
}

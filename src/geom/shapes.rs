//! Shapes for tests: polygons with bulges, circles, random outlines.

use super::{Loop, Piece, Point, Vector};
use std::f64::consts::{PI, TAU};

/// Corners as x, y and the tangent of a quarter of the arc's turn to the next corner.
pub(crate) fn bulged(corners: &[[f64; 3]]) -> Loop {
    let next = corners.iter().cycle().skip(1);
    let pieces = corners.iter().zip(next).map(|(a, b)| {
        let (from, to) = (Point::new(a[0], a[1]), Point::new(b[0], b[1]));
        if a[2] == 0.0 { Piece::line(from, to) } else { bulge(from, to, a[2]) }
    });
    Loop::new(pieces.collect())
}

fn bulge(from: Point, to: Point, bulge: f64) -> Piece {
    let height = (1.0 - bulge * bulge) / (4.0 * bulge);
    let centre = from.middle(to) + (to - from).left() * height;
    let sweep = 4.0 * libm::atan(bulge);
    Piece::Arc { from, to, centre, sweep: sweep.clamp(-PI, PI) }
}

pub(crate) fn polygon(points: &[(f64, f64)]) -> Loop {
    let points: Vec<Point> = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Loop::polygon(&points)
}

/// The area of some loops together.
pub(crate) fn area(loops: &[Loop]) -> f64 {
    loops.iter().map(Loop::area).sum()
}

pub(crate) fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Loop {
    polygon(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
}

/// A round opening.
pub(crate) fn hole(x: f64, y: f64, radius: f64) -> Loop {
    bulged(&[[x - radius, y, -1.0], [x + radius, y, -1.0]])
}

/// The corners of a square of 100 with a square of 40 cut from its far right corner.
pub(crate) const NOTCHED: [(f64, f64); 6] =
    [(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (60.0, 60.0), (60.0, 100.0), (0.0, 100.0)];

/// Radii that fit exactly between the walls of a grid of 1, 2 or 3 mm.
pub(crate) const EXACT: [f64; 5] = [0.5, 1.0, 1.5, 2.0, 3.0];

/// The notched square: one inside corner, at (60, 60).
pub(crate) fn notched() -> Loop {
    polygon(&NOTCHED)
}

/// A plate with a slot of this width from the top, 20 deep.
pub(crate) fn slotted(width: f64) -> Loop {
    let (left, right) = (50.0 - width / 2.0, 50.0 + width / 2.0);
    polygon(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 60.0),
        (right, 60.0),
        (right, 40.0),
        (left, 40.0),
        (left, 60.0),
        (0.0, 60.0),
    ])
}

/// A small generator with a seed, the same everywhere.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        let mut dice =
            Self(seed.wrapping_mul(7919).wrapping_add(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..5 {
            dice.throw();
        }
        dice
    }

    fn throw(&mut self) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 32) as u32
    }

    /// From 0 up to 1.
    pub(crate) fn share(&mut self) -> f64 {
        f64::from(self.throw()) / 4_294_967_296.0
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        self.throw() as usize % count
    }

    pub(crate) fn one_of(&mut self, choices: &[f64]) -> f64 {
        choices[self.below(choices.len())]
    }
}

/// A star with straight or bulged sides; it may cross itself.
pub(crate) fn star(dice: &mut Dice) -> Loop {
    let count = 3 + dice.below(20);
    let (one, two) = (5.0 + 20.0 * dice.share(), 5.0 + 30.0 * dice.share());
    let bulge = dice.one_of(&[0.0, 0.6]);
    let mut corners = Vec::new();
    for index in 0..count {
        #[expect(clippy::cast_precision_loss, reason = "a few corners")]
        let angle = TAU * (index as f64 + 0.4 * dice.share()) / count as f64;
        let radius = one.min(two) + (one - two).abs() * dice.share();
        let (sin, cos) = libm::sincos(angle);
        corners.push([radius * cos, radius * sin, bulge * (2.0 * dice.share() - 1.0)]);
    }
    bulged(&corners)
}

/// Whether no two pieces of the loop meet but neighbours at their joints.
pub(crate) fn is_simple(one: &Loop) -> bool {
    let pieces = one.pieces();
    let count = pieces.len();
    (0..count).all(|first| {
        (first + 1..count).all(|second| {
            super::crossing::crossings(&pieces[first], &pieces[second], 1e-9).iter().all(
                |hit| {
                    let ends = |piece: &Piece| {
                        hit.at.distance(piece.from()).min(hit.at.distance(piece.to()))
                            < 1e-7
                    };
                    let neighbours =
                        second == first + 1 || (first == 0 && second + 1 == count);
                    neighbours && ends(&pieces[first]) && ends(&pieces[second])
                },
            )
        })
    })
}

/// A part made of the cells of a square grid, some corners filleted: material on the left.
/// `None` when the dice leave no part.
pub(crate) fn cells(dice: &mut Dice, cell: f64) -> Option<Vec<Loop>> {
    let size = 4 + dice.below(4);
    let mut full = vec![vec![false; size + 2]; size + 2];
    for row in full.iter_mut().skip(1).take(size) {
        for one in row.iter_mut().skip(1).take(size) {
            *one = dice.share() < 0.62;
        }
    }
    fill_diagonals(&mut full);
    let fillet = dice.one_of(&[0.0, 0.0, 0.25, 0.5, 0.125]) * cell;
    let mut loops = Vec::new();
    for corners in borders(&full) {
        let mut bulges = Vec::new();
        for index in 0..corners.len() {
            let around = [index + corners.len() - 1, index, index + 1];
            let [before, at, after] = around.map(|i| corners[i % corners.len()]);
            if 0.0 < fillet && dice.share() < 0.6 {
                fillet_corner(&mut bulges, [before, at, after], (cell, fillet));
            } else {
                let at = whole(at);
                bulges.push([at.0 * cell, at.1 * cell, 0.0]);
            }
        }
        loops.push(bulged(&bulges));
    }
    let border_is_free = full[0].iter().chain(&full[size + 1]).all(|one| !one)
        && full.iter().all(|row| !row[0] && !row[size + 1]);
    (!loops.is_empty() && border_is_free).then_some(loops)
}

type Corner = (i32, i32);

fn whole(corner: Corner) -> (f64, f64) {
    (f64::from(corner.0), f64::from(corner.1))
}

fn fillet_corner(
    bulges: &mut Vec<[f64; 3]>,
    corners: [Corner; 3],
    (cell, fillet): (f64, f64),
) {
    let [before, at, after] = corners.map(whole);
    let way = |a: (f64, f64), b: (f64, f64)| {
        let way = Vector::new(b.0 - a.0, b.1 - a.1);
        way.unit().unwrap_or(way)
    };
    let (inward, outward) = (way(before, at), way(at, after));
    let corner = Point::new(at.0 * cell, at.1 * cell);
    let (from, to) = (corner - inward * fillet, corner + outward * fillet);
    let bulge = libm::tan(PI / 8.0) * inward.cross(outward).signum();
    bulges.push([from.x, from.y, bulge]);
    bulges.push([to.x, to.y, 0.0]);
}

/// Fills cells until no two touch by a corner alone.
fn fill_diagonals(full: &mut [Vec<bool>]) {
    let mut changed = true;
    while changed {
        changed = false;
        for y in 0..full.len() - 1 {
            for x in 0..full.len() - 1 {
                let corner =
                    [full[y][x], full[y][x + 1], full[y + 1][x], full[y + 1][x + 1]];
                if corner == [true, false, false, true] {
                    full[y][x + 1] = true;
                    changed = true;
                } else if corner == [false, true, true, false] {
                    full[y][x] = true;
                    changed = true;
                }
            }
        }
    }
}

/// The borders of the full cells as corners where the border turns, material on the left.
fn borders(full: &[Vec<bool>]) -> Vec<Vec<Corner>> {
    let mut next = std::collections::BTreeMap::new();
    let side = i32::try_from(full.len()).expect("a small grid");
    let is_full = |x: i32, y: i32| {
        let inside = 0 <= x && x < side && 0 <= y && y < side;
        inside
            && full[usize::try_from(y).expect("inside")]
                [usize::try_from(x).expect("inside")]
    };
    for y in 0..side {
        for x in 0..side {
            if !is_full(x, y) {
                continue;
            }
            let mut edge = |beyond: Corner, from: Corner, to: Corner| {
                if !is_full(x + beyond.0, y + beyond.1) {
                    next.insert(from, to);
                }
            };
            edge((0, -1), (x, y), (x + 1, y));
            edge((1, 0), (x + 1, y), (x + 1, y + 1));
            edge((0, 1), (x + 1, y + 1), (x, y + 1));
            edge((-1, 0), (x, y + 1), (x, y));
        }
    }
    let mut loops = Vec::new();
    while let Some((&start, _)) = next.iter().next() {
        let mut corners: Vec<Corner> = Vec::new();
        let mut at = start;
        while let Some(to) = next.remove(&at) {
            corners.push(at);
            at = to;
        }
        let count = corners.len();
        let turns = (0..count).filter(|&i| {
            let (a, b, c) =
                (corners[(i + count - 1) % count], corners[i], corners[(i + 1) % count]);
            (b.0 - a.0) * (c.1 - b.1) != (b.1 - a.1) * (c.0 - b.0)
        });
        loops.push(turns.map(|i| corners[i]).collect());
    }
    loops
}

/// The loops turned by an angle and moved, then rounded to so many steps a millimetre if any.
pub(crate) fn turned(loops: &[Loop], angle: f64, steps: Option<f64>) -> Vec<Loop> {
    let (sin, cos) = libm::sincos(angle);
    let place = |p: Point| {
        let (x, y) = (cos * p.x - sin * p.y + 3.3, sin * p.x + cos * p.y - 1.7);
        let round = |v: f64| steps.map_or(v, |steps| (v * steps).round() / steps);
        [round(x), round(y)]
    };
    let corner = |piece: &Piece| {
        let [x, y] = place(piece.from());
        match *piece {
            Piece::Line { .. } => [x, y, 0.0],
            Piece::Arc { sweep, .. } => [x, y, libm::tan(sweep / 4.0)],
        }
    };
    loops
        .iter()
        .map(|one| bulged(&one.pieces().iter().map(corner).collect::<Vec<_>>()))
        .collect()
}

/// The loops moved.
pub(crate) fn moved(loops: &[Loop], way: Vector) -> Vec<Loop> {
    let moved = |one: &Loop| one.pieces().iter().map(|piece| piece.moved(way)).collect();
    loops.iter().map(|one| Loop::new(moved(one))).collect()
}

/// The loops seen from behind: x turned over, and walked the other way so that the material
/// stays on the left.
pub(crate) fn mirrored(loops: &[Loop]) -> Vec<Loop> {
    let turn = |p: Point| Point::new(-p.x, p.y);
    let mirror = |piece: &Piece| match *piece {
        Piece::Line { from, to } => Piece::line(turn(from), turn(to)),
        Piece::Arc { from, to, centre, sweep } => {
            let (from, to, centre) = (turn(from), turn(to), turn(centre));
            Piece::Arc { from, to, centre, sweep: -sweep }
        }
    };
    loops
        .iter()
        .map(|one| Loop::new(one.pieces().iter().map(mirror).collect()).reversed())
        .collect()
}

/// The loops begun a third of their pieces further on.
pub(crate) fn begun_elsewhere(loops: &[Loop]) -> Vec<Loop> {
    let shifted = |one: &Loop| {
        let mut pieces = one.pieces().to_vec();
        let by = pieces.len() / 3;
        pieces.rotate_left(by);
        Loop::new(pieces)
    };
    loops.iter().map(shifted).collect()
}

/// Outlines of all sorts, with a radius each: stars, and cells of a grid with radii that fit
/// nowhere or that fit exactly. `None` where the dice leave none.
pub(crate) fn assorted(seed: u64) -> Option<(Vec<Loop>, f64)> {
    let mut dice = Dice::new(seed);
    let (loops, radius) = match seed % 3 {
        0 => (vec![star(&mut dice)], 0.2 + 5.0 * dice.share()),
        1 => (cells(&mut dice, 2.0)?, 0.3 + 2.5 * dice.share()),
        _ => {
            let loops = cells(&mut dice, 2.0)?;
            let radius = dice.one_of(&EXACT);
            (turned(&loops, TAU * dice.share(), None), radius)
        }
    };
    (1 < loops.len() || is_simple(&loops[0])).then_some((loops, radius))
}

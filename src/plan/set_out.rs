//! Sets a run of edges out into the waste, each piece by its own leave, without ever coming
//! nearer to any of them than that.

use crate::geom::crossing::{Carrier, crossings, meets};
use crate::geom::tolerance::SAME_POINT;
use crate::geom::{Bounds, Loop, Piece, Point, SMOOTH_TURN, Tree, Vector};

/// How far a line runs straight on where its run ends, in mm (from memory).
pub(super) const RUN_OUT: f64 = crate::shop::defaults::SAW_RUN_OUT.value;
/// Outside corners sharper than this turn are cut off square rather than run out to a point,
/// in degrees (from memory).
const MITRE: f64 = 100.0;
/// Gaps of up to so many leaves are closed with a straight line.
const CLOSED_GAP: f64 = 1.0;
/// Where the leave changes along an edge, the line tapers over this length, in mm (from memory).
const TAPER: f64 = 10.0;
/// Nearer than asked by no more than this is rounding, in mm.
const SLACK: f64 = 1e-6;
/// A piece of the line shorter than this is taken into its neighbours, in mm.
const SHORT: f64 = 5e-3;
/// Two lines that turn by less than this, in radians, are one.
const STRAIGHT: f64 = 1e-9;

/// A piece of a routed edge and what is left on it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wall {
    /// The piece, material on its left.
    pub(super) piece: Piece,
    /// How much is left on it, in mm.
    pub(super) leave: f64,
}

/// A line set out from a run of walls.
#[derive(Debug, Clone)]
pub(super) struct SetOut {
    /// Its pieces in order.
    pub(super) pieces: Vec<Piece>,
    /// Whether it closes.
    pub(super) closed: bool,
}

/// A piece of the line before it is trimmed.
#[derive(Debug, Clone, Copy)]
struct Raw {
    piece: Piece,
    leave: f64,
    /// Which run between inside corners it belongs to.
    run: usize,
}

/// The walls of a part set out to their right by their leaves: a closed run or an open one.
/// More than one line comes back where the leave closes a way; none where it fills the void.
pub(super) fn set_out(part: &[Loop], walls: &[Wall], closed: bool) -> Vec<SetOut> {
    let runs = run_numbers(walls, closed);
    let raw = raw_lines(walls, &runs, closed);
    let parts = survivors(part, &raw, (walls, &runs));
    let most = walls.iter().map(|wall| wall.leave).fold(0.0, f64::max);
    chained(parts, CLOSED_GAP * most, closed)
}

/// For each wall the number of its run between inside corners.
fn run_numbers(walls: &[Wall], closed: bool) -> Vec<usize> {
    let mut numbers = vec![0; walls.len()];
    for index in 1..walls.len() {
        let inside = turn(&walls[index - 1], &walls[index]) <= -SMOOTH_TURN;
        numbers[index] = numbers[index - 1] + usize::from(inside);
    }
    let (first, last) = (&walls[0], &walls[walls.len() - 1]);
    if closed && -SMOOTH_TURN < turn(last, first) {
        let run = numbers[walls.len() - 1];
        numbers
            .iter_mut()
            .filter(|number| **number == run)
            .for_each(|number| *number = 0);
    }
    numbers
}

fn turn(before: &Wall, after: &Wall) -> f64 {
    before.piece.turn_to(&after.piece)
}

/// Every wall set out, with the joints of outside corners and changes of leave.
fn raw_lines(walls: &[Wall], runs: &[usize], closed: bool) -> Vec<Raw> {
    let mut raw = Vec::new();
    if !closed {
        let (at, way) = beside(&walls[0], 0.0);
        let piece = Piece::line(at - way * RUN_OUT, at);
        raw.push(Raw { piece, leave: walls[0].leave, run: runs[0] });
    }
    let tapers: Vec<(f64, f64)> =
        (0..walls.len()).map(|index| taper(walls, index, closed)).collect();
    for (index, wall) in walls.iter().enumerate() {
        let (from, to) = tapers[index];
        let full = wall.piece.part(from, to).beside(wall.leave);
        if let Some(piece) = full.filter(|piece| SLACK < piece.length()) {
            raw.push(Raw { piece, leave: wall.leave, run: runs[index] });
        }
        let next = (index + 1) % walls.len();
        if closed || 0 < next {
            let before = (wall, to, runs[index]);
            raw.extend(joint(before, (&walls[next], tapers[next].0, runs[next])));
        }
    }
    if let (false, Some((last, run))) = (closed, walls.last().zip(runs.last())) {
        let (at, way) = beside(last, 1.0);
        let piece = Piece::line(at, at + way * RUN_OUT);
        raw.push(Raw { piece, leave: last.leave, run: *run });
    }
    raw
}

/// The point beside a wall at its leave, and the wall's direction there.
fn beside(wall: &Wall, t: f64) -> (Point, Vector) {
    let way = wall.piece.direction(t);
    (wall.piece.at(t) + way.right() * wall.leave, way)
}

/// Between which places a wall's line has its full leave: a smooth neighbour that keeps less
/// is tapered to at its end.
fn taper(walls: &[Wall], index: usize, closed: bool) -> (f64, f64) {
    let wall = &walls[index];
    let count = walls.len();
    let shares = |other: usize, smooth: f64| {
        let more = wall.leave - walls[other].leave;
        if SMOOTH_TURN <= smooth.abs() || more <= SLACK {
            return 0.0;
        }
        // Longer, and the straight taper would leave less than either on a curve (geometry).
        let curve =
            wall.piece.radius().map_or(TAPER, |radius| (2.0 * more * radius).sqrt());
        (TAPER.min(curve) / wall.piece.length()).min(1.0)
    };
    let (before, after) = ((index + count - 1) % count, (index + 1) % count);
    let starts = closed || 0 < index;
    let ends = closed || after != 0;
    let from = if starts { shares(before, turn(&walls[before], wall)) } else { 0.0 };
    let to = if ends { shares(after, turn(wall, &walls[after])) } else { 0.0 };
    let both = (from + to).max(1.0);
    (from / both, 1.0 - to / both)
}

/// What joins two neighbouring walls' lines: nothing at an inside corner, where they cross.
fn joint(
    (before, to, run): (&Wall, f64, usize),
    (after, from, next): (&Wall, f64, usize),
) -> Vec<Raw> {
    let turn = turn(before, after);
    let ((end, way), (start, on)) = (beside(before, to), beside(after, from));
    if turn <= -SMOOTH_TURN {
        return Vec::new();
    }
    let points = if turn < SMOOTH_TURN {
        vec![end, start]
    } else if turn <= MITRE.to_radians() {
        let ahead = Piece::line(end, end + way);
        let line = Carrier::Line { through: start, way: on };
        match meets(&ahead, &line).map(|[t, _]| end + way * t) {
            Some(tip) if 0.0 <= (tip - end).dot(way) && 0.0 <= (start - tip).dot(on) => {
                vec![end, tip, start]
            }
            _ => vec![end, start],
        }
    } else {
        vec![end, end + way * before.leave, start - on * after.leave, start]
    };
    let middle = points.len() / 2;
    let legs = points.windows(2).enumerate();
    legs.filter(|(_, ends)| SHORT < ends[0].distance(ends[1]))
        .map(|(leg, ends)| Raw {
            piece: Piece::line(ends[0], ends[1]),
            leave: before.leave.min(after.leave),
            run: if leg < middle { run } else { next },
        })
        .collect()
}

/// The parts of the raw line, in its order, that are nowhere nearer to a wall than is left
/// there.
fn survivors(
    part: &[Loop],
    raw: &[Raw],
    (walls, runs): (&[Wall], &[usize]),
) -> Vec<Piece> {
    let lines: Vec<Piece> = raw.iter().map(|raw| raw.piece).collect();
    let outline: Vec<Piece> =
        part.iter().flat_map(|ring| ring.pieces().iter().copied()).collect();
    let others = [(Tree::of(&lines), &lines), (Tree::of(&outline), &outline)];
    let near = Nearness::new(walls, runs);
    let mut survivors = Vec::new();
    for (index, one) in raw.iter().enumerate() {
        let mut cuts = vec![0.0, 1.0];
        for (which, (tree, pieces)) in others.iter().enumerate() {
            tree.meeting(&one.piece.bounds().grown(SLACK), |other| {
                if (which, other) != (0, index) {
                    let met = crossings(&one.piece, &pieces[other], SAME_POINT);
                    cuts.extend(met.iter().map(|met| met.first));
                }
            });
        }
        cuts.sort_by(f64::total_cmp);
        for ends in cuts.windows(2) {
            let cut = one.piece.part(ends[0], ends[1]);
            let middle = cut.at(0.5);
            let in_wood = 0 < part.iter().map(|ring| ring.winding(middle)).sum();
            if SHORT < cut.length() && !in_wood && !near.too_near(one, middle) {
                survivors.push(cut);
            }
        }
    }
    survivors
}

/// What is needed to tell whether a line comes too near to a wall.
struct Nearness<'a> {
    walls: &'a [Wall],
    runs: &'a [usize],
    tree: Tree,
    most: f64,
}

impl<'a> Nearness<'a> {
    fn new(walls: &'a [Wall], runs: &'a [usize]) -> Self {
        let pieces: Vec<Piece> = walls.iter().map(|wall| wall.piece).collect();
        let most = walls.iter().map(|wall| wall.leave).fold(0.0, f64::max);
        Self { walls, runs, tree: Tree::of(&pieces), most }
    }

    /// Whether a point of `raw` is nearer to a wall than that wall's leave, or, on the same
    /// run between inside corners, than the smaller of the two leaves.
    fn too_near(&self, raw: &Raw, point: Point) -> bool {
        let mut near = false;
        self.tree.meeting(&Bounds::EMPTY.with(point).grown(self.most), |index| {
            let wall = &self.walls[index];
            let same = self.runs[index] == raw.run;
            let least = if same { raw.leave.min(wall.leave) } else { wall.leave };
            near = near || wall.piece.distance(point) < least - SLACK;
        });
        near
    }
}

/// The parts joined to lines: ends that meet, and small gaps closed straight.
fn chained(parts: Vec<Piece>, gap: f64, closed: bool) -> Vec<SetOut> {
    let mut lines: Vec<SetOut> = Vec::new();
    for part in parts {
        let joins =
            lines.last_mut().is_some_and(|line| link(&mut line.pieces, part.from(), gap));
        match lines.last_mut() {
            Some(line) if joins => go_on(&mut line.pieces, part),
            _ => lines.push(SetOut { pieces: vec![part], closed: false }),
        }
    }
    if closed && 1 < lines.len() {
        let last = lines.len() - 1;
        let start = lines[0].pieces[0].from();
        if link(&mut lines[last].pieces, start, gap) {
            let first = lines.remove(0);
            for piece in first.pieces {
                go_on(&mut lines[last - 1].pieces, piece);
            }
        }
    }
    for line in &mut lines {
        let start = line.pieces[0].from();
        line.closed = closed && link(&mut line.pieces, start, gap);
        if line.closed && 2 < line.pieces.len() {
            let first = line.pieces.remove(0);
            go_on(&mut line.pieces, first);
        }
    }
    lines
}

/// Adds a piece: to the last one where both are one straight line.
fn go_on(pieces: &mut Vec<Piece>, part: Piece) {
    if let (Some(Piece::Line { from, to }), Piece::Line { to: end, .. }) =
        (pieces.last_mut(), part)
    {
        let turn = (*to - *from).turn_to(end - *to);
        if turn.abs() < STRAIGHT {
            *to = end;
            return;
        }
    }
    pieces.push(part);
}

/// Whether the line's end reaches `start`, with a straight piece where it does not quite.
fn link(pieces: &mut Vec<Piece>, start: Point, gap: f64) -> bool {
    let Some(end) = pieces.last().map(Piece::to) else { return false };
    let far = end.distance(start);
    if gap < far {
        return false;
    }
    if SHORT < far {
        pieces.push(Piece::line(end, start));
    } else if let Some(Piece::Line { to, .. } | Piece::Arc { to, .. }) = pieces.last_mut()
    {
        *to = start;
    }
    true
}

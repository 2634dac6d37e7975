//! The trimmed offset: where the centre of a disc goes that rolls along the loops, each run with
//! the place on the loops that it stands on.
//!
//! ```text
//!     . - - - - - - - .       - - -  the way of the disc's centre: parallels beside the
//!    :   ___________   :             walls, arcs about the outside corners
//!    :  |           |  :
//!    :  |     ______|  :      K      a knee: the disc touches both walls of the inside
//!    :  |    |      . '              corner at once, and leaves one for the other
//!    :  |    |   K - -
//!    :  |    |   :
//! ```
//!
//! Every raw piece of the offset loses what lies within the radius of any other piece; the
//! survivors are joined to rings. From a raw point that is no nearer than the radius to anything,
//! the way to its own foot is free; so it lies on the right of the loops, as its foot's side tells,
//! unless two pieces of the loops coincide.
//!
//! Each result is checked, and where it fails something is tried that rounding takes otherwise:
//! first radii hardly smaller, then the second method.
//!
//! Our own (geometry): what the rolling disc covers is the Minkowski sum of disc and material,
//! whose border lies at the radius.

use super::check::check;
use super::near::Near;
use super::planted;
use super::prune::Live;
use super::raw::{Raw, Source, Stand, raw_pieces};
use super::second::{ATTEMPTS, Attempt, by_polygons, is_alone};
use super::stitch::{rings, successors};
use super::survive::survivors;
use super::tolerance::{RADIUS_STEP, SAME_POINT};
use super::{Loop, Piece, Point, Span, Vector};

/// On which side of the loops the disc rolls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// In the void: on the right of the loops' walk.
    Outward,
    /// In the material: on the left.
    Inward,
}

/// How a result was computed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Method {
    /// The trimmed offset at the radius itself.
    Exact,
    /// The trimmed offset at a radius smaller by this many mm: something fits exactly.
    Shrunk(f64),
    /// Polygons on an integer grid.
    Polygons,
}

/// A place on the loops that the disc can touch: on a piece, or at the corner between two.
///
/// Places are ordered along a loop by [`Place::key`]: at a corner about which the disc turns, many
/// touches share one point, and only how far it has turned tells them apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Index of the loop.
    pub on: usize,
    /// Index of the piece; at a corner, the piece that ends there.
    pub piece: usize,
    /// Whether it is the corner at the end of the piece rather than the piece.
    pub corner: bool,
    /// How far along the piece, or how much of the corner's turn, `0..=1`.
    pub t: f64,
}

/// What a run of the offset stands on: a stretch of one piece, or one corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Owner {
    /// Where it starts.
    pub from: Place,
    /// Where it ends: on the same piece or the same corner.
    pub to: Place,
}

/// One run of the trimmed offset.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// The path of the disc's centre.
    pub curve: Piece,
    /// What the disc touches meanwhile.
    pub owner: Owner,
}

/// A place where the disc touches at two feet at once and cannot go on along the loops: it
/// leaves one and arrives at the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knee {
    /// Where the disc's centre is.
    pub centre: Point,
    /// The end of the touch it leaves.
    pub leaves: Place,
    /// The start of the touch it arrives at.
    pub arrives: Place,
}

impl Knee {
    /// The knee at which one run goes on into the next.
    pub(super) const fn between(run: &Run, next: &Run) -> Self {
        Self { centre: run.curve.to(), leaves: run.owner.to, arrives: next.owner.from }
    }
}

/// The trimmed offset of some loops.
///
/// What any method that makes one must fill, for a disc on the *right* of the loops:
/// - `radius`: the radius really used, at most 2 µm under the one asked for;
/// - `runs`: every stretch of the loops that the disc can touch from the right exactly once,
///   as edge runs, and every corner about which it can turn, as corner runs. A curve's point
///   at `t` is the owner's point at the same share of its stretch moved out by the radius;
/// - `rings`: indices of runs in the order the centre passes them, each ring closed to within
///   [`super::tolerance::JOIN_ENDS`], the centre's region on the right;
/// - `knees`: one for each joint of two runs whose feet are different points;
/// - `method`.
///
/// `check` must accept it.
#[derive(Debug, Clone, PartialEq)]
pub struct Trimmed {
    /// The radius it was computed with.
    pub radius: f64,
    /// All runs.
    pub runs: Vec<Run>,
    /// The closed rings, as indices of runs in order.
    pub rings: Vec<Vec<usize>>,
    /// The places where the disc leaves one edge for another.
    pub knees: Vec<Knee>,
    /// How it was computed.
    pub method: Method,
}

/// Why there is no trimmed offset.
#[derive(Debug, Clone, PartialEq)]
pub struct Untrimmed {
    /// Where it went wrong.
    pub at: Point,
    /// What went wrong, in words.
    pub fault: String,
}

impl Untrimmed {
    /// What went wrong where.
    pub(super) fn new(at: Point, fault: impl Into<String>) -> Self {
        Self { at, fault: fault.into() }
    }
}

impl Place {
    /// Its order along the loop: `2 piece + t` on a piece, `2 piece + 1 + t` on the corner at
    /// its end.
    pub fn key(&self) -> f64 {
        2.0 * count(self.piece) + f64::from(u8::from(self.corner)) + self.t
    }

    /// The point.
    pub fn point(&self, loops: &[Loop]) -> Point {
        let piece = &loops[self.on].pieces()[self.piece];
        if self.corner { piece.to() } else { piece.at(self.t) }
    }

    /// How far along its loop it is, in mm; the loop's length at the corner where it closes.
    pub fn along(&self, loops: &[Loop]) -> f64 {
        let one = &loops[self.on];
        let (start, end) = (one.start_of(self.piece), one.start_of(self.piece + 1));
        if self.corner { end } else { start + (end - start) * self.t }
    }

    /// The same place on the loops walked the other way.
    fn reversed(self, loops: &[Loop]) -> Self {
        let count = loops[self.on].pieces().len();
        let last = if self.corner { 2 * count - 2 } else { count - 1 };
        Self { piece: (last - self.piece) % count, t: 1.0 - self.t, ..self }
    }
}

/// A number of pieces.
#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^52 pieces")]
fn count(number: usize) -> f64 {
    number as f64
}

impl Trimmed {
    /// The rings as loops, those without any length left out.
    pub fn ring_loops(&self) -> Vec<Loop> {
        let curve = |&run: &usize| self.runs[run].curve;
        self.rings
            .iter()
            .filter_map(|ring| closed(ring.iter().map(curve).collect()))
            .collect()
    }

    /// A ring that is a point: in a hole of exactly the disc's size.
    fn ring_without_length(&self) -> Option<Point> {
        let length = |ring: &Vec<usize>| {
            ring.iter().map(|&run| self.runs[run].curve.length()).sum::<f64>()
        };
        let point = self.rings.iter().find(|ring| length(ring) <= SAME_POINT);
        point.map(|ring| self.runs[ring[0]].curve.from())
    }

    /// The stretches of edge that the runs stand on, in the runs' order.
    pub fn touched(&self, loops: &[Loop]) -> Vec<Span> {
        self.runs.iter().filter_map(|run| stretch(loops, &run.owner)).collect()
    }

    /// The same on the other side of the loops walked the other way.
    fn reversed(mut self, loops: &[Loop]) -> Self {
        for run in &mut self.runs {
            let Owner { from, to } = run.owner;
            run.owner = Owner { from: to.reversed(loops), to: from.reversed(loops) };
            run.curve = run.curve.reversed();
        }
        for ring in &mut self.rings {
            ring.reverse();
        }
        for knee in &mut self.knees {
            let Knee { leaves, arrives, .. } = *knee;
            knee.leaves = arrives.reversed(loops);
            knee.arrives = leaves.reversed(loops);
        }
        self
    }

    /// The same moved; owners stay what they are.
    fn moved(mut self, way: Vector) -> Self {
        for run in &mut self.runs {
            run.curve = run.curve.moved(way);
        }
        for knee in &mut self.knees {
            knee.centre = knee.centre + way;
        }
        self
    }
}

/// The stretch of edge that a run stands on; `None` for a corner.
fn stretch(loops: &[Loop], owner: &Owner) -> Option<Span> {
    let from = owner.from.along(loops);
    (!owner.from.corner).then(|| Span {
        on: owner.from.on,
        from,
        length: owner.to.along(loops) - from,
    })
}

/// The stretches of edge that a disc of `radius` on the right can touch, not joined: unchecked.
pub(super) fn touched_at(loops: &[Loop], radius: f64) -> Vec<Span> {
    let source = Source::new(loops);
    let raws = raw_pieces(&source, radius);
    let run = |one: &Live| run_on(&source, &raws[one.raw], (one.from, one.to));
    survivors(&source, &raws, radius)
        .iter()
        .filter_map(|one| stretch(loops, &run(one).owner))
        .collect()
}

/// A closed loop of pieces that meet to within the join tolerance: their ends are made to meet
/// exactly, pieces without length are dropped. `None` when nothing is left.
pub(super) fn closed(mut pieces: Vec<Piece>) -> Option<Loop> {
    pieces.retain(|piece| SAME_POINT < piece.length());
    for index in 0..pieces.len() {
        let start = pieces[(index + 1) % pieces.len()].from();
        match &mut pieces[index] {
            Piece::Line { to, .. } | Piece::Arc { to, .. } => *to = start,
        }
    }
    (1 < pieces.len()).then(|| Loop::new(pieces))
}

/// The trimmed offset of `loops` for a disc of `radius` on one side, checked.
///
/// Computed at the radius itself and, where something fits so exactly that rounding decides,
/// at radii smaller by up to 10 nm; each result is accepted only after the independent check.
pub fn trim(loops: &[Loop], side: Side, radius: f64) -> Result<Trimmed, Untrimmed> {
    if loops.is_empty() {
        return Err(Untrimmed::new(Point::default(), "there are no loops"));
    }
    on_side(loops, side, |right| first_accepted(right, radius, Ok))
}

/// The same by the second method alone, checked as well: a second opinion.
pub fn trim_by_polygons(
    loops: &[Loop],
    side: Side,
    radius: f64,
) -> Result<Trimmed, Untrimmed> {
    on_side(loops, side, |right| first_by_polygons(&Near::of(right), radius, Ok))
}

/// What is computed on the right of the loops, for either side.
fn on_side(
    loops: &[Loop],
    side: Side,
    compute: impl Fn(&[Loop]) -> Result<Trimmed, Untrimmed>,
) -> Result<Trimmed, Untrimmed> {
    match side {
        Side::Outward => compute(loops),
        Side::Inward => {
            let turned: Vec<Loop> = loops.iter().map(Loop::reversed).collect();
            Ok(compute(&turned)?.reversed(&turned))
        }
    }
}

/// How far below the radius is tried, in units of the first step. The steps are uneven, so that one
/// coincidence does not meet them all (from memory).
const LADDER: [f64; 4] = [0.0, 1.0, 2.7, 10.0];

/// The trimmed offset on the right, down the ladder of radii and then by another method, until
/// one passes the check and is accepted by `accept` as well.
pub(super) fn first_accepted<T>(
    loops: &[Loop],
    radius: f64,
    accept: impl Fn(Trimmed) -> Result<T, Untrimmed>,
) -> Result<T, Untrimmed> {
    let near = Near::of(loops);
    if !(near.way.length() + radius).is_finite() {
        return Err(Untrimmed::new(Point::default(), "a coordinate that is no number"));
    }
    let mut last = Untrimmed::new(Point::default() + near.way, "no radius is left");
    let ladder = if is_alone() { &[][..] } else { &LADDER[..] };
    for step in ladder.iter().map(|steps| steps * RADIUS_STEP) {
        match near.accepted(checked_at(&near.loops, radius, step), &accept) {
            Ok(accepted) => return Ok(accepted),
            Err(fault) => last = fault,
        }
    }
    // The first method's fault, if it was asked, says more of the drawing.
    first_by_polygons(&near, radius, accept)
        .map_err(|fault| if ladder.is_empty() { fault } else { last })
}

/// The same by the second method alone.
fn first_by_polygons<T>(
    near: &Near,
    radius: f64,
    accept: impl Fn(Trimmed) -> Result<T, Untrimmed>,
) -> Result<T, Untrimmed> {
    let mut last = Untrimmed::new(Point::default() + near.way, "nothing was tried");
    for attempt in ATTEMPTS {
        match near.accepted(checked_by_polygons(&near.loops, radius, attempt), &accept) {
            Ok(accepted) => return Ok(accepted),
            Err(fault) => last = fault,
        }
    }
    Err(last)
}

impl Near {
    /// What was computed near the origin, moved back to where the loops are, if it is accepted
    /// there.
    fn accepted<T>(
        &self,
        computed: Result<Trimmed, Untrimmed>,
        accept: impl Fn(Trimmed) -> Result<T, Untrimmed>,
    ) -> Result<T, Untrimmed> {
        match computed {
            Ok(trimmed) => accept(trimmed.moved(self.way)),
            Err(fault) => Err(Untrimmed { at: fault.at + self.way, ..fault }),
        }
    }
}

/// One computation at a radius smaller by `step`, checked.
fn checked_at(loops: &[Loop], radius: f64, step: f64) -> Result<Trimmed, Untrimmed> {
    let trimmed = planted::trimmed(radius - step, |radius| trim_at(loops, radius))?;
    let checker = check(loops, &trimmed)?;
    let third = if 0.0 < step { None } else { checker.third_touch() };
    if 0.0 < step {
        return Ok(Trimmed { method: Method::Shrunk(step), ..trimmed });
    }
    if let Some(at) = third {
        return Err(Untrimmed::new(at, "the disc touches three places at once"));
    }
    match trimmed.ring_without_length() {
        Some(at) => Err(Untrimmed::new(at, "the disc's centre has no room to move")),
        None => Ok(trimmed),
    }
}

/// A trimmed offset on the right of its loops, ready to be checked once more.
#[derive(Debug)]
pub struct Recheck {
    near: Near,
    trimmed: Trimmed,
}

impl Recheck {
    /// The offset as it is checked: near the origin.
    pub fn of(loops: &[Loop], trimmed: &Trimmed) -> Self {
        let near = Near::of(loops);
        let trimmed = trimmed.clone().moved(-near.way);
        Self { near, trimmed }
    }

    /// Checks it by what accepted it.
    pub fn check(&self) -> Result<(), Untrimmed> {
        let checker = check(&self.near.loops, &self.trimmed)?;
        checker.third_touch();
        Ok(())
    }
}

/// What is left when the whole ladder failed: the method by polygons, checked as well.
fn checked_by_polygons(
    loops: &[Loop],
    radius: f64,
    attempt: Attempt,
) -> Result<Trimmed, Untrimmed> {
    let trimmed = planted::trimmed(radius, |radius| by_polygons(loops, radius, attempt))?;
    check(loops, &trimmed)?;
    Ok(trimmed)
}

/// One computation at one radius, unchecked.
pub(super) fn trim_at(loops: &[Loop], radius: f64) -> Result<Trimmed, Untrimmed> {
    let source = Source::new(loops);
    let raws = raw_pieces(&source, radius);
    let live = survivors(&source, &raws, radius);
    let next = successors(&source, &raws, &live)
        .map_err(|at| Untrimmed::new(at, "an end of the offset that nothing follows"))?;
    let run = |one: &Live| run_on(&source, &raws[one.raw], (one.from, one.to));
    let runs: Vec<Run> = live.iter().map(run).collect();
    let foot = |one: &Live, t: f64| raws[one.raw].foot(&source, t);
    let knees = next
        .iter()
        .enumerate()
        .filter(|&(run, &next)| {
            let (end, start) = (&live[run], &live[next]);
            RADIUS_STEP < foot(end, end.to).distance(foot(start, start.from))
        })
        .map(|(run, &next)| Knee::between(&runs[run], &runs[next]))
        .collect();
    Ok(Trimmed { radius, runs, rings: rings(&next), knees, method: Method::Exact })
}

/// The run between two places of a raw piece, with its owner.
pub(super) fn run_on(source: &Source, raw: &Raw, (from, to): (f64, f64)) -> Run {
    let on = source.on[raw.source];
    let place = |t| Place {
        on,
        piece: raw.source - source.loops[on].start,
        corner: raw.stand == Stand::About,
        t,
    };
    let whole = from <= 0.0 && 1.0 <= to;
    let curve = if whole { raw.curve } else { raw.curve.part(from, to) };
    Run { curve, owner: Owner { from: place(from), to: place(to) } }
}

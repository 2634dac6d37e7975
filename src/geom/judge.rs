//! Judges offsets of any outline by brute force and by laws.
//!
//! `tests/offsets` takes this file in as well.

use super::shapes::{Dice, area, mirrored, moved};
use super::tolerance::ON_BORDER;
use super::{
    Closing, Loop, Method, Piece, Place, Point, Region, Side, Trimmed, close_to_fit,
    trim, trim_by_polygons,
};
use std::f64::consts::PI;

/// Places less deep than this, in mm, are not compared: on features of a nanometre rounding
/// tells whether there is one.
const SHALLOWEST: f64 = 2e-6;

/// Nor are places with a mouth narrower than this, in mm: where the disc's feet are a step of
/// the radius apart, rounding tells whether it goes on from one to the other.
const NARROWEST: f64 = 2e-6;

/// Nor is it asked whether a hollow is touched that is as round as the disc to within this, in
/// mm: the centre's way in it is no longer than where it ends is told, to [`ON_BORDER`].
const AS_ROUND: f64 = ON_BORDER;

/// A disc this much too near, in mm, is not free: rounding of the distances measured here (of
/// 55,000 places that runs own near the origin none was off by more, measured).
const MEASURED: f64 = 1e-13;

/// What became of the offsets.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Tally {
    /// Offsets asked for.
    pub(crate) offsets: u64,
    /// At a radius smaller by a step or some, where something fits exactly.
    pub(crate) shrunk: u64,
    /// That neither the radius itself nor the ladder below it gave.
    pub(crate) refused_by_first: u64,
    /// That nothing gave.
    pub(crate) refused: u64,
    /// Offsets asked of the second method alone.
    pub(crate) second: u64,
    /// That it did not give.
    pub(crate) refused_by_second: u64,
}

impl Tally {
    /// Both together.
    pub(crate) const fn and(self, other: Self) -> Self {
        Self {
            offsets: self.offsets + other.offsets,
            shrunk: self.shrunk + other.shrunk,
            refused_by_first: self.refused_by_first + other.refused_by_first,
            refused: self.refused + other.refused,
            second: self.second + other.second,
            refused_by_second: self.refused_by_second + other.refused_by_second,
        }
    }
}

/// What a law says of a result that breaks it.
type Judged = Result<(), String>;

fn require(holds: bool, told: impl FnOnce() -> String) -> Judged {
    if holds { Ok(()) } else { Err(told()) }
}

/// Offsets and closes an outline both ways; what is accepted and wrong is an error.
/// The second method is asked as well if `twice`.
pub(crate) fn judge(
    loops: &[Loop],
    radius: f64,
    twice: bool,
    dice: &mut Dice,
) -> Result<Tally, String> {
    let mut tally = Tally::default();
    let reversed: Vec<Loop> = loops.iter().map(Loop::reversed).collect();
    for walked in [loops, &reversed] {
        tally.offsets += 1;
        let Ok(trimmed) = trim(walked, Side::Outward, radius) else {
            tally.refused_by_first += 1;
            tally.refused += 1;
            continue;
        };
        match trimmed.method {
            Method::Exact => {}
            Method::Shrunk(_) => tally.shrunk += 1,
            Method::Polygons => tally.refused_by_first += 1,
        }
        touches(walked, &trimmed, dice)?;
        two_are_one(walked, &trimmed)?;
        if twice {
            tally.second += 1;
            second(walked, &trimmed, radius, &mut tally)?;
        }
        closes(walked, radius, &mut tally)?;
    }
    steiner(loops, radius)?;
    Ok(tally)
}

/// Whether a piece is longer than a point: only such a piece has sides.
fn has_sides(piece: &Piece) -> bool {
    1e-9 < piece.length()
}

fn distance(loops: &[Loop], point: Point) -> f64 {
    let pieces = loops.iter().flat_map(Loop::pieces);
    pieces.map(|piece| piece.distance(point)).fold(f64::INFINITY, f64::min)
}

/// Each run is as far as the radius, and some random places on the edge are touched if and
/// only if the disc fits there.
fn touches(loops: &[Loop], trimmed: &Trimmed, dice: &mut Dice) -> Judged {
    let away = loops[0].pieces()[0].from() - Point::default();
    let near = moved(loops, -away);
    for run in &trimmed.runs {
        let centre = run.curve.at(dice.share()) - away;
        let off = (distance(&near, centre) - trimmed.radius).abs();
        require(off <= 1e-6, || format!("a run is {off:e} off"))?;
    }
    for (on, one) in near.iter().enumerate() {
        for (index, piece) in
            one.pieces().iter().enumerate().filter(|one| has_sides(one.1))
        {
            let place = Place { on, piece: index, corner: false, t: dice.share() };
            if piece.radius().is_some_and(|own| (own - trimmed.radius).abs() < AS_ROUND) {
                continue;
            }
            // What rounding makes of a place so far away.
            touch(&near, trimmed, (place, piece, 1e-15 * away.length()))?;
        }
    }
    Ok(())
}

fn touch(
    loops: &[Loop],
    trimmed: &Trimmed,
    (at, piece, away): (Place, &Piece, f64),
) -> Judged {
    let centre = piece.at(at.t) + piece.direction(at.t).right() * trimmed.radius;
    let gap = distance(loops, centre) - trimmed.radius;
    // In a hollow hardly less round than the disc the centre's way is short beside the edge.
    let way = piece.beside(trimmed.radius).map_or(0.0, |way| way.length());
    let slack = (1e-5 / piece.length().max(1e-9)).max(AS_ROUND / way.max(AS_ROUND));
    let owned = |by: f64| {
        trimmed.runs.iter().any(|run| {
            let (from, to) = (run.owner.from, run.owner.to);
            (from.on, from.piece, from.corner) == (at.on, at.piece, false)
                && from.t - by <= at.t
                && at.t <= to.t + by
        })
    };
    let free = away - MEASURED;
    require(gap < free || owned(slack), || format!("{at:?} is free, and not touched"))?;
    require(-2e-7 <= gap || !owned(-slack), || {
        format!("{at:?} is touched, and {gap:e} too near")
    })
}

/// Offset by a part of the radius and then by the rest, the area is the same: but for what the
/// radii that were taken are short of it, along the border.
fn two_are_one(loops: &[Loop], trimmed: &Trimmed) -> Judged {
    let radius = trimmed.radius;
    let Ok(first) = trim(loops, Side::Outward, 0.3 * radius) else { return Ok(()) };
    let between = first.ring_loops();
    let rest = radius - first.radius;
    let (twice, short) = if between.is_empty() {
        (Vec::new(), 0.0)
    } else {
        let Ok(second) = trim(&between, Side::Outward, rest) else { return Ok(()) };
        (second.ring_loops(), rest - second.radius)
    };
    let once = trimmed.ring_loops();
    let border: f64 = loops.iter().chain(&between).chain(&once).map(Loop::length).sum();
    let off = (area(&once) - area(&twice)).abs();
    let most = (1e-5 + short) * border + 1e-6;
    require(off <= most, || format!("two offsets are not one: {off} mm², {most} at most"))
}

/// The second method gives the same rings and area, a micrometre or two of the radius apart.
fn second(walked: &[Loop], trimmed: &Trimmed, radius: f64, tally: &mut Tally) -> Judged {
    let Ok(second) = trim_by_polygons(walked, Side::Outward, radius) else {
        tally.refused_by_second += 1;
        return Ok(());
    };
    let short = radius - second.radius;
    require(short <= 2e-3, || format!("the second method is {short} mm under"))?;
    let length = |one: &Trimmed| one.ring_loops().iter().map(Loop::length).sum::<f64>();
    let border = length(trimmed).max(length(&second));
    let off = (area(&trimmed.ring_loops()) - area(&second.ring_loops())).abs();
    require(off <= 2e-3 * border + 1e-4, || {
        format!("the second method is {off} mm² off on {border} mm of border")
    })
}

/// An opening lies in the shape and the shape in its closing, the areas sum, and mirrored the
/// same places are left, where the first method gives both.
fn closes(walked: &[Loop], radius: f64, tally: &mut Tally) -> Judged {
    let deep = |closing: Closing| -> Vec<Region> {
        closing.regions.into_iter().filter(shows).collect()
    };
    let (closing, other) =
        (close_to_fit(walked, radius), close_to_fit(&mirrored(walked), radius));
    let (Ok(closing), Ok(other)) = (closing, other) else {
        tally.refused_by_first += 1;
        tally.refused += 1;
        return Ok(());
    };
    keeps(walked, &closing)?;
    if [&closing, &other].iter().any(|one| one.trimmed.method == Method::Polygons) {
        tally.refused_by_first += 1;
        return Ok(());
    }
    // Drawn and mirrored the ladder of radii may stop at different steps: what is left differs
    // by as much, at a sharp corner by a few times that.
    let steps = (closing.trimmed.radius - other.trimmed.radius).abs().min(1e-5);
    let within = 1e-6 + 4.0 * steps;
    let mut others = deep(other);
    for one in deep(closing) {
        // Of places that are alike, the one most alike.
        let off = |other: &Region| {
            (one.area - other.area).abs() + (one.depth - other.depth).abs()
        };
        let found = others
            .iter()
            .enumerate()
            .filter(|(_, other)| alike(&one, other, within))
            .min_by(|a, b| off(a.1).total_cmp(&off(b.1)))
            .map(|(index, _)| index);
        let Some(found) = found else {
            let others: Vec<String> = others.iter().map(told).collect();
            return Err(format!("mirrored, none is like {}: {others:?}", told(&one)));
        };
        others.swap_remove(found);
    }
    let others: Vec<String> = others.iter().map(told).collect();
    require(others.is_empty(), || format!("mirrored, there are also {others:?}"))
}

/// Whether a place is large enough for both drawings to have it.
fn shows(region: &Region) -> bool {
    let border: f64 = region.border.iter().map(Loop::length).sum();
    let walls: f64 = region.walls.iter().map(|wall| wall.length).sum();
    SHALLOWEST < region.depth && (region.knees == 0 || NARROWEST < border - walls)
}

/// A place in words.
fn told(region: &Region) -> String {
    let Region { area, depth, knees, sides, .. } = region;
    format!("{area} mm², {depth} deep, {knees} knees, sides {sides:?}")
}

/// What stood beside each piece still stands.
fn keeps(walked: &[Loop], closing: &Closing) -> Judged {
    let standing: Vec<Loop> =
        closing.standing.iter().map(|one| one.outline.clone()).collect();
    let winds = |loops: &[Loop], place: Point| -> i32 {
        loops.iter().map(|one| one.winding(place)).sum()
    };
    let solid = i32::from(0.0 < area(walked));
    for piece in walked.iter().flat_map(Loop::pieces).filter(|piece| has_sides(piece)) {
        let place = piece.at(0.41) + piece.direction(0.41).left() * 1e-3;
        let stood = winds(walked, place) == solid;
        require(!stood || winds(&standing, place) == solid, || {
            format!("what stood at {place:?} is gone")
        })?;
    }
    Ok(())
}

/// Whether two places left are the same but for where they are: counts exactly, lengths to
/// `within` and the area to a share of that.
pub(crate) fn alike(one: &Region, other: &Region, within: f64) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < within;
    let sides = |region: &Region| {
        let mut sides = region.sides.clone();
        sides.sort_by(f64::total_cmp);
        sides
    };
    let (here, there) = (sides(one), sides(other));
    near(one.area / (1.0 + one.area), other.area / (1.0 + one.area))
        && near(one.depth, other.depth)
        && (one.knees, one.corners.len()) == (other.knees, other.corners.len())
        && here.len() == there.len()
        && here.iter().zip(&there).all(|(a, b)| near(*a, *b))
}

/// A convex outline grows by its length times the radius and a disc (Steiner).
fn steiner(loops: &[Loop], radius: f64) -> Judged {
    let [one] = loops else { return Ok(()) };
    let pieces = one.pieces();
    let bends_left = |piece: &Piece| match *piece {
        Piece::Line { .. } => true,
        Piece::Arc { sweep, .. } => 0.0 < sweep,
    };
    let mut joints = pieces.iter().zip(pieces.iter().cycle().skip(1));
    if !(pieces.iter().all(bends_left) && joints.all(|(a, b)| 0.0 <= a.turn_to(b))) {
        return Ok(());
    }
    let Ok(grown) = trim(loops, Side::Outward, radius) else { return Ok(()) };
    let radius = grown.radius;
    let wanted = one.area() + one.length() * radius + PI * radius * radius;
    let most = 1e-9 * (1.0 + wanted);
    let off = (area(&grown.ring_loops()) - wanted).abs();
    require(off <= most, || format!("{off} mm² off Steiner's formula"))
}

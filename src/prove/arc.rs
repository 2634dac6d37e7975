//! Arcs as a program gives them: by centre or by radius.
//!
//! ```text
//!          to                    to
//!         .                    .     .        by radius the shorter way where R is positive, the
//!        .                    .  R    .       longer where it is negative; by centre with I and J
//!      I,J  ' . from           . from.        from where it starts, and both radii must agree
//! ```
//!
//! Published: NIST, NISTIR 6556, 2000, section 3.5.3; the arithmetic is geometry.

use super::reader::Spot;
use super::words::Block;
use crate::geom::{Point, Vector};
use crate::units::{MM_PER_INCH, Paper, Unit};
use std::f64::consts::{PI, TAU};

/// How far the two radii of an arc by centre may differ, in mm: published: NIST, NISTIR 6556,
/// 2000, section 3.5.3.2 (0.002 mm, 0.0002 in).
const MISMATCH_MM: f64 = 0.002;
const MISMATCH_INCH: f64 = 0.0002 * MM_PER_INCH;
/// What the reading of a text may add to that, in mm (geometry: rounding of doubles).
const READING: f64 = 1e-9;

/// The words of an arc, in mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Words {
    centre: Option<Vector>,
    radius: Option<f64>,
    counter: bool,
    inch: bool,
}

/// An arc.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Arc {
    pub centre: Point,
    /// Signed, counter-clockwise positive, up to a whole turn.
    pub sweep: f64,
    /// How far its ends differ in their distance from the centre.
    pub mismatch: f64,
}

impl Words {
    pub(super) fn of(block: &Block, scale: f64, counter: bool) -> Self {
        let (i, j) = (block.get('I'), block.get('J'));
        let centre = (i.is_some() || j.is_some())
            .then(|| Vector::new(i.unwrap_or(0.0) * scale, j.unwrap_or(0.0) * scale));
        let radius = block.get('R').map(|radius| radius * scale);
        Self { centre, radius, counter, inch: 1.0 < scale }
    }

    /// Lengths as the program itself writes them: they are looked for in its line.
    const fn paper(&self) -> Paper {
        let unit = if self.inch { Unit::Inch } else { Unit::Mm };
        Paper { unit, ..Paper::MM }
    }
}

/// X and Y of a spot.
pub(super) const fn flat(spot: Spot) -> Point {
    Point::new(spot[0], spot[1])
}

/// The arc from one spot to another.
pub(super) fn about(words: &Words, from: Spot, to: Spot) -> Result<Arc, String> {
    let (start, end) = (flat(from), flat(to));
    if !(start.is_finite() && end.is_finite()) {
        return Err("an arc from a place that is not known".to_owned());
    }
    match (words.centre, words.radius) {
        (Some(_), Some(_)) => Err("an arc with a centre and a radius".to_owned()),
        (None, None) => Err("an arc without I, J or R".to_owned()),
        (Some(way), None) => by_centre(words, (start, end), start + way),
        (None, Some(radius)) => by_radius(words, (start, end), radius),
    }
}

fn by_centre(
    words: &Words,
    (start, end): (Point, Point),
    centre: Point,
) -> Result<Arc, String> {
    let (first, last) = (start.distance(centre), end.distance(centre));
    let mismatch = (first - last).abs();
    let limit = if words.inch { MISMATCH_INCH } else { MISMATCH_MM };
    if limit + READING < mismatch {
        let paper = words.paper();
        return Err(format!(
            "the arc's radius is {} at its start and {} at its end",
            paper.decimals(first, 4),
            paper.decimals(last, 4)
        ));
    }
    if first <= 0.0 {
        return Err("an arc without a radius".to_owned());
    }
    Ok(Arc {
        centre,
        sweep: sweep(words.counter, start - centre, end - centre),
        mismatch,
    })
}

/// The turn from one direction to another, a whole turn where they are the same.
fn sweep(counter: bool, first: Vector, last: Vector) -> f64 {
    let turn = libm::atan2(first.cross(last), first.dot(last));
    match (counter, turn) {
        (true, turn) if turn <= 0.0 => turn + TAU,
        (false, turn) if 0.0 <= turn => turn - TAU,
        (_, turn) => turn,
    }
}

/// By radius: the shorter way where it is positive, the longer where it is negative.
fn by_radius(
    words: &Words,
    (start, end): (Point, Point),
    radius: f64,
) -> Result<Arc, String> {
    let half = start.distance(end) / 2.0;
    if half <= 0.0 {
        return Err("an arc by radius that ends where it starts".to_owned());
    }
    let limit = if words.inch { MISMATCH_INCH } else { MISMATCH_MM };
    if radius.abs() + limit < half {
        let paper = words.paper();
        return Err(format!(
            "a radius of {} does not span {}",
            paper.decimals(radius, 4),
            paper.decimals(2.0 * half, 4)
        ));
    }
    let off = (radius * radius - half * half).max(0.0).sqrt();
    let side = if words.counter == (0.0 < radius) { 1.0 } else { -1.0 };
    let across = (end - start).left() * (0.5 / half);
    let centre = start.middle(end) + across * (off * side);
    let turn = sweep(words.counter, start - centre, end - centre);
    let short = 0.0 < radius;
    let turn = if off == 0.0 { PI.copysign(turn) } else { turn };
    if short == (turn.abs() <= PI) || off == 0.0 {
        let mismatch = (half - radius.abs()).max(0.0);
        Ok(Arc { centre, sweep: turn, mismatch })
    } else {
        Err("an arc by radius too near a half circle to be read".to_owned())
    }
}

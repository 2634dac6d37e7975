//! Where the mill's centre runs: one contour for each edge that can be followed.
//!
//! ```text
//!   . = = = = = = .
//!  = . - - - - - . =        = the line of the rough laps: the mill's radius and the allowance off
//!  = :  _______  : =        - the finished line: the radius off the edge
//!  = : | edge  | : =
//! ```
//!
//! Geometry; clearing in rings: common practice, no source.

use crate::diag::{Failure, Problem};
use crate::geom::{Loop, Point, nearest_loop};
use crate::prove::Hold;

/// How far the mill may cut into the walls of an opening of its own width, in mm (geometry: a
/// third of what the proof allows).
const TIGHT: f64 = 0.003;
/// From one ring to the next when an opening is cleared, as a share of the mill's width
/// (common practice, no source).
const RING_STEP: f64 = 0.4;
/// A ring no longer than this share of the mill's radius is not needed: the next one clears
/// what it goes round (geometry: it lies within 0.15 radii of its middle, the next 0.8 out).
const NEEDED: f64 = 0.6;

/// A loop of the template as laid, and how the wood beside it is held.
#[derive(Debug, Clone)]
pub(super) struct Edge {
    pub ring: Loop,
    pub hold: Hold,
    /// Whether it is this tool that cuts it.
    pub own: bool,
    /// The part and the loop of its template that it is; none of a recess.
    pub of: Option<(usize, usize)>,
}

/// A place on a contour, and the template's loop it follows there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mark {
    pub along: f64,
    pub point: Point,
    pub edge: usize,
}

/// A line the mill's centre follows.
#[derive(Debug, Clone)]
pub(super) struct Contour {
    /// The finished line, material on its left.
    pub ring: Loop,
    /// The line of the rough laps, where there is room for one.
    pub rough: Option<Loop>,
    /// Places along it.
    pub marks: Vec<Mark>,
}

impl Contour {
    /// Whether it runs round the inside of an opening.
    pub(super) fn inside(&self) -> bool {
        self.ring.area() < 0.0
    }

    /// The loop of the template it follows longest.
    pub(super) fn edge(&self) -> usize {
        let mut counts: Vec<(usize, usize)> = Vec::new();
        for mark in &self.marks {
            match counts.iter_mut().find(|count| count.0 == mark.edge) {
                Some(count) => count.1 += 1,
                None => counts.push((mark.edge, 1)),
            }
        }
        counts.into_iter().max_by_key(|count| count.1).map_or(0, |count| count.0)
    }
}

/// The contours of a mill of this radius round these edges, and their rough laps, which leave
/// so much for the finishing lap.
pub(super) fn contours(
    edges: &[Edge],
    (radius, allowance): (f64, f64),
) -> Result<Vec<Contour>, Failure> {
    let rings = offset(edges, radius)?;
    let roughs = offset(edges, radius + allowance)?;
    let contours = rings.into_iter().map(|ring| {
        let along = |rough: &&Loop| goes_along(&ring, rough, allowance);
        let rough = roughs.iter().find(along).cloned();
        let marks = marks(&ring, edges);
        Contour { ring, rough, marks }
    });
    let mut contours: Vec<Contour> = contours.collect();
    contours.extend(tight(edges, &contours, radius)?);
    contours.retain(|contour| edges[contour.edge()].own);
    Ok(contours)
}

/// The contours in openings of the mill's own width, where at its full radius there is none.
fn tight(
    edges: &[Edge],
    found: &[Contour],
    radius: f64,
) -> Result<Vec<Contour>, Failure> {
    let is_missing = |index: usize| {
        let by_line = !matches!(edges[index].hold, Hold::Drilled(_) | Hold::ByHand(_));
        by_line && edges[index].own && found.iter().all(|contour| contour.edge() != index)
    };
    if !(0..edges.len()).any(is_missing) {
        return Ok(Vec::new());
    }
    let rings = offset(edges, radius - TIGHT)?.into_iter();
    let contours = rings.map(|ring| {
        let marks = marks(&ring, edges);
        Contour { ring, rough: None, marks }
    });
    Ok(contours.filter(|contour| is_missing(contour.edge())).collect())
}

/// The rings inside a contour that clear what it goes round, the innermost first.
pub(super) fn clearing(
    edges: &[Edge],
    contour: &Contour,
    radius: f64,
) -> Result<Vec<Loop>, Failure> {
    let step = 2.0 * radius * RING_STEP;
    let mut rings = Vec::new();
    for count in 1..10_000 {
        let inner: Vec<Loop> = offset(edges, radius + f64::from(count) * step)?
            .into_iter()
            .filter(|ring| contour.ring.winding(ring.at(0.0)) != 0)
            .collect();
        if inner.is_empty() {
            break;
        }
        let inner = inner.into_iter().filter(|ring| NEEDED * radius < ring.length());
        rings.extend(inner);
    }
    rings.reverse();
    Ok(rings)
}

/// The edges' loops set out by `by`.
fn offset(edges: &[Edge], by: f64) -> Result<Vec<Loop>, Failure> {
    let loops: Vec<Loop> = edges.iter().map(|edge| edge.ring.clone()).collect();
    crate::geom::offset_loops(&loops, by).map_err(|error| {
        Failure::refused(Problem::stop(
            "path-offset",
            format!(
                "the line of the mill round the template cannot be worked out: {error:?}"
            ),
            "give the end mill's measured width again, a little larger or smaller",
        ))
    })
}

/// Whether `rough` follows `ring` at the allowance all the way, sharp corners apart.
fn goes_along(ring: &Loop, rough: &Loop, allowance: f64) -> bool {
    steps(ring).all(|along| {
        let point = ring.at(along);
        let gap = rough.at(rough.nearest(point)).distance(point);
        (allowance - 0.01..=3.5 * allowance).contains(&gap)
    })
}

fn marks(ring: &Loop, edges: &[Edge]) -> Vec<Mark> {
    let mark = |along| {
        let point = ring.at(along);
        let nearest = nearest_loop(edges.iter().map(|edge| &edge.ring), point);
        Mark { along, point, edge: nearest.map_or(0, |(_, edge, _)| edge) }
    };
    steps(ring).map(mark).collect()
}

/// Places along a loop, one to three millimetres apart.
fn steps(ring: &Loop) -> impl Iterator<Item = f64> + '_ {
    let length = ring.length();
    let step = (length / 2000.0).clamp(1.0, 3.0).min(length / 8.0);
    (0..)
        .map(move |count| f64::from(count) * step)
        .take_while(move |along| *along < length)
}

//! From a drawing to an outline: closed, simple, oriented, nested, finite loops of lines and arcs,
//! every edge with its role.
//!
//! ```text
//!    paths ----> rings ---> as pieces -------------> parts -----> edges
//!          chain      clean, recover, merge: repaired     cross: none meet
//!                     tangent: smooth joints              nest:  which lies in which
//!                     arcs, ring: within the fit          edge:  what is done to each
//! ```
//!
//! A *strand* is a stroke of the drawing on its way; a *chain* is strands end to end, a *ring* one
//! that closes. A ring is *settled* where the joints that are meant smooth are tangent, and
//! *shaped* when it is lines and arcs.
//!
//! | files, in the order in which to read them | what they are about |
//! |---|---|
//! | `strand`, `chain` | strokes, and what closes by itself |
//! | `net`, `loose`, `stray` | what is drawn in pieces, and what is no part of an outline |
//! | `clean`, `rounding`, `recover`, `through`, `cubics` | repairs, and what was designed |
//! | `tangent`, `arcs`, `ring` | smooth joints, and chords and curves as arcs |
//! | `cross`, `nest`, `doubt` | how loops meet and lie in each other |
//! | `edge`, `near`, `call` | edges, their roles, and what a job calls them |
//!
//! What each step goes by stands in its file.

// From paths to rings.
mod chain;
mod loose;
mod net;
mod strand;
mod stray;

// From rings to lines and arcs.
mod arcs;
mod clean;
mod cubics;
mod recover;
mod ring;
mod rounding;
mod tangent;
mod through;

// From loops to parts and their edges.
mod call;
mod cross;
mod doubt;
mod edge;
mod near;
mod nest;

#[cfg(test)]
mod repairs;
#[cfg(test)]
mod scribbles;
#[cfg(test)]
mod tests;

pub use call::{Call, Calls, edge_near};

use crate::diag::{Failure, Outcome, Place, Problem, Source, Told, Weight};
use crate::geom::tolerance::REPAIR;
use crate::geom::{Bounds, Loop, Piece, Point, Span, Vector};
use crate::read::{Drawing, Role, RoleWish, Side};
use crate::units::Paper;
use chain::Ring;
use nest::Nest;
use ring::ShapedRing;
use strand::Report;

/// A loop smaller than this both ways, in mm, is a speck or has the wrong unit (from memory).
const TINY: f64 = 1.0;
/// A drawing larger than this, in mm, or farther off, has the wrong unit (from memory).
const ABSURD: f64 = 10_000.0;
/// Nor does any part lie farther from the origin, in mm (from memory).
const FAR: f64 = 100.0 * ABSURD;

/// The outlines that a drawing holds: one for each outside loop.
///
/// Curves are fitted by lines and arcs within `fit` mm; `paper` says how messages write lengths.
/// What is wrong by no more than the repair tolerance is repaired and noted; everything else is
/// refused with its place.
///
/// # Errors
/// All that stops it, not only the first: open, crossing, touching, tiny, absurd or empty
/// loops, numbers that are not finite, and wishes that match no edge.
pub fn outlines(
    drawing: &Drawing,
    wishes: &[RoleWish],
    fit: f64,
    paper: Paper,
) -> Outcome<Vec<Outline>> {
    let mut report = Report::new(paper);
    let rings = chain::rings(drawing, &mut report);
    let mut shaped: Vec<ShapedRing> =
        rings.into_iter().filter_map(|ring| shape(ring, fit, &mut report)).collect();
    refuse_sizes(drawing, &mut shaped, &mut report);
    nest::drop_doubled(&mut shaped, &mut report);
    cross::refuse_contacts(&shaped, &mut report);
    if report.stops.is_empty() {
        // A loop that crosses itself may have none either, and is told so above.
        for ring in &shaped {
            refuse_without_area(ring, &mut report);
        }
    }
    if !report.stops.is_empty() {
        return Err(Failure::Input(report.stops));
    }
    let mut parts = nest::nested(shaped, &mut report);
    for (_, ring) in parts.iter_mut().flatten() {
        ring.start_well();
    }
    let roles = edge::roles(&parts, wishes, &mut report);
    if !report.stops.is_empty() {
        return Err(Failure::Input(report.stops));
    }
    let named = names(&drawing.name, parts.len());
    let outlines: Vec<Outline> = parts
        .iter()
        .zip(&roles)
        .zip(named)
        .map(|((nest, roles), name)| outline(name, nest, roles))
        .collect();
    note_coarse_fits(&outlines, fit, &mut report);
    Ok(Told { value: outlines, notes: report.into_notes() })
}

/// A ring repaired, with its designed pieces found again, as lines and arcs.
fn shape(mut ring: Ring, fit: f64, report: &mut Report) -> Option<ShapedRing> {
    clean::clean(&mut ring, report);
    let rounding = rounding::rounding_of(&ring);
    recover::recover(&mut ring, rounding, report);
    clean::merge_lines(&mut ring, report);
    let (settled, strays) = tangent::settled(&ring, fit, rounding);
    let arcs = arcs::arcs(&settled, fit, rounding, report);
    let mut shaped = ring::shaped(&ring, &settled, &arcs, fit)?;
    shaped.deviation = shaped.deviation.max(strays);
    Some(shaped)
}

/// Refuses loops that are too small or too large, and a drawing without any.
fn refuse_sizes(drawing: &Drawing, rings: &mut Vec<ShapedRing>, report: &mut Report) {
    let all: Bounds = rings.iter().map(ShapedRing::bounds).collect();
    let far = [all.low.x, all.low.y, all.high.x, all.high.y]
        .iter()
        .fold(0.0f64, |far, number| far.max(number.abs()));
    if rings.is_empty() {
        if !report.stops.is_empty() {
            return;
        }
        let place = drawing.paths.first().map_or_else(
            || Place::whole(Source::Drawing, &drawing.name),
            |p| p.place.clone(),
        );
        let found = "the drawing holds no closed line that bounds any wood";
        let hint = "draw or walk the outline as a closed line round the wood, one that does not run back on itself";
        report.stop(Problem::stop("outline-empty", found, hint).at(place));
    } else if ABSURD < all.width().max(all.height()) || FAR < far {
        let found = format!(
            "the drawing is {} wide and {} high, from {} to {}",
            report.paper.decimals(all.width(), 0),
            report.paper.decimals(all.height(), 0),
            report.point(all.low),
            report.point(all.high)
        );
        let hint = "check the units of the drawing and move it near the origin";
        let place = rings[0].first().place_at(rings[0].start());
        let expected = format!("at most {}", report.paper.decimals(ABSURD, 0));
        report.stop(
            Problem::stop("outline-absurd", found, hint).at(place).expected(expected),
        );
    }
    rings.retain(|ring| is_large_enough(ring, report));
}

/// Whether a ring is no speck; one that is, is refused.
fn is_large_enough(ring: &ShapedRing, report: &mut Report) -> bool {
    let bounds = ring.bounds();
    let (strand, at) = (ring.first(), ring.start());
    let place = strand.place_at(at);
    if bounds.width().max(bounds.height()) < TINY {
        let found = format!(
            "{} bounds only {} at {}",
            strand.called(),
            report.size(&bounds),
            report.point(at)
        );
        let hint = "delete it if it is a speck; else check the units of the drawing";
        let expected = format!("at least {}", report.paper.decimals(TINY, 2));
        report.stop(
            Problem::stop("outline-tiny", found, hint).at(place).expected(expected),
        );
        return false;
    }
    true
}

/// Refuses a loop that is all edge: its sides lie on each other but for the repair tolerance.
fn refuse_without_area(ring: &ShapedRing, report: &mut Report) {
    let bounds = ring.bounds();
    let least = bounds.width().max(bounds.height()) * REPAIR;
    if ring.fitted().area().abs() <= least {
        let (strand, at) = (ring.first(), ring.start());
        let found = format!("{} bounds no area at {}", strand.called(), report.point(at));
        let hint = "draw both sides of the part apart from each other";
        report
            .stop(Problem::stop("outline-no-area", found, hint).at(strand.place_at(at)));
    }
}

/// One part as an outline.
fn outline(name: String, nest: &Nest, roles: &edge::Roles) -> Outline {
    let edges = nest
        .iter()
        .enumerate()
        .flat_map(|(on, (_, ring))| edge::edges(on, ring, roles))
        .collect();
    Outline {
        name,
        loops: nest.iter().map(|(_, ring)| ring.fitted()).collect(),
        kinds: nest.iter().map(|(kind, _)| *kind).collect(),
        edges,
        drawn: nest.iter().map(|(_, ring)| ring.drawn()).collect(),
        deviation: nest.iter().map(|(_, ring)| ring.deviation).fold(0.0, f64::max),
        mirrored: false,
    }
}

/// The names of the parts of a drawing: numbered where there are several.
fn names(name: &str, count: usize) -> Vec<String> {
    if count == 1 {
        return vec![name.to_owned()];
    }
    (1..=count).map(|number| format!("{name} {number}")).collect()
}

/// Notes outlines that stray farther than was asked for.
fn note_coarse_fits(outlines: &[Outline], fit: f64, report: &mut Report) {
    for outline in outlines.iter().filter(|outline| fit < outline.deviation) {
        let found = format!(
            "the arcs of `{}` stray {} from the drawn curves, asked for was {}",
            outline.name,
            report.paper.decimals(outline.deviation, 4),
            report.paper.decimals(fit, 4)
        );
        let hint = "draw the tightest curves with arcs, or allow more with `fit`";
        report.note(Problem::new("outline-fit-coarse", Weight::Caution, found, hint));
    }
}

/// What a loop bounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoopKind {
    /// The outside of the part, counter-clockwise.
    Outside,
    /// An opening in it, clockwise.
    Opening,
    /// A piece standing in an opening, counter-clockwise.
    Island,
}

impl LoopKind {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Outside => "outside",
            Self::Opening => "opening",
            Self::Island => "island",
        }
    }
}

/// A run of a loop from corner to corner, or a whole loop without corners.
#[derive(Clone, PartialEq)]
pub struct Edge {
    /// Where it lies.
    pub span: Span,
    /// What is done to it.
    pub role: Role,
    /// Its name in the job, if it has one.
    pub name: Option<String>,
    /// The side of the outside that it faces, if it faces one.
    pub side: Option<Side>,
}

#[expect(
    clippy::missing_fields_in_debug,
    reason = "a plan is known by what it is made from; the side follows from the span"
)]
impl std::fmt::Debug for Edge {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut all = f.debug_struct("Edge");
        all.field("span", &self.span).field("role", &self.role);
        all.field("name", &self.name).finish()
    }
}

/// One part: its outside first, then its openings, then islands; material on the left.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// The part's name.
    pub name: String,
    /// The loops as fitted: lines and arcs.
    pub loops: Vec<Loop>,
    /// What each loop bounds.
    pub kinds: Vec<LoopKind>,
    /// The edges, in order of loop and place; those of a loop cover it.
    pub edges: Vec<Edge>,
    /// The same loops, same order and way, as read: chords and arcs before any fit. The proof
    /// of a program judges against these.
    pub drawn: Vec<Loop>,
    /// How far the fitted loops stray from the drawn curves, in mm.
    pub deviation: f64,
    /// It is the mirror image of what was drawn: the other hand of a pair.
    pub mirrored: bool,
}

impl Outline {
    /// The edges of one loop, in order.
    pub fn edges_of(&self, on: usize) -> impl Iterator<Item = &Edge> {
        self.edge_slice(on).iter()
    }

    /// The same as a slice.
    fn edge_slice(&self, on: usize) -> &[Edge] {
        let first = self.edges.partition_point(|edge| edge.span.on < on);
        let last = self.edges.partition_point(|edge| edge.span.on <= on);
        &self.edges[first..last]
    }

    /// The box of the part.
    pub fn bounds(&self) -> Bounds {
        self.loops.iter().map(Loop::bounds).collect()
    }

    /// How wide the part is across an axis at an angle from +x, in mm.
    pub fn across(&self, axis: f64) -> f64 {
        let way = Vector::at_angle(axis).left();
        let origin = Point::new(0.0, 0.0);
        let mut range = (f64::INFINITY, f64::NEG_INFINITY);
        for piece in self.loops.iter().flat_map(Loop::pieces) {
            let mut tops = vec![piece.from(), piece.to()];
            if let Piece::Arc { centre, .. } = *piece {
                let radius = piece.radius().unwrap_or(0.0);
                let outs = [way, -way].into_iter().filter(|out| piece.in_sweep(*out));
                tops.extend(outs.map(|out| centre + out * radius));
            }
            for along in tops.into_iter().map(|top| (top - origin).dot(way)) {
                range = (range.0.min(along), range.1.max(along));
            }
        }
        range.1 - range.0
    }

    /// The area of the part: outsides and islands less openings, in mm².
    pub fn area(&self) -> f64 {
        self.loops.iter().map(Loop::area).sum()
    }

    /// The role of the edge at `along` on loop `on`.
    pub fn role_at(&self, on: usize, along: f64) -> Role {
        self.edge_at(on, along).map_or(Role::Rout, |edge| edge.role)
    }

    /// The edge at `along` on loop `on`.
    pub fn edge_at(&self, on: usize, along: f64) -> Option<&Edge> {
        let ring = &self.loops[on];
        let edges = self.edge_slice(on);
        let along = ring.wrapped(along);
        let after = edges.partition_point(|edge| edge.span.from <= along);
        // At a joint the earlier edge answers; before the first edge, the last one.
        let near = after.saturating_sub(2)..edges.len().min(after + 1);
        let ends = [0, edges.len().saturating_sub(1)];
        near.chain(ends)
            .filter_map(|index| edges.get(index))
            .find(|edge| ring.wrapped(along - edge.span.from) <= edge.span.length)
    }
}

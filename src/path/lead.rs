//! Where a finishing lap starts, and the arcs that lead to it and away: on a straight where
//! there is one, and only where they keep clear of the template.
//!
//! ```text
//!    in .             . out       arcs that touch the finished line where the lap starts and where
//!        ' .       . '            it ends, a little past its start; as far out as the lap takes
//!    - - - -' - - ' - - - -
//!    ________ edge ________
//! ```
//!
//! Common practice, no source; how far an arc swings: geometry.

use super::contour::Edge;
use super::walk::Lift;
use crate::geom::{Bounds, Loop, Piece, Point};

/// How far the finishing lap goes on past its start, in mm (from memory).
const OVERLAP: f64 = crate::shop::defaults::LAP_PAST_START.value;
/// The radius of the lead arcs, in mm (from memory); where there is no room, the smaller ones.
const RADII: [f64; 3] = [20.0, 5.0, 2.0];
/// The same where a lap has several runs: shorter ones, as tabs must stand between them.
const RUN_RADII: [f64; 2] = [5.0, 2.0];
/// A straight this long is chosen before any other piece, in mm (from memory).
const LONG: f64 = 20.0;
/// A start nearer than this to a clamp is beside it, in mm (from memory).
const BESIDE: f64 = 30.0;
/// How far from the line of the rough laps a lead may begin: what it then cuts beside them is
/// little, in mm (from memory).
const OFF_ROUGH: f64 = 0.6;
/// Where along a lead arc is looked: often near its touch, where an edge that bends away hardly
/// yet does.
const LOOKS: [f64; 13] =
    [0.0, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 0.95, 0.98, 1.0];
/// A lead is tangent to its run this far inside its end, in mm (geometry: rounding; the end may
/// be a corner).
const INSIDE: f64 = 1e-6;
/// How many pieces are tried, the longest first.
const TRIED: usize = 12;
/// How much nearer than its radius the mill may come to the template on a lead, in mm
/// (geometry: rounding).
const ROUNDING: f64 = 1e-6;

/// Where a finishing lap starts and ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lead {
    /// Where the mill first touches the finished line.
    pub at: f64,
    /// How far before it the lead-in starts.
    pub before: f64,
    /// How far after it the lead-out ends.
    pub after: f64,
    /// The radius of the arcs, where there is room for them.
    radius: Option<f64>,
    /// What the lap takes: so far out the arcs begin and end.
    allowance: f64,
}

/// What a lead keeps clear of, and how far it swings.
#[derive(Clone, Copy)]
pub(super) struct Room<'a> {
    pub edges: &'a [Edge],
    pub clamps: &'a [Bounds],
    /// The mill's radius.
    pub mill: f64,
    pub allowance: f64,
}

/// The lead of a contour round these edges, for a mill of this radius.
/// It starts away from what must be kept clear of, where it can.
pub(super) fn lead(ring: &Loop, room: Room<'_>, within: Option<Lift>) -> Lead {
    let mut order: Vec<usize> = (0..ring.pieces().len()).collect();
    let length = |index: usize| ring.pieces()[index].length();
    let late =
        |index: usize| ring.pieces()[index].radius().is_some() || length(index) < LONG;
    order.sort_by(|&a, &b| late(a).cmp(&late(b)).then(length(b).total_cmp(&length(a))));
    let over = overlap(ring);
    let mut places: Vec<f64> = order
        .iter()
        .take(TRIED)
        .map(|&index| ring.wrapped(ring.start_of(index) + (length(index) - over) / 2.0))
        .collect();
    let beside = |&at: &f64| {
        let near = |area: &Bounds| area.distance_squared(ring.at(at)) < BESIDE * BESIDE;
        room.clamps.iter().any(near)
    };
    if let Some(run) = within {
        let holds = |at: &f64| ring.wrapped(at - run.from) <= run.length - over;
        places.retain(holds);
        places.push(ring.wrapped(run.from + run.length / 2.0));
    }
    places.sort_by_key(beside);
    let allowance = room.allowance;
    let leads = places.iter().flat_map(|&at| {
        RADII.map(|radius| {
            let reach = swing(radius, allowance);
            let (before, after) = (reach, over + reach);
            Lead { at, before, after, radius: Some(radius), allowance }
        })
    });
    let free = leads.into_iter().find(|lead| lead.is_clear(ring, &room));
    free.unwrap_or(Lead {
        at: places[0],
        before: 0.0,
        after: over,
        radius: None,
        allowance,
    })
}

/// How far along the edge the lead of a run reaches at most.
pub(super) fn run_reach(allowance: f64) -> f64 {
    swing(RUN_RADII[0].max(allowance), allowance)
}

/// How far along the edge an arc of this radius swings out by the allowance.
fn swing(radius: f64, allowance: f64) -> f64 {
    (2.0 * radius * allowance - allowance * allowance).max(0.0).sqrt()
}

/// An arc that leads onto a ring at a place, tangent to it; `None` where none keeps clear, or
/// where it would begin far from the line of the rough laps.
pub(super) fn swing_in(
    (ring, at): (&Loop, f64),
    room: &Room<'_>,
    rough: &Loop,
) -> Option<Piece> {
    let touch = ring.at(at);
    let out = ring.direction_after(at + INSIDE).right();
    arc_clear_of(room, rough, |radius, turn| {
        let arc = Piece::arc_about(touch + out * radius, touch, turn).reversed();
        (arc, arc.from())
    })
}

/// An arc that leads away from a ring at a place, likewise.
pub(super) fn swing_out(
    (ring, at): (&Loop, f64),
    room: &Room<'_>,
    rough: &Loop,
) -> Option<Piece> {
    let touch = ring.at(at);
    let out = ring.direction_before(at - INSIDE).right();
    arc_clear_of(room, rough, |radius, turn| {
        let arc = Piece::arc_about(touch + out * radius, touch, -turn);
        (arc, arc.to())
    })
}

/// The first of the lead arcs, each with its end off the edge, that is clear of every edge and
/// has that end where the rough laps have been.
fn arc_clear_of(
    room: &Room<'_>,
    rough: &Loop,
    arc: impl Fn(f64, f64) -> (Piece, Point),
) -> Option<Piece> {
    let fits = |(arc, off): &(Piece, Point)| {
        let far = rough.at(rough.nearest(*off)).distance(*off);
        far <= OFF_ROUGH && room.is_clear(arc)
    };
    let radii = RUN_RADII.into_iter().filter(|radius| room.allowance < *radius);
    let arcs = radii.map(|radius| arc(radius, libm::acos(1.0 - room.allowance / radius)));
    arcs.into_iter().find(fits).map(|(arc, _)| arc)
}

/// How far a finishing lap goes on past its start.
pub(super) fn overlap(ring: &Loop) -> f64 {
    OVERLAP.min(ring.length() / 4.0)
}

impl Lead {
    /// The arc that leads in and the one that leads out, tangent to the contour, from the line
    /// of the rough laps and back to it.
    pub(super) fn arcs(&self, ring: &Loop) -> Option<(Piece, Piece)> {
        let radius = self.radius?;
        let turn = libm::acos(1.0 - self.allowance / radius);
        let touch = ring.at(self.at);
        let centre = touch + ring.direction_after(self.at).right() * radius;
        let lead_in = Piece::arc_about(centre, touch, turn).reversed();
        let end = self.at + overlap(ring);
        let leave = ring.at(end);
        let centre = leave + ring.direction_before(end).right() * radius;
        Some((lead_in, Piece::arc_about(centre, leave, -turn)))
    }

    /// Where a lap the other way round starts, on the loop turned round.
    pub(super) fn start_back(&self, ring: &Loop) -> f64 {
        ring.wrapped(ring.length() - self.at - overlap(ring))
    }

    fn is_clear(&self, ring: &Loop, room: &Room<'_>) -> bool {
        let arcs = self.arcs(ring);
        arcs.is_some_and(|(lead_in, lead_out)| {
            room.is_clear(&lead_in) && room.is_clear(&lead_out)
        })
    }
}

impl Room<'_> {
    /// Whether the mill cuts into no edge along an arc.
    fn is_clear(&self, arc: &Piece) -> bool {
        let clear = |point: Point| {
            self.edges.iter().all(|edge| {
                let near = edge.ring.at(edge.ring.nearest(point));
                self.mill - ROUNDING <= near.distance(point)
            })
        };
        LOOKS.iter().all(|&share| clear(arc.at(share)))
    }
}

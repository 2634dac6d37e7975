//! Where a finishing lap starts, and the arcs that lead to it and away: on a straight where
//! there is one, and only where they keep clear of the template.

use super::contour::{ALLOWANCE, Edge};
use crate::geom::{Bounds, Loop, Piece, Point};

/// How far the finishing lap goes on past its start, in mm (from memory).
const OVERLAP: f64 = crate::shop::defaults::LAP_PAST_START.value;
/// The radius of the lead arcs, in mm (from memory); where there is no room, the smaller ones.
const RADII: [f64; 3] = [20.0, 5.0, 2.0];
/// A straight this long is chosen before any other piece, in mm (from memory).
const LONG: f64 = 20.0;
/// A start nearer than this to a clamp is beside it, in mm (from memory).
const BESIDE: f64 = 30.0;
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
}

/// The lead of a contour round these edges, for a mill of this radius.
/// It starts away from what must be kept clear of, where it can.
pub(super) fn lead(
    ring: &Loop,
    edges: &[Edge],
    (mill, clamps): (f64, &[Bounds]),
) -> Lead {
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
        clamps.iter().any(|area| area.distance_squared(ring.at(at)) < BESIDE * BESIDE)
    };
    places.sort_by_key(beside);
    let leads = places.iter().flat_map(|&at| {
        RADII.map(|radius| {
            let reach = (2.0 * radius * ALLOWANCE - ALLOWANCE * ALLOWANCE).sqrt();
            Lead { at, before: reach, after: over + reach, radius: Some(radius) }
        })
    });
    let free = leads.into_iter().find(|lead| lead.is_clear(ring, edges, mill));
    free.unwrap_or(Lead { at: places[0], before: 0.0, after: over, radius: None })
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
        let turn = libm::acos(1.0 - ALLOWANCE / radius);
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

    fn is_clear(&self, ring: &Loop, edges: &[Edge], mill: f64) -> bool {
        let Some((lead_in, lead_out)) = self.arcs(ring) else { return false };
        let clear = |point: Point| {
            edges.iter().all(|edge| {
                let near = edge.ring.at(edge.ring.nearest(point));
                mill - ROUNDING <= near.distance(point)
            })
        };
        let points =
            [lead_in, lead_out].map(|arc| [0.0, 0.25, 0.5, 0.75, 1.0].map(|t| arc.at(t)));
        points.iter().flatten().all(|&point| clear(point))
    }
}

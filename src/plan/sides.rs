//! Where wood would stand on both sides of the bit: walls so near to each other that, with
//! the waste still on them, the bit does not go between.

use super::atom::Bitten;
use crate::geom::{Bounds, Loop, Point, Span, Vector};
use crate::outline::Outline;
use crate::read::Role;

/// Walls that face each other within this much of straight across, as a cosine (150 degrees;
/// from memory): an inside corner is not a slot.
const ACROSS: f64 = -0.866;
/// Two directions that are no farther than this from a third, as a cosine, are not across: half
/// of the angle (geometry).
const HALF_ACROSS: f64 = 0.259;
/// How far apart the places are that are looked at, in mm (from memory).
const STEP: f64 = 1.0;
/// How finely a border is found, in mm.
const FINE: f64 = 1e-3;

/// Whether wood would stand on both sides of the bit as it cuts at a place on a loop.
///
/// An opening or slot between D and D + 2 × waste wide is that.
pub(super) fn both(guide: &Outline, place: (usize, f64), bit: Bitten) -> bool {
    let (on, along) = place;
    let ring = &guide.loops[on];
    let (index, _) = ring.place(along);
    let point = ring.at(along);
    let out = ring.direction_after(along).right();
    let centre = point + out * bit.radius;
    let room = bit.radius + 2.0 * bit.waste;
    let mut walls = vec![Wall { on, index, way: -out, far: bit.radius, along: None }];
    let area = Bounds { low: centre, high: centre }.grown(room);
    for (on, ring) in guide.loops.iter().enumerate() {
        ring.meeting(&area, |index| {
            walls.extend(wall(ring, (on, index), (centre, room)));
        });
    }
    let room_for_both = 2.0 * (bit.radius + bit.waste);
    let routed = |wall: &Wall| {
        wall.along.is_none_or(|along| guide.role_at(wall.on, along) == Role::Rout)
    };
    // Of two that face each other one is beyond: mostly none is, and no pair need be looked at.
    let beyond = walls.iter().filter(|wall| wall.way.dot(-out) < HALF_ACROSS);
    beyond.filter(|one| routed(one)).any(|one| {
        walls.iter().any(|other| {
            (one.on, one.index) != (other.on, other.index)
                && one.way.dot(other.way) < ACROSS
                && one.far + other.far < room_for_both
                && routed(other)
        })
    })
}

/// A wall near the bit.
struct Wall {
    /// Its piece: of which loop, and which.
    on: usize,
    index: usize,
    /// The way to it from the bit's centre.
    way: Vector,
    /// How far it is.
    far: f64,
    /// Where its role is looked up; nowhere for the one that the bit cuts.
    along: Option<f64>,
}

/// A piece as a wall with waste on it, if it is near and faces the bit.
fn wall(
    ring: &Loop,
    (on, index): (usize, usize),
    (centre, room): (Point, f64),
) -> Option<Wall> {
    let piece = &ring.pieces()[index];
    let t = piece.nearest(centre);
    let to = piece.at(t) - centre;
    let (way, far) = (to.unit()?, to.length());
    let faces = 0.0 < piece.direction(t).left().dot(way);
    let along = Some(ring.start_of(index) + piece.length() / 2.0);
    (faces && far < room).then_some(Wall { on, index, way, far, along })
}

/// Where along a run of edge, from its start, wood begins or ceases to stand on both sides.
pub(super) fn borders(guide: &Outline, span: &Span, bit: Bitten) -> Vec<f64> {
    let at = |offset: f64| both(guide, (span.on, span.from + offset), bit);
    let mut borders = Vec::new();
    let mut from = FINE.min(span.length / 2.0);
    let mut before = at(from);
    while from < span.length - FINE {
        let to = (from + STEP).min(span.length - FINE);
        let now = at(to);
        if now != before {
            borders.push(border_between(&at, from, to));
            before = now;
        }
        from = to;
    }
    borders
}

/// Halves the way between two places that differ until the border is known finely.
fn border_between(at: &dyn Fn(f64) -> bool, from: f64, to: f64) -> f64 {
    let (mut low, mut high) = (from, to);
    let here = at(low);
    while FINE < high - low {
        let middle = f64::midpoint(low, high);
        if at(middle) == here {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

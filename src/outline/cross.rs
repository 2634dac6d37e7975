//! Where the pieces of loops meet that should not: crossings and touches.
//!
//! ```text
//!      a   b       a \   / b
//!       \ /           ) (       looked at just before and just after the point: where b leaves a
//!        x            )(        on the other side than it came, they cross; else they touch
//!       / \           ) (
//!      b   a       a /   \ b
//! ```
//!
//! Every pair of pieces with boxes that meet is tried. A contact is a crossing of the two carriers
//! within both, an end of one on the other, or a place where they come nearer than the kernel joins
//! ends. Joints of neighbours are no contacts.
//!
//! Geometry.

use super::ring::{Bit, ShapedRing};
use super::strand::{MOST_TOLD, Report};
use crate::diag::Problem;
use crate::geom::tolerance::{JOIN_ENDS, REPAIR};
use crate::geom::{Bounds, Grid, Loop, Piece, Point, Tree, Vector};
use std::f64::consts::TAU;

/// How two pieces meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Contact {
    Crosses,
    Touches,
}

/// Two places of one loop nearer to each other than this along it, in mm, are the joint between two
/// neighbours (from memory).
const AT_JOINT: f64 = 1e-4;
/// By rounding, smooth neighbours meet near their joint at no more than this, in radians (from
/// memory).
const GRAZING: f64 = 1e-4;
/// So near to their joint, in mm, smooth neighbours do (from memory).
const NEAR_JOINT: f64 = 1.0;
/// How far from a contact the sides are judged, in mm (from memory).
const LOOK: f64 = 1e-3;
/// Ways at a contact that differ by no more than this, in radians, lie on each other (from memory).
const ALIKE: f64 = 1e-3;
/// Lines are parallel where the sine of the angle between them is no more (from memory).
const PARALLEL: f64 = 1e-12;

/// Refuses every place where these rings cross or touch themselves or each other.
pub(super) fn refuse_contacts(rings: &[ShapedRing], report: &mut Report) {
    let loops: Vec<Loop> = rings.iter().map(ShapedRing::fitted).collect();
    let bits: Vec<(usize, usize, Bit<'_>)> = rings
        .iter()
        .enumerate()
        .flat_map(|(on, ring)| {
            ring.bits().into_iter().enumerate().map(move |(index, bit)| (on, index, bit))
        })
        .collect();
    if bits.is_empty() {
        return;
    }
    let boxes: Vec<Bounds> =
        bits.iter().map(|(.., bit)| bit.piece.bounds().grown(JOIN_ENDS)).collect();
    let tree = Tree::new(boxes.iter().copied());
    let mut told: Vec<Point> = Vec::new();
    let mut told_at = Grid::new(REPAIR);
    for (i, &(on, index, a)) in bits.iter().enumerate() {
        let first = Walked { ring: &loops[on], index, piece: a.piece };
        tree.meeting(&boxes[i], |j| {
            if j <= i {
                return;
            }
            let (other_on, other_index, b) = bits[j];
            let second =
                Walked { ring: &loops[other_on], index: other_index, piece: b.piece };
            for point in meetings(&a.piece, &b.piece) {
                let Some(contact) = contact(point, &first, &second) else { continue };
                let spot = Bounds { low: point, high: point };
                let mut seen = false;
                told_at.look(&spot.grown(REPAIR), |at: Point| {
                    seen |= at.distance(point) <= REPAIR;
                });
                if seen {
                    continue;
                }
                told_at.add(&spot, point);
                told.push(point);
                if told.len() <= MOST_TOLD {
                    let at = report.point(point);
                    let place = a.strand.place_at(point);
                    report.stop(problem(contact, &at, (&a, &b)).at(place));
                }
            }
        });
    }
    if let Some(&at) = told.get(MOST_TOLD) {
        let found = format!(
            "{} more places where lines meet, the next at {}",
            told.len() - MOST_TOLD,
            report.point(at)
        );
        let hint = "correct the first ones and look again";
        let place = rings[0].first().place_at(at);
        report.stop(Problem::stop("outline-more-contacts", found, hint).at(place));
    }
}

/// What is said of a contact.
fn problem(contact: Contact, at: &str, (a, b): (&Bit<'_>, &Bit<'_>)) -> Problem {
    let (one, other) = (a.strand.called(), b.strand.called());
    match contact {
        Contact::Crosses => Problem::stop(
            "outline-crosses",
            format!("{one} crosses {other} at {at}"),
            "move one of them, or unite the shapes in the drawing, so that no line crosses",
        ),
        Contact::Touches => Problem::stop(
            "outline-touches",
            format!("{one} touches {other} at {at}: no wood is left between"),
            "move one of them away, or cut one through into the other in the drawing",
        ),
    }
    .expected("lines that meet only end to end")
}

/// A piece on its loop.
struct Walked<'a> {
    ring: &'a Loop,
    index: usize,
    piece: Piece,
}

impl Walked<'_> {
    /// How far along its loop the place of the piece nearest to a point is.
    fn along(&self, point: Point) -> f64 {
        self.ring.start_of(self.index) + self.piece.nearest(point) * self.piece.length()
    }

    /// The direction of travel there.
    fn direction(&self, point: Point) -> Vector {
        self.piece.direction(self.piece.nearest(point))
    }

    /// Whether `next` follows it on the same loop.
    fn is_before(&self, next: &Self) -> bool {
        (self.index + 1) % self.ring.pieces().len() == next.index
    }

    /// How far `point` is from a joint of the two, if they are neighbours.
    fn joint_distance(&self, other: &Self, point: Point) -> f64 {
        let mut near = f64::INFINITY;
        if self.is_before(other) {
            near = near.min(self.piece.to().distance(point));
        }
        if other.is_before(self) {
            near = near.min(other.piece.to().distance(point));
        }
        near
    }

    /// Whether one of two neighbours goes back over the other.
    fn folds(&self, other: &Self) -> bool {
        let back = |a: &Self, b: &Self| {
            a.is_before(b) && a.piece.direction(1.0).dot(b.piece.direction(0.0)) < 0.0
        };
        back(self, other) || back(other, self)
    }
}

/// How a point where two pieces meet is to be taken; `None` for the joint of neighbours.
fn contact(point: Point, a: &Walked<'_>, b: &Walked<'_>) -> Option<Contact> {
    let (along, other_along) = (a.along(point), b.along(point));
    if std::ptr::eq(a.ring, b.ring) {
        let apart = (along - other_along).rem_euclid(a.ring.length());
        let apart = apart.min(a.ring.length() - apart);
        let from_joint = a.joint_distance(b, point);
        let angle = a.direction(point).cross(b.direction(point)).abs();
        // Rounding of a smooth joint is no contact; going back over a neighbour is.
        let grazing = angle <= GRAZING && from_joint < NEAR_JOINT && !a.folds(b);
        if apart <= AT_JOINT || from_joint <= AT_JOINT || grazing {
            return None;
        }
    }
    Some(sides(point, (a.ring, along), (b.ring, other_along)))
}

/// Crossing where the ways of the two loops at `point` part each other, else touching.
fn sides(point: Point, a: (&Loop, f64), b: (&Loop, f64)) -> Contact {
    let ways = |(ring, along): (&Loop, f64)| {
        [ring.at(along - LOOK), ring.at(along + LOOK)].map(|p| (p - point).angle())
    };
    let ([back, on], [other_back, other_on]) = (ways(a), ways(b));
    let sector = (on - back).rem_euclid(TAU);
    let inside = |angle: f64| {
        let way = (angle - back).rem_euclid(TAU);
        // A way along the other's own way is an overlap, and no crossing.
        let off = way.min(TAU - way).min((way - sector).abs());
        (ALIKE < off).then_some(way < sector)
    };
    match (inside(other_back), inside(other_on)) {
        (Some(one), Some(two)) if one != two => Contact::Crosses,
        _ => Contact::Touches,
    }
}

/// The points at which two pieces meet, or come nearer than ends are joined.
fn meetings(a: &Piece, b: &Piece) -> Vec<Point> {
    let mut found = match (carrier(a), carrier(b)) {
        (Carrier::Line(p, v), Carrier::Line(q, w)) => lines((p, v), (q, w)),
        (Carrier::Line(p, v), Carrier::Circle(c, r))
        | (Carrier::Circle(c, r), Carrier::Line(p, v)) => line_and_circle((p, v), (c, r)),
        (Carrier::Circle(c, r), Carrier::Circle(d, s)) => circles((c, r), (d, s)),
    };
    found.extend([a.from(), a.to(), b.from(), b.to()]);
    found.retain(|&p| a.distance(p) <= JOIN_ENDS && b.distance(p) <= JOIN_ENDS);
    found
}

/// A piece without its ends.
enum Carrier {
    Line(Point, Vector),
    Circle(Point, f64),
}

/// What a piece lies on.
fn carrier(piece: &Piece) -> Carrier {
    match *piece {
        Piece::Line { from, .. } => Carrier::Line(from, piece.direction(0.0)),
        Piece::Arc { centre, from, .. } => Carrier::Circle(centre, from.distance(centre)),
    }
}

/// The crossing of two lines, unless they are parallel.
fn lines((p, v): (Point, Vector), (q, w): (Point, Vector)) -> Vec<Point> {
    let turn = v.cross(w);
    if turn.abs() <= PARALLEL {
        Vec::new()
    } else {
        vec![p + v * ((q - p).cross(w) / turn)]
    }
}

/// The crossings, or the nearest place where there is none.
fn line_and_circle((p, v): (Point, Vector), (c, r): (Point, f64)) -> Vec<Point> {
    let foot = p + v * (c - p).dot(v);
    let off = foot.distance(c);
    let half = (r - off) * (r + off);
    let mut found = vec![foot];
    if 0.0 < half {
        found = vec![foot + v * half.sqrt(), foot - v * half.sqrt()];
    }
    found
}

/// The crossings, and the places on the line of centres.
fn circles((c, r): (Point, f64), (d, s): (Point, f64)) -> Vec<Point> {
    let way = d - c;
    let Some(unit) = way.unit() else { return Vec::new() };
    let apart = way.length();
    // The line on which the circles meet: its distance from the first centre, by a product that
    // keeps the digits of radii that are nearly alike.
    let along = f64::midpoint(apart, (r - s) * (r + s) / apart);
    let half = (r - along) * (r + along);
    let mut found = vec![c + unit * r, c - unit * r];
    if 0.0 < half {
        let foot = c + unit * along;
        found
            .extend([foot + unit.left() * half.sqrt(), foot - unit.left() * half.sqrt()]);
    }
    found
}

//! The steps of setting out: which points, which lines through them, in the order of the
//! fewest settings.

use super::reading::{Reading, Rule};
use crate::geom::{Bounds, Loop, Piece, Point};
use crate::outline::Outline;
use crate::read::Role;

/// One step with the pencil.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Step {
    /// The rule laid once from the reference end: marks squared across, each with the points
    /// that lie on it.
    Running(Vec<(Reading, Vec<usize>)>),
    /// The gauge set once: a line from the reference edge and, with the same setting, one from
    /// the far edge, each with its points.
    Gauge { setting: Reading, near: Vec<usize>, far: Vec<usize> },
    /// The middle: gauged from both edges with one setting.
    Centre { setting: Reading, points: Vec<usize> },
    /// An edge of the stock that stands as it is.
    Stands { ends: [usize; 2] },
    /// A straight line through two points.
    Join { ends: [usize; 2], square_to: Option<[usize; 2]> },
    /// An arc by its centre.
    Arc { ends: [usize; 2], centre: usize, radius: Reading },
    /// A curve by points for a batten.
    Batten { through: Vec<usize>, radius: Reading },
}

/// A part set out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SetOut {
    /// Every point with its two readings: from the end and from the edge.
    pub(super) points: Vec<[Reading; 2]>,
    /// Where each point truly lies, from the reference corner.
    pub(super) truly: Vec<Point>,
    /// The construction steps, then the lines to be cut in the order of the outline.
    pub(super) steps: Vec<Step>,
    /// The stock's width, from edge to edge.
    pub(super) width: f64,
    /// Whether the far edge is true and parallel to the reference edge.
    pub(super) far_is_true: bool,
    /// The end that sizes run from.
    pub(super) end: End,
    /// Where the drawing lies.
    bounds: Bounds,
}

/// An end of the part as drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    Left,
    Right,
}

/// Points for a batten along a curve, besides its ends.
const BATTEN_POINTS: u32 = 3;

/// A straight piece is along or square to the reference edge within this, in mm of its ends.
pub(super) const LEVEL: f64 = 1e-6;

/// Sets out a part.
pub(super) fn set_out(outline: &Outline, rule: Rule) -> SetOut {
    let bounds = outline.bounds();
    let mut made = SetOut {
        points: Vec::new(),
        truly: Vec::new(),
        steps: Vec::new(),
        width: bounds.height(),
        far_is_true: far_is_true(outline, bounds),
        end: reference_end(outline, bounds),
        bounds,
    };
    let mut drawn = Vec::new();
    for (on, ring) in outline.loops.iter().enumerate() {
        let pieces = ring.pieces();
        for (index, piece) in pieces.iter().enumerate() {
            let ends = [made.point(rule, piece.from()), made.point(rule, piece.to())];
            let middle = ring.start_of(index) + piece.length() / 2.0;
            let stands = outline.role_at(on, middle) != Role::Rout;
            drawn.push(if stands && piece.radius().is_none() {
                Step::Stands { ends }
            } else {
                line_of(&mut made, rule, (bounds, ring, index), ends)
            });
        }
    }
    made.construct(rule);
    made.steps.extend(drawn);
    made
}

impl SetOut {
    /// A point of the drawing as it lies from the reference end and the reference edge.
    pub(super) fn laid(&self, at: Point) -> Point {
        let Bounds { low, high } = self.bounds;
        let along = match self.end {
            End::Left => at.x - low.x,
            End::Right => high.x - at.x,
        };
        Point::new(along, at.y - low.y)
    }

    /// Where a point that is laid out lies on the drawing.
    pub(super) fn drawn(&self, at: Point) -> Point {
        let Bounds { low, high } = self.bounds;
        let x = match self.end {
            End::Left => low.x + at.x,
            End::Right => high.x - at.x,
        };
        Point::new(x, low.y + at.y)
    }

    /// The number of a point, which is made if it is not there.
    fn point(&mut self, rule: Rule, at: Point) -> usize {
        let at = self.laid(at);
        let known = self.truly.iter().position(|other| other.distance(at) < LEVEL);
        known.unwrap_or_else(|| {
            self.truly.push(at);
            self.points.push([rule.read(at.x), rule.read(at.y)]);
            self.truly.len() - 1
        })
    }

    /// The lines through the points: one placing of the rule, then each setting of the gauge
    /// once.
    fn construct(&mut self, rule: Rule) {
        let mut running: Vec<(Reading, Vec<usize>)> = Vec::new();
        let mut gauged: Vec<(Reading, Vec<usize>, Vec<usize>)> = Vec::new();
        let mut order: Vec<usize> = (0..self.points.len()).collect();
        order.sort_by_key(|&point| self.points[point]);
        for point in order {
            let [x, y] = self.points[point];
            match running.iter_mut().find(|mark| mark.0 == x) {
                Some(mark) => mark.1.push(point),
                None => running.push((x, vec![point])),
            }
            let from_far = rule.read(self.width - self.truly[point].y);
            let far = self.far_is_true && from_far < y;
            let setting = if far { from_far } else { y };
            let index = gauged.iter().position(|line| line.0 == setting);
            let index = index.unwrap_or_else(|| {
                gauged.push((setting, Vec::new(), Vec::new()));
                gauged.len() - 1
            });
            let line = &mut gauged[index];
            if far { line.2.push(point) } else { line.1.push(point) }
        }
        self.steps.push(Step::Running(running));
        gauged.sort_by_key(|line| line.0);
        let middle = self.width / 2.0;
        for (setting, near, far) in gauged {
            let in_middle = |&point: &usize| (self.truly[point].y - middle).abs() < LEVEL;
            let is_centre = self.far_is_true && near.iter().chain(&far).all(in_middle);
            if is_centre {
                let points = near.into_iter().chain(far).collect();
                self.steps.push(Step::Centre { setting, points });
            } else {
                // A setting of nothing is the edge itself: a place to know, not a line.
                self.steps.push(Step::Gauge { setting, near, far });
            }
        }
    }
}

/// The end that is not cut: the left one, unless only the right one is there already.
fn reference_end(outline: &Outline, bounds: Bounds) -> End {
    let stands = |x: f64| {
        outline.edges.iter().any(|edge| {
            let ring = &outline.loops[edge.span.on];
            let ends = [edge.span.from, edge.span.from + edge.span.length];
            edge.role != Role::Rout
                && ends.iter().all(|&along| (ring.at(along).x - x).abs() < LEVEL)
        })
    };
    if stands(bounds.high.x) && !stands(bounds.low.x) { End::Right } else { End::Left }
}

/// Whether the stock's far edge is there to gauge from: a true edge along the whole top.
fn far_is_true(outline: &Outline, bounds: Bounds) -> bool {
    outline.edges.iter().any(|edge| {
        let ring = &outline.loops[edge.span.on];
        let (from, to) =
            (ring.at(edge.span.from), ring.at(edge.span.from + edge.span.length));
        let on_top = |at: Point| (bounds.high.y - at.y).abs() < LEVEL;
        edge.role == Role::TrueAlready && on_top(from) && on_top(to)
    })
}

/// How one piece of the outline is drawn.
fn line_of(
    made: &mut SetOut,
    rule: Rule,
    (bounds, ring, index): (Bounds, &Loop, usize),
    ends: [usize; 2],
) -> Step {
    let piece = ring.pieces()[index];
    let (Piece::Arc { centre, .. }, Some(radius)) = (piece, piece.radius()) else {
        let square_to = square_to(ring, index).map(|other| {
            let piece = ring.pieces()[other];
            [piece.from(), piece.to()].map(|at| made.point(rule, at))
        });
        return Step::Join { ends, square_to };
    };
    // A compass stands on the bench beside the part, not across the room.
    let near = bounds.grown(bounds.width().max(bounds.height()) / 2.0);
    if near.distance_squared(centre) <= 0.0 {
        let centre = made.point(rule, centre);
        return Step::Arc { ends, centre, radius: rule.read(radius) };
    }
    let inner = (1..=BATTEN_POINTS)
        .map(|place| piece.at(f64::from(place) / f64::from(BATTEN_POINTS + 1)));
    let inner: Vec<usize> = inner.map(|at| made.point(rule, at)).collect();
    let through = [ends[0]].into_iter().chain(inner).chain([ends[1]]).collect();
    Step::Batten { through, radius: rule.read(radius) }
}

/// The slope before or behind a straight piece that it stands square to, if it is no line
/// along or across the stock.
fn square_to(ring: &Loop, index: usize) -> Option<usize> {
    /// A right angle, to this sine of what is missing (from memory).
    const RIGHT: f64 = 1e-6;
    let pieces = ring.pieces();
    let way = pieces[index].direction(0.5);
    if way.x.abs().min(way.y.abs()) < RIGHT {
        return None;
    }
    let next = (index + 1) % pieces.len();
    let shorter = |&other: &usize| pieces[index].length() <= pieces[other].length();
    [ring.before(index), next].into_iter().filter(shorter).find(|&other| {
        let piece = pieces[other];
        piece.radius().is_none() && piece.direction(0.5).dot(way).abs() < RIGHT
    })
}

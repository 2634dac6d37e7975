//! The steps of setting out: which points, which lines through them, in the order of the
//! fewest settings.

use super::curves::{self, Curves};
use super::reading::{Reading, Rule};
use crate::geom::{Bounds, Grid, Loop, Piece, Point};
use crate::outline::Outline;
use crate::read::Role;
use crate::shop::{Reference, Sides};

/// A light line, or several made with one setting.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Light {
    /// The rule laid once from the reference end: marks squared across, each with the points
    /// that lie on it.
    Running(Vec<(Reading, Vec<usize>)>),
    /// The gauge set once: a line from the reference edge and, with the same setting, one from
    /// the other edge, each with its points.
    Gauge { setting: Reading, near: Vec<usize>, far: Vec<usize> },
    /// The middle: gauged from both edges with one setting.
    Centre { setting: Reading, points: Vec<usize> },
    /// A centre beside the stock.
    Beside { point: usize },
}

/// How a line of the outline comes to be.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum How {
    /// An edge of the stock that stands as it is.
    Stands,
    /// A straight line through its two points; square to a slope, where that is named.
    Join { square_to: Option<[usize; 2]> },
    /// An arc by its centre.
    Arc { centre: usize, radius: Reading },
    /// A curve by points for a batten, with its radius if it has one.
    Batten { inner: Vec<usize>, radius: Option<Reading> },
    /// Too many short lines and arcs to lay out.
    Traced,
}

/// A line of the outline.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    /// How it comes to be.
    pub(super) how: How,
    /// The points it runs between.
    pub(super) ends: [usize; 2],
    /// What it stands for on the drawing.
    pub(super) pieces: Vec<Piece>,
}

/// A part set out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SetOut {
    /// The rule it is read with.
    pub(super) rule: Rule,
    /// Every point with its two readings: from the end and from the edge.
    pub(super) points: Vec<[Reading; 2]>,
    /// Where each point truly lies, from the reference corner.
    pub(super) truly: Vec<Point>,
    /// The construction steps.
    pub(super) light: Vec<Light>,
    /// The outline, line by line.
    pub(super) lines: Vec<Line>,
    /// The stock's length and width.
    pub(super) size: (f64, f64),
    /// Whether the other edge is true and parallel to the reference edge.
    pub(super) far_is_true: bool,
    /// The sides that sizes run from.
    pub(super) sides: Sides,
    /// Where the drawing lies.
    bounds: Bounds,
    /// The points by where they truly lie.
    places: Grid<usize>,
}

/// A straight piece is along or square to the reference edge within this, in mm of its ends.
pub(super) const LEVEL: f64 = 1e-6;

/// Points are looked for by squares of this side, in mm.
const SQUARE: f64 = 1.0;

/// Sets out a part.
pub(super) fn set_out(outline: &Outline, reference: Reference, rule: Rule) -> SetOut {
    let bounds = outline.bounds();
    let sides = reference.of(outline);
    let mut made = SetOut {
        rule,
        points: Vec::new(),
        truly: Vec::new(),
        light: Vec::new(),
        lines: Vec::new(),
        size: (bounds.width(), bounds.height()),
        far_is_true: other_is_true(outline, bounds, sides),
        sides,
        bounds,
        places: Grid::new(SQUARE),
    };
    for (on, (ring, drawn)) in outline.loops.iter().zip(&outline.drawn).enumerate() {
        let curves = Curves::new(ring, drawn, (bounds, sides), rule);
        for pieces in curves.lines() {
            let middle =
                ring.start_of(pieces[0]) + ring.pieces()[pieces[0]].length() / 2.0;
            let stands = outline.role_at(on, middle) != Role::Rout;
            made.line((ring, &curves), &pieces, stands);
        }
    }
    made.construct();
    made
}

impl SetOut {
    /// A point of the drawing as it lies from the reference end and the reference edge.
    pub(super) fn laid(&self, at: Point) -> Point {
        let (along, across) = self.sides.sizes(self.bounds, at);
        Point::new(along, across)
    }

    /// Where a point that is laid out lies on the drawing.
    pub(super) fn drawn(&self, at: Point) -> Point {
        self.sides.back(self.bounds, at)
    }

    /// Whether a point lies beside the stock.
    pub(super) fn is_beside(&self, point: usize) -> bool {
        let (at, (long, wide)) = (self.truly[point], self.size);
        at.x.min(at.y).min(long - at.x).min(wide - at.y) < -LEVEL
    }

    /// How far a point as it is read lies from where it is.
    pub(super) fn off(&self, point: usize) -> f64 {
        let [x, y] = self.points[point].map(|reading| self.rule.mm(reading));
        Point::new(x, y).distance(self.truly[point])
    }

    /// The middle of the stock, from the reference corner.
    pub(super) fn middle(&self) -> Point {
        Point::new(self.size.0 / 2.0, self.size.1 / 2.0)
    }

    /// The points that the outline runs through.
    pub(super) fn on_outline(&self) -> Vec<usize> {
        let ends = self.lines.iter().flat_map(|line| line.ends);
        let mut points: Vec<usize> = ends.collect();
        points.sort_unstable();
        points.dedup();
        points
    }

    /// The number of a point, which is made if it is not there.
    fn point(&mut self, at: Point) -> usize {
        let at = self.laid(at);
        let here = Bounds { low: at, high: at };
        let mut known: Option<usize> = None;
        self.places.look(&here.grown(LEVEL), |other| {
            let earlier = known.is_none_or(|known| other < known);
            if earlier && self.truly[other].distance(at) < LEVEL {
                known = Some(other);
            }
        });
        known.unwrap_or_else(|| {
            self.places.add(&here, self.truly.len());
            self.truly.push(at);
            self.points.push([self.rule.read(at.x), self.rule.read(at.y)]);
            self.truly.len() - 1
        })
    }

    /// Adds the line that some pieces of a loop are drawn as.
    fn line(
        &mut self,
        (ring, curves): (&Loop, &Curves<'_>),
        run: &[usize],
        stands: bool,
    ) {
        let pieces: Vec<Piece> = run.iter().map(|&index| ring.pieces()[index]).collect();
        let (first, last) = (pieces[0], pieces[pieces.len() - 1]);
        let ends = [first.from(), last.to()].map(|at| self.point(at));
        let how = match (curves.line(run[0]), first) {
            _ if curves.is_traced() && 1 < run.len() => How::Traced,
            (curves::Line::Straight, _) if stands => How::Stands,
            (curves::Line::Straight, _) => {
                let square_to = square_to(ring, run[0]).map(|other| {
                    let piece = ring.pieces()[other];
                    [piece.from(), piece.to()].map(|at| self.point(at))
                });
                How::Join { square_to }
            }
            (curves::Line::Compass, Piece::Arc { centre, .. }) => {
                let radius = self.rule.read(first.radius().unwrap_or(0.0));
                How::Arc { centre: self.point(centre), radius }
            }
            _ => self.batten(curves, run, &pieces),
        };
        self.lines.push(Line { how, ends, pieces });
    }

    fn batten(&mut self, curves: &Curves<'_>, run: &[usize], pieces: &[Piece]) -> How {
        let mut points = curves.for_batten(run);
        if points.is_empty() {
            points = pieces.iter().map(|piece| piece.at(0.5)).collect();
        }
        let inner = points.into_iter().map(|at| self.point(at)).collect();
        let one = pieces.len() == 1;
        let radius =
            pieces[0].radius().filter(|_| one).map(|radius| self.rule.read(radius));
        How::Batten { inner, radius }
    }

    /// The lines through the points: one placing of the rule, then each setting of the gauge
    /// once. A line that can be gauged from either edge shares its setting with its like.
    fn construct(&mut self) {
        let rule = self.rule;
        let mut running: Vec<(Reading, Vec<usize>)> = Vec::new();
        let mut gauged: Vec<(Reading, [Vec<usize>; 2])> = Vec::new();
        let mut order: Vec<usize> = (0..self.points.len()).collect();
        order.sort_by_key(|&point| self.points[point]);
        let (beside, order): (Vec<usize>, Vec<usize>) =
            order.into_iter().partition(|&point| self.is_beside(point));
        for point in order {
            let [x, y] = self.points[point];
            entry(&mut running, x).push(point);
            let from_far = rule.read(self.size.1 - self.truly[point].y);
            let far = self.far_is_true && from_far < y;
            let lines = entry(&mut gauged, if far { from_far } else { y });
            lines[usize::from(far)].push(point);
        }
        self.light.push(Light::Running(running));
        gauged.sort_by_key(|line| line.0);
        for (setting, [near, far]) in gauged {
            let in_middle = |&point: &usize| {
                rule.read(self.size.1 - self.truly[point].y) == self.points[point][1]
            };
            let is_centre = self.far_is_true && near.iter().chain(&far).all(in_middle);
            self.light.push(if is_centre {
                let points = near.into_iter().chain(far).collect();
                Light::Centre { setting, points }
            } else {
                // A setting of nothing is the edge itself: a place to know, not a line.
                Light::Gauge { setting, near, far }
            });
        }
        self.light.extend(beside.into_iter().map(|point| Light::Beside { point }));
    }
}

/// What belongs to a reading, which is made if it is not there.
fn entry<T: Default>(all: &mut Vec<(Reading, T)>, reading: Reading) -> &mut T {
    let index = all.iter().position(|one| one.0 == reading).unwrap_or(all.len());
    if index == all.len() {
        all.push((reading, T::default()));
    }
    &mut all[index].1
}

/// Whether the stock's other edge is there to gauge from: a true edge along all of that side.
fn other_is_true(outline: &Outline, bounds: Bounds, sides: Sides) -> bool {
    let other = if sides.far { bounds.low.y } else { bounds.high.y };
    outline.edges.iter().any(|edge| {
        let ring = &outline.loops[edge.span.on];
        let (from, to) =
            (ring.at(edge.span.from), ring.at(edge.span.from + edge.span.length));
        let on_it = |at: Point| (other - at.y).abs() < LEVEL;
        edge.role == Role::TrueAlready && on_it(from) && on_it(to)
    })
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
    // Of two as long as each other the later one is squared off the earlier.
    let shorter = |&other: &usize| {
        let over = pieces[other].length() - pieces[index].length();
        RIGHT < over || over.abs() <= RIGHT && other < index
    };
    [ring.before(index), next].into_iter().filter(shorter).find(|&other| {
        let piece = pieces[other];
        piece.radius().is_none() && piece.direction(0.5).dot(way).abs() < RIGHT
    })
}

//! Which way round solid wood is finished: against the tooth, or with it where the grain asks
//! for that; and what of an edge nothing may finish.
//!
//! A move finishes an edge where its mill just touches it: with the part on its left it is
//! conventional, on its right a climb. The tooth runs along the walk with the part on the left
//! either way.
//!
//! ```text
//!    part | <- touch of the mill o going up: conventional, its tooth runs along the edge upwards;
//!      == |o ^                               with the mill going down it climbs, and the tooth
//!      == |                                  still runs upwards: phi is that of the edge
//! ```
//!
//! Geometry; what each feed bears: common practice, no source, figures from memory.

use super::cut::{Cut, LEFT, LEVEL};
use super::cuts::Cuts;
use super::distance::Shape;
use super::edge::Edges;
use super::promise::{Promise, Wood};
use super::relief::is_relief;
use super::tree::Forest;
use super::verdict::{Fault, Rule};
use crate::geom::{Point, Vector};
use crate::shop::defaults::{ALONG, END_GRAIN, MOST_GOUGE, RUN_SLACK};

/// A mill touches an edge that lies so near its rim, in mm: whatever passes for an edge that is
/// cut and not gouged (geometry; and a thousandth for rounding).
pub(super) const TOUCH: f64 =
    if LEFT < MOST_GOUGE.value { MOST_GOUGE.value } else { LEFT } + 0.001;
/// Moves are looked at so often, in mm.
pub(super) const STEP: f64 = 0.25;
/// A lead touches an edge over no more than this as it swings off, in mm (geometry: of radius 5
/// in a hollow not much wider).
const LEAST: f64 = 1.0;
/// An edge's end so near the touch is the corner that the mill turns about, in mm (geometry:
/// rounding).
const CORNER: f64 = 0.02;
/// How far past its limit the grain may turn under the end of a run, in degrees.
const SLACK: f64 = RUN_SLACK.value;

/// How a mill is fed along an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Feed {
    Conventional,
    Climb,
}

impl Wood {
    /// The angle from the grain to the tooth that runs this way, in degrees.
    fn phi(&self, tooth: Vector) -> f64 {
        let off = tooth.angle().to_degrees() - self.grain;
        off - 180.0 * (off / 180.0).round()
    }

    /// Whether an edge may be finished with this feed where the tooth meets the grain so.
    fn allows(&self, feed: Feed, phi: f64) -> bool {
        match feed {
            Feed::Conventional => -ALONG - SLACK <= phi || phi <= SLACK - END_GRAIN,
            Feed::Climb => (-self.steepest - SLACK..=SLACK).contains(&phi),
        }
    }

    /// The angles at which an edge may be left standing by the allowance; none where a climb
    /// cures all that is uphill.
    fn left(&self) -> Option<[f64; 2]> {
        let steep = SLACK - self.steepest;
        (-END_GRAIN < steep).then_some([-END_GRAIN - SLACK, steep])
    }
}

/// The parts of an edge that must be finished, and those that may be left standing.
pub(super) fn finished_and_left(
    edge: impl Iterator<Item = Shape>,
    wood: &Wood,
) -> [Vec<Shape>; 2] {
    let mut parts = [Vec::new(), Vec::new()];
    let Some([low, high]) = wood.left() else { return [edge.collect(), Vec::new()] };
    for shape in edge {
        for part in split(&shape, wood.grain, [low, high]) {
            let phi = wood.phi(part.direction(0.5));
            let is_left = low <= phi && phi <= high;
            parts[usize::from(is_left)].push(part);
        }
    }
    parts
}

/// A shape split where its direction passes these angles to the grain, either way along it.
fn split(shape: &Shape, grain: f64, borders: [f64; 2]) -> Vec<Shape> {
    let Some((_, sweep)) = shape.bow else { return vec![*shape] };
    let start = shape.direction(0.0).angle().to_degrees() - grain;
    let turn = sweep.to_degrees();
    let mut cuts = vec![0.0, 1.0];
    for border in borders {
        for half_turns in -6..=6 {
            cuts.push((border + 180.0 * f64::from(half_turns) - start) / turn);
        }
    }
    cuts.retain(|share| (0.0..=1.0).contains(share));
    cuts.sort_by(f64::total_cmp);
    let ends = cuts.windows(2).filter(|ends| 1e-9 < ends[1] - ends[0]);
    ends.map(|ends| shape.part(ends[0], ends[1])).collect()
}

/// What must be finished of a loop's edge: all of it where it is not parted by the grain.
pub(super) fn to_finish<'a>(
    edges: &'a Edges,
    index: usize,
    parts: Option<&'a [Vec<Shape>; 2]>,
) -> impl Iterator<Item = Shape> + 'a {
    let whole = parts.is_none().then(|| edges.of(index)).into_iter().flatten();
    whole.chain(parts.into_iter().flat_map(|[finished, _]| finished.iter().copied()))
}

/// The first place for each feed where an edge is finished the wrong way round.
pub(super) fn faults(cuts: &Cuts<'_>, promise: &Promise, edges: &Edges) -> Vec<Fault> {
    let mut shapes: Vec<Shape> = Vec::new();
    let mut woods = Vec::new();
    for (index, pledge) in promise.loops.iter().enumerate() {
        let Some(wood) = pledge.wood else { continue };
        shapes.extend(edges.of(index));
        woods.resize(shapes.len(), wood);
    }
    if woods.is_empty() {
        return Vec::new();
    }
    let finished = Finished { edges: Forest::new(shapes.into_iter()), woods };
    let feeds = [Feed::Conventional, Feed::Climb].into_iter();
    let first = |feed| {
        let own = cuts.iter().filter(|cut| !is_relief(cut, promise, edges));
        finished.first_wrong(own, feed)
    };
    feeds.filter_map(first).collect()
}

/// The edges that are finished by the grain.
struct Finished {
    edges: Forest,
    woods: Vec<Wood>,
}

impl Finished {
    /// The first move at which this feed has been wrong for longer than a lead touches an edge.
    fn first_wrong(&self, cuts: impl Iterator<Item = Cut>, feed: Feed) -> Option<Fault> {
        let mut tally = Tally::default();
        for cut in cuts {
            let Some(shape) = cut.below(-LEVEL).filter(|_| !cut.rapid) else {
                tally = Tally::default();
                continue;
            };
            let length = shape.length();
            if self.edges.near_shape(&shape, cut.radius + TOUCH, |_| true).is_none() {
                tally.off(length);
                continue;
            }
            let steps = (length / STEP).ceil();
            for step in (1u32..).map(f64::from).take_while(|step| *step <= steps) {
                // Looked at in the middle of each step.
                let share = (step - 0.5) / steps;
                match self.touch_at((&shape, share), cut.radius, feed) {
                    None => tally.off(length / steps),
                    Some(Touch { right: true, .. }) => tally.right(length / steps),
                    Some(Touch { phi, .. }) if tally.wrong(length / steps) => {
                        return Some(cut.fault(Rule::Direction, text(feed, phi)));
                    }
                    Some(_) => {}
                }
            }
        }
        None
    }

    /// How a move with this feed finishes an edge at a place; nothing where it touches none.
    fn touch_at(
        &self,
        (shape, share): (&Shape, f64),
        radius: f64,
        feed: Feed,
    ) -> Option<Touch> {
        let way = shape.direction(share);
        let (side, tooth) = match feed {
            Feed::Conventional => (way.left(), way),
            Feed::Climb => (way.right(), -way),
        };
        let touch = shape.at(share) + side * radius;
        let (_, index) = self.edges.near_point(touch, TOUCH, |_| true)?;
        let wood = &self.woods[index];
        let phi = wood.phi(tooth);
        let right = wood.allows(feed, phi) || self.turns_at(touch, (wood, feed));
        Some(Touch { phi, right })
    }

    /// Whether the mill only turns about a corner here, to or from an edge that it may finish so.
    fn turns_at(&self, touch: Point, (wood, feed): (&Wood, Feed)) -> bool {
        let near = self.edges.within(touch, CORNER).into_iter();
        let ends = near.flat_map(|index| {
            let shape = self.edges.shape(index);
            let at = |share: f64| {
                (shape.at(share).distance(touch) <= CORNER)
                    .then(|| shape.direction(share))
            };
            [at(0.0), at(1.0)]
        });
        let ways: Vec<Vector> = ends.flatten().collect();
        let turns = |way: &Vector| {
            2.0 * SLACK
                < libm::atan2(ways[0].cross(*way), ways[0].dot(*way)).abs().to_degrees()
        };
        let may = |&way: &Vector| wood.allows(feed, wood.phi(way));
        ways.iter().any(turns) && ways.iter().any(may)
    }
}

/// A mill at an edge: how the tooth meets the grain, and whether the edge may be finished so.
struct Touch {
    phi: f64,
    right: bool,
}

/// How long an edge has been finished the wrong way round, in mm, and how long the mill has been
/// off it since.
#[derive(Default)]
pub(super) struct Tally {
    wrong: f64,
    off: f64,
}

impl Tally {
    /// So much more is wrong; whether that is longer than a lead touches.
    pub(super) fn wrong(&mut self, length: f64) -> bool {
        *self = Self { wrong: self.wrong + length, off: 0.0 };
        LEAST < self.wrong
    }

    /// So much is right again, and undoes as much: bites of a millimetre with a step back between
    /// them are one long way.
    pub(super) fn right(&mut self, length: f64) {
        *self = Self { wrong: (self.wrong - length).max(0.0), off: 0.0 };
    }

    /// Whether nothing wrong is remembered.
    pub(super) const fn is_clean(&self) -> bool {
        self.wrong <= 0.0
    }

    /// The mill is off the edge: a short way off does not make two touches of one.
    pub(super) fn off(&mut self, length: f64) {
        self.off += length;
        if LEAST < self.off {
            *self = Self::default();
        }
    }
}

fn text(feed: Feed, phi: f64) -> String {
    match feed {
        Feed::Conventional => format!(
            "it finishes an edge conventionally where the tooth runs {:.0} degrees uphill",
            -phi
        ),
        Feed::Climb => format!(
            "it climbs along an edge where the tooth meets the grain at {phi:.0} degrees"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bites_that_follow_each_other_are_one_touch_and_leads_are_not() {
        let bitten = |off: f64| {
            let mut tally = Tally::default();
            (0..4).any(|_| {
                let is_long = tally.wrong(0.6);
                tally.off(off);
                is_long
            })
        };
        assert!(bitten(0.2), "hardly off the edge between them");
        assert!(!bitten(5.0), "each swings off by itself");
    }

    #[test]
    fn a_step_back_undoes_no_more_than_its_own_length() {
        let bitten = |back: f64| {
            let mut tally = Tally::default();
            (0..9).any(|_| {
                let is_long = tally.wrong(0.8);
                tally.right(back);
                is_long
            })
        };
        assert!(bitten(0.3), "to and fro, it goes on the wrong way");
        assert!(!bitten(0.8), "it goes nowhere");
    }
}

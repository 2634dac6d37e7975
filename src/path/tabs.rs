//! Where the tabs stand: straights first, spread round the loop, away from the lead.
//!
//! ```text
//!        lead
//!     ____^__________
//!    |           T   |      T: on straights, spread round the loop, clear of lead and corners
//!    T               |
//!    |_______T_______|
//! ```
//!
//! Common practice, no source; how long a lift must be for a neck: geometry.

use super::GrainRule;
use super::contour::{Contour, Edge, Mark};
use super::lead::Lead;
use super::walk::Lift;
use crate::diag::{Failure, Place, Problem, Source};
use crate::geom::planted::{self, Slip};
use crate::geom::{Join, Loop, Piece, Point, Vector};
use crate::prove::Hold;
use crate::units::Paper;

/// How far tabs keep from a lead and from each other, in mm (from memory); where there is no
/// room for it, the smaller ones.
const CLEAR_OF_LEAD: [f64; 3] = [10.0, 5.0, 2.0];
/// How far tabs keep from corners where they can, in mm (from memory).
const CLEAR_OF_CORNER: f64 = 10.0;
/// Added to the lifted path so that rounding never narrows a neck, in mm (geometry).
const SPARE: f64 = 0.1;

/// A corner that turns by no more than this, in degrees, may stand in a tab: a curve drawn in
/// short lines has many (geometry: a mill of up to 14 mm leaves less than 0.01 mm in it, so
/// that it does not part the tab).
const SMALL_TURN: f64 = 6.0;

/// In wood a better place for a tab is worth this share of the way round, and no more: tabs all
/// on one side let the part tip (from memory).
const IN_WOOD: f64 = 0.12;

/// What walking a line in steps of 1 mm may miss of a distance, in mm (geometry).
const WALKED: f64 = 0.04;

/// A tab on a contour.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tab {
    /// Index of the contour.
    pub contour: usize,
    /// The lifted run of the finished line.
    pub lift: Lift,
    /// The lifted run of the rough line.
    pub rough: Option<Lift>,
    /// Its middle on the contour.
    pub at: Point,
}

/// Places all tabs.
pub(super) fn place(
    contours: &[Contour],
    edges: &[Edge],
    (leads, busy): (&[Lead], &[Vec<Lift>]),
    (mill, grain, paper): (f64, Option<GrainRule>, Paper),
) -> Result<Vec<Tab>, Failure> {
    let mut tabs = Vec::new();
    for (index, edge) in edges.iter().enumerate() {
        let Hold::Tabs { count, neck } = edge.hold else { continue };
        let count = if planted::is(Slip::Tabs) { 2 * count } else { count };
        if !edge.own {
            continue;
        }
        let own =
            |contour: &Contour| contour.marks.iter().filter(|m| m.edge == index).count();
        let longest = (0..contours.len()).max_by_key(|&c| own(&contours[c]));
        let Some(on) = longest.filter(|&c| 0 < own(&contours[c])) else { continue };
        let (lead, busy) = (leads[on], &busy[on]);
        let edge = index;
        let site = Site { contours, on, lead, busy, edge, neck, mill, grain, paper };
        let placed = CLEAR_OF_LEAD.iter().find_map(|&gap| site.spread(count, gap));
        tabs.extend(placed.ok_or_else(|| site.no_room(count))?);
    }
    Ok(tabs)
}

/// One edge's tabs on one contour.
struct Site<'a> {
    contours: &'a [Contour],
    on: usize,
    lead: Lead,
    /// Further runs that tabs keep clear of.
    busy: &'a [Lift],
    edge: usize,
    neck: f64,
    mill: f64,
    /// How the grain lies, where tabs are best pared along it.
    grain: Option<GrainRule>,
    paper: Paper,
}

impl Site<'_> {
    const fn contour(&self) -> &Contour {
        &self.contours[self.on]
    }

    /// Why so many tabs cannot be had.
    fn no_room(&self, count: u32) -> Failure {
        let at = self.contour().ring.at(0.0);
        let hint = if self.contour().inside() {
            "use a smaller end mill, widen the opening, or leave a skin under all of it \
             (`bottom = \"skin\"` under [machine])"
        } else {
            "use a smaller end mill, or leave a skin under all of it (`bottom = \"skin\"` under \
             [machine])"
        };
        let problem = Problem::stop(
            "tabs-no-room",
            format!("there is no room for {count} tabs on one edge"),
            hint,
        );
        Failure::refused(
            problem
                .expected(format!(
                    "for each tab {} of edge without a corner or a tight curve",
                    self.paper.fine(self.neck + self.mill + 2.0)
                ))
                .at(Place::whole(Source::Drawing, "template").at(at.x, at.y)),
        )
    }

    /// So many tabs, this far from the lead and from each other.
    fn spread(&self, count: u32, gap: f64) -> Option<Vec<Tab>> {
        let ring = &self.contour().ring;
        let mut own: Vec<&Mark> =
            self.contour().marks.iter().filter(|m| m.edge == self.edge).collect();
        own.sort_by(|a, b| {
            let from = |mark: &Mark| ring.wrapped(mark.along - self.lead.at);
            from(a).total_cmp(&from(b))
        });
        let mut tabs: Vec<Tab> = Vec::new();
        for turn in 0..count {
            let share = (f64::from(turn) + 0.5) / f64::from(count);
            let ideal = own[index_at(share, own.len())].along;
            let mut order: Vec<(f64, f64)> = own
                .iter()
                .filter_map(|mark| Some((self.cost(mark.along, ideal)?, mark.along)))
                .collect();
            order.sort_by(|a, b| a.0.total_cmp(&b.0));
            let free = order.iter().find_map(|&(_, along)| {
                let tab = self.tab(along)?;
                let clear = self.is_clear(&tab, &tabs, gap);
                (clear && self.stands_alone(&tab) && self.keeps_its_neck(&tab))
                    .then_some(tab)
            });
            tabs.push(free?);
        }
        Some(tabs)
    }

    /// Straights first, then the nearest to where it would best stand; never on a corner.
    fn cost(&self, along: f64, ideal: f64) -> Option<f64> {
        let ring = &self.contour().ring;
        let past = ring.wrapped(along - ideal);
        let far = past.min(ring.length() - past);
        let run = |spare: f64| {
            let reach = f64::midpoint(self.neck, self.mill) + spare;
            ring.run(ring.wrapped(along - reach), 2.0 * reach)
        };
        if self.may_be_left(along) {
            return None;
        }
        let straight = |spare| {
            let run = run(spare);
            run.iter().all(|piece| piece.radius().is_none()) && is_smooth(&run)
        };
        let class = if straight(CLEAR_OF_CORNER) {
            0.0
        } else if straight(1.0) {
            0.5
        } else if is_gentle(&run(1.0), self.mill) {
            1.0
        } else {
            return None;
        };
        let across = f64::from(u8::from(!self.is_along(along)));
        let weight = if self.grain.is_some() { IN_WOOD } else { 1.0 };
        Some(far + weight * (class + across) * ring.length())
    }

    /// Whether the line runs along the grain here, if there is any: no fibre is then cut short
    /// where the tab is pared.
    fn is_along(&self, along: f64) -> bool {
        let way = || self.contour().ring.direction_after(along);
        self.grain.is_none_or(|grain| phi(way(), grain).abs() <= crate::grain::ALONG)
    }

    /// Whether some of the edge that a tab here would keep the mill from may be left for the hand:
    /// what stands is then no tab.
    fn may_be_left(&self, along: f64) -> bool {
        let reach = f64::midpoint(self.neck, self.mill);
        let ring = &self.contour().ring;
        self.grain.is_some_and(|grain| {
            let under = ring.run(ring.wrapped(along - reach), 2.0 * reach);
            under.iter().any(|piece| is_left_somewhere(piece, grain))
        })
    }

    /// The tab about this place: wide enough on both lines.
    fn tab(&self, along: f64) -> Option<Tab> {
        let contour = self.contour();
        let ring = &contour.ring;
        let need = self.neck + self.mill + SPARE;
        let mut half = need / 2.0;
        while 2.0 * half < ring.length() / 3.0 {
            let (from, to) = (ring.at(along - half), ring.at(along + half));
            let rough = contour.rough.as_ref().map(|rough| rough_lift(rough, from, to));
            let over = contour.rough.as_ref().zip(rough).map_or(need, |(rough, lift)| {
                rough.at(lift.from).distance(rough.at(lift.from + lift.length))
            });
            if need <= from.distance(to) + 1e-9 && need <= over + 1e-9 {
                let lift = Lift { from: ring.wrapped(along - half), length: 2.0 * half };
                return Some(Tab { contour: self.on, lift, rough, at: ring.at(along) });
            }
            half += 0.05;
        }
        None
    }

    /// Whether it keeps clear of the lead and of the tabs already placed.
    fn is_clear(&self, tab: &Tab, tabs: &[Tab], gap: f64) -> bool {
        let ring = &self.contour().ring;
        let lead = Lift {
            from: ring.wrapped(self.lead.at - self.lead.before),
            length: self.lead.before + self.lead.after,
        };
        let busy = self.busy.iter().copied();
        let others = tabs.iter().map(|other| other.lift).chain([lead]).chain(busy);
        others.into_iter().all(|other| {
            let after = ring.wrapped(tab.lift.from - other.from) - other.length;
            let before = ring.wrapped(other.from - tab.lift.from) - tab.lift.length;
            gap <= after && gap <= before
        })
    }

    /// Whether no other cut comes so near that it would take the tab away.
    fn stands_alone(&self, tab: &Tab) -> bool {
        let keep = self.mill + 1.0;
        self.contours.iter().enumerate().all(|(index, contour)| {
            contour.marks.iter().all(|mark| {
                let past = contour.ring.wrapped(mark.along - tab.lift.from);
                let before = contour.ring.length() - past;
                let beside = past <= tab.lift.length + self.mill || before <= self.mill;
                (index == self.on && beside) || keep <= mark.point.distance(tab.at)
            })
        })
    }

    /// Whether the cuts before it and after it keep apart, round corners too.
    fn keeps_its_neck(&self, tab: &Tab) -> bool {
        let need = self.neck + self.mill + SPARE - WALKED;
        let contour = self.contour();
        let rough = contour.rough.as_ref().zip(tab.rough);
        are_apart(&contour.ring, tab.lift, need)
            && rough.is_none_or(|(rough, lift)| are_apart(rough, lift, need))
    }
}

/// The angle from the grain to a direction, in degrees.
fn phi(way: Vector, grain: GrainRule) -> f64 {
    crate::grain::phi(way.angle().to_degrees(), grain.axis)
}

/// Whether a place of this piece may be left for the hand: none where a climb cures all that is
/// uphill.
fn is_left_somewhere(piece: &Piece, grain: GrainRule) -> bool {
    let slack = crate::shop::defaults::RUN_SLACK.value;
    let (least, most) = (-crate::grain::END_GRAIN - slack, slack - grain.steepest);
    if most <= -crate::grain::END_GRAIN {
        return false;
    }
    let first = phi(piece.direction(0.0), grain);
    let last = match piece {
        Piece::Line { .. } => first,
        Piece::Arc { sweep, .. } => first + sweep.to_degrees(),
    };
    // The grain is an axis: an arc, which turns by no more than half, may meet the angles a half
    // turn on.
    [-180.0, 0.0, 180.0]
        .into_iter()
        .any(|half| least + half <= first.max(last) && first.min(last) <= most + half)
}

/// Whether what lies before a lift and what lies after it are so far apart.
fn are_apart(ring: &Loop, lift: Lift, need: f64) -> bool {
    let rest = ring.length() - lift.length;
    let reach = (4.0 * need).min(rest / 2.0);
    let steps =
        || (0u32..).map(f64::from).take_while(|step| *step < reach).chain([reach]);
    let before: Vec<Point> = steps().map(|step| ring.at(lift.from - step)).collect();
    let end = lift.from + lift.length;
    let mut after = steps().map(|step| ring.at(end + step));
    // Where the two meet again, on the far side of a short loop, they are no neck.
    let far = |point: Point| point.distance(ring.at(end + rest / 2.0)) < need;
    after.all(|b| far(b) || before.iter().all(|&a| far(a) || need <= a.distance(b)))
}

fn rough_lift(rough: &Loop, from: Point, to: Point) -> Lift {
    let (start, end) = (rough.nearest(from), rough.nearest(to));
    Lift { from: start, length: rough.wrapped(end - start) }
}

/// Whether a run bends no more than an arc of a radius as wide as the mill, and has no corner
/// but small ones, sharp or rounded by the mill's own radius.
fn is_gentle(run: &[Piece], mill: f64) -> bool {
    let corners = run.windows(2).map(|pair| Loop::new(pair.to_vec()).turn(1).abs());
    let small = |p: &&Piece| p.radius().is_some_and(|radius| radius <= mill);
    let rounded = run
        .iter()
        .filter(small)
        .map(|p| p.direction(0.0).turn_to(p.direction(1.0)).abs());
    let turns: Vec<f64> = corners.chain(rounded).collect();
    let length: f64 = run.iter().map(Piece::length).sum();
    let least = SMALL_TURN.to_radians();
    turns.iter().all(|turn| *turn <= least) && turns.iter().sum::<f64>() * mill <= length
}

fn is_smooth(run: &[Piece]) -> bool {
    let pairs = run.windows(2);
    pairs.into_iter().all(|pair| Loop::new(pair.to_vec()).join(1) == Join::Smooth)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "a share of a small count"
)]
fn index_at(share: f64, count: usize) -> usize {
    ((share * count as f64) as usize).min(count - 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::defaults::PART_ALLOWANCE;

    /// The angle that the mill engages at the usual allowance of a part, and the grain it copes with more
    /// (geometry).
    fn rule(diameter: f64) -> GrainRule {
        let cosine = 1.0 - PART_ALLOWANCE.value / (diameter / 2.0);
        let steepest = libm::acos(cosine).to_degrees() + crate::grain::ALONG;
        GrainRule { axis: 0.0, steepest }
    }

    #[test]
    fn where_a_climb_cures_all_that_is_uphill_nothing_is_left_under_a_tab() {
        let half_circle = |turn: f64| Piece::Arc {
            from: Point::new(20.0, 0.0),
            to: Point::new(-20.0, 0.0),
            centre: Point::default(),
            sweep: turn * std::f64::consts::PI,
        };
        for turn in [1.0, -1.0] {
            let left = |mill| is_left_somewhere(&half_circle(turn), rule(mill));
            assert!(!left(3.0), "a 3 mm mill climbs over all of it");
            assert!(left(6.0), "a 6 mm mill does not");
        }
    }
}

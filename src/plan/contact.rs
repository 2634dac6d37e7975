//! The contact map: how much of the bit stands in wood along every pass.

use super::able::curvature;
use super::engage::Curvature;
use super::{Exit, Lap, Part, Pass, SetUp, Stretch, atom, engage, saw};
use crate::geom::{Loop, Piece, Span};
use crate::reach::Site;
use crate::shop::{Shop, defaults};

/// How much of the bit stands in wood along a run of a pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// The run.
    pub span: Span,
    /// The waste before the bit, square to the edge, in mm.
    pub waste: f64,
    /// The engagement, from the touch to the last tooth in wood, in degrees.
    pub psi: f64,
}

impl Contact {
    /// What it asks for: nothing, `care`, or `less waste`.
    pub fn asks_for(&self) -> Option<&'static str> {
        if defaults::ENGAGEMENT_STOP.value < self.psi {
            Some("less waste")
        } else if defaults::ENGAGEMENT_CAUTION.value < self.psi {
            Some("care")
        } else {
            None
        }
    }
}

/// Fills in the contact of every pass, and its arrival in an inside corner.
pub(super) fn engage(
    passes: &mut [Pass],
    (parts, stretches, set_ups): (&[Part], &[Stretch], &[SetUp]),
    shop: &Shop,
) {
    for pass in passes {
        let part = &parts[pass.part];
        let set_up = &set_ups[pass.set_up];
        let bed = Bed {
            ring: &part.guide.loops[pass.span.on],
            radius: shop.bits[set_up.bit].cutter.radius(),
            leaves: saw::Leaves::of(part, shop),
            sites: part.reach[set_up.bit].as_ref().map_or(&[], |reach| &reach.sites),
            lap: pass.lap,
            light: &part.light[set_up.bit],
        };
        let own = pass.stretches.iter().map(|&index| &stretches[index]);
        pass.contact = own.flat_map(|stretch| bed.contacts(stretch)).collect();
        // Where a light lap's bearing rides across, its bit meets nothing.
        let mut met = pass.contact.iter().filter(|contact| 0.0 < contact.psi);
        let last = if 0 < set_up.s() { met.next_back() } else { met.next() };
        if let (Exit::AtTouch, Some(last)) = (pass.exit.0, last) {
            pass.arrival = bed.arrival(pass, (0 < set_up.s(), last.psi));
        }
    }
}

/// The edge a bit works along.
struct Bed<'a> {
    ring: &'a Loop,
    radius: f64,
    leaves: saw::Leaves,
    /// The places the bit leaves.
    sites: &'a [Site],
    /// What the pass takes of the waste.
    lap: Lap,
    /// Where the oversize bearing of a light lap rides.
    light: &'a [Span],
}

impl Bed<'_> {
    /// The contact along a stretch, piece by piece; alike ones together.
    fn contacts(&self, stretch: &Stretch) -> Vec<Contact> {
        let mut all: Vec<Contact> = Vec::new();
        let mut from = stretch.span.from;
        let phi = f64::midpoint(stretch.phi.0, stretch.phi.1);
        let whole = self.leaves.at(stretch.band, phi);
        for piece in self.pieces(stretch.span) {
            let length = piece.length();
            let middle = Span { from: from + length / 2.0, ..stretch.span };
            let (waste, edge) = self.met(whole, (&piece, middle));
            let psi = engage::angle(waste, self.radius, edge);
            let span =
                Span { on: stretch.span.on, from: self.ring.wrapped(from), length };
            from += length;
            match all.last_mut() {
                Some(last)
                    if (last.psi - psi).abs() < ALIKE
                        && (last.waste - waste).abs() < LEAST =>
                {
                    last.span.length += length;
                }
                _ => all.push(Contact { span, waste, psi }),
            }
        }
        all
    }

    /// The pieces of a run, cut where the oversize bearing begins or ends to ride.
    fn pieces(&self, span: Span) -> Vec<Piece> {
        let here = self.light.iter().filter(|rides| rides.on == span.on);
        let borders = here.flat_map(|rides| [rides.from, rides.to()]);
        let split = self.lap != Lap::Only;
        let mut cuts: Vec<f64> = borders
            .filter(|_| split)
            .map(|along| self.ring.wrapped(along - span.from))
            .filter(|cut| LEAST < *cut && *cut < span.length - LEAST)
            .collect();
        cuts.push(span.length);
        cuts.sort_by(f64::total_cmp);
        let mut from = 0.0;
        let mut pieces = Vec::new();
        for to in cuts {
            if LEAST < to - from {
                pieces.extend(self.ring.run(span.from + from, to - from));
                from = to;
            }
        }
        pieces
    }

    /// The waste a pass meets of all there is at a place, and the edge it leaves there.
    fn met(&self, whole: f64, (piece, at): (&Piece, Span)) -> (f64, Curvature) {
        let edge = curvature(piece);
        let rides =
            |span: &Span| span.on == at.on && atom::holds(self.ring, span, at.from);
        let light = self.light.iter().any(rides);
        match self.lap {
            Lap::Light(leaves) if light => {
                ((whole - leaves).max(0.0), edge.set_out(leaves))
            }
            // It rides across without touching: nothing is cut here.
            Lap::Light(_) => (0.0, Curvature::Straight),
            Lap::Flush(leaves) if light => (whole.min(leaves), edge),
            Lap::Flush(_) | Lap::Only => (whole, edge),
        }
    }

    /// The engagement on arriving in the inside corner a pass ends in.
    ///
    /// Basis: geometry: 180 degrees less the void's angle more than along the wall.
    fn arrival(&self, pass: &Pass, (forward, psi): (bool, f64)) -> Option<f64> {
        let end = if forward { pass.span.to() } else { pass.span.from };
        let ends_here = |wall: &Span| {
            let near = |along: f64| {
                let gap = self.ring.wrapped(along - end);
                gap.min(self.ring.length() - gap) < NEAR
            };
            wall.on == pass.span.on && (near(wall.from) || near(wall.to()))
        };
        let site = self.sites.iter().find(|site| site.walls.iter().any(ends_here))?;
        Some((180.0 - site.angle? + psi).min(180.0))
    }
}

/// Contacts nearer to each other than this are one, in degrees.
const ALIKE: f64 = 0.05;
/// A shorter run is none, in mm.
const LEAST: f64 = 1e-6;
/// Places on the edge nearer to each other than this are one, in mm.
const NEAR: f64 = 0.01;

#[cfg(test)]
mod tests {
    use super::super::shapes::{outline, polygon, shop, sides};
    use super::super::{Plan, plan};
    use super::*;
    use crate::geom::Point;
    use crate::outline::Outline;
    use crate::read::Role;

    fn planned(outline: Outline) -> Plan {
        plan(vec![outline], &shop(0.0, &[12.7])).expect("it can be planned").value
    }

    /// Basis: geometry: a 12.7 mm bit with 1/16 in of waste stands 41.4 degrees in wood along a
    /// straight edge, and in a hollow of two radii 57.9.
    #[test]
    fn along_a_straight_and_in_a_hollow() {
        let mut pieces = sides(&[(0.0, 0.0), (400.0, 0.0), (400.0, 300.0), (0.0, 300.0)]);
        pieces.truncate(2);
        let half = std::f64::consts::PI;
        let (right, left) = (Point::new(312.7, 300.0), Point::new(287.3, 300.0));
        pieces.push(Piece::line(Point::new(400.0, 300.0), right));
        let centre = Point::new(300.0, 300.0);
        pieces.push(Piece::Arc { from: right, to: left, centre, sweep: -half });
        pieces.push(Piece::line(left, Point::new(0.0, 300.0)));
        pieces.push(Piece::line(Point::new(0.0, 300.0), Point::new(0.0, 0.0)));
        let plan = planned(outline(pieces, &[Role::Rout; 6]));
        let all = || plan.passes.iter().flat_map(|pass| &pass.contact);
        let near = |found: f64, psi: f64| (found - psi).abs() < 0.05;
        assert!(all().any(|it| near(it.psi, 41.4) && near(it.waste, 1.5875)), "straight");
        assert!(all().any(|it| near(it.psi, 57.9)), "hollow: {:?}", plan.passes);
        assert!(all().all(|it| it.asks_for().is_none()), "no care is due");
    }

    /// Basis: geometry: arriving in a square corner it is 131 degrees: 90 and 41.4.
    #[test]
    fn arriving_in_a_square_corner() {
        let points = [
            (0.0, 0.0),
            (400.0, 0.0),
            (400.0, 200.0),
            (200.0, 200.0),
            (200.0, 400.0),
            (0.0, 400.0),
        ];
        // The wall that leads into the corner is downhill at 30 degrees, the next one uphill.
        let shop = shop(150.0, &[12.7]);
        let part = polygon(&points, &[Role::Rout; 6]);
        let plan = plan(vec![part], &shop).expect("it can be planned").value;
        let arrivals: Vec<f64> =
            plan.passes.iter().filter_map(|pass| pass.arrival).collect();
        let [arrival] = arrivals.as_slice() else { panic!("one corner: {arrivals:?}") };
        assert!((arrival - 131.4).abs() < 0.05, "{arrival}");
    }
}

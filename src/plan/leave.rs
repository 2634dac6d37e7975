//! What the saw leaves where its blade cannot turn, and how that is taken down.

use super::engage;
use super::saw::{BLADES, Leaves};
use super::{Part, SetUp};
use crate::diag::{Failure, Place, Problem, Source, Weight};
use crate::geom::{Loop, Piece, Point, nearest_loop};
use crate::outline::{LoopKind, Outline};
use crate::reach::{self, Radii, Site, SiteKind};
use crate::read::Station;
use crate::shop::{Shop, defaults};
use crate::units::{MM_PER_INCH, Paper, Unit};

/// What saws a loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Saw {
    /// A bandsaw with a blade so wide, in mm.
    Bandsaw(f64),
    /// A jigsaw, let in through a hole.
    Jigsaw,
    /// A fretsaw or coping saw, threaded through a hole.
    Fretsaw,
    /// A drill alone, so wide, in mm: one hole, or one beside the other.
    Drill(f64),
}

impl Saw {
    /// Whether it is a blade chosen for a curve: relief cuts let it turn there.
    pub fn wants_relief(self) -> bool {
        let widest = BLADES[BLADES.len() - 1];
        let widest = widest.width.min(widest.inch_width);
        matches!(self, Self::Bandsaw(width) if width < widest)
    }
}

/// What saws one loop of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sawn {
    /// Index of the part.
    pub part: usize,
    /// The loop of its outline.
    pub on: usize,
    /// The saw.
    pub saw: Saw,
    /// Whether the opening is so wide that the router's base wants a support in it.
    pub support: bool,
}

/// A place where the saw leaves more than the line says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thick {
    /// Index of the part.
    pub part: usize,
    /// The place on the edge.
    pub at: Point,
    /// The radius of the hollow there, in mm.
    pub radius: f64,
    /// How much is left, square to the edge, in mm.
    pub left: f64,
    /// The most the bit may be given, in mm.
    pub most: f64,
    /// How it is taken down.
    pub way: TakeDown,
}

/// How waste is taken down before the router.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TakeDown {
    /// A drill so wide, in mm, that leaves what the saw line leaves.
    Drill(f64),
    /// A sanding drum no wider than this, in mm.
    Drum(f64),
    /// A rasp.
    Rasp,
}

/// The saws and what they leave.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct LeaveMap {
    /// What saws every routed loop.
    pub(super) sawn: Vec<Sawn>,
    /// Where it leaves more than its line says.
    pub(super) thick: Vec<Thick>,
    /// What there is to say about it.
    pub(super) notes: Vec<Problem>,
}

/// What saws every routed loop, and where it leaves too much.
pub(super) fn leave_map(parts: &[Part], (set_ups, shop): (&[SetUp], &Shop)) -> LeaveMap {
    let mut found = LeaveMap::default();
    let sawn = parts.iter().enumerate().filter(|(index, _)| shop.stock.is_sawn(*index));
    for (index, part) in sawn {
        let leave = Leaves::of(part, shop).plain();
        let is_sawn = |on: &usize| {
            part.has_routed(*on) && !is_bored(part, *on, (leave, set_ups, shop))
        };
        for on in (0..part.guide.loops.len()).filter(is_sawn) {
            let saw = saw(part, on, (leave, shop));
            let support = part.guide.kinds[on] == LoopKind::Opening
                && set_ups.iter().any(|it| it.station == Station::Hand)
                && defaults::ROUTER_BASE.value / 2.0 < narrow(&part.guide.loops[on]);
            found.sawn.push(Sawn { part: index, on, saw, support });
        }
        let wide = found.sawn.iter().filter(|sawn| sawn.part == index && sawn.support);
        found.notes.extend(wide.map(|sawn| support(part, sawn.on)));
        let map = Map { index, part, leave, most: most(set_ups, shop) };
        for turn in map.turns(&found.sawn) {
            match map.thick(turn, shop.paper) {
                Ok(thick) => found.thick.extend(thick),
                Err(_) => found.notes.push(unmeasured(part)),
            }
        }
    }
    found.notes.extend(stops(&found.thick, parts, shop));
    found
}

/// A wide opening carries no base: what is sawn out goes back in.
fn support(part: &Part, on: usize) -> Problem {
    let found =
        "the opening is wider than half a router's base: the base can tip into it";
    let into = if room_in_middle(part, on).is_some() {
        "its middle"
    } else {
        "it, clear of the bit,"
    };
    let hint = format!(
        "fix the sawn plug, or scrap of the same thickness, back in {into} for the base to ride on"
    );
    let at = part.guide.loops[on].bounds().centre();
    let place = Place::whole(Source::Drawing, part.guide.name.as_str()).at(at.x, at.y);
    Problem::new("support-in-opening", Weight::Hint, found, hint).at(place)
}

/// How far from the middle of an opening the nearest edge is, where there is no wood of the part.
pub(super) fn room_in_middle(part: &Part, on: usize) -> Option<f64> {
    let Outline { loops, .. } = &part.guide;
    let middle = loops[on].bounds().centre();
    let is_open = loops[on].winding(middle) != 0
        && loops.iter().map(|ring| ring.winding(middle)).sum::<i32>() == 0;
    nearest_loop(loops, middle).filter(|_| is_open).map(|(room, ..)| room)
}

fn unmeasured(part: &Part) -> Problem {
    let found = "what the saw leaves in tight hollows could not be measured here";
    let hint =
        "look at each hollow before routing: no more waste than the saw line shows";
    let place = Place::whole(Source::Drawing, part.guide.name.as_str());
    Problem::new("leave-unmeasured", Weight::Caution, found, hint).at(place)
}

/// The most waste that the smallest bit in use may be given.
fn most(set_ups: &[SetUp], shop: &Shop) -> f64 {
    let widths = set_ups.iter().map(|set_up| shop.bits[set_up.bit].cutter.mm());
    engage::waste_limit(widths.fold(f64::INFINITY, f64::min))
        + defaults::WASTE_GRACE.value
}

/// Whether an opening is bored by hand and not sawn first: what is left for the router fills it, or
/// it is a hole that no bit in use enters.
fn is_bored(
    part: &Part,
    on: usize,
    (leave, set_ups, shop): (f64, &[SetUp], &Shop),
) -> bool {
    let ring = &part.guide.loops[on];
    let wide = narrow(ring);
    let widths = set_ups.iter().map(|set_up| shop.bits[set_up.bit].cutter.mm());
    let is_entered = widths.reduce(f64::min).is_none_or(|least| least <= wide);
    let is_filled = down_to(wide - 2.0 * leave, shop.paper.unit) <= 0.0;
    part.guide.kinds[on] == LoopKind::Opening
        && (is_filled || is_round(ring) && !is_entered)
}

fn narrow(ring: &Loop) -> f64 {
    let bounds = ring.bounds();
    bounds.width().min(bounds.height())
}

/// What saws a loop: outside the widest blade that turns its tightest hollow, but none
/// narrower than people keep; a round hole is drilled, another opening jigsawn, or fretsawn
/// where it is narrow or tight, or drilled out in stock too thick for that.
fn saw(part: &Part, on: usize, (leave, shop): (f64, &Shop)) -> Saw {
    let ring = &part.guide.loops[on];
    let tightest =
        hollows(ring).map(|radius| radius - leave).fold(f64::INFINITY, f64::min);
    if part.guide.kinds[on] != LoopKind::Opening {
        let common =
            |blade: &&super::saw::Blade| defaults::COMMON_BLADE.value <= blade.width;
        let blades = || BLADES.iter().filter(common);
        let widest = blades().rev().find(|blade| blade.radius <= tightest);
        let blade = widest.or_else(|| blades().next()).unwrap_or(&BLADES[0]);
        return Saw::Bandsaw(match shop.paper.unit {
            Unit::Mm => blade.width,
            Unit::Inch => blade.inch_width,
        });
    }
    let drill = down_to(2.0 * (narrow(ring) / 2.0 - leave), shop.paper.unit);
    let thick = shop.stock.thick.map_or(0.0, crate::units::Mm::mm);
    if is_round(ring) && drill <= defaults::LARGEST_DRILL.value {
        Saw::Drill(drill)
    } else if defaults::JIGSAW_ROOM.value <= narrow(ring)
        && defaults::JIGSAW_RADIUS.value <= tightest
        && thick <= defaults::JIGSAW_THICK.value
    {
        Saw::Jigsaw
    } else if thick <= defaults::FRETSAW_THICK.value || drill <= 0.0 {
        Saw::Fretsaw
    } else {
        Saw::Drill(drill.min(defaults::LARGEST_DRILL.value))
    }
}

/// The radii of the hollows of a loop.
fn hollows(ring: &Loop) -> impl Iterator<Item = f64> {
    ring.pieces().iter().filter_map(|piece| match *piece {
        Piece::Arc { sweep, .. } if sweep < 0.0 => piece.radius(),
        Piece::Arc { .. } | Piece::Line { .. } => None,
    })
}

fn is_round(ring: &Loop) -> bool {
    let bounds = ring.bounds();
    let disc = std::f64::consts::PI * bounds.width() * bounds.width() / 4.0;
    (bounds.width() - bounds.height()).abs() < 1e-3
        && (ring.area().abs() - disc).abs() < 1e-2
}

/// The next size of drill down: whole millimetres, or sixteenths of an inch.
pub(super) fn down_to(width: f64, unit: Unit) -> f64 {
    let step = step(unit);
    ((width + SLACK) / step).floor() * step
}

/// The next size of drill up.
pub(super) fn up_to(width: f64, unit: Unit) -> f64 {
    let step = step(unit);
    ((width - SLACK) / step).ceil() * step
}

/// From one size of drill to the next.
const fn step(unit: Unit) -> f64 {
    match unit {
        Unit::Mm => 1.0,
        Unit::Inch => MM_PER_INCH / 16.0,
    }
}

/// So little over a size is none, in mm.
const SLACK: f64 = 1e-6;

/// The tightest radius a saw turns, in mm; none for what follows any line.
fn turns(saw: Saw) -> Option<f64> {
    match saw {
        Saw::Bandsaw(width) => {
            let close = |blade: &&super::saw::Blade| {
                (blade.width - width).abs().min((blade.inch_width - width).abs()) < 1e-6
            };
            BLADES.iter().find(close).map(|blade| blade.radius)
        }
        Saw::Jigsaw => Some(defaults::JIGSAW_RADIUS.value),
        Saw::Fretsaw | Saw::Drill(_) => None,
    }
}

/// One part on which the leave is measured.
struct Map<'a> {
    index: usize,
    part: &'a Part,
    leave: f64,
    most: f64,
}

impl Map<'_> {
    /// The different radii that the part's saws turn, each with the loops it saws.
    fn turns(&self, sawn: &[Sawn]) -> Vec<(f64, Vec<usize>)> {
        let mut all: Vec<(f64, Vec<usize>)> = Vec::new();
        for sawn in sawn.iter().filter(|sawn| sawn.part == self.index) {
            let Some(radius) = turns(sawn.saw) else { continue };
            match all.iter_mut().find(|(other, _)| (other - radius).abs() < 1e-9) {
                Some((_, loops)) => loops.push(sawn.on),
                None => all.push((radius, vec![sawn.on])),
            }
        }
        all
    }

    /// Where a blade that turns this radius leaves more than the saw line says.
    ///
    /// Basis: geometry: on its line, set out by the leave, the blade goes where a disc of its
    /// radius and the leave together gets to; what that disc does not reach, and the leave, is
    /// what stays.
    fn thick(
        &self,
        (radius, loops): (f64, Vec<usize>),
        paper: Paper,
    ) -> Result<Vec<Thick>, Failure> {
        let ring = |on: &usize| &self.part.guide.loops[*on];
        let tight = |on: &usize| hollows(ring(on)).any(|it| it - self.leave < radius);
        if !loops.iter().any(tight) {
            return Ok(Vec::new());
        }
        let disc = radius + self.leave;
        let radii = Radii { bearing: disc, cutter: disc };
        let reach = reach::reach(&self.part.guide, radii, paper)?;
        let here = |site: &&Site| site.walls.iter().any(|wall| loops.contains(&wall.on));
        let sites = reach.sites.iter().filter(here);
        Ok(sites.filter_map(|site| self.spot(site, paper.unit)).collect())
    }

    /// A place the blade does not get into; straight cuts that meet in a corner are none.
    fn spot(&self, site: &Site, unit: Unit) -> Option<Thick> {
        let curved = matches!(site.kind, SiteKind::Hollow | SiteKind::InsideCorner);
        let walls = site
            .walls
            .iter()
            .flat_map(|wall| self.part.guide.loops[wall.on].run(wall.from, wall.length));
        let hollow = walls
            .filter(|piece| matches!(piece, Piece::Arc { sweep, .. } if *sweep < 0.0))
            .filter_map(|piece| piece.radius())
            .fold(f64::INFINITY, f64::min);
        let routed = site.walls.iter().any(|wall| self.part.has_routed(wall.on));
        (curved && routed && hollow.is_finite()).then(|| Thick {
            part: self.index,
            at: site.at,
            radius: hollow,
            left: self.leave + site.depth,
            most: self.most,
            way: self.way(hollow, unit),
        })
    }

    fn way(&self, hollow: f64, unit: Unit) -> TakeDown {
        let drill = down_to(2.0 * (hollow - self.leave), unit);
        let drum = down_to(2.0 * hollow, unit);
        if (defaults::SMALLEST_DRILL.value..=defaults::LARGEST_DRILL.value)
            .contains(&drill)
        {
            TakeDown::Drill(drill)
        } else if defaults::SMALLEST_DRUM.value <= drum {
            TakeDown::Drum(drum)
        } else {
            TakeDown::Rasp
        }
    }
}

/// What there is to say about a place where the saw leaves too much for the bit.
fn stops(thick: &[Thick], parts: &[Part], shop: &Shop) -> Vec<Problem> {
    let over = thick.iter().filter(|thick| thick.most < thick.left);
    over.map(|thick| {
        let paper = shop.paper;
        let found = format!(
            "in this hollow of radius {} the saw leaves {}: more than the {} the bit may be given",
            paper.length(thick.radius),
            paper.measured(thick.left),
            paper.measured(thick.most - defaults::WASTE_GRACE.value)
        );
        let how = match thick.way {
            TakeDown::Drill(width) => {
                format!("bore it {} wide before sawing up to it", paper.length(width))
            }
            TakeDown::Drum(width) => {
                format!("sand it down on a drum of at most {}", paper.length(width))
            }
            TakeDown::Rasp => "rasp it down".to_owned(),
        };
        let hint = format!("{how}, until no more is left than the saw line shows");
        let name = parts[thick.part].guide.name.as_str();
        let place = Place::whole(Source::Drawing, name).at(thick.at.x, thick.at.y);
        Problem::stop("too-much-left-by-saw", found, hint).at(place)
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::super::shapes::{circle, outline, outlines, part, shop, sides};
    use super::*;
    use crate::outline::Outline;
    use crate::read::Role;
    use crate::shop::{Face, Guide};

    const LEAVE: f64 = 1.5875;

    fn mapped(outline: &Outline) -> (Vec<Sawn>, Vec<Thick>) {
        let shop = shop(0.0, &[12.7]);
        let set_up = SetUp {
            template_face: Face::A,
            bit: 0,
            guide: Guide::Shank,
            station: Station::Hand,
        };
        let map = leave_map(&[part(outline)], (&[set_up], &shop));
        (map.sawn, map.thick)
    }

    /// A block with half a circle of this radius let into its far side.
    fn hollowed(radius: f64) -> Outline {
        let (right, left) =
            (Point::new(200.0 + radius, 100.0), Point::new(200.0 - radius, 100.0));
        let centre = Point::new(200.0, 100.0);
        let mut pieces = sides(&[(0.0, 0.0), (400.0, 0.0), (400.0, 100.0)]);
        pieces.truncate(2);
        pieces.push(Piece::line(Point::new(400.0, 100.0), right));
        let sweep = -std::f64::consts::PI;
        pieces.push(Piece::Arc { from: right, to: left, centre, sweep });
        pieces.push(Piece::line(left, Point::new(0.0, 100.0)));
        pieces.push(Piece::line(Point::new(0.0, 100.0), Point::new(0.0, 0.0)));
        outline(pieces, &[Role::Rout; 6])
    }

    /// Basis: common practice, no source (what blades turn): half an inch turns 64 mm.
    #[test]
    fn the_widest_blade_that_turns_is_taken() {
        for (radius, width) in [(70.0, 13.0), (64.0, 10.0), (30.0, 6.0), (10.0, 6.0)] {
            let (sawn, _) = mapped(&hollowed(radius));
            assert_eq!(sawn[0].saw, Saw::Bandsaw(width), "radius {radius}");
        }
    }

    /// Basis: geometry. A blade that turns 16, set out by the leave, is a disc of 16 + a; in
    /// half a circle of 12 it rests on the two lips: from its arc to the bottom it is
    /// 12 - (R - sqrt(R² - 12²)) with R = 16 + a, and the leave more to the blade's edge.
    #[test]
    fn a_hollow_tighter_than_the_blade_keeps_more() {
        let (_, thick) = mapped(&hollowed(12.0));
        let [spot] = thick.as_slice() else { panic!("one place: {thick:?}") };
        let disc: f64 = 16.0 + LEAVE;
        let depth = 12.0 - (disc - (disc * disc - 144.0).sqrt());
        assert!((spot.left - depth - LEAVE).abs() < 1e-6, "{spot:?}, not {depth}");
        assert!((spot.most - 3.1).abs() < 1e-9, "3 mm and the grace: {spot:?}");
        assert_eq!(spot.way, TakeDown::Drill(20.0), "2 × (12 − 1.5875) is 20.8");
        let stops = stops(&thick, &[part(&hollowed(12.0))], &shop(0.0, &[12.7]));
        assert_eq!(stops[0].id, "too-much-left-by-saw", "a hard stop: {stops:?}");
        assert!(mapped(&hollowed(18.0)).1.is_empty(), "a 6 mm blade turns 16");
    }

    /// Basis: geometry: straight cuts meet in a corner.
    #[test]
    fn straight_cuts_meet_in_a_corner() {
        let notched = sides(&[
            (0.0, 0.0),
            (400.0, 0.0),
            (400.0, 200.0),
            (200.0, 200.0),
            (200.0, 400.0),
            (0.0, 400.0),
        ]);
        assert!(mapped(&outline(notched, &[Role::Rout; 6])).1.is_empty(), "no place");
    }

    #[test]
    fn openings_are_drilled_jigsawn_or_fretsawn() {
        let square = || sides(&[(0.0, 0.0), (400.0, 0.0), (400.0, 400.0), (0.0, 400.0)]);
        let with = |hole: Vec<Piece>| {
            let roles = vec![Role::Rout; hole.len()];
            let (sawn, _) =
                mapped(&outlines(vec![(square(), &[Role::Rout; 4]), (hole, &roles)]));
            (sawn[1].saw, sawn[1].support)
        };
        let round = |radius: f64| circle(Point::new(200.0, 200.0), radius, -1.0);
        assert_eq!(
            with(round(15.0)),
            (Saw::Drill(26.0), false),
            "30 less twice the leave"
        );
        assert_eq!(with(round(35.0)), (Saw::Jigsaw, false), "too wide to drill");
        assert_eq!(with(round(40.0)), (Saw::Jigsaw, true), "wider than half the base");
        let slot = |wide: f64| {
            sides(&[
                (100.0, 100.0),
                (100.0, 300.0),
                (100.0 + wide, 300.0),
                (100.0 + wide, 100.0),
            ])
        };
        assert_eq!(with(slot(18.0)), (Saw::Fretsaw, false), "no room for a jigsaw");
        assert_eq!(with(slot(60.0)), (Saw::Jigsaw, false), "straight sides");
        let holes = outlines(vec![
            (square(), &[Role::Rout; 4]),
            (round(1.5), &[Role::Rout; 2]),
            (slot(3.0), &[Role::Rout; 4]),
        ]);
        assert_eq!(mapped(&holes).0.len(), 1, "what the leave fills is bored, not sawn");
    }
}

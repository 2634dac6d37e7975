//! What a holding may do with an atom, and why not: the hard stops and the rules of end grain.

use super::Reason;
use super::atom::{self, Atom};
use super::choose::Can;
use super::engage::{self, Curvature};
use super::holding::Holding;
use super::light::Light;
use super::places::Places;
use crate::geom::{Loop, Piece, nearest_loop};
use crate::grain::Band;
use crate::outline::{LoopKind, Outline};
use crate::reach::{Enclosed, Reach, Site, SiteKind};
use crate::read::{GrainKind, Station};
use crate::shop::{Bit, Shop, defaults};

/// What one holding can do with one atom.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Able {
    /// It cuts it at this risk.
    Cut {
        /// How many things about it ask for care: much of the bit in wood, a slender bit.
        risk: u32,
        /// The waste must be brought down to this before, in mm.
        less_waste: Option<f64>,
    },
    /// Its bit goes past without touching it.
    Past,
    /// It does not, for this reason.
    No(Reason),
}

/// All that decides about the atoms of one part.
#[derive(Debug, Clone)]
pub(super) struct Case<'a> {
    /// The guide of the part.
    pub(super) guide: &'a Outline,
    /// Facts for each bit of the rack.
    pub(super) reach: &'a [Option<Reach>],
    /// The shop.
    pub(super) shop: &'a Shop,
    /// The atoms of the part, in order.
    pub(super) atoms: &'a [Atom],
    /// Where the atoms of each loop stand among them.
    loops: Vec<std::ops::Range<usize>>,
    /// For each atom the end grain round it.
    end_grain: Vec<EndGrain>,
    /// For each bit the walls of the places it leaves, and the place each belongs to.
    walls: Vec<Option<(Places, Vec<usize>)>>,
}

/// A run of end grain between corners.
#[derive(Debug, Clone, Copy, PartialEq)]
struct EndGrain {
    /// Its first atom.
    first: usize,
    /// Its last atom.
    last: usize,
    /// Its length in mm.
    length: f64,
}

/// The walls of the places a bit leaves, and the place each belongs to.
fn walls(guide: &Outline, reach: &Reach) -> (Places, Vec<usize>) {
    let sites = reach.sites.iter().enumerate();
    let of_site = |(index, site): (usize, &Site)| vec![index; site.walls.len()];
    let site_of = sites.flat_map(of_site).collect();
    let walls = reach.sites.iter().flat_map(|site| site.walls.iter().copied());
    (Places::new(&guide.loops, walls), site_of)
}

impl<'a> Case<'a> {
    /// The case of one part.
    pub(super) fn new(
        guide: &'a Outline,
        reach: &'a [Option<Reach>],
        shop: &'a Shop,
        atoms: &'a [Atom],
    ) -> Self {
        let loops = (0..guide.loops.len())
            .map(|on| {
                let start = atoms.partition_point(|atom| atom.span.on < on);
                start..atoms.partition_point(|atom| atom.span.on <= on)
            })
            .collect();
        let walls = reach.iter().map(|it| Some(walls(guide, it.as_ref()?))).collect();
        let end_grain = Vec::new();
        let mut case = Self { guide, reach, shop, atoms, loops, end_grain, walls };
        case.end_grain = case.runs_of_end_grain();
        case
    }

    /// What a holding can do with the atom at `index`.
    pub(super) fn able(&self, index: usize, holding: &Holding) -> Able {
        let atom = &self.atoms[index];
        let which = holding.set_up.bit;
        let Some(reach) = &self.reach[which] else {
            return Able::No(Reason::BitNotUsable);
        };
        let there = atom.bits[which];
        if !there.touched {
            return if self.goes_past(atom, (which, reach)) {
                Able::Past
            } else {
                Able::No(Reason::BitCannotReach)
            };
        }
        let bit = &self.shop.bits[which];
        let stopped = self
            .stopped_by_place(atom, holding, reach)
            .or_else(|| atom.weak.then_some(Reason::ShortGrain))
            .or_else(|| (there.wood_on_both_sides).then_some(Reason::WoodOnBothSides))
            .or_else(|| self.stopped_by_grain(index, holding));
        let light = holding.light.filter(|_| there.light);
        stopped.map_or_else(|| self.engaged(atom, (bit, light)), Able::No)
    }

    /// Whether the bit goes on past what it does not touch: a place behind one mouth.
    fn goes_past(&self, atom: &Atom, (which, reach): (usize, &Reach)) -> bool {
        let ring = &self.guide.loops[atom.span.on];
        let wall = self.walls[which].as_ref().and_then(|walls| {
            walls.0.at((ring, atom.span.on), atom.middle()).map(|at| walls.1[at])
        });
        let site = wall.map(|site| &reach.sites[site]);
        site.is_none_or(|site| match site.kind {
            SiteKind::InsideCorner | SiteKind::Hollow | SiteKind::Slot => true,
            SiteKind::Neck | SiteKind::Junction | SiteKind::Opening => false,
        })
    }

    /// An opening must let the turning bit in, and at the table a starting pin beside it.
    fn stopped_by_place(
        &self,
        atom: &Atom,
        holding: &Holding,
        reach: &Reach,
    ) -> Option<Reason> {
        let bit = &self.shop.bits[holding.set_up.bit];
        let room = entered_room(self.guide, atom, bit, reach)?;
        if !lets_in(room, bit) {
            return Some(Reason::NoEntry);
        }
        let bounds = self.guide.loops[atom.span.on].bounds();
        let narrow = bounds.width().min(bounds.height()) < defaults::ROOM_FOR_PIN.value;
        let opening = self.guide.kinds[atom.span.on] == LoopKind::Opening;
        (holding.set_up.station == Station::Table && opening && narrow)
            .then_some(Reason::NoSafeStart)
    }

    fn stopped_by_grain(&self, index: usize, holding: &Holding) -> Option<Reason> {
        let atom = &self.atoms[index];
        let s = holding.set_up.s();
        let bit = &self.shop.bits[holding.set_up.bit];
        match atom.band_for(s) {
            Band::Along | Band::Downhill => None,
            Band::Uphill => Some(Reason::UphillEverywhere),
            Band::EndGrain => self.end_grain(index, s, bit),
        }
    }

    /// End grain that goes to the hand: in a tight hollow, short and into an inside corner, or
    /// running off at a point that cannot be backed.
    fn end_grain(&self, index: usize, s: i8, bit: &Bit) -> Option<Reason> {
        let atom = &self.atoms[index];
        let tight = defaults::TIGHT_HOLLOW.value * bit.cutter.radius();
        if let Curvature::Hollow(radius) = curvature(atom.piece(self.guide))
            && radius < tight
        {
            return Some(Reason::EndGrainInHollow);
        }
        let EndGrain { first, last, length } = self.end_grain[index];
        let ring = &self.guide.loops[atom.span.on];
        let (from, to) = (self.atoms[first].span.from, self.atoms[last].span.to());
        let into_corner =
            atom::turn_at(ring, from) < 0.0 || atom::turn_at(ring, to) < 0.0;
        if length < defaults::SHORT_END_GRAIN.value * bit.cutter.mm() && into_corner {
            return Some(Reason::ShortEndGrain);
        }
        let exit = if 0 < s { to } else { from };
        let near =
            ring.wrapped(atom.middle() - exit).min(ring.wrapped(exit - atom.middle()));
        (near < defaults::BEFORE_CORNER.value && atom::is_point(ring, exit))
            .then_some(Reason::CannotBeBacked)
    }

    /// For each atom the run of end grain round it, found once for all in the run.
    fn runs_of_end_grain(&self) -> Vec<EndGrain> {
        let mut runs: Vec<Option<EndGrain>> = vec![None; self.atoms.len()];
        for index in 0..self.atoms.len() {
            if runs[index].is_some() {
                continue;
            }
            let (first, last) = self.run_of_end_grain(index);
            let run = EndGrain { first, last, length: self.lengths(first, last) };
            runs[index] = Some(run);
            // A run that closes has another first atom for each of its atoms.
            let closes = self.goes_on(last, first);
            let mut at = first;
            while !closes && at != last {
                runs[at] = Some(run);
                let Some(next) = self.beside(at, true) else { break };
                at = next;
            }
            if !closes {
                runs[last] = Some(run);
            }
        }
        runs.into_iter().flatten().collect()
    }

    /// Whether the end grain of one atom goes on on the next without a corner.
    fn goes_on(&self, a: usize, b: usize) -> bool {
        let (a, b) = (&self.atoms[a], &self.atoms[b]);
        let ring = &self.guide.loops[a.span.on];
        a.band == Band::EndGrain
            && b.band == Band::EndGrain
            && a.span.on == b.span.on
            && meets(ring, a, b)
            && atom::turn_at(ring, b.span.from).abs() <= 0.0
    }

    /// The first and last atom of the end grain round this one, between corners.
    fn run_of_end_grain(&self, index: usize) -> (usize, usize) {
        let (mut first, mut last) = (index, index);
        while let Some(before) = self.beside(first, false)
            && before != index
            && self.goes_on(before, first)
        {
            first = before;
        }
        while let Some(after) = self.beside(last, true)
            && after != first
            && self.goes_on(last, after)
        {
            last = after;
        }
        (first, last)
    }

    /// The atom before or after this one on its loop, round the loop.
    fn beside(&self, index: usize, after: bool) -> Option<usize> {
        let here = &self.loops[self.atoms[index].span.on];
        let (start, n) = (here.start, here.len());
        let step = if after { 1 } else { n - 1 };
        let beside = start + (index - start + step) % n;
        (beside != index).then_some(beside)
    }

    fn lengths(&self, first: usize, last: usize) -> f64 {
        let mut sum = self.atoms[first].span.length;
        let mut at = first;
        while at != last {
            let Some(next) = self.beside(at, true) else { break };
            at = next;
            sum += self.atoms[at].span.length;
        }
        sum
    }

    /// How much of the bit stands in wood there.
    ///
    /// With a light lap first it is the lap that meets more.
    fn engaged(&self, atom: &Atom, (bit, light): (&Bit, Option<Light>)) -> Able {
        let radius = bit.cutter.radius();
        let curvature = curvature(atom.piece(self.guide));
        // Over 60 degrees less is left; an atom that begins below keeps the full waste there.
        let flattest = atom.phi.0.abs().min(atom.phi.1.abs());
        let waste = atom::waste_for(bit, atom::waste(self.shop, flattest));
        let laps =
            light.map_or([(waste, curvature); 2], |it| it.shared(waste, curvature));
        let psi = laps
            .map(|(waste, edge)| engage::angle(waste, radius, edge))
            .into_iter()
            .fold(0.0, f64::max);
        let heaviest = laps.map(|(waste, _)| waste).into_iter().fold(0.0, f64::max);
        let other = u32::from(self.is_slender(bit)) + u32::from(self.tears(heaviest));
        if psi <= defaults::ENGAGEMENT_CAUTION.value
            || arrives_only(atom.piece(self.guide), radius)
        {
            return Able::Cut { risk: other, less_waste: None };
        }
        if psi <= defaults::ENGAGEMENT_STOP.value {
            return Able::Cut { risk: 1 + other, less_waste: None };
        }
        let allowed = |edge: Curvature| {
            engage::largest_waste(defaults::ENGAGEMENT_STOP.value, radius, edge)
        };
        let most = match light {
            Some(it) if it.leaves <= allowed(curvature) => {
                it.leaves + allowed(curvature.set_out(it.leaves))
            }
            Some(_) | None => allowed(curvature),
        };
        if most < defaults::LEAST_WASTE.value {
            return Able::No(Reason::WoodOnBothSides);
        }
        Able::Cut { risk: 1 + other, less_waste: Some(most) }
    }

    /// Whether so much waste in one lap tears stock that splits far or runs no one way.
    fn tears(&self, waste: f64) -> bool {
        let most = defaults::LEAVE_TENDER.value + defaults::WASTE_GRACE.value;
        self.shop.stock.kind != GrainKind::Straight && most < waste
    }

    /// Whether a bit stands far out for its width: it bends and chatters.
    fn is_slender(&self, bit: &Bit) -> bool {
        let deepest = defaults::SLENDER.value * bit.cutter.mm();
        self.shop.stock.thick.is_some_and(|thick| deepest < thick.mm())
    }
}

/// The enclosed room the bit is in there; `None` where it is joined to the outside.
fn entered_room<'a>(
    guide: &Outline,
    atom: &Atom,
    bit: &Bit,
    reach: &'a Reach,
) -> Option<&'a Enclosed> {
    if reach.enclosed.is_empty() {
        return None;
    }
    let ring = nearest_ring(guide, atom, bit, reach)?;
    reach.enclosed.iter().find(|room| room.rings.contains(&ring))
}

/// Whether a hole that clears the turning bit all round fits into the room.
pub(super) fn lets_in(room: &Enclosed, bit: &Bit) -> bool {
    let spare = bit.bearing.radius() - bit.cutter.radius();
    defaults::ENTRY_CLEARANCE.value <= room.room + spare
}

/// Which ring of the bit's centre runs past an atom.
pub(super) fn nearest_ring(
    guide: &Outline,
    atom: &Atom,
    bit: &Bit,
    reach: &Reach,
) -> Option<usize> {
    let along = atom.middle();
    let ring = &guide.loops[atom.span.on];
    let centre =
        ring.at(along) + ring.direction_after(along).right() * bit.cutter.radius();
    nearest_loop(&reach.centre, centre).map(|(_, ring, _)| ring)
}

/// How a piece curves, seen from the bit.
pub(super) fn curvature(piece: &Piece) -> Curvature {
    match (*piece, piece.radius()) {
        (Piece::Arc { sweep, .. }, Some(radius)) if sweep < 0.0 => {
            Curvature::Hollow(radius)
        }
        (Piece::Arc { .. }, Some(radius)) => Curvature::Hump(radius),
        _ => Curvature::Straight,
    }
}

/// Whether the bit only arrives in a hollow of nearly its own size, as in a corner, and does
/// not run in it: its centre hardly moves.
fn arrives_only(piece: &Piece, radius: f64) -> bool {
    match curvature(piece) {
        Curvature::Hollow(hollow) => {
            (hollow - radius) / hollow * piece.length() < defaults::ARRIVAL.value
        }
        Curvature::Straight | Curvature::Hump(_) => false,
    }
}

/// Whether the second atom begins where the first ends.
pub(super) fn meets(ring: &Loop, a: &Atom, b: &Atom) -> bool {
    let gap = ring.wrapped(b.span.from - a.span.to());
    gap.min(ring.length() - gap) < crate::geom::tolerance::CHECK
}

impl Able {
    /// The same as the choice sees it; `after` where the other layer must be cut first.
    pub(super) fn can(&self, atom: &Atom, (s, after): (i8, bool)) -> Can {
        match self {
            Self::Cut { risk, .. } => {
                Can::Cut { risk: *risk, against: against(atom, s), after }
            }
            Self::Past => Can::Past,
            Self::No(_) => Can::No,
        }
    }
}

/// Whether the tooth runs a little uphill: past the place where the edge runs along the grain,
/// or past the middle of the end grain.
fn against(atom: &Atom, s: i8) -> bool {
    let middle = f64::midpoint(atom.phi.0, atom.phi.1);
    let neutral = middle.abs() < NEUTRAL || 90.0 - NEUTRAL < middle.abs();
    !neutral && f64::from(s) * middle < 0.0
}

/// So near to the grain, or to square across it, neither side is better, in degrees (from
/// memory).
const NEUTRAL: f64 = 0.1;

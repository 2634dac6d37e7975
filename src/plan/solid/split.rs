//! A loop split by the grain: conventional, climbed, or left standing.

use super::super::{DoneBy, Part, Reason, Stretch};
use super::{stretch, wood_of};
use crate::geom::{Loop, Piece, SMOOTH_TURN, Span};
use crate::grain::{ALONG, Band, END_GRAIN, phi};
use crate::prove::Wood;
use crate::shop::defaults::RUN_SLACK;
use crate::shop::{Machine, Shop};

/// Two places on a loop nearer than this are one, in mm.
const NOTHING: f64 = 1e-6;

/// A bit of edge, all of it alike.
#[derive(Debug, Clone)]
struct Atom {
    from: f64,
    length: f64,
    /// The angle to the grain at its start and its end.
    phi: (f64, f64),
    band: Band,
    touched: bool,
    round: bool,
    /// Whether it meets the one before it without a corner.
    smooth: bool,
    why: Reason,
}

/// The stretches of a part, in order of loop and place, named from `named_before` on; who does
/// each is settled with the runs.
pub(super) fn stretches(
    (index, part): (usize, &Part),
    shop: &Shop,
    (machine, named_before): (&Machine, usize),
) -> Vec<Stretch> {
    let axis = shop.stock.grain_of(&part.outline).axis();
    let touched = part.reach[0].as_ref().map_or(&[][..], |reach| &reach.touched);
    let mut all = Vec::new();
    for (on, ring) in part.outline.loops.iter().enumerate() {
        let wood = wood_of(part, on, (shop, machine));
        let own: Vec<Span> = touched.iter().copied().filter(|it| it.on == on).collect();
        let mut atoms = atoms(ring, (axis, wood.as_ref()), &own);
        settle_along(&mut atoms);
        drop_slivers(&mut atoms, wood.as_ref());
        all.extend(joined(&atoms).into_iter().map(|atom| Stretch {
            name: String::new(),
            part: index,
            span: Span { on, from: atom.from, length: atom.length },
            phi: atom.phi,
            band: atom.band,
            touched: atom.touched,
            done_by: DoneBy::Hand,
            why: if atom.touched { atom.why } else { Reason::BitCannotReach },
            lower: None,
        }));
    }
    for (count, stretch) in all.iter_mut().enumerate() {
        stretch.name = stretch::name(named_before + count);
    }
    all
}

/// The atoms of a loop, cut where a piece ends, where the grain passes a limit, and where what
/// the mill touches ends.
fn atoms(ring: &Loop, (axis, wood): (f64, Option<&Wood>), touched: &[Span]) -> Vec<Atom> {
    let mut cuts: Vec<f64> = Vec::new();
    for (index, piece) in ring.pieces().iter().enumerate() {
        let start = ring.start_of(index);
        cuts.push(start);
        let shares = shares(piece, axis, wood).into_iter();
        cuts.extend(shares.map(|share| start + share * piece.length()));
    }
    let ends =
        touched.iter().flat_map(|it| [ring.wrapped(it.from), ring.wrapped(it.to())]);
    cuts.extend(ends);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| *a - *b < NOTHING);
    let whole = ring.length();
    cuts.retain(|cut| *cut < whole - NOTHING);
    let next = cuts.iter().skip(1).copied().chain([whole]);
    let pairs = cuts.iter().copied().zip(next);
    pairs.map(|(from, to)| atom(ring, (from, to - from), (axis, wood), touched)).collect()
}

fn atom(
    ring: &Loop,
    (from, length): (f64, f64),
    (axis, wood): (f64, Option<&Wood>),
    touched: &[Span],
) -> Atom {
    let middle = from + length / 2.0;
    let (index, share) = ring.place(middle);
    let piece = &ring.pieces()[index];
    let half = length / 2.0 / piece.length();
    let at = |share: f64| {
        phi(piece.direction(share.clamp(0.0, 1.0)).angle().to_degrees(), axis)
    };
    let here = at(share);
    // The middle says on which side of 90 it lies; its ends follow from there.
    let beside = |end: f64| {
        let off = (end - here + 90.0).rem_euclid(180.0) - 90.0;
        (here + off).clamp(-90.0, 90.0)
    };
    let (before, after) = (ring.direction_before(from), ring.direction_after(from));
    let holds = |span: &&Span| ring.wrapped(middle - span.from) <= span.length;
    Atom {
        from,
        length,
        phi: (beside(at(share - half)), beside(at(share + half))),
        band: Band::of(here),
        touched: touched.iter().any(|span| holds(&span)),
        round: piece.radius().is_some(),
        smooth: before.turn_to(after).abs() < SMOOTH_TURN,
        why: why(here, wood),
    }
}

/// Why an edge is finished as it is, or left, where the tooth meets the grain at this angle.
fn why(phi: f64, wood: Option<&Wood>) -> Reason {
    let band = Band::of(phi);
    match wood {
        None => Reason::AnyWayRound,
        Some(_) if band == Band::EndGrain => Reason::EndGrainBacked,
        Some(_) if band == Band::Along => Reason::AlongTheGrain,
        Some(_) if band == Band::Downhill => Reason::Downhill,
        Some(wood) if -wood.steepest <= phi => Reason::ClimbCures,
        Some(_) => Reason::TooSteepToClimb,
    }
}

/// Where along an arc the grain passes a limit, as shares of its length.
fn shares(piece: &Piece, axis: f64, wood: Option<&Wood>) -> Vec<f64> {
    let Piece::Arc { sweep, .. } = *piece else { return Vec::new() };
    let start = piece.direction(0.0).angle().to_degrees() - axis;
    let turn = sweep.to_degrees();
    let steepest = wood.map(|wood| -wood.steepest);
    let limits = [-END_GRAIN, -ALONG, 0.0, ALONG, END_GRAIN, 90.0];
    let limits = limits.into_iter().chain(steepest);
    let turns = |limit: f64| (-6..=6).map(move |half| limit + 180.0 * f64::from(half));
    let all = limits.flat_map(turns).map(|limit| (limit - start) / turn);
    all.filter(|share| (0.0..=1.0).contains(share)).collect()
}

/// An edge a little uphill goes with the climb that it runs on into; the two change over where
/// the grain runs along the edge. Anywhere else it is conventional.
fn settle_along(atoms: &mut [Atom]) {
    let count = atoms.len();
    let is_soft = |atom: &Atom| {
        let uphill = f64::midpoint(atom.phi.0, atom.phi.1) < 0.0;
        atom.why == Reason::AlongTheGrain && uphill && atom.round
    };
    let climbs = |atom: &Atom| atom.why == Reason::ClimbCures;
    for step in 1..2 * count {
        let (before, at) = ((step - 1) % count, step % count);
        if is_soft(&atoms[at]) && atoms[at].smooth && climbs(&atoms[before]) {
            atoms[at].why = Reason::ClimbCures;
        }
    }
    for step in (1..2 * count).rev() {
        let (before, at) = ((step - 1) % count, step % count);
        if is_soft(&atoms[before]) && atoms[at].smooth && climbs(&atoms[at]) {
            atoms[before].why = Reason::ClimbCures;
        }
    }
}

/// A climb over less than this, as steep as it may be, is not worth a run of its own, in mm (from
/// memory).
const SLIVER: f64 = 1.0;

/// Slivers at the limit of what a climb cures are left with what lies beyond it.
fn drop_slivers(atoms: &mut [Atom], wood: Option<&Wood>) {
    let Some(wood) = wood else { return };
    let most = RUN_SLACK.value - wood.steepest;
    for atom in atoms.iter_mut().filter(|atom| atom.why == Reason::ClimbCures) {
        if atom.length < SLIVER && atom.phi.0.max(atom.phi.1) < most {
            atom.why = Reason::TooSteepToClimb;
        }
    }
}

/// Atoms made one where all about them is one, round the loop.
fn joined(atoms: &[Atom]) -> Vec<Atom> {
    // What bends the other way is read as a stretch of its own.
    let bends = |atom: &Atom| atom.phi.1 - atom.phi.0;
    let one = |before: &Atom, next: &Atom| {
        next.smooth
            && before.band == next.band
            && before.touched == next.touched
            && before.why == next.why
            && (before.phi.1 - next.phi.0).abs() < ALONG
            && 0.0 <= bends(before) * bends(next)
    };
    let count = atoms.len();
    let first = (0..count).find(|&at| !one(&atoms[(at + count - 1) % count], &atoms[at]));
    let mut all: Vec<Atom> = Vec::new();
    for step in 0..count {
        let atom = &atoms[(first.unwrap_or(0) + step) % count];
        match all.last_mut() {
            Some(last) if one(last, atom) => {
                last.length += atom.length;
                last.phi.1 = atom.phi.1;
            }
            _ => all.push(atom.clone()),
        }
    }
    all.sort_by(|a, b| a.from.total_cmp(&b.from));
    all
}

//! From outlines and shop to the whole plan: facts first, then the choice, then what follows.

use super::able::{Able, Case};
use super::atom::{self, Atom};
use super::choose::{self, Can, Chain, Choice, Offer, Worth};
use super::holding::{self, Holding, Size};
use super::lap::{self, Depth};
use super::pass::{self, Cut, Ready};
use super::run::{self, Linked, Run, Table};
use super::stretch::{self, Fate, LowerFate};
use super::{
    DoneBy, Pass, Plan, Reason, ShortGrain, Stretch, finish, mill, remark, short,
    template,
};
use crate::diag::{Failure, Outcome, Problems};
use crate::geom::{Loop, Span};
use crate::outline::Outline;
use crate::reach::{self, Reach};
use crate::read::GrainKind;
use crate::shop::Shop;
use std::collections::{BTreeMap, BTreeSet};

/// Plans the parts.
pub(super) fn assemble(outlines: Vec<Outline>, shop: &Shop) -> Outcome<Plan> {
    let mut notes = Problems::new();
    let size = Size::of(&outlines, shop);
    let (holdings, stops) = holding::holdings(shop, size);
    notes.extend(stops);
    let mut parts = Vec::new();
    for indexed in outlines.into_iter().enumerate() {
        parts.push(facts(indexed, shop, &holdings, &mut notes)?);
    }
    let Some(chosen) = decide(&parts, &holdings, shop) else {
        return Err(Failure::Refused(remark::nothing_to_cut(&parts, &notes, shop.paper)));
    };
    let work = chosen.work(&parts, shop);
    finish::finish(parts, shop, (&chosen, work), notes)
}

/// One part with all facts about it.
pub(super) struct Facts {
    /// The part as drawn.
    pub(super) outline: Outline,
    /// The guide.
    pub(super) guide: Outline,
    /// For each bit of the rack.
    pub(super) reach: Vec<Option<Reach>>,
    /// Where an oversize bearing of each rides; empty where it has none.
    pub(super) light: Vec<Vec<Span>>,
    /// Narrow places whose fibres run out.
    pub(super) short: Vec<ShortGrain>,
    /// Its atoms.
    pub(super) atoms: Vec<Atom>,
    /// What each holding can do with each of them.
    pub(super) table: Table,
}

pub(super) fn facts(
    (index, outline): (usize, Outline),
    shop: &Shop,
    holdings: &[Holding],
    notes: &mut Problems,
) -> Result<Facts, Failure> {
    let (guide, told) = template::guide(&outline, shop.template.run_on.mm(), shop.paper);
    notes.extend(told);
    let (mut reach, mut light) = (Vec::new(), Vec::new());
    for (index, bit) in shop.bits.iter().enumerate() {
        if !holdings.iter().any(|holding| holding.set_up.bit == index) {
            reach.push(None);
            light.push(Vec::new());
            continue;
        }
        let mut facts = reach::reach(&guide, mill::radii(bit, shop), shop.paper)?;
        // The bit itself has more room to be let in than the end mill that guides it.
        let wider = mill::beyond_bearing(bit, shop).unwrap_or(0.0);
        for enclosed in &mut facts.enclosed {
            enclosed.room += wider;
        }
        reach.push(Some(facts));
        let first = holdings
            .iter()
            .find_map(|holding| holding.light.filter(|_| holding.set_up.bit == index));
        let rides = first.map(|it| it.rides(bit, &guide, shop)).transpose()?;
        light.push(rides.unwrap_or_default());
    }
    let grain = shop.stock.grain_of(&outline);
    let short = short::short_grain(index, (&outline, &guide), &grain);
    let atoms = atom::atoms(&guide, (shop, &grain), (&reach, &light, &short));
    let case = Case::new(&guide, &reach, shop, &atoms);
    let table = (0..atoms.len())
        .map(|index| holdings.iter().map(|it| case.able(index, it)).collect())
        .collect();
    Ok(Facts { outline, guide, reach, light, short, atoms, table })
}

/// The set-ups that were chosen, in working order, and what they cut.
pub(super) struct Chosen<'a> {
    /// All there were to choose from.
    pub(super) rack: &'a [Holding],
    /// Each with its index among all holdings.
    pub(super) holdings: Vec<(usize, &'a Holding)>,
    /// The runs, in working order.
    pub(super) runs: Vec<Run>,
    /// How good the choice is.
    pub(super) worth: Worth,
    /// What the grain of the stock is like.
    pub(super) kind: GrainKind,
}

fn decide<'a>(
    parts: &[Facts],
    holdings: &'a [Holding],
    shop: &Shop,
) -> Option<Chosen<'a>> {
    let offers: Vec<Offer> = holdings.iter().map(offer).collect();
    let mut linked: Vec<Linked> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        for depth in (0..lap::DEPTHS).filter(|&depth| is_cut_at(holdings, depth)) {
            let facts = |at: usize| part.link(at, (holdings, depth));
            let place = (index, depth);
            linked.extend(run::chains(place, &part.guide, &part.atoms, &facts));
        }
    }
    let chains: Vec<Chain> = linked.iter().map(|linked| linked.chain.clone()).collect();
    let choice = choose::choose(&offers, &chains)?;
    let order = working_order(parts, &linked, (&choice, holdings));
    let mut runs: Vec<Run> = Vec::new();
    for (set_up, &which) in order.iter().enumerate() {
        for (linked, labels) in linked.iter().zip(&choice.by) {
            runs.extend(run::runs(linked, labels, which, set_up));
        }
    }
    runs.sort_by_key(|run| {
        let part = &parts[run.part];
        (run.set_up, run::order(run, &part.guide, &part.atoms))
    });
    Some(Chosen {
        rack: holdings,
        holdings: order.iter().map(|&which| (which, &holdings[which])).collect(),
        runs,
        worth: choice.worth,
        kind: shop.stock.kind,
    })
}

/// Whether any holding cuts the stock at this depth.
fn is_cut_at(holdings: &[Holding], depth: usize) -> bool {
    holdings.iter().any(|holding| holding.depth.index() == depth)
}

impl Facts {
    /// Whether some holding cuts an atom right through: then it is not cut in layers.
    fn is_cut_through(&self, at: usize, holdings: &[Holding]) -> bool {
        let cuts = |(holding, able): (&Holding, &Able)| {
            holding.depth == Depth::Whole && matches!(able, Able::Cut { .. })
        };
        holdings.iter().zip(&self.table[at]).any(cuts)
    }

    /// What each holding can do with an atom at a depth, and who can cut its other layer first.
    fn link(&self, at: usize, (holdings, depth): (&[Holding], usize)) -> run::Facts {
        let through = Depth::Whole.index();
        let none = depth != through && self.is_cut_through(at, holdings);
        let able = |holding: &Holding, able: &Able| {
            let turn = (holding.set_up.s(), holding.depth.waits());
            able.can(&self.atoms[at], turn)
        };
        let pairs = || holdings.iter().zip(&self.table[at]);
        let can = pairs().map(|(holding, it)| {
            if none || holding.depth.index() != depth {
                Can::No
            } else {
                able(holding, it)
            }
        });
        let goes_first = |(holding, it): (&Holding, &Able)| {
            let other = ![through, depth].contains(&holding.depth.index());
            other && matches!(able(holding, it), Can::Cut { after: false, .. })
        };
        let first =
            if depth == through { Vec::new() } else { pairs().map(goes_first).collect() };
        (can.collect(), first)
    }
}

fn offer(holding: &Holding) -> Offer {
    let mut laps = vec![0; lap::DEPTHS];
    let of_each = 1 + usize::from(holding.light.is_some());
    laps[holding.depth.index()] =
        u32::try_from(of_each * holding.layers.len()).expect("few laps");
    Offer {
        light: holding.light.is_some(),
        face_b: holding.set_up.template_face == crate::shop::Face::B,
        laps,
        template_offset: holding.template_offset,
    }
}

/// The set-ups chosen: those that wait for a layer after the others, else the one that cuts
/// most end grain first, ends before long grain.
fn working_order(
    parts: &[Facts],
    linked: &[Linked],
    (choice, holdings): (&Choice, &[Holding]),
) -> Vec<usize> {
    let end_grain = |which: usize| -> f64 {
        linked
            .iter()
            .zip(&choice.by)
            .flat_map(|(linked, labels)| {
                linked.atoms.iter().map(|&at| &parts[linked.part].atoms[at]).zip(labels)
            })
            .filter(|(atom, label)| {
                **label == Some(which) && atom.band == crate::grain::Band::EndGrain
            })
            .map(|(atom, _)| atom.span.length)
            .sum()
    };
    let mut order = choice.chosen.clone();
    order.sort_by(|&a, &b| {
        let waits = |which: usize| holdings[which].depth.waits();
        waits(a).cmp(&waits(b)).then(end_grain(b).total_cmp(&end_grain(a)))
    });
    order
}

/// Stretches and passes that belong together.
pub(super) struct Work {
    /// The stretches.
    pub(super) stretches: Vec<Stretch>,
    /// The passes.
    pub(super) passes: Vec<Pass>,
    /// Passes that run off over a sharp point, by number.
    pub(super) over_points: Vec<usize>,
}

impl Chosen<'_> {
    /// The bits in use, each once, by index.
    pub(super) fn bits(&self) -> impl Iterator<Item = usize> {
        let used: BTreeSet<usize> =
            self.holdings.iter().map(|(_, holding)| holding.set_up.bit).collect();
        used.into_iter()
    }

    fn work(&self, parts: &[Facts], shop: &Shop) -> Work {
        let ready: Vec<Ready<'_>> = parts
            .iter()
            .map(|part| Ready {
                outline: &part.outline,
                guide: &part.guide,
                atoms: &part.atoms,
                table: &part.table,
            })
            .collect();
        let cuts = pass::passes(&ready, &self.holdings, &self.runs, shop);
        let mut named = Vec::new();
        for (index, part) in parts.iter().enumerate() {
            let fates = self.fates(index, part, &cuts);
            let before = named.len();
            named.extend(stretch::stretches(&part.guide, &fates, (index, before)));
        }
        joined(cuts, named)
    }

    /// What becomes of each atom of a part: cut by a run, or left to the hand, and why.
    fn fates(&self, index: usize, part: &Facts, cuts: &[Cut]) -> Vec<Fate> {
        let used: Vec<usize> =
            self.holdings.iter().map(|(_, holding)| holding.set_up.bit).collect();
        let mut run_of = vec![[None; lap::DEPTHS]; part.atoms.len()];
        for (run, cuts) in self.runs.iter().enumerate().rev() {
            if cuts.part == index {
                cuts.atoms.iter().for_each(|&at| run_of[at][cuts.depth] = Some(run));
            }
        }
        let trims: BTreeMap<usize, Span> =
            cuts.iter().rev().filter_map(|cut| Some((cut.run, cut.trimmed?))).collect();
        let mut fates = Vec::new();
        for (at, atom) in part.atoms.iter().enumerate() {
            let [whole, upper, lower] = run_of[at];
            let run = whole.or(upper);
            let touched = used.iter().any(|&bit| atom.bits[bit].touched);
            let why = self.why(run, (part, at));
            // Where a bit gets through there are no layers; nor where none touches.
            let parted = whole.is_none() && (upper.is_some() || lower.is_some());
            let lower = self.border().filter(|_| parted).map(|from| {
                let why = match lower {
                    Some(_) => self.why(lower, (part, at)),
                    None => self.why_lower_by_hand(&part.table[at]),
                };
                LowerFate { from, run: lower, why }
            });
            let fate = Fate { atom: atom.clone(), run, touched, why, lower };
            fates.extend(trimmed(fate, part, &trims));
        }
        fates
    }

    /// Why a run cuts an atom, or why none does.
    fn why(&self, run: Option<usize>, (part, at): (&Facts, usize)) -> Reason {
        let s = run.map(|run| self.holdings[self.runs[run].set_up].1.set_up.s());
        s.map_or_else(
            || self.why_by_hand(&part.table[at]),
            |s| stretch::why_routed(&part.atoms[at], (s, self.kind)),
        )
    }

    /// Why an atom, or its upper layer, is left to the hand: what waits for that layer to be cut
    /// is no way to cut it.
    fn why_by_hand(&self, ables: &[Able]) -> Reason {
        let pairs = self.rack.iter().zip(ables);
        let ready = pairs.filter(|(holding, _)| !holding.depth.waits());
        let ables: Vec<Able> = ready.map(|(_, able)| able.clone()).collect();
        stretch::why_by_hand(&ables)
    }

    /// Why a lower layer is left to the hand, of what the rack's holdings for it can do there.
    fn why_lower_by_hand(&self, ables: &[Able]) -> Reason {
        let lower = self
            .rack
            .iter()
            .zip(ables)
            .filter(|(holding, _)| matches!(holding.depth, Depth::Lower { .. }));
        let ables: Vec<Able> = lower.map(|(_, able)| able.clone()).collect();
        if ables.is_empty() {
            return Reason::BitTooShort;
        }
        match stretch::why_by_hand(&ables) {
            Reason::UphillEverywhere => Reason::LayerUphill,
            why => why,
        }
    }

    /// How deep below face A the lower layer begins, where the stock is cut in two.
    fn border(&self) -> Option<f64> {
        let upper = self.holdings.iter().find(|(_, it)| it.depth == Depth::Upper)?.1;
        upper.layers.last()?.to
    }
}

/// An atom with what no safe start leaves of it cut off for the hand, at each depth.
fn trimmed(fate: Fate, part: &Facts, trims: &BTreeMap<usize, Span>) -> Vec<Fate> {
    let ring = &part.guide.loops[fate.atom.span.on];
    let trim = |run: Option<usize>| trims.get(&run?).copied();
    let upper = trim(fate.run);
    let lower = trim(fate.lower.as_ref().and_then(|lower| lower.run));
    let mut whole = vec![fate];
    for border in [upper, lower].into_iter().flatten().flat_map(|it| [it.from, it.to()]) {
        whole =
            whole.into_iter().flat_map(|fate| parted_at(fate, ring, border)).collect();
    }
    for fate in &mut whole {
        let middle = fate.atom.middle();
        let lies_in = |span: Option<Span>| {
            span.is_some_and(|span| atom::holds(ring, &span, middle))
        };
        if lies_in(upper) {
            fate.run = None;
            fate.why = Reason::NoSafeStart;
        }
        if let Some(below) = fate.lower.as_mut().filter(|_| lies_in(lower)) {
            below.run = None;
            below.why = Reason::NoSafeStart;
        }
    }
    whole
}

/// An atom cut in two at a place on its loop, where that lies inside it.
fn parted_at(fate: Fate, ring: &Loop, border: f64) -> Vec<Fate> {
    const LEAST: f64 = crate::geom::tolerance::CHECK;
    let at = ring.wrapped(border - fate.atom.span.from);
    if at <= LEAST || fate.atom.span.length - LEAST <= at {
        return vec![fate];
    }
    let (first, mut second) = fate.atom.cut_at(at);
    second.span.from = ring.wrapped(second.span.from);
    vec![Fate { atom: first, ..fate.clone() }, Fate { atom: second, ..fate }]
}

/// Passes with their stretches, stretches with their passes. A pass that has none left is
/// dropped, and the numbers close up.
fn joined(cuts: Vec<Cut>, named: Vec<stretch::Named>) -> Work {
    let mut passes: Vec<Pass> = Vec::new();
    let mut over_points = Vec::new();
    let mut last_pass: BTreeMap<usize, usize> = BTreeMap::new();
    let own = by_run(&named);
    for cut in cuts {
        let Some(own) = own.get(&cut.run) else { continue };
        let number = passes.len() + 1;
        if cut.over_point {
            over_points.push(number);
        }
        last_pass.insert(cut.run, number);
        let stretches = in_order(own.clone(), &named, &cut.pass);
        passes.push(Pass { number, stretches, ..cut.pass });
    }
    let done_by = |run: Option<usize>| {
        let pass = run.and_then(|run| last_pass.get(&run));
        pass.map_or(DoneBy::Hand, |number| DoneBy::Pass(*number))
    };
    let stretches = named
        .into_iter()
        .map(|named| {
            let mut stretch = named.stretch;
            stretch.done_by = done_by(named.run);
            if let Some(lower) = &mut stretch.lower {
                lower.done_by = done_by(named.lower_run);
            }
            stretch
        })
        .collect();
    Work { stretches, passes, over_points }
}

/// The stretches that each run cuts, by index.
fn by_run(named: &[stretch::Named]) -> BTreeMap<usize, Vec<usize>> {
    let mut all: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (index, named) in named.iter().enumerate() {
        let runs: BTreeSet<usize> =
            [named.run, named.lower_run].into_iter().flatten().collect();
        for run in runs {
            all.entry(run).or_default().push(index);
        }
    }
    all
}

/// Stretches in the order of the walk from their pass's own start, also over the loop's first
/// point.
fn in_order(mut own: Vec<usize>, named: &[stretch::Named], pass: &Pass) -> Vec<usize> {
    let from = pass.span.from - crate::geom::tolerance::REPAIR;
    let place = |index: usize| {
        let begins = named[index].stretch.span.from;
        (begins < from && !pass.closed, begins)
    };
    own.sort_by(|&a, &b| {
        place(a).partial_cmp(&place(b)).expect("places on a loop are finite")
    });
    own
}

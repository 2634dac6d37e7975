//! From outlines and shop to the whole plan: facts first, then the choice, then what follows.

use super::able::Case;
use super::atom::{self, Atom};
use super::choose::{self, Chain, Choice, Offer, Worth};
use super::holding::{self, Holding};
use super::pass::{self, Cut, Ready};
use super::run::{self, Linked, Run, Table};
use super::stretch::{self, Fate};
use super::{
    DoneBy, Draft, Exit, Part, Pass, Plan, Stretch, hand, mill, minutes, remark, saw,
    template,
};
use crate::diag::{Failure, Outcome, Problems, Told};
use crate::geom::Loop;
use crate::outline::Outline;
use crate::reach::{self, Reach};
use crate::shop::{Shop, defaults};

/// Plans the parts.
pub(super) fn assemble(outlines: Vec<Outline>, shop: &Shop) -> Outcome<Plan> {
    let mut notes = Problems::new();
    let small = outlines.iter().any(is_small);
    let (holdings, stops) = holding::holdings(shop, small);
    notes.extend(stops);
    let mut parts = Vec::new();
    for outline in outlines {
        parts.push(facts(outline, shop, &holdings, &mut notes)?);
    }
    let Some(chosen) = decide(&parts, &holdings) else {
        return Err(Failure::Refused(remark::nothing_to_cut(&parts, &notes)));
    };
    let work = chosen.work(&parts, shop);
    finish(parts, shop, (&chosen, work), notes)
}

/// Whether a part is so small that it is not held in the hands at the table. A piece that
/// goes on past the template is not.
fn is_small(outline: &Outline) -> bool {
    if remark::goes_on(outline) {
        return false;
    }
    let bounds = outline.loops[0].bounds();
    bounds.width().max(bounds.height()) < defaults::SMALL_PART.value
}

/// One part with all facts about it.
pub(super) struct Facts {
    /// The part as drawn.
    pub(super) outline: Outline,
    /// The guide.
    pub(super) guide: Outline,
    /// For each bit of the rack.
    pub(super) reach: Vec<Option<Reach>>,
    /// Its atoms.
    pub(super) atoms: Vec<Atom>,
    /// What each holding can do with each of them.
    pub(super) table: Table,
}

fn facts(
    outline: Outline,
    shop: &Shop,
    holdings: &[Holding],
    notes: &mut Problems,
) -> Result<Facts, Failure> {
    let (guide, told) = template::guide(&outline, shop.template.run_on.mm());
    notes.extend(told);
    let mut reach = Vec::new();
    for (index, bit) in shop.bits.iter().enumerate() {
        if !holdings.iter().any(|holding| holding.set_up.bit == index) {
            reach.push(None);
            continue;
        }
        let mut facts = reach::reach(&guide, mill::radii(bit, shop))?;
        // The bit itself has more room to be let in than the end mill that guides it.
        let wider = mill::beyond_bearing(bit, shop).unwrap_or(0.0);
        for enclosed in &mut facts.enclosed {
            enclosed.room += wider;
        }
        reach.push(Some(facts));
    }
    let atoms = atom::atoms(&guide, shop, &reach);
    let case = Case::new(&guide, &reach, shop, &atoms);
    let table = (0..atoms.len())
        .map(|index| holdings.iter().map(|it| case.able(index, it)).collect())
        .collect();
    Ok(Facts { outline, guide, reach, atoms, table })
}

/// The set-ups that were chosen, in working order, and what they cut.
pub(super) struct Chosen<'a> {
    /// Each with its index among all holdings.
    pub(super) holdings: Vec<(usize, &'a Holding)>,
    /// The runs, in working order.
    pub(super) runs: Vec<Run>,
    /// How good the choice is.
    pub(super) worth: Worth,
}

fn decide<'a>(parts: &[Facts], holdings: &'a [Holding]) -> Option<Chosen<'a>> {
    let offers: Vec<Offer> = holdings.iter().map(offer).collect();
    let mut linked: Vec<Linked> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let can = |at: usize| {
            holdings
                .iter()
                .zip(&part.table[at])
                .map(|(holding, able)| able.can(&part.atoms[at], holding.set_up.s()))
                .collect()
        };
        linked.extend(run::chains(index, &part.guide, &part.atoms, &can));
    }
    let chains: Vec<Chain> = linked.iter().map(|linked| linked.chain.clone()).collect();
    let choice = choose::choose(&offers, &chains)?;
    let order = working_order(parts, &linked, &choice);
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
        holdings: order.iter().map(|&which| (which, &holdings[which])).collect(),
        runs,
        worth: choice.worth,
    })
}

fn offer(holding: &Holding) -> Offer {
    Offer {
        face_b: holding.set_up.template_face == crate::shop::Face::B,
        laps: vec![u32::try_from(holding.layers.len()).expect("few laps")],
        template_offset: holding.template_offset,
    }
}

/// The set-ups chosen, the one that cuts most end grain first: ends before long grain.
fn working_order(parts: &[Facts], linked: &[Linked], choice: &Choice) -> Vec<usize> {
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
    order.sort_by(|&a, &b| end_grain(b).total_cmp(&end_grain(a)));
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
        let mut run_of = vec![None; part.atoms.len()];
        for (run, cuts) in self.runs.iter().enumerate().rev() {
            if cuts.part == index {
                cuts.atoms.iter().for_each(|&at| run_of[at] = Some(run));
            }
        }
        let mut fates = Vec::new();
        for (at, atom) in part.atoms.iter().enumerate() {
            let run = run_of[at];
            let s = run.map(|run| self.holdings[self.runs[run].set_up].1.set_up.s());
            let why = s.map_or_else(
                || stretch::why_by_hand(&part.table[at]),
                |s| stretch::why_routed(atom, s),
            );
            let touched = used.iter().any(|&bit| atom.bits[bit].touched);
            let fate = Fate { atom: atom.clone(), run, touched, why };
            fates.extend(trimmed(fate, part, cuts));
        }
        fates
    }
}

/// An atom with what no safe start leaves of it cut off for the hand.
fn trimmed(fate: Fate, part: &Facts, cuts: &[Cut]) -> Vec<Fate> {
    let ring = &part.guide.loops[fate.atom.span.on];
    let mut whole = vec![fate];
    let trims = |fate: &Fate| {
        let run = fate.run?;
        let cut = cuts.iter().find(|cut| cut.run == run && cut.trimmed.is_some())?;
        cut.trimmed
    };
    let Some(span) = trims(&whole[0]) else { return whole };
    for border in [span.from, span.to()] {
        whole = whole
            .into_iter()
            .flat_map(|fate| {
                let at = ring.wrapped(border - fate.atom.span.from);
                let inside = crate::geom::tolerance::CHECK < at
                    && at < fate.atom.span.length - crate::geom::tolerance::CHECK;
                if !inside {
                    return vec![fate];
                }
                let (first, mut second) = fate.atom.cut_at(at);
                second.span.from = ring.wrapped(second.span.from);
                vec![Fate { atom: first, ..fate.clone() }, Fate { atom: second, ..fate }]
            })
            .collect();
    }
    for fate in &mut whole {
        if atom::holds(ring, &span, fate.atom.middle()) {
            fate.run = None;
            fate.why = super::Reason::NoSafeStart;
        }
    }
    whole
}

/// Passes with their stretches, stretches with their passes. A pass that has none left is
/// dropped, and the numbers close up.
fn joined(cuts: Vec<Cut>, named: Vec<stretch::Named>) -> Work {
    let mut passes: Vec<Pass> = Vec::new();
    let mut over_points = Vec::new();
    let mut last_pass: Vec<(usize, usize)> = Vec::new();
    for cut in cuts {
        let mut own: Vec<usize> =
            (0..named.len()).filter(|&index| named[index].run == Some(cut.run)).collect();
        if own.is_empty() {
            continue;
        }
        // In the order of the walk from the pass's own start, also over the loop's first point.
        let from = cut.pass.span.from;
        own.sort_by(|&a, &b| {
            let on_from_start = |index: usize| {
                let middle = named[index].stretch.span.from;
                let before = middle < from - crate::geom::tolerance::REPAIR;
                (before && !cut.pass.closed, middle)
            };
            on_from_start(a)
                .partial_cmp(&on_from_start(b))
                .expect("places on a loop are finite")
        });
        let number = passes.len() + 1;
        if cut.over_point {
            over_points.push(number);
        }
        last_pass.retain(|(run, _)| *run != cut.run);
        last_pass.push((cut.run, number));
        passes.push(Pass { number, stretches: own, ..cut.pass });
    }
    let stretches = named
        .into_iter()
        .map(|named| {
            let number = named.run.and_then(|run| {
                last_pass.iter().find(|(of, _)| *of == run).map(|(_, number)| *number)
            });
            let done_by = number.map_or(DoneBy::Hand, DoneBy::Pass);
            Stretch { done_by, ..named.stretch }
        })
        .collect();
    Work { stretches, passes, over_points }
}

/// Whether the stretch beyond a pass's last one, in the bit's own way, is left to the hand.
fn hand_work_follows(
    pass: &Pass,
    ring: &Loop,
    (stretches, forward): (&[Stretch], bool),
) -> bool {
    const BEYOND: f64 = 10.0 * crate::geom::tolerance::CHECK;
    let last = if forward { pass.stretches.last() } else { pass.stretches.first() };
    let Some(&last) = last else { return false };
    let span = stretches[last].span;
    let at = if forward { span.to() + BEYOND } else { span.from - BEYOND };
    stretches.iter().any(|stretch| {
        stretch.part == pass.part
            && stretch.span.on == span.on
            && ring.wrapped(at - stretch.span.from) < stretch.span.length
            && stretch.done_by == DoneBy::Hand
    })
}

/// Template, saw line, hand work, notes: what follows from the choice.
fn finish(
    facts: Vec<Facts>,
    shop: &Shop,
    (chosen, work): (&Chosen<'_>, Work),
    mut notes: Problems,
) -> Outcome<Plan> {
    let offset = chosen.holdings[0].1.template_offset;
    notes.extend(remark::remarks(&facts, shop, chosen, &work));
    let guides: Vec<(&Outline, f64)> =
        facts.iter().map(|part| (&part.guide, offset)).collect();
    let templates = template::templates(&guides, shop)?;
    let parts: Vec<Part> = facts
        .into_iter()
        .zip(templates)
        .map(|(part, template)| {
            let finished = finished(&part.reach, chosen);
            Part {
                outline: part.outline,
                guide: part.guide,
                template,
                template_offset: offset,
                count: shop.count,
                reach: part.reach,
                finished,
            }
        })
        .collect();
    let Work { stretches, mut passes, .. } = work;
    let set_ups: Vec<_> = chosen.holdings.iter().map(|(_, it)| it.set_up).collect();
    for pass in passes.iter_mut().filter(|pass| pass.exit.0 == Exit::Overlap) {
        let ring = &parts[pass.part].guide.loops[pass.span.on];
        if hand_work_follows(pass, ring, (&stretches, 0 < set_ups[pass.set_up].s())) {
            pass.exit.0 = Exit::BeforeHandWork;
        }
    }
    let draft = Draft { set_ups: &set_ups, stretches: &stretches, passes: &passes };
    let hand = hand::hand_work(&parts, &draft, shop);
    let (saw, told) = saw::saw_lines(&parts, &stretches, shop);
    notes.extend(told.into_iter().map(remark::weighed));
    let least_cut_length = remark::least_cut_length(shop, chosen);
    let minutes = minutes::minutes(&draft, &hand);
    let plan = Plan {
        parts,
        set_ups,
        stretches,
        passes,
        hand,
        saw,
        least_cut_length,
        cost: chosen.worth.cost(),
        minutes,
        notes,
    };
    Ok(Told { value: plan, notes: Problems::new() })
}

/// What the chosen bits leave standing: of one bit exactly; of several, what the one that gets
/// farthest leaves, since whatever it alone can reach it is also given to cut.
fn finished(reach: &[Option<Reach>], chosen: &Chosen<'_>) -> Vec<Loop> {
    chosen
        .holdings
        .iter()
        .filter_map(|(_, holding)| reach[holding.set_up.bit].as_ref())
        .min_by(|a, b| left(a).total_cmp(&left(b)))
        .map_or_else(Vec::new, |reach| reach.finished.clone())
}

/// The area a bit leaves in the places it cannot reach.
fn left(reach: &Reach) -> f64 {
    reach.sites.iter().map(|site| site.area).sum::<f64>() + reach.shallow.1
}

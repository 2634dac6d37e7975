//! What follows from the choice: template, saw line, leave, hand work, minutes, notes.

use super::assemble::{Chosen, Facts, Work};
use super::{
    DoneBy, Draft, Exit, Part, Pass, Plan, SetUp, Stretch, contact, entry, hand, leave,
    minutes, prepare, remark, saw, shared, short, stand, template, trial,
};
use crate::diag::{Failure, Outcome, Problems, Told};
use crate::geom::Loop;
use crate::outline::Outline;
use crate::reach::Reach;
use crate::shop::{Bit, Shop};

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
    let at = ring.wrapped(if forward { span.to() + BEYOND } else { span.from - BEYOND });
    // Stretches stand in order of part, loop and place; the last of a loop may go on past its
    // first point.
    let before = |stretch: &Stretch| {
        let begins = (stretch.part, stretch.span.on);
        begins < (pass.part, span.on)
            || begins == (pass.part, span.on) && stretch.span.from <= at
    };
    let of_loop =
        |stretch: &&Stretch| stretch.part == pass.part && stretch.span.on == span.on;
    let here = stretches[..stretches.partition_point(before)].last().filter(of_loop);
    let here = here.or_else(|| {
        let on_or_before = |it: &Stretch| (it.part, it.span.on) <= (pass.part, span.on);
        stretches[..stretches.partition_point(on_or_before)].last().filter(of_loop)
    });
    here.is_some_and(|stretch| {
        ring.wrapped(at - stretch.span.from) < stretch.span.length
            && stretch.done_by == DoneBy::Hand
    })
}

/// Template, saw line, hand work, notes: what follows from the choice.
pub(super) fn finish(
    facts: Vec<Facts>,
    shop: &Shop,
    (chosen, work): (&Chosen<'_>, Work),
    mut notes: Problems,
) -> Outcome<Plan> {
    notes.extend(remark::remarks(&facts, shop, chosen, &work));
    let entries = entry::entries(&facts, chosen, shop);
    let short_grain: Vec<_> = facts.iter().flat_map(|part| part.short.clone()).collect();
    let mut parts = parts(facts, (shop, chosen))?;
    notes.extend(shared::share(&mut parts, shop));
    let Work { stretches, mut passes, .. } = work;
    let set_ups: Vec<_> = chosen.holdings.iter().map(|(_, it)| it.set_up).collect();
    let holdings: Vec<_> = chosen.holdings.iter().map(|&(_, it)| it).collect();
    let stands = stand::all(&holdings, shop);
    let spacers = stands.iter().zip(&set_ups);
    notes.extend(spacers.filter_map(|(it, set_up)| stand::remark(it, set_up, shop)));
    lift_before_hand_work(&mut passes, (&parts, &stretches, &set_ups));
    short::back_tips(&mut passes, &short_grain, &parts);
    contact::engage(&mut passes, (&parts, &stretches, &set_ups), shop);
    let trial = trial::worst(&stretches, &passes);
    notes.extend(trial.map(|index| trial::first(&stretches[index])));
    let draft = Draft { set_ups: &set_ups, stretches: &stretches, passes: &passes };
    let hand = hand::hand_work(&parts, &draft, shop);
    let (saw, told) = saw::saw_lines(&parts, &stretches, shop);
    notes.extend(told.into_iter().map(remark::weighed));
    let leave = leave::leave_map(&parts, (&set_ups, shop));
    let prepare = prepare::steps(&parts, (&set_ups, &entries), (&leave, shop));
    notes.extend(leave.notes);
    let (sawn, thick) = (leave.sawn, leave.thick);
    let least_cut_length = remark::least_cut_length(shop, chosen);
    let minutes = minutes::minutes(&draft, &hand);
    let plan = Plan {
        parts,
        set_ups,
        stands,
        stretches,
        passes,
        hand,
        saw,
        sawn,
        thick,
        prepare,
        trial,
        short_grain,
        least_cut_length,
        cost: chosen.worth.cost(),
        minutes,
        notes,
    };
    Ok(Told { value: plan, notes: Problems::new() })
}

/// The parts with what is made for them.
fn parts(
    facts: Vec<Facts>,
    (shop, chosen): (&Shop, &Chosen<'_>),
) -> Result<Vec<Part>, Failure> {
    let offset = chosen.holdings[0].1.template_offset;
    let guides: Vec<(&Outline, f64)> =
        facts.iter().map(|part| (&part.guide, offset)).collect();
    let bits: Vec<&Bit> = chosen
        .holdings
        .iter()
        .map(|(_, holding)| &shop.bits[holding.set_up.bit])
        .collect();
    let templates = template::templates(&guides, &bits, shop)?;
    let part = |(part, made): (Facts, template::Made)| {
        let finished = finished(&part.reach, chosen);
        Part {
            outline: part.outline,
            guide: part.guide,
            template: made.template,
            set_from: made.set_from,
            shared: None,
            template_offset: offset,
            count: shop.count,
            reach: part.reach,
            light: part.light,
            finished,
        }
    };
    Ok(facts.into_iter().zip(templates).map(part).collect())
}

/// Passes that lift away on a stretch end where hand work begins, if it does there.
fn lift_before_hand_work(
    passes: &mut [Pass],
    (parts, stretches, set_ups): (&[Part], &[Stretch], &[SetUp]),
) {
    for pass in passes.iter_mut().filter(|pass| pass.exit.0 == Exit::Overlap) {
        let ring = &parts[pass.part].guide.loops[pass.span.on];
        if hand_work_follows(pass, ring, (stretches, 0 < set_ups[pass.set_up].s())) {
            pass.exit.0 = Exit::BeforeHandWork;
        }
    }
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

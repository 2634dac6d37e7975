//! Passes: runs with their starts, ends, overlap, backers and laps in depth, in working order.

use super::atom::Atom;
use super::done::Done;
use super::holding::Holding;
use super::places::Places;
use super::run::{self, Run, Table};
use super::start::{Begin, End, Ground, span};
use super::{Exit, Feed, Lap, Layer, Pass, Reason, Start};
use crate::geom::Span;
use crate::grain::Band;
use crate::outline::{LoopKind, Outline};
use crate::shop::Shop;

/// One part as far as the passes need it.
pub(super) struct Ready<'a> {
    /// The part as drawn.
    pub(super) outline: &'a Outline,
    /// Its guide.
    pub(super) guide: &'a Outline,
    /// Its atoms.
    pub(super) atoms: &'a [Atom],
    /// What each holding can do with each of them.
    pub(super) table: &'a Table,
}

/// A pass before its stretches have names, with the run it cuts.
pub(super) struct Cut {
    /// The pass; its stretches are filled in later.
    pub(super) pass: Pass,
    /// Index of its run.
    pub(super) run: usize,
    /// What of the run is left to the hand because no start is safe there.
    pub(super) trimmed: Option<Span>,
    /// Whether it runs off over a sharp point of wood.
    pub(super) over_point: bool,
}

/// All passes, in working order: set-up by set-up, lap by lap in depth, run by run.
///
/// `chosen` are the set-ups' holdings with their index among all, in working order; `runs` are
/// in working order too.
pub(super) fn passes(
    parts: &[Ready<'_>],
    chosen: &[(usize, &Holding)],
    runs: &[Run],
    shop: &Shop,
) -> Vec<Cut> {
    let mut cuts: Vec<Cut> = Vec::new();
    let mut done: Vec<Done> =
        parts.iter().map(|part| Done::none(part.atoms.len())).collect();
    let places = |part: &Ready<'_>| {
        Places::new(&part.guide.loops, part.atoms.iter().map(|atom| atom.span))
    };
    let by_place: Vec<Places> = parts.iter().map(places).collect();
    let mut trimmed: Vec<Vec<Span>> = vec![Vec::new(); parts.len()];
    for (set_up, &holding) in chosen.iter().enumerate() {
        for (layer, lap) in laps(holding.1) {
            let mut in_lap = done.clone();
            for (index, run) in runs.iter().enumerate() {
                let part = &parts[run.part];
                let lap = of_run(lap, run, (part, holding.1));
                let Some(lap) = lap.filter(|_| run.set_up == set_up) else { continue };
                let ground = Ground {
                    guide: part.guide,
                    outline: part.outline,
                    atoms: part.atoms,
                    by_place: &by_place[run.part],
                    table: part.table,
                    holding,
                    done: (&in_lap[run.part], run.depth),
                    trimmed: &trimmed[run.part],
                    shop,
                    template_on: layer.template_on,
                };
                let number = cuts.len() + 1;
                let cut = cut(&ground, (index, run), (number, *layer, lap));
                trimmed[run.part].extend(cut.trimmed);
                cuts.push(cut);
                in_lap[run.part].add(run, part.atoms);
            }
        }
        for run in runs.iter().filter(|run| run.set_up == set_up) {
            done[run.part].add(run, parts[run.part].atoms);
        }
    }
    cuts
}

/// The laps of a set-up in working order: the light one before the flush one.
fn laps(holding: &Holding) -> Vec<(&Layer, Lap)> {
    let kinds = match holding.light {
        Some(it) => vec![Lap::Light(it.leaves), Lap::Flush(it.leaves)],
        None => vec![Lap::Only],
    };
    let of_layer = |layer| kinds.iter().map(move |&lap| (layer, lap));
    holding.layers.iter().flat_map(of_layer).collect()
}

/// What a lap is on a run: a run that the oversize bearing nowhere rides on has but one.
fn of_run(lap: Lap, run: &Run, (part, holding): (&Ready<'_>, &Holding)) -> Option<Lap> {
    let rides = |&at: &usize| part.atoms[at].bits[holding.set_up.bit].light;
    match lap {
        Lap::Only => Some(lap),
        Lap::Light(_) | Lap::Flush(_) if run.atoms.iter().any(rides) => Some(lap),
        Lap::Light(_) => None,
        Lap::Flush(_) => Some(Lap::Only),
    }
}

/// One pass along one run at one depth.
fn cut(
    ground: &Ground<'_>,
    (index, run): (usize, &Run),
    (number, layer, lap_of): (usize, Layer, Lap),
) -> Cut {
    let holding = ground.holding.1;
    let flush = ground.shop.bits[holding.set_up.bit].bearing;
    let oversize = holding.light.filter(|_| matches!(lap_of, Lap::Light(_)));
    let on = ground.atoms[run.atoms[0]].span.on;
    let base = Pass {
        number,
        set_up: run.set_up,
        part: run.part,
        feed: Feed::Conventional,
        stretches: Vec::new(),
        span: Span { on, from: 0.0, length: 0.0 },
        closed: run.closed,
        layer,
        bearing: oversize.map_or(flush, |it| it.bearing),
        lap: lap_of,
        start: (Start::SwingIn, crate::geom::Point::default()),
        exit: (Exit::Closed, crate::geom::Point::default()),
        backers: Vec::new(),
        contact: Vec::new(),
        arrival: None,
        why: why(ground, run),
    };
    if run.closed {
        lap(ground, (index, run), base)
    } else {
        along(ground, (index, run), base)
    }
}

/// A lap right round a loop.
fn lap(ground: &Ground<'_>, (index, run): (usize, &Run), base: Pass) -> Cut {
    let on = base.span.on;
    let ring = &ground.guide.loops[on];
    let (way, at) = ground.begin_lap(run);
    let overlap = ground.lap_overlap(run, at);
    let end = ring.at(if ground.forward() { at + overlap } else { at - overlap });
    let pass = Pass {
        span: span(ring, on, at, ring.length()),
        start: (way, ring.at(at)),
        exit: (Exit::Closed, end),
        ..base
    };
    Cut { pass, run: index, trimmed: None, over_point: false }
}

/// A pass along a run with two ends.
fn along(ground: &Ground<'_>, (index, run): (usize, &Run), base: Pass) -> Cut {
    let on = base.span.on;
    let ring = &ground.guide.loops[on];
    let (start, end) = ground.ends(run);
    let onward = ground.forward();
    let Begin { way, before } = ground.begin(run);
    let End { way: exit, beyond, backed, over_point } = ground.end(run);
    let length =
        if onward { ring.wrapped(end - start) } else { ring.wrapped(start - end) };
    let before = before.max(-length);
    let back = |at: f64, by: f64| if onward { at - by } else { at + by };
    let star = back(start, before);
    let stop = back(end, -beyond);
    let whole = before + length + beyond;
    let low = if onward { star } else { stop };
    let trimmed = (before < 0.0)
        .then(|| span(ring, on, if onward { start } else { start + before }, -before));
    let pass = Pass {
        span: span(ring, on, low, whole),
        start: (way, ring.at(star)),
        exit: (exit, ring.at(stop)),
        backers: if backed { vec![ring.at(end)] } else { Vec::new() },
        ..base
    };
    Cut { pass, run: index, trimmed, over_point }
}

/// Why a pass stands where it stands in the order.
fn why(ground: &Ground<'_>, run: &Run) -> Reason {
    let on = ground.atoms[run.atoms[0]].span.on;
    let bands = || run.atoms.iter().map(|&index| ground.atoms[index].band);
    if ground.guide.kinds[on] == LoopKind::Opening {
        Reason::OpeningFirst
    } else if run::has_end_grain(run, ground.atoms) {
        let first = if ground.forward() { run.atoms.first() } else { run.atoms.last() };
        let end_first =
            first.is_some_and(|&index| ground.atoms[index].band == Band::EndGrain);
        let ends_first = run.closed || (end_first && !ground.end(run).backed);
        if ends_first { Reason::EndsFirst } else { Reason::EndGrainBacked }
    } else if ground.done.0.has_end_grain(run.depth) {
        Reason::LongGrainLast
    } else if bands().all(|band| band == Band::Along) {
        Reason::AlongTheGrain
    } else {
        Reason::Downhill
    }
}

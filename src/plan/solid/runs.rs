//! Stretches that are finished in one go, in the order of the walk: wherever the teeth leave
//! the wood the waste beyond still stands, since each corner's edge before it comes first.

use super::super::{DoneBy, Exit, Feed, Lap, Layer, Part, Pass, Reason, Start, Stretch};
use crate::geom::{Loop, Piece, Point, Span};
use crate::grain::Band;
use crate::outline::LoopKind;
use crate::shop::defaults;
use crate::units::Diameter;

/// A run of the finishing lap.
#[derive(Debug, Clone)]
pub(super) struct Run {
    part: usize,
    /// Its stretches, as indices in the plan, in the order of the walk.
    stretches: Vec<usize>,
    span: Span,
    feed: Feed,
    /// Where it starts and ends on the loop, as the mill is fed.
    ends: [f64; 2],
    exit: Exit,
    closed: bool,
}

/// How a stretch is finished; `None` where it is not.
fn feed(stretch: &Stretch) -> Option<Feed> {
    match stretch.why {
        _ if !stretch.touched => None,
        Reason::TooSteepToClimb => None,
        Reason::ClimbCures => Some(Feed::Climb),
        _ => Some(Feed::Conventional),
    }
}

/// The runs of a part's stretches, whose first is `first` in the plan: openings before
/// outsides, each loop from the run in which its lap begins.
pub(super) fn runs(part: &Part, stretches: &[Stretch], first: usize) -> Vec<Run> {
    let mut all = Vec::new();
    for outside in [false, true] {
        for (on, ring) in part.outline.loops.iter().enumerate() {
            if (part.outline.kinds[on] == LoopKind::Opening) == outside {
                continue;
            }
            let own: Vec<usize> =
                (0..stretches.len()).filter(|&at| stretches[at].span.on == on).collect();
            let mut found = of_loop(ring, stretches, &own);
            begin_on_a_straight(&mut found, ring);
            for run in &mut found {
                run.stretches.iter_mut().for_each(|at| *at += first);
            }
            all.extend(found);
        }
    }
    all
}

/// The runs of one loop, in the order of the walk.
fn of_loop(ring: &Loop, stretches: &[Stretch], own: &[usize]) -> Vec<Run> {
    // What no mill touches parts no run, but what is left standing does.
    let lies: Vec<usize> =
        own.iter().copied().filter(|&at| stretches[at].touched).collect();
    let count = lies.len();
    let of = |step: usize| feed(&stretches[lies[step % count]]);
    let changes = (0..count).find(|&step| of(step) != of(step + count - 1));
    let start = changes.unwrap_or(0);
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for step in start..start + count {
        match groups.last_mut() {
            Some(group) if of(step) == of(step - 1) => group.push(lies[step % count]),
            _ => groups.push(vec![lies[step % count]]),
        }
    }
    let feeds: Vec<Option<Feed>> =
        groups.iter().map(|group| feed(&stretches[group[0]])).collect();
    let many = groups.len();
    let closed = many == 1;
    let run = |at: usize| {
        let feed = feeds[at]?;
        let group = &groups[at];
        let (from, to) =
            (&stretches[group[0]].span, &stretches[group[group.len() - 1]].span);
        let length =
            if closed { ring.length() } else { ring.wrapped(to.to() - from.from) };
        let past = |at: usize, forward: bool| match feed {
            Feed::Conventional if !closed && feeds[at] == Some(Feed::Climb) => {
                overlap(stretches, &groups[at], forward)
            }
            _ => 0.0,
        };
        let (before, behind) =
            (past((at + many - 1) % many, false), past((at + 1) % many, true));
        let span = Span {
            on: from.on,
            from: from.from - before,
            length: before + length + behind,
        };
        let (ends, beyond) = match feed {
            Feed::Conventional => ([span.from, span.to()], feeds[(at + 1) % many]),
            Feed::Climb => ([span.to(), span.from], feeds[(at + many - 1) % many]),
        };
        let exit = match beyond {
            _ if closed => Exit::Closed,
            _ if meets_untouched(ring, stretches, (own, ends[1])) => Exit::AtTouch,
            None => Exit::BeforeHandWork,
            Some(_) if is_corner(ring, ends[1]) => Exit::NextEdgeFull,
            Some(_) => Exit::Overlap,
        };
        let part = stretches[group[0]].part;
        Some(Run { part, stretches: group.clone(), span, feed, ends, exit, closed })
    };
    (0..many).filter_map(run).collect()
}

/// How far a conventional run goes on into a climbed one: as far as runs overlap, and no farther
/// than the grain still runs nearly along the edge. It blends what the climb then passes over.
fn overlap(stretches: &[Stretch], climbed: &[usize], forward: bool) -> f64 {
    let index = if forward { climbed[0] } else { climbed[climbed.len() - 1] };
    let stretch = &stretches[index];
    let (near, far) = if forward { stretch.phi } else { (stretch.phi.1, stretch.phi.0) };
    let most = defaults::RUN_SLACK.value - defaults::ALONG;
    let is_along = stretch.band == Band::Along && most < near;
    let share = if far < near { ((near - most) / (near - far)).min(1.0) } else { 0.0 };
    if is_along {
        defaults::RUNS_OVERLAP.value.min(share * stretch.span.length)
    } else {
        0.0
    }
}

/// Whether a place is where an edge begins or ends that no mill touches.
fn meets_untouched(
    ring: &Loop,
    stretches: &[Stretch],
    (own, at): (&[usize], f64),
) -> bool {
    let here = |along: f64| ring.at(along).distance(ring.at(at)) < 0.01;
    let mut untouched = own.iter().map(|&at| &stretches[at]).filter(|it| !it.touched);
    untouched.any(|it| here(it.span.from) || here(it.span.to()))
}

/// Whether an edge turns sharply at a place.
fn is_corner(ring: &Loop, along: f64) -> bool {
    let turn = ring.direction_before(along).turn_to(ring.direction_after(along));
    crate::geom::SMOOTH_TURN <= turn.abs()
}

/// Turns the runs so that the first is the conventional one with the longest straight, and lets
/// it begin in the middle of that.
fn begin_on_a_straight(runs: &mut [Run], ring: &Loop) {
    let straight = |run: &Run| {
        let mut along = run.span.from;
        let mut best = (0.0, run.span.from);
        for piece in ring.run(run.span.from, run.span.length) {
            let length = piece.length();
            let worth =
                if matches!(piece, Piece::Line { .. }) { length } else { length / 1e3 };
            if best.0 < worth {
                best = (worth, along + length / 2.0);
            }
            along += length;
        }
        best
    };
    let conventional = |run: &Run| run.feed == Feed::Conventional;
    let worth = |run: &Run| (conventional(run), straight(run).0);
    let best = (0..runs.len()).max_by(|&a, &b| {
        let (a, b) = (worth(&runs[a]), worth(&runs[b]));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let Some(best) = best else { return };
    runs.rotate_left(best);
    let middle = straight(&runs[0]).1;
    runs[0].ends[0] = middle;
    if runs[0].closed {
        runs[0].ends[1] = middle;
    }
}

/// The walls in a relieved corner at an end of a run are done with it.
fn relieved_beside(stretches: &mut [Stretch], run: &Run, number: usize) {
    let count = stretches.len();
    let ends = [run.stretches[0], run.stretches[run.stretches.len() - 1]];
    let beside = [(ends[0] + count - 1) % count, (ends[1] + 1) % count];
    for at in beside {
        let here = (stretches[at].part, stretches[at].span.on) == (run.part, run.span.on);
        if here && stretches[at].why == Reason::Relieved {
            stretches[at].done_by = DoneBy::Pass(number);
        }
    }
}

/// The passes of all runs, numbered as they are cut; every stretch learns who does it.
pub(super) fn passes(
    stretches: &mut [Stretch],
    (parts, mill): (&[Part], Diameter),
    runs: &[Run],
) -> Vec<Pass> {
    let mut passes = Vec::new();
    for (index, run) in runs.iter().enumerate() {
        let ring = &parts[run.part].guide.loops[run.span.on];
        for &at in &run.stretches {
            stretches[at].done_by = DoneBy::Pass(index + 1);
        }
        relieved_beside(stretches, run, index + 1);
        let [from, to]: [Point; 2] = run.ends.map(|along| ring.at(along));
        passes.push(Pass {
            number: index + 1,
            set_up: 0,
            part: run.part,
            feed: run.feed,
            stretches: run.stretches.clone(),
            span: run.span,
            closed: run.closed,
            layer: Layer { number: 1, from: 0.0, to: None, template_on: false },
            bearing: mill,
            lap: Lap::Only,
            start: (Start::SwingIn, from),
            exit: (run.exit, to),
            backers: Vec::new(),
            contact: Vec::new(),
            arrival: None,
            why: stretches[run.stretches[0]].why.clone(),
        });
    }
    passes
}

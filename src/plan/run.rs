//! Runs: neighbouring atoms that one set-up cuts without lifting away.

use super::able::{Able, meets};
use super::atom::Atom;
use super::choose::{Can, Chain, Link};
use crate::geom::Loop;
use crate::grain::Band;
use crate::outline::{LoopKind, Outline};

/// A chain of the choice with the atoms it stands for; its layer is the depth's place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Linked {
    /// Index of the part.
    pub(super) part: usize,
    /// Indices of the part's atoms, link by link.
    pub(super) atoms: Vec<usize>,
    /// The chain.
    pub(super) chain: Chain,
}

/// A run that one set-up cuts.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Run {
    /// Index of the part.
    pub(super) part: usize,
    /// Index of the set-up among those chosen, in working order.
    pub(super) set_up: usize,
    /// What of the stock it cuts, as its place among the kinds of depth.
    pub(super) depth: usize,
    /// The part's atoms it cuts, in the order of the walk.
    pub(super) atoms: Vec<usize>,
    /// Whether it goes right round its loop.
    pub(super) closed: bool,
}

/// What is known of a link: who can cut it, and who its other layer.
pub(super) type Facts = (Vec<Can>, Vec<bool>);

/// The chains of one part at one depth: its atoms loop by loop, broken where an edge is not
/// routed; none where no holding cuts anything.
pub(super) fn chains(
    (part, depth): (usize, usize),
    guide: &Outline,
    atoms: &[Atom],
    facts: &dyn Fn(usize) -> Facts,
) -> Vec<Linked> {
    let mut all = Vec::new();
    for (on, ring) in guide.loops.iter().enumerate() {
        let here: Vec<usize> =
            (0..atoms.len()).filter(|&index| atoms[index].span.on == on).collect();
        if here.is_empty() {
            continue;
        }
        let closed = {
            let sum: f64 = here.iter().map(|&index| atoms[index].span.length).sum();
            ring.length() - sum < crate::geom::tolerance::REPAIR
        };
        for group in groups(ring, atoms, here, closed) {
            let links = group
                .iter()
                .map(|&index| {
                    let (can, first) = facts(index);
                    Link { length: atoms[index].span.length, can, first }
                })
                .collect();
            let chain = Chain { links, closed, layer: depth };
            all.push(Linked { part, atoms: group, chain });
        }
    }
    all
}

/// The atoms of one loop in groups that hang together, each in the order of the walk.
fn groups(
    ring: &Loop,
    atoms: &[Atom],
    mut here: Vec<usize>,
    closed: bool,
) -> Vec<Vec<usize>> {
    if closed {
        return vec![here];
    }
    let n = here.len();
    let breaks_before = |at: usize, here: &[usize]| {
        !meets(ring, &atoms[here[(at + n - 1) % n]], &atoms[here[at]])
    };
    let first = (0..n).find(|&at| breaks_before(at, &here)).unwrap_or(0);
    here.rotate_left(first);
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (at, &index) in here.iter().enumerate() {
        match groups.last_mut() {
            Some(group) if 0 < at && !breaks_before(at, &here) => group.push(index),
            _ => groups.push(vec![index]),
        }
    }
    groups
}

/// The runs that one holding cuts of a chain.
pub(super) fn runs(
    linked: &Linked,
    labels: &[Option<usize>],
    holding: usize,
    set_up: usize,
) -> Vec<Run> {
    let links = &linked.chain.links;
    let n = links.len();
    let ends_at =
        |at: usize| labels[at] != Some(holding) && links[at].can[holding] != Can::Past;
    let cut = |at: &usize| labels[*at] == Some(holding);
    let run = |places: Vec<usize>, closed: bool| Run {
        part: linked.part,
        set_up,
        depth: linked.chain.layer,
        atoms: places.into_iter().map(|at| linked.atoms[at]).collect(),
        closed,
    };
    let first_end = (0..n).find(|&at| ends_at(at));
    let (order, closed): (Vec<usize>, bool) = match (linked.chain.closed, first_end) {
        (true, None) => ((0..n).collect(), true),
        (true, Some(end)) => ((0..n).map(|at| (end + at) % n).collect(), false),
        (false, _) => ((0..n).collect(), false),
    };
    let mut all = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    for at in order {
        if ends_at(at) && !open.is_empty() {
            all.push(run(std::mem::take(&mut open), false));
        }
        open.extend(Some(at).filter(cut));
    }
    if !open.is_empty() {
        all.push(run(open, closed));
    }
    all
}

/// Where a run stands in the order of work within its set-up: part by part, openings while the
/// blank is big, ends before long grain.
pub(super) fn order(
    run: &Run,
    guide: &Outline,
    atoms: &[Atom],
) -> (usize, u8, u8, usize) {
    let first = &atoms[run.atoms[0]];
    let kind = match guide.kinds[first.span.on] {
        LoopKind::Opening => 0,
        LoopKind::Island => 1,
        LoopKind::Outside => 2,
    };
    (run.part, kind, u8::from(!has_end_grain(run, atoms)), run.atoms[0])
}

/// Whether a run has end grain in it.
pub(super) fn has_end_grain(run: &Run, atoms: &[Atom]) -> bool {
    run.atoms.iter().any(|&index| atoms[index].band == Band::EndGrain)
}

/// What each holding can do with each atom of a part.
pub(super) type Table = Vec<Vec<Able>>;

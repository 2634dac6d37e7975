//! From raw pieces to the runs of the trimmed offset, in four steps.
//!
//! ```text
//!   1 at a joint        3 crossed       4 probed again
//!          :             \     /           \     /
//!    ------x- -           \   /             \   /       what lies beyond a crossing is in the
//!          |               \ /               \ /        reach of the other's wall, and goes
//!          |                x                 x
//!                          / \
//! ```
//!
//! 1. *Joints*: at an inside corner the two parallels end where they cross, worked out once for
//!    both.
//! 2. *Pruning* takes away what lies within the radius of another piece (`prune`).
//! 3. *Crossing*: survivors that still cross, as the sides of a narrowing neck do, are cut there.
//! 4. Each part is *probed again*; parts that live and were one are joined.
//!
//! Pruning comes before crossing: on a noisy outline the raw pieces cross each other ten thousand
//! times as often as the survivors do.
//!
//! Our own (geometry); the pairs to cross are found by [`super::Tree`].

use super::at_once::at_once;
use super::crossing::{Carrier, meets, parameter};
use super::prune::{Live, Pruner};
use super::raw::{Raw, Source, Stand};
use super::tolerance::{FIT, RADIUS_STEP, SAME_POINT};
use super::{Piece, Tree};
use std::f64::consts::PI;
use std::ops::Range;

/// So many raw pieces are pruned in two threads, in halves whatever cores there are, so that
/// all machines give the same. A thread costs a fifth of a millisecond, as much as some hundred
/// pieces (measured).
const MANY: usize = 4000;

/// A right turn flatter than this, in radians, is no joint to cut: stitching closes it.
const STRAIGHT_ON: f64 = 1e-9;

/// A turn to the right of nearly a half turn, in radians: the tip of a cusp of the void.
/// There the sides part so slowly that the ends of their parallels read as free, so these are cut
/// off by the fit's tolerance: no disc gets so near to the tip.
const STRAIGHT_BACK: f64 = 1e-2 - PI;

/// The live intervals of all raw pieces, cut where they cross each other.
pub(super) fn survivors(source: &Source, raws: &[Raw], radius: f64) -> Vec<Live> {
    let joints = joint_cuts(source, raws);
    let kept = |part| {
        let mut pruner = Pruner::new(source, raws, radius);
        kept(&mut pruner, &joints, part)
    };
    let live = if raws.len() < MANY {
        kept(0..raws.len())
    } else {
        let middle = raws.len() / 2;
        let (after, mut live) = at_once(&|| kept(middle..raws.len()), || kept(0..middle));
        live.extend(after);
        live
    };
    let cuts = crossings_of_survivors(raws, &live);
    recut(&mut Pruner::new(source, raws, radius), &live, &cuts)
}

/// What lives of some raw pieces between their joints, before they are crossed.
fn kept(
    pruner: &mut Pruner<'_>,
    joints: &[Option<(f64, f64)>],
    part: Range<usize>,
) -> Vec<Live> {
    let (source, raws) = (pruner.source, pruner.raws);
    let mut live = Vec::with_capacity(part.len());
    for index in part {
        let raw = &raws[index];
        let mut range = (0.0, 1.0);
        if raw.stand == Stand::Beside {
            range.0 = joints[raw.source].map_or(0.0, |cut| cut.1);
            range.1 = joints[source.next(raw.source)].map_or(1.0, |cut| cut.0);
        }
        if range.0 < range.1 {
            pruner.keep(index, range, &mut live);
        }
    }
    live
}

/// The joints at which the turn is to the right, each at the source piece after it: where the two
/// parallels cross nearest to the joint, as the parameter on the one before and on the one after.
fn joint_cuts(source: &Source, raws: &[Raw]) -> Vec<Option<(f64, f64)>> {
    let mut beside: Vec<Option<&Piece>> = vec![None; source.pieces.len()];
    for raw in raws.iter().filter(|raw| raw.stand == Stand::Beside) {
        beside[raw.source] = Some(&raw.curve);
    }
    let mut cuts = vec![None; source.pieces.len()];
    for index in 0..source.pieces.len() {
        let (next, turn) = (source.next(index), source.turns[index]);
        if index == next || !source.has_length(index) || -STRAIGHT_ON < turn {
            continue;
        }
        if let (Some(before), Some(after)) = (beside[index], beside[next]) {
            cuts[next] = joint_cut(before, after);
        }
        if cuts[next].is_none() && turn < STRAIGHT_BACK {
            let share = |index: usize| (FIT / source.lengths[index]).min(1.0);
            cuts[next] = Some((1.0 - share(index), share(next)));
        }
    }
    cuts
}

/// Where the parallels before and after a joint cross nearest to it, if that is within both. The
/// other crossing of two arcs may be another joint's: of two half circles that make a round hole.
fn joint_cut(before: &Piece, after: &Piece) -> Option<(f64, f64)> {
    let inside = |t: f64| 0.0 < t && t < 1.0;
    let nearest = meets(before, &Carrier::of(after))?
        .into_iter()
        .min_by(|one, other| (1.0 - one).abs().total_cmp(&(1.0 - other).abs()))?;
    let cut = (nearest, parameter(after, before.at(nearest)));
    (inside(cut.0) && inside(cut.1)).then_some(cut)
}

/// A cut: which survivor, and where on its raw piece.
type Cut = (usize, f64);

/// Where survivors cross each other: the cuts of each in order.
fn crossings_of_survivors(raws: &[Raw], live: &[Live]) -> Vec<Cut> {
    let curve = |one: &Live| raws[one.raw].curve;
    let boxes = live
        .iter()
        .map(|one| curve(one).part(one.from, one.to).bounds().grown(SAME_POINT));
    let mut cuts = Vec::new();
    let point = |index: usize| raws[live[index].raw].stand == Stand::Centre;
    Tree::new(boxes).pairs(|index, other| {
        let apart = || other != index + 1 || !goes_on(raws, (&live[index], &live[other]));
        if !point(index) && !point(other) && apart() {
            cross(raws, live, (index, other), &mut cuts);
        }
    });
    cuts.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    cuts
}

/// Whether a survivor goes on into the next one. Both are whole there, so they are tangent: at a
/// turn to the right both would be cut, and at one to the left there is an arc about the corner.
/// Tangent neighbours meet nowhere else.
fn goes_on(raws: &[Raw], (one, next): (&Live, &Live)) -> bool {
    let (before, after) = (&raws[one.raw].curve, &raws[next.raw].curve);
    1.0 <= one.to && next.from <= 0.0 && before.to().distance(after.from()) < SAME_POINT
}

/// Adds the cuts that two survivors make in each other.
fn cross(
    raws: &[Raw],
    live: &[Live],
    (first, second): (usize, usize),
    cuts: &mut Vec<Cut>,
) {
    let (one, two) = (&raws[live[first].raw].curve, &raws[live[second].raw].curve);
    // Where the two are nearly parallel, as the sides of an exact slot, rounding moves their
    // crossing along them: so far beyond an end it still cuts, for a cut too many does no harm.
    let within = |index: usize, t: f64, piece: &Piece| {
        let beyond = (live[index].from - t).max(t - live[index].to);
        beyond * piece.length() <= RADIUS_STEP
    };
    let inner = |index: usize, t: f64, piece: &Piece| {
        let length = piece.length();
        SAME_POINT < (t - live[index].from) * length
            && SAME_POINT < (live[index].to - t) * length
    };
    for t in meets(one, &Carrier::of(two)).into_iter().flatten() {
        if !within(first, t, one) {
            continue;
        }
        let at = one.at(t);
        let u = parameter(two, at);
        if !within(second, u, two) || RADIUS_STEP < two.at(u).distance(at) {
            continue;
        }
        if inner(first, t, one) {
            cuts.push((first, t));
        }
        if inner(second, u, two) {
            cuts.push((second, u));
        }
    }
}

/// Cuts the survivors, and keeps the parts that live: the one with the known probe at once,
/// the others after a probe of their own.
fn recut(pruner: &mut Pruner<'_>, live: &[Live], cuts: &[Cut]) -> Vec<Live> {
    let mut kept = Vec::with_capacity(live.len());
    let mut rest = cuts;
    for (index, one) in live.iter().enumerate() {
        let mine = rest.partition_point(|cut| cut.0 <= index);
        let (own, later) = rest.split_at(mine);
        rest = later;
        if own.is_empty() {
            kept.push(*one);
            continue;
        }
        let first = kept.len();
        let mut from = one.from;
        for to in own.iter().map(|cut| cut.1).chain([one.to]) {
            if from < to {
                keep_part(pruner, &Live { from, to, ..*one }, (first, &mut kept));
                from = to;
            }
        }
    }
    kept
}

/// Keeps what lives of one part, joined with the part before it where both live.
fn keep_part(
    pruner: &mut Pruner<'_>,
    part: &Live,
    (first, kept): (usize, &mut Vec<Live>),
) {
    let before = kept.len();
    if part.from < part.probe && part.probe < part.to {
        kept.push(*part);
    } else {
        pruner.keep(part.raw, (part.from, part.to), kept);
    }
    let joined = first < before
        && before < kept.len()
        && kept[before - 1].to.to_bits() == kept[before].from.to_bits();
    if joined {
        kept[before - 1].to = kept.remove(before).to;
    }
}

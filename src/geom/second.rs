//! The second method: the trimmed offset by polygons, for what the first cannot prove.
//!
//! ```text
//!       o---b---o      the union's border visits the raw pieces a, b and c, in this order; its
//!      /         \     chords show about where it goes on from one to the next, o, and there the
//!     c           a    raw pieces themselves are cut where they meet
//!    /             \
//! ```
//!
//! The union of polygons tells which raw pieces bound what the disc covers, and in which order;
//! each edge of its border knows the raw piece that it is a chord of (`union`). As the runs are cut
//! from the raw pieces, they are as exact as those of the first method. The radius is a micrometre
//! smaller: then what fits exactly has room, and chords and grid do not decide.
//!
//! Our own; the union is `i_overlay`'s.

use super::crossing::{Carrier, meets, parameter};
use super::raw::{Raw, Source, raw_pieces};
use super::tolerance::{JOIN_ENDS, ON_BORDER, RADIUS_STEP, SAME_POINT};
use super::trim::{Knee, Method, Trimmed, Untrimmed, run_on};
use super::union::{Visit, borders, merged};
use super::{Loop, Point};

/// One attempt: how much smaller the radius is, and how far chords stray, in mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Attempt {
    pub(super) shrunk: f64,
    pub(super) sagitta: f64,
}

/// What is tried in turn: another radius in case the first meets a coincidence, finer chords in
/// case a run hides behind them. Chords stray a tenth of what the radius is shrunk by, so what
/// fits exactly stays open.
pub(super) const ATTEMPTS: [Attempt; 3] = [
    Attempt { shrunk: 1.0e-3, sagitta: 1e-4 },
    Attempt { shrunk: 1.83e-3, sagitta: 1e-4 },
    Attempt { shrunk: 1.41e-3, sagitta: 1e-5 },
];
/// A joint that the chords show this far, in mm, from where two raw pieces end and start may
/// be that place: near a tangent joint chords stray along it.
const NEAR_JOINT: f64 = 0.2;
/// Below this, in mm, a radius is not much more than what it is shrunk by.
const SMALLEST_RADIUS: f64 = 5e-3;
/// How far beyond its end a raw piece may be crossed, as a share of its length: rounding.
const BEYOND: f64 = 1e-7;

/// The trimmed offset on the right of `loops` a little under `radius`, by polygons; unchecked.
pub(super) fn by_polygons(
    loops: &[Loop],
    radius: f64,
    attempt: Attempt,
) -> Result<Trimmed, Untrimmed> {
    let radius = radius - attempt.shrunk;
    if radius < SMALLEST_RADIUS {
        return Err(Untrimmed::new(Point::default(), "too small a radius for polygons"));
    }
    let source = Source::new(loops);
    let raws = raw_pieces(&source, radius);
    let mut trimmed = Trimmed {
        radius,
        runs: Vec::new(),
        rings: Vec::new(),
        knees: Vec::new(),
        method: Method::Polygons,
    };
    for border in borders(&source, &raws, radius, attempt.sagitta)? {
        let cuts = cut(&raws, border)?;
        add_ring(&source, &raws, &cuts, &mut trimmed);
    }
    Ok(trimmed)
}

/// A stretch of a raw piece.
#[derive(Debug, Clone, Copy)]
struct Cut {
    raw: usize,
    from: f64,
    to: f64,
}

/// Cuts the raw pieces of a border where each meets the next. A short visit that vanishes in
/// this, or does not meet its neighbour, was one of the chords only: the others meet without it.
fn cut(raws: &[Raw], mut border: Vec<Visit>) -> Result<Vec<Cut>, Untrimmed> {
    loop {
        let spurious = match cut_all(raws, &border) {
            Ok(cuts) => return Ok(cuts),
            Err(spurious) => border.remove(spurious),
        };
        if border.is_empty() || NEAR_JOINT < spurious.chord() {
            let fault = "runs of the polygons that do not meet";
            return Err(Untrimmed::new(spurious.from, fault));
        }
        border = merged(border);
    }
}

/// The cuts of all visits, or the visit that cannot be one.
fn cut_all(raws: &[Raw], border: &[Visit]) -> Result<Vec<Cut>, usize> {
    let n = border.len();
    if n < 2 {
        return Err(0);
    }
    let mut joints = Vec::with_capacity(n);
    for index in 0..n {
        let after = (index + 1) % n;
        let (one, two) = (&border[index], &border[after]);
        let shorter = if one.chord() < two.chord() { index } else { after };
        joints.push(joint(raws, one, two).ok_or(shorter)?);
    }
    let cuts: Vec<Cut> = (0..n)
        .map(|index| Cut {
            raw: border[index].raw,
            from: joints[(index + n - 1) % n].start,
            to: joints[index].end,
        })
        .collect();
    let vanishes =
        |cut: &Cut| (cut.to - cut.from) * raws[cut.raw].curve.length() <= SAME_POINT;
    match cuts.iter().position(vanishes) {
        Some(index) => Err(index),
        None => Ok(cuts),
    }
}

/// Where one raw piece ends and the next one starts, as parameters of each.
#[derive(Debug, Clone, Copy)]
struct Joint {
    end: f64,
    start: f64,
}

/// Where two raw pieces that follow each other on the border meet: end to end, or at that crossing
/// which is nearest to where the chords show the joint.
fn joint(raws: &[Raw], before: &Visit, after: &Visit) -> Option<Joint> {
    let seen = before.to.middle(after.from);
    let (one, two) = (&raws[before.raw].curve, &raws[after.raw].curve);
    let apart = one.to().distance(two.from());
    let meet =
        (seen.distance(one.to()) <= NEAR_JOINT).then_some(Joint { end: 1.0, start: 0.0 });
    if apart <= ON_BORDER && meet.is_some() {
        return meet;
    }
    let within = |t: f64| (-BEYOND..=1.0 + BEYOND).contains(&t);
    let crossings = meets(one, &Carrier::of(two)).into_iter().flatten();
    crossings
        .filter(|&end| within(end))
        .map(|end| (one.at(end), end, parameter(two, one.at(end))))
        .filter(|&(_, _, start)| within(start))
        .min_by(|a, b| a.0.distance(seen).total_cmp(&b.0.distance(seen)))
        .map(|(_, end, start)| Joint {
            end: end.clamp(0.0, 1.0),
            start: start.clamp(0.0, 1.0),
        })
        .or(meet.filter(|_| apart <= JOIN_ENDS))
}

/// Adds the runs of one ring, and a knee wherever the feet of two runs differ.
fn add_ring(source: &Source, raws: &[Raw], cuts: &[Cut], trimmed: &mut Trimmed) {
    let first = trimmed.runs.len();
    let run = |cut: &Cut| run_on(source, &raws[cut.raw], (cut.from, cut.to));
    trimmed.runs.extend(cuts.iter().map(run));
    trimmed.rings.push((first..trimmed.runs.len()).collect());
    for (index, cut) in cuts.iter().enumerate() {
        let after = (index + 1) % cuts.len();
        let leaves = raws[cut.raw].foot(source, cut.to);
        let arrives = raws[cuts[after].raw].foot(source, cuts[after].from);
        if RADIUS_STEP < leaves.distance(arrives) {
            let (run, next) = (trimmed.runs[first + index], trimmed.runs[first + after]);
            trimmed.knees.push(Knee::between(&run, &next));
        }
    }
}

#[cfg(test)]
thread_local! {
    static ALONE: std::cell::Cell<bool> = const { std::cell::Cell::new(false) };
}

/// Whether a test wants this method to answer alone.
#[cfg(test)]
pub(crate) fn is_alone() -> bool {
    ALONE.get()
}

/// The first method answers first.
#[cfg(not(test))]
pub(super) const fn is_alone() -> bool {
    false
}

/// Does some work, on this thread, for which the first method never answers.
#[cfg(test)]
pub(crate) fn alone<T>(work: impl FnOnce() -> T) -> T {
    ALONE.set(true);
    let result = work();
    ALONE.set(false);
    result
}

#[cfg(test)]
mod tests {
    use super::super::check::check;
    use super::super::shapes::{Dice, EXACT, cells, is_simple, star, turned};
    use super::super::trim::{Side, trim, trim_at};
    use super::*;
    use std::f64::consts::TAU;

    /// What came of one class of outlines.
    #[derive(Debug, Default)]
    struct Tally {
        done: usize,
        /// Offsets for which no attempt passes the check.
        failed: usize,
    }

    /// Basis: the first method at the same radius, itself judged by brute force in its own
    /// tests: the same rings, and the same area to a share of what a micrometre is worth.
    fn compare(loops: &[Loop], radius: f64, tally: &mut Tally) {
        tally.done += 1;
        let Ok(second) = alone(|| trim(loops, Side::Outward, radius)) else {
            tally.failed += 1;
            return;
        };
        assert_eq!(second.method, Method::Polygons, "it was made by the second");
        assert!(radius - second.radius <= 2e-3, "at most 2 µm under");
        let Ok(first) = trim_at(loops, second.radius) else { return };
        if check(loops, &first).is_err() {
            return;
        }
        let area = |one: &Trimmed| one.ring_loops().iter().map(Loop::area).sum::<f64>();
        let off = (area(&first) - area(&second)).abs();
        assert!(off <= 1e-4, "{off} mm² apart at {radius}: {loops:?}");
        assert_eq!(first.rings.len(), second.rings.len(), "rings at {radius}: {loops:?}");
    }

    fn run(
        count: u64,
        mut make: impl FnMut(&mut Dice) -> Option<(Vec<Loop>, f64)>,
    ) -> Tally {
        let mut tally = Tally::default();
        for seed in 0..count {
            let mut dice = Dice::new(seed);
            if let Some((loops, radius)) = make(&mut dice) {
                let reversed: Vec<Loop> = loops.iter().map(Loop::reversed).collect();
                compare(&loops, radius, &mut tally);
                compare(&reversed, radius, &mut tally);
            }
        }
        tally
    }

    /// How many of each class: enough for the common ways to fail; ten times as many passed
    /// when this was written.
    const STARS: u64 = 150;
    const GRIDS: u64 = 60;

    #[test]
    fn stars_agree_with_the_first_method() {
        let tally = run(STARS, |dice| {
            let loops = vec![star(dice)];
            is_simple(&loops[0]).then(|| (loops, 0.2 + 5.0 * dice.share()))
        });
        assert!(80 < tally.done && tally.failed == 0, "{tally:?}");
    }

    #[test]
    fn grids_full_of_exact_fits_agree_with_the_first_method() {
        let tally = run(GRIDS, |dice| {
            let cell = dice.one_of(&[1.0, 2.0, 3.0]);
            Some((cells(dice, cell)?, dice.one_of(&EXACT)))
        });
        assert!(80 < tally.done && tally.failed == 0, "{tally:?}");
    }

    #[test]
    fn turned_and_rounded_grids_agree_with_the_first_method() {
        for steps in [None, Some(1e3)] {
            let tally = run(GRIDS, |dice| {
                let loops = cells(dice, 2.0)?;
                Some((turned(&loops, TAU * dice.share(), steps), dice.one_of(&EXACT)))
            });
            assert!(80 < tally.done && tally.failed == 0, "{tally:?}");
        }
    }
}

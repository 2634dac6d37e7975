//! Faults planted in right results: the check must see every one.

use super::check::check;
use super::shapes::{Dice, bulged, cells, hole, notched, rectangle};
use super::trim::{Knee, Owner, Place, Run, Trimmed, trim_at};
use super::{Loop, Piece, Point, Side, Vector, trim};
use std::f64::consts::PI;

const RADIUS: f64 = 6.35;

/// A part with arcs, corners, an opening that the bit enters and one that it does not.
fn part() -> Vec<Loop> {
    let q = libm::tan(PI / 8.0);
    let outside = bulged(&[
        [0.0, 0.0, 0.0],
        [90.0, 0.0, q],
        [100.0, 10.0, 0.0],
        [100.0, 60.0, 0.0],
        [70.0, 60.0, 0.0],
        [70.0, 40.0, 0.0],
        [40.0, 40.0, 0.0],
        [40.0, 60.0, 0.0],
        [10.0, 60.0, q],
        [0.0, 50.0, 0.0],
        [0.0, 45.0, -1.0],
        [0.0, 15.0, 0.0],
    ]);
    let square = rectangle(30.0, 10.0, 48.0, 28.0).reversed();
    vec![outside, square, hole(75.0, 20.0, 5.0)]
}

/// Right results to spoil: the part above, one with a single corner, and random ones.
fn right() -> Vec<(Vec<Loop>, Trimmed)> {
    let mut parts = vec![(part(), RADIUS), (vec![notched()], RADIUS)];
    for seed in 0..20 {
        let mut dice = Dice::new(seed);
        if let Some(loops) = cells(&mut dice, 2.0) {
            parts.push((loops, 0.3 + dice.share()));
        }
    }
    parts
        .into_iter()
        .map(|(loops, radius)| {
            let trimmed = trim(&loops, Side::Outward, radius).expect("it can be trimmed");
            check(&loops, &trimmed).expect("nothing is planted yet");
            (loops, trimmed)
        })
        .collect()
}

/// Spoils every right result in every way that `spoil` gives, and asserts that each is seen.
fn all_seen(what: &str, mut spoil: impl FnMut(&[Loop], &Trimmed) -> Vec<Trimmed>) {
    let mut planted = 0;
    for (loops, trimmed) in right() {
        for spoilt in spoil(&loops, &trimmed) {
            planted += 1;
            assert!(
                check(&loops, &spoilt).is_err(),
                "{what}: number {planted} is not seen"
            );
        }
    }
    assert!(10 <= planted, "{what}: only {planted} planted");
}

/// One spoilt copy a run.
fn each_run(trimmed: &Trimmed, spoil: impl Fn(&mut Trimmed, usize)) -> Vec<Trimmed> {
    (0..trimmed.runs.len())
        .map(|run| {
            let mut copy = trimmed.clone();
            spoil(&mut copy, run);
            copy
        })
        .collect()
}

fn drop_run(trimmed: &mut Trimmed, run: usize) {
    trimmed.runs.remove(run);
    for ring in &mut trimmed.rings {
        ring.retain(|&index| index != run);
        for index in ring.iter_mut().filter(|index| run < **index) {
            *index -= 1;
        }
    }
    trimmed.rings.retain(|ring| !ring.is_empty());
}

#[test]
pub(super) fn a_dropped_run_is_seen() {
    all_seen("run dropped", |_, trimmed| each_run(trimmed, drop_run));
}

#[test]
pub(super) fn a_dropped_ring_is_seen() {
    all_seen("ring dropped", |_, trimmed| {
        let drop = |ring: usize| {
            let mut copy = trimmed.clone();
            let mut runs = copy.rings[ring].clone();
            copy.knees.retain(|knee| {
                !runs.iter().any(|&run| copy.runs[run].owner.to == knee.leaves)
            });
            runs.sort_unstable();
            runs.into_iter().rev().for_each(|run| drop_run(&mut copy, run));
            copy
        };
        (0..trimmed.rings.len()).map(drop).collect()
    });
}

#[test]
pub(super) fn a_run_moved_by_a_micrometre_is_seen() {
    for way in [Vector::new(1e-3, 0.0), Vector::new(0.0, -1e-3)] {
        all_seen("run moved", |_, trimmed| {
            each_run(trimmed, |copy, run| {
                copy.runs[run].curve = copy.runs[run].curve.moved(way);
            })
        });
    }
}

#[test]
pub(super) fn swapped_owners_are_seen() {
    all_seen("owner swapped", |_, trimmed| {
        let count = trimmed.runs.len();
        each_run(trimmed, |copy, run| {
            let other = (run + 1) % count;
            let owner = copy.runs[run].owner;
            copy.runs[run].owner = copy.runs[other].owner;
            copy.runs[other].owner = owner;
        })
    });
}

#[test]
pub(super) fn an_owner_lengthened_by_ten_micrometres_is_seen() {
    all_seen("owner lengthened", |loops, trimmed| {
        each_run(trimmed, |copy, run| {
            let owner = &mut copy.runs[run].owner;
            let piece = &loops[owner.to.on].pieces()[owner.to.piece];
            let length = if owner.to.corner { 1.0 } else { piece.length() };
            owner.to.t += 0.01 / length;
        })
    });
}

#[test]
pub(super) fn a_run_and_owner_lengthened_together_are_seen() {
    all_seen("both lengthened", |loops, trimmed| {
        let mut spoilt = each_run(trimmed, |copy, run| {
            let Run { curve, owner } = &mut copy.runs[run];
            let piece = &loops[owner.to.on].pieces()[owner.to.piece];
            if owner.to.corner || 1.0 <= owner.to.t {
                return;
            }
            owner.to.t += 0.01 / piece.length();
            let foot = piece.at(owner.to.t);
            let to = foot + piece.direction(owner.to.t).right() * RADIUS;
            *curve = match *curve {
                Piece::Line { from, .. } => Piece::line(from, to),
                Piece::Arc { from, centre, .. } => {
                    let sweep = (from - centre).turn_to(to - centre);
                    Piece::Arc { from, to, centre, sweep }
                }
            };
        });
        spoilt.retain(|copy| copy != trimmed);
        spoilt
    });
}

#[test]
pub(super) fn a_reversed_ring_is_seen() {
    all_seen("ring reversed", |_, trimmed| {
        let reverse = |ring: usize| {
            let mut copy = trimmed.clone();
            copy.rings[ring].reverse();
            for &run in &trimmed.rings[ring] {
                copy.runs[run].curve = copy.runs[run].curve.reversed();
            }
            copy
        };
        (0..trimmed.rings.len()).map(reverse).collect()
    });
}

#[test]
pub(super) fn a_stray_ring_is_seen() {
    all_seen("stray ring", |_, trimmed| {
        let repeat = |ring: usize| {
            let mut copy = trimmed.clone();
            let first = copy.runs.len();
            copy.runs.extend(trimmed.rings[ring].iter().map(|&run| trimmed.runs[run]));
            copy.rings.push((first..copy.runs.len()).collect());
            copy.knees.extend(trimmed.knees.iter().copied());
            copy
        };
        let twice = |ring: usize| {
            let mut copy = trimmed.clone();
            copy.rings.push(copy.rings[ring].clone());
            copy
        };
        let all = 0..trimmed.rings.len();
        all.clone().map(repeat).chain(all.map(twice)).collect()
    });
}

#[test]
pub(super) fn an_invented_ring_in_a_small_opening_is_seen() {
    let loops = part();
    let trimmed = trim(&loops, Side::Outward, RADIUS).expect("it can be trimmed");
    for radius in [1e-6, 0.5, 1.35, 4.0] {
        let mut copy = trimmed.clone();
        let first = copy.runs.len();
        let centre = Point::new(75.0, 20.0);
        for (piece, out) in [(0, -radius), (1, radius)] {
            let place = |t| Place { on: 2, piece, corner: false, t };
            copy.runs.push(Run {
                curve: Piece::arc_about(centre, centre + Vector::new(out, 0.0), -PI),
                owner: Owner { from: place(0.0), to: place(1.0) },
            });
        }
        copy.rings.push(vec![first, first + 1]);
        assert!(check(&loops, &copy).is_err(), "a ring of radius {radius} is not seen");
    }
}

#[test]
pub(super) fn an_empty_result_is_seen() {
    all_seen("empty", |_, trimmed| {
        let empty = Trimmed {
            runs: Vec::new(),
            rings: Vec::new(),
            knees: Vec::new(),
            ..trimmed.clone()
        };
        vec![empty]
    });
}

#[test]
pub(super) fn a_result_for_a_radius_a_micrometre_off_is_seen() {
    all_seen("other radius", |loops, trimmed| {
        [1e-3, -1e-3]
            .into_iter()
            .filter_map(|off| trim_at(loops, trimmed.radius + off).ok())
            .map(|other| Trimmed { radius: trimmed.radius, ..other })
            .collect()
    });
}

#[test]
pub(super) fn a_missing_knee_and_one_too_many_are_seen() {
    all_seen("knee", |_, trimmed| {
        let mut spoilt = Vec::new();
        for knee in 0..trimmed.knees.len() {
            let mut missing = trimmed.clone();
            missing.knees.remove(knee);
            let mut double = trimmed.clone();
            double.knees.push(double.knees[knee]);
            spoilt.extend([missing, double]);
        }
        spoilt
    });
}

#[test]
pub(super) fn a_ring_on_the_other_side_is_seen() {
    for (loops, trimmed) in right() {
        let inward = trim(&loops, Side::Inward, trimmed.radius / 8.0).expect("trimmed");
        assert!(check(&loops, &inward).is_err(), "a ring in the material");
    }
}

/// A notch with a fillet a nanometre larger than the disc: its centre goes round an arc shorter
/// than ends that are joined may lie apart, which is taken out of its ring.
#[test]
fn a_ring_of_one_short_arc_is_seen() {
    let (edge, fillet) = (60.0, RADIUS + 1e-6);
    let loops = [bulged(&[
        [0.0, 0.0, 0.0],
        [100.0, 0.0, 0.0],
        [100.0, edge, 0.0],
        [edge + fillet, edge, -libm::tan(PI / 8.0)],
        [edge, edge + fillet, 0.0],
        [edge, 100.0, 0.0],
        [0.0, 100.0, 0.0],
    ])];
    let trimmed = trim(&loops, Side::Outward, RADIUS).expect("it can be trimmed");
    let length = |&run: &usize| trimmed.runs[run].curve.length();
    let ring = &trimmed.rings[0];
    let at = ring.iter().position(|run| length(run) < 2e-6).expect("a short arc");
    let beside = |by: usize| ring[(at + by) % ring.len()];
    let (before, short, after) = (beside(ring.len() - 1), beside(0), beside(1));
    let knee =
        |from: usize, to: usize| Knee::between(&trimmed.runs[from], &trimmed.runs[to]);
    let mut spoilt = trimmed.clone();
    spoilt.rings[0].remove(at);
    spoilt.rings.push(vec![short]);
    spoilt.knees.extend([knee(before, after), knee(short, short)]);
    let fault = check(&loops, &spoilt).map(drop).expect_err("an arc does not close");
    assert!(fault.fault.contains("do not meet"), "{fault:?}");
}

/// The offset of the part is right, and one of its half circles is said to go on for longer.
#[test]
fn an_arc_of_more_than_a_half_turn_is_refused() {
    let loops = part();
    let trimmed = trim(&loops, Side::Outward, RADIUS).expect("it can be trimmed");
    let (mut planted, mut spoilt) = (0, loops.clone());
    for ring in &mut spoilt {
        let longer = |piece: &Piece| match *piece {
            Piece::Arc { from, centre, sweep, .. } if PI - 1e-6 < sweep.abs() => {
                planted += 1;
                Piece::arc_about(centre, from, sweep * 1.02)
            }
            other => other,
        };
        *ring = Loop::new(ring.pieces().iter().map(longer).collect());
    }
    assert!(0 < planted, "the part has half circles");
    let fault = check(&spoilt, &trimmed).map(drop).expect_err("no half turns");
    assert!(fault.fault.contains("more than a half turn"), "{fault:?}");
}

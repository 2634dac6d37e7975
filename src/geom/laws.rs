//! Laws of offsets and of what they leave, on random outlines: nothing changes when a part is
//! moved, turned, mirrored or begun elsewhere; a convex part grows by Steiner's formula; offsets
//! compose; an opening lies in the part and the part in its closing; a second run is the same.

use super::judge::alike;
use super::second::is_alone;
use super::shapes::{
    Dice, area, assorted, begun_elsewhere, bulged, mirrored, moved, turned,
};
use super::{Loop, Point, Side, Vector, close, close_to_fit, trim};
use std::f64::consts::{PI, TAU};

/// Seeds a law is tried with: fifty times as many passed when this was written.
const SEEDS: std::ops::Range<u64> = 0..60;

/// The same for the second method alone, which is slower.
const SEEDS_OF_SECOND: std::ops::Range<u64> = 0..12;

fn seeds() -> std::ops::Range<u64> {
    if is_alone() { SEEDS_OF_SECOND } else { SEEDS }
}

/// What the radius may lack by the second method, in mm, along a border of so many.
fn lacking(border: f64) -> f64 {
    if is_alone() { 2.1e-3 * border } else { 0.0 }
}

/// Each outline of the seeds from both sides, with its radius.
fn each(mut law: impl FnMut(&str, &[Loop], f64)) {
    let mut tried = 0u64;
    for seed in seeds() {
        let Some((loops, radius)) = assorted(seed) else { continue };
        let inside: Vec<Loop> = loops.iter().map(Loop::reversed).collect();
        law(&format!("seed {seed}, outside"), &loops, radius);
        law(&format!("seed {seed}, inside"), &inside, radius);
        tried += 1;
    }
    assert!(seeds().end / 2 < tried, "{tried} outlines");
}

#[test]
pub(super) fn moved_turned_mirrored_or_begun_elsewhere_the_same_is_left() {
    each(|case, loops, radius| {
        let own = close_to_fit(loops, radius).expect(case);
        let others = [
            ("moved", moved(loops, Vector::new(1234.5, -987.25))),
            ("a kilometre away", moved(loops, Vector::new(1e6, -1e6))),
            ("turned", turned(loops, 0.7, None)),
            ("mirrored", mirrored(loops)),
            ("begun elsewhere", begun_elsewhere(loops)),
        ];
        for (what, other) in others {
            let other = close_to_fit(&other, radius).expect(case);
            assert_eq!(own.trimmed.method, other.trimmed.method, "{case}, {what}");
            assert_eq!(
                own.exact_fits.len(),
                other.exact_fits.len(),
                "{case}, {what}: fits"
            );
            let mut left = other.regions;
            assert_eq!(own.regions.len(), left.len(), "{case}, {what}: as many places");
            for one in &own.regions {
                let found = left.iter().position(|place| alike(one, place, 1e-6));
                let Some(found) = found else {
                    panic!("{case}, {what}, {radius}: none like {one:?} in {left:?}");
                };
                left.swap_remove(found);
            }
        }
    });
}

#[test]
pub(super) fn a_second_run_is_the_same_to_the_last_bit() {
    each(|case, loops, radius| {
        let run = || format!("{:?}", close_to_fit(loops, radius).expect(case));
        assert_eq!(run(), run(), "{case}");
    });
}

#[test]
pub(super) fn an_opening_lies_in_the_part_and_the_part_in_its_closing() {
    each(|case, loops, radius| {
        let closing = close(loops, radius).expect(case);
        let standing: Vec<Loop> =
            closing.standing.iter().map(|one| one.outline.clone()).collect();
        // Of the inside this says that what is opened is no larger.
        assert!(
            area(loops) <= area(&standing) + 1e-6,
            "{case}: something was taken away"
        );
        for one in loops {
            for piece in one.pieces() {
                let place = piece.at(0.41) + piece.direction(0.41).left() * 1e-3;
                let winds = |loops: &[Loop]| -> i32 {
                    loops.iter().map(|one| one.winding(place)).sum()
                };
                if winds(loops) == i32::from(0.0 < area(loops)) {
                    assert_eq!(winds(&standing), winds(loops), "{case} at {place:?}");
                }
            }
        }
    });
}

#[test]
pub(super) fn a_convex_part_grows_by_steiners_formula() {
    for seed in seeds() {
        let mut dice = Dice::new(seed);
        // Points on a circle are convex.
        let count = 3 + dice.below(12);
        let mut angles: Vec<f64> = (0..count).map(|_| TAU * dice.share()).collect();
        angles.sort_by(f64::total_cmp);
        angles.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
        if angles.len() < 3 {
            continue;
        }
        let corner = |angle: &f64| Point::default() + Vector::at_angle(*angle) * 40.0;
        let part = Loop::polygon(&angles.iter().map(corner).collect::<Vec<_>>());
        for radius in [0.01, 1.0, 12.7, 500.0] {
            let grown = trim(std::slice::from_ref(&part), Side::Outward, radius)
                .expect("it grows");
            let (radius, grown) = (grown.radius, grown.ring_loops());
            let steiner = part.area() + part.length() * radius + PI * radius * radius;
            let off = (area(&grown) - steiner).abs();
            assert!(off <= 1e-9 * (1.0 + steiner), "seed {seed}, {radius}: {off} off");
        }
    }
}

#[test]
pub(super) fn two_offsets_are_one_of_the_sum() {
    each(|case, loops, radius| {
        if area(loops) < 0.0 {
            return;
        }
        let grown = |loops: &[Loop], by: f64| {
            trim(loops, Side::Outward, by).expect(case).ring_loops()
        };
        let twice = grown(&grown(loops, 0.3 * radius), 0.7 * radius);
        let once = grown(loops, radius);
        let off = (area(&twice) - area(&once)).abs();
        let border = once.iter().chain(loops).map(Loop::length).sum();
        let most = 1e-3 * (1.0 + 1e-3 * area(&once)) + lacking(border);
        assert!(off <= most, "{case}: {off} off");
    });
}

#[test]
pub(super) fn doubled_points_and_steps_of_a_nanometre_do_no_harm() {
    for step in [0.0, 1e-9, 1e-6] {
        let part = bulged(&[
            [0.0, 0.0, 0.0],
            [0.0, 0.0, 0.0],
            [20.0, 0.0, 0.0],
            [40.0, 0.0, 0.0],
            [60.0, 0.0, 0.0],
            [60.0, 20.0, 0.0],
            [20.0 + step, 20.0, 0.0],
            [20.0 + step, 20.0 + step, 0.0],
            [20.0, 20.0 + step, 0.0],
            [20.0, 60.0, 0.0],
            [0.0, 60.0, 0.0],
        ]);
        let closing =
            close(&[part], 3.175).unwrap_or_else(|fault| panic!("{step}: {fault:?}"));
        let left: f64 = closing.regions.iter().map(|region| region.area).sum();
        // geometry: a square corner leaves (1 − π/4) r²
        let wanted = (1.0 - PI / 4.0) * 3.175 * 3.175;
        let most = 1e-4 + lacking(2.0 * 3.175);
        assert!((left - wanted).abs() < most, "{left} for {wanted} at {step}");
    }
}

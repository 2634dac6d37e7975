//! Outlines on which polygon and arc libraries were seen to answer wrongly, to lose a part of
//! the answer or to hang, each with the right answer (geometry).

use super::second::is_alone;
use super::shapes::{Dice, area, bulged, hole, moved, notched, polygon, rectangle};
use super::{
    Loop, Method, Place, Point, Side, Vector, close, close_to_fit, offset_loops, trim,
};
use std::f64::consts::{FRAC_PI_4, PI};

/// A quarter-inch bit's radius.
const R: f64 = 3.175;

/// The second method shrinks the radius by up to 2 µm: lengths grow or shrink by a few of those,
/// areas of parts by them along the border, which is at most some ten times the area's root
/// here, and areas of corners by twice the share of the radius.
fn near(found: f64, wanted: f64, tolerance: f64, what: &str) {
    let border = 4e-3 * (1.0 + 10.0 * wanted.abs().sqrt());
    let shrunk = border.max(4e-3 / R * wanted.abs());
    let tolerance = if is_alone() { tolerance.max(shrunk) } else { tolerance };
    assert!((found - wanted).abs() <= tolerance, "{what}: {found}, not {wanted}");
}

fn opened(loops: &[Loop], radius: f64) -> Vec<Loop> {
    let void: Vec<Loop> = loops.iter().map(Loop::reversed).collect();
    let closing = close(&void, radius).expect("it can be opened");
    closing.standing.iter().map(|one| one.outline.reversed()).collect()
}

fn closed(loops: &[Loop], radius: f64) -> Vec<Loop> {
    let closing = close(loops, radius).expect("it can be closed");
    closing.standing.into_iter().map(|one| one.outline).collect()
}

fn ell() -> Loop {
    let at =
        [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)];
    polygon(&at)
}

#[test]
pub(super) fn an_offset_of_a_fraction_of_a_hundredth_is_not_cut_to_the_grid() {
    // Seen: sides at 3.175 and 46.824 for 3.1759 on a grid of a thousandth.
    let shrunk =
        offset_loops(&[rectangle(0.0, 0.0, 50.0, 50.0)], -3.1759).expect("shrunk");
    let bounds = shrunk[0].bounds();
    near(bounds.low.x, 3.1759, 1e-12, "left side");
    near(bounds.high.x, 50.0 - 3.1759, 1e-12, "right side");
}

#[test]
pub(super) fn corners_are_round_to_the_last_digit() {
    // Seen: 12.44 mm² for 10.8166 with five chords a half turn.
    let ell = [ell()];
    let left = area(&ell) - area(&opened(&ell, R));
    near(left, 5.0 * (1.0 - FRAC_PI_4) * R * R, 1e-9, "what an opening takes of an L");
    let filled = area(&closed(&ell, R)) - area(&ell);
    near(filled, (1.0 - FRAC_PI_4) * R * R, 1e-9, "what a closing adds to it");
    let disc = [hole(0.0, 0.0, 10.0).reversed()];
    let grown = area(&offset_loops(&disc, R).expect("grown"));
    near(grown, PI * (10.0 + R) * (10.0 + R), 1e-9, "a disc grown");
}

#[test]
pub(super) fn a_closing_ten_times_over_is_the_closing() {
    // Seen: drifts of 0.01 mm², and 120 points that become 208.
    let once = closed(&[ell()], R);
    let mut again = once.clone();
    for _ in 0..10 {
        again = closed(&again, R - 1e-6);
    }
    near(area(&again), area(&once), 1e-9, "area");
    assert_eq!(again[0].pieces().len(), once[0].pieces().len(), "pieces");
}

#[test]
pub(super) fn sharp_corners_of_a_closing_stand_where_they_stood() {
    // Seen: 0.3 µm of a square's corners lost, 28 µm of a sharp one.
    let tip = polygon(&[(0.0, 0.0), (80.0, -2.0), (80.0, 2.0)]);
    for one in [rectangle(-5.0, -5.0, 5.0, 5.0), tip] {
        for radius in [0.5, 3.175, 6.35, 9.525] {
            let part = std::slice::from_ref(&one);
            assert_eq!(closed(part, radius), part, "by {radius}");
        }
    }
}

#[test]
pub(super) fn an_arc_of_exactly_the_radius_vanishes_to_its_centre() {
    // Seen: a touch or a whole loop lost.
    let q = libm::tan(PI / 8.0);
    let part = bulged(&[
        [0.0, 0.0, 0.0],
        [60.0, 0.0, 0.0],
        [60.0, 20.0, 0.0],
        [20.0 + R, 20.0, -q],
        [20.0, 20.0 + R, 0.0],
        [20.0, 60.0, 0.0],
        [0.0, 60.0, 0.0],
    ]);
    let closing = close_to_fit(std::slice::from_ref(&part), R).expect("it can be closed");
    assert!(closing.regions.is_empty(), "nothing is left: {:?}", closing.regions);
    near(closing.touched[0].length, part.length(), 1e-9, "touched all round");
}

#[test]
pub(super) fn all_touches_of_a_thousand_exact_slots_are_kept() {
    // Seen: 3,399 touches lost.
    let (pitch, deep) = (4.0 * R, 20.0);
    let mut corners = vec![(0.0, 0.0), (1000.0 * pitch, 0.0)];
    for slot in (0..1000).rev() {
        let left = f64::from(slot) * pitch + R;
        let (right, floor) = (left + 2.0 * R, 30.0 - deep);
        corners.extend([(right, 30.0), (right, floor), (left, floor), (left, 30.0)]);
    }
    // The outer slots leave a tooth at either end.
    corners.insert(2, (1000.0 * pitch, 30.0));
    corners.push((0.0, 30.0));
    let closing = close_to_fit(&[polygon(&corners)], R).expect("it can be closed");
    assert_eq!(closing.exact_fits.len(), 1000, "each is named");
    assert_eq!(closing.regions.len(), 2000, "two bottom corners each");
    let left: f64 = closing.regions.iter().map(|region| region.area).sum();
    near(left, 2000.0 * (1.0 - FRAC_PI_4) * R * R, 0.05, "their area");
}

#[test]
pub(super) fn a_part_pinched_at_a_point_grows_round_both_halves() {
    // Seen: runs at the point that are wrong by the radius. Two squares of 20 that share a
    // corner grow to their own offsets, less what both cover.
    let pinched = polygon(&[
        (0.0, 0.0),
        (20.0, 0.0),
        (20.0, 20.0),
        (40.0, 20.0),
        (40.0, 40.0),
        (20.0, 40.0),
        (20.0, 20.0),
        (0.0, 20.0),
    ]);
    let grown = area(&offset_loops(&[pinched], R).expect("grown"));
    let one = 400.0 + 80.0 * R + PI * R * R;
    // About the shared corner both cover a disc's quarters in the voids, and a square of r by
    // r twice, where one's border runs in the other.
    let both = covered_by_both(R);
    near(grown, 2.0 * one - both, 1e-9, "area");
}

/// What the squares x, y <= 0 and x, y >= 0 grown by `r` both cover: |x|, |y| <= r of opposite
/// signs in the quarter discs, and the two quadrants up to r deep.
fn covered_by_both(r: f64) -> f64 {
    // x, y >= 0: within r of the other square's corner or sides: the quarter disc alone, for
    // the square x, y <= 0 is nearest in its corner. The same for x, y <= 0. Where x > 0 > y
    // both are within r where |y| <= r and x <= r: a square.
    2.0 * FRAC_PI_4 * r * r + 2.0 * r * r
}

#[test]
pub(super) fn an_opening_that_touches_the_outside_shrinks_what_is_between() {
    // Seen: a run wrong by the radius. A hole of 10 that touches the right side of 60 x 40.
    let loops = [rectangle(0.0, 0.0, 60.0, 40.0), hole(50.0, 20.0, 10.0)];
    let Ok(shrunk) = trim(&loops, Side::Inward, R) else {
        panic!("it is offset, or it would be refused before");
    };
    // Beside the touch the wood is nowhere twice the radius wide: the rest is the rectangle
    // less the hole grown, cut where the two are equally far.
    let inside = |x: f64, y: f64| {
        let side = x.min(60.0 - x).min(y).min(40.0 - y);
        let round = libm::hypot(x - 50.0, y - 20.0) - 10.0;
        side.min(round) - R
    };
    let rings = shrunk.ring_loops();
    let apart = if is_alone() { 2e-3 } else { 1e-6 };
    let mut dice = Dice::new(1);
    for _ in 0..2000 {
        let (x, y) = (60.0 * dice.share(), 40.0 * dice.share());
        let winds: i32 = rings.iter().map(|ring| ring.winding(Point::new(x, y))).sum();
        if apart < inside(x, y).abs() {
            assert_eq!(winds == 1, 0.0 < inside(x, y), "at ({x}, {y})");
        }
    }
}

#[test]
pub(super) fn a_speck_of_a_nanometre_grows_to_a_disc() {
    // Seen: lost. A square of 1e-6 mm.
    let speck = rectangle(0.0, 0.0, 1e-6, 1e-6);
    let grown = area(&offset_loops(&[speck], R).expect("grown"));
    near(grown, PI * R * R + 4e-6 * R + 1e-12, 1e-9, "area");
}

#[test]
pub(super) fn a_loop_that_is_a_point_or_has_no_number_ends_without_a_panic() {
    // Seen: hangs, and all memory taken.
    let at = Point::new(3.0, 4.0);
    let point = Loop::polygon(&[at, at, at]);
    assert!(trim(&[point], Side::Outward, R).is_ok_and(|none| none.runs.is_empty()));
    for odd in [f64::NAN, f64::INFINITY, 1e16] {
        let part = polygon(&[(0.0, 0.0), (odd, 0.0), (50.0, 50.0)]);
        let answer = trim(&[part], Side::Outward, R);
        assert!(answer.is_err() || odd.is_finite(), "{odd} is no number: {answer:?}");
    }
}

#[test]
pub(super) fn a_far_part_changes_nothing_of_a_near_one() {
    // Seen: borders shifted by 7e-5 mm by a part ten metres away.
    let own = offset_loops(&[notched()], R).expect("grown");
    let far = moved(&[rectangle(0.0, 0.0, 10.0, 10.0)], Vector::new(1e4, 0.0));
    let both: Vec<Loop> = [notched()].into_iter().chain(far).collect();
    let both = offset_loops(&both, R).expect("grown");
    assert_eq!(both.len(), 2, "two parts");
    near(both[0].area(), own[0].area(), 1e-6, "area");
    for (one, other) in own[0].pieces().iter().zip(both[0].pieces()) {
        near(one.from().distance(other.from()), 0.0, 1e-9, "a corner");
    }
}

#[test]
pub(super) fn a_curve_tighter_than_the_disc_has_a_knee_and_no_loops_behind_it() {
    // Seen: the raw offset with both its cusps. A half circle of 5 under discs of 8 and 12.
    for radius in [8.0, 12.0] {
        let part = bulged(&[
            [0.0, 0.0, 0.0],
            [100.0, 0.0, 0.0],
            [100.0, 60.0, 0.0],
            [55.0, 60.0, -1.0],
            [45.0, 60.0, 0.0],
            [0.0, 60.0, 0.0],
        ]);
        let rolled = trim(&[part], Side::Outward, radius).expect("it is offset");
        assert_eq!(
            (rolled.rings.len(), rolled.knees.len()),
            (1, 1),
            "one ring, one knee"
        );
        let above = (radius * radius - 25.0).sqrt();
        let knee = rolled.knees[0].centre;
        near(knee.distance(Point::new(50.0, 60.0 + above)), 0.0, 1e-9, "over its middle");
    }
}

#[test]
pub(super) fn ten_thousand_chords_of_a_smooth_outline_open_to_one_part() {
    // Seen: four loops for one, an empty opening, 7.3 mm of error.
    // The second method's union takes three thousand and some.
    let count = if is_alone() { 1_000 } else { 10_000 };
    let wavy = |index: u32| {
        let angle = 2.0 * PI * f64::from(index) / f64::from(count);
        let radius = 100.0 + 6.0 * libm::sin(7.0 * angle) + 2.0 * libm::sin(23.0 * angle);
        Point::default() + Vector::at_angle(angle) * radius
    };
    let part = Loop::polygon(&(0..count).map(wavy).collect::<Vec<_>>());
    let opened = opened(std::slice::from_ref(&part), R);
    assert_eq!(opened.len(), 1, "one part");
    assert!(opened[0].area() <= part.area(), "no larger than it was");
    // Its tightest hump is of 7 mm: nothing is taken but what the chords' corners are.
    near(opened[0].area(), part.area(), 1e-3, "the whole of it");
}

#[test]
pub(super) fn nothing_of_an_exact_slot_depends_on_where_the_walk_begins() {
    // Seen: an opening of 67.50 mm² for 3,277.95.
    for first in 0..8 {
        let mut pieces = super::shapes::slotted(2.0 * R).pieces().to_vec();
        pieces.rotate_left(first);
        let closing = close_to_fit(&[Loop::new(pieces)], R).expect("it can be closed");
        assert_eq!(closing.regions.len(), 2, "two corners from piece {first}");
        let shrunk = matches!(closing.trimmed.method, Method::Shrunk(by) if by < 2e-6);
        assert!(shrunk || is_alone(), "made by {:?}", closing.trimmed.method);
        let on_walls = |place: &Place| !place.corner;
        assert!(closing.trimmed.knees.iter().all(|knee| on_walls(&knee.leaves)));
    }
}

#[test]
pub(super) fn a_nearly_straight_arc_is_taken_as_what_it_is() {
    // Seen: distances that lose a digit for each of the radius.
    for bulge in [4e-9, 4e-7, 4e-5] {
        let part = bulged(&[
            [0.0, 0.0, bulge],
            [60.0, 0.0, 0.0],
            [60.0, 40.0, 0.0],
            [0.0, 40.0, bulge],
        ]);
        let grown = trim(std::slice::from_ref(&part), Side::Outward, R).expect("grown");
        let steiner = part.area() + part.length() * R + PI * R * R;
        near(area(&grown.ring_loops()), steiner, 1e-8, "Steiner's formula");
        let longest = grown.runs.iter().map(|run| run.curve.length()).fold(0.0, f64::max);
        near(longest, 60.0, 1e-2, "the long side");
    }
}

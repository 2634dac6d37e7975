//! The kernel's own tests once more, answered by the second method alone: hard cases, laws,
//! planted faults and every sort of random outline.
//!
//! Kinds, counts and order are as by the first; a drawing moved, turned, mirrored or begun
//! elsewhere leaves the same to 1e-6. Only what is known by formula at the radius itself is
//! compared within what the 2 µm are worth that the method's radius lacks.

use super::judge::{Tally, judge};
use super::second::alone;
use super::shapes::Dice;
use super::sorts::SORTS;
use super::{faults, hard, laws};

/// A test that does another's work by the second method.
macro_rules! by_the_second_method {
    ($($room:ident :: $name:ident),* $(,)?) => {
        $(
            #[test]
            fn $name() {
                alone($room::$name);
            }
        )*
    };
}

mod hard_cases {
    use super::{alone, hard};

    by_the_second_method![
        hard::an_offset_of_a_fraction_of_a_hundredth_is_not_cut_to_the_grid,
        hard::corners_are_round_to_the_last_digit,
        hard::a_closing_ten_times_over_is_the_closing,
        hard::sharp_corners_of_a_closing_stand_where_they_stood,
        hard::an_arc_of_exactly_the_radius_vanishes_to_its_centre,
        hard::all_touches_of_a_thousand_exact_slots_are_kept,
        hard::a_part_pinched_at_a_point_grows_round_both_halves,
        hard::an_opening_that_touches_the_outside_shrinks_what_is_between,
        hard::a_speck_of_a_nanometre_grows_to_a_disc,
        hard::a_loop_that_is_a_point_or_has_no_number_ends_without_a_panic,
        hard::a_far_part_changes_nothing_of_a_near_one,
        hard::a_curve_tighter_than_the_disc_has_a_knee_and_no_loops_behind_it,
        hard::ten_thousand_chords_of_a_smooth_outline_open_to_one_part,
        hard::nothing_of_an_exact_slot_depends_on_where_the_walk_begins,
        hard::a_nearly_straight_arc_is_taken_as_what_it_is,
    ];
}

mod of_laws {
    use super::{alone, laws};

    by_the_second_method![
        laws::moved_turned_mirrored_or_begun_elsewhere_the_same_is_left,
        laws::a_second_run_is_the_same_to_the_last_bit,
        laws::an_opening_lies_in_the_part_and_the_part_in_its_closing,
        laws::a_convex_part_grows_by_steiners_formula,
        laws::two_offsets_are_one_of_the_sum,
        laws::doubled_points_and_steps_of_a_nanometre_do_no_harm,
    ];
}

mod planted {
    use super::{alone, faults};

    by_the_second_method![
        faults::a_dropped_run_is_seen,
        faults::a_dropped_ring_is_seen,
        faults::a_run_moved_by_a_micrometre_is_seen,
        faults::swapped_owners_are_seen,
        faults::an_owner_lengthened_by_ten_micrometres_is_seen,
        faults::a_run_and_owner_lengthened_together_are_seen,
        faults::a_reversed_ring_is_seen,
        faults::a_stray_ring_is_seen,
        faults::an_invented_ring_in_a_small_opening_is_seen,
        faults::an_empty_result_is_seen,
        faults::a_result_for_a_radius_a_micrometre_off_is_seen,
        faults::a_missing_knee_and_one_too_many_are_seen,
        faults::a_ring_on_the_other_side_is_seen,
    ];
}

/// Seeds of each sort.
const SEEDS: u64 = 4;

#[test]
fn every_sort_of_outline_is_offset_right() {
    let mut all = Tally::default();
    for sort in &SORTS {
        for seed in 0..SEEDS {
            let mut dice = Dice::new(seed);
            let Some((loops, radius)) = (sort.make)(&mut dice) else { continue };
            let judged = alone(|| judge(&loops, radius, false, &mut dice));
            let one = judged.unwrap_or_else(|why| panic!("{}, {seed}: {why}", sort.name));
            all = all.and(one);
        }
    }
    assert!(SEEDS * 13 < all.offsets, "{all:?}");
    assert_eq!((all.shrunk, all.refused), (0, 0), "all by the second: {all:?}");
}

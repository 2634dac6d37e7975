//! The named cases and the laws of the reach once more, answered by the second method alone:
//! kinds, counts and order as by the first, numbers within what 2 µm of the radius are worth.

use super::{cases, laws};
use crate::geom::by_second_method_alone;

/// A test that does another's work by the second method.
macro_rules! by_the_second_method {
    ($($room:ident :: $name:ident),* $(,)?) => {
        $(
            #[test]
            fn $name() {
                by_second_method_alone($room::$name);
            }
        )*
    };
}

by_the_second_method![
    cases::a_corner_leaves_what_the_formulas_say,
    cases::the_square_with_a_square_cut_from_it,
    cases::a_slot_narrower_than_the_bit_is_left,
    cases::a_slot_of_exactly_the_bits_width_is_touched_on_both_walls,
    cases::a_fillet_of_the_bits_own_radius_is_an_exact_fit,
    cases::a_small_round_hole_is_an_opening_left_whole,
    cases::a_hollow_tighter_than_the_bit,
    cases::a_neck_between_two_rooms_of_an_opening,
    cases::an_oversize_bearing_loses_a_bridge_too_narrow_for_it,
    cases::an_opening_with_an_island_too_near_its_border,
    cases::an_opening_with_an_island_that_the_bit_goes_round,
    cases::two_round_ends_that_touch_leave_a_corner_of_no_angle,
    cases::a_corner_between_a_line_and_an_arc,
    cases::touches_on_pieces_that_are_not_neighbours,
    cases::a_plate_with_five_hundred_round_holes,
    cases::an_oversize_bearing_spares_corners_and_names_inside_ones,
    cases::an_oversize_bearing_on_openings_and_islands,
    cases::a_cutter_larger_than_its_bearing_is_refused,
    cases::a_part_that_the_bearing_spares_nothing_of_is_refused,
    cases::a_void_between_three_discs_alone,
    cases::shallow_places_are_summed,
    cases::a_hole_of_exactly_the_bits_size,
    cases::a_place_far_from_the_origin_is_the_same_place,
    laws::the_same_part_drawn_otherwise_has_the_same_reach,
    laws::a_second_run_is_the_same_to_the_last_bit,
];

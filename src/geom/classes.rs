//! Each sort of random outlines, some of each: every offset judged by brute force and by laws.
//! `tests/offsets` tries a hundred thousand.

use super::judge::{Tally, judge};
use super::shapes::Dice;
use super::sorts::{SORTS, Sort};

/// Seeds of each sort.
const SEEDS: u64 = 32;

fn run(sort: &Sort) -> Tally {
    let mut tally = Tally::default();
    for seed in 0..SEEDS {
        let mut dice = Dice::new(seed);
        let Some((loops, radius)) = (sort.make)(&mut dice) else { continue };
        let judged = judge(&loops, radius, seed % 8 == 0, &mut dice);
        let one = judged.unwrap_or_else(|fault| panic!("{}, {seed}: {fault}", sort.name));
        tally = tally.and(one);
    }
    tally
}

#[test]
fn every_sort_of_outline_is_offset_right() {
    let mut all = Tally::default();
    for sort in &SORTS {
        let tally = run(sort);
        assert!(SEEDS / 2 < tally.offsets, "{}: {tally:?}", sort.name);
        all = all.and(tally);
    }
    assert!(0 < all.shrunk && 0 < all.second, "some fit exactly: {all:?}");
    let refused = (all.refused_by_first, all.refused_by_second);
    assert_eq!(refused, (0, 0), "none is refused: {all:?}");
}

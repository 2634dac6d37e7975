//! The laws on many outlines.

use super::outlines::{BOTH, SHANK, TIP, at_table, guided};
use super::{ROUT, keeps_all_laws};
use crate::geom::shapes::Dice;
use crate::outline::Outline;
use crate::plan::plan;
use crate::plan::shapes::{polygon, shop};
use crate::read::Role;
use crate::shop::Guide;

/// A star of lines round the origin with some edges kept.
fn star(dice: &mut Dice) -> Outline {
    let n = (5_u32..14).filter(|_| dice.share() < 0.5).count().max(1);
    let n = 5 + u32::try_from(n).expect("few");
    let points: Vec<(f64, f64)> = (0..n)
        .map(|i| {
            let angle = (f64::from(i) + 0.6 * dice.share()) / f64::from(n)
                * std::f64::consts::TAU;
            let radius = 80.0 + 200.0 * dice.share();
            (radius * libm::cos(angle), radius * libm::sin(angle))
        })
        .collect();
    let roles: Vec<Role> = points
        .iter()
        .map(|_| match dice.share() {
            roll if roll < 0.15 => Role::TrueAlready,
            roll if roll < 0.25 => Role::GoesOn,
            _ => ROUT,
        })
        .collect();
    polygon(&points, &roles)
}

#[test]
fn many_stars_keep_all_laws() {
    let mut dice = Dice::new(7);
    let mut made = 0;
    for case in 0..60 {
        let outline = star(&mut dice);
        let rack: &[Guide] = [SHANK, TIP, BOTH][case % 3];
        let mut shop = guided(shop(180.0 * dice.share(), &[12.7, 6.35]), &[rack, BOTH]);
        if case % 4 == 1 {
            shop = at_table(shop);
        }
        if case % 5 == 2 {
            shop.template.moves = true;
        }
        match plan(vec![outline], &shop) {
            Ok(told) => {
                keeps_all_laws(&told.value, &shop);
                made += 1;
            }
            Err(failure) => {
                assert!(!failure.problems().is_empty(), "a refusal gives its reasons");
            }
        }
    }
    assert!(50 <= made, "most can be planned: {made}");
}

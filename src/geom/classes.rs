//! Random classes of outlines, each offset judged by brute force.

use super::shapes::{
    Dice, EXACT, bulged, cells, hole, is_simple, moved, polygon, rectangle, star, turned,
};
use super::trim::{Place, Trimmed};
use super::{Loop, Method, Piece, Point, Side, Vector, close, trim};
use std::f64::consts::TAU;

fn distance(loops: &[Loop], point: Point) -> f64 {
    let pieces = loops.iter().flat_map(Loop::pieces);
    pieces.map(|piece| piece.distance(point)).fold(f64::INFINITY, f64::min)
}

/// Worst distance of the runs from the radius, and whether each of some random places is
/// touched if and only if the disc fits there.
fn judge(loops: &[Loop], trimmed: &Trimmed, dice: &mut Dice) -> Result<(), String> {
    let radius = trimmed.radius;
    for run in &trimmed.runs {
        let off = (distance(loops, run.curve.at(dice.share())) - radius).abs();
        if 1e-6 < off {
            return Err(format!("a run is {off:e} off"));
        }
    }
    for (on, one) in loops.iter().enumerate() {
        let solid = |piece: &Piece| 1e-9 < piece.length();
        for (index, piece) in one.pieces().iter().enumerate().filter(|one| solid(one.1)) {
            for _ in 0..2 {
                judge_place(loops, trimmed, (on, index, dice.share()), piece)?;
            }
        }
    }
    Ok(())
}

fn judge_place(
    loops: &[Loop],
    trimmed: &Trimmed,
    (on, index, t): (usize, usize, f64),
    piece: &Piece,
) -> Result<(), String> {
    let centre = piece.at(t) + piece.direction(t).right() * trimmed.radius;
    let gap = distance(loops, centre) - trimmed.radius;
    let slack = 1e-5 / piece.length().max(1e-9);
    let owned = |by: f64| {
        trimmed.runs.iter().any(|run| {
            let (from, to): (Place, Place) = (run.owner.from, run.owner.to);
            (from.on, from.piece, from.corner) == (on, index, false)
                && from.t - by <= t
                && t <= to.t + by
        })
    };
    if -1e-11 <= gap && !owned(slack) {
        return Err(format!("piece {index} at {t}: free, and not touched"));
    }
    if gap < -1e-6 && owned(-slack) {
        return Err(format!("piece {index} at {t}: touched, and {gap:e} too near"));
    }
    Ok(())
}

/// Offsets both ways and closes both ways; returns how many offsets, and how many of them
/// needed a smaller radius.
fn try_all(loops: &[Loop], radius: f64, dice: &mut Dice) -> (usize, usize) {
    let mut shrunk = 0;
    for side in [Side::Outward, Side::Inward] {
        let walked: Vec<Loop> = match side {
            Side::Outward => loops.to_vec(),
            Side::Inward => loops.iter().map(Loop::reversed).collect(),
        };
        let trimmed = trim(&walked, Side::Outward, radius)
            .unwrap_or_else(|fault| panic!("{side:?} {radius}: {fault:?}\n{loops:?}"));
        if trimmed.method != Method::Exact {
            shrunk += 1;
        }
        judge(&walked, &trimmed, dice)
            .unwrap_or_else(|fault| panic!("{side:?} {radius}: {fault}\n{loops:?}"));
        // The closing asserts that its areas sum.
        close(&walked, radius).unwrap_or_else(|fault| {
            panic!("close {side:?} {radius}: {fault:?}\n{loops:?}")
        });
    }
    (2, shrunk)
}

fn run(
    count: u64,
    mut make: impl FnMut(&mut Dice) -> Option<(Vec<Loop>, f64)>,
) -> (usize, usize) {
    let mut all = (0, 0);
    for seed in 0..count {
        let mut dice = Dice::new(seed);
        if let Some((loops, radius)) = make(&mut dice) {
            let one = try_all(&loops, radius, &mut dice);
            all = (all.0 + one.0, all.1 + one.1);
        }
    }
    all
}

#[test]
fn stars_with_straight_and_round_sides() {
    let (done, _) = run(1200, |dice| {
        let loops = vec![star(dice)];
        is_simple(&loops[0]).then(|| (loops, 0.2 + 5.0 * dice.share()))
    });
    assert!(500 < done, "most stars are simple: {done}");
}

#[test]
fn cells_of_a_grid_with_radii_that_fit_exactly() {
    let (done, shrunk) = run(700, |dice| {
        let cell = dice.one_of(&[1.0, 2.0, 3.0]);
        Some((cells(dice, cell)?, dice.one_of(&EXACT)))
    });
    assert!(500 < done && 0 < shrunk, "{done} done, {shrunk} of them fit exactly");
}

#[test]
fn cells_of_a_grid_turned_by_any_angle() {
    let (done, shrunk) = run(700, |dice| {
        let loops = cells(dice, 2.0)?;
        Some((turned(&loops, TAU * dice.share(), None), dice.one_of(&EXACT)))
    });
    assert!(500 < done && 0 < shrunk, "{done} done, {shrunk} of them fit exactly");
}

#[test]
fn cells_turned_and_rounded_to_three_decimals() {
    let (done, _) = run(700, |dice| {
        let loops = cells(dice, 2.0)?;
        Some((turned(&loops, TAU * dice.share(), Some(1e3)), dice.one_of(&EXACT)))
    });
    assert!(500 < done, "{done} done");
}

#[test]
fn cells_with_radii_that_fit_nowhere() {
    let (done, _) = run(500, |dice| Some((cells(dice, 2.0)?, 0.3 + 2.5 * dice.share())));
    assert!(300 < done, "{done} done");
}

#[test]
fn stars_with_nearly_straight_arcs() {
    let (done, _) = run(400, |dice| {
        let slight = dice.one_of(&[4e-6, 4e-5, 1e-3]);
        let corners: Vec<[f64; 3]> = star(dice)
            .pieces()
            .iter()
            .map(|piece| {
                let from = piece.from();
                [from.x, from.y, slight * (2.0 * dice.share() - 1.0)]
            })
            .collect();
        let loops = vec![bulged(&corners)];
        is_simple(&loops[0]).then(|| (loops, 0.2 + 5.0 * dice.share()))
    });
    assert!(150 < done, "{done} done");
}

#[test]
fn necks_between_two_corners() {
    let (done, _) = run(300, |dice| {
        let radius = dice.one_of(&[0.5, 3.175, 6.35]);
        let slight = dice.one_of(&[0.0, 1e-9, 1e-6, 1e-3, 0.1]);
        let half = radius + slight * (dice.share() - 0.5);
        let (lean, far) = (8.0 * dice.share(), 4.0 * radius + 10.0);
        let loops = vec![polygon(&[
            (-far, -far),
            (far + lean, -far),
            (0.0, -half),
            (far, far),
            (-far - lean, far),
            (-1e-3 * lean, half),
        ])];
        is_simple(&loops[0]).then(|| (turned(&loops, TAU * dice.share(), None), radius))
    });
    assert!(300 < done, "{done} done");
}

#[test]
fn openings_that_hold_the_disc_in_one_place_only() {
    let (done, _) = run(200, |dice| {
        let radius = dice.one_of(&[0.5, 3.175, 6.35]);
        let by = dice.one_of(&[0.0, 1e-7, -1e-7, 2e-6, -2e-6]);
        let outside = rectangle(-40.0, -40.0, 40.0, 40.0);
        let inner = if dice.share() < 0.5 {
            hole(0.0, 0.0, radius + by)
        } else {
            let half = radius + by;
            rectangle(-half, -half, half, half).reversed()
        };
        Some((turned(&[outside, inner], TAU * dice.share(), None), radius))
    });
    assert_eq!(done, 400, "all are done");
}

#[test]
fn cells_a_kilometre_away_with_steps_of_a_nanometre() {
    let (done, _) = run(200, |dice| {
        let loops = cells(dice, 2.0)?;
        let radius = dice.one_of(&EXACT);
        let loops = turned(&loops, 0.3, Some(1e6));
        Some((moved(&loops, Vector::new(1e6, -1e6)), radius))
    });
    assert!(150 < done, "{done} done");
}

//! Sorts of random outlines, each with a radius: what offsets are tried on by the thousand.
//!
//! `tests/offsets` takes this file in as well, and tries them by the million.

use super::shapes::{
    Dice, EXACT, bulged, cells, hole, is_simple, moved, polygon, rectangle, star, turned,
};
use super::{Loop, Piece, Point, Vector};
use std::f64::consts::TAU;

/// Loops with the radius of a disc.
pub(crate) type Case = Option<(Vec<Loop>, f64)>;

/// A sort of outlines.
pub(crate) struct Sort {
    pub(crate) name: &'static str,
    /// One of them; `None` where the dice leave no simple outline.
    pub(crate) make: fn(&mut Dice) -> Case,
}

const fn sort(name: &'static str, make: fn(&mut Dice) -> Case) -> Sort {
    Sort { name, make }
}

/// All sorts.
pub(crate) const SORTS: [Sort; 15] = [
    sort("stars with straight and round sides", stars),
    sort("stars with nearly straight arcs", stars_nearly_straight),
    sort("stars with arcs of a kilometre and more", stars_of_kilometres),
    sort("convex outlines", convex),
    sort("grids, radii that fit nowhere", grids),
    sort("grids, radii that fit exactly", grids_exact),
    sort("the same, turned", grids_turned),
    sort("the same, turned and rounded to 3 decimals", grids_rounded),
    sort("the same, a kilometre away", grids_far_away),
    sort("necks between two corners", necks),
    sort("short necks, their end arcs overlapping", short_necks),
    sort("openings that hold the disc in one place", tight_openings),
    sort("nibs and notches of a nanometre and more", nibs),
    sort("rooms round islands", islands),
    sort("half circles that are hardly less than halves", halves),
];

/// One outline if it is simple, turned by any angle.
fn simple(loops: &[Loop], radius: f64, dice: &mut Dice) -> Case {
    let angle = TAU * dice.share();
    loops.iter().all(is_simple).then(|| (turned(loops, angle, None), radius))
}

fn stars(dice: &mut Dice) -> Case {
    let one = star(dice);
    is_simple(&one).then(|| (vec![one], 0.2 + 5.0 * dice.share()))
}

fn stars_nearly_straight(dice: &mut Dice) -> Case {
    slightly_bent(&[4e-6, 4e-5, 1e-3], dice)
}

fn stars_of_kilometres(dice: &mut Dice) -> Case {
    slightly_bent(&[1e-10, 1e-9, 1e-8, 1e-7, 1e-6], dice)
}

/// A star with bulges up to one of these.
fn slightly_bent(bulges: &[f64], dice: &mut Dice) -> Case {
    let slight = dice.one_of(bulges);
    let corners: Vec<[f64; 3]> = star(dice)
        .pieces()
        .iter()
        .map(|piece| {
            let from = piece.from();
            let bulge = slight * (2.0 * dice.share() - 1.0);
            [from.x, from.y, bulge]
        })
        .collect();
    let one = bulged(&corners);
    is_simple(&one).then(|| (vec![one], 0.2 + 5.0 * dice.share()))
}

/// Points on a circle, some sides bulged outwards less than the circle.
fn convex(dice: &mut Dice) -> Case {
    let count = 3 + dice.below(12);
    let mut angles: Vec<f64> = (0..count).map(|_| TAU * dice.share()).collect();
    angles.sort_by(f64::total_cmp);
    angles.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    if angles.len() < 3 {
        return None;
    }
    let next = angles[1..].iter().copied().chain([angles[0] + TAU]);
    let corners = angles.iter().zip(next).map(|(&angle, next)| {
        let at = Point::default() + Vector::at_angle(angle) * 40.0;
        let most = (libm::tan((next - angle) / 4.0)).min(1.0);
        [at.x, at.y, dice.one_of(&[0.0, 0.5, 0.9]) * most]
    });
    let one = bulged(&corners.collect::<Vec<_>>());
    is_simple(&one).then(|| (vec![one], dice.one_of(&[0.01, 1.0, 12.7, 100.0])))
}

fn grids(dice: &mut Dice) -> Case {
    Some((cells(dice, 2.0)?, 0.3 + 2.5 * dice.share()))
}

fn grids_exact(dice: &mut Dice) -> Case {
    let cell = dice.one_of(&[1.0, 2.0, 3.0]);
    Some((cells(dice, cell)?, dice.one_of(&EXACT)))
}

fn grids_turned(dice: &mut Dice) -> Case {
    let loops = cells(dice, 2.0)?;
    Some((turned(&loops, TAU * dice.share(), None), dice.one_of(&EXACT)))
}

fn grids_rounded(dice: &mut Dice) -> Case {
    let loops = cells(dice, 2.0)?;
    Some((turned(&loops, TAU * dice.share(), Some(1e3)), dice.one_of(&EXACT)))
}

fn grids_far_away(dice: &mut Dice) -> Case {
    let steps = [None, Some(1e3), Some(1e6), Some(1e3)][dice.below(4)];
    let loops = turned(&cells(dice, 2.0)?, TAU * dice.share(), steps);
    Some((moved(&loops, Vector::new(1e6, -1e6)), dice.one_of(&EXACT)))
}

/// How wide a neck is: twice the radius, or hardly more or less.
fn half_a_neck(radius: f64, dice: &mut Dice) -> f64 {
    let slight = dice.one_of(&[0.0, 1e-9, 1e-6, 1e-3, 0.1]);
    radius + slight * (dice.share() - 0.5)
}

/// Two notches in a plate whose corners come as near to each other as the disc is wide.
fn necks(dice: &mut Dice) -> Case {
    let radius = dice.one_of(&[0.5, 3.175, 6.35]);
    let half = half_a_neck(radius, dice);
    let (lean, far) = (8.0 * dice.share(), 4.0 * radius + 10.0);
    let one = polygon(&[
        (-far, -far),
        (far + lean, -far),
        (0.0, -half),
        (far, far),
        (-far - lean, far),
        (-1e-3 * lean, half),
    ]);
    simple(&[one], radius, dice)
}

/// Two rooms of an opening joined by a neck narrower than the disc, and so short that discs in
/// the two mouths overlap.
fn short_necks(dice: &mut Dice) -> Case {
    let radius = dice.one_of(&[0.5, 3.175, 6.35]);
    let half = if dice.share() < 0.5 {
        half_a_neck(radius, dice)
    } else {
        radius * (0.3 + 0.7 * dice.share())
    };
    let long = radius * dice.one_of(&[1e-3, 0.1, 0.5, 1.0, 2.0]) * dice.share();
    let (room, lean) = (5.0 * radius, radius * dice.share());
    let opening = polygon(&[
        (-room - long, -room),
        (-long, -room),
        (-long, -half),
        (long, -half),
        (long + lean, -room),
        (room + long + lean, -room),
        (room + long, room),
        (long, room),
        (long, half),
        (-long, half),
        (-long - lean, room),
        (-room - long - lean, room),
    ]);
    let far = 12.0 * radius;
    let plate = rectangle(-far, -far, far, far);
    simple(&[plate, opening.reversed()], radius, dice)
}

fn tight_openings(dice: &mut Dice) -> Case {
    let radius = dice.one_of(&[0.5, 3.175, 6.35]);
    let half = radius + dice.one_of(&[0.0, 1e-7, -1e-7, 2e-6, -2e-6]);
    let inner = match dice.below(3) {
        0 => hole(0.0, 0.0, half),
        1 => rectangle(-half, -half, half, half).reversed(),
        _ => {
            let (slope, top) = (3_f64.sqrt() * half, 2.0 * half);
            polygon(&[(-slope, -half), (0.0, top), (slope, -half)])
        }
    };
    let plate = rectangle(-40.0, -40.0, 40.0, 40.0);
    simple(&[plate, inner], radius, dice)
}

/// Sides with a nib, a notch or a step hardly larger than rounding.
fn nibs(dice: &mut Dice) -> Case {
    let radius = dice.one_of(&EXACT);
    let mut loops = Vec::new();
    for one in cells(dice, 3.0)? {
        let mut corners: Vec<[f64; 3]> = Vec::new();
        for piece in one.pieces() {
            let Piece::Line { from, .. } = *piece else {
                let (from, tangent) = (piece.from(), sweep(piece) / 4.0);
                corners.push([from.x, from.y, libm::tan(tangent)]);
                continue;
            };
            corners.push([from.x, from.y, 0.0]);
            if dice.share() < 0.3 && 1.0 < piece.length() {
                let (along, out) = (piece.direction(0.0), piece.direction(0.0).left());
                let high = dice.one_of(&[1e-6, -1e-6, 1e-5, -1e-5, 1e-8, -1e-8]);
                let wide = dice.one_of(&[1e-6, 1e-3, 0.5]);
                let foot = piece.at(0.1 + 0.3 * dice.share());
                for (on, up) in [(0.0, 0.0), (0.0, high), (wide, high), (wide, 0.0)] {
                    let at = foot + along * on + out * up;
                    corners.push([at.x, at.y, 0.0]);
                }
            }
        }
        loops.push(bulged(&corners));
    }
    Some((loops, radius))
}

fn sweep(piece: &Piece) -> f64 {
    match *piece {
        Piece::Line { .. } => 0.0,
        Piece::Arc { sweep, .. } => sweep,
    }
}

/// An opening with round and square islands, the ways between them about as wide as the disc.
fn islands(dice: &mut Dice) -> Case {
    let radius = dice.one_of(&[1.0, 3.175]);
    let pitch = 8.0 * radius;
    let mut loops = vec![
        rectangle(-2.0 * pitch, -2.0 * pitch, 2.0 * pitch, 2.0 * pitch),
        rectangle(-1.3 * pitch, -1.3 * pitch, 1.3 * pitch, 1.3 * pitch).reversed(),
    ];
    for (x, y) in [(-0.5, -0.5), (0.5, -0.5), (-0.5, 0.5), (0.5, 0.5)] {
        if dice.share() < 0.25 {
            continue;
        }
        let (x, y) = (x * pitch, y * pitch);
        let play = radius * dice.one_of(&[0.0, 0.0, 1e-6, -1e-6, 0.3, -0.3]);
        let half = pitch / 2.0 - radius - play;
        loops.push(if dice.share() < 0.5 {
            hole(x, y, half).reversed()
        } else {
            rectangle(x - half, y - half, x + half, y + half)
        });
    }
    let angle = dice.one_of(&[0.0, 0.3, 1.0]);
    (2 < loops.len()).then(|| (turned(&loops, angle, None), radius))
}

/// A round opening of two half circles, or a row of them as the top of a plate, humps alone or
/// humps and hollows: each a hair less than half and a hair out of its place.
fn halves(dice: &mut Dice) -> Case {
    let own = dice.one_of(&[0.5, 3.0, 6.35]);
    let slight =
        dice.one_of(&[0.0, 1e-12, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3]);
    let (far, hollow) = (12.0 * own, dice.one_of(&[1.0, -1.0]));
    let halves = [0_u8, 2, 4, 6][dice.below(4)];
    let mut corner = |x: f64, way: f64| {
        let mut off = || slight * (dice.share() - 0.5);
        let at = [x + off(), off()];
        [at[0], at[1], way * (1.0 - off().abs())]
    };
    let loops = if halves == 0 {
        let round = bulged(&[corner(own, -1.0), corner(-own, -1.0)]);
        vec![rectangle(-far, -far, far, far), round]
    } else {
        let mut corners = vec![[0.0, -far, 0.0]];
        let mut x = 2.0 * own * f64::from(halves);
        corners.push([x, -far, 0.0]);
        for index in 0..halves {
            corners.push(corner(x, if index % 2 == 0 { 1.0 } else { hollow }));
            x -= 2.0 * own;
        }
        corners.push([0.0, 0.0, 0.0]);
        vec![bulged(&corners)]
    };
    let radius = own * dice.one_of(&[1.0, 1.0, 0.17, 0.9, 1.3]);
    simple(&loops, radius + dice.one_of(&[0.0, slight, -slight]), dice)
}

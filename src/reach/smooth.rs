//! Smooth outlines of cubics, as drawing programs write them: pebbles, drops, hearts, leaves,
//! tight tops and cusps. With a bearing of any size each has a reach, by the first method.

use super::{Method, Radii, reach};
use crate::diag::{Place, Source};
use crate::geom::shapes::Dice;
use crate::geom::tolerance::FIT;
use crate::geom::{Point, Vector, offset_loops};
use crate::outline::{Outline, outlines};
use crate::read::{Drawing, Drawn, Path, Stroke};
use crate::units::Paper;
use std::f64::consts::{FRAC_PI_2, TAU};

/// The points on a grid of so many steps a millimetre, as a file has them.
fn rounded(points: [Point; 4], steps: f64) -> [Point; 4] {
    let round = |v: f64| (v * steps).round() / steps;
    points.map(|p| Point::new(round(p.x), round(p.y)))
}

/// The closed curve of these cubics.
fn drawing(cubics: &[[Point; 4]]) -> Drawing {
    let stroke = |&points: &[Point; 4]| Drawn {
        stroke: Stroke::Cubic(points),
        name: None,
        role: None,
    };
    let place = Place::whole(Source::Drawing, "smooth.svg");
    let path = Path { strokes: cubics.iter().map(stroke).collect(), closed: true, place };
    Drawing { name: "smooth".to_owned(), beside: None, paths: vec![path] }
}

/// A knot of a smooth closed curve: where it is, its tangent, and how long its two handles
/// are as a share of the way to the neighbours.
struct Knot {
    at: Point,
    way: Vector,
    handles: (f64, f64),
}

/// A random closed curve: from gentle pebbles to drops with tight tops and deep bays.
fn pebble(dice: &mut Dice) -> Drawing {
    let count = 2 + dice.below(6);
    let size = 20.0 + 130.0 * dice.share();
    let wild = dice.one_of(&[0.1, 0.4, 0.8]);
    let tight = dice.one_of(&[0.0, 1.0, 2.5]);
    let steps = dice.one_of(&[10.0, 100.0, 1e3, 1e6, 1e9]);
    let mut handle = || {
        let even = 0.36 * (1.0 + 0.3 * (dice.share() - 0.5));
        even * libm::exp(-tight * dice.share())
    };
    let handles: Vec<(f64, f64)> = (0..count).map(|_| (handle(), handle())).collect();
    let mut knots = Vec::new();
    for (index, handles) in handles.into_iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "a few knots")]
        let angle = TAU * (index as f64 + 0.4 * dice.share()) / count as f64;
        let radius = size * (1.0 - wild * dice.share());
        let lean = 1.6 * wild * (dice.share() - 0.5);
        knots.push(Knot {
            at: Point::default() + Vector::at_angle(angle) * radius,
            way: Vector::at_angle(angle + FRAC_PI_2 + lean),
            handles,
        });
    }
    let next = knots.iter().cycle().skip(1);
    let cubics = knots.iter().zip(next).map(|(a, b)| {
        let chord = a.at.distance(b.at);
        let leaves = a.at + a.way * (chord * a.handles.1);
        let arrives = b.at - b.way * (chord * b.handles.0);
        rounded([a.at, leaves, arrives, b.at], steps)
    });
    drawing(&cubics.collect::<Vec<_>>())
}

/// A mirrored outline: drops with round, pointed, cusped or dented tops, hearts, onions.
fn heart(dice: &mut Dice) -> Drawing {
    let steps = dice.one_of(&[1.0, 10.0, 100.0, 1e3, 1e4, 1e9]);
    let height = 20.0 + 180.0 * dice.share();
    let half = height * (0.1 + 0.6 * dice.share());
    // Which way the right side leaves the top: a quarter turn is a cusp.
    let lean = FRAC_PI_2
        * match dice.below(4) {
            0 | 1 => 1.0,
            2 => dice.share(),
            _ => 1.0 + dice.share(),
        };
    let (low, top) = (Point::default(), Point::new(0.0, height));
    let waist = Point::new(half, height * (0.15 + 0.6 * dice.share()));
    let bottom = if dice.share() < 0.7 { 0.0 } else { 0.8 * (dice.share() - 0.5) };
    let up = Vector::new(0.0, 0.6);
    let mut tight = || libm::exp(-4.0 * dice.share());
    let leaves_low = low + Vector::at_angle(bottom) * (half * tight());
    let below = waist - up * (waist.y * tight());
    let above = waist + up * ((height - waist.y) * tight());
    let near_top = top + Vector::at_angle(FRAC_PI_2 - lean) * (half * tight());
    let lower = rounded([low, leaves_low, below, waist], steps);
    let upper = rounded([waist, above, near_top, top], steps);
    let mirrored =
        |[a, b, c, d]: [Point; 4]| [d, c, b, a].map(|p: Point| Point::new(-p.x, p.y));
    drawing(&[lower, upper, mirrored(upper), mirrored(lower)])
}

/// A drop of one cubic that ends where it begins: its top is as pointed as a cusp.
fn drop_of_one(dice: &mut Dice) -> Drawing {
    let steps = dice.one_of(&[1.0, 10.0, 100.0, 1e3, 1e9]);
    let top = Point::new(0.0, 0.0);
    let mut handle = |side: f64| {
        let wide = 10.0 + 150.0 * dice.share();
        Point::new(side * wide, -40.0 - 200.0 * dice.share())
    };
    let (leaves, arrives) = (handle(1.0), handle(-1.0));
    drawing(&[rounded([top, arrives, leaves, top], steps)])
}

/// Bearing and cutter, in mm across.
const BITS: [(f64, f64); 8] = [
    (14.3, 12.7),
    (12.7, 12.7),
    (15.875, 12.7),
    (9.525, 6.35),
    (6.35, 6.35),
    (19.05, 19.05),
    (28.0, 12.7),
    (40.0, 8.0),
];
/// How far templates and saw lines are set out or in, in mm.
const OFFSETS: [f64; 6] = [-0.8, 0.8, 1.5875, -3.175, 7.7, -16.0];

/// Every bit has a reach and every offset is made, at the very radius asked for.
fn assert_reached(part: &Outline, case: &str) {
    for (bearing, cutter) in BITS {
        let radii = Radii { bearing: bearing / 2.0, cutter: cutter / 2.0 };
        match reach(part, radii, Paper::MM) {
            Ok(reach) => assert!(
                !matches!(reach.method, Method::Polygons),
                "{case}, bearing {bearing}, cutter {cutter}: only by polygons"
            ),
            Err(failure) => assert!(
                format!("{failure:?}").contains("reach-nothing-left"),
                "{case}, bearing {bearing}, cutter {cutter}: {failure:?}"
            ),
        }
    }
    for by in OFFSETS {
        let made = offset_loops(&part.loops, by);
        assert!(made.is_ok(), "{case}, set out by {by}: {made:?}");
    }
}

/// How many of these seeds give a simple outline, each with a reach.
fn run(
    name: &str,
    make: impl Fn(&mut Dice) -> Drawing,
    seeds: impl Iterator<Item = u64>,
) -> usize {
    let mut done = 0;
    for seed in seeds {
        let drawing = make(&mut Dice::new(seed));
        let Ok(told) = outlines(&drawing, &[], FIT, Paper::MM) else { continue };
        told.value
            .iter()
            .for_each(|part| assert_reached(part, &format!("{name} {seed}")));
        done += 1;
    }
    done
}

#[test]
fn smooth_outlines_have_a_reach_with_any_bearing() {
    // Short arcs that an opening leaves were once taken as their chords.
    let short_arcs = [632, 712, 889, 1399, 1761, 2465, 3949, 4021, 4029, 4376];
    let done = run("pebble", pebble, short_arcs.into_iter().chain(0..100));
    assert!(100 < done, "{done} pebbles are simple");
}

#[test]
fn drops_and_hearts_with_cusps_have_a_reach_with_any_bearing() {
    // A cusp once turned outwards on both sides; a small tip once left a ring beyond itself.
    let cusps = [76, 233, 431, 500, 709, 981, 988, 2079, 2804, 2832, 4466];
    let done = run("heart", heart, cusps.into_iter().chain(0..100));
    assert!(100 < done, "{done} hearts are simple");
}

#[test]
fn drops_of_one_cubic_have_a_reach_with_any_bearing() {
    let done = run("drop", drop_of_one, 0..100);
    assert!(80 < done, "{done} drops are simple");
}

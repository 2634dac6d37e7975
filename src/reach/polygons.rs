//! The reach by the second method against the reach by the first.

use super::compute::reach;
use super::{Method, Radii, Reach};
use crate::geom::by_second_method_alone;
use crate::geom::shapes::{bulged, hole, notched, rectangle, slotted};
use crate::geom::{Loop, Point, Span};

/// How far the two may lie apart, in mm: the second shrinks the radius by up to 2 µm.
const APART: f64 = 2e-3;

fn near(first: f64, second: f64, what: &str) {
    near_within(first, second, APART, what);
}

fn near_within(first: f64, second: f64, apart: f64, what: &str) {
    assert!((first - second).abs() <= apart, "{what}: {first} and {second}");
}

/// Basis: the first method, which has formulas and other programs behind it in its own tests.
fn compare(name: &str, loops: &[Loop], radii: Radii) {
    let first = reach(loops, radii).expect("the first method has a reach");
    let second = by_second_method_alone(|| reach(loops, radii));
    let second = second.unwrap_or_else(|fault| panic!("{name}: {fault:?}"));
    assert_ne!(first.method, Method::Polygons, "{name}: the first");
    assert_eq!(second.method, Method::Polygons, "{name}: the second");
    let kinds = |reach: &Reach| reach.sites.iter().map(|s| s.kind).collect::<Vec<_>>();
    assert_eq!(kinds(&first), kinds(&second), "{name}: the same sites");
    for (one, other) in first.sites.iter().zip(&second.sites) {
        near(one.depth, other.depth, &format!("{name}: depth"));
        assert!(one.at.distance(other.at) <= APART, "{name}: place");
        // Geometry: the disc sinks into a mouth of 12 mm by up to 3 times what its radius
        // shrinks by.
        near_within(one.area, other.area, 0.05, &format!("{name}: area"));
        assert_eq!(one.sides.len(), other.sides.len(), "{name}: sides");
        for (side, other) in one.sides.iter().zip(&other.sides) {
            near_within(*side, *other, 5.0 * APART, &format!("{name}: side"));
        }
    }
    // The bottom of an exact slot is touched over twice what the radius shrinks by.
    let runs = |reach: &Reach| {
        reach.touched.iter().filter(|span| 2.0 * APART < span.length).count()
    };
    assert_eq!(runs(&first), runs(&second), "{name}: touched runs");
    let length = |spans: &[Span]| spans.iter().map(|span| span.length).sum::<f64>();
    let apart = 0.02 * f64::from(u32::try_from(1 + first.touched.len()).expect("few"));
    near_within(
        length(&first.touched),
        length(&second.touched),
        apart,
        &format!("{name}: touched length"),
    );
    assert_eq!(first.enclosed.len(), second.enclosed.len(), "{name}: entries");
    near_within(first.lost, second.lost, 0.02, &format!("{name}: lost"));
}

fn outlines() -> Vec<(&'static str, Vec<Loop>)> {
    let plate = || rectangle(0.0, 0.0, 100.0, 60.0);
    let hollow = |radius: f64| {
        bulged(&[
            [0.0, 0.0, 0.0],
            [100.0, 0.0, 0.0],
            [100.0, 60.0, 0.0],
            [50.0 + radius, 60.0, -1.0],
            [50.0 - radius, 60.0, 0.0],
            [0.0, 60.0, 0.0],
        ])
    };
    let turned_back = rectangle(40.0, 20.0, 70.0, 45.0).reversed();
    vec![
        ("ell", vec![notched()]),
        ("slot of 12", vec![slotted(12.0)]),
        ("slot of 12.7, an exact fit", vec![slotted(12.7)]),
        ("slot of 14", vec![slotted(14.0)]),
        ("hollow of 5", vec![hollow(5.0)]),
        ("hollow of 6.35, an exact fit", vec![hollow(6.35)]),
        ("hole of 10", vec![plate(), hole(50.0, 30.0, 5.0)]),
        ("two holes", vec![plate(), hole(30.0, 30.0, 12.0), hole(57.0, 30.0, 13.0)]),
        ("opening", vec![plate(), turned_back]),
        (
            "opening with an island",
            vec![plate(), hole(50.0, 30.0, 25.0), hole(50.0, 30.0, 9.0).reversed()],
        ),
    ]
}

#[test]
fn both_methods_agree_on_named_outlines() {
    for (name, loops) in outlines() {
        compare(name, &loops, Radii { bearing: 6.35, cutter: 6.35 });
        compare(name, &loops, Radii { bearing: 4.1, cutter: 3.175 });
    }
}

#[test]
fn the_exact_slot_is_named_by_the_second_method_too() {
    let loops = [slotted(12.7)];
    let radii = Radii { bearing: 6.35, cutter: 6.35 };
    let reach = by_second_method_alone(|| reach(&loops, radii)).expect("it has a reach");
    assert_eq!(reach.exact_fits.len(), 1, "one slot");
    let middle = Point::new(50.0, 50.0);
    assert!(reach.exact_fits[0].distance(middle) < 20.0, "in the slot");
}

//! Every kind of repair and doubt: made or refused, and told with its place and size.

use super::tests::{at, good, ids, line, path, polygon, read, rectangle};
use super::*;
use crate::read::Path;

/// The one note of an id.
fn note<'t>(told: &'t Told<Vec<Outline>>, id: &str) -> &'t Problem {
    let mut found = told.notes.iter().filter(|note| note.id == id);
    let note = found.next().unwrap_or_else(|| panic!("{id} in {:?}", told.notes));
    assert!(found.next().is_none(), "{id} is told once: {:?}", told.notes);
    note
}

/// A square of 100 with these points instead of its corner at (100, 100).
fn square_with(corner: &[(f64, f64)]) -> Path {
    let mut points = vec![(0.0, 0.0), (100.0, 0.0)];
    points.extend(corner);
    points.push((0.0, 100.0));
    polygon("square", &points)
}

#[test]
fn crumbs_at_a_corner_are_taken_away_together() {
    let crumbs = [
        (100.0, 100.0),
        (100.004, 100.002),
        (99.999, 100.005),
        (100.001, 99.999),
        (99.997, 100.003),
    ];
    for start in 0..8 {
        let mut crumbed = square_with(&crumbs);
        crumbed.strokes.rotate_left(start);
        let told = good(vec![crumbed]);
        assert_eq!(ids(&told.notes), ["outline-tiny-step"], "from stroke {start}");
        let found = &told.notes[0].found;
        assert!(found.contains("4 crumbs of 0.00"), "how many and how large: {found}");
        let place = told.notes[0].place.as_ref().and_then(|place| place.at);
        let (x, y) = place.expect("a place");
        assert!(at(x, y).distance(at(100.0, 100.0)) < 0.01, "where: {x}, {y}");
        let ring = &told.value[0].loops[0];
        assert_eq!(ring.pieces().len(), 4, "a square is left: {ring:?}");
        assert!((ring.area() - 1e4).abs() < 1.0, "of its size");
    }
}

#[test]
fn a_fine_curve_is_not_taken_for_crumbs() {
    // A fillet of 0.2 mm in chords of 5 µm: each tiny, together far more than a crumb.
    let fillet: Vec<(f64, f64)> = (0..=64)
        .map(|i| std::f64::consts::FRAC_PI_2 * f64::from(i) / 64.0)
        .map(|turn| (99.8 + 0.2 * libm::cos(turn), 99.8 + 0.2 * libm::sin(turn)))
        .collect();
    let told = good(vec![square_with(&fillet)]);
    assert!(!ids(&told.notes).contains(&"outline-tiny-step"), "{:?}", told.notes);
    let lost = 1e4 - told.value[0].area();
    let round = 0.04 * (1.0 - std::f64::consts::FRAC_PI_4);
    assert!((lost - round).abs() < 1e-3, "geometry: {lost} and {round}");
}

#[test]
fn a_spike_says_how_long_it_was() {
    let told = good(vec![square_with(&[
        (100.0, 50.0),
        (130.0, 50.0),
        (100.0, 50.0),
        (100.0, 100.0),
    ])]);
    let spike = note(&told, "outline-spike");
    assert!(spike.found.contains("30 mm at X 130 mm, Y 50 mm"), "{}", spike.found);
}

#[test]
fn an_opening_wound_like_its_outside_is_turned_and_told_once() {
    let plate = || rectangle("plate", (0.0, 0.0), (300.0, 100.0));
    let hole = |id: &str, x: f64| rectangle(id, (x, 20.0), (40.0, 30.0));
    let told = good(vec![plate(), hole("plate", 20.0), hole("plate", 120.0)]);
    let turned = note(&told, "outline-turned");
    assert_eq!(turned.weight, Weight::Hint, "a quiet word");
    for part in ["X 20 mm, Y 20 mm", "40 mm by 30 mm", "1 more"] {
        assert!(turned.found.contains(part), "{part} in {}", turned.found);
    }
    for (ring, kind) in told.value[0].loops.iter().zip(&told.value[0].kinds) {
        assert_eq!(0.0 < ring.area(), *kind == LoopKind::Outside, "wood on the left");
    }
    let apart = good(vec![plate(), hole("hole", 20.0)]);
    assert!(apart.notes.is_empty(), "shapes of their own lie over each other");
}

#[test]
fn a_loop_outside_the_one_it_was_drawn_with_is_told() {
    let told = good(vec![
        rectangle("plate", (0.0, 0.0), (300.0, 100.0)),
        rectangle("plate", (320.0, 20.0), (40.0, 30.0)),
    ]);
    assert_eq!(told.value.len(), 2, "two parts");
    let outside = note(&told, "outline-outside-parent");
    assert_eq!(outside.weight, Weight::Caution, "it may have slipped");
    assert!(outside.found.contains("X 320 mm, Y 20 mm, 40 mm by 30 mm"), "where");
    let partly = read(
        vec![
            rectangle("plate", (0.0, 0.0), (300.0, 100.0)),
            rectangle("plate", (280.0, 20.0), (40.0, 30.0)),
        ],
        &[],
    );
    let failure = partly.expect_err("half outside");
    let problem = &failure.problems()[0];
    assert_eq!(problem.id, "outline-crosses", "{problem:?}");
    assert!(problem.found.contains("X 300 mm, Y 20 mm"), "where: {}", problem.found);
}

#[test]
fn nearly_closed_ends_and_loops_drawn_twice_say_where_and_how_much() {
    let corners = [at(0.0, 0.0), at(100.0, 0.0), at(100.0, 100.0), at(0.0, 0.006)];
    let strokes = corners.windows(2).map(|pair| line(pair[0], pair[1])).collect();
    let told = good(vec![Path { closed: false, ..path("wedge", strokes) }]);
    let joined = note(&told, "outline-ends-joined");
    assert!(joined.found.contains("0.006 mm apart at"), "{}", joined.found);
    let twice = || rectangle("plate", (0.0, 0.0), (300.0, 100.0));
    let told = good(vec![twice(), twice()]);
    let doubled = note(&told, "outline-doubled");
    assert!(doubled.found.contains("X 0 mm, Y 0 mm, 300 mm by 100 mm"), "{doubled:?}");
}

#[test]
fn a_lone_rectangle_round_loops_of_other_layers_may_be_a_frame() {
    let on = |layer: &str, path: Path| Path {
        place: Place { layer: Some(layer.to_owned()), ..path.place },
        ..path
    };
    let sheet = |layer: &str| {
        vec![
            on("BORDER", rectangle("a", (0.0, 0.0), (420.0, 297.0))),
            on(layer, rectangle("b", (50.0, 50.0), (200.0, 100.0))),
            on(layer, rectangle("c", (100.0, 80.0), (20.0, 20.0))),
        ]
    };
    let told = good(sheet("CUT"));
    let frame = note(&told, "outline-frame");
    for part in ["420 mm by 297 mm", "`BORDER`", "`CUT`"] {
        assert!(frame.found.contains(part), "{part} in {}", frame.found);
    }
    assert!(frame.hint.contains("--layer"), "what to do: {}", frame.hint);
    assert!(good(sheet("BORDER")).notes.is_empty(), "a plate with its opening");
}

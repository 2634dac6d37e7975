//! Small drawings written by hand, and what is read of them.

use std::f64::consts::PI;
use std::fmt::Write;

use super::*;
use crate::diag::{Place, Problem, Source};
use crate::geom::{Piece, Point};
use crate::read::{Path, Stroke};

/// A drawing's text from groups as `code value` with ` | ` between.
fn text(units: &str, blocks: &str, entities: &str) -> String {
    let mut text = String::new();
    let mut section = |name: &str, groups: &str| {
        let whole = format!("0 SECTION | 2 {name} | {groups}0 ENDSEC");
        for group in whole.split(" | ") {
            let (code, value) = group.trim().split_once(' ').unwrap_or((group, ""));
            let _ = writeln!(text, "{code}\n{value}");
        }
    };
    if !units.is_empty() {
        section("HEADER", &format!("9 $INSUNITS | 70 {units} | "));
    }
    section("BLOCKS", blocks);
    section("ENTITIES", entities);
    text + "0\nEOF\n"
}

fn mm(entities: &str) -> String {
    text("4", "", entities)
}

fn asked(pick: &Pick) -> Asked<'_> {
    Asked { units: None, size: None, pick }
}

fn told(text: &str) -> Told<Drawing> {
    let pick = Pick::default();
    dxf("test.dxf", text.as_bytes(), asked(&pick)).unwrap_or_else(|f| panic!("{f:?}"))
}

fn paths(text: &str) -> Vec<Path> {
    told(text).value.paths
}

fn refused(text: &str) -> Problem {
    let pick = Pick::default();
    let failure = dxf("test.dxf", text.as_bytes(), asked(&pick)).expect_err(text);
    failure.problems()[0].clone()
}

fn pieces(path: &Path) -> Vec<Piece> {
    let piece = |drawn: &crate::read::Drawn| match drawn.stroke {
        Stroke::Piece(piece) => piece,
        Stroke::Cubic(_) | Stroke::Ellipse { .. } => panic!("no piece: {drawn:?}"),
    };
    path.strokes.iter().map(piece).collect()
}

fn near(point: Point, x: f64, y: f64) {
    assert!(point.distance(Point::new(x, y)) < 1e-9, "{point:?} is not ({x}, {y})");
}

/// The cubics' points at equal parameters, from the start to the end.
fn samples(path: &Path) -> Vec<Point> {
    let of = |drawn: &crate::read::Drawn| match drawn.stroke {
        Stroke::Cubic(points) => {
            let curve = crate::geom::Curve::Cubic(points);
            [0.0, 0.25, 0.5, 0.75, 1.0].map(|t| curve.at(t))
        }
        Stroke::Piece(_) | Stroke::Ellipse { .. } => panic!("no cubic: {drawn:?}"),
    };
    path.strokes.iter().flat_map(of).collect()
}

#[test]
fn units_are_those_of_the_header_or_those_asked_for() {
    let line = "0 LINE | 8 0 | 10 1 | 20 2 | 11 3 | 21 4 | ";
    near(paths(&text("1", "", line))[0].strokes[0].stroke.from(), 25.4, 50.8);
    near(paths(&text("5", "", line))[0].strokes[0].stroke.from(), 10.0, 20.0);
    for units in ["", "0"] {
        let problem = refused(&text(units, "", line));
        assert_eq!(problem.id, "dxf-no-unit", "{problem:?}");
        let pick = Pick::default();
        let asked = Asked { units: Some(Unit::Inch), size: None, pick: &pick };
        let read = dxf("test.dxf", text(units, "", line).as_bytes(), asked);
        near(read.expect("inches").value.paths[0].strokes[0].stroke.from(), 25.4, 50.8);
    }
    assert_eq!(refused(&text("20", "", line)).id, "dxf-odd-unit", "parsecs");
    let notes = told(&text("1", "", line)).notes;
    assert!(notes[0].found.contains("inches, as the file says"), "{notes:?}");
}

#[test]
fn a_unit_that_contradicts_the_header_is_told_with_both_sizes() {
    let line = "0 LINE | 8 0 | 10 0 | 20 0 | 11 4 | 21 2 | ";
    let pick = Pick::default();
    let read = |header: &str, units| {
        let asked = Asked { units: Some(units), size: None, pick: &pick };
        dxf("test.dxf", text(header, "", line).as_bytes(), asked).expect("a line")
    };
    let told = read("1", Unit::Mm);
    let [note] = &told.notes[..] else { panic!("one note: {:?}", told.notes) };
    assert_eq!(
        (note.id, note.weight),
        ("dxf-units-differ", crate::diag::Weight::Caution)
    );
    for part in ["101.6 × 50.8 mm", "`units` says millimetres", "4.0 × 2.0 mm"] {
        assert!(note.found.contains(part), "{part} in {}", note.found);
    }
    near(told.value.paths[0].strokes[0].stroke.from(), 0.0, 0.0);
    assert!((told.value.bounds().width() - 101.6).abs() < 1e-9, "the file's own word");
    assert_eq!(read("2", Unit::Inch).notes[0].id, "dxf-size", "feet are of inches");
}

#[test]
fn a_known_size_goes_before_what_the_file_says() {
    let line = "0 LINE | 8 0 | 10 0 | 20 0 | 11 4 | 21 2 | ";
    let pick = Pick::default();
    let read = |header: &str, size| {
        let asked = Asked { units: None, size: Some(size), pick: &pick };
        dxf("test.dxf", text(header, "", line).as_bytes(), asked)
    };
    let mm = |mm| crate::units::Mm::new(mm).expect("finite");
    for header in ["", "1", "4"] {
        let told = read(header, KnownSize::Width(mm(400.0))).expect("a line");
        let bounds = told.value.bounds();
        assert!((bounds.width() - 400.0).abs() < 1e-9, "{header}: {bounds:?}");
        assert!((bounds.height() - 200.0).abs() < 1e-9, "{header}: {bounds:?}");
    }
    for size in [KnownSize::Ppi(96.0), KnownSize::Height(mm(0.0))] {
        let failure = read("1", size).expect_err("says nothing");
        assert_eq!(failure.problems()[0].id, "dxf-known-size", "{size:?}");
    }
}

#[test]
fn hatchings_in_blocks_are_counted_as_often_as_they_are_placed() {
    let blocks = "0 BLOCK | 8 0 | 2 Peg | 10 0 | 20 0 | 0 HATCH | 8 0 | 10 0 | 20 0 | \
        0 HATCH | 8 fill | 10 0 | 20 0 | 0 ENDBLK | ";
    let inserts = "0 INSERT | 8 parts | 2 PEG | 10 0 | 20 0 | 70 3 | 44 9 | \
        0 LINE | 8 0 | 10 1 | 20 2 | 11 3 | 21 4 | 0 HATCH | 8 0 | 10 0 | 20 0 | ";
    let left_out = told(&text("4", blocks, inserts)).value.beside.expect("a tally");
    let words = "on layer `0` 1 HATCH; on layer `fill` 3 HATCH; on layer `parts` 3 HATCH";
    assert_eq!(left_out.words(), words);
}

#[test]
fn arcs_and_circles_stay_arcs() {
    let read = paths(&mm("0 ARC | 8 0 | 5 2F | 10 10 | 20 20 | 40 5 | 50 270 | 51 0 | \
         0 CIRCLE | 8 0 | 10 0 | 20 0 | 40 3 | "));
    let arc = pieces(&read[0]);
    near(arc[0].from(), 10.0, 15.0);
    near(arc[0].to(), 15.0, 20.0);
    assert_eq!(read[0].place.element.as_deref(), Some("ARC#2F"), "its handle");
    let circle = pieces(&read[1]);
    assert!(circle.len() == 2 && read[1].closed, "two halves");
    assert_eq!(circle[1].to(), circle[0].from(), "closed exactly");
    let Piece::Arc { sweep, .. } = circle[0] else { panic!("an arc") };
    assert!((sweep - PI).abs() < 1e-12, "counter-clockwise");
}

/// A mirrored entity: its plane's x runs to the left, so an arc from 0° to 90° is seen from 180°
/// to 90°, clockwise (by hand from the rule).
#[test]
fn extrusion_mirrors() {
    let read = paths(&mm("0 ARC | 10 10 | 20 0 | 40 5 | 50 0 | 51 90 | 230 -1 | \
         0 LWPOLYLINE | 90 2 | 70 0 | 10 0 | 20 0 | 42 1 | 10 4 | 20 0 | 230 -1 | \
         0 LINE | 10 1 | 20 0 | 11 2 | 21 0 | 230 -1 | "));
    let arc = pieces(&read[0])[0];
    near(arc.from(), -15.0, 0.0);
    near(arc.to(), -10.0, 5.0);
    near(arc.at(0.5), -10.0 - 12.5_f64.sqrt(), 12.5_f64.sqrt());
    let half = pieces(&read[1])[0];
    near(half.to(), -4.0, 0.0);
    near(half.at(0.5), -2.0, -2.0);
    near(pieces(&read[2])[0].from(), 1.0, 0.0);
}

/// Basis: geometry; a bulge of √2 − 1 is a quarter turn, of 1 a half turn, and of the tangent of
/// 67.5° three quarters.
#[test]
fn bulges_are_arcs_and_the_last_closes() {
    let read = paths(&mm("0 LWPOLYLINE | 90 3 | 70 1 | 10 0 | 20 0 | 10 10 | 20 0 | \
         42 0.414213562373095 | 10 10 | 20 10 | 42 -1 | \
         0 LWPOLYLINE | 90 2 | 70 0 | 10 0 | 20 0 | 42 2.414213562373095 | 10 2 | 20 0 | "));
    let pieces_of = pieces(&read[0]);
    assert_eq!(pieces_of.len(), 3, "three runs");
    near(pieces_of[1].at(0.5), 5.0 + 50.0_f64.sqrt(), 5.0);
    near(pieces_of[2].to(), 0.0, 0.0);
    let Piece::Arc { sweep, .. } = pieces_of[2] else { panic!("an arc") };
    assert!((sweep + PI).abs() < 1e-9, "clockwise, half round: {sweep}");
    let most = pieces(&read[1]);
    assert_eq!(most.len(), 2, "an arc of 270° in two");
    near(most[0].to(), 1.0, -1.0 - 2.0_f64.sqrt());
}

#[test]
fn old_polylines_leave_their_frame_and_meshes_out() {
    let vertex = |x: f64, y: f64, flags: u32| {
        format!("0 VERTEX | 10 {x} | 20 {y} | 70 {flags} | ")
    };
    let smooth = format!(
        "0 POLYLINE | 66 1 | 70 4 | {}{}{}{}0 SEQEND | ",
        vertex(0.0, 0.0, 16),
        vertex(1.0, 1.0, 8),
        vertex(2.0, 5.0, 16),
        vertex(3.0, 1.0, 8)
    );
    let mesh = format!(
        "0 POLYLINE | 8 top | 66 1 | 70 64 | {}0 SEQEND | ",
        vertex(0.0, 0.0, 192)
    );
    let read = told(&mm(&(smooth + &mesh))).value;
    assert_eq!(read.paths.len(), 1, "one line");
    near(pieces(&read.paths[0])[0].to(), 3.0, 1.0);
    let left = read.beside.expect("a tally");
    assert_eq!(left.words(), "on layer `top` 1 mesh POLYLINE");
}

/// By hand: the major axis (4, 0) turned by the ratio −… the minor axis is normal × major.
#[test]
fn an_ellipse_runs_about_its_normal() {
    let one =
        "0 ELLIPSE | 10 1 | 20 2 | 11 4 | 21 0 | 40 0.5 | 41 0 | 42 1.5707963267948966";
    let read = paths(&mm(&format!("{one} | {one} | 230 -1 | ")));
    let end = |path: &Path| match path.strokes[0].stroke {
        Stroke::Ellipse { centre, x, y, start, sweep } => {
            let curve = crate::geom::Curve::Ellipse { centre, x, y, start, sweep };
            (curve.at(0.0), curve.at(1.0))
        }
        Stroke::Piece(_) | Stroke::Cubic(_) => panic!("an ellipse"),
    };
    for (path, y) in read.iter().zip([4.0, 0.0]) {
        near(end(path).0, 5.0, 2.0);
        near(end(path).1, 1.0, y);
    }
    let round = paths(&mm("0 ELLIPSE | 10 0 | 20 0 | 11 3 | 21 0 | 40 1 | "));
    assert_eq!(pieces(&round[0]).len(), 2, "a round ellipse is a circle");
}

#[test]
fn a_line_that_rises_is_refused_and_height_alone_is_not() {
    let flat = "0 LINE | 10 0 | 20 0 | 30 7 | 11 5 | 21 0 | 31 7 | ";
    assert_eq!(paths(&mm(flat)).len(), 1, "at one height");
    let rising = "0 LINE | 5 A1 | 10 0 | 20 0 | 30 0 | 11 5 | 21 0 | 31 7 | ";
    let problem = refused(&mm(rising));
    assert_eq!(problem.id, "dxf-not-flat", "{problem:?}");
    let place = problem.place.expect("a place");
    assert_eq!(place.element.as_deref(), Some("LINE#A1"));
    let tilted = "0 CIRCLE | 10 0 | 20 0 | 40 5 | 210 1 | 220 0 | 230 0 | ";
    assert_eq!(refused(&mm(tilted)).id, "dxf-not-flat", "it stands upright");
}

/// A plain cubic with a knot inside, against the same points by the sum of its basis functions
/// worked out by hand: over knots 0 0 0 0 1 2 2 2 2 the middle point is
/// (p1 + 2 p2 + p3) / 4 at 1.
#[test]
fn splines_become_cubics() {
    let spline = |degree: u32, knots: &str, points: &[(f64, f64)], rest: &str| {
        let mut groups = format!("0 SPLINE | 70 8 | 71 {degree} | ");
        for knot in knots.split(' ') {
            let _ = write!(groups, "40 {knot} | ");
        }
        for (x, y) in points {
            let _ = write!(groups, "10 {x} | 20 {y} | 30 0 | ");
        }
        groups + rest
    };
    let points = [(0.0, 0.0), (1.0, 4.0), (3.0, 4.0), (5.0, -2.0), (8.0, 0.0)];
    let read = paths(&mm(&spline(3, "0 0 0 0 1 2 2 2 2", &points, "")));
    assert_eq!(read[0].strokes.len(), 2, "one cubic a span");
    let middle = samples(&read[0])[4];
    near(middle, (1.0 + 6.0 + 5.0) / 4.0, (4.0 + 8.0 - 2.0) / 4.0);
    // A quarter of a circle, rational (geometry): every point lies 10 from the centre.
    let corner = [(10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];
    let weights = "41 1 | 41 0.7071067811865476 | 41 1 | ";
    let quarter = paths(&mm(&spline(2, "0 0 0 1 1 1", &corner, weights)));
    for point in samples(&quarter[0]) {
        let off = (point.distance(Point::new(0.0, 0.0)) - 10.0).abs();
        assert!(off < 1e-4, "{off} off the circle");
    }
    // Uniform knots that do not stand at the ends (by hand): the start is (p0 + 4 p1 + p2) / 6.
    let square = [(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0)];
    let round: Vec<(f64, f64)> = square.iter().cycle().take(7).copied().collect();
    let closed = paths(&mm(&spline(3, "0 1 2 3 4 5 6 7 8 9 10", &round, "")));
    let points = samples(&closed[0]);
    near(points[0], 5.0, 1.0);
    near(points[points.len() - 1], 5.0, 1.0);
    let bad = refused(&mm(&spline(3, "0 0 0 0 1 2 2 2", &round, "")));
    assert_eq!(bad.id, "dxf-unreadable", "{bad:?}");
}

/// Basis: geometry; through points of a straight line the curve is that line, and through evenly
/// spaced points of a circle the closed one is as good as round.
#[test]
fn a_spline_of_fit_points_goes_through_them() {
    let fit = |flags: u32, points: &[(f64, f64)]| {
        let of = |(x, y): &(f64, f64)| format!("11 {x} | 21 {y} | 31 0 | ");
        let points: String = points.iter().map(of).collect();
        mm(&format!("0 SPLINE | 70 {flags} | 71 3 | {points}"))
    };
    let read = told(&fit(8, &[(0.0, 0.0), (1.0, 0.0), (5.0, 0.0)]));
    for point in samples(&read.value.paths[0]) {
        assert!(point.y.abs() < 1e-12, "{point:?} on the line");
    }
    assert!(read.notes.iter().any(|n| n.id == "dxf-fit-points"), "{:?}", read.notes);
    let on = |k: u32| libm::sincos(f64::from(k) * PI / 6.0);
    let rim: Vec<(f64, f64)> =
        (0..12).map(|k| (10.0 * on(k).1, 10.0 * on(k).0)).collect();
    let round = samples(&paths(&fit(9, &rim))[0]);
    for point in &round {
        let off = point.distance(Point::new(0.0, 0.0)) - 10.0;
        assert!(off.abs() < 0.005, "{off} off the circle");
    }
    assert_eq!(round.len(), 60, "all round");
    near(round[59], round[0].x, round[0].y);
}

/// By hand: base (1, 0), scaled by (2, 1), turned a quarter, set at (10, 20).
#[test]
fn blocks_are_placed_scaled_turned_and_in_rows() {
    let blocks = "0 BLOCK | 8 0 | 2 peg | 10 1 | 20 0 | \
        0 LINE | 8 0 | 62 0 | 10 1 | 20 0 | 11 2 | 21 0 | \
        0 CIRCLE | 8 pins | 10 1 | 20 0 | 40 1 | 0 ENDBLK | ";
    let insert = "0 INSERT | 8 parts | 62 3 | 5 51 | 2 PEG | 10 10 | 20 20 | 41 2 | 42 1 | \
        50 90 | 70 2 | 71 1 | 44 7 | ";
    let read = paths(&text("4", blocks, insert));
    assert_eq!(read.len(), 4, "two entities, two columns");
    let line = pieces(&read[0])[0];
    near(line.from(), 10.0, 20.0);
    near(line.to(), 10.0, 22.0);
    near(pieces(&read[2])[0].from(), 10.0, 27.0);
    assert_eq!(read[0].place.layer.as_deref(), Some("parts"), "layer 0 is the placing's");
    assert_eq!(read[1].place.layer.as_deref(), Some("pins"), "its own");
    let element = read[0].place.element.clone().expect("an element");
    assert!(element.starts_with("INSERT#51/LINE"), "{element}");
    assert!(matches!(read[1].strokes[0].stroke, Stroke::Ellipse { .. }), "stretched");
    let green = Pick {
        colours: vec![(3, Place::whole(Source::Command, "--colour"))],
        ..Pick::default()
    };
    let bytes = text("4", blocks, insert);
    let told = dxf("t.dxf", bytes.as_bytes(), asked(&green)).expect("the line");
    assert_eq!(told.value.paths.len(), 2, "the lines take the placing's colour");
}

#[test]
fn a_mirrored_block_turns_its_arcs() {
    let blocks = "0 BLOCK | 2 a | 10 0 | 20 0 | \
        0 ARC | 10 0 | 20 0 | 40 5 | 50 0 | 51 90 | 0 ENDBLK | ";
    let insert = "0 INSERT | 2 a | 10 0 | 20 0 | 41 -1 | ";
    let arc = pieces(&paths(&text("4", blocks, insert))[0])[0];
    near(arc.from(), -5.0, 0.0);
    near(arc.to(), 0.0, 5.0);
    near(arc.at(0.5), -12.5_f64.sqrt(), 12.5_f64.sqrt());
}

#[test]
fn blocks_that_grow_without_bound_are_refused() {
    let own = "0 BLOCK | 2 a | 10 0 | 20 0 | 0 INSERT | 2 a | 10 1 | 20 0 | 0 ENDBLK | ";
    let insert = "0 INSERT | 2 a | 10 0 | 20 0 | ";
    assert_eq!(refused(&text("4", own, insert)).id, "dxf-too-deep");
    let empty = "0 BLOCK | 2 a | 10 0 | 20 0 | 0 ENDBLK | ";
    let rows = "0 INSERT | 2 a | 10 0 | 20 0 | 70 30000 | 71 30000 | 44 1 | 45 1 | ";
    assert_eq!(refused(&text("4", empty, rows)).id, "dxf-too-many-placings");
    let thin = "0 INSERT | 2 a | 10 0 | 20 0 | 41 0 | ";
    assert_eq!(refused(&text("4", empty, thin)).id, "dxf-scale");
    // A height of nothing is harmless: programs of flat drawings write it.
    let line = "0 BLOCK | 2 a | 10 0 | 20 0 | 0 LINE | 11 5 | 21 0 | 0 ENDBLK | ";
    let low = "0 INSERT | 2 a | 10 0 | 20 0 | 43 0 | ";
    assert_eq!(paths(&text("4", line, low)).len(), 1);
}

#[test]
fn layers_are_asked_for_by_name_and_what_is_hidden_is_left_out() {
    let place = || Place::whole(Source::Command, "--layer");
    let lines = "0 LINE | 8 Cut-18 | 10 0 | 20 0 | 11 9 | 21 0 | \
        0 LINE | 8 dims | 10 0 | 20 0 | 11 9 | 21 9 | \
        0 LINE | 8 dims | 60 1 | 10 0 | 20 0 | 11 9 | 21 9 | \
        0 LINE | 8 dims | 67 1 | 10 0 | 20 0 | 11 9 | 21 9 | \
        0 TEXT | 8 notes | 10 0 | 20 0 | 1 part 1 | ";
    let read = told(&mm(lines)).value;
    assert_eq!(read.paths.len(), 2, "what is seen in the model");
    let words = read.beside.expect("a tally").words();
    assert_eq!(words, "on layer `dims` 1 LINE; on layer `notes` 1 TEXT");
    let pick =
        |name: &str| Pick { layers: vec![(name.to_owned(), place())], ..Pick::default() };
    let told = dxf("t.dxf", mm(lines).as_bytes(), asked(&pick("cut*"))).expect("one");
    assert_eq!(told.value.paths.len(), 1, "the layer asked for");
    let failure =
        dxf("t.dxf", mm(lines).as_bytes(), asked(&pick("rim"))).expect_err("none");
    let problem = &failure.problems()[0];
    assert_eq!(problem.id, "dxf-no-such-layer");
    assert_eq!(problem.expected, "one of `Cut-18`, `dims`, `notes`");
}

#[test]
fn layers_that_are_off_or_frozen_are_left_out_unless_named() {
    let mut table = "0\nSECTION\n2\nTABLES\n0\nTABLE\n2\nLAYER\n70\n2\n".to_owned();
    table += "0\nLAYER\n2\nICE\n70\n1\n62\n7\n6\nCONTINUOUS\n";
    table += "0\nLAYER\n2\ndark\n70\n0\n62\n-7\n6\nCONTINUOUS\n0\nENDTAB\n0\nENDSEC\n";
    let lines = "0 LINE | 8 ice | 10 0 | 20 0 | 11 9 | 21 0 | \
        0 LINE | 8 dark | 10 0 | 20 0 | 11 9 | 21 9 | \
        0 LINE | 8 lit | 10 0 | 20 0 | 11 9 | 21 9 | ";
    let whole =
        mm(lines).replace("0\nSECTION\n2\nBLOCKS", &(table + "0\nSECTION\n2\nBLOCKS"));
    let read = told(&whole).value;
    assert_eq!(read.paths.len(), 1, "what is on");
    assert_eq!(read.beside.expect("a tally").total(), 2, "told");
    let layers = vec![("ICE".to_owned(), Place::whole(Source::Command, "--layer"))];
    let pick = Pick { layers, ..Pick::default() };
    let named = dxf("t.dxf", whole.as_bytes(), asked(&pick)).expect("ice");
    assert_eq!(named.value.paths.len(), 1, "asked for by name");
}

#[test]
fn what_cannot_be_read_is_refused_with_its_line() {
    let bad = mm("0 LINE | 10 x | 20 0 | 11 9 | 21 9 | ");
    let problem = refused(&bad);
    assert_eq!(problem.id, "dxf-damaged");
    let line = problem.place.as_ref().and_then(|place| place.line).expect("a line");
    let at = bad.lines().position(|text| text == "x").expect("the bad number");
    assert_eq!((line, problem.found.as_str()), (at + 1, "`x` is no number"));
    for (text, id) in [
        (String::new(), "dxf-not-dxf"),
        ("<svg/>".to_owned(), "dxf-not-dxf"),
        (mm(""), "dxf-empty"),
        (mm("0 TEXT | 10 0 | 20 0 | 1 part | "), "dxf-text-only"),
        (mm("0 POINT | 10 0 | 20 0 | "), "dxf-empty"),
        (mm("0 HATCH | 8 0 | 10 0 | 20 0 | "), "dxf-empty"),
        (mm(&"0 POINT | 10 0 | ".repeat(200_001)), "dxf-too-many-entities"),
    ] {
        let problem = refused(&text);
        assert_eq!(problem.id, id, "{problem:?}");
        assert!(!problem.hint.is_empty(), "{id} says what to do");
    }
    let area = refused(&mm("0 HATCH | 8 fill | 10 0 | 20 0 | "));
    assert!(area.found.contains("on layer `fill` 1 HATCH"), "{area:?}");
    let long = vec![b' '; 20_000_001];
    let pick = Pick::default();
    let failure = dxf("t.dxf", &long, asked(&pick)).expect_err("too long");
    assert_eq!(failure.problems()[0].id, "dxf-too-large");
}

#[test]
fn a_damaged_date_does_no_harm() {
    let line = "0 LINE | 10 1 | 20 2 | 11 3 | 21 4 | ";
    let dates = "9\n$TDCREATE\n40\n1e300\n9\n$TDUPDATE\n40\nnever\n9\n$INSUNITS";
    let read = paths(&mm(line).replace("9\n$INSUNITS", dates));
    assert_eq!(read.len(), 1, "the line");
    let index = "0\nSECTION\n2\nOBJECTS\n0\nLAYER_INDEX\n40\n1e300\n0\nENDSEC\n0\nEOF\n";
    assert_eq!(paths(&mm(line).replace("0\nEOF\n", index)).len(), 1, "the line");
}

/// The same drawing as text and in binary form, with codes of one byte and of two.
#[test]
fn binary_drawings_say_the_same() {
    let whole = mm("0 ARC | 5 2F | 8 rim | 10 10.5 | 20 20.25 | 40 5 | 50 270 | 51 0 | ");
    let expected = paths(&whole);
    for wide in [false, true] {
        let mut bytes = b"Anybody Binary DXF\r\n\x1a\0".to_vec();
        assert_eq!(bytes.len(), 22, "the mark's length");
        let lines: Vec<&str> = whole.lines().collect();
        for pair in lines.chunks(2) {
            let code: u16 = pair[0].parse().expect("a code");
            let code_bytes = code.to_le_bytes();
            bytes.extend(if wide { &code_bytes[..] } else { &code_bytes[..1] });
            match code {
                10..=59 => {
                    let number: f64 = pair[1].parse().expect("a number");
                    bytes.extend(number.to_le_bytes());
                }
                70 => bytes.extend(pair[1].parse::<i16>().expect("units").to_le_bytes()),
                _ => bytes.extend([pair[1].as_bytes(), b"\0"].concat()),
            }
        }
        let pick = Pick::default();
        let read = dxf("t.dxf", &bytes, asked(&pick)).expect("a drawing").value.paths;
        assert_eq!(read.len(), 1, "one arc");
        assert_eq!(read[0].strokes, expected[0].strokes, "the same strokes");
        let failure = dxf("t.dxf", &bytes[..60], asked(&pick)).expect_err("cut short");
        assert_eq!(failure.problems()[0].id, "dxf-damaged");
    }
}

#[test]
fn a_handle_that_is_none_does_no_harm() {
    let read = paths(&mm("0 CIRCLE | 5 rim | 8 0 | 10 0 | 20 0 | 40 4 | "));
    assert_eq!(read[0].place.element.as_deref(), Some("CIRCLE number 1"));
}

#[test]
fn a_block_that_is_not_there_is_why_nothing_was_read() {
    let text = mm("0 INSERT | 8 0 | 2 RIM | 10 0 | 20 0 | ");
    let failure = dxf("test.dxf", text.as_bytes(), asked(&Pick::default()));
    let failure = failure.expect_err("nothing is there");
    let ids: Vec<_> = failure.problems().iter().map(|problem| problem.id).collect();
    assert_eq!(ids, ["dxf-empty", "dxf-no-such-block"]);
}

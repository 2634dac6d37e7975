//! Tests of the SVG reader.

use super::svg;
use crate::diag::{Failure, Problem};
use crate::geom::{Piece, Point, Vector};
use crate::read::{Drawing, Stroke};

/// A page of 200 × 100 mm, one unit a millimetre, with this inside.
pub(super) fn page(inside: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"200mm\" height=\"100mm\"\n viewBox=\"0 0 200 100\">\n{inside}\n</svg>"
    )
}

pub(super) fn read(inside: &str) -> Drawing {
    svg("part.svg", page(inside).as_bytes()).expect(inside).value
}

pub(super) fn refused(text: &str) -> Vec<Problem> {
    match svg("part.svg", text.as_bytes()) {
        Err(Failure::Input(problems)) => problems,
        other => panic!("{text} gave {other:?}"),
    }
}

fn pieces(drawing: &Drawing, path: usize) -> Vec<Piece> {
    let strokes = drawing.paths[path].strokes.iter();
    strokes
        .map(|drawn| match drawn.stroke {
            Stroke::Piece(piece) => piece,
            other => panic!("{other:?} is no piece"),
        })
        .collect()
}

fn assert_near(found: Point, expected: (f64, f64)) {
    let expected = Point::new(expected.0, expected.1);
    assert!(found.distance(expected) < 1e-9, "{found:?} is not {expected:?}");
}

#[test]
fn y_is_turned_up_from_the_lower_left_corner() {
    let drawing = read("<rect id='side' x='10' y='20' width='30' height='40'/>");
    let lines = pieces(&drawing, 0);
    assert_near(lines[0].from(), (10.0, 80.0));
    assert_near(lines[2].from(), (40.0, 40.0));
    assert!(drawing.paths[0].closed, "a rect closes");
    assert_eq!(drawing.paths[0].strokes[3].name.as_deref(), Some("side"));
    assert_eq!(drawing.paths[0].place.line, Some(3), "the third line");
    assert_eq!(drawing.paths[0].place.element.as_deref(), Some("rect#side"));
}

/// Basis: geometry; a half circle from (0,0) to (20,0) that is clockwise on the page bulges
/// up the page, so to +y here, and turns clockwise here too.
#[test]
fn an_arc_keeps_its_way_as_the_page_is_seen() {
    let drawing = read("<path d='M 0 100 A 10 10 0 0 1 20 100'/>");
    let Piece::Arc { from, to, centre, sweep } = pieces(&drawing, 0)[0] else {
        panic!("an arc stays an arc")
    };
    assert_near(from, (0.0, 0.0));
    assert_near(to, (20.0, 0.0));
    assert_near(centre, (10.0, 0.0));
    assert!((sweep + std::f64::consts::PI).abs() < 1e-12, "clockwise by a half turn");
}

/// Basis: geometry; all four arcs of radius 10 from (0,0) to (10,10) on the page.
#[test]
fn the_four_arcs_between_two_points() {
    for (flags, centre, sweep) in [
        ("0 0", (10.0, 100.0), 90.0),
        ("0 1", (0.0, 90.0), -90.0),
        ("1 0", (0.0, 90.0), 270.0),
        ("1 1", (10.0, 100.0), -270.0),
    ] {
        let drawing = read(&format!("<path d='M 0 0 A 10 10 0 {flags} 10 10'/>"));
        let arcs = pieces(&drawing, 0);
        let mut turned = 0.0;
        for arc in &arcs {
            let Piece::Arc { centre: found, sweep, .. } = *arc else {
                panic!("{arc:?} is no arc")
            };
            assert_near(found, centre);
            assert!(sweep.abs() <= std::f64::consts::PI, "at most a half turn");
            turned += sweep.to_degrees();
        }
        assert!((turned - sweep).abs() < 1e-9, "{flags}: {turned}");
        assert_near(arcs[arcs.len() - 1].to(), (10.0, 90.0));
    }
}

#[test]
fn a_circle_is_two_half_circles() {
    let drawing = read("<circle cx='50' cy='30' r='12.5'/>");
    let arcs = pieces(&drawing, 0);
    assert_eq!(arcs.len(), 2, "two halves");
    assert_eq!(arcs[0].to(), arcs[1].from(), "they meet exactly");
    assert_eq!(arcs[1].to(), arcs[0].from(), "and close exactly");
    assert_near(arcs[0].middle_of_circle(), (50.0, 70.0));
}

/// Basis: geometry: a half circle's centre is the middle of its ends, however these are rounded.
#[test]
fn a_turned_half_circle_is_one_half() {
    for turned in 0..360 {
        let way = Vector::at_angle(f64::from(turned)) * 3.0;
        let (from, to) = (Point::new(61.4, 75.9) + way, Point::new(61.4, 75.9) - way);
        let radius = (from - to).length() / 2.0;
        // The digit that a program's own rounding may add.
        for radius in [radius, radius * (1.0 + f64::EPSILON)] {
            let drawn = format!(
                "<path d='M {} {} A {radius} {radius} 0 0 1 {} {}'/>",
                from.x, from.y, to.x, to.y
            );
            let arc = pieces(&read(&drawn), 0)[0];
            let middle = arc.from().middle(arc.to());
            let off = arc.middle_of_circle().distance(middle);
            assert!(off < 1e-12, "{off} off, turned by {turned}");
        }
    }
}

trait MiddleOfCircle {
    fn middle_of_circle(&self) -> Point;
}

impl MiddleOfCircle for Piece {
    fn middle_of_circle(&self) -> Point {
        match *self {
            Self::Line { .. } => panic!("a line has no centre"),
            Self::Arc { centre, .. } => centre,
        }
    }
}

#[test]
fn nested_transforms_keep_circles_where_they_are_similar() {
    let drawing = read(
        "<g transform='translate(100 50)'><g transform='rotate(90) scale(2)'><circle cx='10' r='3'/></g></g>",
    );
    let arc = pieces(&drawing, 0)[0];
    assert_near(arc.middle_of_circle(), (100.0, 30.0));
    assert!((arc.radius().expect("an arc") - 6.0).abs() < 1e-12, "twice as large");
    let mirrored = read(
        "<path transform='translate(100 0) scale(-1 1)' d='M0 0A10 10 0 0 1 20 0'/>",
    );
    let Piece::Arc { sweep, .. } = pieces(&mirrored, 0)[0] else {
        panic!("still an arc")
    };
    assert!(0.0 < sweep, "mirrored, it turns the other way");
}

#[test]
fn a_circle_stretched_is_an_ellipse() {
    let drawing = read("<circle transform='scale(3 1)' cx='20' cy='50' r='10'/>");
    let Stroke::Ellipse { centre, x, y, sweep, .. } = drawing.paths[0].strokes[0].stroke
    else {
        panic!("an ellipse")
    };
    assert_near(centre, (60.0, 50.0));
    assert!((x.length() - 30.0).abs() < 1e-12, "long axis");
    assert!((y.length() - 10.0).abs() < 1e-12, "short axis");
    assert!((sweep - std::f64::consts::TAU).abs() < 1e-12, "all the way");
}

/// Basis: geometry; every command once, relative, coming back to the start.
#[test]
fn every_path_command_is_read() {
    let drawing = read(
        "<path d='m 10 10 l 10 0 h 10 v 10 c 5 0 5 5 0 5 s -5 5 -10 5 q -5 0 -5 -5 t -5 -5 a 5 5 0 0 1 -10 0 z m 50 0 h 5 v 5 z'/>",
    );
    assert_eq!(drawing.paths.len(), 2, "two subpaths");
    let first = &drawing.paths[0];
    assert!(first.closed && drawing.paths[1].closed, "both close");
    assert_eq!(first.strokes.len(), 9, "eight commands and the closing line");
    let Stroke::Cubic(smooth) = first.strokes[4].stroke else { panic!("a cubic") };
    assert_near(smooth[1], (25.0, 75.0));
    let Stroke::Cubic(second) = first.strokes[6].stroke else { panic!("a cubic") };
    // The mirrored control point of the quadratic is (15, 20) on the page.
    assert_near(second[1], (15.0, 75.0 + 10.0 / 3.0));
    assert_near(pieces(&drawing, 1)[0].from(), (60.0, 90.0));
}

/// Basis: published, SVG 2, W3C, section 9.3.6: a smooth curve mirrors only a control point of
/// its own order.
#[test]
fn smooth_curves_mirror_only_their_own_order() {
    let drawing = read("<path d='M 0 0 Q 10 10 20 0 S 30 10 40 0 T 60 0'/>");
    let Stroke::Cubic(smooth) = drawing.paths[0].strokes[1].stroke else {
        panic!("a cubic")
    };
    assert_near(smooth[1], (20.0, 100.0));
    let Stroke::Cubic(last) = drawing.paths[0].strokes[2].stroke else {
        panic!("a cubic")
    };
    assert_near(last[1], (40.0, 100.0));
}

#[test]
fn rounded_rectangles_are_tangent_lines_and_arcs() {
    let drawing = read("<rect x='10' y='10' width='50' height='30' rx='5'/>");
    let ring = crate::geom::Loop::new(pieces(&drawing, 0));
    assert_eq!(ring.pieces().len(), 8, "four sides and four corners");
    for index in 0..8 {
        assert!(ring.turn(index).abs() < 1e-9, "piece {index} goes on smoothly");
    }
    let area = 50.0 * 30.0 - 25.0 * (4.0 - std::f64::consts::PI);
    assert!((ring.area().abs() - area).abs() < 1e-9, "area {}", ring.area());
}

#[test]
fn what_is_hidden_or_only_defined_is_not_drawn() {
    let told = svg(
        "part.svg",
        page("<defs><rect width='5' height='5'/></defs><g display='none'><path d='M0 0H5'/></g><g style='visibility:hidden'><path d='M0 0H5'/><path visibility='visible' d='M0 0H9'/></g>")
            .as_bytes(),
    )
    .expect("one path is drawn");
    assert_eq!(told.value.paths.len(), 1, "only the visible one");
    assert_eq!(told.notes.len(), 1, "the hidden ones are reported");
    assert_eq!(told.notes[0].id, "svg-hidden");
}

/// Basis: published, SVG 2, W3C, section 8.2: with `meet` the smaller scale holds both ways and
/// the rest is shared by the alignment.
#[test]
fn the_view_box_lies_on_the_page_as_it_is_aligned() {
    let text = |ratio: &str| {
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='200mm' height='100mm' viewBox='0 0 50 50' {ratio}><path d='M0 0H50'/></svg>"
        )
    };
    for (ratio, x) in [
        ("", 50.0),
        ("preserveAspectRatio='xMinYMin'", 0.0),
        ("preserveAspectRatio='xMaxYMid meet'", 100.0),
    ] {
        let told = svg("part.svg", text(ratio).as_bytes()).expect(ratio);
        assert_near(pieces(&told.value, 0)[0].from(), (x, 100.0));
        assert_near(pieces(&told.value, 0)[0].to(), (x + 100.0, 100.0));
        assert_eq!(told.notes[0].id, "svg-page-proportions", "it is said");
    }
    let stretched = refused(&text("preserveAspectRatio='none'"));
    assert_eq!(stretched[0].id, "svg-stretched");
}

#[test]
fn sizes_that_are_no_sizes_are_refused() {
    for size in ["", "width='100' height='50'", "width='100px' height='50px'"] {
        let text = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' {size} viewBox='0 0 100 50'><path d='M0 0H5'/></svg>"
        );
        let problems = refused(&text);
        assert_eq!(problems.len(), 1, "one fix, one problem");
        assert_eq!(problems[0].id, "svg-without-size");
        assert!(problems[0].hint.contains("width=\"120mm\""), "the fix is shown");
    }
}

#[test]
fn a_path_error_is_placed_to_the_letter() {
    let text = page("<path id='é' d='M 0 0 L 10 x 5'/>");
    let problem = &refused(&text)[0];
    assert_eq!(problem.id, "svg-path-unreadable");
    let place = problem.place.as_ref().expect("a place");
    let span = place.span.clone().expect("bytes");
    assert_eq!(&text[span], "x", "the letter itself");
    assert_eq!(place.line, Some(3));
    assert_eq!(place.element.as_deref(), Some("path#é"));
}

#[test]
fn every_problem_is_told_at_once() {
    let problems = refused(&page(
        "<use href='#a'/><path d='M 0 0 L nan 3'/><circle r='-1'/><path transform='scale(0)' d='M0 0H1'/>",
    ));
    let ids: Vec<&str> = problems.iter().map(|problem| problem.id).collect();
    assert_eq!(
        ids,
        ["svg-use-missing", "svg-path-unreadable", "svg-size-negative", "svg-transform"]
    );
}

#[test]
fn bytes_that_are_no_drawing_are_refused() {
    let bare = "<!DOCTYPE svg PUBLIC '-//W3C//DTD SVG 1.1//EN' 'x.dtd'>".to_owned()
        + &page("<rect width='9' height='9'/>");
    assert!(
        svg("t.svg", bare.as_bytes()).is_ok(),
        "a document type without entities is read"
    );
    let many = |attribute: &str| format!("{attribute} ").repeat(501);
    let long = "x".repeat(10_000);
    let quadratic = format!(
        "<!DOCTYPE svg [<!ENTITY a '{long}'>]><svg>{}</svg>",
        "&a;".repeat(10_000)
    );
    let named = "<!DOCTYPE svg [<!ENTITY ns 'http://www.w3.org/2000/svg'>]><svg xmlns='&ns;' width='9mm' height='9mm' viewBox='0 0 9 9'><rect width='9' height='9'/></svg>";
    assert!(svg("t.svg", named.as_bytes()).is_ok(), "an entity for a namespace is read");
    let deep = format!("{}{}", "<g>".repeat(100), "</g>".repeat(100));
    for (text, id) in [
        ("not xml".to_owned(), "svg-xml"),
        ("<svg><g>".to_owned(), "svg-cut-short"),
        ("<html/>".to_owned(), "svg-not-svg"),
        (
            "<!DOCTYPE svg [<!ENTITY a '&b;'><!ENTITY b 'c'>]><svg/>".to_owned(),
            "svg-doctype",
        ),
        (quadratic, "svg-doctype"),
        (page(""), "svg-empty"),
        (page(&format!("<rect {}/>", many("a='1'"))), "svg-too-many-attributes"),
        (page(&"<g xmlns:a='b'/>".repeat(10_001)), "svg-too-many-attributes"),
        (page("<circle cy='15555555555555550' r='9'/>"), "svg-too-far"),
        (
            page("<path transform='scale(1e300)' d='M 0 0 C 1e10 0 9 9 0 9'/>"),
            "svg-too-far",
        ),
        (page("<text>47</text>"), "svg-text"),
        (page("<path d='M0 0H5'/><text>47</text>"), "svg-text"),
        (page("<text> </text>"), "svg-empty"),
        (page(&deep), "svg-too-deep"),
        (
            page("<path transform='rotate(9)' transform-box='fill-box' d='M0 0H5'/>"),
            "svg-transform-origin",
        ),
        (
            page(&format!("<path d='M0 0{}'/>", "h1".repeat(500_001))),
            "svg-too-many-strokes",
        ),
        (page("<style>@import url(a.css)</style><path d='M0 0H5'/>"), "svg-style-sheet"),
    ] {
        let problem = &refused(&text)[0];
        assert_eq!(problem.id, id, "{text}");
        assert!(!problem.hint.is_empty(), "{id} says what to do");
    }
    let packed = svg("part.svgz", &[0x1f, 0x8b, 8]);
    assert_eq!(packed.expect_err("packed").problems()[0].id, "svg-packed");
}

#[test]
fn a_hundred_thousand_groups_do_not_run_out_of_stack() {
    let deep = format!("{}{}", "<g>".repeat(100_000), "</g>".repeat(100_000));
    assert_eq!(refused(&page(&deep))[0].id, "svg-too-deep");
}

/// Basis: published, SVG 2, W3C, appendix B.2.5: radii too small are scaled up together.
#[test]
fn an_arc_too_small_for_its_ends_is_enlarged_and_reported() {
    let told = svg("part.svg", page("<path d='M0 0A5 5 0 0 1 20 0'/>").as_bytes())
        .expect("it is read");
    assert_eq!(told.notes[0].id, "svg-arc-enlarged");
    let radius = pieces(&told.value, 0)[0].radius().expect("an arc");
    assert!((radius - 10.0).abs() < 1e-12, "half the distance of its ends");
}

#[test]
fn a_shape_off_the_page_gets_a_caution() {
    let told =
        |shape: &str| svg("t.svg", page(shape).as_bytes()).expect("a drawing").notes;
    assert!(
        told("<rect width='9' height='9'/>").is_empty(),
        "on the page nothing is said"
    );
    let notes = told("<rect x='-3' width='9' height='9'/>");
    assert_eq!(notes.len(), 1, "one path, one word: {notes:?}");
    assert_eq!(notes[0].id, "svg-off-page", "{notes:?}");
}

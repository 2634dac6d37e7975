//! Tests of clones, nested drawings, styles, and of sizes that a person knows.

use super::tests::{page, read, refused};
use super::{svg, svg_of_size};
use crate::geom::{Piece, Point};
use crate::read::{Drawing, KnownSize, Stroke};
use crate::units::{Mm, Paper};

/// Left, near, right and far of all that is drawn.
fn assert_bounds(drawing: &Drawing, expected: [f64; 4]) {
    let bounds = drawing.bounds();
    let found = [bounds.low.x, bounds.low.y, bounds.high.x, bounds.high.y];
    let near = found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9);
    assert!(near, "{found:?} is not {expected:?}");
}

#[test]
fn a_clone_lies_where_it_is_put() {
    let drawing = read(
        "<defs><g id='g' transform='scale(2)'><rect id='r' width='10' height='5'/></g></defs>
         <use id='left' x='20' y='30' href='#g'/><use xlink:href='#r' transform='translate(100 0)'/>",
    );
    assert_eq!(drawing.paths.len(), 2, "two clones");
    let name = |path: usize| drawing.paths[path].strokes[0].name.as_deref();
    assert_eq!(name(0), Some("left"), "edges go by the clone's id");
    assert_eq!(name(1), Some("r"), "or by the shape's own");
    let element = drawing.paths[0].place.element.as_deref();
    assert_eq!(element, Some("rect#r drawn by use#left"));
    assert_bounds(&drawing, [20.0, 60.0, 110.0, 100.0]);
}

/// Basis: published, SVG 2, W3C, sections 5.5 and 8.2: a symbol's view box is laid into the
/// clone's width and height, the smaller scale both ways, in the middle.
#[test]
fn a_symbol_is_laid_into_its_clone() {
    let symbol = "<symbol id='s' viewBox='10 10 20 10'><rect x='10' y='10' width='20' height='10'/></symbol>";
    let drawing =
        read(&format!("{symbol}<use href='#s' x='100' width='40' height='40'/>"));
    assert_bounds(&drawing, [100.0, 70.0, 140.0, 90.0]);
    let whole = read(&format!("{symbol}<use href='#s'/>"));
    assert_bounds(&whole, [0.0, 0.0, 200.0, 100.0]);
}

#[test]
fn a_nested_drawing_has_units_of_its_own() {
    let drawing = read(
        "<svg x='100' y='50' width='50%' height='40' viewBox='0 0 50 20'><rect width='100%' height='50%'/></svg>",
    );
    assert_bounds(&drawing, [100.0, 30.0, 200.0, 50.0]);
    let stretched = read(
        "<svg width='100' height='10' viewBox='0 0 10 10' preserveAspectRatio='none'><rect width='10' height='10'/></svg>",
    );
    assert_bounds(&stretched, [0.0, 90.0, 100.0, 100.0]);
}

#[test]
fn what_reaches_out_of_a_nested_drawing_is_told() {
    let notes = |overflow: &str| {
        let inside = format!(
            "<svg width='9' height='9' {overflow}><rect width='20' height='5'/></svg>"
        );
        svg("t.svg", page(&inside).as_bytes()).expect("it is read").notes
    };
    assert_eq!(notes("")[0].id, "svg-clip-not-read");
    assert!(notes("overflow='visible'").is_empty(), "all of it is seen");
}

#[test]
fn clones_that_go_wrong_are_named() {
    for (inside, id, element) in [
        (
            "<g id='a'><rect width='1' height='1'/><use id='u' href='#a'/></g>",
            "svg-use-loop",
            "use#u",
        ),
        ("<use id='u' href='#u'/>", "svg-use-loop", "use#u"),
        (
            "<defs><g id='a'><use id='b' href='#c'/></g><g id='c'><use id='d' href='#a'/></g></defs><use id='u' href='#a'/>",
            "svg-use-loop",
            "use#d",
        ),
        ("<use id='u' href='#gone'/>", "svg-use-missing", "use#u"),
        ("<use id='u'/>", "svg-use-elsewhere", "use#u"),
        ("<use id='u' href='other.svg#a'/>", "svg-use-elsewhere", "use#u"),
    ] {
        let problem = &refused(&page(inside))[0];
        assert_eq!(problem.id, id, "{inside}");
        let place = problem.place.as_ref().expect("a place");
        let told = place.element.as_deref().unwrap_or("");
        assert!(told.starts_with(element), "{element} in {told}");
        assert!(problem.found.contains(element), "{}", problem.found);
    }
}

#[test]
fn clones_of_clones_end_at_a_limit() {
    let mut inside = "<defs><g id='g0'><path d='M0 0H1V1z'/></g>".to_owned();
    for level in 1..30 {
        let clone = format!("<use href='#g{}'/>", level - 1);
        inside +=
            &["<g id='g", &level.to_string(), "'>", &clone.repeat(10), "</g>"].concat();
    }
    let problems = refused(&page(&(inside + "</defs><use href='#g29'/>")));
    assert_eq!(problems.last().map(|problem| problem.id), Some("svg-too-many-elements"));
}

#[test]
fn many_problems_end_at_a_limit() {
    let problems = refused(&page(&"<circle r='-1'/>".repeat(1000)));
    assert_eq!(problems.len(), 101, "a hundred and the word that there are more");
    assert_eq!(problems[100].id, "svg-and-more");
}

#[test]
fn what_is_not_seen_is_not_read() {
    for hidden in [
        "opacity='0'",
        "fill='none'",
        "class='no'",
        "style='visibility: hidden'",
        "style='fill:none;stroke:transparent'",
        "requiredExtensions='http://example.com'",
        "systemLanguage='de'",
    ] {
        let drawing = read(&format!(
            "<style>.no {{ display : none }}</style><rect width='5' height='5' {hidden}/><path fill='none' stroke='red' d='M0 0H9'/>"
        ));
        assert_eq!(drawing.paths.len(), 1, "{hidden} hides it");
    }
    let all = refused(&page("<g fill='none'><rect id='r' width='5' height='5'/></g>"));
    assert_eq!(all[0].id, "svg-empty");
    assert!(all[0].found.contains("rect#r"), "it is named: {}", all[0].found);
}

#[test]
fn what_is_only_held_ready_is_not_read() {
    let drawing = read(
        "<clipPath id='c'><rect width='5' height='5'/></clipPath><mask><rect width='5' height='5'/></mask>
         <pattern><rect width='5' height='5'/></pattern><marker><rect width='5' height='5'/></marker>
         <symbol><rect width='5' height='5'/></symbol><rect width='7' height='7'/>",
    );
    assert_eq!(drawing.paths.len(), 1, "only the rect");
}

#[test]
fn a_switch_gives_its_first_child_for_us() {
    let drawing = read(
        "<switch><unheard/><foreignObject requiredExtensions='x'/><rect systemLanguage='fr' width='5' height='5'/><rect id='en' systemLanguage='de, en-GB' width='7' height='7'/><rect width='9' height='9'/></switch>",
    );
    assert_eq!(drawing.paths.len(), 1, "one child");
    assert_eq!(drawing.paths[0].strokes[0].name.as_deref(), Some("en"));
}

#[test]
fn transforms_of_styles_have_units_and_origins() {
    for transform in [
        "style='transform: translate(100px, 50px) rotate(90deg)'",
        "class='turned'",
        "transform='rotate(90)' transform-origin='25 75'",
        "transform='rotate(90)' style='transform-origin: 12.5% 75%'",
        "transform='scale(9)' style='transform: rotate(0.25turn); transform-origin: 25px 75px'",
    ] {
        let drawing = read(&format!(
            "<style>.turned{{transform:matrix(0,1,-1,0,100,50)}}</style><rect {transform} width='20' height='10'/>"
        ));
        assert_bounds(&drawing, [90.0, 30.0, 100.0, 50.0]);
    }
    let problem = &refused(&page("<path style='transform:rotate(45)' d='M0 0H5'/>"))[0];
    assert_eq!(problem.id, "svg-transform");
}

#[test]
fn wide_lines_are_told() {
    let told = |width: &str| {
        let inside = format!(
            "<path fill='none' stroke='#000' stroke-width='{width}' d='M0 0H5'/>"
        );
        svg("t.svg", page(&inside).as_bytes()).expect("it is read").notes
    };
    assert!(told("0.5").is_empty(), "a thin line is a line");
    assert_eq!(told("3")[0].id, "svg-wide-lines");
    assert!(told("3")[0].found.contains("3 mm"), "how wide is said");
}

fn known(text: &str, size: KnownSize) -> Drawing {
    svg_of_size("part.svg", text.as_bytes(), Some(size), Paper::MM).expect(text).value
}

fn mm(mm: f64) -> Mm {
    Mm::new(mm).expect("finite")
}

#[test]
fn a_drawing_in_pixels_is_read_at_the_size_that_is_known() {
    let shape = "<rect x='90' y='45' width='180' height='90'/>";
    let heads = [
        "width='360' height='270px'",
        "width='360px' height='270' viewBox='0 0 360 270'",
        "viewBox='0 0 360 270'",
        "width='100%' viewBox='0 0 360 270'",
        "",
    ];
    for head in heads {
        let text =
            format!("<svg xmlns='http://www.w3.org/2000/svg' {head}>{shape}</svg>");
        assert!(svg("part.svg", text.as_bytes()).is_err(), "no size, no reading: {head}");
        let drawing = known(&text, KnownSize::Ppi(90.0));
        assert!((drawing.bounds().width() - 50.8).abs() < 1e-9, "{head}");
        let wide = known(&text, KnownSize::Width(mm(240.0))).bounds();
        assert!((wide.width() - 240.0).abs() < 1e-9, "{head}: {wide:?}");
        assert!((wide.height() - 120.0).abs() < 1e-9, "{head}: {wide:?}");
        let high = known(&text, KnownSize::Height(mm(240.0))).bounds();
        assert!((high.width() - 480.0).abs() < 1e-9, "{head}: {high:?}");
    }
}

#[test]
fn lengths_inside_go_by_the_pixels_an_inch() {
    let text = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 360 270'><rect width='2in' height='1cm'/></svg>";
    let bounds = known(text, KnownSize::Ppi(72.0)).bounds();
    assert!((bounds.width() - 50.8).abs() < 1e-9, "{bounds:?}");
    assert!((bounds.height() - 10.0).abs() < 1e-9, "{bounds:?}");
}

#[test]
fn a_size_that_contradicts_the_page_is_told() {
    let text = page("<rect width='100' height='50'/>");
    let told = |size| svg_of_size("part.svg", text.as_bytes(), Some(size), Paper::MM);
    let twice = told(KnownSize::Ppi(96.0)).expect_err("the page has a size");
    assert_eq!(twice.problems()[0].id, "svg-size-twice");
    let same = told(KnownSize::Width(mm(100.0))).expect("as it is");
    assert!(same.notes.is_empty(), "{:?}", same.notes);
    let other = told(KnownSize::Width(mm(110.0))).expect("as it is known");
    assert_eq!(other.notes[0].id, "svg-known-size");
    assert!((other.value.bounds().width() - 110.0).abs() < 1e-9, "as it is known");
    let flat = page("<path stroke='red' d='M0 0H9'/>");
    let none = svg_of_size(
        "t.svg",
        flat.as_bytes(),
        Some(KnownSize::Height(mm(9.0))),
        Paper::MM,
    );
    assert_eq!(none.expect_err("no height").problems()[0].id, "svg-known-size");
}

/// Basis: geometry; every way to write a circle of radius 12.7 about (50, 40).
#[test]
fn a_circle_is_that_circle_however_it_is_written() {
    for shape in [
        "<circle cx='50' cy='40' r='12.7'/>",
        "<ellipse cx='50' cy='40' rx='12.7' ry='12.7'/>",
        "<ellipse cx='50' cy='40' rx='12.7'/>",
        "<rect x='37.3' y='27.3' width='25.4' height='25.4' rx='12.7'/>",
        "<rect x='37.3' y='27.3' width='25.4' height='25.4' rx='99' ry='40'/>",
        "<path d='M 37.3 40 A 12.7 12.7 0 0 1 62.7 40 A 12.7 12.7 0 0 1 37.3 40 Z'/>",
        "<path d='M 37.3 40 a 12.7 12.7 0 1 0 25.4 0 a 12.7 12.7 0 1 0 -25.4 0'/>",
        "<path d='M 50 27.3 A 12.7 12.7 0 0 1 62.7 40 A 12.7 12.7 0 0 1 50 52.7 A 12.7 12.7 0 0 1 37.3 40 A 12.7 12.7 0 0 1 50 27.3 Z'/>",
        "<g transform='rotate(30 50 40)'><circle cx='50' cy='40' r='12.7'/></g>",
        "<circle transform='matrix(0 -2 -2 0 50 40)' r='6.35'/>",
    ] {
        let drawing = read(shape);
        let mut turned = 0.0;
        for drawn in &drawing.paths[0].strokes {
            let Stroke::Piece(Piece::Arc { from, to, centre, sweep }) = drawn.stroke
            else {
                panic!("{shape}: {drawn:?} is no arc")
            };
            // Half a circle between two rounded ends may lift its centre by the root of what
            // rounding takes off: 1e-6 for 1e-13 of 12.7.
            let middle = Point::new(50.0, 60.0);
            assert!(centre.distance(middle) < 2e-6, "{shape}: {centre:?}");
            for end in [from, to] {
                assert!((end.distance(middle) - 12.7).abs() < 1e-9, "{shape}: {end:?}");
            }
            turned += sweep;
        }
        assert!((turned.abs() - std::f64::consts::TAU).abs() < 1e-6, "{shape}: {turned}");
    }
}

#[test]
fn sheets_that_would_take_for_ever_are_refused() {
    let sheet = "* {display:inline}".repeat(3000) + "g g g g g g g g g #x {display:none}";
    let shapes = "<path d='M0 0H1V1z'/>".repeat(20_000);
    let deep = format!("{}{shapes}{}", "<g>".repeat(50), "</g>".repeat(50));
    let problems = refused(&page(&format!("<style>{sheet}</style>{deep}")));
    assert_eq!(problems[0].id, "svg-style-sheet");
    assert!(problems[0].found.contains("too involved"), "{}", problems[0].found);
}

//! The printed pattern read back by another's reader of PDF, and compared with the outline.

use super::page::grid;
use super::tiles::{Tile, Tiles};
use super::{PageSize, Pattern, PatternOf, Printer, pattern};
use crate::diag::{Place, Source};
use crate::geom::{Bounds, Loop, Piece, Point, Vector, nearest_loop};
use crate::outline::{Outline, outlines};
use crate::plan::Plan;
use crate::read::{Drawing, Drawn, Path, Role, Stroke};
use crate::shop::Shop;
use crate::units::{Diameter, Mm, Paper, Unit};
use lopdf::content::{Content, Operation};
use lopdf::{Document, Object, ObjectId};

/// Points of a PDF in a millimetre: 72 in an inch of 25.4 (geometry).
const POINTS: f64 = 72.0 / 25.4;
/// Widths of the lines that edges are drawn with.
const EDGES: [f64; 2] = [0.45, 0.35];

/// A part 700 long with a hollow, a hump, a round hole and an edge that is the board's.
fn part() -> Outline {
    let at = Point::new;
    let line = |from, to| Piece::line(from, to);
    let through = |from: Point, to: Point, sweep: f64| {
        let chord = to - from;
        let rise = chord.length() / 2.0 / libm::tan(sweep / 2.0);
        let way = chord.left().unit().expect("two points");
        let centre = from.middle(to) + way * rise;
        Piece::Arc { from, to, centre, sweep }
    };
    let outside = [
        (line(at(0.0, 0.0), at(700.0, 0.0)), Role::TrueAlready),
        (line(at(700.0, 0.0), at(700.0, 90.0)), Role::Rout),
        (through(at(700.0, 90.0), at(400.0, 120.0), 0.9), Role::Rout),
        (through(at(400.0, 120.0), at(0.0, 80.0), -0.6), Role::Rout),
        (line(at(0.0, 80.0), at(0.0, 0.0)), Role::Rout),
    ];
    let stroke = |(piece, role): (Piece, Role)| Drawn {
        stroke: Stroke::Piece(piece),
        name: None,
        role: Some(role),
    };
    let place = Place::whole(Source::Job, "part");
    let hole = Loop::opening(at(100.0, 40.0), 20.0);
    let hole = hole.pieces().iter().map(|&piece| stroke((piece, Role::Rout)));
    let paths = vec![
        Path {
            strokes: outside.into_iter().map(stroke).collect(),
            closed: true,
            place: place.clone(),
        },
        Path { strokes: hole.collect(), closed: true, place },
    ];
    let drawing = Drawing { name: "apron".to_owned(), beside: None, paths };
    outlines(&drawing, &[], 0.001, Paper::MM).expect("an outline").value.remove(0)
}

/// The part planned for a bush, so that its template is smaller than it.
fn planned() -> (Plan, Shop) {
    let text = "name = \"apron\"\nunits = \"mm\"\nthick = 20\nbits = [\"1/4in straight + 1/2in bush, 1in long\"]\n";
    let job = crate::read::job("apron.toml", text).expect("a job").value;
    let outline = part();
    let shop = crate::shop::shop(&job, outline.bounds()).expect("a shop").value;
    let plan = crate::plan::plan(vec![outline], &shop).expect("a plan").value;
    (plan, shop)
}

fn printer(measured: Option<(f64, f64)>) -> Printer {
    let bar = |mm: f64| Diameter::new(Mm::of(mm)).expect("a length");
    let measured = measured.map(|(across, up)| (bar(across), bar(up)));
    Printer { page: PageSize::A4, of: PatternOf::Part, measured }
}

fn pdf(outline: &Outline, printer: &Printer) -> Document {
    let outlines = std::slice::from_ref(outline);
    let shown = Pattern::of_outlines(outlines, ("apron", "abcd"), 0.0, Paper::MM);
    let bundle = pattern(&shown, printer).expect("a pattern");
    let (name, bytes) = &bundle.files[0];
    assert_eq!(name, "apron-pattern.pdf");
    Document::load_mem(bytes).expect("another reader reads it")
}

/// One drawn line: its width, and points on it in paper millimetres.
struct Line {
    width: f64,
    points: Vec<Point>,
    starts: Vec<usize>,
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().expect("a number"))
}

/// Every stroked line of a page, its curves at many places.
fn lines(document: &Document, page: ObjectId) -> Vec<Line> {
    let bytes = document.get_page_content(page);
    let operations = Content::decode(&bytes).expect("operators").operations;
    let (mut scale, mut width) = ((1.0, 1.0), 0.0);
    let mut open = Line { width, points: Vec::new(), starts: Vec::new() };
    let mut lines = Vec::new();
    for Operation { operator, operands } in operations {
        let values = || operands.iter().map(number).collect::<Vec<f64>>();
        let at = |x: f64, y: f64| Point::new(x * scale.0 / POINTS, y * scale.1 / POINTS);
        match operator.as_str() {
            "cm" => {
                let v = values();
                scale = (v[0], v[3]);
                assert!(
                    v[1].abs() + v[2].abs() + v[4].abs() + v[5].abs() < 1e-9,
                    "{v:?}"
                );
            }
            "w" => width = values()[0],
            "m" => {
                let v = values();
                open.starts.push(open.points.len());
                open.points.push(at(v[0], v[1]));
            }
            "l" => {
                let v = values();
                let (from, to) = (open.points[open.points.len() - 1], at(v[0], v[1]));
                open.points
                    .extend((1..=20).map(|i| from + (to - from) * (f64::from(i) / 20.0)));
            }
            "c" => {
                let v = values();
                let p = open.points[open.points.len() - 1];
                let [a, b, q] = [at(v[0], v[1]), at(v[2], v[3]), at(v[4], v[5])];
                open.points
                    .extend((1..=20).map(|i| cubic([p, a, b, q], f64::from(i) / 20.0)));
            }
            "S" => {
                open.width = width;
                lines.push(std::mem::replace(
                    &mut open,
                    Line { width, points: Vec::new(), starts: Vec::new() },
                ));
            }
            "f*" | "n" | "f" => {
                open = Line { width, points: Vec::new(), starts: Vec::new() }
            }
            _ => {}
        }
    }
    lines
}

fn cubic([p, a, b, q]: [Point; 4], t: f64) -> Point {
    let mix = |a: Point, b: Point| a + (b - a) * t;
    let (pa, ab, bq) = (mix(p, a), mix(a, b), mix(b, q));
    mix(mix(pa, ab), mix(ab, bq))
}

/// Where the printer puts a point of the file, when its bars come out as long as measured.
fn printed(point: Point, measured: Option<(f64, f64)>) -> Point {
    let (x, y) = measured.unwrap_or((100.0, 100.0));
    Point::new(point.x * x / 100.0, point.y * y / 100.0)
}

/// The largest distance of printed edges from the outline, and of the outline from the
/// printed edges, over all sheets.
fn errors(
    (loops, document): (&[Loop], &Document),
    printer: &Printer,
    measured: Option<(f64, f64)>,
) -> (f64, f64) {
    let stretch = printer.stretch().expect("near enough");
    let tiles = Tiles::best(loops, printer.page(stretch), grid(Paper::MM));
    // A template is drawn over the thin lines of its part.
    let widths: &[f64] =
        if printer.of == PatternOf::Template { &EDGES[..1] } else { &EDGES };
    let pages: Vec<ObjectId> = document.get_pages().into_values().collect();
    let printed_tiles: Vec<Tile> = tiles.printed().collect();
    assert_eq!(pages.len(), printed_tiles.len(), "a page a sheet");
    let (mut off, mut missing) = (0.0_f64, 0.0_f64);
    for (page, tile) in pages.into_iter().zip(printed_tiles) {
        let shift = tiles.shift(tile);
        let mut drawn: Vec<Point> = Vec::new();
        for line in lines(document, page) {
            if widths.iter().any(|width| (line.width - width).abs() < 1e-6) {
                let points =
                    line.points.iter().map(|&point| printed(point, measured) - shift);
                drawn.extend(points);
            }
        }
        assert!(!drawn.is_empty(), "every sheet shows some edge");
        for &point in &drawn {
            let (distance, ..) = nearest_loop(loops, point).expect("loops");
            off = off.max(distance);
        }
        missing = missing.max(missing_on(&tiles.shown(tile), loops, &drawn));
    }
    (off, missing)
}

/// How far the ends of pieces that a sheet shows are from what it draws.
fn missing_on(shown: &Bounds, loops: &[Loop], drawn: &[Point]) -> f64 {
    let pieces = loops.iter().flat_map(Loop::pieces);
    let ends = pieces.map(Piece::from).filter(|&end| shown.distance_squared(end) <= 0.0);
    let nearest =
        |end: Point| drawn.iter().map(|p| p.distance(end)).fold(f64::INFINITY, f64::min);
    ends.map(nearest).fold(0.0, f64::max)
}

/// Basis: the outline itself, on a printer that is true and on two that are not.
#[test]
fn printed_edges_lie_on_the_outline() {
    let outline = part();
    for measured in [None, Some((98.7, 98.9)), Some((101.2, 99.4))] {
        let printer = printer(measured);
        let document = pdf(&outline, &printer);
        let (off, missing) = errors((&outline.loops, &document), &printer, measured);
        assert!(off < 0.01, "{off} mm off, bars {measured:?}");
        assert!(missing < 0.01, "{missing} mm from a corner, bars {measured:?}");
    }
}

/// Basis: the template of the plan itself; another reader finds its line, and the part's thin
/// one, on the paper.
#[test]
fn a_printed_template_lies_on_the_planned_one() {
    let (plan, shop) = planned();
    for measured in [None, Some((98.7, 98.9))] {
        let printer = Printer { of: PatternOf::Template, ..printer(measured) };
        let shown = Pattern::of_plan(&plan, &shop, "abcd").of_templates(&plan);
        let bundle = pattern(&shown, &printer).expect("a pattern");
        let (name, bytes) = &bundle.files[0];
        assert!(name.ends_with("-template-pattern.pdf"), "{name}");
        let document = Document::load_mem(bytes).expect("another reader reads it");
        let template = &plan.parts[0].template;
        let (off, missing) = errors((template, &document), &printer, measured);
        assert!(off < 0.01, "{off} mm off, bars {measured:?}");
        assert!(missing < 0.01, "{missing} mm from a corner, bars {measured:?}");
        let words = document.extract_text(&[1]).expect("words");
        assert!(words.contains("Template for"), "{words}");
    }
}

/// Every cross of a page: where it is on paper, in mm, and what stands beside it.
fn crosses(document: &Document, page: ObjectId) -> Vec<(Point, Point)> {
    let lines = lines(document, page);
    let is_arm = |line: &&Line| {
        let way = line.points[line.points.len() - 1] - line.points[0];
        (line.width - 0.25).abs() < 1e-6 && (way - Vector::new(8.0, 0.0)).length() < 1e-3
    };
    let arms = lines.iter().filter(is_arm);
    let middles: Vec<Point> =
        arms.map(|arm| arm.points[0] + Vector::new(4.0, 0.0)).collect();
    let beside = |at: Point| {
        let level = middles.iter().filter(|middle| (at.y - 0.8 - middle.y).abs() < 0.01);
        let nearest = level.min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)));
        *nearest.expect("words at a cross")
    };
    words_of(document, page).into_iter().map(|(at, words)| (beside(at), words)).collect()
}

/// Every pair of numbers of a page, and where it begins on paper.
fn words_of(document: &Document, page: ObjectId) -> Vec<(Point, Point)> {
    let bytes = document.get_page_content(page);
    let operations = Content::decode(&bytes).expect("operators").operations;
    let (mut scale, mut at) = ((1.0, 1.0), Point::default());
    let mut found = Vec::new();
    for Operation { operator, operands } in operations {
        match (operator.as_str(), &operands[..]) {
            ("cm", [x, _, _, y, ..]) => scale = (number(x), number(y)),
            ("Tm", [.., x, y]) => at = Point::new(number(x), number(y)),
            ("Tj", [Object::String(letters, _)]) => {
                let text = String::from_utf8_lossy(letters);
                let Some((x, y)) = text.split_once(", ") else { continue };
                let (Ok(x), Ok(y)) = (x.parse(), y.parse()) else { continue };
                let paper = Point::new(at.x * scale.0 / POINTS, at.y * scale.1 / POINTS);
                found.push((paper, Point::new(x, y)));
            }
            _ => {}
        }
    }
    found
}

/// Basis: geometry; with nothing but the words at its crosses every sheet lies true on the
/// drawing, in millimetres and in inches: its edges are the outline's to a tenth of a line.
#[test]
fn the_words_at_the_crosses_lay_every_sheet_on_the_drawing() {
    let outline = part();
    let outlines = std::slice::from_ref(&outline);
    let inch = Paper { unit: Unit::Inch, fraction: 32 };
    for (paper, unit, page) in
        [(Paper::MM, 1.0, PageSize::A4), (inch, 25.4, PageSize::Letter)]
    {
        let shown = Pattern::of_outlines(outlines, ("apron", "abcd"), 0.0, paper);
        let printer = Printer { page, ..printer(None) };
        let bundle = pattern(&shown, &printer).expect("a pattern");
        let document = Document::load_mem(&bundle.files[0].1).expect("it is read");
        let mut n_crosses = 0;
        for page in document.get_pages().into_values() {
            let crosses = crosses(&document, page);
            assert!(!crosses.is_empty(), "every sheet of several has crosses");
            for (on_paper, words) in crosses {
                n_crosses += 1;
                let shift = on_paper - Point::new(words.x * unit, words.y * unit);
                let edges = lines(&document, page).into_iter().filter(|line| {
                    EDGES.iter().any(|width| (line.width - width).abs() < 1e-6)
                });
                for at in edges.flat_map(|line| line.points) {
                    let (off, ..) =
                        nearest_loop(&outline.loops, at - shift).expect("loops");
                    assert!(off < 0.025, "{off} mm off by the cross at {words:?}");
                }
            }
        }
        assert!(8 <= n_crosses, "{n_crosses} crosses were read");
    }
}

/// Basis: geometry; the ends of the bars are 100 mm and 4 in apart, across and up.
#[test]
fn every_sheet_has_four_true_bars() {
    let outline = part();
    let document = pdf(&outline, &printer(None));
    for page in document.get_pages().into_values() {
        let fine = lines(&document, page);
        let fine = fine.iter().filter(|line| (line.width - 0.25).abs() < 1e-6);
        let ways: Vec<Vector> = fine
            .map(|line| line.points[line.points.len() - 1] - line.points[0])
            .collect();
        for (length, word) in [(100.0, "100 mm"), (101.6, "4 in")] {
            let like = |x: f64, y: f64| {
                ways.iter()
                    .filter(|way| (way.x - x).abs() + (way.y - y).abs() < 1e-3)
                    .count()
            };
            assert_eq!(like(length, 0.0), 1, "{word} across");
            assert_eq!(like(0.0, length), 1, "{word} up");
        }
    }
}

#[test]
fn the_pages_are_true_size_and_ask_for_no_scaling() {
    let (width, height) = (210.0, 297.0);
    for measured in [None, Some((98.7, 98.9))] {
        let document = pdf(&part(), &printer(measured));
        let root = document.catalog().expect("a catalogue");
        let wishes = root.get(b"ViewerPreferences").and_then(Object::as_dict);
        let scaling = wishes.and_then(|wishes| wishes.get(b"PrintScaling"));
        assert_eq!(scaling.and_then(Object::as_name).expect("a wish"), b"None");
        for page in document.get_pages().into_values() {
            let page = document.get_dictionary(page).expect("a page");
            let media = page.get(b"MediaBox").and_then(Object::as_array).expect("a box");
            let size: Vec<f64> =
                media.iter().map(|number| self::number(number) / POINTS).collect();
            assert!((size[2] - width).abs() < 1e-3, "{size:?}");
            assert!((size[3] - height).abs() < 1e-3, "{size:?}");
        }
    }
}

#[test]
fn the_font_travels_with_the_file() {
    let document = pdf(&part(), &printer(None));
    let embedded = document.objects.values().filter_map(|object| object.as_dict().ok());
    let files: Vec<_> = embedded.filter_map(|dict| dict.get(b"FontFile2").ok()).collect();
    assert_eq!(files.len(), 2, "plain and heavy letters");
    for file in files {
        let id = file.as_reference().expect("a stream");
        let stream =
            document.get_object(id).and_then(Object::as_stream).expect("a stream");
        assert!(ttf_parser::Face::parse(&stream.content, 0).is_ok(), "it is a font");
    }
    let words = document.extract_text(&[1]).expect("words");
    for word in ["apron", "KEEP", "GRAIN", "100 mm", "4 in", "BOARD'S EDGE", "Sheet A1"] {
        assert!(words.contains(word), "{word} in {words}");
    }
}

/// Basis: geometry; neighbours have the same points of the drawing under their crosses.
#[test]
fn crosses_are_shared_with_every_neighbour() {
    let outline = part();
    let tiles = Tiles::best(&outline.loops, (120.0, 150.0), 1.0);
    let all: Vec<Tile> = tiles.printed().collect();
    let mut n_pairs = 0;
    for &tile in &all {
        for next in
            [Tile { column: tile.column + 1, ..tile }, Tile { row: tile.row + 1, ..tile }]
        {
            if !all.contains(&next) {
                continue;
            }
            n_pairs += 1;
            let (here, there) = (tiles.crosses(tile), tiles.crosses(next));
            let shared = here.iter().filter(|&&cross| {
                there.iter().any(|&other| cross.distance(other) < 1e-9)
            });
            assert_eq!(shared.count(), 2, "{tile:?} and {next:?}");
        }
    }
    assert!(6 < n_pairs, "{n_pairs} pairs of neighbours");
}

#[test]
fn a_print_that_was_fitted_to_the_page_is_refused() {
    for bars in [(96.9, 100.0), (100.0, 103.1), (94.0, 94.0)] {
        let outline = part();
        let outlines = std::slice::from_ref(&outline);
        let shown = Pattern::of_outlines(outlines, ("apron", "abcd"), 0.0, Paper::MM);
        let failure = pattern(&shown, &printer(Some(bars))).expect_err("too far off");
        assert_eq!(failure.problems()[0].id, "print-not-true");
    }
}

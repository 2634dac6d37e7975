//! The reader of SVG against another one, `usvg`, on our samples and on drawings written for it:
//! both read the same lines in the same places.
//!
//! The other reader gives cubics in single precision, its circles and arcs up to 0.0003 of their
//! radius too large (measured): so the two agree within 0.0003 of the size of the shape, and
//! 0.01 mm.

#![expect(clippy::disallowed_methods, reason = "reads the drawings of this repository")]

use crate::command::here;
use spelch::geom::{Curve, Piece, Point};
use spelch::outline::outlines;
use spelch::read::{Drawing, Stroke, svg};
use spelch::units::Paper;
use usvg::tiny_skia_path::PathSegment;

/// What the other reader's circles are too large by, as a share of their radius, and what its
/// single precision adds, in mm.
const ERROR: (f64, f64) = (3e-4, 0.01);
/// How far chords may stray from curves, in mm.
const CHORD: f64 = 1e-3;

/// Every line of a drawing as chords.
fn ours(drawing: &Drawing) -> Vec<Piece> {
    let strokes = drawing.paths.iter().flat_map(|path| &path.strokes);
    strokes
        .flat_map(|drawn| match drawn.stroke {
            Stroke::Piece(piece) => vec![piece],
            Stroke::Cubic(points) => Curve::Cubic(points).chords(CHORD),
            Stroke::Ellipse { centre, x, y, start, sweep } => {
                Curve::Ellipse { centre, x, y, start, sweep }.chords(CHORD)
            }
        })
        .collect()
}

/// The same as the other reader sees it, y turned up, in mm.
fn theirs(text: &str) -> Vec<Piece> {
    let tree =
        usvg::Tree::from_str(text, &usvg::Options::default()).expect("it reads it");
    let height = f64::from(tree.size().height());
    let mut pieces = Vec::new();
    gather(tree.root(), height, &mut pieces);
    pieces
}

fn gather(group: &usvg::Group, height: f64, pieces: &mut Vec<Piece>) {
    let mm = 25.4 / 96.0;
    for node in group.children() {
        let path = match node {
            // It keeps what nobody sees, for a picture that is drawn again.
            usvg::Node::Group(group) if group.opacity().get() <= 0.0 => continue,
            usvg::Node::Group(group) => {
                gather(group, height, pieces);
                continue;
            }
            usvg::Node::Path(path) if is_seen(path) => path,
            _ => continue,
        };
        let Some(data) = path.data().clone().transform(path.abs_transform()) else {
            panic!("a path that can be transformed")
        };
        let at = |point: usvg::tiny_skia_path::Point| {
            Point::new(f64::from(point.x) * mm, (height - f64::from(point.y)) * mm)
        };
        let (mut pen, mut start) = (Point::default(), Point::default());
        for segment in data.segments() {
            let before = pen;
            match segment {
                PathSegment::MoveTo(to) => (pen, start) = (at(to), at(to)),
                PathSegment::LineTo(to) => {
                    pen = at(to);
                    pieces.push(Piece::line(before, pen));
                }
                PathSegment::QuadTo(by, to) => {
                    pen = at(to);
                    let third = |end: Point| end + (at(by) - end) * (2.0 / 3.0);
                    let cubic = Curve::Cubic([before, third(before), third(pen), pen]);
                    pieces.extend(cubic.chords(CHORD));
                }
                PathSegment::CubicTo(a, b, to) => {
                    pen = at(to);
                    let cubic = Curve::Cubic([before, at(a), at(b), pen]);
                    pieces.extend(cubic.chords(CHORD));
                }
                PathSegment::Close => {
                    pieces.push(Piece::line(before, start));
                    pen = start;
                }
            }
        }
    }
}

fn is_seen(path: &usvg::Path) -> bool {
    path.is_visible() && (path.fill().is_some() || path.stroke().is_some())
}

/// How far some place of `of` lies from `from`, at most.
fn stray(of: &[Piece], from: &[Piece]) -> f64 {
    let places = of.iter().flat_map(|piece| [0.0, 0.37, 0.71, 1.0].map(|t| piece.at(t)));
    let nearest = |at: Point| {
        from.iter().map(|piece| piece.distance(at)).fold(f64::INFINITY, f64::min)
    };
    places.map(nearest).fold(0.0, f64::max)
}

#[test]
fn another_reader_sees_the_same_lines() {
    let mut files = vec![here("samples/ogee-bracket.svg")];
    for folder in ["tests/cases", "tests/cases/svg"] {
        let entries = std::fs::read_dir(here(folder)).expect("the folder is there");
        let paths = entries.map(|entry| entry.expect("an entry").path());
        let svgs = paths.filter(|path| path.extension().is_some_and(|end| end == "svg"));
        files.extend(svgs.map(|path| path.to_string_lossy().into_owned()));
    }
    assert!(14 <= files.len(), "the drawings are there: {files:?}");
    for file in files {
        let text = std::fs::read_to_string(&file).expect("a drawing");
        let drawing = svg(&file, text.as_bytes()).expect(&file).value;
        let (ours, theirs) = (ours(&drawing), theirs(&text));
        assert!(!ours.is_empty() && !theirs.is_empty(), "{file} draws something");
        let size = drawing.bounds().width().max(drawing.bounds().height());
        let allowed = ERROR.0 * size + ERROR.1;
        let (out, back) = (stray(&ours, &theirs), stray(&theirs, &ours));
        assert!(out < allowed, "{file}: our lines stray {out} mm from theirs");
        assert!(back < allowed, "{file}: their lines stray {back} mm from ours");
    }
}

#[test]
fn a_line_left_out_or_moved_is_seen() {
    let text = std::fs::read_to_string(here("tests/cases/svg/clones.svg"));
    let text = text.expect("a drawing");
    let (ours, theirs) =
        (ours(&svg("c.svg", text.as_bytes()).expect("it reads").value), theirs(&text));
    assert!(1.0 < stray(&theirs, &ours[1..ours.len() / 2]), "half of it is missing");
    let moved = text.replace("x=\"90\"", "x=\"90.2\"");
    let moved = self::ours(&svg("c.svg", moved.as_bytes()).expect("it reads").value);
    assert!(0.1 < stray(&moved, &theirs), "a clone lies elsewhere");
}

/// Basis: geometry; a circle of radius 12.7 in the ways programs write one, to three decimals.
#[test]
fn a_circle_of_arcs_is_a_round_outline() {
    for shape in [
        "<circle cx='50' cy='40' r='12.7'/>",
        "<rect x='37.3' y='27.3' width='25.4' height='25.4' rx='12.7'/>",
        "<ellipse cx='50' cy='40' rx='12.7' ry='12.7'/>",
        "<path d='M 62.7 40 A 12.7 12.7 0 0 1 50 52.7 A 12.7 12.7 0 0 1 37.3 40 A 12.7 12.7 0 0 1 50 27.3 A 12.7 12.7 0 0 1 62.7 40 Z'/>",
        "<path d='M 58.980 48.980 A 12.7 12.7 0 0 1 41.020 48.980 A 12.7 12.7 0 0 1 41.020 31.020 A 12.7 12.7 0 0 1 58.980 31.020 A 12.7 12.7 0 0 1 58.980 48.980 Z'/>",
        "<path d='M 62.7 40 A 12.7 12.7 0 1 1 62.7 39.999'/>",
    ] {
        let text = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='100mm' height='80mm' viewBox='0 0 100 80'>{shape}</svg>"
        );
        let drawing = svg("round.svg", text.as_bytes()).expect(shape).value;
        let outline =
            outlines(&drawing, &[], 1e-3, Paper::MM).expect(shape).value.remove(0);
        let middle = Point::new(50.0, 40.0);
        for piece in outline.loops[0].pieces() {
            let Piece::Arc { centre, from, .. } = *piece else {
                panic!("{shape}: {piece:?} is no arc")
            };
            assert!(centre.distance(middle) < 1e-3, "{shape}: {piece:?}");
            assert!((from.distance(middle) - 12.7).abs() < 1e-3, "{shape}: {piece:?}");
        }
    }
}

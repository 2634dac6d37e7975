//! Reading drawings: an SVG beside `usvg`, a DXF beside the crate `dxf`, which takes the file apart
//! for us too.

use crate::trial::{Answer, Case, Work, Workers};
use spelch::geom::{Curve, Piece, Point};
use spelch::outline::outlines;
use spelch::read::{Asked, Drawing, Pick, Stroke, dxf, svg};
use spelch::units::Paper;
use std::f64::consts::TAU;
use std::fmt::Write;
use std::rc::Rc;
use usvg::tiny_skia_path::PathSegment;

/// Segments of each drawing.
const SEGMENTS: u32 = 100_000;
/// How far chords may stray from curves, in mm.
const CHORD: f64 = 1e-4;

/// A wavy disc of 400 mm: its point and velocity at a share of the way round.
fn wave(share: f64) -> [(f64, f64); 2] {
    let turn = TAU * share;
    let (sin, cos) = turn.sin_cos();
    let (radius, grows) =
        (200.0 + 5.0 * (97.0 * turn).sin(), 5.0 * 97.0 * (97.0 * turn).cos());
    let at = (250.0 + radius * cos, 250.0 + radius * sin);
    let way = (grows * cos - radius * sin, grows * sin + radius * cos);
    [at, (way.0 * TAU, way.1 * TAU)]
}

/// The points of a segment: its ends, and the handles of a cubic between.
fn segment(index: u32) -> [(f64, f64); 4] {
    let n = f64::from(SEGMENTS);
    let [from, out] = wave(f64::from(index) / n);
    let [to, on] = wave(f64::from((index + 1) % SEGMENTS) / n);
    let third = 1.0 / (3.0 * n);
    let a = (from.0 + out.0 * third, from.1 + out.1 * third);
    let b = (to.0 - on.0 * third, to.1 - on.1 * third);
    [from, a, b, to]
}

/// An SVG of one path of cubics, about 5 MB.
fn svg_text() -> String {
    let mut text =
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"500mm\" height=\"500mm\" \
                    viewBox=\"0 0 500 500\"><path d=\""
            .to_owned();
    for index in 0..SEGMENTS {
        let [from, a, b, to] = segment(index);
        if index == 0 {
            let _ = write!(text, "M{:.5} {:.5}", from.0, from.1);
        }
        let numbers = [a.0, a.1, b.0, b.1, to.0, to.1];
        for (letter, number) in ["\nC", " ", " ", " ", " ", " "].iter().zip(numbers) {
            let _ = write!(text, "{letter}{number:.5}");
        }
    }
    text + "\"/></svg>"
}

/// A DXF of loose lines.
fn dxf_text() -> String {
    let mut text =
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
            .to_owned();
    for index in 0..SEGMENTS {
        let [from, .., to] = segment(index);
        let _ = write!(
            text,
            "0\nLINE\n8\n0\n10\n{:.5}\n20\n{:.5}\n11\n{:.5}\n21\n{:.5}\n",
            from.0, from.1, to.0, to.1
        );
    }
    text + "0\nENDSEC\n0\nEOF\n"
}

/// The cases: one an SVG, one a DXF.
pub(crate) fn cases() -> Vec<Case> {
    vec![
        Case {
            name: "an SVG of 100,000 cubics",
            part: None,
            workers: Box::new(|| {
                let workers: [(&str, Reader); 4] = [
                    ("spelch, read", |text| measured(&read_svg(text))),
                    ("usvg, parsed only", |text| parsed(text, false)),
                    ("usvg, parsed and flattened", |text| parsed(text, true)),
                    ("spelch, read and made an outline", |text| {
                        outlined(&read_svg(text))
                    }),
                ];
                all_of(svg_text(), &workers)
            }),
        },
        Case {
            name: "a DXF of 100,000 lines",
            part: None,
            workers: Box::new(|| {
                let workers: [(&str, Reader); 3] = [
                    ("spelch, read", |text| measured(&read_dxf(text))),
                    ("dxf alone", taken_apart),
                    ("spelch, read and made an outline", |text| {
                        outlined(&read_dxf(text))
                    }),
                ];
                all_of(dxf_text(), &workers)
            }),
        },
    ]
}

/// Reads a text.
type Reader = fn(&str) -> Answer;

/// All these workers, given one text.
fn all_of(text: String, workers: &[(&'static str, Reader)]) -> Workers {
    let text = Rc::new(text);
    let worker = |&(name, read): &(&'static str, Reader)| -> (String, Work) {
        let text = Rc::clone(&text);
        (name.to_owned(), Box::new(move || read(&text)))
    };
    workers.iter().map(worker).collect()
}

fn read_svg(text: &str) -> Drawing {
    svg("wave.svg", text.as_bytes()).expect("a drawing").value
}

fn read_dxf(text: &str) -> Drawing {
    let asked = Asked { units: None, size: None, pick: &Pick::default() };
    dxf("wave.dxf", text.as_bytes(), asked).expect("a drawing").value
}

/// The strokes of a drawing and their length.
fn measured(drawing: &Drawing) -> Answer {
    let strokes = || drawing.paths.iter().flat_map(|path| &path.strokes);
    // The line that closes a path ends where it starts.
    let lengths = strokes().map(|drawn| match drawn.stroke {
        Stroke::Piece(piece) => piece.length(),
        Stroke::Cubic(points) => flat(points),
        Stroke::Ellipse { .. } => f64::NAN,
    });
    let lengths: Vec<f64> = lengths.filter(|length| 0.0 < *length).collect();
    Answer { count: lengths.len(), measure: Some(lengths.iter().sum()) }
}

/// The drawing as an outline; its strokes are counted as read.
fn outlined(drawing: &Drawing) -> Answer {
    let told = outlines(drawing, &[], 1e-3, Paper::MM)
        .unwrap_or_else(|failure| panic!("{failure:?}"));
    let length =
        told.value.iter().flat_map(|part| &part.loops).map(|ring| ring.length()).sum();
    Answer { measure: Some(length), ..measured(drawing) }
}

fn flat(points: [Point; 4]) -> f64 {
    Curve::Cubic(points).chords(CHORD).iter().map(Piece::length).sum()
}

/// What `usvg` makes of it; with `flatten`, all curves as chords, of which the length is taken.
fn parsed(text: &str, flatten: bool) -> Answer {
    let tree = usvg::Tree::from_str(text, &usvg::Options::default()).expect("a drawing");
    let (mut count, mut length) = (0, 0.0);
    add(tree.root(), &mut |path| {
        let data = path.data();
        count +=
            data.segments().filter(|s| matches!(s, PathSegment::CubicTo(..))).count();
        if flatten {
            length += flattened(path);
        }
    });
    Answer { count, measure: flatten.then_some(length) }
}

fn add(group: &usvg::Group, found: &mut impl FnMut(&usvg::Path)) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => add(group, found),
            usvg::Node::Path(path) => found(path),
            _ => {}
        }
    }
}

/// The length of a path's chords, in mm at 96 pixels an inch.
fn flattened(path: &usvg::Path) -> f64 {
    let Some(data) = path.data().clone().transform(path.abs_transform()) else {
        return 0.0;
    };
    let at = |p: usvg::tiny_skia_path::Point| {
        Point::new(f64::from(p.x) * 25.4 / 96.0, f64::from(p.y) * 25.4 / 96.0)
    };
    let (mut pen, mut length) = (Point::default(), 0.0);
    for segment in data.segments() {
        match segment {
            PathSegment::MoveTo(to) => pen = at(to),
            PathSegment::LineTo(to) => {
                length += pen.distance(at(to));
                pen = at(to);
            }
            PathSegment::CubicTo(a, b, to) => {
                length += flat([pen, at(a), at(b), at(to)]);
                pen = at(to);
            }
            PathSegment::QuadTo(..) | PathSegment::Close => {}
        }
    }
    length
}

/// What the crate `dxf` makes of it by itself.
fn taken_apart(text: &str) -> Answer {
    let drawing = ::dxf::Drawing::load(&mut text.as_bytes()).expect("a drawing");
    let lengths: Vec<f64> = drawing
        .entities()
        .filter_map(|entity| match &entity.specific {
            ::dxf::entities::EntityType::Line(line) => {
                Some((line.p1.x - line.p2.x).hypot(line.p1.y - line.p2.y))
            }
            _ => None,
        })
        .collect();
    Answer { count: lengths.len(), measure: Some(lengths.iter().sum()) }
}

//! What other readers make of a drawing: `usvg` of an SVG, `ezdxf` (in Python) of a DXF.

use crate::measure::Measure;
use spelch::geom::{Curve, Piece, Point};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;
use usvg::tiny_skia_path::{PathSegment, Point as Spot};

/// How far chords may stray from curves, in mm.
const CHORD: f64 = 1e-4;
/// Millimetres in the other reader's pixel: CSS Values 4, W3C, 96 pixels an inch.
const PIXEL: f64 = 25.4 / 96.0;

/// The drawings of a folder by their names in it, where the other reader reads them.
pub(crate) fn of_dxf(folder: &Path) -> BTreeMap<String, Measure> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/drawings/reference.py");
    let output = Command::new("python3").arg(script).arg(folder).output();
    let output = output.expect("python3 with ezdxf, as the README says");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("a table in UTF-8");
    let row = |line: &str| -> Option<(String, Measure)> {
        let mut cells = line.split('\t');
        let name = cells.next()?.to_owned();
        let length = cells.next()?.parse().ok()?;
        let area = cells.next()?.parse().ok()?;
        Some((name, Measure { length, area, n_loops: cells.next()?.parse().ok()? }))
    };
    text.lines().filter_map(row).collect()
}

/// The drawing's text with a size of a millimetre a unit, where it has a view box but no size.
pub(crate) fn sized(text: &str) -> String {
    let Some((start, after)) = first_tag(text) else { return text.to_owned() };
    let tag = after.split('>').next().unwrap_or("");
    let view: Vec<&str> = tag
        .split_once("viewBox=\"")
        .and_then(|(_, view)| view.split('"').next())
        .map(|view| view.split_whitespace().collect())
        .unwrap_or_default();
    let [_, _, width, height] = view[..] else { return text.to_owned() };
    if tag.contains(" width=") || tag.contains(" height=") {
        return text.to_owned();
    }
    format!("{start} width=\"{width}mm\" height=\"{height}mm\"{after}")
}

/// The text up to the end of the outermost `svg`'s name, whose namespace may stand before it, and
/// the rest.
fn first_tag(text: &str) -> Option<(&str, &str)> {
    let ends = ["<svg", "<svg:svg"].map(|tag| text.find(tag).map(|at| at + tag.len()));
    let named =
        |end: &usize| text[*end..].starts_with(|c: char| c.is_whitespace() || c == '>');
    let end = ends.into_iter().flatten().find(named)?;
    Some(text.split_at(end))
}

/// What `usvg` makes of a drawing; nothing where it reads none.
pub(crate) fn of_svg(text: &str) -> Option<Measure> {
    let text = as_the_standard_has_it(text);
    let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).ok()?;
    let mut measure = Measure::default();
    gather(tree.root(), &mut measure);
    Some(measure)
}

/// The drawing in words that `usvg` reads as the standard means them, where it differs.
fn as_the_standard_has_it(text: &str) -> String {
    let text = for_everyone(&without_background(text));
    symbols_grouped(&text)
}

/// CSS Backgrounds 3 (W3C): a background is paint behind the box of an element, and no shape;
/// `usvg` makes a rectangle of it.
fn without_background(text: &str) -> String {
    in_first_tag(text, |tag| tag.replace("background-color", "-unread-background-color"))
}

/// SVG 2 (W3C), conditional processing: `systemLanguage` chooses by the languages of whoever looks.
/// The drawing a person names is the one they mean, so we read it in whichever language; `usvg`
/// looks with English eyes.
fn for_everyone(text: &str) -> String {
    in_first_tag(text, |tag| tag.replace("systemLanguage", "data-language"))
}

/// The drawing with the outermost `svg`'s own tag changed.
fn in_first_tag(text: &str, change: impl Fn(&str) -> String) -> String {
    let Some((start, after)) = first_tag(text) else { return text.to_owned() };
    let Some((tag, rest)) = after.split_once('>') else { return text.to_owned() };
    format!("{start}{}>{rest}", change(tag))
}

/// SVG 2 (W3C): a `symbol` may have a transform, as any element may; SVG 1.1 had none there, and
/// `usvg` passes over it. The same drawing without that is a group in the symbol.
fn symbols_grouped(text: &str) -> String {
    let mut parts = text.split("<symbol");
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        out += "<symbol";
        let transform = part.split_once('>').and_then(|(tag, rest)| {
            let (_, value) = tag.split_once(" transform=\"")?;
            Some((tag, value.split('"').next()?, rest))
        });
        match transform {
            Some((tag, value, rest)) => {
                let closed = rest.replacen("</symbol>", "</g></symbol>", 1);
                for piece in [tag, "><g transform=\"", value, "\">", closed.as_str()] {
                    out += piece;
                }
            }
            None => out += part,
        }
    }
    out
}

fn gather(group: &usvg::Group, measure: &mut Measure) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => gather(group, measure),
            usvg::Node::Path(path) if path.is_visible() => {
                if let Some(data) = path.data().clone().transform(path.abs_transform()) {
                    lines(&data, measure);
                }
            }
            _ => {}
        }
    }
}

fn lines(data: &usvg::tiny_skia_path::Path, measure: &mut Measure) {
    let at = |p: Spot| Point::new(f64::from(p.x) * PIXEL, f64::from(p.y) * PIXEL);
    let mut points: Vec<Point> = Vec::new();
    for segment in data.segments() {
        let pen = points.last().copied().unwrap_or_default();
        let cubic = |a: Point, b: Point, to: Point| {
            let chords = Curve::Cubic([pen, a, b, to]).chords(CHORD);
            chords.iter().map(Piece::to).collect::<Vec<_>>()
        };
        match segment {
            PathSegment::MoveTo(to) => {
                measure.add(&std::mem::take(&mut points), false);
                points.push(at(to));
            }
            PathSegment::LineTo(to) => points.push(at(to)),
            PathSegment::QuadTo(by, to) => {
                let third = |end: Point| end + (at(by) - end) * (2.0 / 3.0);
                points.extend(cubic(third(pen), third(at(to)), at(to)));
            }
            PathSegment::CubicTo(a, b, to) => points.extend(cubic(at(a), at(b), at(to))),
            PathSegment::Close => {
                let start = points.first().copied();
                measure.add(&std::mem::take(&mut points), true);
                points.extend(start);
            }
        }
    }
    measure.add(&points, false);
}

//! Writes scenes as a PDF: a page a scene, true size, letters in a font of its own.
//!
//! Everything is written in millimetres under one matrix. Arcs become cubics of at most an
//! eighth of a circle, which stray by 4.2e-6 of the radius (geometry).

use super::Stretch;
use super::letters::{Font, HEAVY, Metrics, PLAIN, encoded};
use super::look::{colour, look};
use super::scene::{Anchor, Ink, Mark, Scene, Text};
use crate::geom::{Bounds, Piece, Point, Vector};
use crate::units::MM_PER_INCH;
use pdf_writer::types::{FontFlags, LineCapStyle, LineJoinStyle, TextRenderingMode};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str};
use std::f64::consts::FRAC_PI_4;

/// Points of a PDF in a millimetre.
const POINTS: f64 = 72.0 / MM_PER_INCH;

/// The faces, each with its name on a page.
const FACES: [(Font, Name<'static>); 2] =
    [(PLAIN, Name(b"Plain")), (HEAVY, Name(b"Heavy"))];

/// The scenes as a PDF.
pub(super) fn written(scenes: &[Scene], stretch: Stretch) -> Vec<u8> {
    let mut pdf = Pdf::new();
    let mut next = Ref::new(1);
    let (catalog, tree) = (next.bump(), next.bump());
    let fonts = FACES.map(|(face, _)| font(&mut pdf, &mut next, face));
    let mut pages = Vec::new();
    for scene in scenes {
        let (page, content) = (next.bump(), next.bump());
        pages.push(page);
        pdf.stream(content, &contents(scene, stretch));
        let width = short(scene.width * stretch.x * POINTS);
        let height = short(scene.height * stretch.y * POINTS);
        let mut page = pdf.page(page);
        page.media_box(Rect::new(0.0, 0.0, width, height));
        page.parent(tree).contents(content);
        let mut resources = page.resources();
        let mut named = resources.fonts();
        for ((_, name), font) in FACES.iter().zip(fonts) {
            named.pair(*name, font);
        }
    }
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(pages).count(count);
    let mut root = pdf.catalog(catalog);
    root.pages(tree);
    // Asks the print dialog for full size; the bars on every page stay the proof of it.
    root.viewer_preferences().pair(Name(b"PrintScaling"), Name(b"None"));
    root.finish();
    pdf.finish()
}

/// Writes one face with its file, and gives its number.
fn font(pdf: &mut Pdf, next: &mut Ref, face: Font) -> Ref {
    let (font, descriptor, file) = (next.bump(), next.bump(), next.bump());
    let Metrics { widths, bounds, heights } = face.metrics();
    let [left, low, right, high] = bounds;
    let [ascent, descent, capital] = heights;
    let name = Name(face.name.as_bytes());
    let mut simple = pdf.indirect(font).dict();
    simple.pair(Name(b"Type"), Name(b"Font"));
    simple.pair(Name(b"Subtype"), Name(b"TrueType"));
    simple.pair(Name(b"BaseFont"), name);
    simple.pair(Name(b"FirstChar"), 32).pair(Name(b"LastChar"), 255);
    simple.insert(Name(b"Widths")).array().items(widths);
    simple.pair(Name(b"FontDescriptor"), descriptor);
    simple.pair(Name(b"Encoding"), Name(b"WinAnsiEncoding"));
    simple.finish();
    pdf.font_descriptor(descriptor)
        .name(name)
        .flags(FontFlags::NON_SYMBOLIC)
        .bbox(Rect::new(left, low, right, high))
        .italic_angle(0.0)
        .ascent(ascent)
        .descent(descent)
        .cap_height(capital)
        .stem_v(80.0)
        .font_file2(file);
    let length = i32::try_from(face.bytes.len()).unwrap_or(i32::MAX);
    pdf.stream(file, face.bytes).pair(Name(b"Length1"), length);
    font
}

fn contents(scene: &Scene, stretch: Stretch) -> Vec<u8> {
    let mut content = Content::new();
    let (x, y) = (short(POINTS * stretch.x), short(POINTS * stretch.y));
    content.transform([x, 0.0, 0.0, y, 0.0, 0.0]);
    content.set_line_join(LineJoinStyle::RoundJoin);
    for mark in &scene.marks {
        put(&mut content, mark);
    }
    content.finish().to_vec()
}

fn put(content: &mut Content, mark: &Mark) {
    match mark {
        Mark::Line(pieces, pen) => {
            let look = look(*pen);
            let [red, green, blue] = rgb(look.ink);
            content.set_stroke_rgb(red, green, blue).set_line_width(short(look.width));
            content.set_dash_pattern(look.dashes.iter().map(|&dash| short(dash)), 0.0);
            path(content, pieces);
            content.stroke();
        }
        Mark::Band(pieces, width, ink) => {
            let [red, green, blue] = rgb(colour(*ink));
            content.set_stroke_rgb(red, green, blue).set_line_width(short(*width));
            content.set_dash_pattern([], 0.0).set_line_cap(LineCapStyle::RoundCap);
            path(content, pieces);
            content.stroke().set_line_cap(LineCapStyle::ButtCap);
        }
        Mark::Fill(loops, ink) => {
            let [red, green, blue] = rgb(colour(*ink));
            content.set_fill_rgb(red, green, blue);
            for ring in loops {
                path(content, ring);
            }
            content.fill_even_odd();
        }
        Mark::Letters(text) => letters(content, text),
        Mark::Within(circle, marks) => clipped(content, &circle.pieces(), marks),
        Mark::Inside(bounds, marks) => clipped(content, &sides(bounds), marks),
        Mark::Named(_, marks) => {
            for mark in marks {
                put(content, mark);
            }
        }
    }
}

fn sides(bounds: &Bounds) -> Vec<Piece> {
    let Bounds { low, high } = *bounds;
    let (right, left) = (Point::new(high.x, low.y), Point::new(low.x, high.y));
    let corners = [low, right, high, left, low];
    corners.windows(2).map(|ends| Piece::line(ends[0], ends[1])).collect()
}

fn clipped(content: &mut Content, border: &[Piece], marks: &[Mark]) {
    content.save_state();
    path(content, border);
    content.clip_nonzero().end_path();
    for mark in marks {
        put(content, mark);
    }
    content.restore_state();
}

fn path(content: &mut Content, pieces: &[Piece]) {
    let mut pen_at = None;
    for piece in pieces {
        let from = piece.from();
        if pen_at.is_none_or(|at: Point| 1e-6 < at.distance(from)) {
            content.move_to(short(from.x), short(from.y));
        }
        match *piece {
            Piece::Line { to, .. } => {
                content.line_to(short(to.x), short(to.y));
            }
            Piece::Arc { from, centre, sweep, .. } => {
                arc(content, (centre, from), sweep);
            }
        }
        pen_at = Some(piece.to());
    }
    let start = pieces.first().map(Piece::from);
    if pen_at.zip(start).is_some_and(|(end, start)| end.distance(start) < 1e-6) {
        content.close_path();
    }
}

/// An arc as cubics of at most an eighth of a circle each.
fn arc(content: &mut Content, (centre, from): (Point, Point), sweep: f64) {
    let n_parts = (sweep.abs() / FRAC_PI_4 - 1e-9).ceil().max(1.0);
    let step = sweep / n_parts;
    let reach = 4.0 / 3.0 * libm::tan(step / 4.0);
    let out = from - centre;
    let turned = |angle: f64| {
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        Vector::new(out.x * cos - out.y * sin, out.x * sin + out.y * cos)
    };
    let mut part = 0.0;
    while part < n_parts {
        let (start, end) = (turned(step * part), turned(step * (part + 1.0)));
        let one = centre + start + start.left() * reach;
        let two = centre + end + end.right() * reach;
        let to = centre + end;
        let [x, y, u] = [one.x, one.y, two.x].map(short);
        content.cubic_to(x, y, u, short(two.y), short(to.x), short(to.y));
        part += 1.0;
    }
}

/// Letters on a rim of paper, so that they stay readable where a line passes close by.
fn letters(content: &mut Content, text: &Text) {
    let (face, name) = if text.bold { FACES[1] } else { FACES[0] };
    let width = face.width_of(&text.text, text.size);
    let back = match text.anchor {
        Anchor::Left => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::Right => width,
    };
    let way = if text.upright { Vector::new(0.0, 1.0) } else { Vector::new(1.0, 0.0) };
    let at = text.at - way * back;
    let (x, y) = (short(way.x), short(way.y));
    let matrix = [x, y, -y, x, short(at.x), short(at.y)];
    let encoded = encoded(&text.text);
    let [red, green, blue] = rgb(colour(text.ink));
    content.set_fill_rgb(red, green, blue);
    content.set_stroke_rgb(1.0, 1.0, 1.0).set_line_width(0.9);
    content.set_dash_pattern([], 0.0);
    content.begin_text().set_font(name, short(text.size));
    if text.ink != Ink::White {
        content.set_text_rendering_mode(TextRenderingMode::Stroke);
        content.set_text_matrix(matrix).show(Str(&encoded));
    }
    content.set_text_rendering_mode(TextRenderingMode::Fill);
    content.set_text_matrix(matrix).show(Str(&encoded));
    content.end_text();
}

/// A colour's shares of red, green and blue.
fn rgb(colour: &str) -> [f32; 3] {
    let digits = colour.chars().filter_map(|digit| digit.to_digit(16));
    let digits: Vec<u8> = digits.filter_map(|digit| u8::try_from(digit).ok()).collect();
    let share = |high: u8, low: u8| f32::from(high * 16 + low) / 255.0;
    match digits[..] {
        [r, s, g, h, b, c] => [share(r, s), share(g, h), share(b, c)],
        [r, g, b] => [share(r, r), share(g, g), share(b, b)],
        _ => [0.0; 3],
    }
}

/// A number as a PDF keeps it.
#[expect(
    clippy::cast_possible_truncation,
    reason = "seven figures are a ten-thousandth of a millimetre on the largest page"
)]
const fn short(number: f64) -> f32 {
    number as f32
}

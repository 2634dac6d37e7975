//! Writes a scene as SVG: one element a mark, arcs as arcs, nothing from outside.

use super::Stretch;
use super::look::{Look, colour, look};
use super::scene::{Anchor, Circle, Ink, Mark, Name, Pen, Scene, Text};
use crate::geom::{Bounds, Piece, Point};
use std::fmt::Write;

/// The scene as SVG, stretched to make up for a printer.
pub(super) fn written(scene: &Scene, stretch: Stretch) -> String {
    let page = Page { height: scene.height, on_screen: None };
    document(scene, stretch, &page)
}

/// The scene as SVG for a screen that shows several, of which this one has a key of its own:
/// what its marks stand for can be pointed at.
pub(super) fn on_screen(scene: &Scene, key: &str) -> String {
    let page = Page { height: scene.height, on_screen: Some(key) };
    document(scene, Stretch::NONE, &page)
}

/// Pieces as the data of a path on a page of this height.
pub(super) fn path(pieces: &[Piece], height: f64) -> String {
    Page { height, on_screen: None }.path(pieces)
}

fn document(scene: &Scene, stretch: Stretch, page: &Page<'_>) -> String {
    let (width, height) = (number(scene.width), number(scene.height));
    let on_paper = (number(scene.width * stretch.x), number(scene.height * stretch.y));
    let free =
        if stretch == Stretch::NONE { "" } else { "preserveAspectRatio=\"none\" " };
    let mut out = String::new();
    // What most marks have in common stands here once: a browser has less to read.
    put(
        &mut out,
        format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" \
             viewBox=\"0 0 {width} {height}\" {free}\
             font-family=\"Helvetica, Arial, sans-serif\" fill=\"none\" \
             stroke-linejoin=\"round\" paint-order=\"stroke\" role=\"img\">\n",
            on_paper.0, on_paper.1
        ),
    );
    put(&mut out, format_args!("<title>{}</title>\n", escaped(&scene.title)));
    put(
        &mut out,
        format_args!("<rect width=\"{width}\" height=\"{height}\" fill=\"#fff\"/>\n"),
    );
    for mark in &scene.marks {
        page.mark(&mut out, mark);
    }
    out.push_str("</svg>\n");
    out
}

/// The page, which turns y down.
struct Page<'a> {
    height: f64,
    /// The picture's key, where it is shown on a screen.
    on_screen: Option<&'a str>,
}

/// How wide the unseen line is under a line that can be pointed at, in mm: a finger finds it.
const FINGER: &str = "6";

/// How far round a place that is not drawn its ring goes on a screen, in mm.
const SPOT: &str = "5";

impl Page<'_> {
    fn mark(&self, out: &mut String, mark: &Mark) {
        match mark {
            Mark::Line(pieces, pen) => {
                let (path, look) = (self.path(pieces), pen_words(*pen));
                put(out, format_args!("<path d=\"{path}\" {look}/>\n"));
            }
            Mark::Band(pieces, width, ink) => {
                let (path, width, ink) =
                    (self.path(pieces), number(*width), colour(*ink));
                put(
                    out,
                    format_args!(
                        "<path d=\"{path}\" stroke=\"{ink}\" stroke-width=\"{width}\" stroke-linecap=\"round\"/>\n"
                    ),
                );
            }
            Mark::Fill(loops, ink) => {
                let path: Vec<String> =
                    loops.iter().map(|ring| self.path(ring)).collect();
                let (path, ink) = (path.join(" "), colour(*ink));
                put(
                    out,
                    format_args!(
                        "<path d=\"{path}\" fill=\"{ink}\" fill-rule=\"evenodd\"/>\n"
                    ),
                );
            }
            Mark::Letters(text) => self.letters(out, text),
            Mark::Within(circle, marks) => self.within(out, circle, marks),
            Mark::Inside(bounds, marks) => self.inside(out, bounds, marks),
            Mark::Named(name, marks) => self.named(out, name, marks),
        }
    }

    fn named(&self, out: &mut String, name: &Name, marks: &[Mark]) {
        if let Some(picture) = self.on_screen {
            let key = escaped(&name.key).replace('"', "&quot;");
            put(out, format_args!("<g class=\"answer\" data-answer=\"{key}\""));
            if let Some(words) = &name.words {
                let words = escaped(words).replace('"', "&quot;");
                put(
                    out,
                    format_args!(
                        " id=\"{picture}-{key}\" tabindex=\"0\" role=\"button\" aria-label=\"{words}\""
                    ),
                );
            }
            if let Some(pivot) = name.pivot {
                let (x, y) = (number(pivot.x), number(self.height - pivot.y));
                put(out, format_args!(" data-middle=\"{x} {y}\""));
            }
            out.push_str(">\n");
            if let (Some(at), []) = (name.pivot, marks) {
                let (x, y) = (number(at.x), number(self.height - at.y));
                let ink = colour(Ink::Blue);
                put(
                    out,
                    format_args!(
                        "<circle cx=\"{x}\" cy=\"{y}\" r=\"{SPOT}\" fill=\"#fff\" fill-opacity=\"0\" stroke=\"{ink}\" stroke-width=\"0.5\"/>\n"
                    ),
                );
            }
            for mark in marks {
                self.finger(out, mark);
            }
        }
        for mark in marks {
            self.mark(out, mark);
        }
        if self.on_screen.is_some() {
            out.push_str("</g>\n");
        }
    }

    /// An unseen wide line under one that is too thin to be hit.
    fn finger(&self, out: &mut String, mark: &Mark) {
        let Mark::Line(pieces, pen) = mark else { return };
        if *pen != Pen::Fine {
            let path = self.path(pieces);
            put(
                out,
                format_args!(
                    "<path d=\"{path}\" stroke=\"#fff\" stroke-opacity=\"0\" stroke-width=\"{FINGER}\" pointer-events=\"stroke\"/>\n"
                ),
            );
        }
    }

    /// A name within the picture as one within all that is shown.
    fn own(&self, name: &str) -> String {
        let picture = self.on_screen.map_or_else(String::new, |key| format!("{key}-"));
        format!("{picture}{name}").replace('.', "_")
    }

    fn within(&self, out: &mut String, circle: &Circle, marks: &[Mark]) {
        let (x, y) = (number(circle.centre.x), number(self.height - circle.centre.y));
        let radius = number(circle.radius);
        // The circle's own figures name it, so that pictures on one page do not mix theirs up.
        let name = self.own(&format!("in-{x}-{y}-{radius}"));
        put(
            out,
            format_args!(
                "<clipPath id=\"{name}\"><circle cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/></clipPath>\n\
                 <g clip-path=\"url(#{name})\">\n"
            ),
        );
        for mark in marks {
            self.mark(out, mark);
        }
        out.push_str("</g>\n");
    }

    fn inside(&self, out: &mut String, bounds: &Bounds, marks: &[Mark]) {
        let (x, y) = (number(bounds.low.x), number(self.height - bounds.high.y));
        let (width, height) = (number(bounds.width()), number(bounds.height()));
        let name = self.own(&format!("box-{x}-{y}-{width}-{height}"));
        put(
            out,
            format_args!(
                "<clipPath id=\"{name}\"><rect x=\"{x}\" y=\"{y}\" width=\"{width}\" \
                 height=\"{height}\"/></clipPath>\n<g clip-path=\"url(#{name})\">\n"
            ),
        );
        for mark in marks {
            self.mark(out, mark);
        }
        out.push_str("</g>\n");
    }

    fn letters(&self, out: &mut String, text: &Text) {
        let anchor = match text.anchor {
            Anchor::Left => "start",
            Anchor::Middle => "middle",
            Anchor::Right => "end",
        };
        let weight = if text.bold { " font-weight=\"bold\"" } else { "" };
        // A rim of paper keeps letters readable where a line must pass close by.
        let rim = if text.ink == Ink::White {
            ""
        } else {
            " stroke=\"#fff\" stroke-width=\"0.9\""
        };
        let (x, y) = (number(text.at.x), number(self.height - text.at.y));
        let turn = if text.upright {
            format!(" transform=\"rotate(-90 {x} {y})\"")
        } else {
            String::new()
        };
        put(
            out,
            format_args!(
                "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" text-anchor=\"{anchor}\" \
                 fill=\"{}\"{weight}{turn}{rim}>{}</text>\n",
                number(text.size),
                colour(text.ink),
                escaped(&text.text),
            ),
        );
    }

    fn path(&self, pieces: &[Piece]) -> String {
        let mut path = String::new();
        let mut pen_at = None;
        for piece in pieces {
            if pen_at.is_none_or(|at: Point| 1e-6 < at.distance(piece.from())) {
                put(&mut path, format_args!("M{} ", self.at(piece.from())));
            }
            match *piece {
                Piece::Line { to, .. } => {
                    put(&mut path, format_args!("L{} ", self.at(to)));
                }
                Piece::Arc { from, to, centre, sweep } => {
                    let radius = number(from.distance(centre));
                    // Counter-clockwise with y up is the negative way with y down.
                    let way = i32::from(sweep < 0.0);
                    put(
                        &mut path,
                        format_args!("A{radius} {radius} 0 0 {way} {} ", self.at(to)),
                    );
                }
            }
            pen_at = Some(piece.to());
        }
        let start = pieces.first().map(Piece::from);
        if pen_at.zip(start).is_some_and(|(end, start)| end.distance(start) < 1e-6) {
            path.push('Z');
        }
        path.trim_end().to_owned()
    }

    fn at(&self, point: Point) -> String {
        format!("{} {}", number(point.x), number(self.height - point.y))
    }
}

fn pen_words(pen: Pen) -> String {
    let Look { width, ink, dashes } = look(pen);
    let dashes: Vec<String> = dashes.iter().map(f64::to_string).collect();
    let dashes = if dashes.is_empty() {
        String::new()
    } else {
        format!(" stroke-dasharray=\"{}\"", dashes.join(" "))
    };
    format!("stroke=\"{ink}\" stroke-width=\"{width}\"{dashes}")
}

/// A number of millimetres to a thousandth, without needless zeros.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A text fit for XML.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

fn put(out: &mut String, text: std::fmt::Arguments<'_>) {
    out.write_fmt(text).expect("a String takes all text");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arcs_stay_arcs_and_turn_over_with_y() {
        let mut scene = Scene::a4_lying("an arc & a <line>");
        let (centre, from) = (Point::new(100.0, 100.0), Point::new(110.0, 100.0));
        let arc = Piece::arc_about(centre, from, std::f64::consts::FRAC_PI_2);
        scene.line(vec![arc], Pen::Now);
        let text = written(&scene, Stretch::NONE);
        assert!(text.contains("M110 110 A10 10 0 0 0 100 100"), "{text}");
        assert!(text.contains("an arc &amp; a &lt;line&gt;"), "{text}");
    }

    #[test]
    fn a_picture_asks_for_nothing_from_outside() {
        let text = written(&Scene::a4_lying("nothing"), Stretch::NONE);
        assert!(!text.contains("href") && !text.contains("script"), "{text}");
        assert_eq!(text.matches("http").count(), 1, "only the name of SVG itself");
    }
}

//! Walks the drawing's elements and gathers their paths, with what was left out and why.

use roxmltree::Node;

use super::attribute::Attributes;
use super::document::{NESTING_LIMIT, STROKE_LIMIT, Text, label};
use super::map::Map;
use super::shape::{self, Run};
use super::{path, style};
use crate::diag::{Problem, Problems, Weight};
use crate::geom::tolerance;
use crate::read::{Drawn, Path};

/// What was read.
#[derive(Debug)]
pub(super) struct Read {
    /// The paths in order.
    pub(super) paths: Vec<Path>,
    /// Why the drawing cannot be used; empty where it can.
    pub(super) stops: Problems,
    /// Cautions and hints.
    pub(super) notes: Problems,
}

/// Reads everything below `root`.
pub(super) fn read(text: &Text<'_>, root: Node<'_, '_>, map: Map) -> Read {
    let (paths, problems) = (Vec::new(), Vec::new());
    let mut reader =
        Reader { text, paths, problems, n_strokes: 0, n_hidden: 0, n_texts: 0 };
    reader.children(root, Inherited { map, visible: true, depth: 1 });
    reader.finish(root)
}

/// What children take from their parents.
#[derive(Debug, Clone, Copy)]
struct Inherited {
    map: Map,
    visible: bool,
    depth: usize,
}

#[derive(Debug)]
struct Reader<'a> {
    text: &'a Text<'a>,
    paths: Vec<Path>,
    problems: Problems,
    n_strokes: usize,
    n_hidden: usize,
    n_texts: usize,
}

/// Elements that draw nothing where they stand.
const NOT_DRAWN: [&str; 20] = [
    "defs",
    "symbol",
    "clipPath",
    "mask",
    "marker",
    "pattern",
    "linearGradient",
    "radialGradient",
    "filter",
    "metadata",
    "title",
    "desc",
    "script",
    "view",
    "cursor",
    "animate",
    "set",
    "font",
    "font-face",
    "color-profile",
];

/// The namespace of SVG; elements of others are a drawing program's own notes.
const SVG: &str = "http://www.w3.org/2000/svg";

impl Reader<'_> {
    fn children(&mut self, node: Node<'_, '_>, from: Inherited) {
        for child in node.children().filter(Node::is_element) {
            let namespace = child.tag_name().namespace();
            if namespace.is_none_or(|namespace| namespace == SVG) {
                self.element(child, from);
            }
        }
    }

    fn element(&mut self, node: Node<'_, '_>, from: Inherited) {
        if NESTING_LIMIT < from.depth {
            return self.too_deep(node);
        }
        let tag = node.tag_name().name();
        if tag == "style" {
            return self.style_sheet(node);
        }
        if NOT_DRAWN.contains(&tag) {
            return;
        }
        if style::property(node, "display") == Some("none") {
            self.n_hidden += 1;
            return;
        }
        let Some(own) = self.inherit(node, from) else { return };
        match tag {
            "g" | "a" => self.children(node, own),
            "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" => {
                if own.visible {
                    self.shape(node, &own.map);
                } else {
                    self.n_hidden += 1;
                }
            }
            _ => self.not_read(node),
        }
    }

    /// What the element adds to what it inherits; `None` where it cannot be read.
    fn inherit(&mut self, node: Node<'_, '_>, from: Inherited) -> Option<Inherited> {
        let visible = match style::property(node, "visibility") {
            Some("hidden" | "collapse") => false,
            Some("visible") => true,
            _ => from.visible,
        };
        if let Some(property) = style::geometry_in_style(node) {
            let found = format!("the style sets `{property}`");
            let hint = format!("write `{property}` as an attribute of its own");
            self.note(node, Problem::stop("svg-style-geometry", found, hint));
            return None;
        }
        for name in ["clip-path", "mask"] {
            if style::property(node, name).is_some_and(|value| value != "none") {
                let found = format!("`{name}` is not read: the whole shape is");
                let hint = "draw the shape itself as it is to be made";
                self.note(
                    node,
                    Problem::new("svg-clip-not-read", Weight::Caution, found, hint),
                );
            }
        }
        let map = self.transformed(node, from.map)?;
        Some(Inherited { map, visible, depth: from.depth + 1 })
    }

    fn transformed(&mut self, node: Node<'_, '_>, map: Map) -> Option<Map> {
        let Some(attribute) = node.attribute_node("transform") else { return Some(map) };
        if node.has_attribute("transform-origin") {
            let found = "`transform-origin` is not read";
            let hint = "write the transform with its origin, `rotate(a x y)`, or apply it in the drawing program";
            self.note(node, Problem::stop("svg-transform-origin", found, hint));
            return None;
        }
        let found = match map.with(attribute.value()) {
            Ok(map) if map.is_sound() => return Some(map),
            Ok(_) => {
                format!("the transform `{}` flattens the shape", attribute.value())
            }
            Err(error) => {
                format!("the transform `{}` cannot be read: {error}", attribute.value())
            }
        };
        let hint = "write `translate(x y)`, `rotate(a)`, `scale(s)` or `matrix(a b c d e f)` with numbers, or apply the transform in the drawing program";
        let place = self.text.place(attribute.range_value()).element(label(node));
        self.problems.push(Problem::stop("svg-transform", found, hint).at(place));
        None
    }

    fn shape(&mut self, node: Node<'_, '_>, map: &Map) {
        let from = Attributes { text: self.text, node };
        let read = match node.tag_name().name() {
            "path" => path::path(from).map(|(runs, enlarged)| {
                self.enlarged(node, enlarged * map.growth());
                runs
            }),
            "rect" => shape::rect(from).map(Vec::from_iter),
            "circle" => shape::circle(from).map(Vec::from_iter),
            "ellipse" => shape::ellipse(from).map(Vec::from_iter),
            "line" => shape::line(from).map(Vec::from_iter),
            "polyline" => shape::polyline(from).map(Vec::from_iter),
            _ => shape::polygon(from).map(Vec::from_iter),
        };
        match read {
            Err(problem) => self.problems.push(*problem),
            Ok(runs) if runs.is_empty() => {
                let hint = "remove it, or give it a size";
                let problem = Problem::new(
                    "svg-shape-without-size",
                    Weight::Caution,
                    format!("`{}` draws nothing", label(node)),
                    hint,
                );
                self.note(node, problem);
            }
            Ok(runs) => self.runs(from, map, &runs),
        }
    }

    fn runs(&mut self, from: Attributes<'_, '_, '_>, map: &Map, runs: &[Run]) {
        if STROKE_LIMIT < self.n_strokes {
            return;
        }
        self.n_strokes += runs.iter().map(|run| run.marks.len()).sum::<usize>();
        if STROKE_LIMIT < self.n_strokes {
            self.problems.push(*self.text.too_many_strokes(from.node));
            return;
        }
        for run in runs {
            self.run(from, map, run);
        }
    }

    fn run(&mut self, from: Attributes<'_, '_, '_>, map: &Map, run: &Run) {
        let name = from.id().map(str::to_owned);
        let strokes = run.marks.iter().flat_map(|mark| map.strokes(mark));
        let strokes =
            strokes.map(|stroke| Drawn { stroke, name: name.clone(), role: None });
        self.paths.push(Path {
            strokes: strokes.collect(),
            closed: run.closed,
            place: self.text.place_of(from.node),
        });
    }

    fn enlarged(&mut self, node: Node<'_, '_>, mm: f64) {
        if tolerance::REPAIR < mm {
            let found = format!(
                "an arc's ends lie farther apart than its radius reaches: the radius was enlarged by {mm:.3} mm, as SVG prescribes"
            );
            let hint = "draw the arc with the radius it is to have";
            let problem = Problem::new("svg-arc-enlarged", Weight::Caution, found, hint);
            self.note(node, problem);
        }
    }

    fn style_sheet(&mut self, node: Node<'_, '_>) {
        let sheets = node.children().filter_map(|child| child.text());
        let property =
            sheets.filter_map(style::property_that_matters).map(str::to_owned).next();
        if let Some(property) = property {
            let found =
                format!("a style sheet sets `{property}`, and style sheets are not read");
            let hint = format!(
                "write `{property}` on the elements themselves, or save as plain SVG with presentation attributes"
            );
            self.note(node, Problem::stop("svg-style-sheet", found, hint));
        }
    }

    fn too_deep(&mut self, node: Node<'_, '_>) {
        let found = format!("`{}` is nested deeper than {NESTING_LIMIT}", label(node));
        self.note(
            node,
            Problem::stop(
                "svg-too-deep",
                found,
                "save the drawing with its groups ungrouped",
            ),
        );
    }

    fn not_read(&mut self, node: Node<'_, '_>) {
        let label = label(node);
        let found = format!("`{label}` is not read");
        let (id, weight, hint) = match node.tag_name().name() {
            "text" => {
                self.n_texts += 1;
                let hint = "convert the text to paths in the drawing program if the letters are to be cut; otherwise remove it";
                ("svg-text-not-read", Weight::Caution, hint)
            }
            "image" => {
                let hint = "draw the outline as a path over the picture";
                ("svg-image-not-read", Weight::Caution, hint)
            }
            "use" => {
                let hint = "convert the clone to a shape of its own (unlink it) in the drawing program";
                ("svg-use-not-read", Weight::Stop, hint)
            }
            "svg" => {
                let hint =
                    "move the inner drawing's shapes into the outer one and ungroup them";
                ("svg-nested", Weight::Stop, hint)
            }
            "switch" | "foreignObject" => {
                let hint =
                    "save as plain SVG, so that the shapes stand outside this element";
                ("svg-element-not-read", Weight::Stop, hint)
            }
            _ => {
                let hint = "draw it with a path, rect, circle, ellipse, line, polyline or polygon";
                ("svg-element-not-read", Weight::Caution, hint)
            }
        };
        self.note(node, Problem::new(id, weight, found, hint));
    }

    fn note(&mut self, node: Node<'_, '_>, problem: Problem) {
        self.problems.push(problem.at(self.text.place_of(node)));
    }

    fn finish(mut self, root: Node<'_, '_>) -> Read {
        if 0 < self.n_hidden {
            let found = format!("hidden elements left out: {}", self.n_hidden);
            let hint =
                "make them visible in the drawing program if they are part of the work";
            self.note(root, Problem::new("svg-hidden", Weight::Hint, found, hint));
        }
        let (mut stops, notes): (Problems, Problems) =
            self.problems.into_iter().partition(|problem| problem.weight == Weight::Stop);
        if self.paths.is_empty() && stops.is_empty() {
            stops.push(nothing(self.n_texts, notes).at(self.text.place_of(root)));
            return Read { paths: self.paths, stops, notes: Vec::new() };
        }
        Read { paths: self.paths, stops, notes }
    }
}

/// Why there is no path at all.
fn nothing(n_texts: usize, notes: Problems) -> Problem {
    if 0 < n_texts {
        let hint = "convert the text to paths in the drawing program (a font's letters have no outline in the file)";
        return Problem::stop("svg-text-only", "the drawing holds only text", hint);
    }
    let also: Vec<String> = notes.into_iter().map(|note| note.found).collect();
    let found = if also.is_empty() {
        "the drawing is empty".to_owned()
    } else {
        format!("the drawing holds no outline: {}", also.join("; "))
    };
    let hint =
        "draw the part's outline as a closed path, rect, circle, ellipse or polygon";
    Problem::stop("svg-empty", found, hint)
}

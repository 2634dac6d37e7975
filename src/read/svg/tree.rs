//! Walks the drawing's elements, clones with them, and gathers their paths, with what was left
//! out and why.

use std::collections::BTreeMap;

use roxmltree::{Node, NodeId};

use super::attribute::Room;
use super::document::{ELEMENT_LIMIT, NESTING_LIMIT, Text, label};
use super::map::Map;
use super::page::Page;
use super::sheet::Sheet;
use super::style::{self, Style};
use crate::diag::{Place, Problem, Problems, Weight};
use crate::read::Path;

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

/// Reads everything in `root`.
pub(super) fn read(text: &Text<'_>, root: Node<'_, '_>, page: &Page) -> Read {
    let css = style::sheet_text(root);
    let (sheet, unread) = Sheet::read(&css);
    let ids =
        root.descendants().rev().filter_map(|node| Some((node.attribute("id")?, node)));
    let mut reader = Reader {
        text,
        sheet: &sheet,
        ids: ids.collect(),
        paths: Vec::new(),
        problems: style::unread(text, root, &unread),
        clones: Vec::new(),
        n_elements: 0,
        n_strokes: 0,
        hidden: Vec::new(),
        widest: 0.0,
        full: false,
    };
    let room = Room { view: page.view, per_inch: page.per_inch };
    let paint = Paint { visible: true, fill: true, stroke: false, width: 1.0 };
    let from = Inherited { map: Map::of_page(page), paint, depth: 0, room, window: None };
    reader.root(root, from);
    reader.finish(root)
}

/// What children take from their parents.
#[derive(Debug, Clone, Copy)]
pub(super) struct Inherited {
    /// From its units to millimetres.
    pub(super) map: Map,
    /// What lengths are of.
    pub(super) room: Room,
    /// The nested drawing it would be seen through.
    pub(super) window: Option<Window>,
    /// How it is painted.
    pub(super) paint: Paint,
    /// How deep it is nested.
    pub(super) depth: usize,
}

/// How it is painted.
#[derive(Debug, Clone, Copy)]
pub(super) struct Paint {
    visible: bool,
    fill: bool,
    stroke: bool,
    /// The stroke's width, in user units.
    width: f64,
}

/// A nested drawing through which its contents would be seen, and nothing beyond it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    /// From millimetres to its own units.
    pub(super) back: Map,
    /// Its width and height.
    pub(super) size: (f64, f64),
}

/// A clone that is being read.
#[derive(Debug)]
pub(super) struct Clone {
    /// The shape it repeats.
    pub(super) of: NodeId,
    /// What it is called.
    pub(super) label: String,
    /// Its id.
    pub(super) id: Option<String>,
}

/// What has been read on the way through the drawing.
#[derive(Debug)]
pub(super) struct Reader<'a> {
    /// The drawing's text.
    pub(super) text: &'a Text<'a>,
    sheet: &'a Sheet<'a>,
    /// The first element of each id.
    pub(super) ids: BTreeMap<&'a str, Node<'a, 'a>>,
    /// The paths so far.
    pub(super) paths: Vec<Path>,
    /// What was found so far.
    pub(super) problems: Problems,
    /// The clones that are being read, the outermost first.
    pub(super) clones: Vec<Clone>,
    n_elements: usize,
    /// How many strokes were read.
    pub(super) n_strokes: usize,
    hidden: Vec<String>,
    /// The widest stroke of a shape, in mm.
    widest: f64,
    /// Reading has ended: there is too much, or too much is wrong.
    pub(super) full: bool,
}

/// Elements that draw, of which a `switch` gives one.
const DRAWN: [&str; 15] = [
    "a",
    "circle",
    "ellipse",
    "foreignObject",
    "g",
    "image",
    "line",
    "path",
    "polygon",
    "polyline",
    "rect",
    "svg",
    "switch",
    "text",
    "use",
];

/// Elements that draw nothing where they stand.
const NOT_DRAWN: [&str; 28] = [
    "defs",
    "symbol",
    "clipPath",
    "mask",
    "marker",
    "pattern",
    "linearGradient",
    "radialGradient",
    "meshgradient",
    "hatch",
    "solidColor",
    "filter",
    "metadata",
    "title",
    "desc",
    "script",
    "style",
    "view",
    "cursor",
    "animate",
    "animateColor",
    "animateMotion",
    "animateTransform",
    "set",
    "font",
    "font-face",
    "color-profile",
    "mpath",
];

/// The namespace of SVG; elements of others are a drawing program's own notes.
const SVG: &str = "http://www.w3.org/2000/svg";
/// More problems than this are one: the drawing is not what was meant.
const PROBLEM_LIMIT: usize = 100;
/// Lines drawn wider than this, in mm, may be taken for the edge (from memory: twice a pencil's
/// line).
const WIDE_LINE: f64 = 1.0;

impl<'a> Reader<'a> {
    /// The outermost `svg`, whose own place and size the page has read.
    fn root(&mut self, root: Node<'a, 'a>, from: Inherited) {
        let style = Style::of(root, self.sheet);
        if style.transform_is_css {
            let found = "a style transforms the outermost `svg`";
            let hint = "move the transform to a group (`g`) inside the drawing";
            self.note(root, Problem::stop("svg-root-transform", found, hint));
        }
        if style.hides_all() {
            return self.hide(root);
        }
        let paint = paint_of(&style, from);
        self.children(root, Inherited { paint, depth: 1, ..from });
    }

    /// Every child that is drawn.
    pub(super) fn children(&mut self, node: Node<'a, 'a>, from: Inherited) {
        for child in node.children().filter(is_svg) {
            self.element(child, from, None);
        }
    }

    /// One element; `clone` is the `use` that draws it here, where one does.
    pub(super) fn element(
        &mut self,
        node: Node<'a, 'a>,
        from: Inherited,
        clone: Option<Node<'a, 'a>>,
    ) {
        if !self.has_room(node, from) {
            return;
        }
        let tag = node.tag_name().name();
        let is_cloned_symbol = tag == "symbol" && clone.is_some();
        if NOT_DRAWN.contains(&tag) && !is_cloned_symbol || !is_for_us(node) {
            return;
        }
        let style = Style::of(node, self.sheet);
        if style.hides_all() {
            return self.hide(node);
        }
        let Some(own) = self.inherit(node, &style, from) else { return };
        match tag {
            "g" | "a" => self.children(node, own),
            "switch" => {
                let mut children = node.children().filter(is_svg).filter(is_drawn);
                if let Some(child) = children.find(|child| is_for_us(*child)) {
                    self.element(child, own, None);
                }
            }
            "svg" | "symbol" => self.viewport(node, own, clone),
            "use" => self.clone(node, own),
            "path" | "rect" | "circle" | "ellipse" | "line" | "polyline" | "polygon" => {
                let Paint { visible, fill, stroke, width } = own.paint;
                if !visible || !fill && !stroke {
                    return self.hide(node);
                }
                if stroke {
                    self.widest = self.widest.max(width * own.map.growth());
                }
                self.shape(node, &own);
            }
            _ if own.paint.visible => self.not_read(node),
            _ => self.hide(node),
        }
    }

    /// Whether one more element may be read.
    fn has_room(&mut self, node: Node<'a, 'a>, from: Inherited) -> bool {
        self.n_elements += 1;
        if ELEMENT_LIMIT < self.n_elements && !self.full {
            self.full = true;
            let found = format!(
                "with its clones drawn out the drawing is too large, at `{}`",
                label(node)
            );
            let hint = "remove clones of clones, or save only the part's outline";
            let problem = Problem::stop("svg-too-many-elements", found, hint)
                .expected(format!("at most {ELEMENT_LIMIT} elements"));
            self.problems.push(problem.at(self.place(node)));
        }
        if PROBLEM_LIMIT <= self.problems.len() && !self.full {
            self.full = true;
            let found =
                format!("more than {PROBLEM_LIMIT} problems: the rest is not read");
            let hint = "mend the first ones, then run it again";
            self.problems.push(Problem::stop("svg-and-more", found, hint));
        }
        if NESTING_LIMIT < from.depth && !self.full {
            self.too_deep(node);
            return false;
        }
        !self.full
    }

    /// What the element adds to what it inherits; `None` where it cannot be read.
    fn inherit(
        &mut self,
        node: Node<'a, 'a>,
        style: &Style<'_>,
        from: Inherited,
    ) -> Option<Inherited> {
        if let Some(property) = style.geometry {
            let found = format!("a style sets `{property}`");
            let hint = format!("write `{property}` as an attribute of the element");
            self.note(node, Problem::stop("svg-style-geometry", found, hint));
            return None;
        }
        for name in ["clip-path", "mask"] {
            if style.get(name).is_some_and(|value| !value.eq_ignore_ascii_case("none")) {
                let found = format!("`{name}` is not read: the whole shape is");
                let hint = "draw the shape itself as it is to be made";
                let problem =
                    Problem::new("svg-clip-not-read", Weight::Caution, found, hint);
                self.note(node, problem);
            }
        }
        let paint = paint_of(style, from);
        let map = self.transformed(node, style, from)?;
        Some(Inherited { map, paint, depth: from.depth + 1, ..from })
    }

    fn hide(&mut self, node: Node<'_, '_>) {
        self.hidden.push(label(node));
    }

    /// Where an element stands, with the clone that draws it.
    pub(super) fn place(&self, node: Node<'_, '_>) -> Place {
        let place = self.text.place_of(node);
        match self.clones.first() {
            Some(clone) => {
                place.element(format!("{} drawn by {}", label(node), clone.label))
            }
            None => place,
        }
    }

    /// Keeps a problem of an element.
    pub(super) fn note(&mut self, node: Node<'_, '_>, problem: Problem) {
        let place = self.place(node);
        self.problems.push(problem.at(place));
    }

    fn too_deep(&mut self, node: Node<'_, '_>) {
        let found = format!("`{}` is nested deeper than {NESTING_LIMIT}", label(node));
        let hint = "save the drawing with its groups ungrouped";
        self.note(node, Problem::stop("svg-too-deep", found, hint));
    }

    fn not_read(&mut self, node: Node<'_, '_>) {
        let found = format!("`{}` is not read", label(node));
        let (id, weight, hint) = match node.tag_name().name() {
            "text" => return self.letters(node),
            "image" => {
                let hint = "draw the outline as a path over the picture";
                ("svg-image-not-read", Weight::Caution, hint)
            }
            "foreignObject" => {
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

    fn letters(&mut self, node: Node<'_, '_>) {
        let texts = node.descendants().filter(Node::is_text);
        let texts = texts.filter_map(|part| part.text());
        let letters: String = texts.flat_map(str::chars).take(20).collect();
        let letters = letters.trim();
        if !letters.is_empty() {
            let found = format!(
                "the text \"{letters}\" has no outline: the file holds only the letters"
            );
            let hint = "convert the text to paths in the drawing program if the letters are to be cut; otherwise remove or hide it";
            self.note(node, Problem::stop("svg-text", found, hint));
        }
    }

    fn finish(mut self, root: Node<'_, '_>) -> Read {
        if self.sheet.is_worn_out() {
            let found = "the style sheets are too involved to be read in good time";
            let hint = "save as plain SVG with presentation attributes";
            self.note(root, Problem::stop("svg-style-sheet", found, hint));
        }
        if let Some(first) = self.hidden.first() {
            let found = format!(
                "elements left out because nobody sees them (hidden, or with neither fill nor stroke): {}, the first is `{first}`",
                self.hidden.len()
            );
            let hint = "make them visible in the drawing program (show the layer, give a stroke) if they are part of the work";
            self.note(root, Problem::new("svg-hidden", Weight::Hint, found, hint));
        }
        if WIDE_LINE < self.widest {
            let found = format!(
                "lines are drawn up to {} wide: the edge runs along their middle",
                self.text.paper.decimals(self.widest, 1)
            );
            let hint = "draw with thin lines to see where the edge runs";
            self.note(root, Problem::new("svg-wide-lines", Weight::Hint, found, hint));
        }
        let (mut stops, notes): (Problems, Problems) =
            self.problems.into_iter().partition(|problem| problem.weight == Weight::Stop);
        if self.paths.is_empty() && stops.is_empty() {
            stops.push(nothing(&notes).at(self.text.place_of(root)));
        }
        Read { paths: self.paths, stops, notes }
    }
}

/// How an element is painted.
fn paint_of(style: &Style<'_>, from: Inherited) -> Paint {
    let painted = |name: &str, inherited: bool| match style.get(name) {
        None | Some("inherit") => inherited,
        Some(value) => !["none", "transparent"]
            .iter()
            .any(|nothing| value.eq_ignore_ascii_case(nothing)),
    };
    let visible = match style.get("visibility") {
        Some("hidden" | "collapse") => false,
        Some("visible") => true,
        _ => from.paint.visible,
    };
    let width = style.get("stroke-width");
    let width =
        width.and_then(|width| super::attribute::length_in(width, from.room.per_inch));
    Paint {
        visible,
        fill: painted("fill", from.paint.fill),
        stroke: painted("stroke", from.paint.stroke),
        width: width.unwrap_or(from.paint.width),
    }
}

/// Why there is no path at all.
fn nothing(notes: &[Problem]) -> Problem {
    let also: Vec<&str> = notes.iter().map(|note| note.found.as_str()).collect();
    let found = if also.is_empty() {
        "the drawing is empty".to_owned()
    } else {
        format!("the drawing holds no outline: {}", also.join("; "))
    };
    let hint = "draw the part's outline as a closed path, rect, circle, ellipse or polygon that can be seen";
    Problem::stop("svg-empty", found, hint)
}

/// Whether a node is an element of SVG, and not a drawing program's own note.
fn is_svg(node: &Node<'_, '_>) -> bool {
    let namespace = node.tag_name().namespace();
    node.is_element() && namespace.is_none_or(|namespace| namespace == SVG)
}

/// Whether an element draws.
fn is_drawn(node: &Node<'_, '_>) -> bool {
    DRAWN.contains(&node.tag_name().name())
}

/// Whether an element's conditions hold: it asks for no extension, and for English where it asks
/// for a language. So of a `switch` the same child is read on every machine.
fn is_for_us(node: Node<'_, '_>) -> bool {
    let asks_for_nothing =
        node.attribute("requiredExtensions").is_none_or(|list| list.trim().is_empty());
    let english = |list: &str| {
        list.split(',').any(|tag| tag.trim().to_ascii_lowercase().starts_with("en"))
    };
    asks_for_nothing && node.attribute("systemLanguage").is_none_or(english)
}

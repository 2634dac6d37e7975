//! Clones (`use`), and the views that nested `svg` and `symbol` lay their contents in; the
//! transforms of elements.

use roxmltree::Node;

use super::attribute::{Attributes, Room};
use super::css_transform;
use super::document::label;
use super::map::Map;
use super::style::Style;
use super::tree::{Clone, Inherited, Reader, Window};
use super::viewport::{Lay, aspect_ratio, view_box};
use crate::diag::{Problem, Weight};
use crate::read::Checked;

/// The namespace of links in SVG 1.1.
const XLINK: &str = "http://www.w3.org/1999/xlink";

impl<'a> Reader<'a> {
    /// Draws what a `use` repeats.
    pub(super) fn clone(&mut self, node: Node<'a, 'a>, own: Inherited) {
        let attributes = Attributes { text: self.text, node, room: own.room };
        let link = node.attribute("href").or_else(|| node.attribute((XLINK, "href")));
        let target = match self.target(node, link.unwrap_or("").trim()) {
            Ok(target) => target,
            Err(problem) => return self.note(node, *problem),
        };
        match attributes.point("x", "y") {
            Ok(at) => {
                let map = own.map.shifted(at.x, at.y);
                let id = node.attribute("id").map(str::to_owned);
                self.clones.push(Clone { of: target.id(), label: label(node), id });
                self.element(target, Inherited { map, ..own }, Some(node));
                self.clones.pop();
            }
            Err(problem) => self.problems.push(*problem),
        }
    }

    /// The element a link names.
    fn target(&self, node: Node<'a, 'a>, link: &str) -> Checked<Node<'a, 'a>> {
        let unlink =
            "convert the clone to a shape of its own (unlink it) in the drawing program";
        let Some(id) = link.strip_prefix('#') else {
            let found = format!(
                "the clone `{}` repeats a shape of another file: `{link}`",
                label(node)
            );
            return Err(Problem::stop("svg-use-elsewhere", found, unlink).into());
        };
        let Some(&target) = self.ids.get(id) else {
            let found = format!(
                "the clone `{}` repeats `#{id}`, which is not in the drawing",
                label(node)
            );
            let hint = "remove the clone, or draw the shape it stood for";
            return Err(Problem::stop("svg-use-missing", found, hint).into());
        };
        let goes_round = self.clones.iter().any(|clone| clone.of == target.id())
            || node.ancestors().any(|above| above == target);
        if goes_round {
            let found = format!(
                "the clone `{}` repeats `#{id}`, which holds that clone itself: it would go on without end",
                label(node)
            );
            return Err(Problem::stop("svg-use-loop", found, unlink).into());
        }
        Ok(target)
    }

    /// A nested `svg`, or a `symbol` that a clone draws; the clone's size goes before its own.
    pub(super) fn viewport(
        &mut self,
        node: Node<'a, 'a>,
        own: Inherited,
        clone: Option<Node<'a, 'a>>,
    ) {
        let laid = match self.laid(node, own, clone) {
            Ok(laid) => laid,
            Err(problem) => return self.problems.push(*problem),
        };
        match laid {
            Some(laid) if laid.map.is_sound() => self.children(node, laid),
            _ => {
                let found = format!("`{}` has no size and draws nothing", label(node));
                let hint = "give it a width and a height, or remove it";
                let problem =
                    Problem::new("svg-shape-without-size", Weight::Caution, found, hint);
                self.note(node, problem);
            }
        }
    }

    /// What the children of a view inherit; `None` where it has no size.
    fn laid(
        &self,
        node: Node<'a, 'a>,
        own: Inherited,
        clone: Option<Node<'a, 'a>>,
    ) -> Checked<Option<Inherited>> {
        let attributes = Attributes { text: self.text, node, room: own.room };
        let side = |name: &'static str, whole: f64| -> Checked<f64> {
            for node in clone.into_iter().chain([node]) {
                let from = Attributes { node, ..attributes };
                if from.length(name)?.is_some() {
                    return from.size(name);
                }
            }
            Ok(whole)
        };
        let at = attributes.point("x", "y")?;
        let (width, height) =
            (side("width", own.room.view.0)?, side("height", own.room.view.1)?);
        if width <= 0.0 || height <= 0.0 {
            return Ok(None);
        }
        let map = own.map.shifted(at.x, at.y);
        let is_clipped = !matches!(node.attribute("overflow"), Some("visible" | "auto"));
        let back = map.back().filter(|_| is_clipped);
        let window = back.map(|back| Window { back, size: (width, height) });
        let window = window.or(own.window);
        let Some(view) = view_box(self.text, node)? else {
            let room = Room { view: (width, height), ..own.room };
            return Ok(Some(Inherited { map, room, window, ..own }));
        };
        let ratio = aspect_ratio(self.text, node)?;
        let map = map.laid(&Lay::new((width, height), view, ratio));
        let room = Room { view: (view[2], view[3]), ..own.room };
        Ok(Some(Inherited { map, room, window, ..own }))
    }

    /// The map of an element with its own transform; `None` where that cannot be read.
    pub(super) fn transformed(
        &mut self,
        node: Node<'a, 'a>,
        style: &Style<'_>,
        from: Inherited,
    ) -> Option<Map> {
        let Some(written) = style.get("transform") else { return Some(from.map) };
        let (before, after) = self.about(node, style, from)?;
        let map = from.map.after(before);
        let made = if style.transform_is_css {
            let functions = css_transform::functions(written, from.room.per_inch);
            functions.map(|all| all.into_iter().fold(map, Map::after))
        } else {
            map.with(written).ok()
        };
        let found = match made.map(|made| made.after(after)) {
            Some(made) if made.is_sound() => return Some(made),
            Some(_) => format!("the transform `{written}` flattens the shape"),
            None => format!("the transform `{written}` cannot be read"),
        };
        let hint = "write `translate(x y)`, `rotate(a)`, `scale(s)` or `matrix(a b c d e f)` with numbers in the `transform` attribute, or apply the transform in the drawing program";
        let room = from.room;
        let named = if style.transform_is_css { "style" } else { "transform" };
        let place = Attributes { text: self.text, node, room }.place_of(named);
        self.problems.push(Problem::stop("svg-transform", found, hint).at(place));
        None
    }

    /// The shifts before and after a transform that turns about an origin of its own.
    fn about(
        &mut self,
        node: Node<'a, 'a>,
        style: &Style<'_>,
        from: Inherited,
    ) -> Option<([f64; 6], [f64; 6])> {
        let shift = |x: f64, y: f64| [1.0, 0.0, 0.0, 1.0, x, y];
        let origin = style.get("transform-origin");
        let of_view = style.get("transform-box").is_none_or(|of| of == "view-box");
        let Room { view, per_inch } = from.room;
        let read = match origin {
            None if of_view => Some((0.0, 0.0)),
            Some(origin) if of_view => css_transform::origin(origin, view, per_inch),
            _ => None,
        };
        if let Some((x, y)) = read {
            return Some((shift(x, y), shift(-x, -y)));
        }
        let found = format!(
            "where the transform turns about cannot be read: transform-origin `{}`, transform-box `{}`",
            origin.unwrap_or("not given"),
            style.get("transform-box").unwrap_or("not given")
        );
        let hint = "write the transform with its origin, `rotate(a x y)`, or apply it in the drawing program";
        self.note(node, Problem::stop("svg-transform-origin", found, hint));
        None
    }
}

//! What an element's attributes, its own style and the style sheets say together, as far as it
//! bears on geometry: what hides an element, and what would move it.
//!
//! An element is hidden by `display: none`, `visibility: hidden`, `opacity: 0`, or where it has
//! neither fill nor stroke: nobody who drew it would expect what cannot be seen to be cut.

use std::borrow::Cow;

use roxmltree::Node;

use super::document::Text;
use super::sheet::Sheet;
use crate::diag::{Problem, Problems};

/// Properties that are read.
const READ: [&str; 11] = [
    "display",
    "visibility",
    "opacity",
    "fill",
    "stroke",
    "stroke-width",
    "clip-path",
    "mask",
    "transform",
    "transform-origin",
    "transform-box",
];

/// Properties that would change the geometry if styles set them, and are read as attributes
/// only.
const GEOMETRY: [&str; 14] = [
    "d",
    "x",
    "y",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "width",
    "height",
    "translate",
    "rotate",
    "scale",
    "zoom",
];

/// One declaration of a property that is known here.
#[derive(Debug, Clone, Copy)]
pub(super) struct Declaration<'s> {
    /// The property, one of the lists above.
    pub(super) property: &'static str,
    /// Its value.
    pub(super) value: &'s str,
    /// Whether it is marked as important.
    pub(super) important: bool,
}

/// What holds for one element.
#[derive(Debug, Default)]
pub(super) struct Style<'s> {
    values: [Option<&'s str>; READ.len()],
    /// The first property of a style that would change the geometry.
    pub(super) geometry: Option<&'static str>,
    /// Whether `transform` was set by a style, which has a syntax of its own.
    pub(super) transform_is_css: bool,
}

/// The texts of all style sheets, without comments, in one.
pub(super) fn sheet_text(root: Node<'_, '_>) -> String {
    let is_css = |node: &Node<'_, '_>| {
        let kind = node.attribute("type").unwrap_or("").trim();
        node.tag_name().name() == "style"
            && (kind.is_empty() || kind.eq_ignore_ascii_case("text/css"))
    };
    let sheets = root.descendants().filter(is_css);
    let texts = sheets.flat_map(|sheet| sheet.children().filter_map(|part| part.text()));
    texts.map(without_comments).collect::<Vec<_>>().join("\n")
}

/// The problems of what a sheet says that cannot be read.
pub(super) fn unread(text: &Text<'_>, root: Node<'_, '_>, unread: &[String]) -> Problems {
    let style = root.descendants().find(|node| node.tag_name().name() == "style");
    let place = text.place_of(style.unwrap_or(root));
    let problem = |what: &String| {
        let found = format!(
            "a style sheet says what cannot be read and may hide or move shapes: `{what}`"
        );
        let hint = "remove the rule, write its properties on the elements themselves, or save as plain SVG with presentation attributes";
        Problem::stop("svg-style-sheet", found, hint).at(place.clone())
    };
    unread.iter().map(problem).collect()
}

impl<'s> Style<'s> {
    /// The style of an element: attributes give way to sheets, sheets to its own `style`, and
    /// everything to what is marked as important (published: CSS Cascading and Inheritance
    /// Level 4, W3C; SVG 2, W3C, section 6.6).
    pub(super) fn of<'a: 's>(node: Node<'a, 'a>, sheet: &'a Sheet<'s>) -> Self {
        let mut style = Self::default();
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            if let Some(at) = READ.iter().position(|known| *known == name) {
                style.values[at] = Some(value.trim());
            }
        }
        let own = node.attribute("style").unwrap_or("");
        let from_sheet: Vec<Declaration<'s>> = sheet.of(node).collect();
        for important in [false, true] {
            let sheet = from_sheet.iter().copied();
            for declaration in sheet.chain(declarations(own)) {
                if declaration.important == important {
                    style.take(declaration);
                }
            }
        }
        style
    }

    fn take(&mut self, declaration: Declaration<'s>) {
        let Declaration { property, value, .. } = declaration;
        match READ.iter().position(|known| *known == property) {
            Some(at) => {
                self.values[at] = Some(value);
                self.transform_is_css |= property == "transform";
            }
            None => self.geometry = self.geometry.or(Some(property)),
        }
    }

    /// The value of a property that is read.
    pub(super) fn get(&self, property: &str) -> Option<&'s str> {
        let at = READ.iter().position(|known| *known == property)?;
        self.values[at]
    }

    /// Whether a property has this keyword.
    pub(super) fn is(&self, property: &str, keyword: &str) -> bool {
        self.get(property).is_some_and(|value| value.eq_ignore_ascii_case(keyword))
    }

    /// Whether the element and all in it are hidden.
    pub(super) fn hides_all(&self) -> bool {
        let opacity =
            self.get("opacity").map(|value| value.trim_end_matches('%').parse());
        self.is("display", "none") || matches!(opacity, Some(Ok(0.0)))
    }
}

/// Whether a property can hide or move a shape.
pub(super) fn hides_or_moves(property: &str) -> bool {
    let is_paint = ["fill", "stroke", "stroke-width"].contains(&property);
    !is_paint && (READ.contains(&property) || GEOMETRY.contains(&property))
}

/// The declarations of a style or a rule's body, of the properties known here.
pub(super) fn declarations(css: &str) -> impl Iterator<Item = Declaration<'_>> {
    css.split(';').filter_map(|declaration| {
        let (name, value) = declaration.split_once(':')?;
        let name = name.trim();
        let mut known = READ.iter().chain(&GEOMETRY);
        let property = known.find(|known| known.eq_ignore_ascii_case(name))?;
        let (value, important) = match value.rsplit_once('!') {
            Some((value, mark)) if mark.trim().eq_ignore_ascii_case("important") => {
                (value, true)
            }
            _ => (value, false),
        };
        Some(Declaration { property, value: value.trim(), important })
    })
}

/// A text without its comments.
fn without_comments(css: &str) -> Cow<'_, str> {
    let css = css.trim().trim_start_matches("<!--").trim_end_matches("-->");
    if !css.contains("/*") {
        return Cow::Borrowed(css);
    }
    let mut kept = String::new();
    let mut rest = css;
    while let Some((before, after)) = rest.split_once("/*") {
        kept += before;
        kept.push(' ');
        rest = after.split_once("*/").map_or("", |(_, after)| after);
    }
    Cow::Owned(kept + rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn styled(svg: &str, property: &str) -> Option<String> {
        let document = roxmltree::Document::parse(svg).expect("XML");
        let css = sheet_text(document.root_element());
        let (sheet, unread) = Sheet::read(&css);
        assert!(unread.is_empty(), "all is read: {unread:?}");
        let node = document.descendants().find(|node| node.has_tag_name("path"))?;
        Style::of(node, &sheet).get(property).map(str::to_owned)
    }

    #[test]
    fn the_stronger_declaration_holds() {
        for (sheet, path, display) in [
            ("", "display='none'", "none"),
            ("path{display:inline}", "display='none'", "inline"),
            ("path{display:none}", "style='display:inline'", "inline"),
            ("path{display:none!important}", "style='display:inline'", "none"),
            (".a{display:none} path{display:inline}", "class='b a'", "none"),
            ("#p{display:block}.a{display:none}", "class='a' id='p'", "block"),
            ("g > path, b {display:none}", "", "none"),
            ("/* path{display:block} */ path{DISPLAY: none }", "", "none"),
            ("@font-face{src:url(x)} path:first-child{display:none}", "", "none"),
        ] {
            let text = format!("<svg><style>{sheet}</style><g><path {path}/></g></svg>");
            assert_eq!(
                styled(&text.replace("g > ", "g &gt; "), "display").as_deref(),
                Some(display),
                "{text}"
            );
        }
    }

    #[test]
    fn what_cannot_be_read_and_matters_is_told() {
        for (css, n_unread) in [
            ("path:nth-child(2){stroke:red}", 0),
            ("path:nth-child(2){display:none}", 1),
            ("@media print{path{fill:red}}", 0),
            ("@media print{path{display:none}}", 1),
            ("@import url(other.css);path{display:none}", 1),
            (".x{fill:none}{;}}", 0),
        ] {
            assert_eq!(Sheet::read(css).1.len(), n_unread, "{css}");
        }
    }
}

//! From bytes to an XML tree, within limits, and places in its text.

use std::ops::Range;

use roxmltree::{Document, Error, Node, ParsingOptions, TextPos};

use crate::diag::{Place, Problem, Source};
use crate::read::Checked;
use crate::units::Paper;

/// The largest drawing read, in bytes: more would take minutes and is never one part.
pub(super) const BYTE_LIMIT: usize = 20_000_000;
/// The most elements read. More is a map or a scan, never one part.
pub(super) const ELEMENT_LIMIT: usize = 200_000;
/// The deepest nesting read: the tree is walked by recursion, which must not run out of stack.
pub(super) const NESTING_LIMIT: usize = 64;
/// The most strokes read, in all: more would fill the memory and is never one part.
pub(super) const STROKE_LIMIT: usize = 500_000;
/// The farthest from the page's corner that a shape may reach, in mm along x or y. Basis:
/// geometry; numbers of this size lie 5e-10 apart, half of what makes two points the same.
pub(super) const FARTHEST: f64 = 4_000_000.0;
/// The most `=` signs between two tags: the XML reader compares every attribute of an element
/// with every other, which takes minutes for many thousands.
const ATTRIBUTE_LIMIT: usize = 500;
/// The most namespaces declared: the XML reader copies them from element to element.
const NAMESPACE_LIMIT: usize = 10_000;
/// Nodes for each element: itself, the text between, a comment.
const NODES_AN_ELEMENT: u32 = 3;

/// The drawing's text, with where its lines start.
#[derive(Debug)]
pub(super) struct Text<'a> {
    name: &'a str,
    whole: &'a str,
    lines: Vec<usize>,
    /// How messages write lengths.
    pub(super) paper: Paper,
}

impl<'a> Text<'a> {
    /// The text in these bytes.
    pub(super) fn new(name: &'a str, bytes: &'a [u8], paper: Paper) -> Checked<Self> {
        let whole = Place::whole(Source::Drawing, name);
        if BYTE_LIMIT < bytes.len() {
            let found = format!("the drawing has {} bytes", bytes.len());
            return Err(Problem::stop(
                "svg-too-large",
                found,
                "save only the part's outline, without pictures and fonts",
            )
            .expected(format!("at most {BYTE_LIMIT} bytes"))
            .at(whole)
            .into());
        }
        if bytes.starts_with(&[0x1f, 0x8b]) {
            let hint = "save it unpacked, as plain SVG";
            return Err(Problem::stop("svg-packed", "the drawing is packed", hint)
                .at(whole)
                .into());
        }
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let end = error.valid_up_to();
            let line = bytes[..end].split(|&byte| byte == b'\n').count();
            let found = format!("byte {end} is not UTF-8 text");
            Problem::stop("svg-not-text", found, "save it as plain SVG in UTF-8")
                .at(Place { line: Some(line), ..whole })
        })?;
        let breaks = text.bytes().enumerate().filter(|&(_, byte)| byte == b'\n');
        let lines =
            std::iter::once(0).chain(breaks.map(|(index, _)| index + 1)).collect();
        Ok(Self { name, whole: text, lines, paper })
    }

    /// The text of a range; empty where the range is none of its own.
    pub(super) fn slice(&self, span: Range<usize>) -> &'a str {
        self.whole.get(span).unwrap_or("")
    }

    /// The place of some bytes.
    pub(super) fn place(&self, span: Range<usize>) -> Place {
        let line = self.lines.partition_point(|&start| start <= span.start);
        let whole = Place::whole(Source::Drawing, self.name);
        Place { line: Some(line), span: Some(span), ..whole }
    }

    /// The place of an element: its start tag's name, with its id.
    pub(super) fn place_of(&self, node: Node<'_, '_>) -> Place {
        let range = node.range();
        let end = self.slice(range.clone()).find('>').map_or(range.end, |at| {
            let end = range.start + at + 1;
            end.min(range.end)
        });
        self.place(range.start..end).element(label(node))
    }

    /// The XML tree. A document type does no harm where its entities are plain and few, such
    /// as names of namespaces; entities of entities may grow without bound and are not read.
    pub(super) fn parse(&self) -> Checked<Document<'a>> {
        self.check_attributes()?;
        let limit = u32::try_from(ELEMENT_LIMIT).unwrap_or(u32::MAX);
        let options = ParsingOptions {
            allow_dtd: self.entities_are_small(),
            nodes_limit: limit * NODES_AN_ELEMENT,
            ..ParsingOptions::default()
        };
        let document = Document::parse_with_options(self.whole, options)
            .map_err(|error| self.unreadable(&error))?;
        let elements = document.descendants().filter(Node::is_element).count();
        if ELEMENT_LIMIT < elements { Err(self.too_many().into()) } else { Ok(document) }
    }

    /// Refuses elements with so many attributes that reading them would not end. No attribute
    /// holds a `<`, so that all of an element's stand before the next one.
    fn check_attributes(&self) -> Checked<()> {
        let hint =
            "save the drawing as plain SVG, without scripts and a program's own notes";
        if NAMESPACE_LIMIT < self.whole.matches("xmlns").count() {
            let found = "the drawing declares too many namespaces";
            return Err(Problem::stop("svg-too-many-attributes", found, hint)
                .expected(format!("at most {NAMESPACE_LIMIT}"))
                .at(Place::whole(Source::Drawing, self.name))
                .into());
        }
        let mut start = 0_usize;
        for part in self.whole.split('<') {
            let is_tag = !(part.starts_with("![CDATA[") || part.starts_with("!--"));
            if is_tag && ATTRIBUTE_LIMIT < part.matches('=').count() {
                let found = "an element has too many attributes";
                return Err(Problem::stop("svg-too-many-attributes", found, hint)
                    .expected(format!(
                        "at most {ATTRIBUTE_LIMIT} `=` signs up to the next element"
                    ))
                    .at(self.place(start.saturating_sub(1)..start))
                    .into());
            }
            start += part.len() + 1;
        }
        Ok(())
    }

    /// Whether all entities, put in wherever anything is referred to, add no more than a
    /// drawing may have. None may refer to another.
    fn entities_are_small(&self) -> bool {
        let mut declared = self.whole.split("<!ENTITY").skip(1).map(|declaration| {
            let quote = declaration.find(['"', '\'']).map(|at| &declaration[at..=at]);
            quote.and_then(|quote| declaration.split(quote).nth(1)).unwrap_or("")
        });
        let n_references = self.whole.matches('&').count();
        declared.all(|value| {
            !value.contains(['&', '%', '<']) && value.len() * n_references <= BYTE_LIMIT
        })
    }

    /// The root, which must be an `svg`.
    pub(super) fn root<'d>(&self, document: &'d Document<'a>) -> Checked<Node<'d, 'a>> {
        let root = document.root_element();
        if root.tag_name().name() == "svg" {
            return Ok(root);
        }
        let found = format!("the file holds `{}`", root.tag_name().name());
        Err(Problem::stop("svg-not-svg", found, "save the drawing as plain SVG")
            .expected("`svg` as the outermost element")
            .at(self.place_of(root))
            .into())
    }

    fn unreadable(&self, error: &Error) -> Problem {
        match error {
            Error::DtdDetected | Error::EntityReferenceLoop(_) => self.doctype(),
            Error::NodesLimitReached => self.too_many(),
            Error::UnexpectedEndOfStream | Error::UnclosedRootNode => {
                let end = self.whole.trim_end().len();
                let last = self.whole[..end].char_indices().next_back();
                let hint =
                    "save the drawing anew, or copy it again: the rest of it is missing";
                Problem::stop("svg-cut-short", "the file breaks off before its end", hint)
                    .at(self.place(last.map_or(0, |(at, _)| at)..end))
            }
            _ => {
                let at = self.offset(error.pos());
                let found = format!("this is not well-formed XML: {error}");
                let hint =
                    "save the drawing anew as plain SVG, or mend the file at this line";
                Problem::stop("svg-xml", found, hint).at(self.place(at..at + 1))
            }
        }
    }

    fn doctype(&self) -> Problem {
        let at = self.whole.find("<!DOCTYPE").unwrap_or(0);
        let end = self.whole[at..].find(['\n', '>']).map_or(self.whole.len(), |n| at + n);
        let hint = "remove everything from `<!DOCTYPE` to its closing `>`; a drawing needs none of it";
        Problem::stop(
            "svg-doctype",
            "a document type whose entities hold elements or other entities, or grow too large",
            hint,
        )
        .at(self.place(at..end))
    }

    /// The problem of an element by which the drawing has too many strokes.
    pub(super) fn too_many_strokes(&self, node: Node<'_, '_>) -> Box<Problem> {
        let found = format!("with `{}` the drawing has too many strokes", label(node));
        let hint =
            "make the path simpler: a traced or scanned outline needs far fewer points";
        Problem::stop("svg-too-many-strokes", found, hint)
            .expected(format!("at most {STROKE_LIMIT} strokes"))
            .at(self.place_of(node))
            .into()
    }

    fn too_many(&self) -> Problem {
        let hint = "save only the part's outline; a traced picture must be simplified";
        Problem::stop("svg-too-many-elements", "the drawing is too large", hint)
            .expected(format!("at most {ELEMENT_LIMIT} elements"))
            .at(Place::whole(Source::Drawing, self.name))
    }

    /// The byte of a row and column, both from 1, the column in characters.
    fn offset(&self, at: TextPos) -> usize {
        let row = usize::try_from(at.row).unwrap_or(1);
        let column = usize::try_from(at.col).unwrap_or(1);
        let start = self.lines.get(row.max(1) - 1).copied().unwrap_or(0);
        let rest = self.whole.get(start..).unwrap_or("");
        let within = rest.char_indices().nth(column.max(1) - 1);
        start + within.map_or(rest.len(), |(index, _)| index)
    }
}

/// What an element is called in a message: `path#rail`, or `path` when it has no id.
pub(super) fn label(node: Node<'_, '_>) -> String {
    let tag = node.tag_name().name();
    node.attribute("id").map_or_else(|| tag.to_owned(), |id| format!("{tag}#{id}"))
}

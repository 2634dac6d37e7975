//! The page's own files, built in.

use crate::sheet::leaf_style;
use std::borrow::Cow;

/// A file of the page.
#[derive(Debug, Clone)]
pub(super) struct Asset {
    /// Its name; none for the page itself.
    pub(super) name: &'static str,
    /// What it is, as HTTP calls it.
    pub(super) kind: &'static str,
    /// What it holds.
    pub(super) text: Cow<'static, str>,
}

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";

const JS: &str = "text/javascript; charset=utf-8";

/// All of them.
pub(super) fn all() -> Vec<Asset> {
    let built_in = |name, kind, text| Asset { name, kind, text: Cow::Borrowed(text) };
    vec![
        built_in("", HTML, include_str!("files/index.html")),
        built_in("page.css", CSS, include_str!("files/page.css")),
        built_in("page.js", JS, include_str!("files/page.js")),
        built_in("ask.js", JS, include_str!("files/ask.js")),
        built_in("keep.js", JS, include_str!("files/keep.js")),
        built_in("desk.js", JS, include_str!("files/desk.js")),
        built_in("drawing.js", JS, include_str!("files/drawing.js")),
        built_in("notes.js", JS, include_str!("files/notes.js")),
        built_in("begin.js", JS, include_str!("files/begin.js")),
        built_in("bits.js", JS, include_str!("files/bits.js")),
        built_in("title_block.js", JS, include_str!("files/title_block.js")),
        built_in("leaves.js", JS, include_str!("files/leaves.js")),
        built_in("steps.js", JS, include_str!("files/steps.js")),
        built_in("make.js", JS, include_str!("files/make.js")),
        Asset { name: "sheet.css", kind: CSS, text: Cow::Owned(leaf_style()) },
    ]
}

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

/// All of them.
pub(super) fn all() -> Vec<Asset> {
    let built_in = |name, kind, text| Asset { name, kind, text: Cow::Borrowed(text) };
    vec![
        built_in("", HTML, include_str!("files/index.html")),
        Asset { name: "sheet.css", kind: CSS, text: Cow::Owned(leaf_style()) },
    ]
}

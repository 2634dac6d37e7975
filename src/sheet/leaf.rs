//! The sheets one by one, as the page lays them side by side, and the pictures of the set-ups.

use super::model::{Block, Picture, Sheets};
use super::{bench, html};

/// A sheet by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leaf {
    /// What it is called in an address: `rout-set-up-1-of-2`.
    pub key: String,
    /// Its title.
    pub title: String,
    /// The sheet: HTML, or SVG where it is a picture of a set-up.
    pub text: String,
}

/// All sheets of a plan, without the pictures of the set-ups, which stand apart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leaves {
    /// The sheets in working order.
    pub sheets: Vec<Leaf>,
    /// The pictures of the set-ups.
    pub pictures: Vec<Leaf>,
    /// What every sheet says at its foot, and single sheets besides.
    pub cautions: Vec<String>,
}

impl Leaves {
    pub(super) fn of(_job: &bench::Job<'_>, sheets: &Sheets) -> Self {
        let mut leaves =
            Self { sheets: Vec::new(), pictures: Vec::new(), cautions: Vec::new() };
        for (index, page) in sheets.pages.iter().enumerate() {
            if let [Block::Picture(Picture { svg, title, file: Some(_) })] =
                page.blocks.as_slice()
            {
                let (text, title) = (html::of_any_size(svg), title.clone());
                leaves.pictures.push(Leaf { key: key(&title), title, text });
                continue;
            }
            let (title, text) = (page.title.clone(), html::leaf(sheets, index));
            leaves.sheets.push(Leaf { key: key(&title), title, text });
            for caution in &page.cautions {
                let caution = without_letters(caution);
                if !leaves.cautions.contains(&caution) {
                    leaves.cautions.push(caution);
                }
            }
        }
        leaves
    }
}

/// A title as part of an address.
fn key(title: &str) -> String {
    super::file_stem(&title.to_lowercase())
}

/// A text without the letters of its footnotes.
fn without_letters(text: &str) -> String {
    let mut text = text.to_owned();
    for letter in 'a'..='z' {
        text = text.replace(&format!(" [{letter}]"), "");
    }
    text
}

/// The style of the sheets.
pub fn leaf_style() -> String {
    html::style()
}

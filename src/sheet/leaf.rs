//! The sheets one by one, as the page lays them side by side; the pictures of the set-ups, which
//! answer where they are pointed at; and the names of the files.

use super::model::{Block, Picture, Sheets};
use super::{answers, bench, html, kind_of, picture_name, put};
use crate::draw::svg_on_screen;
use crate::read::FileKind;
use std::collections::BTreeMap;

use answers::Answer;

/// A sheet by itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leaf {
    /// What it is known by: `rout-1`.
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
    /// The pictures of the set-ups: `setup-1`, …
    pub pictures: Vec<Leaf>,
    /// What is said of each thing that can be pointed at, by its key in the pictures.
    pub answers: BTreeMap<String, Answer>,
    /// What every sheet says at its foot, and single sheets besides.
    pub cautions: Vec<String>,
    /// The names and kinds of the files of the plan.
    pub files: Vec<(String, FileKind)>,
}

impl Leaves {
    pub(super) fn of(job: &bench::Job<'_>, sheets: &Sheets) -> Self {
        let mut leaves = Self {
            sheets: Vec::new(),
            pictures: Vec::new(),
            answers: answers::answers(job),
            cautions: Vec::new(),
            files: files(job, sheets),
        };
        for (index, page) in sheets.pages.iter().enumerate() {
            if let [Block::Picture(Picture { scene, title, file: Some(_) })] =
                page.blocks.as_slice()
            {
                let key = format!("setup-{}", leaves.pictures.len() + 1);
                let text = html::of_any_size(&svg_on_screen(scene, &key));
                leaves.pictures.push(Leaf { key, title: title.clone(), text });
                continue;
            }
            let (title, text) = (page.title.clone(), html::leaf(sheets, index));
            let key = leaves.free_key(&title);
            leaves.sheets.push(Leaf { key, title, text });
            for caution in &page.cautions {
                let caution = without_letters(caution);
                if !leaves.cautions.contains(&caution) {
                    leaves.cautions.push(caution);
                }
            }
        }
        leaves
    }

    /// A sheet's key by its title, unlike any before it.
    fn free_key(&self, title: &str) -> String {
        let first = key(title);
        let again = (2..).map(|number| format!("{first}-{number}"));
        let is_free = |key: &String| self.sheets.iter().all(|leaf| leaf.key != *key);
        std::iter::once(first.clone()).chain(again).find(is_free).unwrap_or(first)
    }
}

/// What a sheet is known by: that of a set-up by its number, others by their title.
fn key(title: &str) -> String {
    let number =
        title.strip_prefix("Rout, set-up ").and_then(|rest| rest.split(' ').next());
    number.map_or_else(
        || super::file_stem(&title.to_lowercase()),
        |number| format!("rout-{number}"),
    )
}

/// The files of the plan in the order of the bundle.
fn files(job: &bench::Job<'_>, sheets: &Sheets) -> Vec<(String, FileKind)> {
    let mut names: Vec<String> =
        ["-bench.html", "-bench.md"].map(|end| format!("{}{end}", job.stem)).to_vec();
    let n_pictures =
        sheets.pages.iter().flat_map(|page| &page.blocks).filter(|block| {
            matches!(block, Block::Picture(Picture { file: Some(_), .. }))
        });
    names.extend((0..n_pictures.count()).map(|at| picture_name(job.stem, at)));
    if job.shop.sheets.handout {
        let pages = ["-handout.html", "-answers.html"];
        names.extend(pages.map(|end| format!("{}{end}", job.stem)));
    }
    names.push(format!("{}-plan.json", job.stem));
    names.extend(job.program.iter().flat_map(|written| written.files.iter().cloned()));
    let wanted = &job.shop.files;
    let named = names.into_iter().map(|name| {
        let kind = kind_of(&name);
        (name, kind)
    });
    named.filter(|(_, kind)| wanted.is_empty() || wanted.contains(kind)).collect()
}

/// A text without the letters of its footnotes.
fn without_letters(text: &str) -> String {
    let mut text = text.to_owned();
    for letter in 'a'..='z' {
        text = text.replace(&format!(" [{letter}]"), "");
    }
    text
}

/// The style of the sheets, for what stands in a `.sheet`.
pub fn leaf_style() -> String {
    let mut out = String::new();
    for rule in html::style().lines().filter(|line| line.contains('{')) {
        put(&mut out, format_args!("{}\n", within(rule)));
    }
    out
}

/// A rule of the sheets' style as one of what stands in a `.sheet`; none of whole pages.
fn within(rule: &str) -> String {
    if rule.starts_with("@page") {
        return rule.to_owned();
    }
    if let Some(rest) = rule.strip_prefix("@media screen") {
        let _ = rest;
        return String::new();
    }
    let Some((who, how)) = rule.split_once('{') else { return String::new() };
    let who: Vec<String> = who
        .split(", ")
        .map(|one| match one.trim() {
            ":root" | "body" => ".sheet".to_owned(),
            one => format!(".sheet {one}"),
        })
        .collect();
    format!("{} {{{how}", who.join(", "))
}

//! What the page shows of a plan: the pictures of the set-ups, which answer where they are pointed
//! at, the names of the files; and, made by themselves, the sheets one by one.

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
    /// The sheet as HTML.
    pub text: String,
}

/// A picture of a set-up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawn {
    /// What it is known by: `setup-1`.
    pub key: String,
    /// Its title.
    pub title: String,
    /// The picture as SVG, where it is in sight.
    pub svg: Option<String>,
}

/// What is seen of a plan before its sheets are read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen {
    /// The pictures of the set-ups: `setup-1`, …
    pub pictures: Vec<Drawn>,
    /// What is said of each thing that can be pointed at, by its key in the pictures.
    pub answers: BTreeMap<String, Answer>,
    /// What the sheets say at their feet.
    pub cautions: Vec<String>,
    /// The names and kinds of the files of the plan.
    pub files: Vec<(String, FileKind)>,
}

impl Seen {
    /// What is seen while these pictures are in sight, by their keys; the first where none is.
    pub(super) fn of(job: &bench::Job<'_>, in_sight: &[String]) -> Self {
        let known = (0..bench::picture_titles(job).len()).map(picture_key);
        let none = !known.clone().any(|key| in_sight.contains(&key));
        let pictures = drawn(job, |index, key| {
            in_sight.iter().any(|seen| seen == key) || (none && index == 0)
        });
        Self {
            answers: answers::answers(job),
            cautions: bench::cautions(job).iter().map(|it| without_letters(it)).collect(),
            files: files(job, pictures.len()),
            pictures,
        }
    }
}

/// What the picture of a set-up is known by, by its index.
fn picture_key(index: usize) -> String {
    format!("setup-{}", index + 1)
}

/// The pictures as they are drawn on a screen, those that are wanted.
fn drawn(job: &bench::Job<'_>, is_wanted: impl Fn(usize, &str) -> bool) -> Vec<Drawn> {
    let titles = bench::picture_titles(job).into_iter().enumerate();
    let drawn = titles.map(|(index, title)| {
        let key = picture_key(index);
        let svg = is_wanted(index, &key).then(|| {
            let scene = bench::picture(job, index).scene;
            html::of_any_size(&svg_on_screen(&scene, &key))
        });
        Drawn { key, title, svg }
    });
    drawn.collect()
}

/// All sheets of a plan, and all its pictures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leaves {
    /// The sheets in working order, without the pictures of the set-ups.
    pub sheets: Vec<Leaf>,
    /// Those pictures.
    pub pictures: Vec<Drawn>,
}

impl Leaves {
    pub(super) fn of(job: &bench::Job<'_>, sheets: &Sheets) -> Self {
        Self { sheets: leaves(sheets), pictures: drawn(job, |_index, _key| true) }
    }
}

fn leaves(sheets: &Sheets) -> Vec<Leaf> {
    let mut leaves: Vec<Leaf> = Vec::new();
    for (index, page) in sheets.pages.iter().enumerate() {
        if let [Block::Picture(Picture { file: Some(_), .. })] = page.blocks.as_slice() {
            continue;
        }
        let (title, text) = (page.title.clone(), html::leaf(sheets, index));
        let key = free_key(&leaves, &title);
        leaves.push(Leaf { key, title, text });
    }
    leaves
}

/// A sheet's key by its title, unlike any before it.
fn free_key(before: &[Leaf], title: &str) -> String {
    let first = key(title);
    let again = (2..).map(|number| format!("{first}-{number}"));
    let is_free = |key: &String| before.iter().all(|leaf| leaf.key != *key);
    std::iter::once(first.clone()).chain(again).find(is_free).unwrap_or(first)
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
fn files(job: &bench::Job<'_>, n_pictures: usize) -> Vec<(String, FileKind)> {
    let mut names: Vec<String> =
        ["-bench.html", "-bench.md"].map(|end| format!("{}{end}", job.stem)).to_vec();
    names.extend((0..n_pictures).map(|at| picture_name(job.stem, at)));
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

//! What a sheet holds, before it becomes a page or Markdown: one model, two writers.

use crate::draw::Scene;
use crate::shop::defaults::Basis;

/// All sheets of a plan, in working order.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheets {
    /// The job's name.
    pub(super) name: String,
    /// The plan's short id.
    pub(super) id: String,
    /// What they are: `plan`, or something that nobody must take for one.
    pub(super) what: &'static str,
    /// The unit of every length, in words for the box on each sheet.
    pub(super) units: String,
    /// The sheets, each a page.
    pub(super) pages: Vec<Sheet>,
}

/// What sheets to work by are called.
pub(super) const PLAN: &str = "plan";

/// One sheet: a page.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheet {
    /// Its title.
    pub(super) title: String,
    /// What it holds, from top to bottom.
    pub(super) blocks: Vec<Block>,
    /// The shop's own rules and the cautions, at its foot.
    pub(super) cautions: Vec<String>,
    /// The bases its figures stand on, in the order of their letters.
    pub(super) bases: Vec<Basis>,
    /// The unit of its lengths in words, where it is not that of the other sheets.
    pub(super) units: Option<String>,
    /// How large its type is.
    pub(super) set: Set,
}

/// How large a sheet's type is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Set {
    /// As large as the bench likes it.
    Plain,
    /// Smaller, so that it fits its page.
    Tight,
    /// As small as a page that gathers everything must be.
    Small,
}

/// One block of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Block {
    /// A heading within the sheet.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// Steps in order, each with a number and a box to tick, counted from the first number.
    Steps(usize, Vec<String>),
    /// Lines to tick in any order.
    Checks(Vec<String>),
    /// A table.
    Table(Table),
    /// A picture, which fills a page of its own.
    Picture(Picture),
    /// A picture among the text, so high in mm.
    Drawing(Scene, f64),
    /// A point where the work stops until somebody has looked: what to show.
    Hold(&'static str),
    /// Something to heed, with its weight in words.
    Note(&'static str, String),
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Table {
    /// The heads of its columns.
    pub(super) head: Vec<String>,
    /// Its rows.
    pub(super) rows: Vec<Vec<String>>,
    /// The columns of numbers to cut to, which are set large.
    pub(super) large: Vec<usize>,
}

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Picture {
    /// What is drawn.
    pub(super) scene: Scene,
    /// What it shows.
    pub(super) title: String,
    /// The file it is also written to, if any.
    pub(super) file: Option<String>,
}

impl Sheet {
    /// An empty sheet.
    pub(super) fn new(title: impl Into<String>) -> Self {
        let title = title.into();
        let (blocks, cautions, bases) = (Vec::new(), Vec::new(), Vec::new());
        Self { title, blocks, cautions, bases, units: None, set: Set::Plain }
    }

    /// Adds a heading.
    pub(super) fn heading(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Heading(text.into()));
    }

    /// Adds a paragraph.
    pub(super) fn paragraph(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Paragraph(text.into()));
    }

    /// Adds a table, unless it would be empty.
    pub(super) fn table(
        &mut self,
        head: &[&str],
        rows: Vec<Vec<String>>,
        large: &[usize],
    ) {
        if !rows.is_empty() {
            let head = head.iter().map(|&word| word.to_owned()).collect();
            self.blocks.push(Block::Table(Table { head, rows, large: large.to_vec() }));
        }
    }

    /// Adds lines to tick.
    pub(super) fn checks(&mut self, lines: impl IntoIterator<Item = String>) {
        self.blocks.push(Block::Checks(lines.into_iter().collect()));
    }

    /// A figure with the letter of its basis: `1.6 mm [a]`.
    pub(super) fn figure(
        &mut self,
        figure: impl std::fmt::Display,
        basis: Basis,
    ) -> String {
        let known = self.bases.iter().position(|other| *other == basis);
        let index = known.unwrap_or_else(|| {
            self.bases.push(basis);
            self.bases.len() - 1
        });
        format!("{figure} [{}]", letter(index))
    }
}

/// The letter of a footnote, by its index.
pub(super) fn letter(index: usize) -> char {
    ('a'..='z').nth(index).unwrap_or('*')
}

//! Reads a program's finished text as a stranger would, and judges it.
//!
//! Imports only `units`, `diag`, `read`, `shop`, `post` and the plain types of `geom`: nothing
//! of plan, reach, path or program vouches for itself here.

mod adrift;

mod arc;

mod astray;

mod bench;

mod bite;

mod beside;

mod cut;

mod cuts;

mod cycle;

mod distance;

mod edge;

mod gouge;

mod judgement;

mod keep_out;

mod laps;

mod layout;

mod left;

mod loose;

mod mark;

mod order;

mod promise;

mod reader;

mod relief;

mod runs;

mod short;

mod slope;

mod state;

mod tree;

mod verdict;

mod way;

mod wood;

mod words;

pub use judgement::{Judgement, judge};
pub use promise::{Hold, Pledge, Promise, Relief, Wood, tab_top};
pub use reader::{Move, Program, Step, read};
pub use verdict::{Fault, Rule, Verdict};
pub use way::{Way, ways};
pub use wood::on_wood;

use crate::diag::Problems;
use crate::geom::{Bounds, Point};
use crate::post::Spindle;
use crate::shop::Tool;
use crate::units::Unit;
use sha2::{Digest, Sha256};

/// A program's text before the proof. Only the proof reads it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    text: String,
}

impl Candidate {
    /// The candidate with this text.
    pub const fn new(text: String) -> Self {
        Self { text }
    }
}

/// Reads the programs of a job's tools back, in the order in which they run, and judges them
/// together by a promise.
///
/// # Errors
/// The verdict names every rule broken, with line and place.
pub fn prove(
    candidates: Vec<Candidate>,
    promise: &Promise,
) -> Result<ProvedProgram, Verdict> {
    let texts: Vec<String> = candidates.into_iter().map(|one| one.text).collect();
    let read: Vec<&str> = texts.iter().map(String::as_str).collect();
    let judgement = judge(&read, promise);
    let Some(figures) = judgement.figures.clone().filter(|_| judgement.is_right()) else {
        return Err(Verdict { faults: judgement.faults() });
    };
    let digest = digest(&texts, promise);
    let ways = ways(&read, promise);
    let extension = promise.dialect.extension.clone();
    let notes = Vec::new();
    let tools = promise.tools().into_iter();
    let tools = tools.map(|(tool, machine)| (tool, machine.end_mill.mm())).collect();
    Ok(ProvedProgram { texts, tools, ways, extension, figures, digest, notes })
}

/// A digest of texts and of the promise they were judged by.
fn digest(texts: &[String], promise: &Promise) -> String {
    let mut hash = Sha256::new();
    hash.update(format!("{promise:?}"));
    for text in texts {
        hash.update(text);
    }
    let mut text = String::new();
    for byte in hash.finalize() {
        for half in [byte >> 4, byte & 15] {
            text.extend(char::from_digit(u32::from(half), 16));
        }
    }
    text
}

/// What the proof found, in mm and minutes.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// The program's zero in the drawing's frame.
    pub work_zero: Point,
    /// The end mill's diameter.
    pub end_mill: f64,
    /// How far it goes below the stock.
    pub through_depth: f64,
    /// The deepest cut into the template, 0 if none.
    pub gouge: f64,
    /// The most left standing where it should be cut, tabs and what the mill cannot reach apart.
    pub leftover: f64,
    /// The length of all moves at feed.
    pub path_length: f64,
    /// How long it takes at least: length over feed.
    pub minutes: f64,
    /// How long it takes on a machine that must speed up and slow down; as above until told.
    pub likely_minutes: f64,
    /// The middles of the tabs.
    pub tabs: Vec<Point>,
    /// Where X and Y go, in the program's own frame.
    pub travel: Bounds,
    /// The deepest Z, in the program's own frame.
    pub deepest: f64,
    /// Lines of text.
    pub lines: usize,
    /// The unit of the program's own numbers.
    pub units: Unit,
    /// Who switches the spindle.
    pub spindle: Spindle,
}

/// Programs that were read back and found right, one for each tool. Only the proof makes them,
/// and only these can be saved, shown or downloaded.
#[derive(Debug, Clone, PartialEq)]
pub struct ProvedProgram {
    texts: Vec<String>,
    tools: Vec<(Tool, f64)>,
    ways: Vec<Way>,
    extension: String,
    figures: Figures,
    digest: String,
    notes: Problems,
}

impl ProvedProgram {
    /// The exact text of the last of them, the end mill's.
    pub fn text(&self) -> &str {
        self.texts.last().map_or("", String::as_str)
    }

    /// The exact texts, in the order in which they run.
    pub fn texts(&self) -> &[String] {
        &self.texts
    }

    /// What they sweep.
    pub fn ways(&self) -> &[Way] {
        &self.ways
    }

    /// The tool of each of them, and how wide it is.
    pub fn tools(&self) -> &[(Tool, f64)] {
        &self.tools
    }

    /// The ending of its file's name, without the dot.
    pub fn extension(&self) -> &str {
        &self.extension
    }

    /// What the proof found.
    pub const fn figures(&self) -> &Figures {
        &self.figures
    }

    /// What was said about how it came to be: holes it does not cut, for instance.
    pub fn notes(&self) -> &[crate::diag::Problem] {
        &self.notes
    }

    /// The same program, with notes and how long it is likely to take.
    #[must_use]
    pub(crate) fn with_told(mut self, notes: Problems, likely_minutes: f64) -> Self {
        self.notes = notes;
        self.figures.likely_minutes = likely_minutes;
        self
    }

    /// A digest of its bytes and of the promise it was judged by.
    pub fn digest(&self) -> &str {
        &self.digest
    }
}

#[cfg(test)]
mod tests;

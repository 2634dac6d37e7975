//! A job's TOML → [`Job`]. Every key is listed with an example in `samples/JOB.md`.
//!
//! Unknown keys are problems, never dropped: a misspelt `bearing` must not mean "no bearing".

mod machine;

mod reader;

mod shape;

mod sizes;

mod rack;

mod joint;

mod mate;

mod readings;

mod wishes;

pub use rack::rack;
pub use readings::readings;
pub use sizes::Setting;

use std::collections::BTreeMap;

use toml::de::DeTable;

use super::words;
use super::{BitText, Checked, Job, SheetWish, Terms};
use crate::diag::{Failure, Outcome, Place, Problem, Source, Told};
use crate::units::{Mm, Unit};
use reader::{Reader, Section};

/// The largest job read, in bytes: a job is written by hand.
const BYTE_LIMIT: usize = 1_000_000;

/// The keys of a job.
const KEYS: [&str; 34] = [
    "name",
    "units",
    "paper",
    "fraction",
    "fit",
    "grain",
    "grain-kind",
    "strips",
    "thick",
    "width",
    "species",
    "sizes",
    "bits",
    "rack",
    "bearing",
    "cut-length",
    "work",
    "leave",
    "make",
    "hand",
    "handed",
    "hold-points",
    "handout",
    "reference-edge",
    "reference-end",
    "files",
    "shop-rules",
    "outline",
    "board",
    "joint",
    "mate",
    "edges",
    "template",
    "machine",
];

/// Reads a job; `name` is its file's name.
///
/// # Errors
/// [`Failure::Input`] with every problem found.
///
/// ```
/// let text = r#"
/// units = "mm"
/// thick = 18
/// bits = ["12.7mm pattern"]
/// [outline]
/// start = [0, 0]
/// steps = ["right 100", "up 60", "left 60 as shoulder", "close"]
/// "#;
/// let job = spelch::read::job("wedge.toml", text).unwrap().value;
/// assert_eq!(job.name.as_deref(), Some("wedge"));
/// assert_eq!(job.thick.unwrap().mm(), 18.0);
/// ```
pub fn job(name: &str, text: &str) -> Outcome<Job> {
    job_with(name, text, &Given::default())
}

/// What the command gives before a job is read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Given {
    /// The unit of bare lengths where the job does not say itself.
    pub units: Option<Unit>,
    /// Sizes laid over the job's own.
    pub set: Vec<Setting>,
}

/// Reads a job with what the command gives.
///
/// # Errors
/// As [`job`], and settings of sizes that the job has not.
pub fn job_with(name: &str, text: &str, given: &Given) -> Outcome<Job> {
    if BYTE_LIMIT < text.len() {
        let found = format!("the job has {} bytes", text.len());
        let hint = "put the outline in a drawing, and name it with `outline.drawing`";
        let problem = Problem::stop("job-too-large", found, hint)
            .expected(format!("at most {BYTE_LIMIT} bytes"))
            .at(Place::whole(Source::Job, name));
        return Err(Failure::input(problem));
    }
    let document = DeTable::parse(text)
        .map_err(|error| Failure::input(unreadable(name, text, &error)))?;
    let root = Section { name: "", table: document.get_ref() };
    let mut first = Reader::new(name, text, given.units.into());
    let units = first.text(root, "units");
    let units = units.and_then(|(text, at)| first.keep(words::units_text(text, &at)));
    let units = units.or(given.units);
    first.units = units.into();
    let named = sizes::named(&mut first, root, given);
    let mut reader = Reader::new(name, text, Terms::new(units, &named.sizes));
    reader.problems = first.problems;
    let mut job = Job { units, thick: named.thick, width: named.width, ..Job::default() };
    read(&mut reader, root, &mut job);
    job.keys = keys(&reader, root);
    let problems = std::mem::take(&mut reader.problems);
    drop(reader);
    job.sizes = named.sizes;
    if problems.is_empty() {
        return Ok(Told { value: job, notes: Vec::new() });
    }
    Err(Failure::Input(problems))
}

/// Where the keys of a job and of its machine stand, and under no name the end of its last line: there a key that is
/// missing can be added.
fn keys(reader: &Reader<'_>, root: Section<'_>) -> BTreeMap<String, Place> {
    let end = reader.text.trim_end().len();
    let end = (String::new(), reader.place(end..end));
    let machine = root.table.get("machine").and_then(|value| value.get_ref().as_table());
    let own = machine.map(|table| Section { name: "machine", table });
    let of_section = |section: Section<'_>| {
        let keys = section.table.keys().map(|key| {
            let name = section.key(key.get_ref());
            (name.clone(), reader.place(key.span()).element(&name))
        });
        keys.collect::<Vec<_>>()
    };
    let all = [root].into_iter().chain(own).flat_map(of_section);
    all.chain([end]).collect()
}

fn unreadable(name: &str, text: &str, error: &toml::de::Error) -> Problem {
    let place = Place::whole(Source::Job, name);
    let place = match error.span() {
        Some(span) => place.bytes(span, text),
        None => place,
    };
    let found = format!("this is not TOML: {}", error.message().trim_end_matches('.'));
    let hint = "write `key = value`, texts and lengths with a unit in quotes, lists in `[` and `]`";
    Problem::stop("job-not-toml", found, hint).at(place)
}

fn read<'t>(reader: &mut Reader<'t>, root: Section<'t>, job: &mut Job) {
    reader.only(root, &KEYS);
    job.name = reader.text(root, "name").map(|(name, _)| name.trim().to_owned());
    job.name = job.name.take().filter(|name| !name.is_empty());
    job.name = job.name.take().or_else(|| Some(super::stem(reader.name)));
    stock(reader, root, job);
    tools(reader, root, job);
    job.shape = shape::shape(reader, root);
    job.known_size = shape::known_size(reader, root, "outline");
    job.pick = shape::pick(reader, root, "outline");
    job.roles = wishes::roles(reader, root, "edges");
    job.mate = mate::mate(reader, root);
    job.template = wishes::template(reader, root);
    job.machine = machine::machine(reader, root);
}

/// The wood and the paper.
fn stock<'t>(reader: &mut Reader<'t>, root: Section<'t>, job: &mut Job) {
    job.paper = word(reader, root, "paper", words::units_text);
    job.fraction = word(reader, root, "fraction", words::fraction_text);
    job.fit = reader.size(root, "fit");
    let terms = reader.units;
    let grain = |text: &str, place: &Place| words::grain_text(text, terms, place);
    job.grain = word(reader, root, "grain", grain);
    job.grain_kind = word(reader, root, "grain-kind", words::grain_kind_text);
    job.strips = wishes::strips(reader, root);
    job.species = reader.text(root, "species").map(|(text, _)| text.trim().to_owned());
    job.count = word(reader, root, "make", count_text);
    job.shop_rules = texts(reader, root, "shop-rules");
    job.hand = word(reader, root, "hand", words::hand_text);
    job.reference_edge = word(reader, root, "reference-edge", words::edge_side_text);
    job.reference_end = word(reader, root, "reference-end", words::end_side_text);
    job.sheets = SheetWish {
        left_handed: word(reader, root, "handed", words::handed_text) == Some(true),
        hold_points: reader.flag(root, "hold-points") == Some(true),
        handout: reader.flag(root, "handout") == Some(true),
    };
    for value in reader.list(root, "files") {
        if let Some((text, place)) = reader.as_text(value) {
            job.files.extend(reader.keep(words::file_text(text, &place)));
        }
    }
}

/// The bits and the ways of working.
fn tools<'t>(reader: &mut Reader<'t>, root: Section<'t>, job: &mut Job) {
    for value in reader.list(root, "bits") {
        if let Some((text, place)) = reader.as_text(value) {
            job.bits.push(BitText { text: text.to_owned(), place });
        }
    }
    job.rack_file = reader.text(root, "rack").map(|(text, _)| text.trim().to_owned());
    job.bearing = reader.word(root, "bearing").and_then(|(text, place)| {
        let units = reader.units;
        reader.keep(words::diameter_text(&text, units, &place))
    });
    job.cut_length = reader.size(root, "cut-length");
    job.stations = word(reader, root, "work", words::stations_text).unwrap_or_default();
    job.leave = amount(reader, root, "leave");
}

/// A word of a key, read by `read`.
fn word<'t, T>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    key: &str,
    read: impl Fn(&str, &Place) -> Checked<T>,
) -> Option<T> {
    let (text, place) = reader.word(section, key)?;
    reader.keep(read(&text, &place))
}

/// A length of zero or more.
fn amount<'t>(reader: &mut Reader<'t>, section: Section<'t>, key: &str) -> Option<Mm> {
    let (text, place) = reader.word(section, key)?;
    let units = reader.units;
    reader.keep(words::amount_text(&text, units, &place))
}

/// A list of texts.
fn texts<'t>(reader: &mut Reader<'t>, section: Section<'t>, key: &str) -> Vec<String> {
    let values = reader.list(section, key);
    let texts = values.into_iter().filter_map(|value| reader.as_text(value));
    texts.map(|(text, _)| text.trim().to_owned()).collect()
}

/// How many to make.
///
/// # Errors
/// `count-unreadable`.
pub fn count_text(text: &str, place: &Place) -> Checked<u32> {
    /// More is no job for one person at a router (from memory).
    const MOST: u32 = 10_000;
    match text.trim().parse() {
        Ok(count) if (1..=MOST).contains(&count) => Ok(count),
        _ => {
            let found = format!("`{text}` is no number of pieces");
            let hint = "write how many to make, like `4`";
            let problem = Problem::stop("count-unreadable", found, hint);
            Err(problem
                .expected("a whole number from 1 to 10000")
                .at(place.clone())
                .into())
        }
    }
}

#[cfg(test)]
mod tests;

#[cfg(test)]
mod page;

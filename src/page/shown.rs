//! What the page is given to show: everything that stands on it, in words and drawings.

use super::desk::Desk;
use super::fields::{Field, fields, file_words};
use super::hints::on_page;
use super::rack::BitShown;
use crate::diag::{Failure, Problem};
use crate::grain::of_mirror_image;
use crate::outline::{Call, Edge};
use crate::prove::ProvedProgram;
use crate::read::{FileKind, Role};
use crate::sheet::{Answer, Drawn, Leaf, Leaves, Seen};
use crate::units::Paper;
use crate::work::Planned;
use serde::Serialize;
use std::collections::BTreeMap;

/// More edges than this cannot be told what is done to them: no person goes through them one by
/// one (from memory).
const MOST_EDGES: usize = 200;

/// What came of a request.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub(super) enum Came {
    /// A plan.
    Plan {
        /// What is shown of it.
        shown: Box<Shown>,
    },
    /// No plan.
    None(Box<Refused>),
}

/// All that the page shows of a plan but for its sheets.
#[derive(Debug, Serialize)]
pub(super) struct Shown {
    desk: Desk,
    id: String,
    name: String,
    notes: Vec<Note>,
    pictures: Vec<PictureShown>,
    answers: BTreeMap<String, AnswerShown>,
    bits: Vec<BitShown>,
    edges: Vec<EdgeShown>,
    grain: Grain,
    fields: Vec<Field>,
    files: Vec<FileShown>,
    cautions: Vec<String>,
    programs: Vec<ProgramShown>,
    refused: Option<Note>,
}

/// Why there is no plan.
#[derive(Debug, Serialize)]
pub(super) struct Refused {
    /// The desk as it stands.
    pub(super) desk: Desk,
    /// What is wrong.
    pub(super) problems: Vec<Note>,
    /// What could be read, the places marked on it.
    pub(super) drawing: Option<String>,
    /// The file that the job names and the desk has not.
    pub(super) wants: Option<String>,
    /// What the person can write.
    pub(super) fields: Vec<Field>,
    /// What the job is called as a file.
    pub(super) job_file: String,
}

/// Something to know, or what stands in the way.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Note {
    weight: &'static str,
    id: &'static str,
    text: String,
    hint: String,
    place: Option<String>,
    answer: Option<String>,
}

/// The sheets of a plan, and all its pictures.
#[derive(Debug, Serialize)]
pub(super) struct Sheets {
    sheets: Vec<SheetShown>,
    pictures: Vec<PictureShown>,
}

#[derive(Debug, Serialize)]
struct SheetShown {
    key: String,
    title: String,
    html: String,
}

#[derive(Debug, Serialize)]
struct PictureShown {
    key: String,
    title: String,
    svg: Option<String>,
}

#[derive(Debug, Serialize)]
struct AnswerShown {
    title: String,
    lines: Vec<String>,
    edge: Option<String>,
}

#[derive(Debug, Serialize)]
struct EdgeShown {
    name: String,
    words: String,
    /// Whether it stands in the list of edges, and not only where it is pointed at.
    listed: bool,
    role: &'static str,
    roles: [&'static str; 3],
}

#[derive(Debug, Serialize)]
struct Grain {
    degrees: f64,
    /// That of the mirror image of what is drawn.
    mirrored: f64,
}

#[derive(Debug, Serialize)]
struct FileShown {
    name: String,
    kind: &'static str,
    label: String,
    key: Option<String>,
}

#[derive(Debug, Serialize)]
struct ProgramShown {
    file: String,
    lines: usize,
    proved: bool,
}

/// A plan, and what was found out beside it.
pub(super) struct Beside {
    /// The bits to choose from.
    pub(super) bits: Vec<BitShown>,
    /// Why there is no program, where one was asked for.
    pub(super) refused: Option<Problem>,
}

/// What is shown of a plan, with the file of the rack that its job names.
pub(super) fn shown(
    (desk, rack): (&Desk, Option<&str>),
    planned: &Planned,
    (seen, beside): (Seen, Beside),
) -> Shown {
    let Seen { pictures, answers, cautions, files } = seen;
    let Planned { plan, shop, id, .. } = planned;
    let fields = fields(&desk.job);
    let words = (shop.paper, fields.as_slice());
    let numbered = plan.notes.iter().enumerate();
    Shown {
        desk: desk.clone(),
        id: id.clone(),
        name: shop.name.clone(),
        notes: numbered
            .map(|(index, problem)| {
                let answer = Some(format!("note-{}", index + 1));
                Note { answer, ..note(problem, words) }
            })
            .collect(),
        pictures: pictures_shown(pictures),
        answers: answers
            .into_iter()
            .map(|(key, Answer { title, lines, edge })| {
                (key, AnswerShown { title, lines, edge })
            })
            .collect(),
        bits: beside.bits,
        edges: edges(planned),
        grain: Grain {
            degrees: tenths(shop.stock.grain),
            mirrored: tenths(of_mirror_image(shop.stock.grain)),
        },
        programs: programs(planned, &files),
        files: files_shown(&files, &planned.stem(), rack),
        cautions,
        refused: beside.refused.map(|problem| note(&problem, words)),
        fields,
    }
}

fn tenths(degrees: f64) -> f64 {
    (degrees * 10.0).round() / 10.0
}

fn pictures_shown(drawn: Vec<Drawn>) -> Vec<PictureShown> {
    let drawn = drawn.into_iter();
    drawn.map(|Drawn { key, title, svg }| PictureShown { key, title, svg }).collect()
}

/// The sheets of a plan, which are read after what is seen of it.
pub(super) fn sheets(planned: &Planned) -> Sheets {
    let Leaves { sheets, pictures } = planned.leaves();
    let sheets = sheets.into_iter();
    let sheets =
        sheets.map(|Leaf { key, title, text }| SheetShown { key, title, html: text });
    Sheets { sheets: sheets.collect(), pictures: pictures_shown(pictures) }
}

/// The edges, each once by what a job can call it; where that is a place, only those of what was
/// drawn: the halves of a joint have places of their own.
fn edges(planned: &Planned) -> Vec<EdgeShown> {
    let mut shown: Vec<EdgeShown> = Vec::new();
    let called = planned.plan.parts.iter().flat_map(|part| {
        let calls = part.outline.calls();
        let edges = part.outline.edges.iter();
        edges.filter_map(move |edge| Some((edge, calls.of(edge)?)))
    });
    let is_joint = planned.joint.is_some();
    let can_be_said = |call: &Call| !(is_joint && matches!(call, Call::At(_)));
    for (edge, call) in called.filter(|(_, call)| can_be_said(call)) {
        if let Some(same) = shown.iter_mut().find(|other| other.name == call.key()) {
            if same.role != edge.role.words() {
                same.role = "some of each";
            }
        } else if shown.len() < MOST_EDGES {
            shown.push(edge_shown(edge, &call, planned.shop.paper));
        }
    }
    shown
}

fn edge_shown(edge: &Edge, call: &Call, paper: Paper) -> EdgeShown {
    let words = match call {
        Call::Facing(side) => format!("{} side", side.word()),
        Call::Named(_) | Call::At(_) => call.words(paper),
    };
    let roles = [Role::Rout, Role::TrueAlready, Role::GoesOn].map(Role::words);
    let listed = !matches!(call, Call::At(_)) || edge.role != Role::Rout;
    EdgeShown { name: call.key(), words, listed, role: edge.role.words(), roles }
}

/// The files in the order to list them: those of the plan, the pattern, the job, its rack.
fn files_shown(
    of_plan: &[(String, FileKind)],
    stem: &str,
    rack: Option<&str>,
) -> Vec<FileShown> {
    let mut n_pictures = 0;
    let mut files: Vec<FileShown> = of_plan
        .iter()
        .map(|(name, kind)| {
            let (word, label) = file_words(*kind);
            let (mut label, mut key) = (label.to_owned(), None);
            if *kind == FileKind::Pictures {
                n_pictures += 1;
                label = format!("{label} of set-up {n_pictures}");
                key = Some(format!("setup-{n_pictures}"));
            } else if name.ends_with("-handout.html") {
                "A pupil's sheet".clone_into(&mut label);
            } else if name.ends_with("-answers.html") {
                "Its answers".clone_into(&mut label);
            }
            FileShown { name: name.clone(), kind: word, label, key }
        })
        .collect();
    for (end, kind, label) in [
        ("-pattern-a4.pdf", "pattern", "Full-size pattern on A4"),
        ("-pattern-letter.pdf", "pattern", "Full-size pattern on Letter"),
        (".toml", "job", "The job, to go on with another day"),
    ] {
        let (name, label) = (format!("{stem}{end}"), label.to_owned());
        files.push(FileShown { name, kind, label, key: None });
    }
    files.extend(rack.map(|rack| FileShown {
        name: rack.to_owned(),
        kind: "rack",
        label: "The bit rack of the job, to lie beside it".to_owned(),
        key: None,
    }));
    files
}

fn programs(planned: &Planned, files: &[(String, FileKind)]) -> Vec<ProgramShown> {
    let names = files.iter().filter(|(_, kind)| *kind == FileKind::Program);
    let texts = planned.program.iter().flat_map(ProvedProgram::texts);
    names
        .zip(texts)
        .map(|((file, _), text)| ProgramShown {
            file: file.clone(),
            lines: text.lines().count(),
            proved: true,
        })
        .collect()
}

/// What is said where there is no plan.
pub(super) fn notes_of(failure: &Failure, words: (Paper, &[Field])) -> Vec<Note> {
    failure.problems().iter().map(|problem| note(problem, words)).collect()
}

/// A problem in the words of the desk's paper and fields.
fn note(problem: &Problem, (paper, fields): (Paper, &[Field])) -> Note {
    let Problem { id, weight, found, expected, hint, .. } = problem;
    let text = if expected.is_empty() {
        found.clone()
    } else {
        format!("{found}; expected {expected}")
    };
    let place = whereabouts(problem, paper);
    let hint = on_page(hint, fields);
    Note { weight: weight.word(), id, text, hint, place, answer: None }
}

/// Where a problem stands, in words.
fn whereabouts(problem: &Problem, paper: Paper) -> Option<String> {
    let place = problem.place.as_ref()?;
    let line = place.line.map(|line| format!("in {} line {line}", place.name));
    let all: Vec<String> = line.into_iter().chain(problem.whereabouts(paper)).collect();
    (!all.is_empty()).then(|| all.join(", "))
}

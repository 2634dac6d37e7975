//! `prove`: programs are read back as a stranger would and judged by a job; nothing is written.

use super::Answer;
use super::args::{Format, ProveArgs};
use super::show::all_shown;
use super::verbs::{Reader, as_text, failed, whole_job};
use crate::diag::{Failure, Place, Problem, Source, Told};
use crate::files;
use crate::geom::{Piece, Point};
use crate::prove::{Fault, Figures, Hold, Judgement, Pledge, Relief};
use crate::units::Paper;
use crate::work::{self, Judged};
use serde_json::{Value, json};
use std::path::Path;

/// Carries it out.
pub(super) fn prove(args: &ProveArgs) -> Answer {
    let reader = Reader::default();
    let done = judged(args, &reader);
    done.unwrap_or_else(|failure| {
        failed(&failure, args.job.said.format, &reader.texts.borrow())
    })
}

fn judged(args: &ProveArgs, reader: &Reader) -> Result<Answer, Failure> {
    let (job, folder) = whole_job(args.input.as_deref(), &args.job, reader)?;
    let mut texts = Vec::new();
    for program in &args.programs {
        let bytes = reader.program(program);
        let bytes = bytes.map_err(|problem| Failure::input(*problem))?;
        let place = Place::whole(Source::Program, program.as_str());
        texts.push(as_text(&bytes, &place)?.to_owned());
    }
    let load = |name: &str| reader.bytes(&folder.join(name), name);
    let programs: Vec<&str> = texts.iter().map(String::as_str).collect();
    let Told { value, notes } = work::judge_programs(&job, &load, &programs)?;
    let judgement = &value.judgement;
    if let Some(file) = &args.picture {
        files::write(Path::new(file), value.picture.as_bytes(), false)?;
    }
    let code = u8::from(!judgement.is_right());
    let read = reader.texts.borrow();
    let answer = match args.job.said.format {
        Format::Json => Answer { code, data: as_data(args, &value), talk: String::new() },
        Format::Human => {
            let mut talk = all_shown(&notes, &read);
            let faults = [&judgement.legal, &judgement.bench, &judgement.cut];
            let faults = faults.into_iter().flatten();
            let problems: Vec<_> =
                faults.map(|fault| problem(args, fault, &value)).collect();
            talk += &all_shown(&problems, &read);
            Answer { code, data: in_words(judgement, value.paper), talk }
        }
    };
    Ok(answer)
}

/// A fault as a problem at its line, its place told as the machine shows it.
fn problem(args: &ProveArgs, fault: &Fault, judged: &Judged) -> Problem {
    let name = args.programs.get(fault.program).map_or("program", String::as_str);
    let mut place = Place::whole(Source::Program, name);
    place.line = (0 < fault.line).then_some(fault.line);
    let on_machine = |at: Point| at - judged.work_zero;
    let at = fault.at.map(on_machine);
    place.spot = at.map(|at| judged.paper.point((at.x, at.y)));
    Problem::stop(fault.rule.id(), fault.text.as_str(), fault.rule.advice()).at(place)
}

/// The verdicts and what was found, a line each.
fn in_words(judgement: &Judgement, paper: Paper) -> String {
    let verdict = |name: &str, faults: &[Fault], read: bool| match (faults.len(), read) {
        (0, true) => format!("{name}: yes\n"),
        (0, false) => format!("{name}: not judged before that is mended\n"),
        (1, _) => format!("{name}: NO, 1 fault\n"),
        (count, _) => format!("{name}: NO, {count} faults\n"),
    };
    let read = judgement.legal.is_empty();
    let mut words = verdict("legal", &judgement.legal, true)
        + &verdict("fit for the bench", &judgement.bench, read)
        + &verdict("cuts what it should", &judgement.cut, read);
    if let Some(figures) = &judgement.figures {
        words += &figures_in_words(figures, paper);
    }
    words += if judgement.is_right() {
        "proved: it may run; watch the first lap, hand on the stop\n"
    } else {
        "NOT proved: do not run it\n"
    };
    words
}

fn figures_in_words(figures: &Figures, paper: Paper) -> String {
    let Figures { gouge, leftover, tabs, travel, deepest, path_length, .. } = figures;
    let size = |mm: f64| paper.decimals(mm, 3);
    format!(
        "deepest cut past the line {}, most left where an edge is cut {}, {} tabs\n\
         X {} to {}, Y {} to {}, lowest Z {}; {} at feed\n",
        paper.decimals(*gouge, 4),
        paper.decimals(*leftover, 4),
        tabs.len(),
        size(travel.low.x),
        size(travel.high.x),
        size(travel.low.y),
        size(travel.high.y),
        size(*deepest),
        paper.decimals(*path_length, 0)
    )
}

/// Everything as JSON.
fn as_data(args: &ProveArgs, judged: &Judged) -> String {
    let judgement = &judged.judgement;
    let fault = |fault: &Fault| {
        json!({
            "program": args.programs.get(fault.program),
            "line": (0 < fault.line).then_some(fault.line),
            "rule": fault.rule.id(),
            "text": fault.text,
            "at": fault.at.map(|at| [at.x, at.y]),
            "advice": fault.rule.advice(),
        })
    };
    let list = |faults: &[Fault]| faults.iter().map(fault).collect::<Vec<_>>();
    let figures = judgement.figures.as_ref().map_or(Value::Null, |found| {
        json!({
            "gouge": found.gouge,
            "leftover": found.leftover,
            "tabs": found.tabs.iter().map(|at| [at.x, at.y]).collect::<Vec<_>>(),
            "travel": [found.travel.low.x, found.travel.low.y, found.travel.high.x, found.travel.high.y],
            "deepest": found.deepest,
            "path_length": found.path_length,
            "minutes": found.minutes,
        })
    });
    let data = json!({
        "right": judgement.is_right(),
        "legal": list(&judgement.legal),
        "bench": list(&judgement.bench),
        "cut": list(&judgement.cut),
        "figures": figures,
        "axes": judged.machine.axes.as_ref().map(|axes| {
            json!({ "scale_x": axes.scale_x, "scale_y": axes.scale_y, "lean": axes.lean })
        }),
        "reliefs": judged.reliefs.iter().map(|relief| relief_data(relief, judged)).collect::<Vec<_>>(),
        "edges": judged.edges.iter().map(|edge| edge_data(edge, judged)).collect::<Vec<_>>(),
    });
    data.to_string() + "\n"
}

/// A relieved corner in the program's frame: how the mill's middle runs there, and its radius.
fn relief_data(relief: &Relief, judged: &Judged) -> Value {
    let by = Point::default() - judged.work_zero;
    let radius = judged.machine.end_mill.radius();
    let stem = relief.stem(radius).map(|at| at + by).map(|at| [at.x, at.y]);
    json!({ "stem": stem, "radius": radius })
}

/// An edge as it was read, in the program's frame: lines as four numbers, arcs with their
/// centre and turn behind those.
fn edge_data(edge: &Pledge, judged: &Judged) -> Value {
    let by = Point::default() - judged.work_zero;
    let piece = |piece: &Piece| {
        let (from, to) = (piece.from() + by, piece.to() + by);
        let mut numbers = vec![from.x, from.y, to.x, to.y];
        if let Piece::Arc { centre, sweep, .. } = *piece {
            let centre = centre + by;
            numbers.extend([centre.x, centre.y, sweep]);
        }
        numbers
    };
    let held = match edge.hold {
        Hold::Tabs { .. } => "tabs",
        Hold::Cleared => "cleared",
        Hold::Skin => "skin",
        Hold::Recess(_) => "recess",
        Hold::Drilled(_) => "drilled",
        Hold::ByHand(_) => "by hand",
    };
    let pieces: Vec<_> = edge.drawn.pieces().iter().map(piece).collect();
    json!({ "grow": edge.grow, "held": held, "tool": edge.tool.word(), "pieces": pieces })
}

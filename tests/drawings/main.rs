//! Reads every drawing of a folder and sets it against another reader, in a table: what was
//! read, what was refused and why, and what came out otherwise than the other reader has it.
//!
//! The folder is named by `SPELCH_DRAWINGS`; without it nothing is read. See the README here.

#![expect(clippy::disallowed_methods, reason = "reads a folder that a person names")]
#![expect(clippy::print_stdout, reason = "its table is what it is for")]

mod measure;

mod reference;

use measure::Measure;
use spelch::diag::{Failure, Problem};
use spelch::outline::{LoopKind, outlines};
use spelch::read::{Asked, Drawing, Pick, dxf, svg};
use spelch::units::{Paper, Unit};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::mpsc::channel;
use std::time::{Duration, Instant};

/// A drawing that takes longer has hung.
const PATIENCE: Duration = Duration::from_mins(1);
/// Length and area may differ by this share.
const SHARE: f64 = 1e-3;
/// Lengths, in mm, and areas, in mm², may differ by this much: what is smaller is rounding.
const ROUNDING: f64 = 1e-2;

/// What became of a drawing.
struct Row {
    /// `read`, `refused`, `wrong`, `crashed` or `hung`.
    verdict: &'static str,
    said: String,
}

fn main() -> ExitCode {
    let Some(folder) = std::env::var_os("SPELCH_DRAWINGS").map(PathBuf::from) else {
        println!("SPELCH_DRAWINGS is not set: no folder of drawings is read");
        return ExitCode::SUCCESS;
    };
    let mut files = Vec::new();
    gather(&folder, &mut files);
    files.sort();
    let references = reference::of_dxf(&folder);
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for file in &files {
        let name = file.strip_prefix(&folder).unwrap_or(file).display().to_string();
        let start = Instant::now();
        let Row { verdict, said } = row(file, references.get(&name).cloned());
        *counts.entry(verdict).or_default() += 1;
        println!("{verdict:8} {:6} ms  {name}: {said}", start.elapsed().as_millis());
    }
    println!("{} drawings: {counts:?}", files.len());
    let failed = ["wrong", "crashed", "hung"].iter().any(|bad| counts.contains_key(bad));
    if failed || files.is_empty() { ExitCode::FAILURE } else { ExitCode::SUCCESS }
}

fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    let entries = std::fs::read_dir(folder)
        .unwrap_or_else(|error| panic!("the folder {}: {error}", folder.display()));
    for entry in entries {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            gather(&path, files);
        } else if path.extension().is_some_and(|end| end == "svg" || end == "dxf") {
            files.push(path);
        }
    }
}

/// Reads one drawing on a thread of its own, so that a panic or a hang is seen.
fn row(file: &Path, reference: Option<Measure>) -> Row {
    let (send, receive) = channel();
    let file = file.to_owned();
    std::thread::spawn(move || send.send(judged(&file, reference)));
    match receive.recv_timeout(PATIENCE) {
        Ok(row) => row,
        Err(std::sync::mpsc::RecvTimeoutError::Timeout) => {
            Row { verdict: "hung", said: format!("more than {PATIENCE:?}") }
        }
        Err(std::sync::mpsc::RecvTimeoutError::Disconnected) => {
            Row { verdict: "crashed", said: String::new() }
        }
    }
}

fn judged(file: &Path, reference: Option<Measure>) -> Row {
    let bytes = std::fs::read(file).expect("a file that was there");
    let is_svg = file.extension().is_some_and(|end| end == "svg");
    let start = Instant::now();
    let (read, reference) = if is_svg {
        let text = reference::sized(&String::from_utf8_lossy(&bytes));
        (svg("d.svg", text.as_bytes()), reference::of_svg(&text))
    } else {
        (dxf_in_mm_at_least(&bytes), reference)
    };
    let took = start.elapsed().as_millis();
    let drawing = match read {
        Ok(told) => told.value,
        Err(failure) => return Row { verdict: "refused", said: reasons(&failure) },
    };
    let ours = Measure::of(&drawing);
    let said = format!("{took} ms to read; {ours}; {}", made_of(&drawing));
    match reference.filter(|theirs| !agree(&ours, theirs)) {
        Some(theirs) => {
            Row { verdict: "wrong", said: format!("{said}; the other reader: {theirs}") }
        }
        None => Row { verdict: "read", said },
    }
}

/// Reads a DXF; one without a unit in millimetres, as the other reader does.
fn dxf_in_mm_at_least(bytes: &[u8]) -> spelch::diag::Outcome<Drawing> {
    let pick = Pick::default();
    dxf("d.dxf", bytes, Asked { units: Some(Unit::Mm), size: None, pick: &pick })
}

fn agree(ours: &Measure, theirs: &Measure) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= SHARE * a.abs().max(b.abs()) + ROUNDING;
    near(ours.length, theirs.length)
        && near(ours.area, theirs.area)
        && ours.n_loops == theirs.n_loops
}

/// The outlines that the drawing makes, or why it makes none.
fn made_of(drawing: &Drawing) -> String {
    match outlines(drawing, &[], 1e-3, Paper::MM) {
        Ok(told) => {
            let openings = told.value.iter().flat_map(|outline| &outline.kinds);
            let openings = openings.filter(|kind| **kind == LoopKind::Opening).count();
            format!("{} outlines with {openings} openings", told.value.len())
        }
        Err(failure) => format!("no outline: {}", reasons(&failure)),
    }
}

fn reasons(failure: &Failure) -> String {
    let one = |problem: &Problem| format!("{} ({})", problem.id, problem.found);
    let problems = failure.problems();
    let more = problems.len().saturating_sub(2);
    let told: Vec<String> = problems.iter().take(2).map(one).collect();
    let more = if more == 0 { String::new() } else { format!("; {more} more") };
    told.join("; ") + &more
}

//! Inputs that must be refused: each names its problem, its place, and an action.
//!
//! The first line of each file of `samples/bad` says what is expected of it:
//! `expect: ID [line N] [element TEXT] [options: WORDS]`.

#![expect(clippy::disallowed_methods, reason = "reads the samples of this repository")]

use crate::command::{Folder, here, list, spelch, text};
use serde_json::Value;
use std::path::{Path, PathBuf};

/// What a bad sample's first line expects.
struct Expected {
    id: String,
    line: Option<u64>,
    element: Option<String>,
    options: Vec<String>,
}

fn expected(first_line: &str) -> Expected {
    let said =
        first_line.split("expect:").nth(1).expect("an `expect:` in the first line");
    let said = said.trim().trim_end_matches("-->").trim();
    let (said, options) = said.split_once("options:").unwrap_or((said, ""));
    let words: Vec<&str> = said.split_whitespace().collect();
    let after = |word: &str| {
        words.iter().position(|w| *w == word).map(|at| (*words[at + 1]).to_owned())
    };
    Expected {
        id: (*words.first().expect("an id")).to_owned(),
        line: after("line").map(|line| line.parse().expect("a line's number")),
        element: after("element"),
        options: options.split_whitespace().map(str::to_owned).collect(),
    }
}

/// The first line of a DXF is the code of a comment, the comment stands in the second.
fn first_line(source: &str) -> &str {
    source.lines().find(|line| *line != "999").expect("a first line")
}

fn bad_samples() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(here("samples/bad")).expect("the folder is there");
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|end| ["svg", "dxf", "toml"].iter().any(|kind| end == *kind))
        })
        .collect();
    files.sort();
    files
}

/// An action starts with a verb of this list.
const ACTIONS: [&str; 30] = [
    "write", "say", "give", "draw", "close", "take", "add", "move", "make", "convert",
    "set", "remove", "use", "name", "save", "choose", "check", "start", "begin", "split",
    "keep", "put", "join", "look", "delete", "let", "walk", "end", "measure", "unlink",
];

#[test]
fn every_bad_sample_is_refused_with_its_reason() {
    let files = bad_samples();
    assert!(15 <= files.len(), "at least 15 bad samples, found {}", files.len());
    let mut report = String::new();
    for file in files {
        let bytes = std::fs::read(&file).expect("a sample");
        let source = String::from_utf8_lossy(&bytes);
        let name = file.file_name().expect("a name").to_string_lossy().into_owned();
        let drawing = file.extension().is_some_and(|ending| ending != "toml");
        let wanted = expected(first_line(&source));
        let folder = Folder::new();
        let (out, input) = (folder.0.to_string_lossy(), file.to_string_lossy());
        let mut words = vec!["plan", &input, "--format", "json", "--out", &out];
        words.extend(wanted.options.iter().map(String::as_str));
        if drawing && !wanted.options.iter().any(|word| word == "--bit") {
            words.extend(["--bit", "12.7mm pattern"]);
        }
        let said = spelch(&words);
        assert!(said.code == 1 || said.code == 2, "{name} is refused, not {}", said.code);
        assert!(!folder.0.exists(), "{name} leaves no folder behind");
        let data: Value = serde_json::from_str(&said.data).expect("problems as JSON");
        let problems = list(&data["problems"]);
        let found = problems.iter().find(|problem| text(&problem["id"]) == wanted.id);
        let problem =
            found.unwrap_or_else(|| panic!("{name}: {} in {problems:?}", wanted.id));
        let place = &problem["place"];
        if let Some(line) = wanted.line {
            assert_eq!(place["line"].as_u64(), Some(line), "{name}: {problem}");
        }
        if let Some(element) = wanted.element {
            let told = place["element"].as_str().unwrap_or("");
            assert!(told.contains(&element), "{name}: {element} in {problem}");
        }
        let hint = text(&problem["hint"]).to_lowercase();
        let verb = hint.split([' ', ',', ':']).next().unwrap_or("");
        assert!(ACTIONS.contains(&verb), "{name}: the hint names an action: {hint}");
        report += &["== ", &name, "\n", &said.talk, "\n"].concat();
    }
    insta::assert_snapshot!("bad_samples", report);
}

/// The sample as a job or a drawing on whose paper lengths are inches, with its options.
fn in_inches(file: &Path, folder: &Folder) -> Vec<String> {
    let bytes = std::fs::read(file).expect("a sample");
    let source = String::from_utf8_lossy(&bytes);
    let mut options = expected(first_line(&source)).options;
    if file.extension().is_some_and(|ending| ending == "toml") {
        let text = format!("paper = \"in\"\n{source}");
        std::fs::create_dir_all(&folder.0).expect("a folder");
        let job = folder.0.join("job.toml");
        std::fs::write(&job, text).expect("it is written");
        options.insert(0, job.to_string_lossy().into_owned());
        return options;
    }
    options.insert(0, file.to_string_lossy().into_owned());
    options.extend(["--units", "in", "--bit", "1/2in pattern"].map(str::to_owned));
    options
}

/// Whether a text gives a length in this unit.
fn measures_in(unit: &str, text: &str) -> bool {
    let mut before = text.match_indices(unit).map(|(at, _)| &text[..at]);
    before.any(|before| before.ends_with(|letter: char| letter.is_ascii_digit()))
}

#[test]
fn no_message_measures_in_mm_where_the_paper_is_in_inches() {
    let (mut measured, mut in_mm) = (0, Vec::<String>::new());
    for file in bad_samples() {
        let folder = Folder::new();
        let input = in_inches(&file, &folder);
        let out = folder.0.join("plan").to_string_lossy().into_owned();
        let mut words = vec!["plan", "--format", "json", "--out", &out];
        words.extend(input.iter().map(String::as_str));
        let said = spelch(&words);
        if said.code == 0 {
            continue;
        }
        let data: Value = serde_json::from_str(&said.data).expect("problems as JSON");
        let problems = list(&data["problems"]).iter();
        // What a sum comes to is told in the unit that its numbers have.
        for problem in problems.filter(|it| !text(&it["id"]).starts_with("sum-")) {
            for part in ["found", "expected", "hint"] {
                let said = problem[part].as_str().unwrap_or("");
                let inches = measures_in(" in", said);
                measured += usize::from(inches);
                // What asks which unit is meant gives both.
                if !inches && measures_in(" mm", said) {
                    in_mm.push(format!("{}: {said}", file.display()));
                }
            }
        }
    }
    assert_eq!(in_mm, [""; 0], "in mm");
    assert!(20 <= measured, "only {measured} messages measure anything");
}

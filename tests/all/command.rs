//! Runs the command as a person would, in a folder of its own, and what all its answers promise.

#![expect(clippy::disallowed_methods, reason = "reads what the command wrote")]

use serde_json::Value;
use spelch::cli::{Answer, answer};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// A file of this repository.
pub(crate) fn here(path: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path).to_string_lossy().into_owned()
}

/// A folder of this test's own, removed with everything in it when the test ends.
pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    pub(crate) fn new() -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let name = format!("spelch-test-{}-{number}", std::process::id());
        let folder = Self(std::env::temp_dir().join(name));
        assert!(!folder.0.exists(), "a new folder");
        folder
    }

    pub(crate) fn files(&self) -> Vec<String> {
        let Ok(entries) = std::fs::read_dir(&self.0) else { return Vec::new() };
        let name = |entry: std::io::Result<std::fs::DirEntry>| {
            entry.expect("an entry").file_name().to_string_lossy().into_owned()
        };
        let mut files: Vec<String> = entries.map(name).collect();
        files.sort();
        files
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// `spelch` with these words.
pub(crate) fn spelch(words: &[&str]) -> Answer {
    answer(std::iter::once("spelch").chain(words.iter().copied()).map(OsString::from))
}

/// `spelch plan` with these words into a folder of its own; the folder and the plan's data.
pub(crate) fn plan(words: &[&str]) -> (Folder, Value) {
    let folder = Folder::new();
    let out = folder.0.to_string_lossy().into_owned();
    let mut all = vec!["plan"];
    all.extend(words);
    all.extend(["--format", "json", "--out", &out]);
    let said = spelch(&all);
    assert_eq!(said.code, 0, "{words:?} plans:\n{}", said.talk);
    (folder, serde_json::from_str(&said.data).expect("the data is JSON"))
}

/// A number of the data.
pub(crate) fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("a number, not {value}"))
}

/// A list of the data.
pub(crate) fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap_or_else(|| panic!("a list, not {value}"))
}

/// Whether a file is the program that cuts a template, or the part itself.
pub(crate) fn is_program(file: &str) -> bool {
    ["-template.nc", "-part.nc"].iter().any(|end| file.ends_with(end))
}

/// A text of the data.
pub(crate) fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_else(|| panic!("a text, not {value}"))
}

/// Asserts that a number is near another.
#[track_caller]
pub(crate) fn near(value: &Value, wanted: f64, within: f64) {
    let value = number(value);
    assert!((value - wanted).abs() <= within, "{value} is not {wanted} within {within}");
}

const NOTCH: &str = "tests/cases/notch.svg";

#[test]
fn a_plan_without_a_machine_has_no_machine_word_anywhere() {
    let (folder, data) =
        plan(&[&here(NOTCH), "--bit", "12.7mm pattern", "--thick", "18mm"]);
    assert!(data["program"].is_null(), "there is no program");
    for file in folder.files() {
        let text = std::fs::read_to_string(folder.0.join(&file)).expect("a text");
        let lower = text.to_lowercase();
        for word in ["end mill", "g-code", "spindle", "rpm", "cnc", "machine"] {
            let told = lower.match_indices(word).next().map(|(at, _)| {
                let (from, to) = (at.saturating_sub(40), (at + 40).min(lower.len()));
                lower.get(from..to).unwrap_or("").to_owned()
            });
            assert_eq!(told, None, "{file} says {word}");
        }
    }
}

#[test]
fn nothing_is_overwritten_without_force() {
    let folder = Folder::new();
    let out = folder.0.to_string_lossy().into_owned();
    let input = here(NOTCH);
    let words = ["plan", &input, "--bit", "12.7mm pattern", "--out", &out];
    assert_eq!(spelch(&words).code, 0, "the first time it plans");
    let before = folder.files();
    let again = spelch(&words);
    assert_eq!(again.code, 2, "the second time it does not:\n{}", again.talk);
    assert!(again.talk.contains("--force"), "it says how:\n{}", again.talk);
    assert_eq!(folder.files(), before, "the folder is as it was");
    let forced: Vec<&str> = words.iter().copied().chain(["--force"]).collect();
    assert_eq!(spelch(&forced).code, 0, "with force it does");
}

#[test]
fn a_refusal_makes_no_folder() {
    let folder = Folder::new();
    let out = folder.0.to_string_lossy().into_owned();
    let said = spelch(&[
        "plan",
        &here(NOTCH),
        "--thick",
        "18",
        "--bit",
        "12.7mm pattern",
        "--out",
        &out,
    ]);
    assert_eq!(said.code, 2, "a length without a unit is wrong input");
    assert!(
        said.talk.contains("18 mm") && said.talk.contains("18 in"),
        "both readings are shown"
    );
    assert!(!folder.0.exists(), "no folder is made");
}

#[test]
fn the_same_plan_comes_out_byte_for_byte_the_same() {
    let words =
        [&here(NOTCH), "--bit", "12.7mm pattern", "--end-mill", "6mm", "--thick", "18mm"];
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    let ((one, _), (two, _)) = (plan(&words), plan(&words));
    assert_eq!(one.files(), two.files(), "the same files");
    for file in one.files() {
        let read = |folder: &Folder| std::fs::read(folder.0.join(&file)).expect("a file");
        assert_eq!(read(&one), read(&two), "{file}");
    }
}

/// Lengths of an inch job are inches on the sheet Machine too: chip, feeds, what time assumes.
#[test]
fn the_machine_sheet_of_an_inch_job_has_no_millimetre() {
    let (folder, _data) = plan(&[
        &here(NOTCH),
        "--bit",
        "1/2in pattern",
        "--thick",
        "3/4in",
        "--units",
        "in",
        "--end-mill",
        "1/4in",
    ]);
    let file = folder.files().into_iter().find(|file| file.ends_with("-bench.md"));
    let path = folder.0.join(file.expect("the sheets"));
    let sheets = std::fs::read_to_string(path).expect("it is read");
    let (_, machine) = sheets.split_once("## Machine").expect("the sheet Machine");
    let machine = machine.split("\n## ").next().expect("its text");
    assert!(machine.contains(" in a tooth"), "{machine}");
    assert!(machine.contains(" in/min; clamping apart"), "{machine}");
    assert!(!machine.contains(" mm"), "{machine}");
}

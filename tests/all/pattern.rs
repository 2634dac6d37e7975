//! `spelch pattern` as a person runs it.

#![expect(clippy::disallowed_methods, reason = "reads what the command wrote")]

use crate::command::{Folder, here, spelch};

fn pattern(words: &[&str]) -> (Folder, spelch::cli::Answer) {
    let folder = Folder::new();
    let out = folder.0.to_string_lossy().into_owned();
    let mut all = vec!["pattern"];
    all.extend(words);
    all.extend(["--out", &out]);
    let said = spelch(&all);
    (folder, said)
}

#[test]
fn a_drawing_needs_no_bit_to_be_printed() {
    let sample = here("samples/ogee-bracket.svg");
    let (folder, said) = pattern(&[&sample, "--paper", "letter"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let files = folder.files();
    for end in ["-pattern.pdf", "-pattern-sheet-1.svg", "-pattern-whole.svg"] {
        assert!(files.iter().any(|file| file.ends_with(end)), "{end} in {files:?}");
    }
}

#[test]
fn a_job_is_printed_with_the_letters_of_its_plan() {
    let sample = here("samples/gate-rail-scarf.toml");
    let (folder, said) =
        pattern(&[&sample, "--paper", "a4", "--measured", "99mm,99.5mm"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let whole = folder.0.join("gate-rail-scarf-pattern-whole-half-A.svg");
    let svg = std::fs::read_to_string(whole).expect("half A, whole");
    for mark in [">KEEP<", ">GRAIN<", ">A<", "BOARD'S EDGE", "GOES ON"] {
        assert!(svg.contains(mark), "{mark}");
    }
    assert!(svg.contains("preserveAspectRatio=\"none\""), "it is stretched");
}

#[test]
fn a_fitted_print_and_unreadable_bars_are_refused() {
    let sample = here("samples/ogee-bracket.svg");
    for (bars, id) in [
        ("94mm,94mm", "print-not-true"),
        ("98.7mm", "bars-unreadable"),
        ("98.7,98.9", "length-without-unit"),
    ] {
        let (folder, said) = pattern(&[&sample, "--paper", "a4", "--measured", bars]);
        assert_eq!(said.code, 2, "{bars}");
        assert!(said.talk.contains(id), "{id} in {}", said.talk);
        assert!(folder.files().is_empty(), "nothing is written");
    }
}

/// The template of a pattern is that of a bit.
#[test]
fn a_template_is_printed_with_its_bit_and_refused_without() {
    let sample = here("samples/lapped-stretcher.toml");
    let (folder, said) =
        pattern(&[&sample, "--paper", "letter", "--units", "in", "--of", "template"]);
    assert_eq!(said.code, 0, "{}", said.talk);
    let whole = folder.0.join("lapped-stretcher-template-pattern-whole-half-A.svg");
    let svg = std::fs::read_to_string(whole).expect("half A, whole");
    for mark in [">KEEP<", ">GRAIN<", "BOARD'S EDGE lies on", "Template for"] {
        assert!(svg.contains(mark), "{mark}");
    }
    let sample = here("samples/ogee-bracket.svg");
    let (folder, said) = pattern(&[&sample, "--paper", "a4", "--of", "template"]);
    assert_eq!(said.code, 2, "{}", said.talk);
    assert!(said.talk.contains("template-without-bit"), "{}", said.talk);
    assert!(folder.files().is_empty(), "nothing is written");
}

/// A pattern needs no program: a blank too small for one stops the plan, not the print.
#[test]
fn a_job_whose_program_cannot_be_had_is_printed_all_the_same() {
    let sample = here("samples/gate-rail-scarf.toml");
    let machine = ["--end-mill", "6mm", "--blank", "50x50mm"];
    let (folder, said) =
        pattern(&[&[&sample[..], "--paper", "a4"][..], &machine].concat());
    assert_eq!(said.code, 0, "{}", said.talk);
    assert!(folder.files().iter().any(|file| file.ends_with("-pattern.pdf")), "a print");
    let refused = spelch(&[&["plan", &sample][..], &machine].concat());
    assert_eq!(refused.code, 1, "the plan with its program: {}", refused.talk);
}

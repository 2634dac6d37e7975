//! The bad samples that `read` and `joint` refuse: each says in its first line what is expected.

use super::drawings;
use crate::diag::{Failure, Problem};
use crate::read::{Checked, Job, ShapeSource, job};

macro_rules! samples {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("../../samples/bad/", $name)))),*]
    };
}

/// What a sample's first line expects.
struct Expected<'a> {
    id: &'a str,
    line: Option<usize>,
    element: Option<&'a str>,
}

impl<'a> Expected<'a> {
    fn of(text: &'a str) -> Self {
        let first = text.lines().next().unwrap_or("");
        let words = first.split_once("expect: ").expect("the first line expects").1;
        let words = words.trim_end_matches("-->").trim();
        let (words, element) = match words.split_once(" element ") {
            Some((words, element)) => (words, Some(element)),
            None => (words, None),
        };
        let (id, line) = match words.split_once(" line ") {
            Some((id, line)) => (id, Some(line.parse().expect("a number"))),
            None => (words, None),
        };
        Self { id, line, element }
    }
}

fn problems(name: &str, text: &str) -> Vec<Problem> {
    let load = |_file: &str| -> Checked<Vec<u8>> { Ok(text.as_bytes().to_vec()) };
    let job = if name.rsplit('.').next() == Some("svg") {
        let shape = Some(ShapeSource::Drawing(name.to_owned()));
        Ok(Job { shape, ..Job::default() })
    } else {
        job(name, text).map(|told| told.value)
    };
    match job.and_then(|job| drawings(&job, &load)) {
        Err(Failure::Input(problems)) => problems,
        other => panic!("{name} gave {other:?}"),
    }
}

#[test]
fn each_is_refused_with_its_id_its_place_and_what_to_do() {
    let samples = samples![
        "clone-loop.svg",
        "empty.svg",
        "entity-bomb.svg",
        "line-crosses-itself.toml",
        "line-misses-board.toml",
        "no-outline.toml",
        "no-size.svg",
        "no-unit.toml",
        "no-viewbox.svg",
        "not-a-number.svg",
        "not-finite.toml",
        "not-toml.toml",
        "open-line.toml",
        "path-syntax.svg",
        "pixels.svg",
        "radius-too-small.toml",
        "stretched.svg",
        "style-import.svg",
        "text.svg",
        "two-shapes.toml",
        "unknown-key.toml",
        "unreadable-step.toml",
        "area-for-length.toml",
        "broken-off-sum.toml",
        "division-by-zero.toml",
        "length-beside-area.toml",
        "minus-without-spaces.toml",
        "number-for-length.toml",
        "open-bracket.toml",
        "root-of-negative.toml",
        "size-name.toml",
        "two-readings.toml",
        "unknown-size.toml",
        "zero-thickness.toml",
    ];
    for (name, text) in samples {
        let expected = Expected::of(text);
        let problems = problems(name, text);
        let problem = &problems[0];
        assert_eq!(problem.id, expected.id, "{name}: {}", problem.found);
        let place = problem.place.as_ref().expect(name);
        if expected.line.is_some() {
            assert_eq!(place.line, expected.line, "{name}");
            assert!(place.span.is_some(), "{name} has bytes to underline");
        }
        if expected.element.is_some() {
            assert_eq!(place.element.as_deref(), expected.element, "{name}");
        }
        assert!(!problem.hint.is_empty(), "{name} says what to do");
    }
}

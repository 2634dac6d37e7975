//! A problem as a person reads it: what, where with the line marked, and what to do.

use crate::diag::{Place, Problem, Weight};
use crate::units::Paper;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::collections::BTreeMap;
use std::ops::Range;

/// What problems are shown with.
#[derive(Debug)]
pub(super) struct Texts {
    /// The texts that were read, by name: to show a problem in its line.
    pub(super) by_name: BTreeMap<String, String>,
    /// How lengths are written.
    pub(super) paper: Paper,
}

impl Default for Texts {
    fn default() -> Self {
        Self { by_name: BTreeMap::new(), paper: Paper::MM }
    }
}

/// So many problems of one kind are shown whole; the others only with their places.
const SHOWN_WHOLE: usize = 3;
/// So many letters are marked at most: it is where something starts that is looked for.
const MARKED: usize = 60;
/// So many places of the others are given: of ten problems alike, each has its place.
const PLACES: usize = 7;

/// Problems, an empty line after each. Of many alike, the first are shown whole and the others in
/// one line, so that nothing else drowns among them.
pub(super) fn all_shown(problems: &[Problem], texts: &Texts) -> String {
    let mut out = String::new();
    let mut kinds: BTreeMap<Kind<'_>, Vec<&Problem>> = BTreeMap::new();
    for problem in problems {
        kinds.entry(kind(problem)).or_default().push(problem);
    }
    let mut shown_so_far: BTreeMap<Kind<'_>, usize> = BTreeMap::new();
    for problem in problems {
        let kind = kind(problem);
        let alike = &kinds[&kind];
        let before = shown_so_far.entry(kind).or_default();
        // One more than the limit takes no more room than saying so.
        if *before < SHOWN_WHOLE || alike.len() == SHOWN_WHOLE + 1 {
            out += &(shown(problem, texts) + "\n\n");
        } else if *before == SHOWN_WHOLE {
            out +=
                &(shown(&the_others(&alike[SHOWN_WHOLE..], texts.paper), texts) + "\n\n");
        }
        *before += 1;
    }
    out
}

/// What problems alike have in common: all but the figures and the names in what was found.
type Kind<'a> = (&'a str, Weight, Vec<&'a str>);

fn kind(problem: &Problem) -> Kind<'_> {
    let is_own = |letter: char| letter == '`' || letter.is_ascii_digit();
    let words = problem.found.split_whitespace().filter(|word| !word.contains(is_own));
    (problem.id, problem.weight, words.collect())
}

/// What is said of further problems of one kind.
fn the_others(problems: &[&Problem], paper: Paper) -> Problem {
    let spot = |problem: &&Problem| {
        let spot = problem.place.as_ref().and_then(|place| spot(place, paper));
        spot.unwrap_or_else(|| problem.found.clone())
    };
    let spots: Vec<String> = problems.iter().map(spot).collect();
    let mut found = format!("{} more like the last", problems.len());
    for (index, spot) in spots.iter().take(PLACES).enumerate() {
        found += if index == 0 { ", " } else { "; " };
        found += spot;
    }
    if PLACES < spots.len() {
        found += "; and so on";
    }
    let name = problems[0].place.as_ref();
    let name = name.map(|place| Place::whole(place.source, place.name.clone()));
    Problem { place: name, ..Problem::new(problems[0].id, problems[0].weight, found, "") }
}

/// A place in few words.
fn spot(place: &Place, paper: Paper) -> Option<String> {
    let line = place.line.map(|line| format!("line {line}"));
    let at = place.at.map(|at| paper.point(at));
    let spot = place.spot.as_ref().map(|spot| match &line {
        Some(line) => format!("{line} at {spot}"),
        None => spot.clone(),
    });
    spot.or(at).or(line).or_else(|| place.element.clone())
}

/// The problem in words, with the line of its source marked where there is one.
fn shown(problem: &Problem, texts: &Texts) -> String {
    let level = match problem.weight {
        Weight::Stop => Level::ERROR.with_name(Weight::Stop.word()),
        Weight::Caution => Level::WARNING.with_name(Weight::Caution.word()),
        Weight::Hint => Level::NOTE.with_name(Weight::Hint.word()),
    };
    let mut title = vec![problem.found.clone()];
    title.extend(problem.whereabouts(texts.paper));
    let title = title.join(", ");
    let mut report = Group::with_title(level.primary_title(title).id(problem.id));
    if let Some(place) = &problem.place {
        report = match marked(place, texts) {
            Some(snippet) => report.element(snippet),
            None => report.element(origin(place)),
        };
    }
    if !problem.expected.is_empty() {
        report =
            report.element(Level::NOTE.message(format!("expected {}", problem.expected)));
    }
    if !problem.hint.is_empty() {
        report = report.element(Level::HELP.message(&problem.hint));
    }
    Renderer::plain().render(&[report])
}

fn marked<'a>(
    place: &'a Place,
    texts: &'a Texts,
) -> Option<Snippet<'a, annotate_snippets::Annotation<'a>>> {
    let text = texts.by_name.get(&place.name)?;
    let span = match (&place.span, place.line) {
        (Some(span), _) => span.clone(),
        (None, Some(line)) => line_of(text, line)?,
        (None, None) => return None,
    };
    let most = text.get(span.clone())?.char_indices().nth(MARKED);
    let span = span.start..most.map_or(span.end, |(length, _)| span.start + length);
    Some(
        Snippet::source(text.as_str())
            .path(place.name.as_str())
            .annotation(AnnotationKind::Primary.span(span)),
    )
}

/// The bytes of a line, counted from 1, without the space round it; nothing where it is empty.
fn line_of(text: &str, line: usize) -> Option<Range<usize>> {
    let whole = text.split('\n').nth(line.checked_sub(1)?)?;
    let rest: usize = text.split('\n').skip(line - 1).map(|l| l.len() + 1).sum();
    let from = text.len() + 1 - rest;
    let start = from + whole.len() - whole.trim_start().len();
    let span = start..start + whole.trim().len();
    (!span.is_empty()).then_some(span)
}

fn origin(place: &Place) -> Origin<'_> {
    let origin = Origin::path(place.name.as_str());
    match place.line {
        Some(line) => origin.line(line),
        None => origin,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Source;

    #[test]
    fn many_problems_alike_take_few_lines_and_hide_no_other() {
        let whole = Place::whole(Source::Drawing, "d.svg");
        let spike = |i: u32| {
            let place = whole.clone().at(f64::from(i), 2.0);
            Problem::new("spike", Weight::Hint, "a spike is cut off", "look").at(place)
        };
        let mut problems: Vec<Problem> = (0..90).map(spike).collect();
        problems.push(Problem::stop("open", "a line is open", "close it"));
        let said = all_shown(&problems, &Texts::default());
        assert!(said.lines().count() < 30, "few lines:\n{said}");
        for part in
            ["87 more like the last, X 3 mm, Y 2 mm; X 4", "and so on", "stop[open]"]
        {
            assert!(said.contains(part), "{part} in:\n{said}");
        }
        let four = all_shown(&problems[..4], &Texts::default());
        assert_eq!(four.matches("a spike is cut off").count(), 4, "all of a few");
    }

    fn named(name: &str, text: &str) -> Texts {
        let by_name = BTreeMap::from([(name.to_owned(), text.to_owned())]);
        Texts { by_name, ..Texts::default() }
    }

    #[test]
    fn of_ten_alike_each_has_its_place_and_what_is_not_alike_is_shown() {
        let inch = Paper { unit: crate::units::Unit::Inch, fraction: 32 };
        let texts = Texts { paper: inch, ..Texts::default() };
        let struck = |i: u32| {
            let mut place = Place::whole(Source::Program, "a.nc");
            place.spot = Some(inch.point((25.4 * f64::from(i), 0.0)));
            let found = format!("the mill comes within {}.5 in of clamp {i}", i * 2);
            Problem::stop("struck", found, "move it").at(place)
        };
        let mut problems: Vec<Problem> = (1..=10).map(struck).collect();
        let found = "the shank comes near the vice";
        problems.push(Problem::stop("struck", found, "move it"));
        let said = all_shown(&problems, &texts);
        let others = "7 more like the last, X 4 in, Y 0 in; X 5 in, Y 0 in; X 6 in";
        for part in ["clamp 3, at X 3 in, Y 0 in", others, "X 10 in, Y 0 in", found] {
            assert!(said.contains(part), "{part} in:\n{said}");
        }
        assert!(!said.contains("and so on"), "none is left out:\n{said}");
        let nowhere = |name: &str| Problem::stop("lost", format!("`{name}` is lost"), "");
        let lost: Vec<Problem> = ["a", "b", "c", "d", "e"].map(nowhere).into();
        let said = all_shown(&lost, &texts);
        assert!(
            said.contains("2 more like the last, `d` is lost; `e` is lost"),
            "{said}"
        );
    }

    #[test]
    fn a_line_is_marked_whole_and_a_long_one_at_its_start() {
        let text = format!("  0\nLINE\n 11\ntwo\r\n\n{}\n", "a".repeat(90));
        let texts = named("part.dxf", &text);
        let said = |line| {
            let whole = Place::whole(Source::Drawing, "part.dxf");
            let place = Place { line: Some(line), ..whole };
            shown(&Problem::stop("damaged", "no number", "save it").at(place), &texts)
        };
        assert!(said(1).contains("1 |   0\n  |   ^\n"), "the first line:\n{}", said(1));
        assert!(said(4).contains("4 | two\n  | ^^^\n"), "the line:\n{}", said(4));
        assert!(said(5).contains("part.dxf:5"), "only its number:\n{}", said(5));
        assert_eq!(said(6).matches('^').count(), MARKED, "its start:\n{}", said(6));
        assert!(said(9).contains("part.dxf:9"), "past the end:\n{}", said(9));
    }

    #[test]
    fn a_problem_in_a_job_shows_its_line_with_a_mark_under_it() {
        let text = "name = \"foot\"\nthick = 12\n";
        let place = Place::whole(Source::Job, "foot.toml").bytes(22..24, text);
        let problem =
            Problem::stop("length-without-unit", "`12` has no unit", "write the unit")
                .at(place)
                .expected("a length");
        let texts = named("foot.toml", text);
        let said = shown(&problem, &texts);
        for part in ["stop[length-without-unit]", "foot.toml:2:9", "^^", "write the unit"]
        {
            assert!(said.contains(part), "{part} in:\n{said}");
        }
    }
}

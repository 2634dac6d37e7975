//! A problem as a person reads it: what, where with the line marked, and what to do.

use crate::diag::{Place, Problem, Weight};
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use std::collections::BTreeMap;

/// The texts that were read, by name: to show a problem in its line.
pub(super) type Texts = BTreeMap<String, String>;

/// The problem in words, with the line of its source marked where there is one.
pub(super) fn shown(problem: &Problem, texts: &Texts) -> String {
    let level = match problem.weight {
        Weight::Stop => Level::ERROR.with_name(Weight::Stop.word()),
        Weight::Caution => Level::WARNING.with_name(Weight::Caution.word()),
        Weight::Hint => Level::NOTE.with_name(Weight::Hint.word()),
    };
    let title = match &problem.place {
        Some(place) => format!("{}{}", problem.found, whereabouts(place)),
        None => problem.found.clone(),
    };
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

/// The element, the layer and the point, as far as they are known.
fn whereabouts(place: &Place) -> String {
    let element = place.element.as_ref().map(|element| format!(", in `{element}`"));
    let layer = place.layer.as_ref().map(|layer| format!(", on layer `{layer}`"));
    let at = place.at.map(|(x, y)| format!(", at ({x:.3}, {y:.3}) mm"));
    [element, layer, at].into_iter().flatten().collect()
}

fn marked<'a>(
    place: &'a Place,
    texts: &'a Texts,
) -> Option<Snippet<'a, annotate_snippets::Annotation<'a>>> {
    let (text, span) = (texts.get(&place.name)?, place.span.clone()?);
    text.get(span.clone())?;
    Some(
        Snippet::source(text.as_str())
            .path(place.name.as_str())
            .annotation(AnnotationKind::Primary.span(span)),
    )
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
    fn a_problem_in_a_job_shows_its_line_with_a_mark_under_it() {
        let text = "name = \"foot\"\nthick = 12\n";
        let place = Place::whole(Source::Job, "foot.toml").bytes(22..24, text);
        let problem =
            Problem::stop("length-without-unit", "`12` has no unit", "write the unit")
                .at(place)
                .expected("a length");
        let texts = Texts::from([("foot.toml".to_owned(), text.to_owned())]);
        let said = shown(&problem, &texts);
        for part in ["stop[length-without-unit]", "foot.toml:2:9", "^^", "write the unit"]
        {
            assert!(said.contains(part), "{part} in:\n{said}");
        }
    }
}

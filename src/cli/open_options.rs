//! The options of `open`, to be written into the job that the page begins with.

use super::args::{BenchArgs, DrawnArgs, JobArgs, MachineArgs, PartArgs};
use crate::read::place_words;
use serde_json::{Value, json};

/// The keys of the job that the options say something of, and what.
pub(super) fn options(args: &JobArgs) -> Vec<(String, Value)> {
    let said = [("units", &args.said.units), ("fraction", &args.said.fraction)];
    let mut all = texts(&said);
    all.extend(part(&args.part));
    all.extend(bench(&args.bench));
    all.extend(machine(&args.machine));
    all
}

fn texts(options: &[(&str, &Option<String>)]) -> Vec<(String, Value)> {
    let given = options.iter().filter_map(|(key, text)| Some((key, text.as_ref()?)));
    given.map(|(key, text)| ((*key).to_owned(), json!(text))).collect()
}

/// A list of texts, unless it is empty.
fn list(key: &str, texts: &[String]) -> Option<(String, Value)> {
    (!texts.is_empty()).then(|| (key.to_owned(), json!(texts)))
}

/// Edges, which stand on the command with commas: each by its side or by a place.
fn edges(key: &str, text: Option<&String>) -> Option<(String, Value)> {
    let edge = |edge: &str| match place_words(edge) {
        Some(at) => json!({ "at": at }),
        None => json!(edge.trim()),
    };
    let edges: Vec<Value> = text?.split(',').map(edge).collect();
    Some((key.to_owned(), json!(edges)))
}

fn part(args: &PartArgs) -> Vec<(String, Value)> {
    let mut all = texts(&[
        ("grain", &args.grain),
        ("thick", &args.thick),
        ("width", &args.width),
        ("make", &args.make),
    ]);
    all.extend(args.set.iter().filter_map(|text| {
        let (name, value) = text.split_once('=')?;
        Some((format!("sizes.{}", name.trim()), json!(value.trim())))
    }));
    all.extend(edges("edges.true", args.true_edges.as_ref()));
    all.extend(edges("edges.goes-on", args.goes_on.as_ref()));
    all.extend(drawn(&args.drawn));
    all
}

fn drawn(args: &DrawnArgs) -> Vec<(String, Value)> {
    let mut all = texts(&[
        ("outline.ppi", &args.ppi),
        ("outline.known-width", &args.known_width),
        ("outline.known-height", &args.known_height),
    ]);
    all.extend(list("outline.layers", &args.layer));
    all.extend(list("outline.colours", &args.colour));
    all
}

fn bench(args: &BenchArgs) -> Vec<(String, Value)> {
    let mut all = texts(&[
        ("bearing", &args.bearing),
        ("cut-length", &args.cut_length),
        ("leave", &args.leave),
        ("template.thick", &args.template_thick),
    ]);
    all.extend(list("bits", &args.bit));
    let work = match (args.hand, args.table) {
        (true, true) => Some("both"),
        (false, true) => Some("table"),
        (true, false) => Some("hand"),
        (false, false) => None,
    };
    all.extend(work.map(|work| ("work".to_owned(), json!(work))));
    if args.template_moves {
        all.push(("template.moves".to_owned(), json!(true)));
    }
    all
}

fn machine(args: &MachineArgs) -> Vec<(String, Value)> {
    texts(&[
        ("machine.end-mill", &args.end_mill),
        ("machine.blank", &args.blank),
        ("machine.zero", &args.zero),
        ("machine.z-zero", &args.z_zero),
        ("machine.clear", &args.clear),
        ("machine.feed", &args.feed),
        ("machine.plunge", &args.plunge),
        ("machine.rpm", &args.rpm),
        ("machine.post", &args.post),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::args::{Command, Verb};
    use clap::Parser;

    #[test]
    fn the_page_and_the_command_know_the_same_key_for_an_option() {
        for (option, key) in crate::page::options_of_hints() {
            let words = ["spelch", "open", "a.svg", option];
            let value = (option != "--template-moves").then_some("1");
            let args = Command::try_parse_from(words.into_iter().chain(value));
            let args = args.unwrap_or_else(|error| panic!("{option}: {error}"));
            let Verb::Open(args) = args.verb else { panic!("{option}: another verb") };
            let keys: Vec<String> =
                options(&args.job).into_iter().map(|(key, _)| key).collect();
            assert_eq!(keys, [key], "{option}");
        }
    }
}

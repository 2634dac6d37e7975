//! Sets the tool beside other libraries that do the same work: how long it takes, how much memory,
//! and whether the answers agree. A subject is a module; see the README here.

mod corpus;
mod drawings;
mod kernel;
mod planning;
mod polygons;
mod proving;
mod reading;
mod trial;

use std::process::ExitCode;
use trial::{Case, child};

/// A name and its cases.
type Subject = (&'static str, fn() -> Vec<Case>);

/// All subjects.
const SUBJECTS: [Subject; 4] = [
    ("kernel", kernel::cases),
    (SLOW, kernel::slow_cases),
    ("proving", proving::cases),
    ("reading", reading::cases),
];

/// The subject that is minutes of waiting: only where it is named.
const SLOW: &str = "slow";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let wanted = |name: &str| {
        words.is_empty() && name != SLOW || words.iter().any(|word| word == name)
    };
    match &words[..] {
        // One worker of one case by itself, so that the memory is its own.
        [word, subject, case, worker] if word == "child" => {
            let cases = SUBJECTS.iter().find(|(name, _)| name == subject);
            let cases = cases.map(|(_, cases)| cases()).unwrap_or_default();
            child(&cases, (case, worker))
        }
        [word, folder, asked @ ..] if word == "corpus" => {
            exit(corpus::run(folder.as_ref(), asked))
        }
        _ => {
            let mut agreed = true;
            for (name, cases) in SUBJECTS.iter().filter(|(name, _)| wanted(name)) {
                println!("## {name}\n");
                for case in cases() {
                    agreed &= case.run(name);
                }
            }
            if wanted("proving") {
                println!("## how proving grows\n");
                agreed &= proving::growth();
            }
            if wanted("planning") {
                println!("## planning\n");
                agreed &= planning::run();
            }
            exit(agreed)
        }
    }
}

const fn exit(agreed: bool) -> ExitCode {
    if agreed { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

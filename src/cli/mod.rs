//! The command line: arguments in, the same functions as the page, one place that prints and
//! sets the exit code.
//!
//! Exit code 0: done. 1: refused, with reasons. 2: the input or the command is wrong.

mod args;

mod bench_args;

mod bits;

mod posts;

mod wishes;

mod wedge_wishes;

mod joint_wishes;

mod bench;

mod show;

mod prove;

mod rack;

mod look;

mod open;

mod open_options;

mod start;

mod verbs;

use crate::diag::Problem;
use clap::Parser;
use std::ffi::OsString;
use std::io::{IsTerminal, Write};
use std::process::ExitCode;

/// What a command has to say: data for standard output, talk for standard error.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Answer {
    /// The exit code.
    pub code: u8,
    /// Data.
    pub data: String,
    /// Talk and problems.
    pub talk: String,
}

/// Runs the command of this process, prints its answer and gives its exit code.
pub fn run() -> ExitCode {
    let answer = match with_questions() {
        Some(answer) => answer,
        None => answer(std::env::args_os()),
    };
    // A reader that has gone away, such as a closed pipe, is no failure of ours.
    let _ = std::io::stderr().write_all(answer.talk.as_bytes());
    let _ = std::io::stdout().write_all(answer.data.as_bytes());
    ExitCode::from(answer.code)
}

/// The answer to `posts` on a terminal, after its questions.
fn with_questions() -> Option<Answer> {
    let command = args::Command::try_parse_from(std::env::args_os()).ok()?;
    let args::Verb::Posts(args) = command.verb else { return None };
    let (input, talk) = (std::io::stdin(), std::io::stderr());
    if !(input.is_terminal() && talk.is_terminal()) {
        return None;
    }
    Some(posts::list(&posts::asked(args, &mut input.lock(), &mut talk.lock())))
}

/// Carries out one command without printing.
pub fn answer(words: impl Iterator<Item = OsString>) -> Answer {
    let words: Vec<OsString> = words.collect();
    let as_data = words.windows(2).any(|pair| pair[0] == "--format" && pair[1] == "json");
    match args::Command::try_parse_from(words) {
        Ok(command) => verbs::carry_out(&command),
        Err(error) if error.use_stderr() => {
            let talk = error.render().to_string();
            let found = talk.lines().next().unwrap_or("").trim_start_matches("error: ");
            let problem = Problem::stop("command", found, "see `spelch plan --help`");
            let data =
                if as_data { verbs::problems_as_data(&[problem]) } else { String::new() };
            Answer { code: 2, data, talk }
        }
        Err(help) => {
            Answer { code: 0, data: help.render().to_string(), talk: String::new() }
        }
    }
}

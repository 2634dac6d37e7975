//! `open`: the local page, and the worker behind it.

use super::Answer;
use super::args::{Format, OpenArgs};
use super::verbs::{Reader, SAMPLE, as_text, failed};
use crate::diag::{Failure, Place, Problem, Source};
use crate::page::{self, Desk, Opening, WorkerCommand};
use std::collections::BTreeMap;
use std::io::{BufReader, Write};
use std::path::Path;

/// The word that makes a worker of this program.
pub(super) const WORKER: &str = "page-worker";

/// Serves the page until it is stopped.
pub(super) fn open(args: &OpenArgs) -> Answer {
    let reader = Reader::default();
    let opened = desk(args, &reader).and_then(|(desk, files)| {
        let program = std::env::current_exe().map_err(|error| no_page(&error))?;
        let worker = WorkerCommand { program, word: WORKER.to_owned() };
        let opening = Opening { desk, files, port: args.port, worker };
        run(opening).map_err(|error| no_page(&error))
    });
    match opened {
        Ok(()) => Answer { talk: "the page is closed\n".to_owned(), ..Answer::default() },
        Err(failure) => failed(&failure, Format::Human, &reader.texts.borrow()),
    }
}

fn run(opening: Opening) -> std::io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    runtime.block_on(page::serve(opening, |address| {
        let words = format!(
            "the page is at\n  {address}\nopen it in a browser; Ctrl-C ends it\n"
        );
        // Nobody may be there to read it; the page is served all the same.
        let _ = std::io::stderr().write_all(words.as_bytes());
    }))
}

fn no_page(error: &std::io::Error) -> Failure {
    let found = format!("the page cannot be served: {error}");
    let hint = "name another port with `--port`, or plan with `spelch plan`";
    Failure::input(Problem::stop("no-page", found, hint))
}

/// What lies on the desk at first, and the bytes of its files.
fn desk(args: &OpenArgs, reader: &Reader) -> Result<(Desk, Vec<Vec<u8>>), Failure> {
    let Some(input) = &args.input else {
        return Ok((Desk { job: SAMPLE.to_owned(), files: BTreeMap::new() }, Vec::new()));
    };
    let bytes =
        reader.bytes(Path::new(input), input).map_err(|it| Failure::input(*it))?;
    let text = as_text(&bytes, &Place::whole(Source::Job, input.as_str()))?;
    Ok((Desk { job: text.to_owned(), files: BTreeMap::new() }, Vec::new()))
}

/// Works for a page until that has no more to ask.
pub(super) fn worker() -> Answer {
    let mut input = BufReader::new(std::io::stdin().lock());
    match page::work(&mut input, &mut std::io::stdout().lock()) {
        Ok(()) => Answer::default(),
        Err(error) => Answer { code: 2, talk: format!("{error}\n"), ..Answer::default() },
    }
}

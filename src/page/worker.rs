//! The worker: requests in, a line each, and answers out; it plans, and keeps what is dear.

use super::desk::{Ask, Desk, Said};
use super::shown;
use crate::diag::{Failure, Problem};
use crate::read::{self, Checked, Given};
use crate::work::{self, Planned};
use std::collections::BTreeMap;
use std::io::{BufRead, Write};

/// What the worker keeps from one request to the next.
#[derive(Debug, Default)]
pub struct Keep {
    /// Files by their digests.
    files: BTreeMap<String, Vec<u8>>,
    /// The last desk that was planned.
    last: Option<(Desk, Planned)>,
}

/// Answers requests until there are no more.
///
/// # Errors
/// The other end cannot be read or written any more.
pub fn work(input: &mut impl BufRead, output: &mut impl Write) -> std::io::Result<()> {
    let mut keep = Keep::default();
    let mut line = String::new();
    while 0 < input.read_line(&mut line)? {
        let ask: Ask = serde_json::from_str(&line)?;
        line.clear();
        match ask {
            Ask::Keep { digest, bytes } => {
                let mut file = vec![0; bytes];
                input.read_exact(&mut file)?;
                keep.files.insert(digest, file);
            }
            Ask::Plan { desk } => {
                let shown = keep.shown(&desk);
                answer(output, Some(("application/json", &shown)))?;
            }
            Ask::Made { desk, file } => {
                let made = keep.made(&desk, &file);
                let made = made.as_deref().map(|bytes| (kind(&file), bytes));
                answer(output, made)?;
            }
        }
    }
    Ok(())
}

fn answer(output: &mut impl Write, answer: Option<(&str, &[u8])>) -> std::io::Result<()> {
    let said = Said::Answer {
        kind: answer.map(|(kind, _)| kind.to_owned()),
        bytes: answer.map_or(0, |(_, bytes)| bytes.len()),
    };
    serde_json::to_writer(&mut *output, &said)?;
    output.write_all(b"\n")?;
    output.write_all(answer.map_or(&[], |(_, bytes)| bytes))?;
    output.flush()
}

/// What a file is, as HTTP calls it, by its name.
fn kind(file: &str) -> &'static str {
    match file.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("json") => "application/json",
        Some("pdf") => "application/pdf",
        _ => "text/plain; charset=utf-8",
    }
}

impl Keep {
    /// The plan of a desk as the page shows it, or why there is none.
    fn shown(&mut self, desk: &Desk) -> Vec<u8> {
        let answer = match self.planned(desk) {
            Ok(planned) => serde_json::to_vec(&shown::shown(desk, planned)),
            Err(failure) => serde_json::to_vec(&shown::refused(desk, &failure)),
        };
        answer.unwrap_or_default()
    }

    /// One file of the plan of a desk.
    fn made(&mut self, desk: &Desk, file: &str) -> Option<Vec<u8>> {
        let planned = self.planned(desk).ok()?;
        let bundle = planned.bundle().only(&planned.shop.files);
        bundle.files.into_iter().find(|(name, _)| name == file).map(|(_, bytes)| bytes)
    }

    fn planned(&mut self, desk: &Desk) -> Result<&Planned, Failure> {
        if !self.last.as_ref().is_some_and(|(last, _)| last == desk) {
            let planned = self.plan(desk)?;
            self.last = Some((desk.clone(), planned));
        }
        match &self.last {
            Some((_, planned)) => Ok(planned),
            None => Err(Failure::Input(Vec::new())),
        }
    }

    fn plan(&self, desk: &Desk) -> Result<Planned, Failure> {
        let job = read::job_with(Desk::JOB, &desk.job, &Given::default())?.value;
        let load = |name: &str| self.file(desk, name);
        Ok(work::plan_job(&job, &load)?.value)
    }

    fn file(&self, desk: &Desk, name: &str) -> Checked<Vec<u8>> {
        let bytes = desk.files.get(name).and_then(|digest| self.files.get(digest));
        bytes.cloned().ok_or_else(|| {
            let found = format!("the job names `{name}`, and that file is not here");
            let hint = "drop the file onto the page beside the job";
            Box::new(Problem::stop("file-not-here", found, hint))
        })
    }
}

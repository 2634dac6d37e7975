//! `open`: the local page, and the worker behind it.

use super::Answer;
use super::args::{Format, OpenArgs};
use super::open_options::options;
use super::verbs::{Reader, as_text, failed};
use crate::diag::{Failure, Place, Problem, Source};
use crate::files;
use crate::page::{
    self, Desk, Opening, WorkerCommand, digest, job_of_drawing, named_job, with_options,
};
use crate::read::{self, Job, PostChoice, ShapeSource};
use std::collections::BTreeMap;
use std::io::{BufReader, Write};
use std::path::{Path, PathBuf};

/// The word that makes a worker of this program.
pub(super) const WORKER: &str = "page-worker";

/// Serves the page until it is stopped.
pub(super) fn open(args: &OpenArgs) -> Answer {
    let reader = Reader::default();
    let opened = opening(args, &reader)
        .and_then(|opening| run(opening).map_err(|error| no_page(&error)));
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

/// What is served: the input with the files it names, if there is one, and the person's rack.
fn opening(args: &OpenArgs, reader: &Reader) -> Result<Opening, Failure> {
    let program = std::env::current_exe().map_err(|error| no_page(&error))?;
    let worker = WorkerCommand { program, word: WORKER.to_owned() };
    let rack = files::rack_path().filter(|path| path.is_file());
    let named = |path: PathBuf| reader.bytes(&path, &path.display().to_string());
    let rack = rack.map(named).transpose();
    let rack = rack.map_err(|problem| Failure::input(*problem))?;
    let mut files = Vec::new();
    let desk = match &args.input {
        None => None,
        Some(input) => Some(desk(input, (args, reader), &mut files)?),
    };
    let assets = args.assets.as_ref().map(PathBuf::from);
    Ok(Opening { desk, rack, files, port: args.port, worker, assets })
}

/// A job or a drawing as a desk, with the options in it, and the bytes of its files.
fn desk(
    input: &str,
    (args, reader): (&OpenArgs, &Reader),
    bytes: &mut Vec<Vec<u8>>,
) -> Result<Desk, Failure> {
    let path = Path::new(input);
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let read = reader.bytes(path, &file).map_err(|problem| Failure::input(*problem))?;
    let is_job = path.extension().is_some_and(|end| end.eq_ignore_ascii_case("toml"));
    let mut files = BTreeMap::new();
    let mut keep = |name: String, read: Vec<u8>| {
        files.insert(name, digest(&read));
        bytes.push(read);
    };
    let begun = if is_job {
        named_job(as_text(&read, &Place::whole(Source::Job, file.as_str()))?, &file)
    } else {
        let job = job_of_drawing(&file, None);
        keep(file.clone(), read);
        job
    };
    let mut options = options(&args.job);
    let rack = args.job.bench.bits.as_ref().map(|rack| (Path::new(rack), rack));
    let rack = rack.map(|(path, rack)| {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        reader.bytes(path, rack).map(|read| (name, read))
    });
    let rack = rack.transpose().map_err(|problem| Failure::input(*problem))?;
    if let Some((name, _)) = &rack {
        options.push(("rack".to_owned(), name.as_str().into()));
    }
    let job = with_options(&begun, &options)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    // A job that cannot be read names nothing; the page says what is wrong with it.
    let known = read::job(&file, &job).map(|told| told.value).unwrap_or_default();
    let is_kept = |name: &String| {
        *name == file || rack.as_ref().is_some_and(|(rack, _)| rack == name)
    };
    for named in files_named(&known).filter(|name| !is_kept(name)) {
        // One that is not there is told on the page, where it can be chosen.
        if let Ok(read) = reader.bytes(&folder.join(&named), &named) {
            keep(named, read);
        }
    }
    if let Some((name, read)) = rack {
        keep(name, read);
    }
    Ok(Desk { job, files })
}

/// The files that a job names.
fn files_named(job: &Job) -> impl Iterator<Item = String> + '_ {
    let shapes = job.shape.iter().chain(job.mate.as_ref().map(|mate| &mate.shape));
    let drawings = shapes.filter_map(|shape| match shape {
        ShapeSource::Drawing(file) => Some(file.clone()),
        _ => None,
    });
    let post = match &job.machine.post {
        Some(PostChoice::Named(name)) if Path::new(name).extension().is_some() => {
            Some(name.clone())
        }
        _ => None,
    };
    drawings.chain(job.rack_file.clone()).chain(post)
}

/// Works for a page until that has no more to ask.
pub(super) fn worker() -> Answer {
    let mut input = BufReader::new(std::io::stdin().lock());
    match page::work(&mut input, &mut std::io::stdout().lock()) {
        Ok(()) => Answer::default(),
        Err(error) => Answer { code: 2, talk: format!("{error}\n"), ..Answer::default() },
    }
}

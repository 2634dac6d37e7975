//! The worker: requests in, a line each, and answers out; it plans, and keeps what is dear.

use super::change::{Before, Change, changed, without_grain};
use super::desk::{Ask, Desk, Said};
use super::fields::fields;
use super::offers::offers;
use super::rack::{self, Held};
use super::shown::{Beside, Came, Refused, notes_of, sheets, shown};
use super::start::{job_file, named_job};
use crate::diag::{Failure, Place, Problem, Source};
use crate::files;
use crate::geom::Point;
use crate::outline::edge_near;
use crate::read::{self, Checked, EdgeRef, Given, Job, Rack, RackFrom};
use crate::sheet::{PageSize, PatternOf, Printer, ProgramLine, Stepped, drawing_marked};
use crate::units::Paper;
use crate::work::{self, Kept, Means, Planned};
use serde_json::json;
use std::collections::{BTreeMap, VecDeque};
use std::io::{BufRead, Write};

/// What the worker keeps from one request to the next.
#[derive(Debug, Default)]
pub struct Keep {
    files: Files,
    /// What the last plan has left.
    outlines: Kept,
    /// The desks that were planned last, the newest first.
    planned: VecDeque<(Desk, OnDesk)>,
    /// The bits held to the last desk but for its grain.
    bits: Option<(Desk, Held)>,
}

/// Files by their digests.
#[derive(Debug, Default)]
struct Files(BTreeMap<String, Vec<u8>>);

/// What a desk gives.
#[derive(Debug)]
struct OnDesk {
    job: Job,
    planned: Planned,
    /// Why there is no program, where one was asked for.
    refused: Option<Problem>,
}

impl OnDesk {
    /// Which of the places by which its job calls edges lie on the same edge as this one.
    fn same_edge(&self, at: Point) -> Vec<usize> {
        let outlines = || {
            let all = self.planned.plan.parts.iter().map(|part| &part.outline);
            all.filter(|outline| !outline.mirrored)
        };
        let of = |at: Point| edge_near(outlines(), at).map(std::ptr::from_ref);
        let places = self.job.roles.iter().filter_map(|wish| match wish.which {
            EdgeRef::At(place) => Some(place),
            EdgeRef::Side(_) | EdgeRef::Name(_) => None,
        });
        let same = places.enumerate().filter(|(_, place)| of(*place) == of(at));
        same.map(|(index, _)| index).collect()
    }
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
                keep.files.0.insert(digest, file);
            }
            Ask::Plan { desk, change, in_sight } => {
                let came = keep.came((desk, change.as_ref()), &in_sight, output);
                answer(output, Some((JSON, &came)))?;
            }
            Ask::Made { desk, file } => {
                let made = keep.made(&desk, &file);
                let made = made.as_deref().map(|bytes| (kind(&file), bytes));
                answer(output, made)?;
            }
            Ask::Sheets { desk } => {
                let sheets = keep.sheets(&desk);
                answer(output, sheets.as_deref().map(|bytes| (JSON, bytes)))?;
            }
            Ask::Steps { desk, program } => {
                let steps = keep.steps(&desk, program);
                answer(output, steps.as_deref().map(|bytes| (JSON, bytes)))?;
            }
            Ask::Offers => answer(output, Some((JSON, &offers())))?,
        }
    }
    Ok(())
}

const JSON: &str = "application/json";
const PDF: &str = "application/pdf";

fn answer(output: &mut impl Write, answer: Option<(&str, &[u8])>) -> std::io::Result<()> {
    let said = Said::Answer {
        kind: answer.map(|(kind, _)| kind.to_owned()),
        bytes: answer.map_or(0, |(_, bytes)| bytes.len()),
    };
    say(output, &said)?;
    output.write_all(answer.map_or(&[], |(_, bytes)| bytes))?;
    output.flush()
}

fn say(output: &mut impl Write, said: &Said) -> std::io::Result<()> {
    serde_json::to_writer(&mut *output, said)?;
    output.write_all(b"\n")?;
    output.flush()
}

/// What a file is, as HTTP calls it, by its name.
fn kind(file: &str) -> &'static str {
    match file.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("json") => JSON,
        Some("pdf") => PDF,
        _ => "text/plain; charset=utf-8",
    }
}

/// The job of a desk, called as its file is when it is handed out.
fn job_of(desk: &Desk) -> Result<Job, Failure> {
    let file = job_file(&desk.job);
    Ok(read::job_with(&file, &desk.job, &Given::default())?.value)
}

impl Keep {
    /// What comes of a desk after a change.
    fn came(
        &mut self,
        (mut desk, change): (Desk, Option<&Change>),
        in_sight: &[String],
        output: &mut impl Write,
    ) -> Vec<u8> {
        desk.job = named_job(&desk.job, "part");
        let mut tell = |stage: &str| {
            // Where nobody hears it any more, the answer will find nobody either.
            let _ = say(output, &Said::At(stage.to_owned()));
        };
        let changed = change.map_or(Ok(None), |change| {
            let before = self.before(&desk, change);
            changed(&desk.job, change, &before).map(Some)
        });
        let came = changed.and_then(|job| {
            desk.job = job.unwrap_or_else(|| std::mem::take(&mut desk.job));
            self.plan(&desk, &mut tell)
        });
        tell("sheet");
        let came = match came {
            Ok(()) => self.shown(&desk, in_sight),
            Err(failure) => self.refused(desk, &failure),
        };
        serde_json::to_vec(&came).unwrap_or_default()
    }

    /// What a change needs to know of the plan before it: of the desk, or of any with this job's
    /// grain.
    fn before(&mut self, desk: &Desk, change: &Change) -> Before {
        let planned = self.plan(desk, &mut |_stage| {});
        if let (Some((_, on_desk)), Ok(())) = (self.planned.front(), planned) {
            let Planned { plan, shop, .. } = &on_desk.planned;
            let faces = plan.set_ups.iter().map(|set_up| set_up.face_up()).collect();
            let same_edge = change.place().map(|at| on_desk.same_edge(at));
            return Before {
                grain: shop.stock.grain,
                faces,
                paper: shop.paper.unit,
                same_edge: same_edge.unwrap_or_default(),
            };
        }
        let job = job_of(desk).unwrap_or_default();
        let grain = match job.grain {
            Some(read::GrainWish::Degrees(degrees)) => degrees,
            Some(read::GrainWish::Across) => 90.0,
            Some(read::GrainWish::Long) | None => 0.0,
        };
        let (faces, same_edge) = (Vec::new(), Vec::new());
        Before { grain, faces, paper: job.paper_unit(), same_edge }
    }

    fn shown(&mut self, desk: &Desk, in_sight: &[String]) -> Came {
        let Some((_, OnDesk { job, planned, refused })) = self.planned.front() else {
            return self.refused(desk.clone(), &Failure::Input(Vec::new()));
        };
        let but_for_grain = Desk { job: without_grain(&desk.job), ..desk.clone() };
        if self.bits.as_ref().is_none_or(|(known, _)| *known != but_for_grain) {
            let load = |name: &str| self.files.of(desk, name);
            let held = rack::held(job, (&load, &mut self.outlines));
            // Without bits to choose from the plan is shown all the same.
            self.bits = held.ok().map(|held| (but_for_grain, held));
        }
        let held = self.bits.as_ref().map(|(_, held)| held);
        let bits = held.map(|held| held.shown(&planned.plan, planned.shop.paper));
        let beside = Beside { bits: bits.unwrap_or_default(), refused: refused.clone() };
        let rack = job.rack_file.as_deref();
        let seen = planned.seen(in_sight);
        Came::Plan { shown: Box::new(shown((desk, rack), planned, (seen, beside))) }
    }

    fn refused(&self, desk: Desk, failure: &Failure) -> Came {
        let wants = failure.problems().iter().find(|problem| problem.id == NOT_HERE);
        let wants = wants.map(|problem| problem.expected.clone());
        let drawing = self.marked(&desk, failure);
        let unit = job_of(&desk).unwrap_or_default().paper_unit();
        let fields = fields(&desk.job);
        let problems = notes_of(failure, (Paper { unit, ..Paper::MM }, &fields));
        let job_file = job_file(&desk.job);
        let refused = Refused { desk, problems, drawing, wants, fields, job_file };
        Came::None(Box::new(refused))
    }

    /// What is drawn, as far as it can be read, with the places of problems marked on it;
    /// nothing where none has a place.
    fn marked(&self, desk: &Desk, failure: &Failure) -> Option<String> {
        let places =
            failure.problems().iter().filter_map(|problem| problem.place.as_ref());
        let places: Vec<Point> =
            places.filter_map(|place| place.at).map(|(x, y)| Point::new(x, y)).collect();
        if places.is_empty() {
            return None;
        }
        let job = job_of(desk).ok()?;
        let drawing =
            read::drawing(&job, &|name: &str| self.files.of(desk, name)).ok()?.value;
        Some(drawing_marked(&drawing, &places))
    }

    /// The sheets of the plan of a desk.
    fn sheets(&mut self, desk: &Desk) -> Option<Vec<u8>> {
        self.plan(desk, &mut |_stage| {}).ok()?;
        let (_, OnDesk { planned, .. }) = self.planned.front()?;
        serde_json::to_vec(&sheets(planned)).ok()
    }

    /// A program of the plan of a desk, line by line.
    fn steps(&mut self, desk: &Desk, program: usize) -> Option<Vec<u8>> {
        self.plan(desk, &mut |_stage| {}).ok()?;
        let (_, OnDesk { planned, .. }) = self.planned.front()?;
        let Stepped { picture, lines } = planned.stepped(program)?;
        let steps: Vec<_> = lines
            .iter()
            .map(|ProgramLine { number, text, path, words }| {
                json!({ "line": number, "text": text, "path": path, "words": words })
            })
            .collect();
        serde_json::to_vec(&json!({ "svg": picture, "steps": steps })).ok()
    }

    /// One file of the plan of a desk.
    fn made(&mut self, desk: &Desk, file: &str) -> Option<Vec<u8>> {
        self.plan(desk, &mut |_stage| {}).ok()?;
        let (_, OnDesk { job, planned, .. }) = self.planned.front()?;
        if job.rack_file.as_deref() == Some(file) {
            return self.files.of(desk, file).ok();
        }
        let stem = planned.stem();
        let page = match file.strip_prefix(&stem)? {
            ".toml" => return Some(desk.job.clone().into_bytes()),
            "-pattern-a4.pdf" => Some(PageSize::A4),
            "-pattern-letter.pdf" => Some(PageSize::Letter),
            _ => None,
        };
        let files = match page {
            None => planned.bundle().only(&planned.shop.files).files,
            Some(page) => {
                let printer = Printer { page, of: PatternOf::Part, measured: None };
                let load = |name: &str| self.files.of(desk, name);
                work::pattern(job, &load, &printer).ok()?.value.files
            }
        };
        let is_it = |name: &str| match page {
            None => name == file,
            Some(_) => kind(name) == PDF,
        };
        files.into_iter().find(|(name, _)| is_it(name)).map(|(_, bytes)| bytes)
    }

    /// Plans a desk, unless it was one of the last that were planned; its plan then stands first.
    fn plan(
        &mut self,
        desk: &Desk,
        tell: &mut dyn FnMut(&'static str),
    ) -> Result<(), Failure> {
        if let Some(index) = self.planned.iter().position(|(known, _)| known == desk) {
            self.planned.swap(0, index);
        } else {
            let on_desk = self.plan_anew(desk, tell)?;
            self.planned.push_front((desk.clone(), on_desk));
            self.planned.truncate(PLANS);
        }
        Ok(())
    }

    fn plan_anew(
        &mut self,
        desk: &Desk,
        tell: &mut dyn FnMut(&'static str),
    ) -> Result<OnDesk, Failure> {
        let mut job = job_of(desk)?;
        self.rack(desk, &mut job)?;
        let load = |name: &str| self.files.of(desk, name);
        let load: &read::Load<'_> = &load;
        let kept = &mut self.outlines;
        if let Some(choice) = job.machine.post.take() {
            let post = read::post_loaded(choice, load);
            job.machine.post = Some(post.map_err(|problem| Failure::input(*problem))?);
        }
        let has_machine = job.machine.end_mill.is_some() || job.machine.mill.is_some();
        match work::plan_job_by(&job, Means { load, tell, kept }) {
            Ok(told) => Ok(OnDesk { job, planned: told.value, refused: None }),
            Err(Failure::Refused(problems)) if has_machine => {
                // The plan may hold where the program does not.
                let by_hand =
                    Job { machine: read::MachineWish::default(), ..job.clone() };
                let planned = work::plan_job_by(&by_hand, Means { load, tell, kept })
                    .map_err(|_same| Failure::Refused(problems.clone()))?
                    .value;
                Ok(OnDesk { job, planned, refused: problems.into_iter().next() })
            }
            Err(failure) => Err(failure),
        }
    }

    /// Puts its rack into a job. Where nothing is named on the one that jobs share its bits are
    /// only there to choose from, and the job is planned without them if it cannot be read.
    fn rack(&self, desk: &Desk, job: &mut Job) -> Result<(), Failure> {
        let has_shared = desk.files.contains_key(Desk::SHARED_RACK);
        job.rack = match job.rack_from() {
            RackFrom::Own(file) => self.rack_in(desk, (file, file))?,
            _ if !has_shared => return Ok(()),
            RackFrom::Shared => self.rack_in(desk, SHARED)?,
            RackFrom::Nowhere => self.rack_in(desk, SHARED).unwrap_or_default(),
        };
        Ok(())
    }

    /// The rack in a file of the desk, and what the person calls that.
    fn rack_in(&self, desk: &Desk, (file, name): (&str, &str)) -> Result<Rack, Failure> {
        let bytes =
            self.files.of(desk, file).map_err(|problem| Failure::input(*problem))?;
        let text = String::from_utf8(bytes).map_err(|_bytes| {
            let found = format!("`{name}` is not text");
            let place = Place::whole(Source::BitRack, name);
            Failure::input(
                Problem::stop("not-text", found, "save the file as UTF-8").at(place),
            )
        })?;
        Ok(read::rack(name, &text)?.value)
    }
}

/// The rack that jobs share: what it is kept under, and its file's name.
const SHARED: (&str, &str) = (Desk::SHARED_RACK, files::RACK);

impl Files {
    /// A file of a desk.
    fn of(&self, desk: &Desk, name: &str) -> Checked<Vec<u8>> {
        let bytes = desk.files.get(name).and_then(|digest| self.0.get(digest));
        bytes.cloned().ok_or_else(|| {
            let found = format!("the job names `{name}`, and that file is not here");
            let hint = "choose that file too, or drop it on the page";
            Box::new(Problem::stop(NOT_HERE, found, hint).expected(name))
        })
    }
}

/// So many plans are kept (from memory): this one and the one before it, which undo goes back to.
const PLANS: usize = 2;

/// What is told of a file that the job names and the desk has not.
const NOT_HERE: &str = "file-not-here";

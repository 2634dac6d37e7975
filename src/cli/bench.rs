//! The verbs of the bench: patterns, layouts, joints and wedges.

use super::args::PlanArgs;
use super::bench_args::{JointArgs, PatternArgs, TestPieceArgs, WedgeArgs};
use super::show::all_shown;
use super::verbs::{Reader, To, as_text, failed, listed, whole_job, written};
use super::{Answer, joint_wishes, rack, wedge_wishes, wishes};
use crate::diag::{Failure, Place, Problem, Source};
use crate::files;
use crate::read::{self, Job, Readings};
use crate::sheet::Bundle;
use crate::work;
use std::path::Path;

/// Draws a job at full size and saves its sheets of paper.
pub(super) fn pattern(args: &PatternArgs) -> Answer {
    let reader = Reader::default();
    let to = &To::of(&args.plan);
    let made = wishes::printer(args).and_then(|printer| {
        let plan = &args.plan;
        let (job, folder) = whole_job(plan.input.as_deref(), &plan.job, &reader)?;
        let load = |name: &str| reader.bytes(&folder.join(name), name);
        work::pattern(&job, &load, &printer)
    });
    match made {
        Ok(told) => saved(to, (&told.value, "pattern"), &told.notes, &reader),
        Err(failure) => failed(&failure, to.format, &reader.texts.borrow()),
    }
}

/// Lays a job out for the pencil and saves its sheets.
pub(super) fn layout(args: &PlanArgs) -> Answer {
    let reader = Reader::default();
    let job = whole_job(args.input.as_deref(), &args.job, &reader);
    let made = job.and_then(|(job, folder)| {
        let load = |name: &str| reader.bytes(&folder.join(name), name);
        work::layout(&job, &load)
    });
    let to = &To::of(args);
    match made {
        Ok(told) => saved(to, (&told.value, "layout"), &told.notes, &reader),
        Err(failure) => failed(&failure, to.format, &reader.texts.borrow()),
    }
}

/// Writes the program and sheet of a test piece, or says what its readings tell.
pub(super) fn test_piece(args: &TestPieceArgs) -> Answer {
    let reader = Reader::default();
    let plan = &args.plan;
    let made =
        whole_job(plan.input.as_deref(), &plan.job, &reader).and_then(|(job, folder)| {
            let file = args.readings.as_deref();
            let readings = file.map(|name| readings(name, &job, &reader)).transpose()?;
            let load = |name: &str| reader.bytes(&folder.join(name), name);
            work::test_piece(&job, &load, (readings.as_ref(), args.climb))
        });
    let to = &To::of(plan);
    match made {
        Ok(told) => saved(to, (&told.value, "testpiece"), &told.notes, &reader),
        Err(failure) => failed(&failure, to.format, &reader.texts.borrow()),
    }
}

/// Reads a file of readings.
fn readings(name: &str, job: &Job, reader: &Reader) -> Result<Readings, Failure> {
    let bytes = reader.bytes(Path::new(name), name);
    let bytes = bytes.map_err(|problem| Failure::input(*problem))?;
    let place = Place::whole(Source::Job, name);
    read::readings(name, as_text(&bytes, &place)?, job.units)
}

/// Sizes wedges and saves their sheet.
pub(super) fn wedges(args: &WedgeArgs) -> Answer {
    let asked = wedge_wishes::asked(args).map_err(Failure::Input);
    let made = asked.and_then(|(ask, paper)| work::wedges(&ask, paper, &args.name));
    let reader = Reader::default();
    let to = &To {
        out: args.to.out.as_deref(),
        force: args.to.force,
        format: args.said.format,
    };
    match made {
        Ok(bundle) => saved(to, (&bundle, "wedges"), &[], &reader),
        Err(failure) => failed(&failure, to.format, &reader.texts.borrow()),
    }
}

/// Draws a joint by name, and plans it where a bit is named.
pub(super) fn joint(args: &JointArgs) -> Answer {
    let reader = Reader::default();
    let nothing = |name: &str| reader.bytes(Path::new(name), name);
    let to = &To {
        out: args.to.out.as_deref(),
        force: args.to.force,
        format: args.job.said.format,
    };
    let job = joint_wishes::job(args).map_err(Failure::Input);
    let answer = job.and_then(|mut job| {
        reader.write_as(&job);
        if job.bits.is_empty() {
            let made = work::joint(&job, &nothing)?;
            return Ok(saved(to, (&made.value, "joint"), &made.notes, &reader));
        }
        let named = (args.job.bench.bits.as_deref(), Path::new(""));
        if let Some(rack) = rack::of_job(&job, named, &reader)? {
            job.rack = rack;
        }
        Ok(written(to, &work::plan_job(&job, &nothing)?.value, &reader))
    });
    answer.unwrap_or_else(|failure| failed(&failure, to.format, &reader.texts.borrow()))
}

/// Saves files that are no whole plan, and says which and where.
fn saved(
    to: &To<'_>,
    (bundle, what): (&Bundle, &str),
    notes: &[Problem],
    reader: &Reader,
) -> Answer {
    let folder = to.out.map_or_else(|| format!("{}-{what}", bundle.name), str::to_owned);
    if let Err(failure) = files::save(bundle, Path::new(&folder), to.force) {
        return failed(&failure, to.format, &reader.texts.borrow());
    }
    let notes = all_shown(notes, &reader.texts.borrow());
    let list = listed(bundle);
    let talk =
        format!("{notes}{what} of {}, written into {folder}:\n{list}", bundle.name);
    Answer { code: 0, data: String::new(), talk }
}

//! `look`: a drawing or a job is read, repaired, told and drawn, and nothing is planned.

use super::Answer;
use super::args::{Format, LookArgs};
use super::show::all_shown;
use super::verbs::{Reader, failed, job};
use super::wishes;
use crate::diag::{Failure, Told};
use crate::outline::Outline;
use crate::read::Job;
use crate::sheet::Look;
use crate::{files, work};
use std::path::Path;

/// Carries it out.
pub(super) fn look(args: &LookArgs) -> Answer {
    let reader = Reader::default();
    let done = looked_at(args, &reader);
    done.unwrap_or_else(|failure| failed(&failure, args.format, &reader.texts.borrow()))
}

fn looked_at(args: &LookArgs, reader: &Reader) -> Result<Answer, Failure> {
    let given = wishes::given_of(args.units.as_deref(), &args.set);
    let given = given.map_err(Failure::Input)?;
    let (job, folder) = job(Some(&args.input), &given, reader)?;
    let units = job.units.or(given.units);
    let job = wishes::lay_size_over(Job { units, ..job }, &args.drawn);
    let job = job.map_err(Failure::Input)?;
    reader.write_as(&job);
    let load = |name: &str| reader.bytes(&folder.join(name), name);
    let Told { value: parts, notes } = work::outlines(&job, &load)?;
    let first = parts.first().map_or("", |part: &Outline| part.name.as_str());
    let name = job.name.as_deref().unwrap_or(first);
    let look = Look { name, parts: &parts, paper: job.on_paper(), notes: &notes };
    let picture = args.picture.clone().unwrap_or_else(|| look.picture_name());
    files::write(Path::new(&picture), look.picture().as_bytes(), args.force)?;
    let data = match args.format {
        Format::Human => look.words(),
        Format::Json => look.data(),
    };
    let notes = all_shown(&notes, &reader.texts.borrow());
    Ok(Answer { code: 0, data, talk: format!("{notes}drawn in {picture}\n") })
}

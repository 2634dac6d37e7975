//! The bit rack: found, read, listed.

use super::Answer;
use super::args::{Format, PlanArgs};
use super::verbs::{Reader, as_text, failed};
use crate::diag::{Failure, Place, Problem, Source};
use crate::files;
use crate::read::{self, Job, Rack, RackBit, RackFrom};
use crate::units::{Diameter, Mm, Paper, Unit};
use serde_json::json;
use std::path::Path;

/// The rack that a job's bits are named on, if any is a name: of `--bits`, of the job itself
/// (named relative to it), or the one that jobs share. One that is asked for is read even where
/// nothing is named on it: what is wrong with it is told.
///
/// # Errors
/// What is wrong with the rack's file.
pub(super) fn of_job(
    job: &Job,
    (option, folder): (Option<&str>, &Path),
    reader: &Reader,
) -> Result<Option<Rack>, Failure> {
    match (option, job.rack_from()) {
        (Some(file), _) => read_rack(Path::new(file), file, reader).map(Some),
        (None, RackFrom::Own(file)) => {
            read_rack(&folder.join(file), file, reader).map(Some)
        }
        (None, RackFrom::Shared) => shared(reader),
        (None, RackFrom::Nowhere) => Ok(None),
    }
}

/// The rack that jobs share, if there is one.
fn shared(reader: &Reader) -> Result<Option<Rack>, Failure> {
    let path = files::rack_path().filter(|path| path.is_file());
    path.map(|path| read_rack(&path, &path.display().to_string(), reader)).transpose()
}

/// Reads a rack; `name` is how the person calls its file.
fn read_rack(path: &Path, name: &str, reader: &Reader) -> Result<Rack, Failure> {
    let bytes = reader.bytes(path, name).map_err(|problem| Failure::input(*problem))?;
    let place = Place::whole(Source::BitRack, name);
    Ok(read::rack(name, as_text(&bytes, &place)?)?.value)
}

/// Lists the rack.
pub(super) fn list(args: &PlanArgs) -> Answer {
    let reader = Reader::default();
    let rack = match &args.job.bench.bits {
        Some(file) => read_rack(Path::new(file), file, &reader).map(Some),
        None => shared(&reader),
    };
    let rack = rack.and_then(|rack| rack.ok_or_else(|| Failure::input(no_rack())));
    match rack {
        Ok(rack) => {
            let data = match args.job.said.format {
                Format::Human => rack.bits.iter().map(in_words).collect(),
                Format::Json => as_data(&rack),
            };
            let talk = format!("{} bits in {}\n", rack.bits.len(), rack.name);
            Answer { code: 0, data, talk }
        }
        Err(failure) => failed(&failure, args.job.said.format, &reader.texts.borrow()),
    }
}

fn no_rack() -> Problem {
    let found = match files::rack_path() {
        Some(path) => format!("there is no bit rack at `{}`", path.display()),
        None => "this system does not say where settings are kept".to_owned(),
    };
    let hint = "write that file, a table for each bit, like `[half-pattern]` with `cutter = \"1/2in\"`, `bearing-at = \"shank\"` and `cut-length = \"1in\"` below it; or name another file with `--bits FILE`";
    Problem::stop("rack-missing", found, hint)
}

/// A bit in a paragraph: what is known of it, in millimetres and inches.
fn in_words(bit: &RackBit) -> String {
    let both = |mm: f64| {
        let inches = Paper { unit: Unit::Inch, fraction: 64 };
        format!("{} ({})", Paper::MM.fine(mm), inches.length(mm))
    };
    let rides = both(bit.bearing.unwrap_or(bit.cutter).mm());
    let mut lines = vec![
        format!("cutter {}", both(bit.cutter.mm())),
        match bit.guided {
            read::BearingAt::Bush => format!("runs in a {rides} bush"),
            read::BearingAt::Both => format!("{rides} bearing at either end"),
            read::BearingAt::Shank => format!("{rides} bearing by the shank"),
            read::BearingAt::Tip => format!("{rides} bearing at the tip"),
        },
    ];
    let more = [
        ("cutting length", bit.cut_length),
        ("bearing height", bit.bearing_height),
        ("reach below the base", bit.reach),
        ("shank", bit.shank.map(|shank| Mm::of(shank.mm()))),
    ];
    let known = more.into_iter().filter_map(|(what, length)| Some((what, length?)));
    lines.extend(known.map(|(what, length)| format!("{what} {}", both(length.mm()))));
    let fitting: Vec<String> = bit.bearings.iter().map(|one| both(one.mm())).collect();
    if !fitting.is_empty() {
        lines.push(format!("bearings that fit: {}", fitting.join(", ")));
    }
    lines.extend(bit.flutes.map(|count| format!("cutting edges: {count}")));
    lines.extend(bit.marked_speed.map(|speed| format!("marked {speed} turns a minute")));
    format!("{}\n    {}\n", bit.name, lines.join("\n    "))
}

/// The rack as JSON, in mm.
fn as_data(rack: &Rack) -> String {
    let bits: Vec<_> = rack
        .bits
        .iter()
        .map(|bit| {
            json!({
                "name": bit.name, "cutter": bit.cutter.mm(), "guided": bit.guided.word(),
                "bearing": bit.bearing.unwrap_or(bit.cutter).mm(),
                "bearings": bit.bearings.iter().copied().map(Diameter::mm).collect::<Vec<_>>(),
                "bearing_height": bit.bearing_height.map(Mm::mm),
                "cut_length": bit.cut_length.map(Mm::mm), "reach": bit.reach.map(Mm::mm),
                "shank": bit.shank.map(Diameter::mm), "flutes": bit.flutes,
                "marked_speed": bit.marked_speed,
            })
        })
        .collect();
    json!({ "rack": rack.name, "bits": bits }).to_string() + "\n"
}

//! `new`: a commented starting job that plans as it stands.

use super::Answer;
use super::args::{Format, NewArgs};
use super::show::Texts;
use super::verbs::failed;
use crate::diag::{Failure, Problem};
use crate::files;
use std::path::Path;

/// The job, with `NAME` where its name goes.
const START: &str = include_str!("start.toml");

/// Writes it; never over another file.
pub(super) fn new(args: &NewArgs) -> Answer {
    let name = args.name.strip_suffix(".toml").unwrap_or(&args.name);
    let file = format!("{name}.toml");
    let written = check_name(name).and_then(|()| {
        files::write(
            Path::new(&file),
            START.replace("NAME", stem(name)).as_bytes(),
            false,
        )
    });
    match written {
        Ok(()) => {
            let talk = format!(
                "written: {file}\nnow change it, and plan it with `spelch plan {file}`\n"
            );
            Answer { code: 0, data: String::new(), talk }
        }
        Err(failure) => failed(&failure, Format::Human, &Texts::default()),
    }
}

/// The last part of a path.
fn stem(name: &str) -> &str {
    name.rsplit(['/', '\\']).next().unwrap_or(name)
}

/// The name goes into a text in quotes and begins every file of the plan.
fn check_name(name: &str) -> Result<(), Failure> {
    let stem = stem(name);
    let plain = |letter: char| letter.is_alphanumeric() || "-_ .".contains(letter);
    if !stem.trim().is_empty() && stem.chars().all(plain) {
        return Ok(());
    }
    let found = format!("`{stem}` is no name for a job");
    let hint = "name it with letters, figures and hyphens, like `spelch new table-leg`";
    Err(Failure::input(Problem::stop("job-name", found, hint)))
}

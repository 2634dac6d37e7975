//! Reads one input file, within a limit.
#![expect(clippy::result_large_err, reason = "one file is read a run")]

use crate::diag::Problem;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The most bytes an input file may have (from memory: far above any drawing of a part).
pub const LARGEST_INPUT: usize = 20_000_000;

/// The most bytes a program may have (from memory: some 3 million lines).
const LARGEST_PROGRAM: u64 = 100_000_000;

/// The bytes of a program.
///
/// # Errors
/// As [`load`].
pub fn load_program(path: &Path) -> Result<Vec<u8>, Problem> {
    let hint = "no program for one blank is so long: name the right file, or have it written with \
                arcs instead of short lines";
    load_at_most(path, (LARGEST_PROGRAM, hint))
}

/// The bytes of a file.
///
/// # Errors
/// A problem that names the file and what to do, where it cannot be read or is too large.
pub fn load(path: &Path) -> Result<Vec<u8>, Problem> {
    let hint = "save only the part's outline from the drawing and try again";
    load_at_most(path, (LARGEST_INPUT as u64, hint))
}

/// The bytes of a file of at most so many; what to do about one that has more.
fn load_at_most(path: &Path, (limit, hint): (u64, &str)) -> Result<Vec<u8>, Problem> {
    let shown = path.display();
    let unreadable = |error: &std::io::Error| {
        Problem::stop(
            "file-unreadable",
            format!("cannot read `{shown}`: {error}"),
            "check the name and that the file may be read, then run it again",
        )
    };
    let file = File::open(path).map_err(|error| unreadable(&error))?;
    let kind = file.metadata().map_err(|error| unreadable(&error))?;
    if kind.is_dir() {
        return Err(Problem::stop(
            "file-is-a-folder",
            format!("`{shown}` is a folder, not a drawing or a job"),
            "name the file inside it",
        ));
    }
    let mut bytes = Vec::new();
    file.take(limit + 1).read_to_end(&mut bytes).map_err(|error| unreadable(&error))?;
    if limit < bytes.len() as u64 {
        return Err(Problem::stop(
            "file-too-large",
            format!("`{shown}` is larger than {limit} bytes"),
            hint,
        ));
    }
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::save::tests::Scratch;

    #[test]
    fn a_file_is_read_whole_up_to_the_limit() {
        let scratch = Scratch::new("load");
        let file = scratch.write("part.svg", b"12345");
        assert_eq!(
            load_at_most(&file, (5, "save less")).as_deref(),
            Ok(b"12345".as_slice())
        );
        let problem =
            load_at_most(&file, (4, "save less")).expect_err("one byte too many");
        assert_eq!(problem.id, "file-too-large");
        assert!(problem.found.contains("part.svg"), "{}", problem.found);
    }

    #[test]
    fn a_missing_file_and_a_folder_are_named() {
        let scratch = Scratch::new("missing");
        let missing = scratch.path("no-such.svg");
        let problem = load(&missing).expect_err("it is not there");
        assert!(problem.found.contains("no-such.svg"), "{}", problem.found);
        assert!(!problem.hint.is_empty(), "there is something to do");
        let problem = load(&scratch.path("")).expect_err("it is a folder");
        assert_eq!(problem.id, "file-is-a-folder");
    }
}

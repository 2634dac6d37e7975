//! One file by itself: a starting job, the picture of a drawing; and where the bit rack is kept.
#![expect(clippy::disallowed_methods, reason = "this is the room that touches the disk")]

use crate::diag::{Failure, Problem};
use etcetera::{AppStrategy, AppStrategyArgs, choose_app_strategy};
use std::fs;
use std::path::{Path, PathBuf};

/// Writes a file whole, or leaves everything as it was; one that is there is only replaced with
/// `force`.
///
/// # Errors
/// [`Failure::Input`] naming the file and what to do.
pub fn write(path: &Path, bytes: &[u8], force: bool) -> Result<(), Failure> {
    let shown = path.display();
    if !force && fs::symlink_metadata(path).is_ok() {
        let found =
            format!("`{shown}` is there already, and nothing is overwritten unasked");
        let hint = "choose another name, or move that file away";
        return Err(Failure::input(Problem::stop("file-exists", found, hint)));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = path.with_file_name(format!(".{name}-new-{}", std::process::id()));
    let written = fs::write(&beside, bytes).and_then(|()| fs::rename(&beside, path));
    written.map_err(|error| {
        // What was begun is of no use; that it cannot be removed changes nothing for the person.
        let _ = fs::remove_file(&beside);
        let found = format!("cannot write `{shown}`: {error}");
        let hint = "check that the folder is there and can be written to";
        Failure::input(Problem::stop("file-unwritable", found, hint))
    })
}

/// What the file of a bit rack is called that jobs share.
pub const RACK: &str = "bits.toml";

/// The file of the bit rack that jobs share: `bits.toml` in the folder that the platform keeps
/// for the settings of a program, if it says where that is.
pub fn rack_path() -> Option<PathBuf> {
    let (top_level_domain, author) = (String::new(), String::new());
    let app_name = env!("CARGO_PKG_NAME").to_owned();
    let names = AppStrategyArgs { top_level_domain, author, app_name };
    choose_app_strategy(names).ok().map(|folders| folders.config_dir().join(RACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::save::tests::Scratch;

    #[test]
    fn a_file_is_written_whole_and_never_over_another() {
        let scratch = Scratch::new("single");
        let path = scratch.path("foot.toml");
        write(&path, b"new", false).expect("a free name");
        let failure = write(&path, b"newer", false).expect_err("it is there");
        assert_eq!(failure.problems()[0].id, "file-exists");
        assert_eq!(fs::read(&path).expect("a file"), b"new", "as it was");
        write(&path, b"newer", true).expect("asked for");
        assert_eq!(fs::read(&path).expect("a file"), b"newer", "replaced");
        let failure =
            write(&scratch.path("no/where.toml"), b"x", false).expect_err("no folder");
        assert_eq!(failure.problems()[0].id, "file-unwritable");
        assert_eq!(
            fs::read_dir(scratch.path("")).expect("a folder").count(),
            1,
            "no rests"
        );
    }

    #[test]
    fn the_rack_is_kept_under_the_tools_own_name() {
        let path = rack_path().expect("this system says where settings are kept");
        assert!(path.ends_with("spelch/bits.toml"), "{}", path.display());
    }
}

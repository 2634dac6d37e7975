//! Writes a plan's folder: into a folder beside it first, then all at once by renaming.
#![expect(clippy::disallowed_methods, reason = "this is the room that touches the disk")]

use crate::diag::{Failure, Problem};
use crate::sheet::Bundle;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Writes all files of a bundle into `folder`, or none.
///
/// Where the folder is there already, nothing in it is touched without `force`; with it, files
/// of the bundle's names are replaced and all others stay.
///
/// # Errors
/// [`Failure::Input`] naming the folder and what to do; the folder is then as it was.
pub fn save(bundle: &Bundle, folder: &Path, force: bool) -> Result<(), Failure> {
    check_names(bundle)?;
    check_free(folder, force)?;
    let beside = beside(folder, "new");
    let written = write_all(bundle, &beside).and_then(|()| {
        if folder.exists() {
            replace_in(bundle, &beside, folder)
        } else {
            move_new(&beside, folder)
        }
    });
    let cleared = remove_folder(&beside);
    written.and(cleared).map_err(|error| cannot_write(folder, &error))
}

/// Every name is a plain file's name: nothing is written outside the folder.
fn check_names(bundle: &Bundle) -> Result<(), Failure> {
    for (name, _) in &bundle.files {
        if Path::new(name).file_name() != Some(name.as_ref()) {
            return Err(Failure::input(Problem::stop(
                "file-name",
                format!("`{name}` is not a plain file name"),
                "give the job a name of letters, figures and hyphens",
            )));
        }
    }
    Ok(())
}

/// The folder is not there, or empty, or may be written over.
fn check_free(folder: &Path, force: bool) -> Result<(), Failure> {
    let shown = folder.display();
    if folder.as_os_str().is_empty() {
        return Err(Failure::input(Problem::stop(
            "folder-without-name",
            "the folder to write into has no name",
            "name a folder with `--out`, or leave it out",
        )));
    }
    let Ok(there) = fs::metadata(folder) else { return Ok(()) };
    if !there.is_dir() {
        return Err(Failure::input(Problem::stop(
            "folder-is-a-file",
            format!("`{shown}` is a file, not a folder"),
            "name a folder with `--out`",
        )));
    }
    let empty = fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_none());
    if force || empty {
        return Ok(());
    }
    Err(Failure::input(Problem::stop(
        "folder-exists",
        format!("`{shown}` is there already, and nothing is overwritten unasked"),
        "name another folder with `--out`, or add `--force` to replace this plan's files in it",
    )))
}

fn cannot_write(folder: &Path, error: &io::Error) -> Failure {
    Failure::input(Problem::stop(
        "folder-unwritable",
        format!("cannot write `{}`: {error}", folder.display()),
        "check that the place can be written to, or name another with `--out`; nothing was changed",
    ))
}

/// A folder of our own beside the one asked for, on the same disk so that files can be moved.
fn beside(folder: &Path, what: &str) -> PathBuf {
    let name =
        folder.file_name().map_or_else(|| "plan".into(), std::ffi::OsStr::to_owned);
    let mut hidden = std::ffi::OsString::from(".");
    hidden.push(name);
    hidden.push(format!("-{what}-{}", std::process::id()));
    folder.with_file_name(hidden)
}

fn write_all(bundle: &Bundle, into: &Path) -> io::Result<()> {
    fs::create_dir_all(into)?;
    for (name, bytes) in &bundle.files {
        fs::write(into.join(name), bytes)?;
    }
    Ok(())
}

/// A folder that is not there yet appears whole.
fn move_new(from: &Path, to: &Path) -> io::Result<()> {
    fs::rename(from, to)
}

/// Files of an earlier plan of this name that the new one has not: a picture or a program left
/// behind would be taken for today's.
fn outdated(bundle: &Bundle, folder: &Path) -> io::Result<Vec<String>> {
    let [picture, program] =
        ["picture-", "template"].map(|kind| format!("{}-{kind}", bundle.name));
    let is_program = |name: &str| {
        let rest = name.strip_prefix(&program).unwrap_or("");
        let number = rest.strip_prefix('-').unwrap_or("");
        let behind = number.trim_start_matches(|c: char| c.is_ascii_digit());
        rest.starts_with('.') || behind.starts_with('.')
    };
    let mut outdated = Vec::new();
    for entry in fs::read_dir(folder)? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        let ours = name.starts_with(&picture) || is_program(&name);
        if ours && bundle.files.iter().all(|(new, _)| *new != name) {
            outdated.push(name);
        }
    }
    Ok(outdated)
}

/// Puts the new files into a folder that is there and takes outdated ones out. What was there
/// is kept until all is done, and put back if one step fails.
fn replace_in(bundle: &Bundle, from: &Path, to: &Path) -> io::Result<()> {
    let kept = beside(to, "old");
    fs::create_dir_all(&kept)?;
    let mut done = Vec::new();
    let outdated = outdated(bundle, to)?;
    let named = bundle.files.iter().map(|(name, _)| name);
    let result = named.chain(&outdated).try_for_each(|name| {
        let (old, new) = (to.join(name), from.join(name));
        if old.is_dir() {
            return Err(io::Error::other(format!("`{name}` is a folder")));
        }
        let had_one = fs::symlink_metadata(&old).is_ok();
        if had_one {
            fs::rename(&old, kept.join(name))?;
        }
        done.push((name, had_one));
        if new.exists() { fs::rename(new, old) } else { Ok(()) }
    });
    if result.is_err() {
        for (name, had_one) in done {
            put_back(&to.join(name), had_one.then(|| kept.join(name)))?;
        }
    }
    remove_folder(&kept)?;
    result
}

fn put_back(place: &Path, kept: Option<PathBuf>) -> io::Result<()> {
    match kept {
        Some(kept) => fs::rename(kept, place),
        None if place.exists() => fs::remove_file(place),
        None => Ok(()),
    }
}

fn remove_folder(folder: &Path) -> io::Result<()> {
    if folder.exists() { fs::remove_dir_all(folder) } else { Ok(()) }
}

#[cfg(test)]
pub(in crate::files) mod tests {
    use super::*;

    /// A folder of a test's own, gone when the test ends.
    pub(in crate::files) struct Scratch(PathBuf);

    impl Scratch {
        pub(in crate::files) fn new(name: &str) -> Self {
            let folder = std::env::temp_dir()
                .join(format!("spelch-{name}-{}", std::process::id()));
            remove_folder(&folder).expect("an old one can go");
            fs::create_dir_all(&folder).expect("a temporary folder");
            Self(folder)
        }

        pub(in crate::files) fn path(&self, name: &str) -> PathBuf {
            self.0.join(name)
        }

        pub(in crate::files) fn write(&self, name: &str, bytes: &[u8]) -> PathBuf {
            let path = self.path(name);
            fs::write(&path, bytes).expect("a file in a temporary folder");
            path
        }

        /// Names of everything in it, hidden or not.
        fn listed(&self) -> Vec<String> {
            listed(&self.0)
        }
    }

    impl Drop for Scratch {
        fn drop(&mut self) {
            remove_folder(&self.0).expect("it is ours to remove");
        }
    }

    fn listed(folder: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(folder)
            .expect("a folder")
            .map(|entry| {
                entry.expect("an entry").file_name().to_string_lossy().into_owned()
            })
            .collect();
        names.sort();
        names
    }

    fn bundle(files: &[(&str, &str)]) -> Bundle {
        Bundle {
            name: "foot".to_owned(),
            files: files
                .iter()
                .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
                .collect(),
        }
    }

    fn text(path: &Path) -> String {
        fs::read_to_string(path).expect("a text file")
    }

    #[test]
    fn a_new_folder_appears_whole_and_nothing_else_stays() {
        let scratch = Scratch::new("new");
        let folder = scratch.path("foot-plan");
        save(&bundle(&[("a.html", "A"), ("b.json", "B")]), &folder, false)
            .expect("an empty place");
        assert_eq!(listed(&folder), ["a.html", "b.json"], "both files");
        assert_eq!(scratch.listed(), ["foot-plan"], "no helper folder stays");
    }

    #[test]
    fn nothing_is_overwritten_without_force() {
        let scratch = Scratch::new("force");
        let folder = scratch.path("foot-plan");
        save(&bundle(&[("a.html", "old")]), &folder, false).expect("an empty place");
        fs::write(folder.join("mine.txt"), "mine").expect("a file of the person's own");
        let new = bundle(&[("a.html", "new"), ("b.json", "B")]);
        let Err(Failure::Input(problems)) = save(&new, &folder, false) else {
            panic!("it is there already")
        };
        assert!(problems[0].found.contains("foot-plan"), "{problems:?}");
        assert!(problems[0].hint.contains("--force"), "{problems:?}");
        assert_eq!(text(&folder.join("a.html")), "old", "untouched");
        assert_eq!(listed(&folder), ["a.html", "mine.txt"], "nothing new");
        save(&new, &folder, true).expect("now it was asked");
        assert_eq!(text(&folder.join("a.html")), "new");
        assert_eq!(text(&folder.join("mine.txt")), "mine", "not ours: it stays");
        assert_eq!(scratch.listed(), ["foot-plan"], "no helper folder stays");
    }

    #[test]
    fn an_empty_folder_is_free_and_a_file_is_not() {
        let scratch = Scratch::new("free");
        let folder = scratch.path("plan");
        fs::create_dir_all(&folder).expect("an empty folder");
        save(&bundle(&[("a.html", "A")]), &folder, false)
            .expect("nothing is overwritten");
        assert_eq!(listed(&folder), ["a.html"], "it is filled");
        let file = scratch.write("file", b"mine");
        let failure = save(&bundle(&[("a.html", "A")]), &file, true).expect_err("a file");
        assert_eq!(failure.problems()[0].id, "folder-is-a-file", "{failure:?}");
    }

    #[test]
    fn an_outdated_picture_and_program_go_with_force() {
        let scratch = Scratch::new("outdated");
        let folder = scratch.path("plan");
        let name = |tail: &str| format!("{}-{tail}", bundle(&[]).name);
        let (one, two) = (name("picture-1.svg"), name("picture-2.svg"));
        let program = name("template.nc");
        let old = bundle(&[(&one, "1"), (&two, "2"), (&program, "G21")]);
        save(&old, &folder, false).expect("an empty place");
        fs::write(folder.join("mine.svg"), "mine").expect("a file of the person's own");
        save(&bundle(&[(&one, "new")]), &folder, true).expect("with force");
        assert_eq!(listed(&folder), [one.as_str(), "mine.svg"], "only what is today's");
    }

    #[test]
    fn a_failure_half_way_leaves_the_folder_as_it_was() {
        let scratch = Scratch::new("half");
        let folder = scratch.path("foot-plan");
        save(&bundle(&[("a.html", "old")]), &folder, false).expect("an empty place");
        fs::create_dir_all(folder.join("c.json").join("in the way")).expect("a folder");
        let new = bundle(&[("a.html", "new"), ("b.json", "B"), ("c.json", "C")]);
        let failure = save(&new, &folder, true).expect_err("a folder is in the way");
        assert!(failure.problems()[0].found.contains("foot-plan"), "{failure:?}");
        assert_eq!(text(&folder.join("a.html")), "old", "put back");
        assert_eq!(listed(&folder), ["a.html", "c.json"], "the new file is gone again");
        assert_eq!(scratch.listed(), ["foot-plan"], "no helper folder stays");
    }

    #[test]
    fn a_place_that_cannot_be_written_leaves_nothing() {
        let scratch = Scratch::new("unwritable");
        let file = scratch.write("file", b"not a folder");
        let failure = save(&bundle(&[("a.html", "A")]), &file.join("plan"), false)
            .expect_err("a file is no place for a folder");
        assert!(matches!(failure, Failure::Input(_)), "{failure:?}");
        assert_eq!(scratch.listed(), ["file"], "as it was");
    }

    #[test]
    fn a_name_that_leads_out_of_the_folder_is_refused() {
        let scratch = Scratch::new("names");
        let folder = scratch.path("plan");
        let failure = save(&bundle(&[("../a.html", "A")]), &folder, false)
            .expect_err("it would land outside");
        assert_eq!(failure.problems()[0].id, "file-name");
        assert!(scratch.listed().is_empty(), "nothing was written");
    }
}

//! From a job to the drawing of its outline.

use super::{
    Asked, Checked, Drawing, Job, Path, Pick, PostChoice, ShapeSource, Walk, dxf,
    svg_of_size, walk_path,
};
use crate::diag::{Failure, Outcome, Place, Problem, Problems, Source, Told};
use crate::units::Paper;

/// Gives the bytes of a file that a job names.
pub type Load<'a> = dyn Fn(&str) -> Checked<Vec<u8>> + 'a;

/// The drawing of a job's outline: read from the file it names, or walked.
///
/// A board and a line are two drawings: `joint` makes those.
///
/// # Errors
/// [`Failure::Input`] with what is wrong with drawing or walk, or that there is none.
pub fn drawing(job: &Job, load: &Load<'_>) -> Outcome<Drawing> {
    let told = match &job.shape {
        Some(ShapeSource::Drawing(file)) => from_file(job, file, load)?,
        Some(ShapeSource::Walks(walks)) => walked(walks, job.on_paper())?,
        Some(ShapeSource::BoardAndLine(board)) => {
            let found = "a board and a line make two halves, not one outline";
            let hint = "use both halves, or give the one part under `[outline]`";
            let problem = Problem::stop("board-makes-two", found, hint);
            return Err(Failure::input(problem.at(board.line.place.clone())));
        }
        Some(ShapeSource::Joint(joint)) => {
            let found = "a joint by name makes two halves, not one outline";
            let hint = "use both halves, or give the one part under `[outline]`";
            let problem = Problem::stop("joint-makes-two", found, hint);
            return Err(Failure::input(problem.at(joint.place.clone())));
        }
        None => return Err(Failure::input(without_outline(job))),
    };
    let Told { mut value, notes } = told;
    if let Some(name) = &job.name {
        value.name.clone_from(name);
    }
    Ok(Told { value, notes })
}

/// The problem of a job that gives no outline at all.
fn without_outline(job: &Job) -> Problem {
    let hint = "add `[outline]` with `drawing = \"part.svg\"` or with `start` and `steps`, or `[board]` with a `[board.line]`";
    Problem::stop("job-without-outline", "the job has no outline", hint)
        .at(job.place("outline"))
}

/// Refuses a known size of what is no drawing: a walk is as large as its steps say.
///
/// # Errors
/// `size-without-drawing`.
pub fn check_known_size(job: &Job) -> Checked<()> {
    if job.known_size.is_none() || matches!(job.shape, Some(ShapeSource::Drawing(_))) {
        return Ok(());
    }
    let found = "pixels an inch or a known size are given, and the outline is no drawing";
    let hint = "remove `ppi`, `known-width` and `known-height`: a walk is as large as its steps say";
    let problem = Problem::stop("size-without-drawing", found, hint);
    Err(problem.at(job.place("outline")).into())
}

fn from_file(job: &Job, file: &str, load: &Load<'_>) -> Outcome<Drawing> {
    let loaded = || loaded(job, file, load).map_err(|problem| Failure::input(*problem));
    match extension(file).as_str() {
        "svg" => svg_of_size(file, &loaded()?, job.known_size, job.on_paper()),
        "dxf" => {
            let Job { units, known_size: size, pick, .. } = job;
            dxf(file, &loaded()?, Asked { units: *units, size: *size, pick })
        }
        _ => {
            let found = format!("`{file}` is neither an SVG nor a DXF drawing");
            let hint = "save the drawing as SVG with its size in mm or in, or as DXF with its unit, or walk it in a job";
            let problem = Problem::stop("drawing-not-read", found, hint);
            Err(Failure::input(problem.at(Place::whole(Source::Drawing, file))))
        }
    }
}

/// The bytes of a drawing; where it cannot be loaded, told at the place where the job names it.
fn loaded(job: &Job, file: &str, load: &Load<'_>) -> Checked<Vec<u8>> {
    let bytes = load(file).map_err(|problem| match job.keys.get("outline") {
        Some(key) => problem.at(key.clone()).into(),
        None => problem,
    })?;
    let whole = || Place::whole(Source::Drawing, file);
    if bytes.iter().all(u8::is_ascii_whitespace) {
        let hint = "save the drawing anew: nothing was written the last time";
        let problem = Problem::stop("drawing-blank", "the file is empty", hint);
        return Err(problem.at(whole()).into());
    }
    if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
        let hint = "save it in UTF-8: from the drawing program, or from a text editor (save as, encoding UTF-8)";
        let found = "the file is written in UTF-16";
        return Err(Problem::stop("drawing-utf-16", found, hint).at(whole()).into());
    }
    Ok(bytes)
}

/// Checks that layers and colours are asked only of a drawing that has them.
///
/// # Errors
/// `layers-of-no-dxf`.
pub fn check_pick(job: &Job) -> Result<(), Failure> {
    let Pick { layers, colours } = &job.pick;
    let layer = layers.first().map(|(_, place)| place);
    let Some(place) = layer.or_else(|| colours.first().map(|(_, place)| place)) else {
        return Ok(());
    };
    match &job.shape {
        Some(ShapeSource::Drawing(file)) if extension(file) == "dxf" => Ok(()),
        _ => {
            let found =
                "layers or colours are asked for, and the outline is no DXF drawing";
            let hint = "remove them; what is not to be read of an SVG is hidden in the drawing program";
            let problem = Problem::stop("layers-of-no-dxf", found, hint);
            Err(Failure::input(problem.at(place.clone())))
        }
    }
}

/// What stands behind a file name's last point, in small letters.
fn extension(file: &str) -> String {
    file.rsplit_once('.').map_or_else(String::new, |(_, tail)| tail.to_lowercase())
}

fn walked(walks: &[Walk], paper: Paper) -> Outcome<Drawing> {
    let mut paths: Vec<Path> = Vec::new();
    let mut problems: Problems = Vec::new();
    for walk in walks {
        match walk_path(walk, true, paper) {
            Ok(path) => paths.push(path),
            Err(problem) => problems.push(*problem),
        }
    }
    if problems.is_empty() {
        let value = Drawing { name: "part".to_owned(), beside: None, paths };
        return Ok(Told { value, notes: Vec::new() });
    }
    Err(Failure::Input(problems))
}

/// The post a person named, with its text where the name is a file's (`mine.toml`).
///
/// # Errors
/// The problem `load` has with the file, or that it is not text.
pub fn post_loaded(choice: PostChoice, load: &Load<'_>) -> Checked<PostChoice> {
    let PostChoice::Named(name) = choice else { return Ok(choice) };
    if extension(&name) != "toml" {
        return Ok(PostChoice::Named(name));
    }
    String::from_utf8(load(&name)?)
        .map(|text| PostChoice::File { name: name.clone(), text })
        .map_err(|_bytes| {
            let found = format!("`{name}` is not text");
            let hint = "write the post as TOML in UTF-8";
            let place = Place::whole(Source::Post, name);
            Problem::stop("post-not-text", found, hint).at(place).into()
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job_of(shape: ShapeSource) -> Job {
        Job { name: Some("bracket".to_owned()), shape: Some(shape), ..Job::default() }
    }

    const SQUARE: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'><rect width='5' height='5'/></svg>";

    fn load(file: &str) -> Checked<Vec<u8>> {
        if file == "missing.svg" {
            return Err(Problem::stop("file-missing", "no such file", "look").into());
        }
        Ok(SQUARE.as_bytes().to_vec())
    }

    #[test]
    fn a_job_names_what_its_drawing_holds() {
        let job = job_of(ShapeSource::Drawing("Some.SVG".to_owned()));
        let told = drawing(&job, &load).expect("a drawing");
        assert_eq!(told.value.name, "bracket", "the job's own name");
    }

    #[test]
    fn a_file_that_cannot_be_read_is_told_where_it_is_named() {
        let place = Place::whole(Source::Job, "rack.toml").element("outline");
        let keys = [("outline".to_owned(), place.clone())].into();
        let job = Job { keys, ..job_of(ShapeSource::Drawing("missing.svg".to_owned())) };
        let failure = drawing(&job, &load).expect_err("no file");
        assert_eq!(failure.problems()[0].place, Some(place), "in the job");
        for (bytes, id) in
            [(&b" \r\n"[..], "drawing-blank"), (b"\xff\xfe<\0", "drawing-utf-16")]
        {
            for name in ["part.svg", "part.dxf"] {
                let job = job_of(ShapeSource::Drawing(name.to_owned()));
                let failure = drawing(&job, &|_| Ok(bytes.to_vec())).expect_err(id);
                assert_eq!(failure.problems()[0].id, id, "{name}");
            }
        }
    }

    #[test]
    fn what_is_no_drawing_is_refused() {
        let job = job_of(ShapeSource::Drawing("part.png".to_owned()));
        let failure = drawing(&job, &load).expect_err("a picture");
        assert_eq!(failure.problems()[0].id, "drawing-not-read");
        let place = Place::whole(Source::Command, "--layer");
        let pick = Pick { layers: vec![("cut".to_owned(), place)], ..Pick::default() };
        let job = Job { pick, ..job_of(ShapeSource::Drawing("part.svg".to_owned())) };
        let failure = check_pick(&job).expect_err("layers of an SVG");
        assert_eq!(failure.problems()[0].id, "layers-of-no-dxf");
        let job = job_of(ShapeSource::Drawing("missing.svg".to_owned()));
        let failure = drawing(&job, &load).expect_err("no file");
        assert_eq!(failure.problems()[0].id, "file-missing");
        let failure = drawing(&Job::default(), &load).expect_err("no outline");
        assert_eq!(failure.problems()[0].id, "job-without-outline");
    }

    #[test]
    fn a_post_file_is_loaded_and_a_name_is_kept() {
        let named = post_loaded(PostChoice::Named("iso-mm".to_owned()), &load);
        assert_eq!(named.expect("a name"), PostChoice::Named("iso-mm".to_owned()));
        let file = post_loaded(PostChoice::Named("mine.toml".to_owned()), &load);
        let PostChoice::File { name, text } = file.expect("a file") else {
            panic!("a file is loaded")
        };
        assert!(name == "mine.toml" && text.starts_with("<svg"), "its name and text");
    }
}

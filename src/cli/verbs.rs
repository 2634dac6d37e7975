//! What each verb does.

use super::Answer;
use super::args::{Command, Format, JobArgs, PlanArgs, SheetArgs, Verb};
use super::show::{Texts, all_shown};
use super::{bench, bits, look, open, posts, prove, rack, start, wishes};
use crate::diag::{Failure, Place, Problem, Source, Weight};
use crate::geom::Bounds;
use crate::plan::Part;
use crate::read::{Checked, Given, Job, ShapeSource};
use crate::sheet::Bundle;
use crate::shop::defaults::{Default, all};
use crate::units::{Paper, Unit};
use crate::work::{self, Planned};
use crate::{files, read};
use serde_json::json;
use std::cell::RefCell;
use std::path::{Path, PathBuf};

/// The built-in sample, planned when no input is named.
const SAMPLE_NAME: &str = "trestle-foot.toml";
const SAMPLE: &str = include_str!("../../samples/trestle-foot.toml");

/// Carries out a command.
pub(super) fn carry_out(command: &Command) -> Answer {
    match &command.verb {
        Verb::Plan(args) => plan(args),
        Verb::Open(args) => open::open(args),
        Verb::Worker => open::worker(),
        Verb::Look(args) => look::look(args),
        Verb::New(args) => start::new(args),
        Verb::Prove(args) => prove::prove(args),
        Verb::Bits(args) if args.input.is_some() => bits::bits(args),
        Verb::Bits(args) => rack::list(args),
        Verb::Pattern(args) => bench::pattern(args),
        Verb::Layout(args) => bench::layout(args),
        Verb::Joint(args) => bench::joint(args),
        Verb::TestPiece(args) => bench::test_piece(args),
        Verb::Wedges(args) => bench::wedges(args),
        Verb::Defaults => Answer { code: 0, data: defaults(), talk: String::new() },
        Verb::Posts(args) => posts::list(args),
    }
}

/// Every default, a paragraph each.
fn defaults() -> String {
    let one = |default: &Default| {
        let Default { name, value, unit, basis, change } = default;
        format!(
            "{name}: {value} {unit}\n    basis: {basis}\n    to change it: {change}\n"
        )
    };
    all().map(one).collect()
}

/// Reads files and remembers their texts, so that problems can be shown in their lines.
#[derive(std::default::Default)]
pub(super) struct Reader {
    pub(super) texts: RefCell<Texts>,
}

impl Reader {
    pub(super) fn bytes(&self, path: &Path, name: &str) -> Checked<Vec<u8>> {
        let bytes = files::load(path).map_err(Box::new)?;
        if let Ok(text) = std::str::from_utf8(&bytes) {
            self.keep(name, text);
        }
        Ok(bytes)
    }

    pub(super) fn program(&self, name: &str) -> Checked<Vec<u8>> {
        let bytes = files::load_program(Path::new(name)).map_err(Box::new)?;
        if let Ok(text) = std::str::from_utf8(&bytes) {
            self.keep(name, text);
        }
        Ok(bytes)
    }

    /// From now on lengths are written as on the paper of this job.
    pub(super) fn write_as(&self, job: &Job) {
        self.texts.borrow_mut().paper = job.on_paper();
    }

    fn keep(&self, name: &str, text: &str) {
        self.texts.borrow_mut().by_name.insert(name.to_owned(), text.to_owned());
    }
}

/// Where and how something is written.
#[derive(Debug, Clone, Copy)]
pub(super) struct To<'a> {
    /// The folder, if one is named.
    pub(super) out: Option<&'a str>,
    /// Whether earlier files are replaced.
    pub(super) force: bool,
    /// How data is printed.
    pub(super) format: Format,
}

impl<'a> To<'a> {
    /// What `plan` and its like say.
    pub(super) fn of(args: &'a PlanArgs) -> Self {
        Self {
            out: args.to.out.as_deref(),
            force: args.to.force,
            format: args.job.said.format,
        }
    }
}

fn plan(args: &SheetArgs) -> Answer {
    let reader = Reader::default();
    match planned(args, &reader) {
        Ok(planned) => written(&To::of(&args.plan), &planned, &reader),
        Err(failure) => {
            failed(&failure, args.plan.job.said.format, &reader.texts.borrow())
        }
    }
}

fn planned(args: &SheetArgs, reader: &Reader) -> Result<Planned, Failure> {
    let PlanArgs { input, job, .. } = &args.plan;
    let (mut job, folder) = whole_job(input.as_deref(), job, reader)?;
    job.sheets.handout |= args.handout;
    let beside_the_job = |name: &str| reader.bytes(&folder.join(name), name);
    Ok(work::plan_job(&job, &beside_the_job)?.value)
}

/// The job of an input with the options laid over it, its rack and post read, and the folder
/// its files are named from.
pub(super) fn whole_job(
    input: Option<&str>,
    args: &JobArgs,
    reader: &Reader,
) -> Result<(Job, PathBuf), Failure> {
    let given = wishes::given(args).map_err(Failure::Input)?;
    let (job, folder) = job(input, &given, reader)?;
    reader.write_as(&job);
    let mut job = wishes::lay_over(job, args).map_err(Failure::Input)?;
    reader.write_as(&job);
    if let Some(rack) = rack::of_job(&job, (args.bench.bits.as_deref(), &folder), reader)?
    {
        job.rack = rack;
    }
    let beside_the_job = |name: &str| reader.bytes(&folder.join(name), name);
    if let Some(choice) = job.machine.post.take() {
        let here = |name: &str| reader.bytes(Path::new(name), name);
        let named_in_command = args.machine.post.is_some();
        let load: &read::Load<'_> =
            if named_in_command { &here } else { &beside_the_job };
        job.machine.post =
            Some(read::post_loaded(choice, load).map_err(|p| Failure::input(*p))?);
    }
    Ok((job, folder))
}

/// The job as the input gives it, and the folder its files are named from.
pub(super) fn job(
    input: Option<&str>,
    given: &Given,
    reader: &Reader,
) -> Result<(Job, PathBuf), Failure> {
    let Some(input) = input else {
        reader.keep(SAMPLE_NAME, SAMPLE);
        let job = read::job_with(SAMPLE_NAME, SAMPLE, given)?.value;
        return Ok((named(job, SAMPLE_NAME), PathBuf::new()));
    };
    let path = Path::new(input);
    let file = path
        .file_name()
        .map_or(input.to_owned(), |name| name.to_string_lossy().into_owned());
    let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
    if path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("toml")) {
        let bytes =
            reader.bytes(path, &file).map_err(|problem| Failure::input(*problem))?;
        let place = Place::whole(Source::Job, file.as_str());
        let text = as_text(&bytes, &place)?;
        return Ok((named(read::job_with(&file, text, given)?.value, &file), folder));
    }
    if let Some(problem) = wishes::setting_of_a_drawing(given) {
        return Err(Failure::input(problem));
    }
    let drawing =
        Job { shape: Some(ShapeSource::Drawing(file.clone())), ..Job::default() };
    Ok((named(drawing, &file), folder))
}

/// The bytes of a file as text.
pub(super) fn as_text<'b>(bytes: &'b [u8], place: &Place) -> Result<&'b str, Failure> {
    std::str::from_utf8(bytes).map_err(|error| {
        let found = format!("`{}` is not text: byte {}", place.name, error.valid_up_to());
        let problem = Problem::stop("not-text", found, "save the file as UTF-8");
        Failure::input(problem.at(place.clone()))
    })
}

/// A job without a name is called after its file.
fn named(mut job: Job, file: &str) -> Job {
    let stem =
        Path::new(file).file_stem().map(|stem| stem.to_string_lossy().into_owned());
    job.name = job.name.or(stem);
    job
}

/// Saves all files of a plan and says what was written and where.
pub(super) fn written(to: &To<'_>, planned: &Planned, reader: &Reader) -> Answer {
    let whole = planned.bundle();
    let data = match to.format {
        Format::Human => String::new(),
        Format::Json => data_of(&whole),
    };
    let bundle = whole.only(&planned.shop.files);
    let folder = to.out.map_or_else(|| format!("{}-plan", bundle.name), str::to_owned);
    if let Err(failure) = files::save(&bundle, Path::new(&folder), to.force) {
        return failed(&failure, to.format, &reader.texts.borrow());
    }
    let Planned { plan, shop, id, .. } = planned;
    let notes = all_shown(&plan.notes, &reader.texts.borrow());
    let list = listed(&bundle);
    let size = |part| overall(part, shop.paper.unit);
    let sizes: String = plan.parts.iter().map(size).collect();
    let talk = format!(
        "{notes}plan {id} of {}, written into {folder}:\n{list}{sizes}",
        shop.name
    );
    Answer { code: 0, data, talk }
}

/// The files of a bundle, a line each.
pub(super) fn listed(bundle: &Bundle) -> String {
    bundle.files.iter().flat_map(|(file, _)| ["  ", file, "\n"]).collect()
}

/// How large a part is, in both systems, the job's first, so that a slip of units shows before wood is cut.
fn overall(part: &Part, unit: Unit) -> String {
    let Bounds { low, high } = part.outline.bounds();
    let size = |unit: Unit| {
        let paper = Paper { unit, ..Paper::MM };
        format!("{} × {}", paper.fine(high.x - low.x), paper.fine(high.y - low.y))
    };
    let other = if unit == Unit::Mm { Unit::Inch } else { Unit::Mm };
    format!("{} is {} overall ({})\n", part.outline.name, size(unit), size(other))
}

/// The plan's data, as it stands in its file.
fn data_of(bundle: &Bundle) -> String {
    let data = bundle.files.iter().find(|(name, _)| name.ends_with("-plan.json"));
    data.map_or_else(String::new, |(_, bytes)| {
        String::from_utf8_lossy(bytes).into_owned()
    })
}

/// The answer that says why there is none.
pub(super) fn failed(failure: &Failure, format: Format, texts: &Texts) -> Answer {
    let (code, last) = match failure {
        Failure::Input(_) => (2, "nothing was written: the input needs mending"),
        Failure::Refused(_) => {
            (1, "nothing was written: no safe plan can be had this way")
        }
    };
    let problems = failure.problems();
    let talk = format!("{}{last}\n", all_shown(problems, texts));
    let data = match format {
        Format::Human => String::new(),
        Format::Json => problems_as_data(problems),
    };
    Answer { code, data, talk }
}

/// Problems as JSON, a line.
pub(super) fn problems_as_data(problems: &[Problem]) -> String {
    let list: Vec<_> = problems.iter().map(as_data).collect();
    json!({ "problems": list }).to_string() + "\n"
}

fn as_data(problem: &Problem) -> serde_json::Value {
    let Problem { id, weight, place, found, expected, hint } = problem;
    let weight = Weight::word(*weight);
    let place = place.as_ref().map(|place| {
        json!({
            "name": place.name, "line": place.line, "element": place.element,
            "layer": place.layer,
            "at": place.at.map(|(x, y)| [x, y]),
        })
    });
    json!({
        "id": id, "weight": weight, "place": place,
        "found": found, "expected": expected, "hint": hint,
    })
}

//! Options to wishes: laid over what the job says, in the same words and with the same messages.

use super::args::{BenchArgs, DrawnArgs, JobArgs, MachineArgs, PartArgs};
use super::bench_args::{PaperArg, PatternArg, PatternArgs};
use crate::diag::{Failure, Place, Problem, Problems, Source};
use crate::read::{
    BitText, Checked, Given, Job, KnownSize, Pick, Role, RoleWish, Setting, Station,
    Terms, amount_text, blank_text, colour_text, count_text, diameter_text, edges_text,
    feed_text, fraction_text, grain_text, layer_text, post_text, ppi_text, rpm_text,
    size_text, units_text, z_zero_text, zero_text,
};
use crate::sheet::{PageSize, PatternOf, Printer};

/// What the options give before a job is read: the unit of bare lengths, and sizes.
///
/// # Errors
/// A word that is no unit, a setting that names no size.
pub(super) fn given(args: &JobArgs) -> Result<Given, Problems> {
    let of_stock =
        [("thick", "--thick", &args.part.thick), ("width", "--width", &args.part.width)];
    let mut given = given_of(args.said.units.as_deref(), &args.part.set)?;
    for (name, option, text) in of_stock {
        let place = Place::whole(Source::Command, option);
        let text = text.clone();
        let setting = text.map(|text| Setting { name: name.to_owned(), text, place });
        given.set.splice(0..0, setting);
    }
    Ok(given)
}

/// What `--units` and `--set` give before a job is read.
///
/// # Errors
/// As [`given`].
pub(super) fn given_of(units: Option<&str>, set: &[String]) -> Result<Given, Problems> {
    let place = Place::whole(Source::Command, "--units");
    let units = units.map(|text| units_text(text, &place)).transpose();
    let units = units.map_err(|problem| vec![*problem])?;
    let (mut settings, mut wrong) = (Vec::new(), Problems::new());
    for text in set {
        match setting(text) {
            Ok(setting) => settings.push(setting),
            Err(problem) => wrong.push(*problem),
        }
    }
    if wrong.is_empty() { Ok(Given { units, set: settings }) } else { Err(wrong) }
}

/// A drawing has no sizes that could be set.
pub(super) fn setting_of_a_drawing(given: &Given) -> Option<Problem> {
    let setting = given.set.iter().find(|one| one.place.name == SET)?;
    let Setting { name, text, place } = setting;
    let found =
        format!("`--set {name}={text}` with a drawing, which has no sizes of a name");
    let hint = "use `--set` with a job (.toml) that has `[sizes]`; a drawing is changed in the drawing program";
    Some(Problem::stop("set-without-sizes", found, hint).at(place.clone()))
}

/// The option that sets a size.
const SET: &str = "--set";

/// One `--set`: a name and a length with `=` between.
fn setting(text: &str) -> Checked<Setting> {
    let place = Place::whole(Source::Command, SET);
    let parts = text.split_once('=').map(|(name, value)| (name.trim(), value.trim()));
    match parts {
        Some((name, value)) if !name.is_empty() && !value.is_empty() => {
            let place = place.element(name);
            Ok(Setting { name: name.to_owned(), text: value.to_owned(), place })
        }
        _ => {
            let found = format!("`{text}` sets no size");
            let hint = "write the size's name and its length with `=` between, like `--set leg=60mm`";
            Err(Problem::stop("set-unreadable", found, hint).at(place).into())
        }
    }
}

/// The paper and the printer.
///
/// # Errors
/// The measured bars cannot be read.
pub(super) fn printer(args: &PatternArgs) -> Result<Printer, Failure> {
    let page = match args.paper {
        PaperArg::A4 => PageSize::A4,
        PaperArg::Letter => PageSize::Letter,
    };
    let of = match args.of {
        PatternArg::Part => PatternOf::Part,
        PatternArg::Template => PatternOf::Template,
    };
    let Some(text) = &args.measured else {
        return Ok(Printer { page, of, measured: None });
    };
    let place = Place::whole(Source::Command, "--measured");
    let units = given_of(args.plan.job.said.units.as_deref(), &[]);
    let units = units.map_err(Failure::Input)?.units;
    let Some((across, up)) = text.split_once(',') else {
        let found = format!("`{text}` is not two lengths");
        let hint = "give both bars, across first, like `--measured 98.7mm,98.9mm`";
        let problem = Problem::stop("bars-unreadable", found, hint);
        return Err(Failure::input(problem.at(place)));
    };
    let read = |text: &str| {
        diameter_text(text.trim(), units, &place)
            .map_err(|problem| Failure::input(*problem))
    };
    Ok(Printer { page, of, measured: Some((read(across)?, read(up)?)) })
}

/// Lays the options over a job.
///
/// # Errors
/// Every option that cannot be read, each with its name.
pub(super) fn lay_over(mut job: Job, args: &JobArgs) -> Result<Job, Problems> {
    let mut options = Options { problems: Problems::new() };
    options.put(("--units", &args.said.units), &mut job.units, units_text);
    if args.said.units.is_some() {
        job.paper = None;
    }
    options.put(("--fraction", &args.said.fraction), &mut job.fraction, fraction_text);
    options.part(&mut job, &args.part);
    options.bench(&mut job, &args.bench);
    options.machine(&mut job, &args.machine);
    if options.problems.is_empty() { Ok(job) } else { Err(options.problems) }
}

/// Lays over a job what is said of a drawing's size, and of what is meant of it.
///
/// # Errors
/// As [`lay_over`].
pub(super) fn lay_size_over(mut job: Job, args: &DrawnArgs) -> Result<Job, Problems> {
    let mut options = Options { problems: Problems::new() };
    options.drawn(&mut job, args);
    if options.problems.is_empty() { Ok(job) } else { Err(options.problems) }
}

/// Reads options and gathers what is wrong with them.
pub(super) struct Options {
    pub(super) problems: Problems,
}

impl Options {
    /// Reads an option, if it was given, into its wish.
    pub(super) fn put<T>(
        &mut self,
        (option, text): (&str, &Option<String>),
        into: &mut Option<T>,
        read: impl Fn(&str, &Place) -> Checked<T>,
    ) {
        let Some(text) = text else { return };
        match read(text, &Place::whole(Source::Command, option)) {
            Ok(value) => *into = Some(value),
            Err(problem) => self.problems.push(*problem),
        }
    }

    /// Layers and colours: those of the command in place of those of the job.
    fn pick(&mut self, job: &mut Job, args: &DrawnArgs) {
        let (mut layers, mut colours) = (Vec::new(), Vec::new());
        for text in &args.layer {
            let mut layer = None;
            self.put(("--layer", &Some(text.clone())), &mut layer, layer_text);
            layers.extend(layer);
        }
        for text in &args.colour {
            let mut colour = None;
            self.put(("--colour", &Some(text.clone())), &mut colour, colour_text);
            colours.extend(colour);
        }
        if !(layers.is_empty() && colours.is_empty()) {
            job.pick = Pick { layers, colours };
        }
    }

    fn part(&mut self, job: &mut Job, args: &PartArgs) {
        let sizes = job.sizes.clone();
        let units = Terms::new(job.units, &sizes);
        let grain = |text: &str, place: &Place| grain_text(text, units, place);
        self.put(("--grain", &args.grain), &mut job.grain, grain);
        let size = |text: &str, place: &Place| size_text(text, units, place);
        self.put(("--thick", &args.thick), &mut job.thick, size);
        self.put(("--width", &args.width), &mut job.width, size);
        self.put(("--make", &args.make), &mut job.count, count_text);
        self.drawn(job, &args.drawn);
        for (option, text, role) in [
            ("--true-edges", &args.true_edges, Role::TrueAlready),
            ("--goes-on", &args.goes_on, Role::GoesOn),
        ] {
            let mut edges = None;
            let all = |text: &str, place: &Place| edges_text(text, units, place);
            self.put((option, text), &mut edges, all);
            let place = Place::whole(Source::Command, option);
            let wish = |which| RoleWish { which, role, place: place.clone() };
            job.roles.extend(edges.into_iter().flatten().map(wish));
        }
    }

    fn drawn(&mut self, job: &mut Job, args: &DrawnArgs) {
        self.pick(job, args);
        let units = job.units;
        let size = |text: &str, place: &Place| size_text(text, units, place);
        let ppi = |text: &str, place: &Place| ppi_text(text, place).map(KnownSize::Ppi);
        let width = |text: &str, place: &Place| size(text, place).map(KnownSize::Width);
        let height = |text: &str, place: &Place| size(text, place).map(KnownSize::Height);
        self.put(("--ppi", &args.ppi), &mut job.known_size, ppi);
        self.put(("--known-width", &args.known_width), &mut job.known_size, width);
        self.put(("--known-height", &args.known_height), &mut job.known_size, height);
    }

    fn bench(&mut self, job: &mut Job, args: &BenchArgs) {
        let sizes = job.sizes.clone();
        let units = Terms::new(job.units, &sizes);
        if !args.bit.is_empty() {
            let place = Place::whole(Source::Command, "--bit");
            let bit =
                |text: &String| BitText { text: text.clone(), place: place.clone() };
            job.bits = args.bit.iter().map(bit).collect();
        }
        let diameter = |text: &str, place: &Place| diameter_text(text, units, place);
        let size = |text: &str, place: &Place| size_text(text, units, place);
        let amount = |text: &str, place: &Place| amount_text(text, units, place);
        self.put(("--bearing", &args.bearing), &mut job.bearing, diameter);
        self.put(("--cut-length", &args.cut_length), &mut job.cut_length, size);
        self.put(("--leave", &args.leave), &mut job.leave, amount);
        let thickness = &mut job.template.thickness;
        self.put(("--template-thick", &args.template_thick), thickness, size);
        if args.hand || args.table {
            let stations = [(args.hand, Station::Hand), (args.table, Station::Table)];
            job.stations =
                stations.iter().filter(|station| station.0).map(|s| s.1).collect();
        }
        if args.template_moves {
            job.template.moves = Some(true);
        }
    }

    fn machine(&mut self, job: &mut Job, args: &MachineArgs) {
        let sizes = job.sizes.clone();
        let units = Terms::new(job.units, &sizes);
        let machine = &mut job.machine;
        let diameter = |text: &str, place: &Place| diameter_text(text, units, place);
        let blank = |text: &str, place: &Place| blank_text(text, units, place);
        let size = |text: &str, place: &Place| size_text(text, units, place);
        let feed = |text: &str, place: &Place| feed_text(text, units, place);
        self.put(("--end-mill", &args.end_mill), &mut machine.end_mill, diameter);
        self.put(("--blank", &args.blank), &mut machine.blank, blank);
        self.put(("--zero", &args.zero), &mut machine.zero, zero_text);
        self.put(("--z-zero", &args.z_zero), &mut machine.z_zero, z_zero_text);
        self.put(("--clear", &args.clear), &mut machine.clear, size);
        self.put(("--feed", &args.feed), &mut machine.feed, feed);
        self.put(("--plunge", &args.plunge), &mut machine.plunge, feed);
        self.put(("--rpm", &args.rpm), &mut machine.rpm, rpm_text);
        if let Some(post) = &args.post {
            machine.post = Some(post_text(post));
        }
    }
}

//! The bench sheets in working order, those the job has.

mod caution;

mod kind;

mod stock;

mod template;

mod by_hand;

mod saw;

mod solid;

pub(super) mod rout;

pub(super) mod hand;

mod machine;

mod blank;

mod checks;

mod one_page;

pub(super) use caution::{NOT_A_DESIGN, all as cautions, general};

use kind::Kind;

use super::joint::{self, JointJob};
use super::model::{PLAN, Picture, Sheet, Sheets};
use super::pages::broken;
use super::phrase;
use super::set_out::{self, LayoutAsk};
use crate::geom::Bounds;
use crate::plan::{Part, Plan};
use crate::prove::ProvedProgram;
use crate::shop::Shop;
use crate::units::{Paper, Unit};

/// What the sheets are made from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Job<'a> {
    /// The plan.
    pub(super) plan: &'a Plan,
    /// What the person owns and chose.
    pub(super) shop: &'a Shop,
    /// The proved programs, if there are any.
    pub(super) program: Option<Written<'a>>,
    /// The joint whose halves the parts are, if it is one.
    pub(super) joint: Option<JointJob<'a>>,
    /// The plan's short id.
    pub(super) id: &'a str,
    /// The start of every file's name.
    pub(super) stem: &'a str,
}

/// Proved programs and their files' names, in the order in which they run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Written<'a> {
    /// The names.
    pub(super) files: &'a [String],
    /// The programs.
    pub(super) proved: &'a ProvedProgram,
}

impl Job<'_> {
    /// A length as this job's sheets write it.
    fn length(&self, mm: f64) -> String {
        self.shop.paper.length(mm)
    }

    /// A length that is a least, rounded up.
    fn at_least(&self, mm: f64) -> String {
        phrase::at_least(mm, self.shop.paper)
    }
}

/// Whether a part's longer side runs up the drawing.
fn is_upright(part: &Part) -> bool {
    let whole = part.outline.bounds();
    whole.width() < whole.height()
}

/// Length and width of a box as a part, or its template, lies in it: the length is along the
/// part's longer side, however it is drawn.
fn long_by_wide(part: &Part, whole: Bounds) -> (f64, f64) {
    if is_upright(part) {
        (whole.height(), whole.width())
    } else {
        (whole.width(), whole.height())
    }
}

/// All sheets of a job.
pub(super) fn sheets(job: &Job<'_>) -> Sheets {
    let mut pages = if job.shop.cuts_part() { by_machine(job) } else { by_router(job) };
    for sheet in &mut pages {
        caution::add(sheet, job);
    }
    pages.insert(0, one_page::sheet(job));
    Sheets {
        name: job.shop.name.clone(),
        id: job.id.to_owned(),
        what: PLAN,
        units: unit_words(job.shop.paper),
        pages: broken(pages),
    }
}

/// The sheets of parts that a router copies from a template.
fn by_router(job: &Job<'_>) -> Vec<Sheet> {
    let mut pages = vec![stock::sheet(job)];
    pages.extend(layout(job));
    pages.push(template::sheet(job));
    pages.extend(job.joint.as_ref().and_then(joint::lap::sheet));
    let kinds = [Kind::Saw, Kind::Rout, Kind::Hand, Kind::Machine];
    pages.extend(kinds.into_iter().flat_map(|kind| kind.sheets(job)));
    pages.push(checks::sheet(job));
    pages.extend(job.joint.iter().flat_map(joint::sheets));
    pages
}

/// The sheets of parts that the machine cuts itself.
fn by_machine(job: &Job<'_>) -> Vec<Sheet> {
    let mut pages = vec![solid::stock_sheet(job)];
    let kinds = [Kind::Machine, Kind::Hand];
    pages.extend(kinds.into_iter().flat_map(|kind| kind.sheets(job)));
    pages.push(checks::sheet(job));
    pages
}

/// The titles of the pictures of the set-ups, which are files of their own.
pub(super) fn picture_titles(job: &Job<'_>) -> Vec<String> {
    if job.shop.cuts_part() {
        job.program.iter().map(|_program| solid::PICTURE.to_owned()).collect()
    } else {
        (0..job.plan.set_ups.len()).map(rout::picture_title).collect()
    }
}

/// One of them, by its index.
pub(super) fn picture(job: &Job<'_>, index: usize) -> Picture {
    if job.shop.cuts_part() { solid::pictured(job) } else { rout::pictured(job, index) }
}

/// The layout of every part.
fn layout(job: &Job<'_>) -> Vec<Sheet> {
    let clearance = job.joint.as_ref().map(|joint| joint.facts.clearance);
    let parts = job.plan.parts.iter().map(|part| &part.outline);
    let ask = LayoutAsk {
        paper: job.shop.paper,
        reference: job.shop.reference,
        clearance,
        lap: job.joint.as_ref().is_some_and(|joint| joint.facts.halved),
        id: job.id,
    };
    parts.map(|outline| set_out::sheet(outline, &ask)).collect()
}

/// The unit of a sheet's lengths, for its box.
pub(super) fn unit_words(paper: Paper) -> String {
    match paper.unit {
        Unit::Mm => "MM".to_owned(),
        Unit::Inch => format!("INCH, fractions to 1/{}", paper.fraction),
    }
}

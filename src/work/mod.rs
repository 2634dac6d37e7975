//! The whole flow in one function: a job goes in, all its files come out.
//!
//! The command line calls this; each stage below is one function of its room.

mod hands;

mod joint;

mod kept;

mod test_piece;

mod planned;

pub use joint::Jointed;
pub use kept::Kept;
pub use planned::Planned;
pub use test_piece::test_piece;

use joint::Parts;
use kept::Read;

use crate::diag::{Failure, Outcome, Problem, Problems, Told, Weight};
use crate::geom::{Bounds, Join, Loop, Point, tolerance};
use crate::joint::{Alike, Facts, Serves, WedgeAsk};
use crate::outline::Outline;
use crate::plan::Plan;
use crate::prove::{Judgement, Pledge, Relief, judge, ways};
use crate::read::{Job, Load, PostChoice, ShapeSource};
use crate::sheet::{Bundle, JointJob, LayoutAsk, Pattern, PatternOf, Printer, Standing};
use crate::shop::Shop;
use crate::shop::defaults::{LARGEST_DRAWING, SMALLEST_DRAWING};
use crate::units::{MM_PER_INCH, Mm, Paper, Unit};
use crate::{plan, post, program, sheet, shop};
use sha2::{Digest, Sha256};

/// Plans a job.
///
/// # Errors
/// An input failure where job or drawing are wrong, a refusal where no safe plan or no proved
/// program can be had.
pub fn plan_job(job: &Job, load: &Load<'_>) -> Outcome<Planned> {
    let (tell, kept) = (&mut |_stage: &'static str| {}, &mut Kept::default());
    plan_job_by(job, Means { load, tell, kept })
}

/// What plans are made with, one after the other.
pub struct Means<'a> {
    /// Gives the files that the job names.
    pub load: &'a Load<'a>,
    /// Is told each stage as it begins.
    pub tell: &'a mut dyn FnMut(&'static str),
    /// What the plan before has left.
    pub kept: &'a mut Kept,
}

impl std::fmt::Debug for Means<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Means").field("kept", &self.kept).finish_non_exhaustive()
    }
}

/// Plans a job by these means.
///
/// # Errors
/// As [`plan_job`].
pub fn plan_job_by(job: &Job, mut means: Means<'_>) -> Outcome<Planned> {
    let Told { value: Drafted { mut plan, shop, id, joint }, mut notes } =
        draft(job, &mut means)?;
    let program = if shop.machine.is_some() {
        (means.tell)("program");
        let dialect = keep(post::dialect(&post_choice(job))?, &mut notes);
        let proved = program::template_program(&plan, &shop, &dialect, &id)?;
        notes.extend(proved.notes().iter().cloned());
        Some(proved)
    } else {
        None
    };
    plan.notes.extend(notes.iter().cloned());
    Ok(Told { value: Planned { plan, shop, program, id, joint }, notes })
}

/// Judges programs, whoever wrote them, by the template of a job.
///
/// # Errors
/// As [`plan_job`]; and where the job names no machine, or its parts cannot be laid on the blank.
pub fn judge_programs(job: &Job, load: &Load<'_>, texts: &[&str]) -> Outcome<Judged> {
    let Told { value: Drafted { plan, shop, id, .. }, mut notes } =
        draft_once(job, load)?;
    let dialect = keep(post::dialect(&post_choice(job))?, &mut notes);
    let promise = program::promised(&plan, &shop, &dialect)?;
    let judgement = judge(texts, &promise);
    let ways = ways(texts, &promise);
    let (blank, work_zero) = (promise.blank, promise.work_zero);
    let picture = sheet::standing(&Standing {
        ways: &ways,
        blank,
        work_zero,
        name: &shop.name,
        id: &id,
    });
    let (edges, reliefs, machine) = (promise.loops, promise.reliefs, promise.machine);
    let paper = shop.paper;
    let value = Judged { judgement, picture, edges, reliefs, machine, work_zero, paper };
    Ok(Told { value, notes })
}

/// What is thought of programs, and what they leave standing.
#[derive(Debug)]
pub struct Judged {
    /// The verdicts.
    pub judgement: Judgement,
    /// The picture, drawn from the programs alone, as SVG.
    pub picture: String,
    /// The edges they were judged by, as read.
    pub edges: Vec<Pledge>,
    /// The corners that are relieved.
    pub reliefs: Vec<Relief>,
    /// The machine they are judged for.
    pub machine: shop::Machine,
    /// The program's zero in the frame of those edges.
    pub work_zero: Point,
    /// How the job writes lengths.
    pub paper: Paper,
}

/// A plan without its program.
struct Drafted {
    plan: Plan,
    shop: Shop,
    id: String,
    joint: Option<Jointed>,
}

fn draft_once(job: &Job, load: &Load<'_>) -> Outcome<Drafted> {
    let (tell, kept) = (&mut |_stage: &'static str| {}, &mut Kept::default());
    draft(job, &mut Means { load, tell, kept })
}

fn draft(job: &Job, means: &mut Means<'_>) -> Outcome<Drafted> {
    (means.tell)("read");
    let Read { parts, mut notes, id } = means.kept.parts(job, means.load)?;
    check_size(&parts.outlines)?;
    notes.extend(size_in_doubt(job, &parts.outlines));
    let shop = keep(shop_of(job, &parts)?, &mut notes);
    let Parts { outlines, joint } = parts;
    notes.extend(outlines.iter().filter_map(|outline| too_narrow(outline, &shop)));
    let id = short_of(&id.chain_update(format!("{shop:?}")).finalize());
    (means.tell)("plan");
    let plan = keep(plan::plan(outlines, &shop)?, &mut notes);
    Ok(Told { value: Drafted { plan, shop, id, joint }, notes })
}

/// Which part of a lap has the socket.
const SOCKET: usize = 1;

/// The shop as these parts of a job are planned in it.
fn shop_of(job: &Job, parts: &Parts) -> Outcome<Shop> {
    let bounds = parts.outlines.iter().map(Outline::bounds).collect();
    let Told { value: mut shop, mut notes } = shop::shop(job, bounds)?;
    if let Some(joint) = &parts.joint {
        notes.extend(cut_as_deep_as_the_joint(&mut shop, &joint.facts));
    }
    Ok(Told { value: shop, notes })
}

/// A joint seen on the edge of its stock is cut through the stock's width, a lap to its floor:
/// from face A alone, which is told where the template was to move.
fn cut_as_deep_as_the_joint(shop: &mut Shop, facts: &Facts) -> Option<Problem> {
    let asked = facts.halved && shop.template.moves;
    if facts.halved {
        shop.stock.socket = Some(SOCKET);
        shop.template.moves = false;
    }
    if let Some(through) = facts.through {
        shop.stock.over_floor = shop.stock.thick.filter(|_| facts.halved);
        shop.stock.thick = Mm::new(through);
    }
    asked.then(stays_on_face_a)
}

/// What becomes of a template of a lap that was to move.
fn stays_on_face_a() -> Problem {
    let found = "the template was to go to the other face, and stays on face A: a lap is cut to its floor from there";
    let hint = "leave `--template-moves` off; what is uphill is planed or pared from the other end";
    Problem::new("lap-keeps-its-face", Weight::Hint, found, hint)
}

/// Holds the rack to a job: what each bit does there, and what to buy.
///
/// # Errors
/// As [`plan_job`].
pub fn rack(job: &Job, load: &Load<'_>) -> Result<(plan::Rack, Shop), Failure> {
    let parts = joint::parts(job, load)?.value;
    check_size(&parts.outlines)?;
    let shop = shop_of(job, &parts)?.value;
    Ok((plan::rack(&parts.outlines, &shop)?, shop))
}

/// Holds bits to a job, whether or not they are among those it uses.
///
/// # Errors
/// As [`plan_job`].
pub fn held(
    job: &Job,
    (load, kept): (&Load<'_>, &mut Kept),
) -> Result<(Vec<plan::BitRow>, Shop), Failure> {
    let parts = kept.parts(job, load)?.parts;
    let shop = shop_of(job, &parts)?.value;
    Ok((plan::held(&parts.outlines, &shop, None)?, shop))
}

/// The outlines of a job's parts.
///
/// # Errors
/// As [`plan_job`].
pub fn outlines(job: &Job, load: &Load<'_>) -> Outcome<Vec<Outline>> {
    let Told { value, mut notes } = joint::parts(job, load)?;
    notes.extend(size_in_doubt(job, &value.outlines));
    Ok(Told { value: value.outlines, notes })
}

/// The sheets that lay a job out by hand.
///
/// # Errors
/// As [`plan_job`].
pub fn layout(job: &Job, load: &Load<'_>) -> Outcome<Bundle> {
    let Told { value: Parts { outlines, joint }, notes } = joint::parts(job, load)?;
    check_size(&outlines)?;
    let (paper, reference) = (job.on_paper(), shop::reference(job));
    let id = short(&format!("{outlines:?}{paper:?}{reference:?}"));
    let name = job.name.as_deref().unwrap_or("part");
    let clearance = joint.as_ref().map(|joint| joint.facts.clearance);
    let lap = joint.is_some_and(|joint| joint.facts.halved);
    let ask = LayoutAsk { paper, reference, clearance, lap, id: &id };
    Ok(Told { value: sheet::layout_bundle(&outlines, name, &ask), notes })
}

/// The sheets and drawings of a joint that is not planned.
///
/// # Errors
/// As [`plan_job`]; and that the job is no joint.
pub fn joint(job: &Job, load: &Load<'_>) -> Outcome<Bundle> {
    let Told { value: Parts { outlines, joint }, notes } = joint::parts(job, load)?;
    let Some(Jointed { facts, wedges }) = joint else {
        let found = "the job is no joint";
        let hint = "name one under `[joint]`, or draw its line under `[board.line]`";
        return Err(Failure::input(Problem::stop("no-joint", found, hint)));
    };
    let paper = job.on_paper();
    let id = short(&format!("{outlines:?}{facts:?}{wedges:?}{paper:?}"));
    let bundle = sheet::joint_bundle(&JointJob {
        facts: &facts,
        wedges: wedges.as_ref(),
        outlines: &outlines,
        leave: shop::leave(job),
        reference: shop::reference(job),
        species: job.species.as_deref(),
        hold_points: job.sheets.hold_points,
        paper,
        name: job.name.as_deref().unwrap_or("joint"),
        id: &id,
    });
    Ok(Told { value: bundle, notes })
}

/// The full-size pattern of a job: with the plan's letters where a bit is named, else of the
/// outline alone.
///
/// # Errors
/// As [`plan_job`], or that the printer is too far off.
pub fn pattern(job: &Job, load: &Load<'_>, printer: &Printer) -> Outcome<Bundle> {
    if !job.bits.is_empty() {
        let Told { value: Drafted { plan, shop, id, .. }, notes } =
            draft_once(job, load)?;
        let mut pattern = Pattern::of_plan(&plan, &shop, &id);
        if printer.of == PatternOf::Template {
            pattern = pattern.of_templates(&plan);
        }
        return Ok(Told { value: sheet::pattern(&pattern, printer)?, notes });
    }
    if printer.of == PatternOf::Template {
        let found = "a template follows from its bit, and no bit is named";
        let hint = "name one, like `--bit \"1/2in pattern\"`, or print the part itself";
        return Err(Failure::input(Problem::stop("template-without-bit", found, hint)));
    }
    let Told { value: outlines, notes } = outlines(job, load)?;
    check_size(&outlines)?;
    let bounds = outlines.iter().map(Outline::bounds).collect();
    let grain = shop::grain(job.grain, bounds);
    let id = short(&format!("{outlines:?}{grain:?}"));
    let name = job.name.as_deref().unwrap_or("part");
    let pattern = Pattern::of_outlines(&outlines, (name, &id), grain, job.on_paper());
    Ok(Told { value: sheet::pattern(&pattern, printer)?, notes })
}

/// The sheet of wedges that stand alone.
///
/// # Errors
/// As [`crate::joint::wedges`].
pub fn wedges(ask: &WedgeAsk, paper: Paper, name: &str) -> Result<Bundle, Failure> {
    let made = crate::joint::wedges(ask)?;
    let id = short(&format!("{made:?}{paper:?}"));
    Ok(sheet::wedge_bundle(&made, paper, (name, &id)))
}

/// A caution where a part is wider across the grain than the stock.
fn too_narrow(outline: &Outline, shop: &Shop) -> Option<Problem> {
    let width = shop.stock.width?.mm();
    let across = outline.across(shop.stock.grain_of(outline).axis().to_radians());
    let paper = shop.paper;
    let found = format!(
        "`{}` is {} wide across the grain, and the stock {}",
        outline.name,
        paper.length(across),
        paper.length(width)
    );
    let hint =
        "take wider stock, glue up a wider board, or lay the part otherwise to the grain";
    let problem = Problem::new("stock-too-narrow", Weight::Caution, found, hint);
    (width + tolerance::REPAIR < across).then_some(problem)
}

/// What to know about two halves: whether one template serves both.
fn alike(alike: Alike) -> Problem {
    let check = match alike.serves {
        Some(Serves::EndForEnd) => {
            "trace the template, turn it half round, and trace again: the two lines lie on each other"
        }
        Some(Serves::SameFace) => {
            "mark the face on the template, and both halves' names beside it"
        }
        Some(Serves::TurnedOver) => {
            "mark half A on the one face of the template, half B on the other"
        }
        None => {
            "mark each template with its half and its face, so that they are not mixed"
        }
    };
    Problem::new("halves-alike", Weight::Hint, alike.words().join(" "), check)
}

/// More pieces than this fill the memory of a small computer (from memory: about 1 kB a
/// piece in every stage together).
const MOST_PIECES: usize = 1_000_000;
/// More corners than this no person goes through (from memory): each begins a stretch of its own.
/// Mostly they are the noise of a scan.
const MOST_CORNERS: usize = 10_000;

/// Refuses outlines that are too fine to be planned in good time, or to be worked by a person.
fn check_size(outlines: &[Outline]) -> Result<(), Failure> {
    let rings = || outlines.iter().flat_map(|outline| &outline.loops);
    let pieces: usize = rings().map(|ring| ring.pieces().len()).sum();
    let corners_of = |ring: &Loop| {
        let all = 0..ring.pieces().len();
        all.filter(|&index| ring.join(index) == Join::Corner).count()
    };
    let (found, most) = if MOST_PIECES < pieces {
        (format!("the outline has {pieces} lines and arcs"), MOST_PIECES)
    } else {
        let corners: usize = rings().map(corners_of).sum();
        if corners <= MOST_CORNERS {
            return Ok(());
        }
        let found = format!(
            "the outline has {corners} corners: more than a person can go through; mostly the \
             noise of a scan"
        );
        (found, MOST_CORNERS)
    };
    let hint = "make it simpler in the drawing program: fewer points, or curves drawn over them; noise of a scan is taken off there too";
    let problem = Problem::stop("outline-too-fine", found, hint);
    Err(Failure::input(problem.expected(format!("at most {most}"))))
}

/// Asks about the size of what came from a drawing; a walk says its units itself.
fn size_in_doubt(job: &Job, outlines: &[Outline]) -> Option<Problem> {
    let is_drawn = matches!(job.shape, Some(ShapeSource::Drawing(_)));
    let all = || outlines.iter().map(Outline::bounds).collect();
    is_drawn.then(|| unit_in_doubt(&all(), job.on_paper()))?
}

/// Asks about a drawing of a size that hardly anything routed has: its unit may be another.
fn unit_in_doubt(drawing: &Bounds, paper: Paper) -> Option<Problem> {
    let (width, height) = (drawing.width(), drawing.height());
    let size = width.max(height);
    let (small, large) = (SMALLEST_DRAWING.value, LARGEST_DRAWING.value);
    let said = |mm: f64| paper.decimals(mm, 1);
    let all = |scale: f64| format!("{} by {}", said(width * scale), said(height * scale));
    let meant = if size < small {
        format!("in inches it would be {}", all(MM_PER_INCH))
    } else if large < size {
        format!(
            "with every inch taken for 25.4 inches it would be {}",
            all(1.0 / MM_PER_INCH)
        )
    } else {
        return None;
    };
    let found = format!("all that is drawn is {}; {meant}", all(1.0));
    let hint = "check one length on the sheets; where it is wrong, set the width and height of the drawing with their unit";
    let doubt = Problem::new("outline-unit-doubt", Weight::Caution, found, hint);
    Some(doubt.expected(format!("from {} to {}", said(small), said(large))))
}

/// Takes the value out and keeps what was told.
fn keep<T>(told: Told<T>, notes: &mut Problems) -> T {
    notes.extend(told.notes);
    told.value
}

fn post_choice(job: &Job) -> PostChoice {
    job.machine.post.clone().unwrap_or_else(|| {
        let name = if job.units == Some(Unit::Inch) { "iso-inch" } else { "iso-mm" };
        PostChoice::Named(name.to_owned())
    })
}

/// Eight letters and digits that change with a text.
fn short(text: &str) -> String {
    short_of(&Sha256::digest(text))
}

/// The first eight letters and digits of a digest.
fn short_of(digest: &[u8]) -> String {
    format!("{:08x}", u32::from_be_bytes([digest[0], digest[1], digest[2], digest[3]]))
}

#[cfg(test)]
mod planted;

#[cfg(test)]
mod second;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vector;
    use std::f64::consts::TAU;

    #[test]
    fn the_noise_of_a_scan_is_refused_before_it_is_planned() {
        let planned = |count: u32| {
            let corner = |index: u32| {
                let way = Vector::at_angle(f64::from(index) * TAU / f64::from(count));
                let far = if index.is_multiple_of(2) { 120.0 } else { 120.02 };
                let at = way * far;
                format!("{:.4},{:.4}", 150.0 + at.x, 150.0 + at.y)
            };
            let corners: Vec<String> = (0..count).map(corner).collect();
            let drawing = format!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300"><polygon points="{}"/></svg>"#,
                corners.join(" ")
            );
            let job = "bits = [\"1/2in pattern\"]\n[outline]\ndrawing = \"scan.svg\"\n";
            let job = crate::read::job("scan.toml", job).expect("a job").value;
            let load = |_: &str| Ok(drawing.clone().into_bytes());
            outlines(&job, &load).map(|told| check_size(&told.value))
        };
        assert!(planned(400).expect("it is read").is_ok(), "so many may be meant");
        let refused = planned(10_002).expect("it is read").expect_err("noise");
        let problem = &refused.problems()[0];
        assert_eq!(problem.id, "outline-too-fine");
        assert!(problem.found.contains("10002 corners"), "{problem:?}");
    }

    #[test]
    fn a_drawing_of_a_size_that_nothing_routed_has_is_asked_about() {
        let drawing = |width, height| {
            let corners = [Point::default(), Point::new(width, height)];
            corners.into_iter().fold(Bounds::EMPTY, Bounds::with)
        };
        let asked = |size| unit_in_doubt(&size, Paper::MM);
        let small = asked(drawing(12.0, 4.5)).expect("it is asked about");
        assert_eq!(small.weight, Weight::Caution, "it may be meant");
        assert!(
            small.found.contains("304.8 mm by 114.3 mm"),
            "as inches: {}",
            small.found
        );
        assert!(asked(drawing(304.8, 114.3)).is_none(), "a bracket is none");
        let large = asked(drawing(7620.0, 300.0)).expect("it is asked about");
        assert!(
            large.found.contains("300 mm by 11.8 mm"),
            "the other way: {}",
            large.found
        );
        let inch = Paper { unit: Unit::Inch, ..Paper::MM };
        let small = unit_in_doubt(&drawing(12.0, 4.5), inch).expect("it is asked about");
        let told = format!("{} {}", small.found, small.expected);
        assert!(told.contains("12 in by 4.5 in") && !told.contains("mm"), "{told}");
    }
}

//! A job's joint: its halves as drawings, and all that is known of it.

use super::hands::hands;
use super::keep;
use crate::diag::{Failure, Outcome, Place, Problem, Problems, Source, Told, Weight};
use crate::geom::{Point, Vector, tolerance};
use crate::joint::{
    self, Facts, JointStock, MateHabits, Push, Rule, Taper, WedgeAsk, WedgeKind, Wedges,
};
use crate::outline::{self, Outline};
use crate::read::{
    Drawing, Drawn, Job, JointName, Load, Mate, Path, ShapeSource, Stroke,
    check_known_size, check_pick,
};
use crate::shop::{self, defaults};
use crate::units::{MM_PER_INCH, Mm, Paper, Unit};

/// What a job makes: its outlines and, where they are halves of a joint, what is known of it.
#[derive(Debug, Clone)]
pub(super) struct Parts {
    /// The parts.
    pub(super) outlines: Vec<Outline>,
    /// The joint.
    pub(super) joint: Option<Jointed>,
}

/// A joint and its wedges.
#[derive(Debug, Clone, PartialEq)]
pub struct Jointed {
    /// What is known of the joint.
    pub facts: Facts,
    /// The wedges of its slot.
    pub wedges: Option<Wedges>,
}

/// The parts of a job: of a drawing, of walks, of the two halves of a board, or of a joint by
/// name.
///
/// # Errors
/// As [`super::plan_job`].
pub(super) fn parts(job: &Job, load: &Load<'_>) -> Outcome<Parts> {
    let mut notes = Problems::new();
    check_known_size(job).map_err(|problem| Failure::input(*problem))?;
    check_pick(job)?;
    if let Some(mate) = &job.mate {
        return mated(job, mate, load);
    }
    let (drawings, joint) = match &job.shape {
        Some(ShapeSource::Joint(_) | ShapeSource::BoardAndLine(_)) => {
            let (halves, jointed) = halves(job)?;
            notes.push(super::alike(jointed.facts.alike));
            notes.extend(lap_depth(&jointed.facts, job.on_paper()));
            (halves.to_vec(), Some(jointed))
        }
        _ => (keep(joint::drawings(job, load)?, &mut notes), None),
    };
    let (fit, paper) = (job.fit.map_or(tolerance::FIT, Mm::mm), job.on_paper());
    let mut outlines = Vec::new();
    for one in hands(job, drawings)? {
        let mut own =
            keep(outline::outlines(&one.drawing, &one.roles, fit, paper)?, &mut notes);
        for outline in &mut own {
            outline.mirrored = one.mirrored;
        }
        outlines.extend(own);
    }
    Ok(Told { value: Parts { outlines, joint }, notes })
}

/// The halves of a joint that is drawn as two outlines, set in where their clearance asks it.
fn mated(job: &Job, mate: &Mate, load: &Load<'_>) -> Outcome<Parts> {
    let mut notes = Problems::new();
    let second = mate.job(job);
    check_known_size(&second).map_err(|problem| Failure::input(*problem))?;
    check_pick(&second)?;
    let (fit, paper) = (job.fit.map_or(tolerance::FIT, Mm::mm), job.on_paper());
    let title = job.name.as_deref().unwrap_or("joint");
    let mut drawings = Vec::new();
    for (letter, half) in [("A", job), ("B", &second)] {
        let drawing = keep(joint::drawings(half, load)?, &mut notes);
        let one = drawing
            .into_iter()
            .map(|one| Drawing { name: format!("{title} half {letter}"), ..one });
        drawings.extend(one);
    }
    let mut outlines = Vec::new();
    let roles = [&job.roles, &mate.roles];
    for (one, roles) in hands(job, drawings)?.iter().zip(roles) {
        let own = keep(outline::outlines(&one.drawing, roles, fit, paper)?, &mut notes);
        outlines.push(one_outline(own, (&one.drawing.name, mate))?);
    }
    let [a, b] = &outlines[..] else { return Err(Failure::Input(notes)) };
    let drawn = [of_pieces(a), of_pieces(b)];
    let (halves, mut facts) = joint::mated(&drawn, mate, mate_habits(job))?;
    for ((outline, drawn), half) in outlines.iter_mut().zip(&drawn).zip(&halves) {
        // A half that nothing is set in of stays as it was read.
        if drawn != half {
            let own = keep(outline::outlines(half, &[], fit, paper)?, &mut notes);
            *outline = one_outline(own, (&half.name, mate))?;
        }
    }
    facts.across = across(job, mate, (&outlines, &facts));
    notes.push(super::alike(facts.alike));
    let joint = Some(Jointed { facts, wedges: None });
    Ok(Told { value: Parts { outlines, joint }, notes })
}

fn mate_habits(job: &Job) -> MateHabits {
    MateHabits {
        clearance: defaults::joint_rule(Rule::Clearance).value,
        within: defaults::MEETS_WITHIN.value,
        paper: job.on_paper(),
    }
}

/// The one outline of a half.
fn one_outline(
    outlines: Vec<Outline>,
    (name, mate): (&str, &Mate),
) -> Result<Outline, Failure> {
    let n_outlines = outlines.len();
    let [one] = <[Outline; 1]>::try_from(outlines).map_err(|_all| {
        let found = format!("`{name}` has {n_outlines} outlines, and a half is one");
        let hint = "give each half a drawing or a layer of its own, or walk it";
        let problem = Problem::stop("half-not-one", found, hint);
        Failure::input(problem.at(mate.place.clone()))
    })?;
    Ok(one)
}

/// An outline as a drawing of its lines and arcs, every edge with its role.
fn of_pieces(outline: &Outline) -> Drawing {
    let place = Place::whole(Source::Drawing, outline.name.as_str());
    let paths = outline.loops.iter().enumerate().map(|(on, ring)| {
        let strokes = outline.edges_of(on).flat_map(|edge| {
            let pieces = ring.run(edge.span.from, edge.span.length);
            pieces.into_iter().map(|piece| Drawn {
                stroke: Stroke::Piece(piece),
                name: edge.name.clone(),
                role: Some(edge.role),
            })
        });
        Path { strokes: strokes.collect(), closed: true, place: place.clone() }
    });
    Drawing { name: outline.name.clone(), beside: None, paths: paths.collect() }
}

/// How wide the wood is that crosses its mate's grain: nothing where the grains run together.
fn across(job: &Job, mate: &Mate, (outlines, facts): (&[Outline], &Facts)) -> f64 {
    /// Grains that lie on each other at less than this, in degrees, move together (from memory).
    const TOGETHER: f64 = 30.0;
    let grain = shop::grain(job.grain, outlines.iter().map(Outline::bounds).collect());
    let turned = if mate.lie.turned_over { -2.0 * grain } else { 0.0 } + mate.lie.degrees;
    let apart = turned.rem_euclid(180.0);
    if apart.min(180.0 - apart) < TOGETHER {
        return 0.0;
    }
    let way = Vector::at_angle(grain.to_radians()).left();
    let ends =
        facts.fit.faces.iter().flat_map(|face| [face.piece.from(), face.piece.to()]);
    let along = ends.map(|at| (at - Point::default()).dot(way));
    let range = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| {
        (low.min(at), high.max(at))
    });
    (range.1 - range.0).max(0.0)
}

/// The halves of a job's joint.
fn halves(job: &Job) -> Result<([Drawing; 2], Jointed), Failure> {
    let title = job.name.as_deref().unwrap_or("joint");
    let wish = match &job.shape {
        Some(ShapeSource::Joint(wish)) => wish,
        Some(ShapeSource::BoardAndLine(board)) => {
            let (halves, facts) = joint::board_facts(
                title,
                board,
                (
                    defaults::joint_rule(Rule::Clearance).value,
                    defaults::MEETS_WITHIN.value,
                ),
                job.on_paper(),
            )?;
            return Ok((halves, Jointed { facts, wedges: None }));
        }
        _ => return Err(Failure::Input(Problems::new())),
    };
    let thick = job.thick.map(Mm::mm);
    let kind = wedge_kind(wish.name);
    let one_in = wish.slope.unwrap_or(defaults::wedge_slope(kind).value);
    let paper = job.on_paper();
    let stock = JointStock {
        thick,
        slot: slot_for(kind, (thick.unwrap_or(0.0), one_in), paper),
        set_in: defaults::TUSK_SET_IN.value,
        paper,
    };
    let rules = |rule| defaults::joint_rule(rule).value;
    let pair = joint::named(wish, stock, &rules, title)?;
    let facts = joint::facts(&pair, defaults::MEETS_WITHIN.value);
    let wedges = facts.slot.map(|slot| {
        joint::wedges(&WedgeAsk {
            kind,
            slot,
            taper: Taper::OneIn(one_in),
            push: Push::EndGrain,
            tenon: None,
            sets: job.count.unwrap_or(1),
            habits: defaults::WEDGE_HABITS,
            paper,
        })
    });
    let wedges = wedges.transpose()?;
    Ok((pair.halves, Jointed { facts, wedges }))
}

/// A lap has a floor: what is planned as a cut through half the stock must stop there.
fn lap_depth(facts: &Facts, paper: Paper) -> Option<Problem> {
    let depth = facts.through.filter(|_| facts.halved)?;
    let found = format!(
        "the halves lap: each is cut only {} deep from its face, and the socket has a floor there",
        paper.length(depth)
    );
    let hint = "cut both to that depth as the sheet Lap says, before anything is routed; nothing of the socket is sawn through";
    Some(Problem::new("lap-has-a-floor", Weight::Caution, found, hint))
}

const fn wedge_kind(name: JointName) -> WedgeKind {
    match name {
        JointName::TuskTenon => WedgeKind::Tusk,
        _ => WedgeKind::Folding,
    }
}

/// The narrowest slot, to a whole millimetre or a sixteenth of an inch, whose wedges have tips
/// thick enough (geometry).
fn slot_for(kind: WedgeKind, (thick, one_in): (f64, f64), paper: Paper) -> f64 {
    let step = match paper.unit {
        Unit::Mm => 1.0,
        Unit::Inch => MM_PER_INCH / 16.0,
    };
    let habits = defaults::WEDGE_HABITS;
    let taper = (thick / 2.0 + habits.to_trim) / one_in;
    let one = habits.least_tip + taper;
    (one * f64::from(kind.count()) / step).ceil() * step
}

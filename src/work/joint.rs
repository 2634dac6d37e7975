//! A job's joint: its halves as drawings, and all that is known of it.

use super::hands::hands;
use super::keep;
use crate::diag::{Failure, Outcome, Problem, Problems, Told, Weight};
use crate::geom::tolerance;
use crate::joint::{
    self, Facts, JointStock, Push, Rule, Taper, WedgeAsk, WedgeKind, Wedges,
};
use crate::outline::{self, Outline};
use crate::read::{
    Drawing, Job, JointName, Load, ShapeSource, check_known_size, check_pick,
};
use crate::shop::defaults;
use crate::units::{Mm, Paper};

/// What a job makes: its outlines and, where they are halves of a joint, what is known of it.
#[derive(Debug)]
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
    let (drawings, joint) = match &job.shape {
        Some(ShapeSource::Joint(_) | ShapeSource::BoardAndLine(_)) => {
            let (halves, jointed) = halves(job)?;
            notes.push(super::alike(&jointed.facts.mating));
            notes.extend(lap_depth(&jointed.facts));
            (halves.to_vec(), Some(jointed))
        }
        _ => (keep(joint::drawings(job, load)?, &mut notes), None),
    };
    let fit = job.fit.map_or(tolerance::FIT, Mm::mm);
    let mut outlines = Vec::new();
    for one in hands(job, drawings)? {
        let mut own = keep(outline::outlines(&one.drawing, &one.roles, fit)?, &mut notes);
        for outline in &mut own {
            outline.mirrored = one.mirrored;
        }
        outlines.extend(own);
    }
    Ok(Told { value: Parts { outlines, joint }, notes })
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
                defaults::joint_rule(Rule::Clearance).value,
            )?;
            return Ok((halves, Jointed { facts, wedges: None }));
        }
        _ => return Err(Failure::Input(Problems::new())),
    };
    let thick = job.thick.map(Mm::mm);
    let kind = wedge_kind(wish.name);
    let one_in = wish.slope.unwrap_or(defaults::wedge_slope(kind).value);
    let paper = super::paper(job);
    let stock = JointStock {
        thick,
        slot: slot_for(kind, thick.unwrap_or(0.0), one_in),
        set_in: defaults::TUSK_SET_IN.value,
        paper,
    };
    let rules = |rule| defaults::joint_rule(rule).value;
    let pair = joint::named(wish, stock, &rules, title)?;
    let facts = joint::facts(&pair);
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
fn lap_depth(facts: &Facts) -> Option<Problem> {
    let depth = facts.through.filter(|_| facts.halved)?;
    let found = format!(
        "the halves lap: each is cut only {} deep from its face, and the socket has a floor there",
        Paper::MM.length(depth)
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

/// The narrowest slot, to a whole millimetre, whose wedges have tips thick enough (geometry).
fn slot_for(kind: WedgeKind, thick: f64, one_in: f64) -> f64 {
    let habits = defaults::WEDGE_HABITS;
    let taper = (thick / 2.0 + habits.to_trim) / one_in;
    let one = habits.least_tip + taper;
    (one * f64::from(kind.count())).ceil()
}

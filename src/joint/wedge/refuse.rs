//! What makes a wedge unsound, each with what would do.

use super::{DEEPEST, Hold, Push, Taper, WedgeAsk, WedgeKind, Wedges, hold, one_in};
use crate::diag::{Failure, Problem, Problems};
use crate::units::{MM_PER_INCH, Paper, Unit};

/// A wedge lower than this, in mm, is no wedge (from memory).
const LEAST_HEIGHT: f64 = 3.0;

/// Refuses what no size would mend.
pub(super) fn unsound(ask: &WedgeAsk) -> Result<(), Failure> {
    let mut problems = Problems::new();
    if let Taper::Ends { head, tip } = ask.taper
        && head <= tip
    {
        let [head, tip] = [head, tip].map(|mm| ask.paper.length(mm));
        let found = format!("the head of {head} is no thicker than the tip of {tip}");
        problems.push(Problem::stop(
            "wedge-without-taper",
            found,
            "swap them, or give a slope like `1:8`",
        ));
    }
    if ask.push == Push::LongGrain {
        let found = "the wedge would push across long grain and split it";
        let hint = "turn the slot so that the wedge pushes on end grain";
        problems.push(Problem::stop("wedge-splits", found, hint));
    }
    if problems.is_empty() { springs_back(ask) } else { Err(Failure::Refused(problems)) }
}

fn springs_back(ask: &WedgeAsk) -> Result<(), Failure> {
    let (one_in, friction) = (one_in(ask), ask.habits.friction);
    if hold(one_in, friction) != Hold::SpringsBack {
        return Ok(());
    }
    let found = format!("a slope of 1 in {one_in:.1} springs back out of its slot");
    let hint = format!("make it 1 in {:.0} or flatter", (1.0 / friction).ceil());
    let expected = format!("a slope that dry wood holds, with friction of {friction}");
    Err(Failure::refused(
        Problem::stop("wedge-springs-back", found, hint).expected(expected),
    ))
}

/// Refuses wedges that could not be made or would not do their work.
pub(super) fn unusable(made: &Wedges) -> Result<(), Failure> {
    let checks = [
        too_thin(made),
        too_low(made),
        too_thick(made),
        bottoms_out(made),
        does_not_fill(made),
    ];
    let problems: Problems = checks.into_iter().flatten().collect();
    if problems.is_empty() { Ok(()) } else { Err(Failure::Refused(problems)) }
}

fn too_thin(made: &Wedges) -> Option<Problem> {
    let paper = made.ask.paper;
    let mm = |length: f64| paper.length(length);
    let WedgeAsk { kind, slot, habits, .. } = made.ask;
    let least = habits.least_tip;
    if kind == WedgeKind::Tenon || least <= made.tip {
        return None;
    }
    let past_middle = slot.through / 2.0 + habits.to_trim;
    let share = if kind == WedgeKind::Folding { 2.0 } else { 1.0 };
    let room = slot.width / share - least;
    let wider = share * (least + past_middle / made.one_in);
    let flatter = if 0.0 < room {
        format!("a slope of 1 in {:.0}, or ", (past_middle / room).ceil())
    } else {
        String::new()
    };
    let hint = format!("{flatter}a slot {} wide would do", up(wider, paper));
    let found = format!("the tip would be {} thick", mm(made.tip));
    Some(
        Problem::stop("wedge-tip-thin", found, hint)
            .expected(format!("at least {}", mm(least))),
    )
}

fn too_low(made: &Wedges) -> Option<Problem> {
    let paper = made.ask.paper;
    let mm = |length: f64| paper.length(length);
    (made.height < LEAST_HEIGHT).then(|| {
        let found = format!("the wedge would be {} high", mm(made.height));
        let least = up(LEAST_HEIGHT + made.ask.habits.shaving, paper);
        Problem::stop("wedge-low", found, format!("make the slot at least {least} high"))
            .expected(format!("at least {}", mm(LEAST_HEIGHT)))
    })
}

/// A tusk wedge takes at most a third of the tenon.
fn too_thick(made: &Wedges) -> Option<Problem> {
    let paper = made.ask.paper;
    let mm = |length: f64| paper.length(length);
    let tenon = made.ask.tenon.filter(|_| made.ask.kind == WedgeKind::Tusk)?;
    let most = tenon / 3.0;
    (most + 0.05 < made.ask.slot.height).then(|| {
        let found = format!(
            "a slot {} high takes more than a third of a tenon of {}",
            mm(made.ask.slot.height),
            mm(tenon)
        );
        Problem::stop(
            "wedge-weakens-tenon",
            found,
            format!("make the slot {} high", down(most, paper)),
        )
        .expected(format!("at most {}", down(most, paper)))
    })
}

/// The slot's inner wall must stay clear of a tusk wedge that is driven home.
fn bottoms_out(made: &Wedges) -> Option<Problem> {
    let paper = made.ask.paper;
    let mm = |length: f64| paper.length(length);
    let WedgeAsk { kind, habits, .. } = made.ask;
    let drawn = made.most_lift();
    (kind == WedgeKind::Tusk && habits.set_in < drawn).then(|| {
        let found = format!(
            "driven home it would draw {}, but the slot begins only {} inside the face",
            mm(drawn),
            mm(habits.set_in)
        );
        let hint = format!(
            "set the slot in by {}, or leave {} to drive",
            up(drawn, paper),
            down(habits.set_in * made.one_in, paper)
        );
        Problem::stop("wedge-bottoms-out", found, hint)
    })
}

/// A tenon wedge must fill its room before it reaches the end of its kerf.
fn does_not_fill(made: &Wedges) -> Option<Problem> {
    let paper = made.ask.paper;
    let mm = |length: f64| paper.length(length);
    let WedgeAsk { kind, slot, .. } = made.ask;
    let (deep, most) = (slot.width * made.one_in, slot.through * DEEPEST);
    (kind == WedgeKind::Tenon && most < deep).then(|| {
        let found = format!(
            "to fill {} at 1 in {:.1} it must go {} deep, in a mortise of {}",
            mm(slot.width),
            made.one_in,
            mm(deep),
            mm(slot.through)
        );
        let hint = format!(
            "flare the mortise by only {} a side, or taper the wedge 1 in {:.1}",
            down(most / made.one_in, paper),
            (most / slot.width * 10.0).floor() / 10.0
        );
        Problem::stop("wedge-bottoms-out", found, hint)
    })
}

/// A length of which at least so much would do.
fn up(length: f64, paper: Paper) -> String {
    let step = step(paper);
    paper.length((length / step - 1e-9).ceil() * step)
}

/// A length of which at most so much would do.
fn down(length: f64, paper: Paper) -> String {
    let step = step(paper);
    paper.length((length / step + 1e-9).floor() * step)
}

/// What a length that would do is rounded to: a tenth of a millimetre, or the paper's fraction.
fn step(paper: Paper) -> f64 {
    match paper.unit {
        Unit::Mm => 0.1,
        Unit::Inch => MM_PER_INCH / f64::from(paper.fraction),
    }
}

//! What can be wrong with what is asked of a machine, and what to do about it.

use super::fill::place;
use super::{Machine, chart_chip, defaults};
use crate::diag::{Problem, Weight};
use crate::units::{Diameter, Paper};

/// A further tool that is no narrower than the end mill.
pub(super) fn no_narrower(
    key: &str,
    tool: Diameter,
    end_mill: Diameter,
) -> Option<Problem> {
    let found = format!("`{key}` is as wide as the end mill");
    let hint = "give a narrower one, or leave it out";
    let problem = Problem::stop("tool-not-narrower", found, hint).at(place(key));
    (end_mill.mm() <= tool.mm()).then_some(problem)
}

/// A width of cut that no sound mill makes.
pub(super) fn odd_kerf(apart: f64, paper: Paper) -> Problem {
    let most = paper.fine(defaults::MOST_WIDER.value);
    let apart = paper.fine(apart);
    let found = format!("the cut differs from the end mill's width by {apart}");
    let hint = format!("measure mill and test piece again: more than {most} is a slip");
    Problem::stop("kerf-odd", found, hint).at(place("kerf"))
}

/// An allowance that is no finishing lap.
pub(super) fn deep_allowance(machine: &Machine, paper: Paper) -> Problem {
    let most = machine.end_mill.mm() * defaults::MOST_ALLOWANCE.value;
    let found =
        format!("{} left for the finishing lap", paper.measured(machine.allowance.mm()));
    let hint = format!("give `allowance` as at most {}", paper.measured(most));
    Problem::stop("allowance-too-deep", found, hint).at(place("allowance"))
}

/// Marks too deep.
pub(super) fn deep_scribe(depth: f64, paper: Paper) -> Problem {
    let most = paper.fine(defaults::MOST_SCRIBE.value);
    let found = format!("marks {} deep weaken the template", paper.fine(depth));
    let hint = format!("give a `scribe-depth` of at most {most}");
    Problem::stop("scribe-too-deep", found, hint).at(place("scribe-depth"))
}

/// A skin too thin to hold.
pub(super) fn thin_skin(skin: f64, paper: Paper) -> Problem {
    let least = paper.fine(defaults::LEAST_SKIN.value);
    let skin = paper.fine(skin);
    let found = format!("a skin of {skin}: an uneven blank would be cut through");
    let hint = format!("give `skin` as {least} and as much as the blank is out of flat");
    Problem::stop("skin-too-thin", found, hint).at(place("skin"))
}

/// A travel height under a keep-out.
pub(super) fn travels_too_low(clear: f64, over: f64, paper: Paper) -> Problem {
    let (clear, over) = (paper.fine(clear), paper.fine(over));
    let found = format!("it would travel {clear} above the blank, lower than a keep-out");
    let hint = format!("give a `clear` of at least {over}, or use lower clamps");
    Problem::stop("clear-under-keep-out", found, hint).at(place("clear"))
}

/// A feed, by its key, over the machine's most.
pub(super) fn too_fast(
    (key, feed): (&'static str, f64),
    most: f64,
    paper: Paper,
) -> Problem {
    let (feed, most) = (paper.decimals(feed, 0), paper.decimals(most, 0));
    let found = format!("a {key} of {feed} a minute, and the machine's most is {most}");
    let hint = format!("give a slower `{key}`, or the machine's true `feed-most`");
    Problem::stop("feed-over-most", found, hint).at(place(key))
}

/// A cut so far into the waste board that a figure must have slipped.
pub(super) fn through_too_deep(through: f64, paper: Paper) -> Problem {
    let (through, most) =
        (paper.measured(through), paper.fine(defaults::MOST_THROUGH.value));
    let found = format!("it would cut {through} into the waste board");
    let hint = format!("give `through` as at most {most}: 0.3 mm is enough");
    Problem::stop("through-too-deep", found, hint).at(place("through"))
}

/// A mill that stands out of its nut by less than it is to cut.
pub(super) fn too_short(machine: &Machine, thick: f64, paper: Paper) -> Option<Problem> {
    let (deep, out) = (-machine.deepest(thick), machine.holder.stick_out.mm());
    let found = format!(
        "the mill stands {} out of its nut and is to cut {} deep: the nut would rub on the blank",
        paper.measured(out),
        paper.measured(deep)
    );
    let hint = "give the true `stick-out` of a longer mill, or take a thinner blank";
    let problem = Problem::stop("mill-too-short", found, hint).at(place("stick-out"));
    (out < deep).then_some(problem)
}

/// A chip so thin that the edge rubs, or thicker than charts for stiff machines give: by far, it
/// breaks the mill.
pub(super) fn odd_chip(machine: &Machine, paper: Paper) -> Option<Problem> {
    let chip = machine.chip();
    let [_, most] = chart_chip(machine.end_mill, machine.material);
    let least = defaults::LEAST_CHIP.value;
    let fine = |mm: f64| paper.decimals(mm, 3);
    let shown = fine(chip);
    let far = most * defaults::MOST_CHIP.value;
    let weight = if far + 1e-9 < chip { Weight::Stop } else { Weight::Caution };
    let (says, hint) = if chip < least - 1e-9 {
        (
            format!("a chip of {shown} a tooth is so thin that the edge rubs and burns"),
            format!("feed faster or turn slower, for at least {} a tooth", fine(least)),
        )
    } else if most + 1e-9 < chip {
        (
            format!("a chip of {shown} a tooth is more than stiff machines take"),
            format!("feed slower or turn faster, for at most {} a tooth", fine(most)),
        )
    } else {
        return None;
    };
    Some(Problem::new("chip-odd", weight, says, hint).at(place("feed")))
}

/// A machine without an end mill.
pub(super) fn no_end_mill() -> Problem {
    let found = "something is said about a machine, but no end mill is named";
    let hint =
        "name it, measured, with `--end-mill 6mm`; without it no program is written";
    Problem::new("no-end-mill", Weight::Hint, found, hint).at(place("machine"))
}

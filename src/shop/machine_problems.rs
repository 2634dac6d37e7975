//! What can be wrong with what is asked of a machine, and what to do about it.

use super::fill::place;
use super::{Machine, chart_chip, defaults};
use crate::diag::{Problem, Weight};
use crate::units::Diameter;

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
pub(super) fn odd_kerf(apart: f64) -> Problem {
    let most = defaults::MOST_WIDER.value;
    let found = format!("the cut differs from the end mill's width by {apart:.2} mm");
    let hint =
        format!("measure mill and test piece again: more than {most} mm is a slip");
    Problem::stop("kerf-odd", found, hint).at(place("kerf"))
}

/// Marks too deep.
pub(super) fn deep_scribe(depth: f64) -> Problem {
    let most = defaults::MOST_SCRIBE.value;
    let found = format!("marks {depth} mm deep weaken the template");
    let hint = format!("give a `scribe-depth` of at most {most} mm");
    Problem::stop("scribe-too-deep", found, hint).at(place("scribe-depth"))
}

/// A skin too thin to hold.
pub(super) fn thin_skin(skin: f64) -> Problem {
    let least = defaults::LEAST_SKIN.value;
    let found = format!("a skin of {skin} mm: an uneven blank would be cut through");
    let hint =
        format!("give `skin` as {least} mm and as much as the blank is out of flat");
    Problem::stop("skin-too-thin", found, hint).at(place("skin"))
}

/// A travel height under a keep-out.
pub(super) fn travels_too_low(clear: f64, over: f64) -> Problem {
    let found =
        format!("it would travel {clear:.1} mm above the blank, lower than a keep-out");
    let hint = format!("give a `clear` of at least {over:.1} mm, or use lower clamps");
    Problem::stop("clear-under-keep-out", found, hint).at(place("clear"))
}

/// A feed over the machine's most.
pub(super) fn too_fast(feed: f64, most: f64) -> Problem {
    let found =
        format!("a feed of {feed:.0} mm/min, and the machine's most is {most:.0}");
    let hint = "give a slower `feed`, or the machine's true `feed-most`";
    Problem::stop("feed-over-most", found, hint).at(place("feed"))
}

/// A chip so thin that the edge rubs, or thicker than charts for stiff machines give.
pub(super) fn odd_chip(machine: &Machine) -> Option<Problem> {
    let chip = machine.chip();
    let [_, most] = chart_chip(machine.end_mill, machine.material);
    let least = defaults::LEAST_CHIP.value;
    let (says, hint) = if chip < least - 1e-9 {
        (
            format!(
                "a chip of {chip:.3} mm a tooth is so thin that the edge rubs and burns"
            ),
            format!("feed faster or turn slower, for at least {least} mm a tooth"),
        )
    } else if most + 1e-9 < chip {
        (
            format!("a chip of {chip:.3} mm a tooth is more than stiff machines take"),
            format!("feed slower or turn faster, for at most {most:.2} mm a tooth"),
        )
    } else {
        return None;
    };
    Some(Problem::new("chip-odd", Weight::Caution, says, hint).at(place("feed")))
}

/// A machine without an end mill.
pub(super) fn no_end_mill() -> Problem {
    let found = "something is said about a machine, but no end mill is named";
    let hint =
        "name it, measured, with `--end-mill 6mm`; without it no program is written";
    Problem::new("no-end-mill", Weight::Hint, found, hint).at(place("machine"))
}

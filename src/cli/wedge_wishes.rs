//! The options of `wedges` to what is asked of them.

use super::bench_args::{PushArg, WedgeArg, WedgeArgs};
use super::wishes::Options;
use crate::diag::{Place, Problem, Problems};
use crate::joint::{Push, Slot, Taper, WedgeAsk, WedgeKind};
use crate::read::{
    Checked, amount_text, blank_text, count_text, fraction_text, size_text, slope_text,
    units_text,
};
use crate::shop::defaults;
use crate::units::{Mm, Paper, Unit};

/// What the options ask for, and how the paper writes lengths.
///
/// # Errors
/// Every option that cannot be read, each with its name.
pub(super) fn asked(args: &WedgeArgs) -> Result<(WedgeAsk, Paper), Problems> {
    let mut options = Options { problems: Problems::new() };
    let (mut units, mut fraction) = (None, None);
    options.put(("--units", &args.said.units), &mut units, units_text);
    options.put(("--fraction", &args.said.fraction), &mut fraction, fraction_text);
    let kind = match args.kind {
        WedgeArg::Folding => WedgeKind::Folding,
        WedgeArg::Tusk => WedgeKind::Tusk,
        WedgeArg::Tenon => WedgeKind::Tenon,
    };
    let push = match args.push {
        PushArg::EndGrain => Push::EndGrain,
        PushArg::LongGrain => Push::LongGrain,
    };
    let size = |text: &str, place: &Place| size_text(text, units, place);
    let (mut slot, mut thick) = (None, None);
    let given = Some(args.slot.clone());
    options
        .put(("--slot", &given), &mut slot, |text, place| blank_text(text, units, place));
    options.put(("--thick", &Some(args.thick.clone())), &mut thick, size);
    let (mut tenon, mut sets) = (None, None);
    options.put(("--tenon", &args.tenon), &mut tenon, size);
    options.put(("--sets", &args.sets), &mut sets, count_text);
    let taper = taper(&mut options, args, (kind, units));
    let habits = habits(&mut options, args, units);
    let paper = Paper {
        unit: units.unwrap_or(Unit::Mm),
        fraction: fraction.unwrap_or(Paper::MM.fraction),
    };
    match (slot, thick) {
        (Some((width, height)), Some(through)) if options.problems.is_empty() => {
            let (width, height, through) = (width.mm(), height.mm(), through.mm());
            let slot = Slot { width, height, through };
            let (tenon, sets) = (tenon.map(Mm::mm), sets.unwrap_or(1));
            let ask = WedgeAsk { kind, slot, taper, push, tenon, sets, habits, paper };
            Ok((ask, paper))
        }
        _ => Err(options.problems),
    }
}

fn taper(
    options: &mut Options,
    args: &WedgeArgs,
    (kind, units): (WedgeKind, Option<Unit>),
) -> Taper {
    let (mut slope, mut head, mut tip) = (None, None, None);
    let size = |text: &str, place: &Place| size_text(text, units, place);
    options.put(("--slope", &args.slope), &mut slope, slope_text);
    options.put(("--head", &args.head), &mut head, size);
    options.put(("--tip", &args.tip), &mut tip, size);
    match (head, tip) {
        (Some(head), Some(tip)) => Taper::Ends { head: head.mm(), tip: tip.mm() },
        _ => Taper::OneIn(slope.unwrap_or(defaults::wedge_slope(kind).value)),
    }
}

fn habits(
    options: &mut Options,
    args: &WedgeArgs,
    units: Option<Unit>,
) -> crate::joint::Habits {
    let mut habits = defaults::WEDGE_HABITS;
    let amount = |text: &str, place: &Place| amount_text(text, units, place);
    let lengths = [
        ("--to-drive", &args.to_drive, &mut habits.to_drive),
        ("--to-trim", &args.to_trim, &mut habits.to_trim),
        ("--kerf", &args.kerf, &mut habits.kerf),
        ("--set-in", &args.set_in, &mut habits.set_in),
    ];
    for (option, text, into) in lengths {
        let mut length = None;
        options.put((option, text), &mut length, amount);
        *into = length.map_or(*into, Mm::mm);
    }
    let mut friction = None;
    options.put(("--friction", &args.friction), &mut friction, friction_text);
    habits.friction = friction.unwrap_or(habits.friction);
    habits
}

/// Friction as a share of the pressing force.
fn friction_text(text: &str, place: &Place) -> Checked<f64> {
    let number = text.trim().parse::<f64>().ok();
    number.filter(|number| 0.01 < *number && *number < 1.0).ok_or_else(|| {
        let found = format!("`{text}` is no friction of wood on wood");
        let hint = "dry wood on wood has 0.25 to 0.5; leave it out if you do not know it";
        let problem = Problem::stop("friction-unreadable", found, hint);
        problem.expected("a number between 0.01 and 1").at(place.clone()).into()
    })
}

//! How deep the mill cuts at one go: laps one below the other, each at a depth that the mill
//! bears.
//!
//! ```text
//!  ______        ________ top     looks at the way of each mill: what was cut there before is the
//!        | lap 1|                 floor, and the next lap goes below it no deeper than the mill
//!        | lap 2|                 bears for its width
//!        |______|
//! ```
//!
//! Our own; how deep: from memory.

use super::cut::{Cut, LEVEL, UPRIGHT};
use super::cuts::Cuts;
use super::distance::Shape;
use super::promise::Promise;
use super::tree::Forest;
use super::verdict::{Fault, Rule};
use crate::shop::Tool;

/// The deepest cut at one go, as a share of the mill's width (from memory).
const DEEPEST: f64 = crate::shop::defaults::MOST_BITE.value;
/// The way is looked at so often, in mm.
const LOOK: f64 = 5.0;
/// A finishing lap comes no farther from the lap before it than so many allowances, in its
/// sharpest corners (geometry: at 17 degrees to either side).
const CORNERS: f64 = 3.5;
/// What was cut no longer ago than so many times as far as it is looked for is the same cut.
const SAME: f64 = 3.0;

/// A look at the way of a mill.
struct Look {
    cut: Cut,
    /// How far it has cut until then, in mm.
    gone: f64,
    level: f64,
    place: Shape,
    /// Whether it is an end of what was cut at one level, where the mill went straight down or
    /// up: a floor, but no cut to judge.
    ends: bool,
}

/// The first place where a mill goes deeper than it is wide below what was cut there before.
pub(super) fn fault(cuts: &Cuts<'_>, promise: &Promise) -> Option<Fault> {
    let looks = looks(cuts);
    let stripped = in_strips(&looks);
    let places = Forest::new(stripped.iter().map(|look| look.place));
    let allowance = promise.machine.allowance.mm();
    looks.iter().filter(|look| !look.ends).find_map(|look| {
        let Look { cut, level, place, .. } = look;
        let most = 2.0 * cut.radius * DEEPEST + LEVEL;
        let reach = cut.radius.max(CORNERS * allowance) + LOOK / 2.0;
        let is_before = |other: &Look| other.gone + SAME * reach < look.gone;
        let is_step = |index: usize| {
            is_before(stripped[index]) && stripped[index].level - level <= most
        };
        if -level <= most || places.is_near(place.from, reach, is_step) {
            return None;
        }
        let near = places.within(place.from, reach).into_iter();
        let before = near.map(|index| stripped[index]).filter(|other| is_before(other));
        let floor = before.map(|other| other.level).fold(0.0, f64::min);
        let deep = floor - level;
        let text = format!(
            "it cuts {} deep at one go with a mill {} wide",
            promise.paper.fine(deep),
            promise.paper.fine(2.0 * cut.radius)
        );
        (most < deep).then(|| cut.fault(Rule::Depth, text))
    })
}

/// Looks in strips across the blank: those that lie beside each other follow each other, whenever
/// they were cut.
fn in_strips(looks: &[Look]) -> Vec<&Look> {
    let strip = |look: &Look| (look.place.from.x / LOOK).floor();
    let mut all: Vec<&Look> = looks.iter().collect();
    all.sort_by(|a, b| {
        let along = a.place.from.y.total_cmp(&b.place.from.y);
        strip(a).total_cmp(&strip(b)).then(along)
    });
    all
}

/// Looks at all ways of mills below the blank's top: every few mm, and where a level ends, as
/// beside a tab.
fn looks(cuts: &Cuts<'_>) -> Vec<Look> {
    let mut looks = Vec::new();
    let (mut gone, mut next) = (0.0, LOOK);
    for cut in cuts.iter().filter(|cut| !cut.rapid && cut.tool != Tool::Point) {
        let Some(shape) = cut.below(-LEVEL) else { continue };
        let (start, length) = (gone, shape.length());
        gone += length;
        if length < UPRIGHT {
            let level = cut.high.min(cut.low);
            looks.push(Look { cut, gone, level, place: shape, ends: true });
        }
        while next <= gone {
            let share = (next - start) / length;
            let at = shape.at(share);
            let level = cut.high + (cut.low - cut.high) * share;
            let place = Shape { from: at, to: at, bow: None };
            looks.push(Look { cut, gone: next, level, place, ends: false });
            next += LOOK;
        }
    }
    looks
}

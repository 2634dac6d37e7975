//! Which set-ups, and which of them does each bit of edge: a search over all sets of set-ups
//! that are worth making, with a shortest path round every loop and layer for each.
//!
//! In this order: the length left to the hand that an owned set-up could rout, then risk, then
//! minutes. What no set-up may do (a hard stop) is never on offer here.

mod path;

mod sets;

#[cfg(test)]
mod tests;

use super::Cost;
use crate::shop::defaults;
use sets::Table;

/// What one holding can do with one bit of edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Can {
    /// It cuts it.
    Cut {
        /// How many things about it ask for care.
        risk: u32,
        /// Whether the tooth runs a little uphill, along the grain or on end grain.
        against: bool,
        /// Whether the other layer there must be cut first, by a holding that need not wait.
        after: bool,
    },
    /// Its bit goes past without touching it.
    Past,
    /// It must not, or cannot.
    No,
}

/// A bit of edge in one layer as the choice sees it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Link {
    /// Its length in mm.
    pub(super) length: f64,
    /// What each holding can do with it.
    pub(super) can: Vec<Can>,
    /// Which holdings can cut the other layer there first; empty where there is no other.
    pub(super) first: Vec<bool>,
}

/// Links that follow each other on one loop, in one layer.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chain {
    /// The links, in the order of the walk.
    pub(super) links: Vec<Link>,
    /// Whether the last one meets the first.
    pub(super) closed: bool,
    /// Which layer of the stock it is, from 0.
    pub(super) layer: usize,
}

/// A holding as the choice sees it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Offer {
    /// Whether the template lies on face B.
    pub(super) face_b: bool,
    /// Whether the bearing is changed after a light lap.
    pub(super) light: bool,
    /// In how many laps it cuts each layer.
    pub(super) laps: Vec<u32>,
    /// How far the template is set out for it, in mm: all of a plan's set-ups share one.
    pub(super) template_offset: f64,
}

/// How good a choice is: smaller is better, the first number that differs decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Worth {
    /// Hundredths of a mm left to the hand that an owned holding could rout.
    pub(super) left: i64,
    /// Hundredths of a mm cut where care is due, once for each thing that asks for it.
    pub(super) risk: i64,
    /// Thousandths of a minute: set-ups, passes and their metres.
    pub(super) minutes: i64,
    /// Hundredths of a mm cut a little uphill, along the grain or on end grain.
    pub(super) against: i64,
}

impl Worth {
    /// The same in mm and minutes.
    pub(super) fn cost(self) -> Cost {
        Cost {
            left: of(self.left, 100.0),
            care: of(self.risk, 100.0),
            minutes: of(self.minutes, 1000.0),
            against: of(self.against, 100.0),
        }
    }

    fn plus(self, other: Self) -> Self {
        Self {
            left: self.left + other.left,
            risk: self.risk + other.risk,
            minutes: self.minutes + other.minutes,
            against: self.against + other.against,
        }
    }
}

/// What was chosen.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Choice {
    /// The holdings, by index, in the order offered.
    pub(super) chosen: Vec<usize>,
    /// For each chain and link: the holding that cuts it, if one does.
    pub(super) by: Vec<Vec<Option<usize>>>,
    /// How good it is.
    pub(super) worth: Worth,
}

impl Choice {
    fn cuts_anything(&self) -> bool {
        self.by.iter().flatten().any(Option::is_some)
    }
}

/// The best choice, or `None` where no holding can cut anything.
///
/// Two sets equally good: the one with fewer set-ups, then the one offered first.
pub(super) fn choose(offers: &[Offer], chains: &[Chain]) -> Option<Choice> {
    let table = Table::new(offers, chains);
    let mut best: Option<Choice> = None;
    let mut grown = table.singles();
    let mut size = 1;
    while !grown.is_empty() && !best.as_ref().is_some_and(|it| table.ends_at(size, it)) {
        let mut sets: Vec<(Worth, &Vec<usize>)> =
            grown.iter().map(|set| (table.at_least(set), set)).collect();
        sets.sort();
        for (bound, set) in sets {
            if best.as_ref().is_some_and(|best| best.worth <= bound) {
                break;
            }
            let choice = table.best_with(set);
            let better = best.as_ref().is_none_or(|best| {
                (choice.worth, choice.chosen.len(), &choice.chosen)
                    < (best.worth, best.chosen.len(), &best.chosen)
            });
            if better && choice.cuts_anything() {
                best = Some(choice);
            }
        }
        grown = table.grown(&grown);
        size += 1;
    }
    best
}

#[expect(clippy::cast_possible_truncation, reason = "lengths and minutes are small")]
fn hundredths(length: f64) -> i64 {
    (length * 100.0).round() as i64
}

#[expect(clippy::cast_possible_truncation, reason = "lengths and minutes are small")]
fn thousandths(minutes: f64) -> i64 {
    (minutes * 1000.0).round() as i64
}

#[expect(clippy::cast_precision_loss, reason = "lengths and minutes are small")]
fn of(parts: i64, to_one: f64) -> f64 {
    parts as f64 / to_one
}

#[expect(clippy::cast_precision_loss, reason = "there are few set-ups")]
fn count(of: usize) -> f64 {
    of as f64
}

/// The minutes of turning over, changing bit and bearing, and moving the template in a set of set-ups.
fn changes(offers: &[Offer], set: &[usize]) -> f64 {
    let on_b = |it: &usize| offers[*it].face_b;
    let both_faces = set.iter().any(on_b) && !set.iter().all(on_b);
    let moved = if both_faces { defaults::MINUTES_OTHER_FACE.value } else { 0.0 };
    let light = set.iter().filter(|&&it| offers[it].light).count();
    let bearings = count(light) * defaults::MINUTES_BEARING.value;
    (count(set.len()) - 1.0) * defaults::MINUTES_SET_UP.value + moved + bearings
}

//! The sets of set-ups worth making, and how good each can be at best.
//!
//! Links alike in all but their length are weighed together.

use super::{Can, Chain, Choice, Offer, Worth, changes, count, hundredths, thousandths};
use crate::shop::defaults;
use std::collections::BTreeMap;

/// Template offsets nearer than this are one, in mm.
const SAME_OFFSET: f64 = 1e-6;

/// Links that every holding treats alike.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Alike {
    can: Vec<Can>,
    first: Vec<bool>,
    layer: usize,
}

impl Alike {
    /// The holdings of a set that may cut such links.
    fn able<'s>(&'s self, set: &'s [usize]) -> impl Iterator<Item = usize> + 's {
        let ready = set.iter().any(|&it| self.first.get(it) == Some(&true));
        set.iter().copied().filter(move |&it| match self.can[it] {
            Can::Cut { after, .. } => !after || ready,
            Can::Past | Can::No => false,
        })
    }
}

/// What the links of one class come to together.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    /// How many they are.
    links: i64,
    /// Their length in mm.
    length: f64,
    /// The same in hundredths, rounded link by link.
    hundredths: i64,
}

/// All there is to choose from.
pub(super) struct Table<'a> {
    pub(super) offers: &'a [Offer],
    pub(super) chains: &'a [Chain],
    classes: Vec<(Alike, Sum)>,
    /// No choice is better than this, but for set-ups and passes.
    ideal: Worth,
}

/// How well a set cuts a link: smaller is better.
type Grade = (u32, u32);

impl<'a> Table<'a> {
    pub(super) fn new(offers: &'a [Offer], chains: &'a [Chain]) -> Self {
        let mut classes: BTreeMap<Alike, Sum> = BTreeMap::new();
        for chain in chains {
            for link in &chain.links {
                let alike = Alike {
                    can: link.can.clone(),
                    first: link.first.clone(),
                    layer: chain.layer,
                };
                let sum = classes.entry(alike).or_default();
                sum.links += 1;
                sum.length += link.length;
                sum.hundredths += hundredths(link.length);
            }
        }
        let classes = classes.into_iter().collect();
        let mut table = Self { offers, chains, classes, ideal: Worth::default() };
        let all: Vec<usize> = (0..offers.len()).collect();
        table.ideal = Worth {
            left: 0,
            risk: table.lengths(|alike| table.least_risk(alike, &all)),
            minutes: table.least_metres(&all),
            against: 0,
        };
        table
    }

    fn lengths(&self, times: impl Fn(&Alike) -> Option<u32>) -> i64 {
        let weigh = |(alike, sum): &(Alike, Sum)| {
            times(alike).map_or(0, |times| i64::from(times) * sum.hundredths)
        };
        self.classes.iter().map(weigh).sum()
    }

    /// The sets of one holding that cuts anything.
    pub(super) fn singles(&self) -> Vec<Vec<usize>> {
        let cuts = |it: &usize| {
            let cut =
                |(alike, _): &(Alike, Sum)| matches!(alike.can[*it], Can::Cut { .. });
            self.classes.iter().any(cut)
        };
        (0..self.offers.len()).filter(cuts).map(|it| vec![it]).collect()
    }

    /// Every set worth making with one holding more than these have.
    ///
    /// A part of a set worth making is worth making too, so that growing finds them all.
    pub(super) fn grown(&self, sets: &[Vec<usize>]) -> Vec<Vec<usize>> {
        let mut grown = Vec::new();
        for set in sets {
            let next = set.last().map_or(0, |last| last + 1);
            for it in next..self.offers.len() {
                let mut with = set.clone();
                with.push(it);
                if self.worth_making(&with) {
                    grown.push(with);
                }
            }
        }
        grown
    }

    /// Whether the set shares one template, and each of its set-ups adds enough: edge that no
    /// other of the set cuts, or only at more risk or in more laps.
    pub(super) fn worth_making(&self, set: &[usize]) -> bool {
        let offset = self.offers[set[0]].template_offset;
        let one_template = set
            .iter()
            .all(|&it| (self.offers[it].template_offset - offset).abs() < SAME_OFFSET);
        one_template
            && set.iter().all(|&it| defaults::LEAST_SET_UP.value <= self.adds(set, it))
    }

    /// How much edge a holding adds to the rest of its set, in mm.
    fn adds(&self, set: &[usize], it: usize) -> f64 {
        let better = |alike: &Alike| {
            let Some(own) = self.grade(alike, it) else { return false };
            set.iter()
                .filter(|&&other| other != it)
                .filter_map(|&other| self.grade(alike, other))
                .all(|other| own < other)
        };
        let added = self.classes.iter().filter(|(alike, _)| better(alike));
        added.map(|(_, sum)| sum.length).sum()
    }

    fn grade(&self, alike: &Alike, it: usize) -> Option<Grade> {
        let Can::Cut { risk, .. } = alike.can[it] else { return None };
        Some((risk, self.offers[it].laps[alike.layer]))
    }

    fn least_risk(&self, alike: &Alike, set: &[usize]) -> Option<u32> {
        alike.able(set).filter_map(|it| self.grade(alike, it)).map(|(risk, _)| risk).min()
    }

    /// Thousandths of a minute that the metres alone take at least: each link is rounded by at
    /// most one.
    fn least_metres(&self, set: &[usize]) -> i64 {
        let least = |(alike, sum): &(Alike, Sum)| {
            let grades = alike.able(set).filter_map(|it| self.grade(alike, it));
            let laps = grades.map(|(_, laps)| laps).min().unwrap_or(0);
            (metres(sum.length, laps) - sum.links).max(0)
        };
        self.classes.iter().map(least).sum()
    }

    /// What the set-ups of a set cost beside the passes, and what they leave to the hand.
    pub(super) fn fixed(&self, set: &[usize]) -> Worth {
        let left = self.lengths(|alike| {
            let nobody = alike.able(set).next().is_none();
            (nobody && self.can_be_cut(alike)).then_some(1)
        });
        let minutes = thousandths(changes(self.offers, set));
        Worth { left, minutes, ..Worth::default() }
    }

    /// Whether some plan with one template could cut links of this class.
    fn can_be_cut(&self, alike: &Alike) -> bool {
        (0..self.offers.len()).any(|it| {
            let offset = self.offers[it].template_offset;
            let one_template = |other: &usize| {
                (self.offers[*other].template_offset - offset).abs() < SAME_OFFSET
            };
            let together: Vec<usize> =
                (0..self.offers.len()).filter(one_template).collect();
            alike.able(&together).any(|able| able == it)
        })
    }

    /// A bound: no choice within the set that uses all of it is better than this.
    pub(super) fn at_least(&self, set: &[usize]) -> Worth {
        let least_laps = |&it: &usize| self.offers[it].laps.iter().copied().min();
        let passes: i64 = set.iter().filter_map(least_laps).map(pass).sum();
        self.fixed(set).plus(Worth {
            risk: self.lengths(|alike| self.least_risk(alike, set)),
            minutes: passes + self.least_metres(set),
            ..Worth::default()
        })
    }

    /// Whether no set of this size or more can beat a choice.
    pub(super) fn ends_at(&self, size: usize, best: &Choice) -> bool {
        let changes = (count(size) - 1.0) * defaults::MINUTES_SET_UP.value;
        let minutes = self.ideal.minutes + thousandths(changes);
        best.worth <= Worth { minutes, ..self.ideal }
    }
}

/// Thousandths of a minute for so many mm of edge in so many laps.
pub(super) fn metres(length: f64, laps: u32) -> i64 {
    thousandths(f64::from(laps) * length / 1000.0 * defaults::MINUTES_METRE.value)
}

/// Thousandths of a minute for a pass in so many laps, beside its metres.
pub(super) fn pass(laps: u32) -> i64 {
    thousandths(f64::from(laps) * defaults::MINUTES_PASS.value)
}

//! Which set-ups, and which of them does each bit of edge: a search over all small sets of
//! set-ups, exact within each set.
//!
//! In this order: the length left to the hand that an owned set-up could rout, then risk, then
//! minutes. What no set-up may do (a hard stop) is never on offer here.

use crate::shop::defaults;

/// What one holding can do with one bit of edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Can {
    /// It cuts it.
    Cut {
        /// How risky that is.
        risk: u32,
        /// Whether the tooth runs a little uphill, along the grain or on end grain.
        against: bool,
    },
    /// Its bit goes past without touching it.
    Past,
    /// It must not, or cannot.
    No,
}

/// A bit of edge as the choice sees it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Link {
    /// Its length in mm.
    pub(super) length: f64,
    /// What each holding can do with it.
    pub(super) can: Vec<Can>,
}

/// Links that follow each other on one loop.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chain {
    /// The links, in the order of the walk.
    pub(super) links: Vec<Link>,
    /// Whether the last one meets the first.
    pub(super) closed: bool,
}

/// A holding as the choice sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Offer {
    /// Whether the template lies on face B.
    pub(super) face_b: bool,
    /// In how many laps in depth it cuts.
    pub(super) laps: u32,
    /// How far the template is set out for it, in mm: all of a plan's set-ups share one.
    pub(super) template_offset: f64,
}

/// How good a choice is: smaller is better, the first number that differs decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Worth {
    /// Hundredths of a mm left to the hand that an owned holding could rout.
    pub(super) left: i64,
    /// Risk.
    pub(super) risk: i64,
    /// Thousandths of a minute.
    pub(super) minutes: i64,
    /// Hundredths of a mm cut a little uphill, along the grain or on end grain.
    pub(super) against: i64,
}

impl Worth {
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

/// How many set-ups a plan has at most.
pub(super) const MOST_SET_UPS: usize = 3;

/// The best choice, or `None` where no holding can cut anything.
///
/// Two sets equally good: the one with fewer set-ups, then the one offered first.
pub(super) fn choose(offers: &[Offer], chains: &[Chain]) -> Option<Choice> {
    let table = Table { offers, chains };
    let mut sets: Vec<(Worth, Vec<usize>)> = sets_of(offers.len())
        .into_iter()
        .filter(|set| table.may_be_made(set))
        .map(|set| (table.at_least(&set), set))
        .collect();
    sets.sort_by_key(|(bound, _)| *bound);
    let mut best: Option<Choice> = None;
    for (bound, set) in sets {
        if best.as_ref().is_some_and(|best| best.worth <= bound) {
            continue;
        }
        let choice = table.best_with(&set);
        let better = best.as_ref().is_none_or(|best| {
            (choice.worth, choice.chosen.len(), &choice.chosen)
                < (best.worth, best.chosen.len(), &best.chosen)
        });
        if better {
            best = Some(choice);
        }
    }
    best
}

/// All sets of one to [`MOST_SET_UPS`] of `n` holdings.
fn sets_of(n: usize) -> Vec<Vec<usize>> {
    let mut sets: Vec<Vec<usize>> = Vec::new();
    let mut last: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..MOST_SET_UPS.min(n) {
        let mut longer = Vec::new();
        for set in &last {
            let next = set.last().map_or(0, |&last| last + 1);
            for index in next..n {
                let mut with = set.clone();
                with.push(index);
                longer.push(with);
            }
        }
        sets.extend(longer.iter().cloned());
        last = longer;
    }
    sets
}

/// All there is to choose from.
struct Table<'a> {
    offers: &'a [Offer],
    chains: &'a [Chain],
}

impl Table<'_> {
    fn links(&self) -> impl Iterator<Item = &Link> {
        self.chains.iter().flat_map(|chain| &chain.links)
    }

    /// Whether the set shares one template, and each set-up of several is worth making: it
    /// alone routs enough.
    fn may_be_made(&self, set: &[usize]) -> bool {
        let offset = self.offers[set[0]].template_offset;
        let one_template = set
            .iter()
            .all(|&it| (self.offers[it].template_offset - offset).abs() < SAME_OFFSET);
        let cuts = |link: &Link, it: usize| matches!(link.can[it], Can::Cut { .. });
        let routed_by = |it: usize, alone: bool| -> f64 {
            self.links()
                .filter(|link| cuts(link, it))
                .filter(|link| {
                    !alone || set.iter().all(|&other| other == it || !cuts(link, other))
                })
                .map(|link| link.length)
                .sum()
        };
        let worth_making = match set {
            [only] => 0.0 < routed_by(*only, false),
            _ => {
                set.iter().all(|&it| defaults::LEAST_SET_UP.value <= routed_by(it, true))
            }
        };
        one_template && worth_making
    }

    /// What the set-ups of a set cost beside the passes, and what they leave to the hand.
    fn fixed(&self, set: &[usize]) -> Worth {
        let changes = count(set.len()) - 1.0;
        let mut minutes = changes * defaults::MINUTES_SET_UP.value;
        let on_b = |it: &&usize| self.offers[**it].face_b;
        if set.iter().any(|it| on_b(&it)) && !set.iter().all(|it| on_b(&it)) {
            minutes += defaults::MINUTES_OTHER_FACE.value;
        }
        let cut_by = |link: &Link, it: usize| matches!(link.can[it], Can::Cut { .. });
        let left: i64 = self
            .links()
            .filter(|link| (0..self.offers.len()).any(|it| cut_by(link, it)))
            .filter(|link| !set.iter().any(|&it| cut_by(link, it)))
            .map(|link| hundredths(link.length))
            .sum();
        Worth { left, minutes: thousandths(minutes), ..Worth::default() }
    }

    /// A bound: no choice within the set is better than this.
    fn at_least(&self, set: &[usize]) -> Worth {
        self.links().fold(self.fixed(set), |sum, link| {
            let least = set.iter().filter_map(|&it| self.cost(link, it)).min();
            let Some(least) = least else { return sum };
            let minutes = set
                .iter()
                .filter_map(|&it| self.cost(link, it))
                .map(|worth| worth.minutes)
                .min()
                .unwrap_or(0);
            sum.plus(Worth { minutes, against: 0, ..least })
        })
    }

    /// What it costs to cut a link with a holding, without the pass itself.
    fn cost(&self, link: &Link, it: usize) -> Option<Worth> {
        let Can::Cut { risk, against } = link.can[it] else { return None };
        let laps = f64::from(self.offers[it].laps);
        let minutes = laps * link.length / 1000.0 * defaults::MINUTES_METRE.value;
        Some(Worth {
            left: 0,
            risk: i64::from(risk),
            minutes: thousandths(minutes),
            against: if against { hundredths(link.length) } else { 0 },
        })
    }

    fn pass_cost(&self, it: usize) -> Worth {
        let minutes = f64::from(self.offers[it].laps) * defaults::MINUTES_PASS.value;
        Worth { minutes: thousandths(minutes), ..Worth::default() }
    }

    fn best_with(&self, set: &[usize]) -> Choice {
        let mut worth = self.fixed(set);
        let mut by = Vec::new();
        for chain in self.chains {
            let (cost, labels) = self.best_on(chain, set);
            worth = worth.plus(cost);
            by.push(labels);
        }
        Choice { chosen: set.to_vec(), by, worth }
    }

    /// The best way to share a chain among the set: the shortest path over its links, whose
    /// state is which set-ups' passes are running, and on a closed chain also which of those
    /// that ran at its start have ended since.
    fn best_on(&self, chain: &Chain, set: &[usize]) -> (Worth, Vec<Option<usize>>) {
        let starts = if chain.closed { 1_u8 << set.len() } else { 1 };
        (0..starts)
            .filter_map(|running| self.best_from(chain, set, running))
            .min_by_key(|(worth, _)| *worth)
            .expect("with nothing running at the start there is always a way")
    }

    fn best_from(
        &self,
        chain: &Chain,
        set: &[usize],
        running: u8,
    ) -> Option<(Worth, Vec<Option<usize>>)> {
        let start = State { running, ended: 0 };
        let mut front: Vec<(State, Worth)> = vec![(start, Worth::default())];
        let mut steps: Vec<Vec<Step>> = Vec::new();
        for link in &chain.links {
            let mut next: Vec<(State, Worth)> = Vec::new();
            let mut step: Vec<Step> = Vec::new();
            for (from, &(state, worth)) in front.iter().enumerate() {
                for label in labels(link, set) {
                    let (state, cost) = self.after(state, link, (set, label));
                    let worth = worth.plus(cost);
                    match next.iter().position(|(other, _)| *other == state) {
                        Some(at) if next[at].1 <= worth => {}
                        Some(at) => {
                            next[at].1 = worth;
                            step[at] = Step { from, label };
                        }
                        None => {
                            next.push((state, worth));
                            step.push(Step { from, label });
                        }
                    }
                }
            }
            front = next;
            steps.push(step);
        }
        let (mut at, worth) = front
            .iter()
            .enumerate()
            .filter(|(_, (state, _))| !chain.closed || state.running == running)
            .map(|(at, &(state, worth))| (at, worth.plus(self.laps(set, running, state))))
            .min_by_key(|(_, worth)| *worth)?;
        let mut labels = Vec::new();
        for step in steps.iter().rev() {
            labels.push(step[at].label.map(|which| set[which]));
            at = step[at].from;
        }
        labels.reverse();
        Some((worth, labels))
    }

    /// The passes that ran at the start and never ended: laps right round.
    fn laps(&self, set: &[usize], running: u8, last: State) -> Worth {
        let never_ended = running & !last.ended;
        (0..set.len())
            .filter(|which| never_ended & (1 << which) != 0)
            .fold(Worth::default(), |sum, which| sum.plus(self.pass_cost(set[which])))
    }

    /// The state after a link is given to one of the set, or to none, and what that costs.
    fn after(
        &self,
        state: State,
        link: &Link,
        (set, label): (&[usize], Option<usize>),
    ) -> (State, Worth) {
        let mut next = state;
        let mut cost = Worth::default();
        for (which, &it) in set.iter().enumerate() {
            let bit = 1_u8 << which;
            if label == Some(which) {
                if state.running & bit == 0 {
                    cost = cost.plus(self.pass_cost(it));
                }
                next.running |= bit;
                cost = cost.plus(self.cost(link, it).unwrap_or_default());
            } else if link.can[it] != Can::Past {
                next.running &= !bit;
                next.ended |= bit;
            }
        }
        (next, cost)
    }
}

/// Which passes run between two links, and which have ended since the chain's start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct State {
    running: u8,
    ended: u8,
}

/// How a state was reached.
#[derive(Debug, Clone, Copy)]
struct Step {
    from: usize,
    label: Option<usize>,
}

/// Who of the set may have a link: whoever can cut it; nobody only where none can.
fn labels(link: &Link, set: &[usize]) -> Vec<Option<usize>> {
    let able: Vec<Option<usize>> = (0..set.len())
        .filter(|&which| matches!(link.can[set[which]], Can::Cut { .. }))
        .map(Some)
        .collect();
    if able.is_empty() { vec![None] } else { able }
}

/// Template offsets nearer than this are one, in mm.
const SAME_OFFSET: f64 = 1e-6;

#[expect(clippy::cast_possible_truncation, reason = "lengths and minutes are small")]
fn hundredths(length: f64) -> i64 {
    (length * 100.0).round() as i64
}

#[expect(clippy::cast_possible_truncation, reason = "lengths and minutes are small")]
fn thousandths(minutes: f64) -> i64 {
    (minutes * 1000.0).round() as i64
}

#[expect(clippy::cast_precision_loss, reason = "there are few set-ups")]
fn count(of: usize) -> f64 {
    of as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::shapes::Dice;

    /// A whole number from 0 up to `n`.
    fn below(dice: &mut Dice, n: u32) -> u32 {
        u32::try_from(dice.below(n as usize)).expect("it is less than `n`")
    }

    fn random_can(dice: &mut Dice) -> Can {
        match below(dice, 5) {
            0 => Can::No,
            1 => Can::Past,
            which => {
                Can::Cut { risk: u32::from(below(dice, 4) == 0), against: which == 2 }
            }
        }
    }

    fn random_case(dice: &mut Dice) -> (Vec<Offer>, Vec<Chain>) {
        let n = 1 + below(dice, 3) as usize;
        let offers = (0..n)
            .map(|_| Offer {
                face_b: below(dice, 4) == 0,
                laps: 1 + below(dice, 2),
                template_offset: if below(dice, 6) == 0 { -1.0 } else { 0.0 },
            })
            .collect();
        let chains = (0..=below(dice, 2))
            .map(|_| {
                let links = (0..=below(dice, 4))
                    .map(|_| Link {
                        length: f64::from(4 + below(dice, 60)),
                        can: (0..n).map(|_| random_can(dice)).collect(),
                    })
                    .collect();
                Chain { links, closed: below(dice, 2) == 0 }
            })
            .collect();
        (offers, chains)
    }

    /// How many passes a holding makes of a chain, counted from the links it cuts: two that
    /// follow each other are one pass where everything between them is passed by.
    fn passes(chain: &Chain, labels: &[Option<usize>], it: usize) -> i64 {
        let n = chain.links.len();
        let cut: Vec<usize> = (0..n).filter(|&at| labels[at] == Some(it)).collect();
        if cut.is_empty() {
            return 0;
        }
        let linked = |from: usize, to: usize| {
            let to = if to <= from { to + n } else { to };
            (from + 1..to).all(|at| chain.links[at % n].can[it] == Can::Past)
        };
        let last = cut.len() - 1;
        let mut breaks = (0..last).filter(|&i| !linked(cut[i], cut[i + 1])).count();
        if !chain.closed || !linked(cut[last], cut[0]) {
            breaks += 1;
        }
        i64::try_from(breaks.max(1)).expect("few")
    }

    fn worth_of(
        offers: &[Offer],
        chains: &[Chain],
        set: &[usize],
        by: &[Vec<Option<usize>>],
    ) -> Worth {
        let mut worth = Table { offers, chains }.fixed(set);
        for (chain, labels) in chains.iter().zip(by) {
            for (link, label) in chain.links.iter().zip(labels) {
                let Some(it) = *label else { continue };
                let Can::Cut { risk, against } = link.can[it] else { panic!("it cuts") };
                worth.risk += i64::from(risk);
                worth.minutes += thousandths(
                    f64::from(offers[it].laps) * link.length / 1000.0
                        * defaults::MINUTES_METRE.value,
                );
                worth.against += if against { hundredths(link.length) } else { 0 };
            }
            for &it in set {
                let laps = f64::from(offers[it].laps);
                let one = thousandths(laps * defaults::MINUTES_PASS.value);
                worth.minutes += passes(chain, labels, it) * one;
            }
        }
        worth
    }

    /// Every way to share the links among a set, tried one by one.
    fn every_sharing(chains: &[Chain], set: &[usize]) -> Vec<Vec<Vec<Option<usize>>>> {
        let mut all: Vec<Vec<Vec<Option<usize>>>> = vec![Vec::new()];
        for chain in chains {
            let mut of_chain: Vec<Vec<Option<usize>>> = vec![Vec::new()];
            for link in &chain.links {
                let mut longer = Vec::new();
                for begun in &of_chain {
                    for label in labels(link, set) {
                        let mut with = begun.clone();
                        with.push(label.map(|which| set[which]));
                        longer.push(with);
                    }
                }
                of_chain = longer;
            }
            let mut longer = Vec::new();
            for begun in &all {
                for labels in &of_chain {
                    let mut with = begun.clone();
                    with.push(labels.clone());
                    longer.push(with);
                }
            }
            all = longer;
        }
        all
    }

    /// Basis: measured: against every set and every sharing, tried one by one.
    #[test]
    fn the_choice_is_the_best_there_is() {
        let mut dice = Dice::new(20);
        for case in 0..400 {
            let (offers, chains) = random_case(&mut dice);
            let table = Table { offers: &offers, chains: &chains };
            let by_hand = sets_of(offers.len())
                .into_iter()
                .filter(|set| table.may_be_made(set))
                .flat_map(|set| {
                    every_sharing(&chains, &set)
                        .into_iter()
                        .map(|by| worth_of(&offers, &chains, &set, &by))
                        .collect::<Vec<_>>()
                })
                .min();
            let found = choose(&offers, &chains);
            assert_eq!(
                found.as_ref().map(|choice| choice.worth),
                by_hand,
                "case {case}: {offers:?} {chains:?}"
            );
            if let Some(found) = found {
                let own = worth_of(&offers, &chains, &found.chosen, &found.by);
                assert_eq!(own, found.worth, "case {case}: it costs what it says");
            }
        }
    }

    fn cut() -> Can {
        Can::Cut { risk: 0, against: false }
    }

    fn offer() -> Offer {
        Offer { face_b: false, laps: 1, template_offset: 0.0 }
    }

    #[test]
    fn what_can_be_routed_is_routed_before_minutes_count() {
        let links = vec![
            Link { length: 300.0, can: vec![cut(), Can::No] },
            Link { length: 30.0, can: vec![Can::No, cut()] },
        ];
        let chains = [Chain { links, closed: true }];
        let choice = choose(&[offer(), offer()], &chains).expect("both cut something");
        assert_eq!(choice.chosen, vec![0, 1], "a second set-up for 30 mm");
        assert_eq!(choice.worth.left, 0, "nothing is left");
    }

    #[test]
    fn a_set_up_for_less_than_25_mm_is_not_made() {
        let links = vec![
            Link { length: 300.0, can: vec![cut(), Can::No] },
            Link { length: 24.0, can: vec![Can::No, cut()] },
        ];
        let chains = [Chain { links, closed: true }];
        let choice = choose(&[offer(), offer()], &chains).expect("both cut something");
        assert_eq!(choice.chosen, vec![0], "one set-up");
        assert_eq!(choice.worth.left, 2400, "24 mm by hand");
    }

    #[test]
    fn a_loop_one_set_up_can_cut_is_one_lap() {
        let link = |length: f64| Link { length, can: vec![cut(), cut()] };
        let chains =
            [Chain { links: vec![link(50.0), link(80.0), link(20.0)], closed: true }];
        let choice = choose(&[offer(), offer()], &chains).expect("both cut all");
        assert_eq!(choice.chosen, vec![0], "the first offered");
        assert_eq!(choice.by, vec![vec![Some(0); 3]], "all of it");
        assert_eq!(choice.worth.minutes, 1000 + 300, "one pass of 150 mm");
    }
}

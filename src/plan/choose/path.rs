//! The best way to share the edge among the set-ups of a set: a shortest path along every
//! chain, over (link, layer, set-up).

use super::sets::{Table, metres, pass};
use super::{Can, Chain, Choice, Link, Worth, hundredths};

/// Which passes run between two links, and which have ended since the chain's start: one bit
/// for each set-up of the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct State {
    running: u32,
    ended: u32,
}

/// How a state was reached.
#[derive(Debug, Clone, Copy)]
struct Step {
    from: usize,
    label: Option<usize>,
}

/// A way along a chain: how good it is, and who cuts each link.
type Way = (Worth, Vec<Option<usize>>);

impl Table<'_> {
    /// The best choice with the set-ups of a set.
    pub(super) fn best_with(&self, set: &[usize]) -> Choice {
        let mut worth = self.fixed(set);
        let mut by = Vec::new();
        for chain in self.chains {
            let (cost, labels) = self.best_on(chain, set);
            worth = worth.plus(cost);
            by.push(labels);
        }
        Choice { chosen: set.to_vec(), by, worth }
    }

    /// The shortest path over a chain's links, whose state is which set-ups' passes are
    /// running, and on a closed chain also which of those that ran at its start have ended.
    fn best_on(&self, chain: &Chain, set: &[usize]) -> Way {
        let starts = if chain.closed { 1_u32 << set.len() } else { 1 };
        (0..starts)
            .filter(|&running| may_run(chain, set, running))
            .filter_map(|running| self.best_from(chain, set, running))
            .min_by_key(|(worth, _)| *worth)
            .expect("with nothing running at the start there is always a way")
    }

    fn best_from(&self, chain: &Chain, set: &[usize], running: u32) -> Option<Way> {
        let start = State { running, ended: 0 };
        let mut front: Vec<(State, Worth)> = vec![(start, Worth::default())];
        let mut steps: Vec<Vec<Step>> = Vec::new();
        for link in &chain.links {
            let mut next: Vec<(State, Worth)> = Vec::new();
            let mut step: Vec<Step> = Vec::new();
            for label in labels(link, set) {
                for (from, &(state, worth)) in front.iter().enumerate() {
                    let (state, cost) =
                        self.after(state, (link, chain.layer), (set, label));
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
        let laps = |state: State| self.right_round(chain, set, running & !state.ended);
        let (at, worth) = front
            .iter()
            .enumerate()
            .filter(|(_, (state, _))| !chain.closed || state.running == running)
            .map(|(at, &(state, worth))| (at, worth.plus(laps(state))))
            .min_by_key(|(_, worth)| *worth)?;
        Some((worth, back(&steps, at, set)))
    }

    /// The passes that ran at the start and never ended: laps right round.
    fn right_round(&self, chain: &Chain, set: &[usize], never_ended: u32) -> Worth {
        let run =
            set.iter().enumerate().filter(|(which, _)| never_ended & (1 << which) != 0);
        let minutes = run.map(|(_, &it)| pass(self.offers[it].laps[chain.layer])).sum();
        Worth { minutes, ..Worth::default() }
    }

    /// The state after a link is given to one of the set, or to none, and what that costs.
    fn after(
        &self,
        state: State,
        (link, layer): (&Link, usize),
        (set, label): (&[usize], Option<usize>),
    ) -> (State, Worth) {
        let mut next = state;
        let mut cost = Worth::default();
        for (which, &it) in set.iter().enumerate() {
            let bit = 1_u32 << which;
            if label == Some(which) {
                let laps = self.offers[it].laps[layer];
                if state.running & bit == 0 {
                    cost.minutes += pass(laps);
                }
                next.running |= bit;
                cost = cost.plus(cutting(link, it, laps));
            } else if link.can[it] != Can::Past {
                next.running &= !bit;
                next.ended |= bit;
            }
        }
        (next, cost)
    }
}

/// What it costs to cut a link with a holding, without the pass itself.
fn cutting(link: &Link, it: usize, laps: u32) -> Worth {
    let Can::Cut { risk, against, .. } = link.can[it] else { return Worth::default() };
    let length = hundredths(link.length);
    Worth {
        left: 0,
        risk: i64::from(risk) * length,
        minutes: metres(link.length, laps),
        against: if against { length } else { 0 },
    }
}

/// Whether these may be running where a closed chain starts: of those that do not go past its
/// last link only the one that cuts it.
fn may_run(chain: &Chain, set: &[usize], running: u32) -> bool {
    let Some(last) = chain.links.last() else { return running == 0 };
    let runs = set.iter().enumerate().filter(|(which, _)| running & (1 << which) != 0);
    let stops: Vec<Can> =
        runs.map(|(_, &it)| last.can[it]).filter(|can| *can != Can::Past).collect();
    matches!(stops.as_slice(), [] | [Can::Cut { .. }])
}

/// Who cuts each link, followed back from the end of the path.
fn back(steps: &[Vec<Step>], mut at: usize, set: &[usize]) -> Vec<Option<usize>> {
    let mut labels: Vec<Option<usize>> = Vec::new();
    for step in steps.iter().rev() {
        labels.push(step[at].label.map(|which| set[which]));
        at = step[at].from;
    }
    labels.reverse();
    labels
}

/// Who of the set may have a link, by place in the set: whoever can cut it; nobody only where
/// none can.
pub(super) fn labels(link: &Link, set: &[usize]) -> Vec<Option<usize>> {
    let ready = set.iter().any(|&it| link.first.get(it) == Some(&true));
    let able = |which: &usize| match link.can[set[*which]] {
        Can::Cut { after, .. } => !after || ready,
        Can::Past | Can::No => false,
    };
    let able: Vec<Option<usize>> = (0..set.len()).filter(able).map(Some).collect();
    if able.is_empty() { vec![None] } else { able }
}

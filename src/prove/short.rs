//! Edges that are cut, and nowhere as deep as promised: told once for all that are as short, with
//! how much is lacking.

use super::cut::{Cut, LEVEL, NEAR};
use super::cuts::Cuts;
use super::edge::Edges;
use super::promise::Promise;
use super::verdict::{Fault, Rule};

/// A loop whose edge no cut reaches at its depth, and what is wrong with it if none does above.
pub(super) type Unreached = (usize, Vec<Fault>);

/// What is wrong with loops that are not reached.
pub(super) fn faults(
    unreached: Vec<Unreached>,
    (cuts, edges): (&Cuts<'_>, &Edges),
    promise: &Promise,
) -> Vec<Fault> {
    let mut is_wanted = vec![false; promise.loops.len()];
    for (index, _) in &unreached {
        is_wanted[*index] = true;
    }
    let lowest = lowest(cuts, (edges, &is_wanted), promise);
    let (mut faults, mut short): (Vec<Fault>, Vec<Short>) = (Vec::new(), Vec::new());
    for (index, otherwise) in unreached {
        let due = -promise.bottom_of(promise.loops[index].hold);
        let cut = lowest[index].filter(|cut| depth(cut) < due - LEVEL);
        match cut.map(|cut| Short { due, cut, loops: vec![index] }) {
            None => faults.extend(otherwise),
            Some(one) => match short.iter_mut().find(|other| other.is_like(&one)) {
                Some(other) if other.loops.contains(&index) => {}
                Some(other) => other.loops.push(index),
                None => short.push(one),
            },
        }
    }
    let short = short.iter().map(|one| one.cut.fault(Rule::Leftover, one.text(promise)));
    faults.extend(short);
    faults
}

/// Edges that are all as short.
struct Short {
    due: f64,
    /// The deepest cut along the first of them.
    cut: Cut,
    loops: Vec<usize>,
}

impl Short {
    fn is_like(&self, other: &Self) -> bool {
        (depth(&self.cut) - depth(&other.cut)).abs() <= LEVEL
            && (self.due - other.due).abs() <= LEVEL
    }

    fn text(&self, promise: &Promise) -> String {
        let (deep, due, paper) = (depth(&self.cut), self.due, promise.paper);
        let along = match self.loops.len() {
            1 => "an edge".to_owned(),
            many => format!("{many} edges, this the first,"),
        };
        format!(
            "it goes only {} deep along {along} where {} is promised, {} short: a last lap, the \
             zero of Z, the thickness of the blank or what it goes below it is not the job's",
            paper.fine(deep),
            paper.fine(due),
            paper.fine(due - deep)
        )
    }
}

/// Of each loop that is wanted, the deepest of the cuts of its own tool that touch its edge.
fn lowest(
    cuts: &Cuts<'_>,
    (edges, is_wanted): (&Edges, &[bool]),
    promise: &Promise,
) -> Vec<Option<Cut>> {
    let mut lowest: Vec<Option<Cut>> = vec![None; is_wanted.len()];
    if !is_wanted.contains(&true) {
        return lowest;
    }
    for cut in cuts.iter().filter(|cut| !cut.rapid) {
        let Some(shape) = cut.below(-LEVEL) else { continue };
        let may =
            |index: usize| is_wanted[index] && promise.loops[index].tool == cut.tool;
        let Some((_, index)) = edges.near_shape(&shape, cut.radius + NEAR, may) else {
            continue;
        };
        if lowest[index].is_none_or(|other| depth(&other) < depth(&cut)) {
            lowest[index] = Some(cut);
        }
    }
    lowest
}

fn depth(cut: &Cut) -> f64 {
    -cut.high.min(cut.low)
}

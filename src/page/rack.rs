//! The bits to choose from: those the job uses, those on its rack, and those sold everywhere;
//! each with what it can do on this job.

use crate::diag::{Failure, Place, Source};
use crate::plan::{BitRow, Plan, sold};
use crate::read::{BitText, Job, Load};
use crate::sheet::bit_outline;
use crate::shop::{Bit, Guide, Shop};
use crate::units::{Paper, Unit};
use crate::work::{self, Kept};
use serde::Serialize;

/// A bit as the page shows it.
#[derive(Debug, Clone, Serialize)]
pub(super) struct BitShown {
    name: String,
    words: String,
    svg: String,
    chosen: bool,
    fits: String,
    leaves: String,
}

/// All bits to choose from, held to a job whatever way its grain runs.
#[derive(Debug)]
pub(super) struct Held {
    rows: Vec<BitRow>,
    shop: Shop,
    /// How many of them the job uses: the first ones.
    n_chosen: usize,
}

/// Holds all bits to choose from to a job.
///
/// # Errors
/// Where they cannot be held to it.
pub(super) fn held(job: &Job, means: (&Load<'_>, &mut Kept)) -> Result<Held, Failure> {
    let n_chosen = job.bits.len();
    let n_own = n_chosen + on_rack(job).count();
    let wider = Job { bits: candidates(job), ..job.clone() };
    let (mut rows, shop) = work::held(&wider, means)?;
    let is_new = |index: usize| {
        let bit = &shop.bits[index];
        let alike = |other: &Bit| {
            other.cutter == bit.cutter
                && other.bearing == bit.bearing
                && other.guides == bit.guides
        };
        index < n_own || !shop.bits[..n_own].iter().any(alike)
    };
    rows.retain(|row| is_new(row.bit));
    Ok(Held { rows, shop, n_chosen })
}

impl Held {
    /// The bits as the page shows them, with the set-ups of a plan that they stand in; none where
    /// the machine's end mill cuts the part itself.
    pub(super) fn shown(&self, plan: &Plan, paper: Paper) -> Vec<BitShown> {
        let rows = self.rows.iter().filter(|_| !self.shop.cuts_part());
        rows.map(|row| self.bit_shown(row, plan, paper)).collect()
    }

    fn bit_shown(&self, row: &BitRow, plan: &Plan, paper: Paper) -> BitShown {
        let bit = &self.shop.bits[row.bit];
        let chosen = row.bit < self.n_chosen;
        let set_ups = (1..).zip(&plan.set_ups).filter(|(_, it)| it.bit == row.bit);
        let set_ups: Vec<String> =
            set_ups.filter(|_| chosen).map(|(number, _)| number.to_string()).collect();
        let share = if 0.0 < row.edge.0 { 100.0 * row.edge.1 / row.edge.0 } else { 0.0 };
        let (fits, leaves) = match row.stopped.first() {
            Some(stop) => (format!("may not be used: {}", stop.found), String::new()),
            None => (
                format!("touches {share:.0} % of {}", paper.length(row.edge.0)),
                left(row, &set_ups, chosen),
            ),
        };
        BitShown {
            name: bit.text.clone(),
            words: words(bit, paper),
            svg: bit_outline(bit),
            chosen,
            fits,
            leaves,
        }
    }
}

/// The texts of all bits: the job's own first, then those of its rack, then those sold.
fn candidates(job: &Job) -> Vec<BitText> {
    let place = || Place::whole(Source::Job, "bits");
    let text = |text: String| BitText { text, place: place() };
    let paper = Paper { unit: job.paper_unit(), fraction: 64 };
    let in_words = |mm: f64| {
        let words = match paper.unit {
            Unit::Mm => paper.measured(mm),
            Unit::Inch => paper.length(mm),
        };
        words.replace(' ', "")
    };
    let sold = sold(paper.unit).iter().flat_map(|&mm| {
        ["pattern", "flush-trim"].map(|kind| format!("{} {kind}", in_words(mm)))
    });
    let others = on_rack(job).map(str::to_owned).chain(sold);
    job.bits.iter().cloned().chain(others.map(text)).collect()
}

/// The bits of the rack that the job does not use.
fn on_rack(job: &Job) -> impl Iterator<Item = &str> {
    let used = |name: &str| job.bits.iter().any(|bit| bit.rack_name() == Some(name));
    job.rack.bits.iter().map(|bit| bit.name.as_str()).filter(move |name| !used(name))
}

/// What a bit leaves, and where it is used.
fn left(row: &BitRow, set_ups: &[String], chosen: bool) -> String {
    let mut parts = Vec::new();
    match (row.corners, row.bridges) {
        (0, 0) => parts.push("leaves nothing to the hand".to_owned()),
        (corners, bridges) => {
            let corners = counted(corners, "inside corner", "inside corners");
            let bridges = counted(bridges, "place it bridges", "places it bridges");
            let both: Vec<String> = [corners, bridges].into_iter().flatten().collect();
            parts.push(format!("leaves {}", both.join(" and ")));
        }
    }
    if chosen {
        parts.push(if set_ups.is_empty() {
            "in no set-up".to_owned()
        } else {
            format!("in set-up {}", set_ups.join(", "))
        });
    }
    parts.join("; ")
}

fn counted(count: usize, one: &str, many: &str) -> Option<String> {
    match count {
        0 => None,
        1 => Some(format!("1 {one}")),
        _ => Some(format!("{count} {many}")),
    }
}

/// A bit in few words.
fn words(bit: &Bit, paper: Paper) -> String {
    let cutter = paper.measured(bit.cutter.mm());
    let guided: Vec<&str> = bit
        .guides
        .iter()
        .map(|guide| match guide {
            Guide::Shank => "bearing by the shank",
            Guide::Tip => "bearing at the tip",
            Guide::Bush => "in a guide bush",
        })
        .collect();
    let guided = guided.join(" and ");
    let own = if bit.text.starts_with(char::is_alphabetic) {
        format!("{}: ", bit.text)
    } else {
        String::new()
    };
    let long = bit.cut_length.map_or_else(String::new, |length| {
        format!(", {} long", paper.measured(length.mm()))
    });
    let rides = if bit.bearing == bit.cutter {
        String::new()
    } else {
        format!(" of {}", paper.measured(bit.bearing.mm()))
    };
    format!("{own}{cutter}, {guided}{rides}{long}")
}

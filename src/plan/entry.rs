//! Where bits are let into openings: a hole that clears the turning bit.

use super::able;
use super::assemble::{Chosen, Facts};
use crate::geom::Point;
use crate::outline::{LoopKind, Outline};
use crate::reach::{Enclosed, Reach};
use crate::shop::{Bit, Shop, defaults};

/// A hole through which bits are let into an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Entry {
    /// Index of the part.
    pub(super) part: usize,
    /// The loop of the opening.
    pub(super) on: usize,
    /// Its centre.
    pub(super) at: Point,
    /// The least width that clears the bit, in mm.
    pub(super) least: f64,
    /// The widest that stays inside the line, in mm.
    pub(super) most: f64,
}

/// The least width of a hole that clears a turning bit, in mm.
pub(super) fn least_hole(bit: &Bit) -> f64 {
    bit.cutter.mm() + 2.0 * defaults::ENTRY_CLEARANCE.value
}

/// The entries of all parts: where bits share a room, the one of the widest bit.
///
/// Basis: geometry: the centre of a narrower bit gets wherever that of a wider one does.
pub(super) fn entries(parts: &[Facts], chosen: &Chosen<'_>, shop: &Shop) -> Vec<Entry> {
    let mut all: Vec<Entry> = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let mut bits: Vec<usize> = chosen.bits().collect();
        let wide = |&bit: &usize| shop.bits[bit].cutter.mm();
        bits.sort_by(|a, b| wide(b).total_cmp(&wide(a)));
        for bit in bits {
            let Some(reach) = &part.reach[bit] else { continue };
            let bit = &shop.bits[bit];
            for room in entered(reach, (part, index, bit), chosen) {
                let border = &reach.centre[room.rings[0]];
                let shared =
                    |entry: &Entry| entry.part == index && border.winding(entry.at) != 0;
                if !all.iter().any(shared) {
                    all.extend(entry((index, &part.guide), room, bit));
                }
            }
        }
    }
    all
}

fn entry((part, guide): (usize, &Outline), room: &Enclosed, bit: &Bit) -> Option<Entry> {
    let round = |&on: &usize| {
        guide.kinds[on] == LoopKind::Opening && guide.loops[on].winding(room.entry) != 0
    };
    let least = least_hole(bit);
    let most = (2.0 * room.room + bit.cutter.mm()).max(least);
    let on = (0..guide.loops.len()).find(round)?;
    Some(Entry { part, on, at: room.entry, least, most })
}

/// The rooms that passes of a bit work in from within.
pub(super) fn entered<'r>(
    reach: &'r Reach,
    (part, index, bit): (&Facts, usize, &Bit),
    chosen: &Chosen<'_>,
) -> Vec<&'r Enclosed> {
    if reach.enclosed.is_empty() {
        return Vec::new();
    }
    let own = |run: &&super::run::Run| {
        let of_bit = chosen.holdings[run.set_up].1.set_up.bit + 1 == bit.number;
        run.part == index && of_bit
    };
    let runs = chosen.runs.iter().filter(own);
    let mut rings: Vec<usize> = runs
        .filter_map(|run| {
            able::nearest_ring(&part.guide, &part.atoms[run.atoms[0]], bit, reach)
        })
        .collect();
    rings.sort_unstable();
    let works_in = |room: &&Enclosed| {
        room.rings.iter().any(|ring| rings.binary_search(ring).is_ok())
    };
    reach.enclosed.iter().filter(works_in).collect()
}

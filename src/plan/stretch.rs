//! Stretches: atoms made one again where all about them is one, and named.

use super::able::{Able, meets};
use super::atom::{self, Atom};
use super::{DoneBy, Lower, Reason, Stretch};
use crate::geom::Loop;
use crate::grain::Band;
use crate::outline::Outline;
use crate::read::GrainKind;
use crate::shop::defaults;

/// An atom with its fate.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fate {
    /// The atom.
    pub(super) atom: Atom,
    /// The run that cuts it, or none: the hand.
    pub(super) run: Option<usize>,
    /// Whether the bit that would cut it touches it.
    pub(super) touched: bool,
    /// Why.
    pub(super) why: Reason,
    /// What becomes of the lower layer, where there are two.
    pub(super) lower: Option<LowerFate>,
}

/// What becomes of the lower layer of an atom.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LowerFate {
    /// Where it begins, in mm below face A.
    pub(super) from: f64,
    /// The run that cuts it, or none: the hand.
    pub(super) run: Option<usize>,
    /// Why.
    pub(super) why: Reason,
}

/// A stretch and the run that cuts it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Named {
    /// The stretch; who does it is filled in later.
    pub(super) stretch: Stretch,
    /// The run that cuts it, or none: the hand.
    pub(super) run: Option<usize>,
    /// The run that cuts its lower layer, if one does.
    pub(super) lower_run: Option<usize>,
}

/// The stretches of one part, in order of loop and place, with names from `named_before` on.
pub(super) fn stretches(
    guide: &Outline,
    fates: &[Fate],
    (part, named_before): (usize, usize),
) -> Vec<Named> {
    let mut all: Vec<Named> = Vec::new();
    for (on, ring) in guide.loops.iter().enumerate() {
        let mut here: Vec<&Fate> =
            fates.iter().filter(|fate| fate.atom.span.on == on).collect();
        let n = here.len();
        // Begin where a stretch begins, so that none is cut at the loop's first point.
        let first = (0..n).find(|&at| !one(ring, here[(at + n - 1) % n], here[at]));
        here.rotate_left(first.unwrap_or(0));
        let mut of_loop: Vec<Named> = Vec::new();
        let mut last: Option<&Fate> = None;
        for fate in here {
            match (last, of_loop.last_mut()) {
                (Some(before), Some(open)) if one(ring, before, fate) => {
                    open.stretch.span.length += fate.atom.span.length;
                    open.stretch.phi.1 = fate.atom.phi.1;
                }
                _ => of_loop.push(alone(fate)),
            }
            last = Some(fate);
        }
        of_loop.sort_by(|a, b| a.stretch.span.from.total_cmp(&b.stretch.span.from));
        all.extend(of_loop);
    }
    for (index, named) in all.iter_mut().enumerate() {
        named.stretch.name = name(named_before + index);
        named.stretch.part = part;
    }
    all
}

/// Whether the second atom carries on the stretch of the first: no corner between them (the
/// chords of a curve drawn straight turn too little to be one).
fn one(ring: &Loop, before: &Fate, fate: &Fate) -> bool {
    let (a, b) = (&before.atom, &fate.atom);
    !std::ptr::eq(before, fate)
        && meets(ring, a, b)
        && a.band == b.band
        && (a.axis - b.axis).abs() <= 0.0
        && before.run == fate.run
        && before.touched == fate.touched
        && before.why == fate.why
        && before.lower == fate.lower
        && (a.phi.1 - b.phi.0).abs() < defaults::CORNER.value
        && atom::turn_at(ring, b.span.from).abs() <= 0.0
}

/// A stretch of one atom; its name and part come later.
fn alone(fate: &Fate) -> Named {
    let atom = &fate.atom;
    let stretch = Stretch {
        name: String::new(),
        part: 0,
        span: atom.span,
        phi: atom.phi,
        band: atom.band,
        touched: fate.touched,
        done_by: DoneBy::Hand,
        why: fate.why.clone(),
        lower: fate.lower.as_ref().map(|lower| Lower {
            from: lower.from,
            done_by: DoneBy::Hand,
            why: lower.why.clone(),
        }),
    };
    let lower_run = fate.lower.as_ref().and_then(|lower| lower.run);
    Named { stretch, run: fate.run, lower_run }
}

/// `A` to `Z`, then `AA`, `AB`, …
pub(super) fn name(index: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(index % 26).expect("under 26"));
    match index / 26 {
        0 => letter.to_string(),
        more => format!("{}{letter}", name(more - 1)),
    }
}

/// Why an atom is routed.
pub(super) fn why_routed(atom: &Atom, (s, kind): (i8, GrainKind)) -> Reason {
    match atom.band_for(s) {
        Band::EndGrain => Reason::EndGrainBacked,
        _ if !kind.keeps_its_way() => Reason::NoWayPromised,
        Band::Along => Reason::AlongTheGrain,
        Band::Downhill | Band::Uphill => Reason::Downhill,
    }
}

/// Why an atom is left to the hand: of all the holdings' reasons the one that says most.
pub(super) fn why_by_hand(ables: &[Able]) -> Reason {
    if ables.iter().any(|able| matches!(able, Able::Cut { .. })) {
        return Reason::TooLittleForASetUp;
    }
    let says = |reason: &Reason| match reason {
        Reason::WoodOnBothSides => 0,
        Reason::NoEntry => 1,
        Reason::ShortGrain | Reason::NoSafeStart => 2,
        Reason::EndGrainInHollow => 3,
        Reason::ShortEndGrain => 4,
        Reason::CannotBeBacked => 5,
        Reason::UphillEverywhere => 6,
        _ => 7,
    };
    ables
        .iter()
        .filter_map(|able| match able {
            Able::No(reason) => Some(reason.clone()),
            Able::Cut { .. } | Able::Past => None,
        })
        .min_by_key(says)
        .unwrap_or(Reason::BitCannotReach)
}

#[cfg(test)]
mod tests {
    use super::name;

    #[test]
    fn names_go_on_after_z() {
        let names: Vec<String> = [0, 25, 26, 27, 51, 52, 701, 702].map(name).to_vec();
        assert_eq!(
            names,
            ["A", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA"],
            "like columns"
        );
    }
}

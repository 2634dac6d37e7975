//! What there is to say about one part: what bits leave and where they are let in, tight
//! hollows, short grain, what the base rides on.

use super::super::able::{self, Able};
use super::super::assemble::{Chosen, Facts};
use super::super::entry;
use super::super::short::{self, ShortGrain};
use super::{goes_on, middle, place, whole};
use crate::diag::{Problem, Problems, Weight};
use crate::reach::{Enclosed, Reach};
use crate::read::Station;
use crate::shop::{Bit, Shop, defaults};

/// Shallow places of less area in all are rounding and not worth a word, in mm².
const LEAST_AREA: f64 = 5e-4;

/// Everything there is to say about one part.
pub(super) fn remarks(
    (index, part): (usize, &Facts),
    shop: &Shop,
    chosen: &Chosen<'_>,
) -> Problems {
    let mut notes = Problems::new();
    let mut seen = Vec::new();
    for (_, holding) in &chosen.holdings {
        let which = holding.set_up.bit;
        let Some(reach) = part.reach[which].as_ref().filter(|_| !seen.contains(&which))
        else {
            continue;
        };
        seen.push(which);
        let bit = &shop.bits[which];
        notes.extend(reach_remarks(reach, (part, bit), shop));
        notes.extend(entries(reach, (part, index, bit), (shop, chosen)));
    }
    notes.extend(
        short::each_once(&part.short)
            .into_iter()
            .filter_map(|place| short_grain(place, part, shop)),
    );
    notes.extend(less_waste(part, shop, chosen));
    notes.extend(base(part, chosen));
    notes
}

/// Exact fits, wood lost at outside corners, and what is too shallow to list.
fn reach_remarks(reach: &Reach, (part, bit): (&Facts, &Bit), shop: &Shop) -> Problems {
    let mut notes = Problems::new();
    let number = bit.number;
    for &at in &reach.exact_fits {
        let found = format!("bit {number} fits exactly here: both walls are touched");
        let hint = "try the bit in a test piece first; a worn bit or a bearing a hair wide leaves more";
        notes.push(
            Problem::new("exact-fit", Weight::Hint, found, hint).at(place(part, at)),
        );
    }
    if 0.0 < reach.lost {
        let found = format!(
            "the bearing of bit {number} is wider than its cutter: outside corners lose a little wood, a square one {} at its tip",
            shop.paper.measured(square_loses(bit))
        );
        let hint = "let the template run past such corners, or use a bearing of the cutter's size";
        notes.push(
            Problem::new("corners-lost", Weight::Caution, found, hint).at(whole(part)),
        );
    }
    let (count, area) = reach.shallow;
    if 0 < count && LEAST_AREA < area {
        let found = format!(
            "places left by bit {number} that are no deeper than a knife line: {count}"
        );
        let hint = "a file or sandpaper takes them; they are not listed";
        notes.push(
            Problem::new("shallow-places", Weight::Hint, found, hint).at(whole(part)),
        );
    }
    notes
}

/// How deep a bit whose bearing is wider than its cutter cuts into a square outside corner.
///
/// Basis: geometry. The cutter's edge passes at the difference of the radii outside a corner
/// that the bearing rounds: what is lost is the diagonal of a square less its side.
fn square_loses(bit: &Bit) -> f64 {
    (std::f64::consts::SQRT_2 - 1.0) * (bit.bearing.radius() - bit.cutter.radius())
}

/// Openings the bit works in from within: where it is let in, or that no bit can be.
fn entries(
    reach: &Reach,
    (part, index, bit): (&Facts, usize, &Bit),
    (shop, chosen): (&Shop, &Chosen<'_>),
) -> Problems {
    let wide = entry::least_hole(bit);
    let rooms = entry::entered(reach, (part, index, bit), chosen);
    let note = |room: &Enclosed| {
        if rooms.contains(&room) {
            let found = format!(
                "bit {} is let in here: the hole must be at least {} wide and go through",
                bit.number,
                shop.paper.length(wide)
            );
            let hint = "drill it, or saw the opening to the saw line, before the router is switched on";
            let hint = Problem::new("entry-hole", Weight::Hint, found, hint);
            return Some(hint.at(place(part, room.entry)));
        }
        if able::lets_in(room, bit) {
            return None;
        }
        let found = format!(
            "no entry hole clears bit {} by {} all round: it does not rout in here",
            bit.number,
            shop.paper.measured(defaults::ENTRY_CLEARANCE.value)
        );
        let hint = "drill and file it by hand, or take a smaller bit";
        Some(Problem::stop("no-entry", found, hint).at(place(part, room.entry)))
    };
    reach.enclosed.iter().filter_map(note).collect()
}

/// Hollows where the bit would stand in too much wood: the waste to take them down to first.
fn less_waste(part: &Facts, shop: &Shop, chosen: &Chosen<'_>) -> Problems {
    let mut notes = Problems::new();
    let mut told = Vec::new();
    for (at, atom) in part.atoms.iter().enumerate() {
        let least = chosen
            .holdings
            .iter()
            .filter_map(|(which, _)| match part.table[at][*which] {
                Able::Cut { less_waste, .. } => less_waste,
                Able::Past | Able::No(_) => None,
            })
            .min_by(f64::total_cmp);
        let ring = &part.guide.loops[atom.span.on];
        let piece = (atom.span.on, ring.place(atom.middle()).0);
        let Some(most) = least.filter(|_| !told.contains(&piece)) else { continue };
        told.push(piece);
        let found = format!(
            "in this hollow the bit would stand in too much wood with {} of waste",
            shop.paper.measured(shop.leave.mm())
        );
        let hint = format!(
            "saw, drill or sand the waste down to {} here before routing",
            shop.paper.measured(most)
        );
        let at = middle(part, atom);
        notes.push(Problem::stop("too-much-engagement", found, hint).at(place(part, at)));
    }
    notes
}

/// A narrow place of short grain that is routed: it wants a support.
fn short_grain(short: &ShortGrain, part: &Facts, shop: &Shop) -> Option<Problem> {
    if short.goes_to_the_hand() {
        return None;
    }
    let kind = if short.tip { "tip" } else { "neck" };
    let runs = if short.slope < 1.0 {
        "across it".to_owned()
    } else {
        format!("running out 1 in {:.1}", short.slope)
    };
    let found = format!(
        "{} short grain: a {kind} {} wide with the grain {runs}, fibres {} long",
        short.sign(),
        shop.paper.length(short.width),
        shop.paper.length(short.fibre)
    );
    let hint = if short.tip {
        "fix a block flush beside the tip, or leave a bridge of waste on it until last; no pass runs off over it unheld"
    } else {
        "leave the waste beside the neck standing until last, or fix a block along it; turn the part on the board if you can"
    };
    let weight = if short.marks < 2 { Weight::Hint } else { Weight::Caution };
    Some(Problem::new("short-grain", weight, found, hint).at(place(part, short.at)))
}

/// A part narrower than a router's base both ways is taped to a bench piece.
fn base(part: &Facts, chosen: &Chosen<'_>) -> Option<Problem> {
    let by_hand = chosen
        .holdings
        .iter()
        .any(|(_, holding)| holding.set_up.station == Station::Hand);
    let bounds = part.outline.loops[0].bounds();
    let half_a_base = defaults::ROUTER_BASE.value / 2.0;
    let tips = bounds.width().min(bounds.height()) < half_a_base;
    let long = defaults::ROUTER_BASE.value <= bounds.width().max(bounds.height());
    if tips && long && by_hand {
        // Basis: published: Popular Woodworking, November 2003, page 53.
        let found = "the part is narrower than half a router's base: the base tips";
        let hint = "clamp a strip of the same height beside it for the base to ride on";
        return Some(
            Problem::new("narrow-part", Weight::Caution, found, hint).at(whole(part)),
        );
    }
    let narrow = bounds.width().max(bounds.height()) < defaults::ROUTER_BASE.value;
    (narrow && by_hand && !goes_on(&part.outline)).then(|| {
        let found = "the part is narrower than a router's base both ways";
        let hint = "tape it to a bench piece, with strips of the same height beside it for the base to ride on";
        Problem::new("base-over-part", Weight::Caution, found, hint).at(whole(part))
    })
}

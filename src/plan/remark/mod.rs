//! What there is to say about a plan: stops taken out of it, cautions, and what would save work.

mod grain;

mod layers;

mod part;

use super::assemble::{Chosen, Facts, Work};
use super::atom::Atom;
use super::{DoneBy, Reason, Stretch};
use crate::diag::{Place, Problem, Problems, Source, Weight};
use crate::geom::Point;
use crate::outline::Outline;
use crate::read::{Role, Station};
use crate::shop::{Guide, Shop, defaults};
use crate::units::Paper;

/// Why there is no plan: every stop, and that nothing is left to cut.
pub(super) fn nothing_to_cut(
    parts: &[Facts],
    notes: &Problems,
    paper: Paper,
) -> Problems {
    let mut problems = notes.clone();
    let routed: f64 =
        parts.iter().flat_map(|part| &part.atoms).map(|atom| atom.span.length).sum();
    let (found, hint) = if routed <= 0.0 {
        (
            "no edge is to be routed",
            "let at least one edge be routed: take it off `--true-edges` or `--goes-on`",
        )
    } else {
        (
            "no bit on the rack may cut any of the routed edge",
            "see the reasons above; another bit, bearing end or grain direction may do it",
        )
    };
    for reason in reasons(parts, paper) {
        problems.push(Problem::stop("edge-left-to-hand", reason, hint));
    }
    problems.push(Problem::stop("nothing-to-rout", found, hint));
    problems
}

/// The reasons why edges are left to the hand, each once, with how much.
fn reasons(parts: &[Facts], paper: Paper) -> Vec<String> {
    let mut sums: Vec<(Reason, f64)> = Vec::new();
    for part in parts {
        let tried = part.atoms.iter().zip(&part.table);
        for (atom, ables) in tried.filter(|(_, ables)| !ables.is_empty()) {
            let why = super::stretch::why_by_hand(ables);
            match sums.iter_mut().find(|(other, _)| *other == why) {
                Some((_, sum)) => *sum += atom.span.length,
                None => sums.push((why, atom.span.length)),
            }
        }
    }
    sums.iter()
        .map(|(why, sum)| format!("{} of edge: {}", paper.length(*sum), why.words()))
        .collect()
}

/// Everything there is to say about the choice.
pub(super) fn remarks(
    parts: &[Facts],
    shop: &Shop,
    chosen: &Chosen<'_>,
    work: &Work,
) -> Problems {
    let mut notes = Problems::new();
    if shop.stock.thick.is_none() {
        notes.push(thickness_unknown(shop.paper));
    }
    notes.extend(
        chosen
            .bits()
            .filter_map(|which| super::mill::wider_than_bearing(&shop.bits[which], shop)),
    );
    let holdings: Vec<_> = chosen.holdings.iter().map(|&(_, it)| it).collect();
    let stands = super::stand::all(&holdings, shop);
    let reaches = holdings.iter().zip(&stands);
    notes.extend(reaches.filter_map(|(it, stand)| least_reach(shop, it, stand)));
    notes.extend(chosen.holdings.iter().filter_map(|(_, it)| wrong_twist(shop, it)));
    for (index, part) in parts.iter().enumerate() {
        notes.extend(part::remarks((index, part), shop, chosen));
    }
    notes.extend(grain::remarks(parts, shop));
    notes.extend(stopped(parts, &work.stretches, shop));
    notes.extend(uphill(&work.stretches, shop, chosen));
    notes.extend(layers::remarks(&work.stretches, shop, chosen));
    notes.extend(over_points(work));
    notes.extend(more_set_ups(&work.stretches, shop));
    notes
}

/// A spiral that pushes the wrong way for where it is used.
///
/// Basis: published: WOOD, "Avoid chip-out when pattern routing", woodmagazine.com: up-cut at
/// the table, down-cut by hand.
fn wrong_twist(shop: &Shop, holding: &super::holding::Holding) -> Option<Problem> {
    let bit = &shop.bits[holding.set_up.bit];
    let text = bit.text.to_lowercase();
    let is = |words: [&str; 2]| words.iter().any(|word| text.contains(word));
    let (found, hint) = match holding.set_up.station {
        Station::Hand if is(["up-cut", "upcut"]) => (
            "an up-cut spiral by hand lifts the fibres of the face that is up",
            "a down-cut one by hand, or one with straight or sheared edges; up-cut is for the table",
        ),
        Station::Table if is(["down-cut", "downcut"]) => (
            "a down-cut spiral at the table pushes the work up off it",
            "an up-cut one at the table, or one with straight or sheared edges; down-cut is for the hand",
        ),
        Station::Hand | Station::Table => return None,
    };
    let found = format!("bit {}: {found}", bit.number);
    let place = super::holding::of_rack(bit);
    Some(Problem::new("wrong-twist", Weight::Caution, found, hint).at(place))
}

/// How far a bit whose reach is not known must reach below the base, lap by lap: on the template
/// as far as it is set there.
fn least_reach(
    shop: &Shop,
    holding: &super::holding::Holding,
    stand: &super::Stand,
) -> Option<Problem> {
    let bit = &shop.bits[holding.set_up.bit];
    if bit.reach.is_some() || holding.set_up.guide == Guide::Tip {
        return None;
    }
    let from = match holding.set_up.station {
        Station::Hand => "below the base",
        Station::Table => "above the table",
    };
    let last = holding.layers.len();
    let needs = |layer: &super::Layer| {
        let over = if layer.template_on { shop.template.thick.mm() } else { 0.0 };
        let past = if layer.number == last { super::lap::past(shop) } else { 0.0 };
        let set = stand.teeth_end.filter(|_| layer.template_on && layer.number == 1);
        layer.to.map(|to| set.unwrap_or(over + to + past))
    };
    let depths: Vec<f64> = holding.layers.iter().map(needs).collect::<Option<_>>()?;
    let least = depths.iter().copied().fold(0.0, f64::max);
    let laps = holding.layers.iter().zip(&depths).map(|(layer, &depth)| {
        let on = if layer.template_on {
            "template on, guided by it"
        } else {
            "template off, bearing on the edge routed before"
        };
        format!("lap {}: {} {from}, {on}", layer.number, shop.paper.length(depth))
    });
    let found = format!(
        "the reach of bit {} is not known: it must reach at least {} {from}",
        bit.number,
        shop.paper.length(least)
    );
    let hint = if bit.cut_length.is_none() && holding.set_up.guide == Guide::Shank {
        "set it so that its teeth begin right under the template".to_owned()
    } else {
        format!("set it so: {}", laps.collect::<Vec<_>>().join("; "))
    };
    let place = super::holding::of_rack(bit);
    Some(Problem::new("least-reach", Weight::Hint, found, hint).at(place))
}

fn thickness_unknown(paper: Paper) -> Problem {
    let found = "the stock's thickness is not known: bits are taken as long enough";
    let hint = format!(
        "measure it and give `--thick`; the cutter must be at least {} longer",
        paper.measured(defaults::PAST_FAR_FACE.value)
    );
    Problem::new("thickness-unknown", Weight::Caution, found, hint)
}

/// Whether the piece goes on past the template.
pub(super) fn goes_on(outline: &Outline) -> bool {
    outline.edges.iter().any(|edge| edge.role == Role::GoesOn)
}

/// Stretches that a stop takes from the router, with the safe way: one note for those of a
/// loop that share a reason.
fn stopped(parts: &[Facts], stretches: &[Stretch], shop: &Shop) -> Problems {
    let mut groups: Vec<Vec<&Stretch>> = Vec::new();
    for stretch in stretches.iter().filter(|stretch| stretch.done_by == DoneBy::Hand) {
        let same = |group: &&mut Vec<&Stretch>| {
            let first = group[0];
            first.part == stretch.part
                && first.span.on == stretch.span.on
                && first.why == stretch.why
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.push(stretch),
            None => groups.push(vec![stretch]),
        }
    }
    groups
        .iter()
        .filter_map(|group| stop_of(&parts[group[0].part], group, shop))
        .collect()
}

/// The stop that takes these stretches of one loop from the router, if one does.
fn stop_of(part: &Facts, group: &[&Stretch], shop: &Shop) -> Option<Problem> {
    let first = group[0];
    let (id, hint) = safe_way(&first.why)?;
    let names: Vec<&str> = group.iter().map(|stretch| stretch.name.as_str()).collect();
    let length: f64 = group.iter().map(|stretch| stretch.span.length).sum();
    let ring = &part.guide.loops[first.span.on];
    let at = ring.at(first.span.from + first.span.length / 2.0);
    let found = format!(
        "{} of edge (stretch {}) is left to the hand: {}",
        shop.paper.length(length),
        names.join(", "),
        first.why.words()
    );
    let small = length < defaults::SMALL_PIECE.value;
    let weight = if small { Weight::Hint } else { Weight::Stop };
    Some(Problem::new(id, weight, found, hint).at(place(part, at)))
}

/// The id of the stop behind a reason, and the safe way instead.
const fn safe_way(why: &Reason) -> Option<(&'static str, &'static str)> {
    match why {
        Reason::WoodOnBothSides => Some((
            "wood-on-both-sides",
            "saw, drill and file it to the line by hand, or take a smaller bit",
        )),
        Reason::NoSafeStart => {
            Some(("no-safe-start", "saw close, then pare or file it to the line by hand"))
        }
        Reason::ShortGrain => Some((
            "short-grain-by-hand",
            "saw close, then rasp and file it toward the body, held on both sides",
        )),
        Reason::CannotBeBacked => Some((
            "point-not-backed",
            "saw close and pare or sand toward the middle, away from the point",
        )),
        Reason::ShortEndGrain | Reason::EndGrainInHollow => {
            Some(("end-grain-by-hand", "saw close, then pare or file it across"))
        }
        _ => None,
    }
}

/// Edge left to the hand only because it is uphill in every set-up: what would save it.
fn uphill(stretches: &[Stretch], shop: &Shop, chosen: &Chosen<'_>) -> Option<Problem> {
    let length: f64 = stretches
        .iter()
        .filter(|stretch| stretch.why == Reason::UphillEverywhere)
        .map(|stretch| stretch.span.length)
        .sum();
    if length < defaults::LEAST_SET_UP.value {
        return None;
    }
    let found = format!(
        "{} of edge would be cut uphill in every set-up and is left to the hand",
        shop.paper.length(length)
    );
    let holding = chosen.holdings[0].1;
    let bit = &shop.bits[holding.set_up.bit];
    let wide = shop.paper.measured(bit.cutter.mm());
    let long = shop.stock.thick.map_or_else(String::new, |thick| {
        let least = thick.mm() + super::lap::past(shop);
        format!(", at least {} of cutter", shop.paper.length(least))
    });
    let buy = match holding.set_up.guide {
        Guide::Shank => format!("a {wide} bit with its bearing at the tip{long}"),
        Guide::Tip => format!("a {wide} bit with its bearing by the shank{long}"),
        Guide::Bush => format!("a {wide} bit with a bearing at the tip{long}"),
    };
    let hint = if shop.stock.over_floor.is_some() {
        "over a floor no other set-up can; plane or pare it from the other end".to_owned()
    } else if shop.template.moves {
        format!("{buy} would rout it")
    } else {
        format!(
            "the template fixed to the other face on pins would rout it (`--template-moves`), and so would {buy}"
        )
    };
    Some(Problem::new("uphill-left-to-hand", Weight::Hint, found, hint))
}

/// Edge that yet another set-up would rout.
fn more_set_ups(stretches: &[Stretch], shop: &Shop) -> Option<Problem> {
    let length: f64 = stretches
        .iter()
        .filter(|stretch| stretch.why == Reason::TooLittleForASetUp)
        .map(|stretch| stretch.span.length)
        .sum();
    (defaults::LEAST_SET_UP.value <= length).then(|| {
        let found = format!(
            "{} of edge is left to the hand that yet another set-up, or another template, would rout",
            shop.paper.length(length)
        );
        let hint = format!(
            "a plan has one template, and a further set-up only for at least {} of edge: rout the rest as a job of its own, or by hand",
            shop.paper.length(defaults::LEAST_SET_UP.value)
        );
        Problem::new("more-set-ups", Weight::Hint, found, hint)
    })
}

fn over_points(work: &Work) -> Option<Problem> {
    let numbers: Vec<String> = work.over_points.iter().map(ToString::to_string).collect();
    if numbers.is_empty() {
        return None;
    }
    let found =
        format!("pass {} runs off over a sharp point of wood", numbers.join(", "));
    let hint = "fix the backer so that it holds the point on both sides; without it, stop short and pare the rest";
    Some(Problem::new("exit-over-point", Weight::Caution, found, hint))
}

/// The least cutter that would do, where the length of a bit in use is not known, in mm.
pub(super) fn least_cut_length(shop: &Shop, chosen: &Chosen<'_>) -> Option<f64> {
    let unknown = chosen
        .holdings
        .iter()
        .any(|(_, holding)| shop.bits[holding.set_up.bit].cut_length.is_none());
    let thick = shop.stock.thick.filter(|_| unknown)?;
    Some(thick.mm() + super::lap::past(shop))
}

/// Too much waste for the bit is a hard stop: what is sawn closer takes its place.
pub(super) fn weighed(mut note: Problem) -> Problem {
    if note.id == "leave-held-down" {
        note.weight = Weight::Stop;
    }
    note
}

fn whole(part: &Facts) -> Place {
    Place::whole(Source::Drawing, part.outline.name.as_str())
}

fn place(part: &Facts, at: Point) -> Place {
    whole(part).at(at.x, at.y)
}

fn middle(part: &Facts, atom: &Atom) -> Point {
    part.guide.loops[atom.span.on].at(atom.middle())
}

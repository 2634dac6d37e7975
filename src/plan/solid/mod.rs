//! A part that the machine cuts itself: its edges split by the grain into runs of the finishing
//! lap, what is left for the plane, and the inside corners.
//!
//! There is no template and no router: the one set-up is the machine's, its spindle on face A.

mod relief;

mod runs;

mod split;

pub use relief::reliefs;

use super::{
    Cost, Draft, HandKind, HandWork, Part, Plan, Reason, SetUp, Stand, hand, minutes,
    short, stretch,
};
use crate::diag::{Failure, Outcome, Place, Problem, Problems, Source, Told, Weight};
use crate::outline::Outline;
use crate::prove::{Pledge, Relief, Wood};
use crate::reach::{self, Radii, SiteKind};
use crate::read::{Role, Station};
use crate::shop::{Face, Guide, Machine, Shop, defaults};
use crate::units::Paper;

/// The machine's own way of holding: from face A, as a person by hand looks down on it.
const SET_UP: SetUp =
    SetUp { template_face: Face::A, bit: 0, guide: Guide::Shank, station: Station::Hand };

/// Plans parts that the machine cuts itself.
pub(super) fn solid(
    outlines: Vec<Outline>,
    shop: &Shop,
    machine: &Machine,
) -> Outcome<Plan> {
    refuse_kept_edges(&outlines)?;
    let mut notes = Problems::new();
    let mut parts = Vec::new();
    let mut relieved = Vec::new();
    let (mut stretches, mut all) = (Vec::new(), Vec::new());
    for (index, outline) in outlines.into_iter().enumerate() {
        let part = part(outline, shop, machine)?;
        relieved.push(relief::with_room(&part, machine, shop.paper)?);
        let named = split::stretches((index, &part), shop, (machine, stretches.len()));
        let first = stretches.len();
        stretches.extend(named);
        all.extend(runs::runs(&part, &stretches[first..], first));
        parts.push(part);
    }
    if all.is_empty() {
        return Err(Failure::refused(nothing_to_finish()));
    }
    relief::settle(&mut stretches, &parts, &relieved);
    let passes = runs::passes(&mut stretches, (&parts, machine.end_mill), &all);
    let draft = Draft { set_ups: &[SET_UP], stretches: &stretches, passes: &passes };
    let mut hand = hand::hand_work(&parts, &draft, shop);
    settle_hand_work(&mut hand, &relieved, machine.allowance.mm());
    notes.extend(relief::notes(&relieved, (&parts, shop, machine)));
    notes.extend(left_standing(&hand, machine, shop.paper));
    notes.extend(no_way_promised(shop, machine));
    let grain = |part: &Part| shop.stock.grain_of(&part.outline);
    let short_grain = parts.iter().enumerate().flat_map(|(index, part)| {
        short::short_grain(index, (&part.outline, &part.guide), &grain(part))
    });
    let short_grain = short_grain.collect();
    let minutes = minutes::minutes(&Draft { set_ups: &[], passes: &[], ..draft }, &hand);
    let plan = Plan {
        set_ups: vec![SET_UP],
        stands: vec![stand()],
        saw: Vec::new(),
        sawn: Vec::new(),
        thick: Vec::new(),
        prepare: Vec::new(),
        trial: None,
        least_cut_length: None,
        cost: Cost { left: 0.0, care: 0.0, minutes: 0.0, against: 0.0 },
        short_grain,
        parts,
        stretches,
        passes,
        hand,
        minutes,
        notes,
    };
    Ok(Told { value: plan, notes: Problems::new() })
}

/// How the end mill stands: no base rides and no bearing.
const fn stand() -> Stand {
    Stand {
        carried: super::Carried::Part,
        by_template: false,
        teeth_end: None,
        on_template: None,
        spacer: None,
        stands_out: None,
    }
}

/// A part with what its end mill reaches; the machine's blank is cut to the part itself.
fn part(outline: Outline, shop: &Shop, machine: &Machine) -> Result<Part, Failure> {
    let radius = machine.end_mill.radius();
    let radii = Radii { bearing: radius, cutter: radius };
    let reach = reach::reach(&outline, radii, shop.paper)?;
    Ok(Part {
        guide: outline.clone(),
        template: outline.loops.clone(),
        set_from: None,
        shared: None,
        template_offset: 0.0,
        count: shop.count,
        finished: reach.finished.clone(),
        reach: vec![Some(reach)],
        light: vec![Vec::new()],
        outline,
    })
}

/// How the grain rules the finishing lap of a part's loop; `None` where any way round will do.
fn wood_of(part: &Part, on: usize, (shop, machine): (&Shop, &Machine)) -> Option<Wood> {
    let grain = shop.stock.grain_of(&part.outline).axis();
    let pledge = Pledge::new(part.outline.drawn[on].clone(), 0.0, machine);
    goes_by_grain(shop, machine).then(|| pledge.in_wood(grain, machine).wood)?
}

/// Whether the finishing lap goes by the grain.
fn goes_by_grain(shop: &Shop, machine: &Machine) -> bool {
    machine.cuts_wood() && shop.stock.kind.keeps_its_way()
}

/// The machine cuts a part out all round.
fn refuse_kept_edges(outlines: &[Outline]) -> Result<(), Failure> {
    let edges = outlines.iter().flat_map(|outline| &outline.edges);
    if edges.into_iter().all(|edge| edge.role == Role::Rout) {
        return Ok(());
    }
    let found = "the machine cuts the part out all round, and an edge is said to be true already or to \
         go on";
    let hint = "leave `true` and `goes-on` out, or let the machine cut a template";
    let place = Place::whole(Source::Job, "edges");
    Err(Failure::input(Problem::stop("part-edge-kept", found, hint).at(place)))
}

fn nothing_to_finish() -> Problem {
    let found = "there is no edge that the machine may finish";
    let hint = "use a narrower end mill, turn the part to the grain, or let the machine cut a \
                template";
    Problem::stop("nothing-to-finish", found, hint)
}

/// What is left on an edge is the allowance, and a relieved corner is no work.
fn settle_hand_work(hand: &mut Vec<HandWork>, relieved: &[Vec<Relief>], allowance: f64) {
    hand.retain(|work| {
        let corner = work.kind == HandKind::Site(SiteKind::InsideCorner);
        !(corner && relieved[work.part].iter().any(|it| relief::is_at(it, work.at)))
    });
    for (index, work) in hand.iter_mut().enumerate() {
        work.number = index + 1;
        if work.kind == HandKind::Stretch {
            work.depth = allowance;
            work.area = allowance * work.sides.iter().sum::<f64>();
        }
    }
}

/// What a climb cannot cure stands by the allowance.
fn left_standing(hand: &[HandWork], machine: &Machine, paper: Paper) -> Option<Problem> {
    let steep = hand.iter().filter(|work| work.why == Reason::TooSteepToClimb);
    let first = steep.clone().next()?;
    let length: f64 = steep.map(|work| work.sides.iter().sum::<f64>()).sum();
    let allowance = machine.allowance.mm();
    let found = format!(
        "{} of edge runs too steeply uphill for a climb: {} are left on it for the plane or the \
         rasp",
        paper.length(length),
        paper.measured(allowance)
    );
    // With so much to take the thick chip meets even the steepest uphill along the grain.
    let turn = (defaults::END_GRAIN - defaults::ALONG).to_radians();
    let enough = machine.end_mill.radius() * (1.0 - libm::cos(turn));
    let most = machine.end_mill.mm() * defaults::MOST_ALLOWANCE.value;
    let hint = if allowance < enough && enough < most {
        format!(
            "work it by hand as the list says; an `allowance` of {} would let the machine climb \
             it all",
            paper.measured((enough * 100.0).ceil() / 100.0)
        )
    } else {
        "work it by hand as the list says".to_owned()
    };
    let place = Place::whole(Source::Drawing, "part").at(first.at.x, first.at.y);
    Some(Problem::new("left-for-the-plane", Weight::Caution, found, hint).at(place))
}

/// Grain that runs no one way is finished conventionally all round.
fn no_way_promised(shop: &Shop, machine: &Machine) -> Option<Problem> {
    let found = format!(
        "the grain is {}: no way round is downhill for sure, and the machine finishes all of it \
         conventionally",
        shop.stock.kind.word()
    );
    let hint = "look at every edge, and scrape what is torn";
    (machine.cuts_wood() && !goes_by_grain(shop, machine))
        .then(|| Problem::new("no-way-promised", Weight::Caution, found, hint))
}

//! What must be so where the machine cuts the part itself, and what then has no use.

use super::fill::place;
use super::{Bit, BitBody, Guide, Machine, Shop};
use crate::diag::{Problem, Problems, Weight};
use crate::grain::of_mirror_image;
use crate::read::{Hand, Job};
use crate::shop::LapWay;

/// Refuses what cannot be with `cut = "part"`, tells what is not used, and puts the end mill
/// where the bits of a router stand: nothing else cuts.
pub(super) fn settle(
    shop: &mut Shop,
    job: &Job,
    (wrong, notes): (&mut Problems, &mut Problems),
) {
    let Some(machine) = shop.machine.as_ref() else { return };
    if !machine.cuts_part() {
        wrong.extend(
            machine
                .relieve
                .first()
                .map(|(_, place)| no_relief_of_a_template().at(place.clone())),
        );
        return;
    }
    wrong.extend(cannot_be(shop, machine, job));
    let idle = [
        ("bits", !job.bits.is_empty()),
        ("template", job.template != crate::read::TemplateWish::default()),
        ("leave", job.leave.is_some()),
    ];
    let idle: Vec<&str> =
        idle.into_iter().filter(|(_, is_given)| *is_given).map(|(key, _)| key).collect();
    if !idle.is_empty() {
        notes.push(not_used(&idle));
    }
    shop.bits = vec![as_bit(machine)];
}

/// The end mill in the place of a router's bit: it is its own bearing.
fn as_bit(machine: &Machine) -> Bit {
    Bit {
        number: 1,
        text: "end mill".to_owned(),
        cutter: machine.end_mill,
        bearing: machine.end_mill,
        guides: vec![Guide::Shank],
        cut_length: None,
        reach: None,
        marked_speed: None,
        body: BitBody::default(),
    }
}

/// What stands in the way: its id, the key to change, what was found and what to do.
type Bar = (&'static str, &'static str, &'static str, &'static str);

/// What stands against cutting the part itself.
fn cannot_be(shop: &Shop, machine: &Machine, job: &Job) -> Problems {
    let bars =
        bars_of_the_stock(shop, job).into_iter().chain(bars_of_the_machine(machine));
    let so = bars.filter(|(is_so, _)| *is_so);
    so.map(|(_, (id, key, found, hint))| Problem::stop(id, found, hint).at(place(key)))
        .collect()
}

fn bars_of_the_stock(shop: &Shop, job: &Job) -> [(bool, Bar); 4] {
    let grain = shop.stock.grain;
    let is_mirrored = 1e-9 < (of_mirror_image(grain) - grain).abs();
    [
        (
            shop.stock.thick.is_none(),
            (
                "part-thickness",
                "thick",
                "the machine is to cut the part itself, and nobody says how thick its stock is",
                "measure it in four places and give the largest as `thick`",
            ),
        ),
        (
            shop.joint,
            (
                "part-of-a-joint",
                "cut",
                "the halves of a joint lie on a board that is true already and goes on",
                "let the machine cut their template: leave `cut` out",
            ),
        ),
        (
            !shop.stock.strips.is_empty(),
            (
                "part-of-strips",
                "strips",
                "the machine is to cut the part itself out of a board glued up of strips",
                "let the machine cut its template: leave `cut` out",
            ),
        ),
        (
            job.hand == Some(Hand::Pair) && is_mirrored,
            (
                "pair-of-one-blank",
                "hand",
                "the two hands of a pair have their grain mirrored, and one blank has one grain",
                "leave `hand` out for the one that is drawn; for the other mirror the drawing",
            ),
        ),
    ]
}

fn bars_of_the_machine(machine: &Machine) -> [(bool, Bar); 3] {
    [
        (
            machine.small_mill.is_some(),
            (
                "part-with-one-mill",
                "small-mill",
                "a part is cut with one end mill",
                "leave `small-mill` out, and give the narrower mill as `end-mill`",
            ),
        ),
        (
            machine.scribe,
            (
                "scribe-on-part",
                "scribe",
                "marks would be scribed on the face of the part itself",
                "leave `scribe` and `scribe-point` out, or let the machine cut a template",
            ),
        ),
        (
            machine.finish == LapWay::Climb,
            (
                "climb-by-grain",
                "climb-finish",
                "the finishing lap of a part climbs only where the grain asks for it",
                "leave `climb-finish` out",
            ),
        ),
    ]
}

/// Why a template's corner is not relieved.
fn no_relief_of_a_template() -> Problem {
    let found = "a corner of a template is to be relieved: a small bearing would fall into it and \
                 gouge the part, and the chisel that squares the corner rides on it";
    let hint = "leave `relieve` out, and file the template's corners square; only with `cut = \
                \"part\"` the part's own corners are relieved";
    Problem::stop("relief-of-template", found, hint)
}

/// What is given and has no use.
fn not_used(keys: &[&str]) -> Problem {
    let found = format!(
        "the machine cuts the part itself: {} has no use",
        keys.iter().map(|key| format!("`{key}`")).collect::<Vec<_>>().join(", ")
    );
    let hint = "leave it out; no router follows a template here";
    Problem::new("not-used", Weight::Hint, found, hint)
}

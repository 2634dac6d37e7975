//! What every sheet says at its foot, and what single sheets add.

use super::Job;
use crate::sheet::model::Sheet;
use crate::shop::defaults;

/// Sheets that have cautions of their own, by the start of their title.
const OWN: [(&str, &str); 4] = [
    (
        "Saw",
        "Bandsaw: guard down to just above the stock, hands out of the line of the blade, and \
         stop the blade before clearing an offcut.",
    ),
    (
        "Rout",
        "Unplug before changing a bit. Never back the bit out along its own cut, and never set \
         a turning bit down on wood or lift it out of wood it touches.",
    ),
    (
        "Hand",
        "Chisel: both hands behind the edge, the work clamped, pare away from yourself.",
    ),
    (
        "Machine",
        "Stay beside it for the whole program. Never reach in while it turns; loose pieces are \
         thrown.",
    ),
];

/// Adds the shop's own rules and the cautions.
pub(super) fn add(sheet: &mut Sheet, job: &Job<'_>) {
    for rule in &job.shop.shop_rules {
        sheet.cautions.push(format!("Shop rule: {rule}"));
    }
    for (title, words) in OWN {
        if sheet.title.starts_with(title) {
            sheet.cautions.push(words.to_owned());
        }
    }
    if sheet.title.starts_with("Rout") {
        let rout = routing(sheet, job);
        sheet.cautions.push(rout);
    }
    general(sheet);
    if job.shop.joint {
        sheet.cautions.push(NOT_A_DESIGN.to_owned());
    }
}

/// What the sheets of a job say at their feet, each once: what all of them say comes first.
pub(in crate::sheet) fn all(job: &Job<'_>) -> Vec<String> {
    let by_router = !job.shop.cuts_part();
    let mut all = Vec::new();
    for (title, has) in [
        ("", true),
        ("Saw", by_router && !job.plan.saw.is_empty()),
        ("Rout", by_router && !job.plan.set_ups.is_empty()),
        ("Hand", !job.plan.hand.is_empty()),
        ("Machine", job.program.is_some()),
    ] {
        let mut sheet = Sheet::new(title);
        if has {
            add(&mut sheet, job);
        }
        let is_new = |words: &String| !all.contains(words);
        let new: Vec<String> = sheet.cautions.into_iter().filter(is_new).collect();
        all.extend(new);
    }
    all
}

/// What every sheet of a joint says.
pub(in crate::sheet) const NOT_A_DESIGN: &str = "Joint sizes are shop rules, not a structural \
     design: what carries people or a building is decided by local code and a licensed engineer.";

/// What every sheet says.
pub(in crate::sheet) fn general(sheet: &mut Sheet) {
    sheet.cautions.push(
        "Glasses, ear protection, a mask and extraction: all wood dust harms, that of MDF too. \
         No loose sleeves."
            .to_owned(),
    );
    sheet.cautions.push(
        "What is marked on the bit, the manuals of your tools and the rules where you live hold \
         over this sheet. If it looks wrong, it is: stop."
            .to_owned(),
    );
}

fn routing(sheet: &mut Sheet, job: &Job<'_>) -> String {
    let shank = job.at_least(defaults::COLLET.value);
    let shank = sheet.figure(shank, defaults::COLLET.basis);
    let part = job.at_least(defaults::SMALL_PART.value);
    let part = sheet.figure(part, defaults::SMALL_PART.basis);
    let hands = job.at_least(defaults::HANDS.value);
    let hands = sheet.figure(hands, defaults::HANDS.basis);
    format!(
        "At least {shank} of shank in the collet, or what is marked on it. A part under {part} \
         is not held in the hands at the table; hands stay {hands} from the bit."
    )
}

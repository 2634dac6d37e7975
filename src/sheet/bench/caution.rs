//! What every sheet says at its foot.

use super::Job;
use super::kind::Kind;
use crate::sheet::model::Sheet;

/// Adds the shop's own rules, which come first, and the cautions of every sheet.
pub(super) fn add(sheet: &mut Sheet, job: &Job<'_>) {
    let rules = job.shop.shop_rules.iter().map(|rule| format!("Shop rule: {rule}"));
    sheet.cautions.splice(0..0, rules);
    general(sheet);
    if job.shop.joint {
        sheet.cautions.push(NOT_A_DESIGN.to_owned());
    }
}

/// What the sheets of a job say at their feet, each once: what all of them say comes first.
pub(in crate::sheet) fn all(job: &Job<'_>) -> Vec<String> {
    let mut sheet = Sheet::new("");
    add(&mut sheet, job);
    for kind in Kind::ALL.into_iter().filter(|kind| kind.is_there(job)) {
        kind.caution(&mut sheet, job);
    }
    sheet.cautions
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

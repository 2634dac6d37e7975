//! Proportions of joints: shop rules, not a structural design.

use super::{Basis, Default};
use crate::joint::Rule;

const TREDGOLD: Basis =
    Basis::Published("Tredgold, \"Tredgold's Rules\", no year given, chestofbooks.com");
const CHANGE: &str = "the size's own key under `[joint]`, or its option of `joint`";

const fn rule(
    name: &'static str,
    value: f64,
    unit: &'static str,
    basis: Basis,
) -> Default {
    Default { name, value, unit, basis, change: CHANGE }
}

/// Every proportion, in the order of [`Rule::ALL`].
pub const JOINT: [Default; 16] = [
    rule("length of a half lap", 2.0, "of the width", Basis::FromMemory),
    rule("length of a lapped tail", 0.667, "of its mate's width", Basis::FromMemory),
    rule("width of a tail's tip", 0.667, "of the width", Basis::FromMemory),
    rule("widest tip of a tail", 0.75, "of the width", Basis::CommonPractice),
    rule("slope of a tail in hardwood, 1 in", 8.0, "", Basis::CommonPractice),
    rule("slope of a tail in softwood, 1 in", 6.0, "", Basis::CommonPractice),
    rule("tongue of a bridle", 0.3333, "of the thickness", Basis::CommonPractice),
    rule("length of a scarf in hardwood, no bolts", 6.0, "of the depth", TREDGOLD),
    rule("length of a scarf in softwood, no bolts", 12.0, "of the depth", TREDGOLD),
    rule("depth of a scarf's nib", 0.12, "of the depth", Basis::FromMemory),
    rule(
        "depth of a scarf's table, the sum of its indents",
        0.3333,
        "of the depth",
        TREDGOLD,
    ),
    rule("width of a through tenon", 0.667, "of the width", Basis::FromMemory),
    rule("height of a tusk wedge's slot", 0.3333, "of the tenon", Basis::CommonPractice),
    rule(
        "tenon beyond a tusk wedge's slot",
        1.5,
        "of the slot's width",
        Basis::FromMemory,
    ),
    rule("width of a finger", 1.0, "of the thickness", Basis::FromMemory),
    rule("gap between mating faces, for glue", 0.08, "mm", Basis::CommonPractice),
];

/// How far apart edges of two drawn halves may lie that are to meet.
pub const MEETS_WITHIN: Default = Default {
    name: "how far apart mating edges of two drawn halves may lie",
    value: 1.0,
    unit: "mm",
    basis: Basis::FromMemory,
    change: "`within` under `[mate]`",
};

/// The figure of a rule.
pub fn joint_rule(rule: Rule) -> &'static Default {
    let index = Rule::ALL.iter().position(|&other| other == rule);
    &JOINT[index.unwrap_or(0)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_has_its_figure() {
        assert_eq!(Rule::ALL.len(), JOINT.len(), "one each");
        assert!((joint_rule(Rule::TailSoft).value - 6.0).abs() < 1e-12, "in their order");
        assert!((joint_rule(Rule::Clearance).value - 0.08).abs() < 1e-12, "the last");
    }
}

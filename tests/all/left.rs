//! What a 12.7 mm bit leaves of small drawings, against GEOS.
//!
//! Basis: measured with GEOS 3.14.1 through shapely 2.2.0 by `tests/cases/left_by_bit.py`, which
//! buffers chords of its own reader out and in; and the closed forms of a corner (geometry).

use crate::command::{here, list, near, number, plan, text};
use serde_json::Value;

/// The hand work of the given kind of a case planned with the 12.7 mm bit.
fn sites(case: &str, kind: &str) -> (Value, Vec<Value>) {
    let (_, data) =
        plan(&[&here(&format!("tests/cases/{case}.svg")), "--bit", "12.7mm pattern"]);
    let sites: Vec<Value> = list(&data["hand_work"])
        .iter()
        .filter(|site| text(&site["kind"]) == kind)
        .cloned()
        .collect();
    (data, sites)
}

/// Everything that is left of a case, as GEOS has it, to 0.01 mm².
#[track_caller]
fn leaves(data: &Value, area: f64) {
    let left: f64 = list(&data["hand_work"])
        .iter()
        .filter(|site| text(&site["kind"]) != "stretch")
        .map(|site| number(&site["area"]))
        .sum();
    assert!((left - area).abs() < 0.01, "{left} mm² left, GEOS has {area}");
}

#[test]
fn a_square_with_a_notch_has_one_inside_corner() {
    let (data, sites) = sites("notch", "inside corner");
    assert_eq!(sites.len(), 1, "one corner: {sites:?}");
    let site = &sites[0];
    near(&site["angle"], 90.0, 1e-6);
    near(&site["depth"], 2.630, 0.005);
    near(&site["area"], 8.653, 0.005);
    for side in list(&site["sides"]) {
        near(side, 6.350, 0.005);
    }
    near(&site["at"][0], 60.0, 1e-6);
    near(&site["at"][1], 60.0, 1e-6);
    leaves(&data, 8.653);
}

#[test]
fn a_corner_between_a_line_and_an_arc() {
    let (data, sites) = sites("line-and-arc", "inside corner");
    assert_eq!(sites.len(), 1, "one corner: {sites:?}");
    leaves(&data, 10.664);
}

#[test]
fn a_corner_whose_touches_lie_on_pieces_that_are_not_neighbours() {
    let (data, sites) = sites("cut-corner", "slot");
    assert_eq!(sites.len(), 1, "two corners behind one mouth: {sites:?}");
    leaves(&data, 6.653);
}

#[test]
fn a_slot_narrower_than_the_bit() {
    let (data, sites) = sites("slot-12", "slot");
    assert_eq!(sites.len(), 1, "the slot: {sites:?}");
    leaves(&data, 322.586);
}

#[test]
fn a_slot_of_exactly_the_bit() {
    let (data, sites) = sites("slot-exact", "inside corner");
    assert_eq!(sites.len(), 2, "its two bottom corners: {sites:?}");
    // The walls are touched: what is left is what a bit smaller by 0.1 µm leaves.
    leaves(&data, 17.310);
    let walls: Vec<&Value> = list(&data["stretches"])
        .iter()
        .filter(|s| {
            [40.0, 52.7].iter().any(|x| {
                let on = |end: &Value| (number(&end[0]) - x).abs() < 1e-6;
                on(&s["from"]) && on(&s["to"])
            })
        })
        .collect();
    let touched: f64 =
        walls.iter().filter(|s| s["touched"] == true).map(|s| number(&s["length"])).sum();
    assert!(
        (touched - 2.0 * (30.0 - 6.35)).abs() < 0.01,
        "both walls are touched: {touched}"
    );
    let told =
        list(&data["notes"]).iter().any(|note| text(&note["text"]).contains("exact"));
    assert!(told, "the exact fit is said");
}

#[test]
fn an_opening_that_the_bit_does_not_enter() {
    let (data, sites) = sites("hole-10", "opening");
    assert_eq!(sites.len(), 1, "the hole: {sites:?}");
    leaves(&data, 78.540);
}

#[test]
fn a_hollow_tighter_than_the_bit() {
    let (data, sites) = sites("hollow-5", "hollow");
    assert_eq!(sites.len(), 1, "the hollow: {sites:?}");
    leaves(&data, 3.288);
}

#[test]
fn a_neck_between_two_openings() {
    let (data, sites) = sites("neck", "neck");
    assert_eq!(sites.len(), 1, "the channel: {sites:?}");
    leaves(&data, 217.189);
}

#[test]
fn an_opening_with_an_island() {
    let (data, sites) = sites("island", "inside corner");
    assert_eq!(sites.len(), 4, "the opening's corners: {sites:?}");
    leaves(&data, 331.539);
    let kinds: Vec<&str> =
        list(&data["parts"][0]["loops"]).iter().map(|ring| text(&ring["kind"])).collect();
    assert_eq!(kinds, ["outside", "opening", "island"]);
}

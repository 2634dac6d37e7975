//! Faults planted in the code that makes programs, not in their text: each stands for a stage
//! that went wrong, and the proof must refuse what comes of it.

use super::*;
use crate::path::{Kind, Toolpath};
use crate::prove::Rule;

/// The part that is cut: a notched square with an opening on tabs and a slot to be cleared.
pub(super) fn right() -> Part {
    let slot = polygon(&[(70.0, 20.0), (70.0, 34.0), (90.0, 34.0), (90.0, 20.0)]);
    part(vec![notched(), hole(30.0, 30.0, 20.0), slot])
}

/// The program that comes of a toolpath made for `parts` by `by`, judged by what was promised
/// for the right part and machine: the rules it breaks.
fn judged(parts: &[Part], by: &Machine, spoil: impl Fn(&mut Toolpath)) -> Vec<Rule> {
    judged_on(&machine(6.0), (parts, by), spoil)
}

/// The same where this machine is promised.
pub(super) fn judged_on(
    machine: &Machine,
    (parts, by): (&[Part], &Machine),
    spoil: impl Fn(&mut Toolpath),
) -> Vec<Rule> {
    let shop = shop(machine.clone());
    let (dialect, whole) = (post("iso-mm"), [right()]);
    let lay = lay(&whole, machine, shop.paper).expect("it can be laid");
    let promise = promise(&whole, &shop, (machine, &lay), &dialect);
    let thick = shop.template.thick.mm();
    let (marks, runs, paper) = (&[], None, shop.paper);
    let task = Task { machine: by, tool: Tool::EndMill, thick, marks, runs, paper };
    let mut path = toolpath(parts, lay, task).expect("it has a path");
    spoil(&mut path);
    let header = Header { id: "abc123".to_owned(), name: "planted".to_owned() };
    match prove(vec![write(&path, &dialect, &header)], &promise) {
        Ok(_) => Vec::new(),
        Err(verdict) => verdict.faults.iter().map(|fault| fault.rule).collect(),
    }
}

pub(super) fn as_it_is(_: &mut Toolpath) {}

#[test]
fn with_nothing_planted_it_proves() {
    assert_eq!(judged(&[right()], &machine(6.0), as_it_is), [], "the code as it is");
}

/// The law of the proof: 10 µm are passed, so that 5 µm pass and 12 do not.
#[test]
fn an_offset_that_is_off_is_refused_beyond_what_the_proof_passes() {
    let off = |by: f64| judged(&[right()], &machine(6.0 - 2.0 * by), as_it_is);
    assert!(off(0.012).contains(&Rule::Gouge), "12 um towards the part");
    assert!(off(-0.012).contains(&Rule::Leftover), "12 um away from it");
    assert_eq!(off(0.005), [], "5 um are within what is passed");
}

#[test]
fn a_fit_that_is_off_is_refused() {
    for by in [Vector::new(0.02, 0.0), Vector::new(0.0, -0.02), Vector::new(0.015, 0.015)]
    {
        let mut part = right();
        part.template = part.template.iter().map(|ring| moved_loop(ring, by)).collect();
        let rules = judged(&[part], &machine(6.0), as_it_is);
        assert!(rules.contains(&Rule::Gouge), "{by:?}: {rules:?}");
    }
}

/// The run over a tab is taken for one of another edge, where there is no tab.
#[test]
fn an_owner_that_is_swapped_is_refused() {
    let rules = judged(&[right()], &machine(6.0), |path| {
        let (tab, floor) = (path.tabs[0], path.lowest());
        let over = path.moves.iter_mut().filter(|step| step.kind == Kind::OverTab);
        for step in over.filter(|step| step.to.distance(tab) < 15.0) {
            step.z = floor;
        }
    });
    assert!(rules.contains(&Rule::Tabs), "a tab is missing: {rules:?}");
}

#[test]
fn depths_out_of_order_are_refused() {
    let rules = judged(&[right()], &machine(6.0), |path| {
        let mut levels: Vec<f64> = path
            .moves
            .iter()
            .filter(|step| step.kind == Kind::Rough)
            .map(|step| step.z)
            .collect();
        levels.sort_by(f64::total_cmp);
        levels.dedup();
        let (deep, high) = (levels[0], levels[levels.len() - 1]);
        let swapped = |z: f64| {
            if (z - deep).abs() < 1e-9 {
                high
            } else if (z - high).abs() < 1e-9 {
                deep
            } else {
                z
            }
        };
        for step in &mut path.moves {
            step.z = swapped(step.z);
        }
    });
    assert!(rules.contains(&Rule::Depth), "the deepest lap first: {rules:?}");
}

#[test]
fn tabs_everywhere_are_refused() {
    let rules = judged(&[right()], &machine(6.0), |path| {
        let top = path.moves.iter().filter(|step| step.kind == Kind::OverTab);
        let top = top.map(|step| step.z).fold(f64::NEG_INFINITY, f64::max);
        for step in path.moves.iter_mut().filter(|step| step.kind == Kind::Finish) {
            step.z = step.z.max(top);
        }
    });
    let tabs_or_left = [Rule::Tabs, Rule::Leftover];
    assert!(rules.iter().any(|rule| tabs_or_left.contains(rule)), "{rules:?}");
}

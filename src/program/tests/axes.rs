//! Machines whose axes are off: what is written makes up for them, and the proof, which reads it
//! on the wood, refuses what does not.

use super::*;
use crate::geom::Bounds;
use crate::prove::{Judgement, Rule, judge};
use crate::shop::{Axes, KeepOut};

const POSTS: [&str; 4] = ["iso-mm", "iso-inch", "iso-mm-lines", "iso-inch-lines"];

/// The axes of a machine.
type Run = Option<Axes>;

const fn off(scale_x: f64, scale_y: f64, lean: f64) -> Axes {
    Axes { scale_x, scale_y, lean: Some(lean), measured: None }
}

/// A plate of 200 by 120 mm with a round end, an opening on tabs, one that is cleared, one that
/// a helix cuts and one that is bored.
fn plate() -> Part {
    let at = Point::new;
    let end = Piece::Arc {
        from: at(200.0, 0.0),
        to: at(200.0, 120.0),
        centre: at(200.0, 60.0),
        sweep: PI,
    };
    let outside = Loop::new(vec![
        Piece::line(at(0.0, 0.0), at(200.0, 0.0)),
        end,
        Piece::line(at(200.0, 120.0), at(0.0, 120.0)),
        Piece::line(at(0.0, 120.0), at(0.0, 0.0)),
    ]);
    let slot = polygon(&[(90.0, 20.0), (90.0, 34.0), (120.0, 34.0), (120.0, 20.0)]);
    let holes = [(40.0, 60.0, 25.0), (150.0, 90.0, 5.0), (150.0, 60.0, 3.0)];
    let holes = holes.map(|(x, y, radius)| hole(x, y, radius));
    part([vec![outside, slot], holes.to_vec()].concat())
}

/// The program for the plate, written for a machine and judged on another that differs in its
/// axes alone.
fn judged(written: impl Into<Run>, on: impl Into<Run>, post_name: &str) -> Judgement {
    let with = |axes| Machine { axes, ..machine(6.0) };
    judged_part(plate(), (&with(written.into()), &with(on.into())), post_name)
}

/// The same for another part and machines.
fn judged_part(part: Part, (by, on): (&Machine, &Machine), post_name: &str) -> Judgement {
    let shop = shop(on.clone());
    let (dialect, parts) = (post(post_name), [part]);
    let lay = lay(&parts, on, shop.paper).expect("it can be laid");
    let promise = promise(&parts, &shop, (on, &lay), &dialect);
    let thick = shop.template.thick.mm();
    let (marks, runs, paper) = (&[], None, shop.paper);
    let task = Task { machine: by, tool: Tool::EndMill, thick, marks, runs, paper };
    let path = toolpath(&parts, lay, task).expect("it has a path");
    let header = Header { id: "abc123".to_owned(), name: "axes".to_owned() };
    let text = gcode::text(&told::told(&path), &dialect, &header);
    judge(&[text.as_str()], &promise)
}

fn rules(judgement: &Judgement) -> Vec<Rule> {
    judgement.faults().iter().map(|fault| fault.rule).collect()
}

#[test]
fn a_program_that_makes_up_for_the_axes_proves_in_every_post() {
    for axes in [
        off(1.003, 1.0, 0.0),
        off(0.998, 1.0015, -0.002),
        off(1.0, 1.0, 0.004),
        off(1.0099, 0.9901, 0.0099),
    ] {
        for name in POSTS {
            let found = judged(axes.clone(), axes.clone(), name);
            assert!(found.is_right(), "{name} {axes:?}: {:?}", found.faults());
            let figures = found.figures.expect("it is read");
            assert!(figures.gouge < 0.008 && figures.leftover <= 0.01, "{figures:?}");
        }
    }
}

/// Basis: geometry: told to a machine that is long, the way round a corner is narrower than the
/// mill, and still goes round a corner.
#[test]
fn the_way_down_round_a_corner_is_no_hollow_on_a_long_axis() {
    let small = polygon(&[(0.0, 0.0), (24.0, 0.0), (24.0, 24.0), (0.0, 24.0)]);
    let axes = Some(off(1.004, 1.004, 0.0));
    let machine = Machine { axes, allowance: Mm::of(0.005), ..machine(6.0) };
    let found =
        judged_part(part(vec![small]), (&machine, &machine), "iso-mm-lines").faults();
    assert!(found.is_empty(), "{found:?}");
}

/// One straight way that just touches a straight edge.
///
/// Basis: geometry: on the wood it may be 0.0005 mm from where it is taken to be.
#[test]
fn what_a_straight_way_on_the_wood_may_stray_is_judged() {
    let square = polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0)]);
    let gouge = |axes: Run| {
        let machine = Machine { axes, ..machine(6.0) };
        let shop = shop(machine.clone());
        let (dialect, parts) = (post("iso-mm"), [part(vec![square.clone()])]);
        let lay = lay(&parts, &machine, shop.paper).expect("it can be laid");
        let promise = promise(&parts, &shop, (&machine, &lay), &dialect);
        let text = "G21 G17 G90 G94 G40 G49 G54\nG0 Z20\nG0 X30 Y12\nG1 Z-1 F300\n\
                    G1 X80 Y12 F900\nG0 Z20\nM2\n";
        judge(&[text], &promise).figures.expect("it is read").gouge
    };
    assert!(gouge(None).abs() < 1e-9, "on true axes it touches");
    let strays = gouge(Some(off(1.003, 1.0, 0.0)));
    assert!((strays - 0.0005).abs() < 1e-9, "{strays}");
}

#[test]
fn a_program_that_does_not_is_a_fault() {
    for (axes, rule) in [
        (off(1.003, 1.0, 0.0), Rule::Leftover),
        (off(0.997, 1.0, 0.0), Rule::Gouge),
        (off(1.0, 1.003, 0.0), Rule::Leftover),
        (off(1.0, 1.0, 0.0004), Rule::Gouge),
    ] {
        let found = rules(&judged(None, axes.clone(), "iso-mm"));
        assert!(found.contains(&rule), "{axes:?}: {found:?}");
        let found = rules(&judged(axes.clone(), None, "iso-mm"));
        assert!(!found.is_empty(), "made up for on a true machine: {axes:?}");
    }
}

#[test]
fn a_lean_made_up_for_the_wrong_way_and_axes_swapped_are_faults() {
    for (written, on) in [
        (off(1.0, 1.0, -0.0004), off(1.0, 1.0, 0.0004)),
        (off(1.001, 0.999, 0.0), off(0.999, 1.001, 0.0)),
        // What it should be told the other way round.
        (off(1.0 / 1.002, 1.0, 0.0), off(1.002, 1.0, 0.0)),
        // The lean as a share of what is told, not of the wood.
        (off(1.0, 0.99, 0.008), off(1.0, 0.99, 0.008 / 0.99)),
    ] {
        let found = rules(&judged(written.clone(), on.clone(), "iso-mm"));
        let wrong = |rule: &Rule| [Rule::Gouge, Rule::Leftover].contains(rule);
        assert!(found.iter().any(wrong), "{written:?} on {on:?}: {found:?}");
    }
}

/// Basis: geometry: 10 um pass, so that over 200 mm 5 um pass and 15 do not.
#[test]
fn the_proof_passes_no_more_off_the_axes_than_off_the_edge() {
    let nearly = |by: f64| off(1.004 + by / 200.0, 1.0, 0.0);
    let judged = |by: f64| rules(&judged(nearly(by), off(1.004, 1.0, 0.0), "iso-mm"));
    assert_eq!(judged(0.004), [], "4 um too short");
    assert!(!judged(0.015).is_empty(), "15 um too short");
    assert!(!judged(-0.015).is_empty(), "15 um too long");
}

#[test]
fn what_the_machine_shows_is_told_and_what_it_cuts_is_not() {
    let axes = off(1.005, 0.996, 0.003);
    let (plain, told) =
        (judged(None, None, "iso-mm"), judged(axes.clone(), axes, "iso-mm"));
    let [plain, told] = [plain, told].map(|found| found.figures.expect("it is read"));
    // Basis: geometry: the far corner of the box, from the zero.
    let high = plain.travel.high;
    assert!((told.travel.high.y - high.y / 0.996).abs() < 0.002, "{:?}", told.travel);
    let middle = 15.0 + 60.0; // of the round end, which reaches farthest
    let due = (high.x - 0.003 * middle) / 1.005;
    assert!((told.travel.high.x - due).abs() < 0.01, "{:?} {due}", told.travel);
    assert_eq!(plain.tabs.len(), told.tabs.len(), "the same tabs");
    let apart = plain.tabs.iter().zip(&told.tabs).map(|(a, b)| a.distance(*b));
    assert!(apart.fold(0.0, f64::max) < 0.02, "where they stand on the wood");
}

/// A clamp's place is measured with a rule, or read on the display: both are kept clear.
#[test]
fn a_clamp_is_kept_clear_of_where_the_mill_really_goes() {
    let struck = |axes: Run, left: f64| {
        let mut machine = Machine { axes, ..machine(6.0) };
        let low = Point::new(left, 65.0);
        let area = Bounds { low, high: Point::new(left + 40.0, 85.0) };
        let clamp = KeepOut { name: "clamp".to_owned(), area, high: Mm::of(14.0) };
        machine.keep_outs = vec![clamp];
        machine.clear = Mm::of(17.0);
        let shop = shop(machine);
        let made = template_program(&plan(vec![plate()]), &shop, &post("iso-mm"), "a");
        let ids = made.map_or_else(
            |failure| failure.problems().iter().map(|it| it.id).collect(),
            |_proved| Vec::new(),
        );
        ids.contains(&"program-keep-out")
    };
    // Round the end at 15 + 260 a rough lap goes 3.3 farther out, the nut reaches 14, 2 are kept.
    let edge = 15.0 + 260.0 + 3.3 + 14.0 + 2.0;
    assert!(!struck(None, edge + 0.1) && struck(None, edge - 0.3), "on true axes");
    let long = off(1.008, 1.0, 0.0);
    assert!(struck(Some(long.clone()), edge - 0.3), "by the rule");
    assert!(
        !struck(Some(long), edge + 0.1),
        "clear by the rule, and read it is farther out"
    );
    let short = off(0.992, 1.0, 0.0);
    assert!(struck(Some(short.clone()), edge + 0.1), "read on the display it is nearer");
    assert!(!struck(Some(short), edge + 2.6), "clear by either");
}

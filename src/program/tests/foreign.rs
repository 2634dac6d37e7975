//! Random programs of others: none makes the proof panic, and none passes that does not cut.

use super::*;
use crate::prove::{judge, read};
use proptest::prelude::*;
use std::sync::OnceLock;

/// A program that proves, and what it is judged by.
fn proved() -> &'static (Vec<String>, Promise) {
    static ONCE: OnceLock<(Vec<String>, Promise)> = OnceLock::new();
    ONCE.get_or_init(|| {
        let plan = plan(vec![part(vec![notched(), hole(30.0, 30.0, 9.0)])]);
        let (shop, dialect) = (shop(machine(6.0)), post("iso-mm"));
        let proved = template_program(&plan, &shop, &dialect, "abc123");
        let machine = shop.machine.as_ref().expect("there is one");
        let lay = lay(&plan.parts, machine, shop.paper).expect("it can be laid");
        let promise = promise(&plan.parts, &shop, (machine, &lay), &dialect);
        let text = proved.expect("it proves").text().to_owned();
        (text.lines().map(str::to_owned).collect(), promise)
    })
}

/// A line as somebody's program may have it.
fn line() -> impl Strategy<Value = String> {
    let number = || (-20_000i32..20_000).prop_map(|n| f64::from(n) / 100.0);
    prop_oneof![
        3 => (number(), number()).prop_map(|(x, y)| format!("G1 X{x} Y{y} F900")),
        2 => (number(), number(), number(), number())
            .prop_map(|(x, y, i, j)| format!("G2 X{x} Y{y} I{i} J{j}")),
        1 => (number(), number()).prop_map(|(x, r)| format!("G3 X{x} R{r}")),
        2 => number().prop_map(|z| format!("G1 Z{z}")),
        1 => (number(), number()).prop_map(|(x, y)| format!("G0 X{x} Y{y}")),
        1 => number().prop_map(|z| format!("G0 Z{z}")),
        1 => (number(), number()).prop_map(|(x, z)| format!("G81 X{x} Y0 Z{z} R1")),
        1 => prop::sample::select(vec!["M3", "M5", "M0", "G91", "G90", "G20", "G4 P2", "S9000", "%", "/G1 X1", "G92 X0", "(note)", "M2"])
            .prop_map(str::to_owned),
        1 => "[ -~]{0,40}",
    ]
}

/// Whether every place on every edge that is cut is as near to a move as the mill is wide.
fn cuts_all(texts: &str, promise: &Promise) -> bool {
    let program = read(texts).expect("it is legal");
    let ways: Vec<(Piece, f64)> = program
        .moves()
        .filter(|step| {
            step.start().iter().chain(&step.end()).all(|axis| axis.is_finite())
        })
        .map(|step| {
            let [from, to] =
                [step.start(), step.end()].map(|at| Point::new(at[0], at[1]));
            let way = match step.arc() {
                None => Piece::line(from, to),
                Some((centre, sweep)) => Piece::Arc { from, to, centre, sweep },
            };
            (way, step.start()[2].max(step.end()[2]))
        })
        .collect();
    let by = Point::default() - promise.work_zero;
    promise.loops.iter().all(|pledge| {
        (0u32..200).all(|n| {
            let at = pledge.drawn.at(pledge.drawn.length() * f64::from(n) / 200.0) + by;
            // Tabs stand lower than this; inside corners are out of the mill's reach.
            let near =
                |way: &(Piece, f64)| way.1 < -9.0 && way.0.distance(at) < 3.0 * 1.5;
            ways.iter().any(near)
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_random_program_does_not_pass(lines in prop::collection::vec(line(), 0..60)) {
        let (_, promise) = proved();
        for head in ["", "G21\nG17\nG90\nG94\nG40\nG49\nG80\nG54\nG0 Z15\nS16000\nM3\nG4 P5\n"] {
            let text = format!("{head}{}\nG0 Z15\nM5\nM2\n", lines.join("\n"));
            let found = judge(&[&text], promise);
            prop_assert!(!found.is_right(), "it cuts nothing of this part: {text}");
        }
    }

    #[test]
    fn what_passes_of_a_spoilt_program_still_cuts(
        at in any::<prop::sample::Index>(),
        count in 0usize..4,
        lines in prop::collection::vec(line(), 0..3),
    ) {
        let (whole, promise) = proved();
        let mut spoilt = whole.clone();
        let from = at.index(spoilt.len());
        let to = (from + count).min(spoilt.len());
        spoilt.splice(from..to, lines);
        let text = spoilt.join("\n") + "\n";
        if judge(&[&text], promise).is_right() {
            prop_assert!(cuts_all(&text, promise), "from line {from}: {text}");
        }
    }
}

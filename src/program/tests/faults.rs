//! Faults planted in a program that proves: each must be caught. Harmless edits: each must pass.

use super::*;
use crate::prove::{Rule, Verdict};

struct Case {
    lines: Vec<String>,
    promise: Promise,
}

impl Case {
    fn new(loops: Vec<Loop>, name: &str) -> Self {
        let shop = shop(machine(6.0));
        let plan = plan(vec![part(loops)]);
        let dialect = post(name);
        let proved =
            template_program(&plan, &shop, &dialect, "abc123").expect("it proves");
        let machine = shop.machine.as_ref().expect("there is one");
        let lay = lay(&plan.parts, machine, shop.paper).expect("it can be laid");
        let promise = promise(&plan.parts, &shop, (machine, &lay), &dialect);
        let lines = proved.text().lines().map(str::to_owned).collect();
        Self { lines, promise }
    }

    fn square() -> Self {
        Self::new(vec![notched(), hole(30.0, 30.0, 20.0)], "iso-mm")
    }

    fn judge(&self, lines: &[String]) -> Result<ProvedProgram, Verdict> {
        let text = lines.join("\n") + "\n";
        prove(vec![Candidate::new(text)], &self.promise)
    }

    /// Judges the program with line `index` replaced by these.
    fn with(&self, index: usize, new: &[String]) -> Result<ProvedProgram, Verdict> {
        let mut lines = self.lines.clone();
        lines.splice(index..=index, new.iter().cloned());
        self.judge(&lines)
    }

    fn caught(&self, index: usize, new: &[String], why: &str) -> Verdict {
        let line = &self.lines[index];
        self.with(index, new).expect_err(&format!("{why}: line {} `{line}`", index + 1))
    }

    fn passes(&self, lines: &[String], why: &str) {
        if let Err(verdict) = self.judge(lines) {
            panic!("{why}: {:#?}", verdict.faults.iter().take(5).collect::<Vec<_>>());
        }
    }

    fn find(&self, what: impl Fn(&str) -> bool) -> Vec<usize> {
        (0..self.lines.len()).filter(|&index| what(&self.lines[index])).collect()
    }
}

/// The number after a letter on a line.
fn number(line: &str, letter: char) -> Option<f64> {
    let word = line.split(' ').find(|word| word.starts_with(letter))?;
    word[1..].parse().ok()
}

/// The line with the number after a letter changed.
fn changed(line: &str, letter: char, by: f64) -> String {
    let words = line.split(' ').map(|word| match word.strip_prefix(letter) {
        Some(number) => {
            format!("{letter}{:.3}", number.parse::<f64>().expect("a number") + by)
        }
        None => word.to_owned(),
    });
    words.collect::<Vec<_>>().join(" ")
}

fn is_cut(line: &str) -> bool {
    ["G1 ", "G2 ", "G3 "].iter().any(|word| line.starts_with(word))
}

fn one(line: &str) -> Vec<String> {
    vec![line.to_owned()]
}

/// Lines of the last lap of a program's last cut: at full depth, moving in X and Y.
fn last_lap(case: &Case) -> Vec<usize> {
    let start = case.find(|line| line.starts_with("G0 X")).into_iter().max();
    let deep = case.find(|line| line.ends_with("Z-12.300"));
    let from = deep.into_iter().find(|&index| start < Some(index)).unwrap_or(0);
    let all = case.find(|line| line.starts_with("G1 X") && !line.contains('Z'));
    all.into_iter().filter(|&index| from < index).collect()
}

#[test]
fn a_word_shifted_by_12_um_toward_the_part_is_caught_and_by_5_passes() {
    let case = Case::square();
    let lower = case.find(|line| line.starts_with("G1 X") && line.contains("Y12.000"));
    assert!(2 < lower.len(), "the lap passes along the lower side");
    for &index in &lower {
        let line = &case.lines[index];
        for by in [0.012, 0.02, 0.05, 0.5] {
            let verdict =
                case.caught(index, &one(&changed(line, 'Y', by)), "toward the part");
            let seen = verdict.breaks(Rule::Gouge) || verdict.breaks(Rule::Legal);
            assert!(seen, "{by}: {verdict:?}");
        }
        if case.lines[index + 1].starts_with("G2 ") {
            continue; // the lead-out's arc starts here: off by 5 um it is no arc by the report
        }
        let shifted = case.with(index, &one(&changed(line, 'Y', 0.005)));
        assert!(shifted.is_ok(), "5 um at line {}: {shifted:?}", index + 1);
    }
}

#[test]
fn arcs_the_wrong_way_round_are_caught() {
    let case = Case::square();
    let arcs = case.find(|line| line.starts_with("G2 ") || line.starts_with("G3 "));
    assert!(20 < arcs.len(), "there are arcs");
    for index in arcs {
        let line = &case.lines[index];
        let other = match line.strip_prefix("G2") {
            Some(rest) => format!("G3{rest}"),
            None => line.replacen("G3", "G2", 1),
        };
        case.caught(index, &one(&other), "the other way round");
    }
}

#[test]
fn signs_turned_are_caught() {
    let case = Case::square();
    for index in case.find(is_cut) {
        let line = &case.lines[index];
        for letter in ['X', 'Y', 'Z', 'I', 'J'] {
            let arc = line.contains('I');
            if !arc && letter != 'Z' {
                continue; // a straight line may go too far and come back: only air is cut
            }
            let Some(value) = number(line, letter).filter(|value| 0.6 < value.abs())
            else {
                continue;
            };
            if letter == 'Z' && -12.2 < value {
                continue; // higher than it should be on the way down: nothing is cut wrong
            }
            let turned = changed(line, letter, -2.0 * value);
            case.caught(index, &one(&turned), &format!("the sign of {letter}"));
        }
    }
}

#[test]
fn dropped_lines_of_state_and_of_the_last_lap_are_caught() {
    let case = Case::square();
    for word in [
        "G21", "G17", "G90", "G94", "G40", "G49", "G54", "S16000", "M3", "G4 P5", "M5",
        "M2",
    ] {
        let at = case.find(|line| line == word);
        case.caught(at[0], &[], &format!("{word} dropped"));
    }
    for word in ["G0 Z15.000"] {
        for index in case.find(|line| line == word) {
            case.caught(index, &[], "a retract dropped");
        }
    }
    let lap = last_lap(&case);
    assert!(4 < lap.len(), "a lap has lines");
    let corner = case.find(|line| line.starts_with("G3 X") && line.ends_with("J3.000"));
    for index in corner {
        case.caught(index, &[], "a corner dropped");
    }
}

#[test]
fn the_order_of_the_start_is_heeded() {
    let case = Case::square();
    let first = case.find(|line| line == "G0 Z15.000")[0];
    let diagonal = case.caught(first, &one("G0 X0.000 Y0.000 Z15.000"), "X and Y first");
    assert!(diagonal.breaks(Rule::FirstMove), "{diagonal:?}");
    let inch = case.caught(case.find(|line| line == "G21")[0], &one("G20"), "inches");
    assert!(inch.breaks(Rule::Legal), "its arcs are 25 times too rough: {inch:?}");
    let late = case.find(|line| line == "G54")[0];
    let shifted = case.caught(late, &one("G55"), "another zero");
    assert!(shifted.breaks(Rule::Legal), "{shifted:?}");
    let back = case.caught(case.find(|line| line == "M3")[0], &one("M4"), "backwards");
    assert!(back.breaks(Rule::Spindle), "{back:?}");
    let short =
        case.caught(case.find(|line| line == "G4 P5")[0], &one("G4 P0.005"), "too short");
    assert!(short.breaks(Rule::Spindle), "{short:?}");
    let fast =
        case.caught(case.find(|line| line == "S16000")[0], &one("S24000"), "too fast");
    assert!(fast.breaks(Rule::Spindle), "{fast:?}");
}

#[test]
fn rapids_into_the_work_are_caught() {
    let case = Case::square();
    for index in case.find(|line| line.starts_with("G1 ")) {
        let rapid = case.lines[index].replacen("G1 ", "G0 ", 1);
        let up = case.lines[index].starts_with("G1 Z-10.000");
        if up {
            continue;
        }
        case.caught(index, &one(&rapid), "a cut at rapid");
    }
    for index in case.find(|line| line.starts_with("G1 Z0.500")) {
        let rapid = case.caught(index, &one("G0 Z0.500"), "down at rapid");
        assert!(rapid.breaks(Rule::Clearance), "{rapid:?}");
    }
    for index in case.find(|line| line == "G0 Z15.000") {
        case.caught(index, &one("G0 Z14.000"), "travelling too low");
    }
}

#[test]
fn straight_down_into_uncut_wood_is_caught() {
    let case = Case::square();
    let first = case.find(|line| line.starts_with("G1 Z0.500"))[0];
    let down = case.caught(first, &one("G1 Z-2.500 F300"), "no ramp");
    assert!(down.breaks(Rule::Depth), "{down:?}");
    let behind_a_tab = case.find(|line| line.starts_with("G1 Z-11.200"))[0];
    let deeper = case.caught(behind_a_tab, &one("G1 Z-12.300 F300"), "past the floor");
    assert!(deeper.breaks(Rule::Depth), "{deeper:?}");
}

#[test]
fn a_hole_in_the_middle_of_the_part_is_caught() {
    let case = Case::square();
    let end = case.find(|line| line == "M5")[0];
    for place in ["G0 X90.000 Y30.000", "G0 X30.000 Y100.000"] {
        let words = [place, "G1 Z0.500 F300", "G1 Z-6.000 F300", "G0 Z15.000", "M5"];
        let verdict = case.caught(end, &words.map(str::to_owned), "a hole");
        assert!(verdict.breaks(Rule::Gouge), "{place}: {verdict:?}");
    }
}

#[test]
fn a_loose_piece_in_an_opening_to_be_cleared_is_caught() {
    let case = Case::new(vec![notched(), hole(30.0, 30.0, 10.4)], "iso-mm");
    let starts = case.find(|line| line.starts_with("G0 X"));
    assert!(4 <= starts.len(), "two rings, the opening, the outside: {starts:?}");
    let opening = starts.len() - 2;
    let mut lines = case.lines.clone();
    lines.drain(starts[0]..starts[opening]);
    let verdict = case.judge(&lines).expect_err("the rings are gone");
    assert!(verdict.breaks(Rule::Loose), "{verdict:?}");
    assert!(!verdict.breaks(Rule::Leftover), "its edge is cut all round: {verdict:?}");
}

#[test]
fn feeds_left_out_or_too_fast_are_caught() {
    let case = Case::square();
    for index in case.find(|line| line.contains(" F")) {
        let (words, feed) = case.lines[index].split_once(" F").expect("it has a feed");
        if feed == "1200" {
            case.caught(index, &one(words), "the plunge's feed goes on");
        } else {
            let first = index == case.find(|line| line.contains(" F"))[0];
            let verdict =
                case.caught(index, &one(words), "the cut's feed for the plunge");
            assert!(
                verdict.breaks(if first { Rule::Legal } else { Rule::Feed }),
                "{verdict:?}"
            );
        }
        let fast = case.caught(index, &one(&format!("{words} F4000")), "too fast");
        assert!(fast.breaks(Rule::Feed), "{fast:?}");
    }
}

#[test]
fn heights_off_by_half_a_millimetre_are_caught() {
    let case = Case::square();
    for index in case.find(|line| line.contains("Z-12.300")) {
        for by in [0.5, -0.5] {
            case.caught(
                index,
                &one(&changed(&case.lines[index], 'Z', by)),
                "too high or low",
            );
        }
    }
}

#[test]
fn tabs_missing_cut_through_or_too_many_are_caught() {
    let case = Case::square();
    let tops = case.find(|line| line.starts_with("G1 Z-10.000"));
    // Up, over, out to the rough line, down to the floor, in by ramps.
    let down = case.find(|line| line.starts_with("G1 Z-11.200"));
    let last: Vec<usize> =
        tops.iter().copied().filter(|index| down.contains(&(index + 3))).collect();
    assert!(4 <= last.len(), "tabs of the finishing laps");
    for index in last {
        let verdict = case.caught(index, &one("G1 Z-12.300"), "cut through");
        assert!(verdict.breaks(Rule::Tabs), "{verdict:?}");
        let verdict = case.caught(index, &one("G1 Z-10.500"), "too low");
        assert!(verdict.breaks(Rule::Tabs), "{verdict:?}");
        let verdict = case.caught(index, &one("G1 Z-9.500"), "too high");
        assert!(verdict.breaks(Rule::Leftover), "{verdict:?}");
        let mut lines = case.lines.clone();
        let to = ['X', 'Y'].map(|letter| number(&case.lines[index + 1], letter));
        let back = (index + 4..case.lines.len()).find(|&at| {
            case.lines[at].starts_with("G1 X")
                && ['X', 'Y'].map(|letter| number(&case.lines[at], letter)) == to
        });
        let back = back.expect("it comes back to the finished line");
        lines.insert(back + 1, shorter(&case.lines[index - 1], &case.lines[back]));
        let verdict = case.judge(&lines).expect_err("a neck too short");
        let seen = verdict.breaks(Rule::Tabs) || verdict.breaks(Rule::Legal);
        assert!(seen, "{verdict:?}");
    }
    let lap = last_lap(&case);
    let index =
        *lap.iter().find(|&&index| case.lines[index].contains("Y12.000")).expect("there");
    let line = case.lines[index].clone();
    let here = number(&line, 'X').expect("it has X");
    let extra = [
        "G1 Z-10.000".to_owned(),
        changed(&line, 'X', 9.0),
        "G1 Z-12.300 F300".to_owned(),
    ];
    let new = [one(&line), extra.to_vec(), one("F1200")].concat();
    let verdict = case.caught(index, &new, "one tab more");
    assert!(
        verdict.breaks(Rule::Tabs) || verdict.breaks(Rule::Leftover),
        "at {here}: {verdict:?}"
    );
}

/// The second of two ends of a straight lift, brought 2.5 mm nearer to the first.
fn shorter(first: &str, second: &str) -> String {
    let mut line = second.to_owned();
    for letter in ['X', 'Y'] {
        let (a, b) = (number(first, letter), number(second, letter));
        if let (Some(a), Some(b)) = (a, b)
            && 0.001 < (b - a).abs()
        {
            line = changed(&line, letter, -2.5f64.copysign(b - a));
        }
    }
    line
}

#[test]
fn a_promise_of_something_else_is_not_kept() {
    let case = Case::square();
    let judge = |change: &dyn Fn(&mut Promise)| {
        let mut promise = case.promise.clone();
        change(&mut promise);
        Case { lines: case.lines.clone(), promise }.judge(&case.lines)
    };
    let mill = |mm: f64| Diameter::new(Mm::of(mm)).expect("more than zero");
    for mm in [5.9, 6.1] {
        assert!(
            judge(&|promise| promise.machine.end_mill = mill(mm)).is_err(),
            "mill of {mm}"
        );
    }
    for (x, y) in [(1.0, 0.0), (0.0, -1.0)] {
        let moved = |promise: &mut Promise| {
            promise.work_zero = promise.work_zero + Vector::new(x, y);
        };
        assert!(judge(&moved).is_err(), "the zero moved by {x}, {y}");
    }
    assert!(judge(&|promise| promise.thick = 12.5).is_err(), "a thicker blank");
    assert!(
        judge(&|promise| promise.machine.clear = Mm::of(20.0)).is_err(),
        "higher clamps"
    );
    assert!(
        judge(&|promise| promise.machine.z_zero = ZZero::Table).is_err(),
        "Z zero elsewhere"
    );
    let mirrored = |promise: &mut Promise| {
        let turn = |p: Point| Point::new(100.0 - p.x, p.y);
        for pledge in &mut promise.loops {
            let pieces = pledge.drawn.pieces().iter().rev().map(|piece| match *piece {
                Piece::Line { from, to } => Piece::line(turn(to), turn(from)),
                Piece::Arc { from, to, centre, sweep } => Piece::Arc {
                    from: turn(to),
                    to: turn(from),
                    centre: turn(centre),
                    sweep,
                },
            });
            pledge.drawn = Loop::new(pieces.collect());
        }
    };
    assert!(judge(&mirrored).is_err(), "a mirrored drawing");
}

#[test]
fn harmless_edits_pass() {
    let case = Case::square();
    let map = |edit: &dyn Fn(&str) -> String| -> Vec<String> {
        case.lines.iter().map(|line| edit(line)).collect()
    };
    let plain = |line: &str| !line.starts_with('(');
    case.passes(&case.lines, "as it is");
    case.passes(&map(&|line| line.to_lowercase()), "small letters");
    case.passes(
        &map(&|line| if plain(line) { line.replace(' ', "") } else { line.to_owned() }),
        "no spaces",
    );
    case.passes(
        &map(&|line| if plain(line) { line.replace(' ', "  ") } else { line.to_owned() }),
        "more spaces",
    );
    case.passes(&map(&|line| format!("N77 {line}")), "line numbers");
    case.passes(
        &map(&|line| if plain(line) { format!("{line} (so)") } else { line.to_owned() }),
        "comments",
    );
    case.passes(&map(&|line| format!("{line}\n")), "blank lines");
    case.passes(&[one("%"), case.lines.clone(), one("%")].concat(), "percent signs");
    case.passes(
        &map(&|line| {
            if is_cut(line) { format!("G90 G21 {line}") } else { line.to_owned() }
        }),
        "words said again",
    );
}

#[test]
fn a_line_split_in_three_and_an_arc_split_in_two_pass() {
    let case = Case::square();
    let mut lines = Vec::new();
    let mut at = Point::default();
    for line in &case.lines {
        let to = match (number(line, 'X'), number(line, 'Y')) {
            (Some(x), Some(y)) => Point::new(x, y),
            _ => at,
        };
        let flat = !line.contains('Z') && !line.contains('F');
        if flat && line.starts_with("G1 X") {
            for share in [1.0 / 3.0, 2.0 / 3.0] {
                let mid = at + (to - at) * share;
                lines.push(format!("G1 X{:.4} Y{:.4}", mid.x, mid.y));
            }
        } else if let (true, Some(i), Some(j)) =
            (flat, number(line, 'I'), number(line, 'J'))
        {
            let centre = at + Vector::new(i, j);
            let way = &line[..2];
            let turn = (at - centre).turn_to(to - centre);
            let half = if way == "G3" {
                turn.rem_euclid(2.0 * PI)
            } else {
                -(-turn).rem_euclid(2.0 * PI)
            } / 2.0;
            let mid = Piece::arc_about(centre, at, half).to();
            lines.push(format!("{way} X{:.6} Y{:.6} I{i:.6} J{j:.6}", mid.x, mid.y));
            let (i, j) = (centre.x - mid.x, centre.y - mid.y);
            lines.push(format!("{way} X{:.3} Y{:.3} I{i:.6} J{j:.6}", to.x, to.y));
            at = to;
            continue;
        }
        lines.push(line.clone());
        at = to;
    }
    assert!(case.lines.len() + 100 < lines.len(), "many lines were split");
    case.passes(&lines, "split");
}

#[test]
fn the_digest_holds_text_and_promise() {
    let case = Case::square();
    let digest = |case: &Case, lines: &[String]| {
        case.judge(lines).expect("it proves").digest().to_owned()
    };
    let first = digest(&case, &case.lines);
    assert_eq!(first, digest(&case, &case.lines), "the same twice");
    let lower: Vec<String> = case.lines.iter().map(|line| line.to_lowercase()).collect();
    assert_ne!(first, digest(&case, &lower), "another text");
    let mut promise = case.promise.clone();
    promise.machine.rpm += 1.0;
    let other = Case { lines: case.lines.clone(), promise };
    assert_ne!(first, digest(&other, &case.lines), "another promise");
    assert_eq!(first.len(), 64, "sha-256 in hexadecimal");
}

#[test]
fn a_straight_edge_left_standing_beside_a_cusp_is_caught() {
    let case = Case::new(vec![lobe_against_a_wall()], "iso-mm");
    // Along x = 150: the blank starts 15 mm before the part, the mill is 3 mm beside the wall.
    let wall = |line: &str| {
        number(line, 'X').is_some_and(|x| (x - 118.0).abs() < 0.005)
            && number(line, 'Y') == Some(165.0)
    };
    let on = last_lap(&case).into_iter().find(|&index| wall(&case.lines[index]));
    let index = on.expect("it goes along the wall");
    for off in ["X118.030", "X118.500"] {
        let new = [format!("G1 {off}"), format!("G1 {off} Y165.000")];
        let new = [&new[..], &one(&case.lines[index])].concat();
        let verdict = case.caught(index, &new, "it stands off the wall");
        let seen = verdict.breaks(Rule::Leftover) || verdict.breaks(Rule::Tabs);
        assert!(seen && !verdict.breaks(Rule::Legal), "{off}: {verdict:?}");
    }
}

//! What a program says of itself and how far it may go: its box, its turns, its depth, its place.

use super::*;
use crate::prove::{Rule, judge};
use crate::read::Bottom;

/// A board with a hump on it, its arc reaching farther than its ends.
fn hump() -> Loop {
    let at = Point::new;
    let (right, left, centre) = (at(300.0, 60.0), at(0.0, 60.0), at(150.0, -140.0));
    let sweep = (right - centre).turn_to(left - centre);
    Loop::new(vec![
        Piece::line(at(0.0, 0.0), at(300.0, 0.0)),
        Piece::line(at(300.0, 0.0), right),
        Piece::Arc { from: right, to: left, centre, sweep },
        Piece::line(left, at(0.0, 0.0)),
    ])
}

/// The program for the board, and what it is judged by.
fn made(choose: impl Fn(&mut Machine)) -> (ProvedProgram, Promise) {
    let mut machine = machine(6.0);
    choose(&mut machine);
    let shop = shop(machine);
    let plan = plan(vec![part(vec![hump(), hole(150.0, 50.0, 15.0)])]);
    let dialect = post("iso-mm");
    let proved = template_program(&plan, &shop, &dialect, "abc123").expect("it proves");
    let machine = shop.machine.as_ref().expect("there is one");
    let lay = lay(&plan.parts, machine, shop.paper).expect("it can be laid");
    let promise = promise(&plan.parts, &shop, (machine, &lay), &dialect);
    (proved, promise)
}

/// The rules a text breaks.
fn broken(text: &str, promise: &Promise) -> Vec<Rule> {
    judge(&[text], promise).faults().iter().map(|fault| fault.rule).collect()
}

#[test]
fn header_air_pass_and_proof_have_one_box() {
    let (proved, _) = made(|machine| machine.air_pass = true);
    let travel = proved.figures().travel;
    let text = proved.text();
    let told = |axis: &str, low: f64, high: f64| {
        let line = text.lines().find(|line| line.starts_with(&format!("({axis} ")));
        let line = line.expect("the header tells").trim_matches(['(', ')']);
        let ends: Vec<f64> =
            line.split(' ').filter_map(|word| word.parse().ok()).collect();
        assert!((ends[0] - low).abs() < 0.002, "{line}: {low}");
        assert!((ends[1] - high).abs() < 0.002, "{line}: {high}");
    };
    told("X", travel.low.x, travel.high.x);
    told("Y", travel.low.y, travel.high.y);
    let air = format!("Y{:.3}", travel.high.y);
    let before = text.split("\nS16000").next().unwrap_or_default();
    assert!(before.contains(&air), "the hump is shown in the air: {air} in {before}");
    assert!(126.0 < travel.high.y, "the hump is 125 high: {travel:?}");
}

#[test]
fn a_hole_of_the_small_mills_own_width_is_bored() {
    let mut machine = machine(6.0);
    machine.small_mill = Diameter::new(Mm::of(3.0));
    let plan = plan(vec![part(vec![hump(), hole(50.0, 50.0, 1.5)])]);
    let proved = template_program(&plan, &shop(machine), &post("iso-mm"), "abc123");
    let proved = proved.unwrap_or_else(|failure| panic!("{failure:#?}"));
    let small = &proved.texts()[0];
    let centre = "G0 X65.000 Y65.000\nG1 Z-2.460";
    assert!(small.contains(centre), "it goes there first: {small}");
}

#[test]
fn turns_are_the_jobs_from_the_start_to_the_end() {
    let (proved, promise) = made(|_| ());
    let text = proved.text();
    for speed in ["S100", "S8000", "S24000"] {
        let at_start = text.replace("S16000", speed);
        assert_eq!(broken(&at_start, &promise), [Rule::Spindle], "{speed} at the start");
        let on_the_way =
            text.replacen("\nG1 Z0.500", &format!("\n{speed}\nG1 Z0.500"), 1);
        assert_eq!(broken(&on_the_way, &promise), [Rule::Spindle], "{speed} on the way");
    }
    let again = text.replacen("\nG1 Z0.500", "\nS16000\nG1 Z0.500", 1);
    assert!(broken(&again, &promise).is_empty(), "the same turns again");
}

#[test]
fn the_nut_stays_above_the_blank() {
    let (proved, mut promise) = made(|_| ());
    promise.machine.holder.stick_out = Mm::of(12.2);
    assert_eq!(broken(proved.text(), &promise), [Rule::Depth], "12.3 deep");
    promise.machine.holder.stick_out = Mm::of(12.4);
    assert!(broken(proved.text(), &promise).is_empty(), "it stands out far enough");
}

#[test]
fn a_way_far_outside_the_blank_is_caught() {
    let (proved, promise) = made(|_| ());
    let text = proved.text();
    let is_lap = |line: &&str| line.starts_with("G1 X") && !line.contains('Z');
    let lap = text.lines().rfind(is_lap).expect("a lap on the level");
    let words: Vec<&str> = lap.split(' ').collect();
    let stray =
        |x: f64| text.replacen(lap, &format!("{lap}\nG1 X{x} {}\n{lap}", words[2]), 1);
    let far = broken(&stray(2150.0), &promise);
    assert!(far.contains(&Rule::Envelope), "2 m off, in the wood: {far:?}");
    let travel = |place: &str| {
        let travels = text.match_indices("\nG0 X").nth(1).expect("a second travel").0;
        format!("{}\nG0 {place}{}", &text[..travels], &text[travels..])
    };
    let parked = broken(&travel("X-900.000 Y-900.000"), &promise);
    assert_eq!(parked, [Rule::Envelope], "it travels 900 mm away");
    assert!(broken(&travel("X-100.000 Y0.000"), &promise).is_empty(), "a place to park");
}

#[test]
fn what_rounds_corners_and_what_stands_before_the_first_letter_is_told() {
    let (proved, promise) = made(|_| ());
    let text = proved.text();
    let rounding = text.replace("G54\n", "G54\nG64 P1\n");
    assert_eq!(broken(&rounding, &promise), [Rule::Legal], "G64 with P");
    assert!(broken(&text.replace("G54\n", "G54\nG61\n"), &promise).is_empty(), "G61");
    let marked = format!("\u{feff}{text}");
    let faults = judge(&[&marked], &promise).legal;
    let [fault] = &faults[..] else { panic!("one fault: {faults:?}") };
    assert!(fault.text.contains("byte-order mark") && fault.line == 1, "{fault:?}");
}

/// A program all of whose cuts are so much higher.
fn higher(text: &str, by: f64) -> String {
    let word = |word: &str| match word.strip_prefix('Z').map(str::parse::<f64>) {
        Some(Ok(z)) if z < 0.0 => format!("Z{:.3}", z + by),
        _ => word.to_owned(),
    };
    let line = |line: &str| line.split(' ').map(word).collect::<Vec<_>>().join(" ");
    text.lines().map(|one| line(one) + "\n").collect()
}

#[test]
fn a_program_that_is_not_deep_enough_is_told_as_that_alone_and_by_how_much() {
    for bottom in [Bottom::Through, Bottom::Skin] {
        let (proved, promise) = made(|machine| machine.bottom = bottom);
        for short in [0.05, 0.6] {
            let text = higher(proved.text(), short);
            let faults = judge(&[&text], &promise).faults();
            let [only] = &faults[..] else { panic!("{short}: that alone: {faults:#?}") };
            let by = format!("{} short", Paper::MM.fine(short));
            assert!(only.rule == Rule::Leftover && only.text.contains(&by), "{only:?}");
            assert!(only.text.contains("along 2 edges"), "each of them: {only:?}");
        }
    }
}

//! What a person may choose: a skin instead of tabs, a pass in the air, a scratch.

use super::*;
use crate::read::Bottom;

fn plate() -> Vec<Loop> {
    let plate = polygon(&[(0.0, 0.0), (200.0, 0.0), (200.0, 150.0), (0.0, 150.0)]);
    vec![plate, hole(60.0, 75.0, 30.0), hole(150.0, 30.0, 3.0), hole(150.0, 120.0, 3.0)]
}

fn chosen(choose: impl Fn(&mut Machine)) -> ProvedProgram {
    let mut machine = machine(6.0);
    choose(&mut machine);
    let plan = plan(vec![part(plate())]);
    let proved = template_program(&plan, &shop(machine), &post("iso-mm"), "abc123");
    proved.unwrap_or_else(|failure| panic!("{failure:#?}"))
}

fn at(line: &str, letter: char) -> Option<f64> {
    line.split(' ').find_map(|word| word.strip_prefix(letter)?.parse().ok())
}

#[test]
fn on_a_skin_nothing_is_cut_through_and_there_are_no_tabs() {
    let proved = chosen(|machine| machine.bottom = Bottom::Skin);
    assert!(proved.figures().tabs.is_empty(), "the skin holds");
    assert!((proved.figures().deepest + 11.5).abs() < 1e-9, "12 mm less the skin");
    let thicker = chosen(|machine| {
        machine.bottom = Bottom::Skin;
        machine.skin = Mm::of(1.0);
    });
    assert!((thicker.figures().deepest + 11.0).abs() < 1e-9, "a skin of 1 mm");
    assert!(proved.notes().is_empty(), "it was asked for: {:?}", proved.notes());
}

#[test]
fn how_far_it_goes_into_the_waste_board_is_a_choice() {
    let proved = chosen(|machine| machine.through = Mm::of(0.8));
    assert!((proved.figures().deepest + 12.8).abs() < 1e-9, "0.8 below the blank");
}

#[test]
fn the_box_is_shown_in_the_air_before_the_spindle_starts() {
    let proved = chosen(|machine| machine.air_pass = true);
    let lines = proved.text().lines().take_while(|line| !line.starts_with('S'));
    let places: Vec<_> = lines
        .filter(|line| line.starts_with("G0 X"))
        .map(|line| (at(line, 'X').expect("X"), at(line, 'Y').expect("Y")))
        .collect();
    assert_eq!(places.len(), 5, "four corners and back");
    let travel = proved.figures().travel;
    assert!((places[0].0 - travel.low.x).abs() < 0.002, "{places:?}");
    assert!((places[2].1 - travel.high.y).abs() < 0.002, "{places:?}");
}

#[test]
fn a_scratch_comes_first_and_is_shallow() {
    let proved = chosen(|machine| machine.scratch_pass = true);
    let first = proved.text().split("G0 Z15.000").nth(1).expect("a first cut");
    let deepest = first.lines().filter_map(|line| at(line, 'Z')).fold(0.0, f64::min);
    assert!((deepest + 0.3).abs() < 1e-9, "{deepest}");
    assert!(first.lines().count() > 4, "a lap: {first}");
}

#[test]
fn a_bore_is_lifted_to_clear_its_chips() {
    let text = chosen(|_| ()).text().to_owned();
    let bores = text.matches("G1 Z0.500\nG1 Z-12.300").count();
    let pecks = text.matches("Z0.500").count();
    assert!(4 <= pecks, "two bores, each lifted twice, and the cuts: {text}");
    assert!(bores <= 2, "the last peck ends at the bottom");
    let last_bore = text.rfind("G1 Z-8.200").expect("a second peck");
    assert!(text[..last_bore].contains("G1 Z-4.100"), "even pecks");
}

#[test]
fn tabs_are_as_wide_and_as_high_as_asked() {
    let proved = chosen(|machine| {
        machine.tab_neck = Mm::of(8.0);
        machine.tab_high = Mm::of(3.0);
    });
    assert!(4 <= proved.figures().tabs.len(), "they are promised and found");
    let text = proved.text();
    assert!(text.contains("G1 Z-9.000\n"), "3 mm above the underside: {text}");
    assert!(!text.contains("G1 Z-10.000\n"), "not 2");
}

#[test]
fn every_way_a_controller_wants_its_words_is_written_and_proves() {
    let mut dialect = post("iso-mm");
    dialect.percent = true;
    dialect.comments = crate::post::Comments::None;
    dialect.rapids = crate::post::Rapids::LastFeed;
    let shop = shop(machine(6.0));
    let plan = plan(vec![part(plate())]);
    let proved = template_program(&plan, &shop, &dialect, "abc123");
    let proved = proved.unwrap_or_else(|failure| panic!("{failure:#?}"));
    let text = proved.text();
    assert!(text.starts_with("%\n") && text.ends_with("M2\n%\n"), "between two %");
    assert!(!text.contains('('), "no comments");
    let rapids: Vec<&str> = text.lines().filter(|line| line.starts_with("G0 ")).collect();
    assert!(4 < rapids.len(), "it travels");
    assert!(rapids.iter().all(|line| line.contains(" F")), "each with its rate");
    assert!(rapids.iter().any(|line| line.ends_with("F3000")), "sideways");
}

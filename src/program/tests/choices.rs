//! What a person may choose: a skin instead of tabs, a pass in the air, a scratch.

use super::*;
use crate::geom::Bounds;
use crate::prove::{Fault, Rule, judge};
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

/// Basis: geometry: a disc of 150 mm, cut in two arcs, reaches out of their ends on two sides.
#[test]
fn the_box_holds_what_arcs_reach_out_to() {
    let machine = Machine { air_pass: true, ..machine(6.0) };
    let disc = hole(80.0, 80.0, 75.0).reversed();
    let plan = plan(vec![part(vec![disc])]);
    let proved = template_program(&plan, &shop(machine), &post("iso-mm"), "abc123");
    let proved = proved.expect("it proves");
    let lines = proved.text().lines().take_while(|line| !line.starts_with('S'));
    let shown: Bounds = lines
        .filter(|line| line.starts_with("G0 X"))
        .map(|line| (at(line, 'X').expect("X"), at(line, 'Y').expect("Y")))
        .fold(Bounds::EMPTY, |all, (x, y)| all.with(Point::new(x, y)));
    let due = 150.0 + 6.0;
    for (size, wide) in [("X", shown.width()), ("Y", shown.height())] {
        assert!((due..due + 2.0).contains(&(wide + 0.002)), "{size}: {wide} of {due}");
    }
    let travel = proved.figures().travel;
    assert!((shown.high.y - travel.high.y).abs() < 0.002, "{shown:?} and {travel:?}");
    let said = proved
        .text()
        .lines()
        .find_map(|line| line.strip_prefix("(Y ")?.strip_suffix(')'));
    let (low, high) = said.and_then(|said| said.split_once(" to ")).expect("it says so");
    for (said, due) in [(low, travel.low.y), (high, travel.high.y)] {
        let said: f64 = said.parse().expect("a number");
        assert!((said - due).abs() < 0.002, "{said} is not {due}");
    }
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

/// Programs for the plate with marks, by these tools.
fn marked(choose: impl Fn(&mut Machine), post_name: &str) -> ProvedProgram {
    let mut machine = machine(6.0);
    machine.scribe = true;
    choose(&mut machine);
    let loops = [plate(), vec![hole(170.0, 75.0, 2.0), hole(120.0, 110.0, 2.0)]].concat();
    let plan = plan(vec![part(loops)]);
    let proved = template_program(&plan, &shop(machine), &post(post_name), "abc123");
    proved.unwrap_or_else(|failure| panic!("{failure:#?}"))
}

fn diameter(mm: f64) -> Option<Diameter> {
    Diameter::new(Mm::of(mm))
}

#[test]
fn a_point_scribes_first_then_the_smaller_mill_cuts_what_the_other_cannot() {
    use crate::shop::Tool;
    let by_all = |machine: &mut Machine| {
        machine.scribe_point = diameter(0.5);
        machine.small_mill = diameter(3.0);
    };
    for name in ["iso-mm", "iso-inch", "iso-mm-lines"] {
        let proved = marked(by_all, name);
        let tools: Vec<Tool> = proved.tools().iter().map(|tool| tool.0).collect();
        assert_eq!(tools, [Tool::Point, Tool::SmallMill, Tool::EndMill], "{name}");
        let deepest = |text: &str| {
            let program = crate::prove::read(text).expect("it is legal");
            program.moves().map(|step| step.end()[2]).fold(f64::INFINITY, f64::min)
        };
        let depths: Vec<f64> = proved.texts().iter().map(|text| deepest(text)).collect();
        assert!((depths[0] + 0.3).abs() < 0.002, "{name}: marks are shallow: {depths:?}");
        assert!(depths[1] < -12.0 && depths[2] < -12.0, "{name}: both go through");
    }
}

#[test]
fn without_a_smaller_mill_the_centres_of_small_holes_are_marked() {
    let proved = marked(|machine| machine.scribe = false, "iso-mm");
    assert_eq!(proved.texts().len(), 1, "one tool");
    for centre in ["X185.000 Y90.000", "X135.000 Y125.000"] {
        let mark = format!("G0 {centre}\nG1 Z0.500\nG1 Z-0.300\nG0 Z15.000");
        let found = proved.text().contains(&mark)
            || proved.text().contains(&mark.replace("Z0.500", "Z0.500 F300"));
        assert!(found, "{centre}: {}", &proved.text()[..900]);
    }
}

#[test]
fn marks_that_go_deeper_or_nearer_to_an_edge_or_elsewhere_are_gouges() {
    let mut machine = machine(6.0);
    machine.scribe = true;
    machine.scribe_point = diameter(0.5);
    let plan = plan(vec![part(plate())]);
    let shop = shop(machine);
    let dialect = post("iso-mm");
    let proved = template_program(&plan, &shop, &dialect, "abc123").expect("it proves");
    let machine = shop.machine.as_ref().expect("there is one");
    let lay = lay(&plan.parts, machine, shop.paper).expect("it can be laid");
    let promise = promise(&plan.parts, &shop, (machine, &lay), &dialect);
    let judged = |from: &str, to: &str| {
        let [scribed, cut] = proved.texts() else { panic!("two programs") };
        assert!(scribed.contains(from), "{from} in {scribed}");
        let changed = scribed.replacen(from, to, 1);
        judge(&[&changed, cut], &promise).faults()
    };
    assert!(judged("M3", "M3").is_empty(), "unchanged it is right");
    let rules = |from: &str, to: &str| {
        judged(from, to).iter().map(|fault| fault.rule).collect::<Vec<_>>()
    };
    assert_eq!(rules("G1 Z-0.300", "G1 Z-0.310")[0], Rule::Gouge, "deeper");
    let first = proved.texts()[0].lines().skip_while(|line| *line != "G1 Z-0.300");
    let line = first.skip(1).find(|line| line.starts_with("G1 X")).expect("a line");
    for (to, why) in [
        ("G1 X16.400 Y90.000", "too near to the edge"),
        ("G1 X5.000 Y90.000", "over the edge"),
        ("G1 X75.000 Y90.000", "over an opening"),
    ] {
        assert!(rules(line, to).contains(&Rule::Gouge), "{why}");
    }
    let one = judge(&[&proved.texts()[1]], &promise).faults();
    assert_eq!(one[0].rule, Rule::Legal, "one program is missing: {one:?}");
    let [scribed, cut] = proved.texts() else { panic!("two programs") };
    let turned = judge(&[cut, scribed], &promise).faults();
    let told = |faults: &[Fault], what: &str| {
        let [only] = faults else { panic!("{what} alone: {faults:?}") };
        assert!(only.text.contains(what), "{only:?}");
    };
    told(&turned, "wrong order");
    let spoilt = scribed.replacen("G1 Z-0.300", "G1 Z-0.310", 1);
    let both = judge(&[cut, &spoilt], &promise).faults();
    let spoils = |fault: &Fault| fault.rule == Rule::Gouge;
    assert!(both.iter().any(spoils), "what is wrong besides is not hidden: {both:?}");
    told(&judge(&[cut, cut], &promise).faults(), "given twice");
    told(&one, "first that of the scribing point, then that of the end mill");
}

#[test]
fn a_finishing_lap_that_climbs_goes_the_other_way_and_proves() {
    let way = |climb: bool, name: &str| {
        let mut machine = machine(6.0);
        if climb {
            machine.finish = crate::shop::LapWay::Climb;
        }
        let plan = plan(vec![part(plate())]);
        let proved = template_program(&plan, &shop(machine), &post(name), "abc123");
        proved.unwrap_or_else(|failure| panic!("{climb}, {name}: {failure:#?}"))
    };
    for name in ["iso-mm", "iso-inch-lines"] {
        let finish = |climb: bool| {
            let proved = way(climb, name);
            let text = proved.text();
            let last = text.rfind("G0 ").expect("it travels");
            let first = text[..last].rfind("G0 X").expect("to the outside");
            text[first..last].to_owned()
        };
        // On the last level the outside is gone round once more, at X 12 or 0.4724 inches.
        let up = |text: &str| {
            let wall = if name == "iso-mm" { "X12.000 " } else { "X0.4724 " };
            let on_wall =
                |line: &str| line.split_once(wall).and_then(|(_, rest)| at(rest, 'Y'));
            let all: Vec<f64> = text.lines().filter_map(on_wall).collect();
            all[0] < all[all.len() - 1]
        };
        assert!(
            !up(&finish(false)),
            "{name}: the wood on the left, down on the left side"
        );
        assert!(up(&finish(true)), "{name}: the wood on the right, up on it");
    }
}

fn recess(ring: Loop, depth: f64) -> crate::shop::Recess {
    crate::shop::Recess { name: "handle".to_owned(), ring, depth: Mm::of(depth) }
}

/// A recess of 30 by 20 on the plate.
fn square_recess() -> Loop {
    polygon(&[(100.0, 60.0), (100.0, 80.0), (130.0, 80.0), (130.0, 60.0)])
}

#[test]
fn a_recess_is_cleared_to_its_depth_and_proves_in_every_post() {
    for name in ["iso-mm", "iso-inch", "iso-mm-lines"] {
        for ring in [square_recess(), hole(115.0, 70.0, 9.0), hole(115.0, 70.0, 20.0)] {
            let mut machine = machine(6.0);
            machine.recesses = vec![recess(ring, 4.0)];
            let plan = plan(vec![part(plate())]);
            let proved = template_program(&plan, &shop(machine), &post(name), "abc123");
            let proved = proved.unwrap_or_else(|failure| panic!("{name}: {failure:#?}"));
            let text = proved.text();
            let floor = if name == "iso-inch" { "Z-0.1575" } else { "Z-4.000" };
            assert!(text.contains(floor), "{name}: down to 4 mm");
        }
    }
}

#[test]
fn a_recess_too_deep_too_small_or_not_cleared_is_told() {
    let mut machine = machine(6.0);
    machine.recesses = vec![recess(square_recess(), 4.0)];
    let plan = plan(vec![part(plate())]);
    let shop = shop(machine);
    let dialect = post("iso-mm");
    let proved = template_program(&plan, &shop, &dialect, "abc123").expect("it proves");
    let machine = shop.machine.as_ref().expect("there is one");
    let lay = lay(&plan.parts, machine, shop.paper).expect("it can be laid");
    let promise = promise(&plan.parts, &shop, (machine, &lay), &dialect);
    let rules = |text: &str| {
        judge(&[text], &promise)
            .faults()
            .iter()
            .map(|fault| fault.rule)
            .collect::<Vec<_>>()
    };
    assert!(rules(proved.text()).is_empty(), "as it is");
    let deep = proved.text().replace("Z-4.000", "Z-4.200");
    assert!(rules(&deep).contains(&Rule::Gouge), "too deep");
    let (head, cuts) = proved.text().split_once("G0 Z15.000\nS").expect("a head");
    let (cuts, end) = cuts.rsplit_once("G0 Z15.000\n").expect("an end");
    let mut late: Vec<&str> = cuts.split("G0 Z15.000\n").skip(1).collect();
    late.sort_by_key(|cut| cut.contains("Z-4.000"));
    let start = cuts.split("G0 Z15.000\n").next().unwrap_or_default();
    let late = [&[start], &late[..], &[end]].concat().join("G0 Z15.000\n");
    let late = format!("{head}G0 Z15.000\nS{late}");
    assert!(rules(&late).contains(&Rule::Order), "cleared when only tabs hold the part");
    let shallow = proved.text().replace("Z-4.000", "Z-3.800");
    assert!(rules(&shallow).contains(&Rule::Leftover), "not down to it");
    // What is cut from one travel to the next: of the recess, only the last goes round its edge.
    let mut cuts: Vec<&str> = proved.text().split("G0 Z15.000\n").collect();
    let of_recess = |cut: &&str| cut.contains("Z-4.000");
    let count = cuts.iter().filter(|cut| of_recess(cut)).count();
    assert!(1 < count, "it is cleared in rings");
    let mut left = count;
    cuts.retain(|cut| {
        left -= usize::from(of_recess(cut));
        !of_recess(cut) || left == 0
    });
    assert_eq!(rules(&cuts.join("G0 Z15.000\n")), [Rule::Leftover], "its middle stands");
}

#[test]
fn a_recess_that_is_misplaced_is_refused() {
    let misplaced = "recess-misplaced";
    for (ring, depth, why, id) in [
        (hole(300.0, 70.0, 9.0), 4.0, "on no template", misplaced),
        (hole(70.0, 110.0, 9.0), 4.0, "over the edge of an opening", misplaced),
        (hole(5.0, 70.0, 9.0), 4.0, "over the outside", misplaced),
        (hole(115.0, 70.0, 9.0), 11.0, "through", misplaced),
        (hole(115.0, 70.0, 2.8), 4.0, "the mill does not enter", "recess-too-narrow"),
    ] {
        let mut machine = machine(6.0);
        machine.recesses = vec![recess(ring, depth)];
        let plan = plan(vec![part(plate())]);
        let mut shop = shop(machine);
        shop.paper.unit = crate::units::Unit::Inch;
        let refused = template_program(&plan, &shop, &post("iso-mm"), "abc123");
        let failure = refused.expect_err(why);
        let problem = &failure.problems()[0];
        assert_eq!(problem.id, id, "{why}: {failure:?}");
        assert!(!problem.hint.contains(" mm "), "in inches: {}", problem.hint);
    }
}

#[test]
fn the_centre_line_of_a_part_that_is_alike_on_both_sides_is_scribed_and_no_other() {
    let house = |ridge: f64| {
        polygon(&[(0.0, 0.0), (80.0, 0.0), (80.0, 60.0), (ridge, 90.0), (0.0, 60.0)])
    };
    let scribed = |ridge: f64| {
        let mut machine = machine(6.0);
        machine.scribe = true;
        machine.scribe_point = diameter(0.5);
        let (shop, dialect) = (shop(machine), post("iso-mm"));
        let plan = plan(vec![part(vec![house(ridge)])]);
        let proved = template_program(&plan, &shop, &dialect, "abc123");
        let proved = proved.unwrap_or_else(|failure| panic!("{failure:#?}"));
        let middle = 40.0 - proved.figures().work_zero.x;
        let program = crate::prove::read(&proved.texts()[0]).expect("it is legal");
        let on = |at: [f64; 3]| (at[0] - middle).abs() < 0.001 && at[2] < 0.0;
        let along = program.moves().filter(|it| on(it.start()) && on(it.end()));
        along.map(|it| (it.end()[1] - it.start()[1]).abs()).sum::<f64>()
    };
    let long = scribed(40.0);
    assert!((40.0..88.0).contains(&long), "broken at the other marks only: {long}");
    assert!(scribed(44.0) < 10.0, "it is not alike");
}

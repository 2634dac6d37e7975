//! How the mill goes down: bored, by a helix or not at all in round holes, and by ramps that
//! are written in very short moves.

use super::*;
use crate::prove::{Judgement, Rule, judge};

fn small_plate(holes: Vec<Loop>) -> Vec<Loop> {
    let plate = polygon(&[(0.0, 0.0), (70.0, 0.0), (70.0, 50.0), (0.0, 50.0)]);
    [vec![plate], holes].concat()
}

/// The moves of a program within a hole about this place, in the frame of the blank's corner.
fn moves_at(text: &str, corner: Point, centre: Point) -> Vec<([f64; 3], [f64; 3])> {
    let program = crate::prove::read(text).expect("it is legal");
    let near = |at: [f64; 3]| {
        (Point::new(at[0], at[1]) + (corner - Point::default())).distance(centre) < 2.0
    };
    let moves = program.moves().map(|step| (step.start(), step.end()));
    moves.filter(|&(from, to)| near(from) && near(to)).collect()
}

#[test]
fn a_hole_is_bored_only_when_it_is_as_wide_as_the_mill_and_wider_ones_by_a_helix() {
    let centre = Point::new(35.0, 25.0);
    for (over, name, bored) in [
        (-0.04, "iso-mm", Some(true)),
        (0.04, "iso-mm", Some(true)),
        (0.06, "iso-mm", None),
        (0.29, "iso-mm", None),
        (0.31, "iso-mm", Some(false)),
        (0.31, "iso-inch", Some(false)),
        (0.31, "iso-mm-lines", Some(false)),
        (0.31, "iso-inch-lines", Some(false)),
    ] {
        let what = format!("{over} wider, {name}");
        let ring = hole(centre.x, centre.y, 3.0 + over / 2.0);
        let proved = program_of(small_plate(vec![ring]), name);
        let proved = proved.unwrap_or_else(|failure| panic!("{what}: {failure:#?}"));
        let left = proved.notes().iter().any(|note| note.id == "opening-not-cut");
        assert_eq!(left, bored.is_none(), "{what}: told when it is not cut");
        let corner = proved.figures().work_zero;
        let moves = moves_at(proved.text(), corner, centre);
        let lowest = moves.iter().map(|(_, to)| to[2]).fold(0.0, f64::min);
        let straight = moves
            .iter()
            .filter(|(from, to)| from[..2] == to[..2] && to[2] < from[2] && to[2] < -0.5);
        match bored {
            None => assert!((lowest + 0.3).abs() < 0.003, "{what}: marked, {lowest}"),
            Some(bored) => {
                assert!(lowest < -12.29, "{what}: through, {lowest}");
                assert_eq!(0 < straight.count(), bored, "{what}: straight down");
            }
        }
    }
}

/// Basis: geometry: the smallest helix that is cut falls 0.05 mm a turn, less what five moves
/// may round away.
#[test]
fn a_helix_takes_no_more_than_so_many_lines_for_its_depth() {
    let centre = Point::new(35.0, 25.0);
    for over in [0.31, 0.5, 0.61, 1.0, 2.0, 4.0, 5.9] {
        for name in ["iso-mm", "iso-inch-lines"] {
            let ring = hole(centre.x, centre.y, 3.0 + over / 2.0);
            let with = program_of(small_plate(vec![ring]), name).expect("it proves");
            let without = program_of(small_plate(Vec::new()), name).expect("it proves");
            let lines = |proved: &ProvedProgram| proved.text().lines().count();
            let own = lines(&with) - lines(&without);
            assert!(own < 200 * 13, "{over} wider, {name}: {own} lines");
        }
    }
}

/// On the way out from the middle of a hole some ring is as wide as a narrow mill, and there too it
/// goes down.
#[test]
fn a_narrow_mill_clears_holes_of_any_width() {
    for (mill, radius) in [(3.0, 9.0), (2.0, 7.0), (2.0, 2.2), (1.5, 3.0)] {
        let shop = shop(machine(mill));
        let plate = small_plate(vec![hole(35.0, 25.0, radius)]);
        let plan = plan(vec![part(plate)]);
        for name in ["iso-mm", "iso-mm-lines"] {
            let proved = template_program(&plan, &shop, &post(name), "abc123");
            let ids = proved.map_err(|refused| refused.problems()[0].id).err();
            assert_eq!(ids, None, "mill {mill}, radius {radius}, {name}");
        }
    }
}

#[test]
fn an_opening_with_too_little_room_for_a_ramp_is_refused_and_says_so() {
    let square = |wide: f64| {
        let (x, y) = (30.0, 20.0);
        polygon(&[(x, y), (x, y + wide), (x + wide, y + wide), (x + wide, y)])
    };
    let refused = program_of(small_plate(vec![square(6.1)]), "iso-mm");
    let problems = refused.expect_err("a ring of 0.4 mm").problems().to_vec();
    assert_eq!(problems[0].id, "no-ramp");
    let proved = program_of(small_plate(vec![square(6.4)]), "iso-mm");
    let lines = proved.expect("a ring of 1.6 mm").text().lines().count();
    assert!(lines < 2000, "{lines}");
}

#[test]
fn boring_straight_down_in_a_hole_wider_than_the_mill_is_told() {
    let case = |radius: f64| {
        let shop = shop(machine(6.0));
        let plan = plan(vec![part(small_plate(vec![hole(35.0, 25.0, radius)]))]);
        let machine = shop.machine.as_ref().expect("there is one");
        let lay = lay(&plan.parts, machine, shop.paper).expect("it can be laid");
        promise(&plan.parts, &shop, (machine, &lay), &post("iso-mm"))
    };
    let program = program_of(small_plate(vec![hole(35.0, 25.0, 3.0)]), "iso-mm");
    let text = program.expect("it proves").text().to_owned();
    let plunges = |promise: &Promise| {
        let found = judge(&[&text], promise).cut;
        found.iter().any(|fault| {
            fault.rule == Rule::Depth && fault.text.contains("straight down")
        })
    };
    assert!(!plunges(&case(3.0)), "of its own width");
    assert!(plunges(&case(3.2)), "0.4 mm wider");
}

/// A program in which every ramp, and the way before it, is written in moves of 0.02 mm, its
/// slope so many times as steep; and what is thought of it.
fn judged_in_short_moves(steeper: f64) -> Judgement {
    let shop = shop(machine(6.0));
    let plan = plan(vec![part(small_plate(Vec::new()))]);
    let machine = shop.machine.as_ref().expect("there is one");
    let lay = lay(&plan.parts, machine, shop.paper).expect("it can be laid");
    let dialect = post("iso-mm");
    let promise = promise(&plan.parts, &shop, (machine, &lay), &dialect);
    let proved = template_program(&plan, &shop, &dialect, "abc123").expect("it proves");
    let program = crate::prove::read(proved.text()).expect("it is legal");
    let mut lines: Vec<String> = proved.text().lines().map(str::to_owned).collect();
    let mut count = 0;
    for step in program.moves() {
        let (from, to) = (step.start(), step.end());
        let line = &lines[step.line - 1];
        let is_ramp = line.starts_with("G1 X") && to[2] < from[2] && step.arc().is_none();
        if !is_ramp {
            continue;
        }
        let run = libm::hypot(to[0] - from[0], to[1] - from[1]);
        let pieces = (run / 0.02).ceil();
        let feed = line.find(" F").map_or("", |at| &line[at..]).to_owned();
        let at = |n: f64| {
            let share = n / pieces;
            let down = (share * steeper).min(1.0);
            let mix =
                |axis: usize, share: f64| from[axis] + (to[axis] - from[axis]) * share;
            format!("G1 X{:.5} Y{:.5} Z{:.5}", mix(0, share), mix(1, share), mix(2, down))
        };
        let moves = (1u32..).map(f64::from).take_while(|&n| n <= pieces);
        let moves: Vec<String> =
            moves.map(|n| at(n) + if n > 1.0 { "" } else { &feed }).collect();
        lines[step.line - 1] = moves.join("\n");
        count += 1;
    }
    assert!(3 < count, "there are straight ramps: {count}");
    judge(&[&(lines.join("\n") + "\n")], &promise)
}

#[test]
fn a_ramp_in_very_short_moves_is_as_steep_as_all_of_it() {
    let found = judged_in_short_moves(1.0);
    assert!(found.is_right(), "{:#?}", found.faults().iter().take(3).collect::<Vec<_>>());
    let found = judged_in_short_moves(1.5);
    let told = found.cut.iter().any(|fault| fault.rule == Rule::Depth);
    assert!(told, "4.5 degrees: {:#?}", found.faults().first());
}

/// A plate with two holes to drill by hand, 4 mm wide, and its promise; marks as the machine has
/// them.
fn marked(change: impl Fn(&mut Machine)) -> (Vec<String>, Promise) {
    let mut machine = machine(6.0);
    change(&mut machine);
    let shop = shop(machine.clone());
    let holes = vec![hole(20.0, 25.0, 2.0), hole(50.0, 25.0, 2.0)];
    let plan = plan(vec![part(small_plate(holes))]);
    let dialect = post("iso-mm");
    let lay = lay(&plan.parts, &machine, shop.paper).expect("it can be laid");
    let promise = promise(&plan.parts, &shop, (&machine, &lay), &dialect);
    let proved = template_program(&plan, &shop, &dialect, "abc123").expect("it proves");
    (proved.texts()[0].lines().map(str::to_owned).collect(), promise)
}

/// Where the marks of the two holes go down: their lines, and how deep.
fn dimples(lines: &[String], deep: f64) -> Vec<usize> {
    let word = format!("G1 Z-{deep:.3}");
    (0..lines.len()).filter(|&at| lines[at].starts_with(&word)).collect()
}

#[test]
fn the_mark_of_a_hole_is_at_its_centre_and_no_deeper_than_a_dimple() {
    for (scribe, due) in [(0.2, 0.2), (0.3, 0.3), (0.9, 0.3)] {
        let (lines, _) = marked(|machine| machine.scribe_depth = Mm::of(scribe));
        assert_eq!(dimples(&lines, due).len(), 2, "{scribe}: {lines:#?}");
    }
    let (lines, promise) = marked(|_| {});
    let told = |lines: &[String]| {
        let found = judge(&[&(lines.join("\n") + "\n")], &promise);
        found.cut.iter().map(|fault| fault.rule).collect::<Vec<_>>()
    };
    assert_eq!(told(&lines), [], "as it is");
    for at in dimples(&lines, 0.3) {
        let mut missing = lines.clone();
        missing.remove(at);
        assert!(told(&missing).contains(&Rule::Leftover), "one is missing");
        let mut deep = lines.clone();
        deep[at] = deep[at].replace("Z-0.300", "Z-0.320");
        assert!(told(&deep).contains(&Rule::Gouge), "0.02 mm deeper");
        let over =
            (0..at).rev().find(|&at| lines[at].starts_with("G0 X")).expect("a rapid");
        for by in [0.2, -0.2, 0.06] {
            let mut off = lines.clone();
            let (x, rest) = off[over][4..].split_once(' ').expect("X and Y");
            let x: f64 = x.parse().expect("a number");
            off[over] = format!("G0 X{:.3} {rest}", x + by);
            let rules = told(&off);
            let both = rules.contains(&Rule::Gouge) && rules.contains(&Rule::Leftover);
            assert!(both, "{by} off: {rules:?}");
        }
    }
}

/// A point marks as deep as it scribes, at the centre as elsewhere.
#[test]
fn a_scribing_point_marks_the_centres_as_deep_as_its_lines() {
    let (lines, _) = marked(|machine| {
        machine.scribe = true;
        machine.scribe_point = Diameter::new(Mm::of(0.5));
        machine.scribe_depth = Mm::of(0.6);
    });
    assert!(2 <= dimples(&lines, 0.6).len(), "{lines:#?}");
    assert_eq!(dimples(&lines, 0.3).len(), 0, "{lines:#?}");
}

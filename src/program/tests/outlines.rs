//! Programs for outlines of all kinds, in every post and every way to set up the machine.

use super::*;
use crate::diag::Problem;
use crate::geom::Bounds;
use crate::shop::KeepOut;

/// An arc from the last point about a centre, for shapes by hand.
fn bow(centre: (f64, f64), from: (f64, f64), sweep: f64) -> Piece {
    Piece::arc_about(Point::new(centre.0, centre.1), Point::new(from.0, from.1), sweep)
}

/// A slot 80 mm long with round ends, along x: an opening.
fn slot(y: f64, width: f64) -> Loop {
    let (x, length) = (40.0, 80.0);
    let r = width / 2.0;
    let right = bow((x + length, y), (x + length, y + r), -PI);
    let left = bow((x, y), (x, y - r), -PI);
    let (top, low) = (right.from(), right.to());
    Loop::new(vec![
        right,
        Piece::line(low, left.from()),
        left,
        Piece::line(left.to(), top),
    ])
}

fn square(x: f64, y: f64, side: f64) -> Loop {
    polygon(&[(x, y), (x + side, y), (x + side, y + side), (x, y + side)])
}

/// One post of every kind.
const POSTS: [&str; 5] =
    ["iso-mm", "iso-inch", "iso-mm-lines", "iso-inch-lines", "iso-mm-hand"];

/// Outlines with a name each.
fn outlines() -> Vec<(&'static str, Vec<Loop>)> {
    let plate = || polygon(&[(0.0, 0.0), (200.0, 0.0), (200.0, 150.0), (0.0, 150.0)]);
    let with = |openings: Vec<Loop>| [vec![plate()], openings].concat();
    let wide = || hole(100.0, 75.0, 50.0);
    vec![
        ("notched square", vec![notched()]),
        ("disc", vec![hole(0.0, 0.0, 60.0).reversed()]),
        ("small part on its skin", vec![square(0.0, 0.0, 14.0)]),
        ("big round opening", with(vec![hole(80.0, 70.0, 40.0)])),
        (
            "small round openings",
            with(vec![hole(50.0, 70.0, 4.0), hole(100.0, 70.0, 9.9)]),
        ),
        (
            "holes to drill",
            with(
                [(50.0, 3.0), (100.0, 2.0), (150.0, 3.02)]
                    .map(|(x, r)| hole(x, 70.0, r))
                    .to_vec(),
            ),
        ),
        ("slots", with(vec![slot(40.0, 8.0), slot(80.0, 14.0), slot(110.0, 6.4)])),
        ("a slot of the mill's own width", with(vec![slot(75.0, 6.0)])),
        ("square opening", with(vec![square(50.0, 50.0, 40.0).reversed()])),
        ("small square opening", with(vec![square(50.0, 50.0, 12.0).reversed()])),
        (
            "an opening hardly wider than the mill",
            with(vec![polygon(&[
                (60.0, 50.0),
                (60.0, 57.2),
                (67.4, 57.2),
                (67.4, 50.0),
            ])]),
        ),
        (
            "a counter with three sides",
            with(vec![polygon(&[(60.0, 50.0), (30.0, 50.0), (60.0, 90.0)])]),
        ),
        ("opening with an island", with(vec![wide(), square(90.0, 65.0, 25.0)])),
        ("an island near its wall", with(vec![wide(), square(90.0, 84.0, 25.0)])),
        ("bay with a mouth of 4 mm", vec![bay(2.0)]),
        ("bay with a mouth of 7 mm", vec![bay(3.5)]),
    ]
}

/// A plate with a bay of 60 by 40 behind a narrow mouth, twice `half` wide.
fn bay(half: f64) -> Loop {
    polygon(&[
        (0.0, 0.0),
        (120.0, 0.0),
        (120.0, 80.0),
        (60.0 + half, 80.0),
        (60.0 + half, 60.0),
        (90.0, 60.0),
        (90.0, 20.0),
        (30.0, 20.0),
        (30.0, 60.0),
        (60.0 - half, 60.0),
        (60.0 - half, 80.0),
        (0.0, 80.0),
    ])
}

#[test]
fn outlines_of_all_kinds_prove_in_every_post() {
    for (what, loops) in outlines() {
        for name in POSTS {
            let proved = program_of(loops.clone(), name);
            let proved =
                proved.unwrap_or_else(|failure| panic!("{what}, {name}: {failure:#?}"));
            let figures = proved.figures();
            assert!(figures.gouge <= 0.01, "{what}, {name}: {figures:?}");
            assert!(figures.leftover <= 0.01, "{what}, {name}: {figures:?}");
            let deepest = if what.contains("skin") { -11.5 } else { -12.3 };
            assert!(
                (figures.deepest - deepest).abs() < 0.01,
                "{what}, {name}: {figures:?}"
            );
            let longest = proved.text().lines().map(str::len).max();
            assert!(longest <= Some(70), "{what}, {name}: short lines");
            assert!(proved.text().is_ascii(), "{what}, {name}: plain text");
        }
    }
}

#[test]
fn tabs_stand_where_there_is_length_for_them() {
    for (what, tabs) in [
        ("notched square", 4),
        ("disc", 4),
        ("small part on its skin", 0),
        ("big round opening", 8),
        ("slots", 4),
        ("square opening", 7),
    ] {
        let loops =
            outlines().into_iter().find(|one| one.0 == what).expect("it is there").1;
        let proved =
            program_of(loops, "iso-mm").unwrap_or_else(|f| panic!("{what}: {f:#?}"));
        assert_eq!(proved.figures().tabs.len(), tabs, "{what}");
    }
}

#[test]
fn what_is_not_cut_is_said() {
    let loops =
        outlines().into_iter().find(|one| one.0 == "holes to drill").expect("there").1;
    let proved = program_of(loops, "iso-mm").expect("it proves");
    let ids: Vec<_> = proved.notes().iter().map(|note| note.id).collect();
    assert_eq!(ids, ["opening-not-cut"], "the 4 mm hole, not those of 6 and 6.04 mm");
}

/// The program for one part in a shop.
fn program_in(
    shop: &Shop,
    parts: Vec<Part>,
    dialect: &Dialect,
) -> Result<ProvedProgram, Failure> {
    template_program(&plan(parts), shop, dialect, "abc123")
}

#[test]
fn zero_and_blank_are_where_they_were_asked_for() {
    for (zero, z_zero, work_zero, deepest) in [
        (WorkZero::Corner, ZZero::Top, Point::new(-25.0, -20.0), -12.3),
        (WorkZero::Centre, ZZero::Top, Point::new(50.0, 50.0), -12.3),
        (WorkZero::Centre, ZZero::Table, Point::new(50.0, 50.0), -0.3),
    ] {
        let blank = Some((Mm::of(150.0), Mm::of(140.0)));
        let shop = shop(Machine { blank, zero, z_zero, ..machine(6.35) });
        let proved = program_in(&shop, vec![part(vec![notched()])], &post("iso-mm"));
        let proved =
            proved.unwrap_or_else(|failure| panic!("{zero:?} {z_zero:?}: {failure:#?}"));
        let figures = proved.figures();
        assert!(figures.work_zero.distance(work_zero) < 1e-9, "{figures:?}");
        assert!((figures.deepest - deepest).abs() < 0.01, "{figures:?}");
    }
}

#[test]
fn an_island_that_nothing_would_hold_is_refused() {
    let loops = vec![notched(), hole(30.0, 30.0, 10.4), square(29.0, 29.0, 2.0)];
    let failure = program_of(loops, "iso-mm").expect_err("the island would fly");
    let ids: Vec<_> = failure.problems().iter().map(|problem| problem.id).collect();
    assert!(ids.contains(&"program-loose"), "{ids:?}");
}

fn refusal(failure: &Failure) -> &Problem {
    assert!(matches!(failure, Failure::Refused(_)), "{failure:?}");
    &failure.problems()[0]
}

#[test]
fn a_blank_that_is_too_small_is_refused_with_both_sizes() {
    let blank = Some((Mm::of(110.0), Mm::of(140.0)));
    let mut shop = shop(Machine { blank, ..machine(6.0) });
    let failure = program_in(&shop, vec![part(vec![notched()])], &post("iso-mm"));
    let failure = failure.expect_err("it is too small");
    let problem = refusal(&failure);
    assert_eq!(problem.id, "blank-too-small", "{problem:?}");
    assert!(problem.found.contains("110 mm by 140 mm"), "{problem:?}");
    assert!(problem.expected.contains("116 mm by 116 mm"), "{problem:?}");
    shop.paper.unit = crate::units::Unit::Inch;
    let failure = program_in(&shop, vec![part(vec![notched()])], &post("iso-inch"));
    let failure = failure.expect_err("it is as small in inches");
    let problem = refusal(&failure);
    assert!(problem.found.contains("4.331 in by 5.512 in"), "{problem:?}");
    assert!(!problem.expected.contains("mm"), "one unit: {problem:?}");
}

#[test]
fn halves_that_share_a_line_are_laid_apart() {
    let half =
        |x: f64| polygon(&[(x, 0.0), (x + 80.0, 0.0), (x + 80.0, 50.0), (x, 50.0)]);
    let parts = vec![part(vec![half(0.0)]), part(vec![half(80.0)])];
    let shop = shop(machine(6.0));
    let proved = program_in(&shop, parts, &post("iso-mm")).expect("it proves");
    assert_eq!(proved.figures().tabs.len(), 8, "four tabs each");
    assert!(100.0 < proved.figures().travel.height(), "one above the other");
}

#[test]
fn a_template_set_in_or_out_is_judged_by_the_drawing_as_read() {
    let arch = || {
        let bow = Piece::arc_about(Point::new(60.0, 0.0), Point::new(90.0, 0.0), PI);
        let at = Point::new;
        Loop::new(vec![
            Piece::line(at(0.0, 0.0), at(30.0, 0.0)),
            bow.reversed(),
            Piece::line(at(90.0, 0.0), at(120.0, 0.0)),
            Piece::line(at(120.0, 0.0), at(120.0, 60.0)),
            Piece::line(at(120.0, 60.0), at(0.0, 60.0)),
            Piece::line(at(0.0, 60.0), at(0.0, 0.0)),
        ])
    };
    for (loops, by) in [
        (vec![notched()], -0.8),
        (vec![notched()], -3.175),
        (vec![notched(), hole(30.0, 30.0, 15.0)], -1.5),
        (vec![arch()], -1.5),
        (vec![arch()], -8.0),
        (vec![arch()], 1.5),
    ] {
        let mut part = part(loops.clone());
        part.template = crate::geom::offset_loops(&loops, by).expect("it can be set");
        part.template_offset = by;
        let shop = shop(machine(6.0));
        let proved = program_in(&shop, vec![part], &post("iso-mm"));
        proved.unwrap_or_else(|failure| panic!("{by}: {failure:#?}"));
    }
}

#[test]
fn a_template_set_in_by_the_wrong_amount_does_not_prove() {
    let mut part = part(vec![notched()]);
    part.template =
        crate::geom::offset_loops(&[notched()], -0.8).expect("it can be set in");
    part.template_offset = -0.82;
    let shop = shop(machine(6.0));
    let failure = program_in(&shop, vec![part.clone()], &post("iso-mm"));
    assert_eq!(
        refusal(&failure.expect_err("too big")).id,
        "program-leftover",
        "20 um too big"
    );
    part.template_offset = -0.78;
    let failure = program_in(&shop, vec![part], &post("iso-mm"));
    let ids: Vec<_> =
        failure.expect_err("too small").problems().iter().map(|p| p.id).collect();
    assert!(ids.contains(&"program-gouge"), "20 um too small: {ids:?}");
}

#[test]
fn pins_and_hang_hole_are_cut_with_the_template() {
    use crate::read::Extra;
    let at = Point::new(20.0, 20.0);
    let pin =
        Extra::Pin { at, diameter: Diameter::new(Mm::of(8.0)).expect("more than zero") };
    let mut shop = shop(machine(6.0));
    shop.template.extras = vec![pin];
    let mut part = part(vec![notched()]);
    part.template.push(hole(20.0, 20.0, 4.0));
    program_in(&shop, vec![part.clone()], &post("iso-mm")).expect("it proves");
    part.template.pop();
    let failure = program_in(&shop, vec![part], &post("iso-mm"));
    assert!(failure.is_ok(), "a part that has no pin is not asked for one");
}

#[test]
fn a_router_switched_by_hand_and_numbered_lines() {
    let mut dialect = post("iso-mm");
    dialect.spindle = crate::post::Spindle::ByHand;
    dialect.line_numbers = true;
    dialect.end = crate::post::End::M30;
    let shop = shop(machine(6.0));
    let proved =
        program_in(&shop, vec![part(vec![notched()])], &dialect).expect("it proves");
    let text = proved.text();
    assert!(
        !text.contains("M3\n") && text.contains("M0\n"),
        "it stops to be switched on"
    );
    assert!(text.lines().all(|line| line.starts_with('N')), "every line is numbered");
    assert!(text.ends_with("M30\n"), "the end word asked for");
}

#[test]
fn mm_inch_and_lines_only_cut_the_same() {
    for (what, loops) in outlines() {
        let lengths: Vec<f64> = POSTS[..4]
            .iter()
            .map(|name| {
                let proved = program_of(loops.clone(), name).expect("it proves");
                assert!(
                    proved.figures().gouge <= 0.01,
                    "{what}, {name}: within 0.01 of the edge"
                );
                assert!(
                    proved.figures().leftover <= 0.01,
                    "{what}, {name}: within 0.01 of it"
                );
                proved.figures().travel.width()
            })
            .collect();
        let (least, most) =
            lengths.iter().fold((f64::MAX, 0.0f64), |(a, b), &x| (a.min(x), b.max(x)));
        assert!(most - least < 0.01, "{what}: {lengths:?}");
    }
}

/// A ring of so many straight lines.
fn ring_of_lines(count: u32) -> Loop {
    let step = 2.0 * PI / f64::from(count);
    let corner = |n: u32| {
        let turn = step * f64::from(n);
        (100.0 * libm::cos(turn), 100.0 * libm::sin(turn))
    };
    polygon(&(0..count).map(corner).collect::<Vec<_>>())
}

#[test]
fn curves_drawn_in_short_lines_get_their_tabs() {
    for count in [72, 144, 720] {
        for mill in [3.0, 6.0] {
            let opening = Loop::polygon(
                &ring_of_lines(count)
                    .reversed()
                    .pieces()
                    .iter()
                    .map(|piece| Point::new(piece.from().x * 0.7, piece.from().y * 0.7))
                    .collect::<Vec<_>>(),
            );
            let loops = vec![ring_of_lines(count), opening];
            let shop = shop(machine(mill));
            let proved = program_in(&shop, vec![part(loops)], &post("iso-mm"));
            let proved =
                proved.unwrap_or_else(|failure| panic!("{count}, {mill}: {failure:#?}"));
            assert_eq!(proved.figures().tabs.len(), 8, "{count} lines, {mill} mm");
        }
    }
}

#[test]
fn tabs_that_find_no_room_say_what_is_true_of_an_outside() {
    let teeth = (0..40u32).flat_map(|n| {
        let y = 5.0 * f64::from(n);
        [(200.0, y), (204.0, y + 2.5)]
    });
    let back = (0..40u32).flat_map(|n| {
        let y = 200.0 - 5.0 * f64::from(n);
        [(196.0, y), (192.0, y - 2.5)]
    });
    let saw = polygon(&teeth.chain(back).collect::<Vec<_>>());
    let failure = program_of(vec![saw], "iso-mm").expect_err("nothing but corners");
    let problem = refusal(&failure);
    assert_eq!(problem.id, "tabs-no-room", "{problem:?}");
    assert!(!problem.hint.contains("opening"), "there is none: {problem:?}");
}

/// Two lobes that meet in a cusp with no width at its end.
fn scallops() -> Loop {
    let lobe = |from: f64| Piece::Arc {
        from: Point::new(from, 150.0),
        to: Point::new(from - 100.0, 150.0),
        centre: Point::new(from - 50.0, 150.0),
        sweep: PI,
    };
    let line = |a: (f64, f64), b: (f64, f64)| {
        Piece::line(Point::new(a.0, a.1), Point::new(b.0, b.1))
    };
    Loop::new(vec![
        line((50.0, 50.0), (250.0, 50.0)),
        line((250.0, 50.0), (250.0, 150.0)),
        lobe(250.0),
        lobe(150.0),
        line((50.0, 150.0), (50.0, 50.0)),
    ])
}

#[test]
fn what_the_mill_cannot_reach_in_a_cusp_or_a_narrow_v_does_not_stand() {
    let v = polygon(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 100.0),
        (55.0, 100.0),
        (50.0, 20.0),
        (45.0, 100.0),
        (0.0, 100.0),
    ]);
    for (what, ring) in [("cusp", scallops()), ("v", v)] {
        for name in POSTS {
            let proved = program_of(vec![ring.clone()], name);
            let proved =
                proved.unwrap_or_else(|failure| panic!("{what}, {name}: {failure:#?}"));
            assert_eq!(proved.figures().tabs.len(), 4, "{what}, {name}");
        }
    }
}

/// Basis: geometry: a mill that stands out 25 mm is 12.3 mm deep, so that its nut goes 12.7 mm
/// above the blank: it strikes a clamp of 20 mm that the mill itself clears by 10.
#[test]
fn a_clamp_that_the_nut_strikes_is_refused_and_one_that_all_clear_is_not() {
    // The lower side of the part lies 15 mm above the program's zero, the path 3 mm below.
    let clamp = |far: f64, high: f64| KeepOut {
        name: "clamp".to_owned(),
        area: Bounds { low: Point::new(40.0, -far - 20.0), high: Point::new(80.0, -far) },
        high: Mm::of(high),
    };
    let judge = |clamp: KeepOut| {
        let mut machine = machine(6.0);
        machine.clear = Mm::of(clamp.high.mm() + 2.0);
        machine.keep_outs = vec![clamp];
        let shop = shop(machine);
        program_in(&shop, vec![part(vec![notched()])], &post("iso-mm"))
    };
    // The path lies at 11.7 at its lowest, the nut's radius is 14.
    let why = |clamp| refusal(&judge(clamp).expect_err("it strikes")).clone();
    let nut = why(clamp(0.0, 20.0));
    assert_eq!(nut.id, "program-keep-out", "{nut:?}");
    assert!(nut.found.contains("the collet nut"), "{nut:?}");
    let mill = why(clamp(-10.0, 5.0));
    assert!(mill.found.contains("the end mill"), "{mill:?}");
    let spindle = why(clamp(20.0, 40.0));
    assert!(spindle.found.contains("the spindle"), "{spindle:?}");
    judge(clamp(5.0, 20.0)).expect("the nut clears it by 2.7");
    judge(clamp(0.0, 12.0)).expect("the nut passes above it");
}

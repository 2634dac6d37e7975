//! The reader against published programs.

use super::*;

const C1: &str = include_str!("../../tests/data/nist-c1.ngc");

fn arcs(text: &str) -> Vec<(Point, f64)> {
    let program = read(text).expect("it is legal");
    program.moves().filter_map(|step| step.arc()).collect()
}

/// Published: NIST, The NIST RS274NGC Interpreter - Version 3, NISTIR 6556, 2000, appendix C.1.
#[test]
fn the_program_of_appendix_c1_reads_as_its_text_says() {
    let program = read(C1).expect("it is legal");
    let last = program.moves().last().expect("it moves").end();
    let ends = last.map(|axis| format!("{axis}"));
    assert_eq!(ends, ["81", "5", "50"], "where it ends");
    let found = arcs(C1);
    let due = [
        (13.5, 2.5, 270.0, 2.5),
        (32.5, 2.5, -360.0, 2.5),
        (57.5, 2.5, -360.0, 2.5),
        (66.5, 4.0 - 9.75f64.sqrt(), 0.0, 4.0),
        (79.5, 2.5, -180.0, 2.5),
    ];
    assert_eq!(found.len(), due.len(), "five arcs");
    for (index, (arc, due)) in found.iter().zip(due).enumerate() {
        assert!(
            arc.0.distance(Point::new(due.0, due.1)) < 1e-9,
            "the centre of arc {index}"
        );
        let turn =
            if index == 3 { -2.0 * libm::asin(2.5 / 4.0).to_degrees() } else { due.2 };
        assert!((arc.1.to_degrees() - turn).abs() < 1e-9, "the turn of arc {index}");
    }
    assert!(matches!(program.steps().last(), Some(Step::End(_, 2))), "it ends with M2");
}

/// Published: NIST, NISTIR 6556, 2000, section 3.5.16, the two worked examples of G81.
#[test]
fn drilling_cycles_move_as_the_worked_examples_do() {
    let moves = |text: &str| {
        let program = read(text).expect("it is legal");
        let all: Vec<_> = program.moves().map(|step| (step.rapid, step.end())).collect();
        all[1..].to_vec()
    };
    let first = moves("G21 G0 X1 Y2 Z3\nF100\nG90 G81 G98 X4 Y5 Z1.5 R2.8\nM2\n");
    let due = [
        (true, [4.0, 5.0, 3.0]),
        (true, [4.0, 5.0, 2.8]),
        (false, [4.0, 5.0, 1.5]),
        (true, [4.0, 5.0, 3.0]),
    ];
    assert_eq!(first, due, "example 1");
    let second = moves("G21 G0 X1 Y2 Z3\nF100\nG91 G81 G98 X4 Y5 Z-0.6 R1.8 L3\nM2\n");
    assert_eq!(second[0], (true, [1.0, 2.0, 4.8]), "it lifts first");
    let ends: Vec<_> = second.iter().map(|step| step.1).collect();
    let last = ends.last().expect("it moves");
    let close = last.iter().zip([13.0, 17.0, 4.8]).all(|(a, b)| (a - b).abs() < 1e-9);
    assert!(close, "example 2 ends at {last:?}");
    let holes: Vec<_> = second.iter().filter(|step| !step.0).map(|step| step.1).collect();
    assert_eq!(holes.len(), 3, "three holes");
    assert!(
        holes.iter().all(|hole| (hole[2] - 4.2).abs() < 1e-9),
        "to 4.2 each: {holes:?}"
    );
}

#[test]
fn arcs_by_radius_take_the_shorter_or_the_longer_way() {
    let text = |r: &str| format!("G21 G0 X0 Y0 Z0\nF100\nG2 X2 Y0 {r}\nM2\n");
    let near = |got: f64, due: f64| (got.to_degrees() - due).abs() < 1e-6;
    let short = arcs(&text("R1.4142135623730951"))[0];
    assert!(
        near(short.1, -90.0) && short.0.distance(Point::new(1.0, -1.0)) < 1e-9,
        "{short:?}"
    );
    let long = arcs(&text("R-1.4142135623730951"))[0];
    assert!(
        near(long.1, -270.0) && long.0.distance(Point::new(1.0, 1.0)) < 1e-9,
        "{long:?}"
    );
    let half = arcs(&text("R1"))[0];
    assert!(near(half.1, -180.0), "{half:?}");
}

/// Published: NIST, NISTIR 6556, 2000, section 3.5.3.2: 0.002 mm, 0.0002 in.
#[test]
fn an_arc_whose_radii_differ_too_much_is_no_arc() {
    let judge = |units: &str, i: &str| {
        read(&format!("{units} G0 X0 Y0 Z0\nF10\nG2 X2 Y0 I{i} J0\nM2\n")).is_ok()
    };
    assert!(judge("G21", "1.0009"), "0.0018 mm passes");
    assert!(!judge("G21", "1.0011"), "0.0022 mm does not");
    assert!(judge("G20", "1.00009"), "0.00018 in passes");
    assert!(!judge("G20", "1.00011"), "0.00022 in does not");
}

#[test]
fn inches_and_increments_are_read() {
    let program =
        read("G20 G90 G0 X1 Y1 Z1\nG91 X0.5\nG21 X10\nM30\n").expect("it is legal");
    let last = program.moves().last().expect("it moves").end();
    let due = [38.1 + 10.0, 25.4, 25.4];
    assert!(last.iter().zip(due).all(|(a, b)| (a - b).abs() < 1e-9), "{last:?}");
}

#[test]
fn what_is_not_read_is_refused_by_name_and_line() {
    for (line, word) in [
        ("G41 D1", "G41"),
        ("G43 H1", "G43"),
        ("G92 X0", "G92"),
        ("G28 X0", "G28"),
        ("G10 L2 P1 X0", "G10"),
        ("G53 G0 Z0", "G53"),
        ("G18", "G18"),
        ("G55", "G55"),
        ("G93", "G93"),
        ("G84 X0 Z0 R1", "G84"),
        ("M98", "M98"),
        ("#1=5", "parameters"),
        ("X[1+1]", "parameters"),
        ("A90", "A"),
        ("O100", "O"),
        ("G4", "P"),
        ("G0 G1 X1", "modal group"),
        ("G2 X5 Y5", "I, J or R"),
        ("G2 I1", "X, Y or Z"),
        ("G80\nX5", "motion word"),
    ] {
        let text = format!("G21 G90 G0 X0 Y0 Z5\nF100 S100\n{line}\nM2\n");
        let verdict = read(&text).expect_err(line);
        let fault = &verdict.faults[0];
        assert_eq!(fault.rule, Rule::Legal, "{line}");
        let lines = 2 + line.lines().count();
        assert_eq!(fault.line, lines, "{line}: {fault:?}");
        assert!(fault.text.contains(word), "{line}: {fault:?}");
    }
}

#[test]
fn the_ends_of_a_program_are_heeded() {
    let body = "G21 G0 X0 Y0 Z5\n";
    assert!(read(body).is_err(), "no end at all");
    assert!(read(&format!("%\n{body}")).is_err(), "one `%` is not enough");
    assert!(read(&format!("%\n{body}%\nrubbish after it\n")).is_ok(), "between two `%`");
    assert!(
        read(&format!("{body}M2\nrubbish after it\n")).is_ok(),
        "nothing is read after M2"
    );
    assert!(read("").is_err(), "an empty text");
}

#[test]
fn no_text_makes_the_reader_panic() {
    let mut seed = 1u32;
    let bytes = b"GMXYZIJKFSPRLQN%/()#[].-+0123456789 \n\n\nGX1";
    for _ in 0..2000 {
        let mut text = String::new();
        for _ in 0..60 {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let index = usize::try_from(seed >> 16).unwrap() % bytes.len();
            text.push(char::from(bytes[index]));
        }
        let read = read(&text);
        assert!(
            read.map_or_else(|v| !v.faults.is_empty(), |_| true),
            "a verdict has faults"
        );
    }
}

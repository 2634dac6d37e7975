//! Tests of sums.

use super::*;
use crate::diag::Source;
use crate::read::Sizes;

const MM: Option<Unit> = Some(Unit::Mm);

fn sizes() -> Sizes {
    let mut sizes = Sizes::default();
    sizes.put("leg", Worth::length(40.0));
    sizes.put("leg-width", Worth::length(90.0));
    sizes.put("pitch", Worth { amount: 0.125, power: 0, bare: false });
    sizes.put("none", Worth::length(0.0));
    sizes
}

fn place(text: &str) -> Place {
    Place::whole(Source::Job, "job.toml").bytes(100..100 + text.len(), text)
}

fn worked(text: &str, units: Option<Unit>) -> f64 {
    length(text, Terms::new(units, &sizes()), &place(text)).expect(text).mm()
}

/// The id of what is wrong and the part of the text that is marked.
fn refused(text: &str, units: Option<Unit>) -> (&'static str, &str) {
    let problem =
        length(text, Terms::new(units, &sizes()), &place(text)).expect_err(text);
    assert!(!problem.hint.is_empty(), "{text} says what to do");
    let span = problem.place.expect("a place").span.expect("bytes");
    (problem.id, &text[span.start - 100..span.end - 100])
}

/// Basis: geometry, each worked out by hand.
#[test]
fn sums_come_to_lengths() {
    for (text, mm) in [
        ("1 1/2in", 38.1),
        ("1-1/2 in", 38.1),
        ("3/4\"", 19.05),
        ("8 - 1/2in", -4.7),
        ("8in - 1/2in", 190.5),
        ("leg-width - leg", 50.0),
        ("leg-width -leg", 50.0),
        ("-leg + 2 * (leg-width - 10)", 120.0),
        ("leg-width / 3 + 1/2in", 42.7),
        ("1/2 * leg", 20.0),
        ("leg / 1 / 4", 10.0),
        ("leg × 3 ÷ 2", 60.0),
        ("leg * leg / leg-width", 1600.0 / 90.0),
        ("sqrt(leg * leg + 30mm * 30mm)", 50.0),
        ("min(leg, 1in) + max(1, 2, leg-width)", 115.4),
        ("leg-width * pitch", 11.25),
        ("leg * (leg-width / leg)", 90.0),
        ("0", 0.0),
    ] {
        let units = if text.starts_with("8 - ") { Some(Unit::Mm) } else { MM };
        assert!(
            (worked(text, units) - mm).abs() < 1e-9,
            "{text}: {}",
            worked(text, units)
        );
    }
    assert!((worked("2 * 3", Some(Unit::Inch)) - 152.4).abs() < 1e-9, "bare is a length");
    assert!((worked("2 * leg", None) - 80.0).abs() < 1e-9, "a number needs no unit");
}

#[test]
fn what_is_wrong_is_marked_to_the_letter() {
    for (text, id, marked) in [
        ("leg + shoulder", "size-unknown", "shoulder"),
        ("leg-20", "size-unknown", "leg-20"),
        ("leg * leg-width", "sum-not-a-length", "leg * leg-width"),
        ("leg / leg-width", "sum-not-a-length", "leg / leg-width"),
        ("leg + leg * leg", "sum-mixed", "leg * leg"),
        ("leg + pitch", "sum-mixed", "pitch"),
        ("leg / none", "sum-divides-by-zero", "none"),
        ("leg / (40 - leg)", "sum-divides-by-zero", "(40 - leg)"),
        ("leg / 1/2in", "sum-two-readings", "1/2in"),
        ("sqrt(leg)", "sum-not-a-length", "leg"),
        (
            "sqrt(leg * leg - leg-width * leg-width)",
            "sum-root-of-negative",
            "leg * leg - leg-width * leg-width",
        ),
        ("sqrt(leg, leg)", "sum-unreadable", "sqrt(leg, leg)"),
        ("leg +", "sum-unreadable", "+"),
        ("(leg + 3", "sum-unreadable", "("),
        ("min(leg, 3", "sum-unreadable", "("),
        ("leg + 3)", "sum-unreadable", ")"),
        ("leg leg-width", "sum-unreadable", "leg-width"),
        ("2 leg", "sum-unreadable", "leg"),
        ("12mm 3", "sum-unreadable", "3"),
        ("leg ^ 2", "length-unreadable", "^"),
        ("3 furlongs", "length-unreadable", "furlongs"),
        ("1e3mm", "length-unreadable", "e3mm"),
        ("1/0in", "length-unreadable", "1/0in"),
        ("1.2.3mm", "length-unreadable", "1.2.3mm"),
        ("", "length-unreadable", ""),
    ] {
        assert_eq!(refused(text, MM), (id, marked), "{text}");
    }
    assert_eq!(refused("leg + 20", None), ("length-without-unit", "20"));
    assert_eq!(refused("12", None), ("length-without-unit", "12"));
    let deep = "(".repeat(40);
    assert_eq!(refused(&deep, MM).0, "sum-too-deep", "brackets have a bound");
}

#[test]
fn a_size_is_a_length_or_a_ratio() {
    let of = |text: &str| size(text, Terms::new(MM, &sizes()), &place(text));
    assert_eq!(of("leg / 80mm").expect("a ratio").power, 0);
    assert_eq!(of("12").expect("a length").power, 1, "a bare one is in the job's unit");
    assert_eq!(of("leg * leg").expect_err("an area").id, "sum-not-a-length");
}

//! Proving programs: read back and judged, beside the crate `gcode`, which only takes the text
//! apart.

use crate::trial::{Answer, Case, Work, Workers, processor};
use spelch::geom::{Bounds, Loop, Piece, Point};
use spelch::post::dialect;
use spelch::prove::{Pledge, Promise, judge};
use spelch::read::PostChoice;
use spelch::shop::Machine;
use spelch::units::{Diameter, Mm, Paper};
use std::f64::consts::TAU;
use std::fmt::Write;
use std::rc::Rc;

/// Moves of the program, in laps one below the other.
const MOVES: u32 = 1_000_000;
const LAPS: u32 = 50;
/// Pieces of each outline.
const ARCS: u32 = 1_000;
const CHORDS: u32 = 1_000_000;
/// How deep the program goes, in mm: a blank of 12 mm and a little.
const DEEP: f64 = 12.3;

/// So many moves are proved for the growth, round outlines that grow with them.
const GROWING: [u32; 3] = [10_000, 100_000, 1_000_000];
/// Time grows no faster than n log n: at most so many times as much for each of them at the last
/// as at the first. Memory that no longer fits the nearest store is in it.
const GROWTH: f64 = 2.0;

/// A point of a disc of this radius with waves in its edge.
fn wave(share: f64, (radius, waves): (f64, f64)) -> Point {
    let (sin, cos) = (TAU * share).sin_cos();
    let radius = radius + waves * (TAU * 20.0 * share).sin();
    Point::new(500.0 + radius * cos, 500.0 + radius * sin)
}

/// A ring of so many arcs, each twice as flat as long, left and right in turns: a thousand of
/// them are 800 mm wide.
fn arcs(count: u32) -> Loop {
    let radius = 0.4 * f64::from(count);
    let at = |n: u32| wave(f64::from(n % count) / f64::from(count), (radius, 0.0));
    let arc = |n: u32| {
        let (from, to) = (at(n), at(n + 1));
        let (way, chord) = (to - from, from.distance(to));
        let half = (0.25_f64).asin();
        let side = if n.is_multiple_of(2) { 1.0 } else { -1.0 };
        let height = 2.0 * half.cos() * side;
        let centre = from.middle(to) + way.left() * height;
        assert!(
            (centre.distance(from) - 2.0 * chord).abs() < 1e-6,
            "a radius of two chords"
        );
        Piece::Arc { from, to, centre, sweep: 2.0 * half * side }
    };
    Loop::new((0..count).map(arc).collect())
}

/// A ring of so many straight lines: a million of them are 800 mm wide.
fn chords(count: u32) -> Loop {
    let size = f64::from(count) / 1e6;
    let at = |n: u32| wave(f64::from(n) / f64::from(count), (400.0 * size, 5.0 * size));
    Loop::polygon(&(0..count).map(at).collect::<Vec<_>>())
}

/// A program of so many straight moves beside a ring, in laps that each begin with a ramp.
fn program(ring: &Loop, moves: u32) -> String {
    let count = moves / LAPS;
    let beside = |n: u32| {
        let along = ring.length() * f64::from(n % count) / f64::from(count);
        ring.at(along) + ring.direction_after(along).right() * 3.0
    };
    let places: Vec<Point> = (0..count).map(beside).collect();
    let ramp = 10.0 * f64::from(count) / ring.length();
    let step = DEEP / f64::from(LAPS - 1);
    let start = places[0];
    let mut text =
        "G21\nG17\nG90\nG94\nG40\nG49\nG80\nG54\nG0 Z15\nS16000\nM3\nG4 P5\n".to_owned();
    let _ = write!(text, "G0 X{:.4} Y{:.4}\nG1 Z0 F300\nF1200\n", start.x, start.y);
    for lap in 0..LAPS {
        let (high, low) = (f64::from(lap), f64::from((lap + 1).min(LAPS - 1)));
        for n in 1..=count {
            let at = places[(n % count) as usize];
            let z = -step * (high + (low - high) * (f64::from(n) / ramp).min(1.0));
            let _ = writeln!(text, "X{:.4} Y{:.4} Z{z:.4}", at.x, at.y);
        }
    }
    text + "G0 Z15\nM5\nM2\n"
}

/// What the program is judged by.
fn promise(ring: Loop) -> Promise {
    let mill = Mm::new(6.0).and_then(Diameter::new).expect("6 mm");
    let machine =
        Machine { feed: 1200.0, plunge: 300.0, rpm: 16000.0, ..Machine::new(mill) };
    let post = dialect(&PostChoice::Named("iso-mm".to_owned())).expect("it is built in");
    Promise {
        reliefs: Vec::new(),
        loops: vec![Pledge::new(ring, 0.0, &machine)],
        blank: Bounds { low: Point::default(), high: Point::new(1000.0, 1000.0) },
        work_zero: Point::default(),
        thick: 12.0,
        machine,
        dialect: post.value,
        paper: Paper::MM,
    }
}

/// The cases: one outline of arcs, one of chords.
pub(crate) fn cases() -> Vec<Case> {
    let case = |name, ring: fn() -> Loop| Case {
        name,
        workers: Box::new(move || workers(ring())),
        part: None,
    };
    vec![
        case("1,000,000 moves round 1,000 arcs", || arcs(ARCS)),
        case("1,000,000 moves round 1,000,000 chords", || chords(CHORDS)),
    ]
}

fn workers(ring: Loop) -> Workers {
    let (text, promise) = (Rc::new(program(&ring, MOVES)), promise(ring));
    let theirs = Rc::clone(&text);
    let judged: Work = Box::new(move || Answer {
        count: judge(&[text.as_str()], &promise).figures.map_or(0, |found| found.lines),
        measure: None,
    });
    let parsed: Work = Box::new(move || Answer {
        count: gcode::parse(&theirs).map_or(0, |program| program.blocks.len()),
        measure: None,
    });
    vec![
        ("spelch, read and judged".to_owned(), judged),
        ("gcode, parsed only".to_owned(), parsed),
    ]
}

/// How the time grows with the moves and the outline; whether it stays within n log n.
pub(crate) fn growth() -> bool {
    let arcs = grown("arcs, one for 1,000 moves", |moves| arcs(moves / 1000));
    grown("chords, one for each move", chords) && arcs
}

/// One sort of outline.
fn grown(name: &str, ring: fn(u32) -> Loop) -> bool {
    println!(
        "| moves round {name} | s of the processor | ns for each, by n log n | |\n|---|---|---|---|"
    );
    let (mut good, mut first) = (true, None);
    for moves in GROWING {
        let ring = ring(moves);
        let (text, promise) = (program(&ring, moves), promise(ring));
        let judged: Work = Box::new(move || Answer {
            count: judge(&[text.as_str()], &promise)
                .figures
                .map_or(0, |found| found.lines),
            measure: None,
        });
        let seconds = processor(&judged);
        let n = f64::from(moves);
        let each = seconds * 1e9 / (n * n.log2());
        let holds = each <= GROWTH * *first.get_or_insert(each);
        good &= holds;
        println!(
            "| {moves} | {seconds:.4} | {each:.1} | {} |",
            if holds { "holds" } else { "TOO SLOW" }
        );
    }
    println!();
    good
}

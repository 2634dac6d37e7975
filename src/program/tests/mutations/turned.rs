//! Laps that go the other way round: each must be caught, however well it cuts.

use super::base::{Base, Stroke, number};
use super::*;

pub(super) const OPERATORS: [(&str, Operator); 2] = [
    ("a rough lap the other way round", rough_turned),
    ("a finishing lap the other way round", finish_turned),
];

/// The same strokes from the last to the first.
fn backwards(base: &Base, strokes: &[Stroke]) -> Vec<String> {
    let unit = base.unit();
    let feed = strokes.iter().find_map(|stroke| number(&base.lines[stroke.line], 'F'));
    let line = |stroke: &Stroke| {
        let to = stroke.start();
        let place = format!("X{:.5} Y{:.5}", to.x / unit, to.y / unit);
        match stroke.arc {
            None => format!("G1 {place}"),
            Some((centre, counter)) => {
                let way = if counter { "G2" } else { "G3" };
                let out = (centre - stroke.end()) * (1.0 / unit);
                format!("{way} {place} I{:.5} J{:.5}", out.x, out.y)
            }
        }
    };
    let mut lines: Vec<String> = strokes.iter().rev().map(line).collect();
    if let Some(feed) = feed {
        lines[0] = format!("{} F{feed}", lines[0]);
    }
    lines
}

/// Whether strokes lie so far beside an edge as a rough lap does.
fn are_rough(base: &Base, strokes: &[Stroke]) -> bool {
    let by = base.promise.work_zero - Point::default();
    let machine = &base.promise.machine;
    let due = machine.end_mill.radius() + machine.allowance.mm();
    let pieces = || base.promise.loops.iter().flat_map(|pledge| pledge.drawn.pieces());
    strokes.iter().all(|stroke| {
        let far = pieces().map(|piece| piece.distance(stroke.end() + by));
        (far.fold(f64::INFINITY, f64::min) - due).abs() < 0.02
    })
}

/// The laps on one level that close, off the edge by the allowance: what is left of each for the
/// last one.
fn rough_laps(base: &Base) -> Vec<&[Stroke]> {
    let level = |stroke: &Stroke| {
        let flat = (stroke.from[2] - stroke.to[2]).abs() < 0.001;
        (flat && !stroke.rapid && stroke.to[2] < -0.5)
            .then(|| (stroke.to[2] * 1000.0).round())
    };
    let laps = base.strokes.chunk_by(|a, b| {
        a.line + 1 == b.line && level(a).is_some() && level(a) == level(b)
    });
    let closes = |lap: &&[Stroke]| {
        1 < lap.len() && lap[0].start().distance(lap[lap.len() - 1].end()) < 0.002
    };
    laps.filter(closes).filter(|lap| are_rough(base, lap)).collect()
}

fn rough_turned(base: &Base) -> Vec<Mutant> {
    let turned = |lap: &[Stroke]| {
        let range = lap[0].line..lap[lap.len() - 1].line + 1;
        base.with(range, &backwards(base, lap), "backwards")
    };
    rough_laps(base).into_iter().map(turned).collect()
}

/// Of the rough laps of a cut on tabs only the last is left, or the first: the mill goes the rest
/// of the way down at one go. What is cleared is cut beside what is gone already.
pub(super) fn laps_dropped(base: &Base) -> Vec<Mutant> {
    let laps = rough_laps(base);
    let of_section = |section: std::ops::Range<usize>| {
        let has_tabs = base.strokes.iter().any(|stroke| {
            let rises = (stroke.to[2] - base.tab_top()).abs() < 0.003;
            let deep = (stroke.from[2] - base.bottom()).abs() < 0.003;
            section.contains(&stroke.line) && rises && deep
        });
        let own: Vec<&[Stroke]> =
            laps.iter().filter(|lap| section.contains(&lap[0].line)).copied().collect();
        let many = if has_tabs { own.len() } else { 0 };
        let kept = [many.saturating_sub(1), 0].into_iter().filter(move |_| 2 < many);
        kept.map(move |kept| (own.clone(), kept)).collect::<Vec<_>>()
    };
    let mutant = |(own, kept): (Vec<&[Stroke]>, usize)| {
        let others = own.iter().enumerate().filter(|(index, _)| *index != kept);
        let lines: Vec<usize> =
            others.flat_map(|(_, lap)| lap.iter().map(|stroke| stroke.line)).collect();
        let left = base.lines.iter().enumerate().filter(|(at, _)| !lines.contains(at));
        let left: Vec<String> = left.map(|(_, line)| line.clone()).collect();
        base.whole(&left, &format!("of {} laps only number {kept} is left", own.len()))
    };
    base.sections().into_iter().flat_map(of_section).map(mutant).collect()
}

/// The program whose finishing laps climb, and the program with one section of that.
fn finish_turned(base: &Base) -> Vec<Mutant> {
    let (own, other) = (base.sections(), base.climbing.sections());
    assert_eq!(own.len(), other.len(), "the same cuts in the same order");
    let pairs = own.into_iter().zip(other);
    let differ = pairs.filter_map(|(own, other)| {
        let lines = &base.climbing.lines[other];
        (base.lines[own.clone()] != *lines).then(|| base.with(own, lines, "it climbs"))
    });
    let whole = base.whole(&base.climbing.lines, "all of it climbs");
    differ.chain([whole]).collect()
}

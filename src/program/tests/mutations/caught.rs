//! Faults of a text that must be caught, whatever else they do.

use super::base::{Base, Stroke, changed, number, text};
use super::passed::axis;
use super::*;

pub(super) const OPERATORS: [(&str, Operator); 30] = [
    ("an arc the other way round", other_way),
    ("a sign of an arc turned", signs_of_arcs),
    ("the sign of Z turned", sign_of_z),
    ("Z off by half a millimetre at full depth", depth_off),
    ("a declaration dropped", declaration_dropped),
    ("the other units", other_units),
    ("speed, start, dwell or stop dropped", spindle_dropped),
    ("the spindle started wrongly", spindle_wrong),
    ("a retract dropped", retract_dropped),
    ("a retract too low", retract_low),
    ("a first move that is not up", first_move),
    ("a cut at rapid", cut_at_rapid),
    ("a feed left out", feed_dropped),
    ("a feed too fast", feed_fast),
    ("12 um toward the part", |base| shifted(base, 0.012)),
    ("20 um toward the part", |base| shifted(base, 0.020)),
    ("50 um toward the part", |base| shifted(base, 0.050)),
    ("500 um toward the part", |base| shifted(base, 0.500)),
    ("30 um into the waste", off_the_edge),
    ("a corner's arc dropped", corner_dropped),
    ("a corner's arc twice", corner_twice),
    ("two lines swapped", swapped),
    ("a last lap dropped", lap_dropped),
    ("a tab of another height", tab_height),
    ("the plunge onto the part", plunge_onto_part),
    ("a hole in the part", hole_in_part),
    ("an opening after the outline", opening_last),
    ("distances counted on", counted_on),
    ("a word that is not read", not_read),
    ("a line a small controller trips over", envelope),
];

/// Every mutant of strokes that a function makes of one.
fn each<'a>(
    strokes: impl Iterator<Item = &'a Stroke>,
    base: &Base,
    make: impl Fn(&Stroke, &str) -> Option<(String, &'static str)>,
) -> Vec<Mutant> {
    let mutant = |stroke: &Stroke| {
        let (line, why) = make(stroke, &base.lines[stroke.line])?;
        Some(base.line(stroke.line, &line, why))
    };
    strokes.filter_map(mutant).collect()
}

/// The arcs at full depth that cut an edge: elsewhere an arc may go the other way round and
/// only clear the same waste.
fn deep_arcs(base: &Base) -> impl Iterator<Item = &Stroke> {
    base.full_depth().filter(|stroke| stroke.arc.is_some() && is_at_an_edge(base, stroke))
}

fn other_way(base: &Base) -> Vec<Mutant> {
    each(deep_arcs(base), base, |_, line| {
        let other = if line.starts_with("G2") { "G3" } else { "G2" };
        Some((format!("{other}{}", &line[2..]), "the other way round"))
    })
}

fn signs_of_arcs(base: &Base) -> Vec<Mutant> {
    let mut mutants = Vec::new();
    for letter in ['X', 'Y', 'I', 'J'] {
        mutants.extend(each(deep_arcs(base), base, |_, line| {
            let value = number(line, letter)?;
            let large = 0.6 < value.abs() * base.unit();
            large.then(|| (changed(line, letter, -2.0 * value), "its sign"))
        }));
    }
    mutants
}

/// Strokes that say to go down to full depth, beside an edge: a ring that only clears waste
/// may end a little higher.
fn to_full_depth(base: &Base) -> impl Iterator<Item = &Stroke> {
    let deep = |stroke: &&Stroke| {
        (stroke.to[2] - base.bottom()).abs() < 0.003 && is_at_an_edge(base, stroke)
    };
    base.strokes.iter().filter(deep)
}

fn sign_of_z(base: &Base) -> Vec<Mutant> {
    each(to_full_depth(base), base, |_, line| {
        let value = number(line, 'Z')?;
        Some((changed(line, 'Z', -2.0 * value), "its sign"))
    })
}

fn depth_off(base: &Base) -> Vec<Mutant> {
    let mut mutants = Vec::new();
    for by in [0.5, -0.5] {
        mutants.extend(each(to_full_depth(base), base, |_, line| {
            number(line, 'Z')?;
            Some((changed(line, 'Z', by / base.unit()), "half a millimetre"))
        }));
    }
    mutants
}

fn declaration_dropped(base: &Base) -> Vec<Mutant> {
    let words = ["G20", "G21", "G17", "G90", "G94", "G40", "G49", "G54"];
    let lines = base.find(|line| words.contains(&line));
    lines.into_iter().map(|at| base.with(at..at + 1, &[], "dropped")).collect()
}

fn other_units(base: &Base) -> Vec<Mutant> {
    let (ours, other) = if base.is_in_mm() { ("G21", "G20") } else { ("G20", "G21") };
    let at = base.find(|line| line == ours)[0];
    let middle = base.sections()[0].start;
    vec![
        base.line(at, other, "the other"),
        base.with(middle..middle, &[other.to_owned()], "the other on the way"),
        base.with(at..at, &[format!("{ours} {other}")], "both"),
    ]
}

fn spindle_dropped(base: &Base) -> Vec<Mutant> {
    let is_one = |line: &str| {
        ["M3", "M5"].contains(&line) || line.starts_with("G4 ") || line.starts_with('S')
    };
    base.find(is_one)
        .into_iter()
        .map(|at| base.with(at..at + 1, &[], "dropped"))
        .collect()
}

fn spindle_wrong(base: &Base) -> Vec<Mutant> {
    let start = base.find(|line| line == "M3")[0];
    let dwell = base.find(|line| line.starts_with("G4 "))[0];
    let speed = base.find(|line| line.starts_with('S'))[0];
    vec![
        base.line(start, "M4", "backwards"),
        base.line(dwell, "G4 P0.005", "too short"),
        base.line(dwell, "G4 P5000", "too long"),
        base.line(speed, "S90000", "too fast"),
        base.line(speed, "S0", "standing"),
    ]
}

/// The retracts to the clearance, the first move among them.
fn retracts(base: &Base) -> Vec<usize> {
    base.find(|line| line.starts_with("G0 Z"))
}

fn retract_dropped(base: &Base) -> Vec<Mutant> {
    let drop = |at: usize| base.with(at..at + 1, &[], "dropped");
    retracts(base).into_iter().map(drop).collect()
}

fn retract_low(base: &Base) -> Vec<Mutant> {
    let mut mutants = Vec::new();
    for by in [-1.0, -5.0] {
        for at in retracts(base) {
            let low = changed(&base.lines[at], 'Z', by / base.unit());
            mutants.push(base.line(at, &low, "lower"));
        }
    }
    mutants
}

fn first_move(base: &Base) -> Vec<Mutant> {
    let at = retracts(base)[0];
    let high = base.lines[at].clone();
    let before = |line: &str| base.with(at..at, &[line.to_owned()], "first");
    vec![
        before("G0 X0.000 Y0.000"),
        before("G0 X10.000"),
        base.line(at, &format!("{high} X0.000 Y0.000"), "X and Y too"),
        base.line(at, &high.replace("G0", "F100 G1"), "at feed"),
    ]
}

fn cut_at_rapid(base: &Base) -> Vec<Mutant> {
    let cuts = base.strokes.iter().filter(|stroke| {
        let flat = 0.01 < stroke.start().distance(stroke.end());
        !stroke.rapid && stroke.arc.is_none() && flat && stroke.to[2] < 0.0
    });
    each(cuts.step_by(40), base, |_, line| {
        Some((line.replacen("G1", "G0", 1), "at rapid"))
    })
}

fn feed_dropped(base: &Base) -> Vec<Mutant> {
    let with_feed = base.find(|line| line.contains(" F"));
    let mut last = String::new();
    let mut mutants = Vec::new();
    for at in with_feed {
        let (words, feed) = base.lines[at].split_once(" F").expect("it has a feed");
        if feed != last {
            mutants.push(base.line(at, words, "left out"));
        }
        feed.clone_into(&mut last);
    }
    mutants
}

fn feed_fast(base: &Base) -> Vec<Mutant> {
    let fast = |at: usize| {
        let (words, feed) = base.lines[at].split_once(" F").expect("it has a feed");
        let feed: f64 = feed.parse().expect("a number");
        base.line(at, &format!("{words} F{}", feed * 20.0), "too fast")
    };
    base.find(|line| line.starts_with('G') && line.contains(" F"))
        .into_iter()
        .map(fast)
        .collect()
}

/// Ends of strokes along a straight edge, moved toward the part.
fn shifted(base: &Base, by: f64) -> Vec<Mutant> {
    each(base.full_depth(), base, |stroke, line| {
        let (letter, sign) = axis(base.toward_part(stroke)?)?;
        number(line, letter)?;
        Some((changed(line, letter, sign * by / base.unit()), "moved"))
    })
}

/// Strokes along a straight edge, led off it in the middle: more is left than may be.
fn off_the_edge(base: &Base) -> Vec<Mutant> {
    let mut mutants = Vec::new();
    for stroke in base.full_depth() {
        let Some(into) = base.toward_part(stroke) else { continue };
        let (from, to) = (stroke.start(), stroke.end());
        if from.distance(to) < 10.0 {
            continue;
        }
        let way = |share: f64, off: f64| {
            let p = from + (to - from) * share + into * -off;
            format!("G1 X{:.6} Y{:.6}", p.x / base.unit(), p.y / base.unit())
        };
        let new =
            [way(0.4, 0.0), way(0.4, 0.03), way(0.6, 0.03), way(0.6, 0.0), way(1.0, 0.0)];
        mutants.push(base.with(stroke.line..stroke.line + 1, &new, "led off"));
    }
    mutants
}

/// The arcs round outside corners of the parts, at full depth.
fn corner_arcs(base: &Base) -> impl Iterator<Item = &Stroke> {
    let by = base.promise.work_zero - Point::default();
    deep_arcs(base).filter(move |stroke| {
        let centre = stroke.arc.expect("an arc").0 + by;
        let pieces = base.promise.loops.iter().flat_map(|pledge| pledge.drawn.pieces());
        pieces
            .filter(|piece| matches!(piece, Piece::Line { .. }))
            .any(|piece| piece.from().distance(centre) < 0.01)
    })
}

fn corner_dropped(base: &Base) -> Vec<Mutant> {
    corner_arcs(base).map(|s| base.with(s.line..s.line + 1, &[], "dropped")).collect()
}

fn corner_twice(base: &Base) -> Vec<Mutant> {
    let twice = |stroke: &Stroke| {
        let line = base.lines[stroke.line].clone();
        base.with(stroke.line..stroke.line + 1, &[line.clone(), line], "twice")
    };
    corner_arcs(base).map(twice).collect()
}

fn swapped(base: &Base) -> Vec<Mutant> {
    let swap = |stroke: &Stroke| {
        let at = stroke.line;
        let lines = [base.lines[at + 1].clone(), base.lines[at].clone()];
        base.with(at..at + 2, &lines, "swapped with the next")
    };
    corner_arcs(base).map(swap).collect()
}

/// Whatever a section does at full depth beside an edge, taken out.
fn lap_dropped(base: &Base) -> Vec<Mutant> {
    let mut mutants = Vec::new();
    for section in base.sections() {
        let deep = |at: &usize| base.full_depth().any(|stroke| stroke.line == *at);
        let lap: Vec<usize> = section.clone().filter(deep).collect();
        let (Some(first), Some(last)) = (lap.first(), lap.last()) else { continue };
        let along = |stroke: &Stroke| {
            (*first..=*last).contains(&stroke.line) && base.toward_part(stroke).is_some()
        };
        if base.full_depth().any(along) {
            mutants.push(base.with(*first..*last + 1, &[], "the lap dropped"));
        }
    }
    let promise_deeper =
        |by: f64| base.promised("more must go", move |promise| promise.thick += by);
    mutants.extend([0.05, 0.5].map(promise_deeper));
    mutants
}

/// Strokes that rise from full depth to a tab's top.
fn rises(base: &Base) -> impl Iterator<Item = &Stroke> {
    base.strokes.iter().filter(|stroke| {
        let up = (stroke.to[2] - base.tab_top()).abs() < 0.003;
        !stroke.rapid && up && (stroke.from[2] - base.bottom()).abs() < 0.003
    })
}

fn tab_height(base: &Base) -> Vec<Mutant> {
    let mut mutants = Vec::new();
    for by in [base.bottom() - base.tab_top(), -0.5, 0.5] {
        mutants.extend(each(rises(base), base, |_, line| {
            number(line, 'Z')?;
            Some((changed(line, 'Z', by / base.unit()), "another height"))
        }));
    }
    mutants
}

/// The places where sections begin and go down, moved onto the part's edge.
fn plunge_onto_part(base: &Base) -> Vec<Mutant> {
    let by = base.promise.work_zero - Point::default();
    let unit = base.unit();
    let onto = base.promise.loops[0].drawn.pieces()[0].at(0.5) + by * -1.0;
    let lines = [
        format!("G0 X{:.4} Y{:.4}", onto.x / unit, onto.y / unit),
        format!("G1 Z{:.4} F{:.1}", -1.0 / unit, 200.0 / unit),
    ];
    let starts = base.sections().into_iter().map(|section| section.start);
    starts.map(|at| base.with(at..at + 2, &lines, "onto the part")).collect()
}

/// A hole of this depth through the middle of the part's widest place.
fn hole_in_part(base: &Base) -> Vec<Mutant> {
    let by = base.promise.work_zero - Point::default();
    let at = base.find(|line| line == "M5")[0];
    let outline = &base.promise.loops[0].drawn;
    let hole = |along: f64, depth: f64| {
        let on = outline.length() * along;
        let inside =
            outline.at(on) + outline.direction_after(on).left() * 4.0 + by * -1.0;
        let high = retracts(base)[0];
        let lines = [
            format!("G0 X{:.4} Y{:.4}", inside.x / base.unit(), inside.y / base.unit()),
            format!("G1 Z{:.4} F{}", 0.5 / base.unit(), 200.0 / base.unit()),
            format!("G1 Z{:.4}", -depth / base.unit()),
            base.lines[high].clone(),
        ];
        base.with(at..at, &lines, "a hole")
    };
    vec![hole(0.1, 6.0), hole(0.35, 12.0), hole(0.7, 0.2)]
}

/// An opening cut after the outline, by the same program or by a second one.
fn opening_last(base: &Base) -> Vec<Mutant> {
    let sections = base.sections();
    let (start, end) = (sections[0].start, base.find(|line| line == "M5")[0]);
    let (head, tail) = (&base.lines[..start], &base.lines[end..]);
    let program = |sections: &[std::ops::Range<usize>]| {
        let body = sections.iter().flat_map(|range| base.lines[range.clone()].to_vec());
        text(&[head, &body.collect::<Vec<_>>(), tail].concat())
    };
    let last = |late: usize| {
        let mut early = sections.clone();
        let late = early.remove(late);
        let reordered = [early.clone(), vec![late.clone()]].concat();
        let texts = [vec![program(&early), program(&[late])], vec![program(&reordered)]];
        texts.map(|texts| Mutant {
            why: format!("section {reordered:?} last, {} programs", texts.len()),
            texts,
            promise: None,
        })
    };
    let deep = |index: &usize| {
        base.full_depth().any(|stroke| sections[*index].contains(&stroke.line))
    };
    let at_edge: Vec<usize> = (0..sections.len() - 1).filter(deep).collect();
    at_edge
        .into_iter()
        .filter(|&index| ends_at_an_edge(base, &sections[index]))
        .flat_map(last)
        .collect()
}

/// Whether a section cuts an edge at full depth, not only waste between edges.
fn ends_at_an_edge(base: &Base, section: &std::ops::Range<usize>) -> bool {
    let inside = |stroke: &Stroke| section.contains(&stroke.line);
    base.full_depth().any(|stroke| inside(stroke) && is_at_an_edge(base, stroke))
}

/// Whether a stroke ends at an edge, the mill touching it.
fn is_at_an_edge(base: &Base, stroke: &Stroke) -> bool {
    let by = base.promise.work_zero - Point::default();
    let radius = base.promise.machine.end_mill.radius();
    let mut pieces = base.promise.loops.iter().flat_map(|pledge| pledge.drawn.pieces());
    pieces.any(|piece| (piece.distance(stroke.end() + by) - radius).abs() < 0.01)
}

/// Distances counted from the last place, even if only for a line.
fn counted_on(base: &Base) -> Vec<Mutant> {
    let lines = ["G91", "G90"].map(str::to_owned);
    let starts = base.sections().into_iter().map(|section| section.start);
    starts.map(|at| base.with(at..at, &lines, "on the way")).collect()
}

fn not_read(base: &Base) -> Vec<Mutant> {
    let at = base.sections()[0].start;
    let words = [
        "G41 D1",
        "G43 H1",
        "G92 X0",
        "G28 X0",
        "G10 L2 P1 X0",
        "G53 G0 Z0",
        "G18",
        "G55",
        "G93",
        "M98",
        "#1=5",
        "G1 X[1+1]",
        "A90",
        "O100",
        "G4",
        "G0 G1 X1",
        "G91",
        "M0",
        "M1",
        "M6 T1",
        "M60",
        "%",
        "G2 X5 Y5",
        "G1 X1e3",
        "(open",
        "N123456 G90",
    ];
    words.map(|line| base.with(at..at, &[line.to_owned()], line)).into()
}

fn envelope(base: &Base) -> Vec<Mutant> {
    let at = base.sections()[0].start;
    let before = |line: &str| base.with(at..at, &[line.to_owned()], line);
    let arc = |line: &str| base.with(at + 1..at + 1, &[line.to_owned()], line);
    vec![
        before("G0 X20000.000"),
        before("/G0 X10.000"),
        before("(gr\u{fc}n)"),
        before(&format!("({})", "x".repeat(120))),
        arc("G2 X20.000 Y20.000 R50.000 F200"),
        arc("G2 X20.000 I5.000 J0.000 F200"),
        arc("G91"),
        arc("M3"),
    ]
}

//! Edits that change nothing, or nothing that matters.

use super::base::{Base, changed, number};
use super::{Mutant, Operator, Piece};

pub(super) const OPERATORS: [(&str, Operator); 9] = [
    ("white space and case", white_space),
    ("comments, numbers, blank lines", around_lines),
    ("said again", said_again),
    ("a straight line twice", twice),
    ("a straight line in three", in_three),
    ("an arc in two", arc_in_two),
    ("an arc in chords", arc_in_chords),
    ("5 um toward the part", |base| shifted(base, 0.005)),
    ("5 um into the waste", |base| shifted(base, -0.005)),
];

fn is_plain(line: &str) -> bool {
    !line.starts_with('(')
}

fn every(base: &Base, why: &str, edit: impl Fn(&str) -> String) -> Mutant {
    let edited = |line: &String| if is_plain(line) { edit(line) } else { line.clone() };
    base.whole(&base.lines.iter().map(edited).collect::<Vec<_>>(), why)
}

fn white_space(base: &Base) -> Vec<Mutant> {
    vec![
        every(base, "small letters", str::to_lowercase),
        every(base, "no spaces", |line| line.replace(' ', "")),
        every(base, "more spaces", |line| line.replace(' ', "   ")),
        every(base, "tabs", |line| line.replace(' ', "\t")),
        every(base, "space after letters", |line| line.replace('X', "X ")),
    ]
}

fn around_lines(base: &Base) -> Vec<Mutant> {
    let percent = [&["%".to_owned()][..], &base.lines, &["%".to_owned()]].concat();
    vec![
        every(base, "line numbers", |line| format!("N77 {line}")),
        every(base, "comments", |line| format!("{line} (so)")),
        every(base, "blank lines", |line| format!("{line}\n")),
        base.whole(&percent, "percent signs"),
    ]
}

fn said_again(base: &Base) -> Vec<Mutant> {
    let units = if base.is_in_mm() { "G21" } else { "G20" };
    let is_cut =
        |line: &str| ["G1 ", "G2 ", "G3 "].iter().any(|way| line.starts_with(way));
    let again = |word: &'static str| {
        every(base, word, move |line| {
            if is_cut(line) { format!("{word} {line}") } else { line.to_owned() }
        })
    };
    vec![
        again("G90"),
        again(units),
        again("G17"),
        again("G94"),
        again("G54"),
        again("G40"),
    ]
}

/// Whether a line holds no word that goes on to the next: its move can be split.
fn is_bare(line: &str) -> bool {
    !line.contains(['Z', 'F'])
}

/// The full-depth strokes that are lines of their own, in X and Y alone.
fn flat_lines(base: &Base) -> impl Iterator<Item = &super::base::Stroke> {
    base.full_depth().filter(|stroke| {
        let line = &base.lines[stroke.line];
        stroke.arc.is_none()
            && ['X', 'Y'].iter().all(|&axis| line.contains(axis))
            && is_bare(line)
    })
}

fn twice(base: &Base) -> Vec<Mutant> {
    let again = |at: usize| {
        let line = base.lines[at].clone();
        base.with(at..at + 1, &[line.clone(), line], "twice")
    };
    flat_lines(base).step_by(4).map(|stroke| again(stroke.line)).collect()
}

fn in_three(base: &Base) -> Vec<Mutant> {
    let split = |stroke: &super::base::Stroke| {
        let (from, to) = (stroke.start(), stroke.end());
        let mut lines: Vec<String> = [1.0 / 3.0, 2.0 / 3.0]
            .map(|share| from + (to - from) * share)
            .map(|p| format!("G1 X{:.6} Y{:.6}", p.x / base.unit(), p.y / base.unit()))
            .to_vec();
        lines.push(base.lines[stroke.line].clone());
        base.with(stroke.line..stroke.line + 1, &lines, "in three")
    };
    let long = flat_lines(base).filter(|s| 3.0 < s.start().distance(s.end()));
    long.map(split).collect()
}

/// The arcs at full depth, with the piece each is.
fn arcs(base: &Base) -> impl Iterator<Item = (&super::base::Stroke, Piece)> {
    let bare = base.full_depth().filter(|stroke| is_bare(&base.lines[stroke.line]));
    bare.filter_map(|stroke| {
        let (centre, counter) = stroke.arc?;
        let (a, b) = (stroke.start() - centre, stroke.end() - centre);
        let turn = a.turn_to(b);
        let sweep = if counter {
            turn.rem_euclid(std::f64::consts::TAU)
        } else {
            -(-turn).rem_euclid(std::f64::consts::TAU)
        };
        Some((stroke, Piece::arc_about(centre, stroke.start(), sweep)))
    })
}

fn arc_in_two(base: &Base) -> Vec<Mutant> {
    let unit = base.unit();
    let split = |(stroke, piece): (&super::base::Stroke, Piece)| {
        let line = &base.lines[stroke.line];
        let (centre, mid) = (stroke.arc.expect("an arc").0, piece.at(0.5));
        let first = format!(
            "{} X{:.6} Y{:.6} I{} J{}",
            &line[..2],
            mid.x / unit,
            mid.y / unit,
            number(line, 'I').expect("it has I"),
            number(line, 'J').expect("it has J")
        );
        let to_centre = (centre - mid) * (1.0 / unit);
        let second =
            changed(line, 'I', to_centre.x - number(line, 'I').expect("it has I"));
        let second =
            changed(&second, 'J', to_centre.y - number(line, 'J').expect("it has J"));
        base.with(stroke.line..stroke.line + 1, &[first, second], "in two")
    };
    arcs(base).map(split).collect()
}

/// Chords within 4 um of their arcs.
fn arc_in_chords(base: &Base) -> Vec<Mutant> {
    let chords = |(stroke, piece): (&super::base::Stroke, Piece)| {
        let radius = stroke.start().distance(stroke.arc.expect("an arc").0);
        let most = 2.0 * libm::acos(1.0 - 0.004 / radius.max(0.01));
        let count = (1..10_000)
            .find(|&n| piece.length() / radius <= most * f64::from(n))
            .expect("few chords are enough");
        let mut lines: Vec<String> = (1..count)
            .map(|n| piece.at(f64::from(n) / f64::from(count)))
            .map(|p| format!("G1 X{:.6} Y{:.6}", p.x / base.unit(), p.y / base.unit()))
            .collect();
        let [x, y] = ['X', 'Y'].map(|axis| number(&base.lines[stroke.line], axis));
        lines.push(format!("G1 X{} Y{}", x.expect("it has X"), y.expect("it has Y")));
        base.with(stroke.line..stroke.line + 1, &lines, "in chords")
    };
    arcs(base).map(chords).collect()
}

/// Ends of strokes along a straight edge, moved toward the part. Where an arc starts there it
/// would no longer be an arc by the report.
fn shifted(base: &Base, by: f64) -> Vec<Mutant> {
    let next_is_straight = |line: usize| {
        base.strokes
            .iter()
            .find(|next| line < next.line)
            .is_some_and(|next| next.arc.is_none())
    };
    let strokes = base.full_depth().filter(|stroke| next_is_straight(stroke.line));
    let mut mutants = Vec::new();
    for stroke in strokes {
        if let Some(into) = base.toward_part(stroke)
            && let Some((letter, sign)) = axis(into)
            && base.lines[stroke.line].contains(letter)
        {
            let moved =
                changed(&base.lines[stroke.line], letter, sign * by / base.unit());
            mutants.push(base.line(stroke.line, &moved, "moved"));
        }
    }
    mutants
}

/// The axis that a direction lies along, and its sign.
pub(super) fn axis(way: super::Vector) -> Option<(char, f64)> {
    if 0.999_999 < way.x.abs() {
        Some(('X', way.x.signum()))
    } else if 0.999_999 < way.y.abs() {
        Some(('Y', way.y.signum()))
    } else {
        None
    }
}

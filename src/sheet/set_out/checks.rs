//! Closing checks: sizes and lines that must come out by themselves.

use super::steps::{How, LEVEL, Line, SetOut};
use crate::geom::Vector;

/// How many long diagonals are checked.
const DIAGONALS: usize = 3;

/// At least three checks.
pub(super) fn checks(made: &SetOut) -> Vec<String> {
    let mut lines = diagonals(made);
    lines.extend(in_line(made));
    lines.extend(parallels(made));
    lines.extend(squares(made));
    lines.push(whole(made));
    lines
}

fn length(made: &SetOut, mm: f64) -> String {
    made.rule.words(made.rule.read(mm))
}

/// A line between two points: its length and their numbers.
type Diagonal = (f64, usize, usize);

/// The longest lines between points that share no light line.
fn diagonals(made: &SetOut) -> Vec<String> {
    let points = made.on_outline();
    // One diagonal from each point, so that every check asks something new.
    let mut used: Vec<usize> = Vec::new();
    let mut chosen: Vec<Diagonal> = Vec::new();
    while let (true, Some(longest)) =
        (chosen.len() < DIAGONALS, longest(made, &points, &used))
    {
        used.extend([longest.1, longest.2]);
        chosen.push(longest);
    }
    let mut lines: Vec<String> = Vec::new();
    let mut rest = &chosen[..];
    while let [(long, a, b), more @ ..] = rest {
        let (long, pair) = (*long, pair([*a, *b]));
        match more {
            [(other, c, d), beyond @ ..] if (long - other).abs() < LEVEL => {
                lines.push(format!(
                    "Two diagonals are equal: {pair} and {}, both {}. Measured: ________ ________",
                    self::pair([*c, *d]),
                    length(made, long)
                ));
                rest = beyond;
            }
            _ => {
                let words = length(made, long);
                lines.push(format!("Straight from {pair}: {words}. Measured: ________"));
                rest = more;
            }
        }
    }
    lines
}

/// The longest line between two points of which one is not used yet; of two as long the
/// earlier one. Points are tried from the farthest from the middle on: those so near to it that
/// they cannot make a longer line are not.
fn longest(made: &SetOut, points: &[usize], used: &[usize]) -> Option<Diagonal> {
    let middle = made.middle();
    let far = |point: usize| made.truly[point].distance(middle);
    let mut outward: Vec<(f64, usize)> =
        points.iter().map(|&point| (far(point), point)).collect();
    outward.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut best: Option<Diagonal> = None;
    for (index, &(far, a)) in outward.iter().enumerate() {
        let least = best.map_or(0.0, |best| best.0 - LEVEL);
        let others = outward[index + 1..].iter();
        for &(_, b) in others.take_while(|(other, _)| least <= far + other) {
            let way = made.truly[b] - made.truly[a];
            let fresh = !used.contains(&a) || !used.contains(&b);
            let new = (way.length(), a.min(b), a.max(b));
            let is_longer = best.is_none_or(|old| {
                new.0.total_cmp(&old.0).then((old.1, old.2).cmp(&(new.1, new.2))).is_gt()
            });
            if fresh && is_longer && LEVEL < way.x.abs().min(way.y.abs()) {
                best = Some(new);
            }
        }
    }
    best
}

fn pair(ends: [usize; 2]) -> String {
    let (a, b) = (ends[0].min(ends[1]) + 1, ends[0].max(ends[1]) + 1);
    format!("{a} to {b}")
}

/// Slopes with their ends and their way.
fn slopes(made: &SetOut) -> Vec<([usize; 2], Vector)> {
    let joins = made.lines.iter().filter_map(|line| match line {
        Line { how: How::Join { .. }, ends, .. } => Some(*ends),
        _ => None,
    });
    let ways = joins.map(|ends| (ends, made.truly[ends[1]] - made.truly[ends[0]]));
    ways.filter(|(_, way)| LEVEL < way.x.abs().min(way.y.abs())).collect()
}

/// A point of the outline that must fall on a slope run on.
fn in_line(made: &SetOut) -> Option<String> {
    let points = made.on_outline();
    slopes(made).into_iter().find_map(|(ends, way)| {
        let (unit, from) = (way.unit()?, made.truly[ends[0]]);
        let falls = |&&point: &&usize| {
            let off = (made.truly[point] - from).cross(unit).abs();
            !ends.contains(&point) && off < 1e-4
        };
        let point = points.iter().find(falls)?;
        Some(format!(
            "A rule laid along the slope {}: point {} falls on it.",
            pair(ends),
            point + 1
        ))
    })
}

/// Two slopes that run alike.
fn parallels(made: &SetOut) -> Option<String> {
    let slopes = slopes(made);
    slopes.iter().enumerate().find_map(|(index, (one, way))| {
        let unit = way.unit()?;
        let (other, gap) = slopes[index + 1..].iter().find_map(|(other, way)| {
            let alike = way.unit().is_some_and(|other| other.cross(unit).abs() < 1e-6);
            let gap = (made.truly[other[0]] - made.truly[one[0]]).cross(unit).abs();
            (alike && LEVEL < gap).then_some((*other, gap))
        })?;
        Some(format!(
            "The slopes {} and {} run alike: the same gap at both ends, {}. Measured: ________ \
             ________",
            pair(*one),
            pair(other),
            length(made, gap)
        ))
    })
}

/// A line that was squared off a slope.
fn squares(made: &SetOut) -> Option<String> {
    made.lines.iter().find_map(|line| match line {
        Line { how: How::Join { square_to: Some(other) }, ends, .. } => Some(format!(
            "Square on the slope {}: {} lies along its blade.",
            pair(*other),
            pair(*ends)
        )),
        _ => None,
    })
}

fn whole(made: &SetOut) -> String {
    let (long, wide) = made.size;
    format!(
        "Over all: {} long and {} wide. Measured: ________ ________",
        length(made, long),
        length(made, wide)
    )
}

//! Closing checks: sizes and lines that must come out by themselves.

use super::reading::Rule;
use super::steps::{LEVEL, SetOut, Step};
use crate::geom::Vector;

/// How many long diagonals are checked.
const DIAGONALS: usize = 3;

/// At least three checks.
pub(super) fn checks(made: &SetOut, rule: Rule) -> Vec<String> {
    let mut lines = diagonals(made, rule);
    lines.extend(parallels(made, rule));
    lines.extend(squares(made));
    lines.push(whole(made, rule));
    lines
}

/// The longest lines between points that share no light line.
fn diagonals(made: &SetOut, rule: Rule) -> Vec<String> {
    let on_outline = outline_points(made);
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (index, &a) in on_outline.iter().enumerate() {
        for &b in &on_outline[index + 1..] {
            let way = made.truly[b] - made.truly[a];
            if LEVEL < way.x.abs().min(way.y.abs()) {
                pairs.push((way.length(), a, b));
            }
        }
    }
    pairs.sort_by(|a, b| b.0.total_cmp(&a.0));
    // One diagonal from each point, so that every check asks something new.
    let mut used: Vec<usize> = Vec::new();
    let mut chosen = Vec::new();
    for &(length, a, b) in &pairs {
        let fresh = !used.contains(&a) || !used.contains(&b);
        if fresh && chosen.len() < DIAGONALS {
            used.extend([a, b]);
            chosen.push((length, a, b));
        }
    }
    let line = |&(length, a, b): &(f64, usize, usize)| {
        let (a, b) = (a.min(b) + 1, a.max(b) + 1);
        let length = rule.words(rule.read(length));
        format!("Straight from {a} to {b}: {length}. Measured: ________")
    };
    chosen.iter().map(line).collect()
}

fn outline_points(made: &SetOut) -> Vec<usize> {
    let ends = made.steps.iter().flat_map(|step| match step {
        Step::Stands { ends } | Step::Join { ends, .. } | Step::Arc { ends, .. } => {
            ends.to_vec()
        }
        Step::Batten { through, .. } => vec![through[0], through[through.len() - 1]],
        Step::Running(_) | Step::Gauge { .. } | Step::Centre { .. } => Vec::new(),
    });
    let mut points: Vec<usize> = ends.collect();
    points.sort_unstable();
    points.dedup();
    points
}

/// Slopes with their ends.
fn slopes(made: &SetOut) -> Vec<([usize; 2], Vector)> {
    let joins = made.steps.iter().filter_map(|step| match step {
        Step::Join { ends, .. } => Some(*ends),
        _ => None,
    });
    let ways = joins.map(|ends| (ends, made.truly[ends[1]] - made.truly[ends[0]]));
    ways.filter(|(_, way)| LEVEL < way.x.abs().min(way.y.abs())).collect()
}

/// Two slopes that run alike.
fn parallels(made: &SetOut, rule: Rule) -> Option<String> {
    let slopes = slopes(made);
    slopes.iter().enumerate().find_map(|(index, (one, way))| {
        let unit = way.unit()?;
        let (other, _) = slopes[index + 1..].iter().find(|(_, other)| {
            other.unit().is_some_and(|other| other.cross(unit).abs() < 1e-6)
        })?;
        let gap = (made.truly[other[0]] - made.truly[one[0]]).cross(unit).abs();
        (LEVEL < gap).then(|| {
            format!(
                "The slopes {}–{} and {}–{} run alike: the same gap at both ends, {}.",
                one[0] + 1,
                one[1] + 1,
                other[0] + 1,
                other[1] + 1,
                rule.words(rule.read(gap))
            )
        })
    })
}

/// A line that was squared off a slope.
fn squares(made: &SetOut) -> Option<String> {
    made.steps.iter().find_map(|step| match step {
        Step::Join { ends, square_to: Some(other) } => Some(format!(
            "Square on the slope {}–{}: {}–{} lies along its blade.",
            other[0] + 1,
            other[1] + 1,
            ends[0] + 1,
            ends[1] + 1
        )),
        _ => None,
    })
}

fn whole(made: &SetOut, rule: Rule) -> String {
    let long = made.truly.iter().map(|point| point.x).fold(0.0, f64::max);
    format!(
        "Over all: {} long and {} wide. Measured: ________ ________",
        rule.words(rule.read(long)),
        rule.words(rule.read(made.width))
    )
}

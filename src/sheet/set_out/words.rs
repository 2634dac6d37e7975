//! The steps in words.

use super::reading::{Reading, Rule};
use super::steps::{LEVEL, SetOut, Step};

/// Points by their numbers on the picture: `1, 4 and 5`.
pub(super) fn named(points: &[usize]) -> String {
    let mut points: Vec<usize> = points.to_vec();
    points.sort_unstable();
    let names: Vec<String> = points.iter().map(|point| (point + 1).to_string()).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => {
            format!("{} and {last}", rest.join(", "))
        }
        _ => names.concat(),
    }
}

fn points(list: &[usize]) -> String {
    let word = if list.len() == 1 { "point" } else { "points" };
    format!("{word} {}", named(list))
}

/// A construction step: one or more lines with a box each.
pub(super) fn light(step: &Step, rule: Rule) -> Vec<String> {
    let zero = rule.read(0.0);
    match step {
        Step::Running(marks) => running(marks, rule),
        Step::Gauge { setting, near, far } if *setting == zero => {
            let mut lines =
                vec![format!("On the reference edge itself: {}.", points(near))];
            lines.retain(|_| !near.is_empty());
            if !far.is_empty() {
                lines.push(format!("On the far edge itself: {}.", points(far)));
            }
            lines
        }
        Step::Gauge { setting, near, far } => {
            let mut from = Vec::new();
            if !near.is_empty() {
                from.push(format!("from the reference edge for {}", points(near)));
            }
            if !far.is_empty() {
                from.push(format!("from the far edge for {}", points(far)));
            }
            let words = rule.words(*setting);
            vec![format!("Gauge set to {words}: {}.", from.join("; "))]
        }
        Step::Centre { setting, points: list } => vec![format!(
            "Centre line: gauge set to {}, from BOTH edges. If the two lines differ, the middle \
             lies half-way between them: {}.",
            rule.words(*setting),
            points(list)
        )],
        Step::Stands { .. }
        | Step::Join { .. }
        | Step::Arc { .. }
        | Step::Batten { .. } => Vec::new(),
    }
}

fn running(marks: &[(Reading, Vec<usize>)], rule: Rule) -> Vec<String> {
    let zero = rule.read(0.0);
    let sizes: Vec<String> = marks
        .iter()
        .filter(|mark| mark.0 != zero)
        .map(|(at, list)| format!("{} ({})", rule.words(*at), named(list)))
        .collect();
    let mut lines = vec![format!(
        "Rule laid once along the reference edge from the reference end, all sizes running: \
         {}. The numbers in brackets are the points on each.",
        sizes.join(", ")
    )];
    lines.push("Square every mark across from the reference edge.".to_owned());
    if let Some((_, list)) = marks.iter().find(|mark| mark.0 == zero) {
        lines.push(format!("On the reference end itself: {}.", points(list)));
    }
    lines
}

/// A line to be cut.
pub(super) fn cut(step: &Step, made: &SetOut, rule: Rule) -> Option<String> {
    let pair = |ends: &[usize; 2]| format!("{} to {}", ends[0] + 1, ends[1] + 1);
    match step {
        Step::Running(_)
        | Step::Gauge { .. }
        | Step::Centre { .. }
        | Step::Stands { .. } => None,
        Step::Join { ends, square_to } => {
            let way = made.truly[ends[1]] - made.truly[ends[0]];
            if let Some(other) = square_to {
                return Some(format!(
                    "Square off the slope {}, NOT off the edge: {}. It must fall on both marks.",
                    pair(other),
                    pair(ends)
                ));
            }
            if way.x.abs() < LEVEL || way.y.abs() < LEVEL {
                return Some(format!("Along its light line: {}.", pair(ends)));
            }
            let (rise, run) =
                (way.x.abs().min(way.y.abs()), way.x.abs().max(way.y.abs()));
            let from = if way.y.abs() <= way.x.abs() { "the length" } else { "square" };
            let degrees = libm::atan2(rise, run).to_degrees();
            Some(format!(
                "Join the two points: {} (1 in {:.2} off {from}, {degrees:.1}°: a check, not a \
                 setting).",
                pair(ends),
                run / rise
            ))
        }
        Step::Arc { ends, centre, radius } => Some(format!(
            "Compass at point {}, radius {}: {}.",
            centre + 1,
            rule.words(*radius),
            pair(ends)
        )),
        Step::Batten { through, radius } => Some(format!(
            "Batten bent through points {}, fair by eye (radius {}).",
            through
                .iter()
                .map(|point| (point + 1).to_string())
                .collect::<Vec<_>>()
                .join(", "),
            rule.words(*radius)
        )),
    }
}

/// What is rubbed out, kept and crossed.
pub(super) fn then(made: &SetOut, rule: Rule) -> Vec<String> {
    let zero = rule.read(0.0);
    let carries = |points: &[usize]| {
        made.steps.iter().any(|step| {
            matches!(step, Step::Stands { ends } | Step::Join { ends, .. } if ends.iter().all(|end| points.contains(end)))
        })
    };
    let mut rub = Vec::new();
    for step in &made.steps {
        match step {
            Step::Running(marks) => {
                let idle =
                    marks.iter().filter(|mark| mark.0 != zero && !carries(&mark.1));
                rub.extend(idle.map(|mark| format!("squared at {}", rule.words(mark.0))));
            }
            Step::Gauge { setting, near, far } => {
                for (edge, points) in
                    [("the reference edge", near), ("the far edge", far)]
                {
                    if *setting != zero && !points.is_empty() && !carries(points) {
                        rub.push(format!(
                            "gauged at {} from {edge}",
                            rule.words(*setting)
                        ));
                    }
                }
            }
            Step::Centre { .. } => rub.push("the centre line".to_owned()),
            Step::Stands { .. }
            | Step::Join { .. }
            | Step::Arc { .. }
            | Step::Batten { .. } => {}
        }
    }
    let rub = if rub.is_empty() {
        "Rub out the ends of the light lines beyond the thick ones.".to_owned()
    } else {
        format!(
            "Rub out these light lines whole: {}. Of the others rub out what lies beyond the \
             thick lines.",
            rub.join("; ")
        )
    };
    vec![
        rub,
        "Write KEEP on the part and put an X on every piece of waste, as in the picture."
            .to_owned(),
    ]
}

/// How far a corner can be off by rounding.
pub(super) fn rounding(made: &SetOut, rule: Rule) -> String {
    let off = made.truly.iter().zip(&made.points).map(|(truly, [x, y])| {
        let read = crate::geom::Point::new(rule.mm(*x), rule.mm(*y));
        read.distance(*truly)
    });
    let worst = off.fold(0.0, f64::max);
    let step = rule.step();
    format!(
        "Strong is a hair over the mark, shy a hair under: a quarter of a step of {}. Read so, no \
         point is off by more than {}; by the drawing's own figures, before pencil and knife.",
        rule.paper.fine(step),
        rule.paper.fine(worst)
    )
}

//! The steps in words.

use super::LayoutAsk;
use super::reading::{Reading, Rule};
use super::steps::{How, LEVEL, Light, Line, SetOut};

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
pub(super) fn light(step: &Light, made: &SetOut) -> Vec<String> {
    let rule = made.rule;
    let zero = rule.read(0.0);
    match step {
        Light::Running(marks) => running(marks, rule),
        Light::Gauge { setting, near, far } if *setting == zero => {
            let on = |edge: &str, list: &[usize]| {
                (!list.is_empty())
                    .then(|| format!("On the {edge} itself: {}.", points(list)))
            };
            [on("reference edge", near), on("other edge", far)]
                .into_iter()
                .flatten()
                .collect()
        }
        Light::Gauge { setting, near, far } => {
            let mut from = Vec::new();
            if !near.is_empty() {
                from.push(format!("from the reference edge for {}", points(near)));
            }
            if !far.is_empty() {
                from.push(format!("from the other edge for {}", points(far)));
            }
            let words = rule.words(*setting);
            vec![format!("Gauge set to {words}: {}.", from.join("; "))]
        }
        Light::Centre { setting, points: list } => vec![format!(
            "Centre line: gauge set to {}, from BOTH edges. If the two lines differ, the middle \
             lies half-way between them: {}.",
            rule.words(*setting),
            points(list)
        )],
        Light::Beside { point } => vec![beside(*point, made)],
    }
}

/// Where a centre beside the stock lies.
fn beside(point: usize, made: &SetOut) -> String {
    let (at, rule) = (made.truly[point], made.rule);
    let from = |mm: f64, side: &str| {
        let words = rule.words(rule.read(mm.abs()));
        let beyond = if mm < 0.0 { "beyond" } else { "from" };
        format!("{words} {beyond} the reference {side}")
    };
    format!(
        "Point {}, a centre beside the stock, on a scrap held flush with it: {}, {}.",
        point + 1,
        from(at.x, "end"),
        from(at.y, "edge")
    )
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

/// The lines to be cut, step by step: all that run along a light line in one.
pub(super) fn cuts(made: &SetOut) -> Vec<String> {
    let drawn = made.lines.iter().filter(|line| line.how != How::Stands);
    let (along, others): (Vec<&Line>, Vec<&Line>) =
        drawn.partition(|line| runs_along(line, made));
    let along: Vec<String> = along.iter().map(|line| pair(line.ends)).collect();
    let along = match &along[..] {
        [] => None,
        [one] => Some(format!("Along its light line: {one}.")),
        all => Some(format!("Along their light lines: {}.", all.join("; "))),
    };
    // A slope is there before anything is squared off it.
    let (squared, slopes): (Vec<&Line>, Vec<&Line>) = others
        .into_iter()
        .partition(|line| matches!(line.how, How::Join { square_to: Some(_) }));
    let others = slopes.into_iter().chain(squared).map(|line| cut(line, made));
    along.into_iter().chain(others).collect()
}

/// Whether a line is a straight one on a line squared or gauged before.
fn runs_along(line: &Line, made: &SetOut) -> bool {
    let way = made.truly[line.ends[1]] - made.truly[line.ends[0]];
    line.how == How::Join { square_to: None } && way.x.abs().min(way.y.abs()) < LEVEL
}

fn pair(ends: [usize; 2]) -> String {
    format!("{} to {}", ends[0] + 1, ends[1] + 1)
}

/// A line to be cut.
fn cut(line: &Line, made: &SetOut) -> String {
    let rule = made.rule;
    let ends = pair(line.ends);
    match &line.how {
        How::Stands => String::new(),
        How::Join { square_to: Some(other) } => format!(
            "Square off the slope {}, NOT off the edge: {ends}. It must fall on both marks.",
            pair(*other)
        ),
        How::Join { square_to: None } => join(line, &ends, made),
        How::Arc { centre, radius } => {
            format!(
                "Compass at point {}, radius {}: {ends}.",
                centre + 1,
                rule.words(*radius)
            )
        }
        How::Batten { inner, radius } => {
            let [from, to] = &line.ends;
            let through = std::iter::once(from).chain(inner).chain([to]);
            let through: Vec<String> =
                through.map(|point| (point + 1).to_string()).collect();
            let radius = radius.map_or_else(String::new, |radius| {
                format!(" (radius {})", rule.words(radius))
            });
            format!(
                "Batten bent through points {}, fair by eye{radius}.",
                through.join(", ")
            )
        }
        How::Traced => format!(
            "Trace {ends} from the full-size pattern or the template: too many short curves to \
             lay out."
        ),
    }
}

fn join(line: &Line, ends: &str, made: &SetOut) -> String {
    let way = made.truly[line.ends[1]] - made.truly[line.ends[0]];
    let (rise, run) = (way.x.abs().min(way.y.abs()), way.x.abs().max(way.y.abs()));
    let from = if way.y.abs() <= way.x.abs() { "the length" } else { "square" };
    let degrees = libm::atan2(rise, run).to_degrees();
    format!(
        "Join the two points: {ends} (1 in {:.2} off {from}, {degrees:.1}°: a check, not a \
         setting).",
        run / rise
    )
}

/// What is rubbed out, kept and crossed.
pub(super) fn then(made: &SetOut) -> Vec<String> {
    let rule = made.rule;
    let zero = rule.read(0.0);
    let carries = |points: &[usize]| {
        made.lines.iter().any(|line| {
            let straight = matches!(line.how, How::Stands | How::Join { .. });
            straight && line.ends.iter().all(|end| points.contains(end))
        })
    };
    let idle = |setting: Reading, points: &[usize]| {
        setting != zero && !points.is_empty() && !carries(points)
    };
    let mut rub = Vec::new();
    let [mut squared, mut near_edge, mut far_edge] = [const { Vec::new() }; 3];
    let mut is_centre = false;
    for step in &made.light {
        match step {
            Light::Running(marks) => {
                let idle = marks.iter().filter(|mark| idle(mark.0, &mark.1));
                squared.extend(idle.map(|mark| rule.words(mark.0)));
            }
            Light::Gauge { setting, near, far } => {
                for (edge, points) in [(&mut near_edge, near), (&mut far_edge, far)] {
                    if idle(*setting, points) {
                        edge.push(rule.words(*setting));
                    }
                }
            }
            Light::Centre { setting, points } => {
                is_centre = is_centre || idle(*setting, points);
            }
            Light::Beside { .. } => {}
        }
    }
    for (how, all) in [
        ("squared at", squared),
        ("gauged from the reference edge at", near_edge),
        ("gauged from the other edge at", far_edge),
    ] {
        if !all.is_empty() {
            rub.push(format!("{how} {}", all.join(", ")));
        }
    }
    if is_centre {
        rub.push("the centre line".to_owned());
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

/// How far a corner of the outline can be off by rounding, in mm.
pub(super) fn farthest_off(made: &SetOut) -> f64 {
    made.on_outline().into_iter().map(|point| made.off(point)).fold(0.0, f64::max)
}

/// How far a corner can be off by rounding, and whether the joint bears that.
pub(super) fn rounding(made: &SetOut, ask: &LayoutAsk<'_>) -> String {
    let (rule, worst) = (made.rule, farthest_off(made));
    let off = rule.paper.fine(worst);
    let gap = match ask.clearance.filter(|gap| 0.0 < *gap) {
        None => String::new(),
        Some(gap) if worst <= gap => {
            format!(" That stays within the joint's gap of {}.", rule.paper.fine(gap))
        }
        Some(gap) => format!(
            " That is more than the joint's gap of {}: knife one half, and mark its mate from it.",
            rule.paper.fine(gap)
        ),
    };
    format!(
        "Read to {}. Strong is a hair over the mark, shy a hair under: a quarter of that step. \
         Read so, no corner is off by more than {off}, before pencil and knife.{gap}",
        rule.step_words()
    )
}

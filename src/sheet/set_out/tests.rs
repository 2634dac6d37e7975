//! The steps carried out by arithmetic: what they draw is the outline.

use super::reading::{Reading, Rule};
use super::steps::{End, SetOut, Step, set_out};
use super::{checks, words};
use crate::diag::{Place, Source};
use crate::geom::{Loop, Piece, Point};
use crate::joint::{JointStock, Rule as JointRule, named};
use crate::outline::{Outline, outlines};
use crate::read::{JointName, JointWish, SetIn, Wood, job};
use crate::shop::defaults::joint_rule;
use crate::units::{Mm, Paper, Unit};

const INCH: Paper = Paper { unit: Unit::Inch, fraction: 32 };

fn joints() -> Vec<Outline> {
    let stock = JointStock { thick: Some(24.0), slot: 14.0, set_in: 3.0 };
    let figure = |rule: JointRule| joint_rule(rule).value;
    let drawn = JointName::ALL.into_iter().flat_map(|name| {
        let wish = JointWish {
            name,
            width: Mm::of(71.3),
            length: None,
            long: None,
            nib: None,
            slope: None,
            slot: None,
            mate: None,
            fingers: None,
            clearance: None,
            set_in: SetIn::Both,
            wood: Wood::Hard,
            place: Place::whole(Source::Job, "joint.toml"),
        };
        named(&wish, stock, &figure, "joint").expect("a joint").halves
    });
    drawn
        .map(|half| outlines(&half, &[], 0.001).expect("an outline").value.remove(0))
        .collect()
}

fn sample(text: &str) -> Outline {
    let job = job("sample.toml", text).expect("a job").value;
    let load = |_: &str| Ok(Vec::new());
    let drawing = crate::read::drawing(&job, &load).expect("a drawing").value;
    outlines(&drawing, &job.roles, 0.001).expect("an outline").value.remove(0)
}

fn parts() -> Vec<Outline> {
    let mut parts = joints();
    parts.push(sample(include_str!("../../../samples/trestle-foot.toml")));
    parts.push(sample(include_str!("../../../samples/arched-apron.toml")));
    parts.push(sample(include_str!("../../../samples/house-sign.toml")));
    parts
}

/// The points as the light lines alone give them: where a squared and a gauged line cross.
fn points(made: &SetOut, rule: Rule) -> Vec<Point> {
    let mut xs: Vec<Option<f64>> = vec![None; made.points.len()];
    let mut ys = xs.clone();
    let put = |into: &mut Vec<Option<f64>>, list: &[usize], mm: f64| {
        for &point in list {
            assert!(into[point].replace(mm).is_none(), "point {point} is marked once");
        }
    };
    for step in &made.steps {
        match step {
            Step::Running(marks) => {
                for (at, list) in marks {
                    put(&mut xs, list, rule.mm(*at));
                }
            }
            Step::Gauge { setting, near, far } => {
                put(&mut ys, near, rule.mm(*setting));
                put(&mut ys, far, made.width - rule.mm(*setting));
            }
            // From both edges: half-way between the two lines.
            Step::Centre { setting, points } => {
                let near = rule.mm(*setting);
                put(&mut ys, points, f64::midpoint(near, made.width - near));
            }
            Step::Stands { .. }
            | Step::Join { .. }
            | Step::Arc { .. }
            | Step::Batten { .. } => {}
        }
    }
    let marked = xs.into_iter().zip(ys);
    marked.map(|(x, y)| Point::new(x.expect("squared"), y.expect("gauged"))).collect()
}

/// How far the line that a step draws is from the piece it stands for.
fn off(step: &Step, piece: &Piece, (points, rule): (&[Point], Rule)) -> f64 {
    let farthest =
        |list: &[Point]| list.iter().map(|&at| piece.distance(at)).fold(0.0, f64::max);
    match step {
        Step::Stands { ends } | Step::Join { ends, .. } => {
            let [a, b] = ends.map(|end| points[end]);
            a.distance(piece.from()).max(b.distance(piece.to()))
        }
        Step::Batten { through, .. } => {
            let list: Vec<Point> = through.iter().map(|&point| points[point]).collect();
            farthest(&list)
        }
        Step::Arc { ends, centre, radius } => {
            let centre = points[*centre];
            let swung: Vec<Point> = (1..16)
                .map(|place| piece.at(f64::from(place) / 16.0))
                .map(|at| {
                    centre + (at - centre).unit().expect("a way") * rule.mm(*radius)
                })
                .collect();
            farthest(&ends.map(|end| points[end])).max(farthest(&swung))
        }
        Step::Running(_) | Step::Gauge { .. } | Step::Centre { .. } => {
            panic!("{step:?} is no line to be cut")
        }
    }
}

/// Basis: geometry; the sheet's own steps give the outline back within half of the fraction.
#[test]
fn the_steps_draw_the_outline_within_half_a_step() {
    for paper in [Paper::MM, INCH, Paper { unit: Unit::Inch, fraction: 16 }] {
        let rule = Rule { paper };
        for outline in parts() {
            let made = set_out(&outline, rule);
            let marked = points(&made, rule);
            let is_cut = |step: &&Step| {
                !matches!(
                    step,
                    Step::Running(_) | Step::Gauge { .. } | Step::Centre { .. }
                )
            };
            let steps: Vec<&Step> = made.steps.iter().filter(is_cut).collect();
            let pieces = outline.loops.iter().flat_map(Loop::pieces);
            let pieces: Vec<Piece> = pieces.map(|piece| moved(piece, &made)).collect();
            assert_eq!(steps.len(), pieces.len(), "{}: a step a piece", outline.name);
            for (step, piece) in steps.into_iter().zip(&pieces) {
                let off = off(step, piece, (&marked, rule));
                let most = rule.step() / 2.0 + 1e-9;
                assert!(
                    off <= most,
                    "{}: {step:?} is {off} off, more than {most}",
                    outline.name
                );
            }
        }
    }
}

/// A piece as it lies from the reference end and edge.
fn moved(piece: &Piece, made: &SetOut) -> Piece {
    let at = |point: Point| made.laid(point);
    let way = if made.end == End::Right { -1.0 } else { 1.0 };
    match *piece {
        Piece::Line { from, to } => Piece::line(at(from), at(to)),
        Piece::Arc { from, to, centre, sweep } => Piece::Arc {
            from: at(from),
            to: at(to),
            centre: at(centre),
            sweep: sweep * way,
        },
    }
}

#[test]
fn every_setting_of_the_gauge_is_made_once() {
    for outline in parts() {
        let rule = Rule { paper: INCH };
        let made = set_out(&outline, rule);
        let settings: Vec<Reading> = made
            .steps
            .iter()
            .filter_map(|step| match step {
                Step::Gauge { setting, .. } | Step::Centre { setting, .. } => {
                    Some(*setting)
                }
                _ => None,
            })
            .collect();
        let mut once = settings.clone();
        once.sort();
        once.dedup();
        assert_eq!(once.len(), settings.len(), "{}", outline.name);
        let running = made.steps.iter().filter(|step| matches!(step, Step::Running(_)));
        assert_eq!(running.count(), 1, "the rule is laid once");
    }
}

#[test]
fn every_layout_ends_with_checks_and_names_no_chained_size() {
    for outline in parts() {
        let rule = Rule { paper: Paper::MM };
        let made = set_out(&outline, rule);
        let closing = checks::checks(&made, rule);
        assert!(3 <= closing.len(), "{}: {closing:?}", outline.name);
        let said: Vec<String> =
            made.steps.iter().flat_map(|step| words::light(step, rule)).collect();
        assert!(said[0].contains("all sizes running"), "{}", said[0]);
    }
}

/// Basis: geometry; the abutments of a tabled scarf stand square to its slope, not to the edge.
#[test]
fn a_line_square_to_a_slope_is_squared_off_the_slope() {
    let rule = Rule { paper: Paper::MM };
    let tabled = joints()
        .into_iter()
        .find(|half| half.edges.iter().any(|edge| edge.name.as_deref() == Some("table")));
    let made = set_out(&tabled.expect("a tabled scarf"), rule);
    let said: Vec<String> =
        made.steps.iter().filter_map(|step| words::cut(step, &made, rule)).collect();
    let squared = said.iter().filter(|line| line.contains("Square off the slope"));
    assert_eq!(squared.count(), 1, "{said:?}");
}

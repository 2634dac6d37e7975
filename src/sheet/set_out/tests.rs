//! The steps carried out by arithmetic: what they draw is the outline.

use super::reading::{Reading, Rule};
use super::steps::{How, Light, Line, SetOut, set_out};
use super::{LayoutAsk, checks, read_finely, words};
use crate::geom::{Loop, Point, Vector};
use crate::joint::{JointStock, Rule as JointRule, named};
use crate::outline::{Outline, outlines};
use crate::read::{JointName, JointWish, job};
use crate::shop::Reference;
use crate::shop::defaults::joint_rule;
use crate::units::{Paper, Unit};

const INCH: Paper = Paper { unit: Unit::Inch, fraction: 32 };

const NEAR: Reference = Reference { far: false, right: None, left_handed: false };
const FAR: Reference = Reference { far: true, right: Some(true), left_handed: false };

fn rule(paper: Paper) -> Rule {
    Rule::all(paper)[0]
}

fn joints() -> Vec<Outline> {
    let stock =
        JointStock { thick: Some(24.0), slot: 14.0, set_in: 3.0, paper: Paper::MM };
    let figure = |rule: JointRule| joint_rule(rule).value;
    let drawn = JointName::ALL.into_iter().flat_map(|name| {
        let wish = JointWish::plain(name, 71.3);
        named(&wish, stock, &figure, "joint").expect("a joint").halves
    });
    drawn
        .map(|half| {
            outlines(&half, &[], 0.001, Paper::MM).expect("an outline").value.remove(0)
        })
        .collect()
}

fn sample(text: &str) -> Outline {
    let job = job("sample.toml", text).expect("a job").value;
    let load = |_: &str| Ok(Vec::new());
    let drawing = crate::read::drawing(&job, &load).expect("a drawing").value;
    outlines(&drawing, &job.roles, 0.001, Paper::MM).expect("an outline").value.remove(0)
}

fn parts() -> Vec<Outline> {
    let mut parts = joints();
    parts.push(sample(include_str!("../../../samples/trestle-foot.toml")));
    parts.push(sample(include_str!("../../../samples/arched-apron.toml")));
    parts.push(sample(include_str!("../../../samples/house-sign.toml")));
    parts
}

/// The points as the light lines alone give them: where a squared and a gauged line cross.
fn points(made: &SetOut) -> Vec<Point> {
    let rule = made.rule;
    let mut xs: Vec<Option<f64>> = vec![None; made.points.len()];
    let mut ys = xs.clone();
    let put = |into: &mut Vec<Option<f64>>, list: &[usize], mm: f64| {
        for &point in list {
            assert!(into[point].replace(mm).is_none(), "point {point} is marked once");
        }
    };
    for step in &made.light {
        match step {
            Light::Running(marks) => {
                for (at, list) in marks {
                    put(&mut xs, list, rule.mm(*at));
                }
            }
            Light::Gauge { setting, near, far } => {
                put(&mut ys, near, rule.mm(*setting));
                put(&mut ys, far, made.size.1 - rule.mm(*setting));
            }
            // From both edges: half-way between the two lines.
            Light::Centre { setting, points } => {
                let near = rule.mm(*setting);
                put(&mut ys, points, f64::midpoint(near, made.size.1 - near));
            }
            Light::Beside { point } => {
                let [x, y] = made.points[*point].map(|reading| rule.mm(reading));
                put(&mut xs, &[*point], x);
                put(&mut ys, &[*point], y);
            }
        }
    }
    let marked = xs.into_iter().zip(ys);
    marked.map(|(x, y)| Point::new(x.expect("squared"), y.expect("gauged"))).collect()
}

/// A thin batten through some pins, its ends free, by another way than the layout's own: the
/// slope at each pin, found by going over them until nothing changes.
fn bent(pins: &[Point]) -> Vec<Point> {
    const PLACES: u32 = 12;
    let gaps: Vec<f64> = pins.windows(2).map(|two| two[0].distance(two[1])).collect();
    let rise = |span: usize| (pins[span + 1] - pins[span]) * (1.0 / gaps[span]);
    let mut slopes = vec![Vector::new(0.0, 0.0); pins.len()];
    let last = pins.len() - 1;
    for _ in 0..200 {
        slopes[0] = (rise(0) * 3.0 - slopes[1]) * 0.5;
        for pin in 1..last {
            let (u, v) = (1.0 / gaps[pin - 1], 1.0 / gaps[pin]);
            let right = (rise(pin - 1) * u + rise(pin) * v) * 3.0;
            let beside = slopes[pin - 1] * u + slopes[pin + 1] * v;
            slopes[pin] = (right - beside) * (0.5 / (u + v));
        }
        slopes[last] = (rise(last - 1) * 3.0 - slopes[last - 1]) * 0.5;
    }
    let place = |span: usize, t: f64| {
        let (p, q, h) = (pins[span], pins[span + 1], gaps[span]);
        let ends =
            (slopes[span] * (1.0 - t) - slopes[span + 1] * t) * (t * (1.0 - t) * h);
        p + (q - p) * (t * t * (3.0 - 2.0 * t)) + ends
    };
    let places =
        |span| (0..=PLACES).map(move |n| (span, f64::from(n) / f64::from(PLACES)));
    (0..last).flat_map(places).map(|(span, t)| place(span, t)).collect()
}

/// How far what a step draws is from the pieces it stands for.
fn off(line: &Line, made: &SetOut, points: &[Point]) -> f64 {
    let laid = |index: usize| made.drawn(points[index]);
    let to_pieces = |at: Point| {
        line.pieces.iter().map(|piece| piece.distance(at)).fold(f64::INFINITY, f64::min)
    };
    let [from, to] = line.ends.map(laid);
    let last = line.pieces[line.pieces.len() - 1];
    let ends = from.distance(line.pieces[0].from()).max(to.distance(last.to()));
    let farthest =
        |list: Vec<Point>| list.into_iter().map(to_pieces).fold(ends, f64::max);
    match &line.how {
        How::Stands | How::Join { .. } | How::Traced => ends,
        How::Batten { inner, .. } => {
            let [first, last] = line.ends;
            let pins = std::iter::once(first).chain(inner.iter().copied()).chain([last]);
            farthest(bent(&pins.map(laid).collect::<Vec<Point>>()))
        }
        How::Arc { centre, radius } => {
            let centre = laid(*centre);
            let on_it = (1..16).map(|place| line.pieces[0].at(f64::from(place) / 16.0));
            let swung = |at: Point| {
                centre + (at - centre).unit().expect("a way") * made.rule.mm(*radius)
            };
            farthest(on_it.map(swung).collect())
        }
    }
}

/// Basis: geometry; the sheet's own steps give the outline back within half of the fraction,
/// whichever corner sizes run from.
#[test]
fn the_steps_draw_the_outline_within_half_a_step() {
    for paper in [Paper::MM, INCH, Paper { unit: Unit::Inch, fraction: 16 }] {
        for (outline, reference) in
            parts().iter().flat_map(|part| [(part, NEAR), (part, FAR)])
        {
            let made = set_out(outline, reference, rule(paper));
            let marked = points(&made);
            let drawn: usize = made.lines.iter().map(|line| line.pieces.len()).sum();
            let pieces = outline.loops.iter().flat_map(Loop::pieces).count();
            assert_eq!(drawn, pieces, "{}: every piece is drawn once", outline.name);
            for line in &made.lines {
                let off = off(line, &made, &marked);
                let most = made.rule.step() / 2.0 + 1e-9;
                assert!(off <= most, "{}: {line:?} is {off} off", outline.name);
            }
        }
    }
}

/// Basis: what a shop does: seven to nine points for an arc of 700, and each setting of the
/// gauge for both its sides.
#[test]
fn an_arch_is_laid_out_in_few_points_and_fewer_settings() {
    let foot = sample(include_str!("../../../samples/trestle-foot.toml"));
    for (paper, most) in [(Paper::MM, 9), (INCH, 9)] {
        let made = set_out(&foot, NEAR, rule(paper));
        let top = made.lines.iter().find(|line| 600.0 < line.pieces[0].length());
        let Some(Line { how: How::Batten { inner, .. }, .. }) = top else {
            panic!("an arch of 700: {top:?}")
        };
        assert!((5..=most).contains(&(inner.len() + 2)), "{inner:?}");
        let mut heights: Vec<Reading> =
            inner.iter().map(|&p| made.points[p][1]).collect();
        heights.sort_unstable();
        heights.dedup();
        assert!(heights.len() <= inner.len().div_ceil(2), "{heights:?}");
        assert!(settings(&made).len() <= 12, "{:?}", settings(&made));
    }
}

/// The settings of the gauge that a layout makes, but for the edges themselves.
fn settings(made: &SetOut) -> Vec<Reading> {
    let zero = made.rule.read(0.0);
    let settings = made.light.iter().filter_map(|step| match step {
        Light::Gauge { setting, .. } | Light::Centre { setting, .. } => Some(*setting),
        Light::Running(_) | Light::Beside { .. } => None,
    });
    settings.filter(|setting| *setting != zero).collect()
}

#[test]
fn every_setting_of_the_gauge_is_made_once() {
    for outline in parts() {
        let made = set_out(&outline, NEAR, rule(INCH));
        let settings = settings(&made);
        let mut once = settings.clone();
        once.sort();
        once.dedup();
        assert_eq!(once.len(), settings.len(), "{}", outline.name);
        let running = made.light.iter().filter(|step| matches!(step, Light::Running(_)));
        assert_eq!(running.count(), 1, "the rule is laid once");
    }
}

/// Basis: every way of gauging each point from the one edge or the other, tried in full: none
/// has fewer settings.
#[test]
fn no_other_order_has_fewer_settings_of_the_gauge() {
    let mut tried = 0;
    for outline in joints() {
        let made = set_out(&outline, NEAR, rule(Paper::MM));
        let zero = made.rule.read(0.0);
        let ways = made.truly.iter().map(|at| {
            let near = made.rule.read(at.y);
            let far = made.rule.read(made.size.1 - at.y);
            if made.far_is_true { vec![near, far] } else { vec![near] }
        });
        let mut ways: Vec<Vec<Reading>> =
            ways.filter(|ways| !ways.contains(&zero)).collect();
        ways.sort();
        ways.dedup();
        if 12 < ways.len() {
            continue;
        }
        tried += 1;
        let fewest = (0..1_u32 << ways.len())
            .map(|choice| {
                let chosen = ways.iter().enumerate().map(|(index, ways)| {
                    ways[usize::from(choice >> index & 1 == 1).min(ways.len() - 1)]
                });
                let mut chosen: Vec<Reading> = chosen.collect();
                chosen.sort();
                chosen.dedup();
                chosen.len()
            })
            .min();
        assert_eq!(Some(settings(&made).len()), fewest, "{}", outline.name);
    }
    assert!(8 < tried, "{tried} small cases");
}

#[test]
fn every_layout_ends_with_checks_and_names_no_chained_size() {
    for outline in parts() {
        let made = set_out(&outline, NEAR, rule(Paper::MM));
        let closing = checks::checks(&made);
        assert!(3 <= closing.len(), "{}: {closing:?}", outline.name);
        let said: Vec<String> =
            made.light.iter().flat_map(|step| words::light(step, &made)).collect();
        assert!(said[0].contains("all sizes running"), "{}", said[0]);
        assert!(
            !said.iter().any(|line| line.contains(" -")),
            "no size below nothing: {said:?}"
        );
    }
}

/// Basis: geometry; the abutments of a tabled scarf stand square to its slope, not to the edge.
#[test]
fn a_line_square_to_a_slope_is_squared_off_the_slope() {
    let tabled = joints()
        .into_iter()
        .find(|half| half.edges.iter().any(|edge| edge.name.as_deref() == Some("table")));
    let made = set_out(&tabled.expect("a tabled scarf"), NEAR, rule(Paper::MM));
    let said = words::cuts(&made);
    let squared = said.iter().filter(|line| line.contains("Square off the slope"));
    assert_eq!(squared.count(), 1, "{said:?}");
}

/// Basis: geometry; the step is made finer until no corner is farther off than the joint's gap.
#[test]
fn the_fraction_is_as_fine_as_the_gap_asks() {
    for (paper, gap, step) in [
        (INCH, None, "1/32 in"),
        (INCH, Some(0.5), "1/32 in"),
        (INCH, Some(0.08), "1/64 in"),
        (Paper::MM, Some(0.3), "0.5 mm"),
        (Paper::MM, Some(0.08), "0.1 mm"),
    ] {
        let ask =
            LayoutAsk { paper, reference: NEAR, clearance: gap, lap: false, id: "test" };
        for half in joints() {
            let made = read_finely(&half, &ask);
            let said = words::rounding(&made, &ask);
            if let Some(gap) = gap {
                let finest = Rule::all(paper).last() == Some(&made.rule);
                let fits = words::farthest_off(&made) <= gap;
                assert!(fits || finest, "{}: {said}", half.name);
                assert_eq!(fits, said.contains("stays within"), "{said}");
            }
            let finer = made.rule.step() <= Rule::all(paper)[0].step();
            assert!(finer, "{}: never coarser than asked", half.name);
        }
        let scarf = joints().remove(6);
        let said = words::rounding(&read_finely(&scarf, &ask), &ask);
        assert!(said.contains(step), "{}: {step} in {said}", scarf.name);
    }
}

/// Basis: geometry: of five fingers across two boards half A has three, and two notches between
/// them; half B has two fingers and three notches.
#[test]
fn an_x_stands_in_every_notch_and_beside_no_finger() {
    let stock =
        JointStock { thick: Some(20.0), slot: 14.0, set_in: 0.0, paper: Paper::MM };
    let figure = |rule: JointRule| joint_rule(rule).value;
    let wish = JointWish::plain(JointName::FingerJoint, 100.0);
    let halves = named(&wish, stock, &figure, "joint").expect("a joint").halves;
    for (half, notches) in halves.iter().zip([2, 3]) {
        let outline =
            outlines(half, &[], 0.001, Paper::MM).expect("an outline").value.remove(0);
        let made = set_out(&outline, NEAR, rule(Paper::MM));
        let scene = super::picture::picture(&outline, &made, "a1b2c3d4");
        let crosses = scene.texts().filter(|text| text.text == "X").count();
        assert_eq!(crosses, notches, "{}", outline.name);
    }
}

//! The whole road by the second method: every job among the samples planned, its program proved.

use super::{Planned, plan_job};
use crate::diag::Problem;
use crate::geom::by_second_method_alone;
use crate::plan::HandKind;
use crate::reach::Method;
use crate::read;

/// How far the two may lie apart, in mm: the second shrinks the radius by up to 2 µm.
const APART: f64 = 2e-3;

macro_rules! samples {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("../../samples/", $name, ".toml")))),*]
    };
}

const SAMPLES: [(&str, &str); 14] = samples![
    "trestle-foot",
    "arched-apron",
    "gate-rail-scarf",
    "house-sign",
    "saw-handle",
    "one-way-bracket",
    "other-way-bracket",
    "shelf-end",
    "pole-bracket",
    "wall-hook",
    "gate-rail-wedged",
    "lapped-stretcher",
    "class-half-lap",
    "cap-rail-mouth",
];

fn planned(name: &str, text: &str) -> Planned {
    let mut job = read::job(name, text).expect("a sound job").value;
    if job.bits.iter().any(|bit| bit.rack_name().is_some()) {
        let rack = include_str!("../../samples/rack.toml");
        job.rack = read::rack("rack.toml", rack).expect("a sound rack").value;
    }
    let none =
        |_: &str| Err(Problem::stop("not-there", "no file", "none is named").into());
    match plan_job(&job, &none) {
        Ok(told) => told.value,
        Err(failure) => panic!("{name}: {failure:?}"),
    }
}

/// What is done by hand: kind, depth, area.
fn hand(planned: &Planned) -> Vec<(HandKind, f64, f64)> {
    planned.plan.hand.iter().map(|one| (one.kind, one.depth, one.area)).collect()
}

#[test]
fn every_sample_is_planned_alike_by_both_methods() {
    let mut by_polygons = 0;
    for (name, text) in SAMPLES {
        let first = planned(name, text);
        let second = by_second_method_alone(|| planned(name, text));
        let counts = |planned: &Planned| {
            let plan = &planned.plan;
            (plan.set_ups.len(), plan.passes.len(), plan.stretches.len(), plan.saw.len())
        };
        assert_eq!(counts(&first), counts(&second), "{name}: set-ups, passes, stretches");
        assert_eq!(first.program.is_some(), second.program.is_some(), "{name}: proved");
        let (one, other) = (hand(&first), hand(&second));
        assert_eq!(one.len(), other.len(), "{name}: hand work");
        for (a, b) in one.iter().zip(&other) {
            assert_eq!(a.0, b.0, "{name}: the kind of hand work");
            assert!((a.1 - b.1).abs() <= APART, "{name}: depths {} and {}", a.1, b.1);
            // Geometry: on each mm of its border the disc may stand 2 µm off.
            let most = APART * (20.0 + a.2);
            assert!((a.2 - b.2).abs() <= most, "{name}: areas {} and {}", a.2, b.2);
        }
        let reaches =
            second.plan.parts.iter().flat_map(|part| part.reach.iter().flatten());
        by_polygons += reaches.filter(|reach| reach.method == Method::Polygons).count();
    }
    assert!(0 < by_polygons, "the second method was asked");
}

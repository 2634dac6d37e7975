//! The fit of halves, against hand-worked cases and against another's booleans.

use super::Fit;
use crate::geom::{Loop, Piece, Point, Vector};
use crate::joint::meet::faces;
use crate::joint::named::tests::{STOCK, rules, wish};
use crate::joint::named::{Pair, Rule, named};
use crate::read::{Drawing, JointName, JointWish, Role, Stroke};
use crate::units::Mm;
use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, Polygon};

fn drawn(wish: &JointWish) -> Pair {
    let glued = |rule| if rule == Rule::Clearance { 0.08 } else { rules(rule) };
    named(wish, STOCK, &glued, "joint").expect("a joint")
}

fn fit(pair: &Pair, clearance: f64) -> Fit {
    let [a, b] = &pair.joined;
    super::fit(&faces(&pair.halves[0], b, 1.0), [a, b], clearance)
}

/// The routed faces of a half, with their names. Openings inside it meet no mate.
fn routed(half: &Drawing) -> Vec<(Piece, String)> {
    let strokes = half.paths.iter().take(1).flat_map(|path| &path.strokes);
    let routed = strokes.filter(|drawn| drawn.role == Some(Role::Rout));
    routed
        .filter_map(|drawn| match drawn.stroke {
            Stroke::Piece(piece) => Some((piece, drawn.name.clone().unwrap_or_default())),
            Stroke::Cubic(_) | Stroke::Ellipse { .. } => None,
        })
        .collect()
}

/// A half as another's polygons. All named joints are made of straight lines.
pub(in crate::joint) fn polygons(half: &[Loop], by: Vector) -> MultiPolygon {
    let ring = |ring: &Loop| {
        let corners = ring.pieces().iter().map(|piece| piece.from() + by);
        LineString(corners.map(|at| Coord { x: at.x, y: at.y }).collect())
    };
    let (outside, openings): (Vec<&Loop>, Vec<&Loop>) =
        half.iter().partition(|ring| 0.0 < ring.area());
    let whole =
        MultiPolygon(outside.iter().map(|one| Polygon::new(ring(one), vec![])).collect());
    openings.iter().fold(whole, |whole, opening| {
        whole.difference(&Polygon::new(ring(opening), vec![]))
    })
}

fn moved(half: &[Loop], by: Vector) -> Vec<Loop> {
    let corners = |ring: &Loop| -> Vec<Point> {
        ring.pieces().iter().map(|piece| piece.from() + by).collect()
    };
    half.iter().map(|ring| Loop::polygon(&corners(ring))).collect()
}

/// Basis: another library's booleans, with half B moved into half A by many ways.
#[test]
fn the_overlap_is_that_of_booleans() {
    let nothing = Vector::new(0.0, 0.0);
    for name in JointName::ALL {
        let pair = drawn(&wish(name));
        for (x, y) in
            [(0.0, 0.0), (-2.0, 0.0), (0.0, 1.5), (-0.7, -1.1), (3.0, 0.4), (-40.0, 5.0)]
        {
            let by = Vector::new(x, y);
            let mut sunk = pair.clone();
            sunk.joined[1] = moved(&pair.joined[1], by);
            let [a, b] =
                [polygons(&pair.joined[0], nothing), polygons(&pair.joined[1], by)];
            let expected = a.intersection(&b).unsigned_area();
            let found = super::overlap::area(&sunk.joined[0], &sunk.joined[1]);
            assert!(
                (found - expected).abs() < 0.02,
                "{name:?} by {by:?}: {found}, not {expected}"
            );
        }
    }
}

/// Basis: geometry; every face is its clearance from its mate, none overlaps, and both halves
/// and the gap make up the whole.
#[test]
fn every_named_joint_meets_with_its_clearance() {
    for name in JointName::ALL {
        let pair = drawn(&wish(name));
        let Fit { faces, overlap, .. } = fit(&pair, 0.08);
        assert!(overlap < 1e-6, "{name:?} overlaps by {overlap}");
        assert!(!faces.is_empty(), "{name:?} has faces");
        for face in &faces {
            assert!(0.079 < face.least && face.most < 0.0801, "{name:?}: {face:?}");
        }
        // Beside these faces lies the slot for the wedges, or nothing at all.
        let open: &[&str] = match name {
            JointName::TabledScarf => &["table"],
            JointName::TuskTenon => &["end", "slot"],
            _ => &[],
        };
        let named = |word: &str| faces.iter().any(|face| face.name == word);
        for (piece, word) in routed(&pair.halves[0]) {
            assert_eq!(
                named(&word),
                !open.contains(&word.as_str()),
                "{name:?}: {piece:?}"
            );
        }
    }
}

/// Basis: geometry; what a clearance of nothing leaves is the board.
#[test]
fn without_clearance_the_halves_meet() {
    for name in [JointName::HalfLap, JointName::SplayedScarf, JointName::FingerJoint] {
        let pair = drawn(&JointWish { clearance: Some(Mm::of(0.0)), ..wish(name) });
        for face in fit(&pair, 0.0).faces {
            assert!(face.least.abs() + face.most.abs() < 1e-4, "{name:?}: {face:?}");
        }
    }
}

/// Basis: geometry, worked by hand: which way each leaves its mate.
#[test]
fn halves_leave_each_other_only_where_nothing_holds_them() {
    let holds = |ways: &[(f64, f64)], degrees: f64| {
        ways.iter().any(|&(from, to)| {
            (-1e-3..=to - from + 1e-3).contains(&(degrees - from).rem_euclid(360.0))
                || (degrees - from).abs() < 1e-3
        })
    };
    for (name, free, held) in [
        // Half B lies to the right of half A's nibs and under its slope.
        (JointName::SplayedScarf, vec![0.0, 270.0], vec![90.0, 180.0]),
        (JointName::HalfLap, vec![0.0, 270.0], vec![90.0, 180.0]),
        (JointName::Bridle, vec![0.0], vec![90.0, 180.0, 270.0, 45.0]),
        (JointName::FingerJoint, vec![0.0], vec![90.0, 180.0, 270.0]),
        (JointName::TuskTenon, vec![0.0], vec![90.0, 180.0, 270.0]),
        (JointName::DovetailedLap, vec![], vec![0.0, 90.0, 180.0, 270.0]),
    ] {
        let ways = fit(&drawn(&wish(name)), 0.08).ways;
        for angle in free {
            assert!(holds(&ways, angle), "{name:?} is free at {angle}: {ways:?}");
        }
        for angle in held {
            assert!(!holds(&ways, angle), "{name:?} is held at {angle}: {ways:?}");
        }
    }
}

/// Basis: geometry; a tail 50 long with a tip of 50 at 1 in 8 has a neck of 37.5.
#[test]
fn the_neck_of_a_tail_is_found() {
    let pair = drawn(&JointWish {
        width: Mm::of(75.0),
        long: Some(Mm::of(50.0)),
        clearance: Some(Mm::of(0.0)),
        ..wish(JointName::DovetailedLap)
    });
    let fit = fit(&pair, 0.0);
    assert!((fit.necks[0].expect("a neck") - 37.5).abs() < 1e-9, "{:?}", fit.necks);
}

/// Basis: geometry; halves that are each other after a half-turn have the same necks.
#[test]
fn halves_that_are_alike_have_the_same_necks() {
    for name in [JointName::SplayedScarf, JointName::TabledScarf, JointName::HalfLap] {
        let [a, b] = fit(&drawn(&wish(name)), 0.08).necks;
        let (a, b) = (a.expect("half A has one"), b.expect("half B has one"));
        assert!((a - b).abs() < 1e-6, "{name:?}: {a} and {b}");
    }
}

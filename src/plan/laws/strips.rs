//! Strips with grain of their own, grain that runs no one way, and the two hands of a pair.

use super::ROUT;
use super::outlines::{BOTH, SHANK, guided, ids, planned, rectangle, slope};
use crate::geom::Point;
use crate::grain::Band;
use crate::outline::Outline;
use crate::plan::shapes::{apron, polygon, shop};
use crate::plan::{DoneBy, Lap, Plan, Reason, SharedWay, plan};
use crate::read::{GrainKind, Role};
use crate::shop::Shop;
use crate::units::{Diameter, Mm};

/// A board 300 long and 100 wide whose right end alone is routed, raked to 59.0 degrees.
fn raked() -> Outline {
    let points = [(0.0, 0.0), (300.0, 0.0), (360.0, 100.0), (0.0, 100.0)];
    let kept = Role::TrueAlready;
    polygon(&points, &[kept, ROUT, kept, kept])
}

fn in_strips(strips: &[(f64, f64)]) -> Shop {
    let mut shop = guided(shop(0.0, &[12.7]), &[SHANK]);
    shop.stock.strips = strips.to_vec();
    shop
}

/// Basis: geometry: the edge is walked at atan(100/60) = 59.04 degrees: downhill by 59.04 in a
/// strip of 0, by 39.04 in one of 20, uphill by 40.96 in one of 100; the strips end 30 and 70
/// from the near edge.
#[test]
fn each_strip_is_planned_by_its_own_grain() {
    let plan = planned(raked(), &in_strips(&[(30.0, 0.0), (40.0, 20.0), (30.0, 100.0)]));
    let ring = &plan.parts[0].guide.loops[0];
    let found: Vec<(f64, f64, f64, bool)> = plan
        .stretches
        .iter()
        .map(|it| {
            let ends = [it.span.from, it.span.to()].map(|along| ring.at(along).y);
            (ends[0], ends[1], it.phi.0, it.is_by_hand())
        })
        .collect();
    let expected = [
        (0.0, 30.0, 59.036, false),
        (30.0, 70.0, 39.036, false),
        (70.0, 100.0, -40.964, true),
    ];
    assert_eq!(found.len(), 3, "split at the lines between strips: {found:?}");
    for (one, other) in found.iter().zip(expected) {
        for (a, b) in [(one.0, other.0), (one.1, other.1), (one.2, other.2)] {
            assert!((a - b).abs() < 1e-3, "{found:?}");
        }
        assert_eq!(one.3, other.3, "uphill goes to the hand: {found:?}");
    }
    assert!(ids(&plan).contains(&"strips-in-order"), "{:?}", ids(&plan));
    let narrow = planned(raked(), &in_strips(&[(30.0, 0.0), (40.0, 20.0)]));
    assert!(ids(&narrow).contains(&"strips-too-narrow"), "{:?}", ids(&narrow));
}

/// Basis: geometry: strips alike are one board.
#[test]
fn strips_alike_change_nothing() {
    let strips = planned(raked(), &in_strips(&[(50.0, 0.0), (50.0, 0.0)]));
    let board = planned(raked(), &in_strips(&[]));
    assert_eq!(strips.stretches, board.stretches, "one stretch");
}

/// Basis: from memory: no way round is promised in such grain; less than 1/32 in a lap is light.
#[test]
fn grain_that_runs_no_one_way_promises_nothing() {
    for kind in GrainKind::ALL {
        let mut rack = guided(shop(0.0, &[12.7]), &[BOTH]);
        rack.stock.kind = kind;
        let plan = planned(slope(20.0), &rack);
        let promised = plan.stretches.iter().any(|it| it.why == Reason::Downhill);
        assert_eq!(promised, kind.keeps_its_way(), "{kind:?}");
        let told = ids(&plan).contains(&"no-downhill-promised");
        assert_eq!(told, !kind.keeps_its_way(), "{kind:?}");
        assert!(
            plan.stretches.iter().all(|it| !it.is_by_hand()),
            "it is routed: {kind:?}"
        );
        let care = 0.0 < plan.cost.care;
        assert_eq!(care, kind != GrainKind::Straight, "1/16 in is much: {kind:?}");
        rack.bits[0].body.bearings =
            vec![Diameter::new(Mm::of(14.3)).expect("it has a width")];
        let shared = planned(slope(20.0), &rack);
        let light = shared.passes.iter().any(|pass| matches!(pass.lap, Lap::Light(_)));
        assert_eq!(light, kind != GrainKind::Straight, "an oversize bearing: {kind:?}");
        assert!(shared.cost.care.abs() < 1e-9, "0.8 a lap: {kind:?}");
    }
}

/// The mirror image of a polygon, left for right about x = 0, as the other hand.
fn other_hand(points: &[(f64, f64)], roles: &[Role]) -> Outline {
    let n = points.len();
    let image: Vec<(f64, f64)> = points.iter().rev().map(|(x, y)| (-x, *y)).collect();
    // The sides come in the other order: the last one of the image is that from its last point.
    let turned: Vec<Role> = (0..n).map(|side| roles[(2 * n - 2 - side) % n]).collect();
    Outline { mirrored: true, ..polygon(&image, &turned) }
}

fn pair(points: &[(f64, f64)], roles: &[Role], shop: &Shop) -> Plan {
    let outlines = vec![polygon(points, roles), other_hand(points, roles)];
    plan(outlines, shop).expect("it can be planned").value
}

/// Basis: geometry: in the mirror image the grain is mirrored, the walk runs the other way, and
/// so the angle to the tooth has the other sign; what one hand routs with the motor on face A
/// the other does with it on face B.
#[test]
fn the_other_hand_has_its_own_grain() {
    let points = [(0.0, 0.0), (400.0, 0.0), (430.0, 120.0), (60.0, 150.0)];
    for grain in [0.0, 12.0, 30.0, 75.0, 140.0] {
        let shop = guided(shop(grain, &[12.7]), &[BOTH]);
        let plan = pair(&points, &[ROUT; 4], &shop);
        let (left, right): (Vec<_>, Vec<_>) =
            plan.stretches.iter().partition(|it| it.part == 0);
        assert_eq!(left.len(), right.len(), "{grain}");
        let middle = |it: &crate::plan::Stretch| {
            let ring = &plan.parts[it.part].guide.loops[it.span.on];
            ring.at(it.span.from + it.span.length / 2.0)
        };
        for one in left {
            let at = middle(one);
            let image = Point::new(-at.x, at.y);
            let other = right.iter().find(|it| middle(it).distance(image) < 1e-6);
            let other = other.expect("its mirror image");
            let phi = |it: &crate::plan::Stretch| f64::midpoint(it.phi.0, it.phi.1);
            let off = (phi(one) + phi(other)).rem_euclid(180.0);
            assert!(off.min(180.0 - off) < 1e-9, "{grain}: {one:?} {other:?}");
            assert_eq!(one.band, other.band.turned(), "{grain}");
            let s = |it: &crate::plan::Stretch| match it.done_by {
                DoneBy::Pass(number) => plan.set_ups[plan.passes[number - 1].set_up].s(),
                DoneBy::Hand => 0,
            };
            if one.band == Band::Downhill || one.band == Band::Uphill {
                assert_eq!(s(one), -s(other), "{grain}: {one:?} {other:?}");
            }
        }
    }
}

/// Basis: geometry: the template of one hand turned over serves the other; a part that lies on
/// itself after a half-turn serves end for end, one that is drawn the same way as it is; one with an
/// edge more serves nobody else.
#[test]
fn one_template_serves_two_parts_and_is_made_once() {
    let points = [(0.0, 0.0), (400.0, 0.0), (430.0, 120.0), (60.0, 150.0)];
    let shop = guided(shop(12.0, &[12.7]), &[BOTH]);
    let hands = pair(&points, &[ROUT; 4], &shop);
    let shared = hands.parts[1].shared.expect("it is made once");
    assert_eq!((shared.with, shared.way), (0, SharedWay::Mirrored));
    assert!(hands.parts[1].template.is_empty() && hands.parts[0].shared.is_none());
    assert!(ids(&hands).contains(&"one-template-for-two"), "{:?}", ids(&hands));

    let moved = |turn: f64| -> Vec<(f64, f64)> {
        points.iter().map(|(x, y)| (1000.0 + turn * x, 500.0 + turn * y)).collect()
    };
    let both = |other: Outline| {
        let outlines = vec![polygon(&points, &[ROUT; 4]), other];
        plan(outlines, &shop).expect("it can be planned").value
    };
    let turned = both(polygon(&moved(-1.0), &[ROUT; 4]));
    assert_eq!(turned.parts[1].shared.map(|it| it.way), Some(SharedWay::EndForEnd));
    let same = both(polygon(&moved(1.0), &[ROUT; 4]));
    assert_eq!(same.parts[1].shared.map(|it| it.way), Some(SharedWay::SameWay));
    let roles = [ROUT, ROUT, Role::TrueAlready, ROUT];
    let kept = both(polygon(&moved(-1.0), &roles));
    assert_eq!(kept.parts[1].shared, None, "another edge is routed");
    let other = both(rectangle_at(600.0));
    assert_eq!(other.parts[1].shared, None, "another shape");
}

fn rectangle_at(x: f64) -> Outline {
    let points = [(x, 0.0), (x + 400.0, 0.0), (x + 400.0, 150.0), (x, 150.0)];
    polygon(&points, &[ROUT; 4])
}

/// A hand alone, and a part that is alone, have a template of their own.
#[test]
fn a_part_alone_has_its_template() {
    for part in [apron(), rectangle(400.0, 320.0)] {
        let plan = planned(part, &shop(0.0, &[12.7]));
        assert!(plan.parts[0].shared.is_none() && !plan.parts[0].template.is_empty());
    }
}

//! Joints by name: their sizes, and what they have in common.

use super::{JointStock, Pair, Rule, named};
use crate::geom::Loop;
use crate::read::{JointName, JointWish, Role, Stroke};
use crate::units::{Mm, Paper};

/// The figures of the rules as tests use them: those of the shop, written out again.
pub(in crate::joint) fn rules(rule: Rule) -> f64 {
    match rule {
        Rule::LapLong => 2.0,
        Rule::TailLong | Rule::TailTip | Rule::TenonWide => 2.0 / 3.0,
        Rule::TailMost => 0.75,
        Rule::TailHard => 8.0,
        Rule::TailSoft | Rule::ScarfHard => 6.0,
        Rule::ScarfSoft => 12.0,
        Rule::BridleTongue | Rule::Table | Rule::TuskHigh => 1.0 / 3.0,
        Rule::Nib => 0.12,
        Rule::TuskBeyond => 1.5,
        Rule::FingerWide => 1.0,
        Rule::Clearance => 0.0,
    }
}

pub(in crate::joint) fn wish(name: JointName) -> JointWish {
    JointWish::plain(name, 70.0)
}

pub(in crate::joint) const STOCK: JointStock =
    JointStock { thick: Some(24.0), slot: 14.0, set_in: 3.0, paper: Paper::MM };

fn drawn(wish: &JointWish) -> Pair {
    named(wish, STOCK, &rules, "joint").expect("a joint")
}

fn size(pair: &Pair, what: &str) -> f64 {
    let found = pair.sizes.iter().find(|size| size.what == what);
    found.unwrap_or_else(|| panic!("{what} in {:?}", pair.sizes)).value
}

/// Basis: the rules, worked by hand for stock 70 wide and 24 thick.
#[test]
fn sizes_follow_the_stock() {
    for (name, what, mm) in [
        (JointName::HalfLap, "length of the lap", 140.0),
        (JointName::SplayedScarf, "length of the scarf", 420.0),
        (JointName::SplayedScarf, "depth of the nibs", 8.5),
        (JointName::TabledScarf, "depth of the table", 23.5),
        (JointName::Bridle, "thickness of the tongue", 8.0),
        (JointName::Bridle, "depth of the fork, the mate's width", 70.0),
        (JointName::FingerJoint, "width of a finger", 70.0 / 3.0),
        // A tail 46.5 long and wide, half a millimetre being the step: 46.5 - 2 x 46.5 / 8.
        (JointName::DovetailedLap, "neck of the tail", 34.875),
    ] {
        let found = size(&drawn(&wish(name)), what);
        assert!((found - mm).abs() < 1e-9, "{name:?}, {what}: {found}, not {mm}");
    }
}

/// Basis: geometry; every loop of every half is closed, bounds wood, and has its roles. That
/// each is a sound outline is tried where they are laid out.
#[test]
fn both_halves_are_closed_and_have_roles() {
    for name in JointName::ALL {
        let pair = drawn(&wish(name));
        for half in &pair.halves {
            for path in &half.paths {
                let ring = super::across::ring(path);
                for (index, piece) in ring.pieces().iter().enumerate() {
                    let before = ring.pieces()[ring.before(index)];
                    assert!(
                        before.to().distance(piece.from()) < 1e-9,
                        "{name:?} is closed"
                    );
                }
            }
            let area: f64 = super::loops(half).iter().map(Loop::area).sum();
            assert!(0.0 < area, "{name:?} is wood");
            for role in [Role::Rout, Role::TrueAlready] {
                let mut strokes = half.paths.iter().flat_map(|path| &path.strokes);
                assert!(
                    strokes.any(|drawn| drawn.role == Some(role)),
                    "{name:?} {role:?}"
                );
            }
        }
    }
}

/// Basis: geometry; turned about the middle a half is the other one, or it is not.
#[test]
fn one_template_serves_both_halves_only_of_these() {
    for (name, one) in [
        (JointName::HalfLap, true),
        (JointName::SplayedScarf, true),
        (JointName::TabledScarf, true),
        (JointName::Bridle, false),
        (JointName::FingerJoint, false),
        (JointName::DovetailedLap, false),
        (JointName::TuskTenon, false),
    ] {
        let pair = drawn(&wish(name));
        assert_eq!(pair.mating.half_turn.is_some(), one, "{name:?}");
        if let Some(middle) = pair.mating.half_turn {
            let turned: Vec<_> = pair.joined[0][0]
                .pieces()
                .iter()
                .map(|piece| middle + (middle - piece.from()))
                .collect();
            let (turned, other) = (Loop::polygon(&turned), &pair.joined[1][0]);
            for piece in turned.pieces() {
                let along = other.nearest(piece.at(0.4));
                assert!(other.at(along).distance(piece.at(0.4)) < 1e-6, "{name:?}");
            }
        }
    }
}

/// Basis: geometry; the slot is a rectangle, open in neither half's wood.
#[test]
fn a_tabled_scarf_leaves_a_true_slot_for_its_wedges() {
    let pair = drawn(&wish(JointName::TabledScarf));
    let slot = pair.slot.expect("a slot");
    assert!((slot.width - 14.0).abs() < 1e-12 && (slot.height - 23.5).abs() < 1e-9);
    let wood: f64 = pair.joined.iter().flatten().map(Loop::area).sum();
    let board = (420.0 + 400.0) * 70.0;
    assert!((board - wood - slot.width * slot.height).abs() < 1e-6, "{}", board - wood);
    let tables: Vec<_> = pair
        .halves
        .iter()
        .flat_map(|half| &half.paths[0].strokes)
        .filter(|drawn| drawn.name.as_deref() == Some("table"))
        .filter_map(|drawn| match drawn.stroke {
            Stroke::Piece(piece) => Some(piece),
            _ => None,
        })
        .collect();
    assert_eq!(tables.len(), 2, "one abutment each");
    let apart = tables[0].distance(tables[1].at(0.5));
    assert!((apart - slot.width).abs() < 1e-9, "{apart} apart");
}

#[test]
fn sizes_that_leave_no_wood_are_refused() {
    let mm = |length: f64| Some(Mm::of(length));
    let thin = JointStock { thick: None, ..STOCK };
    for (wish, stock) in [
        (JointWish { nib: mm(40.0), ..wish(JointName::SplayedScarf) }, STOCK),
        (JointWish { long: mm(90.0), ..wish(JointName::DovetailedLap) }, STOCK),
        (JointWish { slope: Some(1.5), ..wish(JointName::DovetailedLap) }, STOCK),
        (JointWish { fingers: Some(4), ..wish(JointName::FingerJoint) }, STOCK),
        (JointWish { slot: mm(200.0), ..wish(JointName::TabledScarf) }, STOCK),
        (wish(JointName::Bridle), thin),
    ] {
        let failure = named(&wish, stock, &rules, "joint").expect_err("no wood");
        let problem = &failure.problems()[0];
        assert_eq!(problem.id, "joint-leaves-no-wood", "{wish:?}");
        assert!(!problem.hint.is_empty(), "it says what to do");
    }
}

//! Wedges worked by hand, and what must be refused.

use super::{Habits, Hold, Push, Slot, Taper, WedgeAsk, WedgeKind, hold, wedges};

const HABITS: Habits = Habits {
    to_drive: 15.0,
    to_trim: 5.0,
    kerf: 1.5,
    shaving: 0.15,
    least_tip: 3.0,
    friction: 0.25,
    set_in: 3.0,
};

fn ask(kind: WedgeKind, size: [f64; 3], one_in: f64) -> WedgeAsk {
    let [width, height, through] = size;
    WedgeAsk {
        kind,
        slot: Slot { width, height, through },
        taper: Taper::OneIn(one_in),
        push: Push::EndGrain,
        tenon: None,
        sets: 1,
        habits: HABITS,
        paper: crate::units::Paper::MM,
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// Basis: geometry; 16 mm of drive at 1 in 8 spread 2 mm.
#[test]
fn driving_spreads_by_the_slope() {
    let pair = wedges(&ask(WedgeKind::Folding, [20.0, 25.0, 45.0], 8.0)).expect("a pair");
    assert!(close(pair.lift(16.0), 2.0), "{}", pair.lift(16.0));
    assert!(close(pair.most_lift(), 30.0 / 8.0), "both are driven 15");
}

/// Basis: geometry; wherever the two lie on each other, they are as wide as the slot.
#[test]
fn a_folding_pair_is_as_wide_as_its_slot_everywhere() {
    let pair =
        wedges(&ask(WedgeKind::Folding, [14.0, 25.0, 45.0], 12.0)).expect("a pair");
    assert!(close(pair.length, 65.0) && close(pair.height, 24.85), "{pair:?}");
    for at in [0.0, 10.0, 22.5, 45.0] {
        // One has its tip 5 past the far face, the other 5 past the near one.
        let one = pair.tip + (45.0 + 5.0 - at) / pair.one_in;
        let other = pair.tip + (at + 5.0) / pair.one_in;
        assert!(close(one + other, 14.0), "{at}: {one} and {other}");
    }
    assert!(close(pair.head - pair.tip, 65.0 / 12.0), "the taper");
}

/// Basis: geometry, worked by hand: 1 in 6 through 70, 32.5 wide in the middle.
#[test]
fn a_tusk_wedge_worked_by_hand() {
    let mut asked = ask(WedgeKind::Tusk, [32.5, 8.0, 70.0], 6.0);
    asked.habits.to_drive = 10.0;
    asked.habits.to_trim = 10.0;
    let one = wedges(&asked).expect("a wedge");
    assert!(
        close(one.length, 90.0) && close(one.tip, 25.0) && close(one.head, 40.0),
        "{one:?}"
    );
}

/// Basis: geometry; a taper holds on one face under mu, on two under the double angle.
#[test]
fn friction_holds_by_the_rule_and_by_the_limit() {
    for (one_in, friction, held) in [
        (6.0, 0.17, Hold::Holds),
        (6.0, 0.16, Hold::WhileDry),
        (8.0, 0.126, Hold::Holds),
        (12.0, 0.084, Hold::Holds),
        (3.0, 0.25, Hold::WhileDry),
        (1.5, 0.25, Hold::SpringsBack),
    ] {
        assert_eq!(hold(one_in, friction), held, "1 in {one_in} at {friction}");
    }
}

/// Basis: geometry; head and tip give the slope back.
#[test]
fn head_and_tip_give_the_slope() {
    let mut asked = ask(WedgeKind::Folding, [14.0, 25.0, 45.0], 12.0);
    let pair = wedges(&asked).expect("a pair");
    asked.taper = Taper::Ends { head: pair.head, tip: pair.tip };
    let again = wedges(&asked).expect("the same pair");
    assert!(close(again.one_in, 12.0), "{}", again.one_in);
}

/// Basis: geometry; every wedge of the strip has its head and its tip, and a kerf lies between.
#[test]
fn wedges_lie_head_to_tip_on_one_strip() {
    let mut asked = ask(WedgeKind::Folding, [14.0, 25.0, 45.0], 12.0);
    asked.sets = 3;
    let made = wedges(&asked).expect("pairs");
    assert_eq!(made.strip.cuts.len(), 6);
    let (mut near, mut far) = (0.0, 0.0);
    for (index, cut) in made.strip.cuts.iter().enumerate() {
        let ends = [cut.near - near, cut.far - far];
        let (head, tip) =
            if index % 2 == 0 { (ends[0], ends[1]) } else { (ends[1], ends[0]) };
        assert!(close(head, made.head) && close(tip, made.tip), "{index}: {ends:?}");
        (near, far) = (cut.near + HABITS.kerf, cut.far + HABITS.kerf);
    }
    assert!(close(made.strip.width, near.max(far)), "{}", made.strip.width);
}

#[test]
fn bad_wedges_are_refused_with_what_would_do() {
    let tusk = ask(WedgeKind::Tusk, [32.5, 8.0, 70.0], 6.0);
    let mut weak = tusk;
    weak.tenon = Some(20.0);
    let mut shallow = tusk;
    shallow.habits.set_in = 1.0;
    let mut across = tusk;
    across.push = Push::LongGrain;
    let mut flat = tusk;
    flat.taper = Taper::Ends { head: 20.0, tip: 20.0 };
    for (asked, id, cure) in [
        (ask(WedgeKind::Folding, [9.0, 25.0, 45.0], 12.0), "wedge-tip-thin", "1 in 19"),
        (
            ask(WedgeKind::Folding, [60.0, 25.0, 45.0], 1.5),
            "wedge-springs-back",
            "1 in 4",
        ),
        (ask(WedgeKind::Folding, [14.0, 2.0, 45.0], 12.0), "wedge-low", "3.2 mm"),
        (ask(WedgeKind::Tenon, [4.0, 12.0, 40.0], 14.3), "wedge-bottoms-out", "2.5 mm"),
        (weak, "wedge-weakens-tenon", "6.6 mm"),
        (shallow, "wedge-bottoms-out", "2.5 mm"),
        (across, "wedge-splits", "end grain"),
        (flat, "wedge-without-taper", "swap"),
    ] {
        let failure = wedges(&asked).expect_err(id);
        let problem = &failure.problems()[0];
        assert_eq!(problem.id, id);
        assert!(problem.hint.contains(cure), "{id}: {}", problem.hint);
    }
}

/// Basis: geometry; what a refusal says would do, does.
#[test]
fn the_slope_a_refusal_names_will_do() {
    let thin = ask(WedgeKind::Folding, [9.0, 25.0, 45.0], 12.0);
    assert!(wedges(&thin).is_err(), "too thin");
    let flatter = WedgeAsk { taper: Taper::OneIn(19.0), ..thin };
    assert!(wedges(&flatter).is_ok(), "1 in 19 does");
    let almost = WedgeAsk { taper: Taper::OneIn(18.0), ..thin };
    assert!(wedges(&almost).is_err(), "1 in 18 does not");
}

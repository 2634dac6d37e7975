//! Laps and ways down that go round the wrong way, planted in a toolpath: whatever else is as it
//! should be, only the rule of their direction is broken.

use super::planted::{as_it_is, judged_on, right};
use super::*;
use crate::path::{Kind, Move, Toolpath};
use crate::prove::Rule;
use crate::shop::LapWay;

/// What is promised and what by.
fn judged(promised: &Machine, by: &Machine, spoil: impl Fn(&mut Toolpath)) -> Vec<Rule> {
    judged_on(promised, (&[right()], by), spoil)
}

fn climbing() -> Machine {
    Machine { finish: LapWay::Climb, ..machine(6.0) }
}

/// A machine whose every level is cut to the line.
fn on_the_line(machine: &Machine) -> Machine {
    Machine { allowance: Mm::of(0.005), ..machine.clone() }
}

/// Moves from a place, and the same ways from the last to the first, each as steep as it was.
fn turned(start: &Move, moves: &[Move]) -> Vec<Move> {
    let mut z = start.z;
    let turned = (0..moves.len()).rev().map(|index| {
        let before = if index == 0 { start } else { &moves[index - 1] };
        z += moves[index].z - before.z;
        let arc = moves[index].arc.map(|(centre, sweep)| (centre, -sweep));
        Move { to: before.to, z, arc, ..moves[index] }
    });
    turned.collect()
}

/// Turns every run of moves of a kind that ends where it starts and goes round some area; how
/// many there are.
fn turn(path: &mut Toolpath, kind: Kind) -> usize {
    let moves = &mut path.moves;
    let (mut from, mut count) = (1, 0);
    while from < moves.len() {
        let same = |step: &Move| step.kind == kind;
        let gone = moves[from..].iter().take_while(|step| same(step)).count();
        let (start, run) = (moves[from - 1], &moves[from..from + gone]);
        let cross = |pair: &[Move]| (pair[0].to - start.to).cross(pair[1].to - start.to);
        let area: f64 = run.windows(2).map(cross).sum();
        let closes = run.last().is_some_and(|last| last.to.distance(start.to) < 1e-6);
        if closes && 1.0 < area.abs() {
            let turned = turned(&start, run);
            moves.splice(from..from + gone, turned);
            count += 1;
        }
        from += gone.max(1);
    }
    count
}

#[test]
fn a_climb_where_no_lap_left_a_little_is_refused() {
    let climbs = climbing();
    assert_eq!(judged(&climbs, &climbs, as_it_is), [], "roughed, then climbed");
    let all_at_the_line = judged(&climbs, &on_the_line(&climbs), as_it_is);
    assert_eq!(all_at_the_line, [Rule::Direction], "climbed, and nothing roughed");
    let rough_in_the_air = judged(&climbs, &climbs, |path| {
        for step in path.moves.iter_mut().filter(|step| step.kind == Kind::Rough) {
            step.z = 1.0;
        }
    });
    assert!(rough_in_the_air.contains(&Rule::Direction), "{rough_in_the_air:?}");
}

#[test]
fn levels_that_climb_on_the_line_are_refused_however_the_last_goes() {
    let machine = machine(6.0);
    let by = on_the_line(&machine);
    assert_eq!(
        judged(&machine, &by, as_it_is),
        [],
        "levels on the line, all of them due"
    );
    let levels = judged(&machine, &by, |path| {
        assert!(3 < turn(path, Kind::Rough), "there are levels");
    });
    assert_eq!(levels, [Rule::Direction], "only the last goes conventionally");
}

/// Basis: geometry: to and fro, a ramp climbs as far as it does not; round and round it climbs all
/// the way down.
#[test]
fn a_way_down_in_turns_that_climbs_is_refused() {
    let machine = machine(6.0);
    for by in [machine.clone(), on_the_line(&machine)] {
        let round = judged(&machine, &by, |path| {
            assert!(3 < turn(path, Kind::Ramp), "some go down in turns");
        });
        assert_eq!(round, [Rule::Direction], "with {} left", by.allowance.mm());
    }
}

/// A place on the way from one point to another, so far along it and so far out to its right.
fn beside([from, to]: [Point; 2], along: f64, out: f64) -> Point {
    let way = (to - from) * (1.0 / from.distance(to));
    from + way * along + way.right() * out
}

#[test]
fn a_climb_in_short_bites_to_and_fro_is_refused() {
    let machine = machine(6.0);
    for (bite, back) in [(0.8, 0.3), (0.9, 0.4), (4.0, 1.0)] {
        let rules = judged(&machine, &machine, |path| {
            let moves = &mut path.moves;
            let is_long = |at: &usize| {
                let [from, to] = [&moves[at - 1], &moves[*at]];
                let is_flat = to.arc.is_none() && (from.z - to.z).abs() < 1e-9;
                to.kind == Kind::Finish && is_flat && 20.0 < from.to.distance(to.to)
            };
            let at = (1..moves.len()).rev().find(is_long).expect("a long side");
            let ends = [moves[at - 1].to, moves[at].to];
            let step = |to: Point| Move { to, ..moves[at] };
            let long = ends[0].distance(ends[1]);
            let out = machine.allowance.mm();
            let mut all =
                vec![step(beside(ends, 0.0, out)), step(beside(ends, long, out))];
            let mut on = long;
            while bite < on {
                all.push(step(beside(ends, on, 0.0)));
                all.push(step(beside(ends, on - bite, 0.0)));
                on -= bite - back;
            }
            all.extend([step(ends[0]), step(ends[1])]);
            moves.splice(at..=at, all);
        });
        assert_eq!(rules, [Rule::Direction], "{bite} on and {back} back");
    }
}

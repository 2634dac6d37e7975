//! Tests of the choice: against every other one, tried one by one.

use super::path::labels;
use super::sets::{Table, metres, pass};
use super::*;
use crate::geom::shapes::Dice;

/// A whole number from 0 up to `n`.
fn below(dice: &mut Dice, n: u32) -> u32 {
    u32::try_from(dice.below(n as usize)).expect("it is less than `n`")
}

/// Where there are two layers, some holdings must wait for the other layer.
fn random_can(dice: &mut Dice, layers: usize) -> Can {
    match below(dice, 5) {
        0 => Can::No,
        1 => Can::Past,
        which => Can::Cut {
            risk: u32::from(below(dice, 4) == 0),
            against: which == 2,
            after: layers == 2 && below(dice, 3) == 0,
        },
    }
}

fn random_case(dice: &mut Dice) -> (Vec<Offer>, Vec<Chain>) {
    let n = 1 + below(dice, 4) as usize;
    let layers = 1 + usize::from(below(dice, 3) == 0);
    let offers = (0..n)
        .map(|_| Offer {
            face_b: below(dice, 4) == 0,
            light: below(dice, 4) == 0,
            laps: (0..layers).map(|_| 1 + below(dice, 2)).collect(),
            template_offset: if below(dice, 6) == 0 { -1.0 } else { 0.0 },
        })
        .collect();
    let mut chains = Vec::new();
    for _ in 0..=below(dice, 2) {
        let closed = below(dice, 2) == 0;
        let lengths: Vec<f64> =
            (0..=below(dice, 5)).map(|_| f64::from(4 + below(dice, 60))).collect();
        let mut both: Vec<Vec<Link>> = Vec::new();
        for _ in 0..layers {
            let link = |&length: &f64| Link {
                length,
                can: (0..n).map(|_| random_can(dice, layers)).collect(),
                first: Vec::new(),
            };
            both.push(lengths.iter().map(link).collect());
        }
        if let [upper, lower] = both.as_mut_slice() {
            let goes_first = |can: &Can| matches!(can, Can::Cut { after: false, .. });
            for (one, other) in upper.iter_mut().zip(lower) {
                one.first = other.can.iter().map(goes_first).collect();
                other.first = one.can.iter().map(goes_first).collect();
            }
        }
        let chain = |(layer, links)| Chain { links, closed, layer };
        chains.extend(both.into_iter().enumerate().map(chain));
    }
    (offers, chains)
}

/// How many passes a holding makes of a chain, counted from the links it cuts: two that follow
/// each other are one pass where everything between them is passed by.
fn passes(chain: &Chain, labels: &[Option<usize>], it: usize) -> i64 {
    let n = chain.links.len();
    let cut: Vec<usize> = (0..n).filter(|&at| labels[at] == Some(it)).collect();
    if cut.is_empty() {
        return 0;
    }
    let linked = |from: usize, to: usize| {
        let to = if to <= from { to + n } else { to };
        (from + 1..to).all(|at| chain.links[at % n].can[it] == Can::Past)
    };
    let last = cut.len() - 1;
    let mut breaks = (0..last).filter(|&i| !linked(cut[i], cut[i + 1])).count();
    if !chain.closed || !linked(cut[last], cut[0]) {
        breaks += 1;
    }
    i64::try_from(breaks.max(1)).expect("few")
}

/// What one way to share a chain costs, counted from its labels alone.
fn worth_on(
    offers: &[Offer],
    chain: &Chain,
    (set, by): (&[usize], &[Option<usize>]),
) -> Worth {
    let mut worth = Worth::default();
    for (link, label) in chain.links.iter().zip(by) {
        let Some(it) = *label else { continue };
        let Can::Cut { risk, against, .. } = link.can[it] else { panic!("it cuts") };
        let length = hundredths(link.length);
        worth.risk += i64::from(risk) * length;
        worth.minutes += metres(link.length, offers[it].laps[chain.layer]);
        worth.against += if against { length } else { 0 };
    }
    for &it in set {
        worth.minutes += passes(chain, by, it) * pass(offers[it].laps[chain.layer]);
    }
    worth
}

/// Every way to share the links of a chain among a set, tried one by one.
fn every_sharing(chain: &Chain, set: &[usize]) -> Vec<Vec<Option<usize>>> {
    let mut all: Vec<Vec<Option<usize>>> = vec![Vec::new()];
    for link in &chain.links {
        let mut longer = Vec::new();
        for begun in &all {
            for label in labels(link, set) {
                let mut with = begun.clone();
                with.push(label.map(|which| set[which]));
                longer.push(with);
            }
        }
        all = longer;
    }
    all
}

fn one_template(offers: &[Offer], it: usize, other: usize) -> bool {
    (offers[it].template_offset - offers[other].template_offset).abs() < 1e-6
}

/// What a set leaves to the hand that some set with one template could cut, and what its
/// set-ups cost: counted link by link.
fn fixed(offers: &[Offer], chains: &[Chain], set: &[usize]) -> Worth {
    let cut_by = |link: &Link, set: &[usize]| labels(link, set) != [None];
    let same = |it: usize| -> Vec<usize> {
        (0..offers.len()).filter(|&other| one_template(offers, it, other)).collect()
    };
    let left = chains
        .iter()
        .flat_map(|chain| &chain.links)
        .filter(|link| !cut_by(link, set))
        .filter(|link| (0..offers.len()).any(|it| cut_by(link, &same(it))))
        .map(|link| hundredths(link.length))
        .sum();
    Worth { left, minutes: thousandths(changes(offers, set)), ..Worth::default() }
}

/// Every set there is, whether worth making or not.
fn every_set(n: usize) -> Vec<Vec<usize>> {
    (1..1_usize << n)
        .map(|set| (0..n).filter(|it| set & (1 << it) != 0).collect())
        .collect()
}

/// Basis: measured: against every set worth making and every sharing, tried one by one.
#[test]
fn the_choice_is_the_best_there_is() {
    let mut dice = Dice::new(20);
    let mut large = 0;
    for case in 0..3000 {
        let (offers, chains) = random_case(&mut dice);
        let table = Table::new(&offers, &chains);
        let cuts = |set: &[usize]| {
            let mut links = chains.iter().flat_map(|chain| &chain.links);
            links.any(|link| labels(link, set) != [None])
        };
        let may_be =
            |set: &Vec<usize>| cuts(set) && (set.len() == 1 || table.worth_making(set));
        let tried = every_set(offers.len()).into_iter().filter(may_be).map(|set| {
            let best_on = |chain: &Chain| {
                let all = every_sharing(chain, &set);
                all.iter().map(|by| worth_on(&offers, chain, (&set, by))).min()
            };
            let shared = chains.iter().filter_map(best_on);
            shared.fold(fixed(&offers, &chains, &set), Worth::plus)
        });
        let best = tried.min();
        let found = choose(&offers, &chains);
        let worth = found.as_ref().map(|choice| choice.worth);
        assert_eq!(worth, best, "case {case}: {offers:?} {chains:?}");
        let Some(found) = found else { continue };
        large += usize::from(2 < found.chosen.len());
        let own = chains
            .iter()
            .zip(&found.by)
            .fold(fixed(&offers, &chains, &found.chosen), |sum, (chain, by)| {
                sum.plus(worth_on(&offers, chain, (&found.chosen, by)))
            });
        assert_eq!(own, found.worth, "case {case}: it costs what it says");
    }
    assert!(50 < large, "many need three set-ups or more: {large}");
}

/// The plan of somebody in a hurry: always the holding that cuts most of what is left, each
/// edge to the first that can cut it.
fn in_a_hurry(offers: &[Offer], chains: &[Chain]) -> Option<Worth> {
    let table = Table::new(offers, chains);
    let links = || chains.iter().flat_map(|chain| &chain.links);
    let mut set: Vec<usize> = Vec::new();
    loop {
        let adds = |it: usize| -> f64 {
            let mut with = set.clone();
            with.push(it);
            let more = |link: &&Link| {
                labels(link, &set) == [None] && labels(link, &with) != [None]
            };
            links().filter(more).map(|link| link.length).sum()
        };
        let fits = |it: &usize| {
            let mut with = set.clone();
            with.push(*it);
            set.is_empty() || table.worth_making(&with)
        };
        let most = (0..offers.len())
            .filter(fits)
            .max_by(|&a, &b| adds(a).total_cmp(&adds(b)).then(b.cmp(&a)))?;
        let least = if set.is_empty() { 1e-9 } else { defaults::LEAST_SET_UP.value };
        if adds(most) < least {
            break;
        }
        set.push(most);
    }
    if set.is_empty() {
        return None;
    }
    let first = |link: &Link| labels(link, &set)[0].map(|which| set[which]);
    let shared = chains.iter().map(|chain| {
        let by: Vec<Option<usize>> = chain.links.iter().map(first).collect();
        worth_on(offers, chain, (&set, &by))
    });
    Some(shared.fold(table.fixed(&set), Worth::plus))
}

/// Basis: measured.
#[test]
fn a_hurried_choice_is_often_worse_and_never_better() {
    let mut dice = Dice::new(21);
    let (mut cases, mut worse) = (0, 0);
    while cases < 1000 {
        let (offers, chains) = random_case(&mut dice);
        let Some(hurried) = in_a_hurry(&offers, &chains) else { continue };
        let found = choose(&offers, &chains).expect("there is something to cut");
        cases += 1;
        worse += usize::from(found.worth < hurried);
        assert!(found.worth <= hurried, "{offers:?} {chains:?}");
    }
    assert!(300 <= worse, "worse in at least 30 of 100: {worse} of {cases}");
}

fn cut() -> Can {
    Can::Cut { risk: 0, against: false, after: false }
}

fn offer() -> Offer {
    Offer { face_b: false, light: false, laps: vec![1], template_offset: 0.0 }
}

fn link(length: f64, can: Vec<Can>) -> Link {
    Link { length, can, first: Vec::new() }
}

#[test]
fn what_can_be_routed_is_routed_before_minutes_count() {
    let links = vec![link(300.0, vec![cut(), Can::No]), link(30.0, vec![Can::No, cut()])];
    let chains = [Chain { links, closed: true, layer: 0 }];
    let choice = choose(&[offer(), offer()], &chains).expect("both cut something");
    assert_eq!(choice.chosen, vec![0, 1], "a second set-up for 30 mm");
    assert_eq!(choice.worth.left, 0, "nothing is left");
}

#[test]
fn a_set_up_for_less_than_25_mm_is_not_made() {
    let links = vec![link(300.0, vec![cut(), Can::No]), link(24.0, vec![Can::No, cut()])];
    let chains = [Chain { links, closed: true, layer: 0 }];
    let choice = choose(&[offer(), offer()], &chains).expect("both cut something");
    assert_eq!(choice.chosen, vec![0], "one set-up");
    assert_eq!(choice.worth.left, 2400, "24 mm by hand");
}

#[test]
fn a_loop_one_set_up_can_cut_is_one_lap() {
    let all = |length: f64| link(length, vec![cut(), cut()]);
    let chains =
        [Chain { links: vec![all(50.0), all(80.0), all(20.0)], closed: true, layer: 0 }];
    let choice = choose(&[offer(), offer()], &chains).expect("both cut all");
    assert_eq!(choice.chosen, vec![0], "the first offered");
    assert_eq!(choice.by, vec![vec![Some(0); 3]], "all of it");
    assert_eq!(choice.worth.minutes, 1000 + 300, "one pass of 150 mm");
}

/// A second set-up for less risk comes before the minutes it takes.
#[test]
fn care_comes_before_minutes() {
    let risky = Can::Cut { risk: 1, against: false, after: false };
    let links = vec![link(300.0, vec![cut(), risky]), link(60.0, vec![risky, cut()])];
    let chains = [Chain { links, closed: true, layer: 0 }];
    let choice = choose(&[offer(), offer()], &chains).expect("both cut all");
    assert_eq!(choice.by, vec![vec![Some(0), Some(1)]], "each where it is safer");
    assert_eq!(choice.worth.risk, 0, "no edge that asks for care");
}

/// What waits for the other layer is not cut where nobody cuts that first.
#[test]
fn the_lower_layer_waits_for_the_upper() {
    let later = Can::Cut { risk: 0, against: false, after: true };
    let chains = |upper_too: bool| {
        let upper = Link {
            length: 200.0,
            can: vec![if upper_too { cut() } else { Can::No }, Can::No],
            first: vec![false, false],
        };
        let lower = Link {
            length: 200.0,
            can: vec![Can::No, later],
            first: vec![upper_too, false],
        };
        [(0, upper), (1, lower)].map(|(layer, link)| Chain {
            links: vec![link],
            closed: false,
            layer,
        })
    };
    let both = || Offer { laps: vec![1, 1], ..offer() };
    let choice = choose(&[both(), both()], &chains(true)).expect("the upper is cut");
    assert_eq!(choice.by, vec![vec![Some(0)], vec![Some(1)]], "upper, then lower");
    assert_eq!(choose(&[both(), both()], &chains(false)), None, "nothing to ride on");
}

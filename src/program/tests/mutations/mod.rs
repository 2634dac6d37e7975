//! Mutations of programs that prove. Each operator declares by construction whether its mutants
//! must be caught or must pass: nobody judges afterwards what was harmless.

mod base;

mod caught;

mod passed;

mod promised;

mod turned;

use super::*;
use crate::prove::{Judgement, Rule, judge};
use base::{Base, bases};
use std::collections::BTreeMap;

/// A changed program, or several that run one after the other, or a changed promise.
struct Mutant {
    why: String,
    texts: Vec<String>,
    promise: Option<Box<Promise>>,
}

/// What makes the mutants of a base.
type Operator = fn(&Base) -> Vec<Mutant>;

/// Judges every mutant that the operators make of every base; gives how many there were by
/// operator, how often each rule was named, and those that went wrong.
fn run(operators: &[(&'static str, Operator)], pass: bool) -> Tally {
    let mut tally = Tally::default();
    for base in bases() {
        for &(name, operator) in operators {
            for mutant in operator(&base) {
                let promise = mutant.promise.as_deref().unwrap_or(&base.promise);
                let texts: Vec<&str> = mutant.texts.iter().map(String::as_str).collect();
                tally.take(
                    (name, &format!("{}: {name}: {}", base.name, mutant.why)),
                    &judge(&texts, promise),
                    pass,
                );
            }
        }
    }
    tally
}

#[derive(Default)]
struct Tally {
    by_operator: BTreeMap<&'static str, u32>,
    by_rule: BTreeMap<Rule, u32>,
    wrong: Vec<String>,
}

impl Tally {
    fn take(&mut self, (name, why): (&'static str, &str), found: &Judgement, pass: bool) {
        *self.by_operator.entry(name).or_default() += 1;
        let mut rules: Vec<Rule> =
            found.faults().iter().map(|fault| fault.rule).collect();
        rules.sort_unstable();
        rules.dedup();
        for rule in rules {
            *self.by_rule.entry(rule).or_default() += 1;
        }
        if found.is_right() != pass {
            let faults = found.faults();
            self.wrong.push(format!("{why}: {:?}", faults.first()));
        }
    }

    fn count(&self) -> u32 {
        self.by_operator.values().sum()
    }

    fn assert_enough(&self) {
        for (name, count) in &self.by_operator {
            assert!(10 <= *count, "only {count} mutants of `{name}`");
        }
    }
}

#[test]
fn every_fault_planted_in_a_program_is_caught() {
    let dropped: [(&'static str, Operator); 1] =
        [("laps left out before a deep one", turned::laps_dropped)];
    let all =
        [&caught::OPERATORS[..], &promised::OPERATORS, &turned::OPERATORS, &dropped]
            .concat();
    let tally = run(&all, false);
    let misses = tally.wrong.len();
    assert!(
        tally.wrong.is_empty(),
        "{misses} misses: {:#?}",
        &tally.wrong[..misses.min(12)]
    );
    tally.assert_enough();
    assert!(1000 <= tally.count(), "only {} mutants", tally.count());
    for rule in Rule::ALL {
        let named = tally.by_rule.get(&rule).copied().unwrap_or(0);
        assert!(10 <= named, "{rule:?} was named {named} times");
    }
}

/// Only the way round is wrong with these: no other rule names them.
#[test]
fn a_lap_that_is_turned_round_breaks_the_rule_of_its_direction_alone() {
    for base in bases() {
        for (name, operator) in turned::OPERATORS {
            for mutant in operator(&base) {
                let texts: Vec<&str> = mutant.texts.iter().map(String::as_str).collect();
                let found = judge(&texts, &base.promise).faults();
                let rules: Vec<Rule> = found.iter().map(|fault| fault.rule).collect();
                let what = format!("{}, {name}: {}", base.name, mutant.why);
                assert!(rules.contains(&Rule::Direction), "{what}: {found:?}");
                assert!(
                    rules.iter().all(|it| *it == Rule::Direction),
                    "{what}: {found:?}"
                );
            }
        }
    }
}

#[test]
fn a_lap_that_cuts_all_the_way_down_at_one_go_is_told_as_that() {
    for base in bases() {
        for mutant in turned::laps_dropped(&base) {
            let found = judge(&[&mutant.texts[0]], &base.promise).faults();
            let told = found.iter().any(|fault| fault.text.contains("deep at one go"));
            assert!(told, "{}: {}: {found:?}", base.name, mutant.why);
        }
    }
}

#[test]
fn every_harmless_edit_of_a_program_passes() {
    let tally = run(&passed::OPERATORS, true);
    let alarms = tally.wrong.len();
    assert!(
        tally.wrong.is_empty(),
        "{alarms} alarms: {:#?}",
        &tally.wrong[..alarms.min(12)]
    );
    tally.assert_enough();
}

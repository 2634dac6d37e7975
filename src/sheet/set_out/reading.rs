//! A length as a hand reads it off a rule: whole steps, and a hair strong or shy.

use crate::units::{MM_PER_INCH, Paper, Unit};

/// The steps of a metric rule, in mm: what a pencil follows, and what a knife and a caliper do
/// (from memory).
const METRIC_STEPS: [f64; 2] = [0.5, 0.1];

/// The finest fraction of an inch on a steel rule (common practice, no source).
const FINEST_FRACTION: u32 = 64;

/// A reading: a number of steps of the rule, strong by a quarter of a step, shy by one, or
/// neither.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Reading {
    /// In quarters of a step.
    quarters: i64,
}

/// A rule and how its readings are written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rule {
    pub(super) paper: Paper,
    /// One step of it, in mm.
    step: f64,
}

impl Rule {
    /// The rules for a paper, the coarsest first: the fraction that was asked for, and finer.
    pub(super) fn all(paper: Paper) -> Vec<Self> {
        if paper.unit == Unit::Mm {
            return METRIC_STEPS.map(|step| Self { paper, step }).to_vec();
        }
        let halves =
            std::iter::successors(Some(paper.fraction), |below| below.checked_mul(2));
        let finer = halves.skip(1).take_while(|&below| below <= FINEST_FRACTION);
        let fractions = std::iter::once(paper.fraction).chain(finer);
        let rule = |fraction: u32| Self {
            paper: Paper { fraction, ..paper },
            step: MM_PER_INCH / f64::from(fraction),
        };
        fractions.map(rule).collect()
    }

    /// One step of it, in mm.
    pub(super) const fn step(self) -> f64 {
        self.step
    }

    /// One step as it is written.
    pub(super) fn step_words(self) -> String {
        self.paper.length(self.step)
    }

    /// The reading nearest to a length: never off by more than a quarter of a step.
    #[expect(clippy::cast_possible_truncation, reason = "a drawing is at most 10 m wide")]
    pub(super) fn read(self, mm: f64) -> Reading {
        let steps = (mm / self.step()).round();
        let over = mm / self.step() - steps;
        let hair = if 0.125 < over {
            1
        } else if over < -0.125 {
            -1
        } else {
            0
        };
        Reading { quarters: steps as i64 * 4 + hair }
    }

    /// What a reading stands for, in mm.
    #[expect(clippy::cast_precision_loss, reason = "a drawing is at most 10 m wide")]
    pub(super) fn mm(self, reading: Reading) -> f64 {
        reading.quarters as f64 * self.step() / 4.0
    }

    /// A reading as it is written: `62 mm`, `3/8 in strong`.
    pub(super) fn words(self, reading: Reading) -> String {
        let steps = (reading.quarters + 1).div_euclid(4);
        let whole = Reading { quarters: steps * 4 };
        let hair = match reading.quarters - steps * 4 {
            1 => " strong",
            -1 => " shy",
            _ => "",
        };
        format!("{}{hair}", self.paper.length(self.mm(whole)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_off_by_at_most_a_quarter_of_a_step() {
        for paper in [Paper::MM, Paper { unit: Unit::Inch, fraction: 32 }] {
            let rule = Rule::all(paper)[0];
            let mut mm = 0.0;
            while mm < 60.0 {
                let off = (rule.mm(rule.read(mm)) - mm).abs();
                assert!(off <= rule.step() / 4.0 + 1e-9, "{mm} read {off} off");
                mm += 0.037;
            }
        }
    }

    #[test]
    fn readings_say_strong_and_shy() {
        let inch = Rule::all(Paper { unit: Unit::Inch, fraction: 32 })[0];
        for (mm, words) in [
            (12.7, "1/2 in"),
            (12.95, "1/2 in strong"),
            (12.45, "1/2 in shy"),
            (0.0, "0 in"),
        ] {
            assert_eq!(inch.words(inch.read(mm)), words);
        }
        let metric = Rule::all(Paper::MM)[0];
        assert_eq!(metric.words(metric.read(62.0)), "62 mm");
        assert_eq!(metric.words(metric.read(62.3)), "62.5 mm shy");
    }
}

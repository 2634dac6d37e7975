//! What can be wrong with a sum, each marked to the letter, with what to do.

use super::literal::name_length;
use super::{FOLLOWS, FUNCTIONS, Part, Reader, Worth};
use crate::diag::Problem;
use crate::read::words::{nearest, not_finite};
use crate::units::LengthError;
use std::ops::Range;

/// What can be wrong with a sum.
impl Reader<'_> {
    pub(super) fn problem(
        &self,
        id: &'static str,
        (found, hint): (String, &str),
        range: Range<usize>,
    ) -> Box<Problem> {
        let place = self.place.within(range, self.text.len());
        Problem::stop(id, found, hint).at(place).into()
    }

    pub(super) fn no_length(
        &self,
        id: &'static str,
        (found, error): (String, &LengthError),
        range: Range<usize>,
    ) -> Box<Problem> {
        let problem = self.problem(id, (found, error.hint()), range);
        problem.expected("a length with its unit").into()
    }

    pub(super) fn not_finite(&self, range: Range<usize>) -> Box<Problem> {
        not_finite(self.text).at(self.place.within(range, self.text.len())).into()
    }

    pub(super) fn not_a_length(&self, worth: Worth, range: Range<usize>) -> Box<Problem> {
        let found =
            format!("`{}` is {}", self.text.trim(), worth.words(self.terms.on_paper()));
        let hint = match worth.power {
            0 => "give it a length: multiply the ratio by one, like `(a / b) * 20mm`",
            2 => {
                "take the root of the area with `sqrt(…)`, or write one of the two lengths as a number without a unit"
            }
            _ => {
                "check what is multiplied and divided: a length times a number is a length"
            }
        };
        let problem = self.problem("sum-not-a-length", (found, hint), range);
        problem.expected("a length").into()
    }

    pub(super) fn not_a_number(&self, worth: Worth, range: Range<usize>) -> Box<Problem> {
        let found =
            format!("`{}` is {}", self.text.trim(), worth.words(self.terms.on_paper()));
        let hint = "write degrees without a unit of length; sizes may stand in it as a ratio, like `90 * (a / b)`";
        let problem = self.problem("sum-not-a-number", (found, hint), range);
        problem.expected("an angle in degrees").into()
    }

    pub(super) fn divides_by_zero(&self, range: Range<usize>) -> Box<Problem> {
        let by = self.text[range.clone()].trim();
        let found = format!("`{by}` is zero, and nothing can be divided by zero");
        let hint = "check the sizes it is worked out from, or divide by another";
        self.problem("sum-divides-by-zero", (found, hint), range)
    }

    pub(super) fn broken_off(&self) -> Box<Problem> {
        let text = self.text.trim();
        if text.is_empty() {
            let error = LengthError::Unreadable;
            let found = "there is no length here".to_owned();
            return self.no_length("length-unreadable", (found, &error), 0..0);
        }
        let found = format!("`{text}` breaks off before its end");
        let hint =
            "write the value that is missing at the end, or remove the sign before it";
        let last = text.chars().next_back().map_or(0, char::len_utf8);
        let end = self.text.trim_end().len();
        self.problem("sum-unreadable", (found, hint), end - last..end)
    }

    /// Something stands behind a whole sum.
    pub(super) fn stray(&self, next: char, before: &Part) -> Box<Problem> {
        let range = self.at..self.at + next.len_utf8();
        if next == ')' {
            let found = "this bracket was never opened".to_owned();
            return self.problem("sum-unreadable", (found, "remove the `)`"), range);
        }
        let value = next.is_ascii_alphanumeric() || "(.".contains(next);
        if !value {
            return self.unreadable_sign(next);
        }
        let before = self.text[before.range.clone()].trim();
        let found = format!("no sign stands between `{before}` and `{}`", self.rest());
        let hint = "put `+`, `-`, `*` or `/` between them";
        self.problem("sum-unreadable", (found, hint), self.at..self.text.trim_end().len())
    }

    pub(super) fn unreadable_sign(&self, sign: char) -> Box<Problem> {
        let found = format!("`{sign}` means nothing here");
        let hint = if sign == ',' {
            "write decimals behind a point, like `12.7mm`"
        } else {
            "write a length like `12.7mm`, `1/2in` or `1-1/2 in`, or a sum of lengths and sizes with `+`, `-`, `*`, `/` and brackets"
        };
        let range = self.at..self.at + sign.len_utf8();
        self.problem("length-unreadable", (found, hint), range)
    }

    /// Letters behind a number that are no unit: a size without a sign before it, or nothing.
    pub(super) fn no_unit_of_ours(&self, at: usize) -> Box<Problem> {
        let word = &self.text[at..][..name_length(&self.text[at..])];
        let range = at..at + word.len();
        if self.terms.size(word).is_some() || FUNCTIONS.contains(&word) {
            let found = format!("no sign stands before `{word}`");
            let hint = "put `+`, `-`, `*` or `/` before it";
            return self.problem("sum-unreadable", (found, hint), range);
        }
        let found = format!("`{word}` is no unit of length, in `{}`", self.text.trim());
        let hint = "write `mm`, `cm`, `m`, `in`, `\"` or `ft` behind the number";
        self.problem("length-unreadable", (found, hint), range)
    }

    pub(super) fn two_readings(&self, text: &str, range: Range<usize>) -> Box<Problem> {
        let found = format!("dividing by `{text}` can be read in two ways");
        let hint = format!(
            "put brackets round what is meant: `({text})` to divide by that length"
        );
        self.problem("sum-two-readings", (found, &hint), range)
    }

    pub(super) fn follows(&self, name: &str, range: Range<usize>) -> Box<Problem> {
        let found = format!("`{name}` could not be worked out");
        self.problem(FOLLOWS, (found, "give that size first"), range)
    }

    pub(super) fn unknown_name(&self, name: &str, range: Range<usize>) -> Box<Problem> {
        let known = self.terms.names();
        let found = if known.is_empty() {
            format!("`{name}` is no length, and this job has no sizes")
        } else {
            format!("`{name}` is no size that is known here")
        };
        let list = known.join("`, `");
        let before = name.split_once('-').map_or("", |(before, _)| before);
        let hint = match nearest(name, &known) {
            _ if known.contains(&before) => {
                format!(
                    "put a space on both sides of a minus: `{}`",
                    name.replacen('-', " - ", 1)
                )
            }
            Some(near) => format!("use `{near}`, if that was meant; known are `{list}`"),
            None if known.is_empty() => {
                format!(
                    "write a length like `12.7mm`, or add `[sizes]` with `{name} = \"…\"`"
                )
            }
            None => format!(
                "use one of `{list}`, or add `{name}` to `[sizes]`, above what is worked out from it"
            ),
        };
        self.problem("size-unknown", (found, &hint), range)
    }
}

//! A post file: TOML to a dialect, every mistake with its line.

use super::{Arcs, Comments, Dialect, Dwell, End, Rapids, Spindle};
use crate::diag::{Failure, Place, Problem, Source};
use crate::units::Unit;
use serde::Deserialize;
use toml::Spanned;

/// The keys of a post file, all of them needed.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Keys {
    name: Spanned<String>,
    about: Spanned<String>,
    units: Units,
    decimals: Spanned<i64>,
    arcs: Arcs,
    dwell: Dwell,
    spindle: Spindle,
    end: End,
    line_length: Spanned<i64>,
    line_numbers: bool,
    extension: Spanned<String>,
    comments: Comments,
    percent: bool,
    rapids: Rapids,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Units {
    Mm,
    Inch,
}

/// What a value must be.
struct Rule {
    key: &'static str,
    expected: &'static str,
}

/// Reads a post file.
pub(super) fn read(name: &str, text: &str) -> Result<Dialect, Failure> {
    let keys: Keys = toml::from_str(text).map_err(|error| {
        let place = Place::whole(Source::Post, name);
        let place = match error.span() {
            Some(span) => place.bytes(span, text),
            None => place,
        };
        let problem = Problem::stop(
            "post-unreadable",
            error.message().trim().replace('\n', "; "),
            "give every key once, as the posts that are built in do; their comments say what each may be",
        );
        Failure::input(problem.at(place))
    })?;
    keys.checked(name, text)
}

impl Keys {
    fn checked(self, file: &str, text: &str) -> Result<Dialect, Failure> {
        let (units, decimals) = match self.units {
            Units::Mm => (Unit::Mm, Rule { key: "decimals", expected: "3 to 5 in mm" }),
            Units::Inch => {
                (Unit::Inch, Rule { key: "decimals", expected: "4 to 5 in inches" })
            }
        };
        let least = if units == Unit::Mm { 3 } else { 4 };
        let length = Rule { key: "line_length", expected: "64 to 70" };
        let whole =
            |rule: &Rule, value: &Spanned<i64>, range: std::ops::RangeInclusive<i64>| {
                let good = range.contains(value.get_ref());
                let number = usize::try_from(*value.get_ref()).ok().filter(|_| good);
                number.ok_or_else(|| rule.broken(file, text, value))
            };
        let plain = |rule: &Rule, value: &Spanned<String>, allowed: fn(char) -> bool| {
            let word = value.get_ref();
            let good = !word.is_empty() && word.len() <= 100 && word.chars().all(allowed);
            if good { Ok(word.clone()) } else { Err(rule.broken(file, text, value)) }
        };
        let ascii =
            Rule { key: "name", expected: "letters, digits and `-`, at most 100" };
        let printed =
            Rule { key: "about", expected: "plain text without brackets, at most 100" };
        let ending =
            Rule { key: "extension", expected: "letters and digits, at most 100" };
        Ok(Dialect {
            name: plain(&ascii, &self.name, |c| c.is_ascii_alphanumeric() || c == '-')?,
            about: plain(&printed, &self.about, |c| {
                (c == ' ' || c.is_ascii_graphic()) && !"()".contains(c)
            })?,
            units,
            decimals: whole(&decimals, &self.decimals, least..=5)?,
            arcs: self.arcs,
            dwell: self.dwell,
            spindle: self.spindle,
            end: self.end,
            line_length: whole(&length, &self.line_length, 64..=70)?,
            line_numbers: self.line_numbers,
            extension: plain(&ending, &self.extension, |c| c.is_ascii_alphanumeric())?,
            comments: self.comments,
            percent: self.percent,
            rapids: self.rapids,
        })
    }
}

impl Rule {
    fn broken<T: std::fmt::Display>(
        &self,
        file: &str,
        text: &str,
        value: &Spanned<T>,
    ) -> Failure {
        let problem = Problem::stop(
            "post-value",
            format!("`{}` is {}", self.key, value.get_ref()),
            format!("write {}", self.expected),
        )
        .expected(self.expected);
        Failure::input(
            problem.at(Place::whole(Source::Post, file).bytes(value.span(), text)),
        )
    }
}

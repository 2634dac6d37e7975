//! Sums: a length worked out from numbers with units, named sizes, `+ − × ÷`, brackets, `sqrt`,
//! `min` and `max`; and nothing else.
//!
//! A reader of our own, because fractions as a rule has them (`1 1/2in`, `1-1/2 in`) and units
//! behind the number belong to the number and not to the arithmetic. Every worth carries its
//! power of length, so that a length times a length is an area and never passes for a length.
//! A minus between two values has a space before it or a bracket: names may have hyphens.

mod fault;

mod literal;

use super::{Checked, Terms};
use crate::diag::Place;
use crate::units::{LengthError, Mm, Paper, Unit, parse_length};
pub(super) use literal::name_length;
use literal::{Literal, literal};
use std::ops::Range;

/// Brackets in brackets, at most: nobody writes more by hand.
const DEEPEST: usize = 30;

/// The id of what only follows from a size that could not be worked out: that is told already.
pub(super) const FOLLOWS: &str = "size-follows";

/// The words of the arithmetic itself.
pub(super) const FUNCTIONS: [&str; 3] = ["sqrt", "min", "max"];

/// Units behind a number.
pub(super) const UNITS: [&str; 7] = ["mm", "cm", "m", "in", "inch", "inches", "ft"];

/// What a sum or a part of it comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Worth {
    /// The amount, in millimetres to the `power`.
    pub(super) amount: f64,
    /// 0: a number; 1: a length; 2: an area; and so on.
    pub(super) power: i8,
    /// Only numbers without a unit went into it: it is a length where one is asked for and the
    /// unit of bare numbers is known, and else a number.
    pub(super) bare: bool,
}

impl Worth {
    /// A length.
    pub(super) const fn length(mm: f64) -> Self {
        Self { amount: mm, power: 1, bare: false }
    }

    /// The worth of a size that could not be worked out.
    pub(super) const WRONG: Self = Self { amount: f64::NAN, power: 1, bare: false };

    /// In words, for messages.
    fn words(self, paper: Paper) -> String {
        let Self { amount, power, .. } = self;
        match power {
            0 => format!("a number ({})", short(amount)),
            1 => format!("a length ({})", paper.decimals(amount, 3)),
            2 => format!("an area ({})", paper.area(amount)),
            _ => format!("no length, but one to the power {power}"),
        }
    }
}

/// A number with at most three decimals.
fn short(number: f64) -> String {
    let text = format!("{number:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A worth and the bytes of the text that it comes from.
#[derive(Debug, Clone)]
struct Part {
    worth: Worth,
    range: Range<usize>,
}

/// Works out a length.
///
/// # Errors
/// A problem whose place is the part of the text that is to blame.
pub(super) fn length(text: &str, terms: Terms<'_>, place: &Place) -> Checked<Mm> {
    let part = whole(text, terms, place)?;
    let reader = Reader::new(text, terms, place);
    let amount = match part.worth {
        Worth { power: 1, amount, .. } => amount,
        Worth { power: 0, bare: true, .. } => reader.as_length(&part)?.amount,
        other => return Err(reader.not_a_length(other, part.range)),
    };
    Mm::new(amount).ok_or_else(|| reader.not_finite(0..text.len()))
}

/// Works out a size: a length, or a number that is the ratio of two.
///
/// # Errors
/// As [`length`].
pub(super) fn size(text: &str, terms: Terms<'_>, place: &Place) -> Checked<Worth> {
    let part = whole(text, terms, place)?;
    if part.worth.power == 0 && !part.worth.bare {
        return Ok(part.worth);
    }
    length(text, terms, place).map(|length| Worth::length(length.mm()))
}

/// Works out a number, like an angle: sizes may stand in it as the ratio of two.
///
/// # Errors
/// As [`length`].
pub(super) fn number(text: &str, terms: Terms<'_>, place: &Place) -> Checked<f64> {
    let Part { worth, range } = whole(text, terms, place)?;
    if worth.power == 0 {
        return Ok(worth.amount);
    }
    Err(Reader::new(text, terms, place).not_a_number(worth, range))
}

/// The whole text as one sum.
fn whole(text: &str, terms: Terms<'_>, place: &Place) -> Checked<Part> {
    let mut reader = Reader::new(text, terms, place);
    let part = reader.sum()?;
    if let Some(next) = reader.peek() {
        return Err(reader.stray(next, &part));
    }
    if part.worth.amount.is_finite() {
        return Ok(part);
    }
    Err(reader.not_finite(0..text.len()))
}

/// A sum being read.
#[derive(Debug)]
struct Reader<'a> {
    text: &'a str,
    terms: Terms<'a>,
    place: &'a Place,
    at: usize,
    depth: usize,
    /// The value to be read stands behind a division sign.
    divides: bool,
}

impl<'a> Reader<'a> {
    const fn new(text: &'a str, terms: Terms<'a>, place: &'a Place) -> Self {
        Self { text, terms, place, at: 0, depth: 0, divides: false }
    }

    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    /// The next letter that is no space.
    fn peek(&mut self) -> Option<char> {
        let rest = self.rest();
        self.at += rest.len() - rest.trim_start().len();
        self.rest().chars().next()
    }

    /// Takes one of these signs, if it is next.
    fn take(&mut self, signs: &[char]) -> Option<char> {
        let next = self.peek().filter(|next| signs.contains(next))?;
        self.at += next.len_utf8();
        Some(next)
    }

    fn sum(&mut self) -> Checked<Part> {
        let mut total = self.product()?;
        while let Some(sign) = self.take(&['+', '-', '−']) {
            let next = self.product()?;
            let (one, other) = self.alike(&total, &next)?;
            let amount = if sign == '+' {
                one.amount + other.amount
            } else {
                one.amount - other.amount
            };
            let range = total.range.start..next.range.end;
            total = Part { worth: Worth { amount, ..one }, range };
        }
        Ok(total)
    }

    fn product(&mut self) -> Checked<Part> {
        let mut total = self.factor()?;
        while let Some(sign) = self.take(&['*', '×', '/', '÷']) {
            let divides = matches!(sign, '/' | '÷');
            self.divides = divides;
            let next = self.factor()?;
            self.divides = false;
            let (one, other) = (total.worth, next.worth);
            if divides && other.amount.abs() <= 0.0 {
                return Err(self.divides_by_zero(next.range));
            }
            let bare = one.bare && other.bare;
            let (amount, power) = if divides {
                (one.amount / other.amount, one.power.saturating_sub(other.power))
            } else {
                (one.amount * other.amount, one.power.saturating_add(other.power))
            };
            let range = total.range.start..next.range.end;
            total = Part { worth: Worth { amount, power, bare }, range };
        }
        Ok(total)
    }

    fn factor(&mut self) -> Checked<Part> {
        let Some(next) = self.peek() else { return Err(self.broken_off()) };
        let start = self.at;
        match next {
            '-' | '−' | '+' => {
                self.at += next.len_utf8();
                let mut part = self.deeper(Self::factor)?;
                part.worth.amount *= if next == '+' { 1.0 } else { -1.0 };
                part.range.start = start;
                Ok(part)
            }
            '(' => {
                self.at += 1;
                self.divides = false;
                let part = self.deeper(Self::sum)?;
                self.close(start)?;
                Ok(Part { range: start..self.at, ..part })
            }
            _ if next.is_ascii_digit() || next == '.' => self.number(),
            _ if next.is_ascii_alphabetic() => self.name(),
            _ => Err(self.unreadable_sign(next)),
        }
    }

    /// Reads something that may hold brackets again.
    fn deeper<T>(&mut self, read: fn(&mut Self) -> Checked<T>) -> Checked<T> {
        self.depth += 1;
        if DEEPEST < self.depth {
            let found = format!("more than {DEEPEST} brackets and signs in each other");
            let hint = "give parts of it a name of their own in `[sizes]`";
            return Err(self.problem(
                "sum-too-deep",
                (found, hint),
                self.at..self.at + 1,
            ));
        }
        let read = read(self)?;
        self.depth -= 1;
        Ok(read)
    }

    fn close(&mut self, open: usize) -> Checked<()> {
        if self.take(&[')']).is_some() {
            return Ok(());
        }
        let found = "this bracket is never closed".to_owned();
        Err(self.problem(
            "sum-unreadable",
            (found, "add the missing `)`"),
            open..open + 1,
        ))
    }

    /// `sqrt(…)`, `min(…, …)`, `max(…, …)` or the name of a size.
    fn name(&mut self) -> Checked<Part> {
        let start = self.at;
        let name = &self.rest()[..name_length(self.rest())];
        self.at += name.len();
        let range = start..self.at;
        if FUNCTIONS.contains(&name) && self.take(&['(']).is_some() {
            let open = self.at - 1;
            self.divides = false;
            let parts = self.deeper(Self::list)?;
            self.close(open)?;
            let worth = self.function(name, &parts, start..self.at)?;
            return Ok(Part { worth, range: start..self.at });
        }
        match self.terms.size(name) {
            Some(worth) if worth.amount.is_nan() => Err(self.follows(name, range)),
            Some(worth) => Ok(Part { worth, range }),
            None => Err(self.unknown_name(name, range)),
        }
    }

    fn list(&mut self) -> Checked<Vec<Part>> {
        let mut parts = vec![self.sum()?];
        while self.take(&[',']).is_some() {
            parts.push(self.sum()?);
        }
        Ok(parts)
    }

    fn function(
        &self,
        name: &str,
        parts: &[Part],
        range: Range<usize>,
    ) -> Checked<Worth> {
        if name == "sqrt" {
            return self.root(parts, range);
        }
        let mut best = parts[0].clone();
        for part in &parts[1..] {
            let (one, other) = self.alike(&best, part)?;
            let less = other.amount < one.amount;
            best.worth = if less == (name == "min") { other } else { one };
        }
        Ok(best.worth)
    }

    fn root(&self, parts: &[Part], range: Range<usize>) -> Checked<Worth> {
        let [Part { worth, range: of }] = parts else {
            let found = format!("`sqrt` of {} values", parts.len());
            return Err(self.problem(
                "sum-unreadable",
                (found, "give `sqrt` one value, like `sqrt(long * long + wide * wide)`"),
                range,
            ));
        };
        let Worth { amount, power, bare } = *worth;
        if amount < 0.0 {
            let found = format!("the root of {}, which is less than zero", short(amount));
            let hint = "check what stands in the brackets: the first square must be the larger one";
            return Err(self.problem("sum-root-of-negative", (found, hint), of.clone()));
        }
        if power % 2 != 0 {
            let found = format!("the root of {}", worth.words(self.terms.on_paper()));
            let hint = "take the root of an area, like `sqrt(long * long + wide * wide)`, or of a number";
            return Err(self.problem("sum-not-a-length", (found, hint), of.clone()));
        }
        Ok(Worth { amount: amount.sqrt(), power: power / 2, bare })
    }

    /// Two worths of one kind, to be added or compared; a bare number beside a length is one.
    fn alike(&self, one: &Part, other: &Part) -> Checked<(Worth, Worth)> {
        let (a, b) = (one.worth, other.worth);
        if a.power == b.power {
            let bare = a.bare && b.bare;
            return Ok((Worth { bare, ..a }, Worth { bare, ..b }));
        }
        if a.power == 1 && b.bare {
            return Ok((a, self.as_length(other)?));
        }
        if b.power == 1 && a.bare {
            return Ok((self.as_length(one)?, b));
        }
        let what = self.text[other.range.clone()].trim();
        let paper = self.terms.on_paper();
        let found = format!("`{what}` is {}, beside {}", b.words(paper), a.words(paper));
        let hint =
            "add, subtract and compare lengths with lengths and numbers with numbers";
        Err(self.problem("sum-mixed", (found, hint), other.range.clone()))
    }

    /// A bare number as a length.
    fn as_length(&self, part: &Part) -> Checked<Worth> {
        let number = part.worth.amount;
        if let Some(unit) = self.terms.units {
            return Ok(Worth::length(number * unit.in_mm()));
        }
        if number.abs() <= 0.0 {
            return Ok(Worth::length(0.0));
        }
        let error = LengthError::NoUnit { number };
        let found = error.found(self.text[part.range.clone()].trim());
        Err(self.no_length("length-without-unit", (found, &error), part.range.clone()))
    }

    /// A number as a rule has it, with the unit behind it if there is one.
    fn number(&mut self) -> Checked<Part> {
        let (start, divides) = (self.at, std::mem::take(&mut self.divides));
        let Literal { end, fraction, unit } = literal(self.rest());
        let range = start..start + end;
        let text = &self.text[range.clone()];
        if fraction && unit && divides {
            return Err(self.two_readings(text, range));
        }
        self.at = range.end;
        let next = self.rest();
        let tail = next.trim_start();
        if !unit && tail.starts_with(|c: char| c.is_ascii_alphabetic()) {
            return Err(self.no_unit_of_ours(range.end + next.len() - tail.len()));
        }
        // A bare number is read as millimetres here and only taken for a length when asked.
        let Ok(mm) = parse_length(text, Some(Unit::Mm)) else {
            let found = LengthError::Unreadable.found(text);
            let error = LengthError::Unreadable;
            return Err(self.no_length("length-unreadable", (found, &error), range));
        };
        let worth = Worth { amount: mm.mm(), power: i8::from(unit), bare: !unit };
        Ok(Part { worth, range })
    }
}

#[cfg(test)]
mod tests;

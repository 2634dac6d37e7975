//! Values of a TOML text with their places, every problem gathered, none dropped.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::diag::{Place, Problem, Problems, Source};
use crate::read::Checked;
use crate::read::sum::FOLLOWS;
use crate::read::{Terms, words};
use crate::units::Mm;

/// A table of the job, with its name for messages: `outline`, `board.line`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Section<'t> {
    /// Its name; empty for the job itself.
    pub(super) name: &'t str,
    /// Its keys and values.
    pub(super) table: &'t DeTable<'t>,
}

/// A value with where it stands.
#[derive(Debug, Clone)]
pub(super) struct Value<'t> {
    /// The value.
    pub(super) value: &'t DeValue<'t>,
    /// Where it stands.
    pub(super) place: Place,
}

/// The text being read, and what was wrong with it so far.
#[derive(Debug)]
pub(super) struct Reader<'t> {
    /// The file's name.
    pub(super) name: &'t str,
    /// What kind of file it is.
    pub(super) source: Source,
    /// The file's text.
    pub(super) text: &'t str,
    /// What lengths may be written with: the unit of bare ones, and the sizes.
    pub(super) units: Terms<'t>,
    /// What was wrong.
    pub(super) problems: Problems,
    /// Where the lines of the text start.
    lines: Vec<usize>,
}

impl Section<'_> {
    /// How a key of this section is called.
    pub(super) fn key(&self, key: &str) -> String {
        if self.name.is_empty() { key.to_owned() } else { format!("{}.{key}", self.name) }
    }
}

impl<'t> Reader<'t> {
    /// A reader of a file's text, with the unit of its bare lengths.
    pub(super) fn new(name: &'t str, text: &'t str, units: Terms<'t>) -> Self {
        let breaks = text.match_indices('\n').map(|(index, _)| index + 1);
        let lines = std::iter::once(0).chain(breaks).collect();
        let source = Source::Job;
        Self { name, source, text, units, problems: Vec::new(), lines }
    }

    /// The place of some bytes.
    pub(super) fn place(&self, span: Range<usize>) -> Place {
        let line = self.lines.partition_point(|&start| start <= span.start);
        let whole = Place::whole(self.source, self.name);
        Place { line: Some(line), span: Some(span), ..whole }
    }

    /// Keeps the value, or the problem unless it only follows from one that is kept already.
    pub(super) fn keep<T>(&mut self, checked: Checked<T>) -> Option<T> {
        match checked {
            Ok(value) => Some(value),
            Err(problem) if problem.id == FOLLOWS => None,
            Err(problem) => {
                self.problems.push(*problem);
                None
            }
        }
    }

    /// Reports every key that is not one of `known`, with the nearest that is.
    pub(super) fn only(&mut self, section: Section<'t>, known: &[&str]) {
        for key in section.table.keys() {
            let name: &str = key.get_ref();
            if !known.contains(&name) {
                let problem = unknown_key(section, name, known);
                let place = self.place(key.span()).element(section.key(name));
                self.problems.push(problem.at(place));
            }
        }
    }

    /// The value of a key, if it is there.
    pub(super) fn value(&self, section: Section<'t>, key: &str) -> Option<Value<'t>> {
        let value: &'t Spanned<DeValue<'t>> = section.table.get(key)?;
        let place = self.place(value.span()).element(section.key(key));
        Some(Value { value: value.get_ref(), place })
    }

    /// The table of a key.
    pub(super) fn table(
        &mut self,
        section: Section<'t>,
        key: &'t str,
    ) -> Option<(&'t DeTable<'t>, Place)> {
        let value = self.value(section, key)?;
        self.as_table(value)
    }

    /// The value as a table.
    pub(super) fn as_table(
        &mut self,
        Value { value, place }: Value<'t>,
    ) -> Option<(&'t DeTable<'t>, Place)> {
        if let DeValue::Table(table) = value {
            return Some((table, place));
        }
        self.wrong_kind(value, place, "a table");
        None
    }

    /// The values of an array.
    pub(super) fn list(&mut self, section: Section<'t>, key: &str) -> Vec<Value<'t>> {
        let Some(Value { value, place }) = self.value(section, key) else {
            return Vec::new();
        };
        let DeValue::Array(array) = value else {
            self.wrong_kind(value, place, "a list in `[` and `]`");
            return Vec::new();
        };
        let element = section.key(key);
        let values = array.iter().enumerate();
        values
            .map(|(index, value)| Value {
                value: value.get_ref(),
                place: self
                    .place(value.span())
                    .element(format!("{element} {}", index + 1)),
            })
            .collect()
    }

    /// The value as text.
    pub(super) fn as_text(
        &mut self,
        Value { value, place }: Value<'t>,
    ) -> Option<(&'t str, Place)> {
        if let DeValue::String(text) = value {
            return Some((text, self.in_quotes(place, text)));
        }
        self.wrong_kind(value, place, "a text in quotes");
        None
    }

    /// The place of a text without its quotes, so that a part of it can be marked: letter by
    /// letter as it stands, or through its escapes.
    fn in_quotes(&self, mut place: Place, text: &str) -> Place {
        let Some(span) = place.span.clone() else { return place };
        let inside = span.start + 1..span.start + 1 + text.len();
        if self.text.get(inside.clone()) == Some(text) {
            place.span = Some(inside);
            return place;
        }
        let quoted = span.start + 1..span.end.saturating_sub(1);
        let written = self.text.get(quoted.clone()).and_then(letters);
        if let Some((meant, letters)) = written
            && meant == text
        {
            place.letters = letters.into_iter().map(|at| quoted.start + at).collect();
            place.span = Some(quoted);
        }
        place
    }

    /// A text of a key.
    pub(super) fn text(
        &mut self,
        section: Section<'t>,
        key: &str,
    ) -> Option<(&'t str, Place)> {
        let value = self.value(section, key)?;
        self.as_text(value)
    }

    /// A number, or a text: what a person may write with or without quotes.
    pub(super) fn word(
        &mut self,
        section: Section<'t>,
        key: &str,
    ) -> Option<(String, Place)> {
        let value = self.value(section, key)?;
        self.as_word(value)
    }

    /// The value as a number or a text.
    pub(super) fn as_word(
        &mut self,
        Value { value, place }: Value<'t>,
    ) -> Option<(String, Place)> {
        match value {
            DeValue::String(text) => {
                let place = self.in_quotes(place, text);
                Some((text.clone().into_owned(), place))
            }
            DeValue::Integer(number) if number.radix() == 10 => {
                Some((number.as_str().to_owned(), place))
            }
            DeValue::Float(number) => {
                let number: f64 = number.as_str().parse().ok().unwrap_or(f64::NAN);
                if number.is_finite() {
                    return Some((format!("{number}"), place));
                }
                let problem = words::not_finite(&self.text[span_of(&place)]);
                self.problems.push(problem.at(place));
                None
            }
            _ => {
                self.wrong_kind(value, place, "a number, or a text in quotes");
                None
            }
        }
    }

    /// The value as a length.
    pub(super) fn as_length(&mut self, value: Value<'t>) -> Option<Mm> {
        let (text, place) = self.as_word(value)?;
        let checked = words::length_text(&text, self.units, &place);
        self.keep(checked)
    }

    /// A length of more than zero.
    pub(super) fn size(&mut self, section: Section<'t>, key: &str) -> Option<Mm> {
        let (text, place) = self.word(section, key)?;
        let checked = words::size_text(&text, self.units, &place);
        self.keep(checked)
    }

    /// The stock's width, if the job gives it.
    pub(super) fn stock_width(&self) -> Option<Mm> {
        let worth = self.units.size("width")?;
        Mm::new(worth.amount)
    }

    /// A yes or no.
    pub(super) fn flag(&mut self, section: Section<'t>, key: &str) -> Option<bool> {
        let Value { value, place } = self.value(section, key)?;
        if let DeValue::Boolean(flag) = *value {
            return Some(flag);
        }
        self.wrong_kind(value, place, "`true` or `false`");
        None
    }

    /// Reports a value of the wrong kind.
    pub(super) fn wrong_kind(
        &mut self,
        value: &DeValue<'_>,
        place: Place,
        expected: &str,
    ) {
        let kind = match value {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "`true` or `false`",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        let what = place.element.as_deref().unwrap_or("the value");
        let found = format!("`{what}` is {kind}");
        let hint = format!("write {expected}");
        let problem = Problem::stop("job-wrong-kind", found, hint).expected(expected);
        self.problems.push(problem.at(place));
    }

    /// Reports that a key is missing.
    pub(super) fn missing(&mut self, what: &str, hint: &str, place: &Place) {
        let problem =
            Problem::stop("job-key-missing", format!("{what} is missing"), hint);
        self.problems.push(problem.at(place.clone()));
    }
}

/// What a text between quotes means, and where each of its bytes is written, with the end; nothing
/// where it is not on one line. Basis: published: TOML 1.0, section "String".
fn letters(written: &str) -> Option<(String, Vec<usize>)> {
    let (mut meant, mut places) = (String::new(), Vec::new());
    let mut rest = written.char_indices();
    while let Some((at, letter)) = rest.next() {
        let letter = if letter == '\\' { escaped(&mut rest)? } else { letter };
        meant.push(letter);
        places.extend(std::iter::repeat_n(at, letter.len_utf8()));
    }
    places.push(written.len());
    Some((meant, places))
}

/// The letter that an escape means, its backslash taken already.
fn escaped(rest: &mut std::str::CharIndices<'_>) -> Option<char> {
    let code = |rest: &mut std::str::CharIndices<'_>, n_figures: usize| {
        let figures: String = rest.take(n_figures).map(|(_, letter)| letter).collect();
        char::from_u32(u32::from_str_radix(&figures, 16).ok()?)
    };
    match rest.next()?.1 {
        'b' => Some('\u{8}'),
        't' => Some('\t'),
        'n' => Some('\n'),
        'f' => Some('\u{c}'),
        'r' => Some('\r'),
        'e' => Some('\u{1b}'),
        same @ ('"' | '\\') => Some(same),
        'x' => code(rest, 2),
        'u' => code(rest, 4),
        'U' => code(rest, 8),
        _ => None,
    }
}

fn span_of(place: &Place) -> Range<usize> {
    place.span.clone().unwrap_or(0..0)
}

fn unknown_key(section: Section<'_>, name: &str, known: &[&str]) -> Problem {
    let found = if section.name.is_empty() {
        format!("`{name}` is no key of a job")
    } else {
        format!("`{name}` is no key of `[{}]`", section.name)
    };
    let list = known.join(", ");
    let hint = words::nearest(name, known).map_or_else(
        || "use one of these, or remove it".to_owned(),
        |near| format!("use `{near}`, if that was meant, or another of these"),
    );
    Problem::stop("job-unknown-key", found, hint).expected(format!("one of: {list}"))
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn a_text_with_escapes_keeps_the_places_of_its_letters() {
        let (meant, places) = letters("1 1/2\\\" + x").expect("one line");
        assert_eq!(meant, "1 1/2\" + x");
        assert_eq!((places[5], places[6], places[meant.len()]), (5, 7, 11));
        let (meant, places) = letters("\\u00b0 \\\\ \\x41").expect("one line");
        assert_eq!(meant, "° \\ A");
        assert_eq!(places, [0, 0, 6, 7, 9, 10, 14]);
        assert!(letters("a\\").is_none() && letters("\\q").is_none(), "no escapes");
    }
}

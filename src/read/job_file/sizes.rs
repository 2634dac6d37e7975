//! The named sizes of a job: the stock's `thick` and `width`, then `[sizes]` from the top down.
//!
//! Each may be worked out from those above it, so none can go round in a circle. What the
//! command sets is laid over a size before anything is worked out from it.

use super::super::sum::{self, Worth};
use super::super::terms::check_size_name;
use super::super::words::{self, nearest};
use super::Given;
use super::reader::{Reader, Section, Value};
use crate::diag::{Place, Problem};
use crate::read::{Sizes, Terms};
use crate::units::{Mm, Unit};

/// A size that the command sets, whatever the job says: `--set width=120mm`.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// The size's name.
    pub name: String,
    /// Its value, as it was written.
    pub text: String,
    /// Where it was written.
    pub place: Place,
}

/// The sizes of a job, worked out.
#[derive(Debug, Default)]
pub(super) struct Named {
    /// All of them, by name.
    pub(super) sizes: Sizes,
    /// The stock's thickness.
    pub(super) thick: Option<Mm>,
    /// The stock's width.
    pub(super) width: Option<Mm>,
}

/// Works out all sizes of a job.
pub(super) fn named<'t>(
    reader: &mut Reader<'t>,
    root: Section<'t>,
    given: &Given,
) -> Named {
    let mut named = Named::default();
    named.thick = stock_size(reader, (root, "thick"), given, &mut named.sizes);
    named.width = stock_size(reader, (root, "width"), given, &mut named.sizes);
    let mut names = vec!["thick", "width"];
    if let Some((table, _)) = reader.table(root, "sizes") {
        let section = Section { name: "sizes", table };
        let mut rows: Vec<_> = table.iter().collect();
        rows.sort_by_key(|(key, _)| key.span().start);
        for (key, _) in rows {
            let name: &str = key.get_ref();
            names.push(name);
            let place = reader.place(key.span()).element(section.key(name));
            reader.keep(check_size_name(name, &place));
            one(reader, (section, name), given, &mut named.sizes);
        }
    }
    let strangers = given.set.iter().filter(|one| !names.contains(&one.name.as_str()));
    reader.problems.extend(strangers.map(|one| no_such_size(one, &names)));
    named
}

/// A size of the stock, which is a name in sums too.
fn stock_size<'t>(
    reader: &mut Reader<'t>,
    key: (Section<'t>, &'t str),
    given: &Given,
    sizes: &mut Sizes,
) -> Option<Mm> {
    let Said { text, place, units } = said(reader, key, given)?;
    let checked = words::size_text(&text, units, &place);
    let length = reader.keep(checked);
    let worth = length.map_or(Worth::WRONG, |length| Worth::length(length.mm()));
    sizes.put(key.1, worth);
    length
}

/// A size of the table.
fn one<'t>(
    reader: &mut Reader<'t>,
    key: (Section<'t>, &'t str),
    given: &Given,
    sizes: &mut Sizes,
) {
    let Some(Said { text, place, units }) = said(reader, key, given) else {
        sizes.put(key.1, Worth::WRONG);
        return;
    };
    let lower = text.to_ascii_lowercase();
    let checked = sum::size(&lower, Terms::new(units, sizes), &place);
    sizes.put(key.1, reader.keep(checked).unwrap_or(Worth::WRONG));
}

/// The text of a size, where it stands, and the unit of its bare numbers.
struct Said {
    text: String,
    place: Place,
    units: Option<Unit>,
}

/// What the command sets, or else what the job says.
fn said<'t>(
    reader: &mut Reader<'t>,
    (section, key): (Section<'t>, &'t str),
    given: &Given,
) -> Option<Said> {
    let value: Option<Value<'t>> = reader.value(section, key);
    let units = reader.units.units;
    if let Some(one) = given.set.iter().rev().find(|one| one.name == key) {
        let Setting { text, place, .. } = one.clone();
        return Some(Said { text, place, units: given.units.or(units) });
    }
    let (text, place) = reader.as_word(value?)?;
    Some(Said { text, place, units })
}

fn no_such_size(setting: &Setting, names: &[&str]) -> Problem {
    let Setting { name, place, .. } = setting;
    let list = names.join("`, `");
    let hint = match nearest(name, names) {
        Some(near) => format!("use `{near}`, if that was meant; the sizes are `{list}`"),
        None => format!("use one of the job's sizes: `{list}`"),
    };
    let found = format!("the job has no size called `{name}`");
    Problem::stop("size-unknown", found, hint).at(place.clone())
}

//! What the words of a length may use: the unit of a bare number, and the named sizes.

use super::sum::{FUNCTIONS, UNITS, Worth, name_length};
use super::words::SIDES;
use super::{Checked, step};
use crate::diag::{Place, Problem};
use crate::units::{Paper, Unit};

/// Named sizes, in the order in which they were worked out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sizes(Vec<(String, Worth)>);

impl Sizes {
    /// Adds a size; one of this name that is there already is replaced.
    pub(super) fn put(&mut self, name: &str, worth: Worth) {
        self.0.retain(|(known, _)| known != name);
        self.0.push((name.to_owned(), worth));
    }
}

/// What a length may be written with. A unit alone is terms too: `units.into()`.
#[derive(Debug, Clone, Copy)]
pub struct Terms<'a> {
    /// The unit of a bare number.
    pub units: Option<Unit>,
    sizes: &'a [(String, Worth)],
}

impl<'a> Terms<'a> {
    /// A unit for bare numbers, and sizes.
    pub fn new(units: Option<Unit>, sizes: &'a Sizes) -> Self {
        Self { units, sizes: &sizes.0 }
    }

    /// How messages write lengths.
    pub(super) fn on_paper(self) -> Paper {
        Paper { unit: self.units.unwrap_or(Unit::Mm), ..Paper::MM }
    }

    /// The size of a name.
    pub(super) fn size(self, name: &str) -> Option<Worth> {
        self.sizes.iter().find(|(known, _)| known == name).map(|(_, worth)| *worth)
    }

    /// The names there are.
    pub(super) fn names(self) -> Vec<&'a str> {
        self.sizes.iter().map(|(name, _)| name.as_str()).collect()
    }
}

impl From<Option<Unit>> for Terms<'_> {
    fn from(units: Option<Unit>) -> Self {
        Self { units, sizes: &[] }
    }
}

/// Refuses a name that a sum or a step could not tell from a word of its own.
///
/// # Errors
/// `size-name`, with what a name may be.
pub(super) fn check_size_name(name: &str, place: &Place) -> Checked<()> {
    let taken = FUNCTIONS.iter().chain(&UNITS).chain(&SIDES).chain(&step::WORDS);
    let found = if taken.into_iter().any(|word| *word == name) {
        format!("`{name}` has a meaning of its own, so no size can be called that")
    } else if name.chars().any(|letter| letter.is_ascii_uppercase())
        || name_length(name) != name.len()
        || !name.starts_with(|letter: char| letter.is_ascii_lowercase())
    {
        format!("`{name}` is no name for a size")
    } else {
        return Ok(());
    };
    let hint = "name it with small letters, figures and hyphens, a letter first, like `leg-width`";
    Err(Problem::stop("size-name", found, hint).at(place.clone()).into())
}

//! Numbers as a rule has them, with the unit behind them, and names.

use super::UNITS;

/// How long the name at the start of a text is: letters, figures, hyphens before one of these.
pub(in crate::read) fn name_length(text: &str) -> usize {
    let mut end = 0;
    for (at, letter) in text.char_indices() {
        match letter {
            _ if letter.is_ascii_alphanumeric() || letter == '_' => end = at + 1,
            '-' if end == at => {}
            _ => break,
        }
    }
    end
}

/// A number as it is written on a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Literal {
    /// Where it ends, its unit included.
    pub(super) end: usize,
    /// It is a fraction without a whole number before it.
    pub(super) fraction: bool,
    /// It names its unit.
    pub(super) unit: bool,
}

/// The number at the start of a text. A fraction belongs to it where a whole number stands
/// before it or a unit behind it; else its stroke divides, which comes to the same.
pub(super) fn literal(text: &str) -> Literal {
    let number = digits(text);
    let rest = &text[number..];
    let spaces = rest.len() - rest.trim_start_matches(' ').len();
    let joint = if rest.starts_with('-') { 1 } else { spaces };
    if 0 < joint
        && let Some(length) = fraction_length(&rest[joint..])
    {
        let end = number + joint + length;
        let unit = unit_length(&text[end..]);
        return Literal { end: end + unit, fraction: false, unit: 0 < unit };
    }
    if let Some(length) = fraction_length(text) {
        let unit = unit_length(&text[length..]);
        if 0 < unit {
            return Literal { end: length + unit, fraction: true, unit: true };
        }
    }
    let unit = unit_length(rest);
    Literal { end: number + unit, fraction: false, unit: 0 < unit }
}

/// How many of the first letters are figures and points.
fn digits(text: &str) -> usize {
    let is_digit = |letter: char| letter.is_ascii_digit() || letter == '.';
    text.find(|letter| !is_digit(letter)).unwrap_or(text.len())
}

/// The length of a fraction of whole numbers at the start of a text.
fn fraction_length(text: &str) -> Option<usize> {
    let above = digits(text);
    let stroke = text[above..].trim_start_matches(' ').strip_prefix('/')?;
    let below = digits(stroke.trim_start_matches(' '));
    let start = text.len() - stroke.trim_start_matches(' ').len();
    let whole = !text[..above].contains('.') && 0 < above && 0 < below;
    whole.then_some(start + below)
}

/// The length of a unit at the start of a text, with the spaces before it; zero if there is none.
fn unit_length(text: &str) -> usize {
    let unit = text.trim_start_matches(' ');
    let spaces = text.len() - unit.len();
    let mark =
        unit.chars().next().filter(|letter| "\"'\u{2033}\u{201d}".contains(*letter));
    if let Some(mark) = mark {
        return spaces + mark.len_utf8();
    }
    let word = &unit[..name_length(unit)];
    if UNITS.contains(&word) { spaces + word.len() } else { 0 }
}

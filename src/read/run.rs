//! A run of a text that knows where in it it stands, so that a problem can be marked to the letter.

use std::ops::Range;

/// A run of a text.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run<'a> {
    whole: &'a str,
    from: usize,
    to: usize,
}

impl<'a> Run<'a> {
    /// A whole text.
    pub(super) const fn new(whole: &'a str) -> Self {
        Self { whole, from: 0, to: whole.len() }
    }

    /// What it says.
    pub(super) fn text(self) -> &'a str {
        &self.whole[self.from..self.to]
    }

    /// Its bytes in the whole text.
    pub(super) const fn range(self) -> Range<usize> {
        self.from..self.to
    }

    /// The same without spaces at its ends.
    pub(super) fn trim(self) -> Self {
        let text = self.text();
        let from = self.from + text.len() - text.trim_start().len();
        Self { from, to: from + text.trim().len(), ..self }
    }

    /// What stands before and behind the first `mark` that is not in brackets, trimmed.
    pub(super) fn split(self, mark: &str) -> Option<(Self, Self)> {
        let text = self.text();
        let mut depth = 0_usize;
        let at = text.char_indices().find_map(|(at, letter)| {
            match letter {
                '(' => depth += 1,
                ')' => depth = depth.saturating_sub(1),
                _ => {}
            }
            (depth == 0 && text[at..].starts_with(mark)).then_some(at)
        })?;
        let before = Self { to: self.from + at, ..self };
        let behind = Self { from: self.from + at + mark.len(), ..self };
        Some((before.trim(), behind.trim()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_is_split_outside_of_brackets_and_knows_its_bytes() {
        let (x, y) = Run::new("min(3, 4), 5 ").split(",").expect("a comma");
        assert_eq!((x.text(), y.text()), ("min(3, 4)", "5"));
        assert_eq!((x.range(), y.range()), (0..9, 11..12));
        assert!(Run::new("(3, 4)").split(",").is_none(), "only in brackets");
    }
}

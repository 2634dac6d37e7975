//! Where in the input something stands.

/// What kind of input it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// The words of the command.
    Command,
    /// A job file.
    Job,
    /// A drawing.
    Drawing,
    /// A bit of the rack.
    BitRack,
    /// A post file.
    Post,
    /// A machine program.
    Program,
}

/// A place in an input: as much of it as is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// What kind of input.
    pub source: Source,
    /// Its name: a file's name, or the option's.
    pub name: String,
    /// The bytes of the file it stands in.
    pub span: Option<std::ops::Range<usize>>,
    /// Where each byte of the text that stands there does, and its end, where it is not written
    /// letter by letter.
    pub letters: Vec<usize>,
    /// The line, from 1.
    pub line: Option<usize>,
    /// The element: `path#rail`, `outline step 3`, `LINE#2F`.
    pub element: Option<String>,
    /// The layer of a drawing it lies on.
    pub layer: Option<String>,
    /// The point on the drawing, in millimetres on face A.
    pub at: Option<(f64, f64)>,
    /// Words for the spot, where it is no point on a drawing: `X 10 mm, Y 2 mm` as a machine
    /// shows it.
    pub spot: Option<String>,
}

impl Place {
    /// A whole input.
    pub fn whole(source: Source, name: impl Into<String>) -> Self {
        Self {
            source,
            name: name.into(),
            span: None,
            letters: Vec::new(),
            line: None,
            element: None,
            layer: None,
            at: None,
            spot: None,
        }
    }

    /// The same place, with the element named.
    #[must_use]
    pub fn element(mut self, element: impl Into<String>) -> Self {
        self.element = Some(element.into());
        self
    }

    /// The same place, with the point on the drawing.
    #[must_use]
    pub fn at(mut self, x: f64, y: f64) -> Self {
        self.at = Some((x, y));
        self
    }

    /// The place of some bytes of the text that stands here, of `length` bytes in all; the whole
    /// of it where single letters have no place.
    #[must_use]
    pub fn within(&self, range: std::ops::Range<usize>, length: usize) -> Self {
        let mut place = self.clone();
        let Some(span) = &mut place.span else { return place };
        if self.letters.len() == length + 1 {
            let at = |index: usize| self.letters[index.min(length)];
            *span = at(range.start)..at(range.end);
            place.letters =
                self.letters[range.start.min(length)..=range.end.min(length)].to_vec();
        } else if span.len() == length {
            *span = span.start + range.start..span.start + range.end;
        }
        place
    }

    /// The same place, with the bytes and, counted from `text`, the line.
    #[must_use]
    pub fn bytes(mut self, span: std::ops::Range<usize>, text: &str) -> Self {
        let before = text.get(..span.start).unwrap_or(text);
        self.line = Some(1 + before.matches('\n').count());
        self.span = Some(span);
        self
    }
}

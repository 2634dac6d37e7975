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
    /// The line, from 1.
    pub line: Option<usize>,
    /// The element: `path#rail`, `outline step 3`, `LINE#2F`.
    pub element: Option<String>,
    /// The layer of a drawing it lies on.
    pub layer: Option<String>,
    /// The point on the drawing, in millimetres on face A.
    pub at: Option<(f64, f64)>,
}

impl Place {
    /// A whole input.
    pub fn whole(source: Source, name: impl Into<String>) -> Self {
        Self {
            source,
            name: name.into(),
            span: None,
            line: None,
            element: None,
            layer: None,
            at: None,
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

    /// The place of some bytes of what stands here, where its text is in the file letter by
    /// letter (`length` is the text's): else the same place.
    #[must_use]
    pub fn within(&self, range: std::ops::Range<usize>, length: usize) -> Self {
        let mut place = self.clone();
        if let Some(span) = &mut place.span
            && span.len() == length
        {
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

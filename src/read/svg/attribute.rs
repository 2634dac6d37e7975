//! Numbers in the attributes of shapes.

use roxmltree::Node;
use svgtypes::{Length, LengthUnit, NumberListParser};

use super::document::{STROKE_LIMIT, Text, label};
use crate::diag::{Place, Problem};
use crate::geom::Point;
use crate::read::Checked;
use crate::units::MM_PER_INCH;

/// The attributes of one element.
#[derive(Debug, Clone, Copy)]
pub(super) struct Attributes<'a, 'd, 'i> {
    /// The text it stands in.
    pub(super) text: &'a Text<'a>,
    /// The element.
    pub(super) node: Node<'d, 'i>,
    /// What lengths in it are of.
    pub(super) room: Room,
}

/// What lengths are of: the view around them and the units of an inch.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    /// Width and height of the view, in user units.
    pub(super) view: (f64, f64),
    /// User units in an inch.
    pub(super) per_inch: f64,
}

impl Room {
    /// What a percent of this attribute is of (published: SVG 2, W3C, section 8.9).
    fn whole(&self, name: &str) -> f64 {
        let (width, height) = self.view;
        match name {
            "x" | "x1" | "x2" | "cx" | "width" | "rx" => width,
            "y" | "y1" | "y2" | "cy" | "height" | "ry" => height,
            _ => f64::midpoint(width * width, height * height).sqrt(),
        }
    }
}

impl Attributes<'_, '_, '_> {
    /// A length in user units; `None` where it is not given or `auto`.
    pub(super) fn length(&self, name: &'static str) -> Checked<Option<f64>> {
        let value = match self.node.attribute(name).map(str::trim) {
            None | Some("auto") => return Ok(None),
            Some(value) => value,
        };
        let length = value.parse::<Length>().ok();
        let length = length.filter(|length| length.number.is_finite());
        let whole = self.room.whole(name);
        let length = length.and_then(|length| match length.unit {
            LengthUnit::Percent => Some(length.number / 100.0 * whole),
            _ => user_units(length, self.room.per_inch),
        });
        length.map(Some).ok_or_else(|| {
            let found = format!("`{name}` is `{value}`");
            let hint = "write a plain number in the drawing's own units";
            Problem::stop("svg-length", found, hint)
                .expected("a number, or a length in px, mm, cm, in, pt, pc or %")
                .at(self.place_of(name))
                .into()
        })
    }

    /// A length of at least zero; zero where it is not given.
    pub(super) fn size(&self, name: &'static str) -> Checked<f64> {
        let size = self.length(name)?.unwrap_or(0.0);
        if 0.0 <= size {
            return Ok(size);
        }
        let hint = "remove the minus sign";
        Err(Problem::stop("svg-size-negative", format!("`{name}` is {size}"), hint)
            .expected("a size of zero or more")
            .at(self.place_of(name))
            .into())
    }

    /// A point from two lengths, zero where not given.
    pub(super) fn point(&self, x: &'static str, y: &'static str) -> Checked<Point> {
        let (x, y) = (self.length(x)?, self.length(y)?);
        Ok(Point::new(x.unwrap_or(0.0), y.unwrap_or(0.0)))
    }

    /// The points of a polyline or polygon.
    pub(super) fn points(&self) -> Checked<Vec<Point>> {
        let value = self.node.attribute("points").unwrap_or("");
        let numbers: Result<Vec<f64>, svgtypes::Error> =
            NumberListParser::from(value).take(2 * STROKE_LIMIT + 1).collect();
        let numbers =
            numbers.map_err(|error| self.unreadable("points", position(&error)))?;
        if 2 * STROKE_LIMIT < numbers.len() {
            return Err(self.text.too_many_strokes(self.node));
        }
        if numbers.len() % 2 == 0 {
            let pairs = numbers.chunks_exact(2);
            return Ok(pairs.map(|pair| Point::new(pair[0], pair[1])).collect());
        }
        let found = format!("`points` has {} numbers", numbers.len());
        let hint = "add the missing coordinate, or draw the shape anew";
        Err(Problem::stop("svg-points-odd", found, hint)
            .expected("pairs of x and y")
            .at(self.place_of("points"))
            .into())
    }

    /// A problem at a character, from 1, of an attribute that cannot be read.
    pub(super) fn unreadable(
        &self,
        name: &'static str,
        position: Option<usize>,
    ) -> Box<Problem> {
        let value = self.node.attribute(name).unwrap_or("");
        let from_here: String = position.map_or_else(String::new, |position| {
            value.chars().skip(position.max(1) - 1).take(12).collect()
        });
        let found = if from_here.is_empty() {
            format!("`{name}` ends too early")
        } else {
            format!("`{name}` cannot be read from `{from_here}` on")
        };
        let hint = "draw the shape anew, or mend the data at this place";
        let expected = if name == "points" {
            "finite numbers, x and y by turns"
        } else {
            "path commands (M L H V C S Q T A Z) with finite numbers; an arc's flags are 0 or 1"
        };
        Problem::stop("svg-path-unreadable", found, hint)
            .expected(expected)
            .at(self.place_within(name, position))
            .into()
    }

    /// The place of an attribute's value; of the element where it has none.
    pub(super) fn place_of(&self, name: &str) -> Place {
        self.node.attribute_node(name).map_or_else(
            || self.text.place_of(self.node),
            |attribute| {
                self.text.place(attribute.range_value()).element(label(self.node))
            },
        )
    }

    /// The place of one character of a value. Where the raw text holds entities, characters
    /// cannot be counted in it, and the place is the whole value's.
    fn place_within(&self, name: &str, position: Option<usize>) -> Place {
        let whole = self.place_of(name);
        let Some(span) = whole.span.clone() else { return whole };
        let raw = self.text.slice(span.clone());
        if Some(raw) != self.node.attribute(name) {
            return whole;
        }
        let at = position
            .and_then(|position| raw.char_indices().nth(position.max(1) - 1))
            .map(|(index, char)| (span.start + index, char.len_utf8()));
        let end = span.end;
        let (start, length) = at.unwrap_or((end.max(span.start + 1) - 1, 1));
        self.text.place(start..(start + length).min(end)).element(label(self.node))
    }
}

/// Where an error lies, in characters from 1; `None` for the end.
pub(super) fn position(error: &svgtypes::Error) -> Option<usize> {
    use svgtypes::Error as E;
    match *error {
        E::UnexpectedData(at)
        | E::InvalidChar(_, at)
        | E::InvalidString(_, at)
        | E::InvalidNumber(at) => Some(at),
        E::UnexpectedEndOfStream | E::InvalidValue | E::InvalidIdent => None,
    }
}

/// A length in user units.
pub(super) fn length_in(text: &str, per_inch: f64) -> Option<f64> {
    let length = text.trim().parse::<Length>().ok()?;
    user_units(length, per_inch).filter(|number| number.is_finite())
}

fn user_units(length: Length, per_inch: f64) -> Option<f64> {
    let per = match length.unit {
        LengthUnit::None | LengthUnit::Px => 1.0,
        LengthUnit::In => per_inch,
        LengthUnit::Cm => per_inch / MM_PER_INCH * 10.0,
        LengthUnit::Mm => per_inch / MM_PER_INCH,
        LengthUnit::Pt => per_inch / 72.0,
        LengthUnit::Pc => per_inch / 6.0,
        LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => return None,
    };
    Some(length.number * per)
}

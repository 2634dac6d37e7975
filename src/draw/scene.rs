//! What can stand on a page: lines drawn with a pen, filled shapes, letters.

use crate::geom::{Bounds, Piece, Point, Vector};

/// What a line means; its look follows from that.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pen {
    /// An edge routed in this set-up: solid and thick.
    Now,
    /// An edge that is not cut in this set-up: solid and thin.
    NotNow,
    /// An edge that is never cut: solid and thin, with KEEP beside it.
    NeverCut,
    /// The saw line: dashed.
    Saw,
    /// A centre line or the axis of something: dash-dot.
    Centre,
    /// What lies under something: short dashes.
    Hidden,
    /// The thick grey band of hand work.
    Hand,
    /// The shaft of an arrow.
    Arrow,
    /// Ticks, hatching, leaders.
    Fine,
    /// The border of the page and of its blocks.
    Border,
    /// A line at full size that is cut to: thin enough to split.
    Cut,
}

/// What something is filled or written with. Colours are a second signal only; they are of
/// the set safe for the colour-blind (published: Okabe and Ito, Color Universal Design, 2008).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Black.
    Black,
    /// Light grey, for areas left to the hand.
    Grey,
    /// Blue, for arrows.
    Blue,
    /// Vermilion, for starts.
    Vermilion,
    /// Paper.
    White,
}

/// Which point of a text `at` names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Left,
    /// Its middle.
    Middle,
    /// Its right end.
    Right,
}

/// Letters on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// The point on the base line.
    pub at: Point,
    /// What it says.
    pub text: String,
    /// Height of the type, in mm.
    pub size: f64,
    /// Which point of it `at` names.
    pub anchor: Anchor,
    /// Heavy letters.
    pub bold: bool,
    /// Read from the right edge of the page, as sizes beside an upright line are.
    pub upright: bool,
    /// The colour.
    pub ink: Ink,
}

/// How wide a letter is in the mean, as a share of the type's height (measured on Helvetica
/// capitals and figures; lower case is narrower).
const LETTER_WIDTH: f64 = 0.6;

/// How high a capital stands, as a share of the type's height.
const CAPITAL: f64 = 0.72;

impl Text {
    /// Black letters from `at` to the right.
    pub fn new(at: Point, text: impl Into<String>, size: f64) -> Self {
        let (anchor, ink) = (Anchor::Left, Ink::Black);
        let text = text.into();
        Self { at, text, size, anchor, bold: false, upright: false, ink }
    }

    /// The same, heavy.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    /// The same with the middle of its capitals at `at`.
    #[must_use]
    pub fn centred(mut self) -> Self {
        self.anchor = Anchor::Middle;
        self.at.y -= self.size * CAPITAL / 2.0;
        self
    }

    /// The same, ending at `at`.
    #[must_use]
    pub fn ending(mut self) -> Self {
        self.anchor = Anchor::Right;
        self
    }

    /// The same, read from the right edge of the page, its middle at `at`.
    #[must_use]
    pub fn upright(mut self) -> Self {
        self.anchor = Anchor::Middle;
        self.at.x += self.size * CAPITAL / 2.0;
        self.upright = true;
        self
    }

    /// How wide a text of this type is, about.
    pub fn width_of(text: &str, size: f64) -> f64 {
        text.chars()
            .map(|letter| if letter == ' ' { 0.3 } else { LETTER_WIDTH })
            .sum::<f64>()
            * size
    }

    /// The box it covers, about.
    pub fn bounds(&self) -> Bounds {
        let width = Self::width_of(&self.text, self.size);
        if self.upright {
            let half = width / 2.0;
            return Bounds {
                low: Point::new(self.at.x - self.size * CAPITAL, self.at.y - half),
                high: Point::new(self.at.x, self.at.y + half),
            };
        }
        let left = match self.anchor {
            Anchor::Left => self.at.x,
            Anchor::Middle => self.at.x - width / 2.0,
            Anchor::Right => self.at.x - width,
        };
        Bounds {
            low: Point::new(left, self.at.y),
            high: Point::new(left + width, self.at.y + self.size * CAPITAL),
        }
    }
}

/// One mark.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// Pieces that follow each other, drawn with a pen.
    Line(Vec<Piece>, Pen),
    /// A run of pieces as a band of this width with round ends.
    Band(Vec<Piece>, f64, Ink),
    /// Closed loops filled by the even-odd rule.
    Fill(Vec<Vec<Piece>>, Ink),
    /// Letters.
    Letters(Text),
    /// Marks of which only what lies in a circle is seen.
    Within(Circle, Vec<Self>),
    /// Marks of which only what lies in an upright box is seen.
    Inside(Bounds, Vec<Self>),
    /// Marks that stand for one thing, by its key: on paper they are as any others.
    Named(Name, Vec<Self>),
}

/// What marks stand for.
#[derive(Debug, Clone, PartialEq)]
pub struct Name {
    /// Its key: `stretch-A`.
    pub key: String,
    /// What it is, in a few words for those who cannot see it; none on further marks of the
    /// same thing.
    pub words: Option<String>,
    /// The point about which it can be turned, if it can; or where it is, if it is not drawn.
    pub pivot: Option<Point>,
}

impl Mark {
    /// The same mark, moved.
    #[must_use]
    pub fn moved(&self, by: Vector) -> Self {
        let line =
            |pieces: &[Piece]| pieces.iter().map(|piece| moved(piece, by)).collect();
        let marks = |marks: &[Self]| marks.iter().map(|mark| mark.moved(by)).collect();
        match self {
            Self::Line(pieces, pen) => Self::Line(line(pieces), *pen),
            Self::Band(pieces, width, ink) => Self::Band(line(pieces), *width, *ink),
            Self::Fill(loops, ink) => {
                Self::Fill(loops.iter().map(|ring| line(ring)).collect(), *ink)
            }
            Self::Letters(text) => {
                Self::Letters(Text { at: text.at + by, ..text.clone() })
            }
            Self::Within(circle, inner) => {
                let circle = Circle { centre: circle.centre + by, ..*circle };
                Self::Within(circle, marks(inner))
            }
            Self::Inside(bounds, inner) => {
                let bounds = Bounds { low: bounds.low + by, high: bounds.high + by };
                Self::Inside(bounds, marks(inner))
            }
            Self::Named(name, inner) => {
                let pivot = name.pivot.map(|pivot| pivot + by);
                Self::Named(Name { pivot, ..name.clone() }, marks(inner))
            }
        }
    }

    /// The box of what it draws; letters about.
    pub fn bounds(&self) -> Bounds {
        let line = |pieces: &[Piece]| {
            pieces
                .iter()
                .map(Piece::bounds)
                .fold(Bounds::EMPTY, |all, one| all.joined(&one))
        };
        match self {
            Self::Line(pieces, _) => line(pieces),
            Self::Band(pieces, width, _) => line(pieces).grown(width / 2.0),
            Self::Fill(loops, _) => {
                loops.iter().fold(Bounds::EMPTY, |all, ring| all.joined(&line(ring)))
            }
            Self::Letters(text) => text.bounds(),
            Self::Within(circle, _) => line(&circle.pieces()),
            Self::Inside(bounds, _) => *bounds,
            Self::Named(_, inner) => {
                inner.iter().fold(Bounds::EMPTY, |all, one| all.joined(&one.bounds()))
            }
        }
    }
}

fn moved(piece: &Piece, by: Vector) -> Piece {
    match *piece {
        Piece::Line { from, to } => Piece::line(from + by, to + by),
        Piece::Arc { from, to, centre, sweep } => {
            Piece::Arc { from: from + by, to: to + by, centre: centre + by, sweep }
        }
    }
}

/// A circle on the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// Its centre.
    pub centre: Point,
    /// Its radius.
    pub radius: f64,
}

impl Circle {
    /// Whether a point lies in it.
    pub fn holds(&self, point: Point) -> bool {
        self.centre.distance(point) <= self.radius
    }

    /// Its line.
    pub fn pieces(&self) -> Vec<Piece> {
        let out = Vector::new(self.radius, 0.0);
        let (right, left, centre) = (self.centre + out, self.centre - out, self.centre);
        let half =
            |from, to| Piece::Arc { from, to, centre, sweep: std::f64::consts::PI };
        vec![half(right, left), half(left, right)]
    }
}

/// Marks on a page, later ones over earlier ones.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// The page's width.
    pub width: f64,
    /// The page's height.
    pub height: f64,
    /// What the picture shows, in a few words, for those who cannot see it.
    pub title: String,
    /// The marks.
    pub marks: Vec<Mark>,
}

impl Scene {
    /// An empty A4 page, lying.
    pub fn a4_lying(title: impl Into<String>) -> Self {
        Self::sized((297.0, 210.0), title)
    }

    /// An empty page of this width and height.
    pub fn sized((width, height): (f64, f64), title: impl Into<String>) -> Self {
        Self { width, height, title: title.into(), marks: Vec::new() }
    }

    /// Adds a line.
    pub fn line(&mut self, pieces: Vec<Piece>, pen: Pen) {
        if !pieces.is_empty() {
            self.marks.push(Mark::Line(pieces, pen));
        }
    }

    /// Adds a straight line.
    pub fn straight(&mut self, from: Point, to: Point, pen: Pen) {
        self.line(vec![Piece::line(from, to)], pen);
    }

    /// Adds the line through these points and back.
    pub fn ring(&mut self, points: &[Point], pen: Pen) {
        self.line(ring_of(points), pen);
    }

    /// Fills the polygon through these points.
    pub fn filled(&mut self, points: &[Point], ink: Ink) {
        self.marks.push(Mark::Fill(vec![ring_of(points)], ink));
    }

    /// Adds letters.
    pub fn letters(&mut self, text: Text) {
        self.marks.push(Mark::Letters(text));
    }

    /// The letters of the whole scene, for tests and for those who cannot see it.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.marks.iter().flat_map(own_marks).filter_map(|mark| match mark {
            Mark::Letters(text) => Some(text),
            _ => None,
        })
    }
}

/// The marks that stand under a name; else the mark itself.
fn own_marks(mark: &Mark) -> &[Mark] {
    match mark {
        Mark::Named(_, inner) => inner,
        other => std::slice::from_ref(other),
    }
}

fn ring_of(points: &[Point]) -> Vec<Piece> {
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).map(|(&a, &b)| Piece::line(a, b)).collect()
}

//! A drawn stroke on its way to becoming part of a loop, and the notes made on that way.
//!
//! ```text
//!         . - .          an end that is moved, from t to T, takes its stroke along, turned and
//!    from       t        stretched about the start: an arc stays an arc, and a cubic keeps its
//!        ' - .  T        shape
//! ```
//!
//! Geometry.

use crate::diag::{Place, Problem, Problems, Weight};
use crate::geom::tolerance::{JOIN_ENDS, REPAIR, SAME_POINT};
use crate::geom::{Bounds, Curve, Piece, Point, Vector, orientation};
use crate::read::{Path, Role, Stroke};
use crate::units::Paper;
use std::collections::BTreeMap;

/// A stroke with what is known of it and where it was drawn.
#[derive(Debug, Clone)]
pub(super) struct Strand {
    pub(super) stroke: Stroke,
    pub(super) name: Option<String>,
    pub(super) role: Option<Role>,
    pub(super) place: Place,
    /// Its number in its path, from 1.
    pub(super) number: usize,
}

/// What was repaired and what stops the outline.
#[derive(Debug)]
pub(super) struct Report {
    /// How it writes lengths.
    pub(super) paper: Paper,
    pub(super) notes: Problems,
    pub(super) stops: Problems,
    /// Repairs that were not told one by one, by their id.
    untold: BTreeMap<&'static str, usize>,
}

/// So many repairs of one kind, and contacts, are told one by one.
pub(super) const MOST_TOLD: usize = 12;

impl Report {
    /// One with nothing in it yet.
    pub(super) const fn new(paper: Paper) -> Self {
        Self { paper, notes: Vec::new(), stops: Vec::new(), untold: BTreeMap::new() }
    }

    /// Something to say.
    pub(super) fn note(&mut self, problem: Problem) {
        self.notes.push(problem);
    }

    /// Something that stops the outline.
    pub(super) fn stop(&mut self, problem: Problem) {
        self.stops.push(problem);
    }

    /// A repair that was made: something to know. Of many alike, the first are told.
    pub(super) fn repaired(&mut self, id: &'static str, place: Place, found: String) {
        self.told((id, Weight::Hint), place, found);
    }

    /// A repair of some weight, told one by one up to so many.
    fn told(
        &mut self,
        (id, weight): (&'static str, Weight),
        place: Place,
        found: String,
    ) {
        let told = self.notes.iter().filter(|note| note.id == id).count();
        if told < MOST_TOLD {
            let hint = "look whether the drawing means this; correct it there if not";
            self.note(Problem::new(id, weight, found, hint).at(place));
        } else {
            *self.untold.entry(id).or_default() += 1;
        }
    }

    /// A point in words.
    pub(super) fn point(&self, at: Point) -> String {
        self.paper.point((at.x, at.y))
    }

    /// How large something is, in words.
    pub(super) fn size(&self, bounds: &Bounds) -> String {
        let [wide, high] =
            [bounds.width(), bounds.height()].map(|mm| self.paper.decimals(mm, 3));
        format!("{wide} by {high}")
    }

    /// All notes, with how many more there were of each kind.
    pub(super) fn into_notes(self) -> Problems {
        let Self { mut notes, untold, .. } = self;
        for (id, count) in untold {
            let place =
                notes.iter().find(|note| note.id == id).and_then(|n| n.place.clone());
            let found = format!("{count} more repairs of this kind");
            let hint =
                "look at the drawing closely: it may be damaged or of the wrong size";
            let note = Problem::new(id, Weight::Caution, found, hint);
            notes.push(Problem { place, ..note });
        }
        notes
    }
}

/// The strokes of a path.
pub(super) fn strands(path: &Path) -> Vec<Strand> {
    let with_place = |(index, drawn): (usize, &crate::read::Drawn)| Strand {
        stroke: drawn.stroke,
        name: drawn.name.clone(),
        role: drawn.role,
        place: path.place.clone(),
        number: index + 1,
    };
    path.strokes.iter().enumerate().map(with_place).collect()
}

impl Strand {
    /// Where it starts.
    pub(super) fn from(&self) -> Point {
        self.stroke.from()
    }

    /// Where it ends.
    pub(super) fn to(&self) -> Point {
        match self.stroke {
            Stroke::Piece(piece) => piece.to(),
            Stroke::Cubic(points) => points[3],
            Stroke::Ellipse { .. } => self.at(1.0),
        }
    }

    /// The curve it is, unless it is a line or an arc already.
    pub(super) fn curve(&self) -> Option<Curve> {
        match self.stroke {
            Stroke::Piece(_) => None,
            Stroke::Cubic(points) => Some(Curve::Cubic(points)),
            Stroke::Ellipse { centre, x, y, start, sweep } => {
                Some(Curve::Ellipse { centre, x, y, start, sweep })
            }
        }
    }

    /// The line it is, if it is one.
    pub(super) fn line(&self) -> Option<(Point, Point)> {
        match self.stroke {
            Stroke::Piece(Piece::Line { from, to }) => Some((from, to)),
            _ => None,
        }
    }

    /// The point at `t` of the way, from 0 to 1.
    pub(super) fn at(&self, t: f64) -> Point {
        match self.stroke {
            Stroke::Piece(piece) => piece.at(t),
            Stroke::Cubic(_) | Stroke::Ellipse { .. } => {
                self.curve().map_or(Point::default(), |curve| curve.at(t))
            }
        }
    }

    /// The direction of travel at its start; nothing for a point.
    pub(super) fn starts_along(&self) -> Option<Vector> {
        match self.stroke {
            Stroke::Piece(piece) => Some(piece.direction(0.0)),
            Stroke::Cubic(_) | Stroke::Ellipse { .. } => {
                self.curve()?.direction_after(0.0)
            }
        }
    }

    /// The direction of travel at its end; nothing for a point.
    pub(super) fn ends_along(&self) -> Option<Vector> {
        match self.stroke {
            Stroke::Piece(piece) => Some(piece.direction(1.0)),
            Stroke::Cubic(_) | Stroke::Ellipse { .. } => {
                self.curve()?.direction_before(1.0)
            }
        }
    }

    /// Whether all its numbers are some.
    pub(super) fn is_finite(&self) -> bool {
        match self.stroke {
            Stroke::Piece(Piece::Line { from, to }) => from.is_finite() && to.is_finite(),
            Stroke::Piece(Piece::Arc { from, to, centre, sweep }) => {
                [from, to, centre].iter().all(|p| p.is_finite()) && sweep.is_finite()
            }
            Stroke::Cubic(points) => points.iter().all(|p| p.is_finite()),
            Stroke::Ellipse { centre, x, y, start, sweep } => {
                (centre + x + y).is_finite() && start.is_finite() && sweep.is_finite()
            }
        }
    }

    /// No point of it lies farther from the origin along x or y.
    pub(super) fn farthest(&self) -> f64 {
        let off = |point: Point| point.x.abs().max(point.y.abs());
        match self.stroke {
            Stroke::Piece(piece) => {
                let Bounds { low, high } = piece.bounds();
                off(low).max(off(high))
            }
            Stroke::Cubic(points) => points.map(off).into_iter().fold(0.0, f64::max),
            Stroke::Ellipse { centre, x, y, .. } => off(centre) + x.length() + y.length(),
        }
    }

    /// The farthest it gets from its start, as far as a few points show.
    pub(super) fn extent(&self) -> f64 {
        let from = self.from();
        [0.25, 0.5, 0.75, 1.0]
            .iter()
            .map(|&t| from.distance(self.at(t)))
            .fold(0.0, f64::max)
    }

    /// The same walked the other way.
    pub(super) fn reversed(&self) -> Self {
        let stroke = match self.stroke {
            Stroke::Piece(piece) => Stroke::Piece(piece.reversed()),
            Stroke::Cubic([a, b, c, d]) => Stroke::Cubic([d, c, b, a]),
            Stroke::Ellipse { centre, x, y, start, sweep } => {
                Stroke::Ellipse { centre, x, y, start: start + sweep, sweep: -sweep }
            }
        };
        Self { stroke, ..self.clone() }
    }

    /// Whether it lies on `other`, walked the same way, within the repair tolerance.
    pub(super) fn lies_on(&self, other: &Self) -> bool {
        let near = |&t: &f64| self.at(t).distance(other.at(t)) <= REPAIR;
        [0.0, 0.25, 0.5, 0.75, 1.0].iter().all(near)
    }

    /// Moves its end by turning and stretching it about its start, which keeps its shape.
    fn end_at(&mut self, to: Point) {
        let from = self.from();
        let (old, new) = (self.to() - from, to - from);
        let square = old.dot(old);
        if square <= 0.0 {
            return;
        }
        let (along, across) = (old.dot(new) / square, old.cross(new) / square);
        let turn = |v: Vector| v * along + v.left() * across;
        let place = |p: Point| from + turn(p - from);
        match &mut self.stroke {
            Stroke::Piece(Piece::Line { to: end, .. }) => *end = to,
            Stroke::Piece(Piece::Arc { to: end, centre, .. }) => {
                (*end, *centre) = (to, place(*centre));
            }
            Stroke::Cubic(points) => {
                *points = [from, place(points[1]), place(points[2]), to];
            }
            Stroke::Ellipse { centre, x, y, .. } => {
                (*centre, *x, *y) = (place(*centre), turn(*x), turn(*y));
            }
        }
    }

    /// Moves its start by turning and stretching it about its end.
    fn start_at(&mut self, from: Point) {
        let mut back = self.reversed();
        back.end_at(from);
        *self = back.reversed();
    }

    /// What a message calls it.
    pub(super) fn called(&self) -> String {
        let whole = self.place.element.as_ref().unwrap_or(&self.place.name);
        let stroke = format!("stroke {} of `{whole}`", self.number);
        match &self.name {
            // The element's own id says nothing new.
            Some(name) if !whole.ends_with(&format!("#{name}")) => {
                format!("`{name}` ({stroke})")
            }
            _ => stroke,
        }
    }

    /// Its place in the drawing, at a point.
    pub(super) fn place_at(&self, point: Point) -> Place {
        self.place.clone().at(point.x, point.y)
    }
}

/// Joins the end of `a` to the start of `b`, which meet or nearly meet:
/// two lines where they cross, a line to a curve's end, else half-way.
pub(super) fn join(a: &mut Strand, b: &mut Strand, report: &mut Report) {
    let (end, start) = (a.to(), b.from());
    let gap = end.distance(start);
    if gap <= SAME_POINT {
        return;
    }
    let meeting = match (a.line(), b.line()) {
        (Some(one), Some(other)) => crossing_of_lines(one, other)
            .filter(|p| p.distance(end).max(p.distance(start)) <= gap.max(REPAIR))
            .unwrap_or_else(|| end.middle(start)),
        (Some(_), None) => start,
        (None, Some(_)) => end,
        (None, None) => end.middle(start),
    };
    a.end_at(meeting);
    b.start_at(meeting);
    if JOIN_ENDS < gap {
        let found = format!(
            "ends {} apart at {} are joined: {} and {}",
            report.paper.decimals(gap, 4),
            report.point(meeting),
            a.called(),
            b.called()
        );
        let kind = if gap <= REPAIR {
            ("outline-ends-joined", Weight::Hint)
        } else {
            ("outline-gap-joined", Weight::Caution)
        };
        report.told(kind, a.place_at(meeting), found);
    }
}

/// Two lines lie alike where the sine of the angle between them is no more (from memory).
const ALIKE: f64 = 1e-6;

/// Where the carriers of two lines cross; nothing where they lie alike.
fn crossing_of_lines((a, b): (Point, Point), (c, d): (Point, Point)) -> Option<Point> {
    let (left, right) = (orientation(c, d, a), orientation(c, d, b));
    let apart = left - right;
    if apart.abs() <= ALIKE * (b - a).length() * (d - c).length() {
        return None;
    }
    Some(a + (b - a) * (left / apart))
}

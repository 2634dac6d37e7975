//! How the grain lies in a part: along one axis, or along one for each of the strips that the
//! board is glued up from.
//!
//! ```text
//!    +--------------+
//!    | \ \ \ \ \ \  | 3     strips lie along the longer side of the part, counted from the near
//!    |--------------|       edge (in an upright part from the left), each with an axis of its own;
//!    | - - - - - -  | 2     a piece of edge is cut where it crosses the line between two
//!    |--------------|
//!    | / / / / / /  | 1
//!    +--------------+
//! ```
//!
//! Geometry.

use crate::geom::{Bounds, Piece, Point};

/// The grain of a part, as face A shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Grain {
    /// The axis where there are no strips, in degrees counter-clockwise from +x.
    axis: f64,
    /// Where each strip ends and the axis of its grain, in the order of the coordinate.
    strips: Vec<(f64, f64)>,
    /// The coordinate that strips are counted along.
    counted: Counted,
}

/// The way strips lie side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Counted {
    /// From near to far.
    Up,
    /// From left to right.
    Right,
}

/// The axis of the grain in the mirror image of a part, left for right.
pub fn of_mirror_image(axis: f64) -> f64 {
    (180.0 - axis).rem_euclid(180.0)
}

impl Grain {
    /// Grain along one axis.
    pub const fn plain(axis: f64) -> Self {
        Self { axis, strips: Vec::new(), counted: Counted::Up }
    }

    /// Grain in strips along the longer side of a part with these bounds, each given by its
    /// width and its axis: counted from the near edge, or in an upright part from the left.
    pub fn of_strips(axis: f64, strips: &[(f64, f64)], whole: Bounds) -> Self {
        let upright = whole.width() < whole.height();
        let (counted, mut to) = if upright {
            (Counted::Right, whole.low.x)
        } else {
            (Counted::Up, whole.low.y)
        };
        let end = |&(wide, axis): &(f64, f64)| {
            to += wide;
            (to, axis)
        };
        Self { axis, strips: strips.iter().map(end).collect(), counted }
    }

    /// The grain of the mirror image, left for right about x = 0, of a part with these bounds.
    #[must_use]
    pub fn mirrored(&self, whole: Bounds) -> Self {
        let axis = of_mirror_image(self.axis);
        let turned = |&(to, axis): &(f64, f64)| (to, of_mirror_image(axis));
        let strips = match self.counted {
            Counted::Up => self.strips.iter().map(turned).collect(),
            Counted::Right => {
                // The last strip begins where the one before it ended, and is the first here.
                let starts = std::iter::once(whole.low.x)
                    .chain(self.strips.iter().map(|(to, _)| *to));
                let ends =
                    starts.zip(&self.strips).map(|(from, (_, axis))| (-from, *axis));
                let mut ends: Vec<(f64, f64)> = ends.map(|end| turned(&end)).collect();
                ends.reverse();
                ends
            }
        };
        Self { axis, strips, counted: self.counted }
    }

    /// The axis at a place, in degrees counter-clockwise from +x.
    pub fn at(&self, place: Point) -> f64 {
        let along = self.along(place);
        let strip = self.strips.iter().find(|(to, _)| along < *to);
        strip.or(self.strips.last()).map_or(self.axis, |(_, axis)| *axis)
    }

    /// The axis of the whole part, whatever its strips.
    pub const fn axis(&self) -> f64 {
        self.axis
    }

    /// All axes there are.
    pub fn axes(&self) -> impl Iterator<Item = f64> {
        let whole = self.strips.is_empty().then_some(self.axis);
        whole.into_iter().chain(self.strips.iter().map(|(_, axis)| *axis))
    }

    const fn along(&self, place: Point) -> f64 {
        match self.counted {
            Counted::Up => place.y,
            Counted::Right => place.x,
        }
    }

    /// Where a piece crosses the lines between strips, as shares of its length, in order.
    pub fn lines_on(&self, piece: &Piece) -> Vec<f64> {
        let within = self.strips.len().saturating_sub(1);
        let lines = self.strips.iter().take(within).map(|(to, _)| *to);
        let mut all: Vec<f64> =
            lines.flat_map(|line| self.crossings(piece, line)).collect();
        all.retain(|t| 0.0 < *t && *t < 1.0);
        all.sort_by(f64::total_cmp);
        all
    }

    fn crossings(&self, piece: &Piece, line: f64) -> Vec<f64> {
        match *piece {
            Piece::Line { from, to } => {
                let (a, b) = (self.along(from), self.along(to));
                if (b - a).abs() < f64::EPSILON {
                    Vec::new()
                } else {
                    vec![(line - a) / (b - a)]
                }
            }
            Piece::Arc { from, centre, sweep, .. } => {
                let Some(radius) = piece.radius() else { return Vec::new() };
                let high = (line - self.along(centre)) / radius;
                if 1.0 <= high.abs() {
                    return Vec::new();
                }
                let (first, second) = match self.counted {
                    Counted::Up => {
                        (libm::asin(high), std::f64::consts::PI - libm::asin(high))
                    }
                    Counted::Right => (libm::acos(high), -libm::acos(high)),
                };
                let start = (from - centre).angle();
                let share = |angle: f64| {
                    let turn = if 0.0 < sweep { angle - start } else { start - angle };
                    turn.rem_euclid(std::f64::consts::TAU) / sweep.abs()
                };
                vec![share(first), share(second)]
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn board() -> Bounds {
        Bounds { low: Point::new(0.0, 10.0), high: Point::new(300.0, 110.0) }
    }

    const STRIPS: [(f64, f64); 3] = [(30.0, 4.0), (40.0, 170.0), (30.0, 8.0)];

    /// Basis: geometry: strips of 30, 40 and 30 from the near edge at 10 end at 40, 80, 110.
    #[test]
    fn each_strip_has_its_own_axis() {
        let grain = Grain::of_strips(0.0, &STRIPS, board());
        for (y, axis) in
            [(0.0, 4.0), (39.9, 4.0), (40.1, 170.0), (80.1, 8.0), (200.0, 8.0)]
        {
            assert!((grain.at(Point::new(150.0, y)) - axis).abs() < 1e-12, "at {y}");
        }
        let side = Piece::line(Point::new(0.0, 110.0), Point::new(0.0, 10.0));
        let lines = grain.lines_on(&side);
        assert!((lines[0] - 0.3).abs() < 1e-12 && (lines[1] - 0.7).abs() < 1e-12);
        let level = Piece::line(Point::new(0.0, 40.0), Point::new(300.0, 40.0));
        assert!(grain.lines_on(&level).is_empty(), "it runs along the line");
        assert!(Grain::plain(4.0).lines_on(&side).is_empty(), "no strips, no lines");
    }

    /// Basis: geometry: points of a circle that lie on the lines, found either way round.
    #[test]
    fn an_arc_crosses_a_line_between_strips_where_it_lies_on_it() {
        for upright in [false, true] {
            let whole = if upright {
                Bounds { low: Point::new(10.0, 0.0), high: Point::new(110.0, 300.0) }
            } else {
                board()
            };
            let grain = Grain::of_strips(0.0, &STRIPS, whole);
            for (turn, expected) in [(1.9 * PI, 4), (-1.9 * PI, 4), (0.4 * PI, 1)] {
                let from = Point::new(110.0, 60.0);
                let arc = Piece::arc_about(Point::new(60.0, 60.0), from, turn);
                let lines = grain.lines_on(&arc);
                assert!(lines.is_sorted(), "{lines:?}");
                for t in &lines {
                    let along = grain.along(arc.at(*t));
                    let far = (along - 40.0).abs().min((along - 80.0).abs());
                    assert!(far < 1e-9, "{along}");
                }
                assert!(expected <= lines.len() + 1, "{turn}: {lines:?}");
            }
        }
    }

    /// Basis: geometry: a point and its mirror image have mirrored axes.
    #[test]
    fn the_mirror_image_has_mirrored_grain() {
        let upright =
            Bounds { low: Point::new(10.0, 0.0), high: Point::new(110.0, 300.0) };
        for whole in [board(), upright] {
            let grain = Grain::of_strips(12.0, &STRIPS, whole);
            let mirror = grain.mirrored(whole);
            for step in 0..100 {
                let share = (f64::from(step) + 0.5) / 100.0;
                let x = whole.low.x + whole.width() * share;
                let y = whole.low.y + whole.height() * share;
                let (one, other) =
                    (grain.at(Point::new(x, y)), mirror.at(Point::new(-x, y)));
                let off = (one + other).rem_euclid(180.0);
                assert!(off.min(180.0 - off) < 1e-9, "{one} and {other} at {x}, {y}");
            }
        }
    }
}

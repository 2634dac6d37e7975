//! How each piece of an outline is laid out: with a rule, a trammel or a batten.

use super::batten::Curve;
use super::reading::Rule;
use crate::geom::tolerance::{FIT, RADIUS_STEP, REPAIR};
use crate::geom::{Bounds, Join, Loop, Piece, Point};
use crate::shop::Sides;
use crate::shop::defaults::CENTRE_OFF_STOCK;

/// How a piece is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Line {
    /// A straight line: with a rule.
    Straight,
    /// An arc that was drawn as one, its centre near enough for a trammel.
    Compass,
    /// Any other curve: with a batten through points.
    Batten,
}

/// A loop with what each of its pieces is laid out with.
pub(super) struct Curves<'a> {
    ring: &'a Loop,
    lines: Vec<Line>,
    /// The box of the part, and from which of its sides sizes are measured.
    base: (Bounds, Sides),
    rule: Rule,
}

impl<'a> Curves<'a> {
    /// A loop as fitted and as drawn, of a part in this box with this reference.
    pub(super) fn new(
        ring: &'a Loop,
        drawn: &Loop,
        base: (Bounds, Sides),
        rule: Rule,
    ) -> Self {
        let reach = base.0.grown(CENTRE_OFF_STOCK.value);
        let line = |piece: &Piece| match *piece {
            Piece::Line { .. } => Line::Straight,
            Piece::Arc { centre, .. }
                if reach.distance_squared(centre) <= 0.0 && was_drawn(piece, drawn) =>
            {
                Line::Compass
            }
            Piece::Arc { .. } => Line::Batten,
        };
        let lines = ring.pieces().iter().map(line).collect();
        Self { ring, lines, base, rule }
    }

    /// How a piece is laid out.
    pub(super) fn line(&self, index: usize) -> Line {
        self.lines[index]
    }

    /// How many pieces there are that are not for a batten.
    fn n_drawn(&self) -> usize {
        self.lines.iter().filter(|line| **line != Line::Batten).count()
    }

    /// The points for the batten of a run of pieces, beside its ends.
    pub(super) fn for_batten(&self, pieces: &[usize]) -> Vec<Point> {
        Curve { ring: self.ring, pieces, base: self.base, rule: self.rule }.points()
    }

    /// The pieces of each line that is drawn in one go: a piece each, but for curves that run
    /// on smoothly for one batten. Where there are too many lines to lay out, all that runs on
    /// smoothly is one.
    pub(super) fn lines(&self) -> Vec<Vec<usize>> {
        let n_pieces = self.lines.len();
        let joins = self.joins();
        let mut seen = vec![false; n_pieces];
        let mut lines = Vec::new();
        for index in 0..n_pieces {
            if seen[index] {
                continue;
            }
            let (first, last) = self.run(index, &joins);
            let mut line = vec![first];
            let mut at = first;
            while at != last {
                at = (at + 1) % n_pieces;
                line.push(at);
            }
            for &at in &line {
                seen[at] = true;
            }
            lines.push(line);
        }
        lines
    }

    /// Whether there are too many lines and arcs to be laid out: they are traced.
    pub(super) fn is_traced(&self) -> bool {
        /// The most that is laid out one by one (from memory).
        const MANY: usize = 24;
        MANY < self.n_drawn()
    }

    /// Of each piece, whether it is drawn in one go with the one before it.
    fn joins(&self) -> Vec<bool> {
        let traced = self.is_traced();
        let joins = |at: usize| {
            let both = [self.lines[at], self.lines[self.ring.before(at)]];
            (traced || both == [Line::Batten, Line::Batten])
                && self.ring.join(at) == Join::Smooth
        };
        (0..self.lines.len()).map(joins).collect()
    }

    /// The first and the last piece of the smooth run in one go that a piece lies in.
    fn run(&self, index: usize, joins: &[bool]) -> (usize, usize) {
        let n_pieces = joins.len();
        let (mut first, mut last) = (index, index);
        for _ in 1..n_pieces {
            if !joins[first] {
                break;
            }
            first = self.ring.before(first);
        }
        let mut next = (last + 1) % n_pieces;
        while next != first && joins[next] {
            last = next;
            next = (last + 1) % n_pieces;
        }
        (first, last)
    }
}

/// Whether an arc stands in the drawing as one: as itself, or as fine chords whose points all
/// lie on its circle.
fn was_drawn(arc: &Piece, drawn: &Loop) -> bool {
    let (Piece::Arc { centre, .. }, Some(radius)) = (*arc, arc.radius()) else {
        return false;
    };
    let (mut is_arc, mut n_points, mut off) = (false, 0, 0.0f64);
    drawn.meeting(&arc.bounds().grown(FIT), |index| {
        let piece = &drawn.pieces()[index];
        match *piece {
            Piece::Arc { centre: other, .. } => {
                is_arc = is_arc || centre.distance(other) < REPAIR;
            }
            Piece::Line { from, .. } => {
                let t = arc.nearest(from);
                let within = 1e-3 < t && t < 1.0 - 1e-3;
                if within && arc.at(t).distance(from) < 2.0 * FIT {
                    n_points += 1;
                    off = off.max((from.distance(centre) - radius).abs());
                }
            }
        }
    });
    is_arc || (0 < n_points && off < RADIUS_STEP)
}

/// Where an arc crosses an upright or a level line and runs rather across it than along it, as
/// shares of the arc.
pub(super) fn crossings(arc: &Piece, at: f64, upright: bool) -> Vec<f64> {
    let (Piece::Arc { centre, .. }, Some(radius)) = (*arc, arc.radius()) else {
        return Vec::new();
    };
    let off = at - if upright { centre.x } else { centre.y };
    let half = radius * radius - off * off;
    if half <= 0.0 {
        return Vec::new();
    }
    let half = half.sqrt();
    let points = [half, -half].map(|up| {
        if upright {
            Point::new(at, centre.y + up)
        } else {
            Point::new(centre.x + up, at)
        }
    });
    let shares = points
        .into_iter()
        .filter(|&point| arc.in_sweep(point - centre))
        .map(|point| arc.nearest(point));
    shares
        .filter(|&t| {
            let way = arc.direction(t);
            if upright { way.y.abs() <= way.x.abs() } else { way.x.abs() < way.y.abs() }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vector;
    use crate::units::Paper;

    fn metric() -> Rule {
        Rule::all(Paper::MM)[0]
    }

    const NEAR_LEFT: Sides = Sides { far: false, right: false };

    /// A half round of radius 100 over a straight foot, its left end at zero.
    fn half_round(radius: f64) -> Loop {
        let centre = Point::new(radius, 0.0);
        let (left, right) = (Point::new(0.0, 0.0), Point::new(2.0 * radius, 0.0));
        let sweep = std::f64::consts::PI;
        Loop::new(vec![
            Piece::line(left, right),
            Piece::Arc { from: right, to: left, centre, sweep },
        ])
    }

    /// The same with the arc as chords whose points are off it by `off`.
    fn chords(radius: f64, off: f64) -> Loop {
        let centre = Point::new(radius, 0.0);
        let mut points = vec![Point::new(0.0, 0.0), Point::new(2.0 * radius, 0.0)];
        for degrees in 1..180 {
            let way = Vector::at_angle(f64::from(degrees).to_radians());
            let far = radius + if degrees % 2 == 0 { off } else { -off };
            points.push(centre + way * far);
        }
        Loop::polygon(&points)
    }

    fn lines(radius: f64, drawn: &Loop) -> Vec<Line> {
        let ring = half_round(radius);
        let curves = Curves::new(&ring, drawn, (ring.bounds(), NEAR_LEFT), metric());
        (0..2).map(|index| curves.line(index)).collect()
    }

    #[test]
    fn an_arc_that_was_drawn_is_for_the_trammel_a_fitted_one_for_a_batten() {
        let straight = Line::Straight;
        assert_eq!(lines(100.0, &half_round(100.0)), [straight, Line::Compass], "itself");
        assert_eq!(
            lines(100.0, &chords(100.0, 0.0)),
            [straight, Line::Compass],
            "chords"
        );
        assert_eq!(lines(100.0, &chords(100.0, 5e-4)), [straight, Line::Batten], "free");
    }

    /// Basis: geometry. A flat bow 400 long and 4 high has its centre five metres off.
    #[test]
    fn a_centre_far_off_the_stock_is_not_laid_out() {
        let (left, right) = (Point::new(0.0, 0.0), Point::new(400.0, 0.0));
        let radius = (200.0 * 200.0 + 16.0) / 8.0;
        let centre = Point::new(200.0, 4.0 - radius);
        let sweep = 2.0 * libm::asin(200.0 / radius);
        let bow = Loop::new(vec![
            Piece::line(left, right),
            Piece::Arc { from: right, to: left, centre, sweep },
        ]);
        let curves = Curves::new(&bow, &bow, (bow.bounds(), NEAR_LEFT), metric());
        assert_eq!(curves.line(1), Line::Batten, "a batten");
        let points = curves.for_batten(&[1]);
        let ends: Vec<f64> = points.iter().map(|point| point.x.round()).collect();
        // Ends 0.0487 h²/R off at the most: 0.09 mm.
        assert_eq!(ends, [300.0, 100.0], "every 200, alike from the middle");
        assert!(
            points.iter().all(|point| 0.0 < point.y && point.y <= 4.0 + 1e-9),
            "on it"
        );
    }

    /// Basis: geometry. Every point of a half round has one handy size, in order along it.
    #[test]
    fn points_for_a_batten_stand_at_handy_steps() {
        let (ring, drawn) = (half_round(100.0), chords(100.0, 5e-4));
        let curves = Curves::new(&ring, &drawn, (ring.bounds(), NEAR_LEFT), metric());
        let points = curves.for_batten(&[1]);
        assert!((4..16).contains(&points.len()), "{points:?}");
        for point in &points {
            let handy = |size: f64| (size / 2.5 - (size / 2.5).round()).abs() < 1e-9;
            assert!(handy(point.x) || handy(point.y), "{point:?}");
            let far = point.distance(Point::new(100.0, 0.0));
            assert!((far - 100.0).abs() < 1e-9, "on the curve: {point:?}");
        }
        assert!(
            points.windows(2).all(|two| two[1].x <= two[0].x),
            "in order: {points:?}"
        );
    }
}

//! The check's own distances, points and turns: nothing here is shared with the offset, so
//! that a fault in one does not hide in the other.

use super::tolerance::SAME_POINT;
use super::{Loop, Piece, Point, Vector};
use std::f64::consts::TAU;

/// A line, or an arc by the direction of its middle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    from: Point,
    to: Point,
    arc: Option<Arc>,
}

#[derive(Debug, Clone, Copy)]
struct Arc {
    centre: Point,
    radius: f64,
    start: f64,
    sweep: f64,
}

impl Shape {
    pub(super) fn of(piece: &Piece) -> Self {
        let arc = match *piece {
            Piece::Line { .. } => None,
            Piece::Arc { from, centre, sweep, .. } => Some(Arc {
                centre,
                radius: libm::hypot(from.x - centre.x, from.y - centre.y),
                start: libm::atan2(from.y - centre.y, from.x - centre.x),
                sweep,
            }),
        };
        Self { from: piece.from(), to: piece.to(), arc }
    }

    pub(super) fn length(&self) -> f64 {
        match self.arc {
            None => span(self.from, self.to),
            Some(arc) => arc.radius * arc.sweep.abs(),
        }
    }

    /// The point at `t` and the direction to its right, length one.
    pub(super) fn at(&self, t: f64) -> (Point, Vector) {
        match self.arc {
            None => {
                let (dx, dy) = (self.to.x - self.from.x, self.to.y - self.from.y);
                let length = libm::hypot(dx, dy).max(f64::MIN_POSITIVE);
                let point = Point::new(self.from.x + dx * t, self.from.y + dy * t);
                (point, Vector::new(dy / length, -dx / length))
            }
            Some(arc) => {
                let angle = arc.start + arc.sweep * t;
                let (x, y) = (libm::cos(angle), libm::sin(angle));
                let out = arc.sweep.signum();
                let point = Point::new(
                    arc.centre.x + arc.radius * x,
                    arc.centre.y + arc.radius * y,
                );
                (point, Vector::new(out * x, out * y))
            }
        }
    }

    pub(super) fn distance(&self, point: Point) -> f64 {
        let ends = span(self.from, point).min(span(self.to, point));
        match self.arc {
            None => {
                let (dx, dy) = (self.to.x - self.from.x, self.to.y - self.from.y);
                let (px, py) = (point.x - self.from.x, point.y - self.from.y);
                let (square, along) = (dx * dx + dy * dy, px * dx + py * dy);
                if 0.0 < along && along < square {
                    (px * dy - py * dx).abs() / square.sqrt()
                } else {
                    ends
                }
            }
            Some(arc) => {
                let (dx, dy) = (point.x - arc.centre.x, point.y - arc.centre.y);
                let middle = arc.start + arc.sweep / 2.0;
                let off = libm::remainder(libm::atan2(dy, dx) - middle, TAU);
                if off.abs() < arc.sweep.abs() / 2.0 {
                    (libm::hypot(dx, dy) - arc.radius).abs()
                } else {
                    ends
                }
            }
        }
    }

    /// The point of it nearest to `point`.
    pub(super) fn nearest(&self, point: Point) -> Point {
        let end = if span(self.from, point) <= span(self.to, point) {
            self.from
        } else {
            self.to
        };
        let distance = self.distance(point);
        if span(end, point) <= distance {
            return end;
        }
        match self.arc {
            None => {
                let (dx, dy) = (self.to.x - self.from.x, self.to.y - self.from.y);
                let along = (point.x - self.from.x) * dx + (point.y - self.from.y) * dy;
                self.at(along / (dx * dx + dy * dy)).0
            }
            Some(arc) => {
                let way = Vector::new(point.x - arc.centre.x, point.y - arc.centre.y);
                let scale = arc.radius / libm::hypot(way.x, way.y).max(f64::MIN_POSITIVE);
                arc.centre + way * scale
            }
        }
    }

    /// Twice the area it sweeps seen from `origin`, between `t0` and `t1`.
    pub(super) fn swept(&self, origin: Point, (t0, t1): (f64, f64)) -> f64 {
        let (a, b) = (self.at(t0).0, self.at(t1).0);
        let bulge = self.arc.map_or(0.0, |arc| {
            let turn = arc.sweep * (t1 - t0);
            arc.radius * arc.radius * (turn - libm::sin(turn))
        });
        cross(origin, a, b) + bulge
    }

    /// Twice the area between the stretch and its parallel at `radius` on the right.
    pub(super) fn band(&self, radius: f64, (t0, t1): (f64, f64)) -> f64 {
        let bend = self.arc.map_or(0.0, |arc| arc.sweep * (t1 - t0));
        radius * (2.0 * self.length() * (t1 - t0) + radius * bend)
    }

    /// The length of the parallel at `radius` on the right.
    pub(super) fn band_length(&self, radius: f64) -> f64 {
        let bend = self.arc.map_or(0.0, |arc| arc.sweep);
        (self.length() + radius * bend).abs()
    }

    /// The angle in which it is seen from `point`, which is no nearer than `clear`.
    fn seen_from(&self, point: Point, clear: f64) -> f64 {
        let steps = self.arc.map_or(1.0, |arc| {
            let step = (2.0 * (clear / arc.radius.max(clear)).sqrt()).min(1.0);
            (arc.sweep.abs() / step).ceil().max(1.0)
        });
        let mut seen = 0.0;
        let mut before = self.from;
        let mut step = 0.0;
        while step < steps {
            step += 1.0;
            let next = if step < steps { self.at(step / steps).0 } else { self.to };
            let (a, b) = (
                (before.x - point.x, before.y - point.y),
                (next.x - point.x, next.y - point.y),
            );
            seen += libm::atan2(a.0 * b.1 - a.1 * b.0, a.0 * b.0 + a.1 * b.1);
            before = next;
        }
        seen
    }

    fn reach(&self) -> (Point, Point) {
        let bulge =
            self.arc.map_or(0.0, |arc| arc.radius * (1.0 - libm::cos(arc.sweep / 2.0)));
        let low = Point::new(self.from.x.min(self.to.x), self.from.y.min(self.to.y));
        let high = Point::new(self.from.x.max(self.to.x), self.from.y.max(self.to.y));
        (low - Vector::new(bulge, bulge), high + Vector::new(bulge, bulge))
    }
}

pub(super) fn span(a: Point, b: Point) -> f64 {
    libm::hypot(b.x - a.x, b.y - a.y)
}

pub(super) fn cross(origin: Point, a: Point, b: Point) -> f64 {
    (a.x - origin.x) * (b.y - origin.y) - (a.y - origin.y) * (b.x - origin.x)
}

/// How often the loops wind round a point no nearer to them than `clear`.
pub(super) fn winding(shapes: &[Shape], point: Point, clear: f64) -> f64 {
    let seen: f64 = shapes.iter().map(|shape| shape.seen_from(point, clear)).sum();
    (seen / TAU).round()
}

/// The shapes of some loops on a plain uniform grid.
#[derive(Debug)]
pub(super) struct Ground {
    pub(super) shapes: Vec<Shape>,
    /// Where each loop's shapes start.
    pub(super) starts: Vec<usize>,
    low: Point,
    cell: f64,
    columns: usize,
    rows: usize,
    cells: Vec<Vec<usize>>,
    reach: f64,
}

impl Ground {
    /// A grid that answers distances up to `reach`.
    pub(super) fn new(loops: &[Loop], reach: f64) -> Self {
        let mut shapes = Vec::new();
        let mut starts = Vec::with_capacity(loops.len());
        for one in loops {
            starts.push(shapes.len());
            shapes.extend(one.pieces().iter().map(Shape::of));
        }
        let mut low = Point::new(f64::MAX, f64::MAX);
        let mut high = Point::new(f64::MIN, f64::MIN);
        for (from, to) in shapes.iter().map(Shape::reach) {
            low = Point::new(low.x.min(from.x), low.y.min(from.y));
            high = Point::new(high.x.max(to.x), high.y.max(to.y));
        }
        let extent = (high.x - low.x).max(high.y - low.y);
        let cell = (extent / most_columns(shapes.len())).max(reach / 12.0);
        let across = |from: f64, to: f64| whole((to - from) / cell) + 1;
        let (columns, rows) = (across(low.x, high.x), across(low.y, high.y));
        let cells = vec![Vec::new(); columns * rows];
        let mut ground = Self { shapes, starts, low, cell, columns, rows, cells, reach };
        for index in 0..ground.shapes.len() {
            let (from, to) = ground.shapes[index].reach();
            for cell in ground.cells_over(from, to) {
                ground.cells[cell].push(index);
            }
        }
        ground
    }

    /// The distance from `point` to the nearest shape; whatever is further than the reach
    /// reads as the reach.
    pub(super) fn distance(&self, point: Point) -> f64 {
        let way = Vector::new(self.reach, self.reach);
        let mut nearest = self.reach;
        for cell in self.cells_over(point - way, point + way) {
            if nearest + SAME_POINT < self.cell_gap(cell, point) {
                continue;
            }
            for &index in &self.cells[cell] {
                nearest = nearest.min(self.shapes[index].distance(point));
            }
        }
        nearest
    }

    /// How far a cell is from `point`.
    fn cell_gap(&self, cell: usize, point: Point) -> f64 {
        let gap = |index: usize, from: f64, at: f64| {
            let low = from + count(index) * self.cell;
            (low - at).max(at - low - self.cell).max(0.0)
        };
        let across = gap(cell % self.columns, self.low.x, point.x);
        let up = gap(cell / self.columns, self.low.y, point.y);
        (across * across + up * up).sqrt()
    }

    /// The points, one a shape, that are within `limit` of `point`, at most the reach.
    pub(super) fn touches(&self, point: Point, limit: f64) -> Vec<Point> {
        let way = Vector::new(limit, limit);
        let mut near: Vec<usize> = self
            .cells_over(point - way, point + way)
            .into_iter()
            .flat_map(|cell| self.cells[cell].iter().copied())
            .filter(|&index| self.shapes[index].distance(point) <= limit)
            .collect();
        near.sort_unstable();
        near.dedup();
        near.into_iter().map(|index| self.shapes[index].nearest(point)).collect()
    }

    fn cells_over(&self, from: Point, to: Point) -> Vec<usize> {
        let range = |from: f64, to: f64, count: usize| {
            let first = whole(from / self.cell);
            let last = if to < 0.0 { 0 } else { whole(to / self.cell) + 1 };
            first.min(count)..last.min(count)
        };
        let columns = range(from.x - self.low.x, to.x - self.low.x, self.columns);
        let rows = range(from.y - self.low.y, to.y - self.low.y, self.rows);
        rows.flat_map(|row| columns.clone().map(move |column| (row, column)))
            .map(|(row, column)| row * self.columns + column)
            .collect()
    }
}

/// How many cells a grid of so many shapes has at most from side to side: a few shapes a cell
/// along a line (from memory).
fn most_columns(shapes: usize) -> f64 {
    (2.0 * count(shapes).sqrt()).clamp(8.0, 600.0)
}

#[expect(clippy::cast_precision_loss, reason = "there are far fewer than 2^52 shapes")]
fn count(number: usize) -> f64 {
    number as f64
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "floored, not negative, and at most a few hundred cells"
)]
fn whole(number: f64) -> usize {
    number.max(0.0) as usize
}

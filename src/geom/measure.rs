//! The check's own distances, points and turns: nothing here is shared with the offset, so
//! that a fault in one does not hide in the other.

use super::held::Way;
use super::tolerance::SAME_POINT;
use super::{Loop, Piece, Point, Vector};
use std::f64::consts::TAU;

/// A line, or an arc of at most a half turn by its tangents at both ends.
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
    sweep: f64,
    /// The way it starts and the way it ends, as long as the radius.
    leaves: Vector,
    arrives: Vector,
}

impl Shape {
    pub(super) fn of(piece: &Piece) -> Self {
        let arc = match *piece {
            Piece::Line { .. } => None,
            Piece::Arc { from, to, centre, sweep } => {
                let side = sweep.signum();
                let tangent = |p: Point| {
                    Vector::new((centre.y - p.y) * side, (p.x - centre.x) * side)
                };
                let (leaves, arrives) = (tangent(from), tangent(to));
                Some(Arc { centre, radius: span(from, centre), sweep, leaves, arrives })
            }
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
                let length = (dx * dx + dy * dy).sqrt().max(f64::MIN_POSITIVE);
                let point = Point::new(self.from.x + dx * t, self.from.y + dy * t);
                (point, Vector::new(dy / length, -dx / length))
            }
            Some(arc) => {
                let point = self.on_arc(&arc, t);
                let side = arc.sweep.signum() / arc.radius.max(f64::MIN_POSITIVE);
                let (x, y) = (point.x - arc.centre.x, point.y - arc.centre.y);
                (point, Vector::new(side * x, side * y))
            }
        }
    }

    /// The point at `t` of its arc: from its start along the chord of what it turns till there.
    fn on_arc(&self, arc: &Arc, t: f64) -> Point {
        if t <= 0.0 {
            return self.from;
        }
        if 1.0 <= t {
            return self.to;
        }
        let (sine, cosine) = libm::sincos(arc.sweep * t / 2.0);
        let (x, y) = (self.from.x - arc.centre.x, self.from.y - arc.centre.y);
        Point::new(
            self.from.x - 2.0 * sine * (x * sine + y * cosine),
            self.from.y + 2.0 * sine * (x * cosine - y * sine),
        )
    }

    pub(super) fn distance(&self, point: Point) -> f64 {
        self.square_to(point).sqrt()
    }

    /// The square of its distance from `point`: one root less for each shape looked at.
    fn square_to(&self, point: Point) -> f64 {
        let square = |a: Point, b: Point| {
            let (x, y) = (b.x - a.x, b.y - a.y);
            x * x + y * y
        };
        match self.arc {
            None => {
                let (dx, dy) = (self.to.x - self.from.x, self.to.y - self.from.y);
                let (px, py) = (point.x - self.from.x, point.y - self.from.y);
                let (length, along) = (dx * dx + dy * dy, px * dx + py * dy);
                if along <= 0.0 {
                    px * px + py * py
                } else if along < length {
                    let off = px * dy - py * dx;
                    off * off / length
                } else {
                    square(self.to, point)
                }
            }
            Some(arc) => {
                // Between the lines from the centre through its ends: not before the one, not
                // past the other. Told at the ends, where no radius is too large for it.
                let (before, past) = (self.from, self.to);
                let begun = (point.x - before.x) * arc.leaves.x
                    + (point.y - before.y) * arc.leaves.y;
                let over = (point.x - past.x) * arc.arrives.x
                    + (point.y - past.y) * arc.arrives.y;
                if 0.0 < begun && over < 0.0 {
                    let (dx, dy) = (point.x - arc.centre.x, point.y - arc.centre.y);
                    let off = (dx * dx + dy * dy).sqrt() - arc.radius;
                    off * off
                } else {
                    square(self.from, point).min(square(self.to, point))
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
                let far = (way.x * way.x + way.y * way.y).sqrt();
                let scale = arc.radius / far.max(f64::MIN_POSITIVE);
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

    /// The way of a disc's centre that rolls on its right.
    pub(super) fn beside(&self, radius: f64) -> Way {
        match self.arc {
            None => {
                let (from, out) = self.at(0.0);
                let way = Vector::new(self.to.x - self.from.x, self.to.y - self.from.y);
                Way::Straight { from: from + out * radius, way }
            }
            Some(arc) => Way::Round {
                about: arc.centre,
                radius: arc.radius + radius * arc.sweep.signum(),
                start: libm::atan2(
                    self.from.y - arc.centre.y,
                    self.from.x - arc.centre.x,
                ),
                turn: arc.sweep,
            },
        }
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

    /// A box that holds it: for an arc the chord's, grown by the arc's height over it.
    fn room(&self) -> Room {
        // A rounding of the height must not hide what lies on the box.
        let bulge = self.arc.map_or(0.0, |arc| {
            let (x, y) = (self.from.x + self.to.x, self.from.y + self.to.y);
            arc.radius - span(Point::new(x / 2.0, y / 2.0), arc.centre) + SAME_POINT
        });
        Room {
            left: self.from.x.min(self.to.x) - bulge,
            right: self.from.x.max(self.to.x) + bulge,
            low: self.from.y.min(self.to.y) - bulge,
            high: self.from.y.max(self.to.y) + bulge,
        }
    }
}

pub(super) fn span(a: Point, b: Point) -> f64 {
    let (x, y) = (b.x - a.x, b.y - a.y);
    (x * x + y * y).sqrt()
}

pub(super) fn cross(origin: Point, a: Point, b: Point) -> f64 {
    (a.x - origin.x) * (b.y - origin.y) - (a.y - origin.y) * (b.x - origin.x)
}

/// An upright box.
#[derive(Debug, Clone, Copy)]
struct Room {
    left: f64,
    right: f64,
    low: f64,
    high: f64,
}

impl Room {
    const NONE: Self = Self {
        left: f64::INFINITY,
        right: f64::NEG_INFINITY,
        low: f64::INFINITY,
        high: f64::NEG_INFINITY,
    };

    fn with(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            right: self.right.max(other.right),
            low: self.low.min(other.low),
            high: self.high.max(other.high),
        }
    }

    /// The room of one point.
    const fn of(point: Point) -> Self {
        Self { left: point.x, right: point.x, low: point.y, high: point.y }
    }

    /// The square of how far a point is from it.
    fn gap(&self, point: Point) -> f64 {
        self.apart(&Self::of(point))
    }

    /// The square of how far another is from it.
    fn apart(&self, other: &Self) -> f64 {
        let wider = |a: f64, b: f64| if a < b { b } else { a };
        let across = wider(wider(self.left - other.right, other.left - self.right), 0.0);
        let up = wider(wider(self.low - other.high, other.low - self.high), 0.0);
        across * across + up * up
    }

    /// Its longer side.
    const fn size(&self) -> f64 {
        (self.right - self.left).max(self.high - self.low)
    }
}

/// How many shapes lie in the smallest boxes.
const HANDFUL: usize = 4;

/// The shapes of some loops, in boxes: a box holds the two boxes `2 n` and `2 n + 1`, and the
/// smallest ones a handful of shapes each, in the order of the loops.
#[derive(Debug)]
pub(super) struct Ground {
    pub(super) shapes: Vec<Shape>,
    /// Where each loop's shapes start.
    pub(super) starts: Vec<usize>,
    /// From box 1, which holds all.
    rooms: Vec<Room>,
    /// The box of each loop.
    around: Vec<Room>,
    reach: f64,
}

impl Ground {
    /// Shapes that answer distances up to `reach`.
    pub(super) fn new(loops: &[Loop], reach: f64) -> Self {
        let count = loops.iter().map(|one| one.pieces().len()).sum();
        let mut shapes: Vec<Shape> = Vec::with_capacity(count);
        let mut starts = Vec::with_capacity(loops.len());
        let mut around = Vec::with_capacity(loops.len());
        for one in loops {
            starts.push(shapes.len());
            shapes.extend(one.pieces().iter().map(Shape::of));
            let own = &shapes[starts[starts.len() - 1]..];
            around.push(own.iter().map(Shape::room).fold(Room::NONE, Room::with));
        }
        let smallest = shapes.len().div_ceil(HANDFUL).next_power_of_two();
        let mut rooms = vec![Room::NONE; 2 * smallest];
        for (room, own) in rooms[smallest..].iter_mut().zip(shapes.chunks(HANDFUL)) {
            *room = own.iter().map(Shape::room).fold(Room::NONE, Room::with);
        }
        for index in (1..smallest).rev() {
            rooms[index] = rooms[2 * index].with(rooms[2 * index + 1]);
        }
        Self { shapes, starts, rooms, around, reach }
    }

    /// The distance of each of some points from the nearest shape; whatever is further than the
    /// reach reads as the reach. Points close together are looked at in one go, from the shape
    /// `beside` outwards.
    pub(super) fn distances<const N: usize>(
        &self,
        points: [Point; N],
        beside: usize,
    ) -> [f64; N] {
        let area = points.iter().fold(Room::NONE, |all, &one| all.with(Room::of(one)));
        if self.reach < area.size() {
            return points.map(|point| self.nearest(point, beside).0);
        }
        let mut squares = [self.reach * self.reach; N];
        let mut room = self.rooms.len() / 2 + beside / HANDFUL;
        self.measure(room, (&area, &points), &mut squares);
        while 1 < room {
            self.measure(room ^ 1, (&area, &points), &mut squares);
            room /= 2;
        }
        squares.map(f64::sqrt)
    }

    /// Measures points in an area against the shapes of a box that come within the reach of it.
    fn measure<const N: usize>(
        &self,
        room: usize,
        (area, points): (&Room, &[Point; N]),
        squares: &mut [f64; N],
    ) {
        if self.reach * self.reach <= self.rooms[room].apart(area) {
            return;
        }
        let smallest = self.rooms.len() / 2;
        if room < smallest {
            self.measure(2 * room, (area, points), squares);
            self.measure(2 * room + 1, (area, points), squares);
            return;
        }
        let shapes = self.handful(room - smallest);
        for (square, &point) in squares.iter_mut().zip(points) {
            if self.rooms[room].gap(point) < *square {
                let all = shapes.iter().map(|shape| shape.square_to(point));
                *square = all.fold(*square, f64::min);
            }
        }
    }

    /// The distance from `point` to the nearest shape, and which it is; whatever is further than
    /// the reach reads as the reach. It is looked for from the shape `beside` outwards.
    pub(super) fn nearest(&self, point: Point, beside: usize) -> (f64, Option<usize>) {
        let mut nearest = (self.reach * self.reach, None);
        let mut room = self.rooms.len() / 2 + beside / HANDFUL;
        self.seek(room, point, &mut nearest);
        while 1 < room {
            let other = room ^ 1;
            if self.rooms[other].gap(point) < nearest.0 {
                self.seek(other, point, &mut nearest);
            }
            room /= 2;
        }
        (nearest.0.sqrt(), nearest.1)
    }

    /// Looks for a shape nearer than `nearest`, a square, in a box, in its nearer half first.
    fn seek(&self, room: usize, point: Point, nearest: &mut (f64, Option<usize>)) {
        let smallest = self.rooms.len() / 2;
        if smallest <= room {
            let first = (room - smallest) * HANDFUL;
            for (index, shape) in self.handful(room - smallest).iter().enumerate() {
                let square = shape.square_to(point);
                if square < nearest.0 {
                    *nearest = (square, Some(first + index));
                }
            }
            return;
        }
        let halves = [2 * room, 2 * room + 1];
        let mut gaps = halves.map(|half| (self.rooms[half].gap(point), half));
        if gaps[1].0 < gaps[0].0 {
            gaps.swap(0, 1);
        }
        for (gap, half) in gaps {
            if gap < nearest.0 {
                self.seek(half, point, nearest);
            }
        }
    }

    fn handful(&self, index: usize) -> &[Shape] {
        let end = self.shapes.len();
        &self.shapes[(index * HANDFUL).min(end)..((index + 1) * HANDFUL).min(end)]
    }

    /// The points, one a shape, that are within `limit` of `point`.
    pub(super) fn touches(&self, point: Point, limit: f64) -> Vec<Point> {
        let mut found = Vec::new();
        let mut open = vec![1];
        let smallest = self.rooms.len() / 2;
        while let Some(room) = open.pop() {
            if limit * limit < self.rooms[room].gap(point) {
                continue;
            }
            if room < smallest {
                open.extend([2 * room + 1, 2 * room]);
            } else {
                let own = self.handful(room - smallest).iter();
                let near = own.filter(|shape| shape.distance(point) <= limit);
                found.extend(near.map(|shape| shape.nearest(point)));
            }
        }
        found
    }

    /// How often the loops wind round a point no nearer to them than `clear`.
    pub(super) fn winding(&self, point: Point, clear: f64) -> f64 {
        let ends = self.starts[1..].iter().copied().chain([self.shapes.len()]);
        let mut seen = 0.0;
        for ((&start, end), around) in self.starts.iter().zip(ends).zip(&self.around) {
            // From outside its box a loop is seen to turn back as far as it turned.
            if around.gap(point) <= 0.0 {
                let own = self.shapes[start..end].iter();
                seen += own.map(|shape| shape.seen_from(point, clear)).sum::<f64>();
            }
        }
        (seen / TAU).round()
    }
}

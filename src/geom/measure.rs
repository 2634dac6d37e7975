//! The check's own distances, points and turns: nothing here is shared with the offset, so that a
//! fault in one does not hide in the other.
//!
//! ```text
//!    \    p    /     p lies beside the arc: past the line from c through its start, as the tangent
//!     \ . - . /      there tells, and not past the one through its end; so the nearest place is on
//!      o     o       the arc, and else it is one of the ends o. The tangents keep their digits
//!       \   /        however far off the centre c is
//!         c
//! ```
//!
//! Geometry.

use super::held::Way;
use super::rooms::{Room, Rooms};
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

/// What makes a shape an arc.
#[derive(Debug, Clone, Copy)]
struct Arc {
    centre: Point,
    radius: f64,
    /// How far it turns, counter-clockwise positive.
    sweep: f64,
    /// The way it starts and the way it ends, as long as the radius.
    leaves: Vector,
    arrives: Vector,
}

impl Shape {
    /// The shape of a piece.
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

    /// Its length.
    pub(super) fn length(&self) -> f64 {
        match self.arc {
            None => span(self.from, self.to),
            Some(arc) => arc.radius * arc.sweep.abs(),
        }
    }

    /// The centre of an arc and how far it turns.
    pub(super) fn turn(&self) -> Option<(Point, f64)> {
        self.arc.map(|arc| (arc.centre, arc.sweep))
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

    /// Of a line: the way from its start to its end and the one to a point, the square of its
    /// length, and how far along it the point lies, times its length.
    #[inline]
    fn over_line(&self, point: Point) -> ((f64, f64), (f64, f64), f64, f64) {
        let (dx, dy) = (self.to.x - self.from.x, self.to.y - self.from.y);
        let (px, py) = (point.x - self.from.x, point.y - self.from.y);
        ((dx, dy), (px, py), dx * dx + dy * dy, px * dx + py * dy)
    }

    /// The square of its distance from `point`: one root less for each shape looked at.
    fn square_to(&self, point: Point) -> f64 {
        let square = |a: Point, b: Point| {
            let (x, y) = (b.x - a.x, b.y - a.y);
            x * x + y * y
        };
        match self.arc {
            None => {
                let ((dx, dy), (px, py), length, along) = self.over_line(point);
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
                if self.is_beside(&arc, point) {
                    let (off, _) = self.off(&arc, point);
                    off * off
                } else {
                    square(self.from, point).min(square(self.to, point))
                }
            }
        }
    }

    /// Whether it comes nearer to `point` than `limit`: no root and no share is taken for that.
    #[inline]
    pub(super) fn is_within(&self, limit: f64, point: Point) -> bool {
        let close = |end: Point| {
            let (x, y) = (point.x - end.x, point.y - end.y);
            x * x + y * y < limit * limit
        };
        match self.arc {
            None => {
                let ((dx, dy), (px, py), length, along) = self.over_line(point);
                if along <= 0.0 {
                    close(self.from)
                } else if along < length {
                    let off = px * dy - py * dx;
                    off * off < limit * limit * length
                } else {
                    close(self.to)
                }
            }
            Some(arc) if self.is_beside(&arc, point) => {
                // Nearer than the limit are distances from the centre between the radius less and
                // plus the limit: as squares, each less that of the radius.
                let (by, wide) = (self.power(&arc, point), 2.0 * arc.radius);
                by < limit * (wide + limit)
                    && (arc.radius <= limit || limit * (limit - wide) < by)
            }
            Some(_) => close(self.from) || close(self.to),
        }
    }

    /// The square of how far a point is from an arc's centre, less that of the radius: by the way
    /// from the arc's start, which has all its digits where the radius is huge.
    fn power(&self, arc: &Arc, point: Point) -> f64 {
        let (ux, uy) = (self.from.x - arc.centre.x, self.from.y - arc.centre.y);
        let (wx, wy) = (point.x - self.from.x, point.y - self.from.y);
        wx * (wx + 2.0 * ux) + wy * (wy + 2.0 * uy)
    }

    /// How far a point is outside an arc's circle, and how far from its centre.
    fn off(&self, arc: &Arc, point: Point) -> (f64, f64) {
        let (ux, uy) = (self.from.x - arc.centre.x, self.from.y - arc.centre.y);
        let (wx, wy) = (point.x - self.from.x, point.y - self.from.y);
        let (dx, dy) = (ux + wx, uy + wy);
        let far = (dx * dx + dy * dy).sqrt();
        (self.power(arc, point) / (far + arc.radius), far)
    }

    /// The point of it nearest to `point`.
    pub(super) fn nearest(&self, point: Point) -> Point {
        match self.arc {
            None => {
                let ((dx, dy), _, length, along) = self.over_line(point);
                if along <= 0.0 {
                    self.from
                } else if along < length {
                    let t = along / length;
                    Point::new(self.from.x + dx * t, self.from.y + dy * t)
                } else {
                    self.to
                }
            }
            Some(arc) if self.is_beside(&arc, point) => {
                let way = Vector::new(point.x - arc.centre.x, point.y - arc.centre.y);
                let (off, far) = self.off(&arc, point);
                if far <= 0.0 { self.from } else { point - way * (off / far) }
            }
            Some(_) if span(self.from, point) <= span(self.to, point) => self.from,
            Some(_) => self.to,
        }
    }

    /// Whether a point lies between the lines from an arc's centre through its ends: not before
    /// the one, not past the other. Told at the ends, where no radius is too large for it.
    fn is_beside(&self, arc: &Arc, point: Point) -> bool {
        let (before, past) = (self.from, self.to);
        let begun =
            (point.x - before.x) * arc.leaves.x + (point.y - before.y) * arc.leaves.y;
        let over =
            (point.x - past.x) * arc.arrives.x + (point.y - past.y) * arc.arrives.y;
        0.0 < begun && over < 0.0
    }

    /// Twice the area it sweeps seen from `origin`, between `t0` and `t1`.
    pub(super) fn swept(&self, origin: Point, (t0, t1): (f64, f64)) -> f64 {
        let (a, b) = (self.at(t0).0, self.at(t1).0);
        let bulge = self.arc.map_or(0.0, |arc| {
            let turn = arc.sweep * (t1 - t0);
            // Of a slight turn the difference has no digits left; its series has.
            let slight = turn * turn * turn / 6.0 * (1.0 - turn * turn / 20.0);
            let bulge = if turn.abs() < 1e-3 { slight } else { turn - libm::sin(turn) };
            arc.radius * arc.radius * bulge
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
            Some(arc) => {
                let (from, out) = self.at(0.0);
                let radius_of_way = arc.radius + radius * arc.sweep.signum();
                let outward = out * arc.sweep.signum();
                Way::Round {
                    from: from + out * radius,
                    out: outward * radius_of_way,
                    turn: arc.sweep,
                }
            }
        }
    }

    /// The length of the parallel at `radius` on the right.
    pub(super) fn band_length(&self, radius: f64) -> f64 {
        let bend = self.arc.map_or(0.0, |arc| arc.sweep);
        (self.length() + radius * bend).abs()
    }

    /// The angle in which it is seen from `point`, which is no nearer than `clear`: that of chords
    /// so short that they leave the point on the side where the arc has it.
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

    /// A box that holds it: for an arc that of its chord, grown by the arc's height over it.
    fn room(&self) -> Room {
        // Rounding of the height must not hide what lies on the border of the box.
        let bulge = self.arc.map_or(0.0, |arc| {
            let (x, y) = (self.from.x + self.to.x, self.from.y + self.to.y);
            SAME_POINT - self.off(&arc, Point::new(x / 2.0, y / 2.0)).0
        });
        Room::of(self.from).with(Room::of(self.to)).grown(bulge)
    }
}

/// How far two points are apart.
pub(super) fn span(a: Point, b: Point) -> f64 {
    let (x, y) = (b.x - a.x, b.y - a.y);
    (x * x + y * y).sqrt()
}

/// Twice the area of the triangle from `origin` to `a` to `b`, counter-clockwise positive.
pub(super) fn cross(origin: Point, a: Point, b: Point) -> f64 {
    (a.x - origin.x) * (b.y - origin.y) - (a.y - origin.y) * (b.x - origin.x)
}

/// How many shapes lie in the smallest boxes.
const HANDFUL: usize = 4;

/// The shapes of some loops, in boxes of a handful each, in the order of the loops.
#[derive(Debug)]
pub(super) struct Ground {
    pub(super) shapes: Vec<Shape>,
    /// Where each loop's shapes start, and where the last one's end.
    pub(super) starts: Vec<usize>,
    /// Round handfuls of shapes.
    rooms: Rooms,
    /// Round the loops.
    around: Rooms,
    /// Distances are told up to this, in mm.
    reach: f64,
}

impl Ground {
    /// Shapes that answer distances up to `reach`.
    pub(super) fn new(loops: &[Loop], reach: f64) -> Self {
        let count = loops.iter().map(|one| one.pieces().len()).sum();
        let mut shapes: Vec<Shape> = Vec::with_capacity(count);
        let mut starts = Vec::with_capacity(loops.len() + 1);
        for one in loops {
            starts.push(shapes.len());
            shapes.extend(one.pieces().iter().map(Shape::of));
        }
        starts.push(shapes.len());
        let around =
            |own: &[Shape]| own.iter().map(Shape::room).fold(Room::NONE, Room::with);
        let each = starts.windows(2).map(|ends| around(&shapes[ends[0]..ends[1]]));
        let around_loops = Rooms::over(each);
        let rooms = Rooms::over(shapes.chunks(HANDFUL).map(around));
        Self { shapes, starts, rooms, around: around_loops, reach }
    }

    /// The first of some points, each with a limit within the reach, to which a shape comes nearer
    /// than that. They are looked at in one go, from the shape `beside` outwards.
    pub(super) fn crowded(
        &self,
        points: &[(Point, f64)],
        beside: usize,
    ) -> Option<Point> {
        let around = points.iter().fold(Room::NONE, |all, one| all.with(Room::of(one.0)));
        let reach = self.reach * self.reach;
        let near = |room: &Room| {
            room.apart(&around) <= reach
                && points.iter().any(|one| room.gap(one.0) <= reach)
        };
        let mut first = points.len();
        self.rooms.outwards(beside / HANDFUL, &near, &mut |index| {
            let (room, shapes) = (self.rooms.smallest(index), self.handful(index));
            let crowded = |&(point, limit): &(Point, f64)| {
                room.gap(point) < limit * limit
                    && shapes.iter().any(|shape| shape.is_within(limit, point))
            };
            first = points[..first].iter().position(crowded).unwrap_or(first);
        });
        points.get(first).map(|one| one.0)
    }

    /// The distance from `point` to the nearest shape, and which it is; whatever is further than
    /// the reach reads as the reach. It is looked for from the shape `beside` outwards.
    pub(super) fn nearest(&self, point: Point, beside: usize) -> (f64, Option<usize>) {
        let mut nearest = (self.reach * self.reach, None);
        self.rooms.seek(beside / HANDFUL, point, &mut |index, limit| {
            for (place, shape) in self.handful(index).iter().enumerate() {
                let square = shape.square_to(point);
                if square < nearest.0 {
                    nearest = (square, Some(index * HANDFUL + place));
                }
            }
            *limit = nearest.0;
        });
        (nearest.0.sqrt(), nearest.1)
    }

    /// The shapes of one of the smallest boxes.
    fn handful(&self, index: usize) -> &[Shape] {
        let end = self.shapes.len();
        &self.shapes[(index * HANDFUL).min(end)..((index + 1) * HANDFUL).min(end)]
    }

    /// Calls `found` with the nearest point of each shape that is within `limit` of `point`, from
    /// the shape `beside` outwards.
    pub(super) fn touches(
        &self,
        (point, limit): (Point, f64),
        beside: usize,
        mut found: impl FnMut(Point),
    ) {
        let square = limit * limit;
        let near = |room: &Room| room.gap(point) <= square;
        self.rooms.outwards(beside / HANDFUL, &near, &mut |index| {
            let own = self.handful(index).iter();
            own.filter(|shape| shape.square_to(point) <= square)
                .for_each(|shape| found(shape.nearest(point)));
        });
    }

    /// How often the loops wind round a point no nearer to them than `clear`.
    pub(super) fn winding(&self, point: Point, clear: f64) -> f64 {
        let mut seen = 0.0;
        // From outside its box a loop is seen to turn back as far as it turned: nought.
        self.around.near(&|room: &Room| room.gap(point) <= 0.0, &mut |on| {
            let own = self.starts[on]..self.starts[on + 1];
            let shapes = self.shapes[own].iter();
            seen += shapes.map(|shape| shape.seen_from(point, clear)).sum::<f64>();
        });
        (seen / TAU).round()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::shapes::bulged;

    #[test]
    fn what_comes_within_a_limit_is_what_is_nearer() {
        let at = Point::new;
        let bulges = [0.0, 1.0, -1.0, 0.3, -0.3, 1e-6, -2.5e-9];
        let (mut within, mut beyond) = (0, 0);
        for bulge in bulges {
            let piece = bulged(&[[-5.0, 1.0, bulge], [5.0, -2.0, 0.0]]).pieces()[0];
            let shape = Shape::of(&piece);
            for step in 0..441 {
                let point = at(f64::from(step % 21) - 10.2, f64::from(step / 21) - 9.7);
                let distance = span(shape.nearest(point), point);
                for limit in [0.5, 3.175, 9.0] {
                    let is = shape.is_within(limit, point);
                    assert_eq!(is, distance < limit, "{point:?}, {limit}: {piece:?}");
                    let counted = if is { &mut within } else { &mut beyond };
                    *counted += 1;
                }
                assert!(shape.is_within(distance + 1e-9, point), "{point:?}: {piece:?}");
                assert!(!shape.is_within(distance - 1e-9, point), "{point:?}: {piece:?}");
            }
        }
        assert!(1000 < within && 1000 < beyond, "both: {within}, {beyond}");
    }
}

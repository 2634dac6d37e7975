//! The check's own boxes, in a tree that is walked from any of the smallest outwards.
//!
//! ```text
//!              1               The box n holds the boxes 2 n and 2 n + 1; the smallest stand
//!          2       3           last, in the order they were given in. What lies near one of
//!        4   5   6   7         them is found by going up from it, and at each step down into
//!                              the other half.
//! ```
//!
//! Boxes in halves: common practice, no source. Nearer boxes first, and none farther than what is
//! found: published: N. Roussopoulos, S. Kelley, F. Vincent, Nearest Neighbor Queries, 1995,
//! SIGMOD. That the walk begins at a neighbour is our own.

use super::Point;

/// An upright box.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    left: f64,
    right: f64,
    low: f64,
    high: f64,
}

impl Room {
    /// The room of nothing.
    pub(super) const NONE: Self = Self {
        left: f64::INFINITY,
        right: f64::NEG_INFINITY,
        low: f64::INFINITY,
        high: f64::NEG_INFINITY,
    };

    /// The room of both.
    pub(super) fn with(self, other: Self) -> Self {
        Self {
            left: least(self.left, other.left),
            right: most(self.right, other.right),
            low: least(self.low, other.low),
            high: most(self.high, other.high),
        }
    }

    /// The room of one point.
    pub(super) const fn of(point: Point) -> Self {
        Self { left: point.x, right: point.x, low: point.y, high: point.y }
    }

    /// The same grown by so much on every side.
    pub(super) fn grown(self, by: f64) -> Self {
        Self {
            left: self.left - by,
            right: self.right + by,
            low: self.low - by,
            high: self.high + by,
        }
    }

    /// The square of how far a point is from it.
    pub(super) fn gap(&self, point: Point) -> f64 {
        self.apart(&Self::of(point))
    }

    /// The square of how far another room is from it.
    pub(super) fn apart(&self, other: &Self) -> f64 {
        let wider = |a: f64, b: f64| if a < b { b } else { a };
        let across = wider(wider(self.left - other.right, other.left - self.right), 0.0);
        let up = wider(wider(self.low - other.high, other.low - self.high), 0.0);
        across * across + up * up
    }
}

/// The larger of two numbers that are some.
fn most(a: f64, b: f64) -> f64 {
    if a < b { b } else { a }
}

/// The smaller of them.
fn least(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}

/// Boxes in boxes.
#[derive(Debug)]
pub(super) struct Rooms {
    /// From box 1, which holds all.
    rooms: Vec<Room>,
}

impl Rooms {
    /// The tree over these.
    pub(super) fn over(smallest: impl ExactSizeIterator<Item = Room>) -> Self {
        let count = smallest.len().next_power_of_two();
        let mut rooms = vec![Room::NONE; 2 * count];
        for (room, own) in rooms[count..].iter_mut().zip(smallest) {
            *room = own;
        }
        for index in (1..count).rev() {
            rooms[index] = rooms[2 * index].with(rooms[2 * index + 1]);
        }
        Self { rooms }
    }

    /// Which box is the first of the smallest.
    const fn first(&self) -> usize {
        self.rooms.len() / 2
    }

    /// One of the smallest.
    pub(super) fn smallest(&self, index: usize) -> &Room {
        &self.rooms[self.first() + index]
    }

    /// Calls `found` with each of the smallest that is `near`, as all are that hold it.
    pub(super) fn near(
        &self,
        near: &impl Fn(&Room) -> bool,
        found: &mut impl FnMut(usize),
    ) {
        if near(&self.rooms[1]) {
            self.near_in(1, near, found);
        }
    }

    /// The same from one of the smallest outwards; that one is always looked at.
    pub(super) fn outwards(
        &self,
        from: usize,
        near: &impl Fn(&Room) -> bool,
        found: &mut impl FnMut(usize),
    ) {
        let mut room = self.first() + from;
        found(from);
        while 1 < room {
            let other = room ^ 1;
            if near(&self.rooms[other]) {
                self.near_in(other, near, found);
            }
            room /= 2;
        }
    }

    /// The same below a box that is near.
    fn near_in(
        &self,
        room: usize,
        near: &impl Fn(&Room) -> bool,
        found: &mut impl FnMut(usize),
    ) {
        if self.first() <= room {
            found(room - self.first());
            return;
        }
        for half in [2 * room, 2 * room + 1] {
            if near(&self.rooms[half]) {
                self.near_in(half, near, found);
            }
        }
    }

    /// Calls `look` with the smallest ones that may hold something nearer to a point than the
    /// limit, a square, which it sets: from one of them outwards, nearer halves first.
    pub(super) fn seek(
        &self,
        from: usize,
        point: Point,
        look: &mut impl FnMut(usize, &mut f64),
    ) {
        let (mut room, mut limit) = (self.first() + from, f64::INFINITY);
        look(from, &mut limit);
        while 1 < room {
            let other = room ^ 1;
            if self.rooms[other].gap(point) < limit {
                self.seek_in(other, (point, &mut limit), look);
            }
            room /= 2;
        }
    }

    /// The same below a box.
    fn seek_in(
        &self,
        room: usize,
        (point, limit): (Point, &mut f64),
        look: &mut impl FnMut(usize, &mut f64),
    ) {
        if self.first() <= room {
            look(room - self.first(), limit);
            return;
        }
        let halves = [2 * room, 2 * room + 1];
        let mut gaps = halves.map(|half| (self.rooms[half].gap(point), half));
        if gaps[1].0 < gaps[0].0 {
            gaps.swap(0, 1);
        }
        for (gap, half) in gaps {
            if gap < *limit {
                self.seek_in(half, (point, limit), look);
            }
        }
    }
}

//! Boxes over shapes in their own order, four to a node: the proof's own.
//!
//! ```text
//!    +------------------+     a box over a run of shapes, and its spine: the line from the first
//!    |      . - ' ' - . |     start to the last end, and how far the shapes stray from it. Short
//!    | . '-----------'--|     lines that follow a slope lie near their spine, in a box much larger
//!    +------------------+
//! ```
//!
//! Boxes: published: N. Roussopoulos, S. Kelley, F. Vincent, Nearest Neighbor Queries, 1995,
//! SIGMOD; the spines are our own (geometry).

use super::distance::Shape;
use crate::geom::{Bounds, Point};
use std::f64::consts::PI;
use std::num::NonZeroU32;
use std::ops::Range;

/// How many boxes a node holds.
const BRANCHES: usize = 4;

/// Shapes that can be asked for the nearest.
#[derive(Debug, Clone)]
pub(super) struct Forest {
    leaves: Vec<Leaf>,
    arcs: Vec<Arc>,
    /// Nodes of four shapes each, then nodes of four of those, and so on up.
    levels: Vec<Vec<Node>>,
}

/// A shape as it is kept: most are lines.
#[derive(Debug, Clone, Copy)]
struct Leaf {
    from: Point,
    to: Point,
    /// Which of the arcs it is, counted from one.
    arc: Option<NonZeroU32>,
}

/// What an arc has besides its ends.
#[derive(Debug, Clone, Copy)]
struct Arc {
    bow: (Point, f64),
    area: Bounds,
}

/// What lies in a node: a curve in many short lines has boxes much larger than itself.
#[derive(Debug, Clone, Copy)]
struct Node {
    area: Bounds,
    spine: Spine,
}

/// A straight line near which a run of shapes stays.
#[derive(Debug, Clone, Copy)]
struct Spine {
    from: Point,
    to: Point,
    /// No point of them is farther from it, in mm.
    thick: f64,
}

impl Spine {
    /// Of one shape: its chord, from which an arc strays by less than its length.
    fn of(shape: &Shape) -> Self {
        let thick = shape.bow.map_or(0.0, |(centre, sweep)| {
            let radius = shape.from.distance(centre);
            let height = radius * (1.0 - libm::cos((sweep.abs() / 2.0).min(PI)));
            height + (shape.to.distance(centre) - radius).abs()
        });
        Self { from: shape.from, to: shape.to, thick }
    }

    /// Of several, one after the other.
    fn joined(group: &[Self]) -> Self {
        let (first, last) = (group[0], group[group.len() - 1]);
        let mut joined = Self { from: first.from, to: last.to, thick: 0.0 };
        for part in group {
            // The distance to a line grows to the ends of another.
            let ends = joined.far(part.from).max(joined.far(part.to));
            joined.thick = joined.thick.max(ends + part.thick);
        }
        joined
    }

    const fn line(&self) -> Shape {
        Shape { from: self.from, to: self.to, bow: None }
    }

    fn far(&self, point: Point) -> f64 {
        self.line().point_gap(point)
    }

    /// No shape near this is nearer to what is looked for, which may be less than nothing: as
    /// near a bound as decides whether that is more than `limit`.
    fn apart(&self, around: &Around, limit: f64) -> f64 {
        let thick = self.thick + around.spine.thick;
        let far = self.far(around.middle) - thick;
        let least = far - around.half;
        // Most is decided by the middle alone: no point of the line is nearer than it by more than
        // half its length.
        if least < limit && limit <= far {
            return self.line().shape_gap(&around.spine.line()) - thick;
        }
        least
    }
}

/// What is looked for: its box, and the line near which it stays.
#[derive(Clone, Copy)]
struct Around {
    area: Bounds,
    spine: Spine,
    /// The line's middle, and half its length.
    middle: Point,
    half: f64,
}

impl Around {
    fn point(point: Point) -> Self {
        let spine = Spine { from: point, to: point, thick: 0.0 };
        Self { area: Bounds::EMPTY.with(point), spine, middle: point, half: 0.0 }
    }

    fn shape(shape: &Shape) -> Self {
        let (middle, half) =
            (shape.from.middle(shape.to), shape.from.distance(shape.to) / 2.0);
        Self { area: shape.bounds(), spine: Spine::of(shape), middle, half }
    }
}

/// Up to this level a box holds so few shapes that its spine is asked before they are.
const SPINES: usize = 4;

/// The nearest so far: nothing farther than `limit` is wanted.
struct Best {
    limit: f64,
    index: Option<usize>,
}

impl Forest {
    pub(super) fn new(shapes: impl Iterator<Item = Shape>) -> Self {
        let mut forest =
            Self { leaves: Vec::new(), arcs: Vec::new(), levels: Vec::new() };
        forest.leaves.reserve_exact(shapes.size_hint().0);
        for shape in shapes {
            forest.arcs.extend(shape.bow.map(|bow| Arc { bow, area: shape.bounds() }));
            let arc = shape.bow.and_then(|_| u32::try_from(forest.arcs.len()).ok());
            let arc = arc.and_then(NonZeroU32::new);
            forest.leaves.push(Leaf { from: shape.from, to: shape.to, arc });
        }
        forest.grow();
        forest
    }

    /// Builds the nodes over the leaves.
    fn grow(&mut self) {
        let mut level = 0;
        while BRANCHES < self.count_at(level) {
            let count = self.count_at(level).div_ceil(BRANCHES);
            let nodes =
                (0..count).map(|index| self.node(self.below(level + 1, index), level));
            let nodes = nodes.collect();
            self.levels.push(nodes);
            level += 1;
        }
    }

    /// The node over these boxes of a level.
    fn node(&self, range: Range<usize>, level: usize) -> Node {
        let area = range.clone().map(|index| self.area(level, index)).collect();
        let spine = |index: usize| match level {
            0 => Spine::of(&self.shape(index)),
            _ => self.levels[level - 1][index].spine,
        };
        let mut spines = [spine(range.start); BRANCHES];
        for (place, index) in spines.iter_mut().zip(range.clone()) {
            *place = spine(index);
        }
        Node { area, spine: Spine::joined(&spines[..range.len()]) }
    }

    /// How many shapes there are.
    pub(super) const fn count(&self) -> usize {
        self.leaves.len()
    }

    /// One of the shapes.
    pub(super) fn shape(&self, index: usize) -> Shape {
        let leaf = &self.leaves[index];
        Shape { from: leaf.from, to: leaf.to, bow: self.arc(leaf).map(|arc| arc.bow) }
    }

    fn arc(&self, leaf: &Leaf) -> Option<&Arc> {
        leaf.arc.map(|arc| &self.arcs[arc.get() as usize - 1])
    }

    /// The nearest shape to a point that is nearer than `bound` and may be taken.
    pub(super) fn near_point(
        &self,
        point: Point,
        bound: f64,
        may: impl Fn(usize) -> bool,
    ) -> Option<(f64, usize)> {
        self.search(&Around::point(point), bound, &|index, _| {
            may(index).then(|| self.shape(index).point_gap(point))
        })
    }

    /// Whether any shape that may be taken is nearer to a point than `bound`.
    pub(super) fn is_near(
        &self,
        point: Point,
        bound: f64,
        may: impl Fn(usize) -> bool,
    ) -> bool {
        let found = self.search(&Around::point(point), bound, &|index, limit| {
            let is_one = may(index) && self.shape(index).point_gap(point) < limit;
            // None is nearer than this: the search is over.
            is_one.then_some(0.0)
        });
        found.is_some()
    }

    /// The nearest shape to a shape that is nearer than `bound` and may be taken.
    pub(super) fn near_shape(
        &self,
        shape: &Shape,
        bound: f64,
        may: impl Fn(usize) -> bool,
    ) -> Option<(f64, usize)> {
        let around = Around::shape(shape);
        self.search(&around, bound, &|index, limit| {
            let own = self.shape(index);
            let least =
                || own.point_gap(around.middle) - around.half - around.spine.thick;
            (may(index) && least() < limit).then(|| own.shape_gap(shape))
        })
    }

    /// All shapes whose box comes within `reach` of another shape's.
    pub(super) fn beside(&self, shape: &Shape, reach: f64) -> Vec<usize> {
        let mut found = Vec::new();
        let around = shape.bounds();
        self.visit(
            self.root(),
            &|area| gap(area, &around) <= reach * reach,
            &mut |index| {
                found.push(index);
            },
        );
        found
    }

    /// All shapes within `reach` of a point.
    pub(super) fn within(&self, point: Point, reach: f64) -> Vec<usize> {
        let mut found = Vec::new();
        let around = Bounds::EMPTY.with(point);
        self.visit(
            self.root(),
            &|area| gap(area, &around) <= reach * reach,
            &mut |index| {
                if self.shape(index).point_gap(point) <= reach {
                    found.push(index);
                }
            },
        );
        found
    }

    /// How often closed loops of those shapes that may be taken go round a point: what a ray to
    /// the right crosses upwards, less what it crosses downwards.
    pub(super) fn winding(&self, point: Point, may: impl Fn(usize) -> bool) -> i32 {
        let meets = |area: &Bounds| {
            area.low.y <= point.y && point.y <= area.high.y && point.x <= area.high.x
        };
        let mut winding = 0;
        self.visit(self.root(), &meets, &mut |index| {
            if may(index) {
                winding += self.shape(index).crossing(point);
            }
        });
        winding
    }

    /// Calls `found` with every shape all of whose boxes are wanted, in order.
    fn visit(
        &self,
        (level, range): (usize, Range<usize>),
        wanted: &impl Fn(&Bounds) -> bool,
        found: &mut impl FnMut(usize),
    ) {
        for index in range.filter(|&index| wanted(&self.area(level, index))) {
            if level == 0 {
                found(index);
            } else {
                self.visit((level - 1, self.below(level, index)), wanted, found);
            }
        }
    }

    /// All boxes of the highest level.
    const fn root(&self) -> (usize, Range<usize>) {
        let top = self.levels.len();
        (top, 0..self.count_at(top))
    }

    const fn count_at(&self, level: usize) -> usize {
        match level {
            0 => self.leaves.len(),
            _ => self.levels.as_slice()[level - 1].len(),
        }
    }

    const fn below(&self, level: usize, index: usize) -> Range<usize> {
        let end = (index + 1) * BRANCHES;
        let most = self.count_at(level - 1);
        index * BRANCHES..if end < most { end } else { most }
    }

    fn area(&self, level: usize, index: usize) -> Bounds {
        if 0 < level {
            return self.levels[level - 1][index].area;
        }
        let leaf = &self.leaves[index];
        let line = || Bounds::EMPTY.with(leaf.from).with(leaf.to);
        self.arc(leaf).map_or_else(line, |arc| arc.area)
    }

    fn search(
        &self,
        around: &Around,
        bound: f64,
        distance: &impl Fn(usize, f64) -> Option<f64>,
    ) -> Option<(f64, usize)> {
        let mut best = Best { limit: bound, index: None };
        self.seek(self.root(), (around, distance), &mut best);
        best.index.map(|index| (best.limit, index))
    }

    /// Looks for a nearer shape in these boxes of a level, the nearest box first.
    fn seek(
        &self,
        (level, range): (usize, Range<usize>),
        (around, distance): (&Around, &impl Fn(usize, f64) -> Option<f64>),
        best: &mut Best,
    ) {
        let mut open = [(0.0, 0); BRANCHES];
        let mut count = 0;
        for index in range {
            let square = self.square(level, index, (around, best.limit));
            if square < best.limit * best.limit {
                let at = open[..count].partition_point(|one| one.0 < square);
                open.copy_within(at..count, at + 1);
                open[at] = (square, index);
                count += 1;
            }
        }
        for &(square, index) in &open[..count] {
            if best.limit * best.limit <= square {
                return;
            }
            if 0 < level {
                self.seek(
                    (level - 1, self.below(level, index)),
                    (around, distance),
                    best,
                );
            } else if let Some(found) =
                distance(index, best.limit).filter(|found| *found < best.limit)
            {
                *best = Best { limit: found, index: Some(index) };
            }
        }
    }

    /// The square of a distance that nothing in a box is nearer than.
    fn square(&self, level: usize, index: usize, (around, limit): (&Around, f64)) -> f64 {
        let square = gap(&self.area(level, index), &around.area);
        if (1..=SPINES).contains(&level) && square < limit * limit {
            let least = self.levels[level - 1][index].spine.apart(around, limit).max(0.0);
            return square.max(least * least);
        }
        square
    }
}

/// The square of the distance of two boxes.
fn gap(a: &Bounds, b: &Bounds) -> f64 {
    let x = (a.low.x - b.high.x).max(b.low.x - a.high.x).max(0.0);
    let y = (a.low.y - b.high.y).max(b.low.y - a.high.y).max(0.0);
    x * x + y * y
}

#[cfg(test)]
mod tests {
    use super::super::edge::winding_of;
    use super::*;
    use crate::geom::{Loop, Piece, Vector};
    use std::f64::consts::{PI, TAU};

    /// Numbers up to a bound, the same each time.
    fn numbers() -> impl FnMut(f64) -> f64 {
        let mut seed = 11u32;
        move |span| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(seed >> 8) / f64::from(1u32 << 24) * span
        }
    }

    /// A line, or an arc of up to a whole turn, up to this long or wide.
    fn any_shape(next: &mut impl FnMut(f64) -> f64, size: f64) -> Shape {
        let at = Point::new(next(60.0), next(60.0));
        if next(1.0) < 0.5 {
            let to = at + Vector::at_angle(next(TAU)) * next(size);
            return Shape { from: at, to, bow: None };
        }
        let (start, sweep) = (next(TAU), next(2.0 * TAU) - TAU);
        let out = |angle: f64| Vector::at_angle(angle) * (size / 2.0);
        let (from, to) = (at + out(start), at + out(start + sweep));
        Shape { from, to, bow: Some((at, sweep)) }
    }

    #[test]
    fn what_is_nearest_agrees_with_asking_every_shape() {
        let mut next = numbers();
        for round in 0..12u32 {
            let size = [0.3, 4.0, 25.0][round as usize % 3];
            let shapes: Vec<Shape> = if round < 6 {
                (0..200).map(|_| any_shape(&mut next, size)).collect()
            } else {
                // A curve in many short lines, as most programs are.
                let at = |n: u32| {
                    let turn = f64::from(n) * TAU / 200.0;
                    let out = 20.0 + size.min(4.0) * libm::sin(7.0 * turn);
                    Point::new(30.0, 30.0) + Vector::at_angle(turn) * out
                };
                let line = |n| Shape { from: at(n), to: at(n + 1), bow: None };
                (0..200).map(line).collect()
            };
            let forest = Forest::new(shapes.iter().copied());
            for _ in 0..300 {
                let (bound, own) = (next(20.0), any_shape(&mut next, 5.0));
                let least = |gap: &dyn Fn(&Shape) -> f64| {
                    let all = shapes.iter().step_by(2).map(gap);
                    Some(all.fold(f64::INFINITY, f64::min)).filter(|least| *least < bound)
                };
                let is_even = |index: usize| index.is_multiple_of(2);
                let same = |found: Option<f64>, due: Option<f64>| match (found, due) {
                    (Some(found), Some(due)) => (found - due).abs() < 1e-9,
                    (None, None) => true,
                    (one, other) => {
                        let at = one.or(other).unwrap_or_default();
                        (at - bound).abs() < 1e-9
                    }
                };
                let found = forest.near_shape(&own, bound, is_even).map(|(far, _)| far);
                let due = least(&|shape| shape.shape_gap(&own));
                assert!(same(found, due), "{own:?}: {found:?}, not {due:?}");
                let found =
                    forest.near_point(own.from, bound, is_even).map(|(far, _)| far);
                let due = least(&|shape| shape.point_gap(own.from));
                assert!(same(found, due), "{:?}: {found:?}, not {due:?}", own.from);
                assert_eq!(forest.is_near(own.from, bound, is_even), due.is_some());
            }
        }
    }

    /// A lens with a bay: arcs of both turns, with tops, bottoms and sides of their circles.
    fn lens() -> Loop {
        let at = Point::new;
        let arc = |from: Point, to: Point, centre: Point, sweep: f64| Piece::Arc {
            from,
            to,
            centre,
            sweep,
        };
        Loop::new(vec![
            Piece::line(at(0.0, 0.0), at(40.0, 0.0)),
            arc(at(40.0, 0.0), at(40.0, 20.0), at(40.0, 10.0), PI),
            Piece::line(at(40.0, 20.0), at(30.0, 20.0)),
            arc(at(30.0, 20.0), at(10.0, 20.0), at(20.0, 20.0), -PI),
            Piece::line(at(10.0, 20.0), at(0.0, 20.0)),
            arc(at(0.0, 20.0), at(0.0, 0.0), at(0.0, 10.0), PI),
        ])
    }

    #[test]
    fn counting_crossings_agrees_with_summing_angles() {
        for ring in [lens(), lens().reversed()] {
            let forest = Forest::new(ring.pieces().iter().map(Shape::of));
            for n in 0..4000u32 {
                // Never on the border: odd fractions of the grid.
                let at = Point::new(
                    f64::from(n % 80) * 0.813 - 12.03,
                    f64::from(n / 80) * 0.517 - 3.01,
                );
                let due = winding_of(&ring, at);
                assert_eq!(forest.winding(at, |_| true), due, "{at:?}");
            }
            // At the height of corners, tops and bottoms of arcs.
            for (x, y) in
                [(20.0, 0.0), (20.0, 5.0), (5.0, 10.0), (45.0, 10.0), (-20.0, 20.0)]
            {
                let at = Point::new(x, y + 1e-12);
                assert_eq!(forest.winding(at, |_| true), winding_of(&ring, at), "{at:?}");
            }
        }
    }
}

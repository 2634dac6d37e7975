//! Boxes over shapes in their own order, four to a node: the proof's own.

use super::distance::Shape;
use crate::geom::{Bounds, Point};
use std::f64::consts::PI;

/// How many boxes a node holds.
const BRANCHES: usize = 4;

/// Shapes that can be asked for the nearest.
#[derive(Debug, Clone)]
pub(super) struct Forest {
    shapes: Vec<Shape>,
    /// The shapes' own boxes, then boxes of four boxes each.
    levels: Vec<Vec<Bounds>>,
    /// Of each box of four boxes, what lies in it: a curve in many short lines has boxes much
    /// larger than itself.
    spines: Vec<Vec<Spine>>,
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

    /// No shape of one is nearer to a shape of the other.
    fn apart(&self, other: &Self) -> f64 {
        let lines = if other.from == other.to {
            self.far(other.from)
        } else {
            self.line().shape_gap(&other.line())
        };
        (lines - self.thick - other.thick).max(0.0)
    }
}

/// What is looked for: its box, and the line near which it stays.
#[derive(Clone, Copy)]
struct Around {
    area: Bounds,
    spine: Spine,
}

/// Up to this level a box holds so few shapes that its spine is asked before they are.
const SPINES: usize = 4;

impl Forest {
    pub(super) fn new(shapes: Vec<Shape>) -> Self {
        let mut levels: Vec<Vec<Bounds>> =
            vec![shapes.iter().map(Shape::bounds).collect()];
        while BRANCHES < levels[levels.len() - 1].len() {
            let last = &levels[levels.len() - 1];
            let join = |group: &[Bounds]| group.iter().copied().collect();
            levels.push(last.chunks(BRANCHES).map(join).collect());
        }
        let mut spines: Vec<Vec<Spine>> = Vec::new();
        let mut last: Vec<Spine> = shapes.iter().map(Spine::of).collect();
        for _ in 1..levels.len() {
            last = last.chunks(BRANCHES).map(Spine::joined).collect();
            spines.push(last.clone());
        }
        Self { shapes, levels, spines }
    }

    pub(super) fn shapes(&self) -> &[Shape] {
        &self.shapes
    }

    /// The nearest shape to a point that is nearer than `bound` and may be taken.
    pub(super) fn near_point(
        &self,
        point: Point,
        bound: f64,
        may: impl Fn(usize) -> bool,
    ) -> Option<(f64, usize)> {
        let spine = Spine { from: point, to: point, thick: 0.0 };
        let around = Around { area: Bounds::EMPTY.with(point), spine };
        self.search(&around, bound, |index| {
            may(index).then(|| self.shapes[index].point_gap(point))
        })
    }

    /// The nearest shape to a shape that is nearer than `bound`.
    pub(super) fn near_shape(&self, shape: &Shape, bound: f64) -> Option<(f64, usize)> {
        let around = Around { area: shape.bounds(), spine: Spine::of(shape) };
        self.search(&around, bound, |index| Some(self.shapes[index].shape_gap(shape)))
    }

    /// All shapes whose box comes within `reach` of another shape's.
    pub(super) fn beside(&self, shape: &Shape, reach: f64) -> Vec<usize> {
        self.collect(&shape.bounds(), reach, |_| true)
    }

    /// All shapes within `reach` of a point.
    pub(super) fn within(&self, point: Point, reach: f64) -> Vec<usize> {
        let around = Bounds::EMPTY.with(point);
        self.collect(&around, reach, |index| self.shapes[index].point_gap(point) <= reach)
    }

    /// All shapes whose box comes within `reach` of another and that are wanted, in order.
    fn collect(
        &self,
        around: &Bounds,
        reach: f64,
        wanted: impl Fn(usize) -> bool,
    ) -> Vec<usize> {
        let mut found = Vec::new();
        let mut open =
            vec![(self.levels.len() - 1, 0..self.levels[self.levels.len() - 1].len())];
        while let Some((level, range)) = open.pop() {
            for index in range {
                if reach * reach < gap(&self.levels[level][index], around) {
                    continue;
                }
                if 0 < level {
                    open.push((level - 1, self.below(level, index)));
                } else if wanted(index) {
                    found.push(index);
                }
            }
        }
        found.sort_unstable();
        found
    }

    /// How often closed loops of these shapes go round a point: what a ray to the right crosses
    /// upwards, less what it crosses downwards.
    pub(super) fn winding(&self, point: Point) -> i32 {
        let meets = |area: &Bounds| {
            area.low.y <= point.y && point.y <= area.high.y && point.x <= area.high.x
        };
        let top = self.levels.len() - 1;
        let mut open = vec![(top, 0..self.levels[top].len())];
        let mut winding = 0;
        while let Some((level, range)) = open.pop() {
            for index in range.filter(|&index| meets(&self.levels[level][index])) {
                if level == 0 {
                    winding += self.shapes[index].crossing(point);
                } else {
                    open.push((level - 1, self.below(level, index)));
                }
            }
        }
        winding
    }

    const fn below(&self, level: usize, index: usize) -> std::ops::Range<usize> {
        let end = (index + 1) * BRANCHES;
        let most = self.levels.as_slice()[level - 1].len();
        index * BRANCHES..if end < most { end } else { most }
    }

    fn search(
        &self,
        around: &Around,
        bound: f64,
        distance: impl Fn(usize) -> Option<f64>,
    ) -> Option<(f64, usize)> {
        let mut best: Option<(f64, usize)> = None;
        let mut limit = bound;
        let mut open = Stack::default();
        self.open(
            (self.levels.len() - 1, 0..self.top().len()),
            (around, limit),
            &mut open,
        );
        while let Some((square, level, index)) = open.pop() {
            if limit * limit <= square {
                continue;
            }
            if level == 0 {
                if let Some(found) = distance(index).filter(|found| *found < limit) {
                    (limit, best) = (found, Some((found, index)));
                }
                continue;
            }
            self.open((level - 1, self.below(level, index)), (around, limit), &mut open);
        }
        best
    }

    fn top(&self) -> &[Bounds] {
        &self.levels[self.levels.len() - 1]
    }

    /// Puts boxes of a level on the stack, the nearest last; a node holds four at most.
    fn open(
        &self,
        (level, range): (usize, std::ops::Range<usize>),
        (around, limit): (&Around, f64),
        open: &mut Stack,
    ) {
        let first = open.count;
        for index in range {
            let mut square = gap(&self.levels[level][index], &around.area);
            if (1..=SPINES).contains(&level) && square < limit * limit {
                let least = self.spines[level - 1][index].apart(&around.spine);
                square = square.max(least * least);
            }
            if square < limit * limit {
                open.insert(first, (square, level, index));
            }
        }
    }
}

/// Boxes still to be looked into: four a level at most, and no tree has more than 32 levels.
struct Stack {
    boxes: [(f64, usize, usize); 32 * BRANCHES],
    count: usize,
}

impl Default for Stack {
    fn default() -> Self {
        Self { boxes: [(0.0, 0, 0); 32 * BRANCHES], count: 0 }
    }
}

impl Stack {
    fn pop(&mut self) -> Option<(f64, usize, usize)> {
        self.count = self.count.checked_sub(1)?;
        Some(self.boxes[self.count])
    }

    /// Adds a box above those from `first` on that are as near or nearer.
    fn insert(&mut self, first: usize, new: (f64, usize, usize)) {
        let mut at = self.count;
        while first < at && self.boxes[at - 1].0 < new.0 {
            self.boxes[at] = self.boxes[at - 1];
            at -= 1;
        }
        self.boxes[at] = new;
        self.count += 1;
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
    use crate::geom::{Loop, Piece};
    use std::f64::consts::PI;

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
            let forest = Forest::new(ring.pieces().iter().map(Shape::of).collect());
            for n in 0..4000u32 {
                // Never on the border: odd fractions of the grid.
                let at = Point::new(
                    f64::from(n % 80) * 0.813 - 12.03,
                    f64::from(n / 80) * 0.517 - 3.01,
                );
                let due = winding_of(&ring, at);
                assert_eq!(forest.winding(at), due, "{at:?}");
            }
            // At the height of corners, tops and bottoms of arcs.
            for (x, y) in
                [(20.0, 0.0), (20.0, 5.0), (5.0, 10.0), (45.0, 10.0), (-20.0, 20.0)]
            {
                let at = Point::new(x, y + 1e-12);
                assert_eq!(forest.winding(at), winding_of(&ring, at), "{at:?}");
            }
        }
    }
}

//! Boxes over shapes in their own order, four to a node: the proof's own.

use super::distance::Shape;
use crate::geom::{Bounds, Point};

/// How many boxes a node holds.
const BRANCHES: usize = 4;

/// Shapes that can be asked for the nearest.
#[derive(Debug, Clone)]
pub(super) struct Forest {
    shapes: Vec<Shape>,
    /// The shapes' own boxes, then boxes of four boxes each.
    levels: Vec<Vec<Bounds>>,
}

impl Forest {
    pub(super) fn new(shapes: Vec<Shape>) -> Self {
        let mut levels: Vec<Vec<Bounds>> =
            vec![shapes.iter().map(Shape::bounds).collect()];
        while BRANCHES < levels[levels.len() - 1].len() {
            let last = &levels[levels.len() - 1];
            let join = |group: &[Bounds]| group.iter().copied().collect();
            levels.push(last.chunks(BRANCHES).map(join).collect());
        }
        Self { shapes, levels }
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
        let around = Bounds::EMPTY.with(point);
        self.search(&around, bound, |index| {
            may(index).then(|| self.shapes[index].point_gap(point))
        })
    }

    /// The nearest shape to a shape that is nearer than `bound`.
    pub(super) fn near_shape(&self, shape: &Shape, bound: f64) -> Option<(f64, usize)> {
        self.search(&shape.bounds(), bound, |index| {
            Some(self.shapes[index].shape_gap(shape))
        })
    }

    /// All shapes within `reach` of a point.
    pub(super) fn within(&self, point: Point, reach: f64) -> Vec<usize> {
        let mut found = Vec::new();
        let around = Bounds::EMPTY.with(point);
        let mut open =
            vec![(self.levels.len() - 1, 0..self.levels[self.levels.len() - 1].len())];
        while let Some((level, range)) = open.pop() {
            for index in range {
                if reach * reach < gap(&self.levels[level][index], &around) {
                    continue;
                }
                if 0 < level {
                    open.push((level - 1, self.below(level, index)));
                } else if self.shapes[index].point_gap(point) <= reach {
                    found.push(index);
                }
            }
        }
        found.sort_unstable();
        found
    }

    /// How far one turns, in radians, who looks from a point along shapes that follow each
    /// other. From outside a box, all that goes on in it is seen to turn as its ends do.
    pub(super) fn turn_about(&self, point: Point) -> f64 {
        let around = Bounds::EMPTY.with(point);
        let mut turn = 0.0;
        let mut open =
            vec![(self.levels.len() - 1, 0..self.levels[self.levels.len() - 1].len())];
        while let Some((level, range)) = open.pop() {
            for index in range {
                let outside = 0.0 < gap(&self.levels[level][index], &around);
                if level == 0 {
                    turn += self.shapes[index].turn_about(point);
                } else if outside {
                    let [first, last] = self.ends(level, index);
                    let ends = Shape {
                        from: self.shapes[first].from,
                        to: self.shapes[last].to,
                        bow: None,
                    };
                    turn += ends.turn_about(point);
                } else {
                    open.push((level - 1, self.below(level, index)));
                }
            }
        }
        turn
    }

    /// The first and the last shape in a box.
    fn ends(&self, level: usize, index: usize) -> [usize; 2] {
        let (mut first, mut last) = (index, index);
        for below in (0..level).rev() {
            first *= BRANCHES;
            last = (last * BRANCHES + BRANCHES - 1).min(self.levels[below].len() - 1);
        }
        [first, last]
    }

    const fn below(&self, level: usize, index: usize) -> std::ops::Range<usize> {
        let end = (index + 1) * BRANCHES;
        let most = self.levels.as_slice()[level - 1].len();
        index * BRANCHES..if end < most { end } else { most }
    }

    fn search(
        &self,
        around: &Bounds,
        bound: f64,
        distance: impl Fn(usize) -> Option<f64>,
    ) -> Option<(f64, usize)> {
        let mut best: Option<(f64, usize)> = None;
        let mut limit = bound;
        let top = self.levels.len() - 1;
        let mut open: Vec<(f64, usize, usize)> = (0..self.levels[top].len())
            .map(|i| (gap(&self.levels[top][i], around), top, i))
            .collect();
        open.sort_by(|a, b| b.0.total_cmp(&a.0));
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
            let first = open.len();
            for child in self.below(level, index) {
                let square = gap(&self.levels[level - 1][child], around);
                if square < limit * limit {
                    let place =
                        first + open[first..].partition_point(|other| square <= other.0);
                    open.insert(place, (square, level - 1, child));
                }
            }
        }
        best
    }
}

/// The square of the distance of two boxes.
fn gap(a: &Bounds, b: &Bounds) -> f64 {
    let x = (a.low.x - b.high.x).max(b.low.x - a.high.x).max(0.0);
    let y = (a.low.y - b.high.y).max(b.low.y - a.high.y).max(0.0);
    x * x + y * y
}

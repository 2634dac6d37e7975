//! A tree of boxes over pieces in their own order: four to a node, no sort, no pointers.

use super::tolerance::SAME_POINT;
use super::{Bounds, Piece, Point};

/// Boxes in levels: the leaves first, each level a quarter of the one below.
#[derive(Debug, Clone)]
pub struct Tree {
    levels: Vec<Vec<Bounds>>,
}

const FANOUT: usize = 4;

impl Tree {
    /// The tree over these boxes.
    pub fn new(leaves: Vec<Bounds>) -> Self {
        let mut levels = vec![leaves];
        while let Some(below) = levels.last().filter(|level| FANOUT < level.len()) {
            let above = below
                .chunks(FANOUT)
                .map(|boxes| boxes.iter().copied().collect())
                .collect();
            levels.push(above);
        }
        Self { levels }
    }

    /// The tree over these pieces.
    pub fn of(pieces: &[Piece]) -> Self {
        Self::new(pieces.iter().map(Piece::bounds).collect())
    }

    /// The box round all of them.
    pub fn bounds(&self) -> Bounds {
        let top = &self.levels[self.levels.len() - 1];
        top.iter().fold(Bounds::EMPTY, Bounds::joined)
    }

    /// Calls `found` with the index of every leaf whose box meets `area`, in order.
    pub fn meeting(&self, area: &Bounds, mut found: impl FnMut(usize)) {
        let top = self.levels.len() - 1;
        for index in 0..self.levels[top].len() {
            self.meeting_in((top, index), area, &mut found);
        }
    }

    fn meeting_in(
        &self,
        (level, index): (usize, usize),
        area: &Bounds,
        found: &mut impl FnMut(usize),
    ) {
        if !self.levels[level][index].meets(area) {
            return;
        }
        if level == 0 {
            found(index);
            return;
        }
        let below = self.levels[level - 1].len();
        for child in index * FANOUT..((index + 1) * FANOUT).min(below) {
            self.meeting_in((level - 1, child), area, found);
        }
    }

    /// The nearest of `pieces` (those the tree was made of) strictly nearer than `bound`,
    /// as its distance and index.
    pub fn nearest(
        &self,
        pieces: &[Piece],
        point: Point,
        bound: f64,
    ) -> Option<(f64, usize)> {
        self.search((pieces, point, bound), 0.0, |_| false)
    }

    /// The first of the nearest of `pieces` (those the tree was made of): where two meet,
    /// both are as near, and the order decides.
    pub fn first_nearest(&self, pieces: &[Piece], point: Point) -> Option<usize> {
        let found =
            self.search((pieces, point, f64::INFINITY), SAME_POINT, |earlier| earlier);
        found.map(|(_, index)| index)
    }

    /// The nearest piece; boxes up to `slack` farther than it are looked into as well, and
    /// `tied` says whether a piece exactly as near takes its place, being earlier or not.
    fn search(
        &self,
        (pieces, point, bound): (&[Piece], Point, f64),
        slack: f64,
        tied: impl Fn(bool) -> bool,
    ) -> Option<(f64, usize)> {
        let mut best: Option<(f64, usize)> = None;
        let mut limit = bound;
        let mut open = Open { boxes: [(0.0, 0, 0); DEEPEST], count: 0 };
        let top = self.levels.len() - 1;
        self.open(point, (top, 0..self.levels[top].len()), &mut open);
        while let Some((square, level, index)) = open.pop() {
            let reach = limit + slack;
            if reach * reach <= square {
                continue;
            }
            if level == 0 {
                let distance = pieces[index].distance(point);
                let takes =
                    |best: (f64, usize)| distance <= best.0 && tied(index < best.1);
                if distance < limit || best.is_some_and(takes) {
                    limit = distance;
                    best = Some((distance, index));
                }
                continue;
            }
            let below = self.levels[level - 1].len();
            let children = index * FANOUT..((index + 1) * FANOUT).min(below);
            self.open(point, (level - 1, children), &mut open);
        }
        best
    }

    /// Pushes boxes so that the nearest is popped first.
    fn open(
        &self,
        point: Point,
        (level, children): (usize, std::ops::Range<usize>),
        open: &mut Open,
    ) {
        let first = open.count;
        for child in children {
            let square = self.levels[level][child].distance_squared(point);
            open.push((square, level, child), first);
        }
    }
}

/// More boxes are never open at once: three a level and one, and thirty levels hold more
/// pieces than there is memory for.
const DEEPEST: usize = 96;

/// Boxes to look into, by the square of their distance, level and index.
struct Open {
    boxes: [(f64, usize, usize); DEEPEST],
    count: usize,
}

impl Open {
    fn pop(&mut self) -> Option<(f64, usize, usize)> {
        self.count = self.count.checked_sub(1)?;
        Some(self.boxes[self.count])
    }

    /// Pushes a box below those nearer than it, down to the place `first`.
    fn push(&mut self, one: (f64, usize, usize), first: usize) {
        let mut place = self.count;
        while first < place && self.boxes[place - 1].0 < one.0 {
            self.boxes[place] = self.boxes[place - 1];
            place -= 1;
        }
        self.boxes[place] = one;
        self.count += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_by_tree_is_the_nearest_by_hand() {
        let pieces: Vec<Piece> = (0..200)
            .map(|i| {
                // The second half lies on the first: each place has two nearest pieces.
                let x = f64::from(i % 100 * 37 % 101);
                let y = f64::from(i % 100 * 53 % 97);
                Piece::line(Point::new(x, y), Point::new(x + 1.5, y + 0.5))
            })
            .collect();
        let tree = Tree::of(&pieces);
        for i in 0..50 {
            let point = Point::new(f64::from(i * 29 % 120), f64::from(i * 17 % 110));
            let by_hand =
                pieces.iter().map(|p| p.distance(point)).fold(f64::INFINITY, f64::min);
            let first = pieces.iter().position(|p| p.distance(point) <= by_hand);
            assert_eq!(
                tree.first_nearest(&pieces, point),
                first,
                "the first at {point:?}"
            );
            let (distance, index) =
                tree.nearest(&pieces, point, f64::INFINITY).expect("there are pieces");
            assert!((distance - by_hand).abs() < 1e-12, "at {point:?}");
            assert!((pieces[index].distance(point) - by_hand).abs() < 1e-12);
        }
    }
}

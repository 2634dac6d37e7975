//! A tree of boxes over pieces in their own order: four to a node, no sort, no pointers.
//!
//! ```text
//!   [              ][      ]     one box round each four of the level below: neighbours along a
//!   [  ][  ][  ][  ][  ][  ]     loop are near to each other, so that these boxes are small
//!   ||||||||||||||||||||||||     without any sorting
//! ```
//!
//! The nearest piece is looked for in the nearest boxes first, and boxes farther than what is found
//! are left out: published: N. Roussopoulos, S. Kelley, F. Vincent, Nearest Neighbor Queries, 1995,
//! SIGMOD. That the order of the loops does for sorting is our own.

use super::tolerance::SAME_POINT;
use super::{Bounds, Piece, Point};
use std::ops::Range;

/// Boxes in levels: the leaves first, each level a quarter of the one below, all in one row.
#[derive(Debug, Clone)]
pub struct Tree {
    boxes: Vec<Bounds>,
    /// Where each level starts in the row, and where the last one ends.
    levels: Vec<usize>,
}

/// So many boxes of a level share one of the level above.
const FANOUT: usize = 4;
/// Room is made for so many levels: those of some thousand leaves.
const LEVELS: usize = 8;

impl Tree {
    /// The tree over these boxes.
    pub fn new(
        leaves: impl IntoIterator<Item = Bounds, IntoIter: ExactSizeIterator>,
    ) -> Self {
        let leaves = leaves.into_iter();
        let mut below = 0..leaves.len();
        // Room for the levels above, a third as many.
        let mut boxes = Vec::with_capacity(below.len() + below.len() / 2);
        boxes.extend(leaves);
        let mut levels = Vec::with_capacity(LEVELS);
        levels.extend([0, below.len()]);
        while FANOUT < below.len() {
            for first in below.clone().step_by(FANOUT) {
                let group = &boxes[first..below.end.min(first + FANOUT)];
                boxes.push(group.iter().copied().collect());
            }
            below = below.end..boxes.len();
            levels.push(below.end);
        }
        Self { boxes, levels }
    }

    /// The tree over these pieces.
    pub fn of(pieces: &[Piece]) -> Self {
        Self::new(pieces.iter().map(Piece::bounds))
    }

    /// The box round all of them.
    pub fn bounds(&self) -> Bounds {
        self.level(self.top()).iter().fold(Bounds::EMPTY, Bounds::joined)
    }

    /// The level of the fewest boxes.
    fn top(&self) -> usize {
        self.levels.len() - 2
    }

    /// The boxes of a level, of which 0 is the leaves.
    fn level(&self, level: usize) -> &[Bounds] {
        &self.boxes[self.levels[level]..self.levels[level + 1]]
    }

    /// Calls `found` with the index of every leaf whose box meets `area`, in order.
    pub fn meeting(&self, area: &Bounds, mut found: impl FnMut(usize)) {
        let top = self.top();
        for index in 0..self.level(top).len() {
            self.meeting_in((top, index), area, &mut found);
        }
    }

    /// The same among the leaves below one box of a level.
    fn meeting_in(
        &self,
        (level, index): (usize, usize),
        area: &Bounds,
        found: &mut impl FnMut(usize),
    ) {
        if !self.level(level)[index].meets(area) {
            return;
        }
        if level == 0 {
            found(index);
            return;
        }
        for child in self.group(level - 1, index) {
            self.meeting_in((level - 1, child), area, found);
        }
    }

    /// Calls `found` with every two leaves whose boxes meet, the earlier first.
    pub fn pairs(&self, mut found: impl FnMut(usize, usize)) {
        let top = self.top();
        self.pairs_among((top, 0..self.level(top).len()), &mut found);
    }

    /// The pairs within and between these boxes of a level.
    fn pairs_among(
        &self,
        (level, range): (usize, Range<usize>),
        found: &mut impl FnMut(usize, usize),
    ) {
        for one in range.clone() {
            if 0 < level {
                self.pairs_among((level - 1, self.group(level - 1, one)), found);
            }
            for other in one + 1..range.end {
                self.pairs_between(level, (one, other), found);
            }
        }
    }

    /// The pairs of a leaf below the one box and a leaf below the other.
    fn pairs_between(
        &self,
        level: usize,
        (one, other): (usize, usize),
        found: &mut impl FnMut(usize, usize),
    ) {
        let boxes = self.level(level);
        if !boxes[one].meets(&boxes[other]) {
            return;
        }
        if level == 0 {
            found(one, other);
            return;
        }
        for child in self.group(level - 1, one) {
            if self.level(level - 1)[child].meets(&boxes[other]) {
                for second in self.group(level - 1, other) {
                    self.pairs_between(level - 1, (child, second), found);
                }
            }
        }
    }

    /// The boxes of a level that one box of the level above holds.
    fn group(&self, level: usize, index: usize) -> Range<usize> {
        index * FANOUT..((index + 1) * FANOUT).min(self.level(level).len())
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
    pub(super) fn first_nearest(&self, pieces: &[Piece], point: Point) -> Option<usize> {
        let found =
            self.search((pieces, point, f64::INFINITY), SAME_POINT, |earlier| earlier);
        found.map(|(_, index)| index)
    }

    /// A piece strictly nearer to `point` than `bound`, if there is one: not the nearest of all,
    /// but that of the first boxes in which there is one. They are looked into from the piece
    /// `beside` outwards, which is thought to be near.
    pub(super) fn within(
        &self,
        pieces: &[Piece],
        (point, bound): (Point, f64),
        beside: usize,
    ) -> Option<usize> {
        let best = Best { limit: bound, slack: 0.0, index: None };
        let nearer = |index: usize, best: &mut Best| {
            let distance = pieces[index].distance(point);
            if distance < best.limit {
                (best.limit, best.index) = (distance, Some(index));
            }
        };
        let mut search = Search { tree: self, point, best, leaf: nearer };
        let (mut group, mut but) = (beside / FANOUT, usize::MAX);
        for level in 0..=self.top() {
            search.seek(level, group, but);
            if search.best.index.is_some() {
                break;
            }
            (group, but) = (group / FANOUT, group);
        }
        search.best.index
    }

    /// The nearest piece; boxes up to `slack` farther than it are looked into as well, and
    /// `tied` says whether a piece exactly as near takes its place, being earlier or not.
    fn search(
        &self,
        (pieces, point, bound): (&[Piece], Point, f64),
        slack: f64,
        tied: impl Fn(bool) -> bool,
    ) -> Option<(f64, usize)> {
        let best = Best { limit: bound, slack, index: None };
        let leaf = |index: usize, best: &mut Best| {
            let distance = pieces[index].distance(point);
            let takes = |old: usize| distance <= best.limit && tied(index < old);
            if distance < best.limit || best.index.is_some_and(takes) {
                (best.limit, best.index) = (distance, Some(index));
            }
        };
        let mut search = Search { tree: self, point, best, leaf };
        search.seek(self.top(), 0, usize::MAX);
        let Best { limit, index, .. } = search.best;
        index.map(|index| (limit, index))
    }
}

/// The nearest piece so far.
struct Best {
    /// Nothing farther is looked for, but for the slack.
    limit: f64,
    slack: f64,
    index: Option<usize>,
}

impl Best {
    /// Whether a box so far off, squared, may hold what is looked for.
    fn reaches(&self, square: f64) -> bool {
        let reach = self.limit + self.slack;
        square < reach * reach
    }
}

/// A search for what is nearest to a point.
struct Search<'a, Leaf> {
    tree: &'a Tree,
    point: Point,
    best: Best,
    /// What a leaf does to the nearest so far.
    leaf: Leaf,
}

impl<Leaf: Fn(usize, &mut Best)> Search<'_, Leaf> {
    /// Looks into the boxes of a group of a level but for one, the nearest first.
    fn seek(&mut self, level: usize, group: usize, but: usize) {
        let mut open = [(0.0, 0); FANOUT];
        let mut count = 0;
        let boxes = &self.tree.level(level)[self.tree.group(level, group)];
        for (index, bounds) in (group * FANOUT..).zip(boxes) {
            let square = bounds.distance_squared(self.point);
            if index != but && self.best.reaches(square) {
                let mut at = count;
                // Of boxes as near the later one goes first.
                while 0 < at && square <= open[at - 1].0 {
                    open[at] = open[at - 1];
                    at -= 1;
                }
                open[at] = (square, index);
                count += 1;
            }
        }
        for &(square, index) in &open[..count] {
            if !self.best.reaches(square) {
                return;
            }
            if level == 0 {
                (self.leaf)(index, &mut self.best);
            } else {
                self.seek(level - 1, index, usize::MAX);
            }
        }
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

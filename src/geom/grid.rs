//! Things kept by the squares of a grid that they lie on: for what grows and shrinks as it is
//! searched, where a tree would have to be made anew.
//!
//! ```text
//!   +---+---+---+     a thing is in the list of each square that its box meets;
//!   |   | a/|a  |     whoever asks looks into the squares about the place
//!   +---+-/-+---+
//!   |   |/a |   |
//! ```
//!
//! Common practice, no source.

use super::{Bounds, Point};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// Things by the squares they lie on.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid<T> {
    /// The side of a square.
    side: f64,
    squares: BTreeMap<(i64, i64), Vec<T>>,
}

impl<T: Copy> Grid<T> {
    /// An empty grid of squares of this side.
    pub const fn new(side: f64) -> Self {
        Self { side, squares: BTreeMap::new() }
    }

    /// Adds a thing that lies on every square that `area` meets.
    pub fn add(&mut self, area: &Bounds, thing: T) {
        let (columns, rows) = self.meeting(area);
        for column in columns {
            for row in rows.clone() {
                self.squares.entry((column, row)).or_default().push(thing);
            }
        }
    }

    /// Calls `found` with all on the squares that `area` meets: once for each square.
    pub fn look(&self, area: &Bounds, mut found: impl FnMut(T)) {
        let (columns, rows) = self.meeting(area);
        for column in columns {
            let square = (column, *rows.start())..=(column, *rows.end());
            for (_, things) in self.squares.range(square) {
                for &thing in things {
                    found(thing);
                }
            }
        }
    }

    /// Takes away what is on the squares that `area` meets and is `wanted`.
    pub fn take(&mut self, area: &Bounds, mut wanted: impl FnMut(T) -> bool) -> Vec<T> {
        let (columns, rows) = self.meeting(area);
        let mut taken = Vec::new();
        for column in columns {
            let square = (column, *rows.start())..=(column, *rows.end());
            for (_, things) in self.squares.range_mut(square) {
                things.retain(|&thing| {
                    let goes = wanted(thing);
                    if goes {
                        taken.push(thing);
                    }
                    !goes
                });
            }
        }
        taken
    }

    /// The columns and rows of the squares that `area` meets.
    fn meeting(&self, area: &Bounds) -> (RangeInclusive<i64>, RangeInclusive<i64>) {
        let [low, high] = [area.low, area.high].map(|corner| self.square(corner));
        (low.0..=high.0, low.1..=high.1)
    }

    #[expect(clippy::cast_possible_truncation, reason = "too far off is the last square")]
    fn square(&self, point: Point) -> (i64, i64) {
        ((point.x / self.side).floor() as i64, (point.y / self.side).floor() as i64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_near_is_found_and_taken_once() {
        let mut grid = Grid::new(2.0);
        let at = |x: f64, y: f64| {
            let point = Point::new(x, y);
            Bounds { low: point, high: point }
        };
        for (index, x) in [-9.0, -1.0, 1.0, 3.0, 30.0].into_iter().enumerate() {
            grid.add(&at(x, 1.0), index);
        }
        let mut found = Vec::new();
        grid.look(&at(1.0, 1.0).grown(2.0), |index| found.push(index));
        assert_eq!(found, [1, 2, 3], "two squares on either side of nought");
        let taken = grid.take(&at(1.0, 1.0).grown(2.0), |index| index != 2);
        assert_eq!(taken, [1, 3], "those that are wanted");
        let again = grid.take(&at(1.0, 1.0).grown(2.0), |_| true);
        assert_eq!(again, [2], "what was taken is gone");
    }
}

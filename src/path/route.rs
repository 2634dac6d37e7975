//! A short way from place to place: the nearest next, then crossings undone.
//!
//! ```text
//!    a   b          a---b        a run of the way (here c, b) is turned round where that makes the
//!     \ /|              |        whole shorter: so crossings go
//!      X |   -->        |
//!     / \|              |
//!    d   c          d---c
//! ```
//!
//! Common practice, no source.

use crate::geom::Point;

/// How often the whole way is gone over for a shorter one (from memory: few find any later).
const TRIES: usize = 20;
/// With more places than this, the way is left as the nearest next makes it.
const MOST: usize = 400;

/// The order in which to visit places from a start: a short way, not always the shortest.
pub(super) fn short_way(start: Point, places: &[Point]) -> Vec<usize> {
    let mut left: Vec<usize> = (0..places.len()).collect();
    let mut way = Vec::new();
    let mut at = start;
    while let Some(next) = nearest(at, places, &left) {
        left.retain(|&index| index != next);
        at = places[next];
        way.push(next);
    }
    if MOST < way.len() {
        return way;
    }
    for _ in 0..TRIES {
        if !shortened(start, places, &mut way) {
            break;
        }
    }
    way
}

fn nearest(at: Point, places: &[Point], left: &[usize]) -> Option<usize> {
    let far = |index: usize| places[index].distance(at);
    left.iter().copied().min_by(|&a, &b| far(a).total_cmp(&far(b)))
}

/// Turns round every run that is shorter the other way; whether there was any.
fn shortened(start: Point, places: &[Point], way: &mut [usize]) -> bool {
    let mut found = false;
    for first in 0..way.len() {
        for last in first + 1..way.len() {
            let before = if first == 0 { start } else { places[way[first - 1]] };
            let (a, b) = (places[way[first]], places[way[last]]);
            let (mut now, mut then) = (before.distance(a), before.distance(b));
            if let Some(&next) = way.get(last + 1) {
                now += b.distance(places[next]);
                then += a.distance(places[next]);
            }
            if then < now - 1e-9 {
                way[first..=last].reverse();
                found = true;
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length(start: Point, places: &[Point], way: &[usize]) -> f64 {
        let mut at = start;
        let steps = way.iter().map(|&index| {
            let step = at.distance(places[index]);
            at = places[index];
            step
        });
        steps.sum()
    }

    #[test]
    fn a_row_is_walked_from_end_to_end_and_a_grid_without_crossings() {
        let start = Point::new(-1.0, 0.0);
        let row = [3.0, 0.0, 2.0, 1.0, 4.0].map(|x| Point::new(x, 0.0));
        assert_eq!(short_way(start, &row), [1, 3, 2, 0, 4], "in a row");
        let grid: Vec<Point> = (0..25u32)
            .map(|n| Point::new(f64::from(n * 7 % 25 % 5), f64::from(n * 7 % 25 / 5)))
            .collect();
        let way = short_way(start, &grid);
        let mut once = way.clone();
        once.sort_unstable();
        assert!(once.into_iter().eq(0..25), "each place once");
        let long = length(start, &grid, &way);
        assert!(long < 1.15 * 25.0, "the shortest is 25: {long}");
    }
}

//! Where letters go: of several places the one that covers least of what is there.

use super::scene::Text;
use crate::geom::{Bounds, Grid, Piece, Point, Vector};

/// A label that seeks its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// What it says.
    pub text: String,
    /// Height of its type.
    pub size: f64,
    /// Room to keep round it.
    pub room: f64,
}

impl Label {
    /// How wide and high a box it takes.
    pub fn size_of_box(&self) -> (f64, f64) {
        let room = 2.0 * self.room;
        (Text::width_of(&self.text, self.size) * HEAVY + room, self.size * 0.75 + room)
    }
}

/// How much wider heavy letters are.
const HEAVY: f64 = 1.15;

/// What is on the page already.
#[derive(Debug, Clone)]
pub struct Places {
    area: Bounds,
    /// Points of lines that letters should not cover.
    lines: Grid<Point>,
    /// Boxes that are taken.
    taken: Vec<Bounds>,
    /// Their numbers by place.
    taken_at: Grid<usize>,
}

/// By how much each next candidate is liked less.
pub const LATER: f64 = 0.35;

/// How far apart the points are that stand for a line.
const SAMPLE: f64 = 1.0;
/// The squares in which what is on the page is looked up: about a label's size.
const SQUARE: f64 = 6.0;

impl Places {
    /// A page on which only `area` is free.
    pub const fn new(area: Bounds) -> Self {
        let lines = Grid::new(SQUARE);
        Self { area, lines, taken: Vec::new(), taken_at: Grid::new(SQUARE) }
    }

    /// Something is drawn along these pieces.
    pub fn add_line(&mut self, pieces: &[Piece]) {
        self.add_line_where(pieces, |_| true);
    }

    /// Something is drawn along these pieces, as far as it can be seen.
    pub fn add_line_where(&mut self, pieces: &[Piece], seen: impl Fn(Point) -> bool) {
        for piece in pieces {
            let n_steps = (piece.length() / SAMPLE).ceil().clamp(1.0, 2000.0);
            let mut step = 0.0;
            while step <= n_steps {
                let point = piece.at(step / n_steps);
                if seen(point) {
                    self.lines.add(&Bounds { low: point, high: point }, point);
                }
                step += 1.0;
            }
        }
    }

    /// A box is taken.
    pub fn add_box(&mut self, taken: Bounds) {
        self.taken_at.add(&taken, self.taken.len());
        self.taken.push(taken);
    }

    /// How bad it is to cover this box: 0 where nothing is there.
    pub fn cost(&self, bounds: Bounds) -> f64 {
        self.cost_below(bounds, f64::INFINITY).unwrap_or(f64::INFINITY)
    }

    /// The cost, unless it is seen early not to be below `limit`.
    fn cost_below(&self, bounds: Bounds, limit: f64) -> Option<f64> {
        let mut lines = 0.0;
        self.lines.look(&bounds, |point| {
            lines += if holds(&bounds, point) { 1.0 } else { 0.0 };
        });
        let whole = bounds.width() * bounds.height();
        let outside = whole - shared(&bounds, &self.area);
        if limit <= lines * 3.0 + outside * 20.0 {
            return None;
        }
        let mut near = Vec::new();
        self.taken_at.look(&bounds, |index| {
            if 0.0 < shared(&bounds, &self.taken[index]) {
                near.push(index);
            }
        });
        near.sort_unstable();
        near.dedup();
        let boxes: f64 =
            near.iter().map(|&index| shared(&bounds, &self.taken[index])).sum();
        Some(lines * 3.0 + boxes * 12.0 + outside * 20.0)
    }

    /// The best of `candidates` for the middle of a box of this size, earlier ones preferred;
    /// the place is then taken.
    pub fn best(&mut self, candidates: &[Point], width: f64, height: f64) -> Point {
        let order: Vec<f64> = (0..).map(f64::from).take(candidates.len()).collect();
        let weighed: Vec<(Point, f64)> = candidates
            .iter()
            .zip(order)
            .map(|(&candidate, order)| (candidate, order * LATER))
            .collect();
        let best = self.best_weighed(&weighed, |_| 0.0, (width, height));
        self.add_box(box_about(best, (width, height)));
        best
    }

    /// The best of some candidates, each with a price of its own, and a further one that is
    /// asked for only where it decides. It is not taken yet.
    pub fn best_weighed(
        &self,
        candidates: &[(Point, f64)],
        further: impl Fn(Point) -> f64,
        size: (f64, f64),
    ) -> Point {
        let mut best = (f64::INFINITY, self.area.centre());
        for &(candidate, price) in candidates {
            // No place costs less than nothing.
            if best.0 <= price {
                continue;
            }
            let place = box_about(candidate, size);
            let Some(cost) = self.cost_below(place, best.0 - price) else { continue };
            if cost + price < best.0 {
                let cost = cost + (price + further(candidate));
                if cost < best.0 {
                    best = (cost, candidate);
                }
            }
        }
        best.1
    }

    /// Places a label at the best of `candidates`; its letters are centred there.
    pub fn label(&mut self, label: &Label, candidates: &[Point]) -> Text {
        let (width, height) = label.size_of_box();
        let middle = self.best(candidates, width, height);
        Text::new(middle, label.text.clone(), label.size).bold().centred()
    }
}

/// The box of this width and height about its middle.
pub fn box_about(middle: Point, (width, height): (f64, f64)) -> Bounds {
    let half = Vector::new(width / 2.0, height / 2.0);
    Bounds { low: middle - half, high: middle + half }
}

fn holds(bounds: &Bounds, point: Point) -> bool {
    bounds.low.x <= point.x
        && point.x <= bounds.high.x
        && bounds.low.y <= point.y
        && point.y <= bounds.high.y
}

/// The area two boxes share.
fn shared(one: &Bounds, other: &Bounds) -> f64 {
    let wide = one.high.x.min(other.high.x) - one.low.x.max(other.low.x);
    let high = one.high.y.min(other.high.y) - one.low.y.max(other.low.y);
    wide.max(0.0) * high.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_goes_where_nothing_is() {
        let area = Bounds { low: Point::new(0.0, 0.0), high: Point::new(100.0, 100.0) };
        let mut places = Places::new(area);
        let across = Piece::line(Point::new(0.0, 50.0), Point::new(100.0, 50.0));
        places.add_line(&[across]);
        let candidates = [Point::new(50.0, 50.0), Point::new(50.0, 60.0)];
        assert_eq!(places.best(&candidates, 6.0, 6.0), candidates[1], "off the line");
        let next = [candidates[1], Point::new(50.0, 70.0)];
        assert_eq!(places.best(&next, 6.0, 6.0), next[1], "the first place is taken");
    }

    #[test]
    fn a_label_stays_on_its_area() {
        let area = Bounds { low: Point::new(0.0, 0.0), high: Point::new(100.0, 100.0) };
        let mut places = Places::new(area);
        let candidates = [Point::new(101.0, 50.0), Point::new(90.0, 50.0)];
        assert_eq!(
            places.best(&candidates, 8.0, 8.0),
            candidates[1],
            "the first hangs out"
        );
    }
}

//! Where letters go: of several places the one that covers least of what is there.

use super::scene::{Mark, Scene, Text};
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

/// A fine line from what stands somewhere to what it is about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leader {
    /// What it is about.
    pub to: Point,
    /// How wide and high what stands there is: the line begins at an ellipse about it.
    pub size: (f64, f64),
    /// What stands no farther than this from it has none.
    pub beyond: f64,
}

impl Leader {
    /// Its line to what stands at a place; none where that is near enough.
    pub fn line(&self, at: Point) -> Option<Piece> {
        let way = self.to - at;
        let unit = way.unit().filter(|_| self.beyond < way.length())?;
        let (x, y) = (2.0 * unit.x / self.size.0, 2.0 * unit.y / self.size.1);
        Some(Piece::line(at + unit * (1.0 / (x * x + y * y).sqrt()), self.to))
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

/// The price of a millimetre of a leader that runs over letters or other marks.
const CROSSED: f64 = 4.0;

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

    /// A page with the lines and letters of these marks, on which only `area` is free.
    pub fn of(scene: &Scene, area: Bounds) -> Self {
        let mut places = Self::new(area);
        for mark in &scene.marks {
            match mark {
                Mark::Line(pieces, _) => places.add_line(pieces),
                Mark::Letters(text) => places.add_box(text.bounds()),
                Mark::Band(..)
                | Mark::Fill(..)
                | Mark::Within(..)
                | Mark::Inside(..)
                | Mark::Named(..) => {}
            }
        }
        places
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

    /// Something is drawn along this path, and so far about it.
    pub fn add_path(&mut self, path: &[Point], about: f64) {
        for taken in along(path, about) {
            self.add_box(taken);
        }
    }

    /// How bad it is to draw along this path, and so far about it.
    pub fn path_cost(&self, path: &[Point], about: f64) -> f64 {
        along(path, about).into_iter().map(|bounds| self.cost(bounds)).sum()
    }

    /// How bad it is to draw a fine line: it may cross lines, and nothing else.
    pub fn leader_cost(&self, line: &Piece) -> f64 {
        let n_steps = (line.length() / SAMPLE).ceil().max(1.0);
        let steps = (0..).map(f64::from).take_while(|step| *step < n_steps);
        let is_taken = |&step: &f64| {
            let point = line.at((step + 0.5) / n_steps);
            let mut taken = false;
            self.taken_at.look(&Bounds { low: point, high: point }, |index: usize| {
                taken |= holds(&self.taken[index], point);
            });
            taken
        };
        steps.filter(is_taken).map(|_| CROSSED * line.length() / n_steps).sum()
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
        let best = self.best_weighed(&in_order(candidates), |_| 0.0, (width, height));
        self.add_box(box_about(best, (width, height)));
        best
    }

    /// The same for a box that is led to something; with its leader, where it has one, which
    /// is not taken yet.
    pub fn best_led(
        &mut self,
        candidates: &[Point],
        leader: &Leader,
    ) -> (Point, Option<Piece>) {
        let led = |at| leader.line(at).map_or(0.0, |line| self.leader_cost(&line));
        let best = self.best_weighed(&in_order(candidates), led, leader.size);
        self.add_box(box_about(best, leader.size));
        (best, leader.line(best))
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

/// Candidates, each with its price: earlier ones are preferred.
fn in_order(candidates: &[Point]) -> Vec<(Point, f64)> {
    let prices = (0..).map(|order| f64::from(order) * LATER);
    candidates.iter().copied().zip(prices).collect()
}

/// Boxes of this half width along a path from end to end, one beside the other.
fn along(path: &[Point], about: f64) -> Vec<Bounds> {
    let length: f64 = path.windows(2).map(|two| two[0].distance(two[1])).sum();
    let each = length / (length / (2.0 * about)).ceil().max(1.0);
    let (mut places, mut gone, mut next) = (Vec::new(), 0.0, 0.0);
    for two in path.windows(2) {
        let piece = Piece::line(two[0], two[1]);
        while next < gone + piece.length() {
            places.push(piece.at((next - gone) / piece.length()));
            next += each;
        }
        gone += piece.length();
    }
    places.extend(path.last());
    places.iter().map(|&at| Bounds { low: at, high: at }.grown(about)).collect()
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
    fn a_slanting_path_takes_what_lies_along_it_and_nothing_beside() {
        let area = Bounds { low: Point::new(0.0, 0.0), high: Point::new(100.0, 100.0) };
        let mut places = Places::new(area);
        let path = [(20.0, 20.0), (21.0, 21.0), (50.0, 50.0), (80.0, 80.0)];
        let path = path.map(|(x, y)| Point::new(x, y));
        places.add_path(&path, 1.5);
        let cost = |x: f64, y: f64| places.cost(box_about(Point::new(x, y), (1.0, 1.0)));
        for at in [20.5, 35.0, 50.0, 64.0, 79.5] {
            assert!(0.0 < cost(at, at), "on it at {at}");
            assert!(cost(at + 5.0, at - 5.0) <= 0.0, "beside it at {at}");
        }
        assert!(places.path_cost(&path, 1.5) > places.path_cost(&path[..3], 1.5));
    }

    #[test]
    fn a_leader_runs_round_what_is_taken_where_it_can() {
        let area = Bounds { low: Point::new(0.0, 0.0), high: Point::new(100.0, 100.0) };
        let mut places = Places::new(area);
        places.add_box(box_about(Point::new(60.0, 50.0), (4.0, 4.0)));
        let (to, size) = (Point::new(50.0, 50.0), (6.0, 6.0));
        let leader = Leader { to, size, beyond: 8.0 };
        let candidates = [Point::new(70.0, 50.0), Point::new(50.0, 70.0)];
        let (at, line) = places.best_led(&candidates, &leader);
        assert_eq!(at, candidates[1], "the first would be led over the box");
        let line = line.expect("it stands far off");
        assert_eq!(line.from(), Point::new(50.0, 67.0), "it begins off the words");
        let near = [Point::new(55.0, 55.0)];
        assert_eq!(places.best_led(&near, &leader), (near[0], None));
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

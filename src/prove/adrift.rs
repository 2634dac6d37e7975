//! Wood that nothing holds any more when all is cut through: a plug in a pocket with a narrow
//! mouth, or half of an opening whose tabs stand in the other half.
//!
//! Seen at the blank's underside, where tabs and skins still stand. Boxes are halved until each
//! is wood, or cut, or too small to matter; boxes of wood that touch hang together, and what hangs
//! together with the blank's border is held.
//!
//! ```text
//!   # # # # # # # # #      # wood that the border holds    . cut
//!   # . . . . . . . #
//!   # . o o . . # . #      o adrift: it touches wood only through boxes that are cut
//!   # . o o . # # . #
//!   # . . . . . = . #      = a tab: wood at the underside
//!   # # # # # # = # #
//! ```

use super::cut::{Cut, LEVEL};
use super::cuts::Cuts;
use super::distance::Shape;
use super::promise::Promise;
use super::verdict::{Fault, Rule};
use crate::geom::{Bounds, Point};

/// The side of the smallest boxes, in mm (geometry: their circles come to 0.5, so wood twice as
/// wide always has a chain of them: a tab's neck is 3 at least).
const SMALL: f64 = 0.35;
/// Wood of less than this is dust, in mm² (from memory).
const DUST: f64 = 4.0;

/// A fault for each piece of wood that comes loose.
pub(super) fn faults(cuts: &Cuts<'_>, promise: &Promise) -> Vec<Fault> {
    let underside = LEVEL - promise.thick;
    let swept = |cut: Cut| Some((cut.below(underside)?, cut.radius));
    let mut pieces = Pieces::new(cuts.iter().filter_map(swept).collect(), promise.blank);
    let whole = pieces.parted();
    pieces.join(&whole);
    let loose = pieces.adrift().into_iter().map(|(at, area)| {
        let text = format!(
            "a piece of {} comes loose here while the mill turns: nothing holds it",
            promise.paper.area(area.round())
        );
        Fault::at(Rule::Loose, 0, at, text)
    });
    loose.collect()
}

/// A square of the blank.
enum Square {
    Cut,
    /// Wood, by its number among the boxes of wood.
    Wood(usize),
    /// Lower left, lower right, upper left, upper right.
    Parted(Box<[Self; 4]>),
}

/// Which way two squares lie beside each other.
#[derive(Clone, Copy)]
enum Beside {
    Right,
    Above,
}

/// Boxes of wood, and which of them hang together.
struct Pieces {
    /// The ways of mills, and how wide each mill is, halved.
    ways: Vec<(Shape, f64)>,
    blank: Bounds,
    boxes: Vec<Bounds>,
    /// For each box one that it hangs together with, in the end the first of all of those.
    hangs_on: Vec<usize>,
}

/// What lies outside the blank or on its border stands for all that is held.
const HELD: usize = 0;

impl Pieces {
    fn new(ways: Vec<(Shape, f64)>, blank: Bounds) -> Self {
        Self { ways, blank, boxes: vec![Bounds::EMPTY], hangs_on: vec![HELD] }
    }

    /// The blank in boxes of wood and boxes that are cut.
    fn parted(&mut self) -> Square {
        let low = self.blank.low;
        let wide = self.blank.width().max(self.blank.height());
        let mut side = SMALL;
        while side < wide {
            side *= 2.0;
        }
        let spare = (side - wide) / 2.0;
        let low = Point::new(low.x - spare, low.y - spare);
        let whole = Bounds { low, high: Point::new(low.x + side, low.y + side) };
        self.square(whole, &(0..self.ways.len()).collect::<Vec<_>>())
    }

    /// A square as it is; told are the ways that may be the nearest to a place in it.
    fn square(&mut self, area: Bounds, near: &[usize]) -> Square {
        let middle = area.centre();
        let half = middle.distance(area.high);
        let gaps: Vec<f64> = near.iter().map(|&way| self.gap(way, middle)).collect();
        let gap = gaps.iter().copied().fold(f64::INFINITY, f64::min);
        if half <= gap {
            return self.wood(area);
        }
        if half <= -gap || area.width() < 1.5 * SMALL {
            return Square::Cut;
        }
        // Within half of the middle no gap changes by more than that: others stay farther.
        let pairs = near.iter().zip(&gaps);
        let near: Vec<usize> = pairs
            .filter(|(_, own)| **own <= gap + 2.0 * half)
            .map(|(&way, _)| way)
            .collect();
        let low = area.low;
        let at = [low, Point::new(middle.x, low.y), Point::new(low.x, middle.y), middle];
        let by = middle - low;
        let quarters = at.map(|low| Bounds { low, high: low + by });
        Square::Parted(Box::new(quarters.map(|quarter| self.square(quarter, &near))))
    }

    /// How far a place is from what a mill sweeps on one of its ways.
    fn gap(&self, way: usize, place: Point) -> f64 {
        let (way, radius) = &self.ways[way];
        way.point_gap(place) - radius
    }

    fn wood(&mut self, area: Bounds) -> Square {
        let number = self.boxes.len();
        let Bounds { low, high } = self.blank;
        let inside = low.x < area.low.x
            && low.y < area.low.y
            && area.high.x < high.x
            && area.high.y < high.y;
        self.boxes.push(area);
        self.hangs_on.push(if inside { number } else { HELD });
        Square::Wood(number)
    }

    /// Boxes of wood that touch inside a square hang together.
    fn join(&mut self, square: &Square) {
        let Square::Parted(quarters) = square else { return };
        for quarter in &**quarters {
            self.join(quarter);
        }
        let [lower_left, lower_right, upper_left, upper_right] = &**quarters;
        self.meet(lower_left, lower_right, Beside::Right);
        self.meet(upper_left, upper_right, Beside::Right);
        self.meet(lower_left, upper_left, Beside::Above);
        self.meet(lower_right, upper_right, Beside::Above);
    }

    /// The second square lies beside the first.
    fn meet(&mut self, first: &Square, second: &Square, beside: Beside) {
        match (first, second) {
            (Square::Cut, _) | (_, Square::Cut) => {}
            (&Square::Wood(first), &Square::Wood(second)) => self.tie(first, second),
            _ => {
                let near = facing(first, beside, Facing::Second);
                let far = facing(second, beside, Facing::First);
                self.meet(near[0], far[0], beside);
                self.meet(near[1], far[1], beside);
            }
        }
    }

    fn tie(&mut self, first: usize, second: usize) {
        let (first, second) = (self.first_of(first), self.first_of(second));
        self.hangs_on[first.max(second)] = first.min(second);
    }

    /// The first of all boxes that one hangs together with.
    fn first_of(&mut self, mut number: usize) -> usize {
        while self.hangs_on[number] != number {
            self.hangs_on[number] = self.hangs_on[self.hangs_on[number]];
            number = self.hangs_on[number];
        }
        number
    }

    /// Each piece that nothing holds: the middle of its largest box, and the area of its boxes.
    fn adrift(&mut self) -> Vec<(Point, f64)> {
        let mut pieces = vec![(0, 0.0); self.boxes.len()];
        for number in 1..self.boxes.len() {
            let first = self.first_of(number);
            let area = |number: usize| {
                let sides: &Bounds = &self.boxes[number];
                sides.width() * sides.height()
            };
            let (largest, sum) = pieces[first];
            let larger = largest == 0 || area(largest) < area(number);
            pieces[first] = (if larger { number } else { largest }, sum + area(number));
        }
        let loose = pieces.into_iter().skip(1).filter(|(_, area)| DUST < *area);
        loose.map(|(largest, area)| (self.boxes[largest].centre(), area)).collect()
    }
}

/// Which of two squares beside each other is looked at.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Facing {
    /// The quarters of the second that lie at the first.
    First,
    /// The quarters of the first that lie at the second.
    Second,
}

/// The two halves of a square's side that faces another: a box that is not parted is both.
fn facing(square: &Square, beside: Beside, facing: Facing) -> [&Square; 2] {
    let Square::Parted(quarters) = square else { return [square, square] };
    let [a, b] = match (beside, facing) {
        (Beside::Right, Facing::Second) => [1, 3],
        (Beside::Right, Facing::First) => [0, 2],
        (Beside::Above, Facing::Second) => [2, 3],
        (Beside::Above, Facing::First) => [0, 1],
    };
    [&quarters[a], &quarters[b]]
}

//! What is scribed on the template's face: where the part ends on it, the grain, the name and
//! the bit, the letters of the stretches, the numbers of the hand work, and centre lines; each
//! only where it keeps clear of every edge and of the marks before it.
//!
//! ```text
//!    .--------------------.
//!    |  A    ---->  GRAIN |     each mark stands where it is clear of every edge and of the marks
//!    |      |   name      |     before it, or is said to have found no room
//!    |______|_____________|
//! ```
//!
//! Our own; figures from memory.

use super::lay::{Lay, moved_loop};
use super::letters::{strokes, width};
use crate::diag::{Problem, Problems, Weight};
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use crate::plan::{HandWork, Plan, Stretch};
use crate::shop::{Bit, Recess, Shop};
use crate::units::Paper;

/// How far a mark keeps from every edge, in mm (from memory).
const INSIDE: f64 = crate::shop::defaults::SCRIBE_INSIDE.value;
/// How high letters are, in mm (from memory), but no less than so many widths of the line.
const LETTER: f64 = crate::shop::defaults::SCRIBE_LETTER.value;
const LETTER_WIDTHS: f64 = 4.0;
/// How far marks keep from each other beyond the width of their lines, as shares of a letter's
/// height (from memory): so far that two letters are no word, or where there is no room for
/// that, so far that they do not run into each other.
const APART: [f64; 2] = [0.6, 0.12];
/// Lines are looked at so often, in mm; a distance may be less by half of it between.
const STEP: f64 = 0.5;
/// Rounding of a program's text, in mm.
const ROUNDING: f64 = 0.05;
/// Lengths of the arrow along the grain, in mm (from memory): the first that finds room.
const ARROWS: [f64; 3] = [60.0, 40.0, 25.0];
/// A part is alike on both sides of a line when it differs by no more than this, in mm
/// (geometry: the fit of its curves).
const ALIKE: f64 = 0.02;
/// How many places across and up are tried for what may stand anywhere.
const PLACES: u32 = 24;

/// What is scribed, and what found no room.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Marks {
    /// Lines through their points, in the frame of the parts as laid.
    pub lines: Vec<Vec<Point>>,
    /// What found no room.
    pub notes: Problems,
}

/// The marks of a plan's templates, scribed in lines of this width.
pub fn marks(plan: &Plan, shop: &Shop, lay: &Lay, line: f64) -> Marks {
    let mut marks = Marks::default();
    let mut left_out = Vec::new();
    let recesses = shop.machine.as_ref().map_or(&[][..], |machine| &machine.recesses);
    for (index, _) in plan.made() {
        let mut face = Face::new(plan, (index, lay.shifts[index]), line, recesses);
        face.ends();
        face.stretches(&mut left_out);
        face.hand_work(&mut left_out);
        face.anywhere(shop, &mut left_out);
        face.centre_lines();
        marks.lines.extend(face.lines);
    }
    if !left_out.is_empty() {
        let found = format!("there is no room to scribe {}", left_out.join(", "));
        let hint = "write it on by hand; a finer `scribe-point` needs less room";
        marks.notes.push(Problem::new("scribe-no-room", Weight::Hint, found, hint));
    }
    marks
}

/// One template's face while it is being marked.
struct Face<'a> {
    plan: &'a Plan,
    part: usize,
    shift: Vector,
    edges: Vec<Loop>,
    line: f64,
    height: f64,
    lines: Vec<Vec<Point>>,
}

impl<'a> Face<'a> {
    fn new(
        plan: &'a Plan,
        (part, shift): (usize, Vector),
        line: f64,
        recesses: &[Recess],
    ) -> Self {
        let rings = plan.parts[part].template.iter();
        let recesses = recesses.iter().map(|recess| &recess.ring);
        Self {
            plan,
            part,
            shift,
            edges: rings.chain(recesses).map(|ring| moved_loop(ring, shift)).collect(),
            line,
            height: LETTER.max(LETTER_WIDTHS * line),
            lines: Vec::new(),
        }
    }

    /// Where the part ends on a template that goes on past it.
    fn ends(&mut self) {
        let rings = self.plan.parts[self.part].outline.loops.clone();
        for ring in rings {
            let ring = moved_loop(&ring, self.shift);
            for piece in ring.pieces() {
                let runs = runs(piece, |point| self.is_free(point));
                self.lines.extend(runs);
            }
        }
    }

    /// The lines upright and across on both sides of which the part is alike, broken where
    /// there are other marks.
    fn centre_lines(&mut self) {
        let rings = &self.plan.parts[self.part].outline.loops;
        let area: Bounds = rings.iter().map(Loop::bounds).collect();
        let (low, high, middle) = (area.low, area.high, area.centre());
        let upright = (Point::new(middle.x, low.y), Point::new(middle.x, high.y));
        let across = (Point::new(low.x, middle.y), Point::new(high.x, middle.y));
        for (from, to) in [upright, across] {
            if is_alike(rings, (from, to)) {
                let line = Piece::line(from + self.shift, to + self.shift);
                let clear = |p| self.is_free(p) && self.is_apart(p, self.apart(APART[0]));
                let lines = runs(&line, clear);
                self.lines.extend(lines);
            }
        }
    }

    /// The letter of each stretch, beside its middle or near it.
    fn stretches(&mut self, left_out: &mut Vec<String>) {
        let (plan, part) = (self.plan, self.part);
        let own = |stretch: &&Stretch| stretch.part == part;
        for stretch in plan.stretches.iter().filter(own) {
            let ring = &plan.parts[part].guide.loops[stretch.span.on];
            let set_in = (-plan.parts[part].template_offset).max(0.0);
            let beside = [0.5, 0.35, 0.65, 0.2, 0.8].into_iter().flat_map(|share| {
                let along = ring.wrapped(stretch.span.from + stretch.span.length * share);
                let (at, way) = (ring.at(along), ring.direction_after(along).left());
                [1.0, 1.6, 2.4].map(|far| (at, way, far))
            });
            let near = self.near(&stretch.name) + set_in;
            let places: Vec<Point> = beside
                .map(|(at, way, far)| at + way * (near * far) + self.shift)
                .collect();
            self.text(&stretch.name, &places, left_out);
        }
    }

    /// The number of each piece of hand work, round the place it is about.
    fn hand_work(&mut self, left_out: &mut Vec<String>) {
        let (plan, part) = (self.plan, self.part);
        let own = |work: &&HandWork| work.part == part;
        for work in plan.hand.iter().filter(own) {
            let name = work.number.to_string();
            let near = self.near(&name);
            let round = [1.2, 1.8, 2.6].into_iter().flat_map(|far| {
                let ways = (0u32..12)
                    .map(|n| Vector::at_angle(f64::from(n) * 30f64.to_radians()));
                ways.map(move |way| way * (near * far))
            });
            let places: Vec<Point> = round.map(|by| work.at + by + self.shift).collect();
            self.text(&name, &places, left_out);
        }
    }

    /// Grain, name and bits, anywhere on the face, as near to its middle as they find room.
    fn anywhere(&mut self, shop: &Shop, left_out: &mut Vec<String>) {
        let places = self.places();
        let outline = &self.plan.parts[self.part].outline;
        let grain = shop.stock.grain_of(outline).axis();
        let arrows = ARROWS
            .into_iter()
            .flat_map(|length| places.iter().map(move |&at| arrow(at, grain, length)));
        let arrows: Vec<Vec<Vec<Point>>> = arrows.collect();
        if !self.put(&arrows) {
            left_out.push("the grain".to_owned());
        }
        let name = &outline.name;
        let mut bits: Vec<String> = Vec::new();
        for set_up in &self.plan.set_ups {
            let words = bit_words(&shop.bits[set_up.bit], shop.paper);
            if !bits.contains(&words) {
                bits.push(words);
            }
        }
        for text in [name.clone()].into_iter().chain(bits) {
            self.text(&text, &places, left_out);
        }
    }

    /// Places all over the face, from its middle out.
    fn places(&self) -> Vec<Point> {
        let area: Bounds = self.edges.iter().map(Loop::bounds).collect();
        let at = |n: u32| f64::from(2 * n + 1) / f64::from(2 * PLACES);
        let all = (0..PLACES * PLACES).map(|n| {
            let (x, y) = (at(n % PLACES) * area.width(), at(n / PLACES) * area.height());
            area.low + Vector::new(x, y)
        });
        let mut all: Vec<Point> = all.filter(|&place| self.is_free(place)).collect();
        let middle = area.centre();
        all.sort_by(|a, b| a.distance(middle).total_cmp(&b.distance(middle)));
        all
    }

    /// How far from an edge the middle of a text must be.
    fn near(&self, text: &str) -> f64 {
        let wide = width(text, self.height);
        let half = (wide * wide + self.height * self.height).sqrt() / 2.0;
        half + self.keep()
    }

    /// How far the middle of a line keeps from an edge.
    fn keep(&self) -> f64 {
        self.line / 2.0 + INSIDE + STEP / 2.0 + ROUNDING
    }

    /// Writes a text at the first of these places that has room.
    fn text(&mut self, text: &str, places: &[Point], left_out: &mut Vec<String>) {
        let height = self.height;
        let written: Vec<Vec<Vec<Point>>> =
            places.iter().map(|&at| strokes(text, height, at)).collect();
        if !self.put(&written) {
            left_out.push(format!("`{text}`"));
        }
    }

    /// Adds the first of these that has room; whether there is one.
    fn put(&mut self, ways: &[Vec<Vec<Point>>]) -> bool {
        let clear = |apart: f64| ways.iter().find(|lines| self.takes(lines, apart));
        let Some(lines) = APART.into_iter().find_map(clear) else { return false };
        self.lines.extend(lines.iter().cloned());
        true
    }

    /// Whether lines keep clear of every edge and so far of the marks already there.
    fn takes(&self, lines: &[Vec<Point>], apart: f64) -> bool {
        let points: Vec<Point> = lines.iter().flat_map(|line| along(line)).collect();
        let apart = self.apart(apart);
        points.iter().all(|&point| self.is_apart(point, apart))
            && points.iter().all(|&p| self.is_free(p))
    }

    /// How far the middles of lines are from each other, by a share of a letter's height.
    fn apart(&self, share: f64) -> f64 {
        self.line + share * self.height + STEP / 2.0
    }

    /// Whether a point is so far from every mark already there.
    fn is_apart(&self, point: Point, apart: f64) -> bool {
        let mut lines = self.lines.iter().flat_map(|line| line.windows(2));
        lines.all(|ends| apart <= Piece::line(ends[0], ends[1]).distance(point))
    }

    /// Whether a point lies on the face, clear of its edges.
    fn is_free(&self, point: Point) -> bool {
        let keep = self.keep();
        let near = |ring: &Loop| ring.pieces().iter().any(|p| p.distance(point) < keep);
        !self.edges.iter().any(near)
            && 0 < self.edges.iter().map(|ring| ring.winding(point)).sum::<i32>()
    }
}

/// The runs of a piece that are clear, as lines.
fn runs(piece: &Piece, clear: impl Fn(Point) -> bool) -> Vec<Vec<Point>> {
    let points: Vec<(Point, bool)> =
        walked(piece).into_iter().map(|point| (point, clear(point))).collect();
    let runs = points.chunk_by(|a, b| a.1 == b.1);
    let free = runs.filter(|run| run[0].1 && 2 < run.len());
    let lines = free.map(|run| {
        let all = || run.iter().map(|(point, _)| *point);
        match piece.radius() {
            Some(_) => all().collect(),
            None => all().take(1).chain(all().next_back()).collect(),
        }
    });
    lines.collect()
}

/// Whether loops are alike on both sides of a line.
fn is_alike(rings: &[Loop], (from, to): (Point, Point)) -> bool {
    let Some(way) = (to - from).unit() else { return false };
    let other_side = |at: Point| {
        let off = way.left() * (at - from).dot(way.left());
        at - off * 2.0
    };
    let is_there = |at: Point| {
        rings.iter().flat_map(Loop::pieces).any(|piece| piece.distance(at) <= ALIKE)
    };
    let all = rings.iter().flat_map(Loop::pieces);
    all.flat_map(walked).all(|at| is_there(other_side(at)))
}

/// Points along a piece, no farther from each other than a step.
fn walked(piece: &Piece) -> Vec<Point> {
    let count = (piece.length() / STEP).ceil().max(1.0);
    let steps = (0u32..).map(f64::from).take_while(|&n| n <= count);
    steps.map(|n| piece.at(n / count)).collect()
}

fn along(line: &[Point]) -> Vec<Point> {
    line.windows(2).flat_map(|ends| walked(&Piece::line(ends[0], ends[1]))).collect()
}

/// A line along the grain with a head at both ends.
fn arrow(middle: Point, degrees: f64, length: f64) -> Vec<Vec<Point>> {
    let way = Vector::at_angle(degrees.to_radians());
    let (tail, tip) = (middle - way * (length / 2.0), middle + way * (length / 2.0));
    let head = |end: Point, back: Vector| {
        let barb = |side: Vector| end + back * (length / 8.0) + side * (length / 16.0);
        vec![barb(way.left()), end, barb(way.right())]
    };
    vec![vec![tail, tip], head(tip, way * -1.0), head(tail, way)]
}

/// The bit a template is made for: its cutter, and what rides where that is not as wide.
fn bit_words(bit: &Bit, paper: Paper) -> String {
    let cutter = paper.measured(bit.cutter.mm());
    if bit.bearing == bit.cutter {
        format!("bit {cutter}")
    } else {
        format!("bit {cutter} on {}", paper.measured(bit.bearing.mm()))
    }
}

//! The marks of a shop drawing, each made of lines and letters.

use super::scene::{Circle, Ink, Pen, Scene, Text};
use crate::geom::{Piece, Point, Vector};

/// Ticks on the waste side of an edge that lies on the page.
pub fn ticks(scene: &mut Scene, pieces: &[Piece], waste: WalkSide) {
    let (mut next, mut all) = (TICK_EVERY / 2.0, Vec::new());
    for piece in pieces {
        let length = piece.length();
        while next < length {
            let t = next / length;
            let way = piece.direction(t);
            let side = waste.of(way);
            let foot = piece.at(t);
            all.push(Piece::line(foot, foot + (side + way * 0.6) * TICK));
            next += TICK_EVERY;
        }
        next -= length;
    }
    scene.line(all, Pen::Fine);
}

/// A side of a walk along an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WalkSide {
    /// On its left.
    Left,
    /// On its right.
    Right,
}

impl WalkSide {
    /// The way off an edge that runs along `way` to this side.
    pub fn of(self, way: Vector) -> Vector {
        match self {
            Self::Left => way.left(),
            Self::Right => way.right(),
        }
    }
}

/// How long a tick is, across the edge.
const TICK: f64 = 1.7;
/// How far apart ticks are.
const TICK_EVERY: f64 = 3.2;

/// An arrow along these points, with its head at the last.
pub fn arrow_along(scene: &mut Scene, path: &[Point]) {
    let [.., before, tip] = path else { return };
    let way = (*tip - *before).unit().unwrap_or(Vector::new(1.0, 0.0));
    let neck = *tip - way * (ARROW_HEAD * 0.8);
    let mut shaft: Vec<Piece> =
        path.windows(2).map(|two| Piece::line(two[0], two[1])).collect();
    shaft.pop();
    let last = path.len() - 2;
    if 0.0 < (neck - path[last]).dot(way) {
        shaft.push(Piece::line(path[last], neck));
    }
    scene.line(shaft, Pen::Arrow);
    head(scene, *tip, way, Ink::Blue);
}

/// How long an arrow's head is.
const ARROW_HEAD: f64 = 4.2;

fn head(scene: &mut Scene, tip: Point, way: Vector, ink: Ink) {
    let foot = tip - way * ARROW_HEAD;
    let half = way.left() * (ARROW_HEAD * 0.38);
    scene.filled(&[tip, foot + half, foot - half], ink);
}

/// A long arrow with two heads, as the grain is drawn.
pub fn double_arrow(scene: &mut Scene, from: Point, to: Point) {
    let Some(way) = (to - from).unit() else { return };
    scene.straight(from + way * 2.0, to - way * 2.0, Pen::Border);
    head(scene, to, way, Ink::Black);
    head(scene, from, -way, Ink::Black);
}

/// A star where a pass starts, with the pass's number in it.
pub fn star(scene: &mut Scene, at: Point, number: &str) {
    let corner = |step: u32| {
        let radius = if step.is_multiple_of(2) { STAR } else { STAR * 0.55 };
        let angle = std::f64::consts::PI * (0.5 + f64::from(step) / 5.0);
        at + Vector::at_angle(angle) * radius
    };
    let corners: Vec<Point> = (0..10).map(corner).collect();
    scene.filled(&corners, Ink::Vermilion);
    scene.ring(&corners, Pen::Fine);
    if !number.is_empty() {
        let mut text = Text::new(at, number, 3.8).bold().centred();
        text.ink = Ink::White;
        scene.letters(text);
    }
}

/// The outer radius of a star.
pub(super) const STAR: f64 = 4.0;

/// A bar across the edge where a pass ends, its feet turned back to what is routed: no letter
/// looks like it.
pub fn exit_mark(scene: &mut Scene, at: Point, way: Vector) {
    let across = way.left() * 3.2;
    scene.straight(at - across, at + across, Pen::Now);
    for end in [at - across, at + across] {
        scene.straight(end, end - way * 1.8, Pen::Now);
    }
}

/// A number in a ring: a place for the hand.
pub fn numbered(scene: &mut Scene, at: Point, number: &str) {
    let ring = Circle { centre: at, radius: 3.9 }.pieces();
    scene.marks.push(super::Mark::Fill(vec![ring.clone()], Ink::White));
    scene.line(ring, Pen::Border);
    scene.letters(Text::new(at, number, 5.0).bold().centred());
}

/// A convex shape filled with hatching at 45 degrees.
pub fn hatched(scene: &mut Scene, corners: &[Point]) {
    scene.filled(corners, Ink::White);
    let along = Vector::new(1.0, 1.0).unit().unwrap_or_default();
    let across = along.left();
    let origin = corners.first().copied().unwrap_or_default();
    let heights: Vec<f64> =
        corners.iter().map(|corner| (*corner - origin).dot(across)).collect();
    let low = heights.iter().copied().fold(f64::INFINITY, f64::min);
    let high = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (mut height, mut lines) = (low + HATCH / 2.0, Vec::new());
    while height < high {
        let mut cuts = Vec::new();
        for (i, &from) in corners.iter().enumerate() {
            let j = (i + 1) % corners.len();
            let (a, b) = (heights[i], heights[j]);
            if (a < height) != (b < height) {
                cuts.push(from + (corners[j] - from) * ((height - a) / (b - a)));
            }
        }
        if let [from, to] = cuts[..] {
            lines.push(Piece::line(from, to));
        }
        height += HATCH;
    }
    scene.line(lines, Pen::Fine);
    scene.ring(corners, Pen::NotNow);
}

/// How far apart lines of hatching are.
const HATCH: f64 = 1.8;

/// A block fixed flush at `at`, where the edge ends that runs along `way`; `next` is the way
/// the edge behind it goes on. Hatched, as what the bit must not be expected to spare.
pub fn backer(scene: &mut Scene, at: Point, way: Vector, next: Vector) {
    let (deep, wide) = (7.0, 15.0);
    let corners = [at, at + way * deep, at + way * deep + next * wide, at + next * wide];
    hatched(scene, &corners);
}

/// A scale bar: `length` mm on the page, in four fields, with what its ends stand for.
pub fn scale_bar(scene: &mut Scene, at: Point, length: f64, words: &str) {
    let (field, high) = (length / 4.0, 2.0);
    let corner = |x: f64, y: f64| at + Vector::new(x, y);
    let mut x = 0.0;
    for black in [true, false, true, false] {
        let ring = [
            corner(x, 0.0),
            corner(x + field, 0.0),
            corner(x + field, high),
            corner(x, high),
        ];
        scene.filled(&ring, if black { Ink::Black } else { Ink::White });
        x += field;
    }
    let ring =
        [corner(0.0, 0.0), corner(length, 0.0), corner(length, high), corner(0.0, high)];
    scene.ring(&ring, Pen::NotNow);
    scene.letters(Text::new(corner(0.0, 3.2), "0", 3.6));
    scene.letters(Text::new(corner(length + 2.0, 0.0), words, 4.2).bold());
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::Mark;

    #[test]
    fn ticks_stand_on_the_waste_side() {
        let mut scene = Scene::a4_lying("ticks");
        let edge = Piece::line(Point::new(10.0, 50.0), Point::new(40.0, 50.0));
        ticks(&mut scene, &[edge], WalkSide::Right);
        let [Mark::Line(ticks, Pen::Fine)] = &scene.marks[..] else {
            panic!("one mark of fine lines")
        };
        assert_eq!(ticks.len(), 9, "one every 3.2 mm");
        for tick in ticks {
            assert!(tick.to().y < 50.0, "on the right of the walk");
        }
    }

    #[test]
    fn an_arrow_ends_in_its_head() {
        let mut scene = Scene::a4_lying("arrow");
        arrow_along(&mut scene, &[Point::new(0.0, 0.0), Point::new(20.0, 0.0)]);
        let Some(Mark::Fill(head, Ink::Blue)) = scene.marks.last() else {
            panic!("the head is drawn last")
        };
        assert_eq!(head[0][0].from(), Point::new(20.0, 0.0), "its tip");
    }

    #[test]
    fn hatching_stays_inside_its_shape() {
        let mut scene = Scene::a4_lying("hatching");
        let at = Point::new;
        hatched(&mut scene, &[at(0.0, 0.0), at(8.0, 0.0), at(8.0, 5.0), at(0.0, 5.0)]);
        let [_, Mark::Line(lines, Pen::Fine), _] = &scene.marks[..] else {
            panic!("paper, lines and border")
        };
        assert!(3 < lines.len(), "several lines");
        for line in lines {
            for end in [line.from(), line.to()] {
                assert!((-1e-9..=8.0 + 1e-9).contains(&end.x), "{end:?}");
                assert!((-1e-9..=5.0 + 1e-9).contains(&end.y), "{end:?}");
            }
        }
    }
}

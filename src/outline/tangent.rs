//! Joints of lines and arcs that the drawing means smooth, made exactly tangent.
//!
//! ```text
//!    as drawn                  settled
//!    ______                    _____
//!          \  a kink                 ' .      the circle keeps its radius and is moved until it
//!           '.                          '     touches both neighbours; the joints slide
//!             |                          |
//! ```
//!
//! A drawing rounds its numbers, so that an arc leaves a line at an angle of a few thousandths.
//! Taken as drawn, such a joint is a corner that nobody drew. Here each arc keeps its radius and
//! its centre is moved until it touches its neighbours; the joints slide along the lines. It is
//! done only where nothing moves by more than the fit's tolerance or the drawing's own rounding
//! (geometry: the bound in [`Joints::settle`]); a corner that is meant is larger.
//!
//! The circles that touch two others: geometry; what is moved and how far is our own.

use super::chain::Ring;
use super::strand::Strand;
use crate::geom::crossing::Carrier;
use crate::geom::{Piece, Point, Vector};
use crate::read::Stroke;
use std::f64::consts::TAU;

/// A turn larger than this, in radians, is a corner that somebody drew (from memory). Smaller
/// ones are too where the tolerance does not allow them to go.
const MOST_KINK: f64 = 0.1;
/// A turn smaller than this, in radians, is tangent already.
const TANGENT: f64 = 1e-9;
/// How far off a centre may be, in roundings, that was worked out from rounded points, each
/// half a one off each way.
const ROUNDINGS: f64 = 2.0;

/// The ring with its smooth joints exactly tangent, and how far that strays from it, in mm;
/// more than `tolerance` only where the drawing is rounded to a coarser grid, `rounding`.
pub(super) fn settled(ring: &Ring, tolerance: f64, rounding: f64) -> (Ring, f64) {
    let mut joints = Joints::of(ring);
    let tolerance = tolerance.max(ROUNDINGS * rounding);
    let mut worst = 0.0f64;
    for chain in joints.chains() {
        if let Some(strays) = joints.settle(&chain, tolerance) {
            worst = worst.max(strays);
        }
    }
    match joints.strands(ring) {
        Some(settled) => (settled, worst),
        None => (ring.clone(), 0.0),
    }
}

/// A circle walked one way.
#[derive(Debug, Clone, Copy)]
struct Round {
    centre: Point,
    radius: f64,
    /// One counter-clockwise, minus one clockwise.
    turn: f64,
}

/// What an arc must touch at one end.
#[derive(Debug, Clone, Copy)]
enum Anchor {
    Line { through: Point, way: Vector },
    Round(Round),
    Corner(Point),
}

impl Anchor {
    /// Where the centre of `round` may lie so that it touches this.
    fn locus(&self, round: &Round) -> Carrier {
        match *self {
            Self::Line { through, way } => {
                let out = way.left() * (round.turn * round.radius);
                Carrier::Line { through: through + out, way }
            }
            Self::Round(other) => {
                let apart = if 0.0 < round.turn * other.turn {
                    (other.radius - round.radius).abs()
                } else {
                    other.radius + round.radius
                };
                Carrier::circle(other.centre, apart)
            }
            Self::Corner(at) => Carrier::circle(at, round.radius),
        }
    }

    /// Where `round`, which touches it, does.
    fn touch(&self, round: &Round) -> Option<Point> {
        match *self {
            Self::Line { through, way } => {
                Some(through + way * (round.centre - through).dot(way))
            }
            Self::Round(other) => {
                let way = (other.centre - round.centre).unit()?;
                let inside = 0.0 < round.turn * other.turn && round.radius < other.radius;
                let reach = if inside { -round.radius } else { round.radius };
                Some(round.centre + way * reach)
            }
            Self::Corner(at) => Some(at),
        }
    }

    /// How sharply it bends: one over its radius; nought for a line or a corner.
    fn curvature(&self) -> f64 {
        match self {
            Self::Round(round) => 1.0 / round.radius,
            Self::Line { .. } | Self::Corner(_) => 0.0,
        }
    }
}

/// Arcs that follow each other smoothly, by strand, and what the first and the last one touch.
struct Chain {
    arcs: Vec<usize>,
    first: Anchor,
    last: Anchor,
}

/// The lines and arcs of a ring with the joints between them.
struct Joints {
    pieces: Vec<Option<Piece>>,
    /// The joint at the end of each strand.
    points: Vec<Point>,
    /// The turn there, where it is one that rounding can make; else `None`.
    kinks: Vec<Option<f64>>,
    rounds: Vec<Option<Round>>,
}

impl Joints {
    /// Those of a ring.
    fn of(ring: &Ring) -> Self {
        let piece = |strand: &Strand| match strand.stroke {
            Stroke::Piece(piece) => Some(piece),
            Stroke::Cubic(_) | Stroke::Ellipse { .. } => None,
        };
        let pieces: Vec<Option<Piece>> = ring.iter().map(piece).collect();
        let round = |piece: &Option<Piece>| match *piece {
            Some(Piece::Arc { from, centre, sweep, .. }) => Some(Round {
                centre,
                radius: from.distance(centre),
                turn: sweep.signum(),
            }),
            _ => None,
        };
        let rounds: Vec<Option<Round>> = pieces.iter().map(round).collect();
        let n = ring.len();
        let kink = |index: usize| {
            let next = (index + 1) % n;
            let an_arc = rounds[index].is_some() || rounds[next].is_some();
            let turn = pieces[index]?.turn_to(&pieces[next]?).abs();
            (1 < n && an_arc && turn <= MOST_KINK).then_some(turn)
        };
        Self {
            points: ring.iter().map(Strand::to).collect(),
            kinks: (0..n).map(kink).collect(),
            pieces,
            rounds,
        }
    }

    /// The strand before one, round the ring.
    fn before(&self, index: usize) -> usize {
        (index + self.pieces.len() - 1) % self.pieces.len()
    }

    /// The chains in which some joint is not tangent.
    fn chains(&self) -> Vec<Chain> {
        let n = self.pieces.len();
        let goes_on = |index: usize| {
            let next = (index + 1) % n;
            self.kinks[index].is_some()
                && self.rounds[index].is_some()
                && self.rounds[next].is_some()
        };
        let mut starts: Vec<usize> = (0..n)
            .filter(|&i| self.rounds[i].is_some() && !goes_on(self.before(i)))
            .collect();
        // Arcs alone, all smooth: the first one stays as it is.
        let closed = starts.is_empty() && 2 < n && self.rounds[0].is_some();
        if closed {
            starts.push(1);
        }
        let mut chains = Vec::new();
        for start in starts {
            let mut arcs = vec![start];
            let mut last = start;
            while goes_on(last) && !(closed && (last + 1) % n == 0) {
                last = (last + 1) % n;
                arcs.push(last);
            }
            let loose = |&index: &usize| self.kinks[index].is_some_and(|k| TANGENT < k);
            if loose(&self.before(start)) || arcs.iter().any(loose) {
                let first = self.anchor(self.before(start), self.before(start));
                chains.push(Chain {
                    arcs,
                    first,
                    last: self.anchor(last, (last + 1) % n),
                });
            }
        }
        chains
    }

    /// What an arc touches at this joint, where its neighbour there is `other`.
    fn anchor(&self, joint: usize, other: usize) -> Anchor {
        let corner = Anchor::Corner(self.points[joint]);
        match (self.kinks[joint], self.pieces[other], self.rounds[other]) {
            (Some(_), _, Some(round)) => Anchor::Round(round),
            (Some(_), Some(line), None) => {
                Anchor::Line { through: line.from(), way: line.direction(0.0) }
            }
            _ => corner,
        }
    }

    /// Moves the centres of a chain until all touch, and its joints with them, if nothing
    /// strays by more than `tolerance`; gives how far it does.
    fn settle(&mut self, chain: &Chain, tolerance: f64) -> Option<f64> {
        let rounds = self.touching(chain, tolerance)?;
        let mut anchors = vec![chain.first];
        anchors.extend(rounds.iter().map(|&round| Anchor::Round(round)));
        anchors.push(chain.last);
        let mut joints = Vec::new();
        let mut strays = 0.0f64;
        for (place, round) in rounds.iter().enumerate() {
            let old = self.rounds[chain.arcs[place]]?;
            // Old and new joint lie on the old and on the new pieces, so this bounds both;
            // between them, of two curves that bend differently, one bows off the other.
            let moved =
                old.centre.distance(round.centre) + (old.radius - round.radius).abs();
            let mut joint = |index: usize, anchor: &Anchor| {
                let at = anchor.touch(round)?;
                joints.push((index, at));
                let slid = at.distance(self.points[index]);
                let bend = 1.0 / round.radius + anchor.curvature();
                Some(moved + slid * slid * bend / 8.0)
            };
            let starts = joint(self.before(chain.arcs[place]), &anchors[place])?;
            let ends = joint(chain.arcs[place], &anchors[place + 2])?;
            strays = strays.max(starts).max(ends);
        }
        if tolerance < strays {
            return None;
        }
        for (index, at) in joints {
            self.points[index] = at;
        }
        for (&index, round) in chain.arcs.iter().zip(rounds) {
            self.rounds[index] = Some(round);
        }
        Some(strays)
    }

    /// The circles of a chain, each touching the one before it, the last one the end as well.
    fn touching(&self, chain: &Chain, tolerance: f64) -> Option<Vec<Round>> {
        let mut rounds: Vec<Round> = Vec::new();
        let mut before = chain.first;
        for (place, &index) in chain.arcs.iter().enumerate() {
            let old = self.rounds[index]?;
            let near = |round: &Round| round.centre.distance(old.centre) <= tolerance;
            let round = if place + 1 < chain.arcs.len() {
                let centre = before.locus(&old).nearest(old.centre);
                Some(Round { centre, ..old })
            } else {
                between(&before, &chain.last, &old)
                    .filter(near)
                    .or_else(|| between_lines(&before, &chain.last, &old))
            };
            let round = round.filter(near)?;
            rounds.push(round);
            before = Anchor::Round(round);
        }
        Some(rounds)
    }

    /// The strands with their new joints and circles; nothing where one would turn round.
    fn strands(&self, ring: &Ring) -> Option<Ring> {
        let mut settled = ring.clone();
        for (index, strand) in settled.iter_mut().enumerate() {
            let Stroke::Piece(piece) = strand.stroke else { continue };
            let (from, to) = (self.points[self.before(index)], self.points[index]);
            strand.stroke = Stroke::Piece(match (piece, self.rounds[index]) {
                (
                    Piece::Arc { from: a, to: b, sweep, .. },
                    Some(Round { centre, .. }),
                ) => {
                    // A full circle has no joint to slide.
                    let (from, to) = if ring.len() < 2 { (a, b) } else { (from, to) };
                    let turned = (from - centre).turn_to(to - centre);
                    let off = libm::remainder(turned - sweep, TAU);
                    if 0.5 * sweep.abs() < off.abs() {
                        return None;
                    }
                    Piece::Arc { from, to, centre, sweep: sweep + off }
                }
                _ if 0.0 < (to - from).dot(piece.direction(0.0)) => Piece::line(from, to),
                _ => return None,
            });
        }
        Some(settled)
    }
}

/// The circle of the same radius, as near as can be, that touches both.
fn between(first: &Anchor, last: &Anchor, round: &Round) -> Option<Round> {
    let both = first.locus(round).meets(&last.locus(round))?;
    let off = |centre: &Point| centre.distance(round.centre);
    let centre = both.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
    Some(Round { centre, ..*round })
}

/// The nearest circle of any radius that touches two lines: a half round between two that are
/// parallel but for rounding is as wide as they are apart, whatever was drawn.
fn between_lines(first: &Anchor, last: &Anchor, round: &Round) -> Option<Round> {
    let (Anchor::Line { through, way }, Anchor::Line { through: other, way: back }) =
        (*first, *last)
    else {
        return None;
    };
    let (one, two) = (way.left() * round.turn, back.left() * round.turn);
    let far = |centre: Point| ((centre - through).dot(one), (centre - other).dot(two));
    let (a, b) = far(round.centre);
    // The difference of the two distances grows along this.
    let slope = one - two;
    let centre = round.centre - slope * ((a - b) / slope.dot(slope));
    let (radius, _) = far(centre);
    (0.0 < radius).then_some(Round { centre, radius, turn: round.turn })
}

#[cfg(test)]
mod tests {
    use super::super::tests::{drawn, path, read};
    use super::*;
    use crate::geom::Loop;
    use crate::geom::shapes::bulged;
    use std::f64::consts::PI;

    /// The loop turned and its points rounded, its arcs made anew from ends and radius, as a
    /// file keeps them.
    fn rounded(one: &Loop, angle: f64, step: f64) -> Vec<Piece> {
        let (sin, cos) = libm::sincos(angle);
        let place = |p: Point| {
            let round = |v: f64| (v / step).round() * step;
            Point::new(
                round(cos * p.x - sin * p.y + 300.0),
                round(sin * p.x + cos * p.y + 200.0),
            )
        };
        let piece = |piece: &Piece| {
            let (from, to) = (place(piece.from()), place(piece.to()));
            let Piece::Arc { sweep, .. } = *piece else { return Piece::line(from, to) };
            let half = from.distance(to) / 2.0;
            let radius = piece.radius().expect("an arc").max(half);
            let height = ((radius - half) * (radius + half)).sqrt();
            let left = (to - from).left().unit().expect("a chord");
            let centre = from.middle(to) + left * (height * sweep.signum());
            let turn = 2.0 * libm::asin((half / radius).min(1.0));
            Piece::Arc { from, to, centre, sweep: turn * sweep.signum() }
        };
        one.pieces().iter().map(piece).collect()
    }

    fn kinks(one: &Loop) -> Vec<f64> {
        (0..one.pieces().len()).map(|index| one.turn(index).abs()).collect()
    }

    /// The outline that these pieces become, and how far it strays.
    fn outlined(pieces: &[Piece]) -> (Loop, f64) {
        let strokes = pieces.iter().map(|&piece| drawn(Stroke::Piece(piece))).collect();
        let told = read(vec![path("rounded", strokes)], &[]).expect("it is sound");
        (told.value[0].loops[0].clone(), told.value[0].deviation)
    }

    fn shapes() -> Vec<(Loop, Vec<f64>, usize)> {
        let quarter = libm::tan(PI / 8.0);
        let third = libm::tan(PI / 12.0);
        let (sin, cos) = libm::sincos(PI / 3.0);
        let rise = 40.0 * (1.0 - cos);
        vec![
            // A rectangle with two fillets and a half round.
            (
                bulged(&[
                    [3.0, 0.0, 0.0],
                    [80.0, 0.0, 1.0],
                    [80.0, 30.0, 0.0],
                    [5.0, 30.0, quarter],
                    [0.0, 25.0, 0.0],
                    [0.0, 3.0, quarter],
                ]),
                vec![15.0, 5.0, 3.0],
                0,
            ),
            // Its top an ogee of two arcs of 60 degrees between two lines.
            (
                bulged(&[
                    [0.0, 0.0, 0.0],
                    [120.0, 0.0, 0.0],
                    [120.0, 20.0, 0.0],
                    [110.0, 20.0, -third],
                    [110.0 - 40.0 * sin, 20.0 + rise, third],
                    [110.0 - 80.0 * sin, 20.0 + 2.0 * rise, 0.0],
                    [0.0, 20.0 + 2.0 * rise, 0.0],
                ]),
                vec![40.0, 40.0],
                4,
            ),
        ]
    }

    #[test]
    fn smooth_joints_of_rounded_drawings_come_out_tangent_with_their_radii() {
        for (shape, radii, corners) in shapes() {
            for step in [1e-2, 1e-3, 1e-4] {
                for turn in [0.1, 0.7, 1.3, 2.9] {
                    let pieces = rounded(&shape, turn, step);
                    let drawn = Loop::new(pieces.clone());
                    let rough = kinks(&drawn).iter().any(|k| 1e-7 < *k && *k < 0.03);
                    assert!(rough, "the drawing is rounded at {step}");
                    let (made, strays) = outlined(&pieces);
                    let real = kinks(&made).iter().filter(|kink| 1e-9 < **kink).count();
                    assert_eq!(real, corners, "{step} {turn}: {:?}", kinks(&made));
                    assert!(strays <= (2.0 * step).max(1e-3), "{strays} at {step}");
                    for wanted in &radii {
                        let near = |radius: f64| (radius - wanted).abs() <= step;
                        let found = made.pieces().iter().filter_map(Piece::radius);
                        assert!(found.into_iter().any(near), "a radius of {wanted}");
                    }
                    // Basis: brute force, points of each against the other.
                    for place in 0..4000 {
                        let along = drawn.length() * f64::from(place) / 4000.0;
                        let at = drawn.at(along);
                        let off = made.at(made.nearest(at)).distance(at);
                        assert!(off <= strays + 1e-9, "{off} and not {strays}");
                    }
                }
            }
        }
    }

    #[test]
    fn a_corner_of_one_degree_stays_a_corner() {
        // An arc of 90 degrees that leaves its line at 0.02 rad, drawn with all decimals.
        let centre = Point::new(0.0, 50.0);
        let arc = Piece::arc_about(centre, Point::new(0.0, 0.0), PI / 2.0);
        let way = Vector::at_angle(-0.02);
        let start = arc.from() - way * 61.3;
        let top = Point::new(start.x, 50.0);
        let pieces = [
            Piece::line(start, arc.from()),
            arc,
            Piece::line(arc.to(), top),
            Piece::line(top, start),
        ];
        let (made, strays) = outlined(&pieces);
        let corners = kinks(&made).iter().filter(|kink| 1e-3 < **kink).count();
        assert_eq!(corners, 4, "{:?}", kinks(&made));
        assert!(strays <= 0.0, "nothing was moved");
    }
}

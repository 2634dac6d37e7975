//! One run-on: the path out along the routed edge, to the part's side and back, that keeps
//! clear of the part and of the bit on every routed edge.

use super::run_on::{Chain, Stay};
use crate::diag::{Place, Problem, Source, Weight};
use crate::geom::crossing::crossings;
use crate::geom::tolerance::SAME_POINT;
use crate::geom::{Loop, Piece, Point, SMOOTH_TURN, Span, Tree, Vector};
use crate::outline::Outline;
use crate::read::Role;
use crate::units::Paper;

/// A run-on shorter than this is none, in mm (from memory).
const LEAST_RUN_ON: f64 = crate::shop::defaults::LEAST_RUN_ON.value;
/// The widest bit, as a radius in mm, that a run-on is kept clear of; smaller ones are tried
/// where it does not fit (from memory).
const CLEAR_RADII: [f64; 3] = [12.5, 6.35, 3.175];
/// Two run-ons nearer to each other than this become one piece, in mm (from memory).
const LEAST_GAP: f64 = crate::shop::defaults::LEAST_RUN_ON_GAP.value;
/// Shares of the wanted run-on that are tried, the longest first.
const SHARES: [f64; 6] = [1.0, 0.8, 0.6, 0.45, 0.3, 0.2];
/// How far apart the places are where a bit is stood along an edge, in mm.
const STEP: f64 = 2.0;
/// A slip this small is rounding, in mm.
const ROUNDING: f64 = 1e-6;

/// An end of a chain where a routed edge meets it.
#[derive(Debug, Clone, Copy)]
struct End {
    /// The corner.
    corner: Point,
    /// Out along the routed edge's tangent.
    out: Vector,
    /// To the part's side, square to `out`.
    part: Vector,
    /// The turn of the loop there: an outside corner is positive.
    turn: f64,
    /// Whether the chain starts here, or ends.
    starts: bool,
}

/// A path that fits, from the corner out and back to the chain.
#[derive(Debug, Clone)]
struct Ear {
    points: Vec<Point>,
    /// Where it comes back, in mm along the chain.
    back: f64,
    /// How far it runs on.
    run_on: f64,
}

/// The outline the run-ons are tried on, with those that stand already.
pub(super) struct Ground<'a> {
    outline: &'a Outline,
    /// How messages write lengths.
    paper: Paper,
    pieces: Vec<Piece>,
    tree: Tree,
    /// For each of [`CLEAR_RADII`], where a bit of it stands along the routed edges.
    centres: Vec<Vec<Point>>,
    added: Vec<Piece>,
    notes: Vec<Problem>,
}

impl<'a> Ground<'a> {
    /// The ground of this outline, with no run-on yet.
    pub(super) fn new(outline: &'a Outline, paper: Paper) -> Self {
        let pieces: Vec<Piece> =
            outline.loops.iter().flat_map(|ring| ring.pieces().iter().copied()).collect();
        let tree = Tree::of(&pieces);
        let mut ground = Self {
            outline,
            paper,
            pieces,
            tree,
            centres: Vec::new(),
            added: Vec::new(),
            notes: Vec::new(),
        };
        ground.centres =
            CLEAR_RADII.iter().map(|&radius| ground.centres_along(radius)).collect();
        ground
    }

    /// Where a bit of this radius stands as it follows the routed edges, as far as the part
    /// itself lets it.
    fn centres_along(&self, radius: f64) -> Vec<Point> {
        let mut centres = Vec::new();
        for edge in self.outline.edges.iter().filter(|edge| edge.role == Role::Rout) {
            let ring = &self.outline.loops[edge.span.on];
            for piece in ring.run(edge.span.from, edge.span.length) {
                centres.extend(
                    marks(piece.length())
                        .map(|t| piece.at(t) + piece.direction(t).right() * radius),
                );
            }
        }
        centres.retain(|&centre| self.clear(centre, radius));
        centres
    }

    /// What there was to say about the run-ons.
    pub(super) fn into_notes(self) -> Vec<Problem> {
        self.notes
    }

    fn clear(&self, centre: Point, radius: f64) -> bool {
        self.tree.nearest(&self.pieces, centre, radius - ROUNDING).is_none()
    }

    /// What becomes of a chain that is not routed, from its start to its end.
    pub(super) fn run_ons(&mut self, chain: &Chain, run_on: f64) -> Vec<Stay> {
        let (head, tail) = (self.head(chain), self.tail(chain));
        let wants = |end: &End| SMOOTH_TURN <= end.turn;
        if wants(&head)
            && wants(&tail)
            && let Some(lines) = self.whole_end(chain, (head, tail), run_on)
        {
            self.stand(&lines);
            return vec![Stay::Lines(lines)];
        }
        let first = self.ear_or_note(chain, head, (run_on, f64::INFINITY));
        let room =
            chain.span.length - LEAST_GAP - first.as_ref().map_or(0.0, |ear| ear.back);
        let last = self.ear_or_note(chain, tail, (run_on, room));
        let from = first.as_ref().map_or(0.0, |ear| ear.back);
        let to = chain.span.length - last.as_ref().map_or(0.0, |ear| ear.back);
        let on = chain.span.on;
        let start = self.outline.loops[on].wrapped(chain.span.from + from);
        let kept = Stay::Kept(Span { on, from: start, length: to - from });
        let first = first.map(|ear| Stay::Lines(ear.points));
        let last = last.map(|ear| Stay::Lines(ear.points.into_iter().rev().collect()));
        first.into_iter().chain([kept]).chain(last).collect()
    }

    /// The end where the routed edge before the chain arrives.
    fn head(&self, chain: &Chain) -> End {
        let ring = &self.outline.loops[chain.span.on];
        let out = ring.direction_before(chain.span.from);
        let turn = out.turn_to(ring.direction_after(chain.span.from));
        End {
            corner: ring.at(chain.span.from),
            out,
            part: out.left(),
            turn,
            starts: true,
        }
    }

    /// The end where the routed edge after the chain leaves.
    fn tail(&self, chain: &Chain) -> End {
        let ring = &self.outline.loops[chain.span.on];
        let way = ring.direction_after(chain.span.to());
        let turn = ring.direction_before(chain.span.to()).turn_to(way);
        End {
            corner: ring.at(chain.span.to()),
            out: -way,
            part: way.left(),
            turn,
            starts: false,
        }
    }

    /// The run-on at one end that comes back within `room` of it along the chain, or a note.
    fn ear_or_note(
        &mut self,
        chain: &Chain,
        end: End,
        (run_on, room): (f64, f64),
    ) -> Option<Ear> {
        if end.turn < SMOOTH_TURN {
            self.notes.push(self.no_outside_corner(chain, end));
            return None;
        }
        let ear = self.ear(chain, end, (run_on, room));
        match &ear {
            Some(ear) => {
                self.stand(&ear.points);
                if ear.run_on < run_on - ROUNDING {
                    self.notes.push(self.shorter(end, ear.run_on));
                }
            }
            None => self.notes.push(self.missing(end)),
        }
        ear
    }

    fn stand(&mut self, points: &[Point]) {
        self.added.extend(points.windows(2).map(|w| Piece::line(w[0], w[1])));
    }

    /// The best run-on at one end: clear of the largest bit, then the longest, then the widest.
    fn ear(&self, chain: &Chain, end: End, (run_on, room): (f64, f64)) -> Option<Ear> {
        for size in 0..CLEAR_RADII.len() {
            for long in lengths(run_on) {
                for wide in lengths(run_on).filter(|&wide| wide <= long + ROUNDING) {
                    let ear = self.returning(chain, end, (long, wide)).filter(|ear| {
                        ear.back <= room
                            && self.outside(chain, end, ear)
                            && self.clear_of_bits(&ear.points, size)
                            && self.bit_follows(end, ear.run_on, size)
                    });
                    if ear.is_some() {
                        return ear;
                    }
                }
            }
        }
        None
    }

    /// The path out, to the part's side and back, as far as where it first meets the outline,
    /// if that is on the chain.
    fn returning(
        &self,
        chain: &Chain,
        end: End,
        (long, wide): (f64, f64),
    ) -> Option<Ear> {
        let ring = &self.outline.loops[chain.span.on];
        let far = long + ring.bounds().width() + ring.bounds().height();
        let outer = end.corner + end.out * long;
        let turned = outer + end.part * wide;
        let path = [end.corner, outer, turned, turned - end.out * far];
        let mut points = vec![end.corner];
        for (leg, ends) in path.windows(2).enumerate() {
            let line = Piece::line(ends[0], ends[1]);
            let Some(meeting) = self.first_meeting(&line, leg == 0) else {
                points.push(ends[1]);
                continue;
            };
            points.push(meeting);
            let along = ring.nearest(meeting);
            if ROUNDING < ring.at(along).distance(meeting) {
                return None; // it meets another loop, or another run-on
            }
            let from_start = ring.wrapped(along - chain.span.from);
            let run_on = long.min(points[1].distance(end.corner));
            if chain.span.length - 1e-3 <= from_start || from_start <= 1e-3 {
                return None;
            }
            let back =
                if end.starts { from_start } else { chain.span.length - from_start };
            return (LEAST_RUN_ON <= run_on).then_some(Ear { points, back, run_on });
        }
        None
    }

    /// Where a line first meets the outline or a run-on, its first bit apart if it starts at
    /// the corner.
    fn first_meeting(&self, line: &Piece, at_corner: bool) -> Option<Point> {
        let least = if at_corner { 1e-3 / line.length() } else { 0.0 };
        let mut first = f64::INFINITY;
        let mut look = |piece: &Piece| {
            for met in crossings(line, piece, SAME_POINT) {
                let t = met.first;
                if least < t && t < first {
                    first = t;
                }
            }
        };
        self.tree.meeting(&line.bounds(), |index| look(&self.pieces[index]));
        self.added.iter().for_each(&mut look);
        first.is_finite().then(|| line.at(first))
    }

    /// Whether the path and the chain close round ground outside the part.
    fn outside(&self, chain: &Chain, end: End, ear: &Ear) -> bool {
        let ring = &self.outline.loops[chain.span.on];
        let start =
            chain.span.from + if end.starts { 0.0 } else { chain.span.length - ear.back };
        let under = ring.run(ring.wrapped(start), ear.back);
        let mut points = ear.points.clone();
        if !end.starts {
            points.reverse();
        }
        encloses(&points, &under)
    }

    /// Whether a bit that follows the routed edges never meets the path.
    fn clear_of_bits(&self, points: &[Point], size: usize) -> bool {
        let legs: Vec<Piece> =
            points.windows(2).map(|w| Piece::line(w[0], w[1])).collect();
        let radius = CLEAR_RADII[size] - ROUNDING;
        self.centres[size]
            .iter()
            .all(|&centre| legs.iter().all(|leg| radius <= leg.distance(centre)))
    }

    /// Whether a bit follows the run-on itself without meeting the outline or another run-on.
    fn bit_follows(&self, end: End, run_on: f64, size: usize) -> bool {
        let radius = CLEAR_RADII[size];
        marks(run_on).all(|t| {
            let centre = end.corner + end.out * (t * run_on) - end.part * radius;
            let apart = |leg: &Piece| radius - ROUNDING <= leg.distance(centre);
            self.clear(centre, radius) && self.added.iter().all(apart)
        })
    }

    /// Both run-ons of a short end as one piece: out, across, and back in at the other corner.
    fn whole_end(
        &self,
        chain: &Chain,
        ends: (End, End),
        run_on: f64,
    ) -> Option<Vec<Point>> {
        let (head, tail) = ends;
        if 2.0 * run_on + LEAST_GAP < head.corner.distance(tail.corner) {
            return None;
        }
        let ring = &self.outline.loops[chain.span.on];
        let under = ring.run(chain.span.from, chain.span.length);
        for size in 0..CLEAR_RADII.len() {
            for long in lengths(run_on) {
                let points = vec![
                    head.corner,
                    head.corner + head.out * long,
                    tail.corner + tail.out * long,
                    tail.corner,
                ];
                if self.stands_free(&points)
                    && encloses(&points, &under)
                    && self.clear_of_bits(&points, size)
                    && self.bit_follows(head, long, size)
                    && self.bit_follows(tail, long, size)
                {
                    return Some(points);
                }
            }
        }
        None
    }

    /// Whether such a path meets nothing but its two corners, nor itself.
    fn stands_free(&self, points: &[Point]) -> bool {
        let legs: Vec<Piece> =
            points.windows(2).map(|w| Piece::line(w[0], w[1])).collect();
        let back = legs[2].reversed();
        crossings(&legs[0], &back, SAME_POINT).is_empty()
            && LEAST_GAP / 5.0 <= legs[1].length()
            && self.first_meeting(&legs[0], true).is_none()
            && self.first_meeting(&legs[1], false).is_none()
            && self.first_meeting(&back, true).is_none()
    }

    fn place(&self, end: End) -> Place {
        let named = self.outline.name.as_str();
        Place::whole(Source::Drawing, named).at(end.corner.x, end.corner.y)
    }

    fn missing(&self, end: End) -> Problem {
        Problem::new(
            "run-on-missing",
            Weight::Caution,
            "a routed edge ends here, and no run-on of the template fits beside the part",
            "add an ear to the template here, or start and end the cut off a starting pin",
        )
        .at(self.place(end))
    }

    fn shorter(&self, end: End, run_on: f64) -> Problem {
        let found = format!(
            "the template can run on only {} past the part here",
            self.paper.length(run_on)
        );
        Problem::new(
            "run-on-short",
            Weight::Hint,
            found,
            "start slowly: the bearing has little template before the wood",
        )
        .at(self.place(end))
    }

    fn no_outside_corner(&self, chain: &Chain, end: End) -> Problem {
        let found = if end.turn <= -SMOOTH_TURN {
            "a routed edge ends here in an inside corner: the template cannot run on"
        } else {
            "a routed edge carries on smoothly here into one that is not routed"
        };
        let role = self
            .outline
            .role_at(chain.span.on, chain.span.from + chain.span.length / 2.0);
        let weight =
            if role == Role::TrueAlready { Weight::Hint } else { Weight::Caution };
        Problem::new(
            "run-on-none",
            weight,
            found,
            "stop at the touch and back off; do not start a cut here",
        )
        .at(self.place(end))
    }
}

/// The lengths to try, the longest first, none under the least.
fn lengths(wanted: f64) -> impl Iterator<Item = f64> {
    let shares = SHARES.iter().map(move |share| share * wanted);
    shares.filter(|&length| LEAST_RUN_ON <= length)
}

/// Places along a length, both ends among them, as shares of it.
pub(super) fn marks(length: f64) -> impl Iterator<Item = f64> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a length over the step is a small count"
    )]
    let count = (length / STEP).ceil().max(1.0) as u32;
    (0..=count).map(move |i| f64::from(i) / f64::from(count))
}

/// Whether a path beside a run of the outline, with the same ends, lies on its right.
fn encloses(points: &[Point], under: &[Piece]) -> bool {
    let over = points.windows(2).map(|w| Piece::line(w[0], w[1]));
    let back = under.iter().rev().map(Piece::reversed);
    0.0 < Loop::new(over.chain(back).collect()).area()
}

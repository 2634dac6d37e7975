//! What a disc covers whose centre stays on the loops or in the material, as a union of polygons on
//! a fine grid, each edge of its border with the raw piece that it is a chord of.
//!
//! ```text
//!       . - -b- - .      the material, a band from each piece to its parallel, and a disc about
//!     .  +-------+  .    each end: the border of all together visits the raw pieces in the order
//!    c   |  ---  |   a   in which the disc's centre passes them, here the arc a, the parallel b
//!        |       |       and the arc c
//! ```
//!
//! Only that order is taken from here; where the raw pieces meet is computed from the pieces
//! themselves. The union is done in whole numbers by `i_overlay`; the rest is our own (geometry).

use super::raw::{Raw, Source, Stand};
use super::{Bounds, Piece, Point, Untrimmed, Vector};
use i_overlay::core::edge_data::{EdgeDataMerge, OverlayEdgeData};
use i_overlay::core::edge_overlay::{EdgeOverlay, InputEdge};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::ShapeType;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_float::int::point::IntPoint;
use i_overlay::segm::boolean::ShapeCountBoolean;
use std::f64::consts::TAU;

/// Grid steps in a millimetre: features of a nanometre are a thousand of them.
const GRID: f64 = 1e9;
/// Chords never turn more than this, in radians, so that the smallest arc is still round.
const MOST_TURN: f64 = 0.4;
/// What the first chord at each end of an arc turns, in radians.
const FIRST_TURN: f64 = 1e-5;
/// More edges than this are refused: the union would take minutes.
const MOST_EDGES: usize = 3_000_000;
/// Beyond this, in mm, coordinates leave the grid.
const FARTHEST: f64 = 1e6;

/// A stretch of the border that lies along one raw piece.
#[derive(Debug, Clone, Copy)]
pub(super) struct Visit {
    /// Index of the raw piece.
    pub(super) raw: usize,
    /// About where the border comes to it: as near as chords tell.
    pub(super) from: Point,
    /// About where the border leaves it.
    pub(super) to: Point,
}

impl Visit {
    /// From where the border comes to it to where it leaves.
    pub(super) fn chord(&self) -> f64 {
        self.from.distance(self.to)
    }
}

/// Which raw piece an edge is a chord of, if any.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Chord {
    Of(usize),
    Inner,
}

impl OverlayEdgeData for Chord {
    type Store = ();

    /// Of two edges that coincide, one along a raw piece says more than one inside.
    fn merge(both: EdgeDataMerge<ShapeCountBoolean, Self>, _store: &mut ()) -> Self {
        both.lhs_data.min(both.rhs_data)
    }
}

/// The borders of what the disc covers, the covered on their left, each as the raw pieces that
/// it visits in order. A border without any raw piece is left out. Chords stray by at most
/// `sagitta` mm from their arcs.
pub(super) fn borders(
    source: &Source,
    raws: &[Raw],
    radius: f64,
    sagitta: f64,
) -> Result<Vec<Vec<Visit>>, Untrimmed> {
    let mut polygons = Polygons { overlay: EdgeOverlay::new(0), edges: 0, sagitta };
    polygons.material(source, radius);
    polygons.bands(source, raws);
    polygons.discs(source, raws, radius);
    let far = source
        .pieces
        .iter()
        .map(Piece::from)
        .find(|p| FARTHEST < p.x.abs().max(p.y.abs()));
    if let Some(at) = far {
        return Err(Untrimmed::new(at, "too far off for polygons on a grid"));
    }
    if MOST_EDGES < polygons.edges {
        let at = source.pieces[0].from();
        return Err(Untrimmed::new(at, "too many chords for the method by polygons"));
    }
    let shapes =
        polygons.overlay.build_vector_shapes(OverlayRule::Subject, FillRule::NonZero);
    let visits = shapes.into_iter().flatten().map(|contour| {
        contour
            .iter()
            .filter_map(|edge| match edge.data {
                Chord::Of(raw) => {
                    Some(Visit { raw, from: point(edge.a), to: point(edge.b) })
                }
                Chord::Inner => None,
            })
            .collect::<Vec<Visit>>()
    });
    Ok(visits.map(merged).filter(|ring| !ring.is_empty()).collect())
}

/// Neighbouring edges along one raw piece as one visit, round the ring.
pub(super) fn merged(edges: Vec<Visit>) -> Vec<Visit> {
    let mut ring: Vec<Visit> = Vec::new();
    for edge in edges {
        match ring.last_mut().filter(|last| last.raw == edge.raw) {
            Some(last) => last.to = edge.to,
            None => ring.push(edge),
        }
    }
    if 1 < ring.len() && ring[0].raw == ring[ring.len() - 1].raw {
        let last = ring.pop().expect("it has two");
        ring[0].from = last.from;
    }
    ring
}

/// The polygons that are to be united.
struct Polygons {
    overlay: EdgeOverlay<i64, Chord>,
    /// How many edges there are by now.
    edges: usize,
    /// How far chords may stray from their arcs, in mm.
    sagitta: f64,
}

impl Polygons {
    /// The material; where the loops bound it from without, it reaches to a far box.
    fn material(&mut self, source: &Source, radius: f64) {
        for range in &source.loops {
            for piece in &source.pieces[range.clone()] {
                let points = self.points(piece);
                self.run(&points, Chord::Inner);
            }
        }
        let turned: f64 =
            source.pieces.iter().map(|piece| piece.twice_area(Point::default())).sum();
        if turned < 0.0 {
            let all: Bounds = source.pieces.iter().map(Piece::bounds).collect();
            let all = all.grown(4.0 * radius + 1.0);
            let (low, high) = (all.low, all.high);
            let corners =
                [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y), low];
            self.run(&corners, Chord::Inner);
        }
    }

    /// Between each piece and its parallel; where that has vanished, up to the centre.
    fn bands(&mut self, source: &Source, raws: &[Raw]) {
        let mut beside = vec![None; source.pieces.len()];
        for (index, raw) in raws.iter().enumerate() {
            if raw.stand == Stand::Beside {
                beside[raw.source] = Some((index, raw.curve));
            }
        }
        for (piece, beside) in source.pieces.iter().zip(beside) {
            let mut back = self.points(piece);
            back.reverse();
            match (beside, piece) {
                (Some((index, curve)), _) => {
                    let out = self.points(&curve);
                    self.run(&out, Chord::Of(index));
                    self.run(&[out[out.len() - 1], back[0]], Chord::Inner);
                    self.run(&back, Chord::Inner);
                    self.run(&[back[back.len() - 1], out[0]], Chord::Inner);
                }
                (None, Piece::Arc { centre, .. }) => {
                    let ends = [back[back.len() - 1], *centre, back[0]];
                    self.run(&back, Chord::Inner);
                    self.run(&ends, Chord::Inner);
                }
                (None, Piece::Line { .. }) => {}
            }
        }
    }

    /// About the end of each piece: the raw arc, and the rest of the circle.
    fn discs(&mut self, source: &Source, raws: &[Raw], radius: f64) {
        let mut about = vec![None; source.pieces.len()];
        for (index, raw) in raws.iter().enumerate() {
            if raw.stand == Stand::About {
                about[raw.source] = Some((index, raw.curve));
            }
        }
        for (piece, about) in source.pieces.iter().zip(about) {
            let centre = piece.to();
            let rim = centre + piece.direction(1.0).right() * radius;
            let mut rest = (rim, TAU, rim);
            if let Some((index, curve)) = about
                && let Piece::Arc { sweep, .. } = curve
            {
                let points = self.points(&curve);
                self.run(&points, Chord::Of(index));
                rest = (curve.to(), TAU - sweep, curve.from());
            }
            let (from, sweep, to) = rest;
            let points = self.points(&Piece::Arc { from, to, centre, sweep });
            self.run(&points, Chord::Inner);
        }
    }

    /// The ends of the chords of a piece, in order.
    fn points(&self, piece: &Piece) -> Vec<Point> {
        let Piece::Arc { from, centre, sweep, .. } = *piece else {
            return vec![piece.from(), piece.to()];
        };
        let turn = (8.0 * self.sagitta / from.distance(centre)).sqrt().min(MOST_TURN);
        let shares = shares(sweep.abs(), turn);
        let inner = shares.iter().map(|&share| piece.at(share));
        let back = shares.iter().rev().map(|&share| piece.at(1.0 - share));
        let mut points = vec![piece.from()];
        points.extend(inner);
        points.push(piece.at(0.5));
        points.extend(back);
        points.push(piece.to());
        points
    }

    /// Adds the edges from point to point, unless there are too many already.
    fn run(&mut self, points: &[Point], data: Chord) {
        self.edges += points.len();
        if MOST_EDGES < self.edges {
            return;
        }
        let edges = points.windows(2).map(|pair| InputEdge {
            a: on_grid(pair[0]),
            b: on_grid(pair[1]),
            data,
        });
        self.overlay.add_edges(edges, ShapeType::Subject);
    }
}

/// Where the chords of the first half of an arc meet, as shares of its sweep: from its end on
/// each turns three times as far as the one before, up to `turn`. What lies beside an end, as a
/// step of a nanometre, would be hidden by a chord that leaves the arc too soon.
fn shares(sweep: f64, turn: f64) -> Vec<f64> {
    let mut shares = Vec::new();
    let mut angle = FIRST_TURN.min(turn);
    while angle < sweep / 2.0 {
        shares.push(angle / sweep);
        angle += turn.min(2.0 * angle);
    }
    shares
}

/// A point in steps of the grid.
#[expect(clippy::cast_possible_truncation, reason = "checked against the grid's border")]
fn on_grid(point: Point) -> IntPoint<i64> {
    let whole = |number: f64| (number.clamp(-FARTHEST, FARTHEST) * GRID).round() as i64;
    IntPoint::new(whole(point.x), whole(point.y))
}

/// The same in mm.
#[expect(clippy::cast_precision_loss, reason = "below 2^53: it came from the grid")]
fn point(point: IntPoint<i64>) -> Point {
    Point::default() + Vector::new(point.x as f64 / GRID, point.y as f64 / GRID)
}

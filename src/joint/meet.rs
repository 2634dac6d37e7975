//! Where the halves meet: the stretches of an edge that have an edge of the mate beside them,
//! near and nearly parallel, its wood on the other side.

use super::named::ring;
use crate::geom::{Loop, Piece, Point, nearest_loop, tolerance};
use crate::read::{Drawing, Drawn, Role, Stroke};

/// Edges that lean on each other by more than this, in radians, do not meet (from memory: 5
/// degrees; a wedge of a gap that steep closes nowhere).
const MOST_LEAN: f64 = 0.09;

/// A stretch shorter than this, in mm, is no face (from memory).
const SPECK: f64 = 1.0;

/// A stretch of an edge beside an edge of the mate.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Meeting {
    /// The path and the stroke of the edge.
    pub(super) on: (usize, usize),
    /// The stretch.
    pub(super) stretch: Piece,
    /// The edge's name.
    pub(super) name: String,
    /// Whether the mate's edge beside it is routed.
    pub(super) mate_routed: bool,
}

/// The strokes of a half, all of them lines and arcs: path, stroke and piece.
pub(super) fn strokes(
    half: &Drawing,
) -> impl Iterator<Item = ((usize, usize), Piece, &Drawn)> {
    half.paths.iter().enumerate().flat_map(|(on, path)| {
        path.strokes.iter().enumerate().filter_map(move |(index, drawn)| {
            match drawn.stroke {
                Stroke::Piece(piece) => Some(((on, index), piece, drawn)),
                Stroke::Cubic(_) | Stroke::Ellipse { .. } => None,
            }
        })
    })
}

/// Every stretch of `own` beside an edge of the mate, both in one frame.
pub(super) fn meetings(own: &Drawing, mate: &Drawing, within: f64) -> Vec<Meeting> {
    beside_mate(own, &Mate::of(mate), within)
}

/// The stretches of half A beside half B's wood, each with its edge's name.
pub(super) fn faces(own: &Drawing, mate: &[Loop], within: f64) -> Vec<(Piece, String)> {
    let all = beside_mate(own, &Mate::of_wood(mate), within).into_iter();
    all.map(|one| (one.stretch, one.name)).collect()
}

fn beside_mate(own: &Drawing, mate: &Mate, within: f64) -> Vec<Meeting> {
    let mut all = Vec::new();
    for (on, piece, drawn) in strokes(own) {
        let near = mate.near(&piece, within);
        if near.is_empty() {
            continue;
        }
        let name = drawn.name.clone().unwrap_or_else(|| "edge".to_owned());
        for (from, to) in
            runs(&piece, &|at| beside(&piece, at, (&near, within)).is_some())
        {
            let middle = f64::midpoint(from, to);
            let mate_routed = beside(&piece, middle, (&near, within)).unwrap_or(false);
            let stretch = piece.part(from, to);
            all.push(Meeting { on, stretch, name: name.clone(), mate_routed });
        }
    }
    all
}

/// The mate's edges, ready to be asked which lie near.
struct Mate {
    loops: Vec<(Loop, Vec<bool>)>,
}

impl Mate {
    fn of(half: &Drawing) -> Self {
        let loops = half.paths.iter().map(|path| {
            let routed = path.strokes.iter().map(|drawn| drawn.role == Some(Role::Rout));
            (ring(path), routed.collect())
        });
        Self { loops: loops.collect() }
    }

    /// Wood of which it is not asked what is routed.
    fn of_wood(loops: &[Loop]) -> Self {
        let loops =
            loops.iter().map(|ring| (ring.clone(), vec![true; ring.pieces().len()]));
        Self { loops: loops.collect() }
    }

    /// The edges near a piece, each with whether it is routed.
    fn near(&self, piece: &Piece, within: f64) -> Vec<(Piece, bool)> {
        let area = piece.bounds().grown(within);
        let mut near = Vec::new();
        for (ring, routed) in &self.loops {
            ring.meeting(&area, |index| near.push((ring.pieces()[index], routed[index])));
        }
        near
    }
}

/// Whether the nearest edge beside a place of a piece is routed; none where there is no edge
/// beside it.
fn beside(
    piece: &Piece,
    t: f64,
    (near, within): (&[(Piece, bool)], f64),
) -> Option<bool> {
    let (at, way) = (piece.at(t), piece.direction(t));
    let distance = |(mate, _): &&(Piece, bool)| mate.distance(at);
    let meets = |one: &&(Piece, bool)| {
        let foot = one.0.nearest(at);
        let against = one.0.direction(foot);
        // Past its end an edge lies beside nothing.
        let past = (one.0.at(foot) - at).dot(against).abs();
        distance(one) <= within
            && past <= tolerance::REPAIR
            && way.dot(against) < -libm::cos(MOST_LEAN)
    };
    let nearest = near.iter().filter(meets);
    let nearest = nearest.min_by(|a, b| distance(a).total_cmp(&distance(b)));
    nearest.map(|(_, routed)| *routed)
}

/// The runs of a piece where something holds, but for specks.
fn runs(piece: &Piece, holds: &dyn Fn(f64) -> bool) -> Vec<(f64, f64)> {
    let n_steps = piece.length().ceil().clamp(16.0, 500.0);
    let mut runs = Vec::new();
    let (mut start, mut before) = (None, 0.0);
    let mut step = 0.0;
    while step <= n_steps {
        let t = step / n_steps;
        match (holds(t), start) {
            (true, None) if step == 0.0 => start = Some(0.0),
            (true, None) => start = Some(change(before, t, holds)),
            (false, Some(from)) => {
                runs.push((from, change(before, t, holds)));
                start = None;
            }
            _ => {}
        }
        before = t;
        step += 1.0;
    }
    runs.extend(start.map(|from| (from, 1.0)));
    runs.retain(|(from, to)| SPECK < (to - from) * piece.length());
    runs
}

/// Where between two places it begins or ceases to hold: the place inside.
fn change(mut low: f64, mut high: f64, holds: &dyn Fn(f64) -> bool) -> f64 {
    let rising = holds(high);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if holds(middle) == rising { high = middle } else { low = middle }
    }
    if rising { high } else { low }
}

/// Where two halves come nearest: how near, and where on the first.
pub(super) fn nearest(own: &Drawing, mate: &[Loop]) -> (f64, Point) {
    let places = strokes(own).flat_map(|(_, piece, _)| {
        (0..=16u32).map(move |step| piece.at(f64::from(step) / 16.0))
    });
    let near = places.filter_map(|at| {
        let (distance, ..) = nearest_loop(mate, at)?;
        Some((distance, at))
    });
    let best = near.min_by(|a, b| a.0.total_cmp(&b.0));
    best.unwrap_or((f64::INFINITY, Point::default()))
}

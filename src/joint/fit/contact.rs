//! In which directions one half can be slid off the other: free at every contact, and free all
//! the way.

use super::{gap, is_wood};
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// Two faces touch where they are no farther apart than their clearance and this, in mm (from
/// memory).
const TOUCH: f64 = 0.02;

/// A way may lead into the mate by no more than this share of itself: rounding.
const GRAZE: f64 = 1e-6;

/// A slide that sinks deeper than this beyond the first gap, in mm, is blocked (from memory).
const SUNK: f64 = 0.05;

/// The ways in which the second half can leave the first, as pairs of degrees.
pub(super) fn ways(
    (a, b): (&[Loop], &[Loop]),
    faces: &[(Piece, String)],
    clearance: f64,
) -> Vec<(f64, f64)> {
    let normals = normals(b, faces, clearance);
    let slide = Slide::of((a, b), faces);
    let mut clear: Vec<(f64, f64)> = Vec::new();
    for (from, to) in free(&normals) {
        // A whole sector is kept as far as its ends and its middle are free all the way.
        let middle = f64::midpoint(from, to);
        let halves = [(from, middle), (middle, to)];
        for (from, to) in halves {
            let tried = [from, f64::midpoint(from, to), to];
            if tried.iter().all(|&angle| slide.is_clear(Vector::at_angle(angle))) {
                match clear.last_mut().filter(|last| (last.1 - from).abs() < 1e-9) {
                    Some(last) => last.1 = to,
                    None => clear.push((from, to)),
                }
            } else if let Some(&angle) =
                tried.iter().find(|&&angle| slide.is_clear(Vector::at_angle(angle)))
            {
                clear.push((angle, angle));
            }
        }
    }
    clear.dedup();
    clear.into_iter().map(|(from, to)| (from.to_degrees(), to.to_degrees())).collect()
}

/// The ways out of the first half's wood at every place where the second touches it.
fn normals(mate: &[Loop], faces: &[(Piece, String)], clearance: f64) -> Vec<Vector> {
    const PLACES: u32 = 16;
    let mut normals: Vec<Vector> = Vec::new();
    for (piece, _) in faces {
        for place in 0..PLACES {
            let t = (f64::from(place) + 0.5) / f64::from(PLACES);
            let normal = piece.direction(t).right();
            let touches = gap(mate, piece.at(t)) <= clearance + TOUCH;
            let known = normals.iter().any(|other| (*other - normal).length() < 1e-9);
            if touches && !known {
                normals.push(normal);
            }
        }
    }
    normals
}

/// The directions that lead into no face: sectors in radians, a single way as one of no width.
fn free(normals: &[Vector]) -> Vec<(f64, f64)> {
    let is_free = |angle: f64| {
        let way = Vector::at_angle(angle);
        normals.iter().all(|normal| -GRAZE <= normal.dot(way))
    };
    let borders = normals
        .iter()
        .flat_map(|normal| [normal.angle() - FRAC_PI_2, normal.angle() + FRAC_PI_2]);
    let mut borders: Vec<f64> = borders.map(|angle| angle.rem_euclid(TAU)).collect();
    borders.sort_by(f64::total_cmp);
    borders.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let Some(&first) = borders.first() else { return vec![(0.0, TAU)] };
    let mut sectors: Vec<(f64, f64)> = Vec::new();
    let next = borders.iter().copied().skip(1).chain([first + TAU]);
    for (from, to) in borders.iter().copied().zip(next) {
        if is_free(f64::midpoint(from, to)) && to - from < PI + GRAZE {
            sectors.push((from, to));
        } else if is_free(from) && sectors.last().is_none_or(|last| last.1 < from - 1e-9)
        {
            sectors.push((from, from));
        }
    }
    // A way that ends the last sector was also the first border.
    if let [(from, to), .., (_, end)] = sectors[..]
        && (to - from).abs() <= 0.0
        && (end - TAU - from).abs() < 1e-9
    {
        sectors.remove(0);
    }
    sectors
}

/// A half, with the box it lies in.
struct Wood<'a> {
    half: &'a [Loop],
    bounds: Bounds,
}

impl<'a> Wood<'a> {
    fn of(half: &'a [Loop]) -> Self {
        Self { half, bounds: half.iter().map(Loop::bounds).collect() }
    }

    /// Whether a point is sunk into the wood; how deep is asked only of what lies in it.
    fn holds(&self, at: Point) -> bool {
        self.bounds.distance_squared(at) <= 0.0
            && is_wood(self.half, at)
            && gap(self.half, at) < -SUNK
    }
}

/// What is needed to try a slide to its end.
struct Slide<'a> {
    a: Wood<'a>,
    b: Wood<'a>,
    on_a: Vec<Point>,
    on_b: Vec<Point>,
    far: f64,
}

impl<'a> Slide<'a> {
    fn of((a, b): (&'a [Loop], &'a [Loop]), faces: &[(Piece, String)]) -> Self {
        let bounds = faces.iter().map(|(piece, _)| piece.bounds());
        let bounds = bounds.fold(Bounds::EMPTY, |all, one| all.joined(&one)).grown(1.0);
        let far = bounds.width() + bounds.height();
        let points = |half: &[Loop]| {
            let pieces = half.iter().flat_map(Loop::pieces);
            let near = pieces.filter(|piece| piece.bounds().meets(&bounds));
            near.flat_map(sampled)
                .filter(|&at| bounds.distance_squared(at) <= 0.0)
                .collect()
        };
        let (on_a, on_b) = (points(a), points(b));
        Self { a: Wood::of(a), b: Wood::of(b), on_a, on_b, far }
    }

    /// Whether the second half can be slid off this way to the end.
    fn is_clear(&self, way: Vector) -> bool {
        const STEPS: u32 = 40;
        (1..=STEPS).all(|step| {
            // Finer steps first: a hook catches at once or not at all.
            let share = f64::from(step) / f64::from(STEPS);
            let moved = way * (self.far * share * share);
            self.on_b.iter().all(|&at| !self.a.holds(at + moved))
                && self.on_a.iter().all(|&at| !self.b.holds(at - moved))
        })
    }
}

/// Places along a piece, its ends among them.
fn sampled(piece: &Piece) -> Vec<Point> {
    const APART: f64 = 4.0;
    let n_steps = (piece.length() / APART).ceil().clamp(1.0, 200.0);
    let mut places = Vec::new();
    let mut step = 0.0;
    while step <= n_steps {
        places.push(piece.at(step / n_steps));
        step += 1.0;
    }
    places
}

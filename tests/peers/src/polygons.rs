//! Other libraries behind one face: polygons offset with round joins, and one less another.

use geos::{ConstGeometry, Geom};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use i_overlay::mesh::float::outline::offset::OutlineOffset;
use i_overlay::mesh::float::style::{LineJoin, OutlineStyle};
use spelch::geom::{Loop, Point};
use std::f64::consts::FRAC_PI_2;

/// Steps of the grid in a millimetre, for those who work on one.
pub(crate) const GRID: f64 = 1e6;

/// Closed lines: outsides counter-clockwise, openings clockwise.
pub(crate) type Rings = Vec<Vec<Point>>;

/// Polygons of a library.
pub(crate) trait Polygons: Sized {
    /// Its name.
    const NAME: &'static str;

    /// Chords stray from arcs by this much, in mm, where there are not more of them than it has
    /// patience for.
    const FINEST: f64;
    /// How many that is.
    const CHORDS: usize;
    /// They stray by no more than about this, in mm, however many they are.
    const COARSEST: f64;

    /// Outsides with their openings, the largest outside first.
    fn of(rings: &Rings) -> Self;

    /// Grown, or shrunk where `by` is negative; chords of round joins stray by `tolerance`.
    fn offset(&self, by: f64, tolerance: f64) -> Self;

    /// What of it is not in `other`.
    fn without(&self, other: &Self) -> Self;

    fn rings(&self) -> Rings;

    fn area(&self) -> f64;

    /// How far chords stray at a radius of `by` where `tolerance` is asked for.
    fn strays(_by: f64, tolerance: f64) -> f64 {
        tolerance
    }
}

/// The turn of a chord that strays from its arc of a radius by a tolerance (geometry).
pub(crate) fn turn(radius: f64, tolerance: f64) -> f64 {
    (8.0 * tolerance / radius.abs()).sqrt()
}

pub(crate) struct Geos(geos::Geometry);

impl Polygons for Geos {
    const NAME: &'static str = "GEOS";
    const FINEST: f64 = 2e-6;
    const CHORDS: usize = 6_000;
    const COARSEST: f64 = 1e-3;

    fn of(rings: &Rings) -> Self {
        let ring = |points: &Vec<Point>| {
            let closed = points.iter().chain(&points[..1]);
            let all: Vec<[f64; 2]> = closed.map(|p| [p.x, p.y]).collect();
            let line = geos::CoordSeq::new_from_vec(&all);
            line.and_then(geos::CoordSeq::create_linear_ring).expect("a ring")
        };
        let part = |outside: &Vec<Point>, openings: Vec<&Vec<Point>>| {
            let openings = openings.into_iter().map(ring).collect();
            geos::Geometry::create_polygon(ring(outside), openings).expect("a part")
        };
        if rings.iter().filter(|ring| 0.0 < shoelace(ring)).count() == 1 {
            return Self(part(&rings[0], rings[1..].iter().collect()));
        }
        let parts =
            apart(rings).into_iter().map(|(outside, openings)| part(outside, openings));
        let all = geos::Geometry::create_multipolygon(parts.collect());
        Self(all.expect("parts"))
    }

    fn offset(&self, by: f64, tolerance: f64) -> Self {
        let quarters = (FRAC_PI_2 / turn(by, tolerance)).ceil();
        Self(self.0.buffer(by, quarters as i32).expect("an offset"))
    }

    fn without(&self, other: &Self) -> Self {
        Self(self.0.difference(&other.0).expect("a difference"))
    }

    fn rings(&self) -> Rings {
        let mut all = Vec::new();
        for index in 0..self.0.get_num_geometries().expect("a number") {
            let one = self.0.get_geometry_n(index).expect("one of them");
            if one.is_empty().expect("an answer") {
                continue;
            }
            // It walks its outsides clockwise, and openings the other way.
            let mut ring = |ring: &ConstGeometry<'_>| {
                all.push(points_of(ring).into_iter().rev().collect());
            };
            ring(&one.get_exterior_ring().expect("an outside"));
            for hole in 0..one.get_num_interior_rings().expect("a number") {
                ring(&one.get_interior_ring_n(hole).expect("an opening"));
            }
        }
        all
    }

    fn area(&self) -> f64 {
        self.0.area().expect("an area")
    }
}

/// Each outside with its own openings: each opening is in the smallest outside round it.
fn apart(rings: &Rings) -> Vec<(&Vec<Point>, Vec<&Vec<Point>>)> {
    let (outsides, openings): (Vec<_>, Vec<_>) =
        rings.iter().partition(|ring| 0.0 < shoelace(ring));
    let mut parts: Vec<_> =
        outsides.into_iter().map(|outside| (outside, Vec::new())).collect();
    parts.sort_by(|a, b| shoelace(a.0).total_cmp(&shoelace(b.0)));
    for opening in openings {
        let round = |part: &&mut (&Vec<Point>, _)| {
            Loop::polygon(part.0).winding(opening[0].middle(opening[1])) != 0
        };
        let mut parts = parts.iter_mut();
        parts.find(round).expect("an opening is in an outside").1.push(opening);
    }
    parts
}

/// The points of a closed line, the first not again at the end.
fn points_of(ring: &ConstGeometry<'_>) -> Vec<Point> {
    let line = ring.get_coord_seq().expect("points");
    let last = line.size().expect("a number").saturating_sub(1);
    let at =
        |index| Point::new(line.get_x(index).expect("x"), line.get_y(index).expect("y"));
    (0..last).map(at).collect()
}

/// The library's handle, in memory that it gives; given back to it at the end.
pub(crate) struct Clipper(*mut clipper2c_sys::ClipperPaths64);

impl Drop for Clipper {
    #[allow(unsafe_code, reason = "a library in C++")]
    fn drop(&mut self) {
        // SAFETY: made by `paths` or by the library, and deleted here alone.
        unsafe { clipper2c_sys::clipper_delete_paths64(self.0) }
    }
}

#[allow(unsafe_code, reason = "a library in C++")]
impl Clipper {
    fn none() -> Self {
        use clipper2c_sys as c;
        // SAFETY: made in memory of its own size.
        Self(unsafe {
            c::clipper_paths64(c::clipper_allocate(c::clipper_paths64_size()))
        })
    }
}

#[allow(unsafe_code, reason = "a library in C++")]
impl Polygons for Clipper {
    const NAME: &'static str = "Clipper2";
    const FINEST: f64 = 2e-5;
    const CHORDS: usize = 800;
    const COARSEST: f64 = 1e-3;

    fn of(rings: &Rings) -> Self {
        use clipper2c_sys as c;
        let paths = Self::none();
        for ring in rings {
            // SAFETY: each path is made in memory of its own size, copied and deleted once.
            unsafe {
                let path =
                    c::clipper_path64(c::clipper_allocate(c::clipper_path64_size()));
                for point in ring {
                    let (x, y) = ((point.x * GRID).round(), (point.y * GRID).round());
                    let point = c::ClipperPoint64 { x: x as i64, y: y as i64 };
                    c::clipper_path64_add_point(path, point);
                }
                c::clipper_paths64_add_path(paths.0, path);
                c::clipper_delete_path64(path);
            }
        }
        paths
    }

    fn offset(&self, by: f64, tolerance: f64) -> Self {
        use clipper2c_sys as c;
        // SAFETY: every handle is made in memory of its own size and deleted once.
        unsafe {
            let memory = c::clipper_allocate(c::clipper_clipperoffset_size());
            let offset = c::clipper_clipperoffset(memory, 2.0, tolerance * GRID, 0, 0);
            let (join, end) =
                (c::ClipperJoinType_ROUND_JOIN, c::ClipperEndType_POLYGON_END);
            c::clipper_clipperoffset_add_paths64(offset, self.0, join, end);
            let memory = c::clipper_allocate(c::clipper_paths64_size());
            let made = c::clipper_clipperoffset_execute(memory, offset, by * GRID);
            c::clipper_delete_clipperoffset(offset);
            Self(made)
        }
    }

    fn without(&self, other: &Self) -> Self {
        use clipper2c_sys as c;
        let (made, open) = (Self::none(), Self::none());
        // SAFETY: the handle is made in memory of its own size and deleted once.
        unsafe {
            let clip =
                c::clipper_clipper64(c::clipper_allocate(c::clipper_clipper64_size()));
            c::clipper_clipper64_add_subject(clip, self.0);
            c::clipper_clipper64_add_clip(clip, other.0);
            let (how, fill) =
                (c::ClipperClipType_DIFFERENCE, c::ClipperFillRule_NON_ZERO);
            let done = c::clipper_clipper64_execute(clip, how, fill, made.0, open.0);
            assert!(done == 1, "the difference was made");
            c::clipper_delete_clipper64(clip);
        }
        made
    }

    fn rings(&self) -> Rings {
        use clipper2c_sys as c;
        // SAFETY: the handles live, and the numbers are below their counts.
        unsafe {
            let point = |ring, index| {
                let point = c::clipper_paths64_get_point(self.0, ring, index);
                Point::new(point.x as f64 / GRID, point.y as f64 / GRID)
            };
            let ring = |ring: i32| {
                let count = c::clipper_paths64_path_length(self.0, ring) as i32;
                (0..count).map(|index| point(ring, index)).collect()
            };
            (0..c::clipper_paths64_length(self.0) as i32).map(ring).collect()
        }
    }

    fn area(&self) -> f64 {
        // SAFETY: the handle lives.
        unsafe { clipper2c_sys::clipper_paths64_area(self.0) / (GRID * GRID) }
    }
}

pub(crate) struct Overlay(Vec<Vec<Vec<[f64; 2]>>>);

/// Chords of round joins turn no less: the library's least. Of its offsets in whole numbers,
/// which turn less, one of an ellipse did not end in minutes.
const OVERLAY_TURN: f64 = 0.01 * std::f64::consts::PI;

impl Polygons for Overlay {
    const NAME: &'static str = "i_overlay";
    const FINEST: f64 = 2e-5;
    const CHORDS: usize = 800;
    const COARSEST: f64 = 1e-3;

    fn of(rings: &Rings) -> Self {
        let ring = |ring: &Vec<Point>| ring.iter().map(|p| [p.x, p.y]).collect();
        Self(vec![rings.iter().map(ring).collect()])
    }

    fn offset(&self, by: f64, tolerance: f64) -> Self {
        let join = LineJoin::Round(turn(by, tolerance));
        Self(self.0.outline_as::<i64>(&OutlineStyle::new(by).line_join(join)))
    }

    fn without(&self, other: &Self) -> Self {
        Self(self.0.overlay_as::<i64>(
            &other.0,
            OverlayRule::Difference,
            FillRule::NonZero,
        ))
    }

    fn rings(&self) -> Rings {
        let ring =
            |ring: &Vec<[f64; 2]>| ring.iter().map(|p| Point::new(p[0], p[1])).collect();
        self.0.iter().flatten().map(ring).collect()
    }

    fn area(&self) -> f64 {
        self.rings().iter().map(|ring| shoelace(ring)).sum()
    }

    fn strays(by: f64, tolerance: f64) -> f64 {
        tolerance.max(by.abs() * OVERLAY_TURN * OVERLAY_TURN / 8.0)
    }
}

/// The area of a ring, negative where it goes round clockwise.
pub(crate) fn shoelace(ring: &[Point]) -> f64 {
    let Some(&first) = ring.first() else { return 0.0 };
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(&a, &b)| (a - first).cross(b - first)).sum::<f64>() / 2.0
}

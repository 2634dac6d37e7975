//! Random drawings, judged by brute force.

use super::tests::{at, drawn, line, path, read};
use super::*;
use crate::geom::tolerance::FIT;
use crate::geom::{Heading, Piece, Point, Vector, arc_from, orientation};
use crate::read::{Path, Stroke};

fn random(seed: &mut u64) -> f64 {
    *seed = seed
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    f64::from(u32::try_from(*seed >> 33).expect("31 bits")) / f64::from(1u32 << 31)
}

/// Whether two segments cross, by exact orientations.
fn segments_cross((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let parts = |p, q, r, s| orientation(p, q, r) * orientation(p, q, s) < 0.0;
    parts(a, b, c, d) && parts(c, d, a, b)
}

#[test]
fn crossings_are_found_as_brute_force_finds_them() {
    // Basis: brute force, every pair of 30 chords an arc by exact orientations. Random
    // corners never touch, and a crossing that 30 chords miss would be one of grazing arcs.
    let mut seed = 3;
    let (mut crossed, mut simple) = (0, 0);
    for case in 0..600 {
        let n = 4 + case % 4;
        let corners: Vec<Point> = (0..n)
            .map(|_| at(100.0 * random(&mut seed), 100.0 * random(&mut seed)))
            .collect();
        let mut pieces = Vec::new();
        for i in 0..n {
            let (from, to) = (corners[i], corners[(i + 1) % n]);
            let bend = if case % 2 == 0 { 0.0 } else { random(&mut seed) - 0.5 };
            let way = Vector::at_angle((to - from).angle() + bend);
            let arc =
                arc_from(Heading { at: from, way }, to).expect("less than a half turn");
            pieces.push(if case % 2 == 0 { Piece::line(from, to) } else { arc });
        }
        let chord = |piece: &Piece, k: u32| {
            (piece.at(f64::from(k) / 30.0), piece.at(f64::from(k + 1) / 30.0))
        };
        let chords: Vec<(Point, Point)> =
            pieces.iter().flat_map(|p| (0..30).map(move |k| chord(p, k))).collect();
        let brute = (0..chords.len())
            .any(|i| (i + 2..chords.len()).any(|j| segments_cross(chords[i], chords[j])));
        let strokes = pieces.iter().map(|&piece| drawn(Stroke::Piece(piece))).collect();
        let result = read(vec![path("random", strokes)], &[]);
        assert_eq!(result.is_err(), brute, "case {case}: {pieces:?}");
        if brute { crossed += 1 } else { simple += 1 }
    }
    assert!(100 < crossed && 50 < simple, "{crossed} crossed, {simple} simple");
}

/// A whole number from 0 up to `count`.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of a small number"
)]
fn below(seed: &mut u64, count: u32) -> usize {
    (random(seed) * f64::from(count)).floor() as usize
}

/// A random path on a coarse grid, so that strokes double back, meet, and vanish often.
fn scribble(seed: &mut u64) -> Path {
    let place = |seed: &mut u64| {
        let step = |seed: &mut u64| 10.0 * (6.0 * random(seed)).floor();
        at(step(seed), step(seed))
    };
    let count = 2 + below(seed, 8);
    let start = place(seed);
    let mut pen = start;
    let mut strokes = Vec::new();
    for index in 0..count {
        let to = if index + 1 == count { start } else { place(seed) };
        strokes.push(match below(seed, 6) {
            0 => drawn(Stroke::Cubic([pen, place(seed), place(seed), to])),
            1 if pen != to => {
                let way =
                    Vector::at_angle((to - pen).angle() + 2.0 * (random(seed) - 0.5));
                drawn(Stroke::Piece(
                    arc_from(Heading { at: pen, way }, to).expect("gentle"),
                ))
            }
            _ => line(pen, to),
        });
        pen = to;
    }
    Path { closed: random(seed) < 0.7, ..path("scribble", strokes) }
}

#[test]
fn scribbles_are_refused_or_become_sound_outlines() {
    let mut seed = 17;
    let mut sound = 0;
    for case in 0..3000 {
        let count = 1 + case % 3;
        let paths: Vec<Path> = (0..count).map(|_| scribble(&mut seed)).collect();
        let Ok(told) = read(paths.clone(), &[]) else { continue };
        sound += 1;
        for part in &told.value {
            assert!(0.0 < part.area(), "case {case} has wood: {paths:?}");
            assert!(part.deviation <= FIT, "case {case} is fitted: {paths:?}");
            for (on, ring) in part.loops.iter().enumerate() {
                let pieces = ring.pieces();
                for (i, piece) in pieces.iter().enumerate() {
                    let next = &pieces[(i + 1) % pieces.len()];
                    assert_eq!(piece.to(), next.from(), "case {case} closes: {paths:?}");
                }
                let edges: f64 = part.edges_of(on).map(|edge| edge.span.length).sum();
                assert!((edges - ring.length()).abs() < 1e-6, "case {case}: edges cover");
                let off = (part.drawn[on].area() - ring.area()).abs();
                assert!(off <= 2e-3 * ring.length(), "case {case}: {off} mm² {paths:?}");
            }
            assert_simple(part, case);
        }
    }
    assert!(200 < sound, "{sound} sound ones");
}

/// Basis: brute force, every pair of chords by exact orientations: 12 a piece, and where those
/// cross, as they do beside a cusp, 400.
fn assert_simple(part: &Outline, case: usize) {
    let chords = |piece: &Piece, n: u32| -> Vec<(Point, Point)> {
        let place = |k: u32| piece.at(f64::from(k) / f64::from(n));
        (0..n).map(|k| (place(k), place(k + 1))).collect()
    };
    let cross = |a: &Piece, b: &Piece, n: u32| {
        let (one, other) = (chords(a, n), chords(b, n));
        one.iter().any(|&c| other.iter().any(|&d| segments_cross(c, d)))
    };
    let pieces: Vec<&Piece> = part.loops.iter().flat_map(Loop::pieces).collect();
    for (i, a) in pieces.iter().enumerate() {
        for b in &pieces[i + 1..] {
            // The two sides of a cusp are nearer to each other than to any chord.
            let cusp = |a: &Piece, b: &Piece| {
                a.to() == b.from() && a.direction(1.0).dot(b.direction(0.0)) < -0.999
            };
            let crosses =
                !cusp(a, b) && !cusp(b, a) && cross(a, b, 12) && cross(a, b, 400);
            assert!(!crosses, "case {case}: {a:?} {b:?}");
        }
    }
}

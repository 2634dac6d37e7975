//! Areas against other people's polygon offsets: `geo` (on `i_overlay`), and `geo-offset` on a
//! small outline.

use super::Radii;
use super::compute::reach;
use crate::geom::shapes::{
    Dice, area, bulged, cells, hole, is_simple, notched, rectangle, slotted, star,
};
use crate::geom::{Loop, Piece, offset_loops};
use geo::algorithm::buffer::{BufferStyle, LineCap, LineJoin};
use geo::{Area, Buffer, LineString, MultiPolygon, Polygon};
use std::f64::consts::PI;

/// Chords an arc.
const CHORDS: u32 = 40;

/// The loops as one polygon a counter-clockwise loop, arcs as many chords.
fn polygons(loops: &[Loop]) -> MultiPolygon<f64> {
    let ring = |one: &Loop| {
        let points = one.pieces().iter().flat_map(|piece| {
            let steps = if matches!(piece, Piece::Arc { .. }) { CHORDS } else { 1 };
            (0..steps).map(move |step| {
                let at = piece.at(f64::from(step) / f64::from(steps));
                (at.x, at.y)
            })
        });
        LineString::from(points.collect::<Vec<_>>())
    };
    let (outer, inner): (Vec<&Loop>, Vec<&Loop>) =
        loops.iter().partition(|one| 0.0 < one.area());
    let holes_of = |outside: &Loop| {
        let inside = |hole: &&&Loop| outside.winding(hole.pieces()[0].from()) != 0;
        inner.iter().filter(inside).map(|hole| ring(hole)).collect()
    };
    outer.iter().map(|one| Polygon::new(ring(one), holes_of(one))).collect()
}

/// Buffered with the finest joins there are: chords of a hundredth of a half turn.
fn buffered(polygons: &MultiPolygon<f64>, by: f64) -> MultiPolygon<f64> {
    let style = BufferStyle::new(by)
        .line_join(LineJoin::Round(0.01 * PI))
        .line_cap(LineCap::Round(0.01 * PI));
    polygons.buffer_with_style(style)
}

fn parts() -> Vec<(Vec<Loop>, f64)> {
    let hollow = bulged(&[
        [0.0, 0.0, 0.0],
        [60.0, 0.0, 0.0],
        [60.0, 20.0, 0.4],
        [32.0, 20.0, -0.8],
        [28.0, 20.0, 0.0],
        [0.0, 20.0, 0.0],
    ]);
    let holes = vec![
        rectangle(0.0, 0.0, 100.0, 60.0),
        hole(50.0, 18.0, 11.0),
        hole(50.0, 42.0, 11.0),
    ];
    let mut parts = vec![
        (vec![notched()], 6.35),
        (vec![slotted(12.0)], 6.35),
        (vec![hollow], 3.175),
        (holes, 3.175),
    ];
    for seed in 0..4 {
        let mut dice = Dice::new(seed);
        if let Some(loops) = cells(&mut dice, 2.0) {
            parts.push((loops, 0.31 + 0.57 * dice.share()));
        }
        let one = star(&mut dice);
        if is_simple(&one) {
            parts.push((vec![one], 0.3 + 2.0 * dice.share()));
        }
    }
    parts
}

/// How far the areas may be apart (geometry): chords of a turn f cut off f²/12 of R² for each
/// unit of turn. The peer's joins are 0.0314 each, and the parts turn by up to fifty in all.
fn allowed(loops: &[Loop], radius: f64) -> f64 {
    let chopped = |piece: &Piece| match *piece {
        Piece::Line { .. } => 0.0,
        Piece::Arc { sweep, .. } => {
            let (turn, own) =
                (sweep.abs() / f64::from(CHORDS), piece.radius().unwrap_or(0.0));
            let offset = own + radius;
            offset * offset * sweep.abs() * turn * turn / 12.0
        }
    };
    let arcs: f64 = loops.iter().flat_map(Loop::pieces).map(chopped).sum();
    let length: f64 = loops.iter().map(Loop::length).sum();
    arcs + 4e-3 * radius * radius + 1e-5 * length
}

#[test]
fn offsets_have_the_areas_of_buffered_polygons() {
    for (loops, radius) in parts() {
        let polygons = polygons(&loops);
        for by in [radius, -radius] {
            let ours = area(&offset_loops(&loops, by).expect("it can be offset"));
            let theirs = buffered(&polygons, by).unsigned_area();
            assert!(
                (ours - theirs).abs() <= allowed(&loops, radius),
                "{ours} by us, {theirs} by polygons, by {by}: {loops:?}"
            );
        }
    }
}

#[test]
fn what_is_left_standing_has_the_area_of_polygons_buffered_out_and_in() {
    for (loops, radius) in parts() {
        let polygons = polygons(&loops);
        let flush = Radii { bearing: radius, cutter: radius };
        let ours = area(&reach(&loops, flush).expect("it has a reach").finished);
        let theirs = buffered(&buffered(&polygons, radius), -radius).unsigned_area();
        assert!(
            (ours - theirs).abs() <= allowed(&loops, 2.0 * radius),
            "{ours} by us, {theirs} by polygons, {radius}: {loops:?}"
        );
    }
}

#[test]
fn an_oversize_bearing_leaves_what_four_buffers_leave() {
    for (loops, radius) in parts() {
        let polygons = polygons(&loops);
        let (over, cutter) = (0.37 * radius, radius);
        let Ok(ours) = reach(&loops, Radii { bearing: cutter + over, cutter }) else {
            let opened = buffered(&buffered(&polygons, -over), over).unsigned_area();
            assert!(opened < 1e-3, "refused, though {opened} mm² are left: {loops:?}");
            continue;
        };
        let opened = buffered(&buffered(&polygons, -over), over);
        let theirs = buffered(&buffered(&opened, cutter), -cutter).unsigned_area();
        let finished = area(&ours.finished);
        assert!(
            (finished - theirs).abs() <= allowed(&loops, 4.0 * radius),
            "{finished} by us, {theirs} by polygons, {radius}: {loops:?}"
        );
        let lost = area(&loops) - opened.unsigned_area();
        assert!(
            (ours.lost - lost).abs() <= allowed(&loops, 2.0 * radius),
            "{} lost by us, {lost} by polygons: {loops:?}",
            ours.lost
        );
    }
}

#[test]
fn a_small_outline_against_geo_offset() {
    use geo_offset::Offset;
    let part = notched();
    let corners: Vec<(f64, f64)> =
        part.pieces().iter().map(|piece| (piece.from().x, piece.from().y)).collect();
    let polygon = Polygon::new(LineString::from(corners), Vec::new());
    let theirs = polygon
        .offset_with_arc_segments(6.35, 400)
        .expect("it offsets small outlines")
        .unsigned_area();
    let ours = area(&offset_loops(&[part], 6.35).expect("it can be grown"));
    // Its grid is a thousandth: half of that along the border of 400 mm, and more.
    assert!((ours - theirs).abs() < 0.5, "{ours} by us, {theirs} by geo-offset");
}

//! The cut again by other means: the capsules of a program's moves united as polygons.

use super::*;
use crate::prove::read;
use geo::{
    Area, BooleanOps, ConvexHull, Coord, LineString, MultiPolygon, Polygon, unary_union,
};

/// Corners of a disc's polygon: it strays 0.0003 mm from the circle at a radius of 3 mm.
const CORNERS: u32 = 240;

fn disc(centre: Point, radius: f64) -> Vec<Coord> {
    (0..CORNERS)
        .map(|n| {
            let out =
                Vector::at_angle(f64::from(n) / f64::from(CORNERS) * 2.0 * PI) * radius;
            Coord { x: centre.x + out.x, y: centre.y + out.y }
        })
        .collect()
}

/// What a mill sweeps going straight from one place to another.
fn capsule(from: Point, to: Point, radius: f64) -> Polygon {
    let mut corners = disc(from, radius);
    corners.extend(disc(to, radius));
    geo::MultiPoint::from(corners).convex_hull()
}

/// What a program cuts below a level, in its own frame; arcs as chords 0.0005 mm off.
fn swept(text: &str, radius: f64, level: f64) -> MultiPolygon {
    let mut capsules = Vec::new();
    let mut last: Option<[f64; 3]> = None;
    for step in read(text).expect("it is legal").moves() {
        let end = step.end();
        let start = last.replace(end);
        let Some(start) = start.filter(|s| s[2].min(end[2]) < level && s[0].is_finite())
        else {
            continue;
        };
        let (from, to) = (Point::new(start[0], start[1]), Point::new(end[0], end[1]));
        let mut places = vec![from];
        if let Some((centre, sweep)) = step.arc() {
            let most = 2.0 * libm::acos(1.0 - 0.0005 / from.distance(centre).max(0.01));
            let count = (sweep.abs() / most).ceil();
            let piece = Piece::arc_about(centre, from, sweep);
            let inner = (1u32..).map(f64::from).take_while(|&n| n < count);
            places.extend(inner.map(|n| piece.at(n / count)));
        }
        places.push(to);
        capsules.extend(places.windows(2).map(|pair| capsule(pair[0], pair[1], radius)));
    }
    unary_union(&capsules)
}

fn polygon_of(points: &[(f64, f64)], shift: f64) -> Polygon {
    let line: LineString = points.iter().map(|&(x, y)| (x + shift, y + shift)).collect();
    Polygon::new(line, vec![])
}

/// The square of 100 mm with its notch of 40, set in by `by`, moved by `shift`.
fn notched_in(by: f64, shift: f64) -> Polygon {
    let (low, high, notch) = (by, 100.0 - by, 60.0 - by);
    polygon_of(
        &[
            (low, low),
            (high, low),
            (high, notch),
            (notch, notch),
            (notch, high),
            (low, high),
        ],
        shift,
    )
}

#[test]
fn the_union_of_all_capsules_gouges_the_notched_square_nowhere_deeper_than_10_um() {
    for name in ["iso-mm", "iso-mm-lines"] {
        let shop = shop(machine(6.0));
        let proved =
            template_program(&plan(vec![part(vec![notched()])]), &shop, &post(name), "a");
        let proved = proved.expect("it proves");
        let cut = swept(proved.text(), 3.0, 0.0);
        let gouge = cut.intersection(&notched_in(0.01, 15.0)).unsigned_area();
        assert!(gouge < 1e-6, "{name}: {gouge} mm2 deeper than 10 um");
        let at_all = cut.intersection(&notched_in(-0.01, 15.0)).unsigned_area();
        assert!(1.0 < at_all, "{name}: it does cut along the edge, {at_all} mm2 of 4");
    }
}

#[test]
fn the_cut_to_the_tabs_tops_leaves_only_the_inside_corner() {
    let shop = shop(machine(6.0));
    let proved =
        template_program(&plan(vec![part(vec![notched()])]), &shop, &post("iso-mm"), "a");
    let cut = swept(proved.expect("it proves").text(), 3.0, -9.99);
    let rim = MultiPolygon::from(notched_in(-0.5, 15.0))
        .difference(&MultiPolygon::from(notched_in(-0.01, 15.0)));
    let left = rim.difference(&cut);
    let corner =
        polygon_of(&[(60.0, 60.0), (63.0, 60.0), (63.0, 63.0), (60.0, 63.0)], 15.0);
    let elsewhere = left.difference(&MultiPolygon::from(corner)).unsigned_area();
    assert!(elsewhere < 1e-6, "{elsewhere} mm2 left outside the corner");
    assert!(0.5 < left.unsigned_area(), "the corner is left round");
}

//! Named outlines whose reach is known by formula or by another program.

use super::compute::{Refusal, reach};
use super::{Radii, Reach, Site, SiteKind};
use crate::geom::shapes::{bulged, hole, notched, polygon, rectangle, slotted, turned};
use crate::geom::{Loop, Method, Point, close, is_second_alone};
use crate::units::{Paper, Unit};
use std::f64::consts::PI;

fn flush(radius: f64) -> Radii {
    Radii { bearing: radius, cutter: radius }
}

fn reached(loops: &[Loop], radius: f64) -> Reach {
    reach(loops, flush(radius)).expect("it has a reach")
}

/// The second method shrinks the radius by up to 2 µm: depths and sides grow or shrink by as
/// large a share, areas by twice that (geometry): of the smallest radius here, 1.65 mm.
fn near(found: f64, wanted: f64, tolerance: f64, what: &str) {
    let shrunk = if is_second_alone() { 2e-3 + 2.5e-3 * wanted.abs() } else { 0.0 };
    let tolerance = tolerance.max(shrunk);
    assert!((found - wanted).abs() <= tolerance, "{what}: {found}, not {wanted}");
}

/// Whether it was made as the first method should make it, or by the second where that is alone.
fn is_made(reach: &Reach, by_the_first: impl Fn(Method) -> bool) -> bool {
    if is_second_alone() {
        reach.method == Method::Polygons
    } else {
        by_the_first(reach.method)
    }
}

fn kinds(reach: &Reach) -> Vec<SiteKind> {
    reach.sites.iter().map(|site| site.kind).collect()
}

fn only(reach: &Reach) -> &Site {
    assert_eq!(reach.sites.len(), 1, "one site: {:?}", kinds(reach));
    &reach.sites[0]
}

#[test]
pub(super) fn a_corner_leaves_what_the_formulas_say() {
    // geometry: depth r(1/sin(a/2) - 1), side r/tan(a/2), area r²(cot(a/2) - (pi - a)/2)
    let r = 6.35;
    for degrees in [40.0_f64, 60.0, 83.0, 90.0, 120.0, 135.0] {
        let a = degrees.to_radians();
        let arm = 60.0;
        // A notch of this angle in the top of a plate, its bottom at (100, 40).
        let (sin, cos) = libm::sincos(a / 2.0);
        let rise = arm * cos;
        let run = arm * sin;
        let part = polygon(&[
            (0.0, 0.0),
            (200.0, 0.0),
            (200.0, 40.0 + rise),
            (100.0 + run, 40.0 + rise),
            (100.0, 40.0),
            (100.0 - run, 40.0 + rise),
            (0.0, 40.0 + rise),
        ]);
        let reach = reached(&[part], r);
        let site = only(&reach);
        assert_eq!(site.kind, SiteKind::InsideCorner, "at {degrees}");
        near(site.angle.expect("a corner has an angle"), degrees, 1e-9, "angle");
        near(site.depth, r * (1.0 / sin - 1.0), 1e-9, "depth");
        assert_eq!(site.sides.len(), 2, "two sides");
        let side = r * cos / sin;
        site.sides.iter().for_each(|&found| near(found, side, 1e-9, "side"));
        near(site.area, r * r * (cos / sin - (PI - a) / 2.0), 1e-8, "area");
        assert!(site.at.distance(Point::new(100.0, 40.0)) < 1e-9, "at the corner");
        assert!(
            is_made(&reach, |method| method == Method::Exact),
            "nothing fits exactly"
        );
    }
}

#[test]
pub(super) fn the_square_with_a_square_cut_from_it() {
    // geometry: the figures of a 90 degree corner with a 12.7 mm bit
    let reach = reached(&[notched()], 6.35);
    let site = only(&reach);
    near(site.depth, 2.630, 0.0005, "depth");
    near(site.sides[0], 6.350, 0.0005, "side");
    near(site.area, 8.653, 0.0005, "area");
    assert_eq!(reach.touched.len(), 1, "one run round the rest");
    near(reach.touched[0].length, 400.0 - 12.7, 1e-9, "touched length");
    near(reach.finished[0].area(), 8400.0 + site.area, 1e-9, "the part and what is left");
    assert_eq!(reach.shallow, (0, 0.0), "nothing shallow");
    assert!(reach.enclosed.is_empty(), "the centre comes from outside");
}

#[test]
pub(super) fn a_slot_narrower_than_the_bit_is_left() {
    // geometry: 12 wide, 20 deep; the bit's centre stands at h = sqrt(6.35² - 6²) over the mouth
    let reach = reached(&[slotted(12.0)], 6.35);
    let site = only(&reach);
    assert_eq!(site.kind, SiteKind::Slot, "two corners behind one mouth");
    let h = (6.35_f64 * 6.35 - 36.0).sqrt();
    let half = libm::asin(6.0 / 6.35);
    let segment = 6.35 * 6.35 * half - 6.0 * h;
    near(site.area, 240.0 - segment, 1e-8, "area");
    near(site.depth, ((20.0 + h) * (20.0 + h) + 36.0).sqrt() - 6.35, 1e-9, "depth");
    assert_eq!(site.sides.len(), 3, "wall, bottom, wall");
}

#[test]
pub(super) fn a_slot_of_exactly_the_bits_width_is_touched_on_both_walls() {
    // geometry: the bottom corners are 90 degree corners; both walls down to a radius
    for width in [12.7, 12.7 - 1e-9, 12.6985] {
        let reach = reached(&[slotted(width)], 6.35);
        assert_eq!(
            kinds(&reach),
            [SiteKind::InsideCorner, SiteKind::InsideCorner],
            "the bottom corners of {width}"
        );
        for site in &reach.sites {
            near(site.depth, 2.630, 0.002, "depth");
            near(site.area, 8.653, 0.005, "area");
        }
        assert_eq!(reach.exact_fits.len(), 1, "named once at {width}");
        let shrunk = |method| matches!(method, Method::Shrunk(by) if by < 0.0011);
        assert!(is_made(&reach, shrunk), "and the data say how: {:?}", reach.method);
        let wall = reach.touched.iter().map(|span| span.length).sum::<f64>();
        near(wall, 360.0 - width - 2.0 * 6.35 - 0.0, 0.02, "all but the bottom corners");
    }
    let wider = reached(&[slotted(12.8)], 6.35);
    assert!(wider.exact_fits.is_empty(), "0.1 mm of play is no exact fit");
    let narrower = reached(&[slotted(12.69)], 6.35);
    assert!(narrower.exact_fits.is_empty(), "10 µm too narrow is no fit at all");
    assert_eq!(kinds(&narrower), [SiteKind::Slot], "it is left");
}

#[test]
pub(super) fn a_fillet_of_the_bits_own_radius_is_an_exact_fit() {
    let q = libm::tan(PI / 8.0);
    let r = 3.175;
    let part = bulged(&[
        [0.0, 0.0, 0.0],
        [60.0, 0.0, 0.0],
        [60.0, 20.0, 0.0],
        [20.0 + r, 20.0, -q],
        [20.0, 20.0 + r, 0.0],
        [20.0, 60.0, 0.0],
        [0.0, 60.0, 0.0],
    ]);
    for radius in [r, r + 5e-4] {
        let reach = reached(std::slice::from_ref(&part), radius);
        assert!(
            reach.sites.is_empty(),
            "nothing is left with {radius}: {:?}",
            kinds(&reach)
        );
        assert_eq!(reach.exact_fits.len(), 1, "it is named with {radius}");
        assert_eq!(reach.touched.len(), 1, "touched all round");
        near(reach.touched[0].length, part.length(), 1e-9, "all round");
    }
}

#[test]
pub(super) fn a_small_round_hole_is_an_opening_left_whole() {
    let loops = [rectangle(0.0, 0.0, 100.0, 60.0), hole(50.0, 30.0, 5.0)];
    let reach = reached(&loops, 6.35);
    let site = only(&reach);
    assert_eq!(site.kind, SiteKind::Opening, "no way in");
    near(site.area, 25.0 * PI, 1e-9, "area");
    near(site.depth, 5.0, 1e-6, "the largest bit that would enter");
    assert!(site.at.distance(Point::new(50.0, 30.0)) < 1e-6, "in its middle");
    assert_eq!(site.walls.len(), 1, "one wall round");
    near(site.walls[0].length, 10.0 * PI, 1e-9, "all of it");
    assert_eq!(reach.finished.len(), 1, "the hole stays full");
}

#[test]
pub(super) fn a_hollow_tighter_than_the_bit() {
    // geometry: a half circle of radius 5 under a disc of radius 6.35 that rests on its corners
    let part = bulged(&[
        [0.0, 0.0, 0.0],
        [100.0, 0.0, 0.0],
        [100.0, 40.0, 0.0],
        [55.0, 40.0, -1.0],
        [45.0, 40.0, 0.0],
        [0.0, 40.0, 0.0],
    ]);
    let reach = reached(&[part], 6.35);
    let site = only(&reach);
    assert_eq!(site.kind, SiteKind::Hollow, "no corner");
    let h = (6.35_f64 * 6.35 - 25.0).sqrt();
    near(site.depth, 5.0 - (6.35 - h), 1e-9, "depth");
    let segment = 6.35 * 6.35 * libm::asin(5.0 / 6.35) - 5.0 * h;
    near(site.area, 12.5 * PI - segment, 1e-9, "area");
    assert!(site.at.distance(Point::new(50.0, 35.0)) < 1e-6, "its bottom");
}

#[test]
pub(super) fn a_neck_between_two_rooms_of_an_opening() {
    // geometry: 6 wide, 20 long; at each end the disc dips sqrt(r² - 3²) short of its radius
    let r = 3.175;
    let opening = polygon(&[
        (0.0, 0.0),
        (30.0, 0.0),
        (30.0, 12.0),
        (50.0, 12.0),
        (50.0, 0.0),
        (80.0, 0.0),
        (80.0, 30.0),
        (50.0, 30.0),
        (50.0, 18.0),
        (30.0, 18.0),
        (30.0, 30.0),
        (0.0, 30.0),
    ]);
    let loops = [rectangle(-20.0, -20.0, 100.0, 50.0), opening.reversed()];
    let reach = reached(&loops, r);
    let necks: Vec<&Site> =
        reach.sites.iter().filter(|site| site.kind == SiteKind::Neck).collect();
    assert_eq!(necks.len(), 1, "{:?}", kinds(&reach));
    assert_eq!(reach.sites.len(), 9, "and eight corners of the two rooms");
    let h = (r * r - 9.0).sqrt();
    let segment = r * r * libm::asin(3.0 / r) - 3.0 * h;
    near(necks[0].area, 120.0 - 2.0 * segment, 1e-9, "area");
    let deepest = ((10.0 + h) * (10.0 + h) + 9.0).sqrt() - r;
    near(necks[0].depth, deepest, 1e-9, "depth, half-way along a wall");
    assert_eq!(reach.enclosed.len(), 2, "each room needs an entry");
    for room in &reach.enclosed {
        near(room.room, 15.0 - r, 1e-6, "half the room's width less the bit");
    }
}

#[test]
pub(super) fn an_oversize_bearing_loses_a_bridge_too_narrow_for_it() {
    let loops = [
        rectangle(0.0, 0.0, 100.0, 60.0),
        hole(50.0, 18.0, 11.0),
        hole(50.0, 42.0, 11.0),
    ];
    let flush_reach = reached(&loops, 3.175);
    assert!(flush_reach.sites.is_empty(), "round holes are reached all round");
    let reach = reach(&loops, Radii { bearing: 3.175 + 3.175, cutter: 3.175 })
        .expect("it has a reach");
    // GEOS buffers: the neck of 24.897 mm² is opened away, and four outside corners
    let corners = 4.0 * 3.175 * 3.175 * (1.0 - PI / 4.0);
    near(reach.lost, 24.89716 + corners, 1e-4, "lost");
}

#[test]
pub(super) fn an_opening_with_an_island_too_near_its_border() {
    // geometry: channels 5 and 4 wide round and between islands, in an opening of 60 x 60
    let opening = rectangle(20.0, 20.0, 80.0, 80.0).reversed();
    let loops = [
        rectangle(0.0, 0.0, 100.0, 100.0),
        opening,
        rectangle(25.0, 25.0, 50.0, 75.0),
        rectangle(54.0, 25.0, 75.0, 75.0),
    ];
    let reach = reached(&loops, 3.175);
    let site = only(&reach);
    assert_eq!(site.kind, SiteKind::Opening, "the bit does not enter");
    near(site.area, 3600.0 - 1250.0 - 1050.0, 1e-9, "1300 mm²");
    assert_eq!(site.border.len(), 3, "its border and two islands");
    // geometry: the widest place is a crossing of a channel of 5 and one of 4
    assert!(2.5 < site.depth && site.depth < 3.175, "depth {}", site.depth);
    assert_eq!(reach.finished.len(), 1, "all of it stays");
}

#[test]
pub(super) fn an_opening_with_an_island_that_the_bit_goes_round() {
    let loops = [
        rectangle(0.0, 0.0, 100.0, 100.0),
        rectangle(20.0, 20.0, 80.0, 80.0).reversed(),
        rectangle(40.0, 40.0, 60.0, 60.0),
    ];
    let reach = reached(&loops, 6.35);
    assert_eq!(kinds(&reach), [SiteKind::InsideCorner; 4], "the opening's corners");
    assert_eq!(reach.enclosed.len(), 1, "one piece to enter");
    assert_eq!(reach.enclosed[0].rings.len(), 2, "between two rings");
    assert_eq!(reach.finished.len(), 3, "outside, opening, island");
}

#[test]
pub(super) fn two_round_ends_that_touch_leave_a_corner_of_no_angle() {
    // geometry: the bit rests on both ends, whose centres and its own make a triangle
    let (r, end) = (3.0_f64, 15.0_f64);
    let part = bulged(&[
        [0.0, 0.0, 0.0],
        [60.0, 0.0, 0.0],
        [60.0, 60.0, 1.0],
        [30.0, 60.0, 1.0],
        [0.0, 60.0, 0.0],
    ]);
    let height = ((end + r) * (end + r) - end * end).sqrt();
    let turn = libm::atan2(height, end);
    let area = end * height - end * end * turn - r * r * (PI / 2.0 - turn);
    for degrees in 0..36 {
        let angle = (10.0 * f64::from(degrees)).to_radians();
        let reach = reached(&turned(std::slice::from_ref(&part), angle, None), r);
        let site = only(&reach);
        assert_eq!(site.kind, SiteKind::InsideCorner, "turned by {angle}");
        near(site.angle.expect("an angle"), 0.0, 1e-5, "angle");
        near(site.depth, height - r, 1e-9, "depth");
        near(site.area, area, 1e-8, "area");
    }
}

#[test]
pub(super) fn a_corner_between_a_line_and_an_arc() {
    // geometry: the bit's centre is r above the line and r off the round nose
    let (r, nose) = (6.35_f64, 20.0_f64);
    // A half disc of radius 20 standing on a plate: at (80, 30) and (40, 30) the corner is a
    // right angle between the line and the arc.
    let part = bulged(&[
        [0.0, 0.0, 0.0],
        [120.0, 0.0, 0.0],
        [120.0, 30.0, 0.0],
        [80.0, 30.0, 1.0],
        [40.0, 30.0, 0.0],
        [0.0, 30.0, 0.0],
    ]);
    let reach = reached(&[part], r);
    assert_eq!(kinds(&reach), [SiteKind::InsideCorner; 2], "one on each side");
    let away = ((nose + r) * (nose + r) - r * r).sqrt();
    for site in &reach.sites {
        near(site.angle.expect("an angle"), 90.0, 1e-9, "angle");
        let corner = Point::new(60.0 + nose, 30.0);
        let centre = Point::new(60.0 + away, 30.0 + r);
        near(site.depth, corner.distance(centre) - r, 1e-9, "depth");
        let turn = libm::atan2(r, away);
        let mut sides = site.sides.clone();
        sides.sort_by(f64::total_cmp);
        near(sides[0], nose * turn, 1e-9, "side on the arc");
        near(sides[1], away - nose, 1e-9, "side on the line");
        let area =
            away * r / 2.0 - nose * nose * turn / 2.0 - r * r * (PI / 2.0 - turn) / 2.0;
        near(site.area, area, 1e-9, "area");
    }
}

#[test]
pub(super) fn touches_on_pieces_that_are_not_neighbours() {
    // geometry, and GEOS to three digits: the slot of 6 in a plate, 20 deep, with r = 3.175
    let part = polygon(&[
        (0.0, 0.0),
        (50.0, 0.0),
        (50.0, 30.0),
        (28.0, 30.0),
        (28.0, 10.0),
        (22.0, 10.0),
        (22.0, 30.0),
        (0.0, 30.0),
    ]);
    let reach = reached(&[part], 3.175);
    let site = only(&reach);
    near(site.area, 110.646_504_715, 1e-8, "area");
    near(site.depth, 18.077_338, 1e-6, "depth");
}

#[test]
pub(super) fn a_plate_with_five_hundred_round_holes() {
    // GEOS, buffers out and in: 54 places, 324.1 mm²; our arcs are exact: 324.159
    let mut dice = Xorshift(77);
    let mut loops = vec![rectangle(0.0, 0.0, 1000.0, 520.0)];
    for column in 0..25 {
        for row in 0..20 {
            let (x, y) = (20.0 + f64::from(column) * 40.0, 14.0 + f64::from(row) * 25.5);
            loops.push(hole(x, y, 2.0 + 9.0 * dice.share()));
        }
    }
    let small = loops[1..].iter().filter(|one| one.bounds().width() < 6.35).count();
    let flush_reach = reached(&loops, 3.175);
    assert_eq!(flush_reach.sites.len(), small, "the holes smaller than the bit");
    assert_eq!(flush_reach.enclosed.len(), 500 - small, "the others need an entry");
    let void: Vec<Loop> = loops.iter().map(Loop::reversed).collect();
    let opened = close(&void, 3.175).expect("it can be opened");
    let area: f64 = opened.regions.iter().map(|region| region.area).sum();
    assert_eq!(opened.regions.len(), 54, "bridges and corners too narrow");
    near(area, 324.159, 0.001, "their area");
}

/// The generator behind the figures of the plate.
struct Xorshift(u64);

impl Xorshift {
    #[expect(clippy::cast_precision_loss, reason = "53 bits")]
    fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        let bits = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11;
        bits as f64 / (1_u64 << 53) as f64
    }
}

#[test]
pub(super) fn an_oversize_bearing_spares_corners_and_names_inside_ones() {
    // geometry: each outside corner loses (Rb - Rc)²(1 - pi/4); the inside corner is the cutter's
    let part = [notched()];
    let reach =
        reach(&part, Radii { bearing: 9.525, cutter: 6.35 }).expect("it has a reach");
    let site = only(&reach);
    near(site.depth, 2.630, 0.0005, "depth");
    near(site.area, 8.653, 0.0005, "area");
    assert_eq!(site.walls.len(), 1, "one wall round the corner");
    near(
        site.walls[0].from,
        160.0 + 40.0 - 6.35,
        1e-9,
        "it starts a radius before the corner",
    );
    let over = 9.525 - 6.35;
    near(reach.lost, 5.0 * over * over * (1.0 - PI / 4.0), 1e-9, "five outside corners");
    let touched: f64 = reach.touched.iter().map(|span| span.length).sum();
    near(touched, 400.0 - 10.0 * over - 2.0 * 6.35, 1e-9, "what is neither");
    assert_eq!(reach.touched.len(), 6, "between five outside corners and an inside one");
    near(reach.finished[0].area(), 8400.0 + site.area - reach.lost, 1e-9, "what stands");
}

#[test]
pub(super) fn an_oversize_bearing_on_openings_and_islands() {
    let loops = [
        rectangle(0.0, 0.0, 100.0, 100.0),
        rectangle(20.0, 20.0, 80.0, 80.0).reversed(),
        rectangle(40.0, 40.0, 60.0, 60.0),
    ];
    let reach =
        reach(&loops, Radii { bearing: 8.0, cutter: 6.35 }).expect("it has a reach");
    assert_eq!(kinds(&reach), [SiteKind::InsideCorner; 4], "the opening's corners");
    let over: f64 = 8.0 - 6.35;
    near(
        reach.lost,
        8.0 * over * over * (1.0 - PI / 4.0),
        1e-9,
        "outside's and island's",
    );
    assert_eq!(reach.touched.len(), 12, "each side of three squares");
}

#[test]
pub(super) fn a_cutter_larger_than_its_bearing_is_refused() {
    let refused = reach(&[notched()], Radii { bearing: 6.0, cutter: 6.35 });
    assert_eq!(refused, Err(Refusal::EatsTheTemplate), "it would");
}

#[test]
pub(super) fn a_part_that_the_bearing_spares_nothing_of_is_refused() {
    let radii = Radii { bearing: 9.525, cutter: 6.35 };
    let refused = reach(&[rectangle(0.0, 0.0, 50.0, 4.0)], radii);
    let refusal = refused.expect_err("4 mm is nowhere twice 3.175 mm wide");
    let inch = Paper { unit: Unit::Inch, fraction: 32 };
    for (paper, off) in [(Paper::MM, "3.175 mm"), (inch, "0.125 in")] {
        let told = refusal.clone().told(radii, paper);
        let [problem] = told.problems() else { panic!("one problem: {told:?}") };
        assert_eq!(problem.id, "reach-nothing-left", "and says so");
        assert!(problem.found.contains(off), "in the job's units: {}", problem.found);
    }
}

#[test]
pub(super) fn a_void_between_three_discs_alone() {
    // geometry: three round humps of radius 10 whose middles are 26 apart leave between them
    // a room that a disc of radius 3.5 does not enter; one of radius 2.5 passes between
    let humps = |radius: f64| {
        let part: Vec<Loop> = (0..3)
            .map(|index| {
                let angle = PI / 2.0 + f64::from(index) * PI / 1.5;
                let middle = 26.0 / 3_f64.sqrt();
                let (sin, cos) = libm::sincos(angle);
                hole(middle * cos, middle * sin, 10.0).reversed()
            })
            .collect();
        reached(&part, radius)
    };
    let passing = humps(2.5);
    assert!(passing.sites.is_empty(), "6 mm between the humps: {:?}", kinds(&passing));
    let tight = humps(3.5);
    assert_eq!(kinds(&tight), [SiteKind::Neck; 3], "the disc stands in the middle too");
    assert_eq!(tight.enclosed.len(), 1, "where it needs an entry");
    let closed = humps(6.0);
    assert_eq!(kinds(&closed), [SiteKind::Junction], "closed off at three ends");
}

#[test]
pub(super) fn shallow_places_are_summed() {
    // geometry: an inside corner of 170 degrees is 6.35 (1/sin 85 - 1) = 0.0243 deep
    let part = polygon(&[
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 40.0 + 100.0 * libm::tan(10.0_f64.to_radians())),
        (100.0, 40.0),
        (0.0, 40.0),
    ]);
    let reach = reached(std::slice::from_ref(&part), 6.35);
    assert!(reach.sites.is_empty(), "a knife line is not listed");
    assert_eq!(reach.shallow.0, 1, "it is counted");
    let a = 170.0_f64.to_radians();
    let area = 6.35 * 6.35 * (1.0 / libm::tan(a / 2.0) - (PI - a) / 2.0);
    near(reach.shallow.1, area, 1e-9, "and its area told");
    assert_eq!(reach.touched.len(), 1, "it does not part the touch");
    near(reach.touched[0].length, part.length(), 1e-9, "which goes all round");
}

#[test]
pub(super) fn a_hole_of_exactly_the_bits_size() {
    let loops = [rectangle(0.0, 0.0, 100.0, 60.0), hole(50.0, 30.0, 6.35)];
    let reach = reached(&loops, 6.35);
    assert!(reach.sites.is_empty(), "it is touched all round: {:?}", kinds(&reach));
    assert_eq!(reach.exact_fits.len(), 1, "and named");
    assert!(
        reach.exact_fits[0].distance(Point::new(50.0, 30.0)) < 1e-6,
        "in the hole's middle"
    );
    assert_eq!(reach.touched.len(), 2, "outside and hole");
    assert_eq!(reach.enclosed.len(), 1, "the bit enters there");
}

#[test]
pub(super) fn a_place_far_from_the_origin_is_the_same_place() {
    let way = crate::geom::Vector::new(40_000.0, -25_000.0);
    let moved = |one: Loop| {
        Loop::new(one.pieces().iter().map(|piece| piece.moved(way)).collect())
    };
    for part in [notched(), slotted(12.0), slotted(12.7)] {
        let (near_by, far) =
            (reached(std::slice::from_ref(&part), 6.35), reached(&[moved(part)], 6.35));
        assert_eq!(kinds(&near_by), kinds(&far), "the same sites");
        for (here, there) in near_by.sites.iter().zip(&far.sites) {
            near(there.depth, here.depth, 1e-5, "depth");
            near(there.area, here.area, 1e-4, "area");
        }
    }
}

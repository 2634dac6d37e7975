//! Laws of the reach on random outlines: a drawing moved, turned, mirrored or begun elsewhere has
//! the same sites of the same kinds in the same order, to 1e-6.
//!
//! Sites stand in the order of the loop and place where their first wall starts. Mirrored, a
//! loop is walked the other way: each wall starts where it ended, and the order follows.

use super::compute::reach;
use super::{Radii, Reach, Site, SiteKind};
use crate::geom::shapes::{assorted, begun_elsewhere, mirrored, moved, turned};
use crate::geom::{Loop, Point, Span, Vector, is_second_alone};

/// Seeds the law is tried with: twenty-five times as many passed when this was written.
const SEEDS: std::ops::Range<u64> = 0..60;
/// The same for the second method alone, which is slower.
const SEEDS_OF_SECOND: std::ops::Range<u64> = 0..12;
/// How far two numbers may lie apart, in mm, mm² and degrees.
const APART: f64 = 1e-6;

fn seeds() -> std::ops::Range<u64> {
    if is_second_alone() { SEEDS_OF_SECOND } else { SEEDS }
}

/// A way to draw the same part otherwise.
#[derive(Debug, Clone, Copy)]
enum Redrawn {
    Moved(Vector),
    Turned(f64),
    Mirrored,
    BegunElsewhere,
}

impl Redrawn {
    fn loops(self, loops: &[Loop]) -> Vec<Loop> {
        match self {
            Self::Moved(way) => moved(loops, way),
            Self::Turned(angle) => turned(loops, angle, None),
            Self::Mirrored => mirrored(loops),
            Self::BegunElsewhere => begun_elsewhere(loops),
        }
    }

    fn point(self, point: Point) -> Point {
        match self {
            Self::Moved(way) => point + way,
            Self::Turned(angle) => {
                let (sin, cos) = libm::sincos(angle);
                let (x, y) = (point.x, point.y);
                Point::new(cos * x - sin * y + 3.3, sin * x + cos * y - 1.7)
            }
            Self::Mirrored => Point::new(-point.x, point.y),
            Self::BegunElsewhere => point,
        }
    }

    /// Where a span lies after it; a whole loop begins at its first point.
    fn span(self, loops: &[Loop], span: &Span) -> Span {
        let one = &loops[span.on];
        if one.length() <= span.length {
            return Span { from: 0.0, ..*span };
        }
        let from = match self {
            Self::Moved(_) | Self::Turned(_) => span.from,
            Self::Mirrored => one.length() - span.to(),
            Self::BegunElsewhere => span.from - one.start_of(one.pieces().len() / 3),
        };
        Span { from: one.wrapped(from), ..*span }
    }

    fn spans(self, loops: &[Loop], spans: &[Span]) -> Vec<Span> {
        let spans = spans.iter().map(|span| self.span(loops, span));
        in_order(loops, spans.collect())
    }

    /// The site as it should be found afterwards.
    fn site(self, loops: &[Loop], site: &Site) -> Site {
        let mut sides = site.sides.clone();
        if matches!(self, Self::Mirrored) {
            sides.reverse();
        }
        Site {
            at: self.point(site.at),
            walls: self.spans(loops, &site.walls),
            sides,
            ..site.clone()
        }
    }

    fn sites(self, loops: &[Loop], sites: &[Site]) -> Vec<Site> {
        let mut sites: Vec<Site> =
            sites.iter().map(|site| self.site(loops, site)).collect();
        let first = |site: &Site| site.walls.first().map_or((0, 0.0), |w| (w.on, w.from));
        sites.sort_by(|a, b| {
            let (a, b) = (first(a), first(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        sites
    }
}

/// The spans in order of loop and start. What starts at the first point, and by rounding just
/// before it, starts at it.
fn in_order(loops: &[Loop], mut spans: Vec<Span>) -> Vec<Span> {
    for span in &mut spans {
        let length = loops[span.on].length();
        if length - 10.0 * APART < span.from {
            span.from -= length;
        }
    }
    spans.sort_by(|a, b| a.on.cmp(&b.on).then(a.from.total_cmp(&b.from)));
    spans
}

fn near(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() <= APART, "{what}: {found}, not {wanted}");
}

fn same_spans(found: &[Span], wanted: &[Span], what: &str) {
    assert_eq!(found.len(), wanted.len(), "{what}: {found:?}, not {wanted:?}");
    for (one, other) in found.iter().zip(wanted) {
        assert_eq!(one.on, other.on, "{what}: the loop");
        near(one.from, other.from, &format!("{what}: start"));
        near(one.length, other.length, &format!("{what}: length"));
    }
}

fn same_site(found: &Site, wanted: &Site, what: &str) {
    assert_eq!(found.kind, wanted.kind, "{what}");
    near(found.depth, wanted.depth, &format!("{what}: depth"));
    near(found.area, wanted.area, &format!("{what}: area"));
    assert_eq!(found.angle.is_some(), wanted.angle.is_some(), "{what}: angle");
    if let (Some(one), Some(other)) = (found.angle, wanted.angle) {
        near(one, other, &format!("{what}: angle"));
    }
    // Other kinds may be as deep in two places.
    if found.kind == SiteKind::InsideCorner {
        near(found.at.distance(wanted.at), 0.0, &format!("{what}: place"));
    }
    same_spans(&found.walls, &wanted.walls, &format!("{what}: walls"));
    let (mut here, mut there) = (found.sides.clone(), wanted.sides.clone());
    // Several walls' sides follow the walk round the place, which begins elsewhere.
    if 1 < found.walls.len() || found.kind == SiteKind::Opening {
        here.sort_by(f64::total_cmp);
        there.sort_by(f64::total_cmp);
    }
    assert_eq!(here.len(), there.len(), "{what}: sides");
    here.iter().zip(&there).for_each(|(a, b)| near(*a, *b, &format!("{what}: side")));
}

fn same_reach(found: &Reach, wanted: &Reach, what: &str) {
    assert_eq!(found.method, wanted.method, "{what}: the method");
    assert_eq!(found.shallow.0, wanted.shallow.0, "{what}: shallow ones");
    near(found.shallow.1, wanted.shallow.1, &format!("{what}: their area"));
    assert_eq!(found.exact_fits.len(), wanted.exact_fits.len(), "{what}: exact fits");
    assert_eq!(found.enclosed.len(), wanted.enclosed.len(), "{what}: entries");
    near(found.lost, wanted.lost, &format!("{what}: lost"));
    assert_eq!(found.finished.len(), wanted.finished.len(), "{what}: finished loops");
    let area = |reach: &Reach| reach.finished.iter().map(Loop::area).sum::<f64>();
    near(area(found), area(wanted), &format!("{what}: what stands"));
}

fn compare(case: &str, loops: &[Loop], radii: Radii) {
    let Ok(own) = reach(loops, radii) else {
        // The bearing spares nothing of some: then nothing of the same part redrawn.
        assert!(radii.cutter < radii.bearing, "{case}: refused");
        for redrawn in ways() {
            assert!(reach(&redrawn.loops(loops), radii).is_err(), "{case}, {redrawn:?}");
        }
        return;
    };
    for redrawn in ways() {
        let what = format!("{case}, {redrawn:?}, {radii:?}");
        let found = reach(&redrawn.loops(loops), radii).expect(&what);
        same_reach(&found, &own, &what);
        let touched = in_order(loops, found.touched.clone());
        same_spans(&touched, &redrawn.spans(loops, &own.touched), &what);
        let wanted = redrawn.sites(loops, &own.sites);
        assert_eq!(found.sites.len(), wanted.len(), "{what}: sites");
        for (one, other) in found.sites.iter().zip(&wanted) {
            let one = Site { walls: in_order(loops, one.walls.clone()), ..one.clone() };
            same_site(&one, other, &format!("{what}, {:?}", other.kind));
        }
    }
}

fn ways() -> [Redrawn; 5] {
    [
        Redrawn::Moved(Vector::new(1234.5, -987.25)),
        Redrawn::Moved(Vector::new(1e6, -1e6)),
        Redrawn::Turned(0.7),
        Redrawn::Mirrored,
        Redrawn::BegunElsewhere,
    ]
}

#[test]
pub(super) fn the_same_part_drawn_otherwise_has_the_same_reach() {
    let mut tried = 0u64;
    for seed in seeds() {
        let Some((loops, radius)) = assorted(seed) else { continue };
        let over = if seed % 2 == 0 { 0.0 } else { 0.1 * radius };
        let radii = Radii { bearing: radius + over, cutter: radius };
        compare(&format!("seed {seed}"), &loops, radii);
        tried += 1;
    }
    assert!(seeds().end / 2 < tried, "{tried} outlines");
}

#[test]
pub(super) fn a_second_run_is_the_same_to_the_last_bit() {
    let mut reached = 0u64;
    for (loops, radius) in seeds().filter_map(assorted) {
        let radii = Radii { bearing: 1.1 * radius, cutter: radius };
        let run = || format!("{:?}", reach(&loops, radii));
        assert_eq!(run(), run(), "of {loops:?}");
        reached += u64::from(reach(&loops, radii).is_ok());
    }
    assert!(seeds().end / 2 < reached, "{reached} reaches");
}

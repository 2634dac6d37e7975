//! Short grain: narrow places whose fibres run out through their sides, where a part breaks.

use super::{Part, Pass};
use crate::geom::tolerance::REPAIR;
use crate::geom::{Loop, Point, Span, Vector, nearest_loop};
use crate::grain::{self, Grain};
use crate::outline::Outline;
use crate::read::Role;
use crate::shop::defaults;

/// A narrow place whose fibres run out.
#[derive(Debug, Clone, PartialEq)]
pub struct ShortGrain {
    /// Index of the part.
    pub part: usize,
    /// The run of the edge beside it.
    pub span: Span,
    /// How bad: 1 is `!`, 2 is `!!`.
    pub marks: u8,
    /// Where it is worst: in the middle of the wood there.
    pub at: Point,
    /// How wide it is there, in mm.
    pub width: f64,
    /// How long the fibres are there, from edge to edge, in mm.
    pub fibre: f64,
    /// How the grain runs out of it: 1 in so many.
    pub slope: f64,
    /// Whether it ends in a tip; else it is a neck.
    pub tip: bool,
}

impl ShortGrain {
    /// `!` or `!!`.
    pub const fn sign(&self) -> &'static str {
        if self.marks < 2 { "!" } else { "!!" }
    }

    /// Whether it is too weak for the router: the hand does it.
    pub fn goes_to_the_hand(&self) -> bool {
        1 < self.marks && self.width <= defaults::SHORT_GRAIN_BY_HAND.value + REPAIR
    }
}

/// Each place once: the two sides of a strip are one.
pub(super) fn each_once(short: &[ShortGrain]) -> Vec<&ShortGrain> {
    let mut once: Vec<&ShortGrain> = Vec::new();
    for place in short {
        let same = |other: &&ShortGrain| {
            other.part == place.part && other.at.distance(place.at) <= place.width + 1.0
        };
        if !once.iter().any(same) {
            once.push(place);
        }
    }
    once
}

/// No pass runs off over a tip of short grain unheld: a block backs its end there.
pub(super) fn back_tips(passes: &mut [Pass], short: &[ShortGrain], parts: &[Part]) {
    for pass in passes.iter_mut().filter(|pass| pass.backers.is_empty()) {
        let ring = &parts[pass.part].guide.loops[pass.span.on];
        let end = ring.nearest(pass.exit.1);
        let near = defaults::SHORT_GRAIN_STEP.value;
        let on_a_tip = short.iter().any(|place| {
            let span = place.span;
            place.tip
                && place.part == pass.part
                && span.on == pass.span.on
                && ring.wrapped(end - span.from + near) <= span.length + 2.0 * near
        });
        if on_a_tip {
            pass.backers.push(pass.exit.1);
        }
    }
}

/// One place of the edge, looked at.
#[derive(Debug, Clone, Copy)]
struct Look {
    along: f64,
    /// The length of edge it stands for.
    share: f64,
    at: Point,
    width: f64,
    fibre: f64,
    slope: f64,
    marks: u8,
    tip: bool,
}

/// The narrow places of a part beside its routed edges whose fibres run out, loop by loop; on
/// the guide, whose run-ons are no wood.
pub(super) fn short_grain(
    part: usize,
    (outline, guide): (&Outline, &Outline),
    grain: &Grain,
) -> Vec<ShortGrain> {
    let mut all = Vec::new();
    for (on, ring) in guide.loops.iter().enumerate() {
        let mut looks = looks((outline, guide), on, grain);
        // The loop is walked from where a run ends: where it was drawn from is no place.
        let ends = looks.windows(2).position(|pair| pair[0].marks != pair[1].marks);
        looks.rotate_left(ends.map_or(0, |index| index + 1));
        let runs = looks.chunk_by(|one, next| one.marks == next.marks);
        let marked = runs.filter(|run| 0 < run[0].marks);
        let mut places: Vec<ShortGrain> =
            marked.filter_map(|run| place((part, on), ring, run)).collect();
        for index in 0..places.len() {
            places[index].span.length += over_the_end(&places, index, ring);
        }
        all.extend(places);
    }
    all
}

/// How far the end of a tip goes on to its other side, where both go to the hand.
fn over_the_end(places: &[ShortGrain], index: usize, ring: &Loop) -> f64 {
    let (here, next) = (&places[index], &places[(index + 1) % places.len()]);
    let gap = ring.wrapped(next.span.from - here.span.to());
    let both = here.tip && here.goes_to_the_hand() && next.goes_to_the_hand();
    let short = gap <= defaults::SHORT_GRAIN_BY_HAND.value + here.width;
    if both && short { gap } else { 0.0 }
}

/// Looks at the edges every few mm, at each in the middle of equal shares: so a part is looked
/// at in the same places, wherever it lies and wherever it was drawn from.
fn looks((outline, guide): (&Outline, &Outline), on: usize, grain: &Grain) -> Vec<Look> {
    let ring = &guide.loops[on];
    let step = defaults::SHORT_GRAIN_STEP.value.max(ring.length() / MOST_LOOKS);
    let mut looks = Vec::new();
    for (span, role) in looked_along(guide, on, step) {
        let share = span.length / ((span.length - REPAIR) / step).ceil().max(1.0);
        let mut ahead = share / 2.0;
        while ahead < span.length {
            let along = ring.wrapped(span.from + ahead);
            let look = Look { share, ..look(outline, (ring, along), grain) };
            looks.push(if role == Role::Rout { look } else { Look { marks: 0, ..look } });
            ahead += share;
        }
    }
    looks
}

/// The edges of a loop; of those shorter than a step as many in one as make a step.
fn looked_along(guide: &Outline, on: usize, step: f64) -> Vec<(Span, Role)> {
    let mut all: Vec<(Span, Role)> = Vec::new();
    for edge in guide.edges.iter().filter(|edge| edge.span.on == on) {
        match all.last_mut() {
            Some((span, role)) if *role == edge.role && span.length < step - REPAIR => {
                span.length += edge.span.length;
            }
            _ => all.push((edge.span, edge.role)),
        }
    }
    all
}

/// No loop is looked at in more than about twice as many places.
const MOST_LOOKS: f64 = 1000.0;
/// How much longer than wide a place must be to be a neck or a tip, not the body.
const SLENDER: f64 = 1.5;

/// What the wood is like behind one place of the edge. What is as large as a limit but for the
/// rounding of a drawing counts as that large, however the part lies.
fn look(outline: &Outline, (ring, along): (&Loop, f64), grain: &Grain) -> Look {
    let (point, way) = (ring.at(along), ring.direction_after(along));
    let sound = Look {
        along,
        share: 0.0,
        at: point,
        width: 0.0,
        fibre: 0.0,
        slope: f64::INFINITY,
        marks: 0,
        tip: false,
    };
    let narrow = |width: &f64| *width <= defaults::SHORT_GRAIN_WIDTH.value + REPAIR;
    let width = grain::ray(&outline.loops, point, way.left()).filter(narrow);
    let Some(width) = width else { return sound };
    if !is_a_strip(outline, way, point + way.left() * width) {
        return sound;
    }
    let at = point + way.left() * (width / 2.0);
    let axis = Vector::at_angle(grain.at(at).to_radians());
    let along_it = grain::chord(&outline.loops, at, way);
    let (Some((back, ahead)), Some(fibre)) =
        (along_it, grain::chord(&outline.loops, at, axis))
    else {
        return sound;
    };
    let across = way.cross(axis).abs();
    let slope = way.dot(axis).abs() / across.max(f64::MIN_POSITIVE);
    let fibre = fibre.0 + fibre.1;
    let slender = SLENDER * width <= back + ahead + REPAIR;
    // In a strip the grain runs out of 1 in n, fibres are sqrt(1 + n²) times its width long.
    let worst = defaults::SHORT_GRAIN.value;
    let runs_out = fibre < width * (1.0 + worst * worst).sqrt()
        && fibre <= defaults::SHORT_GRAIN_FIBRE.value + REPAIR;
    let marks = match slope {
        _ if !slender || !runs_out => 0,
        slope if slope < defaults::SHORT_GRAIN_WORSE.value => 2,
        slope if slope < defaults::SHORT_GRAIN.value => 1,
        _ => 0,
    };
    let tip = back.min(ahead) < SLENDER * width - REPAIR;
    Look { along, share: 0.0, at, width, fibre, slope, marks, tip }
}

/// Whether the wall on the other side runs nearly along this one: else it is a corner.
fn is_a_strip(outline: &Outline, way: Vector, across: Point) -> bool {
    nearest_loop(&outline.loops, across).is_some_and(|(_, on, along)| {
        let other = outline.loops[on].direction_after(along);
        TAPER <= -way.dot(other)
    })
}

/// Walls that taper more than 35 degrees are no strip, as a cosine (from memory).
const TAPER: f64 = 0.819;

/// A run of looks alike as one place, named by its narrowest.
fn place((part, on): (usize, usize), ring: &Loop, run: &[Look]) -> Option<ShortGrain> {
    let first = run.first()?;
    let least = run.iter().map(|look| look.width).min_by(f64::total_cmp)?;
    // Of places equally narrow the middle one: rounding tells none of them from another.
    let narrowest: Vec<&Look> =
        run.iter().filter(|look| look.width <= least + REPAIR).collect();
    let worst = narrowest[narrowest.len() / 2];
    let length: f64 = run.iter().map(|look| look.share).sum();
    let least = defaults::SHORT_GRAIN_LEAST.value;
    (least <= length + REPAIR).then(|| ShortGrain {
        part,
        span: Span { on, from: ring.wrapped(first.along - first.share / 2.0), length },
        marks: worst.marks,
        at: worst.at,
        width: worst.width,
        fibre: worst.fibre,
        slope: worst.slope,
        tip: run.iter().any(|look| look.tip),
    })
}

#[cfg(test)]
mod tests {
    use super::super::shapes::{outline, polygon};
    use super::*;
    use crate::geom::Piece;

    fn found(outline: &Outline, degrees: f64) -> Vec<ShortGrain> {
        short_grain(0, (outline, outline), &Grain::plain(degrees))
    }

    /// A segment of a ring of 200 and 260 with so many in the ring, grain along its chord.
    fn segment(count: f64) -> Outline {
        let half = std::f64::consts::PI / count;
        let centre = Point::new(0.0, 0.0);
        let on = |radius: f64, turn: f64| {
            centre + Vector::at_angle(std::f64::consts::FRAC_PI_2 + turn) * radius
        };
        let outer = Piece::arc_about(centre, on(260.0, -half), 2.0 * half);
        let inner = Piece::arc_about(centre, on(200.0, half), -2.0 * half);
        let pieces = vec![
            outer,
            Piece::line(outer.to(), inner.from()),
            inner,
            Piece::line(inner.to(), outer.from()),
        ];
        outline(pieces, &[Role::Rout; 4])
    }

    /// Basis: geometry: at the ends of a ring's segment the grain runs out at half its angle:
    /// 8 segments 22.5 degrees, 1 in 2.4; 12 segments 15 degrees, 1 in 3.7; 24 segments 7.5
    /// degrees, 1 in 7.6.
    #[test]
    fn segments_of_a_ring() {
        let worst =
            |count: f64| found(&segment(count), 0.0).iter().map(|it| it.marks).max();
        assert_eq!(worst(8.0), Some(2), "8: worse than 1 in 3");
        assert_eq!(worst(12.0), Some(1), "12: worse than 1 in 5");
        assert_eq!(worst(24.0), None, "24: sound");
    }

    /// Basis: geometry: a strip 10 wide across the grain has fibres of 10; along it none run out.
    #[test]
    fn a_tip_across_the_grain() {
        let points = [
            (0.0, 0.0),
            (300.0, 0.0),
            (300.0, 150.0),
            (290.0, 150.0),
            (290.0, 100.0),
            (0.0, 100.0),
        ];
        let part = polygon(&points, &[Role::Rout; 6]);
        let places = found(&part, 0.0);
        assert!(!places.is_empty(), "the upright strip");
        for place in &places {
            assert!((place.width - 10.0).abs() < 1e-9, "10 wide: {place:?}");
            assert!((place.fibre - 10.0).abs() < 1e-9, "fibres of 10: {place:?}");
            assert_eq!((place.sign(), place.tip), ("!!", true), "a tip: {place:?}");
            assert!(place.goes_to_the_hand(), "no router on it: {place:?}");
        }
        assert!(found(&part, 90.0).is_empty(), "its fibres run up the strip");
        let whole = part.bounds();
        let strips = Grain::of_strips(0.0, &[(100.0, 0.0), (50.0, 90.0)], whole);
        let places = short_grain(0, (&part, &part), &strips);
        let upright = places.iter().filter(|place| 100.0 < place.at.y).count();
        assert_eq!(upright, 0, "in a board of strips by the strip: {places:?}");
    }

    /// Basis: geometry: a comb of five teeth 10 wide, 6 apart, grain nearly across its back: the
    /// bottoms of the gaps are as long as the least run that is named.
    #[test]
    fn where_a_part_lies_and_is_drawn_from_changes_nothing() {
        let mut points = vec![(0.0, 0.0)];
        for tooth in 0..5 {
            let x = 10.0 + 16.0 * f64::from(tooth);
            points.extend([(x, 0.0), (x, 40.0), (x + 6.0, 40.0), (x + 6.0, 0.0)]);
        }
        points.extend([(90.0, 0.0), (90.0, 70.0), (0.0, 70.0)]);
        let drawn = |first: usize, (x, y): (f64, f64)| {
            let mut moved: Vec<_> = points.iter().map(|p| (p.0 + x, p.1 + y)).collect();
            moved.rotate_left(first);
            let part = polygon(&moved, &vec![Role::Rout; moved.len()]);
            let back = |place: &ShortGrain| (place.at.x - x, place.at.y - y, place.marks);
            let mut places: Vec<_> = found(&part, 80.0).iter().map(back).collect();
            places.sort_by(|a, b| (a.0 + 1e3 * a.1).total_cmp(&(b.0 + 1e3 * b.1)));
            places
        };
        let as_drawn = drawn(0, (0.0, 0.0));
        assert!(!as_drawn.is_empty(), "its fibres run out");
        for (first, shift) in (0..points.len()).zip(0_u8..) {
            let again = drawn(first, (-173.3, 21.7 * f64::from(shift)));
            assert_eq!(again.len(), as_drawn.len(), "from point {first}: {again:?}");
            for (one, other) in as_drawn.iter().zip(&again) {
                let off = (one.0 - other.0).abs() + (one.1 - other.1).abs();
                assert!(off < 1e-6 && one.2 == other.2, "{one:?}, then {other:?}");
            }
        }
    }

    /// Basis: geometry: this part is half as long again as wide, 72 to 48, in squares of 12.
    #[test]
    fn a_part_on_the_limit_is_told_alike_whichever_way_it_is_turned() {
        let squares = [
            (1, 1),
            (4, 1),
            (4, 0),
            (7, 0),
            (7, 4),
            (6, 4),
            (6, 5),
            (5, 5),
            (5, 6),
            (4, 6),
            (4, 5),
            (2, 5),
            (2, 4),
            (1, 4),
        ];
        let told = |degrees: f64| {
            let way = Vector::at_angle(degrees.to_radians());
            let turned = |&(x, y): &(i32, i32)| {
                let at = way * f64::from(12 * x) + way.left() * f64::from(12 * y);
                (at.x, at.y)
            };
            let points: Vec<(f64, f64)> = squares.iter().map(turned).collect();
            let part = polygon(&points, &[Role::Rout; 14]);
            let places = found(&part, 20.0 + degrees);
            let told = |place: &ShortGrain| {
                (place.marks, place.tip, place.goes_to_the_hand(), place.width.round())
            };
            places.iter().map(told).collect::<Vec<_>>()
        };
        let drawn = told(0.0);
        assert!(!drawn.is_empty(), "its fibres run out");
        for degrees in 1..360 {
            assert_eq!(told(f64::from(degrees)), drawn, "turned by {degrees}");
        }
    }

    #[test]
    fn a_stout_part_has_none() {
        let square = [(0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)];
        let square = polygon(&square, &[Role::Rout; 4]);
        for degrees in [0.0, 20.0, 45.0, 90.0] {
            assert!(found(&square, degrees).is_empty(), "{degrees}");
        }
    }
}

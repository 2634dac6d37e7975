//! Short grain: narrow places whose fibres run out through their sides, where a part breaks.

use super::{Part, Pass};
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
        1 < self.marks && self.width <= defaults::SHORT_GRAIN_BY_HAND.value
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
        let looks = looks((outline, guide), on, grain);
        let mut run: Vec<Look> = Vec::new();
        for look in looks {
            let goes_on = run.last().is_some_and(|last| last.marks == look.marks);
            if !goes_on && !run.is_empty() {
                all.extend(place((part, on), ring, &std::mem::take(&mut run)));
            }
            if 0 < look.marks {
                run.push(look);
            }
        }
        all.extend(place((part, on), ring, &run));
    }
    for index in 0..all.len() {
        let over = over_the_end(&all, index, guide);
        all[index].span.length += over;
    }
    all
}

/// How far the end of a tip goes on to its other side, where both go to the hand.
fn over_the_end(all: &[ShortGrain], index: usize, guide: &Outline) -> f64 {
    let (here, next) = (&all[index], &all[(index + 1) % all.len()]);
    let ring = &guide.loops[here.span.on];
    let gap = ring.wrapped(next.span.from - here.span.to());
    let both = here.tip && here.goes_to_the_hand() && next.goes_to_the_hand();
    let short = gap <= defaults::SHORT_GRAIN_BY_HAND.value + here.width;
    if both && here.span.on == next.span.on && short { gap } else { 0.0 }
}

/// Looks at the edge every few mm.
fn looks((outline, guide): (&Outline, &Outline), on: usize, grain: &Grain) -> Vec<Look> {
    let ring = &guide.loops[on];
    let mut looks = Vec::new();
    let step = step(ring);
    let mut along = step / 2.0;
    while along < ring.length() {
        let look = look(outline, (ring, along), grain);
        let routed = guide.role_at(on, along) == Role::Rout;
        looks.push(if routed { look } else { Look { marks: 0, ..look } });
        along += step;
    }
    looks
}

fn step(ring: &Loop) -> f64 {
    defaults::SHORT_GRAIN_STEP.value.max(ring.length() / MOST_LOOKS)
}

/// No loop is looked at in more places than this.
const MOST_LOOKS: f64 = 1000.0;
/// How much longer than wide a place must be to be a neck or a tip, not the body.
const SLENDER: f64 = 1.5;

/// What the wood is like behind one place of the edge.
fn look(outline: &Outline, (ring, along): (&Loop, f64), grain: &Grain) -> Look {
    let (point, way) = (ring.at(along), ring.direction_after(along));
    let sound = Look {
        along,
        at: point,
        width: 0.0,
        fibre: 0.0,
        slope: f64::INFINITY,
        marks: 0,
        tip: false,
    };
    let narrow = |width: &f64| *width <= defaults::SHORT_GRAIN_WIDTH.value;
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
    let slender = SLENDER * width <= back + ahead;
    // In a strip the grain runs out of 1 in n, fibres are sqrt(1 + n²) times its width long.
    let worst = defaults::SHORT_GRAIN.value;
    let runs_out = fibre < width * (1.0 + worst * worst).sqrt()
        && fibre <= defaults::SHORT_GRAIN_FIBRE.value;
    let marks = match slope {
        _ if !slender || !runs_out => 0,
        slope if slope < defaults::SHORT_GRAIN_WORSE.value => 2,
        slope if slope < defaults::SHORT_GRAIN.value => 1,
        _ => 0,
    };
    let tip = back.min(ahead) < SLENDER * width;
    Look { along, at, width, fibre, slope, marks, tip }
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
    let (first, last) = (run.first()?, run.last()?);
    let worst = run.iter().min_by(|a, b| a.width.total_cmp(&b.width))?;
    let half = step(ring) / 2.0;
    let length = last.along - first.along + 2.0 * half;
    let least = defaults::SHORT_GRAIN_LEAST.value;
    (least <= length).then(|| ShortGrain {
        part,
        span: Span { on, from: ring.wrapped(first.along - half), length },
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

    #[test]
    fn a_stout_part_has_none() {
        let square = [(0.0, 0.0), (200.0, 0.0), (200.0, 200.0), (0.0, 200.0)];
        let square = polygon(&square, &[Role::Rout; 4]);
        for degrees in [0.0, 20.0, 45.0, 90.0] {
            assert!(found(&square, degrees).is_empty(), "{degrees}");
        }
    }
}

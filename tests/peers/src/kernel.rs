//! Openings: a disc rolls inside the part, and what it covers is left. Ours finds the arcs in the
//! chords, offsets inwards once, checks that and follows what is left with its owners; the others
//! offset inwards and outwards again and check nothing, so that ours is set beside them without
//! its check too.

use crate::polygons::{Clipper, Geos, Overlay, Polygons, Rings, turn};
use crate::trial::{Answer, Case, Work};
use cavalier_contours::polyline as pline;
use cavalier_contours::shape_algorithms::{Shape as Plines, ShapeOffsetOptions};
use geo::Area;
use geo_offset::Offset;
use pline::{PlineSource, PlineSourceMut};
use spelch::geom::{
    Ends, Loop, Piece, Point, Recheck, Side, Vector, arcs_of, close, trim,
};
use std::cell::OnceCell;
use std::f64::consts::TAU;
use std::hint::black_box;
use std::rc::Rc;

/// The disc's radius, in mm: a quarter-inch bit.
const RADIUS: f64 = 3.175;
/// Everybody may stray this far, in mm.
const TOLERANCE: f64 = 1e-3;

/// A part: its outside counter-clockwise first, then openings clockwise.
type Part = Vec<Loop>;

/// A part that is made when it is first wanted.
struct Lazy {
    make: fn() -> Part,
    part: OnceCell<Part>,
    rings: OnceCell<Rings>,
}

impl Lazy {
    fn part(&self) -> &Part {
        self.part.get_or_init(self.make)
    }

    fn rings(&self) -> &Rings {
        self.rings.get_or_init(|| self.part().iter().map(points).collect())
    }
}

/// Makes a worker of a part.
type Worker = fn(&Rc<Lazy>) -> (String, Work);

/// The subject in which Clipper2 opens a part.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Clipper2 {
    Kernel,
    /// It takes more than seconds for it.
    Slow,
}

/// A part by its name, and who opens it beside us and GEOS.
type Row = (&'static str, fn() -> Part, Clipper2, &'static [Worker]);

const ROWS: [Row; 9] = {
    use Clipper2::{Kernel, Slow};
    const OVERLAY: Worker = in_and_out::<Overlay>;
    const OVERLAY_LEFT: Worker = left::<Overlay>;
    [
        (
            "joint of 12 pieces",
            joint,
            Kernel,
            &[OVERLAY, OVERLAY_LEFT, buffer, cavalier, capsules],
        ),
        (
            "smooth, 10,000 chords",
            || smooth(10_000, 0.0),
            Kernel,
            &[OVERLAY, OVERLAY_LEFT, buffer, cavalier],
        ),
        ("smooth, 100,000 chords", || smooth(100_000, 0.0), Slow, &[]),
        ("smooth, 1,000,000 chords", || smooth(1_000_000, 0.0), Slow, &[]),
        ("comb of 1,000 slots", comb, Slow, &[cavalier]),
        ("plate of 500 24-gons", || plate(24), Slow, &[cavalier]),
        ("plate of 500 circles", || plate(0), Slow, &[cavalier]),
        ("noisy, 10,000 chords", || smooth(10_000, 0.005), Kernel, &[cavalier]),
        ("noisy, 100,000 chords", || smooth(100_000, 0.005), Slow, &[]),
    ]
};

/// Everybody in rounds, each where it takes no more than seconds.
pub(crate) fn cases() -> Vec<Case> {
    let geos: [Worker; 2] = [in_and_out::<Geos>, left::<Geos>];
    let clipper: [Worker; 2] = [in_and_out::<Clipper>, left::<Clipper>];
    let case = |(name, make, clipper2, others): Row| {
        let clipper = if clipper2 == Clipper2::Kernel { &clipper[..] } else { &[] };
        let who = [&[ours, fit, offset, check], &geos[..], clipper, others].concat();
        case((name, make), who, Some(CHECK))
    };
    ROWS.into_iter().map(case).collect()
}

/// Clipper2 on all other parts.
pub(crate) fn slow_cases() -> Vec<Case> {
    let slow = ROWS.into_iter().filter(|row| row.2 == Clipper2::Slow);
    slow.map(|row| case((row.0, row.1), vec![ours, in_and_out::<Clipper>], None))
        .collect()
}

/// Opening a part, by whom, and the worker that does what only we do.
fn case(
    (name, make): (&'static str, fn() -> Part),
    who: Vec<Worker>,
    part: Option<&'static str>,
) -> Case {
    let workers = move || {
        let lazy = Rc::new(Lazy { make, part: OnceCell::new(), rings: OnceCell::new() });
        who.iter().map(|worker| worker(&lazy)).collect()
    };
    Case { name, workers: Box::new(workers), part }
}

/// What was opened: its area. How many rings it has may differ where a neck is as wide as the
/// disc, so that only the area is compared.
fn opened(area: f64) -> Answer {
    Answer { count: 1, measure: Some(area) }
}

fn ours(lazy: &Rc<Lazy>) -> (String, Work) {
    let lazy = Rc::clone(lazy);
    let work = move || {
        let closing = close(&void(lazy.part()), RADIUS).expect("it is proved");
        opened(-closing.standing.iter().map(|one| one.outline.area()).sum::<f64>())
    };
    ("spelch, whole".to_owned(), Box::new(work))
}

/// What is around the part, arcs for its chords.
fn void(part: &Part) -> Vec<Loop> {
    part.iter().map(|one| fitted(one).reversed()).collect()
}

/// A stage of ours: there is nothing to compare.
const DONE: Answer = Answer { count: 1, measure: None };

fn fit(lazy: &Rc<Lazy>) -> (String, Work) {
    let lazy = Rc::clone(lazy);
    let work = move || {
        black_box(void(lazy.part()));
        DONE
    };
    ("spelch, the fit alone".to_owned(), Box::new(work))
}

fn offset(lazy: &Rc<Lazy>) -> (String, Work) {
    let (lazy, fitted) = (Rc::clone(lazy), OnceCell::new());
    let work = move || {
        let void = fitted.get_or_init(|| void(lazy.part()));
        black_box(trim(void, Side::Outward, RADIUS).expect("it is proved"));
        DONE
    };
    ("spelch, the offset and its check".to_owned(), Box::new(work))
}

const CHECK: &str = "spelch, the check alone";

fn check(lazy: &Rc<Lazy>) -> (String, Work) {
    let (lazy, made) = (Rc::clone(lazy), OnceCell::new());
    let work = move || {
        let recheck = made.get_or_init(|| {
            let void = void(lazy.part());
            Recheck::of(&void, &trim(&void, Side::Outward, RADIUS).expect("it is proved"))
        });
        recheck.check().expect("it was proved");
        DONE
    };
    (CHECK.to_owned(), Box::new(work))
}

/// A loop with arcs for its chords.
fn fitted(one: &Loop) -> Loop {
    let pieces = one.pieces();
    if pieces.len() <= 100 || pieces.iter().any(|piece| piece.radius().is_some()) {
        return one.clone();
    }
    let mut points: Vec<Point> = vec![pieces[0].from()];
    points.extend(pieces.iter().map(Piece::to));
    let (mut made, mut at) = (Vec::new(), 0);
    for run in arcs_of(&points, TOLERANCE, Ends::default()) {
        made.extend_from_slice(&pieces[at..run.from]);
        made.extend(run.pieces);
        at = run.to;
    }
    made.extend_from_slice(&pieces[at..]);
    Loop::new(made)
}

/// Another library's opening: in and out.
fn in_and_out<P: Polygons>(lazy: &Rc<Lazy>) -> (String, Work) {
    let lazy = Rc::clone(lazy);
    let work = move || opened(open(&P::of(lazy.rings())).area());
    (format!("{}, in and out", P::NAME), Box::new(work))
}

/// What another library's opening leaves of the part: in, out and the difference. Whose wall is
/// left, it does not tell.
fn left<P: Polygons>(lazy: &Rc<Lazy>) -> (String, Work) {
    let lazy = Rc::clone(lazy);
    let work = move || {
        let part = P::of(lazy.rings());
        let left = part.without(&open(&part));
        opened(part.area() - left.area())
    };
    (format!("{}, in, out and difference", P::NAME), Box::new(work))
}

fn open<P: Polygons>(part: &P) -> P {
    part.offset(-RADIUS, TOLERANCE).offset(RADIUS, TOLERANCE)
}

fn polygon(rings: &Rings) -> geo::Polygon<f64> {
    let mut lines = rings
        .iter()
        .map(|ring| ring.iter().map(|p| (p.x, p.y)).collect::<geo::LineString>());
    let outside = lines.next().expect("an outside");
    geo::Polygon::new(outside, lines.collect())
}

fn buffer(lazy: &Rc<Lazy>) -> (String, Work) {
    use geo::algorithm::buffer::{Buffer, BufferStyle, LineJoin};
    let lazy = Rc::clone(lazy);
    let work = move || {
        let style = |by: f64| {
            BufferStyle::new(by).line_join(LineJoin::Round(turn(RADIUS, TOLERANCE)))
        };
        let inner = polygon(lazy.rings()).buffer_with_style(style(-RADIUS));
        opened(inner.buffer_with_style(style(RADIUS)).unsigned_area())
    };
    ("geo, buffer in and out".to_owned(), Box::new(work))
}

fn capsules(lazy: &Rc<Lazy>) -> (String, Work) {
    let lazy = Rc::clone(lazy);
    let work = move || {
        // Segments of a half turn that stray by a micrometre.
        let inner = polygon(lazy.rings()).offset_with_arc_segments(-RADIUS, 64);
        let outer = inner.and_then(|inner| inner.offset_with_arc_segments(RADIUS, 64));
        opened(outer.expect("it is an offset").unsigned_area())
    };
    ("geo-offset, in and out".to_owned(), Box::new(work))
}

fn cavalier(lazy: &Rc<Lazy>) -> (String, Work) {
    let lazy = Rc::clone(lazy);
    let work = move || {
        let line = |one: &Loop| {
            let mut line = pline::Polyline::new_closed();
            for piece in one.pieces() {
                let bulge = match *piece {
                    Piece::Line { .. } => 0.0,
                    Piece::Arc { sweep, .. } => (sweep / 4.0).tan(),
                };
                line.add(piece.from().x, piece.from().y, bulge);
            }
            line
        };
        let mut options = ShapeOffsetOptions::new();
        (options.pos_equal_eps, options.offset_dist_eps) = (1e-9, 1e-8);
        options.slice_join_eps = 1e-8;
        let part = Plines::from_plines(lazy.part().iter().map(|one| line(&fitted(one))));
        let inner = part.parallel_offset(RADIUS, &options);
        let outer = inner.parallel_offset(-RADIUS, &options);
        let all = outer.ccw_plines.iter().chain(&outer.cw_plines);
        opened(all.map(|one| one.polyline.area()).sum())
    };
    ("cavalier_contours, arcs fitted by us, in and out".to_owned(), Box::new(work))
}

/// A loop's points, arcs as chords within the tolerance.
fn points(one: &Loop) -> Vec<Point> {
    let mut points = Vec::new();
    for piece in one.pieces() {
        let steps = match *piece {
            Piece::Line { .. } => 1.0,
            Piece::Arc { from, centre, sweep, .. } => {
                let turn = (8.0 * TOLERANCE / from.distance(centre)).sqrt();
                (sweep.abs() / turn).ceil()
            }
        };
        let mut step = 0.0;
        while step < steps {
            points.push(piece.at(step / steps));
            step += 1.0;
        }
    }
    points
}

/// Pseudo-random shares, the same every time.
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let share = f64::from((self.0 >> 33) as u32) / f64::from(1u32 << 31);
        low + (high - low) * share
    }
}

/// A wavy ring, its points off by up to `noise`.
fn smooth(chords: u32, noise: f64) -> Part {
    let mut dice = Dice(12_345);
    let place = |index: u32| {
        let turn = TAU * f64::from(index) / f64::from(chords);
        let wave = |times: f64, shift: f64| (times * turn + shift).sin();
        let radius =
            100.0 + 8.0 * wave(7.0, 0.0) + 3.0 * wave(23.0, 1.0) + 0.8 * wave(61.0, 2.0);
        Point::default() + Vector::at_angle(turn) * (radius + dice.between(-noise, noise))
    };
    vec![Loop::polygon(&(0..chords).map(place).collect::<Vec<_>>())]
}

/// The points of a wavy ring.
pub(crate) fn ring_of(chords: u32, noise: f64) -> Rings {
    smooth(chords, noise).iter().map(points).collect()
}

/// A joint: lines, two quarter rounds and a half round.
fn joint() -> Part {
    let at = Point::new;
    let corners = [
        (0.0, 0.0, 0.0),
        (90.0, 0.0, TAU / 4.0),
        (100.0, 10.0, 0.0),
        (100.0, 60.0, 0.0),
        (70.0, 60.0, 0.0),
        (70.0, 40.0, 0.0),
        (40.0, 40.0, 0.0),
        (40.0, 60.0, 0.0),
        (10.0, 60.0, TAU / 4.0),
        (0.0, 50.0, 0.0),
        (0.0, 45.0, -TAU / 2.0),
        (0.0, 15.0, 0.0),
    ];
    let next = corners.iter().cycle().skip(1);
    let piece = |(a, b): (&(f64, f64, f64), &(f64, f64, f64))| {
        let (from, to, sweep) = (at(a.0, a.1), at(b.0, b.1), a.2);
        if sweep.abs() <= 0.0 {
            return Piece::line(from, to);
        }
        let rise = 0.5 / (sweep / 2.0).tan();
        let centre = from.middle(to) + (to - from).left() * rise;
        Piece::Arc { from, to, centre, sweep }
    };
    vec![Loop::new(corners.iter().zip(next).map(piece).collect())]
}

/// A comb of slots 3 mm wide and 20 mm deep.
fn comb() -> Part {
    let at = Point::new;
    let mut points = vec![at(0.0, 0.0), at(8000.0, 0.0)];
    for tooth in (0..1000).rev() {
        let x = 8.0 * f64::from(tooth);
        points.extend([
            at(x + 8.0, 30.0),
            at(x + 3.0, 30.0),
            at(x + 3.0, 10.0),
            at(x, 10.0),
        ]);
    }
    vec![Loop::polygon(&points)]
}

/// A plate with 500 openings of different size: polygons of so many sides, or circles for none.
fn plate(sides: u32) -> Part {
    let at = Point::new;
    let mut dice = Dice(77);
    let corners = [at(0.0, 0.0), at(1000.0, 0.0), at(1000.0, 520.0), at(0.0, 520.0)];
    let mut part = vec![Loop::polygon(&corners)];
    for index in 0..500u32 {
        let (column, row) = (f64::from(index / 20), f64::from(index % 20));
        let centre = at(20.0 + 40.0 * column, 14.0 + 25.5 * row);
        let radius = dice.between(2.0, 11.0);
        let corner = |side: u32| {
            centre + Vector::at_angle(-TAU * f64::from(side) / f64::from(sides)) * radius
        };
        part.push(match sides {
            0 => Loop::opening(centre, radius),
            _ => Loop::polygon(&(0..sides).map(corner).collect::<Vec<_>>()),
        });
    }
    part
}

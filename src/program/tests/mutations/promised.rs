//! Programs that do what another job asks for: every difference must be caught.

use super::base::Base;
use super::*;
use crate::geom::Bounds;
use crate::prove::{Hold, Relief};
use crate::shop::{KeepOut, LapWay};

pub(super) const OPERATORS: [(&str, Operator); 9] = [
    ("a finishing lap that is to climb", to_climb),
    ("solid wood whose grain asks for a climb", grain_across),
    ("a corner to be relieved", relieved),
    ("a promise of other tabs", other_tabs),
    ("another end mill", other_mill),
    ("another zero, blank or clearance", other_blank),
    ("the drawing mirrored or turned", drawing_turned),
    ("something loose", loose_piece),
    ("a clamp in the way", clamp_in_the_way),
];

/// Every base has edges on both sides of any grain: a lap that goes round in one is wrong on some.
fn grain_across(base: &Base) -> Vec<Mutant> {
    let with = |grain: f64| {
        base.promised(&format!("grain at {grain} degrees"), move |promise| {
            promise.machine.allowance = Mm::of(1.0);
            let machine = promise.machine.clone();
            for pledge in &mut promise.loops {
                *pledge = pledge.clone().in_wood(grain, &machine);
            }
        })
    };
    [10.0, 25.0, 40.0, 50.0, 65.0, 100.0, 125.0, 140.0, 155.0].map(with).into()
}

/// The finishing laps of all loops, or of one, that go round conventionally.
fn to_climb(base: &Base) -> Vec<Mutant> {
    let climb = |only: Option<usize>| {
        base.promised(&format!("loop {only:?} is to climb"), move |promise| {
            promise.machine.finish = LapWay::Climb;
            let loops = promise.loops.iter_mut().enumerate();
            let meant = loops.filter(|(index, _)| only.is_none_or(|only| only == *index));
            for (_, pledge) in meant {
                assert_eq!(pledge.lap, Some(LapWay::Conventional), "there is a lap");
                pledge.lap = Some(LapWay::Climb);
            }
        })
    };
    [None, Some(0), Some(1)].map(climb).into()
}

/// A corner that the program leaves round, or one in wood that it never cuts.
fn relieved(base: &Base) -> Vec<Mutant> {
    let at = |x: f64, y: f64| {
        base.promised("a relief", move |promise| {
            let half = std::f64::consts::FRAC_PI_4;
            let away = Vector::at_angle(half);
            let corner = Point::new(x, y);
            promise.reliefs.push(Relief { corner, away, half, tool: Tool::EndMill });
        })
    };
    vec![at(60.0, 60.0), at(57.0, 57.0), at(55.0, 55.0)]
}

fn other_tabs(base: &Base) -> Vec<Mutant> {
    let with = |more: i32, neck_by: f64| {
        base.promised(&format!("{more} more, necks {neck_by} longer"), move |promise| {
            for pledge in &mut promise.loops {
                if let Hold::Tabs { count, neck } = &mut pledge.hold {
                    *count = count.saturating_add_signed(more);
                    *neck += neck_by;
                }
            }
        })
    };
    vec![with(1, 0.0), with(-1, 0.0), with(0, 1.0), with(0, -1.5)]
}

fn other_mill(base: &Base) -> Vec<Mutant> {
    let with = |mm: f64| {
        base.promised(&format!("a mill of {mm}"), move |promise| {
            promise.machine.end_mill = Diameter::new(Mm::of(mm)).expect("more than zero");
        })
    };
    [5.5, 5.9, 5.95, 6.05, 6.1, 6.5].map(with).into()
}

fn other_blank(base: &Base) -> Vec<Mutant> {
    let zero = |x: f64, y: f64| {
        base.promised(&format!("zero moved by {x}, {y}"), move |promise| {
            promise.work_zero = promise.work_zero + Vector::new(x, y);
        })
    };
    let smaller = |by: f64| {
        base.promised("a smaller blank", move |promise| {
            promise.blank = promise.blank.grown(-by);
        })
    };
    vec![
        zero(1.0, 0.0),
        zero(0.0, -1.0),
        zero(0.1, 0.1),
        smaller(16.0),
        smaller(20.0),
        smaller(40.0),
        base.promised("a thicker blank", |promise| promise.thick += 0.5),
        base.promised("a thinner blank", |promise| promise.thick -= 0.5),
        base.promised("higher clamps", |promise| promise.machine.clear = Mm::of(20.0)),
        base.promised("Z zero elsewhere", |promise| {
            promise.machine.z_zero = ZZero::Table;
        }),
    ]
}

/// The loops turned by a rule that keeps lines lines and arcs arcs.
fn turned(promise: &mut Promise, turn: &dyn Fn(Point) -> Point, mirrors: bool) {
    for pledge in &mut promise.loops {
        let sign = if mirrors { -1.0 } else { 1.0 };
        let pieces = pledge.drawn.pieces().iter().map(|piece| match *piece {
            Piece::Line { from, to } => Piece::line(turn(from), turn(to)),
            Piece::Arc { from, to, centre, sweep } => Piece::Arc {
                from: turn(from),
                to: turn(to),
                centre: turn(centre),
                sweep: sign * sweep,
            },
        });
        let ring = Loop::new(pieces.collect());
        pledge.drawn = if mirrors { ring.reversed() } else { ring };
    }
}

fn drawing_turned(base: &Base) -> Vec<Mutant> {
    let size = base.promise.blank.high - base.promise.blank.low;
    let low = base.promise.blank.low;
    let flip_x = move |p: Point| Point::new(2.0 * low.x + size.x - p.x, p.y);
    let flip_y = move |p: Point| Point::new(p.x, 2.0 * low.y + size.y - p.y);
    let by = move |p: Point| p + Vector::new(0.5, 0.0);
    vec![
        base.promised("left for right", move |promise| turned(promise, &flip_x, true)),
        base.promised("far for near", move |promise| turned(promise, &flip_y, true)),
        base.promised("half round", move |promise| {
            turned(promise, &|p| flip_x(flip_y(p)), false);
        }),
        base.promised("moved by 0.5 mm", move |promise| turned(promise, &by, false)),
    ]
}

/// Openings promised to be cleared that hold a plug, and islands in cleared openings.
fn loose_piece(base: &Base) -> Vec<Mutant> {
    let clear = |promise: &mut Promise| {
        for pledge in &mut promise.loops {
            if pledge.drawn.area() < 0.0 {
                pledge.hold = Hold::Cleared;
            }
        }
    };
    let island = |share: f64| {
        base.promised("an island in what is cleared", move |promise| {
            clear(promise);
            let opening = promise.loops.iter().find(|pledge| pledge.drawn.area() < 0.0);
            let within = opening.expect("there is one").drawn.bounds();
            let ring = Loop::opening(within.centre(), share * within.width()).reversed();
            let pledge = Pledge::new(ring, 0.0, &promise.machine);
            promise.loops.push(pledge);
        })
    };
    vec![base.promised("a plug", clear), island(0.1), island(0.2)]
}

/// Clamps beside the outline that the end mill just clears and the collet nut does not.
fn clamp_in_the_way(base: &Base) -> Vec<Mutant> {
    let by = base.promise.work_zero - Point::default();
    let outline = &base.promise.loops[0].drawn;
    let clamp = |share: f64| {
        let on = outline.length() * share;
        let beside =
            outline.at(on) + outline.direction_after(on).right() * 9.0 + by * -1.0;
        base.promised("a clamp", move |promise| {
            promise.machine.keep_outs.push(KeepOut {
                name: "clamp".to_owned(),
                area: Bounds::EMPTY.with(beside).grown(1.0),
                high: Mm::of(30.0),
            });
        })
    };
    [0.05, 0.3, 0.55].map(clamp).into()
}

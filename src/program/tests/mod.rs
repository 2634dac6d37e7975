//! Programs for outlines by hand, proved, and judged again by other means.

mod adrift;

mod axes;

mod choices;

mod entry;

mod faults;

mod foreign;

mod limits;

mod mutations;

mod outlines;

mod planted;

mod peers;

mod random;

mod solid;

mod ways;

use super::*;
use crate::geom::shapes::{notched, polygon};
use crate::geom::{Loop, Piece, Point, Span, Vector};
use crate::outline::{Edge, LoopKind, Outline};
use crate::plan::Part;
use crate::post::dialect;
use crate::read::{PostChoice, Role, WorkZero, ZZero};
use crate::shop::{Stock, Template};
use crate::units::{Diameter, Mm, Paper};
use std::f64::consts::PI;

/// A circle, clockwise: an opening.
pub(super) fn hole(x: f64, y: f64, radius: f64) -> Loop {
    Loop::opening(Point::new(x, y), radius)
}

/// A lobe against a straight edge: a cusp with no width at its end.
pub(super) fn lobe_against_a_wall() -> Loop {
    let line = |a: (f64, f64), b: (f64, f64)| {
        Piece::line(Point::new(a.0, a.1), Point::new(b.0, b.1))
    };
    let (from, to) = (Point::new(250.0, 150.0), Point::new(150.0, 150.0));
    Loop::new(vec![
        line((50.0, 50.0), (250.0, 50.0)),
        line((250.0, 50.0), (250.0, 150.0)),
        Piece::Arc { from, to, centre: Point::new(200.0, 150.0), sweep: PI },
        line((150.0, 150.0), (150.0, 200.0)),
        line((150.0, 200.0), (50.0, 200.0)),
        line((50.0, 200.0), (50.0, 50.0)),
    ])
}

pub(super) fn part(loops: Vec<Loop>) -> Part {
    let kinds = loops.iter().map(|ring| {
        if ring.area() < 0.0 { LoopKind::Opening } else { LoopKind::Outside }
    });
    let edges = loops.iter().enumerate().map(|(on, ring)| Edge {
        span: Span { on, from: 0.0, length: ring.length() },
        role: Role::Rout,
        name: None,
        side: None,
    });
    let outline = Outline {
        name: "part".to_owned(),
        kinds: kinds.collect(),
        edges: edges.collect(),
        drawn: loops.clone(),
        loops: loops.clone(),
        deviation: 0.0,
        mirrored: false,
    };
    Part {
        guide: outline.clone(),
        outline,
        template: loops,
        set_from: None,
        shared: None,
        template_offset: 0.0,
        count: 1,
        reach: Vec::new(),
        light: Vec::new(),
        finished: Vec::new(),
    }
}

pub(super) fn plan(parts: Vec<Part>) -> Plan {
    Plan {
        parts,
        set_ups: Vec::new(),
        stands: Vec::new(),
        stretches: Vec::new(),
        passes: Vec::new(),
        hand: Vec::new(),
        saw: Vec::new(),
        sawn: Vec::new(),
        thick: Vec::new(),
        prepare: Vec::new(),
        trial: None,
        short_grain: Vec::new(),
        least_cut_length: None,
        cost: crate::plan::Cost { left: 0.0, care: 0.0, minutes: 0.0, against: 0.0 },
        minutes: 0.0,
        notes: Vec::new(),
    }
}

pub(super) fn machine(end_mill: f64) -> Machine {
    let end_mill = Diameter::new(Mm::of(end_mill)).expect("more than zero");
    Machine { feed: 1200.0, plunge: 300.0, rpm: 16000.0, ..Machine::new(end_mill) }
}

pub(super) fn shop(machine: Machine) -> Shop {
    Shop {
        name: "test".to_owned(),
        paper: Paper::MM,
        bits: Vec::new(),
        stations: Vec::new(),
        stock: Stock::default(),
        template: Template {
            thick: Mm::of(12.0),
            moves: false,
            run_on: Mm::of(50.0),
            extras: Vec::new(),
            made_for: None,
        },
        leave: Mm::of(1.5),
        leave_end_grain: Mm::of(0.8),
        count: 1,
        reference: crate::shop::Reference { far: false, right: None, left_handed: false },
        sheets: crate::read::SheetWish::default(),
        files: Vec::new(),
        machine: Some(machine),
        joint: false,
        shop_rules: Vec::new(),
    }
}

pub(super) fn post(name: &str) -> Dialect {
    dialect(&PostChoice::Named(name.to_owned())).expect("it is built in").value
}

/// The program for one part with a 6 mm mill, or why not.
fn program_of(loops: Vec<Loop>, name: &str) -> Result<ProvedProgram, Failure> {
    let shop = shop(machine(6.0));
    template_program(&plan(vec![part(loops)]), &shop, &post(name), "abc123")
}

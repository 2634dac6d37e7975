//! Outlines, parts and a shop for the tests of this room.

use super::Part;
use super::run_on::guide;
use crate::geom::shapes::{Dice, is_simple, star};
use crate::geom::{Loop, Piece, Point, Span};
use crate::outline::{Edge, LoopKind, Outline};
use crate::read::{Role, Station};
use crate::shop::{Bit, Guide, Shop, Stock, Template};
use crate::units::{Diameter, Mm, Paper};

/// An outside loop of pieces, one edge a piece, with these roles.
pub(super) fn outline(pieces: Vec<Piece>, roles: &[Role]) -> Outline {
    outlines(vec![(pieces, roles)])
}

/// Loops of pieces, one edge a piece, with these roles: the outside first, then openings.
pub(super) fn outlines(loops: Vec<(Vec<Piece>, &[Role])>) -> Outline {
    let mut edges = Vec::new();
    let (mut rings, mut kinds) = (Vec::new(), Vec::new());
    for (on, (pieces, roles)) in loops.into_iter().enumerate() {
        let ring = Loop::new(pieces);
        for (index, &role) in roles.iter().enumerate() {
            let (from, to) = (ring.start_of(index), ring.start_of(index + 1));
            let span = Span { on, from, length: to - from };
            edges.push(Edge { span, role, name: None, side: None });
        }
        kinds.push(if on == 0 { LoopKind::Outside } else { LoopKind::Opening });
        rings.push(ring);
    }
    Outline {
        name: "part".to_owned(),
        edges,
        kinds,
        drawn: rings.clone(),
        loops: rings,
        deviation: 0.0,
        mirrored: false,
    }
}

/// The polygon through these points.
pub(super) fn polygon(points: &[(f64, f64)], roles: &[Role]) -> Outline {
    outline(sides(points), roles)
}

/// The sides of the polygon through these points.
pub(super) fn sides(points: &[(f64, f64)]) -> Vec<Piece> {
    let points: Vec<Point> = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
    Loop::polygon(&points).pieces().to_vec()
}

/// A circle of two half arcs: counter-clockwise, or clockwise for an opening.
pub(super) fn circle(centre: Point, radius: f64, turn: f64) -> Vec<Piece> {
    let right = Point::new(centre.x + radius, centre.y);
    let first = Piece::arc_about(centre, right, turn * std::f64::consts::PI);
    let second = Piece::Arc {
        from: first.to(),
        to: right,
        centre,
        sweep: turn * std::f64::consts::PI,
    };
    vec![first, second]
}

/// A rail 600 long with an arch of rise 35 over 480 in its near edge, only the arch routed.
pub(super) fn apron() -> Outline {
    let radius = (240.0 * 240.0 + 35.0 * 35.0) / 70.0;
    let centre = Point::new(300.0, 35.0 - radius);
    let (from, to) = (Point::new(60.0, 0.0), Point::new(540.0, 0.0));
    let sweep = (from - centre).turn_to(to - centre);
    let at = Point::new;
    let (right, far) = (at(600.0, 0.0), at(600.0, 90.0));
    let pieces = vec![
        Piece::line(at(0.0, 0.0), from),
        Piece::Arc { from, to, centre, sweep },
        Piece::line(to, right),
        Piece::line(right, far),
        Piece::line(far, at(0.0, 90.0)),
        Piece::line(at(0.0, 90.0), at(0.0, 0.0)),
    ];
    let kept = Role::TrueAlready;
    outline(pieces, &[kept, Role::Rout, kept, kept, kept, kept])
}

/// A random loop that crosses nowhere, so many times as big as the kernel's own.
pub(super) fn random(dice: &mut Dice, scale: f64) -> Vec<Piece> {
    loop {
        let ring = star(dice);
        if is_simple(&ring) {
            return ring.pieces().iter().map(|piece| scaled(piece, scale)).collect();
        }
    }
}

fn scaled(piece: &Piece, scale: f64) -> Piece {
    let far = |at: Point| Point::new(at.x * scale, at.y * scale);
    match *piece {
        Piece::Line { from, to } => Piece::line(far(from), far(to)),
        Piece::Arc { from, to, centre, sweep } => {
            Piece::Arc { from: far(from), to: far(to), centre: far(centre), sweep }
        }
    }
}

/// A part of this outline with run-ons of 50 mm, no reach yet.
pub(super) fn part(outline: &Outline) -> Part {
    let (guide, _) = guide(outline, 50.0, Paper::MM);
    Part {
        template: guide.loops.clone(),
        finished: outline.loops.clone(),
        outline: outline.clone(),
        guide,
        set_from: None,
        shared: None,
        template_offset: 0.0,
        count: 1,
        reach: Vec::new(),
        light: Vec::new(),
    }
}

/// A shop with these bits, by diameter, all with the bearing by the shank.
pub(super) fn shop(grain: f64, bits: &[f64]) -> Shop {
    let bit = |(index, &across): (usize, &f64)| Bit {
        number: index + 1,
        text: format!("{across}mm pattern"),
        cutter: across_of(across),
        bearing: across_of(across),
        guides: vec![Guide::Shank],
        cut_length: None,
        reach: None,
        marked_speed: None,
        body: crate::shop::BitBody::default(),
    };
    Shop {
        name: "part".to_owned(),
        paper: Paper::MM,
        bits: bits.iter().enumerate().map(bit).collect(),
        stations: vec![Station::Hand],
        stock: Stock { thick: Some(Mm::of(20.0)), grain, ..Stock::default() },
        template: Template {
            thick: Mm::of(12.7),
            moves: false,
            run_on: Mm::of(50.0),
            extras: Vec::new(),
            made_for: None,
        },
        leave: Mm::of(1.5875),
        leave_end_grain: Mm::of(0.8),
        count: 1,
        reference: crate::shop::Reference { far: false, right: None, left_handed: false },
        sheets: crate::read::SheetWish::default(),
        files: Vec::new(),
        machine: None,
        joint: false,
        shop_rules: Vec::new(),
    }
}

fn across_of(mm: f64) -> Diameter {
    Diameter::new(Mm::of(mm)).expect("a bit has a width")
}

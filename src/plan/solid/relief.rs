//! Inside corners that the job calls hidden, and which the mill relieves: it goes on along the
//! bisector until it passes through the corner, so that a square corner of another part fits.

use super::super::{Part, Reason, Stretch};
use crate::diag::{Failure, Place, Problem, Problems, Source, Weight};
use crate::geom::{Loop, Piece, Point, Vector};
use crate::outline::Outline;
use crate::prove::{Pledge, Relief};
use crate::reach::SiteKind;
use crate::read::Hidden;
use crate::shop::{Machine, Shop, defaults};
use crate::units::Paper;
use std::f64::consts::PI;

/// Two places nearer than this are one, in mm (geometry: the fit of a drawing's curves).
const SAME: f64 = 0.01;
/// An inside corner turns by more than this, in radians: 10 degrees, from memory; a curve drawn
/// in short lines has many smaller turns.
const LEAST_TURN: f64 = 0.175;

/// Whether a relief is that of the corner here.
pub(super) fn is_at(relief: &Relief, at: Point) -> bool {
    relief.corner.distance(at) < SAME
}

/// The reliefs of a part: by its drawing and what the job says, whatever a path does.
pub fn reliefs(outline: &Outline, machine: &Machine) -> Vec<Relief> {
    let wished =
        |at: Point| machine.relieve.iter().any(|(which, _)| is_meant(which, at, outline));
    let all = outline.loops.iter().enumerate().flat_map(|(on, ring)| {
        let tool = Pledge::new(outline.drawn[on].clone(), 0.0, machine).tool;
        inside_corners(ring)
            .filter(move |(at, ..)| wished(*at))
            .map(move |(corner, away, half)| Relief { corner, away, half, tool })
    });
    all.collect()
}

/// Whether a wish means the corner here: it names an edge that ends in it, or its place.
fn is_meant(which: &Hidden, corner: Point, outline: &Outline) -> bool {
    match which {
        Hidden::Corner(at) => at.distance(corner) < SAME,
        Hidden::Edge(name) => outline.edges.iter().any(|edge| {
            let ring = &outline.loops[edge.span.on];
            let ends = [edge.span.from, edge.span.to()];
            edge.name.as_ref() == Some(name)
                && ends.iter().any(|&end| ring.at(end).distance(corner) < SAME)
        }),
    }
}

/// The inside corners of a loop: each with its bisector away from the part, and half of the
/// angle between its edges.
fn inside_corners(ring: &Loop) -> impl Iterator<Item = (Point, Vector, f64)> + '_ {
    (0..ring.pieces().len()).filter_map(|index| {
        let turn = ring.turn(index);
        let (before, after) = (&ring.pieces()[ring.before(index)], &ring.pieces()[index]);
        let out = before.direction(1.0).right() + after.direction(0.0).right();
        let away = out.unit().filter(|_| turn < -LEAST_TURN)?;
        Some((after.from(), away, f64::midpoint(PI, turn)))
    })
}

/// The reliefs of a part, each with room for it.
///
/// # Errors
/// Names each wish that no inside corner fits, and each corner without room.
pub(super) fn with_room(
    part: &Part,
    machine: &Machine,
    paper: Paper,
) -> Result<Vec<Relief>, Failure> {
    let outline = &part.outline;
    let found = reliefs(outline, machine);
    let mut wrong = Problems::new();
    for (which, place) in &machine.relieve {
        if !found.iter().any(|relief| is_meant(which, relief.corner, outline)) {
            wrong.push(nothing_there(which).at(place.clone()));
        }
    }
    for relief in &found {
        let at = relief.corner;
        let place = Place::whole(Source::Drawing, "part").at(at.x, at.y);
        wrong.extend(why_not(relief, part, (machine, paper)).map(|it| it.at(place)));
    }
    if wrong.is_empty() { Ok(found) } else { Err(Failure::Input(wrong)) }
}

fn nothing_there(which: &Hidden) -> Problem {
    let found = match which {
        Hidden::Edge(name) => format!("no inside corner lies at an edge called `{name}`"),
        Hidden::Corner(_) => "there is no inside corner at this place".to_owned(),
    };
    let hint =
        "name an edge that ends in an inside corner, or give the corner's place as drawn";
    Problem::stop("relief-nowhere", found, hint)
}

/// What stands against a relief: the mill does not get into the corner, its edges are not
/// straight, or too little wood stands behind it.
fn why_not(
    relief: &Relief,
    part: &Part,
    (machine, paper): (&Machine, Paper),
) -> Option<Problem> {
    let radius = machine.end_mill.radius();
    let wall = defaults::RECESS_WALL.value;
    let sites = part.reach.iter().flatten().flat_map(|reach| &reach.sites);
    let mut here = sites.filter(|site| is_at(relief, site.at));
    let touches = here.all(|site| site.kind == SiteKind::InsideCorner);
    let reaches = radius / libm::tan(relief.half);
    let pieces = || part.outline.loops.iter().flat_map(Loop::pieces);
    let own = |piece: &&Piece| is_at(relief, piece.from()) || is_at(relief, piece.to());
    let straight = pieces().filter(own).all(|piece| {
        matches!(piece, Piece::Line { .. }) && reaches <= piece.length() + SAME
    });
    let [_, end] = relief.stem(radius);
    let thin = pieces()
        .filter(|piece| !own(piece))
        .any(|piece| piece.distance(end) < radius + wall);
    let found = if !touches || !straight {
        "this inside corner cannot be relieved: the mill does not touch two straight edges there"
            .to_owned()
    } else if thin {
        format!(
            "this inside corner cannot be relieved: less than {} would stand beside the relief",
            paper.measured(wall)
        )
    } else {
        return None;
    };
    let hint = "leave it round for the chisel, or use a narrower end mill";
    Some(Problem::stop("relief-no-room", found, hint))
}

/// The walls that the mill touches only as it relieves their corner.
pub(super) fn settle(
    stretches: &mut [Stretch],
    parts: &[Part],
    relieved: &[Vec<Relief>],
) {
    for stretch in stretches.iter_mut().filter(|stretch| !stretch.touched) {
        let ring = &parts[stretch.part].outline.loops[stretch.span.on];
        let ends = [stretch.span.from, stretch.span.to()].map(|along| ring.at(along));
        let at_corner = |relief: &Relief| ends.iter().any(|&end| is_at(relief, end));
        if relieved[stretch.part].iter().any(at_corner) {
            stretch.why = Reason::Relieved;
        }
    }
}

/// Where corners are relieved, and how far past the line.
pub(super) fn notes(
    relieved: &[Vec<Relief>],
    (parts, shop, machine): (&[Part], &Shop, &Machine),
) -> Problems {
    let radius = machine.end_mill.radius();
    let mut notes = Problems::new();
    let mut number = 0;
    for (part, reliefs) in parts.iter().zip(relieved) {
        let sides = shop.reference.of(&part.outline);
        for relief in reliefs {
            let (end, edge) = sides.sizes(part.outline.bounds(), relief.corner);
            number += 1;
            let found = format!(
                "relief {number}: at the inside corner {} from the end and {} from the edge the \
                 mill cuts {} past both lines, as the job calls it hidden",
                shop.paper.length(end),
                shop.paper.length(edge),
                shop.paper.measured(relief.past(radius))
            );
            let hint = "a square corner fits there; no chisel is needed";
            let place = Place::whole(Source::Drawing, "part");
            let place = place.at(relief.corner.x, relief.corner.y);
            notes.push(
                Problem::new("corner-relieved", Weight::Hint, found, hint).at(place),
            );
        }
    }
    notes
}

//! The edges of a loop with their roles: drawn ones first, then what was asked for by name or
//! by the side that an edge faces.
//!
//! ```text
//!           far               an edge goes from corner to corner, or to where name or role change;
//!         .-----.             it faces the side within 45 degrees of the way square to its chord
//!    left |      \ right
//!         '-------'           a run that turns much is asked stroke by stroke
//!           near
//! ```
//!
//! Geometry; from what turn on a run has no one side: from memory.

use super::nest::Nest;
use super::ring::{Bit, ShapedRing};
use super::strand::Report;
use super::{Edge, LoopKind, near};
use crate::diag::{Problem, Weight};
use crate::geom::{Loop, SMOOTH_TURN, Span, Vector};
use crate::read::{EdgeRef, Role, RoleWish, Side};
use crate::units::Paper;
use std::collections::BTreeSet;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// A run or a stroke that turns more than this in all, in radians, has no one side that it
/// faces: 60 degrees, from memory.
const GENTLE: f64 = 1.047;
/// Rounding of an angle of 45 degrees, in radians.
const ANGLE_ROUNDING: f64 = 1e-9;
/// The sides, each with the angle of the way square to it and outwards, in radians.
const SIDES: [(Side, f64); 4] = [
    (Side::Left, 2.0 * FRAC_PI_2),
    (Side::Right, 0.0),
    (Side::Near, -FRAC_PI_2),
    (Side::Far, FRAC_PI_2),
];

/// What one piece of a loop is asked to be.
#[derive(Debug, Clone, Default)]
struct Asked {
    faces: Option<Side>,
    role: Option<Role>,
}

/// The roles asked for on the pieces of every ring of one part.
#[derive(Debug)]
pub(super) struct Roles {
    asked: Vec<Vec<Asked>>,
}

/// Works out the roles for every part; a wish that matches nothing in any part is refused.
pub(super) fn roles(
    parts: &[Nest],
    wishes: &[RoleWish],
    report: &mut Report,
) -> Vec<Roles> {
    let mut roles: Vec<Roles> = parts.iter().map(facing).collect();
    for wish in wishes {
        let near = match wish.which {
            EdgeRef::At(at) => match near::edge_near(parts, at, report.paper) {
                Ok(near) => Some(near),
                Err(problem) => {
                    report.stop(problem.at(wish.place.clone()));
                    continue;
                }
            },
            EdgeRef::Side(_) | EdgeRef::Name(_) => None,
        };
        let mut matched = 0;
        let mut fixed = 0;
        for (part, (nest, roles)) in parts.iter().zip(&mut roles).enumerate() {
            for (on, ((_, ring), asked)) in nest.iter().zip(&mut roles.asked).enumerate()
            {
                for (index, (bit, asked)) in ring.bits().iter().zip(asked).enumerate() {
                    let is_near = near.as_ref().map(|near| near.has(part, on, index));
                    if !is_near.unwrap_or_else(|| is_meant(&wish.which, bit, asked)) {
                        continue;
                    }
                    matched += 1;
                    match bit.strand.role {
                        Some(role) if role != wish.role => fixed += 1,
                        _ => asked.role = Some(wish.role),
                    }
                }
            }
        }
        if matched == 0 {
            report.stop(nothing_matches(wish, (parts, &roles), report.paper));
        } else if matched == fixed {
            report.note(has_its_role(wish, report.paper));
        }
    }
    roles
}

/// Whether a piece is one that is called so.
fn is_meant(which: &EdgeRef, bit: &Bit<'_>, asked: &Asked) -> bool {
    match which {
        EdgeRef::Side(side) => asked.faces == Some(*side),
        EdgeRef::Name(name) => bit.strand.name.as_ref() == Some(name),
        EdgeRef::At(_) => false,
    }
}

/// What a person may call an edge.
fn written(which: &EdgeRef, paper: Paper) -> String {
    match which {
        EdgeRef::Side(side) => side.word().to_owned(),
        EdgeRef::Name(name) => name.clone(),
        EdgeRef::At(at) => format!("the edge at {}", paper.point((at.x, at.y))),
    }
}

/// A wish that no edge answers to, and what edges there are.
fn nothing_matches(
    wish: &RoleWish,
    (parts, roles): (&[Nest], &[Roles]),
    paper: Paper,
) -> Problem {
    let mut names: Vec<String> = Vec::new();
    for (side, _) in SIDES {
        let faces = |asked: &Asked| asked.faces == Some(side);
        if roles.iter().flat_map(|one| one.asked.iter().flatten()).any(faces) {
            names.push(side.word().to_owned());
        }
    }
    let rings = parts.iter().flatten();
    let named =
        rings.flat_map(|(_, ring)| ring.parts.iter().map(|part| &part.strand.name));
    names.extend(named.flatten().cloned().collect::<BTreeSet<String>>());
    let found = match &wish.which {
        EdgeRef::Side(_) => {
            format!("no edge of the outside faces `{}`", written(&wish.which, paper))
        }
        EdgeRef::Name(_) | EdgeRef::At(_) => {
            format!("no edge is called `{}`", written(&wish.which, paper))
        }
    };
    let there = if names.is_empty() {
        "no edge that can be named".to_owned()
    } else {
        names.join(", ")
    };
    Problem::stop(
        "edge-not-there",
        found,
        format!("name one of the edges there are ({there}), or name the stroke in the drawing or walk"),
    )
    .at(wish.place.clone())
    .expected(format!("one of: {there}"))
}

/// A wish that is not followed, as the edge has its role from the joint it is part of.
fn has_its_role(wish: &RoleWish, paper: Paper) -> Problem {
    Problem::new(
        "edge-role-fixed",
        Weight::Caution,
        format!(
            "`{}` is not made `{}`: its role follows from how the part is made",
            written(&wish.which, paper),
            wish.role.words()
        ),
        "leave the wish out, or change the drawing",
    )
    .at(wish.place.clone())
}

/// Which sides the pieces of the outside face; openings and islands face none.
fn facing(nest: &Nest) -> Roles {
    let asked = nest.iter().map(|(kind, ring)| {
        let bits = ring.bits();
        let mut asked = vec![Asked::default(); bits.len()];
        if *kind == LoopKind::Outside {
            for run in runs(&bits) {
                face_run(&bits, &run, &mut asked);
            }
        }
        asked
    });
    Roles { asked: asked.collect() }
}

/// The runs from corner to corner, as indices; one that closes on itself where there is none.
pub(super) fn runs(bits: &[Bit<'_>]) -> Vec<Vec<usize>> {
    let n = bits.len();
    let corners: Vec<usize> = (0..n).filter(|&i| is_corner(bits, i)).collect();
    let Some(&first) = corners.first() else {
        return vec![(0..n).collect()];
    };
    let mut ends = corners[1..].to_vec();
    ends.push(first + n);
    let run = |(&from, &to): (&usize, &usize)| (from..to).map(|i| i % n).collect();
    corners.iter().zip(&ends).map(run).collect()
}

/// Whether a piece starts at a corner.
fn is_corner(bits: &[Bit<'_>], index: usize) -> bool {
    let before = &bits[(index + bits.len() - 1) % bits.len()].piece;
    SMOOTH_TURN <= before.turn_to(&bits[index].piece).abs()
}

/// Says which side a run faces, or each of its gentle strokes.
fn face_run(bits: &[Bit<'_>], run: &[usize], asked: &mut [Asked]) {
    let gentle = |stroke: &&[usize]| turning(bits, stroke) <= GENTLE;
    let judged = strokes(bits, run);
    let whole = judged.len() == 1;
    for one in judged.into_iter().filter(|stroke| whole || gentle(stroke)) {
        let side = side_faced(bits, one);
        for &index in one {
            asked[index].faces = side;
        }
    }
}

/// What of a run is spoken of by itself: all of it where it turns little or has no gentle stroke
/// that could be meant instead, else each stroke.
pub(super) fn strokes<'r>(bits: &[Bit<'_>], run: &'r [usize]) -> Vec<&'r [usize]> {
    let strokes: Vec<&[usize]> =
        run.chunk_by(|&a, &b| bits[a].part == bits[b].part).collect();
    let gentle = |stroke: &&[usize]| turning(bits, stroke) <= GENTLE;
    let whole = turning(bits, run) <= GENTLE || !strokes.iter().any(gentle);
    if whole { vec![run] } else { strokes }
}

/// How far a run turns in all, whichever way, in radians.
fn turning(bits: &[Bit<'_>], run: &[usize]) -> f64 {
    run.iter()
        .map(|&index| match bits[index].piece {
            crate::geom::Piece::Line { .. } => 0.0,
            crate::geom::Piece::Arc { sweep, .. } => sweep.abs(),
        })
        .sum()
}

/// The side that the chord of a run faces: within 45 degrees of it, and of two the one that
/// the steeper edges face.
fn side_faced(bits: &[Bit<'_>], run: &[usize]) -> Option<Side> {
    let (first, last) = (run.first()?, run.last()?);
    let chord = bits[*last].piece.to() - bits[*first].piece.from();
    let outward = chord.right().unit()?;
    let off = |angle: f64| outward.turn_to(Vector::at_angle(angle)).abs();
    SIDES
        .iter()
        .find(|(_, angle)| off(*angle) <= FRAC_PI_4 + ANGLE_ROUNDING)
        .map(|(side, _)| *side)
}

/// The edges of one loop, in order, with the roles asked for.
pub(super) fn edges(on: usize, ring: &ShapedRing, roles: &Roles) -> Vec<Edge> {
    let bits = ring.bits();
    let as_loop: Loop = ring.fitted();
    let n = bits.len();
    let role = |index: usize| {
        let asked = &roles.asked[on][index];
        bits[index].strand.role.or(asked.role).unwrap_or(Role::Rout)
    };
    let edge = |index: usize| (role(index), &bits[index].strand.name);
    let starts: Vec<usize> = (0..n)
        .filter(|&i| is_corner(&bits, i) || edge(i) != edge((i + n - 1) % n))
        .collect();
    if starts.is_empty() {
        let span = Span { on, from: 0.0, length: as_loop.length() };
        let (name, side) = (bits[0].strand.name.clone(), roles.asked[on][0].faces);
        return vec![Edge { span, role: role(0), name, side }];
    }
    let spans = starts.iter().enumerate().map(|(k, &index)| {
        let from = as_loop.start_of(index);
        let next = starts
            .get(k + 1)
            .map_or(as_loop.start_of(starts[0]) + as_loop.length(), |&next| {
                as_loop.start_of(next)
            });
        let span = Span { on, from, length: next - from };
        let (name, side) =
            (bits[index].strand.name.clone(), roles.asked[on][index].faces);
        Edge { span, role: role(index), name, side }
    });
    spans.collect()
}

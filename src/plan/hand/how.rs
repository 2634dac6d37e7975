//! How to go about a piece of hand work: short clauses in order.

use super::super::{FromFace, RidesOn, Stretch, Tool};
use super::ground::Ground;
use super::site::{Corner, CornerWall};
use super::tool::is_hollow;
use crate::geom::tolerance::REPAIR;
use crate::geom::{Piece, SMOOTH_TURN, Vector};
use crate::grain::{ALONG, END_GRAIN};
use crate::reach::{self, SiteKind};
use std::f64::consts::PI;

/// Two walls whose angles to the grain differ by less lie alike to it, in degrees (from
/// memory).
const ALIKE: f64 = 10.0;

/// All there is to know about a place to say how it is done.
pub(super) struct Place<'a> {
    /// The place.
    pub(super) site: &'a reach::Site,
    /// Its corner, if it is an inside corner.
    pub(super) corner: Option<Corner>,
    /// The untouched walls.
    pub(super) walls: &'a [Piece],
    /// The tool.
    pub(super) tool: Tool,
    /// What it rides on.
    pub(super) rides_on: &'a RidesOn,
    /// From which face.
    pub(super) from_face: FromFace,
}

/// The clauses for a place the bit cannot reach.
pub(super) fn site(ground: &Ground<'_>, place: &Place<'_>) -> Vec<String> {
    match (place.site.kind, &place.corner) {
        (SiteKind::InsideCorner, Some(corner)) => inside_corner(ground, place, corner),
        (SiteKind::InsideCorner | SiteKind::Hollow, _) => hollow(ground, place),
        (SiteKind::Opening, _) => opening(ground, place),
        (SiteKind::Slot | SiteKind::Neck | SiteKind::Junction, _) => {
            narrow(ground, place)
        }
    }
}

fn inside_corner(ground: &Ground<'_>, place: &Place<'_>, corner: &Corner) -> Vec<String> {
    let mut clauses =
        vec![knife_lines("along both walls into the corner", place.from_face)];
    match place.tool {
        Tool::FretsawAndKnife => {
            clauses.push(
                "saw a fine kerf on the bisector, to a shaving short of the corner"
                    .to_owned(),
            );
            clauses.push(
                "take the two slivers off with the knife, from the kerf outwards"
                    .to_owned(),
            );
        }
        _ if place.from_face == FromFace::Both => {
            clauses.push(
                "saw or drill most of it away first, clear of the lines".to_owned(),
            );
        }
        _ => {}
    }
    let [first, then] = by_grain(corner);
    clauses.push(first_wall(first, then));
    clauses.push(format!("then {}, in thin slices, {}", label(then), push(then)));
    if let Tool::Chisel(_) = place.tool {
        clauses.extend(register(ground, place.rides_on));
    }
    if place.walls.iter().any(is_hollow) {
        clauses.push("bring the curved wall to the line with a file".to_owned());
    }
    clauses.extend(rounded_template(ground));
    clauses.push(last_clause(ground, place.from_face));
    clauses
}

/// The wall that lies more across the grain, then the other; of two alike the one into whose
/// corner a push runs downhill.
fn by_grain(corner: &Corner) -> [&CornerWall; 2] {
    let [before, after] = &corner.walls;
    let across = |wall: &CornerWall| wall.phi_inward.abs();
    let swap = if (across(before) - across(after)).abs() < ALIKE {
        before.phi_inward < after.phi_inward
    } else {
        across(before) < across(after)
    };
    if swap { [after, before] } else { [before, after] }
}

fn first_wall(first: &CornerWall, then: &CornerWall) -> String {
    let difference = first.phi_inward.abs() - then.phi_inward.abs();
    if difference < ALIKE {
        format!(
            "both walls lie alike to the grain: begin with {}, watching which way it splits",
            label(first)
        )
    } else {
        format!("pare {} first: it lies more across the grain", label(first))
    }
}

fn label(wall: &CornerWall) -> String {
    match &wall.stretch {
        Some(name) => format!("the wall of stretch {name}"),
        None => format!("the wall that runs to the {}", heading(wall.away)),
    }
}

/// Which way to push along a wall, by its angle to the grain.
fn push(wall: &CornerWall) -> &'static str {
    if END_GRAIN < wall.phi_inward.abs() {
        "straight down"
    } else if wall.phi_inward.abs() <= ALONG {
        "with the edge along the grain, never levering"
    } else if 0.0 < wall.phi_inward {
        "pushing towards the corner"
    } else {
        "pushing away from the corner"
    }
}

/// What the back of the chisel rides on.
fn register(ground: &Ground<'_>, rides_on: &RidesOn) -> Option<String> {
    let on = match rides_on {
        RidesOn::Stretch(index) => {
            let stretch = ground.draft.stretches.get(*index)?;
            format!("the routed face of stretch {}", stretch.name)
        }
        RidesOn::Template => "the template's edge".to_owned(),
        RidesOn::Line => return None,
    };
    Some(format!("let about a third of the chisel's back ride on {on}"))
}

/// A template cut with an end mill has round inside corners.
fn rounded_template(ground: &Ground<'_>) -> Option<String> {
    let machine = ground.shop.machine.as_ref().filter(|machine| !machine.cuts_part())?;
    let radius = ground.shop.paper.measured(machine.end_mill.radius());
    Some(format!(
        "the template's own corner is rounded to a radius of {radius}: it is no register"
    ))
}

fn hollow(ground: &Ground<'_>, place: &Place<'_>) -> Vec<String> {
    vec![
        knife_lines("round the hollow", place.from_face),
        "take the ridges down with a round rasp or a drum, clear of the line".to_owned(),
        format!("file to the line, {}", way(ground, place.walls)),
        last_clause(ground, place.from_face),
    ]
}

fn narrow(ground: &Ground<'_>, place: &Place<'_>) -> Vec<String> {
    let mut clauses = vec![knife_lines("along every wall", place.from_face)];
    clauses.push("drill or saw out the middle, clear of the lines".to_owned());
    match place.tool {
        Tool::Chisel(_) => {
            clauses
                .push("chop across the grain first, then pare the long walls".to_owned());
            clauses.extend(register(ground, place.rides_on));
        }
        _ => clauses.push("file to the lines, square to the face".to_owned()),
    }
    if place.walls.windows(2).any(|w| turn(w) <= -SMOOTH_TURN) {
        clauses.extend(rounded_template(ground));
    }
    clauses.push(last_clause(ground, place.from_face));
    clauses
}

fn turn(neighbours: &[Piece]) -> f64 {
    neighbours[0].turn_to(&neighbours[1])
}

fn opening(ground: &Ground<'_>, place: &Place<'_>) -> Vec<String> {
    const SCRAP: &str = "a scrap tight under the part";
    if let Some(across) = round(place.walls) {
        let across = ground.shop.paper.measured(across);
        return vec![
            "mark the middle with an awl".to_owned(),
            format!("bore it {across} wide, square to the face, {SCRAP}"),
            "file to the line what the drill leaves".to_owned(),
        ];
    }
    vec![
        knife_lines("round the opening", place.from_face),
        format!("drill out the waste, clear of the line, {SCRAP}"),
        "saw close to the line with a fretsaw".to_owned(),
        "file to the line, square to the face".to_owned(),
    ]
}

/// The diameter of a round opening.
fn round(walls: &[Piece]) -> Option<f64> {
    let middle = |piece: &Piece| match *piece {
        Piece::Arc { centre, .. } => Some(centre),
        Piece::Line { .. } => None,
    };
    let first = middle(walls.first()?)?;
    let about =
        |piece: &Piece| middle(piece).is_some_and(|at| at.distance(first) < REPAIR);
    let radius = walls.first()?.radius()?;
    walls.iter().all(about).then_some(2.0 * radius)
}

fn knife_lines(where_: &str, from_face: FromFace) -> String {
    match from_face {
        FromFace::One(_) => format!("knife {where_}"),
        FromFace::Both => format!(
            "knife {where_}, and carry the line round to the other face with square and knife"
        ),
    }
}

fn last_clause(ground: &Ground<'_>, from_face: FromFace) -> String {
    match from_face {
        // A socket has a floor under it.
        FromFace::One(_) if !ground.shop.stock.is_sawn(ground.index) => {
            "down to the floor, and no deeper".to_owned()
        }
        FromFace::One(_) => {
            "a scrap tight under the part keeps the far face from breaking out".to_owned()
        }
        FromFace::Both => "half from each face, meeting in the middle".to_owned(),
    }
}

/// The clauses for a stretch left to the hand.
pub(super) fn stretch(
    ground: &Ground<'_>,
    stretch: &Stretch,
    (pieces, tool, from_face): (&[Piece], Tool, FromFace),
) -> Vec<String> {
    let at_template =
        ground.part().template_offset.abs() < REPAIR && !ground.shop.cuts_part();
    let line =
        if at_template { "along the template's edge" } else { "along the marked line" };
    let mut clauses = vec![knife_lines(line, from_face)];
    let way = way(ground, pieces);
    clauses.push(match tool {
        Tool::Plane => format!("plane or shave to the line, {way}"),
        Tool::RoundSpokeshave => format!("shave the hollow to the line, {way}"),
        Tool::Scraper => {
            "rasp close to the line, then scrape to it, either way: a plane would lift the grain"
                .to_owned()
        }
        Tool::Rasp | Tool::DrillAndFile => {
            format!("rasp or drum close to the line, then file, {way}")
        }
        Tool::Chisel(_) if is_end_grain(ground, pieces) => {
            "pare straight down to the line, in thin slices".to_owned()
        }
        Tool::Chisel(_) | Tool::FretsawAndKnife => {
            format!("pare to the line in thin slices, {way}")
        }
    });
    if matches!(tool, Tool::Plane) && ground.blocked(&stretch.span).contains(&true) {
        clauses.push(
            "stop short of the inside corner and pare the last of it with a chisel"
                .to_owned(),
        );
    }
    clauses
}

fn is_end_grain(ground: &Ground<'_>, pieces: &[Piece]) -> bool {
    let phi = |piece: &Piece| ground.phi(piece.at(0.5), piece.direction(0.5));
    pieces.iter().all(|piece| END_GRAIN - ALONG < phi(piece).abs())
}

/// Which way to work along an edge: downhill, from both ends on end grain.
fn way(ground: &Ground<'_>, pieces: &[Piece]) -> String {
    let (Some(first), Some(last)) = (pieces.first(), pieces.last()) else {
        return String::new();
    };
    // A hair inside its ends, which may lie on the line between two strips.
    let start = ground.phi(first.at(0.01), first.direction(0.0));
    let end = ground.phi(last.at(0.99), last.direction(1.0));
    let chord = last.to() - first.from();
    if END_GRAIN - ALONG < start.abs().min(end.abs()) {
        "from both ends towards the middle: end grain breaks out at an end".to_owned()
    } else if start.abs().max(end.abs()) <= ALONG {
        "either way: it runs along the grain".to_owned()
    } else if -ALONG <= start.min(end) {
        towards(chord)
    } else if start.max(end) <= ALONG {
        towards(-chord)
    } else if end < start {
        "from both ends towards the middle".to_owned()
    } else {
        "from the middle out to both ends".to_owned()
    }
}

fn towards(way: Vector) -> String {
    format!("pushing towards the {}, as seen on face A", heading(way))
}

/// A direction in words, as seen on face A with the near edge at the bottom of the drawing.
pub(super) fn heading(way: Vector) -> &'static str {
    const WORDS: [&str; 8] = [
        "right",
        "far right",
        "far edge",
        "far left",
        "left",
        "near left",
        "near edge",
        "near right",
    ];
    let eighths = way.angle() / (PI / 4.0);
    let index = (0..8_u8).min_by(|&a, &b| {
        let off = |i: u8| {
            let gap = (eighths - f64::from(i)).rem_euclid(8.0);
            gap.min(8.0 - gap)
        };
        off(a).total_cmp(&off(b))
    });
    index.map_or(WORDS[0], |index| WORDS[usize::from(index)])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry; near is −y.
    #[test]
    fn directions_are_said_in_eight_words() {
        let at = |degrees: f64| heading(Vector::at_angle(degrees.to_radians()));
        let found = [0.0, 45.0, 90.0, 135.0, 180.0, -135.0, -90.0, -50.0].map(at);
        let words = [
            "right",
            "far right",
            "far edge",
            "far left",
            "left",
            "near left",
            "near edge",
            "near right",
        ];
        assert_eq!(found, words, "all round");
    }
}

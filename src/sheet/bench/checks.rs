//! Checks: sizes to measure on the made template, with room for what was found.
//!
//! Only what a rule or calipers can find: overall sizes, straight edges from corner to corner,
//! the way between two sides that face each other, round holes, corner to corner.

use super::Job;
use crate::geom::tolerance::CHECK;
use crate::geom::{Bounds, Join, Loop, Piece, Point, Vector, nearest_loop};
use crate::plan::Part;
use crate::sheet::model::Sheet;

/// How many sizes are asked for besides the ways from corner to corner.
const SIZES: usize = 6;

/// The sheet.
pub(super) fn sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("Checks");
    let solid = job.shop.cuts_part();
    sheet.paragraph(if solid {
        "Measure the first part before the next is cut; write down what you find."
    } else {
        "Measure the template before it is used; write down what you find."
    });
    for (_, part) in job.plan.made() {
        if 1 < job.plan.parts.len() {
            let of = if solid { "Part" } else { "Template for" };
            sheet.heading(format!("{of} {}", part.outline.name));
        }
        let rows = (1_u32..)
            .zip(all_sizes(part))
            .map(|(number, (what, size))| {
                vec![
                    number.to_string(),
                    what,
                    job.length(size),
                    "__________".to_owned(),
                    "__________".to_owned(),
                ]
            })
            .collect();
        let head = ["", "Measure", "Should be", "Is", "Off by"];
        sheet.table(&head, rows, &[2]);
    }
    sheet.heading("Fit and first part");
    if solid {
        sheet.checks(
            [
                "Tabs pared, edges looked along: no torn grain, no step where runs meet.",
                "Tried dry where it belongs.",
                "Parts numbered.",
                "What was changed: ______________________________________________",
            ]
            .map(str::to_owned),
        );
        return sheet;
    }
    let numbered = if job.shop.joint {
        "Parts marked with their half; A and B not mixed."
    } else {
        "Parts numbered; left and right not mixed."
    };
    let rest = [
        numbered,
        "What was changed: ______________________________________________",
        "Template labelled (job, plan, bit, date) and hung up.",
    ];
    sheet.checks(first_parts(job).into_iter().chain(rest.map(str::to_owned)));
    sheet
}

/// How the first part lies on its template: flush, or beyond it by what the template is set in.
fn first_parts(job: &Job<'_>) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (_, part) in job.plan.made() {
        let offset = part.template_offset;
        let line = if offset.abs() < 5e-4 {
            "First part laid on the template: flush all round, no light under a square."
                .to_owned()
        } else {
            let (by, side) = (
                job.length(offset.abs()),
                if offset < 0.0 { "beyond" } else { "inside" },
            );
            format!(
                "First part laid on the template: along every routed edge it stands {by} {side} \
                 it everywhere; no light under a square."
            )
        };
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}

/// All that is asked for of a part, each size once.
pub(super) fn all_sizes(part: &Part) -> Vec<(String, f64)> {
    let mut all = sizes(part);
    for (what, size) in diagonals(part) {
        if differs(&all, size) {
            all.push((what, size));
        }
    }
    all
}

/// Whether a size can be told from all others.
fn differs(found: &[(String, f64)], size: f64) -> bool {
    found.iter().all(|(_, other)| 0.5 < (other - size).abs())
}

/// Sizes that differ: overall first, then those of openings, then of the outside.
fn sizes(part: &Part) -> Vec<(String, f64)> {
    let mut found: Vec<(String, f64)> = Vec::new();
    let mut more = Vec::new();
    for ring in &part.template {
        let name = called(part, ring);
        let all = loop_sizes(ring).into_iter();
        let named = all.map(|(what, size)| (format!("{name}: {what}"), size));
        if 0.0 < ring.area() {
            let (long, wide) = super::long_by_wide(part, ring.bounds());
            found.push((format!("{name}: overall length"), long));
            found.push((format!("{name}: overall width"), wide));
            more.extend(named);
        } else {
            // Of an opening the few that come first, before those of the outside.
            found.extend(named.take(3));
        }
    }
    for (what, size) in more {
        if found.len() < SIZES && differs(&found, size) && 1.0 < size {
            found.push((what, size));
        }
    }
    found.truncate(SIZES);
    found
}

/// What a loop of the template is called: outside, the opening's own name, or the hole it is.
fn called(part: &Part, ring: &Loop) -> String {
    if 0.0 < ring.area() {
        return "outside".to_owned();
    }
    let near = nearest_loop(&part.guide.loops, ring.at(0.0));
    let on = near.filter(|(far, ..)| *far <= part.template_offset.abs() + CHECK);
    let Some((_, on, _)) = on else { return "hole".to_owned() };
    let names: Vec<&str> =
        part.guide.edges_of(on).filter_map(|edge| edge.name.as_deref()).collect();
    match names.as_slice() {
        [first, rest @ ..] if rest.iter().all(|name| name == first) => {
            (*first).to_owned()
        }
        _ => format!("opening {on}"),
    }
}

/// What can be measured of a loop: across where it is round, else the ways between straight
/// sides that face each other and straight edges from corner to corner, the longest first.
fn loop_sizes(ring: &Loop) -> Vec<(String, f64)> {
    if let Some(across) = round(ring) {
        return vec![("across".to_owned(), across)];
    }
    let whole = ring.bounds();
    let mut sizes = between(ring);
    sizes.extend(edges(ring));
    sizes.sort_by(|a, b| b.1.total_cmp(&a.1));
    if sizes.is_empty() {
        sizes.push(("length".to_owned(), whole.width()));
        sizes.push(("width".to_owned(), whole.height()));
    }
    sizes
}

/// The diameter of a loop that is one circle.
fn round(ring: &Loop) -> Option<f64> {
    let circle = |piece: &Piece| match *piece {
        Piece::Arc { centre, .. } => piece.radius().map(|radius| (centre, radius)),
        Piece::Line { .. } => None,
    };
    let (centre, radius) = circle(ring.pieces().first()?)?;
    let same = |piece: &Piece| {
        circle(piece).is_some_and(|(at, other)| {
            at.distance(centre) < CHECK && (other - radius).abs() < CHECK
        })
    };
    ring.pieces().iter().all(same).then_some(2.0 * radius)
}

/// The straight pieces of a loop.
fn straights(ring: &Loop) -> impl Iterator<Item = (Point, Point)> {
    ring.pieces().iter().filter_map(|piece| match *piece {
        Piece::Line { from, to } => Some((from, to)),
        Piece::Arc { .. } => None,
    })
}

/// The ways between straight sides that face each other over at least half of the shorter.
fn between(ring: &Loop) -> Vec<(String, f64)> {
    let whole = ring.bounds();
    let mut found = Vec::new();
    let lines: Vec<(Point, Point)> = straights(ring).take(MOST_SIDES).collect();
    for (index, &(a, b)) in lines.iter().enumerate() {
        let Some(way) = (b - a).unit() else { continue };
        for &(c, d) in &lines[index + 1..] {
            let Some(back) = (d - c).unit() else { continue };
            let is_parallel = way.cross(back).abs() < PARALLEL && way.dot(back) < 0.0;
            let (from, to) =
                ((d - a).dot(way).max(0.0), (c - a).dot(way).min(a.distance(b)));
            let shorter = a.distance(b).min(c.distance(d));
            if is_parallel && shorter / 2.0 < to - from {
                let [one, other] =
                    [a.middle(b), c.middle(d)].map(|at| place_words(at, whole));
                let size = way.cross(c - a).abs();
                found.push((format!("straight sides, {one} to {other}"), size));
            }
        }
    }
    found
}

/// Two sides whose directions cross by less are parallel to calipers.
const PARALLEL: f64 = 1e-4;

/// The most sides of a loop that are looked at in pairs.
const MOST_SIDES: usize = 200;

/// Straight edges that end in a corner at both ends, with where they are.
fn edges(ring: &Loop) -> Vec<(String, f64)> {
    let whole = ring.bounds();
    let pieces = ring.pieces();
    let is_corner = |index: usize| ring.join(index % pieces.len()) == Join::Corner;
    let edges = pieces.iter().enumerate().filter_map(|(index, piece)| {
        let Piece::Line { from, to } = *piece else { return None };
        (is_corner(index) && is_corner(index + 1)).then(|| {
            let place = place_words(from.middle(to), whole);
            (format!("straight edge, corner to corner, {place}"), from.distance(to))
        })
    });
    edges.collect()
}

/// Where a point lies in a box, in words of face A.
fn place_words(at: Point, whole: Bounds) -> &'static str {
    let x = (at.x - whole.low.x) / whole.width().max(1e-9);
    let y = (at.y - whole.low.y) / whole.height().max(1e-9);
    match (x < 1.0 / 3.0, x < 2.0 / 3.0, y < 1.0 / 3.0, y < 2.0 / 3.0) {
        (true, _, true, _) => "near left",
        (true, _, false, true) => "left",
        (true, _, false, false) => "far left",
        (false, true, true, _) => "near",
        (false, true, false, true) => "middle",
        (false, true, false, false) => "far",
        (false, false, true, _) => "near right",
        (false, false, false, true) => "right",
        (false, false, false, false) => "far right",
    }
}

/// The two long ways across: from corner to corner, between those that lie farthest towards
/// opposite sides; none where the outside has no such corners.
fn diagonals(part: &Part) -> Vec<(String, f64)> {
    let rings = part.template.iter().filter(|ring| 0.0 < ring.area());
    let corners: Vec<Point> = rings
        .flat_map(|ring| {
            let pieces = ring.pieces().iter().enumerate();
            pieces.filter(|(index, _)| ring.join(*index) == Join::Corner)
        })
        .map(|(_, piece)| piece.from())
        .collect();
    let across = |x: f64, y: f64| {
        let along = |point: &Point| (*point - Point::default()).dot(Vector::new(x, y));
        let ends = corners
            .iter()
            .max_by(|a, b| along(a).total_cmp(&along(b)))
            .zip(corners.iter().min_by(|a, b| along(a).total_cmp(&along(b))));
        ends.map(|(far, near)| far.distance(*near)).filter(|size| 1.0 < *size)
    };
    [
        ("corner to corner, near left to far right", across(1.0, 1.0)),
        ("corner to corner, far left to near right", across(1.0, -1.0)),
    ]
    .into_iter()
    .filter_map(|(what, size)| size.map(|size| (format!("outside: {what}"), size)))
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::fixture;

    #[test]
    fn sizes_of_the_notched_square_are_those_a_rule_finds() {
        let plan = fixture::plan(vec![fixture::holdings()[0]]);
        let found = sizes(&plan.parts[0]);
        assert_eq!(found[0].0, "outside: overall length");
        assert!((found[0].1 - 100.0).abs() < 1e-9, "overall length");
        assert!(found.iter().any(|(_, size)| (size - 30.0).abs() < 1e-9), "the hole");
        assert!(found.len() <= SIZES, "{found:?}");
        let across = diagonals(&plan.parts[0]);
        let other = across.iter().find(|(what, _)| what.contains("far left"));
        let (_, other) = other.expect("it has corners");
        assert!((other - 20_000_f64.sqrt()).abs() < 1e-9, "corner to corner: {other}");
    }

    /// Basis: geometry. A slot with round ends is measured between its sides; where its round
    /// ends begin nobody can see.
    #[test]
    fn joints_that_nobody_can_see_are_not_measured() {
        let at = Point::new;
        let end = |from, to, centre| Piece::Arc {
            from,
            to,
            centre,
            sweep: std::f64::consts::PI,
        };
        let slot = Loop::new(vec![
            Piece::line(at(0.0, 0.0), at(40.0, 0.0)),
            end(at(40.0, 0.0), at(40.0, 12.0), at(40.0, 6.0)),
            Piece::line(at(40.0, 12.0), at(0.0, 12.0)),
            end(at(0.0, 12.0), at(0.0, 0.0), at(0.0, 6.0)),
        ]);
        let found = loop_sizes(&slot);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!((found[0].1 - 12.0).abs() < 1e-9, "{found:?}");
        assert!(found[0].0.starts_with("straight sides, near to far"), "{found:?}");
    }

    #[test]
    fn a_round_hole_is_measured_across() {
        let hole = Loop::opening(Point::new(5.0, 5.0), 4.0);
        assert_eq!(loop_sizes(&hole), [("across".to_owned(), 8.0)]);
    }
}

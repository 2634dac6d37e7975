//! Checks: sizes to measure on the made template, with room for what was found.

use super::Job;
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use crate::plan::Part;
use crate::sheet::model::Sheet;

/// How many sizes are asked for besides the diagonals.
const SIZES: usize = 6;

/// The sheet.
pub(super) fn sheet(job: &Job<'_>) -> Sheet {
    let mut sheet = Sheet::new("Checks");
    sheet.paragraph("Measure the template before it is used; write down what you find.");
    for part in &job.plan.parts {
        if 1 < job.plan.parts.len() {
            sheet.heading(format!("Template for {}", part.outline.name));
        }
        let rows = (1..)
            .zip(sizes(part).into_iter().chain(diagonals(part)))
            .map(|(number, (what, size))| {
                vec![
                    number_words(number),
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
    sheet.checks(
        [
            "First part laid on the template: flush all round, no light under a square.",
            "Parts numbered; left and right not mixed.",
            "What was changed: ______________________________________________",
            "Template labelled (job, plan, bit, date) and hung up.",
        ]
        .map(str::to_owned),
    );
    sheet
}

fn number_words(number: u32) -> String {
    number.to_string()
}

/// Up to six sizes that differ: overall first, then openings, then straight edges and arcs.
fn sizes(part: &Part) -> Vec<(String, f64)> {
    let whole: Bounds = part.template.iter().map(Loop::bounds).collect();
    let mut found = vec![
        ("overall length".to_owned(), whole.width()),
        ("overall width".to_owned(), whole.height()),
    ];
    let mut more = Vec::new();
    for (number, ring) in (1..).zip(part.template.iter().skip(1)) {
        let size = ring.bounds();
        more.push((format!("opening {number}: length"), size.width()));
        more.push((format!("opening {number}: width"), size.height()));
    }
    more.extend(edges(part));
    for (what, size) in more {
        let is_new = found.iter().all(|(_, other)| 0.5 < (other - size).abs());
        if found.len() < SIZES && is_new && 1.0 < size {
            found.push((what, size));
        }
    }
    found
}

/// Straight edges and chords of arcs of the template, the longest first, with where they are.
fn edges(part: &Part) -> Vec<(String, f64)> {
    let whole: Bounds = part.template.iter().map(Loop::bounds).collect();
    let mut edges: Vec<(String, f64)> = part
        .template
        .iter()
        .flat_map(Loop::pieces)
        .filter(|piece| 1e-3 < piece.from().distance(piece.to()))
        .map(|piece| {
            let chord = piece.from().distance(piece.to());
            let place = place_words(piece.from().middle(piece.to()), whole);
            let kind = match piece {
                Piece::Line { .. } => "straight edge",
                Piece::Arc { .. } => "curve, end to end straight across",
            };
            (format!("{kind}, {place}"), chord)
        })
        .collect();
    edges.sort_by(|a, b| b.1.total_cmp(&a.1));
    edges
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

/// The two long ways across: between the points that lie farthest towards opposite corners.
fn diagonals(part: &Part) -> [(String, f64); 2] {
    let across = |x: f64, y: f64| {
        let way = Vector::new(x, y);
        farthest(&part.template, way).distance(farthest(&part.template, -way))
    };
    [
        ("diagonal, near left to far right".to_owned(), across(1.0, 1.0)),
        ("diagonal, far left to near right".to_owned(), across(1.0, -1.0)),
    ]
}

/// The point of the loops that lies farthest along `way`.
fn farthest(loops: &[Loop], way: Vector) -> Point {
    let out = way.unit().unwrap_or_default();
    let mut best = (f64::NEG_INFINITY, Point::default());
    for piece in loops.iter().flat_map(Loop::pieces) {
        let mut candidates = vec![piece.from()];
        if let (Piece::Arc { centre, sweep, .. }, Some(radius)) = (*piece, piece.radius())
            && 0.0 < sweep
            && piece.in_sweep(out)
        {
            candidates.push(centre + out * radius);
        }
        for point in candidates {
            let along = (point - Point::default()).dot(out);
            if best.0 < along {
                best = (along, point);
            }
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::fixture;

    #[test]
    fn six_sizes_and_two_diagonals_of_the_notched_square() {
        let plan = fixture::plan(vec![fixture::holdings()[0]]);
        let found = sizes(&plan.parts[0]);
        assert!((found[0].1 - 100.0).abs() < 1e-9, "overall length");
        assert!(found.iter().any(|(_, size)| (size - 30.0).abs() < 1e-9), "the hole");
        assert!(found.len() <= SIZES, "{found:?}");
        let [one, other] = diagonals(&plan.parts[0]);
        let short = Point::new(0.0, 0.0).distance(Point::new(100.0, 60.0));
        assert!((one.1 - short).abs() < 1e-9 || 100.0 < one.1, "to the notch: {one:?}");
        assert!(
            (other.1 - 20_000_f64.sqrt()).abs() < 1e-9,
            "corner to corner: {other:?}"
        );
    }
}

//! What the page is given to show: everything that stands on it, in words and drawings.

use super::desk::Desk;
use crate::diag::{Failure, Problem};
use crate::read::Role;
use crate::sheet::Leaf;
use crate::work::Planned;
use serde::Serialize;

/// All that the page shows of a plan.
#[derive(Debug, Serialize)]
pub(super) struct Shown {
    desk: Desk,
    id: String,
    name: String,
    notes: Vec<Note>,
    sheets: Vec<SheetShown>,
    pictures: Vec<PictureShown>,
    edges: Vec<EdgeShown>,
    grain: Grain,
    files: Vec<FileShown>,
    cautions: Vec<String>,
}

/// Why there is no plan.
#[derive(Debug, Serialize)]
pub(super) struct Refused {
    desk: Desk,
    problems: Vec<Note>,
}

#[derive(Debug, Serialize)]
struct Note {
    weight: &'static str,
    id: &'static str,
    text: String,
    hint: String,
    expected: String,
    at: Option<(f64, f64)>,
}

#[derive(Debug, Serialize)]
struct SheetShown {
    key: String,
    title: String,
    html: String,
}

#[derive(Debug, Serialize)]
struct PictureShown {
    key: String,
    title: String,
    svg: String,
}

#[derive(Debug, Serialize)]
struct EdgeShown {
    name: Option<String>,
    role: &'static str,
    roles: [&'static str; 3],
}

#[derive(Debug, Serialize)]
struct Grain {
    degrees: f64,
}

#[derive(Debug, Serialize)]
struct FileShown {
    name: String,
}

/// What is shown of a plan.
pub(super) fn shown(desk: &Desk, planned: &Planned) -> Shown {
    let leaves = planned.leaves();
    let Planned { plan, shop, id, .. } = planned;
    let edges = plan.parts.iter().flat_map(|part| &part.outline.edges);
    let roles = [Role::Rout, Role::TrueAlready, Role::GoesOn].map(Role::words);
    Shown {
        desk: desk.clone(),
        id: id.clone(),
        name: shop.name.clone(),
        notes: plan.notes.iter().map(note).collect(),
        sheets: leaves
            .sheets
            .into_iter()
            .map(|Leaf { key, title, text }| SheetShown { key, title, html: text })
            .collect(),
        pictures: leaves
            .pictures
            .into_iter()
            .map(|Leaf { key, title, text }| PictureShown { key, title, svg: text })
            .collect(),
        edges: edges
            .map(|edge| EdgeShown {
                name: edge.name.clone(),
                role: edge.role.words(),
                roles,
            })
            .collect(),
        grain: Grain { degrees: shop.stock.grain },
        files: planned
            .bundle()
            .only(&shop.files)
            .files
            .into_iter()
            .map(|(name, _)| FileShown { name })
            .collect(),
        cautions: leaves.cautions,
    }
}

/// What is shown where there is no plan.
pub(super) fn refused(desk: &Desk, failure: &Failure) -> Refused {
    Refused {
        desk: desk.clone(),
        problems: failure.problems().iter().map(note).collect(),
    }
}

fn note(problem: &Problem) -> Note {
    let Problem { id, weight, place, found, expected, hint } = problem;
    Note {
        weight: weight.word(),
        id,
        text: found.clone(),
        hint: hint.clone(),
        expected: expected.clone(),
        at: place.as_ref().and_then(|place| place.at),
    }
}

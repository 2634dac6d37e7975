//! How loops lie that a person may not have meant: said, not judged.
//!
//! ```text
//!    .----<----.         turned: round the same way as the loop right around it, in one element
//!    |  .-<-.  |
//!    |  '->-'  |  .-.    beside: outside the largest loop of its own element
//!    '---->----'  '-'
//! ```
//!
//! Our own.

use super::ring::{Shaped, ShapedRing};
use super::strand::Report;
use crate::diag::{Problem, Weight};
use crate::geom::{Loop, Piece};
use std::collections::{BTreeMap, BTreeSet};

/// Rings and how they lie in each other.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lie<'a> {
    pub(super) rings: &'a [ShapedRing],
    /// The rings as loops.
    pub(super) loops: &'a [Loop],
    /// The rings that each lies in.
    pub(super) around: &'a [Vec<usize>],
}

/// Notes what is doubtful in how these rings lie.
pub(super) fn note(lie: &Lie<'_>, report: &mut Report) {
    note_wound_alike(lie, report);
    note_outside_parent(lie, report);
    note_frame(lie, report);
}

/// The loops that go round the same way as the one right around them, in one element: which way a
/// line is drawn says nothing here, but a viewer that fills by winding would show them solid.
fn note_wound_alike(lie: &Lie<'_>, report: &mut Report) {
    let Lie { rings, loops, around } = *lie;
    let is_alike = |&index: &usize| {
        let parent = around[index].iter().max_by_key(|&&other| around[other].len());
        parent.is_some_and(|&parent| {
            let own = element(&rings[index]);
            (0.0 < loops[index].area()) == (0.0 < loops[parent].area())
                && own.is_some()
                && own == element(&rings[parent])
        })
    };
    let alike: Vec<usize> = (0..rings.len()).filter(is_alike).collect();
    let doubt = Doubt {
        id: "outline-turned",
        weight: Weight::Hint,
        said: "turned, as drawn the same way round as the line around it",
        hint: "look whether it is meant as an opening: a loop inside another is taken for one",
    };
    tell(lie, &alike, &doubt, report);
}

/// The loops that lie outside the largest one of their element: an opening that has slipped off the
/// part looks like this, and so do letters.
fn note_outside_parent(lie: &Lie<'_>, report: &mut Report) {
    let Lie { rings, loops, around } = *lie;
    let mut largest: BTreeMap<&str, usize> = BTreeMap::new();
    let outsides = || (0..rings.len()).filter(|&index| around[index].is_empty());
    for index in outsides() {
        let Some(own) = element(&rings[index]) else { continue };
        let so_far = largest.entry(own).or_insert(index);
        if loops[*so_far].area().abs() < loops[index].area().abs() {
            *so_far = index;
        }
    }
    let is_beside = |&index: &usize| {
        element(&rings[index]).is_some_and(|own| largest.get(own) != Some(&index))
    };
    let beside: Vec<usize> = outsides().filter(is_beside).collect();
    let doubt = Doubt {
        id: "outline-outside-parent",
        weight: Weight::Caution,
        said: "a part of its own, as it lies outside the largest loop of its own element",
        hint: "move it inside if it is meant as an opening",
    };
    tell(lie, &beside, &doubt, report);
}

/// What is said of loops.
struct Doubt {
    id: &'static str,
    weight: Weight,
    said: &'static str,
    hint: &'static str,
}

/// One note for loops of which the same is to be said.
fn tell(lie: &Lie<'_>, which: &[usize], doubt: &Doubt, report: &mut Report) {
    let Doubt { id, weight, said, hint } = *doubt;
    let Some(&first) = which.first() else { return };
    let at = lie.rings[first].start();
    let size = report.size(&lie.loops[first].bounds());
    let more = match which.len() - 1 {
        0 => String::new(),
        more => format!("; {more} more like it"),
    };
    let found = format!("the loop at {}, {size}, is {said}{more}", report.point(at));
    let place = lie.rings[first].first().place_at(at);
    report.note(Problem::new(id, weight, found, hint).at(place));
}

/// A lone rectangle round everything, when all it holds lies on other layers: it may be the frame
/// of the sheet.
fn note_frame(lie: &Lie<'_>, report: &mut Report) {
    let Lie { rings, loops, around } = *lie;
    let mut outsides = (0..rings.len()).filter(|&index| around[index].is_empty());
    let (Some(frame), None) = (outsides.next(), outsides.next()) else { return };
    let layer = |index: usize| rings[index].first().place.layer.as_deref();
    let Some(own) = layer(frame) else { return };
    let inner = || (0..rings.len()).filter(|&index| index != frame);
    let layers: BTreeSet<&str> = inner().filter_map(layer).collect();
    if inner().count() < 2 || layers.contains(own) || !is_rectangle(&loops[frame]) {
        return;
    }
    let layers: Vec<String> = layers.iter().map(|name| format!("`{name}`")).collect();
    let found = format!(
        "all that is read lies inside a rectangle, {}, alone on layer `{own}`; the {} loops in it are on {}",
        report.size(&loops[frame].bounds()),
        inner().count(),
        layers.join(", ")
    );
    let hint = "if it is the frame of the sheet and not the part, name the layers of the part with `--layer`";
    let place = rings[frame].first().place_at(rings[frame].start());
    let problem = Problem::new("outline-frame", Weight::Caution, found, hint);
    report.note(problem.at(place));
}

/// Whether a loop is four lines along the axes.
fn is_rectangle(ring: &Loop) -> bool {
    let is_level = |piece: &Piece| {
        let way = piece.direction(0.0);
        piece.radius().is_none() && way.x.abs().min(way.y.abs()) < 1e-6
    };
    ring.pieces().len() == 4 && ring.pieces().iter().all(is_level)
}

/// The element a ring was drawn by, where one drew all of it.
fn element(ring: &ShapedRing) -> Option<&str> {
    let own = ring.first().place.element.as_deref()?;
    let same = |part: &Shaped| part.strand.place.element.as_deref() == Some(own);
    ring.parts.iter().all(same).then_some(own)
}

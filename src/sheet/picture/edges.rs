//! Edges: what is routed now, what is not, what never is, the hand's bands, the saw line.

use super::canvas::Canvas;
use super::key;
use crate::draw::{
    Ink, Label, Leader, Mark, Pen, View, WalkSide, box_about, numbered, ticks,
};
use crate::geom::{Bounds, Piece, Point, Span, Vector};
use crate::outline::{Edge, Outline};
use crate::plan::{Plan, Stretch};
use crate::read::Role;
use crate::shop::Face;
use crate::units::Paper;
use std::collections::BTreeSet;

/// Grey where the bit cannot reach or must not cut.
pub(super) fn hand_bands(canvas: &mut Canvas<'_>) {
    let plan = canvas.plan;
    for work in &plan.hand {
        let guide = &plan.parts[work.part].guide;
        let words = || key::hand_words(work.number);
        canvas.named(key::hand(work.number), words, |canvas| {
            canvas.draw(work.part, |view, scene| {
                let loops: Vec<Vec<Piece>> =
                    work.border.iter().map(|ring| view.pieces(ring.pieces())).collect();
                if !loops.is_empty() {
                    scene.marks.push(Mark::Fill(loops, Ink::Grey));
                }
                for span in &work.spans {
                    let run = guide.loops[span.on].run(span.from, span.length);
                    scene.line(view.pieces(&run), Pen::Hand);
                }
            });
        });
    }
}

/// All edges thin: what is routed now is drawn over them later.
pub(super) fn edges(canvas: &mut Canvas<'_>, paper: Paper) {
    let plan = canvas.plan;
    let is_cut = |edge: &&Edge| matches!(edge.role, Role::Rout | Role::RunOn);
    for (index, part) in plan.parts.iter().enumerate() {
        for edge in part.guide.edges.iter().filter(is_cut) {
            let ring = &part.guide.loops[edge.span.on];
            let run = ring.run(edge.span.from, edge.span.length);
            canvas.draw(index, |view, scene| {
                scene.line(view.pieces(&run), Pen::NotNow);
            });
        }
        let calls = part.outline.calls();
        for edge in part.outline.edges.iter().filter(|edge| !is_cut(edge)) {
            let ring = &part.outline.loops[edge.span.on];
            let run = ring.run(edge.span.from, edge.span.length);
            let paint = |canvas: &mut Canvas<'_>| {
                canvas.draw(index, |view, scene| {
                    scene.line(view.pieces(&run), Pen::NeverCut);
                });
            };
            match calls.of(edge) {
                Some(called) => {
                    let words =
                        || format!("Edge {}, {}", called.words(paper), edge.role.words());
                    canvas.named(key::edge(&called.key()), words, paint);
                }
                None => paint(canvas),
            }
        }
    }
}

/// The stretches of this set-up thick, ticks on their waste side.
pub(super) fn routed(canvas: &mut Canvas<'_>, set_up: usize) {
    let plan = canvas.plan;
    let waste = waste_side(canvas.face);
    for pass in plan.passes.iter().filter(|pass| pass.set_up == set_up) {
        for &index in &pass.stretches {
            let stretch = &plan.stretches[index];
            let Stretch { part, span, .. } = *stretch;
            let run = plan.parts[part].guide.loops[span.on].run(span.from, span.length);
            canvas.named(
                key::stretch(stretch),
                || key::stretch_words(stretch),
                |canvas| {
                    canvas.draw(part, |view, scene| {
                        let run = view.pieces(&run);
                        ticks(scene, &run, waste);
                        scene.line(run, Pen::Now);
                    });
                },
            );
        }
    }
}

/// On face A the part lies on the left of the walk, so the waste on its right; turning over
/// swaps them.
pub(super) const fn waste_side(face: Face) -> WalkSide {
    match face {
        Face::A => WalkSide::Right,
        Face::B => WalkSide::Left,
    }
}

/// Numbers of hand work.
pub(super) fn hand_numbers(canvas: &mut Canvas<'_>) {
    let numbers: Vec<(usize, usize, Point, Option<Span>)> = canvas
        .plan
        .hand
        .iter()
        .map(|work| (work.number, work.part, work.at, work.spans.first().copied()))
        .collect();
    for (number, part, at, span) in numbers {
        let middle = canvas.view_at(part, at).point(at);
        let candidates = match span {
            Some(span) => beside(canvas, part, span, middle),
            None => round(middle),
        };
        let leader = Leader { to: middle, size: (8.6, 8.6), beyond: 8.5 };
        let (place, line) = canvas.places.best_led(&candidates, &leader);
        canvas.named(
            key::hand(number),
            || key::hand_words(number),
            |canvas| {
                canvas.leader(line);
                numbered(&mut canvas.scene, place, &number.to_string());
            },
        );
    }
}

/// Places beside a span, by the waste first, then all round its point.
fn beside(canvas: &Canvas<'_>, part: usize, span: Span, middle: Point) -> Vec<Point> {
    let mut candidates = Vec::new();
    for distance in [6.5, -6.5] {
        for share in [0.5, 0.35, 0.65] {
            let (foot, out) =
                canvas.off_edge(part, span, span.from + span.length * share);
            candidates.push(foot + out * distance);
        }
    }
    candidates.extend(round(middle));
    candidates
}

/// Places round a point, near ones first.
fn round(middle: Point) -> Vec<Point> {
    let mut places = Vec::new();
    for distance in [7.0, 10.0, 14.0, 19.0] {
        for step in 0..12 {
            let angle = f64::from(step) * std::f64::consts::PI / 6.0 + 0.26;
            places.push(middle + Vector::at_angle(angle) * distance);
        }
    }
    places
}

/// The stretches routed in a set-up.
pub(super) fn routed_in(plan: &Plan, set_up: usize) -> impl Iterator<Item = &Stretch> {
    let passes = plan.passes.iter().filter(move |pass| pass.set_up == set_up);
    // Laps in depth go over the same stretches again.
    let all: BTreeSet<usize> =
        passes.flat_map(|pass| pass.stretches.iter().copied()).collect();
    all.into_iter().map(|index| &plan.stretches[index])
}

/// Letters of the stretches routed in this set-up. What is done by hand has its number, and
/// what is not now is only a thin line: a letter there could only mislead.
pub(super) fn letters(canvas: &mut Canvas<'_>, set_up: usize) {
    for stretch in routed_in(canvas.plan, set_up) {
        let label = Label { text: stretch.name.clone(), size: 7.5, room: 1.2 };
        canvas.named(
            key::stretch(stretch),
            || key::stretch_words(stretch),
            |canvas| {
                canvas.label_edge(stretch.part, stretch.span, &label);
            },
        );
    }
}

/// Letters of all stretches, whoever does them.
pub(super) fn all_letters(canvas: &mut Canvas<'_>) {
    for stretch in &canvas.plan.stretches {
        let label = Label { text: stretch.name.clone(), size: 7.5, room: 1.2 };
        canvas.label_edge(stretch.part, stretch.span, &label);
    }
}

/// A short bar across the edge where each stretch begins and ends.
pub(super) fn borders(canvas: &mut Canvas<'_>) {
    for stretch in &canvas.plan.stretches {
        for along in [stretch.span.from, stretch.span.to()] {
            let (at, out) = canvas.off_edge(stretch.part, stretch.span, along);
            canvas.scene.straight(at - out * 1.6, at + out * 1.6, Pen::NotNow);
        }
    }
}

/// Letters of all routed stretches that have room for one.
pub(super) fn letters_with_room(canvas: &mut Canvas<'_>) {
    for stretch in
        (0..canvas.plan.set_ups.len()).flat_map(|at| routed_in(canvas.plan, at))
    {
        let label = Label { text: stretch.name.clone(), size: 6.5, room: 0.6 };
        if canvas.has_room(stretch.part, stretch.span, &label) {
            canvas.label_edge(stretch.part, stretch.span, &label);
        }
    }
}

/// KEEP on edges that are never cut, the longest first; short ones close to another go
/// without.
pub(super) fn keep(canvas: &mut Canvas<'_>) {
    let plan = canvas.plan;
    for (index, part) in plan.parts.iter().enumerate() {
        let mut edges: Vec<&Edge> = part
            .outline
            .edges
            .iter()
            .filter(|edge| matches!(edge.role, Role::TrueAlready | Role::GoesOn))
            .collect();
        edges.sort_by(|a, b| b.span.length.total_cmp(&a.span.length));
        let mut said: Vec<Point> = Vec::new();
        for edge in edges {
            let ring = &part.outline.loops[edge.span.on];
            let view = canvas.view(index);
            let middle = view.point(ring.at(edge.span.from + edge.span.length / 2.0));
            if said.iter().any(|other| other.distance(middle) < KEEP_APART) {
                continue;
            }
            let is_first = said.is_empty();
            said.push(middle);
            let words = if edge.role == Role::GoesOn { "KEEP, goes on" } else { "KEEP" };
            let label = Label { text: words.to_owned(), size: 4.2, room: 0.6 };
            let places = on_part(&part.outline, edge, &view, &label);
            let size = label.size_of_box();
            let has_room =
                |at: &Point| canvas.places.cost(box_about(*at, size)) < KEEP_ROOM;
            if !is_first && !places.iter().any(has_room) {
                continue;
            }
            let text = canvas.places.label(&label, &places);
            canvas.scene.letters(text);
        }
    }
}

/// A place that costs less has room for KEEP: it covers no other letters.
const KEEP_ROOM: f64 = 40.0;

/// Nearer to each other than this on paper, edges that stay are named once.
const KEEP_APART: f64 = 24.0;

/// Places for a label beside an edge, those on the part first; beside the part only where the
/// part has no room for it.
fn on_part(outline: &Outline, edge: &Edge, view: &View, label: &Label) -> Vec<Point> {
    let ring = &outline.loops[edge.span.on];
    let (wide, high) = label.size_of_box();
    let mut places = Vec::new();
    for far in [1.2, 3.5, 7.0, -1.2, -3.5] {
        for share in [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9] {
            let along = edge.span.from + edge.span.length * share;
            let out = view.direction(ring.direction_after(along).right());
            let clear = f64::midpoint(out.x.abs() * wide, out.y.abs() * high);
            let off = if far < 0.0 { clear - far } else { -clear - far };
            places.push(view.point(ring.at(along)) + out * off);
        }
    }
    places.sort_by_key(|at| !holds(outline, view, *at, label));
    places
}

/// Whether the part holds a label about a point of the page.
pub(super) fn holds(outline: &Outline, view: &View, at: Point, label: &Label) -> bool {
    let (wide, high) = label.size_of_box();
    let corners = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)];
    corners.iter().all(|(x, y)| {
        let corner = view.back(at + Vector::new(wide * x, high * y));
        0 < outline.loops.iter().map(|ring| ring.winding(corner)).sum::<i32>()
    })
}

/// Says which edges only the template has: once for each place it runs on.
pub(super) fn run_ons(canvas: &mut Canvas<'_>) {
    let plan = canvas.plan;
    for (index, part) in plan.parts.iter().enumerate() {
        let mut said: Vec<Point> = Vec::new();
        for edge in part.guide.edges.iter().filter(|edge| edge.role == Role::RunOn) {
            let middle = edge.span.from + edge.span.length / 2.0;
            let at = part.guide.loops[edge.span.on].at(middle);
            let foot = canvas.view(index).point(at);
            if inside(&part.outline, at)
                || said.iter().any(|other| other.distance(foot) < RUN_ON_APART)
            {
                continue;
            }
            said.push(foot);
            let label = Label { text: "run-on".to_owned(), size: 3.8, room: 0.4 };
            if canvas.has_room(index, edge.span, &label) {
                canvas.label_edge(index, edge.span, &label);
            }
        }
    }
}

/// Whether a point lies within the box of a part as drawn.
fn inside(outline: &Outline, at: Point) -> bool {
    let whole =
        outline.loops.iter().fold(Bounds::EMPTY, |all, ring| all.joined(&ring.bounds()));
    whole.distance_squared(at) <= 0.0
}

/// Nearer to each other than this on paper, run-ons are named once.
const RUN_ON_APART: f64 = 30.0;

//! Overall sizes, reference marks, the grain.

use super::canvas::Canvas;
use crate::draw::{Label, Pen, Text, double_arrow};
use crate::geom::{Bounds, Point, Vector};
use crate::grain::of_mirror_image;
use crate::outline::Outline;
use crate::shop::Reference;
use crate::units::Paper;

/// The parts' lengths and widths, on lines below and beside them.
pub(super) fn overall(canvas: &mut Canvas<'_>, paper: Paper) {
    for (index, part) in canvas.plan.parts.iter().enumerate() {
        sized(canvas, index, part.outline.bounds(), paper);
    }
}

/// The same of the templates.
pub(super) fn of_templates(canvas: &mut Canvas<'_>, paper: Paper) {
    for (index, part) in canvas.plan.parts.iter().enumerate() {
        let whole = part.template.iter().map(crate::geom::Loop::bounds).collect();
        sized(canvas, index, whole, paper);
    }
}

/// Length and width of a box of a part.
fn sized(canvas: &mut Canvas<'_>, index: usize, whole: Bounds, paper: Paper) {
    let Bounds { low, high } = canvas.view(index).bounds(whole);
    let below = low.y - 17.5;
    measured(
        canvas,
        (Point::new(low.x, below), Point::new(high.x, below)),
        &paper.length(whole.width()),
    );
    let beside = low.x - 17.5;
    measured(
        canvas,
        (Point::new(beside, low.y), Point::new(beside, high.y)),
        &paper.length(whole.height()),
    );
}

/// The parts' names, where there is more than one.
pub(super) fn names(canvas: &mut Canvas<'_>) {
    let plan = canvas.plan;
    if plan.parts.len() < 2 {
        return;
    }
    for (index, part) in plan.parts.iter().enumerate() {
        let bounds = canvas.view(index).bounds(super::layout::part_bounds(part));
        let wide = Text::width_of(&part.outline.name, 5.5) / 2.0;
        let candidates = [17.0, 21.0, 12.0]
            .map(|up| Point::new(bounds.low.x + wide, bounds.high.y + up));
        let label = Label { text: part.outline.name.clone(), size: 5.5, room: 0.5 };
        let text = canvas.places.label(&label, &candidates);
        canvas.scene.letters(text);
    }
}

/// How far from a line that is too short for it its text stands.
const BEYOND: f64 = 4.6;

/// A line between two ends with its length in its middle.
fn measured(canvas: &mut Canvas<'_>, ends: (Point, Point), words: &str) {
    let (from, to) = ends;
    let Some(way) = (to - from).unit() else { return };
    let across = way.left() * 2.0;
    canvas.scene.straight(from, to, Pen::Fine);
    for end in [from, to] {
        canvas.scene.straight(end - across, end + across, Pen::NotNow);
    }
    // Where the line is too short to be broken for its text, the text stands beyond it.
    let short = (to - from).length() < Text::width_of(words, 5.0) + 8.0;
    let beyond = if way.x.abs() < 0.5 { way.left() } else { way.right() };
    let at = |off: f64| {
        let text = Text::new(from.middle(to) + beyond * off, words, 5.0).bold();
        if way.x.abs() < 0.5 { text.upright() } else { text.centred() }
    };
    let page = canvas.layout.frame.drawing;
    let far = at(if short { BEYOND } else { 0.0 });
    // Where the page ends there, the text stands on the near side.
    let is_on_page = page.joined(&far.bounds()) == page;
    let text = if is_on_page || !short { far } else { at(-BEYOND) };
    let room = text.bounds();
    canvas.scene.filled(
        &[
            room.low,
            Point::new(room.high.x, room.low.y),
            room.high,
            Point::new(room.low.x, room.high.y),
        ],
        crate::draw::Ink::White,
    );
    canvas.places.add_box(room.grown(0.8));
    canvas.places.add_line(&[crate::geom::Piece::line(from, to)]);
    canvas.scene.letters(text);
}

/// The reference edge and the reference end, sides as face A shows them.
pub(super) fn references(canvas: &mut Canvas<'_>, reference: Reference) {
    let plan = canvas.plan;
    for (index, part) in plan.parts.iter().enumerate() {
        let whole = part
            .outline
            .loops
            .iter()
            .fold(Bounds::EMPTY, |all, ring| all.joined(&ring.bounds()));
        let view = canvas.view(index);
        let corner = reference.of(&part.outline).corner(whole);
        let way = (whole.centre() - corner) * 2.0;
        let shares = [0.2, 0.12, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9];
        let edge = shares.map(|x| view.point(corner + Vector::new(way.x * x, 0.0)));
        let end = shares.map(|y| view.point(corner + Vector::new(0.0, way.y * y)));
        let out = view.direction(Vector::new(-way.x, 0.0));
        let down = view.direction(Vector::new(0.0, -way.y));
        caret(canvas, &edge, down, "ref. edge");
        caret(canvas, &end, out, "ref. end");
    }
}

/// A V whose point stands at the line, and its name, at the best of some places; the name of
/// the end reads from the right, clear of the size beside it.
fn caret(canvas: &mut Canvas<'_>, places: &[Point], out: Vector, words: &str) {
    let wide = Text::width_of(words, 3.6);
    let upright = 0.5 <= out.x.abs();
    let off = if upright {
        Vector::new(0.0, wide / 2.0 + 3.2)
    } else {
        Vector::new(wide / 2.0 + 3.2, 0.0)
    };
    let box_at = |middle: Point| words_box(middle, wide, upright);
    let mut best: Option<(f64, Point, Point)> = None;
    for &place in places {
        let tip = place + out * 6.4;
        for side in [1.0, -1.0] {
            let middle = tip + off * side + out * 1.5;
            let cost = canvas.places.cost(caret_box(tip, out))
                + canvas.places.cost(box_at(middle));
            if best.is_none_or(|(least, ..)| cost + 0.5 < least) {
                best = Some((cost, tip, middle));
            }
        }
    }
    let Some((_, tip, middle)) = best else { return };
    for side in [out.left(), out.right()] {
        canvas.scene.straight(tip, tip + out * 3.0 + side * 1.8, Pen::NotNow);
    }
    canvas.places.add_box(caret_box(tip, out).grown(1.0));
    canvas.places.add_box(box_at(middle));
    let text = Text::new(middle, words, 3.6).bold();
    canvas.scene.letters(if upright { text.upright() } else { text.centred() });
}

fn caret_box(tip: Point, out: Vector) -> Bounds {
    let foot = tip + out * 3.0;
    Bounds::EMPTY.with(tip).with(foot + out.left() * 1.8).with(foot + out.right() * 1.8)
}

fn words_box(middle: Point, wide: f64, upright: bool) -> Bounds {
    let (x, y) = if upright { (1.6, wide / 2.0) } else { (wide / 2.0, 1.6) };
    let half = Vector::new(x, y);
    Bounds { low: middle - half, high: middle + half }
}

/// The grain: a long arrow with two heads on each part, where it covers least and lies on
/// the wood.
pub(super) fn grain(canvas: &mut Canvas<'_>, degrees: f64) {
    let plan = canvas.plan;
    for (index, part) in plan.parts.iter().enumerate() {
        let view = canvas.view(index);
        let own = if part.outline.mirrored { of_mirror_image(degrees) } else { degrees };
        let way = Vector::at_angle(own.to_radians());
        let on_page = view.direction(way);
        let bounds = part
            .outline
            .loops
            .iter()
            .fold(Bounds::EMPTY, |all, ring| all.joined(&ring.bounds()));
        let across = bounds.width() * way.x.abs() + bounds.height() * way.y.abs();
        let mut best: Option<(f64, Point, f64)> = None;
        for share in [0.24, 0.15, 0.09] {
            let half = (across * view.scale * share).clamp(8.0, 32.0);
            for middle in grid(bounds) {
                let at = view.point(middle);
                let off = off_wood(&part.outline, middle, way * (half / view.scale));
                let cost = canvas
                    .places
                    .path_cost(&[at - on_page * half, at + on_page * half], ABOUT)
                    + 6.0 * off
                    - 0.15 * half;
                if best.is_none_or(|(least, ..)| cost < least) {
                    best = Some((cost, at, half));
                }
            }
        }
        let Some((_, middle, half)) = best else { continue };
        let (from, to) = (middle - on_page * half, middle + on_page * half);
        canvas.turned_about((middle, part.outline.mirrored), |canvas| {
            double_arrow(&mut canvas.scene, from, to);
        });
        canvas.places.add_path(&[from, to], ABOUT);
        let label = Label { text: "GRAIN".to_owned(), size: 4.6, room: 0.4 };
        let off = if on_page.x.abs() < 0.7 {
            Vector::new(11.0, 0.0)
        } else {
            Vector::new(0.0, 4.8)
        };
        let candidates =
            [0.0, 0.5, -0.5, 0.8, -0.8].map(|share| middle + on_page * (half * share));
        let mut candidates: Vec<Point> =
            candidates.into_iter().flat_map(|at| [at + off, at - off]).collect();
        // Farther off where an edge or the arrow itself, on a slant, lies there.
        candidates.extend([middle + off * 1.9, middle - off * 1.9]);
        let beyond = on_page * (half + 4.0 + 8.0 * on_page.x.abs());
        let is_on_wood =
            |at: &Point| super::edges::holds(&part.outline, &view, *at, &label);
        let on_wood = candidates.iter().any(is_on_wood);
        candidates.extend(
            [middle + beyond, middle - beyond].iter().filter(|at| is_on_wood(at)),
        );
        if on_wood {
            candidates.retain(is_on_wood);
        }
        let text = canvas.places.label(&label, &candidates);
        canvas.scene.letters(text);
    }
}

/// Points spread over a box, the middle ones first.
fn grid(bounds: Bounds) -> impl Iterator<Item = Point> {
    let shares = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88];
    shares.into_iter().flat_map(move |y| {
        shares.map(|x| bounds.low + Vector::new(bounds.width() * x, bounds.height() * y))
    })
}

/// How many of some points along an arrow do not lie on the wood.
fn off_wood(outline: &Outline, middle: Point, half: Vector) -> f64 {
    let steps = [-1.0, -0.5, 0.0, 0.5, 1.0];
    let off = steps.into_iter().filter(|&step| {
        let at = middle + half * step;
        outline.loops.iter().map(|ring| ring.winding(at)).sum::<i32>() <= 0
    });
    off.map(|_| 1.0).sum()
}

/// Half of what the grain's arrow takes across, with room.
const ABOUT: f64 = 2.0;

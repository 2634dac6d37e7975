//! The picture of a layout: light lines thin, lines to be cut thick, points numbered.

use super::steps::{Light, SetOut};
use super::words;
use crate::draw::{
    Frame, Mark, Pen, Places, Scene, Text, TitleBlock, View, box_about, column, numbered,
    part_cells,
};
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use crate::outline::{Edge, Outline};
use crate::read::Role;

/// Room round the part on the page, for numbers and the ends of light lines.
const ROOM: f64 = 20.0;
/// How far light lines run past the part, on the page.
const PAST: f64 = 6.0;

/// More light lines than this leave no letters any room between them.
const CROWDED: usize = 12;

/// The picture.
pub(super) fn picture(outline: &Outline, made: &SetOut, id: &str) -> Scene {
    let mut scene = Scene::a4_lying(format!("Layout of {}", outline.name));
    let bounds = outline.bounds();
    let laid = [Frame::below(&scene), Frame::beside(&scene)].map(|frame| {
        let cells = part_cells(&[bounds], frame.drawing, ROOM, false);
        (frame, cells)
    });
    // Whichever shows the part larger.
    let [below, beside] = laid;
    let larger = below.1.views[0].scale < beside.1.views[0].scale;
    let (frame, cells) = if larger { beside } else { below };
    let view = cells.views[0];
    let title = TitleBlock {
        name: outline.name.clone(),
        heading: "LAYOUT".to_owned(),
        lines: vec![format!("Plan {id}"), format!("Scale {}", cells.words)],
    };
    frame.draw(&mut scene, &title);
    light(&mut scene, made, (&view, bounds));
    cut(&mut scene, outline, &view);
    let mut places = Places::new(frame.drawing.grown(-2.0));
    if made.light.len() < CROWDED {
        for mark in &scene.marks {
            if let Mark::Line(pieces, Pen::Fine | Pen::Centre) = mark {
                places.add_line(pieces);
            }
        }
    }
    for ring in &outline.loops {
        places.add_line(&view.pieces(ring.pieces()));
    }
    let (shown, off_page) = shown(made, &view, frame.drawing.grown(-3.0));
    crosses(&mut scene, &mut places, outline, &view);
    numbers(&mut scene, &mut places, (made, &shown), &view);
    keep(&mut scene, &mut places, outline, &view);
    let mut notes = vec![
        "Thin: light lines, rubbed out in the end. Thick: cut. Half thick: the stock's own edges."
            .to_owned(),
        format!(
            "Numbers: the points of the steps. Reference edge {}, reference end at the {}.",
            if made.sides.far { "ABOVE" } else { "BELOW" },
            if made.sides.right { "RIGHT" } else { "LEFT" }
        ),
    ];
    if !off_page.is_empty() {
        let off = words::named(&off_page);
        notes.push(format!("Off this page, beside the stock: {off}."));
    }
    column(&mut scene, frame.notes, &notes, 4.6);
    scene
}

/// The points of the layout that the page shows, and those it does not.
fn shown(made: &SetOut, view: &View, page: Bounds) -> (Vec<usize>, Vec<usize>) {
    let on_page = |&point: &usize| {
        page.distance_squared(view.point(made.drawn(made.truly[point]))) <= 0.0
    };
    (0..made.truly.len()).partition(on_page)
}

/// The light lines: squared across, and gauged along.
fn light(scene: &mut Scene, made: &SetOut, (view, bounds): (&View, Bounds)) {
    let at = |x: f64, y: f64| view.point(made.drawn(Point::new(x, y)));
    let (long, wide) = (bounds.width(), bounds.height());
    let level = |scene: &mut Scene, y: f64, pen: Pen| {
        let past = PAST / view.scale;
        scene.straight(at(-past, y), at(long + past, y), pen);
    };
    for step in &made.light {
        match step {
            Light::Running(marks) => {
                let past = PAST / view.scale;
                for (_, points) in marks {
                    let x = made.truly[points[0]].x;
                    scene.straight(at(x, -past), at(x, wide + past), Pen::Fine);
                }
            }
            Light::Gauge { near, far, .. } => {
                for points in [near, far].into_iter().filter(|points| !points.is_empty())
                {
                    level(scene, made.truly[points[0]].y, Pen::Fine);
                }
            }
            Light::Centre { .. } => level(scene, wide / 2.0, Pen::Centre),
            Light::Beside { .. } => {}
        }
    }
}

fn cut(scene: &mut Scene, outline: &Outline, view: &View) {
    for edge in &outline.edges {
        let ring = &outline.loops[edge.span.on];
        let pieces: Vec<Piece> = ring.run(edge.span.from, edge.span.length);
        let pen = if edge.role == Role::Rout { Pen::Now } else { Pen::Border };
        scene.line(view.pieces(&pieces), pen);
    }
}

fn numbers(
    scene: &mut Scene,
    places: &mut Places,
    (made, shown): (&SetOut, &[usize]),
    view: &View,
) {
    const RING: f64 = 8.4;
    for &point in shown {
        let at = view.point(made.drawn(made.truly[point]));
        let ways = [45.0_f64, 135.0, 225.0, 315.0, 90.0, 270.0, 0.0, 180.0];
        let round = |radius: f64| {
            ways.map(|degrees| at + Vector::at_angle(degrees.to_radians()) * radius)
        };
        let candidates: Vec<Point> =
            [8.0, 12.0, 17.0].into_iter().flat_map(round).collect();
        let place = places.best(&candidates, RING, RING);
        if let Some(way) = (at - place).unit().filter(|_| 7.0 < at.distance(place)) {
            scene.straight(place + way * 4.0, at - way * 0.6, Pen::Fine);
        }
        numbered(scene, place, &(point + 1).to_string());
    }
}

/// KEEP on the part.
fn keep(scene: &mut Scene, places: &mut Places, outline: &Outline, view: &View) {
    let bounds = outline.bounds();
    let across = [0.5, 0.35, 0.65, 0.25, 0.75, 0.12, 0.88];
    let inside = across.into_iter().flat_map(|x| {
        across.map(|y| bounds.low + Vector::new(bounds.width() * x, bounds.height() * y))
    });
    let inside: Vec<Point> =
        inside.filter(|&at| is_wood(outline, at)).map(|at| view.point(at)).collect();
    if !inside.is_empty() {
        let at = places.best(&inside, 24.0, 8.0);
        scene.letters(Text::new(at, "KEEP", 7.0).bold().centred());
    }
}

/// Whether wood of the part lies here.
fn is_wood(outline: &Outline, at: Point) -> bool {
    0 < outline.loops.iter().map(|ring: &Loop| ring.winding(at)).sum::<i32>()
}

/// X on the waste beside every edge that is cut: on the stock, so that a finger whose end is cut
/// is not taken for waste; only where there is none of that, off it.
fn crosses(scene: &mut Scene, places: &mut Places, outline: &Outline, view: &View) {
    let bounds = outline.bounds();
    let on_stock = |at: Point| bounds.distance_squared(at) <= 0.0;
    let cut = || outline.edges.iter().filter(|edge| edge.role == Role::Rout);
    let beside: Vec<Vec<Point>> =
        cut().map(|edge| waste_beside(outline, edge, view)).collect();
    let mut spots: Vec<Vec<Point>> = beside.clone();
    for spots in &mut spots {
        spots.retain(|&at| on_stock(view.back(at)));
    }
    if spots.iter().all(Vec::is_empty) {
        spots = beside;
    }
    let mut set: Vec<Point> = Vec::new();
    for spots in spots {
        let cost = |at: Point| places.cost(box_about(at, (CROSS, CROSS)));
        let best = spots.into_iter().min_by(|&a, &b| cost(a).total_cmp(&cost(b)));
        let Some(at) = best.filter(|&at| cost(at) < MOST_COVERED) else { continue };
        if set.iter().all(|other| 3.0 * CROSS < other.distance(at)) {
            places.add_box(box_about(at, (CROSS, CROSS)));
            scene.letters(Text::new(at, "X", CROSS + 1.0).bold().centred());
            set.push(at);
        }
    }
}

/// How large an X is on the page.
const CROSS: f64 = 4.0;
/// An X that covers more than this of what is there is not set.
const MOST_COVERED: f64 = 6.0;

/// Places for an X beside an edge, on the page; those nearer its middle first.
fn waste_beside(outline: &Outline, edge: &Edge, view: &View) -> Vec<Point> {
    let ring = &outline.loops[edge.span.on];
    if view.scale * edge.span.length < 2.0 * CROSS {
        return Vec::new();
    }
    let at = |share: f64, off: f64| {
        let along = ring.wrapped(edge.span.from + edge.span.length * share);
        let out = view.direction(ring.direction_after(along).right());
        view.point(ring.at(along)) + out * off
    };
    let shares = [0.5, 0.35, 0.65, 0.2, 0.8];
    let spots = [5.5, 3.2, 8.0].into_iter().flat_map(|off| shares.map(|it| at(it, off)));
    spots.filter(|&spot| !is_wood(outline, view.back(spot))).collect()
}

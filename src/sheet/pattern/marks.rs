//! The marks of a part at full size, in the drawing's own frame.

use super::{Part, Spot};
use crate::draw::{
    Label, Mark, Pen, Places, Scene, Text, box_about, double_arrow, numbered,
};
use crate::geom::{Bounds, Loop, Piece, Point, Vector, nearest_loop};
use crate::read::Role;

/// A part drawn: its marks, and where letters may still go.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    pub(super) outline: Vec<Loop>,
    pub(super) marks: Vec<Mark>,
    pub(super) places: Places,
    grain: Vector,
}

/// Draws a part.
pub(super) fn drawn(part: &Part<'_>, grain: f64) -> Drawn {
    let outline = part.template.unwrap_or(&part.outline.loops).to_vec();
    let bounds: Bounds = outline.iter().map(Loop::bounds).collect();
    let mut places = Places::new(bounds.grown(40.0));
    let mut scene = Scene::sized((0.0, 0.0), "");
    for ring in &outline {
        places.add_line(ring.pieces());
    }
    match part.template {
        Some(template) => template_edges(&mut scene, part, template),
        None => edges(&mut scene, part),
    }
    for spot in &part.spots {
        put_spot(&mut scene, &mut places, spot);
    }
    waste(&mut scene, &mut places, part);
    names(&mut scene, &mut places, part);
    let grain = Vector::at_angle(grain.to_radians());
    Drawn { outline, marks: scene.marks, places, grain }
}

/// Every edge: what is cut to, and what lies on the board's own edges.
fn edges(scene: &mut Scene, part: &Part<'_>) {
    for edge in &part.outline.edges {
        let ring = &part.outline.loops[edge.span.on];
        let pieces = ring.run(edge.span.from, edge.span.length);
        let pen = if edge.role == Role::Rout { Pen::Cut } else { Pen::NeverCut };
        scene.line(pieces, pen);
    }
}

/// The template, cut to all round, over the part that lies under it.
fn template_edges(scene: &mut Scene, part: &Part<'_>, template: &[Loop]) {
    for edge in &part.outline.edges {
        let ring = &part.outline.loops[edge.span.on];
        let pieces = ring.run(edge.span.from, edge.span.length);
        let pen = if edge.role == Role::Rout { Pen::Hidden } else { Pen::NeverCut };
        scene.line(pieces, pen);
    }
    for ring in template {
        scene.line(ring.pieces().to_vec(), Pen::Cut);
    }
}

/// Where a pattern's waste begins: along the edges that are cut, or all round a template.
fn cut_runs<'a>(part: &'a Part<'_>) -> Vec<(&'a Loop, f64, f64)> {
    if let Some(template) = part.template {
        let runs = template.iter().flat_map(|ring| {
            let pieces = ring.pieces().iter().enumerate();
            pieces.map(move |(index, piece)| (ring, ring.start_of(index), piece.length()))
        });
        return runs.collect();
    }
    let cut = part.outline.edges.iter().filter(|edge| edge.role == Role::Rout);
    cut.map(|edge| (&part.outline.loops[edge.span.on], edge.span.from, edge.span.length))
        .collect()
}

/// A letter or a number, in the wood beside its place.
fn put_spot(scene: &mut Scene, places: &mut Places, spot: &Spot) {
    let along = spot.inward.left();
    let ways = [0.0, 5.0, -5.0, 11.0, -11.0];
    let candidates = [8.0, 11.0, 15.0, -9.0]
        .into_iter()
        .flat_map(|depth| ways.map(|way| spot.at + spot.inward * depth + along * way));
    let candidates: Vec<Point> = candidates.collect();
    let at = places.best(&candidates, 9.0, 9.0);
    // A leader, where the mark had to stand away from its place.
    if let Some(way) = (spot.at - at).unit().filter(|_| LEADER < at.distance(spot.at)) {
        scene.straight(at + way * 4.5, spot.at - way, Pen::Fine);
    }
    if spot.ringed {
        numbered(scene, at, &spot.text);
    } else {
        scene.letters(Text::new(at, spot.text.clone(), 7.5).bold().centred());
    }
}

/// A mark farther than this from its place has a leader to it.
const LEADER: f64 = 9.0;

/// How far from the line an X stands, nearest first, and how far apart they are.
const X_OFF: [f64; 3] = [8.0, 5.5, 4.0];
const X_APART: f64 = 45.0;

/// X on the waste along every edge that is cut.
fn waste(scene: &mut Scene, places: &mut Places, part: &Part<'_>) {
    let loops = part.template.unwrap_or(&part.outline.loops);
    for (ring, from, length) in cut_runs(part) {
        let n_marks = (length / X_APART).round().max(1.0);
        let mut mark = 0.5;
        while mark < n_marks {
            let along = ring.wrapped(from + length * mark / n_marks);
            let (foot, out) = (ring.at(along), ring.direction_after(along).right());
            let place = X_OFF.into_iter().find_map(|off| {
                let at = foot + out * off;
                let free = !is_wood(loops, at) && 0.7 * off <= distance(loops, at);
                free.then_some((at, off * 0.35))
            });
            if let Some((at, arm)) = place {
                let (up, down) = (Vector::new(arm, arm), Vector::new(arm, -arm));
                scene.straight(at - up, at + up, Pen::Border);
                scene.straight(at - down, at + down, Pen::Border);
                places.add_box(box_about(at, (2.0 * arm, 2.0 * arm)));
            }
            mark += 1.0;
        }
    }
}

/// What lies on the board's own edges, said beside them.
fn names(scene: &mut Scene, places: &mut Places, part: &Part<'_>) {
    const EVERY: f64 = 180.0;
    for edge in &part.outline.edges {
        let words = match edge.role {
            Role::Rout | Role::RunOn => continue,
            Role::TrueAlready if part.template.is_some() => {
                "BOARD'S EDGE lies on this line"
            }
            Role::TrueAlready => "BOARD'S EDGE: lay this line on it",
            Role::GoesOn if part.template.is_some() => continue,
            Role::GoesOn => "GOES ON past this line",
        };
        let ring = &part.outline.loops[edge.span.on];
        let n_marks = (edge.span.length / EVERY).floor().max(1.0);
        let mut mark = 0.5;
        while mark < n_marks {
            let along = ring.wrapped(edge.span.from + edge.span.length * mark / n_marks);
            along_edge(scene, places, (ring, along), words);
            mark += 1.0;
        }
    }
}

/// Letters along an edge, read level or from the right, whichever lies nearer to its way.
fn along_edge(
    scene: &mut Scene,
    places: &mut Places,
    (ring, along): (&Loop, f64),
    words: &str,
) {
    let (way, size) = (ring.direction_after(along), 4.0);
    let upright = way.x.abs() < way.y.abs();
    let label = Label { text: words.to_owned(), size, room: 0.6 };
    let (width, height) = label.size_of_box();
    let size_of_box = if upright { (height, width) } else { (width, height) };
    let foot = ring.at(along);
    let candidates = [4.0, 6.5, 10.0].into_iter().flat_map(|depth| {
        [0.0, 20.0, -20.0, 40.0, -40.0]
            .map(|slide| foot + way.left() * depth + way * slide)
    });
    let candidates: Vec<Point> = candidates.collect();
    let at = places.best(&candidates, size_of_box.0, size_of_box.1);
    let text = Text::new(at, words, size).bold();
    scene.letters(if upright { text.upright() } else { text.centred() });
}

impl Drawn {
    /// KEEP and the grain's arrow on one sheet, where the wood it shows is widest.
    pub(super) fn keep(&self, shown: &Bounds) -> Vec<Mark> {
        let mut scene = Scene::sized((0.0, 0.0), "");
        let mut places = self.places.clone();
        let room = shown.grown(-4.0);
        let wood = self.wood_points(&room);
        let (long, across) = (30.0, self.grain.left());
        let words = "KEEP";
        let label = Label { text: words.to_owned(), size: 8.0, room: 1.0 };
        if let Some(at) = best_place(&places, &wood, label.size_of_box()) {
            places.add_box(box_about(at, label.size_of_box()));
            scene.letters(Text::new(at, words, 8.0).bold().centred());
        }
        let (x, y) = (self.grain.x.abs(), self.grain.y.abs());
        let size = (2.0 * long * x + 9.0 * y, 2.0 * long * y + 9.0 * x);
        if let Some(at) = best_place(&places, &wood, size) {
            let [from, to] = [at - self.grain * long, at + self.grain * long];
            double_arrow(&mut scene, from, to);
            let side = if across.y < 0.0 { -across } else { across };
            let text = Text::new(at + side * 4.0, "GRAIN", 4.5).bold();
            scene.letters(if x < y { text.upright() } else { text.centred() });
        }
        scene.marks
    }

    /// Points in the wood on a sheet, each with its price: dearer near the line.
    fn wood_points(&self, room: &Bounds) -> Vec<(Point, f64)> {
        const STEP: f64 = 6.0;
        let mut points = Vec::new();
        let mut y = room.low.y;
        while y < room.high.y {
            let mut x = room.low.x;
            while x < room.high.x {
                let at = Point::new(x, y);
                if is_wood(&self.outline, at) {
                    let edge = (x - room.low.x)
                        .min(room.high.x - x)
                        .min(y - room.low.y)
                        .min(room.high.y - y);
                    let free = distance(&self.outline, at).min(edge).min(25.0);
                    points.push((at, (25.0 - free) * 2.0));
                }
                x += STEP;
            }
            y += STEP;
        }
        points
    }
}

/// The best place for a box of this size, unless all are bad.
fn best_place(
    places: &Places,
    points: &[(Point, f64)],
    size: (f64, f64),
) -> Option<Point> {
    /// A place that covers more than this of what is drawn is not taken.
    const BAD: f64 = 60.0;
    if points.is_empty() {
        return None;
    }
    let at = places.best_weighed(points, |_| 0.0, size);
    (places.cost(box_about(at, size)) < BAD).then_some(at)
}

fn is_wood(loops: &[Loop], at: Point) -> bool {
    0 < loops.iter().map(|ring| ring.winding(at)).sum::<i32>()
}

fn distance(loops: &[Loop], at: Point) -> f64 {
    nearest_loop(loops, at).map_or(f64::INFINITY, |(distance, ..)| distance)
}

/// Long straight lines through all sheets: they must come out straight when the sheets lie
/// true.
pub(super) fn sight_lines(bounds: &Bounds) -> Vec<Mark> {
    let Bounds { low, high } = *bounds;
    let corners = [(low, high), (Point::new(low.x, high.y), Point::new(high.x, low.y))];
    let line = |(from, to)| Mark::Line(vec![Piece::line(from, to)], Pen::Centre);
    corners.map(line).into()
}

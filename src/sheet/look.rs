//! What was read, without a plan: sizes, loops, edges with their roles, as words, data and a
//! picture.

use super::{data_text, file_stem, put};
use crate::diag::Problem;
use crate::draw::{
    Frame, Label, Pen, Places, Scene, Text, TitleBlock, View, part_cells, svg,
};
use crate::geom::{Bounds, Loop, Piece, Point};
use crate::outline::{Edge, Outline};
use crate::read::Role;
use crate::units::{Paper, Unit};
use serde::Serialize;

/// What was read.
#[derive(Debug)]
pub struct Look<'a> {
    /// The job's name.
    pub name: &'a str,
    /// Its parts.
    pub parts: &'a [Outline],
    /// How lengths are written that are not given in both systems.
    pub paper: Paper,
    /// What was repaired, and what else there is to know.
    pub notes: &'a [Problem],
}

/// Both systems of units: whoever drew in one sees at once if it was read in the other.
fn both(mm: f64) -> String {
    let inches = Paper { unit: Unit::Inch, fraction: 64 };
    format!("{} ({})", Paper::MM.length(mm), inches.length(mm))
}

impl Look<'_> {
    /// In words, a line a thing.
    pub fn words(&self) -> String {
        let mut out = String::new();
        for (first, part) in self.numbered() {
            let mut numbered = (first..).zip(&part.edges).peekable();
            let whole = part.bounds();
            put(&mut out, format_args!("{}\n", part.name));
            let (wide, high) = (both(whole.width()), both(whole.height()));
            put(&mut out, format_args!("  {wide} wide, {high} high\n"));
            let corner = self.paper.point((whole.low.x, whole.low.y));
            put(&mut out, format_args!("  its lower left corner lies at {corner}\n"));
            if 0.0 < part.deviation {
                put(
                    &mut out,
                    format_args!(
                        "  curves are followed by arcs, at most {} off\n",
                        self.paper.decimals(part.deviation, 4)
                    ),
                );
            }
            for (on, (ring, kind)) in part.loops.iter().zip(&part.kinds).enumerate() {
                let round = self.paper.length(ring.length());
                let (lines, arcs) = counted(ring);
                let kind = kind.word();
                put(
                    &mut out,
                    format_args!(
                        "  {kind}: {lines} lines and {arcs} arcs, {round} round\n"
                    ),
                );
                for (number, edge) in of_loop(&mut numbered, on) {
                    let words = edge_words((number, edge), ring, self.paper);
                    put(&mut out, format_args!("    {words}\n"));
                }
            }
        }
        out
    }

    /// The parts, each with the number of its first edge: numbers count through all parts.
    fn numbered(&self) -> impl Iterator<Item = (usize, &Outline)> {
        self.parts.iter().scan(1, |next, part| {
            let first = *next;
            *next += part.edges.len();
            Some((first, part))
        })
    }

    /// As JSON.
    pub fn data(&self) -> String {
        let parts = self.numbered().map(|(first, part)| part_data(first, part)).collect();
        let notes = self.notes.iter().map(|note| NoteData {
            id: note.id,
            weight: note.weight.word(),
            found: note.found.clone(),
            at: note.place.as_ref().and_then(|place| place.at),
        });
        data_text(&LookData { name: self.name, parts, notes: notes.collect() })
    }

    /// As a picture, face A up, each edge with its number.
    pub fn picture(&self) -> String {
        let mut scene = Scene::a4_lying(format!("{}, as read", self.name));
        let frame = Frame::beside(&scene);
        let sizes: Vec<Bounds> = self.parts.iter().map(Outline::bounds).collect();
        let cells = part_cells(&sizes, frame.drawing, ROOM, false);
        let mut places = Places::new(frame.drawing.grown(-1.5));
        for (part, view) in self.parts.iter().zip(&cells.views) {
            for edge in &part.edges {
                let run = on_page(part, edge, view);
                places.add_line(&run);
                let rout = matches!(edge.role, Role::Rout | Role::RunOn);
                scene.line(run, if rout { Pen::Now } else { Pen::NeverCut });
            }
        }
        let least = self.least_numbered();
        for ((first, part), view) in self.numbered().zip(&cells.views) {
            for (number, edge) in (first..).zip(&part.edges) {
                if least <= edge.span.length {
                    let run = on_page(part, edge, view);
                    scene.letters(label(&mut places, number, &run));
                }
            }
        }
        let lines = [vec!["#Edges".to_owned()], self.edge_lines(least)].concat();
        crate::draw::column(&mut scene, frame.notes, &lines, 4.2);
        let sizes = self.parts.iter().map(|part| {
            let whole = part.bounds();
            format!("{} × {}", both(whole.width()), both(whole.height()))
        });
        let scale = format!("scale {}", cells.words);
        let title = TitleBlock {
            name: self.name.to_owned(),
            heading: "AS READ: FACE A UP".to_owned(),
            lines: sizes
                .chain([scale, "Thick: to be routed. Thin: never cut.".to_owned()])
                .collect(),
        };
        frame.draw(&mut scene, &title);
        svg(&scene)
    }

    /// The shortest edge that bears its number in the picture, in mm: among thousands of numbers
    /// none could be read.
    fn least_numbered(&self) -> f64 {
        let edges = self.parts.iter().flat_map(|part| &part.edges);
        let mut lengths: Vec<f64> = edges.map(|edge| edge.span.length).collect();
        lengths.sort_by(|a, b| b.total_cmp(a));
        lengths.get(MOST_NUMBERED - 1).copied().unwrap_or(0.0)
    }

    /// What is done to the edges, a line for each run of them that are alike.
    fn edge_lines(&self, least: f64) -> Vec<String> {
        let mut runs: Vec<(usize, usize, String)> = Vec::new();
        for (number, edge) in
            self.numbered().flat_map(|(first, p)| (first..).zip(&p.edges))
        {
            let words = format!("{}{}", edge.role.words(), named(edge).replace('`', ""));
            match runs.last_mut() {
                Some((_, last, before)) if *before == words => *last = number,
                _ => runs.push((number, number, words)),
            }
        }
        let n_lines = runs.len();
        let line = |(first, last, words): (usize, usize, String)| match last - first {
            0 => format!("{first}  {words}"),
            1 => format!("{first}, {last}  {words}"),
            _ => format!("{first} to {last}  {words}"),
        };
        let mut lines: Vec<String> =
            runs.into_iter().take(MOST_LINES).map(line).collect();
        if MOST_LINES < n_lines {
            lines.push("The others stand in the words beside the picture.".to_owned());
        }
        if 0.0 < least {
            lines.push("Only the longest edges bear their numbers.".to_owned());
        }
        lines
    }

    /// The picture's file name.
    pub fn picture_name(&self) -> String {
        format!("{}-look.svg", file_stem(self.name))
    }
}

/// So many edges bear their numbers in the picture: more than a sheet has room for (from memory).
const MOST_NUMBERED: usize = 150;
/// So many lines fit beside the picture.
const MOST_LINES: usize = 40;
/// Room round a part for its numbers, in mm on the page.
const ROOM: f64 = 12.0;

fn part_data(first: usize, part: &Outline) -> PartData {
    let Bounds { low, high } = part.bounds();
    let mut numbered = (first..).zip(&part.edges).peekable();
    let mut loops = Vec::new();
    for (on, (ring, kind)) in part.loops.iter().zip(&part.kinds).enumerate() {
        let (lines, arcs) = counted(ring);
        let edges = of_loop(&mut numbered, on);
        let edges = edges.map(|(number, edge)| edge_data(number, edge, ring)).collect();
        let (kind, length) = (kind.word(), ring.length());
        loops.push(LoopData { kind, length, lines, arcs, edges });
    }
    PartData {
        name: part.name.clone(),
        area: part.area(),
        bounds: [low.x, low.y, high.x, high.y],
        deviation: part.deviation,
        loops,
    }
}

/// The next edges of a part with their numbers, as far as they are of this loop: edges stand in the
/// order of their loops.
fn of_loop<'p, 'i, I>(
    numbered: &'i mut std::iter::Peekable<I>,
    on: usize,
) -> impl Iterator<Item = (usize, &'p Edge)> + 'i
where
    I: Iterator<Item = (usize, &'p Edge)>,
{
    std::iter::from_fn(move || numbered.next_if(|(_, edge)| edge.span.on == on))
}

fn on_page(part: &Outline, edge: &Edge, view: &View) -> Vec<Piece> {
    view.pieces(&part.loops[edge.span.on].run(edge.span.from, edge.span.length))
}

/// The number of an edge, off its middle on the waste side where there is room.
fn label(places: &mut Places, number: usize, run: &[Piece]) -> Text {
    let label = Label { text: number.to_string(), size: 4.0, room: 0.6 };
    let length: f64 = run.iter().map(Piece::length).sum();
    let mut spots: Vec<Point> = Vec::new();
    for share in [0.5, 0.4, 0.6, 0.3, 0.7] {
        let mut along = share * length;
        for piece in run {
            let own = piece.length();
            if along <= own && 0.0 < own {
                let (at, out) =
                    (piece.at(along / own), piece.direction(along / own).right());
                spots.extend([5.0, -5.0, 8.0].map(|off| at + out * off));
                break;
            }
            along -= own;
        }
    }
    places.label(&label, &spots)
}

fn counted(ring: &Loop) -> (usize, usize) {
    let arcs = ring.pieces().iter().filter(|piece| piece.radius().is_some()).count();
    (ring.pieces().len() - arcs, arcs)
}

fn named(edge: &Edge) -> String {
    edge.name.as_ref().map_or_else(String::new, |name| format!(", `{name}`"))
}

fn edge_words((number, edge): (usize, &Edge), ring: &Loop, paper: Paper) -> String {
    let [from, to] = [edge.span.from, edge.span.from + edge.span.length].map(|along| {
        let at = ring.at(along);
        paper.point((at.x, at.y))
    });
    format!(
        "edge {number}: {}{}, {}, from {from} to {to}",
        edge.role.words(),
        named(edge),
        paper.length(edge.span.length)
    )
}

#[derive(Debug, Serialize)]
struct LookData<'a> {
    name: &'a str,
    parts: Vec<PartData>,
    notes: Vec<NoteData>,
}

#[derive(Debug, Serialize)]
struct PartData {
    name: String,
    area: f64,
    bounds: [f64; 4],
    deviation: f64,
    loops: Vec<LoopData>,
}

#[derive(Debug, Serialize)]
struct LoopData {
    kind: &'static str,
    length: f64,
    lines: usize,
    arcs: usize,
    edges: Vec<EdgeData>,
}

#[derive(Debug, Serialize)]
struct EdgeData {
    number: usize,
    name: Option<String>,
    role: &'static str,
    length: f64,
    from: [f64; 2],
    to: [f64; 2],
}

#[derive(Debug, Serialize)]
struct NoteData {
    id: &'static str,
    weight: &'static str,
    found: String,
    at: Option<(f64, f64)>,
}

fn edge_data(number: usize, edge: &Edge, ring: &Loop) -> EdgeData {
    let at = |along: f64| {
        let point = ring.at(along);
        [point.x, point.y]
    };
    EdgeData {
        number,
        name: edge.name.clone(),
        role: edge.role.words(),
        length: edge.span.length,
        from: at(edge.span.from),
        to: at(edge.span.from + edge.span.length),
    }
}

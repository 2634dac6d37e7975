//! One sheet of a pattern: the window with what it shows, the bars, and the words at its foot.

use super::Pattern;
use super::marks::{Drawn, sight_lines};
use super::printer::BAR;
use super::tiles::{Tile, Tiles};
use crate::draw::{Mark, Pen, SMALLEST, Scene, Text, arrow_along, column};
use crate::geom::{Bounds, Loop, Point, Vector};
use crate::units::{MM_PER_INCH, Paper, Unit};

/// What a sheet is made from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sheet<'a> {
    pub(super) pattern: &'a Pattern<'a>,
    pub(super) part: usize,
    pub(super) tiles: &'a Tiles,
    /// Its number, and how many there are.
    pub(super) number: (usize, usize),
}

impl Sheet<'_> {
    /// The sheet.
    pub(super) fn scene(&self, tile: Tile, drawn: &Drawn) -> Scene {
        let Sheet { pattern, part, tiles, .. } = *self;
        let part = &pattern.parts[part].outline.name;
        let name = tiles.name(tile).unwrap_or_default();
        let title = format!("{part}, full size, sheet {name}");
        let mut scene = Scene::sized(tiles.page, title);
        let (shown, shift) = (tiles.shown(tile), tiles.shift(tile));
        let mut marks: Vec<Mark> = Vec::new();
        if 1 < tiles.printed().count() {
            let bounds: Bounds = drawn.outline.iter().map(Loop::bounds).collect();
            marks.extend(sight_lines(&bounds));
        }
        marks.extend(drawn.marks.iter().cloned());
        marks.extend(drawn.keep(&shown));
        let seen = marks.iter().filter(|mark| mark.bounds().grown(2.0).meets(&shown));
        let seen = seen.map(|mark| mark.moved(shift)).collect();
        scene.marks.push(Mark::Inside(tiles.window, seen));
        for cross in tiles.crosses(tile) {
            put_cross(
                &mut scene,
                (cross + shift, tiles.window.high.x),
                (cross, self.pattern.paper),
            );
        }
        let Bounds { low, high } = tiles.window;
        let corners = [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)];
        scene.ring(&corners, Pen::Fine);
        bars(&mut scene, tiles.window);
        self.foot(&mut scene, tile);
        scene
    }

    fn foot(&self, scene: &mut Scene, tile: Tile) {
        let Sheet { pattern, part, tiles, number: (number, total) } = *self;
        let (window, part) = (tiles.window, &pattern.parts[part].outline.name);
        let low = Point::new(window.low.x + BAR + 12.0, window.low.y - 37.0);
        let block = Bounds { low, high: Point::new(window.high.x, window.low.y - 1.0) };
        let of = if pattern.parts[self.part].template.is_some() {
            "Template for "
        } else {
            ""
        };
        let mut lines = vec![format!("#{of}{part}")];
        if let Some(name) = tiles.name(tile).filter(|_| 1 < total) {
            lines.push(format!("#Sheet {name}, {number} of {total}"));
        }
        lines.push(format!("Plan {}.", pattern.id));
        lines.push("FULL SIZE: print at 100 %.".to_owned());
        lines.push("Measure all four bars before you cut.".to_owned());
        lines.extend(self.neighbours(tile));
        column(scene, block, &lines, 4.6);
    }

    /// Which sheets lie beside this one.
    fn neighbours(&self, tile: Tile) -> Option<String> {
        let Tile { column, row } = tile;
        let sides = [
            ("left", column.checked_sub(1).map(|column| Tile { column, row })),
            ("right", Some(Tile { column: column + 1, row })),
            ("above", Some(Tile { column, row: row + 1 })),
            ("below", row.checked_sub(1).map(|row| Tile { column, row })),
        ];
        let named = sides.into_iter().filter_map(|(side, tile)| {
            let name = tile.and_then(|tile| self.tiles.name(tile))?;
            Some(format!("{side} {name}"))
        });
        let named: Vec<String> = named.collect();
        let words = format!(
            "Lay crosses on crosses: {}. The dash-dot lines then run straight through.",
            named.join(", ")
        );
        (!named.is_empty()).then_some(words)
    }
}

/// Crosses lie on whole millimetres of the drawing, or on whole quarters of an inch.
pub(super) fn grid(paper: Paper) -> f64 {
    match paper.unit {
        Unit::Mm => 1.0,
        Unit::Inch => MM_PER_INCH / 4.0,
    }
}

/// A cross that two sheets share, with its place in the drawing.
fn put_cross(
    scene: &mut Scene,
    (at, right_most): (Point, f64),
    (world, paper): (Point, Paper),
) {
    let (right, up) = (Vector::new(4.0, 0.0), Vector::new(0.0, 4.0));
    scene.straight(at - right, at + right, Pen::Fine);
    scene.straight(at - up, at + up, Pen::Fine);
    let words = match paper.unit {
        Unit::Mm => format!("{:.0}, {:.0}", world.x, world.y),
        Unit::Inch => {
            format!("{:.2}, {:.2}", world.x / MM_PER_INCH, world.y / MM_PER_INCH)
        }
    };
    let (aside, up) = (Vector::new(0.8, 0.0), Vector::new(0.0, 0.8));
    // The words stay within what the printer reaches.
    let fits = at.x + Text::width_of(&words, SMALLEST) < right_most;
    scene.letters(if fits {
        Text::new(at + aside + up, words, SMALLEST)
    } else {
        Text::new(at - aside + up, words, SMALLEST).ending()
    });
}

/// Bars of 100 mm and of 4 in, across and up, and an arrow that points up the drawing.
fn bars(scene: &mut Scene, window: Bounds) {
    let inches = 4.0 * MM_PER_INCH;
    let low = window.low;
    let across = Vector::new(1.0, 0.0);
    for (length, words, down) in [(BAR, "100 mm", 8.0), (inches, "4 in", 20.0)] {
        let from = low - Vector::new(0.0, down);
        bar(scene, from, across * length);
        let at = from + Vector::new(length / 2.0, -4.4);
        scene.letters(Text::new(at, words, 3.8).bold().centred());
        let from = low - Vector::new(3.5 + (down - 8.0) / 12.0 * 6.0, 0.0);
        bar(scene, from, across.left() * length);
        let at = from + Vector::new(-2.6, length / 2.0);
        scene.letters(Text::new(at, words, 3.4).bold().upright());
    }
    let foot = low - Vector::new(7.0, 24.0);
    arrow_along(scene, &[foot, foot + Vector::new(0.0, 14.0)]);
    scene.letters(Text::new(foot - Vector::new(0.0, 3.0), "UP", 3.8).bold().centred());
}

/// A line with a tick at each end and at every quarter; it measures from the middle of the
/// first tick to the middle of the last.
fn bar(scene: &mut Scene, from: Point, way: Vector) {
    scene.straight(from, from + way, Pen::Fine);
    let tick = way.left().unit().unwrap_or_default();
    for (share, size) in [(0.0, 2.4), (0.25, 1.2), (0.5, 1.2), (0.75, 1.2), (1.0, 2.4)] {
        let at = from + way * share;
        scene.straight(at - tick * size, at + tick * size, Pen::Fine);
    }
}

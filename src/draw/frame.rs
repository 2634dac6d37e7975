//! The page's border, its title block bottom right, and columns of text.

use super::scene::{Pen, Scene, Text};
use crate::geom::{Bounds, Point};

/// What the title block says, a line each; the first is set large.
#[derive(Debug, Clone, PartialEq)]
pub struct TitleBlock {
    /// The job's name.
    pub name: String,
    /// What the page shows: `SET-UP 1 OF 2`.
    pub heading: String,
    /// Further lines.
    pub lines: Vec<String>,
}

/// How a page is divided.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Where the drawing goes.
    pub drawing: Bounds,
    /// Where notes go.
    pub notes: Bounds,
    /// Where the title block goes.
    pub title: Bounds,
}

const MARGIN: f64 = 7.0;
const COLUMN: f64 = 88.0;
const TITLE_HEIGHT: f64 = 64.0;
const FOOT: f64 = 70.0;

impl Frame {
    /// The drawing at the left, notes down the right edge, the title block below them.
    pub const fn beside(scene: &Scene) -> Self {
        let (right, top) = (scene.width - MARGIN, scene.height - MARGIN);
        let left = right - COLUMN;
        Self {
            drawing: bounds(MARGIN, MARGIN, left, top),
            notes: bounds(left, MARGIN + TITLE_HEIGHT, right, top),
            title: bounds(left, MARGIN, right, MARGIN + TITLE_HEIGHT),
        }
    }

    /// The drawing alone, without notes and title.
    pub const fn alone(scene: &Scene) -> Self {
        let nothing = bounds(0.0, 0.0, 0.0, 0.0);
        let drawing = bounds(1.0, 1.0, scene.width - 1.0, scene.height - 1.0);
        Self { drawing, notes: nothing, title: nothing }
    }

    /// The drawing over the whole width, notes below it, the title block at their right.
    pub const fn below(scene: &Scene) -> Self {
        let (right, top) = (scene.width - MARGIN, scene.height - MARGIN);
        let left = right - COLUMN;
        Self {
            drawing: bounds(MARGIN, MARGIN + FOOT, right, top),
            notes: bounds(MARGIN, MARGIN, left, MARGIN + FOOT),
            title: bounds(left, MARGIN, right, MARGIN + FOOT),
        }
    }

    /// Draws the borders and the title block.
    pub fn draw(&self, scene: &mut Scene, title: &TitleBlock) {
        for block in [self.drawing, self.notes, self.title] {
            scene.ring(&block.corners(), Pen::Border);
        }
        let (left, mut y) = (self.title.low.x + 3.0, self.title.high.y - 8.0);
        let room = self.title.width() - 6.0;
        let (size, rows) = name_rows(&title.name, room);
        for row in &rows {
            scene.letters(Text::new(Point::new(left, y), row, size).bold());
            y -= size * 1.15;
        }
        // The heading is set larger than a name in rows.
        y -= if rows.len() < 2 { 0.0 } else { 2.7 };
        let size = fitting(&title.heading, 6.0, room);
        scene.letters(Text::new(Point::new(left, y), title.heading.clone(), size).bold());
        let below =
            Bounds { low: self.title.low, high: Point::new(self.title.high.x, y - 0.5) };
        column(scene, below, &title.lines, 4.2);
    }
}

/// A name on one row as large as it fits, or on two smaller ones; what is longer is cut short.
fn name_rows(name: &str, room: f64) -> (f64, Vec<String>) {
    let size = fitting(name, 6.5, room);
    if Text::width_of(name, size) <= room {
        return (size, vec![name.to_owned()]);
    }
    let size = 4.2;
    let mut rows = wrapped(name, size, room * 0.94);
    if 2 < rows.len() {
        rows.truncate(2);
        rows[1].pop();
        rows[1].push('…');
    }
    (size, rows)
}

/// The largest type up to `size` at which the text is no wider than `room`, at least 3.5 mm.
fn fitting(text: &str, size: f64, room: f64) -> f64 {
    let wide = Text::width_of(text, size);
    if wide <= room { size } else { (size * room / wide).max(3.5) }
}

const fn bounds(left: f64, low: f64, right: f64, high: f64) -> Bounds {
    Bounds { low: Point::new(left, low), high: Point::new(right, high) }
}

/// The smallest type on a page.
pub const SMALLEST: f64 = 3.5;

/// How high lines of text stand in a block of this width.
pub fn column_height(lines: &[String], size: f64, width: f64) -> f64 {
    let rows = |line: &String| {
        let (line, bold) = weighed(line);
        wrapped(line, size, (width - 5.0) * share(bold)).len()
    };
    let height = |line| wrapped_height(rows(line), size);
    lines.iter().map(height).sum::<f64>() + size * 0.5
}

/// The height of a line of text that is broken into so many rows.
fn wrapped_height(n_rows: usize, size: f64) -> f64 {
    let rows = (0..n_rows).map(|_| size * 1.25).sum::<f64>();
    rows + size * 0.2
}

/// Sets lines of text in a block from its top, wrapped to its width, in type of `size` or, where
/// that does not fit, smaller. A line that starts with `#` is heavy.
pub fn column(scene: &mut Scene, block: Bounds, lines: &[String], size: f64) {
    column_down_to(scene, block, lines, (size, SMALLEST));
}

/// The same in type no smaller than `least`; how high the next line may begin.
pub fn column_down_to(
    scene: &mut Scene,
    block: Bounds,
    lines: &[String],
    (mut size, least): (f64, f64),
) -> f64 {
    let (left, room) = (block.low.x + 3.0, block.width() - 5.0);
    while least < size && block.height() < column_height(lines, size, block.width()) {
        size = (size - 0.1).max(least);
    }
    let mut y = block.high.y - size * 1.25;
    for line in lines {
        let (line, bold) = weighed(line);
        for part in wrapped(line, size, room * share(bold)) {
            let mut text = Text::new(Point::new(left, y), part, size);
            text.bold = bold;
            scene.letters(text);
            y -= size * 1.25;
        }
        y -= size * 0.2;
    }
    y + size * 1.25
}

/// A line without its mark, and whether it is heavy.
fn weighed(line: &str) -> (&str, bool) {
    line.strip_prefix('#').map_or((line, false), |rest| (rest, true))
}

/// The share of a row that letters may be reckoned to fill: heavy ones run wider.
const fn share(bold: bool) -> f64 {
    if bold { 0.9 } else { 1.0 }
}

/// A sample of a line with what it means beside it; returns the height of the next row.
pub fn key_row(scene: &mut Scene, at: Point, pen: Pen, words: &str) -> f64 {
    let (low, right) = (at.y + 1.2, at.x + 14.0);
    scene.straight(Point::new(at.x, low), Point::new(right, low), pen);
    scene.letters(Text::new(Point::new(right + 2.5, at.y), words, 3.8));
    at.y - 5.2
}

/// A text broken into lines no wider than `room`.
fn wrapped(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace().flat_map(|word| broken(word, size, room)) {
        let word = word.as_str();
        let longer =
            if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        // Lower-case text runs narrower than the capitals the width is counted by.
        if Text::width_of(&longer, size) * 0.88 <= room || line.is_empty() {
            line = longer;
        } else {
            lines.push(std::mem::replace(&mut line, word.to_owned()));
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// A word in pieces no wider than `room`.
fn broken(word: &str, size: f64, room: f64) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for letter in word.chars() {
        let last = pieces.last_mut().expect("there is a first piece");
        let longer = format!("{last}{letter}");
        if Text::width_of(&longer, size) * 0.88 <= room || last.is_empty() {
            *last = longer;
        } else {
            pieces.push(letter.to_string());
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_broken_between_words() {
        let lines = wrapped("the bit goes this way round", 4.0, 30.0);
        assert!(1 < lines.len(), "{lines:?}");
        assert_eq!(lines.join(" "), "the bit goes this way round", "nothing is lost");
    }

    #[test]
    fn a_long_name_stays_in_its_block() {
        for name in
            ["left and right rail of the long garden gate, second pair", &"x".repeat(300)]
        {
            let (size, rows) = name_rows(name, 82.0);
            assert!(rows.len() <= 2, "{rows:?}");
            for row in &rows {
                assert!(Text::width_of(row, size) * 0.88 <= 82.0, "{row}");
            }
        }
    }

    #[test]
    fn the_title_block_stands_bottom_right() {
        let scene = Scene::a4_lying("frame");
        for frame in [Frame::beside(&scene), Frame::below(&scene)] {
            assert!((scene.width - MARGIN - frame.title.high.x).abs() < 1e-9, "right");
            assert!((frame.title.low.y - MARGIN).abs() < 1e-9, "bottom");
        }
    }
}

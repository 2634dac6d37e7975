//! How a pattern is cut into sheets: windows of a page that lie over each other.

use crate::geom::{Bounds, Loop, Point, Vector};
use crate::shop::defaults;

/// Room on a page for the bars at its left, and for bars and words at its foot.
const LEFT: f64 = 14.0;
const FOOT: f64 = 38.0;
/// Room round the part for crosses and the X of the waste.
const ROUND: f64 = 16.0;

/// The sheets of one part.
#[derive(Debug, Clone)]
pub(super) struct Tiles {
    /// The page's width and height.
    pub(super) page: (f64, f64),
    /// The window on the page that shows the pattern.
    pub(super) window: Bounds,
    columns: usize,
    rows: usize,
    /// Where the low corner of the first window lies on the drawing.
    origin: Point,
    printed: Vec<Tile>,
}

/// One sheet: its column from the left and its row from below, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tile {
    pub(super) column: usize,
    pub(super) row: usize,
}

impl Tiles {
    /// The fewest sheets that show the outline: pages standing or, where that takes fewer,
    /// lying.
    pub(super) fn best(outline: &[Loop], page: (f64, f64)) -> Self {
        let standing = Self::on(outline, page);
        let lying = Self::on(outline, (page.1, page.0));
        if lying.printed.len() < standing.printed.len() { lying } else { standing }
    }

    /// One sheet as large as the part.
    pub(super) fn whole(outline: &[Loop]) -> Self {
        let bounds: Bounds = outline.iter().map(Loop::bounds).collect();
        let margin = 2.0 * defaults::PAPER_MARGIN.value;
        let page = (
            (bounds.width() + 2.0 * ROUND).max(180.0) + margin + LEFT,
            (bounds.height() + 2.0 * ROUND).max(110.0) + margin + FOOT,
        );
        Self::on(outline, page)
    }

    fn on(outline: &[Loop], page: (f64, f64)) -> Self {
        let margin = defaults::PAPER_MARGIN.value;
        let window = Bounds {
            low: Point::new(margin + LEFT, margin + FOOT),
            high: Point::new(page.0 - margin, page.1 - margin),
        };
        let bounds: Bounds = outline.iter().map(Loop::bounds).collect();
        let bounds = bounds.grown(ROUND);
        let (columns, wide) = count(bounds.width(), window.width());
        let (rows, high) = count(bounds.height(), window.height());
        let origin = bounds.centre() - Vector::new(wide, high) * 0.5;
        let mut tiles = Self { page, window, columns, rows, origin, printed: Vec::new() };
        let down = (0..rows).rev();
        let all =
            down.flat_map(|row| (0..columns).map(move |column| Tile { column, row }));
        tiles.printed = all.filter(|&tile| shows(&tiles.shown(tile), outline)).collect();
        tiles
    }

    /// The sheets that show some of the outline, from the top left as one reads.
    pub(super) fn printed(&self) -> impl Iterator<Item = Tile> {
        self.printed.iter().copied()
    }

    /// The name of a sheet: its row in letters from above, its column in figures from the
    /// left. None where there is no such sheet.
    pub(super) fn name(&self, tile: Tile) -> Option<String> {
        let row = self.rows.checked_sub(1)?.checked_sub(tile.row)?;
        let letter = ('A'..='Z').nth(row).unwrap_or('?');
        let is_printed = self.printed.contains(&tile);
        is_printed.then(|| format!("{letter}{}", tile.column + 1))
    }

    /// What a sheet shows of the drawing.
    pub(super) fn shown(&self, tile: Tile) -> Bounds {
        let step = |index: usize, window: f64| {
            let index = u32::try_from(index).map_or(0.0, f64::from);
            index * (window - defaults::PAPER_OVERLAP.value)
        };
        let (width, height) = (self.window.width(), self.window.height());
        let low =
            self.origin + Vector::new(step(tile.column, width), step(tile.row, height));
        Bounds { low, high: low + Vector::new(width, height) }
    }

    /// From the drawing to a sheet.
    pub(super) fn shift(&self, tile: Tile) -> Vector {
        self.window.low - self.shown(tile).low
    }

    /// The points on the drawing where a sheet has crosses: two in the overlap with each
    /// neighbour, the same on both.
    pub(super) fn crosses(&self, tile: Tile) -> Vec<Point> {
        let Bounds { low, high } = self.shown(tile);
        let half = defaults::PAPER_OVERLAP.value / 2.0;
        let mut crosses = Vec::new();
        let quarters = [0.25, 0.75];
        let upright =
            [(0 < tile.column, low.x), (tile.column + 1 < self.columns, high.x)];
        for (sign, (there, x)) in [half, -half].into_iter().zip(upright) {
            let ys = quarters.map(|share| low.y + (high.y - low.y) * share);
            crosses.extend(ys.iter().filter(|_| there).map(|&y| Point::new(x + sign, y)));
        }
        let level = [(0 < tile.row, low.y), (tile.row + 1 < self.rows, high.y)];
        for (sign, (there, y)) in [half, -half].into_iter().zip(level) {
            let xs = quarters.map(|share| low.x + (high.x - low.x) * share);
            crosses.extend(xs.iter().filter(|_| there).map(|&x| Point::new(x, y + sign)));
        }
        crosses
    }
}

/// How many windows cover a length, and how far they reach together.
fn count(length: f64, window: f64) -> (usize, f64) {
    let overlap = defaults::PAPER_OVERLAP.value;
    let (mut count, mut covered) = (1, window);
    while covered < length {
        count += 1;
        covered += window - overlap;
    }
    (count, covered)
}

/// Whether some of the outline lies in the box.
fn shows(shown: &Bounds, outline: &[Loop]) -> bool {
    /// Points tried along a piece, in mm.
    const STEP: f64 = 1.0;
    let pieces = outline.iter().flat_map(Loop::pieces);
    let mut near = pieces.filter(|piece| piece.bounds().meets(shown));
    near.any(|piece| {
        let n_steps = (piece.length() / STEP).ceil().max(1.0);
        let mut step = 0.0;
        while step <= n_steps {
            if shown.distance_squared(piece.at(step / n_steps)) <= 0.0 {
                return true;
            }
            step += 1.0;
        }
        false
    })
}

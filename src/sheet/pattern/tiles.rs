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
    /// How far each window lies beyond the last one, across and up.
    step: Vector,
    /// Crosses lie on whole multiples of this in the drawing, so that what stands beside them is
    /// what they are.
    grid: f64,
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
    pub(super) fn best(outline: &[Loop], page: (f64, f64), grid: f64) -> Self {
        let standing = Self::on(outline, page, grid);
        let lying = Self::on(outline, (page.1, page.0), grid);
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
        Self::on(outline, page, 1.0)
    }

    fn on(outline: &[Loop], page: (f64, f64), grid: f64) -> Self {
        let margin = defaults::PAPER_MARGIN.value;
        let window = Bounds {
            low: Point::new(margin + LEFT, margin + FOOT),
            high: Point::new(page.0 - margin, page.1 - margin),
        };
        let bounds: Bounds = outline.iter().map(Loop::bounds).collect();
        let bounds = bounds.grown(ROUND);
        let whole = |window: f64| {
            ((window - defaults::PAPER_OVERLAP.value) / grid).floor() * grid
        };
        let step = Vector::new(whole(window.width()), whole(window.height()));
        let (columns, wide) = count(bounds.width(), (window.width(), step.x));
        let (rows, high) = count(bounds.height(), (window.height(), step.y));
        let origin = bounds.centre() - Vector::new(wide, high) * 0.5;
        let printed = Vec::new();
        let mut tiles = Self { page, window, columns, rows, origin, step, grid, printed };
        let half = tiles.half_overlap();
        let first = origin + half;
        tiles.origin = Point::new(tiles.on_grid(first.x), tiles.on_grid(first.y)) - half;
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
        let times = |index: usize| u32::try_from(index).map_or(0.0, f64::from);
        let (width, height) = (self.window.width(), self.window.height());
        let low = self.origin
            + Vector::new(
                times(tile.column) * self.step.x,
                times(tile.row) * self.step.y,
            );
        Bounds { low, high: low + Vector::new(width, height) }
    }

    /// Half of what two windows share, across and up.
    fn half_overlap(&self) -> Vector {
        let size = self.window.high - self.window.low;
        (size - self.step) * 0.5
    }

    fn on_grid(&self, mm: f64) -> f64 {
        (mm / self.grid).round() * self.grid
    }

    /// From the drawing to a sheet.
    pub(super) fn shift(&self, tile: Tile) -> Vector {
        self.window.low - self.shown(tile).low
    }

    /// The points on the drawing where a sheet has crosses: two in the overlap with each
    /// neighbour, the same on both.
    pub(super) fn crosses(&self, tile: Tile) -> Vec<Point> {
        let Bounds { low, high } = self.shown(tile);
        let half = self.half_overlap();
        let mut crosses = Vec::new();
        let quarters = [0.25, 0.75];
        let upright =
            [(0 < tile.column, low.x), (tile.column + 1 < self.columns, high.x)];
        for (inside, (there, x)) in [half.x, -half.x].into_iter().zip(upright) {
            let ys = quarters.map(|share| self.on_grid(low.y + (high.y - low.y) * share));
            let x = self.on_grid(x + inside);
            crosses.extend(ys.iter().filter(|_| there).map(|&y| Point::new(x, y)));
        }
        let level = [(0 < tile.row, low.y), (tile.row + 1 < self.rows, high.y)];
        for (inside, (there, y)) in [half.y, -half.y].into_iter().zip(level) {
            let xs = quarters.map(|share| self.on_grid(low.x + (high.x - low.x) * share));
            let y = self.on_grid(y + inside);
            crosses.extend(xs.iter().filter(|_| there).map(|&x| Point::new(x, y)));
        }
        crosses
    }
}

/// How many windows, each a step beyond the last, cover a length, and how far they reach
/// together.
fn count(length: f64, (window, step): (f64, f64)) -> (usize, f64) {
    let (mut count, mut covered) = (1, window);
    while covered < length {
        count += 1;
        covered += step;
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

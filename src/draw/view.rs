//! From the drawing's frame to the page: scale, place, and turned over for face B.

use crate::geom::{Bounds, Piece, Point, Vector};

/// How one part comes to lie on the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// The point of the drawing that lies at `on_page`.
    pub centre: Point,
    /// Where on the page.
    pub on_page: Point,
    /// Millimetres on the page for a millimetre of the part.
    pub scale: f64,
    /// Turned over about the upright axis: seen on face B.
    pub turned_over: bool,
}

impl View {
    /// A point of the drawing on the page.
    pub fn point(&self, point: Point) -> Point {
        self.on_page + self.vector(point - self.centre)
    }

    /// The point of the drawing that lies at a point of the page.
    pub fn back(&self, on_page: Point) -> Point {
        let way = (on_page - self.on_page) * (1.0 / self.scale);
        let x = if self.turned_over { -way.x } else { way.x };
        self.centre + Vector::new(x, way.y)
    }

    /// A way on the drawing as a way on the page.
    pub fn vector(&self, way: Vector) -> Vector {
        let x = if self.turned_over { -way.x } else { way.x };
        Vector::new(x, way.y) * self.scale
    }

    /// A direction on the drawing as a direction on the page, length one.
    pub fn direction(&self, way: Vector) -> Vector {
        self.vector(way).unit().unwrap_or(Vector::new(1.0, 0.0))
    }

    /// A piece on the page, walked the same way.
    pub fn piece(&self, piece: &Piece) -> Piece {
        let (from, to) = (self.point(piece.from()), self.point(piece.to()));
        match *piece {
            Piece::Line { .. } => Piece::line(from, to),
            Piece::Arc { centre, sweep, .. } => {
                let sweep = if self.turned_over { -sweep } else { sweep };
                Piece::Arc { from, to, centre: self.point(centre), sweep }
            }
        }
    }

    /// Pieces on the page.
    pub fn pieces(&self, pieces: &[Piece]) -> Vec<Piece> {
        pieces.iter().map(|piece| self.piece(piece)).collect()
    }

    /// A box of the drawing on the page.
    pub fn bounds(&self, bounds: Bounds) -> Bounds {
        Bounds::EMPTY.with(self.point(bounds.low)).with(self.point(bounds.high))
    }
}

/// Where parts lie on the page: one view each, all at one scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Cells {
    /// A view for each part.
    pub views: Vec<View>,
    /// The scale in words: `1 : 2`.
    pub words: String,
}

/// The scales a picture may have, as (page, part), largest first.
const SCALES: [(u32, u32); 21] = [
    (5, 1),
    (3, 1),
    (2, 1),
    (3, 2),
    (1, 1),
    (2, 3),
    (1, 2),
    (2, 5),
    (1, 3),
    (1, 4),
    (1, 5),
    (1, 6),
    (1, 8),
    (1, 10),
    (1, 12),
    (1, 15),
    (1, 20),
    (1, 25),
    (1, 30),
    (1, 50),
    (1, 100),
];

/// The largest round scale up to `at_most`, and its words: `1 : 2`.
pub fn round_scale(at_most: f64) -> Option<(f64, String)> {
    SCALES.iter().find_map(|&(page, part)| {
        let scale = f64::from(page) / f64::from(part);
        (scale <= at_most).then(|| (scale, format!("{page} : {part}")))
    })
}

/// Lays parts of these sizes into `area`, above each other or side by side, whichever shows
/// them larger, with `gap` round each.
pub fn part_cells(parts: &[Bounds], area: Bounds, gap: f64, turned_over: bool) -> Cells {
    let fits = |scale: f64| layout(parts, area, gap, scale);
    let smallest =
        parts.iter().fold(1.0_f64, |all, part| all.max(part.width() + part.height()));
    let (scale, words, centres) = SCALES
        .iter()
        .find_map(|&(page, part)| {
            let scale = f64::from(page) / f64::from(part);
            fits(scale).map(|centres| (scale, format!("{page} : {part}"), centres))
        })
        .unwrap_or_else(|| {
            let scale = area.width().min(area.height()) / smallest / 4.0;
            let centres = vec![area.centre(); parts.len()];
            (scale, "not to scale".to_owned(), centres)
        });
    let views = parts.iter().zip(centres).map(|(part, on_page)| View {
        centre: part.centre(),
        on_page,
        scale,
        turned_over,
    });
    Cells { views: views.collect(), words }
}

/// The middles of the parts, if they fit at this scale.
fn layout(parts: &[Bounds], area: Bounds, gap: f64, scale: f64) -> Option<Vec<Point>> {
    let upright: Vec<(f64, f64)> = parts
        .iter()
        .map(|part| (part.height() * scale + 2.0 * gap, part.width() * scale + 2.0 * gap))
        .collect();
    let beside: Vec<(f64, f64)> =
        upright.iter().map(|&(high, wide)| (wide, high)).collect();
    if let Some(middles) = stacked(&upright, area.height(), area.width()) {
        let down = middles.into_iter().map(|way| area.high.y - way);
        return Some(down.map(|y| Point::new(area.centre().x, y)).collect());
    }
    let across = stacked(&beside, area.width(), area.height())?;
    Some(
        across.into_iter().map(|x| Point::new(area.low.x + x, area.centre().y)).collect(),
    )
}

/// The middles of cells one after the other along a way of this length, spread evenly; each
/// cell is given as how much it takes along the way and across it.
fn stacked(cells: &[(f64, f64)], length: f64, breadth: f64) -> Option<Vec<f64>> {
    let taken: f64 = cells.iter().map(|cell| cell.0).sum();
    let widest = cells.iter().map(|cell| cell.1).fold(0.0, f64::max);
    if length < taken || breadth < widest {
        return None;
    }
    let share = cells.iter().map(|_| 1.0).sum::<f64>().max(1.0);
    let spare = (length - taken) / share;
    let mut at = 0.0;
    Some(
        cells
            .iter()
            .map(|cell| {
                let middle = f64::midpoint(at, at + cell.0 + spare);
                at += cell.0 + spare;
                middle
            })
            .collect(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn face_b() -> View {
        let (centre, on_page) = (Point::new(50.0, 20.0), Point::new(100.0, 100.0));
        View { centre, on_page, scale: 2.0, turned_over: true }
    }

    #[test]
    fn face_b_is_turned_over_from_left_to_right() {
        let view = face_b();
        assert_eq!(view.point(Point::new(60.0, 25.0)), Point::new(80.0, 110.0));
        assert_eq!(view.back(Point::new(80.0, 110.0)), Point::new(60.0, 25.0));
        let (centre, from) = (Point::new(50.0, 20.0), Point::new(60.0, 20.0));
        let arc = Piece::arc_about(centre, from, std::f64::consts::FRAC_PI_2);
        let Piece::Arc { sweep, to, .. } = view.piece(&arc) else {
            panic!("it stays an arc")
        };
        assert!(sweep < 0.0, "it turns the other way");
        assert!(to.distance(Point::new(100.0, 120.0)) < 1e-9, "still up");
    }

    #[test]
    fn parts_are_laid_out_as_large_as_they_fit() {
        let part = Bounds { low: Point::new(0.0, 0.0), high: Point::new(100.0, 50.0) };
        let area = Bounds { low: Point::new(0.0, 0.0), high: Point::new(200.0, 200.0) };
        let cells = part_cells(&[part, part], area, 20.0, false);
        assert_eq!(cells.words, "1 : 1", "two of 50 and four gaps of 20 are 180 high");
        assert!(cells.views[1].on_page.y < cells.views[0].on_page.y, "the first above");
    }
}

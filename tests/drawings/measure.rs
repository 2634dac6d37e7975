//! What two readers of a drawing can be compared by.

use spelch::geom::{Curve, Piece, Point};
use spelch::read::{Drawing, Path, Stroke};
use std::fmt;

/// How far chords may stray from curves, in mm.
const CHORD: f64 = 1e-4;
/// Ends within this, in mm, close a line.
const CLOSES: f64 = 1e-2;

/// The length of all lines, the areas that closed ones go round, and how many close.
#[derive(Debug, Clone, Default)]
pub(crate) struct Measure {
    pub(crate) length: f64,
    pub(crate) area: f64,
    pub(crate) n_loops: usize,
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { length, area, n_loops } = self;
        write!(f, "{length:.2} mm, {n_loops} closed lines round {area:.2} mm²")
    }
}

impl Measure {
    /// That of a drawing as read.
    pub(crate) fn of(drawing: &Drawing) -> Self {
        let mut measure = Self::default();
        for path in &drawing.paths {
            measure.add(&points(path), path.closed);
        }
        measure
    }

    /// Adds a line by its points.
    pub(crate) fn add(&mut self, points: &[Point], closed: bool) {
        let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
        let closes = closed || first.distance(*last) <= CLOSES;
        let pairs: Vec<[Point; 2]> =
            points.windows(2).map(|pair| [pair[0], pair[1]]).collect();
        let length: f64 = pairs.iter().map(|[a, b]| a.distance(*b)).sum();
        if length <= CLOSES {
            return;
        }
        self.length += length;
        if closes {
            let twice: f64 = pairs
                .iter()
                .chain(&[[*last, *first]])
                .map(|[a, b]| (*a - *first).cross(*b - *first))
                .sum();
            self.length += first.distance(*last);
            self.area += (twice / 2.0).abs();
            self.n_loops += 1;
        }
    }
}

fn points(path: &Path) -> Vec<Point> {
    let mut points = vec![path.strokes[0].stroke.from()];
    for drawn in &path.strokes {
        let chords = match drawn.stroke {
            Stroke::Piece(piece) => chords(&piece),
            Stroke::Cubic(points) => Curve::Cubic(points).chords(CHORD),
            Stroke::Ellipse { centre, x, y, start, sweep } => {
                Curve::Ellipse { centre, x, y, start, sweep }.chords(CHORD)
            }
        };
        points.extend(chords.iter().map(Piece::to));
    }
    points
}

/// A piece in 256 chords: an arc of a half turn strays by 2e-5 of its radius.
fn chords(piece: &Piece) -> Vec<Piece> {
    if piece.radius().is_none() {
        return vec![*piece];
    }
    let at = |i: u32| piece.at(f64::from(i) / 256.0);
    (0..256).map(|i| Piece::line(at(i), at(i + 1))).collect()
}

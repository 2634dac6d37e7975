//! What of a drawing is seen through a circle: what lies outside is not drawn at all.

use super::look::look;
use super::scene::{Circle, Mark};
use crate::geom::{Bounds, Piece};

/// The marks of which something is seen through a circle; of long lines, the runs that are.
pub fn through(circle: Circle, marks: Vec<Mark>) -> Vec<Mark> {
    let window = Bounds::EMPTY.with(circle.centre).grown(circle.radius + WIDEST / 2.0);
    let met = marks.into_iter().filter(|mark| mark.bounds().meets(&window));
    met.flat_map(|mark| match mark {
        // Dashes are counted from where a line begins.
        Mark::Line(pieces, pen) if look(pen).dashes.is_empty() => {
            let runs = runs(&pieces, &window);
            runs.into_iter().map(|run| Mark::Line(run, pen)).collect()
        }
        mark => vec![mark],
    })
    .collect()
}

/// Wider than any pen draws, its corners and the rims of letters included, in mm (from
/// memory).
const WIDEST: f64 = 6.0;

/// The runs of pieces that meet a window; a closed line is not cut where it begins.
fn runs(pieces: &[Piece], window: &Bounds) -> Vec<Vec<Piece>> {
    let mut runs: Vec<Vec<Piece>> = Vec::new();
    let mut goes_on = false;
    for piece in pieces {
        let is_seen = piece.bounds().meets(window);
        match runs.last_mut().filter(|_| goes_on) {
            Some(run) if is_seen => run.push(*piece),
            _ if is_seen => runs.push(vec![*piece]),
            _ => {}
        }
        goes_on = is_seen;
    }
    let ends = |run: &Vec<Piece>| Some((run.first()?.from(), run.last()?.to()));
    let whole = pieces.first().zip(pieces.last());
    let is_closed =
        whole.is_some_and(|(first, last)| last.to().distance(first.from()) < 1e-6);
    if let [first, .., last] = runs.as_mut_slice()
        && is_closed
        && let (Some((start, _)), Some((_, end))) = (ends(first), ends(last))
        && end.distance(start) < 1e-6
    {
        last.append(first);
        runs.remove(0);
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::Pen;
    use crate::geom::Point;

    fn ring(corners: &[(f64, f64)]) -> Vec<Piece> {
        let at = |index: usize| {
            let (x, y) = corners[index % corners.len()];
            Point::new(x, y)
        };
        (0..corners.len()).map(|index| Piece::line(at(index), at(index + 1))).collect()
    }

    #[test]
    fn only_the_runs_that_are_seen_are_drawn() {
        let circle = Circle { centre: Point::new(0.0, 0.0), radius: 10.0 };
        let square = ring(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]);
        let seen = through(circle, vec![Mark::Line(square.clone(), Pen::Now)]);
        let [Mark::Line(run, Pen::Now)] = seen.as_slice() else { panic!("{seen:?}") };
        assert_eq!(run.as_slice(), [square[3], square[0]], "one run, over its beginning");
        let dashed = through(circle, vec![Mark::Line(square.clone(), Pen::Saw)]);
        assert_eq!(dashed, [Mark::Line(square.clone(), Pen::Saw)], "dashes stay");
        let far = Circle { centre: Point::new(50.0, 50.0), radius: 10.0 };
        assert_eq!(through(far, vec![Mark::Line(square, Pen::Now)]), []);
    }
}

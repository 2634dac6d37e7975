//! Letters and figures of single strokes, drawn for this project on a grid of 4 by 6.
//!
//! ```text
//!    . . o . .  6     A is `00 26 40;13 33`: from 0,0 to 2,6 and on to 4,0, then from 1,3 to 3,3
//!    . . . . .
//!    . . . . .
//!    . o - o .  3
//!    . . . . .
//!    . . . . .
//!    o . . . o  0
//!    0   2   4
//! ```
//!
//! Our own.

use crate::geom::{Point, Vector};

/// The strokes of each letter, one behind the other with `;` between: every point is two
/// figures, across and up.
const SHAPES: [(char, &str); 43] = [
    ('A', "00 26 40;13 33"),
    ('B', "00 06 36 45 44 33 03;33 42 41 30 00"),
    ('C', "45 36 16 05 01 10 30 41"),
    ('D', "00 06 26 44 42 20 00"),
    ('E', "46 06 00 40;03 33"),
    ('F', "46 06 00;03 33"),
    ('G', "45 36 16 05 01 10 30 41 43 23"),
    ('H', "00 06;40 46;03 43"),
    ('I', "20 26;10 30;16 36"),
    ('J', "01 10 30 41 46"),
    ('K', "00 06;46 03 40"),
    ('L', "06 00 40"),
    ('M', "00 06 23 46 40"),
    ('N', "00 06 40 46"),
    ('O', "10 01 05 16 36 45 41 30 10"),
    ('P', "00 06 36 45 44 33 03"),
    ('Q', "10 01 05 16 36 45 41 30 10;22 40"),
    ('R', "00 06 36 45 44 33 03;23 40"),
    ('S', "45 36 16 05 04 13 33 42 41 30 10 01"),
    ('T', "20 26;06 46"),
    ('U', "06 01 10 30 41 46"),
    ('V', "06 20 46"),
    ('W', "06 10 23 30 46"),
    ('X', "00 46;06 40"),
    ('Y', "06 23 46;23 20"),
    ('Z', "06 46 00 40"),
    ('0', "10 01 05 16 36 45 41 30 10;12 34"),
    ('1', "15 26 20;10 30"),
    ('2', "05 16 36 45 44 00 40"),
    ('3', "05 16 36 45 44 33 42 41 30 10 01;13 33"),
    ('4', "30 36 02 42"),
    ('5', "46 06 03 33 42 41 30 10 01"),
    ('6', "45 36 16 05 01 10 30 41 42 33 03"),
    ('7', "06 46 10"),
    ('8', "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33"),
    ('9', "01 10 30 41 45 36 16 05 04 13 43"),
    ('-', "13 33"),
    ('.', "10 11"),
    (',', "21 10"),
    ('/', "00 46"),
    ('"', "15 16;35 36"),
    ('+', "13 33;22 24"),
    ('_', "00 40"),
];

/// How wide a letter is, how far the next one starts behind it, and how high it is, in steps
/// of the grid.
const WIDE: f64 = 4.0;
const NEXT: f64 = 6.0;
const HIGH: f64 = 6.0;

/// How wide a text of this height is.
pub(super) fn width(text: &str, height: f64) -> f64 {
    let count = text.chars().fold(0.0, |count, _| count + 1.0);
    ((count - 1.0) * NEXT + WIDE).max(0.0) * height / HIGH
}

/// The strokes of a text of this height with its middle at a point; small letters are written
/// as capitals, and what there is no shape for as `_`.
pub(super) fn strokes(text: &str, height: f64, middle: Point) -> Vec<Vec<Point>> {
    let step = height / HIGH;
    let mut corner = middle - Vector::new(width(text, height) / 2.0, height / 2.0);
    let mut found = Vec::new();
    for letter in text.chars() {
        let place = |pair: &str| {
            let mut figures = pair.chars().filter_map(|figure| figure.to_digit(10));
            let [x, y] =
                [figures.next(), figures.next()].map(|n| f64::from(n.unwrap_or(0)));
            corner + Vector::new(x, y) * step
        };
        let stroke = |stroke: &str| stroke.split(' ').map(place).collect::<Vec<_>>();
        if letter != ' ' {
            found.extend(shape(letter).split(';').map(stroke));
        }
        corner = corner + Vector::new(NEXT * step, 0.0);
    }
    found
}

fn shape(letter: char) -> &'static str {
    let find = |letter| SHAPES.iter().find(|(other, _)| *other == letter);
    let own = find(letter.to_ascii_uppercase()).or_else(|| find('_'));
    own.map_or("", |(_, shape)| shape)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Bounds;

    #[test]
    fn every_letter_has_strokes_of_its_own_inside_its_cell() {
        for (index, (letter, shape)) in SHAPES.iter().enumerate() {
            let all = strokes(&letter.to_string(), 6.0, Point::new(2.0, 3.0));
            assert!(all.iter().all(|stroke| 1 < stroke.len()), "{letter}: lines");
            let area = all.iter().flatten().copied().fold(Bounds::EMPTY, Bounds::with);
            let inside = -1e-9 <= area.low.x
                && -1e-9 <= area.low.y
                && area.high.x <= WIDE + 1e-9
                && area.high.y <= HIGH + 1e-9;
            assert!(inside, "{letter}: {area:?}");
            let others = SHAPES[..index].iter();
            assert!(
                others.clone().all(|(_, other)| other != shape),
                "{letter} is its own"
            );
        }
    }

    #[test]
    fn a_text_is_as_wide_as_it_says_and_stands_about_its_middle() {
        let all = strokes("AB 4", 12.0, Point::new(50.0, 20.0));
        let area = all.iter().flatten().copied().fold(Bounds::EMPTY, Bounds::with);
        assert!((area.width() - width("AB 4", 12.0)).abs() < 1e-9, "{area:?}");
        assert!(area.centre().distance(Point::new(50.0, 20.0)) < 1e-9, "{area:?}");
        assert_eq!(
            strokes("a", 6.0, Point::default()),
            strokes("A", 6.0, Point::default())
        );
    }
}

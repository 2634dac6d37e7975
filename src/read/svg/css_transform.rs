//! The `transform` property of styles, which has units and functions that the attribute has not.
//!
//! CSS Transforms Module Level 1, W3C, sections 4 and 8. Three dimensions and percents are not
//! read: a percent is of a box that only the drawn shape gives.

use super::attribute::length_in;
use super::map::{rotation, slope};

/// The six numbers of each function in order; `None` where one cannot be read. `per_inch` are
/// the user units of an inch.
pub(super) fn functions(css: &str, per_inch: f64) -> Option<Vec<[f64; 6]>> {
    let mut found = Vec::new();
    let mut rest = css.trim();
    if rest.eq_ignore_ascii_case("none") {
        return Some(found);
    }
    while !rest.is_empty() {
        let (name, after) = rest.split_once('(')?;
        let (arguments, after) = after.split_once(')')?;
        let arguments: Vec<&str> = arguments
            .split([',', ' ', '\t', '\n', '\r'])
            .filter(|argument| !argument.is_empty())
            .collect();
        found.push(function(&name.trim().to_ascii_lowercase(), &arguments, per_inch)?);
        rest = after.trim_start_matches([' ', ',', '\t', '\n', '\r']);
    }
    Some(found)
}

fn function(name: &str, arguments: &[&str], per_inch: f64) -> Option<[f64; 6]> {
    let length = |text: &str| length_in(text, per_inch);
    Some(match (name, arguments) {
        ("matrix", [a, b, c, d, e, f]) => {
            [number(a)?, number(b)?, number(c)?, number(d)?, length(e)?, length(f)?]
        }
        ("translate", [x, y]) => [1.0, 0.0, 0.0, 1.0, length(x)?, length(y)?],
        ("translate" | "translatex", [x]) => [1.0, 0.0, 0.0, 1.0, length(x)?, 0.0],
        ("translatey", [y]) => [1.0, 0.0, 0.0, 1.0, 0.0, length(y)?],
        ("scale", [x, y]) => [number(x)?, 0.0, 0.0, number(y)?, 0.0, 0.0],
        ("scale", [both]) => [number(both)?, 0.0, 0.0, number(both)?, 0.0, 0.0],
        ("scalex", [x]) => [number(x)?, 0.0, 0.0, 1.0, 0.0, 0.0],
        ("scaley", [y]) => [1.0, 0.0, 0.0, number(y)?, 0.0, 0.0],
        ("rotate", [angle]) => rotation(degrees(angle)?),
        ("skewx", [angle]) => [1.0, 0.0, slope(degrees(angle)?), 1.0, 0.0, 0.0],
        ("skewy", [angle]) => [1.0, slope(degrees(angle)?), 0.0, 1.0, 0.0, 0.0],
        ("skew", [x, y]) => [1.0, slope(degrees(y)?), slope(degrees(x)?), 1.0, 0.0, 0.0],
        ("skew", [x]) => [1.0, 0.0, slope(degrees(x)?), 1.0, 0.0, 0.0],
        _ => return None,
    })
}

/// Where transforms turn and scale about, from the `transform-origin` of an element and the
/// size of its view; `None` where it cannot be read.
pub(super) fn origin(css: &str, view: (f64, f64), per_inch: f64) -> Option<(f64, f64)> {
    let words: Vec<&str> = css.split_whitespace().collect();
    let (across, down) = match words.as_slice() {
        [one @ ("top" | "bottom")] => ("center", *one),
        [one] => (*one, "center"),
        [down @ ("top" | "bottom"), across]
        | [across, down]
        | [across, down, "0" | "0px"] => (*across, *down),
        _ => return None,
    };
    let along = |word: &str, size: f64| match word {
        "left" | "top" => Some(0.0),
        "center" => Some(size / 2.0),
        "right" | "bottom" => Some(size),
        _ => match word.strip_suffix('%') {
            Some(share) => number(share).map(|share| share / 100.0 * size),
            None => length_in(word, per_inch),
        },
    };
    Some((along(across, view.0)?, along(down, view.1)?))
}

fn number(text: &str) -> Option<f64> {
    text.parse().ok().filter(|number: &f64| number.is_finite())
}

fn degrees(text: &str) -> Option<f64> {
    let split = text.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(text.len());
    let (value, unit) = text.split_at(split);
    let value = number(value)?;
    match unit {
        "deg" => Some(value),
        "rad" => Some(value.to_degrees()),
        "grad" => Some(value * 0.9),
        "turn" => Some(value * 360.0),
        "" if value.abs() <= 0.0 => Some(0.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn functions_have_units() {
        let read = |css| functions(css, 96.0).map(|all| all.concat());
        let same = |css, numbers: [f64; 6]| {
            let found = read(css).expect(css);
            let near = found.iter().zip(numbers).all(|(a, b)| (a - b).abs() < 1e-12);
            assert!(near && found.len() == 6, "{css} is {found:?}");
        };
        same("translate(1in, 48px)", [1.0, 0.0, 0.0, 1.0, 96.0, 48.0]);
        same(" rotate(0.25turn) ", [0.0, 1.0, -1.0, 0.0, 0.0, 0.0]);
        same("scaleX(-1)", [-1.0, 0.0, 0.0, 1.0, 0.0, 0.0]);
        same("skewX(50grad)", [1.0, 0.0, 1.0, 1.0, 0.0, 0.0]);
        assert_eq!(read("none"), Some(Vec::new()), "nothing");
        for css in ["rotate(45)", "translate(50%)", "rotate3d(1,1,1,4deg)", "scale(", "x"]
        {
            assert_eq!(read(css), None, "{css} cannot be read");
        }
    }

    #[test]
    fn an_origin_is_of_the_view() {
        let read = |css| origin(css, (200.0, 100.0), 96.0);
        assert_eq!(read("10px 20px"), Some((10.0, 20.0)));
        assert_eq!(read("right"), Some((200.0, 50.0)));
        assert_eq!(read("bottom"), Some((100.0, 100.0)));
        assert_eq!(read("top left"), Some((0.0, 0.0)));
        assert_eq!(read("25% 10%"), Some((50.0, 10.0)));
        assert_eq!(read("5 left right"), None);
    }
}

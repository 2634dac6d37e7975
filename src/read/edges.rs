//! Edges as the command calls them: by the sides they face, or by places on them.

use super::words::{SIDES, length_text, side_of, unknown};
use super::{Checked, EdgeRef, Terms};
use crate::diag::{Place, Problem};
use crate::geom::Point;

/// A list of edges with commas, each by its side or by a place on it: `left,at 120.5 45`.
///
/// # Errors
/// `side-unknown`, with the nearest side, `edge-place`, or as `length_text`.
pub fn edges_text<'a>(
    text: &str,
    units: impl Into<Terms<'a>>,
    place: &Place,
) -> Checked<Vec<EdgeRef>> {
    let units = units.into();
    let edge = |edge: &str| {
        if let Some(words) = place_words(edge) {
            return edge_at(edge, &words, (units, place));
        }
        let side = side_of(edge).map(EdgeRef::Side);
        side.ok_or_else(|| unknown("side-unknown", edge, &SIDES, place))
    };
    text.split(',').map(|one| edge(one.trim())).collect()
}

/// The words behind `at`, where an edge is called by a place.
pub fn place_words(edge: &str) -> Option<Vec<&str>> {
    let mut words = edge.split_whitespace();
    (words.next() == Some("at")).then(|| words.collect())
}

/// The edge at a place, whose coordinates are these words.
fn edge_at(
    edge: &str,
    words: &[&str],
    (units, place): (Terms<'_>, &Place),
) -> Checked<EdgeRef> {
    let &[x, y] = words else {
        let found = format!("`{edge}` is no place on an edge");
        let hint = "write x and y without blanks in them, like `at 120.5 45` or `at 4-3/4in 1in`";
        return Err(Problem::stop("edge-place", found, hint).at(place.clone()).into());
    };
    let [x, y] = [length_text(x, units, place)?, length_text(y, units, place)?];
    Ok(EdgeRef::At(Point::new(x.mm(), y.mm())))
}

#[cfg(test)]
mod tests {
    use super::super::Side;
    use super::*;
    use crate::diag::Source;
    use crate::units::Unit;

    fn here() -> Place {
        Place::whole(Source::Command, "--true-edges")
    }

    #[test]
    fn edges_are_listed_with_commas() {
        let mm = Some(Unit::Mm);
        let edges = edges_text("left, at 120.5 -45,at 1in 0, far", mm, &here());
        let at = |x: f64, y: f64| EdgeRef::At(Point::new(x, y));
        let sides = [Side::Left, Side::Far].map(EdgeRef::Side);
        let [left, far] = sides;
        let expected = [left, at(120.5, -45.0), at(25.4, 0.0), far];
        assert_eq!(edges.expect("four edges"), expected, "in order");
        let problem = |text| edges_text(text, None::<Unit>, &here()).expect_err(text);
        assert!(problem("left,rigth").hint.contains("use `right`"), "misspelt");
        assert_eq!(problem("at 1in").id, "edge-place");
        assert_eq!(problem("at 120 45").id, "length-without-unit");
    }
}

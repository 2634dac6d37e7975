//! How many times as large a drawing must be read, so that what is drawn has the size that is
//! known.

use roxmltree::Node;

use super::document::Text;
use super::page::is_physical;
use crate::diag::{Failure, Problem, Weight};
use crate::geom::Bounds;
use crate::read::{KnownSize, Path, Stroke};

/// A page's own size that differs from the known one by more than this share is said to be
/// wrong (from memory).
const SAME_SIZE: f64 = 1e-3;

/// The factor, with what is to be said of it; `None` where no width or height is known.
pub(super) fn factor(
    text: &Text<'_>,
    root: Node<'_, '_>,
    (known, paths): (KnownSize, &[Path]),
) -> Result<Option<(f64, Option<Problem>)>, Failure> {
    let strokes = paths.iter().flat_map(|path| &path.strokes);
    let bounds: Bounds = strokes.map(|drawn| Stroke::bounds(&drawn.stroke)).collect();
    let (wanted, found, word) = match known {
        KnownSize::Ppi(_) => return Ok(None),
        KnownSize::Width(mm) => (mm.mm(), bounds.width(), "width"),
        KnownSize::Height(mm) => (mm.mm(), bounds.height(), "height"),
    };
    let factor = wanted / found;
    if !(factor.is_finite() && 0.0 < factor) {
        let what =
            format!("all that is drawn has no {word}, so its known {word} says nothing");
        let hint = "give the other size, or `--ppi`";
        let problem = Problem::stop("svg-known-size", what, hint);
        return Err(Failure::input(problem.at(text.place_of(root))));
    }
    let contradicts = is_physical(root)
        && root.has_attribute("viewBox")
        && SAME_SIZE < (factor - 1.0).abs();
    let note = contradicts.then(|| {
        let said = format!(
            "by its page all that is drawn is {} in {word}; it is read as {}, as you say",
            text.paper.decimals(found, 3),
            text.paper.decimals(wanted, 3)
        );
        let hint = "check one more size on the first sheet with a rule";
        Problem::new("svg-known-size", Weight::Caution, said, hint)
            .at(text.place_of(root))
    });
    Ok(Some((factor, note)))
}

//! How large the page is, and how its user units lie on it.

use roxmltree::Node;
use svgtypes::{Align, AspectRatio};

use super::document::Text;
use crate::diag::{Failure, Place, Problem, Problems, Weight};
use crate::geom::Point;
use crate::read::{Checked, Path, Stroke};
use crate::units::MM_PER_INCH;

/// How user units lie on the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Page {
    /// Millimetres a user unit.
    pub(super) scale: f64,
    /// From the page's left edge to the view box, in mm.
    pub(super) left: f64,
    /// From the page's top edge to the view box, in mm.
    pub(super) top: f64,
    /// The view box's left edge, in user units.
    pub(super) low_x: f64,
    /// The view box's top edge, in user units.
    pub(super) low_y: f64,
    /// The page's width, in mm.
    pub(super) width: f64,
    /// The page's height, in mm.
    pub(super) height: f64,
}

/// A path that reaches further off its page than this, in mm, is worth a word (from memory): it
/// is the usual sign of units that slipped.
const OFF_PAGE: f64 = 0.5;

/// The caution for a path that reaches off the page.
pub(super) fn off_page(page: &Page, path: &Path) -> Option<Problem> {
    let ends = path.strokes.iter().flat_map(|drawn| match drawn.stroke {
        Stroke::Piece(piece) => [piece.from(), piece.to()],
        Stroke::Cubic([from, _, _, to]) => [from, to],
        Stroke::Ellipse { centre, x, y, .. } => [centre + x + y, centre - x - y],
    });
    let beyond = |low: f64, high: f64, at: f64| (low - at).max(at - high);
    let off =
        |at: &Point| beyond(0.0, page.width, at.x).max(beyond(0.0, page.height, at.y));
    let at = ends.into_iter().find(|at| OFF_PAGE < off(at))?;
    let found = format!("it reaches off the page of {} × {} mm", page.width, page.height);
    let hint = "check the part's size on the first sheet: units may have slipped";
    let place = path.place.clone().at(at.x, at.y);
    Some(Problem::new("svg-off-page", Weight::Caution, found, hint).at(place))
}

/// Scales along x and y that differ by more than this share are no rounding (from memory): the
/// drawing would be stretched.
const STRETCH_LIMIT: f64 = 1e-4;

/// Reads the page's size and view box.
pub(super) fn page(
    text: &Text<'_>,
    root: Node<'_, '_>,
) -> Result<(Page, Problems), Failure> {
    let sides = (side(text, root, "width"), side(text, root, "height"));
    let (width, height) = match sides {
        (Ok(width), Ok(height)) => (width, height),
        (width, height) => {
            let problems = [width.err(), height.err()].into_iter().flatten();
            return Err(Failure::Input(problems.map(|problem| *problem).collect()));
        }
    };
    let view = view_box(text, root).map_err(|problem| Failure::input(*problem))?;
    if root.has_attribute("transform") {
        let hint = "move the transform to a group (`g`) inside the drawing";
        let found = "a transform on the outermost `svg`";
        let problem = Problem::stop("svg-root-transform", found, hint);
        return Err(Failure::input(problem.at(text.place_of(root))));
    }
    lay(text, root, (width, height), view).map_err(|problem| Failure::input(*problem))
}

/// Lays the view box on the page by `preserveAspectRatio`.
fn lay(
    text: &Text<'_>,
    root: Node<'_, '_>,
    (width, height): (f64, f64),
    [low_x, low_y, across, down]: [f64; 4],
) -> Checked<(Page, Problems)> {
    let (sx, sy) = (width / across, height / down);
    let stretched = STRETCH_LIMIT < (sx / sy - 1.0).abs();
    let ratio = aspect_ratio(text, root)?;
    if stretched && ratio.align == Align::None {
        return Err(stretch(sx, sy).at(text.place_of(root)).into());
    }
    let scale = if ratio.slice { sx.max(sy) } else { sx.min(sy) };
    let (share_x, share_y) = shares(ratio.align);
    let page = Page {
        scale,
        left: share_x * (width - scale * across),
        top: share_y * (height - scale * down),
        low_x,
        low_y,
        width,
        height,
    };
    let notes = stretched.then(|| {
        let found = format!(
            "the page is {width} × {height} mm but its view box is {across} × {down}: read at {scale:.4} mm a unit both ways"
        );
        let hint = "check the part's size on the sheet; give page and view box the same proportions to be sure";
        Problem::new("svg-page-proportions", Weight::Caution, found, hint)
            .at(text.place_of(root))
    });
    Ok((page, notes.into_iter().collect()))
}

fn stretch(sx: f64, sy: f64) -> Problem {
    let found = format!(
        "the drawing is stretched: {sx:.4} mm a unit across, {sy:.4} mm a unit down"
    );
    let hint = "give width, height and viewBox the same proportions, and remove `preserveAspectRatio=\"none\"`";
    Problem::stop("svg-stretched", found, hint)
        .expected("the same scale both ways, within 0.01 %")
}

/// What share of the room left over lies before the view box, across and down.
const fn shares(align: Align) -> (f64, f64) {
    match align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    }
}

fn aspect_ratio(text: &Text<'_>, root: Node<'_, '_>) -> Checked<AspectRatio> {
    let Some(attribute) = root.attribute_node("preserveAspectRatio") else {
        return Ok(AspectRatio::default());
    };
    attribute.value().parse().map_err(|_unsaid: svgtypes::Error| {
        let found =
            format!("`{}` is no way to place the drawing on its page", attribute.value());
        Problem::stop(
            "svg-aspect-ratio",
            found,
            "remove `preserveAspectRatio`, or write `xMidYMid meet`",
        )
        .at(text.place(attribute.range_value()).element("svg"))
        .into()
    })
}

/// One side of the page in millimetres.
fn side(text: &Text<'_>, root: Node<'_, '_>, name: &'static str) -> Checked<f64> {
    let Some(attribute) = root.attribute_node(name) else {
        let found = format!("the page has no {name}");
        return Err(without_size(found, text.place_of(root)));
    };
    let value = attribute.value();
    let place = text.place(attribute.range_value()).element("svg");
    match physical(value) {
        Some(mm) if 0.0 < mm && mm.is_finite() => Ok(mm),
        Some(_) => Err(without_size(format!("the page's {name} is `{value}`"), place)),
        None => Err(without_size(
            format!("the page's {name} `{value}` is no physical length"),
            place,
        )),
    }
}

fn without_size(found: String, place: Place) -> Box<Problem> {
    let hint = "set the drawing's width and height in mm or in (document properties: `width=\"120mm\" height=\"80mm\"`) with a viewBox in the same unit; pixels have no size on wood";
    Problem::stop("svg-without-size", found, hint)
        .expected("width and height in mm, cm, q, in, pt or pc")
        .at(place)
        .into()
}

/// A physical length in mm; `None` for pixels, percents, bare numbers and anything else.
fn physical(text: &str) -> Option<f64> {
    let text = text.trim();
    let split = text.find(|c: char| !(c.is_ascii_digit() || ".+-".contains(c)))?;
    let (number, unit) = text.split_at(split);
    let per = match unit.trim().to_ascii_lowercase().as_str() {
        "mm" => 1.0,
        "cm" => 10.0,
        "q" => 0.25,
        "in" => MM_PER_INCH,
        "pt" => MM_PER_INCH / 72.0,
        "pc" => MM_PER_INCH / 6.0,
        _ => return None,
    };
    Some(number.parse::<f64>().ok()? * per)
}

fn view_box(text: &Text<'_>, root: Node<'_, '_>) -> Checked<[f64; 4]> {
    let hint = "write viewBox=\"0 0 W H\" with the page's width and height in the unit drawn in (`viewBox=\"0 0 120 80\"` for a page of 120mm by 80mm)";
    let Some(attribute) = root.attribute_node("viewBox") else {
        let found = "the page has no viewBox, so the size of its numbers is a guess (90 or 96 an inch)";
        let problem = Problem::stop("svg-without-viewbox", found, hint);
        return Err(problem.at(text.place_of(root)).into());
    };
    if let Ok(view) = attribute.value().parse::<svgtypes::ViewBox>() {
        return Ok([view.x, view.y, view.w, view.h]);
    }
    let found = format!("`{}` is no view box", attribute.value());
    Err(Problem::stop("svg-view-box", found, hint)
        .expected("four numbers, the last two more than zero")
        .at(text.place(attribute.range_value()).element("svg"))
        .into())
}

#[cfg(test)]
mod tests {
    use super::physical;

    /// Basis: published, CSS Values and Units Level 3, W3C: 1 in = 2.54 cm = 72 pt = 6 pc,
    /// 1 Q = 1/40 cm.
    #[test]
    fn physical_units_are_those_of_css() {
        for (text, mm) in
            [("1in", 25.4), ("72pt", 25.4), ("6pc", 25.4), ("2.54cm", 25.4), ("4Q", 1.0)]
        {
            let read = physical(text).expect(text);
            assert!((read - mm).abs() < 1e-12, "{text} is {read}");
        }
        for text in ["100", "100px", "50%", "2em", "", "mm", "nanmm"] {
            assert_eq!(physical(text), None, "{text}");
        }
    }
}

//! How large the page is, and how its user units lie on it.
//!
//! A page with its size in mm or inches and a view box says it all. Any other has no size on
//! wood until the person gives one: pixels an inch, or the width or height of what is drawn.

use roxmltree::Node;
use svgtypes::Align;

use super::document::Text;
use super::viewport::{Lay, VIEW_BOX_HINT, aspect_ratio, view_box};
use crate::diag::{Failure, Place, Problem, Problems, Weight};
use crate::geom::Point;
use crate::read::{Checked, KnownSize, Path, Stroke};
use crate::units::{MM_PER_INCH, Paper};

/// Pixels in an inch, by which CSS fixes its physical units inside a drawing (published: CSS
/// Values and Units Level 3, W3C).
pub(super) const PIXELS_PER_INCH: f64 = 96.0;

/// How user units lie on the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Page {
    /// Where the view box lies on it, in mm.
    pub(super) lay: Lay,
    /// The page's width, in mm; zero where it is not known.
    pub(super) width: f64,
    /// The page's height, in mm; zero where it is not known.
    pub(super) height: f64,
    /// The size of its view box, in user units: what percents are of.
    pub(super) view: (f64, f64),
    /// User units in an inch, for lengths with a physical unit inside the drawing.
    pub(super) per_inch: f64,
}

impl Page {
    /// The same page, so many times as large.
    #[must_use]
    pub(super) fn times(self, factor: f64) -> Self {
        let (width, height) = (self.width * factor, self.height * factor);
        Self { lay: self.lay.times(factor), width, height, ..self }
    }
}

/// A path that reaches further off its page than this, in mm, is worth a word (from memory): it
/// is the usual sign of units that slipped.
const OFF_PAGE: f64 = 0.5;

/// The caution for a path that reaches off the page.
pub(super) fn off_page(page: &Page, path: &Path, paper: Paper) -> Option<Problem> {
    let is_known = 0.0 < page.width && 0.0 < page.height;
    let ends = path.strokes.iter().flat_map(|drawn| ends(&drawn.stroke));
    let beyond = |low: f64, high: f64, at: f64| (low - at).max(at - high);
    let off =
        |at: &Point| beyond(0.0, page.width, at.x).max(beyond(0.0, page.height, at.y));
    let at = ends.into_iter().find(|at| is_known && OFF_PAGE < off(at))?;
    let [wide, high] = [page.width, page.height].map(|mm| paper.decimals(mm, 3));
    let found = format!("it reaches off the page of {wide} × {high}");
    let hint = "check the part's size on the first sheet: units may have slipped";
    let place = path.place.clone().at(at.x, at.y);
    Some(Problem::new("svg-off-page", Weight::Caution, found, hint).at(place))
}

/// Two places of a stroke that show whether it stays inside something.
pub(super) fn ends(stroke: &Stroke) -> [Point; 2] {
    match *stroke {
        Stroke::Piece(piece) => [piece.from(), piece.to()],
        Stroke::Cubic([from, _, _, to]) => [from, to],
        Stroke::Ellipse { centre, x, y, .. } => [centre + x + y, centre - x - y],
    }
}

/// Scales along x and y that differ by more than this share are no rounding (from memory): the
/// drawing would be stretched.
const STRETCH_LIMIT: f64 = 1e-4;

/// One side of the page, as it is written.
#[derive(Debug)]
enum Side {
    /// In millimetres.
    Mm(f64),
    /// In pixels.
    Pixels(f64, Box<Problem>),
    /// In percents of a window, or not at all.
    Unknown(Box<Problem>),
}

/// Reads the page's size and view box.
pub(super) fn page(
    text: &Text<'_>,
    root: Node<'_, '_>,
    known: Option<KnownSize>,
) -> Result<(Page, Problems), Failure> {
    let one = |problem: Box<Problem>| Failure::input(*problem);
    let sides = [side(text, root, "width"), side(text, root, "height")];
    let view = view_box(text, root).map_err(one)?;
    if root.has_attribute("transform") {
        let hint = "move the transform to a group (`g`) inside the drawing";
        let found = "a transform on the outermost `svg`";
        let problem = Problem::stop("svg-root-transform", found, hint);
        return Err(Failure::input(problem.at(text.place_of(root))));
    }
    let Some(known) = known else {
        let (size, view) = physical_page(text, root, (sides, view))?;
        return lay(text, root, (size, view, PIXELS_PER_INCH)).map_err(one);
    };
    let per_inch = match known {
        KnownSize::Ppi(ppi) => ppi,
        KnownSize::Width(_) | KnownSize::Height(_) => PIXELS_PER_INCH,
    };
    let sizes = sides.map(|side| side.at(per_inch));
    let room = match sizes {
        [Some(width), Some(height)] => Some((width, height)),
        [None, _] | [_, None] => None,
    };
    let mm = MM_PER_INCH / per_inch;
    match (room, view) {
        (Some(_), Some(_)) if matches!(known, KnownSize::Ppi(_)) && is_physical(root) => {
            Err(one(ppi_not_wanted(text, root)))
        }
        (Some(size), Some(view)) => lay(text, root, (size, view, per_inch)).map_err(one),
        (None, Some(view)) => {
            let size = (view[2] * mm, view[3] * mm);
            lay(text, root, (size, view, per_inch)).map_err(one)
        }
        (room, None) => {
            let (width, height) = room.unwrap_or((0.0, 0.0));
            let lay = Lay { sx: mm, sy: mm, left: 0.0, top: 0.0, low_x: 0.0, low_y: 0.0 };
            let view = (width / mm, height / mm);
            Ok((Page { lay, width, height, view, per_inch }, Vec::new()))
        }
    }
}

/// The one problem of a page with neither width nor height.
fn neither(width: Problem, height: &Problem) -> Problem {
    let height = height.found.replacen("the page's", "its", 1);
    let height = height.trim_start_matches("the page has ");
    Problem { found: format!("{}, and {height}", width.found), ..width }
}

/// A page's size in mm with its view box in user units.
type SizeAndView = ((f64, f64), [f64; 4]);

/// The page's own size, or every reason why it has none.
fn physical_page(
    text: &Text<'_>,
    root: Node<'_, '_>,
    (sides, view): ([Side; 2], Option<[f64; 4]>),
) -> Result<SizeAndView, Failure> {
    let [width, height] = sides.map(Side::physical);
    match (width, height, view) {
        (Ok(width), Ok(height), Some(view)) => Ok(((width, height), view)),
        (Ok(_), Ok(_), None) => {
            let found = "the page has no viewBox, so the size of its numbers is a guess (90 or 96 an inch)";
            let hint = format!(
                "{VIEW_BOX_HINT}; or give `--ppi 96` (the pixels an inch of the program that drew it), or one size that is known, `--known-width 240mm`"
            );
            let problem = Problem::stop("svg-without-viewbox", found, hint);
            Err(Failure::input(problem.at(text.place_of(root))))
        }
        (Err(width), Err(height), _) => Err(Failure::input(neither(*width, &height))),
        (Err(one), Ok(_), _) | (Ok(_), Err(one), _) => Err(Failure::input(*one)),
    }
}

/// Whether both sides of the page are written in physical units.
pub(super) fn is_physical(root: Node<'_, '_>) -> bool {
    ["width", "height"]
        .iter()
        .all(|side| root.attribute(*side).is_some_and(|value| physical(value).is_some()))
}

fn ppi_not_wanted(text: &Text<'_>, root: Node<'_, '_>) -> Box<Problem> {
    let found =
        "pixels an inch are given, but the page has its size in physical units already";
    let hint = "remove `--ppi` (`ppi` in the job); if the page's size is wrong, give one size that is known, `--known-width 240mm`";
    Problem::stop("svg-size-twice", found, hint).at(text.place_of(root)).into()
}

/// Lays the view box on the page by `preserveAspectRatio`.
fn lay(
    text: &Text<'_>,
    root: Node<'_, '_>,
    ((width, height), view, per_inch): ((f64, f64), [f64; 4], f64),
) -> Checked<(Page, Problems)> {
    let [_, _, across, down] = view;
    let (sx, sy) = (width / across, height / down);
    let stretched = STRETCH_LIMIT < (sx / sy - 1.0).abs();
    let mut ratio = aspect_ratio(text, root)?;
    if stretched && ratio.align == Align::None {
        return Err(stretch(text.paper, (sx, sy)).at(text.place_of(root)).into());
    }
    if ratio.align == Align::None {
        ratio.align = Align::XMinYMin;
    }
    let lay = Lay::new((width, height), view, ratio);
    let page = Page { lay, width, height, view: (across, down), per_inch };
    let notes = stretched.then(|| {
        let found = format!(
            "the page is {} × {} but its view box is {across} × {down}: read at {} a unit both ways",
            text.paper.decimals(width, 3),
            text.paper.decimals(height, 3),
            text.paper.decimals(lay.sx, 4)
        );
        let hint = "check the part's size on the sheet; give page and view box the same proportions to be sure";
        Problem::new("svg-page-proportions", Weight::Caution, found, hint)
            .at(text.place_of(root))
    });
    Ok((page, notes.into_iter().collect()))
}

fn stretch(paper: Paper, (sx, sy): (f64, f64)) -> Problem {
    let found = format!(
        "the drawing is stretched: {} a unit across, {} a unit down",
        paper.decimals(sx, 4),
        paper.decimals(sy, 4)
    );
    let hint = "give width, height and viewBox the same proportions, and remove `preserveAspectRatio=\"none\"`";
    Problem::stop("svg-stretched", found, hint)
        .expected("the same scale both ways, within 0.01 %")
}

/// One side of the page.
fn side(text: &Text<'_>, root: Node<'_, '_>, name: &'static str) -> Side {
    let Some(attribute) = root.attribute_node(name) else {
        let found = format!("the page has no {name}");
        return Side::Unknown(without_size(found, text.place_of(root)));
    };
    let value = attribute.value();
    let place = text.place(attribute.range_value()).element("svg");
    let good = |size: &f64| 0.0 < *size && size.is_finite();
    match (physical(value), pixels(value)) {
        (Some(mm), _) if good(&mm) => Side::Mm(mm),
        (_, Some(px)) if good(&px) => {
            let found = format!(
                "the page's {name} is `{value}`: pixels, which have no size on wood"
            );
            Side::Pixels(px, without_size(found, place))
        }
        (None, None) => {
            let point =
                if value.contains(',') { ": decimals stand behind a point" } else { "" };
            let found =
                format!("the page's {name} `{value}` is no physical length{point}");
            Side::Unknown(without_size(found, place))
        }
        _ => {
            Side::Unknown(without_size(format!("the page's {name} is `{value}`"), place))
        }
    }
}

impl Side {
    fn physical(self) -> Checked<f64> {
        match self {
            Self::Mm(mm) => Ok(mm),
            Self::Pixels(_, problem) | Self::Unknown(problem) => Err(problem),
        }
    }

    /// Its length in mm at so many pixels an inch, where that can be said.
    fn at(self, per_inch: f64) -> Option<f64> {
        match self {
            Self::Mm(mm) => Some(mm),
            Self::Pixels(px, _) => Some(px / per_inch * MM_PER_INCH),
            Self::Unknown(_) => None,
        }
    }
}

fn without_size(found: String, place: Place) -> Box<Problem> {
    let hint = "give one size that is known, `--known-width 240mm` or `--known-height` (of all that is drawn), or `--ppi 96` (the pixels an inch of the program that drew it), in a job the same keys under `[outline]`; or set the page's size in the drawing (document properties: `width=\"120mm\" height=\"80mm\"`, with a viewBox)";
    Problem::stop("svg-without-size", found, hint)
        .expected("width and height in mm, cm, q, in, pt or pc")
        .at(place)
        .into()
}

/// A length in pixels: a bare number, or with `px`.
fn pixels(text: &str) -> Option<f64> {
    let text = text.trim();
    text.strip_suffix("px").unwrap_or(text).trim_end().parse().ok()
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

//! How a view box lies in the room it is given: the page, a nested `svg`, a `symbol`.

use roxmltree::Node;
use svgtypes::{Align, AspectRatio};

use super::document::{Text, label};
use crate::diag::Problem;
use crate::read::Checked;

/// From the view box's units to those of the room around it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lay {
    /// Units of the room for one of the view box, across.
    pub(super) sx: f64,
    /// The same, down.
    pub(super) sy: f64,
    /// From the room's left edge to the view box.
    pub(super) left: f64,
    /// From the room's top edge to the view box.
    pub(super) top: f64,
    /// The view box's left edge.
    pub(super) low_x: f64,
    /// The view box's top edge.
    pub(super) low_y: f64,
}

impl Lay {
    /// Lays a view box into a room by an aspect ratio.
    pub(super) fn new(
        (width, height): (f64, f64),
        [low_x, low_y, across, down]: [f64; 4],
        ratio: AspectRatio,
    ) -> Self {
        let (mut sx, mut sy) = (width / across, height / down);
        if ratio.align != Align::None {
            let scale = if ratio.slice { sx.max(sy) } else { sx.min(sy) };
            (sx, sy) = (scale, scale);
        }
        let (share_x, share_y) = shares(ratio.align);
        let left = share_x * (width - sx * across);
        let top = share_y * (height - sy * down);
        Self { sx, sy, left, top, low_x, low_y }
    }

    /// The same, in a room so many times as large.
    #[must_use]
    pub(super) fn times(self, factor: f64) -> Self {
        let Self { sx, sy, left, top, low_x, low_y } = self;
        let [sx, sy, left, top] = [sx, sy, left, top].map(|number| number * factor);
        Self { sx, sy, left, top, low_x, low_y }
    }
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

/// How an element places its view box.
pub(super) fn aspect_ratio(text: &Text<'_>, node: Node<'_, '_>) -> Checked<AspectRatio> {
    let Some(attribute) = node.attribute_node("preserveAspectRatio") else {
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
        .at(text.place(attribute.range_value()).element(label(node)))
        .into()
    })
}

/// The view box of an element; `None` where it has none.
pub(super) fn view_box(text: &Text<'_>, node: Node<'_, '_>) -> Checked<Option<[f64; 4]>> {
    let Some(attribute) = node.attribute_node("viewBox") else { return Ok(None) };
    if let Ok(view) = attribute.value().parse::<svgtypes::ViewBox>() {
        let numbers = [view.x, view.y, view.w, view.h];
        if numbers.iter().all(|number| number.is_finite()) {
            return Ok(Some(numbers));
        }
    }
    let found = format!("`{}` is no view box", attribute.value());
    Err(Problem::stop("svg-view-box", found, VIEW_BOX_HINT)
        .expected("four numbers, the last two more than zero")
        .at(text.place(attribute.range_value()).element(label(node)))
        .into())
}

/// How a view box is written.
pub(super) const VIEW_BOX_HINT: &str = "write viewBox=\"0 0 W H\" with the page's width and height in the unit drawn in (`viewBox=\"0 0 120 80\"` for a page of 120mm by 80mm)";

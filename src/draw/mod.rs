//! A scene of marks on paper, and the one routine that turns it into SVG.
//!
//! Knows lines, letters and marks; knows no plans. Everything here is in millimetres on the
//! page, x to the right and y up from the page's lower left corner; only the writer of SVG
//! turns y down.

mod scene;

mod view;

mod place;

mod mark;

mod frame;

mod svg;

pub use frame::{Frame, SMALLEST, TitleBlock, column, column_height, key_row};
pub use mark::{
    WalkSide, arrow_along, backer, double_arrow, exit_mark, hatched, numbered, scale_bar,
    star, ticks,
};
pub use place::{LATER, Label, Places, box_about};
pub use scene::{Anchor, Circle, Ink, Mark, Pen, Scene, Text};
pub use view::{Cells, View, part_cells, round_scale};

/// The scene as the text of an SVG file, in millimetres.
pub fn svg(scene: &Scene) -> String {
    svg::written(scene)
}

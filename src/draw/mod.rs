//! A scene of marks on paper, and the writers that turn it into SVG and PDF.
//!
//! Knows lines, letters and marks; knows no plans. Everything here is in millimetres on the
//! page, x to the right and y up from the page's lower left corner; only the writer of SVG
//! turns y down.

use crate::geom::Piece;

mod scene;

mod view;

mod place;

mod mark;

mod frame;

mod look;

mod svg;

mod through;

mod letters;

mod pdf;

pub use frame::{
    Frame, SMALLEST, TitleBlock, column, column_down_to, column_height, key_row,
};
pub use mark::{
    WalkSide, arrow_along, backer, double_arrow, exit_mark, hatched, numbered, scale_bar,
    star, ticks,
};
pub use place::{LATER, Label, Leader, Places, box_about};
pub use scene::{Anchor, Circle, Ink, Mark, Name, Pen, Scene, Text};
pub use through::through;
pub use view::{Cells, View, part_cells, round_scale};

/// By how much a drawing is stretched on its way to paper, to make up for a printer that does
/// not print true: 1 and 1 where it does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Along the page's width.
    pub x: f64,
    /// Along its height.
    pub y: f64,
}

impl Stretch {
    /// A printer that prints true.
    pub const NONE: Self = Self { x: 1.0, y: 1.0 };
}

/// The scene as the text of an SVG file, in millimetres.
pub fn svg(scene: &Scene) -> String {
    svg::written(scene, Stretch::NONE)
}

/// The same for a screen: what its marks stand for can be pointed at, by names that begin with
/// the picture's key.
pub fn svg_on_screen(scene: &Scene, key: &str) -> String {
    svg::on_screen(scene, key)
}

/// Pieces as the data of a path on a page of this height.
pub fn svg_path(pieces: &[Piece], height: f64) -> String {
    svg::path(pieces, height)
}

/// The same, stretched.
pub fn svg_stretched(scene: &Scene, stretch: Stretch) -> String {
    svg::written(scene, stretch)
}

/// Scenes as the pages of a PDF at true size, with the printer's own scaling asked off.
pub fn pdf(scenes: &[Scene], stretch: Stretch) -> Vec<u8> {
    pdf::written(scenes, stretch)
}

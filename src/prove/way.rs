//! What programs sweep, for a picture of what they leave standing.

use super::cut::LEVEL;
use super::cuts::Cuts;
use super::distance::Shape;
use super::promise::{Hold, Promise};
use super::reader::{Program, read};
use super::wood::on_wood;
use crate::geom::Piece;
use std::f64::consts::PI;

/// A way of a tool below the blank's top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// Where its middle goes, in the frame of the parts as laid.
    pub piece: Piece,
    /// How wide the tool is.
    pub wide: f64,
    /// Whether it is there as deep as the promise goes: through the blank, or down to its skin.
    pub full: bool,
}

/// What programs that run one after the other sweep: every way below the blank's top, and
/// again what of it is at full depth. Programs that cannot be read sweep nothing.
pub fn ways(texts: &[&str], promise: &Promise) -> Vec<Way> {
    let programs: Vec<Program> =
        texts.iter().filter_map(|text| read(text).ok()).collect();
    let programs = on_wood(&programs, &promise.machine);
    let cuts = Cuts::new(&programs, promise);
    let skin = promise.bottom_of(Hold::Skin) + LEVEL;
    let full = (promise.bottom() + LEVEL).max(LEVEL - promise.thick).min(skin);
    let at = |level: f64, full: bool| {
        cuts.iter().flat_map(move |cut| {
            let wide = 2.0 * cut.radius;
            let pieces = cut.below(level).map_or_else(Vec::new, |shape| pieces(&shape));
            pieces.into_iter().map(move |piece| Way { piece, wide, full })
        })
    };
    at(0.0, false).chain(at(full, true)).collect()
}

/// A shape as pieces of no more than a half circle.
fn pieces(shape: &Shape) -> Vec<Piece> {
    match shape.bow {
        None => vec![Piece::line(shape.from, shape.to)],
        Some((_, sweep)) if PI < sweep.abs() => {
            [shape.part(0.0, 0.5), shape.part(0.5, 1.0)].iter().flat_map(pieces).collect()
        }
        Some((centre, sweep)) => {
            vec![Piece::Arc { from: shape.from, to: shape.to, centre, sweep }]
        }
    }
}

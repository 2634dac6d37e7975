//! All that is known of a joint's two halves.

use super::border::Border;
use super::fit::{Fit, fit};
use super::line::Line;
use super::mating::{Mating, alike};
use super::named::{GAP, Pair, Size, loops};
use super::parting::Parting;
use super::wedge::Slot;
use crate::diag::Failure;
use crate::read::{BoardAndLine, Drawing, JointName};

/// What is known of a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// Its name, unless it is a line across a board.
    pub name: Option<JointName>,
    /// How the halves are alike.
    pub mating: Mating,
    /// The sizes it was drawn by.
    pub sizes: Vec<Size>,
    /// How the halves fit.
    pub fit: Fit,
    /// The gap asked for between mating faces.
    pub clearance: f64,
    /// The slot for wedges.
    pub slot: Option<Slot>,
    /// How deep the template's cut is, if known.
    pub through: Option<f64>,
    /// Whether each half is only half as thick where they lie on each other.
    pub halved: bool,
    /// How wide the wood is that crosses its mate's grain, where grain crosses grain.
    pub across: f64,
}

/// What is known of a joint by name.
pub fn facts(pair: &Pair) -> Facts {
    let gap = pair.sizes.iter().find(|size| size.what == GAP);
    let clearance = gap.map_or(0.0, |size| size.value);
    Facts {
        name: Some(pair.name),
        mating: pair.mating,
        sizes: pair.sizes.clone(),
        fit: fit(&pair.halves[0], [&pair.joined[0], &pair.joined[1]], clearance),
        clearance,
        slot: pair.slot,
        through: pair.through,
        halved: pair.halved,
        across: pair.across,
    }
}

/// The halves of a board and a line, and what is known of them.
///
/// # Errors
/// As [`super::halves()`].
pub fn board_facts(
    title: &str,
    board: &BoardAndLine,
) -> Result<([Drawing; 2], Facts), Failure> {
    let line = Line::of(board)?;
    let border = Border::of(board);
    let mating = alike(border, [&line, &line]);
    let parting = Parting { border, place: &board.line.place, title };
    let halves = parting.halves(&[line.clone(), line]);
    let joined = [loops(&halves[0]), loops(&halves[1])];
    let facts = Facts {
        name: None,
        mating,
        sizes: Vec::new(),
        fit: fit(&halves[0], [&joined[0], &joined[1]], 0.0),
        clearance: 0.0,
        slot: None,
        through: None,
        halved: false,
        across: board.width.mm(),
    };
    Ok((halves, facts))
}

//! All that is known of a joint's two halves.

use super::fit::{Fit, fit};
use super::halves::{lines, parting};
use super::mating::{Mating, alike};
use super::named::{GAP, Pair, Rule, Size, loops};
use super::wedge::Slot;
use crate::diag::Failure;
use crate::geom::Loop;
use crate::read::{BoardAndLine, Drawing, JointName};
use crate::units::Mm;

/// What is known of a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// Its name, unless it is a line across a board.
    pub name: Option<JointName>,
    /// How the halves are alike.
    pub mating: Mating,
    /// The sizes it was drawn by.
    pub sizes: Vec<Size>,
    /// Both halves in half A's frame, as they lie when the joint is together.
    pub joined: [Vec<Loop>; 2],
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
        joined: pair.joined.clone(),
        fit: fit(&pair.halves[0], [&pair.joined[0], &pair.joined[1]], clearance),
        clearance,
        slot: pair.slot,
        through: pair.through,
        halved: pair.halved,
        across: pair.across,
    }
}

/// The halves of a board and a line, and what is known of them; `gap` is the clearance where
/// the board asks for none.
///
/// # Errors
/// As [`super::halves()`].
pub fn board_facts(
    title: &str,
    board: &BoardAndLine,
    gap: f64,
) -> Result<([Drawing; 2], Facts), Failure> {
    let asked = board.clearance.is_some();
    let clearance = board.clearance.or_else(|| Mm::new(gap));
    let board = &BoardAndLine { clearance, ..board.clone() };
    let parting = parting(title, board);
    let [a, b] = lines(&parting, board)?;
    let mating = alike(parting.border, [&a, &b]);
    let halves = parting.halves(&[a, b]);
    let clearance = clearance.map_or(0.0, Mm::mm);
    let rule = (!asked).then_some(Rule::Clearance);
    let gap = Size { what: GAP, value: clearance, is_slope: false, rule };
    let joined = [loops(&halves[0]), loops(&halves[1])];
    let facts = Facts {
        name: None,
        mating,
        sizes: vec![gap],
        fit: fit(&halves[0], [&joined[0], &joined[1]], clearance),
        joined,
        clearance,
        slot: None,
        through: None,
        halved: false,
        across: board.width.mm(),
    };
    Ok((halves, facts))
}

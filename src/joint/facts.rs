//! All that is known of a joint's two halves.

use super::alike::Alike;
use super::fit::{Fit, fit};
use super::halves::{lines, parting};
use super::mating::alike;
use super::meet::faces;
use super::named::{GAP, Pair, Rule, Size, loops};
use super::wedge::Slot;
use crate::diag::Failure;
use crate::geom::Loop;
use crate::read::{BoardAndLine, Drawing, JointName, Lie};
use crate::units::{Mm, Paper};

/// What is known of a joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// What it is drawn from.
    pub kind: JointKind,
    /// How the halves are alike.
    pub alike: Alike,
    /// The sizes it was drawn by.
    pub sizes: Vec<Size>,
    /// Both halves in half A's frame, as they lie when the joint is together.
    pub joined: [Vec<Loop>; 2],
    /// How the halves fit.
    pub fit: Fit,
    /// The gap asked for between mating faces.
    pub clearance: f64,
    /// How far apart faces may be that meet.
    pub within: f64,
    /// The slot for wedges.
    pub slot: Option<Slot>,
    /// How deep the template's cut is, if known.
    pub through: Option<f64>,
    /// Whether each half is only half as thick where they lie on each other.
    pub halved: bool,
    /// How wide the wood is that crosses its mate's grain, where grain crosses grain.
    pub across: f64,
}

/// What a joint is drawn from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum JointKind {
    /// Its name.
    Named(JointName),
    /// A line across a board.
    AcrossBoard,
    /// Two outlines, of which the second lies so on the first.
    TwoOutlines(Lie),
}

impl Facts {
    /// The joint's name, if it has one.
    pub const fn name(&self) -> Option<JointName> {
        match self.kind {
            JointKind::Named(name) => Some(name),
            JointKind::AcrossBoard | JointKind::TwoOutlines(_) => None,
        }
    }
}

/// What is known of a joint by name; `within` is how far apart faces may be that meet.
pub fn facts(pair: &Pair, within: f64) -> Facts {
    let gap = pair.sizes.iter().find(|size| size.what == GAP);
    let clearance = gap.map_or(0.0, |size| size.value);
    Facts {
        kind: JointKind::Named(pair.name),
        alike: pair.mating.alike(),
        sizes: pair.sizes.clone(),
        joined: pair.joined.clone(),
        fit: fit(
            &faces(&pair.halves[0], &pair.joined[1], within),
            [&pair.joined[0], &pair.joined[1]],
            clearance,
        ),
        clearance,
        within,
        slot: pair.slot,
        through: pair.through,
        halved: pair.halved,
        across: pair.across,
    }
}

/// The halves of a board and a line, and what is known of them; `gap` is the clearance where
/// the board asks for none, `within` how far apart faces may be that meet.
///
/// # Errors
/// As [`super::halves()`].
pub fn board_facts(
    title: &str,
    board: &BoardAndLine,
    (gap, within): (f64, f64),
    paper: Paper,
) -> Result<([Drawing; 2], Facts), Failure> {
    let asked = board.clearance.is_some();
    let clearance = board.clearance.or_else(|| Mm::new(gap));
    let board = &BoardAndLine { clearance, ..board.clone() };
    let parting = parting(title, board, paper);
    let [a, b] = lines(&parting, board)?;
    let mating = alike(parting.border, [&a, &b]);
    let halves = parting.halves(&[a, b]);
    let clearance = clearance.map_or(0.0, Mm::mm);
    let rule = (!asked).then_some(Rule::Clearance);
    let gap = Size { what: GAP, value: clearance, is_slope: false, rule };
    let joined = [loops(&halves[0]), loops(&halves[1])];
    let facts = Facts {
        kind: JointKind::AcrossBoard,
        alike: mating.alike(),
        sizes: vec![gap],
        fit: fit(
            &faces(&halves[0], &joined[1], within),
            [&joined[0], &joined[1]],
            clearance,
        ),
        joined,
        clearance,
        within,
        slot: None,
        through: None,
        halved: false,
        across: board.width.mm(),
    };
    Ok((halves, facts))
}

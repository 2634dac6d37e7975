//! Hold points: where the work stops until somebody has looked at it.

use super::model::{Block, Sheet};
use crate::plan::Plan;
use crate::shop::Shop;

/// A point where the work stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hold {
    /// Before the machine cuts the template.
    Program,
    /// Before the template is used.
    Template,
    /// Before the sawn blank is routed.
    Blank,
    /// Before the first pass of a set-up, by its number.
    SetUp(usize),
    /// Before glue.
    Glue,
}

impl Hold {
    /// What it stands before, in a word or two.
    pub(super) fn name(self) -> String {
        match self {
            Self::Program => "program".to_owned(),
            Self::Template => "template".to_owned(),
            Self::Blank => "sawn blank".to_owned(),
            Self::SetUp(number) => format!("set-up {number}"),
            Self::Glue => "glue".to_owned(),
        }
    }

    /// What is to be shown, and before what.
    const fn words(self) -> &'static str {
        match self {
            Self::Program => {
                "Show the blank clamped, the zeros set and the path run in the air, before the \
                 mill cuts."
            }
            Self::Template => {
                "Show the finished template, its edges, sizes and marks, before anything is \
                 traced from it."
            }
            Self::Blank => {
                "Show your sawn blank before routing: the saw line all round, nowhere too much \
                 left, nowhere cut inside it."
            }
            Self::SetUp(_) => {
                "Show the work held, the bit in, the backers on and, with a finger, the way \
                 round, before the router is switched on."
            }
            Self::Glue => "Show the joint put together dry, before any glue is spread.",
        }
    }

    /// Adds it to its sheet, where the job asks for hold points.
    pub(super) fn add(self, sheet: &mut Sheet, asked: bool) {
        if asked {
            sheet.blocks.push(Block::Hold(self.words()));
        }
    }
}

/// All hold points of a plan in working order; none where the job does not ask for them.
pub(super) fn holds(plan: &Plan, shop: &Shop, has_program: bool) -> Vec<Hold> {
    if !shop.sheets.hold_points {
        return Vec::new();
    }
    let mut all = Vec::new();
    all.extend(has_program.then_some(Hold::Program));
    if shop.cuts_part() {
        return all;
    }
    all.push(Hold::Template);
    all.extend((!plan.saw.is_empty()).then_some(Hold::Blank));
    all.extend((1..=plan.set_ups.len()).map(Hold::SetUp));
    all.extend(shop.joint.then_some(Hold::Glue));
    all
}

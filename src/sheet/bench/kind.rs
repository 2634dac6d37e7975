//! The sheets with cautions of their own: whether a job has them, and what they say at their feet.

use super::{Job, hand, machine, rout, saw};
use crate::sheet::model::Sheet;
use crate::shop::defaults;

/// A kind of sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Saw,
    Rout,
    Hand,
    Machine,
}

impl Kind {
    pub(super) const ALL: [Self; 4] = [Self::Saw, Self::Rout, Self::Hand, Self::Machine];

    /// Whether a job has sheets of it.
    pub(super) fn is_there(self, job: &Job<'_>) -> bool {
        let by_router = !job.shop.cuts_part();
        match self {
            Self::Saw => by_router && !job.plan.saw.is_empty(),
            Self::Rout => by_router && !job.plan.set_ups.is_empty(),
            Self::Hand => !job.plan.hand.is_empty(),
            Self::Machine => job.program.is_some(),
        }
    }

    /// Those of a job, with their cautions.
    pub(super) fn sheets(self, job: &Job<'_>) -> Vec<Sheet> {
        let mut sheets = match self {
            _ if !self.is_there(job) => Vec::new(),
            Self::Saw => vec![saw::sheet(job)],
            Self::Rout => rout::sheets(job),
            Self::Hand => vec![hand::sheet(job)],
            Self::Machine => {
                job.program.iter().map(|program| machine::sheet(job, *program)).collect()
            }
        };
        for sheet in &mut sheets {
            self.caution(sheet, job);
        }
        sheets
    }

    /// Adds what it says at its foot.
    pub(super) fn caution(self, sheet: &mut Sheet, job: &Job<'_>) {
        sheet.cautions.push(self.words().to_owned());
        if self == Self::Rout {
            let rout = routing(sheet, job);
            sheet.cautions.push(rout);
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Saw => {
                "Bandsaw: guard down to just above the stock, hands out of the line of the \
                 blade, and stop the blade before clearing an offcut."
            }
            Self::Rout => {
                "Unplug before changing a bit. Never back the bit out along its own cut, and \
                 never set a turning bit down on wood or lift it out of wood it touches."
            }
            Self::Hand => {
                "Chisel: both hands behind the edge, the work clamped, pare away from yourself."
            }
            Self::Machine => {
                "Stay beside it for the whole program. Never reach in while it turns; loose \
                 pieces are thrown."
            }
        }
    }
}

fn routing(sheet: &mut Sheet, job: &Job<'_>) -> String {
    let shank = job.at_least(defaults::COLLET.value);
    let shank = sheet.figure(shank, defaults::COLLET.basis);
    let part = job.at_least(defaults::SMALL_PART.value);
    let part = sheet.figure(part, defaults::SMALL_PART.basis);
    let hands = job.at_least(defaults::HANDS.value);
    let hands = sheet.figure(hands, defaults::HANDS.basis);
    format!(
        "At least {shank} of shank in the collet, or what is marked on it. A part under {part} \
         is not held in the hands at the table; hands stay {hands} from the bit."
    )
}

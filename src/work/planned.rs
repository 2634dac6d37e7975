//! A plan with all that was made of it, and what it becomes: files, drawings, sheets.

use super::joint::Jointed;
use crate::outline::Outline;
use crate::plan::Plan;
use crate::prove::ProvedProgram;
use crate::sheet::{self, Bundle, JointJob, Leaves, Seen, Stepped};
use crate::shop::Shop;

/// A plan with everything that was made of it.
#[derive(Debug)]
pub struct Planned {
    /// The plan.
    pub plan: Plan,
    /// What it was made for.
    pub shop: Shop,
    /// The machine program, where a machine was asked for.
    pub program: Option<ProvedProgram>,
    /// The short id on every sheet and in the program's first line.
    pub id: String,
    /// The joint, where the parts are its halves.
    pub joint: Option<Jointed>,
}

impl Planned {
    /// The start of its files' names.
    pub fn stem(&self) -> String {
        sheet::file_stem(&self.shop.name)
    }

    /// All its files.
    pub fn bundle(&self) -> Bundle {
        let Self { plan, shop, program, id, .. } = self;
        self.with_joint(|joint| match joint {
            None => sheet::bundle(plan, shop, program.as_ref(), id),
            Some(joint) => sheet::bundle_with_joint(plan, shop, program.as_ref(), joint),
        })
    }

    /// What is seen of it before its sheets are read, while these pictures are in sight.
    pub fn seen(&self, in_sight: &[String]) -> Seen {
        let Self { plan, shop, program, id, .. } = self;
        sheet::seen((plan, shop), program.as_ref(), id, in_sight)
    }

    /// Its sheets one by one, and all its pictures.
    pub fn leaves(&self) -> Leaves {
        let Self { plan, shop, program, id, .. } = self;
        self.with_joint(|joint| sheet::leaves((plan, shop), program.as_ref(), joint, id))
    }

    /// One of its programs, by its index, line by line as it was read back.
    pub fn stepped(&self, program: usize) -> Option<Stepped> {
        let Self { plan, shop, id, .. } = self;
        sheet::stepped((plan, shop), self.program.as_ref()?, (program, id))
    }

    /// Does something with what the joint's own sheets are made from.
    fn with_joint<T>(&self, done: impl FnOnce(Option<&JointJob<'_>>) -> T) -> T {
        let Self { plan, shop, id, joint, .. } = self;
        let Some(Jointed { facts, wedges }) = joint else { return done(None) };
        let outlines: Vec<Outline> =
            plan.parts.iter().map(|part| part.outline.clone()).collect();
        let joint = JointJob {
            facts,
            wedges: wedges.as_ref(),
            outlines: &outlines,
            leave: shop.leave,
            reference: shop.reference,
            species: shop.stock.species.as_deref(),
            hold_points: shop.sheets.hold_points,
            paper: shop.paper,
            name: &shop.name,
            id,
        };
        done(Some(&joint))
    }
}

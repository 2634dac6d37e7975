//! What of a part is routed already, depth by depth.

use super::atom::Atom;
use super::lap::{DEPTHS, Depth};
use super::run::{self, Run};

/// What is routed of a part: right through, and layer by layer.
#[derive(Debug, Clone)]
pub(super) struct Done {
    /// For each atom and depth.
    atoms: Vec<[bool; DEPTHS]>,
    /// Whether any of it is end grain, for each depth.
    end_grain: [bool; DEPTHS],
}

impl Done {
    /// Nothing yet, of so many atoms.
    pub(super) fn none(n_atoms: usize) -> Self {
        Self { atoms: vec![[false; DEPTHS]; n_atoms], end_grain: [false; DEPTHS] }
    }

    /// A run is routed.
    pub(super) fn add(&mut self, run: &Run, atoms: &[Atom]) {
        for &index in &run.atoms {
            self.atoms[index][run.depth] = true;
        }
        self.end_grain[run.depth] |= run::has_end_grain(run, atoms);
    }

    /// Whether an atom is routed at a depth, by itself or right through.
    pub(super) fn has(&self, index: usize, depth: usize) -> bool {
        let routed = self.atoms[index];
        routed[depth] || routed[Depth::Whole.index()]
    }

    /// Whether any end grain is routed at a depth.
    pub(super) const fn has_end_grain(&self, depth: usize) -> bool {
        self.end_grain[depth] || self.end_grain[Depth::Whole.index()]
    }
}

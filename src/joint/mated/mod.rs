//! A joint drawn as two outlines, and how the second lies on the first.
//!
//! Which faces meet is found by nearness. A gap that is drawn counts; what lacks of the clearance
//! is set in from the routed faces.

mod placing;

mod same;

#[cfg(test)]
mod tests;

use super::facts::{Facts, JointKind};
use super::fit::{Fit, deepest, fit, measured};
use super::meet::{self, Meeting};
use super::named::{GAP, Rule, Size, loops};
use super::set_in::ring_set_in;
use crate::diag::{Failure, Problem};
use crate::geom::{Piece, tolerance};
use crate::read::{Drawing, Mate, Role, Stroke};
use crate::units::Paper;
use placing::Placing;

/// Two halves of lines and arcs, every edge with its role, each in its own frame.
pub type Halves = [Drawing; 2];

/// What a joint of two outlines is worked out by, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MateHabits {
    /// The gap between mating faces where none is asked for.
    pub clearance: f64,
    /// How far apart edges may be drawn that are to meet, where nothing is said.
    pub within: f64,
    /// How what is told of it writes lengths.
    pub paper: Paper,
}

/// A joint of two outlines.
struct Mated<'a> {
    mate: &'a Mate,
    placing: Placing,
    clearance: f64,
    within: f64,
    paper: Paper,
}

/// The halves set in where their clearance asks it, and what is known of them.
///
/// # Errors
/// Halves that want the same wood or that nowhere meet, with place and size, and a clearance that
/// leaves nothing of a piece.
pub fn mated(
    halves: &Halves,
    mate: &Mate,
    habits: MateHabits,
) -> Result<(Halves, Facts), Failure> {
    let MateHabits { clearance, within, paper } = habits;
    let joint = Mated {
        mate,
        placing: Placing::of(&mate.lie),
        clearance: mate.clearance.map_or(clearance, crate::units::Mm::mm),
        within: mate.within.map_or(within, crate::units::Mm::mm),
        paper,
    };
    // Up to a knife line it is rounding, which the clearance takes away.
    joint.refuse_overlap(halves, tolerance::REPORT_DEPTH)?;
    let halves = joint.set_in(halves)?;
    joint.refuse_overlap(&halves, tolerance::REPAIR)?;
    let facts = joint.facts(&halves)?;
    Ok((halves, facts))
}

impl Mated<'_> {
    /// The second half where it lies on the first.
    fn laid(&self, [_, b]: &Halves) -> Drawing {
        self.placing.drawing(b)
    }

    fn stop(&self, problem: Problem) -> Failure {
        Failure::input(problem.at(self.mate.place.clone()))
    }

    fn refuse_overlap(&self, halves: &Halves, most: f64) -> Result<(), Failure> {
        let joined = [loops(&halves[0]), loops(&self.laid(halves))];
        let (deep, at) = deepest([&joined[0], &joined[1]]);
        if deep <= most {
            return Ok(());
        }
        let area = super::fit::overlap([&joined[0], &joined[1]]);
        let found = format!(
            "half A and half B want the same wood: {} deep at {}, {} of half A's drawing, {} in all",
            self.paper.fine(deep),
            self.paper.fine(at.x),
            self.paper.fine(at.y),
            self.paper.area(area),
        );
        let hint = "move the second half with `slide` and `turn` under `[mate]`, or draw one of them smaller there; halves that lap in their thickness are a joint by name";
        Err(self.stop(Problem::stop("halves-overlap", found, hint)))
    }

    /// Both halves, each moved in from its mating faces by its share of what lacks.
    fn set_in(&self, halves: &Halves) -> Result<Halves, Failure> {
        let laid = [halves[0].clone(), self.laid(halves)];
        let back = self.placing.back().drawing(&halves[0]);
        let shares = self.mate.set_in.shares(1.0);
        let a = self.half_set_in(&halves[0], &laid[1], shares[0])?;
        let b = self.half_set_in(&halves[1], &back, shares[1])?;
        Ok([a, b])
    }

    /// A half set in; a face whose mate is not routed gives all of the gap.
    fn half_set_in(
        &self,
        own: &Drawing,
        mate: &Drawing,
        share: f64,
    ) -> Result<Drawing, Failure> {
        let wood = loops(mate);
        let mut by: Vec<Vec<f64>> =
            own.paths.iter().map(|path| vec![0.0; path.strokes.len()]).collect();
        for Meeting { on, stretch, name, mate_routed } in
            meet::meetings(own, mate, self.within)
        {
            let drawn = &own.paths[on.0].strokes[on.1];
            if drawn.role != Some(Role::Rout) {
                continue;
            }
            let gap = measured((&stretch, &name), &wood, self.clearance).least;
            let lacking = (self.clearance - gap).max(0.0);
            let own = &mut by[on.0][on.1];
            *own = own.max(if mate_routed { lacking * share } else { lacking });
        }
        let mut moved = own.clone();
        for (path, by) in moved.paths.iter_mut().zip(&by) {
            let pieces = path.strokes.iter().filter_map(|drawn| match drawn.stroke {
                Stroke::Piece(piece) => Some((piece, drawn.role == Some(Role::Rout))),
                Stroke::Cubic(_) | Stroke::Ellipse { .. } => None,
            });
            let pieces: Vec<(Piece, bool)> = pieces.collect();
            let pieces = ring_set_in(&pieces, by).ok_or_else(|| {
                let found = "the gap between the faces is wider than an edge bears: set in, nothing of it is left";
                let hint = "ask for a smaller `clearance`, or draw the edge longer or rounder";
                self.stop(Problem::stop("joint-clearance-too-wide", found, hint))
            })?;
            for (drawn, piece) in path.strokes.iter_mut().zip(pieces) {
                drawn.stroke = Stroke::Piece(piece);
            }
        }
        Ok(moved)
    }

    fn facts(&self, halves: &Halves) -> Result<Facts, Failure> {
        let laid = self.laid(halves);
        let joined = [loops(&halves[0]), loops(&laid)];
        let faces = meet::faces(&halves[0], &joined[1], self.within);
        if faces.is_empty() {
            return Err(self.apart(&halves[0], &joined));
        }
        // Faces drawn with more than the clearance still hold each other.
        let gaps = faces.iter().map(|(piece, name)| {
            measured((piece, name), &joined[1], self.clearance).least
        });
        let touch = gaps.fold(self.clearance, f64::max);
        let fit: Fit = fit(&faces, [&joined[0], &joined[1]], touch);
        let rule = self.mate.clearance.is_none().then_some(Rule::Clearance);
        let gap = Size { what: GAP, value: self.clearance, is_slope: false, rule };
        Ok(Facts {
            kind: JointKind::TwoOutlines(self.mate.lie),
            alike: same::alike([&halves[0], &halves[1]]),
            sizes: vec![gap],
            joined,
            fit,
            clearance: self.clearance,
            within: self.within,
            slot: None,
            through: None,
            halved: false,
            across: 0.0,
        })
    }

    /// Halves that nowhere meet.
    fn apart(&self, a: &Drawing, joined: &[Vec<crate::geom::Loop>; 2]) -> Failure {
        let (near, at) = meet::nearest(a, &joined[1]);
        let found = format!(
            "half A and half B nowhere meet: they come nearest at {}, {} of half A's drawing, {} apart, and no edges lie side by side within {}",
            self.paper.fine(at.x),
            self.paper.fine(at.y),
            self.paper.fine(near),
            self.paper.fine(self.within),
        );
        let hint = "move the second half with `slide` and `turn` under `[mate]`, or say with `within` how far apart mating edges are drawn";
        self.stop(Problem::stop("halves-apart", found, hint))
    }
}

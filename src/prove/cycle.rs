//! Drilling cycles as the moves they stand for: published: NIST, The NIST RS274NGC
//! Interpreter - Version 3, NISTIR 6556, 2000, section 3.5.16.

use super::reader::Spot;
use super::state::{Distance, State};
use super::words::Block;

/// How far above the last depth a peck starts again, in mm (from memory: the report does not
/// say).
const BACK_OFF: f64 = 0.25;

/// The cycles that are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Cycle {
    /// G81.
    Drill,
    /// G82: with a dwell at the bottom, which moves nothing.
    Dwell,
    /// G83: in pecks.
    Peck,
}

/// One line's holes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hole {
    x: f64,
    y: f64,
    step: (f64, f64),
    level: f64,
    bottom: f64,
    peck: Option<f64>,
    times: u32,
    returns: bool,
}

impl Hole {
    /// The holes a line asks for; the level and the bottom hold on to the next lines.
    pub(super) fn of(block: &Block, state: &mut State, to: Spot) -> Result<Self, String> {
        if state.at.iter().any(|axis| axis.is_nan()) {
            return Err("a cycle from a place that is not known".to_owned());
        }
        let scale = state.scale();
        let word = |letter| block.get(letter).map(|value| value * scale);
        let level = word('R').or(state.cycle.0).ok_or("a cycle needs R")?;
        let depth = word('Z').or(state.cycle.1).ok_or("a cycle needs Z")?;
        state.cycle = (Some(level), Some(depth));
        let (level, bottom, step) = match state.distance {
            Distance::Absolute => (level, depth, (0.0, 0.0)),
            Distance::Incremental => {
                let level = state.at[2] + level;
                (level, level + depth, (to[0] - state.at[0], to[1] - state.at[1]))
            }
        };
        if level < bottom {
            return Err("a cycle's R lies below its Z".to_owned());
        }
        let times = block.get('L').unwrap_or(1.0);
        let count = (1u32..=10_000).find(|&n| (f64::from(n) - times).abs() < 1e-4);
        let times = count.ok_or("a cycle's L must be a whole number from 1 on")?;
        let peck = word('Q');
        let returns = state.cycle_returns;
        Ok(Self { x: to[0], y: to[1], step, level, bottom, peck, times, returns })
    }

    /// The moves from `at`: whether each is a rapid, and where it ends.
    pub(super) fn moves(
        &self,
        cycle: Cycle,
        at: Spot,
    ) -> Result<Vec<(bool, Spot)>, String> {
        let mut moves = Vec::new();
        let mut high = at[2];
        if high < self.level {
            high = self.level;
            moves.push((true, [at[0], at[1], high]));
        }
        let out = if self.returns { high } else { self.level };
        for turn in 0..self.times {
            let x = self.x + self.step.0 * f64::from(turn);
            let y = self.y + self.step.1 * f64::from(turn);
            moves.push((true, [x, y, if turn == 0 { high } else { out }]));
            moves.push((true, [x, y, self.level]));
            self.down(cycle, (x, y), &mut moves)?;
            moves.push((true, [x, y, out]));
        }
        Ok(moves)
    }

    fn down(
        &self,
        cycle: Cycle,
        (x, y): (f64, f64),
        moves: &mut Vec<(bool, Spot)>,
    ) -> Result<(), String> {
        if cycle == Cycle::Peck {
            let peck =
                self.peck.filter(|peck| 0.0 < *peck).ok_or("G83 needs a Q above zero")?;
            if 1e5 < (self.level - self.bottom) / peck {
                return Err("G83 has a Q too small for its depth".to_owned());
            }
            let mut z = self.level - peck;
            while self.bottom < z {
                moves.push((false, [x, y, z]));
                moves.push((true, [x, y, self.level]));
                moves.push((true, [x, y, (z + BACK_OFF).min(self.level)]));
                z -= peck;
            }
        }
        moves.push((false, [x, y, self.bottom]));
        Ok(())
    }
}

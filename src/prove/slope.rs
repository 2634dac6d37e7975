//! How steeply a program goes down, judged over its runs of moves: one short move alone,
//! rounded to the figures of the text, has no slope to speak of.
//!
//! ```text
//!    o .                     from the best place so far (o) the steepest ramp (.); a run of moves
//!     '- .                   is judged by how far it comes to lie below that, not move by move
//!       '-- .
//!           '-- .
//! ```
//!
//! Geometry; how steep: common practice, no source.

/// The steepest ramp, as rise over run, with what rounding adds: 3 degrees and a little.
const STEEPEST: f64 = 0.0535;
/// How far below the steepest ramp rounding may bring a run of moves, in mm (geometry: two
/// steps of the last figure of a program in inches).
const BELOW: f64 = 0.006;

/// Follows moves that cut, one after the other; a rapid between them starts anew.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Slope {
    /// How far it is below the steepest ramp that starts from the best place so far, in mm.
    below: f64,
}

impl Slope {
    /// Takes the next move, so long in the plane and down by so much; whether it ends lower
    /// than a ramp may come to from any place before. After one that does it starts anew.
    pub(super) fn is_steep(&mut self, run: f64, down: f64) -> bool {
        let below = (self.below + down - STEEPEST * run).max(0.0);
        let steep = BELOW < below;
        self.below = if steep { 0.0 } else { below };
        steep
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// How many of a row of alike moves are too steep.
    fn steep(count: u32, (run, degrees): (f64, f64)) -> usize {
        let mut slope = Slope::default();
        let down = run * libm::tan(degrees.to_radians());
        (0..count).filter(|_| slope.is_steep(run, down)).count()
    }

    #[test]
    fn a_row_of_moves_is_as_steep_as_all_of_it_however_short_each_is() {
        for (run, count) in [(0.001, 2000), (0.01, 200), (0.029, 70), (1.0, 2), (50.0, 1)]
        {
            assert_eq!(steep(count, (run, 3.0)), 0, "{run}: 3 degrees");
            assert!(0 < steep(count, (run, 4.0)), "{run}: 4 degrees over 2 mm");
        }
    }

    #[test]
    fn steps_down_between_level_moves_add_up_and_rises_count_against_them() {
        let mut slope = Slope::default();
        let stairs =
            (0..100).map(|n| if n % 2 == 0 { (0.0, 0.005) } else { (0.04, 0.0) });
        assert!(
            stairs.into_iter().any(|(run, down)| slope.is_steep(run, down)),
            "7 degrees"
        );
        let mut slope = Slope::default();
        let saw = (0..100).map(|n| if n % 2 == 0 { 0.005 } else { -0.005 });
        assert!(!saw.into_iter().any(|down| slope.is_steep(0.0, down)), "to and fro");
    }
}

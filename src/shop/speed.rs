//! How fast a bit may turn.

use super::fill::place;
use super::{Bit, defaults};
use crate::diag::{Problem, Problems};
use crate::read::MachineWish;
use crate::units::Diameter;

/// The highest turns a minute of a cutter this wide: its rim stays within the limit, and no
/// bit turns faster than routers do.
///
/// ```
/// use spelch::{shop::rim_limit, units::{Diameter, Mm}};
/// let three_inch = Diameter::new(Mm::of(76.2)).unwrap();
/// assert!((rim_limit(three_inch) - 14036.0).abs() < 1.0);
/// ```
pub fn rim_limit(across: Diameter) -> f64 {
    let turns_a_second =
        defaults::RIM_SPEED.value * 1000.0 / (std::f64::consts::PI * across.mm());
    (turns_a_second * 60.0).min(defaults::TOP_SPEED.value)
}

/// What to set a router to for this bit: a careful speed, never over the speed marked on it
/// nor over the limit at the rim.
pub fn bit_speed(bit: &Bit) -> f64 {
    let careful = defaults::CAREFUL_SPEEDS
        .iter()
        .find(|(across, _)| bit.cutter.mm() <= *across)
        .map_or(f64::INFINITY, |&(_, turns)| turns);
    careful.min(rim_limit(bit.cutter)).min(bit.marked_speed.unwrap_or(f64::INFINITY))
}

/// Turns a minute: as asked, never over the mark on the mill nor the limit at its rim.
pub(super) fn mill_speed(
    wish: &MachineWish,
    end_mill: Diameter,
    wrong: &mut Problems,
) -> f64 {
    let marked = wish.marked_speed.unwrap_or(f64::INFINITY);
    let most = rim_limit(end_mill).min(marked);
    let Some(asked) = wish.rpm else {
        return defaults::MACHINE_SPEED.value.min(most);
    };
    if !(0.0 < asked && asked <= most) {
        let found = format!("{asked} turns a minute");
        let hint = if marked <= most {
            format!(
                "give `rpm` between 1 and {most:.0}: that is what is marked on the end mill"
            )
        } else {
            format!(
                "give `rpm` between 1 and {most:.0} for this end mill, or what is marked on it if that is less"
            )
        };
        wrong.push(Problem::stop("speed-out-of-range", found, hint).at(place("rpm")));
    }
    asked.min(most)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mm;

    /// Basis: geometry: 25 mm at 24,000 turns is 31.4 m/s at the rim, under the limit of 56;
    /// a 2 1/2 in cutter reaches it at 16,843 turns.
    #[test]
    fn the_rim_is_the_limit_for_wide_cutters() {
        let of = |mm: f64| rim_limit(Diameter::new(Mm::of(mm)).expect("more than zero"));
        assert!((of(25.0) - 24000.0).abs() < 1e-9, "routers turn no faster");
        assert!((of(63.5) - 16842.9).abs() < 0.1, "{}", of(63.5));
    }
}

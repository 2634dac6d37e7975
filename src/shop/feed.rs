//! How fast an end mill is fed: turns, flutes and the thickness of a chip.

use super::defaults;
use crate::read::Material;
use crate::units::Diameter;

/// Chips a tooth takes on a stiff machine at a depth of one width, least and most in mm, by
/// the mill's width (common practice, no source: makers' charts for solid carbide, rounded).
const CHIPS: [(f64, [[f64; 2]; 5]); 4] = [
    (3.175, [[0.10, 0.18], [0.08, 0.13], [0.08, 0.13], [0.05, 0.10], [0.05, 0.10]]),
    (6.35, [[0.30, 0.38], [0.15, 0.23], [0.15, 0.20], [0.13, 0.18], [0.13, 0.20]]),
    (9.525, [[0.43, 0.48], [0.38, 0.46], [0.38, 0.43], [0.33, 0.38], [0.20, 0.25]]),
    (12.7, [[0.51, 0.64], [0.46, 0.53], [0.48, 0.53], [0.43, 0.48], [0.25, 0.33]]),
];

/// The chip a chart gives for a mill of this width, least and most, in mm a tooth: between the
/// chart's widths in proportion, below the narrowest by the width.
pub fn chart_chip(end_mill: Diameter, material: Material) -> [f64; 2] {
    let column = match material {
        Material::Mdf => 0,
        Material::Plywood => 1,
        Material::Softwood => 2,
        Material::Hardwood => 3,
        Material::Plastic => 4,
    };
    let across = end_mill.mm();
    let next = CHIPS.iter().position(|(width, _)| across <= *width);
    let (low, high) = match next {
        Some(0) => ((0.0, [0.0; 2]), (CHIPS[0].0, CHIPS[0].1[column])),
        Some(n) => {
            ((CHIPS[n - 1].0, CHIPS[n - 1].1[column]), (CHIPS[n].0, CHIPS[n].1[column]))
        }
        None => return CHIPS[CHIPS.len() - 1].1[column],
    };
    let share = (across - low.0) / (high.0 - low.0);
    [0, 1].map(|end| low.1[end] + (high.1[end] - low.1[end]) * share)
}

/// The chip for a light machine, in mm a tooth: a share of the chart's least, but no chip so
/// thin that the edge rubs.
pub fn light_chip(end_mill: Diameter, material: Material) -> f64 {
    let least = chart_chip(end_mill, material)[0];
    (least * defaults::CHIP_SHARE.value).max(defaults::LEAST_CHIP.value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mm;

    fn mill(mm: f64) -> Diameter {
        Diameter::new(Mm::of(mm)).expect("more than zero")
    }

    #[test]
    fn chips_grow_with_the_mill_and_lie_between_the_charts_widths() {
        let [least, most] = chart_chip(mill(6.35), Material::Mdf);
        assert!((least - 0.30).abs() < 1e-9 && (most - 0.38).abs() < 1e-9, "the chart's");
        let [between, _] = chart_chip(mill(4.7625), Material::Mdf);
        assert!((between - 0.20).abs() < 1e-9, "half way from 0.10 to 0.30: {between}");
        let [thin, _] = chart_chip(mill(1.5875), Material::Plywood);
        assert!((thin - 0.04).abs() < 1e-9, "half of 0.08: {thin}");
        assert!(
            (chart_chip(mill(20.0), Material::Mdf)[0] - 0.51).abs() < 1e-9,
            "the last"
        );
    }

    #[test]
    fn a_light_machine_takes_a_share_and_never_rubs() {
        assert!(
            (light_chip(mill(6.35), Material::Plywood) - 0.15 * 0.35).abs() < 1e-9,
            ""
        );
        assert!(light_chip(mill(1.0), Material::Hardwood) >= 0.025, "it would rub");
    }
}

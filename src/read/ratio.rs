//! Slopes as people write them: `1:8`, `1 in 8`.

use super::Checked;
use crate::diag::{Place, Problem};

/// A slope of 1 in so many, from `1:8`, `1 in 8` or `8`.
///
/// # Errors
/// `slope-unreadable`.
pub fn slope_text(text: &str, place: &Place) -> Checked<f64> {
    /// Steeper or flatter is no slope of a joint (from memory).
    const SLOPES: std::ops::RangeInclusive<f64> = 1.0..=100.0;
    let parts = text.split_once(':').or_else(|| text.split_once("in"));
    let (rise, run) = parts.unwrap_or(("1", text));
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|n| n.is_finite());
    let slope = number(rise).zip(number(run)).map(|(rise, run)| run / rise);
    slope.filter(|slope| SLOPES.contains(slope)).ok_or_else(|| {
        let found = format!("`{text}` is no slope");
        let hint = "write it as `1:8` or `1 in 8`";
        let problem = Problem::stop("slope-unreadable", found, hint);
        problem.expected("from 1:1 to 1:100").at(place.clone()).into()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Source;

    #[test]
    fn slopes_as_people_write_them() {
        let place = Place::whole(Source::Command, "--slope");
        for (text, run) in [("1:8", 8.0), ("1 in 12", 12.0), ("6", 6.0), ("2:9", 4.5)] {
            assert!(
                (slope_text(text, &place).expect(text) - run).abs() < 1e-12,
                "{text}"
            );
        }
        for text in ["", "1:0", "-1:8", "1:0.5", "steep", "1:inf"] {
            assert_eq!(slope_text(text, &place).expect_err(text).id, "slope-unreadable");
        }
    }
}

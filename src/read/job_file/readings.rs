//! A file of readings: TOML → [`Readings`].

use super::reader::{Reader, Section};
use super::{unreadable, word};
use crate::diag::{Failure, Problem, Source};
use crate::read::{Feature, Readings, words};
use crate::units::Unit;
use toml::de::DeTable;

/// A reading farther from the drawn size than this is a slip, in mm (from memory).
const SLIP: f64 = 2.0;
/// And on a long one farther than this share of it: what is less may be the machine (from memory:
/// twice what a program makes up for).
const SLIP_SHARE: f64 = 0.02;

/// Reads readings from TOML; bare numbers are in `units`, or as the file's own `units` says.
///
/// # Errors
/// [`Failure::Input`] with every problem found.
pub fn readings(
    name: &str,
    text: &str,
    units: Option<Unit>,
) -> Result<Readings, Failure> {
    let document = DeTable::parse(text)
        .map_err(|error| Failure::input(unreadable(name, text, &error)))?;
    let root = Section { name: "", table: document.get_ref() };
    let mut reader = Reader::new(name, text, units.into());
    reader.source = Source::Job;
    let own = word(&mut reader, root, "units", words::units_text);
    reader.units = own.or(units).into();
    let paper = reader.units.on_paper();
    let keys: Vec<&str> =
        ["units"].into_iter().chain(Feature::ALL.map(Feature::key)).collect();
    reader.only(root, &keys);
    let mut values = Vec::new();
    for feature in Feature::ALL {
        let key = feature.key();
        let optional =
            matches!(feature, Feature::Long | Feature::Rising | Feature::Falling);
        let place = reader.place(0..0).element(key);
        if !optional && !root.table.contains_key(key) {
            reader.missing(&format!("`{key}`"), "measure it and write it down", &place);
        }
        let Some(read) = reader.size(root, key) else { continue };
        let slip = SLIP.max(SLIP_SHARE * feature.mm());
        if slip < (read.mm() - feature.mm()).abs() {
            let found = format!(
                "`{key}` is {}, and {} were drawn",
                paper.fine(read.mm()),
                paper.fine(feature.mm())
            );
            let hint = "measure again, in the unit the file says";
            reader.problems.push(Problem::stop("reading-odd", found, hint).at(place));
        }
        values.push((feature, read.mm()));
    }
    if reader.problems.is_empty() {
        Ok(Readings { values })
    } else {
        Err(Failure::Input(reader.problems))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Basis: geometry: a machine with a cut of 6.1 mm for a mill of 6, 0.2 % long in X, 0.1 %
    /// short in Y, whose Y leans 0.3 mm to the right over 100: 1.002 x 106 - 6.1 and so on.
    const TEXT: &str = "units = \"mm\"\nsquare-x = 100.1115\nsquare-y = 99.7940\nring-x = 40.1682\n\
        ring-y = 40.0660\nslot = 20.0860\nlong = 240.3909\nrising = 141.5672\nfalling = 141.1432\n";

    #[test]
    fn readings_give_back_the_machine_they_came_from() {
        let found = readings("r.toml", TEXT, None).expect("they are sound").measured(6.0);
        let near = |found: f64, due: f64| (found - due).abs() < 2e-4;
        assert!(near(found.kerf, 6.1), "{found:?}");
        let scales = [(found.scale_x, 1.002), (found.scale_y, 0.999)];
        assert!(
            scales.iter().all(|(found, due)| near(100.0 * found, 100.0 * due)),
            "{found:?}"
        );
        assert!(found.rest < 1e-3, "{found:?}");
        assert!(near(found.lean.expect("both diagonals"), 0.3), "{found:?}");
    }

    #[test]
    fn readings_that_disagree_say_by_how_much() {
        let text = TEXT.replace("slot = 20.0860", "slot = 20.38");
        let found =
            readings("r.toml", &text, None).expect("they are sound").measured(6.0);
        assert!(0.05 < found.rest, "{found:?}");
    }

    #[test]
    fn what_is_missing_or_a_slip_is_told() {
        for (from, to, id) in [
            ("slot = 20.0860\n", "", "job-key-missing"),
            ("ring-x = 40.1682", "ring-x = 401.8", "reading-odd"),
            ("slot = ", "slit = ", "job-unknown-key"),
            ("units = \"mm\"\n", "", "length-without-unit"),
        ] {
            let failure =
                readings("r.toml", &TEXT.replace(from, to), None).expect_err(to);
            assert!(failure.problems().iter().any(|p| p.id == id), "{id}: {failure:?}");
        }
    }
}

//! The words people write for lengths, grain, sides and the like: one reading for the command
//! and for jobs, with one problem each where a word cannot be read.

use super::sum;
use super::{
    Bottom, Checked, Cut, EdgeRef, FileKind, GrainKind, GrainWish, Hand, Material,
    PostChoice, Side, Station, Terms, WorkZero, ZZero,
};
use crate::diag::{Place, Problem};
use crate::units::{Diameter, Mm, Unit};

/// A length, or a sum that comes to one. Zero is zero in any unit.
///
/// # Errors
/// `length-without-unit`, with both readings, `length-unreadable`, or what is wrong with a sum.
pub(super) fn length_text(text: &str, units: Terms<'_>, place: &Place) -> Checked<Mm> {
    if is_not_finite(text) {
        return Err(not_finite(text).at(place.clone()).into());
    }
    sum::length(&text.to_ascii_lowercase(), units, place)
}

/// A length of more than zero.
///
/// # Errors
/// As `length_text`, or `length-not-positive`.
pub fn size_text<'a>(
    text: &str,
    units: impl Into<Terms<'a>>,
    place: &Place,
) -> Checked<Mm> {
    let length = length_text(text, units.into(), place)?;
    if 0.0 < length.mm() {
        return Ok(length);
    }
    let what = place.element.as_deref().unwrap_or(&place.name);
    let found = format!("`{what}` is {text}");
    let hint = "write the measured length, or leave it out where it is not known";
    let problem = Problem::stop("length-not-positive", found, hint);
    Err(problem.expected("a length of more than zero").at(place.clone()).into())
}

/// A length of zero or more.
///
/// # Errors
/// As `length_text`, or `length-negative`.
pub fn amount_text<'a>(
    text: &str,
    units: impl Into<Terms<'a>>,
    place: &Place,
) -> Checked<Mm> {
    let length = length_text(text, units.into(), place)?;
    if 0.0 <= length.mm() {
        return Ok(length);
    }
    let what = place.element.as_deref().unwrap_or(&place.name);
    let found = format!("`{what}` is {text}");
    let problem = Problem::stop("length-negative", found, "remove the minus sign");
    Err(problem.expected("a length of zero or more").at(place.clone()).into())
}

/// A diameter of more than zero.
///
/// # Errors
/// As [`size_text`].
pub fn diameter_text<'a>(
    text: &str,
    units: impl Into<Terms<'a>>,
    place: &Place,
) -> Checked<Diameter> {
    let size = size_text(text, units, place)?;
    Diameter::new(size).ok_or_else(|| not_finite(text).at(place.clone()).into())
}

/// `in` or `mm`.
///
/// # Errors
/// `units-unknown`.
pub fn units_text(text: &str, place: &Place) -> Checked<Unit> {
    match text.trim().to_lowercase().as_str() {
        "mm" => Ok(Unit::Mm),
        "in" | "inch" | "inches" => Ok(Unit::Inch),
        _ => Err(unknown("units-unknown", text, &["mm", "in"], place)),
    }
}

/// The finest fraction of an inch, `1/32` or `32`, as its lower number.
///
/// # Errors
/// `fraction-unreadable`.
pub fn fraction_text(text: &str, place: &Place) -> Checked<u32> {
    const HALVES: [u32; 6] = [4, 8, 16, 32, 64, 128];
    let below = text.trim().trim_end_matches("in").trim();
    let below = below.strip_prefix("1/").unwrap_or(below).trim();
    match below.parse() {
        Ok(below) if HALVES.contains(&below) => Ok(below),
        _ => {
            let found = format!("`{text}` is no fraction of an inch on a rule");
            let problem = Problem::stop(
                "fraction-unreadable",
                found,
                "write `1/16`, `1/32` or `1/64`",
            );
            let expected = "1/4, 1/8, 1/16, 1/32, 1/64 or 1/128";
            Err(problem.expected(expected).at(place.clone()).into())
        }
    }
}

/// `long`, `across` or degrees counter-clockwise from +x: `12`, `-7.5`, `30deg`, `90 - 12.5`.
///
/// # Errors
/// `grain-unreadable`, or what is wrong with a sum.
pub fn grain_text<'a>(
    text: &str,
    terms: impl Into<Terms<'a>>,
    place: &Place,
) -> Checked<GrainWish> {
    match text.trim().to_lowercase().as_str() {
        "long" => return Ok(GrainWish::Long),
        "across" => return Ok(GrainWish::Across),
        _ => {}
    }
    match degrees_text(text, terms.into(), place) {
        Ok(degrees) if degrees.abs() <= 360.0 => Ok(GrainWish::Degrees(degrees)),
        // A sum that is nearly right says itself what is wrong with it.
        Err(problem) if text.contains(|c: char| c.is_ascii_digit() || c == '(') => {
            Err(problem)
        }
        _ => {
            let found = format!("`{text}` does not say how the grain runs");
            let hint = "write `long` (along the longer side), `across`, or the angle in degrees counter-clockwise from the drawing's x axis, like `12`";
            let problem = Problem::stop("grain-unreadable", found, hint);
            let expected = "`long`, `across` or degrees from -360 to 360";
            Err(problem.expected(expected).at(place.clone()).into())
        }
    }
}

/// `straight`, `stringy`, `interlocked`, `curly` or `mixed`.
///
/// # Errors
/// `grain-kind-unknown`.
pub(super) fn grain_kind_text(text: &str, place: &Place) -> Checked<GrainKind> {
    let lower = text.trim().to_lowercase();
    let found = GrainKind::ALL.into_iter().find(|kind| kind.word() == lower);
    found.ok_or_else(|| {
        let known = GrainKind::ALL.map(GrainKind::word);
        unknown("grain-kind-unknown", text, &known, place)
    })
}

/// An angle in degrees, or a sum that comes to one: `54`, `-12.5`, `360 / 5`, `90deg`.
///
/// # Errors
/// `angle-unreadable`, or what is wrong with a sum.
pub(super) fn degrees_text(text: &str, terms: Terms<'_>, place: &Place) -> Checked<f64> {
    let lower = text.to_ascii_lowercase();
    let end = lower.trim_end();
    let number = ["degrees", "deg", "°"].iter().find_map(|unit| end.strip_suffix(unit));
    let number = number.unwrap_or(end);
    let place = place.within(0..number.len(), text.len());
    sum::number(number, terms, &place).map_err(|problem| {
        if !["length-unreadable", "number-not-finite"].contains(&problem.id) {
            return problem;
        }
        let found = format!("`{}` is no angle", text.trim());
        let hint = "write degrees counter-clockwise from the right, like `54`, `-12.5` or `360 / 5`";
        Problem::stop("angle-unreadable", found, hint).at(place.clone()).into()
    })
}

/// A side, or the name of an edge.
pub(super) fn edge_text(text: &str) -> EdgeRef {
    side_of(text).map_or_else(|| EdgeRef::Name(text.trim().to_owned()), EdgeRef::Side)
}

/// The words for the sides.
pub(super) const SIDES: [&str; 4] = ["left", "right", "near", "far"];

/// The side a word means.
pub(super) fn side_of(text: &str) -> Option<Side> {
    match text.trim().to_lowercase().as_str() {
        "left" => Some(Side::Left),
        "right" => Some(Side::Right),
        "near" => Some(Side::Near),
        "far" => Some(Side::Far),
        _ => None,
    }
}

/// `left`, `right` or `pair`.
pub(super) fn hand_text(text: &str, place: &Place) -> Checked<Hand> {
    match text.trim().to_lowercase().as_str() {
        "left" => Ok(Hand::Left),
        "right" => Ok(Hand::Right),
        "pair" => Ok(Hand::Pair),
        _ => Err(unknown("hand-unknown", text, &["left", "right", "pair"], place)),
    }
}

/// Which hand the person works with, `left` or `right`: whether it is the left one.
pub(super) fn handed_text(text: &str, place: &Place) -> Checked<bool> {
    match text.trim().to_lowercase().as_str() {
        "left" => Ok(true),
        "right" => Ok(false),
        _ => Err(unknown("handed-unknown", text, &["left", "right"], place)),
    }
}

/// The reference edge: `near` or `far`.
pub(super) fn edge_side_text(text: &str, place: &Place) -> Checked<Side> {
    side_of(text)
        .filter(|side| matches!(side, Side::Near | Side::Far))
        .ok_or_else(|| unknown("reference-unknown", text, &["near", "far"], place))
}

/// The reference end: `left` or `right`.
pub(super) fn end_side_text(text: &str, place: &Place) -> Checked<Side> {
    side_of(text)
        .filter(|side| matches!(side, Side::Left | Side::Right))
        .ok_or_else(|| unknown("reference-unknown", text, &["left", "right"], place))
}

/// A kind of file.
pub(super) fn file_text(text: &str, place: &Place) -> Checked<FileKind> {
    let word = text.trim().to_lowercase();
    let kind = FileKind::ALL.iter().find(|(_, known)| *known == word);
    let known = FileKind::ALL.map(|(_, word)| word);
    kind.map(|(kind, _)| *kind)
        .ok_or_else(|| unknown("file-kind-unknown", text, &known, place))
}

/// `hand`, `table` or `both`.
///
/// # Errors
/// `work-unknown`.
pub(super) fn stations_text(text: &str, place: &Place) -> Checked<Vec<Station>> {
    match text.trim().to_lowercase().as_str() {
        "hand" => Ok(vec![Station::Hand]),
        "table" => Ok(vec![Station::Table]),
        "both" => Ok(vec![Station::Hand, Station::Table]),
        _ => Err(unknown("work-unknown", text, &["hand", "table", "both"], place)),
    }
}

/// Two sizes with an `x` between: `300x200mm`, `12in x 8 1/2in`. The first takes the second's
/// unit where it names none.
///
/// # Errors
/// `blank-unreadable`, or as [`size_text`].
pub fn blank_text<'a>(
    text: &str,
    units: impl Into<Terms<'a>>,
    place: &Place,
) -> Checked<(Mm, Mm)> {
    let sizes =
        text.split_once(['x', 'X', '×']).filter(|(x, y)| !x.is_empty() && !y.is_empty());
    let Some((along, across)) = sizes else {
        let found = format!("`{text}` is no size of a blank");
        let hint = "write width and height with an x between, like `300x200mm`";
        let problem = Problem::stop("blank-unreadable", found, hint);
        return Err(problem.at(place.clone()).into());
    };
    let units = units.into();
    let second = size_text(across, units, place)?;
    let has_unit =
        |text: &str| text.chars().any(|c| c.is_alphabetic() || "\"'″”".contains(c));
    let unit = unit_tail(across);
    let along = if has_unit(along) { along.to_owned() } else { format!("{along}{unit}") };
    Ok((size_text(&along, units, place)?, second))
}

/// What stands behind the number of a length.
fn unit_tail(text: &str) -> &str {
    let text = text.trim();
    let split = text.find(|c: char| !(c.is_ascii_digit() || " .-+/".contains(c)));
    split.map_or("", |at| &text[at..])
}

/// `corner` or `centre`.
///
/// # Errors
/// `zero-unknown`.
pub fn zero_text(text: &str, place: &Place) -> Checked<WorkZero> {
    match text.trim().to_lowercase().as_str() {
        "corner" => Ok(WorkZero::Corner),
        "centre" | "center" => Ok(WorkZero::Centre),
        _ => Err(unknown("zero-unknown", text, &["corner", "centre"], place)),
    }
}

/// `top` or `table`.
///
/// # Errors
/// `z-zero-unknown`.
pub fn z_zero_text(text: &str, place: &Place) -> Checked<ZZero> {
    match text.trim().to_lowercase().as_str() {
        "top" => Ok(ZZero::Top),
        "table" => Ok(ZZero::Table),
        _ => Err(unknown("z-zero-unknown", text, &["top", "table"], place)),
    }
}

/// What a machine cuts.
///
/// # Errors
/// `material-unknown`.
pub(super) fn material_text(text: &str, place: &Place) -> Checked<Material> {
    const KNOWN: [Material; 5] = [
        Material::Mdf,
        Material::Plywood,
        Material::Softwood,
        Material::Hardwood,
        Material::Plastic,
    ];
    let wanted = text.trim().to_lowercase();
    let found = KNOWN.into_iter().find(|material| material.word() == wanted);
    found.ok_or_else(|| {
        unknown("material-unknown", text, &KNOWN.map(Material::word), place)
    })
}

/// How far down a template is cut.
///
/// # Errors
/// `bottom-unknown`.
pub(super) fn bottom_text(text: &str, place: &Place) -> Checked<Bottom> {
    match text.trim().to_lowercase().as_str() {
        "through" => Ok(Bottom::Through),
        "skin" => Ok(Bottom::Skin),
        _ => Err(unknown("bottom-unknown", text, &["through", "skin"], place)),
    }
}

/// What a machine cuts: `template` or `part`.
pub(super) fn cut_text(text: &str, place: &Place) -> Checked<Cut> {
    match text.trim().to_lowercase().as_str() {
        "template" => Ok(Cut::Template),
        "part" => Ok(Cut::Part),
        _ => Err(unknown("cut-unknown", text, &["template", "part"], place)),
    }
}

/// A feed, `1200mm/min` or a length a minute.
///
/// # Errors
/// As [`size_text`].
pub fn feed_text<'a>(
    text: &str,
    units: impl Into<Terms<'a>>,
    place: &Place,
) -> Checked<Mm> {
    let text = text.trim();
    let length = ["/minute", "/min", "a minute"]
        .iter()
        .find_map(|tail| text.strip_suffix(tail))
        .unwrap_or(text);
    size_text(length, units, place)
}

/// Turns a minute.
///
/// # Errors
/// `rpm-unreadable`.
pub fn rpm_text(text: &str, place: &Place) -> Checked<f64> {
    /// Faster than any router turns (from memory).
    const FASTEST: f64 = 60_000.0;
    match plain_number(text.trim()) {
        Some(rpm) if 0.0 < rpm && rpm <= FASTEST => Ok(rpm),
        _ => {
            let found = format!("`{text}` is no speed");
            let problem = Problem::stop(
                "rpm-unreadable",
                found,
                "write turns a minute, like `16000`",
            );
            let expected = "a number of more than 0 and at most 60000";
            Err(problem.expected(expected).at(place.clone()).into())
        }
    }
}

/// A number without a unit.
///
/// # Errors
/// `number-unreadable`.
pub(super) fn number_text(text: &str, place: &Place) -> Checked<f64> {
    plain_number(text).ok_or_else(|| {
        let found = format!("`{text}` is no number");
        let hint = "write it without a unit, like `99.95`";
        Box::new(Problem::stop("number-unreadable", found, hint).at(place.clone()))
    })
}

/// Pixels an inch.
///
/// # Errors
/// `ppi-unreadable`.
pub fn ppi_text(text: &str, place: &Place) -> Checked<f64> {
    /// Finer than any scan (from memory).
    const FINEST: f64 = 10_000.0;
    match plain_number(text.trim()) {
        Some(ppi) if (1.0..=FINEST).contains(&ppi) => Ok(ppi),
        _ => {
            let found = format!("`{text}` is no number of pixels an inch");
            let hint = "write what the program that made the drawing counts by, like `96` or `72`";
            let problem = Problem::stop("ppi-unreadable", found, hint);
            Err(problem.expected("a number from 1 to 10000").at(place.clone()).into())
        }
    }
}

/// The name of a post that is compiled in, or of a post file (`mine.toml`), which the caller
/// loads.
pub fn post_text(text: &str) -> PostChoice {
    PostChoice::Named(text.trim().to_owned())
}

/// A finite number without a unit or an exponent.
fn plain_number(text: &str) -> Option<f64> {
    let text = text.trim();
    let digits = text.chars().all(|c| c.is_ascii_digit() || ".+-".contains(c));
    text.parse().ok().filter(|number: &f64| digits && number.is_finite())
}

fn is_not_finite(text: &str) -> bool {
    let lower = text.trim().trim_start_matches(['+', '-']).to_lowercase();
    ["nan", "inf", "infinity"].contains(&lower.as_str())
}

/// The problem of a number that is not finite.
pub(super) fn not_finite(text: &str) -> Problem {
    let found = format!("`{text}` is not a finite number");
    Problem::stop("number-not-finite", found, "write the measured length as a number")
}

/// The problem of a word that is none of a few.
pub(super) fn unknown(
    id: &'static str,
    text: &str,
    known: &[&str],
    place: &Place,
) -> Box<Problem> {
    let list =
        known.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ");
    let hint = nearest(text, known).map_or_else(
        || format!("write one of {list}"),
        |near| format!("use `{near}`, if that was meant, or another of {list}"),
    );
    let problem = Problem::stop(id, format!("`{text}` is not known here"), hint);
    problem.expected(format!("one of {list}")).at(place.clone()).into()
}

/// The known word that is nearest to `text` by changes of a letter, if it is near at all.
pub fn nearest<'a>(text: &str, known: &[&'a str]) -> Option<&'a str> {
    let lower = text.trim().to_lowercase();
    let far = 1 + lower.chars().count() / 3;
    let best = known.iter().map(|word| (changes(&lower, word), *word)).min();
    best.filter(|&(distance, _)| distance <= far).map(|(_, word)| word)
}

/// How many letters must be put in, left out or changed (Levenshtein's distance).
fn changes(from: &str, to: &str) -> usize {
    let to: Vec<char> = to.chars().collect();
    let mut row: Vec<usize> = (0..=to.len()).collect();
    for (index, letter) in from.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = index + 1;
        for (column, other) in to.iter().enumerate() {
            let same = diagonal + usize::from(letter != *other);
            diagonal = row[column + 1];
            row[column + 1] = same.min(row[column] + 1).min(diagonal + 1);
        }
    }
    row[to.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Source;

    fn here() -> Place {
        Place::whole(Source::Command, "--option")
    }

    #[test]
    fn a_bare_length_is_refused_with_both_readings() {
        let problem = length_text("3", None.into(), &here()).expect_err("no unit");
        assert_eq!(problem.id, "length-without-unit");
        assert!(problem.found.contains("3 mm"), "{}", problem.found);
        assert!(problem.found.contains("76.200 mm"), "{}", problem.found);
        let zero =
            length_text("0", None.into(), &here()).expect("zero is zero in any unit");
        assert!(zero.mm().abs() <= 0.0, "nothing");
    }

    #[test]
    fn sizes_must_be_more_than_zero() {
        for (text, id) in [
            ("0mm", "length-not-positive"),
            ("-3mm", "length-not-positive"),
            ("nan", "number-not-finite"),
            ("three", "size-unknown"),
            ("3 furlongs", "length-unreadable"),
        ] {
            let problem = size_text(text, None, &here()).expect_err(text);
            assert_eq!(problem.id, id, "{text}");
        }
    }

    #[test]
    fn grain_is_a_word_or_an_angle() {
        let grain = |text| grain_text(text, None, &here()).expect(text);
        assert_eq!(grain("Long"), GrainWish::Long, "any case");
        assert_eq!(grain("across"), GrainWish::Across, "a word");
        assert_eq!(grain("-7.5deg"), GrainWish::Degrees(-7.5), "an angle");
        for text in ["", "diagonal", "1e3", "nan", "400"] {
            assert!(grain_text(text, None, &here()).is_err(), "{text}");
        }
    }

    #[test]
    fn blanks_share_a_unit() {
        let blank = |text, units| {
            let (along, across) = blank_text(text, units, &here()).expect(text);
            (along.mm(), across.mm())
        };
        assert_eq!(blank("300x200mm", None), (300.0, 200.0), "written once");
        assert_eq!(blank("10in x 100 mm", None), (254.0, 100.0), "each its own");
        assert_eq!(blank("12 x 8", Some(Unit::Inch)), (12.0 * 25.4, 8.0 * 25.4), "bare");
        assert!(blank_text("300x200", None, &here()).is_err(), "no unit at all");
        assert!(blank_text("300mm", None, &here()).is_err(), "one size only");
    }

    #[test]
    fn fractions_and_words_are_read() {
        assert_eq!(fraction_text("1/32", &here()).expect("a fraction"), 32);
        assert!(fraction_text("1/10", &here()).is_err(), "no rule has it");
        assert_eq!(units_text("IN", &here()).expect("inches"), Unit::Inch);
        let both = stations_text("both", &here()).expect("two ways of working");
        assert_eq!(both, [Station::Hand, Station::Table]);
        let feed = feed_text("1200mm/min", None, &here()).expect("a feed");
        assert!((feed.mm() - 1200.0).abs() < 1e-12, "a length a minute");
        assert!(rpm_text("0", &here()).is_err(), "it must turn");
    }

    #[test]
    fn the_nearest_word_is_near() {
        assert_eq!(nearest("berring", &["bearing", "bits"]), Some("bearing"));
        assert_eq!(nearest("banana", &["bearing", "bits"]), None, "nothing like it");
    }
}

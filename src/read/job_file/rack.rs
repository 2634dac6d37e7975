//! A bit rack's TOML → [`Rack`]: the bits a shop owns, each a table under its own name.

use toml::de::DeTable;

use super::reader::{Reader, Section};
use super::{unreadable, word};
use crate::diag::{Failure, Outcome, Place, Problem, Source, Told};
use crate::read::{BearingAt, Checked, Rack, RackAxes, RackBit, RackMill, words};
use crate::units::Diameter;

/// The keys of one bit.
const KEYS: [&str; 11] = [
    "cutter",
    "bearing-at",
    "bush",
    "bearing",
    "bearings",
    "bearing-height",
    "cut-length",
    "shank",
    "reach",
    "flutes",
    "speed",
];

/// The keys of a machine's axes: any of them says that a table is no bit.
const AXES: [&str; 3] = ["x-per-100", "y-per-100", "lean-per-100"];

/// Reads a rack; `name` is its file's name.
///
/// # Errors
/// [`Failure::Input`] with every problem found.
///
/// ```
/// let text = "[half-inch]\ncutter = \"1/2in\"\nbearing-at = \"shank\"\n";
/// let rack = spelch::read::rack("bits.toml", text).unwrap().value;
/// assert_eq!(rack.bits[0].name, "half-inch");
/// assert!((rack.bits[0].cutter.mm() - 12.7).abs() < 1e-9);
/// ```
pub fn rack(name: &str, text: &str) -> Outcome<Rack> {
    let document = DeTable::parse(text).map_err(|error| {
        let mut problem = unreadable(name, text, &error);
        problem.id = "rack-not-toml";
        if let Some(place) = &mut problem.place {
            place.source = Source::BitRack;
        }
        Failure::input(problem)
    })?;
    let root = Section { name: "", table: document.get_ref() };
    let mut reader = Reader::new(name, text, None.into());
    reader.source = Source::BitRack;
    let units = word(&mut reader, root, "units", words::units_text);
    reader.units = units.into();
    let mut rows: Vec<_> = root.table.iter().collect();
    rows.sort_by_key(|(key, _)| key.span().start);
    let mut rack = Rack { name: name.to_owned(), ..Rack::default() };
    for (key, _) in rows {
        let name: &str = key.get_ref();
        if name != "units" {
            let place = reader.place(key.span()).element(name);
            reader.keep(check_name(name, &place));
            let table = root.table.get(name).and_then(|value| value.get_ref().as_table());
            let has = |key: &&str| table.is_some_and(|table| table.contains_key(*key));
            if has(&"end-mill") {
                rack.mills.extend(mill(&mut reader, root, key.get_ref()));
            } else if AXES.iter().any(has) {
                rack.axes.extend(axes(&mut reader, root, key.get_ref()));
            } else {
                rack.bits.extend(bit(&mut reader, root, key.get_ref()));
            }
        }
    }
    if reader.problems.is_empty() {
        return Ok(Told { value: rack, notes: Vec::new() });
    }
    Err(Failure::Input(reader.problems))
}

/// A bit's own text begins with its width, so a name begins with a letter; a comma ends it.
fn check_name(name: &str, place: &Place) -> Checked<()> {
    if name.starts_with(char::is_alphabetic) && !name.contains(',') && name.trim() == name
    {
        return Ok(());
    }
    let found = format!("`{name}` is no name for a bit");
    let hint =
        "name it with a letter first and without a comma, like `[half-inch-pattern]`";
    Err(Problem::stop("bit-name", found, hint).at(place.clone()).into())
}

/// One end mill.
fn mill<'t>(
    reader: &mut Reader<'t>,
    root: Section<'t>,
    name: &'t str,
) -> Option<RackMill> {
    let (table, _) = reader.table(root, name)?;
    let section = Section { name, table };
    reader.only(section, &["end-mill", "kerf", "flutes", "speed"]);
    Some(RackMill {
        name: name.to_owned(),
        wide: diameter(reader, section, "end-mill")?,
        kerf: diameter(reader, section, "kerf"),
        flutes: word(reader, section, "flutes", flutes_text),
        marked_speed: word(reader, section, "speed", words::rpm_text),
    })
}

/// The axes of one machine.
fn axes<'t>(
    reader: &mut Reader<'t>,
    root: Section<'t>,
    name: &'t str,
) -> Option<RackAxes> {
    let (table, place) = reader.table(root, name)?;
    let section = Section { name, table };
    let keys: Vec<&str> = AXES.into_iter().chain(["measured"]).collect();
    reader.only(section, &keys);
    for key in &AXES[..2] {
        if !table.contains_key(*key) {
            let hint = "write both, as the sheet of the measured test piece says: `x-per-100 = 100.2` and `y-per-100 = 99.9`";
            reader.missing(&format!("`{key}` of `{name}`"), hint, &place);
        }
    }
    let [x, y, lean] = AXES.map(|key| word(reader, section, key, words::number_text));
    let measured =
        reader.text(section, "measured").map(|(text, _)| text.trim().to_owned());
    let places = AXES.map(|key| {
        let own = table.get(key).map(|value| reader.place(value.span()));
        own.unwrap_or_else(|| place.clone()).element(format!("{name}.{key}"))
    });
    let name = name.to_owned();
    let (x, y) = (x?, y?);
    Some(RackAxes {
        name,
        x_per_100: x,
        y_per_100: y,
        lean_per_100: lean,
        measured,
        places,
    })
}

/// One bit.
fn bit<'t>(reader: &mut Reader<'t>, root: Section<'t>, name: &'t str) -> Option<RackBit> {
    let (table, place) = reader.table(root, name)?;
    let section = Section { name, table };
    reader.only(section, &KEYS);
    let cutter = diameter(reader, section, "cutter");
    if !table.contains_key("cutter") {
        let hint = "write the width that it cuts, measured: `cutter = \"1/2in\"`";
        reader.missing(&format!("the `cutter` of `{name}`"), hint, &place);
    }
    let bush = diameter(reader, section, "bush");
    let ends = guided(reader, section, (bush.is_some(), &place));
    let bearing = diameter(reader, section, "bearing");
    let values = reader.list(section, "bearings");
    let bearings = values.into_iter().filter_map(|value| {
        let (text, place) = reader.as_word(value)?;
        let units = reader.units;
        reader.keep(words::diameter_text(&text, units, &place))
    });
    let bearings = bearings.collect();
    Some(RackBit {
        name: name.to_owned(),
        cutter: cutter?,
        guided: ends?,
        bearing: bush.or(bearing),
        bearings,
        bearing_height: reader.size(section, "bearing-height"),
        cut_length: reader.size(section, "cut-length"),
        shank: diameter(reader, section, "shank"),
        reach: reader.size(section, "reach"),
        flutes: word(reader, section, "flutes", flutes_text),
        marked_speed: word(reader, section, "speed", words::rpm_text),
    })
}

/// What guides the bit: its bearing's end, or a bush in the router's base.
fn guided<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    (bush, place): (bool, &Place),
) -> Option<BearingAt> {
    let end = word(reader, section, "bearing-at", end_text);
    let has_end = section.table.contains_key("bearing-at");
    match (has_end, bush || section.table.contains_key("bush")) {
        (true, false) => end,
        (false, true) => Some(BearingAt::Bush),
        (both, _) => {
            let what = if both { "a bearing and a bush" } else { "no guide" };
            let found = format!("`{}` has {what}", section.name);
            let hint = "write `bearing-at = \"shank\"`, `\"tip\"` or `\"both\"`, or `bush = \"1/2in\"` for one that runs in a guide bush";
            let problem = Problem::stop("bit-without-guide", found, hint);
            reader.problems.push(problem.at(place.clone()));
            None
        }
    }
}

fn end_text(text: &str, place: &Place) -> Checked<BearingAt> {
    match text.trim().to_lowercase().as_str() {
        "shank" => Ok(BearingAt::Shank),
        "tip" => Ok(BearingAt::Tip),
        "both" => Ok(BearingAt::Both),
        _ => Err(words::unknown(
            "bearing-at-unknown",
            text,
            &["shank", "tip", "both"],
            place,
        )),
    }
}

fn flutes_text(text: &str, place: &Place) -> Checked<u32> {
    /// No router bit has more (from memory).
    const MOST: u32 = 8;
    match text.trim().parse() {
        Ok(count) if (1..=MOST).contains(&count) => Ok(count),
        _ => {
            let found = format!("`{text}` is no number of flutes");
            let problem = Problem::stop(
                "flutes-unreadable",
                found,
                "write how many cutting edges it has, like `2`",
            );
            Err(problem.expected("a whole number from 1 to 8").at(place.clone()).into())
        }
    }
}

fn diameter<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    key: &str,
) -> Option<Diameter> {
    super::wishes::diameter(reader, section, key)
}

#[cfg(test)]
mod tests {
    use super::*;

    const WHOLE: &str = r#"
units = "in"
[half-pattern]
cutter = "1/2"
bearing-at = "shank"
bearings = ["1/2", "9/16"]
bearing-height = "3/16"
cut-length = 1
shank = "1/4"
reach = "60mm"
flutes = 2
speed = 22000
[bush-bit]
cutter = "6mm"
bush = "12mm"
"#;

    fn ids(text: &str) -> Vec<(&'static str, Option<usize>)> {
        let failure = rack("bits.toml", text).expect_err(text);
        let problems = failure.problems().iter();
        problems.map(|p| (p.id, p.place.as_ref().and_then(|place| place.line))).collect()
    }

    #[test]
    fn every_field_of_a_bit_is_read() {
        let rack = rack("bits.toml", WHOLE).expect("a sound rack").value;
        let [half, bush] = &rack.bits[..] else { panic!("two bits") };
        assert_eq!((half.name.as_str(), half.guided), ("half-pattern", BearingAt::Shank));
        let mm = |length: Option<crate::units::Mm>| length.expect("given").mm();
        assert!((half.cutter.mm() - 12.7).abs() < 1e-9, "bare, in inches");
        assert!((half.bearings[1].mm() - 14.2875).abs() < 1e-9, "an oversize one");
        assert!((mm(half.bearing_height) - 4.7625).abs() < 1e-9, "its bearing's height");
        assert!((mm(half.cut_length) - 25.4).abs() < 1e-9, "its cutting length");
        assert!((mm(half.reach) - 60.0).abs() < 1e-9, "its reach");
        assert!((half.shank.expect("given").mm() - 6.35).abs() < 1e-9, "its shank");
        assert_eq!((half.flutes, half.marked_speed), (Some(2), Some(22000.0)));
        assert_eq!(bush.guided, BearingAt::Bush);
        assert!((bush.bearing.expect("the bush").mm() - 12.0).abs() < 1e-9, "it rides");
    }

    #[test]
    fn an_end_mill_is_kept_with_how_wide_it_cuts() {
        let text = "[six]\nend-mill = \"6mm\"\nkerf = \"6.08mm\"\nflutes = 2\n";
        let rack = rack("bits.toml", text).expect("a sound rack").value;
        let [six] = &rack.mills[..] else { panic!("one mill, {rack:?}") };
        assert!((six.kerf.expect("measured").mm() - 6.08).abs() < 1e-9, "{six:?}");
        assert!(rack.bits.is_empty(), "it is no bit");
        assert_eq!(ids("[six]\nend-mill = \"6mm\"\nkerv = 6\n")[0].0, "job-unknown-key");
    }

    #[test]
    fn the_axes_of_a_machine_are_no_bit() {
        let text = "[bench]\nx-per-100 = 100.2\ny-per-100 = 99.9\nlean-per-100 = -0.3\n\
            measured = \"in May\"\n";
        let rack = rack("bits.toml", text).expect("a sound rack").value;
        let [bench] = &rack.axes[..] else { panic!("one machine, {rack:?}") };
        assert!((bench.x_per_100 - 100.2).abs() < 1e-9, "{bench:?}");
        assert_eq!(bench.lean_per_100, Some(-0.3), "to the left");
        assert_eq!(bench.measured.as_deref(), Some("in May"), "as it stands there");
        let lines = bench.places.each_ref().map(|place| place.line);
        assert_eq!(lines, [Some(2), Some(3), Some(4)], "each key in its line");
        assert!(rack.bits.is_empty() && rack.mills.is_empty(), "nothing else");
    }

    #[test]
    fn what_is_wrong_with_a_rack_is_told_with_its_line() {
        for (text, id, line) in [
            ("[a]\ny-per-100 = 99.9\n", "job-key-missing", 1),
            ("[a]\nx-per-100 = 1\ny-per-100 = \"2mm\"\n", "number-unreadable", 3),
            ("[a]\ncutter = \"6mm\"\n", "bit-without-guide", 1),
            ("[a]\nbearing-at = \"tip\"\n", "job-key-missing", 1),
            ("[a]\ncutter = \"6mm\"\nbearing-at = \"top\"\n", "bearing-at-unknown", 3),
            ("[a]\ncutter = 6\nbearing-at = \"tip\"\n", "length-without-unit", 2),
            (
                "[a]\ncutter = \"6mm\"\nbearing-at = \"tip\"\nflute = 2\n",
                "job-unknown-key",
                4,
            ),
            ("[2nd]\ncutter = \"6mm\"\nbearing-at = \"tip\"\n", "bit-name", 1),
            ("a = 3\n", "job-wrong-kind", 1),
            ("[a\n", "rack-not-toml", 1),
        ] {
            assert_eq!(ids(text)[0], (id, Some(line)), "{text}");
        }
    }
}

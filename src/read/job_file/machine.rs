//! What a job asks of the machine.

use super::super::words;
use super::super::{Hidden, KeepOutWish, MachineWish, RecessShape, RecessWish};
use super::reader::{Reader, Section, Value};
use super::wishes::diameter;
use super::{shape, word};
use crate::diag::{Place, Problem};

/// The keys of `[machine]`.
const KEYS: [&str; 41] = [
    "cut",
    "allowance",
    "relieve",
    "mill",
    "kerf",
    "axes",
    "recesses",
    "end-mill",
    "small-mill",
    "scribe",
    "scribe-point",
    "scribe-depth",
    "climb-finish",
    "acceleration",
    "travel-rate",
    "travel-rate-z",
    "flutes",
    "marked-speed",
    "material",
    "chip",
    "feed-most",
    "blank",
    "zero",
    "z-zero",
    "clear",
    "bottom",
    "through",
    "skin",
    "tab-neck",
    "tab-high",
    "air-pass",
    "scratch-pass",
    "stick-out",
    "nut-wide",
    "nut-high",
    "spindle-wide",
    "keep-outs",
    "feed",
    "plunge",
    "rpm",
    "post",
];

/// What is asked of the machine.
pub(super) fn machine<'t>(reader: &mut Reader<'t>, root: Section<'t>) -> MachineWish {
    let Some((table, place)) = reader.table(root, "machine") else {
        return MachineWish::default();
    };
    let section = Section { name: "machine", table };
    reader.only(section, &KEYS);
    if !table.contains_key("end-mill") && !table.contains_key("mill") {
        let hint = "write the end mill's measured diameter, `end-mill = \"6mm\"`, or remove `[machine]` where no machine cuts anything";
        reader.missing("`machine.end-mill`", hint, &place);
    }
    let units = reader.units;
    let feed = |text: &str, place: &Place| words::feed_text(text, units, place);
    let held = held(reader, section);
    let cut = further(reader, section, held);
    MachineWish {
        end_mill: diameter(reader, section, "end-mill"),
        flutes: word(reader, section, "flutes", super::count_text),
        marked_speed: word(reader, section, "marked-speed", words::rpm_text),
        material: word(reader, section, "material", words::material_text),
        chip: reader.size(section, "chip"),
        feed_most: word(reader, section, "feed-most", feed),
        blank: blank(reader, section),
        zero: word(reader, section, "zero", words::zero_text),
        z_zero: word(reader, section, "z-zero", words::z_zero_text),
        clear: reader.size(section, "clear"),
        feed: word(reader, section, "feed", feed),
        plunge: word(reader, section, "plunge", feed),
        rpm: word(reader, section, "rpm", words::rpm_text),
        bottom: word(reader, section, "bottom", words::bottom_text),
        through: reader.size(section, "through"),
        skin: reader.size(section, "skin"),
        tab_neck: reader.size(section, "tab-neck"),
        tab_high: reader.size(section, "tab-high"),
        air_pass: reader.flag(section, "air-pass"),
        scratch_pass: reader.flag(section, "scratch-pass"),
        post: reader.text(section, "post").map(|(text, _)| words::post_text(text)),
        ..cut
    }
}

/// What it cuts, and what holds the end mill and the blank.
fn held<'t>(reader: &mut Reader<'t>, section: Section<'t>) -> MachineWish {
    MachineWish {
        stick_out: reader.size(section, "stick-out"),
        nut_wide: reader.size(section, "nut-wide"),
        nut_high: reader.size(section, "nut-high"),
        spindle_wide: reader.size(section, "spindle-wide"),
        keep_outs: keep_outs(reader, section),
        recesses: recesses(reader, section),
        cut: word(reader, section, "cut", words::cut_text),
        allowance: reader.size(section, "allowance"),
        relieve: relieve(reader, section),
        ..MachineWish::default()
    }
}

/// Further tools and marks, the way round, and how the machine moves.
fn further<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    held: MachineWish,
) -> MachineWish {
    let units = reader.units;
    let rate = |text: &str, place: &Place| words::feed_text(text, units, place);
    MachineWish {
        mill: reader.text(section, "mill").map(|(name, _)| name.trim().to_owned()),
        kerf: diameter(reader, section, "kerf"),
        axes: reader.text(section, "axes").map(|(name, _)| name.trim().to_owned()),
        small_mill: diameter(reader, section, "small-mill"),
        scribe: reader.flag(section, "scribe"),
        scribe_point: diameter(reader, section, "scribe-point"),
        scribe_depth: reader.size(section, "scribe-depth"),
        climb_finish: reader.flag(section, "climb-finish"),
        acceleration: reader.size(section, "acceleration"),
        travel_rate: word(reader, section, "travel-rate", rate),
        travel_rate_z: word(reader, section, "travel-rate-z", rate),
        ..held
    }
}

/// Clamps and screws.
fn keep_outs<'t>(reader: &mut Reader<'t>, section: Section<'t>) -> Vec<KeepOutWish> {
    let mut keep_outs = Vec::new();
    for (index, value) in reader.list(section, "keep-outs").into_iter().enumerate() {
        let place = value.place.clone();
        let Some((table, _)) = reader.as_table(value) else { continue };
        let section = Section { name: "machine.keep-outs", table };
        reader.only(section, &["name", "at", "size", "high"]);
        for key in ["at", "size", "high"] {
            if !table.contains_key(key) {
                let hint = "write `at = [10, -20]` (its lower left corner from the program's zero, which is where `zero` says), `size = [40, 20]` and `high = \"20mm\"` above the blank";
                reader.missing(&format!("`{}`", section.key(key)), hint, &place);
            }
        }
        let name = reader.text(section, "name").map(|(name, _)| name.trim().to_owned());
        let at = shape::point(reader, section, "at");
        let size = shape::point(reader, section, "size");
        let high = reader.size(section, "high");
        if size.is_some_and(|size| size.x <= 0.0 || size.y <= 0.0) {
            let found = "a keep-out without width or height";
            let hint = "write its size along x and y, like `size = [40, 20]`";
            let problem = Problem::stop("length-not-positive", found, hint);
            reader.problems.push(problem.at(place.clone()));
        }
        let (Some(at), Some(size), Some(high)) = (at, size, high) else { continue };
        let name = name.unwrap_or_else(|| format!("keep-out {}", index + 1));
        keep_outs.push(KeepOutWish { name, at, size, high });
    }
    keep_outs
}

/// What is cleared to a depth.
fn recesses<'t>(reader: &mut Reader<'t>, section: Section<'t>) -> Vec<RecessWish> {
    let mut recesses = Vec::new();
    for (index, value) in reader.list(section, "recesses").into_iter().enumerate() {
        let place = value.place.clone();
        let Some((table, _)) = reader.as_table(value) else { continue };
        let section = Section { name: "machine.recesses", table };
        reader.only(section, &["name", "at", "size", "wide", "depth"]);
        let name = reader.text(section, "name").map(|(name, _)| name.trim().to_owned());
        let at = shape::point(reader, section, "at");
        let size = shape::point(reader, section, "size")
            .filter(|size| 0.0 < size.x && 0.0 < size.y);
        let wide = diameter(reader, section, "wide");
        let depth = reader.size(section, "depth").filter(|depth| 0.0 < depth.mm());
        let shape = match (at, size, wide) {
            (Some(at), Some(size), None) => Some(RecessShape::Square(at, size)),
            (Some(at), None, Some(wide)) => Some(RecessShape::Round(at, wide)),
            _ => None,
        };
        let (Some(shape), Some(depth)) = (shape, depth) else {
            let hint = "write `at = [20, 30]`, its lower left corner as drawn, with `size = [40, 15]`, or its middle with `wide = \"12mm\"`; and `depth = \"4mm\"`";
            reader.missing("a recess's place, size and depth", hint, &place);
            continue;
        };
        let name = name.unwrap_or_else(|| format!("recess {}", index + 1));
        recesses.push(RecessWish { name, shape, depth });
    }
    recesses
}

/// The inside corners that are hidden: by the name of their edges, or by their place.
fn relieve<'t>(reader: &mut Reader<'t>, section: Section<'t>) -> Vec<(Hidden, Place)> {
    let mut hidden = Vec::new();
    for value in reader.list(section, "relieve") {
        let place = value.place.clone();
        if value.value.is_str() {
            let name = reader.as_text(value).map(|(name, place)| (name.trim(), place));
            hidden
                .extend(name.map(|(name, place)| (Hidden::Edge(name.to_owned()), place)));
            continue;
        }
        let Some((table, _)) = reader.as_table(value) else { continue };
        let section = Section { name: "machine.relieve", table };
        reader.only(section, &["at"]);
        if let Some(at) = shape::point(reader, section, "at") {
            hidden.push((Hidden::Corner(at), place));
        } else {
            let hint =
                "write an edge's name in quotes, or a corner as `{ at = [30, 20] }`";
            reader.missing("`at`", hint, &place);
        }
    }
    hidden
}

/// A blank as one text, or as a list of two lengths.
fn blank<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
) -> Option<(crate::units::Mm, crate::units::Mm)> {
    let Value { value, place } = reader.value(section, "blank")?;
    let units = reader.units;
    if value.is_str() {
        return word(reader, section, "blank", |text, place| {
            words::blank_text(text, units, place)
        });
    }
    let size = shape::point(reader, section, "blank")?;
    if 0.0 < size.x && 0.0 < size.y {
        let [along, across] = [size.x, size.y].map(crate::units::Mm::new);
        return Some((along?, across?));
    }
    let hint = "write the blank's size, like `blank = \"300x200mm\"`";
    let problem =
        Problem::stop("length-not-positive", "a blank without width or height", hint);
    reader.problems.push(problem.at(place));
    None
}

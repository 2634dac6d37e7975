//! Where a job's outline comes from: a drawing, walks, or a board and a line.

use super::super::joint_wish::set_in_text;
use super::super::step::{check_name, step_text};
use super::super::{
    BoardAndLine, KnownSize, Pick, SetIn, ShapeSource, Walk, colour_text, layer_text,
    words,
};
use super::reader::{Reader, Section, Value};
use super::{amount, word};
use crate::diag::{Place, Problem};
use crate::geom::Point;
use toml::Spanned;
use toml::de::DeValue;

/// The keys of an outline.
pub(super) const OUTLINE_KEYS: [&str; 11] = [
    "drawing",
    "ppi",
    "known-width",
    "known-height",
    "layers",
    "colours",
    "name",
    "start",
    "steps",
    "openings",
    "islands",
];

/// The layers and colours of a section's drawing that are meant.
pub(super) fn pick<'t>(
    reader: &mut Reader<'t>,
    root: Section<'t>,
    name: &'t str,
) -> Pick {
    let mut pick = Pick::default();
    let Some(DeValue::Table(table)) = root.table.get(name).map(Spanned::get_ref) else {
        return pick;
    };
    let section = Section { name, table };
    for value in reader.list(section, "layers") {
        let read = reader.as_text(value).map(|(text, place)| layer_text(text, &place));
        pick.layers.extend(read.and_then(|layer| reader.keep(layer)));
    }
    for value in reader.list(section, "colours") {
        let read = reader.as_word(value).map(|(text, place)| colour_text(&text, &place));
        pick.colours.extend(read.and_then(|colour| reader.keep(colour)));
    }
    pick
}

/// The job's shape, if it gives one.
pub(super) fn shape<'t>(
    reader: &mut Reader<'t>,
    root: Section<'t>,
) -> Option<ShapeSource> {
    let outline = reader.table(root, "outline");
    let board = reader.table(root, "board");
    let joint = reader.table(root, "joint");
    let given =
        [("an `[outline]`", &outline), ("a `[board]`", &board), ("a `[joint]`", &joint)];
    let given: Vec<_> =
        given.iter().filter_map(|(word, one)| Some((*word, one.as_ref()?))).collect();
    if let [.., (before, _), (last, (_, place))] = given[..] {
        let found = format!("the job has {before} and {last}");
        let hint = "keep `[outline]` for one part, `[board]` for two halves along a line, or `[joint]` for a joint by name";
        let problem = Problem::stop("job-two-shapes", found, hint);
        reader.problems.push(problem.at(place.clone()));
        return None;
    }
    if let Some((table, place)) = outline {
        let section = Section { name: "outline", table };
        reader.only(section, &OUTLINE_KEYS);
        return outline_of(reader, section, &place);
    }
    if let Some((table, place)) = joint {
        return super::joint::joint(reader, Section { name: "joint", table }, &place);
    }
    let (table, place) = board?;
    let board = board_of(reader, Section { name: "board", table }, &place);
    board.map(ShapeSource::BoardAndLine)
}

/// The size that is known of a section's drawing.
pub(super) fn known_size<'t>(
    reader: &mut Reader<'t>,
    root: Section<'t>,
    name: &'t str,
) -> Option<KnownSize> {
    // What is no table is told with the shape.
    let DeValue::Table(table) = reader.value(root, name)?.value else { return None };
    let section = Section { name, table };
    let ppi = word(reader, section, "ppi", words::ppi_text).map(KnownSize::Ppi);
    let width = reader.size(section, "known-width").map(KnownSize::Width);
    let height = reader.size(section, "known-height").map(KnownSize::Height);
    let mut given = [ppi, width, height].into_iter().flatten();
    let first = given.next();
    if given.next().is_some() {
        let place = reader.value(root, name)?.place;
        let found = format!(
            "the {name} has more than one of `ppi`, `known-width` and `known-height`"
        );
        let hint = "keep the one you are surest of";
        reader.problems.push(Problem::stop("job-two-sizes", found, hint).at(place));
    }
    first
}

/// The outline that a section gives, a drawing or walks; its keys are known.
pub(super) fn outline_of<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    place: &Place,
) -> Option<ShapeSource> {
    let walked = section.table.contains_key("steps");
    if let Some((drawing, place)) = reader.text(section, "drawing") {
        if walked {
            let found = format!("the {} has a `drawing` and `steps`", section.name);
            let hint = "keep one of them";
            reader.problems.push(Problem::stop("job-two-shapes", found, hint).at(place));
            return None;
        }
        return Some(ShapeSource::Drawing(drawing.trim().to_owned()));
    }
    if !walked {
        let hint = "write `drawing = \"part.svg\"`, or `start = [0, 0]` and `steps = [\"right 100\", …, \"close\"]`";
        let what = format!("the {}'s `drawing` or `steps`", section.name);
        reader.missing(&what, hint, place);
        return None;
    }
    let mut walks: Vec<Walk> = walk(reader, section, place).into_iter().collect();
    let called =
        if section.name == "mate" { "mate.openings" } else { "outline.openings" };
    for (key, word) in [("openings", "opening"), ("islands", "island")] {
        let values = reader.list(section, key);
        for (index, value) in values.into_iter().enumerate() {
            let name = format!("{word} {}", index + 1);
            walks.extend(inner(reader, value, (called, &name)));
        }
    }
    Some(ShapeSource::Walks(walks))
}

/// An opening or island, of a section that is called so.
fn inner<'t>(
    reader: &mut Reader<'t>,
    value: Value<'t>,
    (called, name): (&'t str, &str),
) -> Option<Walk> {
    let (table, place) = reader.as_table(value)?;
    let place = place.element(name.to_owned());
    let section = Section { name: called, table };
    reader.only(section, &["name", "start", "steps"]);
    walk(reader, section, &place)
}

/// A start and steps; a name of the loop is that of every step that has none.
fn walk<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    place: &Place,
) -> Option<Walk> {
    let start = start(reader, section, place);
    let name = reader.text(section, "name").and_then(|(name, place)| {
        let name = name.trim();
        reader.keep(check_name(name, &place)).map(|()| name.to_owned())
    });
    if !section.table.contains_key("steps") {
        let hint = "write the walk, like `steps = [\"right 100\", \"up 40\", \"close\"]`";
        reader.missing(&format!("`{}`", section.key("steps")), hint, place);
        return None;
    }
    let element = place.element.clone().unwrap_or_default();
    let mut steps = Vec::new();
    let mut step_places = Vec::new();
    for (index, value) in reader.list(section, "steps").into_iter().enumerate() {
        let Some((text, place)) = reader.as_text(value) else { continue };
        let place = place.element(format!("{element} step {}", index + 1));
        let units = reader.units;
        let read = step_text(text, units, &place);
        if let Some((step, own)) = reader.keep(read) {
            steps.push((step, own.or_else(|| name.clone())));
            step_places.push(place);
        }
    }
    Some(Walk { start: start?, steps, place: place.clone(), step_places })
}

fn start<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    place: &Place,
) -> Option<Point> {
    if !section.table.contains_key("start") {
        let hint = "say where the walk starts, like `start = [0, 0]`";
        reader.missing(&format!("`{}`", section.key("start")), hint, place);
        return None;
    }
    point(reader, section, "start")
}

/// A point from a list of two lengths.
pub(super) fn point<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    key: &str,
) -> Option<Point> {
    let values = reader.list(section, key);
    let place = reader.value(section, key)?.place;
    let n_values = values.len();
    let [x, y] = <[Value<'t>; 2]>::try_from(values)
        .map_err(|_given| {
            let found = format!("`{}` has {n_values} numbers, not two", section.key(key));
            let hint = "write x and y, like `[0, 0]` or `[\"1in\", \"1/2in\"]`";
            reader.problems.push(Problem::stop("job-point", found, hint).at(place));
        })
        .ok()?;
    let (x, y) = (reader.as_length(x), reader.as_length(y));
    Some(Point::new(x?.mm(), y?.mm()))
}

fn board_of<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    place: &Place,
) -> Option<BoardAndLine> {
    reader.only(section, &["length", "width", "clearance", "set-in", "line"]);
    let stock_width = reader.stock_width();
    let side = |reader: &mut Reader<'t>, key: &str| {
        if key == "width" && stock_width.is_some() && !section.table.contains_key(key) {
            return stock_width;
        }
        if !section.table.contains_key(key) {
            let hint = "give the board's `length` (along x) and `width` (along y)";
            reader.missing(&format!("the board's `{key}`"), hint, place);
        }
        reader.size(section, key)
    };
    let (length, width) = (side(reader, "length"), side(reader, "width"));
    if !section.table.contains_key("line") {
        let hint =
            "add the line of the joint under `[board.line]`, with `start` and `steps`";
        reader.missing("the line across the board", hint, place);
        return None;
    }
    let clearance = amount(reader, section, "clearance");
    let set_in = word(reader, section, "set-in", set_in_text).unwrap_or(SetIn::Both);
    let (table, line_place) = reader.table(section, "line")?;
    let section = Section { name: "board.line", table };
    reader.only(section, &["name", "start", "steps"]);
    let line = walk(reader, section, &line_place.element("line"))?;
    Some(BoardAndLine { length: length?, width: width?, line, clearance, set_in })
}

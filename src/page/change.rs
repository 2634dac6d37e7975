//! Changes of a job, made in its text: comments and order stay as the person has them.

use super::fields::{DRAWN_IN, Kind, job_key, kind_of};
use crate::diag::{Failure, Problem};
use crate::geom::{Point, Vector};
use crate::grain::of_mirror_image;
use crate::outline::Call;
use crate::read::Role;
use crate::shop::Face;
use crate::units::Unit;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use toml_edit::{Array, DocumentMut, InlineTable, Item, Table, TableLike, value};

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", untagged)]
pub(super) enum Change {
    /// The grain runs at this angle, in degrees.
    Grain {
        /// The angle.
        grain: f64,
    },
    /// The grain's arrow is turned so that it points here.
    Toward {
        /// The point, in mm on the sheet, y down.
        grain_toward: [f64; 2],
        /// The arrow's middle.
        from: [f64; 2],
        /// The picture it is in.
        picture: String,
        /// Whether it is that of the mirror image of what is drawn.
        #[serde(default)]
        mirrored: bool,
    },
    /// The grain is turned by so many degrees.
    By {
        /// How many.
        grain_by: f64,
        /// Whether in the mirror image of what is drawn.
        #[serde(default)]
        mirrored: bool,
    },
    /// An edge, by what the job calls it, has this role.
    Role {
        /// Its name and the role.
        role: (String, String),
    },
    /// A bit is taken up, or laid down.
    Bit {
        /// Its words, and whether it is used.
        bit: (String, bool),
    },
    /// A key has this value, or none.
    Set {
        /// The key with dots between its parts, and the value.
        set: (String, Value),
    },
    /// The unit of the paper.
    Units {
        /// `mm` or `in`.
        units: String,
    },
    /// The job's name.
    Name {
        /// The name.
        name: String,
    },
}

/// What is known of the plan before the change.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Before {
    /// The axis of the grain, in degrees.
    pub(super) grain: f64,
    /// The faces that are up in the set-ups, in their order.
    pub(super) faces: Vec<Face>,
    /// The unit of the paper.
    pub(super) paper: Unit,
    /// Which of the places that the job's `[edges]` name lie on the edge that is changed, counted
    /// in their order.
    pub(super) same_edge: Vec<usize>,
}

impl Change {
    /// The place by which it calls the edge whose role it changes, if it does so by one.
    pub(super) fn place(&self) -> Option<Point> {
        let Self::Role { role: (edge, _) } = self else { return None };
        Call::place_of(edge)
    }
}

/// The text of a job after a change.
///
/// # Errors
/// The text is no TOML, or the change does not fit it.
pub(super) fn changed(
    job: &str,
    change: &Change,
    before: &Before,
) -> Result<String, Failure> {
    let mut text: DocumentMut =
        job.parse().map_err(|_error| unchanged("the job is not TOML"))?;
    match change {
        Change::Grain { grain } => lay_grain(&mut text, *grain),
        Change::By { grain_by, mirrored } => {
            let by = if *mirrored { -grain_by } else { *grain_by };
            lay_grain(&mut text, before.grain + by);
        }
        Change::Toward { grain_toward, from, picture, mirrored } => {
            let degrees = pointed(*grain_toward, *from, face_up(picture, before));
            let drawn =
                |degrees| if *mirrored { of_mirror_image(degrees) } else { degrees };
            // A hand that turns an arrow means whole degrees.
            lay_grain(&mut text, degrees.map(drawn).map_or(before.grain, f64::round));
        }
        Change::Role { role: (edge, role) } => {
            give_role(&mut text, (edge, role), &before.same_edge)?;
        }
        Change::Bit { bit: (words, used) } => use_bit(&mut text, words, *used)?,
        Change::Set { set: (key, to) } => {
            set(&mut text, job_key(key), to, before.paper)?;
            if key == DRAWN_IN {
                // The sheets stay in the unit they are in.
                paper(&mut text, word(before.paper));
            }
        }
        Change::Units { units } => paper(&mut text, units),
        Change::Name { name } => put(text.as_table_mut(), "name", value(name.trim())),
    }
    Ok(text.to_string())
}

/// The text of a job with the options of a command laid over it: keys with dots between their
/// parts, and values.
///
/// # Errors
/// As for `changed`.
pub fn with_options(job: &str, options: &[(String, Value)]) -> Result<String, Failure> {
    let mut text: DocumentMut =
        job.parse().map_err(|_error| unchanged("the job is not TOML"))?;
    for (key, to) in options {
        let of = |key: &str| text.get(key).and_then(Item::as_str).map(str::to_owned);
        let unit = of("paper").or_else(|| of("units"));
        let unit = if unit.as_deref() == Some("in") { Unit::Inch } else { Unit::Mm };
        match (key.as_str(), to.as_str()) {
            ("units", Some(units)) if text.contains_key("units") => {
                paper(&mut text, units);
            }
            _ => set(&mut text, key, to, unit)?,
        }
    }
    Ok(text.to_string())
}

/// The text of a job but for its grain.
pub(super) fn without_grain(job: &str) -> String {
    job.parse::<DocumentMut>().map_or_else(
        |_error| job.to_owned(),
        |mut text| {
            text.remove("grain");
            text.to_string()
        },
    )
}

fn unchanged(found: &str) -> Failure {
    let hint = "choose something else, or change the job's text itself";
    Failure::input(Problem::stop("change-does-not-fit", found, hint))
}

/// Puts a value in the place of another, and keeps what stands round that.
fn put(table: &mut dyn TableLike, key: &str, mut item: Item) {
    if let (Some(old), Some(new)) =
        (table.get(key).and_then(Item::as_value), item.as_value_mut())
    {
        *new.decor_mut() = old.decor().clone();
    }
    table.insert(key, item);
}

/// Writes the axis of the grain, from 0 to less than 180 degrees.
fn lay_grain(text: &mut DocumentMut, degrees: f64) {
    // Steps that are added up leave crumbs far behind the point.
    let degrees = ((degrees * 1e3).round() / 1e3).rem_euclid(180.0);
    #[expect(clippy::cast_possible_truncation, reason = "from 0 to 180")]
    let whole = degrees as i64;
    let is_whole = degrees.fract() <= 0.0;
    let item = if is_whole { value(whole) } else { value(degrees) };
    put(text.as_table_mut(), "grain", item);
}

/// The angle at which an arrow points that is turned about a point of the sheet: on a face that
/// is turned over, left and right have changed places.
fn pointed(toward: [f64; 2], from: [f64; 2], face: Face) -> Option<f64> {
    let way = Vector::new(toward[0] - from[0], from[1] - toward[1]);
    let way = match face {
        Face::A => way,
        Face::B => Vector::new(-way.x, way.y),
    };
    way.unit().map(|way| libm::atan2(way.y, way.x).to_degrees())
}

/// The face that a picture shows: `setup-2` shows that of the second set-up.
fn face_up(picture: &str, before: &Before) -> Face {
    let number =
        picture.rsplit('-').next().and_then(|number| number.parse::<usize>().ok());
    let face = number.and_then(|number| before.faces.get(number.checked_sub(1)?));
    face.copied().unwrap_or(Face::A)
}

/// A table of the job, made where there is none.
fn table<'t>(
    text: &'t mut DocumentMut,
    name: &str,
) -> Result<&'t mut dyn TableLike, Failure> {
    let there =
        text.as_table_mut().entry(name).or_insert_with(|| Item::Table(Table::new()));
    there.as_table_like_mut().ok_or_else(|| unchanged(&format!("`{name}` is no table")))
}

/// A list of a table, made where there is none.
fn list<'t>(table: &'t mut dyn TableLike, key: &str) -> Result<&'t mut Array, Failure> {
    let there = table.entry(key).or_insert_with(|| value(Array::new()));
    there.as_array_mut().ok_or_else(|| unchanged(&format!("`{key}` is no list")))
}

/// Takes an edge out of every list it stands in, and puts it into that of its role.
fn give_role(
    text: &mut DocumentMut,
    (edge, role): (&str, &str),
    same_edge: &[usize],
) -> Result<(), Failure> {
    const LISTS: [(Role, &str); 3] =
        [(Role::Rout, "rout"), (Role::TrueAlready, "true"), (Role::GoesOn, "goes-on")];
    let key = LISTS.iter().find(|(known, _)| known.words() == role);
    let (_, key) =
        key.ok_or_else(|| unchanged(&format!("`{role}` is no role of an edge")))?;
    let edges = table(text, "edges")?;
    let mut n_places = 0;
    let lists = LISTS.map(|(_, key)| key);
    let keys: Vec<String> = edges.iter().map(|(key, _)| key.to_owned()).collect();
    for key in keys.iter().filter(|key| lists.contains(&key.as_str())) {
        let all = list(edges, key)?;
        all.retain(|one| {
            if let Some(name) = one.as_str() {
                return name.trim() != edge;
            }
            n_places += 1;
            !same_edge.contains(&(n_places - 1))
        });
        if all.is_empty() {
            edges.remove(key);
        }
    }
    // What no list names is routed; said all the same where a whole side is named with it.
    let all = list(edges, key)?;
    match Call::place_of(edge) {
        None => all.push(edge),
        Some(at) => {
            let at: Array = [at.x, at.y].iter().map(|mm| format!("{mm}mm")).collect();
            all.push(InlineTable::from_iter([("at", at)]));
        }
    }
    Ok(())
}

fn use_bit(text: &mut DocumentMut, words: &str, used: bool) -> Result<(), Failure> {
    let words = words.trim();
    let bits = list(text.as_table_mut(), "bits")?;
    bits.retain(|bit| bit.as_str().is_none_or(|bit| bit.trim() != words));
    if used {
        bits.push(words);
    }
    Ok(())
}

/// A unit as a job writes it.
const fn word(unit: Unit) -> &'static str {
    match unit {
        Unit::Mm => "mm",
        Unit::Inch => "in",
    }
}

/// The paper's unit: bare lengths keep theirs.
fn paper(text: &mut DocumentMut, units: &str) {
    let of_lengths = text.get("units").and_then(Item::as_str);
    if of_lengths.unwrap_or("mm") == units {
        text.remove("paper");
    } else {
        put(text.as_table_mut(), "paper", value(units));
    }
}

/// Sets a key, or takes it out; a table that has nothing left goes too.
fn set(
    text: &mut DocumentMut,
    key: &str,
    to: &Value,
    paper: Unit,
) -> Result<(), Failure> {
    let (name, inner) = key.split_once('.').map_or((key, None), |(a, b)| (a, Some(b)));
    let Some(inner) = inner else {
        match item(key, to, paper)? {
            Some(item) => put(text.as_table_mut(), name, item),
            None => {
                text.remove(name);
            }
        }
        return Ok(());
    };
    let is_whole = inner == "end-mill" && to.is_null();
    let item = item(key, to, paper)?;
    let section = table(text, name)?;
    match item {
        Some(item) => put(section, inner, item),
        None => {
            section.remove(inner);
        }
    }
    if section.is_empty() || is_whole {
        text.remove(name);
    }
    Ok(())
}

/// A value as TOML; nothing where the key goes.
fn item(key: &str, to: &Value, paper: Unit) -> Result<Option<Item>, Failure> {
    Ok(match to {
        Value::Bool(flag) => Some(value(*flag)),
        Value::Number(number) => {
            number.as_i64().map(value).or_else(|| number.as_f64().map(value))
        }
        Value::String(text) => match text.trim() {
            "" => None,
            text => Some(kind_of(key).item(text, paper)?),
        },
        Value::Array(all) => {
            let all = all.iter().map(|one| listed(one, paper));
            let all = all.collect::<Result<Vec<Option<_>>, Failure>>()?;
            let all: Array = all.into_iter().flatten().collect();
            (!all.is_empty()).then(|| value(all))
        }
        Value::Null | Value::Object(_) => None,
    })
}

/// What stands in a list: a text, or a place.
fn listed(one: &Value, paper: Unit) -> Result<Option<toml_edit::Value>, Failure> {
    let Some(at) = one.get("at").and_then(Value::as_array) else {
        return Ok(one.as_str().map(toml_edit::Value::from));
    };
    let mut place = Array::new();
    for text in at.iter().filter_map(Value::as_str) {
        place.extend(Kind::Length.item(text, paper)?.into_value().ok());
    }
    Ok(Some(InlineTable::from_iter([("at", place)]).into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "# a foot\nname = \"foot\"\ngrain = \"long\" # as the tree grew\nbits = [\"1/2in pattern\"]\n\n# the outline\n[outline]\ndrawing = \"foot.svg\"\n\n[edges]\ntrue = [\"left\"]\n";

    fn after(change: &str) -> String {
        let change: Change = serde_json::from_str(change).expect("a change");
        let faces = vec![Face::A, Face::B];
        let before =
            Before { grain: 178.0, faces, paper: Unit::Mm, same_edge: Vec::new() };
        changed(JOB, &change, &before).expect("it fits")
    }

    #[test]
    fn a_change_touches_its_own_line_alone() {
        let text = after(r#"{"grain": 37.2}"#);
        assert_eq!(text, JOB.replace("\"long\"", "37.2"), "as typed, with its comment");
        let text = after(r#"{"grain_by": 5}"#);
        assert!(text.contains("grain = 3 #"), "half a turn is none: {text}");
        let text = after(r#"{"grain_by": 0.1}"#);
        assert!(text.contains("grain = 178.1 #"), "a step keeps what was typed: {text}");
        let text = after(r#"{"role": ["left", "goes on"]}"#);
        assert_eq!(text, JOB.replace("true = [", "goes-on = ["), "in one list only");
        let text = after(r#"{"bit": ["1/4in pattern", true]}"#);
        assert_eq!(text, JOB.replace("pattern\"]", "pattern\", \"1/4in pattern\"]"));
        let text = after(r#"{"bit": ["1/2in pattern", false]}"#);
        assert!(text.contains("bits = []"), "{text}");
    }

    #[test]
    fn an_edge_without_a_name_is_called_by_its_place_alone() {
        let change = Change::Role { role: ("at 120.5 -3".into(), "goes on".into()) };
        assert_eq!(change.place(), Some(Point::new(120.5, -3.0)));
        let job = "[edges]\ngoes-on = [\"left\", { at = [1, 2] }] # two\ntrue = [{ at = [\"5in\", 0] }]\n";
        let before =
            Before { grain: 0.0, faces: Vec::new(), paper: Unit::Mm, same_edge: vec![1] };
        let text = changed(job, &change, &before).expect("it fits");
        let expected = "[edges]\ngoes-on = [\"left\", { at = [1, 2] }, { at = [\"120.5mm\", \"-3mm\"] }] # two\n";
        assert_eq!(text, expected, "the other call of it goes");
    }

    #[test]
    fn an_option_calls_edges_by_sides_and_by_places() {
        let edges = serde_json::json!(["far", { "at": ["120.5", "-3in"] }]);
        let text = with_options(JOB, &[("edges.goes-on".to_owned(), edges)]);
        let expected = "goes-on = [\"far\", { at = [\"120.5mm\", \"-3in\"] }]\n";
        let text = text.expect("it fits");
        assert!(text.ends_with(expected), "{text}");
    }

    #[test]
    fn a_length_without_a_unit_is_in_that_of_the_paper() {
        let text = after(r#"{"set": ["thick", "19"]}"#);
        assert!(text.contains("thick = \"19mm\""), "as the person sees it: {text}");
        let text = after(r#"{"set": ["machine.end-mill", "1/4in"]}"#);
        assert!(text.ends_with("[machine]\nend-mill = \"1/4in\"\n"), "{text}");
        let text = after(r#"{"set": ["edges.true", null]}"#);
        assert!(!text.contains("[edges]"), "an empty table goes: {text}");
    }

    #[test]
    fn a_fraction_without_a_unit_is_of_an_inch_or_refused() {
        let set = |thick: &str, paper| {
            let set = ("thick".to_owned(), Value::from(thick));
            let before =
                Before { grain: 0.0, faces: Vec::new(), paper, same_edge: Vec::new() };
            changed(JOB, &Change::Set { set }, &before)
        };
        for (text, in_mm) in [("3/4", "0.75mm"), ("1 1/2", "1.5mm"), ("1-1/2", "1.5mm")] {
            let refused = set(text, Unit::Mm).expect_err("it could be either");
            let problem = &refused.problems()[0];
            for reading in [format!("{text}in"), in_mm.to_owned()] {
                assert!(problem.hint.contains(&format!("`{reading}`")), "{problem:?}");
            }
            let inch = set(text, Unit::Inch).expect("inches");
            assert!(inch.contains(&format!("thick = \"{text}in\"")), "{inch}");
        }
        assert!(set("19.5", Unit::Mm).is_ok(), "no fraction");
        assert!(set("3/4in", Unit::Mm).is_ok(), "it has its unit");
    }

    /// Basis: geometry: seen on face B, what lies to the right on face A lies to the left.
    #[test]
    fn the_arrow_points_where_it_is_turned_on_either_face() {
        let up_right = |picture: &str| {
            let change = format!(
                r#"{{"grain_toward": [120, 80], "from": [100, 100], "picture": "{picture}"}}"#
            );
            after(&change)
        };
        assert!(up_right("setup-1").contains("grain = 45 "), "up is less y on a sheet");
        let change =
            r#"{"grain_toward": [120, 79], "from": [100, 100], "picture": "setup-1"}"#;
        assert!(
            after(change).contains("grain = 46 "),
            "a turned arrow means whole degrees"
        );
        assert!(up_right("setup-2").contains("grain = 135 "), "turned over");
        let in_mirror = |picture: &str| {
            let change = format!(
                r#"{{"grain_toward": [120, 79], "from": [100, 100], "picture": "{picture}", "mirrored": true}}"#
            );
            after(&change)
        };
        assert!(in_mirror("setup-1").contains("grain = 134 "), "46 in the mirror image");
        assert!(in_mirror("setup-2").contains("grain = 46 "), "mirrored and turned over");
        let by = after(r#"{"grain_by": 5, "mirrored": true}"#);
        assert!(by.contains("grain = 173 "), "178 less what is more in the mirror image");
    }

    #[test]
    fn the_paper_changes_and_bare_lengths_do_not() {
        let text = after(r#"{"units": "in"}"#);
        assert!(text.contains("paper = \"in\""), "{text}");
        assert_eq!(after(r#"{"units": "mm"}"#), JOB, "it is that already");
        let text = after(r#"{"set": ["drawn-in", "in"]}"#);
        assert!(
            text.contains("units = \"in\"") && text.contains("paper = \"mm\""),
            "{text}"
        );
    }
}

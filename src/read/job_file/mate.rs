//! A job's `[mate]`: the second half of a joint, shaped like `[outline]`, and how it lies on the
//! first.

use super::super::joint_wish::set_in_text;
use super::super::mate::face_text;
use super::super::{Checked, Lie, Mate, SetIn, words};
use super::reader::{Reader, Section};
use super::shape::{self, OUTLINE_KEYS};
use super::{amount, wishes, word};
use crate::diag::{Place, Problem};
use crate::geom::{Point, Vector};

/// The keys of `[mate]` beyond those of an outline.
const KEYS: [&str; 7] =
    ["turn", "slide", "face", "within", "clearance", "set-in", "edges"];

/// The second half, if the job has one.
pub(super) fn mate<'t>(reader: &mut Reader<'t>, root: Section<'t>) -> Option<Mate> {
    let (table, place) = reader.table(root, "mate")?;
    let section = Section { name: "mate", table };
    reader.only(section, &[&OUTLINE_KEYS[..], &KEYS[..]].concat());
    if !root.table.contains_key("outline") {
        let found = "the job has a `[mate]` and no `[outline]`";
        let hint = "give the first half under `[outline]`; a `[board]` or a `[joint]` makes both halves itself";
        let problem = Problem::stop("mate-without-outline", found, hint);
        reader.problems.push(problem.at(place.clone()));
    }
    let (shape, known_size) = (
        shape::outline_of(reader, section, &place),
        shape::known_size(reader, root, "mate"),
    );
    let (pick, roles) =
        (shape::pick(reader, root, "mate"), wishes::roles(reader, section, "mate.edges"));
    let lie = lie(reader, section);
    let (within, clearance) =
        (reader.size(section, "within"), amount(reader, section, "clearance"));
    let set_in = word(reader, section, "set-in", set_in_text).unwrap_or(SetIn::Both);
    let shape = shape?;
    Some(Mate { shape, known_size, pick, roles, lie, within, clearance, set_in, place })
}

fn lie<'t>(reader: &mut Reader<'t>, section: Section<'t>) -> Lie {
    let terms = reader.units;
    let degrees = |text: &str, place: &Place| -> Checked<f64> {
        if text.trim() == "half" {
            return Ok(180.0);
        }
        words::degrees_text(text, terms, place)
    };
    let slide = section.table.contains_key("slide");
    let slide = slide.then(|| shape::point(reader, section, "slide")).flatten();
    Lie {
        turned_over: word(reader, section, "face", face_text).unwrap_or(false),
        degrees: word(reader, section, "turn", degrees).unwrap_or(0.0),
        slide: slide.map_or(Vector::default(), |to| to - Point::new(0.0, 0.0)),
    }
}

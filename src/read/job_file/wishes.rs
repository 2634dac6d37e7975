//! What a job asks of edges, template and machine.

use super::super::words;
use super::super::{BitText, EdgeRef, Extra, Role, RoleWish, Strip, TemplateWish};
use super::reader::{Reader, Section, Value};
use super::shape;
use crate::diag::Place;
use crate::units::Diameter;

/// The roles asked for in a section's `edges`, called `name`, in the order in which they stand.
pub(super) fn roles<'t>(
    reader: &mut Reader<'t>,
    root: Section<'t>,
    name: &'t str,
) -> Vec<RoleWish> {
    let Some((table, _)) = reader.table(root, "edges") else { return Vec::new() };
    let section = Section { name, table };
    reader.only(section, &["rout", "true", "goes-on"]);
    let mut roles = Vec::new();
    // A place in a list is a table of its own, with a name of its own.
    let lists = if name == "edges" {
        ["edges.rout", "edges.true", "edges.goes-on"]
    } else {
        ["mate.edges.rout", "mate.edges.true", "mate.edges.goes-on"]
    };
    let wished = [Role::Rout, Role::TrueAlready, Role::GoesOn];
    for ((key, role), list) in
        ["rout", "true", "goes-on"].into_iter().zip(wished).zip(lists)
    {
        for value in reader.list(section, key) {
            let edge = edge(reader, value, list);
            roles.extend(edge.map(|(which, place)| RoleWish { which, role, place }));
        }
    }
    roles.sort_by_key(|wish| wish.place.span.as_ref().map(|span| span.start));
    roles
}

/// An edge by its name or its side, or by a place on it.
fn edge<'t>(
    reader: &mut Reader<'t>,
    value: Value<'t>,
    list: &'static str,
) -> Option<(EdgeRef, Place)> {
    if value.value.is_str() {
        let text = reader.as_text(value);
        return text.map(|(text, place)| (words::edge_text(text), place));
    }
    let place = value.place.clone();
    let (table, _) = reader.as_table(value)?;
    let section = Section { name: list, table };
    reader.only(section, &["at"]);
    let at = shape::point(reader, section, "at");
    if !table.contains_key("at") {
        let hint =
            "write an edge's name in quotes, or a place on it as `{ at = [30, 20] }`";
        reader.missing("`at`", hint, &place);
    }
    at.map(|at| (EdgeRef::At(at), place))
}

/// The strips of a board that is glued up of several, in their order.
pub(super) fn strips<'t>(reader: &mut Reader<'t>, root: Section<'t>) -> Vec<Strip> {
    let mut strips = Vec::new();
    for value in reader.list(root, "strips") {
        let place = value.place.clone();
        let Some((table, _)) = reader.as_table(value) else { continue };
        let section = Section { name: "strips", table };
        reader.only(section, &["wide", "grain"]);
        for key in ["wide", "grain"] {
            if !table.contains_key(key) {
                let hint = "write a strip as `{ wide = \"25mm\", grain = 4 }`";
                reader.missing(&format!("`{}`", section.key(key)), hint, &place);
            }
        }
        let wide = reader.size(section, "wide");
        let terms = reader.units;
        let degrees = |text: &str, place: &Place| words::degrees_text(text, terms, place);
        let grain = super::word(reader, section, "grain", degrees);
        strips.extend(wide.zip(grain).map(|(wide, grain)| Strip { wide, grain }));
    }
    strips
}

/// What is asked of the template.
pub(super) fn template<'t>(reader: &mut Reader<'t>, root: Section<'t>) -> TemplateWish {
    let Some((table, _)) = reader.table(root, "template") else {
        return TemplateWish::default();
    };
    let section = Section { name: "template", table };
    reader.only(section, &["thick", "moves", "run-on", "pins", "hang-hole", "made-for"]);
    let mut extras = Vec::new();
    for value in reader.list(section, "pins") {
        let place = value.place.clone();
        let Some((table, _)) = reader.as_table(value) else { continue };
        let hole = hole(reader, Section { name: "template.pins", table }, &place);
        extras.extend(hole.map(|(at, diameter)| Extra::Pin { at, diameter }));
    }
    if let Some((table, place)) = reader.table(section, "hang-hole") {
        let hole = hole(reader, Section { name: "template.hang-hole", table }, &place);
        extras.extend(hole.map(|(at, diameter)| Extra::HangHole { at, diameter }));
    }
    TemplateWish {
        thickness: reader.size(section, "thick"),
        moves: reader.flag(section, "moves"),
        run_on: reader.size(section, "run-on"),
        extras,
        made_for: reader
            .text(section, "made-for")
            .map(|(text, place)| BitText { text: text.to_owned(), place }),
    }
}

/// Where a hole is and how wide.
fn hole<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    place: &Place,
) -> Option<(crate::geom::Point, Diameter)> {
    reader.only(section, &["at", "wide"]);
    for key in ["at", "wide"] {
        if !section.table.contains_key(key) {
            let hint = "write a hole as `{ at = [20, 20], wide = \"6mm\" }`";
            reader.missing(&format!("`{}`", section.key(key)), hint, place);
        }
    }
    let at = shape::point(reader, section, "at");
    let wide = diameter(reader, section, "wide");
    Some((at?, wide?))
}

/// A diameter of more than zero.
pub(super) fn diameter<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    key: &str,
) -> Option<Diameter> {
    let (text, place) = reader.word(section, key)?;
    let units = reader.units;
    reader.keep(words::diameter_text(&text, units, &place))
}

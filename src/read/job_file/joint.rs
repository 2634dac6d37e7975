//! A job's `[joint]`: a joint by name, and the sizes that are not to follow the stock.

use super::super::joint_wish::{SetIn, Wood, joint_text, set_in_text, wood_text};
use super::super::{JointWish, ShapeSource, slope_text};
use super::reader::{Reader, Section};
use super::{amount, count_text, word};
use crate::diag::Place;

/// Every key of `[joint]`.
const KEYS: [&str; 12] = [
    "name",
    "width",
    "length",
    "long",
    "nib",
    "slope",
    "slot",
    "mate",
    "fingers",
    "clearance",
    "set-in",
    "wood",
];

/// The joint, if it can be read.
pub(super) fn joint<'t>(
    reader: &mut Reader<'t>,
    section: Section<'t>,
    place: &Place,
) -> Option<ShapeSource> {
    reader.only(section, &KEYS);
    if !section.table.contains_key("name") {
        let hint = "name the joint, like `name = \"splayed-scarf\"`";
        reader.missing("`joint.name`", hint, place);
    }
    let stock = reader.stock_width();
    if stock.is_none() && !section.table.contains_key("width") {
        let hint = "give the stock's width, like `width = \"70mm\"`";
        reader.missing("`joint.width`", hint, place);
    }
    let name = word(reader, section, "name", joint_text);
    let width = reader.size(section, "width").or(stock);
    let wish = JointWish {
        name: name?,
        width: width?,
        length: reader.size(section, "length"),
        long: reader.size(section, "long"),
        nib: reader.size(section, "nib"),
        slope: word(reader, section, "slope", slope_text),
        slot: reader.size(section, "slot"),
        mate: reader.size(section, "mate"),
        fingers: word(reader, section, "fingers", count_text),
        clearance: amount(reader, section, "clearance"),
        set_in: word(reader, section, "set-in", set_in_text).unwrap_or(SetIn::Both),
        wood: word(reader, section, "wood", wood_text).unwrap_or(Wood::Hard),
        place: place.clone(),
    };
    Some(ShapeSource::Joint(wish))
}

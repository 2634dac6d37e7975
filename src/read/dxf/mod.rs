//! DXF: bytes → a [`Drawing`] in millimetres, in the frame it was drawn in.
//!
//! Reads the lines of the model as they lie in the plane: blocks are placed, mirrored entities
//! turned as they are seen, arcs kept as arcs. What is no line (text, dimensions, filled areas)
//! is counted, not read. The file itself is taken apart by the crate of the same name; closing,
//! crossing and nesting are judged later, by `outline`.

mod file;

mod binary;

mod unit;

mod frame;

mod entity;

mod polyline;

mod spline;

mod through;

mod tree;

use super::pick::Pick;
use super::{Drawing, KnownSize, stem};
use crate::diag::{Failure, Outcome, Told};
use crate::units::Unit;

/// What is asked of a drawing beside its bytes.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The unit of a drawing that names none.
    pub units: Option<Unit>,
    /// How large all that is drawn is known to be, whatever the file says.
    pub size: Option<KnownSize>,
    /// The layers and colours to be read.
    pub pick: &'a Pick,
}

/// Reads a drawing; `name` is its file's name.
///
/// # Errors
/// [`Failure::Input`] with what was found: no unit, a damaged file, lines that do not lie flat,
/// a layer that is not there, nothing drawn at all.
///
/// ```
/// use spelch::read::{Asked, Pick, dxf};
/// let text = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n\
///     0\nCIRCLE\n8\nrim\n10\n0\n20\n0\n40\n2\n0\nENDSEC\n0\nEOF\n";
/// let asked = Asked { units: None, size: None, pick: &Pick::default() };
/// let drawing = dxf("lid.dxf", text.as_bytes(), asked).unwrap().value;
/// assert_eq!(drawing.paths[0].place.layer.as_deref(), Some("rim"));
/// ```
pub fn dxf(name: &str, bytes: &[u8], asked: Asked<'_>) -> Outcome<Drawing> {
    let file =
        file::File::new(name, bytes).map_err(|problem| Failure::input(*problem))?;
    let scale = unit::scale(&file, &asked).map_err(|problem| Failure::input(*problem))?;
    let Some(size) = asked.size else { return read_in(&file, &scale, asked.pick) };
    let as_it_says = read_in(&file, &scale, asked.pick)?.value;
    let scale = unit::known(&file, scale, (size, &as_it_says))
        .map_err(|problem| Failure::input(*problem))?;
    read_in(&file, &scale, asked.pick)
}

/// Reads what is asked for of a drawing whose unit is known.
fn read_in(file: &file::File<'_>, scale: &unit::Scale, pick: &Pick) -> Outcome<Drawing> {
    let read = tree::read(file, scale, pick);
    if !read.stops.is_empty() {
        return Err(Failure::Input(read.stops));
    }
    let name = stem(file.name);
    let drawing = Drawing { name, beside: Some(read.left_out), paths: read.paths };
    let notes = unit::size(file, scale, &drawing).into_iter().chain(read.notes);
    Ok(Told { value: drawing, notes: notes.collect() })
}

#[cfg(test)]
mod tests;

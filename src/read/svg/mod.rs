//! SVG: bytes → a [`Drawing`] in millimetres, y up, the page's lower left corner at the origin.
//!
//! Reads geometry only: where lines run, never how wide or in what colour they are drawn. What
//! would be lost or misread is refused with its place; closing, crossing and nesting are judged
//! later, by `outline`.

mod document;

mod viewport;

mod size;

mod page;

mod map;

mod tree;

mod clone;

mod drawn;

mod style;

mod sheet;

mod css_transform;

mod attribute;

mod shape;

mod path;

use super::{Drawing, KnownSize, stem};
use crate::diag::{Failure, Outcome, Told};
use crate::units::Paper;
use document::Text;

/// Reads a drawing that says its own size; `name` is its file's name.
///
/// # Errors
/// [`Failure::Input`] with every problem found: a page without a physical size, geometry that
/// cannot be read or would be lost, nothing drawn at all.
///
/// ```
/// let text = r#"<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm"
///     viewBox="0 0 40 30"><path id="rail" d="M 0 30 H 40 V 0 Z"/></svg>"#;
/// let drawing = spelch::read::svg("rail.svg", text.as_bytes()).unwrap().value;
/// assert_eq!(drawing.name, "rail");
/// assert_eq!(drawing.paths[0].strokes[0].name.as_deref(), Some("rail"));
/// ```
pub fn svg(name: &str, bytes: &[u8]) -> Outcome<Drawing> {
    svg_of_size(name, bytes, None, Paper::MM)
}

/// Reads a drawing whose size the person knows, where it does not say it itself; `paper` says how
/// messages write lengths.
///
/// # Errors
/// As [`svg`]; and a size that is known and contradicts the drawing.
///
/// ```
/// use spelch::read::{KnownSize, svg_of_size};
/// use spelch::units::{Mm, Paper};
/// let text = r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 300">
///     <rect x="100" y="100" width="200" height="100"/></svg>"#;
/// let known = Some(KnownSize::Width(Mm::new(240.0).unwrap()));
/// let drawing = svg_of_size("rail.svg", text.as_bytes(), known, Paper::MM).unwrap();
/// assert!((drawing.value.bounds().width() - 240.0).abs() < 1e-9);
/// ```
pub fn svg_of_size(
    name: &str,
    bytes: &[u8],
    known: Option<KnownSize>,
    paper: Paper,
) -> Outcome<Drawing> {
    let text =
        Text::new(name, bytes, paper).map_err(|problem| Failure::input(*problem))?;
    let document = text.parse().map_err(|problem| Failure::input(*problem))?;
    let root = text.root(&document).map_err(|problem| Failure::input(*problem))?;
    let (mut page, mut notes) = page::page(&text, root, known)?;
    let mut read = tree::read(&text, root, &page);
    if read.stops.is_empty()
        && let Some(known) = known
        && let Some((factor, note)) = size::factor(&text, root, (known, &read.paths))?
    {
        page = page.times(factor);
        read = tree::read(&text, root, &page);
        notes.extend(note);
    }
    if !read.stops.is_empty() {
        return Err(Failure::Input(read.stops));
    }
    notes.extend(read.notes);
    notes.extend(read.paths.iter().filter_map(|path| page::off_page(&page, path, paper)));
    let drawing = Drawing { name: stem(name), beside: None, paths: read.paths };
    Ok(Told { value: drawing, notes })
}

#[cfg(test)]
mod tests;

#[cfg(test)]
mod clone_tests;

#[cfg(test)]
mod peer;

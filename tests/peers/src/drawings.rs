//! The drawings in a folder: SVG, DXF and lists of polygons.

use spelch::diag::{Place, Source};
use spelch::geom::{Loop, Piece, Point};
use spelch::read::{
    Asked, Drawing, Drawn, KnownSize, Path as Line, Pick, Stroke, dxf, svg_of_size,
};
use spelch::units::{Paper, Unit};
use std::path::{Path, PathBuf};

/// Finds the drawings in a folder and in those within.
pub(crate) fn gather(folder: &Path, files: &mut Vec<PathBuf>) {
    let entries = std::fs::read_dir(folder).expect("a folder");
    for entry in entries {
        let path = entry.expect("an entry").path();
        let ending = path.extension().and_then(|ending| ending.to_str());
        if path.is_dir() {
            gather(&path, files);
        } else if matches!(ending, Some("svg" | "dxf" | "json")) {
            files.push(path);
        }
    }
}

/// What our readers make of a file: nothing where they refuse it. An SVG without a size is taken
/// at a millimetre a unit, a DXF without a unit in millimetres.
pub(crate) fn drawings(file: &Path) -> Vec<Drawing> {
    let bytes = std::fs::read(file).expect("a file that was there");
    let read = match file.extension().and_then(|ending| ending.to_str()) {
        Some("svg") => {
            svg_of_size("drawing.svg", &bytes, None, Paper::MM).or_else(|_| {
                svg_of_size("drawing.svg", &bytes, Some(KnownSize::Ppi(25.4)), Paper::MM)
            })
        }
        Some("dxf") => {
            let pick = Pick::default();
            dxf(
                "drawing.dxf",
                &bytes,
                Asked { units: Some(Unit::Mm), size: None, pick: &pick },
            )
        }
        _ => return listed(&bytes),
    };
    read.map_or_else(|_| Vec::new(), |told| vec![told.value])
}

/// The polygons of a list of items with their points.
fn listed(bytes: &[u8]) -> Vec<Drawing> {
    let Ok(all) = serde_json::from_slice::<serde_json::Value>(bytes) else {
        return Vec::new();
    };
    let number = |value: &serde_json::Value| value.as_f64();
    let point = |value: &serde_json::Value| {
        Some(Point::new(number(&value[0])?, number(&value[1])?))
    };
    let items = all["items"].as_array().cloned().unwrap_or_default();
    let polygon = |item: &serde_json::Value| -> Option<Drawing> {
        let points: Vec<Point> =
            item["shape"]["data"].as_array()?.iter().map(point).collect::<Option<_>>()?;
        let stroke = |piece: &Piece| Drawn {
            stroke: Stroke::Piece(*piece),
            name: None,
            role: None,
        };
        let strokes = Loop::polygon(&points).pieces().iter().map(stroke).collect();
        let place = Place::whole(Source::Drawing, "list");
        let name = format!("item {}", item["id"]);
        Some(Drawing {
            name,
            beside: None,
            paths: vec![Line { strokes, closed: true, place }],
        })
    };
    items.iter().filter_map(polygon).collect()
}

//! Plain outlines: of a bit as it lies on the rack, of parts as they are offered.

use crate::draw::{Circle, Pen, Scene, Text, part_cells, svg};
use crate::geom::{Bounds, Piece, Point, Vector};
use crate::outline::Outline;
use crate::read::{Drawing, Stroke};
use crate::shop::{Bit, Guide};

/// What is not known of a bit, in mm, only to be drawn (from memory).
const SHANK: f64 = 6.35;
const SHANK_LONG: f64 = 25.0;
const CUTTER_LONG: f64 = 25.0;
const BEARING_HIGH: f64 = 5.0;
/// Free paper round a drawing, in mm.
const ROUND: f64 = 2.0;

/// A bit from the side at true size, its shank up, as SVG.
pub fn bit_outline(bit: &Bit) -> String {
    let (cutter, rides) = (bit.cutter.mm(), bit.bearing.mm());
    let long = bit.cut_length.map_or(CUTTER_LONG, crate::units::Mm::mm);
    let shank = bit.body.shank.map_or(SHANK.min(cutter), crate::units::Diameter::mm);
    let high = bit.body.bearing_height.map_or(BEARING_HIGH, crate::units::Mm::mm);
    // From the tip up: how wide, how long, and how it is drawn.
    let mut parts = Vec::new();
    if bit.guides.contains(&Guide::Tip) {
        parts.push((rides, high, Pen::NotNow));
    }
    parts.push((cutter, long, Pen::Now));
    if bit.guides.iter().any(|guide| matches!(guide, Guide::Shank | Guide::Bush)) {
        parts.push((rides, high, Pen::NotNow));
    }
    parts.push((shank, SHANK_LONG, Pen::NotNow));
    let wide = parts.iter().map(|part| part.0).fold(0.0, f64::max);
    let all: f64 = parts.iter().map(|part| part.1).sum();
    let size = (wide + 2.0 * ROUND, all + 2.0 * ROUND);
    let mut scene = Scene::sized(size, bit.text.clone());
    let (middle, mut low) = (size.0 / 2.0, ROUND);
    for (wide, high, pen) in parts {
        let area = Bounds {
            low: Point::new(middle - wide / 2.0, low),
            high: Point::new(middle + wide / 2.0, low + high),
        };
        scene.ring(&area.corners(), pen);
        low += high;
    }
    svg(&scene)
}

/// How wide and high parts are drawn where they are offered, in mm.
const OFFERED: (f64, f64) = (72.0, 36.0);

/// Parts beside each other as plain lines, as SVG.
pub fn parts_outline(outlines: &[Outline], title: &str) -> String {
    let mut scene = Scene::sized(OFFERED, title);
    let area = Bounds { low: Point::default(), high: Point::new(OFFERED.0, OFFERED.1) };
    let sizes: Vec<Bounds> = outlines.iter().map(Outline::bounds).collect();
    let cells = part_cells(&sizes, area, ROUND, false);
    for (outline, view) in outlines.iter().zip(&cells.views) {
        for ring in &outline.loops {
            scene.line(view.pieces(ring.pieces()), Pen::Border);
        }
    }
    svg(&scene)
}

/// How wide and high a drawing is shown whose places are marked, in mm.
const MARKED: (f64, f64) = (180.0, 120.0);
/// Free paper round it, and how large the ring round a place is.
const FREE: f64 = 10.0;
const RING: f64 = 4.0;

/// A drawing as read, before anything is repaired, with a ring and a number at each place, as
/// SVG.
pub fn drawing_marked(drawing: &Drawing, places: &[Point]) -> String {
    let mut scene = Scene::sized(MARKED, format!("{}, as read", drawing.name));
    let area = Bounds { low: Point::default(), high: Point::new(MARKED.0, MARKED.1) };
    let whole = places.iter().fold(drawing.bounds(), |all, &at| all.with(at));
    let cells = part_cells(&[whole], area, FREE, false);
    let view = cells.views[0];
    for drawn in drawing.paths.iter().flat_map(|path| &path.strokes) {
        scene.line(view.pieces(&straightened(&drawn.stroke)), Pen::Border);
    }
    for (number, &place) in (1..).zip(places) {
        let at = view.point(place);
        scene.line(Circle { centre: at, radius: RING }.pieces(), Pen::Arrow);
        let beside = at + Vector::new(RING + 3.0, RING + 2.0);
        scene.letters(Text::new(beside, number.to_string(), 5.0).bold().centred());
    }
    svg(&scene)
}

/// A stroke as pieces, near enough to be looked at.
fn straightened(stroke: &Stroke) -> Vec<Piece> {
    const STEPS: u32 = 24;
    if let Stroke::Piece(piece) = stroke {
        return vec![*piece];
    }
    let at = |step: u32| stroke.at(f64::from(step) / f64::from(STEPS));
    (0..STEPS).map(|step| Piece::line(at(step), at(step + 1))).collect()
}

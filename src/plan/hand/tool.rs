//! Which hand tool, by kind and length, and how wide.

use super::super::Tool;
use crate::geom::Piece;
use crate::reach::{Site, SiteKind};
use crate::units::{MM_PER_INCH, Unit};

/// A chisel is at least so many times the side it pares, so that about a third of its back
/// rides on the routed wall (common practice, no source).
const CHISEL_OVER_SIDE: f64 = crate::shop::defaults::CHISEL_OVER_SIDE.value;
/// No longer edge than this is pared with a chisel, in mm (common practice, no source).
const MOST_PARED: f64 = crate::shop::defaults::MOST_PARED.value;
/// A void sharper than this is sawn on its bisector before any chisel, in degrees (from
/// memory).
const SHARP_VOID: f64 = crate::shop::defaults::SHARP_VOID.value;
/// A hollow tighter than this takes no round spokeshave, in mm of radius (from memory).
const SPOKESHAVE_RADIUS: f64 = crate::shop::defaults::SPOKESHAVE_RADIUS.value;

/// Widths of chisels sold by the millimetre (from memory).
const CHISELS_MM: [f64; 12] =
    [3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 16.0, 18.0, 20.0, 25.0, 32.0, 38.0];
/// Widths of chisels sold by the inch, in inches: 1/8 to 1 1/2 (published: Hasluck, The
/// Handyman's Book, about 1903; those between from memory).
const CHISELS_INCH: [f64; 10] =
    [0.125, 0.1875, 0.25, 0.375, 0.5, 0.625, 0.75, 1.0, 1.25, 1.5];

/// The chisel for a side so long, no wider than `room`: the next standard width over one and a
/// half times the side, else the widest that fits. `None` where none fits or it is too long.
pub(super) fn chisel(side: f64, room: f64, unit: Unit) -> Option<Tool> {
    const SLACK: f64 = 1e-9;
    let widths: Vec<f64> = match unit {
        Unit::Mm => CHISELS_MM.to_vec(),
        Unit::Inch => CHISELS_INCH.iter().map(|inches| inches * MM_PER_INCH).collect(),
    };
    if MOST_PARED < side {
        return None;
    }
    let mut fits = widths.iter().copied().filter(|&width| width <= room + SLACK);
    let wanted = CHISEL_OVER_SIDE * side - SLACK;
    let enough = fits.clone().find(|&width| wanted <= width);
    enough.or_else(|| fits.next_back()).map(Tool::Chisel)
}

/// The tool for a place the bit leaves, with `room` mm of wall for a chisel. `walls` are the
/// pieces of the untouched edge.
pub(super) fn site_tool(site: &Site, walls: &[Piece], room: f64, unit: Unit) -> Tool {
    let longest = site.sides.iter().copied().fold(0.0, f64::max);
    let hollow = walls.iter().filter(|piece| is_hollow(piece)).count();
    let pared = chisel(longest, room, unit);
    match site.kind {
        SiteKind::InsideCorner if site.angle.is_some_and(|angle| angle < SHARP_VOID) => {
            Tool::FretsawAndKnife
        }
        SiteKind::InsideCorner if hollow < walls.len() => pared.unwrap_or(Tool::Rasp),
        SiteKind::Slot if hollow == 0 => pared.unwrap_or(Tool::DrillAndFile),
        SiteKind::Neck | SiteKind::Junction if hollow == 0 => pared.unwrap_or(Tool::Rasp),
        SiteKind::Slot | SiteKind::Opening => Tool::DrillAndFile,
        SiteKind::InsideCorner
        | SiteKind::Hollow
        | SiteKind::Neck
        | SiteKind::Junction => Tool::Rasp,
    }
}

/// What decides the tool for a whole stretch.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reachable {
    /// Its length, in mm.
    pub(super) length: f64,
    /// The length of the whole edge it lies on, in mm.
    pub(super) room: f64,
    /// The radius of its tightest hollow, if it has one.
    pub(super) hollow: Option<f64>,
    /// Whether it lies in an opening.
    pub(super) in_opening: bool,
    /// At how many of its ends an inside corner stands in the way.
    pub(super) blocked_ends: usize,
    /// Whether its grain runs no one way.
    pub(super) grain_turns: bool,
}

/// The tool for a stretch.
pub(super) fn stretch_tool(stretch: &Reachable, unit: Unit) -> Tool {
    match stretch.hollow {
        Some(radius) if radius < SPOKESHAVE_RADIUS || stretch.in_opening => Tool::Rasp,
        Some(_) => Tool::RoundSpokeshave,
        None => match chisel(stretch.length, stretch.room, unit) {
            Some(chisel) => chisel,
            None if stretch.in_opening || stretch.blocked_ends == 2 => Tool::Rasp,
            None if MOST_PARED < stretch.length && stretch.grain_turns => Tool::Scraper,
            None if MOST_PARED < stretch.length => Tool::Plane,
            None => Tool::Rasp,
        },
    }
}

/// Whether the void is round here.
pub(super) fn is_hollow(piece: &Piece) -> bool {
    matches!(*piece, Piece::Arc { sweep, .. } if sweep < 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDE: f64 = 1000.0;

    /// Basis: geometry (side left r/tan(a/2)); common practice, no source (one and a half
    /// times it, next width up).
    #[test]
    fn chisels_for_the_corners_each_bit_leaves() {
        let void = [135.0, 97.0, 90.0, 83.0];
        let table = [
            (3.2, [3.0, 3.0, 3.0, 3.0]),
            (6.35, [3.0, 6.0, 6.0, 6.0]),
            (9.525, [3.0, 8.0, 8.0, 10.0]),
            (12.7, [4.0, 10.0, 10.0, 12.0]),
            (19.05, [6.0, 16.0, 16.0, 18.0]),
        ];
        for (across, widths) in table {
            for (angle, width) in void.into_iter().zip(widths) {
                let half = f64::to_radians(angle / 2.0);
                let side = across / 2.0 / libm::tan(half);
                let found = chisel(side, WIDE, Unit::Mm);
                assert_eq!(found, Some(Tool::Chisel(width)), "{across} mm at {angle}");
            }
        }
    }

    /// Basis: common practice, no source.
    #[test]
    fn a_chisel_is_no_wider_than_the_wall_and_pares_no_long_edge() {
        assert_eq!(chisel(6.35, 9.0, Unit::Mm), Some(Tool::Chisel(8.0)), "9 mm of wall");
        assert_eq!(chisel(6.35, 2.0, Unit::Mm), None, "no chisel enters 2 mm");
        assert_eq!(chisel(31.0, WIDE, Unit::Mm), None, "over 30 mm of edge");
        assert_eq!(chisel(28.0, WIDE, Unit::Mm), Some(Tool::Chisel(38.0)), "the widest");
    }

    #[test]
    fn an_inch_shop_gets_inch_chisels() {
        let tool = chisel(6.35, WIDE, Unit::Inch).expect("one fits");
        assert_eq!(tool, Tool::Chisel(0.375 * MM_PER_INCH), "3/8 in, the nearest sold");
        let tool = chisel(6.35, WIDE, Unit::Mm).expect("one fits");
        assert_eq!(tool, Tool::Chisel(10.0), "the nearest sold");
    }

    /// Basis: common practice, no source; the radius from memory.
    #[test]
    fn long_edges_are_planed_shaved_or_rasped() {
        let edge = Reachable {
            length: 200.0,
            room: 200.0,
            hollow: None,
            in_opening: false,
            blocked_ends: 0,
            grain_turns: false,
        };
        let tool = |change: &dyn Fn(&mut Reachable)| {
            let mut edge = edge;
            change(&mut edge);
            stretch_tool(&edge, Unit::Mm)
        };
        assert_eq!(tool(&|_| ()), Tool::Plane, "straight or hump");
        assert_eq!(tool(&|e| e.grain_turns = true), Tool::Scraper, "a plane lifts it");
        assert_eq!(
            tool(&|e| e.hollow = Some(300.0)),
            Tool::RoundSpokeshave,
            "wide hollow"
        );
        assert_eq!(tool(&|e| e.hollow = Some(30.0)), Tool::Rasp, "tight hollow");
        assert_eq!(tool(&|e| e.in_opening = true), Tool::Rasp, "no plane in an opening");
        assert_eq!(tool(&|e| e.blocked_ends = 2), Tool::Rasp, "no room for a plane");
        assert_eq!(tool(&|e| e.length = 16.0), Tool::Chisel(25.0), "short: a chisel");
        let whole = tool(&|e| (e.length, e.room) = (16.0, 16.0));
        assert_eq!(whole, Tool::Chisel(16.0), "no wider than the edge");
    }
}

//! Names a place the bit leaves.
//!
//! ```text
//!   |             K             K         K  the disc's centre at a knee: by how many knees close
//!   |  K        __   __       __   __        a place off, and how many corners stand behind them
//!   |            |   |         |   |
//!   |_____       |___|       __|   |__
//!                               K
//!   corner       slot          neck
//! ```
//!
//! Geometry.

use super::{Site, SiteKind};
use crate::geom::{Region, Span};
use std::f64::consts::PI;

/// The site of a region whose walls on the part are `walls`.
pub(super) fn site(region: &Region, walls: Vec<Span>) -> Site {
    let kind = kind(region);
    let corner = region.corners.first().filter(|_| kind == SiteKind::InsideCorner);
    Site {
        kind,
        at: corner.map_or(region.deepest, |corner| corner.at),
        angle: corner.map(|corner| (PI + corner.turn).max(0.0).to_degrees()),
        depth: region.depth,
        sides: region.sides.clone(),
        area: region.area,
        walls,
        border: region.border.clone(),
    }
}

/// By how many mouths it has and how many corners stand behind them (geometry).
fn kind(region: &Region) -> SiteKind {
    match (region.knees, region.corners.as_slice()) {
        (0, _) => SiteKind::Opening,
        (1, []) => SiteKind::Hollow,
        (1, [corner]) if corner.turn < 0.0 => SiteKind::InsideCorner,
        (1, _) => SiteKind::Slot,
        (2, _) => SiteKind::Neck,
        _ => SiteKind::Junction,
    }
}

//! Whether two outlines are the same, or each other's mirror image: by what is routed, and by the
//! lines on which their true edges lie. Where a piece goes on does not matter to a template.

use super::placing::Placing;
use crate::geom::crossing::Carrier;
use crate::geom::{Piece, Point, tolerance};
use crate::joint::alike::{Alike, Serves};
use crate::joint::meet::strokes;
use crate::read::{Drawing, Role};

/// How two halves are alike, each as it is drawn.
pub(super) fn alike([a, b]: [&Drawing; 2]) -> Alike {
    let (a, b) = (Shape::of(a), Shape::of(b));
    let serves = if a.lies_on(&b, false) {
        Some(Serves::SameFace)
    } else if a.lies_on(&b, true) {
        Some(Serves::TurnedOver)
    } else {
        None
    };
    Alike { serves, either_face: [a.lies_on(&a, true), b.lies_on(&b, true)] }
}

/// What a template is made by.
struct Shape {
    routed: Vec<Piece>,
    trued: Vec<Piece>,
}

impl Shape {
    fn of(half: &Drawing) -> Self {
        let of = |role| {
            let own = strokes(half).filter(move |(_, _, drawn)| drawn.role == Some(role));
            own.map(|(_, piece, _)| piece).collect()
        };
        Self { routed: of(Role::Rout), trued: of(Role::TrueAlready) }
    }

    /// Whether some movement lays it on another shape.
    fn lies_on(&self, other: &Self, over: bool) -> bool {
        let longest = self.routed.iter().max_by(|a, b| a.length().total_cmp(&b.length()));
        let Some(longest) = longest else { return false };
        let ends = |piece: &Piece, over: bool| {
            if over { [piece.to(), piece.from()] } else { [piece.from(), piece.to()] }
        };
        other.routed.iter().filter(|piece| is_as_long(longest, piece)).any(|piece| {
            let placing = Placing::between(ends(longest, false), ends(piece, over), over);
            placing.is_some_and(|placing| {
                self.is_on(other, &placing) && other.is_on(self, &placing.back())
            })
        })
    }

    /// Whether every place of it, moved, lies on another shape.
    fn is_on(&self, other: &Self, placing: &Placing) -> bool {
        /// Places tried on each piece besides its ends.
        const PLACES: u32 = 16;
        let routed = self.routed.iter().all(|piece| {
            (0..=PLACES).all(|place| {
                let at = placing.point(piece.at(f64::from(place) / f64::from(PLACES)));
                other.routed.iter().any(|piece| piece.distance(at) <= tolerance::REPAIR)
            })
        });
        let is_near = |carrier: &Carrier, at: Point| {
            carrier.nearest(at).distance(at) <= tolerance::REPAIR
        };
        let trued = self.trued.iter().all(|piece| {
            let places = [0.0, 0.5, 1.0].map(|t| placing.point(piece.at(t)));
            let mut carriers = other.trued.iter().map(Carrier::of);
            carriers.any(|carrier| places.iter().all(|&at| is_near(&carrier, at)))
        });
        routed && trued
    }
}

fn is_as_long(one: &Piece, other: &Piece) -> bool {
    (one.length() - other.length()).abs() <= tolerance::REPAIR
        && one.radius().is_some() == other.radius().is_some()
}

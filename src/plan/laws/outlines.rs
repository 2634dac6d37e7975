//! Outlines and shops to try the laws on, and how to plan them.

use super::{ROUT, keeps_all_laws};
use crate::diag::{Failure, Weight};
use crate::geom::Point;
use crate::geom::shapes::NOTCHED;
use crate::outline::Outline;
use crate::plan::shapes::{circle, outline, outlines, polygon, sides};
use crate::plan::{Plan, plan};
use crate::read::{Role, Station};
use crate::shop::{Guide, Shop};

pub(super) const BOTH: &[Guide] = &[Guide::Shank, Guide::Tip];
pub(super) const SHANK: &[Guide] = &[Guide::Shank];
pub(super) const TIP: &[Guide] = &[Guide::Tip];

/// The plan, after a look whether it keeps all laws.
pub(super) fn planned(outline: Outline, shop: &Shop) -> Plan {
    let plan = match plan(vec![outline], shop) {
        Ok(told) => told.value,
        Err(failure) => panic!("{failure:?}"),
    };
    keeps_all_laws(&plan, shop);
    plan
}

pub(super) fn refused(outline: Outline, shop: &Shop) -> Vec<&'static str> {
    match plan(vec![outline], shop) {
        Err(Failure::Refused(problems)) => problems.iter().map(|one| one.id).collect(),
        other => panic!("it should be refused: {other:?}"),
    }
}

/// A square of 100 with a square of 40 cut from its far right corner.
pub(super) fn notched() -> Outline {
    polygon(&NOTCHED, &[ROUT; 6])
}

pub(super) fn rectangle(width: f64, height: f64) -> Outline {
    polygon(&[(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)], &[ROUT; 4])
}

pub(super) fn disc(radius: f64) -> Outline {
    outline(circle(Point::new(0.0, 0.0), radius, 1.0), &[ROUT; 2])
}

/// A square of 320 with a round hole in its middle.
pub(super) fn holed(radius: f64) -> Outline {
    let square = sides(&[(0.0, 0.0), (320.0, 0.0), (320.0, 320.0), (0.0, 320.0)]);
    let hole = circle(Point::new(160.0, 160.0), radius, -1.0);
    outlines(vec![(square, &[ROUT; 4]), (hole, &[ROUT; 2])])
}

/// A block with a slot from its far side, so wide.
pub(super) fn slotted(width: f64) -> Outline {
    let (left, right) = (160.0 - width / 2.0, 160.0 + width / 2.0);
    let points = [
        (0.0, 0.0),
        (320.0, 0.0),
        (320.0, 100.0),
        (right, 100.0),
        (right, 60.0),
        (left, 60.0),
        (left, 100.0),
        (0.0, 100.0),
    ];
    polygon(&points, &[ROUT; 8])
}

/// A bracket whose one routed edge rises from left to right at this angle.
pub(super) fn slope(degrees: f64) -> Outline {
    let rise = 400.0 * libm::tan(degrees.to_radians());
    let points = [(0.0, 0.0), (400.0, 0.0), (400.0, 60.0 + rise), (0.0, 60.0)];
    let kept = Role::TrueAlready;
    polygon(&points, &[kept, kept, ROUT, kept])
}

/// The same shop with its bits guided so.
pub(super) fn guided(mut shop: Shop, guides: &[&[Guide]]) -> Shop {
    for (bit, guides) in shop.bits.iter_mut().zip(guides) {
        bit.guides = guides.to_vec();
    }
    shop
}

pub(super) fn at_table(mut shop: Shop) -> Shop {
    shop.stations = vec![Station::Table];
    shop
}

pub(super) fn ids(plan: &Plan) -> Vec<&'static str> {
    plan.notes.iter().map(|note| note.id).collect()
}

pub(super) fn stops(plan: &Plan) -> Vec<&'static str> {
    let stops = plan.notes.iter().filter(|note| note.weight == Weight::Stop);
    stops.map(|note| note.id).collect()
}

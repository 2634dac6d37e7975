//! The test piece of a job's machine.

use super::joint::{self, Parts};
use super::{keep, post_choice, short};
use crate::diag::{Outcome, Problems, Told};
use crate::geom::Bounds;
use crate::outline::Outline;
use crate::read::{Job, Load, Readings};
use crate::sheet::{self, Bundle, TestPiece};
use crate::shop::LapWay;
use crate::{post, program, shop};

/// The test piece: its proved program and its sheet, or, with readings, the sheet of what they
/// say; as the job is cut, or all of it with the finishing lap climbing.
///
/// # Errors
/// Input failures of the job; a refusal where it has no machine, or the program does not prove.
pub fn test_piece(
    job: &Job,
    load: &Load<'_>,
    (readings, climbs): (Option<&Readings>, bool),
) -> Outcome<Bundle> {
    let mut notes = Problems::new();
    let Parts { outlines, .. } = keep(joint::parts(job, load)?, &mut notes);
    let bounds: Bounds = outlines.iter().map(Outline::bounds).collect();
    let mut shop = keep(shop::shop(job, bounds)?, &mut notes);
    if let Some(machine) = shop.machine.as_mut().filter(|_| climbs) {
        machine.finish = LapWay::Climb;
    }
    let dialect = keep(post::dialect(&post_choice(job))?, &mut notes);
    let id = short(&format!("test piece {:?} {:?}", shop.machine, shop.template));
    let proved = program::test_piece(&shop, &dialect, &id)?;
    let sheets = TestPiece { shop: &shop, proved: &proved, readings, climbs, id: &id };
    Ok(Told { value: sheet::test_piece_bundle(&sheets), notes })
}

//! The test piece of a job's machine.

use super::joint::{self, Parts};
use super::{keep, post_choice, short};
use crate::diag::{Failure, Outcome, Problem, Problems, Told};
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
/// Input failures of the job, or of a second piece that would be the first; a refusal where it has
/// no machine, or the program does not prove.
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
        if machine.finish == LapWay::Climb {
            return Err(Failure::input(climbs_already(job)));
        }
        machine.finish = LapWay::Climb;
    }
    let dialect = keep(post::dialect(&post_choice(job))?, &mut notes);
    let id = short(&format!("test piece {:?} {:?}", shop.machine, shop.template));
    let proved = program::test_piece(&shop, &dialect, &id)?;
    let sheets = TestPiece { shop: &shop, proved: &proved, readings, climbs, id: &id };
    Ok(Told { value: sheet::test_piece_bundle(&sheets), notes })
}

/// The second piece is the first.
fn climbs_already(job: &Job) -> Problem {
    let found = "the job's own finishing lap climbs: a second piece would be the same as the first";
    let hint = "leave `--climb` out: the piece of this job climbs as it is, and its readings are \
                all there is to keep";
    Problem::stop("climbs-already", found, hint).at(job.place("machine.climb-finish"))
}

//! What is dear to work out and holds while only grain, bits and sheets change: the outlines of a
//! drawing, and the share of the plan's id that follows from them.

use super::joint::{self, Parts};
use crate::diag::{Failure, Problems, Source, Told};
use crate::read::{Job, Load, ShapeSource};
use sha2::{Digest, Sha256};

/// What one plan keeps for the next; empty at first.
#[derive(Debug, Default)]
pub struct Kept(Option<Known>);

/// The outlines of a drawing, with all they were made from.
#[derive(Debug)]
struct Known {
    asked: String,
    bytes: Vec<u8>,
    read: Read,
}

/// The parts of a job as read.
#[derive(Debug, Clone)]
pub(super) struct Read {
    /// The parts.
    pub(super) parts: Parts,
    /// What was told of them.
    pub(super) notes: Problems,
    /// The start of the plan's id: all of the outlines.
    pub(super) id: Sha256,
}

impl Kept {
    /// The parts of a job: those of the last time, where they come from the same drawing read
    /// in the same way.
    pub(super) fn parts(&mut self, job: &Job, load: &Load<'_>) -> Result<Read, Failure> {
        let Some((asked, bytes)) = of_drawing(job, load) else {
            return read(job, load);
        };
        let is_same = |known: &&Known| known.asked == asked && known.bytes == bytes;
        if let Some(known) = self.0.as_ref().filter(is_same) {
            return Ok(known.read.clone());
        }
        let read = read(job, load)?;
        // Notes that stand in the job move with its lines, so they are told anew each time.
        let in_drawing = read.notes.iter().all(|note| {
            let place = note.place.as_ref();
            place.is_none_or(|place| place.source == Source::Drawing)
        });
        if in_drawing {
            self.0 = Some(Known { asked, bytes, read: read.clone() });
        }
        Ok(read)
    }
}

fn read(job: &Job, load: &Load<'_>) -> Result<Read, Failure> {
    let Told { value: parts, notes } = joint::parts(job, load)?;
    let id = Sha256::new_with_prefix(format!("{:?}", parts.outlines));
    Ok(Read { parts, notes, id })
}

/// All that the outlines of one drawing follow from; nothing where the job has no drawing, or
/// it cannot be loaded.
fn of_drawing(job: &Job, load: &Load<'_>) -> Option<(String, Vec<u8>)> {
    let Some(ShapeSource::Drawing(file)) = &job.shape else { return None };
    if job.mate.is_some() {
        return None;
    }
    let bytes = load(file).ok()?;
    let roles: Vec<_> = job.roles.iter().map(|wish| (&wish.which, wish.role)).collect();
    let layers: Vec<_> = job.pick.layers.iter().map(|(layer, _)| layer).collect();
    let colours: Vec<_> = job.pick.colours.iter().map(|(colour, _)| colour).collect();
    let read = (&job.name, file, job.units, job.known_size, job.fit, job.hand);
    // The notes are in its units.
    let paper = job.on_paper();
    Some((format!("{:?}", (read, roles, layers, colours, paper)), bytes))
}

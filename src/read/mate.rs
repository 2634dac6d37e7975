//! The second half of a joint that is drawn as two outlines, and how it lies on the first.

use super::{Checked, Job, KnownSize, Pick, RoleWish, SetIn, ShapeSource};
use crate::diag::{Place, Problem};
use crate::geom::Vector;
use crate::units::Mm;

/// The second half, and what is asked of the joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Mate {
    /// Where its outline comes from: a drawing or walks.
    pub shape: ShapeSource,
    /// The size of a drawing that does not say its own.
    pub known_size: Option<KnownSize>,
    /// Which layers and colours of the drawing are meant.
    pub pick: Pick,
    /// Roles asked for on it.
    pub roles: Vec<RoleWish>,
    /// How it lies on the first half.
    pub lie: Lie,
    /// How far apart edges may be drawn that are to meet.
    pub within: Option<Mm>,
    /// The gap between two mating faces.
    pub clearance: Option<Mm>,
    /// Which half gives the gap.
    pub set_in: SetIn,
    /// Where it was asked.
    pub place: Place,
}

/// How the second half lies on the first, from its own frame to the first half's.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Lie {
    /// Its face B is up: left and right change places, before anything else.
    pub turned_over: bool,
    /// Then it is turned about its own zero, in degrees counter-clockwise.
    pub degrees: f64,
    /// Then it is moved.
    pub slide: Vector,
}

impl Mate {
    /// The second half as a job of its own, as far as its outline goes.
    pub fn job(&self, first: &Job) -> Job {
        Job {
            name: first.name.clone(),
            units: first.units,
            shape: Some(self.shape.clone()),
            known_size: self.known_size,
            pick: self.pick.clone(),
            keys: [("outline".to_owned(), self.place.clone())].into(),
            ..Job::default()
        }
    }
}

/// Whether the second half's face B is up: `A` or `B`.
///
/// # Errors
/// `face-unreadable`.
pub(super) fn face_text(text: &str, place: &Place) -> Checked<bool> {
    match text.trim() {
        "A" | "a" => Ok(false),
        "B" | "b" => Ok(true),
        _ => {
            let found = format!("`{text}` is no face");
            let hint = "write `A` or `B`: the face of the second half that is up when the joint is together";
            Err(Problem::stop("face-unreadable", found, hint).at(place.clone()).into())
        }
    }
}

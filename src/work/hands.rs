//! Left and right: a part as drawn, or a pair of it and its mirror image.

use crate::diag::{Failure, Problem};
use crate::geom::Point;
use crate::read::{Drawing, EdgeRef, Hand, Job, RoleWish, ShapeSource, Side};

/// A drawing to plan.
#[derive(Debug)]
pub(super) struct ToPlan {
    /// The drawing.
    pub(super) drawing: Drawing,
    /// The roles asked for on it.
    pub(super) roles: Vec<RoleWish>,
    /// It is the mirror image of what was drawn.
    pub(super) mirrored: bool,
}

/// The drawings to plan, each with the roles asked for on it.
///
/// # Errors
/// A pair of something that no mirror image is planned of: halves of a joint.
pub(super) fn hands(job: &Job, drawings: Vec<Drawing>) -> Result<Vec<ToPlan>, Failure> {
    let as_drawn =
        |drawing| ToPlan { drawing, roles: job.roles.clone(), mirrored: false };
    let Some(hand) = job.hand else {
        return Ok(drawings.into_iter().map(as_drawn).collect());
    };
    let (word, pair) = match hand {
        Hand::Left => ("left", false),
        Hand::Right => ("right", false),
        Hand::Pair => ("left", true),
    };
    if pair {
        refuse(job)?;
    }
    let mut all = Vec::new();
    for drawing in drawings {
        let named = |word: &str| format!("{} {word}", drawing.name);
        let (name, other) = (named(word), named("right"));
        if pair {
            let mirror = Drawing { name: other, ..drawing.clone().mirrored() };
            let roles = job.roles.iter().cloned().map(mirrored).collect();
            all.push(as_drawn(Drawing { name, ..drawing }));
            all.push(ToPlan { drawing: mirror, roles, mirrored: true });
        } else {
            all.push(as_drawn(Drawing { name, ..drawing }));
        }
    }
    Ok(all)
}

/// A wish for a side is for the other side of the mirror image, and one for a place for its image.
fn mirrored(mut wish: RoleWish) -> RoleWish {
    wish.which = match wish.which {
        EdgeRef::Side(Side::Left) => EdgeRef::Side(Side::Right),
        EdgeRef::Side(Side::Right) => EdgeRef::Side(Side::Left),
        EdgeRef::At(at) => EdgeRef::At(Point::new(-at.x, at.y)),
        other @ (EdgeRef::Side(Side::Near | Side::Far) | EdgeRef::Name(_)) => other,
    };
    wish
}

fn refuse(job: &Job) -> Result<(), Failure> {
    let by_itself =
        matches!(job.shape, Some(ShapeSource::BoardAndLine(_) | ShapeSource::Joint(_)));
    if by_itself || job.mate.is_some() {
        let found = "a pair of the halves of a joint: its sheets say how two halves lie, not four";
        let hint = "remove `hand`; the other hand of a half is its template turned over: plan it from that half's own drawing, with `hand = \"pair\"`";
        let problem = Problem::stop("hand-of-halves", found, hint);
        return Err(Failure::input(problem.at(job.place("hand"))));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::{Place, Source};
    use crate::geom::Point;
    use crate::read::Role;
    use crate::units::Paper;

    fn wish(which: EdgeRef) -> RoleWish {
        RoleWish {
            which,
            role: Role::TrueAlready,
            place: Place::whole(Source::Job, "job"),
        }
    }

    #[test]
    fn a_pair_is_the_drawing_and_its_mirror_image() {
        let text = "units = \"mm\"\nhand = \"pair\"\n[outline]\nstart = [0, 0]\nsteps = [\"right 50\", \"arc left 30 to 30, 40\", \"close as back\"]\n[edges]\ntrue = [\"left\"]\n";
        let job = crate::read::job("hook.toml", text).expect("a job").value;
        let load = |_: &str| -> crate::read::Checked<Vec<u8>> { Ok(Vec::new()) };
        let drawing = crate::read::drawing(&job, &load).expect("a drawing").value;
        let told = hands(&job, vec![drawing]).expect("a pair");
        let [ToPlan { drawing: left, .. }, ToPlan { drawing: right, roles, .. }] =
            &told[..]
        else {
            panic!("two")
        };
        assert_eq!(
            (left.name.as_str(), right.name.as_str()),
            ("hook left", "hook right")
        );
        assert_eq!(
            roles[0],
            RoleWish {
                place: roles[0].place.clone(),
                ..wish(EdgeRef::Side(Side::Right))
            }
        );
        let area = |drawing: &Drawing| {
            let told = crate::outline::outlines(drawing, &[], 0.001, Paper::MM)
                .expect("an outline");
            let outline = &told.value[0];
            (outline.area(), outline.bounds().low, outline.bounds().high)
        };
        let ((one, low, high), (other, mirror_low, mirror_high)) =
            (area(left), area(right));
        assert!((one - other).abs() < 1e-9, "the same area");
        assert_eq!(
            mirror_low,
            Point::new(-high.x, low.y),
            "left and right change places"
        );
        assert_eq!(
            mirror_high,
            Point::new(-low.x, high.y),
            "left and right change places"
        );
    }

    #[test]
    fn a_pair_that_cannot_be_is_refused() {
        let base = "units = \"mm\"\nhand = \"pair\"\n";
        let text = "[board]\nlength = 90\nwidth = 20\n[board.line]\nstart = [30, 0]\nsteps = [\"up 20\"]\n";
        let job = crate::read::job("a.toml", &format!("{base}{text}")).expect(text).value;
        let failure = hands(&job, Vec::new()).expect_err(text);
        assert_eq!(failure.problems()[0].id, "hand-of-halves", "{text}");
    }
}

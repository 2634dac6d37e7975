//! One template for two parts: halves that lie on each other after a half-turn, and the two
//! hands of a pair.

use super::Part;
use crate::diag::{Place, Problem, Source, Weight};
use crate::geom::{Loop, Point, nearest_loop, tolerance};
use crate::outline::Outline;
use crate::read::Extra;
use crate::shop::Shop;

/// Whose template a part is made from, and how it lies on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shared {
    /// Index of the part that the template is made for.
    pub with: usize,
    /// How it lies.
    pub way: SharedWay,
}

/// How a template lies on the second part it serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SharedWay {
    /// The same face up, the second piece end for end.
    EndForEnd,
    /// The same face up, as it is drawn for both.
    SameWay,
    /// Its other face up: the other hand.
    Mirrored,
}

impl SharedWay {
    /// The words for it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::EndForEnd => "end for end, same face up",
            Self::SameWay => "laid the same way, same face up",
            Self::Mirrored => "mirrored, its other face up",
        }
    }
}

/// Parts whose template serves another one too: it is made once. One with a hole of its own is
/// made for itself.
pub(super) fn share(parts: &mut [Part], shop: &Shop) -> Vec<Problem> {
    let mut notes = Vec::new();
    for index in 1..parts.len() {
        let own = |with: &usize| parts[*with].shared.is_none();
        let found = (0..index).filter(own).find_map(|with| {
            let way = way(&parts[with].guide, &parts[index].guide)?;
            Some(Shared { with, way })
        });
        let Some(shared) = found.filter(|_| !has_own_hole(&parts[index], shop)) else {
            continue;
        };
        let (one, other) = (&parts[shared.with].outline, &parts[index].outline);
        // The sheets of a joint say it of its halves.
        if !shop.joint {
            notes.push(note(one, other, shared.way));
        }
        parts[index].template.clear();
        parts[index].shared = Some(shared);
    }
    notes
}

/// Whether one of the holes that the template is to have lies in this part's.
fn has_own_hole(part: &Part, shop: &Shop) -> bool {
    let bounds = |extra: &Extra| {
        let (Extra::Pin { at, diameter } | Extra::HangHole { at, diameter }) = *extra;
        Loop::opening(at, diameter.radius()).bounds()
    };
    let is_hole = |ring: &Loop| {
        shop.template.extras.iter().any(|extra| ring.bounds() == bounds(extra))
    };
    part.template.iter().any(is_hole)
}

/// How the template of one guide serves another, if it does: all of both lie on each other,
/// with their roles.
///
/// Basis: geometry.
fn way(one: &Outline, other: &Outline) -> Option<SharedWay> {
    let (a, b) = (one.bounds().centre(), other.bounds().centre());
    if one.mirrored != other.mirrored {
        let mirror = |at: Point| Point::new(-at.x, at.y);
        return lie_on_each_other(one, other, [&mirror; 2])
            .then_some(SharedWay::Mirrored);
    }
    let turned = |at: Point| Point::new(a.x + b.x - at.x, a.y + b.y - at.y);
    if lie_on_each_other(one, other, [&turned; 2]) {
        return Some(SharedWay::EndForEnd);
    }
    let (there, back) = (|at: Point| at + (b - a), |at: Point| at - (b - a));
    lie_on_each_other(one, other, [&there, &back]).then_some(SharedWay::SameWay)
}

/// How a template is moved to where another part's is.
type Moved<'a> = &'a dyn Fn(Point) -> Point;

fn lie_on_each_other(
    one: &Outline,
    other: &Outline,
    [there, back]: [Moved<'_>; 2],
) -> bool {
    let pieces =
        |outline: &Outline| outline.loops.iter().map(|it| it.pieces().len()).sum();
    let (n, m): (usize, usize) = (pieces(one), pieces(other));
    n == m && lies_on(one, other, there) && lies_on(other, one, back)
}

/// Whether each piece of an outline, moved, lies on another's loops where the role is the same.
fn lies_on(one: &Outline, other: &Outline, moved: Moved<'_>) -> bool {
    one.loops.iter().enumerate().all(|(on, ring)| {
        (0..ring.pieces().len()).all(|index| {
            [0.1, 0.5, 0.9].iter().all(|share| {
                let along = ring.start_of(index) + share * ring.pieces()[index].length();
                meets((one, on, along), ring, (other, moved))
            })
        })
    })
}

fn meets(
    (one, on, along): (&Outline, usize, f64),
    ring: &Loop,
    (other, moved): (&Outline, Moved<'_>),
) -> bool {
    let found = nearest_loop(&other.loops, moved(ring.at(along)));
    found.is_some_and(|(far, there, at)| {
        far < tolerance::CHECK && one.role_at(on, along) == other.role_at(there, at)
    })
}

fn note(one: &Outline, other: &Outline, way: SharedWay) -> Problem {
    let found = format!(
        "one template serves `{}` and `{}`: it is made once",
        one.name, other.name
    );
    let hint = match way {
        SharedWay::SameWay => {
            "lay it on both the same way, the same face up; write both names and FACE A on the template"
        }
        SharedWay::EndForEnd => {
            "for the second lay the piece end for end, the same face of the template up; write both names and FACE A on the template"
        }
        SharedWay::Mirrored => {
            "for the second turn the template over: write the first name and FACE A on one face, the second and FACE A on the other, and on each piece its name before it is traced; the set-ups are not the same for both"
        }
    };
    let place = Place::whole(Source::Drawing, other.name.as_str());
    Problem::new("one-template-for-two", Weight::Caution, found, hint).at(place)
}

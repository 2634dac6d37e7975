//! How a page is laid out: the frame, a view for each part, and insets for crowded places.

use crate::draw::{Cells, Circle, Frame, Scene, View, part_cells, round_scale};
use crate::geom::{Bounds, Grid, Point};
use crate::plan::{Part, Plan};
use crate::shop::Face;

/// Room round each part for arrows, letters and sizes, in mm on the page (from memory).
const ROOM: f64 = 22.0;

/// The same in a picture among text, whose letters are smaller (from memory).
const NARROW_ROOM: f64 = 19.0;

/// The side of the square that an inset takes with its letters, in mm on the page (from memory):
/// large where that draws no part smaller, and smallest only where more of them find room so.
const INSET_CELLS: [f64; 3] = [90.0, 62.0, 52.0];
/// What an inset leaves for its letters at each side of its square, in mm on the page (from
/// memory).
const INSET_LETTERS: f64 = 8.0;
/// The radius that an inset has in the square of middle size (geometry).
const INSET: f64 = INSET_CELLS[1] / 2.0 - INSET_LETTERS;

/// Most insets on a page (from memory).
const MOST_INSETS: usize = 3;

/// Things nearer to each other than this on the page crowd each other, and so do places that are
/// enlarged: one is drawn for both. In mm (from memory).
const CROWDED: f64 = 7.5;

/// What may be moved so far on the page, and so far on the part, in mm, finds room by itself (from
/// memory).
const FREE: (f64, f64) = (10.0, 40.0);

/// Parts drawn this share as large are about as large (geometry: of the round scales most are 0.8
/// of the one before or more, so that it is the next).
const ABOUT: f64 = 0.79;

/// A place is worth drawing again where that shows it so many times as large, and well drawn where
/// it is so many times as large (from memory).
const WORTH: f64 = 1.4;
const WELL: f64 = 3.0;

/// Something that needs room on the page: a letter, a number, a star.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Small {
    /// Index of the part.
    pub(super) part: usize,
    /// Where on the drawing.
    pub(super) at: Point,
    /// How far it may be moved along its edge, in mm on the drawing.
    pub(super) free: f64,
}

impl Small {
    /// Whether it can be moved to where there is room.
    fn finds_room(&self, scale: f64) -> bool {
        FREE.0 <= self.free * scale && FREE.1 <= self.free
    }
}

/// A place drawn again, larger.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Inset {
    /// Index of the part.
    pub(super) part: usize,
    /// The middle of the place on the drawing.
    pub(super) centre: Point,
    /// Its radius on the drawing.
    pub(super) radius: f64,
    /// How it is drawn larger.
    pub(super) view: View,
    /// The scale in words.
    pub(super) words: String,
}

impl Inset {
    /// Whether a point of a part lies in the place.
    pub(super) fn holds(&self, part: usize, point: Point) -> bool {
        self.part == part && self.centre.distance(point) <= self.radius
    }

    /// Its circle on the page.
    pub(super) fn on_page(&self) -> Circle {
        Circle { centre: self.view.on_page, radius: self.radius * self.view.scale }
    }
}

/// A page laid out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Layout {
    pub(super) frame: Frame,
    pub(super) cells: Cells,
    pub(super) insets: Vec<Inset>,
}

impl Layout {
    /// The layout that shows the parts largest, with insets where small things crowd.
    pub(super) fn new(plan: &Plan, scene: &Scene, face: Face, small: &[Small]) -> Self {
        let with_small = |(index, part): (usize, &Part)| {
            let own = small.iter().filter(|one| one.part == index);
            own.fold(part_bounds(part), |all, one| all.with(one.at))
        };
        let sizes: Vec<Bounds> = plan.parts.iter().enumerate().map(with_small).collect();
        let turned_over = face == Face::B;
        let drafted = |crowds: &[Crowd]| best(scene, &sizes, turned_over, crowds);
        let plain = drafted(&[]);
        let known = known_crowds(small, (&plain, drafted));
        let layouts = known.iter().rev().map(|crowds| {
            let draft = drafted(crowds);
            let insets = draft.insets(crowds, turned_over);
            (crowds.len(), Self { frame: draft.frame, cells: draft.cells, insets })
        });
        let (whole, parts): (Vec<_>, Vec<_>) =
            layouts.partition(|(crowds, layout)| layout.insets.len() == *crowds);
        let mut all = whole.into_iter().chain(parts).map(|(_, layout)| layout);
        let first = all.find(|layout| !layout.insets.is_empty());
        first.unwrap_or_else(|| plain.without_insets())
    }

    /// The parts alone on a page that is nothing but a picture.
    pub(super) fn alone(plan: &Plan, scene: &Scene, face: Face) -> Self {
        let sizes: Vec<Bounds> = plan.parts.iter().map(part_bounds).collect();
        let frame = Frame::alone(scene);
        let mut area = frame.drawing;
        area.low.y += 8.0;
        area.high.y -= 11.0;
        let mut cells = part_cells(&sizes, area, NARROW_ROOM, face == Face::B);
        if let ([view], [part]) = (cells.views.as_mut_slice(), sizes.as_slice()) {
            // Drawn to no round scale, one part takes all the room.
            let room = area.grown(-NARROW_ROOM);
            view.scale = (room.width() / part.width()).min(room.height() / part.height());
            view.on_page = area.centre();
        }
        Self { frame, cells, insets: Vec::new() }
    }
}

/// A frame with the parts in it, and cells for insets.
struct Draft {
    frame: Frame,
    cells: Cells,
    free: Vec<Point>,
    /// The side of each.
    side: f64,
}

impl Draft {
    fn without_insets(self) -> Layout {
        Layout { frame: self.frame, cells: self.cells, insets: Vec::new() }
    }

    /// The radius that an inset may have.
    fn inset(&self) -> f64 {
        self.side / 2.0 - INSET_LETTERS
    }

    /// Whether its insets are not of the smallest.
    fn is_usual(&self) -> bool {
        INSET <= self.inset()
    }

    /// How many crowds it would enlarge well.
    fn n_well(&self, crowds: &[Crowd]) -> usize {
        let is_well = |crowd: &&Crowd| {
            let own = self.cells.views[crowd.part].scale;
            let large = enlarged((crowd.radius, self.inset()), own);
            large.is_some_and(|(large, _)| WELL * own <= large)
        };
        crowds.iter().filter(is_well).count().min(self.free.len())
    }

    /// The crowded places, each in the free cell that comes next in their order.
    fn insets(&self, crowds: &[Crowd], turned_over: bool) -> Vec<Inset> {
        let at = |crowd: &Crowd| self.cells.views[crowd.part].point(crowd.centre);
        let mut crowds: Vec<&Crowd> = crowds.iter().collect();
        let beside =
            self.free.windows(2).all(|two| two[0].y <= two[1].y && two[1].y <= two[0].y);
        crowds.sort_by(|a, b| {
            let (a, b) = (at(a), at(b));
            if beside { a.x.total_cmp(&b.x) } else { b.y.total_cmp(&a.y) }
        });
        let placed = crowds.iter().zip(&self.free).filter_map(|(crowd, &on_page)| {
            let own = self.cells.views[crowd.part].scale;
            let (scale, words) = enlarged((crowd.radius, self.inset()), own)?;
            let view = View { centre: crowd.centre, on_page, scale, turned_over };
            let (part, centre, radius) = (crowd.part, crowd.centre, crowd.radius);
            Some(Inset { part, centre, radius, view, words })
        });
        placed.collect()
    }
}

/// The round scale at which a place of this radius is drawn again with that radius, where that is
/// worth it.
fn enlarged((from, to): (f64, f64), scale: f64) -> Option<(f64, String)> {
    round_scale(to / from).filter(|(larger, _)| WORTH * scale <= *larger)
}

/// The draft that enlarges most crowds well, among those that show the parts about as large as
/// any, and then the one that shows them largest: either frame, insets at the right or below.
fn best(scene: &Scene, sizes: &[Bounds], turned_over: bool, crowds: &[Crowd]) -> Draft {
    let drafted = |side: f64| {
        let insets = move |right| Insets { count: crowds.len(), side, right };
        [Frame::beside(scene), Frame::below(scene)].into_iter().flat_map(move |frame| {
            [true, false].map(|right| draft(frame, sizes, turned_over, insets(right)))
        })
    };
    let mut drafts: Vec<Draft> = INSET_CELLS.into_iter().flat_map(drafted).collect();
    // Smallest squares leave most room for the parts, and are not for that.
    let usual = drafts.iter().filter(|draft| draft.is_usual());
    let largest = usual.map(|draft| scale(&draft.cells)).fold(0.0, f64::max);
    drafts.retain(|draft| ABOUT * largest <= scale(&draft.cells));
    let first = drafts.remove(0);
    drafts.into_iter().fold(first, |best, next| {
        let key = |draft: &Draft| {
            let Draft { cells, side, .. } = draft;
            (draft.n_well(crowds), draft.is_usual(), scale(cells), *side)
        };
        if key(&best) < key(&next) { next } else { best }
    })
}

/// The squares for insets: how many, how wide, and whether at the right or below.
#[derive(Debug, Clone, Copy)]
struct Insets {
    count: usize,
    side: f64,
    right: bool,
}

fn draft(frame: Frame, sizes: &[Bounds], turned_over: bool, insets: Insets) -> Draft {
    let Insets { count, side, right } = insets;
    let mut area = frame.drawing.grown(-1.0);
    // The foot of the drawing is kept for the scale bar, its head for the face.
    area.low.y += 8.0;
    area.high.y -= 10.0;
    let mut free = Vec::new();
    if 0 < count && right {
        area.high.x -= side;
        let x = area.high.x + side / 2.0;
        free = spread((count, side), area.height())
            .map(|y| Point::new(x, area.high.y - y))
            .collect();
    } else if 0 < count {
        area.low.y += side;
        let y = area.low.y - side / 2.0;
        free = spread((count, side), area.width())
            .map(|x| Point::new(area.low.x + x, y))
            .collect();
    }
    let cells = part_cells(sizes, area, ROOM, turned_over);
    Draft { frame, cells, free, side }
}

/// The middles of so many cells spread along a length, as far as they fit.
fn spread((n_cells, side): (usize, f64), length: f64) -> impl Iterator<Item = f64> {
    let mut taken = 0.0;
    let mut n_fit = 0_u32;
    while taken + side <= length + 1e-9 && (n_fit as usize) < n_cells {
        taken += side;
        n_fit += 1;
    }
    let each = length / f64::from(n_fit.max(1));
    (0..n_fit).map(move |index| (f64::from(index) + 0.5) * each)
}

/// The crowds of a plain draft, and then those of the drafts with insets for the ones before: insets
/// take room, and what is drawn smaller crowds more, or is joined.
fn known_crowds(
    small: &[Small],
    (plain, drafted): (&Draft, impl Fn(&[Crowd]) -> Draft),
) -> Vec<Vec<Crowd>> {
    let mut known = vec![crowds(small, scale(&plain.cells))];
    while let Some(last) = known.last().filter(|last| !last.is_empty()) {
        let again = crowds(small, scale(&drafted(last).cells));
        let fewer = again.len() < last.len();
        if again.is_empty() || again.len() == last.len() {
            break;
        }
        known.push(again);
        if fewer {
            break;
        }
    }
    known.retain(|crowds| !crowds.is_empty());
    known
}

/// Things that crowd each other.
struct Crowd {
    part: usize,
    centre: Point,
    radius: f64,
    group: Vec<Small>,
}

/// Groups of three things or more that crowd each other at this scale, the largest first.
fn crowds(small: &[Small], scale: f64) -> Vec<Crowd> {
    let near = CROWDED / scale;
    let small: Vec<Small> =
        small.iter().filter(|one| !one.finds_room(scale)).copied().collect();
    let around = |at: Point| Bounds { low: at, high: at };
    let mut left = Grid::new(near);
    for (index, one) in small.iter().enumerate() {
        left.add(&around(one.at), index);
    }
    let mut crowds = Vec::new();
    for (index, &first) in small.iter().enumerate().rev() {
        if left.take(&around(first.at), |other| other == index).is_empty() {
            continue;
        }
        let mut group = vec![first];
        let mut next = 0;
        while next < group.len() {
            let from = group[next];
            let close = left.take(&around(from.at).grown(near), |other| {
                let other = small[other];
                other.part == from.part && other.at.distance(from.at) < near
            });
            group.extend(close.into_iter().map(|other| small[other]));
            next += 1;
        }
        if 3 <= group.len() {
            add(&mut crowds, crowd(group, scale), scale);
        }
    }
    crowds.sort_by(|a, b| {
        b.group.len().cmp(&a.group.len()).then(a.centre.x.total_cmp(&b.centre.x))
    });
    crowds.truncate(MOST_INSETS);
    crowds
}

/// Adds a crowd, as one with those beside it where that can be drawn larger.
fn add(crowds: &mut Vec<Crowd>, mut new: Crowd, scale: f64) {
    let both = |one: &Crowd, other: &Crowd| {
        let apart = one.centre.distance(other.centre) - one.radius - other.radius;
        let near = one.part == other.part && apart * scale < CROWDED;
        let group = || [one.group.as_slice(), other.group.as_slice()].concat();
        let joined = near.then(|| crowd(group(), scale));
        joined.filter(|joined| enlarged((joined.radius, INSET), scale).is_some())
    };
    while let Some((index, joined)) =
        crowds.iter().enumerate().find_map(|(index, one)| Some((index, both(one, &new)?)))
    {
        crowds.remove(index);
        new = joined;
    }
    crowds.push(new);
}

fn crowd(group: Vec<Small>, scale: f64) -> Crowd {
    let whole = group.iter().fold(Bounds::EMPTY, |all, small| all.with(small.at));
    let centre = whole.centre();
    let widest = group.iter().map(|small| small.at.distance(centre)).fold(0.0, f64::max);
    Crowd { part: group[0].part, centre, radius: widest + 1.8 / scale, group }
}

/// The scale of the parts on a page.
pub(super) fn scale(cells: &Cells) -> f64 {
    cells.views.first().map_or(1.0, |view| view.scale)
}

/// The box of a part with its template.
pub(super) fn part_bounds(part: &Part) -> Bounds {
    let loops = part.outline.loops.iter().chain(&part.guide.loops);
    loops.fold(Bounds::EMPTY, |all, ring| all.joined(&ring.bounds()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_things_close_together_are_a_crowd() {
        let small = |x: f64, y: f64| Small { part: 0, at: Point::new(x, y), free: 0.0 };
        let all = [small(0.0, 0.0), small(6.0, 0.0), small(12.0, 0.0), small(90.0, 0.0)];
        let found = crowds(&all, 1.0);
        assert_eq!(found.len(), 1, "the fourth stands alone");
        assert_eq!(found[0].centre, Point::new(6.0, 0.0));
        assert!(crowds(&all, 3.0).is_empty(), "three times as large there is room");
        let moved = all.map(|one| Small { free: 41.0, ..one });
        assert!(crowds(&moved, 1.0).is_empty(), "they find room along their edges");
    }

    #[test]
    fn crowds_beside_each_other_are_one_where_it_is_still_drawn_larger() {
        let three = |x: f64| {
            [0.0, 2.0, 4.0].map(|y| Small { part: 0, at: Point::new(x, y), free: 0.0 })
        };
        let at = |far: f64, scale: f64| {
            let all = [three(0.0), three(far)].concat();
            crowds(&all, scale).len()
        };
        assert_eq!(at(12.0, 1.0), 1, "a crowd between them would be as near");
        assert_eq!(at(30.0, 1.0), 2, "there is room between them");
        let all = [three(0.0), three(12.0), three(24.0), three(36.0)].concat();
        let found = crowds(&all, 1.0);
        let is_larger = |one: &Crowd| enlarged((one.radius, INSET), 1.0).is_some();
        assert!(1 < found.len() && found.iter().all(is_larger), "not all of them as one");
    }

    #[test]
    fn insets_are_spread_as_far_as_they_fit() {
        let middles: Vec<f64> = spread((3, 50.0), 100.0).collect();
        assert_eq!(middles.len(), 2, "two fit");
        assert!((middles[0] - 25.0).abs() < 1e-9, "in the middle of the first");
    }
}

//! How a page is laid out: the frame, a view for each part, and insets for crowded places.

use crate::draw::{Cells, Circle, Frame, Scene, View, part_cells, round_scale};
use crate::geom::{Bounds, Grid, Point};
use crate::plan::{Part, Plan};
use crate::shop::Face;

/// Room round each part for arrows, letters and sizes, in mm on the page.
const ROOM: f64 = 22.0;

/// The same in a picture among text, whose letters are smaller.
const NARROW_ROOM: f64 = 19.0;

/// The largest radius of an inset on the page, and the side of the square it takes with its
/// letters.
const INSET: f64 = 23.0;
const INSET_CELL: f64 = 62.0;

/// Most insets on a page.
const MOST_INSETS: usize = 3;

/// Things nearer to each other than this on the page crowd each other.
const CROWDED: f64 = 7.5;

/// Something that needs room on the page: a letter, a number, a star.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Small {
    /// Index of the part.
    pub(super) part: usize,
    /// Where on the drawing.
    pub(super) at: Point,
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
        let plain = best(scene, &sizes, turned_over, 0);
        let crowds = crowds(small, scale(&plain.cells));
        if crowds.is_empty() {
            return plain.without_insets();
        }
        let with = best(scene, &sizes, turned_over, crowds.len());
        let insets = with.insets(&crowds, turned_over);
        if insets.is_empty() {
            return plain.without_insets();
        }
        Self { frame: with.frame, cells: with.cells, insets }
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
}

impl Draft {
    fn without_insets(self) -> Layout {
        Layout { frame: self.frame, cells: self.cells, insets: Vec::new() }
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
            let (scale, words) = round_scale(INSET / crowd.radius)?;
            let worth = 1.4 * self.cells.views[crowd.part].scale <= scale;
            let view = View { centre: crowd.centre, on_page, scale, turned_over };
            let (part, centre, radius) = (crowd.part, crowd.centre, crowd.radius);
            worth.then_some(Inset { part, centre, radius, view, words })
        });
        placed.collect()
    }
}

/// The draft that shows the parts largest: either frame, insets at the right or below.
fn best(scene: &Scene, sizes: &[Bounds], turned_over: bool, n_insets: usize) -> Draft {
    let frames = [Frame::beside(scene), Frame::below(scene)];
    let mut drafts = frames.into_iter().flat_map(|frame| {
        [true, false].map(|right| draft(frame, sizes, turned_over, (n_insets, right)))
    });
    let first = drafts.next().expect("there are four");
    drafts.fold(first, |best, next| {
        let lost = next.free.len() < best.free.len();
        if !lost && scale(&best.cells) < scale(&next.cells) { next } else { best }
    })
}

fn draft(
    frame: Frame,
    sizes: &[Bounds],
    turned_over: bool,
    (n_insets, right): (usize, bool),
) -> Draft {
    let mut area = frame.drawing.grown(-1.0);
    // The foot of the drawing is kept for the scale bar, its head for the face.
    area.low.y += 8.0;
    area.high.y -= 10.0;
    let mut free = Vec::new();
    if 0 < n_insets && right {
        area.high.x -= INSET_CELL;
        let x = area.high.x + INSET_CELL / 2.0;
        free = spread(n_insets, area.height())
            .map(|y| Point::new(x, area.high.y - y))
            .collect();
    } else if 0 < n_insets {
        area.low.y += INSET_CELL;
        let y = area.low.y - INSET_CELL / 2.0;
        free = spread(n_insets, area.width())
            .map(|x| Point::new(area.low.x + x, y))
            .collect();
    }
    let cells = part_cells(sizes, area, ROOM, turned_over);
    Draft { frame, cells, free }
}

/// The middles of so many cells spread along a length, as far as they fit.
fn spread(n_cells: usize, length: f64) -> impl Iterator<Item = f64> {
    let mut taken = 0.0;
    let mut n_fit = 0_u32;
    while taken + INSET_CELL <= length + 1e-9 && (n_fit as usize) < n_cells {
        taken += INSET_CELL;
        n_fit += 1;
    }
    let each = length / f64::from(n_fit.max(1));
    (0..n_fit).map(move |index| (f64::from(index) + 0.5) * each)
}

/// Things that crowd each other.
struct Crowd {
    part: usize,
    centre: Point,
    radius: f64,
    count: usize,
}

/// Groups of three things or more that crowd each other at this scale, the largest first.
fn crowds(small: &[Small], scale: f64) -> Vec<Crowd> {
    let near = CROWDED / scale;
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
            crowds.push(crowd(&group, scale));
        }
    }
    crowds.sort_by(|a, b| b.count.cmp(&a.count).then(a.centre.x.total_cmp(&b.centre.x)));
    crowds.truncate(MOST_INSETS);
    crowds
}

fn crowd(group: &[Small], scale: f64) -> Crowd {
    let whole = group.iter().fold(Bounds::EMPTY, |all, small| all.with(small.at));
    let centre = whole.centre();
    let widest = group.iter().map(|small| small.at.distance(centre)).fold(0.0, f64::max);
    Crowd {
        part: group[0].part,
        centre,
        radius: widest + 1.8 / scale,
        count: group.len(),
    }
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
        let small = |x: f64, y: f64| Small { part: 0, at: Point::new(x, y) };
        let all = [small(0.0, 0.0), small(6.0, 0.0), small(12.0, 0.0), small(90.0, 0.0)];
        let found = crowds(&all, 1.0);
        assert_eq!(found.len(), 1, "the fourth stands alone");
        assert_eq!(found[0].centre, Point::new(6.0, 0.0));
        assert!(crowds(&all, 3.0).is_empty(), "three times as large there is room");
    }

    #[test]
    fn insets_are_spread_as_far_as_they_fit() {
        let middles: Vec<f64> = spread(3, 2.0 * INSET_CELL).collect();
        assert_eq!(middles.len(), 2, "two fit");
        assert!(
            (middles[0] - INSET_CELL / 2.0).abs() < 1e-9,
            "in the middle of the first"
        );
    }
}

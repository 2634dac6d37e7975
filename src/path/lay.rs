//! How the parts lie on the blank, and where the program's zero is.
//!
//! ```text
//!  +---------------------+
//!  |  .-----.   .-----.  |    as they stand in the drawing where they keep clear of each other by
//!  |  |  1  |   |  2  |  |    two mills and a rim, else one beside the other
//!  |  '-----'   '-----'  |
//!  0---------------------+    the program's zero: this corner, or the middle
//! ```
//!
//! Geometry.

use crate::diag::{Failure, Problem};
use crate::geom::crossing::crossings;
use crate::geom::{Bounds, Loop, Piece, Point, Vector};
use crate::plan::Part;
use crate::prove::{Hold, Pledge};
use crate::read::{Extra, WorkZero};
use crate::shop::Machine;
use crate::units::Paper;

/// The blank's margin round the templates, in mm (from memory).
const MARGIN: f64 = crate::shop::defaults::BLANK_MARGIN.value;
/// What must stand outside the kerf for the tabs to hold to, in mm (from memory).
const RIM: f64 = crate::shop::defaults::BLANK_RIM.value;

/// How the parts lie on the blank.
#[derive(Debug, Clone, PartialEq)]
pub struct Lay {
    /// How far each part is moved from where it stands in the drawing; not at all where it has
    /// no template of its own.
    pub shifts: Vec<Vector>,
    /// The blank, in the frame of the parts as laid.
    pub blank: Bounds,
    /// The program's zero in that frame.
    pub work_zero: Point,
}

/// Lays the templates on the blank: as they stand in the drawing where they keep clear of each
/// other, else one beside the other.
///
/// # Errors
/// Refused where there is nothing to lay, or the blank given is too small.
pub fn lay(parts: &[Part], machine: &Machine, paper: Paper) -> Result<Lay, Failure> {
    let mill = machine.end_mill.mm();
    let own = |part: &&Part| part.shared.is_none();
    let boxes = || parts.iter().filter(own).map(bounds_of);
    if boxes().next().is_none() || boxes().any(|area| area.is_empty()) {
        let problem = Problem::stop(
            "template-empty",
            "there is nothing to cut",
            "leave out the end mill, or give an outline with an edge that is routed",
        );
        return Err(Failure::refused(problem));
    }
    let mut shifts: Vec<Vector> = Vec::new();
    let mut laid: Vec<Bounds> = Vec::new();
    for part in parts {
        if !own(&part) {
            shifts.push(Vector::default());
            continue;
        }
        let area = bounds_of(part);
        let shift = clear_of(&laid, area, 2.0 * mill + RIM);
        laid.push(moved(&area, shift));
        shifts.push(shift);
    }
    let all: Bounds = laid.iter().copied().collect();
    let blank = blank(&all, machine, paper)?;
    let work_zero = match machine.zero {
        WorkZero::Corner => blank.low,
        WorkZero::Centre => blank.centre(),
    };
    Ok(Lay { shifts, blank, work_zero })
}

fn bounds_of(part: &Part) -> Bounds {
    part.template.iter().map(Loop::bounds).collect()
}

fn moved(area: &Bounds, by: Vector) -> Bounds {
    Bounds { low: area.low + by, high: area.high + by }
}

/// The shift that brings a box clear of those already laid: none, or past them on the side
/// that keeps the whole the more compact.
fn clear_of(laid: &[Bounds], area: Bounds, gap: f64) -> Vector {
    if laid.iter().all(|other| !other.grown(gap).meets(&area)) {
        return Vector::default();
    }
    let all: Bounds = laid.iter().copied().collect();
    if all.height() + area.height() <= all.width() + area.width() {
        Vector::new(0.0, all.high.y + gap * 1.001 - area.low.y)
    } else {
        Vector::new(all.high.x + gap * 1.001 - area.low.x, 0.0)
    }
}

/// The blank as given, with the templates in its middle, or their bounds and a margin.
fn blank(all: &Bounds, machine: &Machine, paper: Paper) -> Result<Bounds, Failure> {
    let rim = machine.end_mill.mm() + RIM;
    let Some((along, across)) = machine.blank else {
        return Ok(all.grown(MARGIN.max(rim)));
    };
    let need = all.grown(rim);
    let (along, across) = (along.mm(), across.mm());
    if along < need.width() || across < need.height() {
        let problem = Problem::stop(
            "blank-too-small",
            format!("the blank is {} by {}", paper.fine(along), paper.fine(across)),
            "give a blank of at least this size, or leave out the blank to have it worked out",
        )
        .expected(format!(
            "at least {} by {}: what is cut, the end mill's kerf and {} round it",
            paper.fine(need.width()),
            paper.fine(need.height()),
            paper.fine(RIM)
        ));
        return Err(Failure::refused(problem));
    }
    let half = Vector::new(along / 2.0, across / 2.0);
    Ok(Bounds { low: all.centre() - half, high: all.centre() + half })
}

/// The loop, moved by `by`.
pub(crate) fn moved_loop(ring: &Loop, by: Vector) -> Loop {
    Loop::new(ring.pieces().iter().map(|piece| piece.moved(by)).collect())
}

/// The holes the template is to have beyond the part's own shape, as openings.
pub(crate) fn extra_hole(extra: &Extra) -> Loop {
    let (Extra::Pin { at, diameter } | Extra::HangHole { at, diameter }) = *extra;
    Loop::opening(at, diameter.radius())
}

/// What is pledged for a part's outline as read, where it lies; nothing where another part's
/// template serves it.
pub(crate) fn pledges(part: &Part, shift: Vector, machine: &Machine) -> Vec<Pledge> {
    let own = part.shared.is_none();
    let from = part.set_from.as_ref().unwrap_or(&part.guide.drawn);
    let laid = from.iter().filter(|_| own).map(|drawn| moved_loop(drawn, shift));
    laid.map(|drawn| Pledge::new(drawn, part.template_offset, machine)).collect()
}

/// What is pledged for the recesses on a part's template, where it lies.
pub(crate) fn recesses(part: &Part, shift: Vector, machine: &Machine) -> Vec<Pledge> {
    let own = machine.recesses.iter().filter(|recess| holds(part, &recess.ring));
    let laid = own.map(|recess| (moved_loop(&recess.ring, shift), recess.depth.mm()));
    laid.map(|(ring, depth)| Pledge::recess(ring, depth, machine)).collect()
}

/// Whether a ring lies on a part's template.
fn holds(part: &Part, ring: &Loop) -> bool {
    let middle = ring.bounds().centre();
    0 < part.template.iter().map(|edge| edge.winding(middle)).sum::<i32>()
}

/// Refuses recesses that lie on no template, cross an edge, or go through.
///
/// # Errors
/// Names the recess and what to change.
pub fn check_recesses(
    parts: &[Part],
    machine: &Machine,
    (thick, paper): (f64, Paper),
) -> Result<(), Failure> {
    let wall = crate::shop::defaults::RECESS_WALL.value;
    let mut problems = Vec::new();
    for recess in &machine.recesses {
        let edges = parts.iter().filter(|part| holds(part, &recess.ring));
        let rings = edges.clone().flat_map(|part| &part.template);
        let starts = recess.ring.pieces().iter().map(Piece::from);
        let near = |piece: &Piece| {
            let meets = recess
                .ring
                .pieces()
                .iter()
                .any(|own| !crossings(own, piece, 1e-9).is_empty());
            meets || starts.clone().any(|at| piece.distance(at) < wall)
        };
        let crossed = rings.flat_map(Loop::pieces).any(near);
        let found = if edges.count() == 0 {
            "lies on no template"
        } else if crossed {
            "comes too near to an edge of the template"
        } else if thick - wall < recess.depth.mm() {
            "goes through the template"
        } else if !Pledge::recess(recess.ring.clone(), 0.0, machine).is_entered(machine) {
            problems.push(narrow_recess(&recess.name));
            continue;
        } else {
            continue;
        };
        let hint = format!(
            "move it or make it smaller: {} must stand beside it and under it",
            paper.fine(wall)
        );
        let found = format!("`{}` {found}", recess.name);
        problems.push(Problem::stop("recess-misplaced", found, hint));
    }
    if problems.is_empty() { Ok(()) } else { Err(Failure::Input(problems)) }
}

/// Why a recess cannot be cleared.
fn narrow_recess(name: &str) -> Problem {
    let found = format!("`{name}` is narrower than the mill everywhere");
    let hint = "leave it out and chisel it, or give a narrower mill as `small-mill`";
    Problem::stop("recess-too-narrow", found, hint)
}

/// The holes of the templates that the end mill neither bores nor goes round in: each its centre, as laid, and
/// its width.
pub fn by_hand(parts: &[Part], lay: &Lay, machine: &Machine) -> Vec<(Point, f64)> {
    let laid = parts.iter().zip(&lay.shifts);
    let rings = laid.flat_map(|(part, &shift)| {
        part.template.iter().map(move |ring| moved_loop(ring, shift))
    });
    let holes = rings.filter_map(|ring| {
        let wide = ring.bounds().width();
        match Pledge::new(ring, 0.0, machine).hold {
            Hold::ByHand(centre) => Some((centre, wide)),
            _ => None,
        }
    });
    holes.collect()
}

/// The centres of those holes that a tool of this width can mark clear of every other edge.
pub fn centres(
    parts: &[Part],
    lay: &Lay,
    (machine, wide): (&Machine, f64),
) -> Vec<Point> {
    let keep = wide / 2.0 + crate::shop::defaults::SCRIBE_INSIDE.value;
    let laid = || {
        parts.iter().zip(&lay.shifts).flat_map(|(part, &shift)| {
            part.template.iter().map(move |ring| moved_loop(ring, shift))
        })
    };
    let has_room = |&centre: &Point| {
        laid().all(|ring| {
            let own =
                matches!(Pledge::new(ring.clone(), 0.0, machine).hold, Hold::ByHand(_));
            own || keep <= ring.at(ring.nearest(centre)).distance(centre)
        })
    };
    let holes = by_hand(parts, lay, machine).into_iter();
    holes.map(|(centre, _)| centre).filter(has_room).collect()
}

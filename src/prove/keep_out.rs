//! Nothing of the machine meets what must be kept clear of: bit, collet nut and spindle are
//! three cylinders, one above the other.
//!
//! ```text
//!     |   spindle   |
//!     '--. nut .----'          a keep-out is met by the cylinders that come lower than it is high,
//!        '. m .'    _____      by each of them with its own width
//!          |m|     |clamp|
//!    ______|m|_____|_____|__
//! ```
//!
//! Geometry.

use super::cut::Cut;
use super::cuts::Cuts;
use super::distance::Shape;
use super::promise::Promise;
use super::verdict::{Fault, Rule};
use super::wood::Rails;
use crate::geom::{Bounds, Point};
use crate::shop::{Axes, KeepOut};
use crate::units::Paper;

/// What a keep-out is kept clear of by, in mm (from memory: a clamp is never quite where it
/// was measured).
const MARGIN: f64 = crate::shop::defaults::KEEP_OUT_MARGIN.value;

/// One of the cylinders: what it is, its radius where that is not the tool's, and how far
/// above the tip it starts.
type Cylinder = (&'static str, Option<f64>, f64);

/// The first place where each keep-out would be struck.
pub(super) fn faults(cuts: &Cuts<'_>, promise: &Promise) -> Vec<Fault> {
    let machine = &promise.machine;
    let holder = &machine.holder;
    let cylinders: [Cylinder; 3] = [
        ("the end mill", None, 0.0),
        ("the collet nut", Some(holder.nut_wide.mm() / 2.0), holder.stick_out.mm()),
        (
            "the spindle",
            Some(holder.spindle_wide.mm() / 2.0),
            holder.stick_out.mm() + holder.nut_high.mm(),
        ),
    ];
    let by = promise.work_zero - Point::default();
    let slant = machine.axes.as_ref().map_or(0.0, |axes| axes.slant().abs());
    let struck = machine.keep_outs.iter().filter_map(|keep_out| {
        let stands = stands(&keep_out.area, machine.axes.as_ref());
        let area = Bounds { low: stands.low + by, high: stands.high + by };
        cylinders.iter().find_map(|cylinder| {
            let hit = cuts.iter().find_map(|cut| {
                let level = keep_out.high.mm() - cylinder.2;
                let far = nearest(&cut, (&area, slant), level)?;
                let radius = cylinder.1.unwrap_or(cut.radius);
                (far < radius + MARGIN).then_some((cut, far))
            })?;
            Some(fault(hit, (keep_out, cylinder), promise.paper))
        })
    });
    struck.collect()
}

fn fault(
    (cut, far): (Cut, f64),
    (keep_out, cylinder): (&KeepOut, &Cylinder),
    paper: Paper,
) -> Fault {
    let (what, radius, _) = *cylinder;
    let radius = radius.unwrap_or(cut.radius);
    let text = format!(
        "{what} comes within {} of {}, {} must be kept: move it {} away from the cut, or let the mill stand out farther",
        paper.fine(far - radius),
        keep_out.name,
        paper.fine(MARGIN),
        paper.fine(radius + MARGIN - far)
    );
    cut.fault(Rule::KeepOut, text)
}

/// The area of a keep-out, whether its place was measured with a rule or read on a display of
/// axes that are off.
fn stands(area: &Bounds, axes: Option<&Axes>) -> Bounds {
    let Some(axes) = axes else { return *area };
    let rails = Rails::of(axes);
    let places = corners(area).map(|told| rails.place(told));
    places.into_iter().fold(*area, Bounds::with)
}

fn corners(area: &Bounds) -> [Point; 4] {
    let Bounds { low, high } = *area;
    [low, Point::new(high.x, low.y), high, Point::new(low.x, high.y)]
}

/// How near a move comes to an area while its tip is lower than `level`, on a machine whose Y
/// leans by `slant`.
fn nearest(cut: &Cut, (area, slant): (&Bounds, f64), level: f64) -> Option<f64> {
    let shape = cut.below(level)?;
    if cut.rapid {
        // Each axis may go at a rate of its own: anywhere in the box between the two ends.
        let leans = slant * (shape.to.y - shape.from.y).abs();
        let gone = Bounds::EMPTY.with(shape.from).with(shape.to).grown(leans);
        return Some(between(&gone, area));
    }
    if holds(area, shape.from) {
        return Some(0.0);
    }
    let corners = corners(area);
    let sides =
        (0..4).map(|n| Shape { from: corners[n], to: corners[(n + 1) % 4], bow: None });
    sides.map(|side| side.shape_gap(&shape)).min_by(f64::total_cmp)
}

fn holds(area: &Bounds, point: Point) -> bool {
    area.low.x <= point.x
        && point.x <= area.high.x
        && area.low.y <= point.y
        && point.y <= area.high.y
}

/// How far two boxes lie apart.
fn between(a: &Bounds, b: &Bounds) -> f64 {
    let x = (b.low.x - a.high.x).max(a.low.x - b.high.x).max(0.0);
    let y = (b.low.y - a.high.y).max(a.low.y - b.high.y).max(0.0);
    (x * x + y * y).sqrt()
}

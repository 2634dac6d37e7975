//! Rectangles, circles, ellipses, lines, polylines and polygons as marks.

use std::f64::consts::{FRAC_PI_2, TAU};

use super::attribute::Attributes;
use super::map::{Bow, Mark};
use crate::geom::{Point, Vector};
use crate::read::Checked;

/// Marks that follow each other.
#[derive(Debug, Clone)]
pub(super) struct Run {
    /// The marks in order; never empty.
    pub(super) marks: Vec<Mark>,
    /// Whether the shape closes.
    pub(super) closed: bool,
}

impl Run {
    fn closed(marks: Vec<Mark>) -> Option<Self> {
        (!marks.is_empty()).then_some(Self { marks, closed: true })
    }
}

/// A rectangle, its corners rounded or not; `None` where it has no width or height.
pub(super) fn rect(from: Attributes<'_, '_, '_>) -> Checked<Option<Run>> {
    let corner = from.point("x", "y")?;
    let (width, height) = (from.size("width")?, from.size("height")?);
    if width <= 0.0 || height <= 0.0 {
        return Ok(None);
    }
    let (rx, ry) = radii(from)?;
    let (rx, ry) = (rx.min(width / 2.0), ry.min(height / 2.0));
    if rx <= 0.0 || ry <= 0.0 {
        let at = |x: f64, y: f64| corner + Vector::new(x, y);
        let points = [at(0.0, 0.0), at(width, 0.0), at(width, height), at(0.0, height)];
        return Ok(Run::closed(ring(&points)));
    }
    Ok(Run::closed(rounded(corner, (width, height), (rx, ry))))
}

/// The corner radii: one that is not given is as large as the other.
fn radii(from: Attributes<'_, '_, '_>) -> Checked<(f64, f64)> {
    let given = (from.length("rx")?, from.length("ry")?);
    let (rx, ry) = (from.size("rx")?, from.size("ry")?);
    Ok(match given {
        (None, _) => (ry, ry),
        (_, None) => (rx, rx),
        _ => (rx, ry),
    })
}

/// Clockwise on the page from the end of the upper left corner.
fn rounded(
    corner: Point,
    (width, height): (f64, f64),
    (rx, ry): (f64, f64),
) -> Vec<Mark> {
    let at = |x: f64, y: f64| corner + Vector::new(x, y);
    let axes = (Vector::new(rx, 0.0), Vector::new(0.0, ry));
    let sides = [
        (at(rx, 0.0), at(width - rx, 0.0), at(width - rx, ry)),
        (at(width, ry), at(width, height - ry), at(width - rx, height - ry)),
        (at(width - rx, height), at(rx, height), at(rx, height - ry)),
        (at(0.0, height - ry), at(0.0, ry), at(rx, ry)),
    ];
    let mut marks = Vec::with_capacity(8);
    let mut start = -FRAC_PI_2;
    for (index, &(from, to, centre)) in sides.iter().enumerate() {
        if from != to {
            marks.push(Mark::Line(from, to));
        }
        let next = sides[(index + 1) % sides.len()].0;
        let (x, y) = axes;
        let sweep = FRAC_PI_2;
        marks.push(Mark::Bow(Bow { from: to, to: next, centre, x, y, start, sweep }));
        start += FRAC_PI_2;
    }
    marks
}

/// A circle; `None` where it has no radius.
pub(super) fn circle(from: Attributes<'_, '_, '_>) -> Checked<Option<Run>> {
    let radius = from.size("r")?;
    whole(from, (radius, radius))
}

/// An ellipse; `None` where it has no radius.
pub(super) fn ellipse(from: Attributes<'_, '_, '_>) -> Checked<Option<Run>> {
    whole(from, radii(from)?)
}

fn whole(from: Attributes<'_, '_, '_>, (rx, ry): (f64, f64)) -> Checked<Option<Run>> {
    let centre = from.point("cx", "cy")?;
    if rx <= 0.0 || ry <= 0.0 {
        return Ok(None);
    }
    let (x, y) = (Vector::new(rx, 0.0), Vector::new(0.0, ry));
    let right = centre + x;
    let (start, sweep) = (0.0, TAU);
    let bow = Bow { from: right, to: right, centre, x, y, start, sweep };
    Ok(Run::closed(vec![Mark::Bow(bow)]))
}

/// A line.
pub(super) fn line(from: Attributes<'_, '_, '_>) -> Checked<Option<Run>> {
    let ends = (from.point("x1", "y1")?, from.point("x2", "y2")?);
    Ok(Some(Run { marks: vec![Mark::Line(ends.0, ends.1)], closed: false }))
}

/// An open run of lines; `None` where there are no two points.
pub(super) fn polyline(from: Attributes<'_, '_, '_>) -> Checked<Option<Run>> {
    let points = from.points()?;
    let marks: Vec<Mark> =
        points.windows(2).map(|ends| Mark::Line(ends[0], ends[1])).collect();
    Ok((!marks.is_empty()).then_some(Run { marks, closed: false }))
}

/// A closed run of lines; `None` where there are no two points.
pub(super) fn polygon(from: Attributes<'_, '_, '_>) -> Checked<Option<Run>> {
    let points = from.points()?;
    Ok(if points.len() < 2 { None } else { Run::closed(ring(&points)) })
}

/// The lines through some points and back to the first.
fn ring(points: &[Point]) -> Vec<Mark> {
    let next = points.iter().cycle().skip(1);
    let ends = points.iter().zip(next);
    let last = points.len() - 1;
    let written_twice = points[last] == points[0];
    ends.take(if written_twice { last } else { points.len() })
        .map(|(&from, &to)| Mark::Line(from, to))
        .collect()
}

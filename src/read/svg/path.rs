//! Path data as marks: every command, absolute and relative; arcs stay arcs.
//!
//! Arcs from their ends: Scalable Vector Graphics (SVG) 2, W3C, appendix B.2, "Elliptical arc
//! implementation notes".

use std::f64::consts::{PI, TAU};
use svgtypes::{PathParser, PathSegment};

use super::attribute::{Attributes, position};
use super::document::STROKE_LIMIT;
use super::map::{Bow, Mark, turn};
use super::shape::Run;
use crate::geom::{Point, Vector};
use crate::read::Checked;

/// The subpaths of a path, and by how much the worst of its arcs had to be enlarged, in user
/// units, because its ends lie farther apart than its radii reach.
pub(super) fn path(from: Attributes<'_, '_, '_>) -> Checked<(Vec<Run>, f64)> {
    let data = from.node.attribute("d").unwrap_or("");
    let mut pen = Pen::default();
    for (index, segment) in PathParser::from(data).enumerate() {
        if STROKE_LIMIT <= index {
            return Err(from.text.too_many_strokes(from.node));
        }
        let segment = segment.map_err(|error| from.unreadable("d", position(&error)))?;
        pen.segment(segment);
    }
    if !pen.at.is_finite() {
        return Err(from.unreadable("d", None));
    }
    pen.end(false);
    Ok((pen.runs, pen.enlarged))
}

/// Where the pen is, and what it has drawn.
#[derive(Debug, Default)]
struct Pen {
    at: Point,
    /// Where the subpath began.
    start: Point,
    /// The last control point of a curve of this order, which a smooth curve mirrors.
    control: Option<(Order, Point)>,
    marks: Vec<Mark>,
    runs: Vec<Run>,
    enlarged: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Order {
    Quadratic,
    Cubic,
}

impl Pen {
    fn segment(&mut self, segment: PathSegment) {
        match segment {
            PathSegment::MoveTo { abs, x, y } => {
                let to = self.to(abs, x, y);
                self.end(false);
                (self.at, self.start) = (to, to);
            }
            PathSegment::LineTo { abs, x, y } => self.line(self.to(abs, x, y)),
            PathSegment::HorizontalLineTo { abs, x } => {
                self.line(Point::new(if abs { x } else { self.at.x + x }, self.at.y));
            }
            PathSegment::VerticalLineTo { abs, y } => {
                self.line(Point::new(self.at.x, if abs { y } else { self.at.y + y }));
            }
            PathSegment::ClosePath { .. } => {
                if self.at != self.start {
                    self.line(self.start);
                }
                self.end(true);
            }
            PathSegment::EllipticalArc { abs, x, y, .. } => {
                let to = self.to(abs, x, y);
                self.arc(&segment, to);
            }
            curve => self.curve(curve),
        }
    }

    fn curve(&mut self, segment: PathSegment) {
        match segment {
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                let first = self.to(abs, x1, y1);
                self.cubic(first, self.to(abs, x2, y2), self.to(abs, x, y));
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let first = self.mirrored(Order::Cubic);
                self.cubic(first, self.to(abs, x2, y2), self.to(abs, x, y));
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                self.quadratic(self.to(abs, x1, y1), self.to(abs, x, y));
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                self.quadratic(self.mirrored(Order::Quadratic), self.to(abs, x, y));
            }
            PathSegment::MoveTo { .. }
            | PathSegment::LineTo { .. }
            | PathSegment::HorizontalLineTo { .. }
            | PathSegment::VerticalLineTo { .. }
            | PathSegment::EllipticalArc { .. }
            | PathSegment::ClosePath { .. } => {}
        }
    }

    /// A written point, from the origin or from the pen.
    fn to(&self, abs: bool, x: f64, y: f64) -> Point {
        if abs { Point::new(x, y) } else { self.at + Vector::new(x, y) }
    }

    fn mirrored(&self, order: Order) -> Point {
        match self.control {
            Some((of, control)) if of == order => self.at + (self.at - control),
            _ => self.at,
        }
    }

    fn line(&mut self, to: Point) {
        self.draw(Mark::Line(self.at, to), to);
    }

    fn cubic(&mut self, first: Point, second: Point, to: Point) {
        self.draw(Mark::Cubic([self.at, first, second, to]), to);
        self.control = Some((Order::Cubic, second));
    }

    /// A quadratic curve raised to a cubic: the same curve.
    fn quadratic(&mut self, control: Point, to: Point) {
        let raised = |end: Point| end + (control - end) * (2.0 / 3.0);
        let (first, second) = (raised(self.at), raised(to));
        self.draw(Mark::Cubic([self.at, first, second, to]), to);
        self.control = Some((Order::Quadratic, control));
    }

    fn arc(&mut self, segment: &PathSegment, to: Point) {
        let PathSegment::EllipticalArc {
            rx, ry, x_axis_rotation, large_arc, sweep, ..
        } = *segment
        else {
            return;
        };
        let from = self.at;
        let (rx, ry) = (rx.abs(), ry.abs());
        if from == to {
            return;
        }
        if rx <= 0.0 || ry <= 0.0 {
            return self.line(to);
        }
        let written =
            Written { rx, ry, tilt: turn(x_axis_rotation), large_arc, clockwise: sweep };
        let (bow, enlarged) = written.bow(from, to);
        self.enlarged = self.enlarged.max(enlarged);
        self.draw(Mark::Bow(bow), to);
    }

    fn draw(&mut self, mark: Mark, to: Point) {
        self.marks.push(mark);
        (self.at, self.control) = (to, None);
    }

    /// Ends the subpath. What follows without a move goes on from its start.
    fn end(&mut self, closed: bool) {
        let marks = std::mem::take(&mut self.marks);
        if !marks.is_empty() {
            self.runs.push(Run { marks, closed });
        }
        (self.at, self.control) = (self.start, None);
    }
}

/// An arc as path data writes it, without its ends.
#[derive(Debug, Clone, Copy)]
struct Written {
    rx: f64,
    ry: f64,
    /// Sine and cosine of the tilt of its x axis.
    tilt: (f64, f64),
    large_arc: bool,
    /// Clockwise as the page is seen.
    clockwise: bool,
}

impl Written {
    /// The arc between two points, and by how much its larger radius had to grow.
    fn bow(self, from: Point, to: Point) -> (Bow, f64) {
        let half = (from - to) * 0.5;
        let level = self.levelled(half);
        let (u, v) = (level.x / self.rx, level.y / self.ry);
        let reach = u * u + v * v;
        let growth = reach.max(1.0).sqrt();
        let (rx, ry) = (self.rx * growth, self.ry * growth);
        let (u, v) = (u / growth, v / growth);
        // The centre lies on the chord's bisector: on one side of it or the other. The root
        // would make 1e-8 of what rounding leaves of a half circle.
        let beyond = 1.0 - u * u - v * v;
        let beyond = if beyond < self.rounding(from, to) { 0.0 } else { beyond };
        let off = (beyond / (u * u + v * v)).sqrt();
        let off = if self.large_arc == self.clockwise { -off } else { off };
        let (cu, cv) = (off * v, -off * u);
        let centre = from.middle(to) + self.tilted(Vector::new(rx * cu, ry * cv));
        let (first, last) = (Vector::new(u - cu, v - cv), Vector::new(-u - cu, -v - cv));
        let start = first.angle();
        let sweep = whole_sweep(first.turn_to(last), self);
        let (x, y) =
            (self.tilted(Vector::new(rx, 0.0)), self.tilted(Vector::new(0.0, ry)));
        let bow = Bow { from, to, centre, x, y, start, sweep };
        (bow, (growth - 1.0) * self.rx.max(self.ry))
    }

    /// What rounding of its ends makes of the chord's square, where a half circle's is one.
    fn rounding(self, from: Point, to: Point) -> f64 {
        let [from, to] = [from, to].map(|end| end.x.abs().max(end.y.abs()));
        4.0 * f64::EPSILON * (1.0 + from.max(to) / self.rx.min(self.ry))
    }

    fn tilted(self, way: Vector) -> Vector {
        let (sin, cos) = self.tilt;
        Vector::new(way.x * cos - way.y * sin, way.x * sin + way.y * cos)
    }

    fn levelled(self, way: Vector) -> Vector {
        let (sin, cos) = self.tilt;
        Vector::new(way.x * cos + way.y * sin, way.y * cos - way.x * sin)
    }
}

/// A turn this close to a half turn may come out with either sign, by rounding.
const HALF_TURN_SLACK: f64 = 1e-12;

/// The sweep the flags ask for, from the turn between the ends.
fn whole_sweep(between: f64, written: Written) -> f64 {
    let wanted = if written.clockwise { 1.0 } else { -1.0 };
    let short = between.abs();
    let that_way = 0.0 < between * wanted || PI - HALF_TURN_SLACK < short;
    wanted * if that_way { short } else { TAU - short }
}

//! From an entity's own plane, through the blocks it stands in, to the drawing's plane in mm.

use dxf::entities::Insert;
use nalgebra::{Matrix4, Point3, Vector3};

use crate::geom::tolerance::REPAIR;
use crate::geom::{Piece, Point, Vector};
use crate::read::Stroke;
use crate::read::bow::{Bow, turn};

/// A stroke in space, in an entity's own frame.
#[derive(Debug, Clone, Copy)]
pub(super) enum Mark {
    /// A straight line.
    Line([Point3<f64>; 2]),
    /// A cubic curve.
    Cubic([Point3<f64>; 4]),
    /// A run of an ellipse: `centre + x·cos a + y·sin a` for `a` from `start` by `sweep`.
    Bow {
        /// Where it starts and ends.
        ends: [Point3<f64>; 2],
        /// The centre.
        centre: Point3<f64>,
        /// From the centre to where `a` is zero, and where it is a quarter turn.
        axes: [Vector3<f64>; 2],
        /// Where it starts, in radians.
        start: f64,
        /// How far it goes, signed.
        sweep: f64,
    },
}

/// An affine map of space.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame(Matrix4<f64>);

impl Frame {
    /// The drawing's own frame, in mm.
    pub(super) fn scaled(mm: f64) -> Self {
        Self(Matrix4::new_scaling(mm))
    }

    /// The frame of an entity's plane with this normal.
    ///
    /// Basis: published DXF reference, "Object coordinate systems": the arbitrary axis rule with
    /// its bound of 1/64.
    pub(super) fn on_plane(&self, normal: &dxf::Vector) -> Self {
        let Some(z) = Vector3::new(normal.x, normal.y, normal.z).try_normalize(0.0)
        else {
            return *self;
        };
        if z == Vector3::z() {
            return *self;
        }
        let near_z = z.x.abs() < 1.0 / 64.0 && z.y.abs() < 1.0 / 64.0;
        let across = if near_z { Vector3::y() } else { Vector3::z() };
        let x = across.cross(&z).normalize();
        let y = z.cross(&x);
        let columns = [x, y, z].map(|axis| axis.to_homogeneous());
        let origin = Point3::origin().to_homogeneous();
        let [x, y, z] = columns;
        Self(self.0 * Matrix4::from_columns(&[x, y, z, origin]))
    }

    /// The frame of a block with this base point, placed in a column and row of an insert.
    pub(super) fn placed(
        &self,
        insert: &Insert,
        base: &dxf::Point,
        (column, row): (i16, i16),
    ) -> Self {
        let plane = self.on_plane(&insert.extrusion_direction);
        let (sin, cos) = turn(insert.rotation);
        let at =
            |x: f64, y: f64, z: f64| Matrix4::new_translation(&Vector3::new(x, y, z));
        #[rustfmt::skip]
        let turned = Matrix4::new(
            cos, -sin, 0.0, 0.0,
            sin,  cos, 0.0, 0.0,
            0.0,  0.0, 1.0, 0.0,
            0.0,  0.0, 0.0, 1.0,
        );
        let scales = Vector3::new(
            insert.x_scale_factor,
            insert.y_scale_factor,
            insert.z_scale_factor,
        );
        let step = at(
            f64::from(column) * insert.column_spacing,
            f64::from(row) * insert.row_spacing,
            0.0,
        );
        let to = at(insert.location.x, insert.location.y, insert.location.z);
        let scaled = Matrix4::new_nonuniform_scaling(&scales);
        let from = at(-base.x, -base.y, -base.z);
        Self(plane.0 * to * turned * step * scaled * from)
    }

    /// Whether it keeps areas seen from above, whatever becomes of heights, and all numbers
    /// finite.
    pub(super) fn is_sound(&self) -> bool {
        let spread = self.0.fixed_view::<2, 2>(0, 0).determinant();
        self.0.iter().all(|number| number.is_finite()) && 0.0 < spread.abs()
    }

    /// At most so many times as long is anything in it (geometry: the Frobenius norm bounds what a
    /// map does to lengths).
    pub(super) fn growth(&self) -> f64 {
        self.0.fixed_view::<3, 3>(0, 0).norm()
    }

    fn point(&self, point: &Point3<f64>) -> Point {
        let at = self.0.transform_point(point);
        Point::new(at.x, at.y)
    }

    fn vector(&self, vector: &Vector3<f64>) -> Vector {
        let way = self.0.transform_vector(vector);
        Vector::new(way.x, way.y)
    }

    /// Whether all marks lie at one height, as what is cut from a board does.
    pub(super) fn is_flat(&self, marks: &[Mark]) -> bool {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut meet = |point: &Point3<f64>| {
            let z = self.0.transform_point(point).z;
            (low, high) = (low.min(z), high.max(z));
        };
        for mark in marks {
            match mark {
                Mark::Line(points) => points.iter().for_each(&mut meet),
                Mark::Cubic(points) => points.iter().for_each(&mut meet),
                Mark::Bow { centre, axes, .. } => {
                    meet(centre);
                    axes.map(|axis| centre + axis).iter().for_each(&mut meet);
                }
            }
        }
        high - low <= REPAIR || marks.is_empty()
    }

    /// What a mark becomes; a bow that is circular becomes arcs of at most a half turn.
    pub(super) fn strokes(&self, mark: &Mark) -> Vec<Stroke> {
        match mark {
            Mark::Line([from, to]) => {
                vec![Stroke::Piece(Piece::line(self.point(from), self.point(to)))]
            }
            Mark::Cubic(points) => {
                vec![Stroke::Cubic(points.map(|point| self.point(&point)))]
            }
            Mark::Bow { ends: [from, to], centre, axes: [x, y], start, sweep } => Bow {
                from: self.point(from),
                to: self.point(to),
                centre: self.point(centre),
                x: self.vector(x),
                y: self.vector(y),
                start: *start,
                sweep: *sweep,
            }
            .strokes(),
        }
    }
}

//! Placing a turned body in the room, and measuring how it sits there.

use super::{Axis, Excess};
use crate::{Bed, Motion, Outline, Point, Vector};
use nalgebra::{Matrix3, Rotation3, UnitQuaternion};

/// A body under one rotation, centred in the bed with its lowest point on top of the raft.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Placement {
    /// `bed_from_piece`.
    pub pose: Motion,
    /// Width, depth and height, mm.
    pub sizes_mm: [f64; 3],
    /// Room minus size along each axis, mm.
    pub spare_mm: [f64; 3],
}

impl Placement {
    /// Places `points` turned by `rotation`. `None` without points.
    pub fn of(points: &[Point], rotation: UnitQuaternion<f64>, bed: &Bed) -> Option<Placement> {
        let turned = points.iter().map(|p| rotation * p);
        let bounds = crate::Bounds::of(turned)?;
        let (centre, size, room) = (bounds.centre(), bounds.size(), bed.room_mm());
        let Outline::Rectangle { x_mm, y_mm } = bed.outline;
        let shift = Vector::new(x_mm / 2.0 - centre.x, y_mm / 2.0 - centre.y, bed.raft_mm - bounds.min.z);
        Some(Placement {
            pose: Motion::from_parts(shift.into(), rotation),
            sizes_mm: size.into(),
            spare_mm: [room[0] - size.x, room[1] - size.y, room[2] - size.z],
        })
    }

    /// The smallest spare room, mm.
    pub fn slack_mm(&self) -> f64 {
        self.spare_mm.into_iter().fold(f64::INFINITY, f64::min)
    }

    /// Where and by how much it sticks out most.
    pub fn excess(&self) -> Excess {
        let worst = (0..3).fold(0, |worst, k| if self.spare_mm[k] < self.spare_mm[worst] { k } else { worst });
        Excess { axis: Axis::ALL[worst], mm: -self.spare_mm[worst], pose: self.pose }
    }
}

/// How far points placed by `bed_from_piece` stick out of the bed's room, mm: the largest distance beyond one of its
/// walls, floor or ceiling; 0 or less when they are inside. The room begins on top of the raft.
///
/// A pose given by [`fit`](crate::fit()) sticks out by [`ROUNDING_MM`](crate::ROUNDING_MM) at most.
pub fn sticks_out_mm(points: &[Point], bed_from_piece: &Motion, bed: &Bed) -> f64 {
    let room = bed.room_mm();
    let low = [bed.margin_mm, bed.margin_mm, bed.raft_mm];
    let mut most = f64::NEG_INFINITY;
    for p in points {
        let p = bed_from_piece * p;
        for k in 0..3 {
            most = most.max(low[k] - p[k]).max(p[k] - low[k] - room[k]);
        }
    }
    most
}

/// A view along the vertical once a direction is brought to point down.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Levelled {
    /// Unit vectors of the piece that become x, y and z.
    pub axes: [Vector; 3],
}

impl Levelled {
    /// Brings the unit vector `down` to −z. A piece that already stands that way is not turned.
    pub fn by(down: &Vector) -> Levelled {
        let up = -down;
        // The axis least aligned with `up`: its cross product has a length of at least √(2/3).
        let helper = Vector::ith(up.iamin(), 1.0);
        let x = match up.z {
            1.0 => Vector::x(),
            _ => helper.cross(&up).normalize(),
        };
        Levelled { axes: [x, up.cross(&x), up] }
    }

    /// The rotation, followed by a turn about the vertical.
    pub fn turned(&self, turn_rad: f64) -> UnitQuaternion<f64> {
        let [x, y, up] = self.axes;
        let rows = Matrix3::from_rows(&[x.transpose(), y.transpose(), up.transpose()]);
        let level = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(rows));
        UnitQuaternion::from_axis_angle(&Vector::z_axis(), turn_rad) * level
    }
}

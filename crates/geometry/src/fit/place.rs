//! Placing a turned body in the room, and measuring how it sits there.

use super::disc::Circle;
use super::figure::Figure;
use super::room::{Ground, Room};
use super::{Axis, Excess};
use crate::{Bed, Motion, Point, Vector};
use nalgebra::{Matrix3, Rotation3, UnitQuaternion};

/// A body under one rotation, where it has most room, with its lowest point on top of the raft.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Placement {
    /// `bed_from_piece`.
    pub pose: Motion,
    /// Width, depth and height, mm.
    pub sizes_mm: [f64; 3],
    /// What is left along each axis, mm; on a bed that is no plain rectangle, at the tightest place for both width and
    /// depth. Both ends together.
    spare_mm: [f64; 3],
    plain: bool,
    /// No place leaves more seen from above, mm.
    pub level_at_most_mm: f64,
}

impl Placement {
    /// Places a body turned by `rotation`. `None` without points.
    pub fn of(figure: &Figure, rotation: UnitQuaternion<f64>, room: &Room) -> Option<Placement> {
        let bounds = crate::Bounds::of(figure.points().iter().map(|p| rotation * p))?;
        let (centre, size) = (bounds.centre(), bounds.size());
        let level = Levelled::under(&rotation);
        let shadow = || Some(figure.seen(&level, room.levels_mm())?.shadow());
        let [width, depth] = [room.size_mm[0] - size.x, room.size_mm[1] - size.y];
        let (shift, level_mm, at_most) = match &room.ground {
            Ground::Box => (room.middle - centre.xy(), [width, depth], width.min(depth)),
            Ground::Disc(disc) => {
                let circle = Circle::around(&shadow()?.whole)?;
                let slack = 2.0 * (disc.radius - circle.radius);
                (disc.centre - circle.centre, [slack; 2], slack)
            }
            Ground::Walled(walled) => {
                let spot = walled.spot(&shadow()?, f64::NEG_INFINITY)?;
                (spot.shift, [2.0 * spot.clearance; 2], 2.0 * spot.at_most)
            }
        };
        let shift = Vector::new(shift.x, shift.y, room.floor_mm - bounds.min.z);
        Some(Placement {
            pose: Motion::from_parts(shift.into(), rotation),
            sizes_mm: size.into(),
            spare_mm: [level_mm[0], level_mm[1], room.size_mm[2] - size.z],
            plain: matches!(room.ground, Ground::Box),
            level_at_most_mm: at_most,
        })
    }

    /// The smallest spare room, mm.
    pub fn slack_mm(&self) -> f64 {
        self.spare_mm.into_iter().fold(f64::INFINITY, f64::min)
    }

    /// No place with the same rotation has more slack, mm.
    pub fn at_most_mm(&self) -> f64 {
        self.level_at_most_mm.min(self.spare_mm[2])
    }

    /// Where and by how much it sticks out most.
    pub fn excess(&self) -> Excess {
        let worst = (0..3).fold(0, |worst, k| if self.spare_mm[k] < self.spare_mm[worst] { k } else { worst });
        let axis = if self.plain || worst == 2 { Axis::ALL[worst] } else { Axis::Across };
        Excess { axis, mm: -self.spare_mm[worst], pose: self.pose }
    }
}

/// How far points placed by `bed_from_piece` stick out of the bed's room, mm: the largest distance beyond a wall, the
/// floor or the ceiling, or into a keep-out zone, of their convex hull; 0 or less when they are inside. The room begins
/// on top of the raft. Infinite for a bed that has no room.
///
/// A pose given by [`fit`](crate::fit()) sticks out by [`ROUNDING_MM`](crate::ROUNDING_MM) at most.
pub fn sticks_out_mm(points: &[Point], bed_from_piece: &Motion, bed: &Bed) -> f64 {
    let Some(room) = Room::of(bed) else { return f64::INFINITY };
    let placed: Vec<Point> = points.iter().map(|p| bed_from_piece * p).collect();
    let [width, depth, height] = room.size_mm;
    let low = [room.middle.x - width / 2.0, room.middle.y - depth / 2.0, room.floor_mm];
    let mut most = f64::NEG_INFINITY;
    for p in &placed {
        for (k, size) in [width, depth, height].into_iter().enumerate() {
            most = most.max(low[k] - p[k]).max(p[k] - low[k] - size);
        }
    }
    match &room.ground {
        Ground::Box => most,
        Ground::Disc(disc) => placed.iter().map(|p| disc.sticks_out_mm(&p.xy())).fold(most, f64::max),
        Ground::Walled(walled) => {
            // Levels are told from the floor here, wherever the lowest point is.
            let lowest = placed.iter().map(|p| p.z).fold(f64::INFINITY, f64::min);
            let levels: Vec<f64> = room.levels_mm().iter().map(|level| room.floor_mm + level - lowest).collect();
            let upright = Levelled { axes: [Vector::x(), Vector::y(), Vector::z()] };
            match Figure::of(&placed, &room).seen(&upright, &levels) {
                Some(seen) => walled.sticks_out_mm(&seen.shadow()).max(most),
                None => most,
            }
        }
    }
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

    /// The view of a body under a rotation.
    pub fn under(rotation: &UnitQuaternion<f64>) -> Levelled {
        let back = rotation.inverse();
        Levelled { axes: [Vector::x(), Vector::y(), Vector::z()].map(|axis| back * axis) }
    }

    /// The rotation, followed by a turn about the vertical.
    pub fn turned(&self, turn_rad: f64) -> UnitQuaternion<f64> {
        let [x, y, up] = self.axes;
        let rows = Matrix3::from_rows(&[x.transpose(), y.transpose(), up.transpose()]);
        let level = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(rows));
        UnitQuaternion::from_axis_angle(&Vector::z_axis(), turn_rad) * level
    }
}

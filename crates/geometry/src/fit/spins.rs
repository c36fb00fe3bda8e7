//! Boxes of rotations, which together are all of them.
//!
//! A rotation is a unit quaternion or its opposite. Scaled so that its greatest part is one, its three others lie in a cube:
//! four such cubes hold every rotation, and are split into boxes.

use super::programme::{Row, Unknowns};
use crate::Vector;
use nalgebra::{Matrix3, Quaternion, UnitQuaternion, Vector3, Vector4};
use std::f64::consts::TAU;

/// Rotations that a bound speaks of.
#[derive(Clone, Copy, Debug)]
pub(super) enum Spins {
    Box(Cube),
    /// Turns about the vertical.
    Turns(Turns),
}

/// A box of rotations.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cube {
    /// Which part is one.
    greatest: usize,
    /// The others, in order: middle and half width.
    middle: Vector3<f64>,
    half: Vector3<f64>,
}

/// Turns about the vertical of a body that was brought to lie somehow.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turns {
    lies: UnitQuaternion<f64>,
    middle_rad: f64,
    half_rad: f64,
}

/// Splits of every side of the four cubes to begin with. Our own choice, no source.
const FIRST_SPLITS: usize = 4;
/// Ranges of turns to begin with. Our own choice, no source.
const FIRST_TURNS: u32 = 16;
/// Half edges of what has no width, so that it can be reckoned with as a box: a metre away a thousandth of a micrometre.
const NO_WIDTH: f64 = 1e-9;

impl Spins {
    /// All rotations.
    pub fn all() -> Vec<Spins> {
        Cube::all().into_iter().map(Spins::Box).collect()
    }

    /// Rotations near one: half as wide as this in every direction, about twice which they turn.
    pub fn around(rotation: &UnitQuaternion<f64>, half: f64) -> Spins {
        Spins::Box(Cube::around(rotation, half))
    }

    /// Turns about the vertical near a rotation, twice as far to either side as this.
    pub fn turns_around(rotation: &UnitQuaternion<f64>, half: f64) -> Spins {
        Spins::Turns(Turns { lies: *rotation, middle_rad: 0.0, half_rad: 2.0 * half })
    }

    /// All turns about the vertical of a body that lies in one way.
    pub fn turns(lies: &UnitQuaternion<f64>) -> Vec<Spins> {
        let half_rad = TAU / f64::from(FIRST_TURNS) / 2.0;
        let turns = |k: u32| Turns { lies: *lies, middle_rad: f64::from(2 * k) * half_rad, half_rad };
        (0..FIRST_TURNS).map(|k| Spins::Turns(turns(k))).collect()
    }

    /// Two halves; of a box across one of its three sides.
    pub fn split(&self, axis: usize) -> [Spins; 2] {
        match self {
            Spins::Box(cube) => cube.split(axis).map(Spins::Box),
            Spins::Turns(turns) => [-0.5, 0.5].map(|side| {
                let middle_rad = turns.middle_rad + side * turns.half_rad;
                Spins::Turns(Turns { middle_rad, half_rad: turns.half_rad / 2.0, ..*turns })
            }),
        }
    }

    /// The rotation in the middle.
    pub fn centre(&self) -> UnitQuaternion<f64> {
        match self {
            Spins::Box(cube) => cube.centre(),
            Spins::Turns(turns) => UnitQuaternion::from_axis_angle(&Vector::z_axis(), turns.middle_rad) * turns.lies,
        }
    }

    /// How far the others are from it.
    pub fn reach(&self) -> Reach {
        match self {
            Spins::Box(cube) => cube.reach(),
            Spins::Turns(turns) => Reach {
                chord: 2.0 * (turns.half_rad / 2.0).sin(),
                sagitta: 1.0 - turns.half_rad.cos(),
                edges: [Vector::x() * NO_WIDTH, Vector::y() * NO_WIDTH, Vector::z() * turns.half_rad.sin()],
            },
        }
    }
}

impl Cube {
    fn all() -> Vec<Cube> {
        let half = 1.0 / FIRST_SPLITS as f64;
        let side = |k: usize| -1.0 + half * (2 * k + 1) as f64;
        let cube = |greatest: usize| {
            let cube = move |k: usize| {
                let parts = [k % FIRST_SPLITS, k / FIRST_SPLITS % FIRST_SPLITS, k / FIRST_SPLITS / FIRST_SPLITS];
                Cube { greatest, middle: parts.map(side).into(), half: Vector3::repeat(half) }
            };
            (0..FIRST_SPLITS.pow(3)).map(cube)
        };
        (0..4).flat_map(cube).collect()
    }

    fn around(rotation: &UnitQuaternion<f64>, half: f64) -> Cube {
        let parts = rotation.coords;
        let greatest = parts.iamax();
        let others: Vec<f64> = (0..4).filter(|k| *k != greatest).map(|k| parts[k] / parts[greatest]).collect();
        Cube { greatest, middle: Vector3::from_column_slice(&others), half: Vector3::repeat(half) }
    }

    fn split(&self, axis: usize) -> [Cube; 2] {
        let mut half = self.half;
        half[axis] /= 2.0;
        [-1.0, 1.0].map(|side| {
            let mut middle = self.middle;
            middle[axis] += side * half[axis];
            Cube { middle, half, ..*self }
        })
    }

    fn parts(&self, others: &Vector3<f64>) -> Quaternion<f64> {
        let mut parts = Vector4::zeros();
        let mut others = others.iter();
        for k in 0..4 {
            parts[k] = if k == self.greatest { 1.0 } else { others.next().copied().unwrap_or(0.0) };
        }
        Quaternion::from(parts)
    }

    fn centre(&self) -> UnitQuaternion<f64> {
        UnitQuaternion::from_quaternion(self.parts(&self.middle))
    }

    /// The cosine of half the largest angle between the middle and any rotation of the box. It is that of a corner:
    /// rotations nearer than an angle are a cone, which is convex.
    fn half_angle_cos(&self) -> f64 {
        let centre = self.centre();
        let corner = |k: u32| {
            let side = |axis: usize| if k >> axis & 1 == 1 { self.half[axis] } else { -self.half[axis] };
            let corner = self.parts(&(self.middle + Vector3::new(side(0), side(1), side(2)))).normalize();
            centre.coords.dot(&corner.coords)
        };
        (0..8).map(corner).fold(1.0, f64::min).max(0.0)
    }

    /// How far rotations of the box are from the middle one.
    ///
    /// With q in the box, as a sum of the middle's parts and of shares d of three others, q times the middle's inverse has
    /// the vector part A·d. Its length is at least the box's least; twice the product of both parts is what is asked for.
    fn reach(&self) -> Reach {
        let cos = self.half_angle_cos();
        let sin_squared = 1.0 - cos * cos;
        let inverse = self.centre().inverse().into_inner();
        let nearest = Vector3::from_fn(|k, _| (self.middle[k].abs() - self.half[k]).max(0.0));
        let shortest = (1.0 + nearest.norm_squared()).sqrt();
        let edge = |k: usize| {
            let step = self.parts(&Vector3::ith(k, 1.0)) - self.parts(&Vector3::zeros());
            (step * inverse).imag() * (2.0 * self.half[k] / shortest)
        };
        Reach { chord: 2.0 * sin_squared.sqrt(), sagitta: 2.0 * sin_squared, edges: [0, 1, 2].map(edge) }
    }
}

/// How far rotations are from one in their middle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reach {
    /// A point at a distance of one moves no farther.
    pub chord: f64,
    /// One less the cosine of the largest angle.
    pub sagitta: f64,
    /// Half edges of a box that holds the axis of every rotation, times the sine of its angle.
    pub edges: [Vector; 3],
}

impl Reach {
    /// What keeps a small rotation (its axis times the sine of its angle, times `radius_mm`) within: three rows, and the
    /// three opposite. `None` for a box without any room.
    pub fn sides(&self, radius_mm: f64) -> Option<[Row; 6]> {
        let shares = Matrix3::from_columns(&self.edges).try_inverse()?;
        let side = |k: usize, sign: f64| {
            let share: Vector = shares.row(k).transpose() * (sign / radius_mm);
            // In units of the rotation in mm, as all the rows are.
            let length = share.norm();
            let mut row = Unknowns::zeros();
            row.fixed_rows_mut::<3>(0).copy_from(&(share / length));
            Row { row, at_most: length.recip() }
        };
        Some(std::array::from_fn(|k| side(k % 3, if k < 3 { -1.0 } else { 1.0 })))
    }

    /// How much less than what is linear in a rotation `normal · point` may become: no rotation within takes more off.
    ///
    /// It is (1 − cos θ)·(n·q − (n·k)(k·q)), that is |s|²·n·q − (n·s)(s·q) over 1 + cos θ: where that is convex along each
    /// edge of the box, it is most in a corner.
    pub fn taken_off(&self, normal: &Vector, point: &Vector) -> f64 {
        let along = normal.dot(point);
        let by_angle = self.sagitta * (normal.norm() * point.norm() + along) / 2.0;
        let [n, q] = [normal, point].map(|v| self.edges.map(|edge| edge.dot(v)));
        let part =
            |i: usize, j: usize| self.edges[i].dot(&self.edges[j]) * along - f64::midpoint(n[i] * q[j], n[j] * q[i]);
        let sum = (0..3).map(|k| part(k, k).max(0.0)).sum::<f64>();
        let [x, y, z] = [part(1, 2), part(2, 0), part(0, 1)];
        let corner = (x + y + z).max(x - y - z).max(y - x - z).max(z - x - y);
        by_angle.min((sum + 2.0 * corner) / (2.0 - self.sagitta))
    }

    /// The mean of what is taken off, as a factor of the point.
    pub fn mean_taken_off(&self, normal: &Vector) -> Vector {
        let part = |edge: &Vector| normal * edge.norm_squared() - edge * edge.dot(normal);
        self.edges.iter().map(part).sum::<Vector>() / (2.0 - self.sagitta)
    }

    /// What each edge of the box takes off.
    pub fn taken_off_by_edges(&self, normal: &Vector, point: &Vector) -> Vector3<f64> {
        let along = normal.dot(point);
        Vector3::from_fn(|k, _| {
            let edge = &self.edges[k];
            (edge.norm_squared() * along - edge.dot(normal) * edge.dot(point)).max(0.0) / (2.0 - self.sagitta)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rotation() -> impl Strategy<Value = UnitQuaternion<f64>> {
        prop::array::uniform4(-1.0_f64..1.0)
            .prop_filter("no direction", |q| q.iter().any(|x| x.abs() > 0.01))
            .prop_map(|[w, i, j, k]| UnitQuaternion::from_quaternion(Quaternion::new(w, i, j, k)))
    }

    /// Whether a box holds a rotation, by its rows and reach.
    fn holds(spins: &Spins, rotation: &UnitQuaternion<f64>) -> bool {
        let from_middle = rotation * spins.centre().inverse();
        let angle = from_middle.angle();
        let sine = from_middle.axis().map_or(Vector::zeros(), |axis| axis.into_inner() * angle.sin());
        let mut at = Unknowns::zeros();
        at.fixed_rows_mut::<3>(0).copy_from(&(sine * 50.0));
        let reach = spins.reach();
        2.0 * (angle / 2.0).sin() <= reach.chord + 1e-9
            && 1.0 - angle.cos() <= reach.sagitta + 1e-9
            && reach.sides(50.0).unwrap().iter().all(|side| side.row.dot(&at) <= side.at_most + 1e-7)
    }

    proptest! {
        #[test]
        fn every_rotation_is_in_a_box_and_in_one_of_its_halves(rotation in rotation()) {
            let mut held: Vec<Spins> = Spins::all().into_iter().filter(|spins| holds(spins, &rotation)).collect();
            prop_assert!(!held.is_empty());
            for k in 0..9 {
                held = held.iter().flat_map(|spins| spins.split(k % 3)).filter(|spins| holds(spins, &rotation)).collect();
                prop_assert!(!held.is_empty());
            }
            prop_assert!(held.len() < 30, "{}", held.len());
        }
    }

    proptest! {
        #[test]
        fn no_rotation_takes_more_off_than_is_told(
            (n, q) in (prop::array::uniform3(-1.0_f64..1.0), prop::array::uniform3(-1.0_f64..1.0)),
            shares in prop::array::uniform3(-1.0_f64..1.0),
            (box_, splits) in (0..256_usize, prop::collection::vec((0..3_usize, 0..2_usize), 0..9)),
        ) {
            let (n, q) = (Vector::from(n), Vector::from(q));
            let cube = splits.into_iter().fold(Cube::all()[box_], |cube, (axis, side)| cube.split(axis)[side]);
            let others = Vector3::from_fn(|k, _| cube.middle[k] + shares[k] * cube.half[k]);
            let turn = UnitQuaternion::from_quaternion(cube.parts(&others)) * cube.centre().inverse();
            let sine = turn.axis().map_or(Vector::zeros(), |axis| axis.into_inner() * turn.angle().sin());
            let linear = n.dot(&q) + sine.dot(&q.cross(&n));
            prop_assert!(n.dot(&(turn * q)) >= linear - cube.reach().taken_off(&n, &q) - 1e-12);
        }
    }

    #[test]
    fn halves_become_small_at_last() {
        let mut spins = Spins::all()[0];
        for k in 0..12 {
            spins = spins.split(k % 3)[1];
        }
        assert!(spins.reach().chord < 0.06, "{:?}", spins.reach());
    }
}

//! The slant of a plane in two angles, as one would measure it with a protractor from two sides.

use seamwright_geometry::Vector;

/// How a plane leans against the coordinate axis that its normal is nearest to.
///
/// With that axis as `d` and the two others as `e1` and `e2` (right-handed, so that `e1 × e2 = d`), the normal points
/// along `tan(second) · e1 − tan(first) · e2 + d`: `first_deg` is the angle seen when looking along `e1`, `second_deg`
/// the one seen when looking along `e2`. Each can be changed with the other kept, and both are 0 for a square cut. For a
/// plane that lies flat, `e1` is x and `e2` is y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lean {
    /// `e1`, `e2` and `d`.
    pub axes: [Vector; 3],
    /// The angle seen along `e1`, turning from `d` away from `e2`, -180 to 180.
    pub first_deg: f64,
    /// The angle seen along `e2`, turning from `d` towards `e1`, -180 to 180.
    pub second_deg: f64,
}

impl Lean {
    /// The lean of a plane with this unit normal, against the axis nearest to it.
    pub fn of(normal: &Vector) -> Lean {
        let k = normal.iamax();
        let (e1, e2) = (Vector::ith((k + 1) % 3, 1.0), Vector::ith((k + 2) % 3, 1.0));
        if normal[k] < 0.0 {
            Lean::against([e1, -e2, -Vector::ith(k, 1.0)], normal)
        } else {
            Lean::against([e1, e2, Vector::ith(k, 1.0)], normal)
        }
    }

    /// The lean against given axes.
    pub fn against(axes: [Vector; 3], normal: &Vector) -> Lean {
        let [n1, n2, n3] = axes.map(|a| a.dot(normal));
        Lean { axes, first_deg: (-n2).atan2(n3).to_degrees(), second_deg: n1.atan2(n3).to_degrees() }
    }

    /// The unit normal with these angles. Both must be within -90 to 90, ends excluded.
    pub fn normal(&self) -> Vector {
        let [e1, e2, d] = self.axes;
        (e1 * self.second_deg.to_radians().tan() - e2 * self.first_deg.to_radians().tan() + d).normalize()
    }

    /// The line in the plane about which only `first_deg` changes, and the one for `second_deg`; unit vectors.
    pub fn hinges(&self, normal: &Vector) -> [Vector; 2] {
        let [e1, e2, d] = self.axes;
        let [n1, n2, n3] = self.axes.map(|a| a.dot(normal));
        // Square to the normal and to the other side view. They vanish only for a normal along e2 or e1.
        [(e1 * n3 - d * n1).try_normalize(TINY).unwrap_or(e1), (e2 * n3 - d * n2).try_normalize(TINY).unwrap_or(e2)]
    }
}

/// A direction shorter than this has none: far above rounding, far below any angle that shows.
const TINY: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;

    fn slanted() -> Vec<Vector> {
        let mut all = Vec::new();
        for k in 0..3 {
            for sign in [-1.0, 1.0] {
                for (p, q) in [(0.0, 0.0), (0.3, 0.0), (0.0, -0.4), (0.7, 0.6), (-0.2, 0.9)] {
                    let mut n = Vector::zeros();
                    n[k] = sign;
                    n[(k + 1) % 3] = p;
                    n[(k + 2) % 3] = q;
                    all.push(n.normalize());
                }
            }
        }
        all
    }

    #[test]
    fn a_normal_comes_back_from_its_angles() {
        for n in slanted() {
            let lean = Lean::of(&n);
            assert!((lean.normal() - n).norm() < 1e-12, "{n:?} {lean:?}");
            assert!((lean.axes[0].cross(&lean.axes[1]) - lean.axes[2]).norm() < 1e-15);
        }
    }

    #[test]
    fn a_flat_plane_leans_by_nothing() {
        let lean = Lean::of(&Vector::z());
        assert_eq!((lean.first_deg, lean.second_deg), (0.0, 0.0));
        assert_eq!(lean.axes, [Vector::x(), Vector::y(), Vector::z()]);
    }

    #[test]
    fn turning_about_a_hinge_changes_one_angle_and_keeps_the_other() {
        for n in slanted() {
            let lean = Lean::of(&n);
            for (i, hinge) in lean.hinges(&n).into_iter().enumerate() {
                assert!(hinge.dot(&n).abs() < 1e-12);
                let turned = nalgebra::Rotation3::new(hinge * 0.1) * n;
                let after = Lean::against(lean.axes, &turned);
                let changes = [after.first_deg - lean.first_deg, after.second_deg - lean.second_deg];
                assert!(changes[i] > 1.0, "{n:?}: hinge {i} changes {changes:?}");
                assert!(changes[1 - i].abs() < 1e-9, "{n:?}: hinge {i} changes {changes:?}");
            }
        }
    }
}

//! The sum of squared distances to a set of planes.
use seamwright_geometry::Point;
use std::ops::{Add, AddAssign};

/// Share of a face's area with which its corners also hold to their place: keeps triangles of flat parts well shaped,
/// where the planes alone leave the place open.
const HOLD: f64 = 3e-5;
/// Below this determinant relative to the matrix' size the lowest point is taken as undetermined.
const SINGULAR: f64 = 1e-10;

/// p ↦ pᵀ·A·p + 2·b·p + c, where A is symmetric.
#[derive(Clone, Copy, Debug, Default)]
pub struct Quadric {
    a: [f64; 6],
    b: [f64; 3],
    c: f64,
}

impl Quadric {
    /// Distance to the plane of a face, weighted by its area.
    pub fn of_face([p, q, r]: [Point; 3]) -> Quadric {
        let cross = (q - p).cross(&(r - p));
        let length = cross.norm();
        if length == 0.0 {
            return Quadric::default();
        }
        let (n, area) = (cross / length, length / 2.0);
        let d = -n.dot(&p.coords);
        let mut quadric = Quadric {
            a: [n.x * n.x, n.x * n.y, n.x * n.z, n.y * n.y, n.y * n.z, n.z * n.z].map(|v| v * area),
            b: [n.x * d, n.y * d, n.z * d].map(|v| v * area),
            c: d * d * area,
        };
        let m = (p.coords + q.coords + r.coords) / 3.0;
        let hold = HOLD * area;
        for i in [0, 3, 5] {
            quadric.a[i] += hold;
        }
        for k in 0..3 {
            quadric.b[k] -= hold * m[k];
        }
        quadric.c += hold * m.norm_squared();
        quadric
    }

    /// The value at `p`, not below 0.
    pub fn at(&self, p: Point) -> f64 {
        let [xx, xy, xz, yy, yz, zz] = self.a;
        let square = xx * p.x * p.x + yy * p.y * p.y + zz * p.z * p.z;
        let mixed = xy * p.x * p.y + xz * p.x * p.z + yz * p.y * p.z;
        let linear = self.b[0] * p.x + self.b[1] * p.y + self.b[2] * p.z;
        (square + 2.0 * (mixed + linear) + self.c).max(0.0)
    }

    /// Where the value is lowest, if that is well determined; solved about `near` to keep rounding small.
    pub fn lowest(&self, near: Point) -> Option<Point> {
        let [xx, xy, xz, yy, yz, zz] = self.a;
        let m = nalgebra::Matrix3::new(xx, xy, xz, xy, yy, yz, xz, yz, zz);
        let det = m.determinant();
        if det.abs() <= SINGULAR * m.trace().powi(3) {
            return None;
        }
        let gradient = m * near.coords + nalgebra::Vector3::from(self.b);
        Some(near - m.try_inverse()? * gradient)
    }
}

impl AddAssign for Quadric {
    fn add_assign(&mut self, o: Quadric) {
        self.a.iter_mut().zip(o.a).for_each(|(x, y)| *x += y);
        self.b.iter_mut().zip(o.b).for_each(|(x, y)| *x += y);
        self.c += o.c;
    }
}

impl Add for Quadric {
    type Output = Quadric;
    fn add(mut self, o: Quadric) -> Quadric {
        self += o;
        self
    }
}

//! Boxes that lie along what they hold.

use crate::{Bounds, Point, Vector};
use nalgebra::{Matrix3, SymmetricEigen};

/// A box along the principal axes of what it holds: a patch of surface seen edge-on is thin in it, where an upright
/// box would be as thick as the patch is wide.
#[derive(Clone, Copy, Debug)]
pub(super) struct TightBox {
    pub middle: Point,
    /// From the middle to the middles of three faces.
    pub half: [Vector; 3],
}

/// Sums over points, from which principal axes are known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moments {
    count: f64,
    sum: Vector,
    squares: Matrix3<f64>,
}

impl Moments {
    pub fn of(points: &[Point]) -> Moments {
        let mut moments = Moments { count: points.len() as f64, sum: Vector::zeros(), squares: Matrix3::zeros() };
        for p in points {
            moments.sum += p.coords;
            moments.squares += p.coords * p.coords.transpose();
        }
        moments
    }

    pub fn and(&self, other: &Moments) -> Moments {
        Moments { count: self.count + other.count, sum: self.sum + other.sum, squares: self.squares + other.squares }
    }

    /// Three unit vectors square to one another; those of the coordinates where sums are beyond reckoning.
    fn axes(&self) -> Matrix3<f64> {
        let mean = self.sum / self.count;
        let spread = self.squares / self.count - mean * mean.transpose();
        let axes = SymmetricEigen::new(spread).eigenvectors;
        let error = (axes.transpose() * axes - Matrix3::identity()).amax();
        // A box must hold its points along whatever axes, so that they only have to be square.
        if error < 1e-9 { axes } else { Matrix3::identity() }
    }
}

impl TightBox {
    /// Around `points`, which must be all inside `bounds`: along their principal axes, or upright if that is smaller.
    pub fn around(points: &[Point], moments: &Moments, bounds: &Bounds) -> TightBox {
        let axes = moments.axes();
        let (mut low, mut high) = (Vector::repeat(f64::INFINITY), Vector::repeat(f64::NEG_INFINITY));
        for p in points {
            let along = axes.tr_mul(&p.coords);
            (low, high) = (low.inf(&along), high.sup(&along));
        }
        let (middle, size) = ((low + high) / 2.0, (high - low) / 2.0);
        let surface = |s: &Vector| s.x * s.y + s.y * s.z + s.z * s.x;
        let upright = bounds.size() / 2.0;
        if surface(&size) < surface(&upright) {
            let half = [0, 1, 2].map(|k| axes.column(k) * size[k]);
            TightBox { middle: Point::from(axes * middle), half }
        } else {
            let half = [0, 1, 2].map(|k| Vector::ith(k, upright[k]));
            TightBox { middle: bounds.centre(), half }
        }
    }

    /// Largest `direction · p` over it.
    pub fn reach(&self, direction: &Vector) -> f64 {
        let [a, b, c] = self.half.map(|half| half.dot(direction).abs());
        self.middle.coords.dot(direction) + a + b + c
    }

    pub fn corners(&self) -> [Point; 8] {
        let [a, b, c] = self.half;
        let m = self.middle;
        [
            m + a + b + c,
            m + a + b - c,
            m + a - b + c,
            m + a - b - c,
            m - a + b + c,
            m - a + b - c,
            m - a - b + c,
            m - a - b - c,
        ]
    }
}

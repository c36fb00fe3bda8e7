//! A smooth curve through a table of values.

/// A function given at `N` rising places, joined by cubics that do not overshoot; constant beyond both ends.
///
/// F. N. Fritsch and J. Butland, "A method for constructing local monotone piecewise cubic interpolants", SIAM J. Sci.
/// Stat. Comput. 5 (1984), with equal weights; flat at both ends.
#[derive(Clone, Copy, Debug)]
pub struct Curve<const N: usize> {
    knots: [Knot; N],
}

#[derive(Clone, Copy, Debug)]
struct Knot {
    x: f64,
    y: f64,
    slope: f64,
}

impl<const N: usize> Curve<N> {
    /// The curve through `points` (place, value), sorted by place.
    pub const fn through(points: [(f64, f64); N]) -> Curve<N> {
        let mut knots = [Knot { x: 0.0, y: 0.0, slope: 0.0 }; N];
        let mut i = 0;
        while i < N {
            let slope = if i == 0 || i + 1 == N { 0.0 } else { tangent(points[i - 1], points[i], points[i + 1]) };
            knots[i] = Knot { x: points[i].0, y: points[i].1, slope };
            i += 1;
        }
        Curve { knots }
    }

    /// The value at `x`.
    pub fn at(&self, x: f64) -> f64 {
        self.value_and_slope(x).0
    }

    /// Value and slope at `x`.
    pub fn value_and_slope(&self, x: f64) -> (f64, f64) {
        let above = self.knots.iter().position(|k| x < k.x).unwrap_or(N);
        if above == 0 || above == N {
            return (self.knots[above.min(N - 1)].y, 0.0);
        }
        let (a, b) = (self.knots[above - 1], self.knots[above]);
        let h = b.x - a.x;
        let t = (x - a.x) / h;
        let (m0, m1, d) = (a.slope * h, b.slope * h, b.y - a.y);
        let (square, cube) = (3.0 * d - 2.0 * m0 - m1, m0 + m1 - 2.0 * d);
        (a.y + t * (m0 + t * (square + t * cube)), (m0 + t * (2.0 * square + t * 3.0 * cube)) / h)
    }

    /// How far the point (`x`, `y`) lies above the curve, measured square to it to first order.
    pub fn height_above(&self, x: f64, y: f64) -> f64 {
        let (value, slope) = self.value_and_slope(x);
        (y - value) / (1.0 + slope * slope).sqrt()
    }
}

const fn tangent(before: (f64, f64), at: (f64, f64), after: (f64, f64)) -> f64 {
    let s0 = (at.1 - before.1) / (at.0 - before.0);
    let s1 = (after.1 - at.1) / (after.0 - at.0);
    if s0 * s1 <= 0.0 { 0.0 } else { 2.0 * s0 * s1 / (s0 + s1) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_meets_its_points_and_does_not_overshoot() {
        let points = [(0.0, 1.0), (1.0, 1.0), (2.0, 5.0), (4.0, 5.5), (5.0, 2.0)];
        let curve = Curve::through(points);
        for (x, y) in points {
            assert_eq!(curve.at(x), y);
        }
        for pair in points.windows(2) {
            let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
            for i in 0..=100 {
                let y = curve.at(x0 + (x1 - x0) * f64::from(i) / 100.0);
                assert!(y >= y0.min(y1) - 1e-12 && y <= y0.max(y1) + 1e-12, "{y} beyond {y0}..{y1}");
            }
        }
        assert_eq!((curve.at(-9.0), curve.at(9.0)), (1.0, 2.0));
    }
}

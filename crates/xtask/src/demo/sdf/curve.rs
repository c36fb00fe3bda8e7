//! A smooth curve through a table of values.

/// A function given at rising places, joined by cubics that do not overshoot (F. N. Fritsch and J. Butland, "A method
/// for constructing local monotone piecewise cubic interpolants", SIAM J. Sci. Stat. Comput. 5 (1984)); constant
/// beyond both ends.
#[derive(Clone, Copy, Debug)]
pub struct Curve(pub &'static [(f64, f64)]);

impl Curve {
    /// The value at `x`.
    pub fn at(&self, x: f64) -> f64 {
        self.value_and_slope(x).0
    }

    /// Value and slope at `x`.
    pub fn value_and_slope(&self, x: f64) -> (f64, f64) {
        let k = self.0;
        let last = k.len() - 1;
        if x <= k[0].0 {
            return (k[0].1, 0.0);
        }
        if x >= k[last].0 {
            return (k[last].1, 0.0);
        }
        let i = k.partition_point(|q| q.0 <= x) - 1;
        let ((x0, y0), (x1, y1)) = (k[i], k[i + 1]);
        let h = x1 - x0;
        let t = (x - x0) / h;
        let (m0, m1) = (self.tangent(i) * h, self.tangent(i + 1) * h);
        let d = y1 - y0;
        let value = y0 + t * (m0 + t * (3.0 * d - 2.0 * m0 - m1 + t * (m0 + m1 - 2.0 * d)));
        let slope = (m0 + t * (2.0 * (3.0 * d - 2.0 * m0 - m1) + t * 3.0 * (m0 + m1 - 2.0 * d))) / h;
        (value, slope)
    }

    /// How far the point (`x`, `y`) lies above the curve, measured square to it to first order.
    pub fn height_above(&self, x: f64, y: f64) -> f64 {
        let (value, slope) = self.value_and_slope(x);
        (y - value) / 1.0f64.hypot(slope)
    }

    fn tangent(&self, i: usize) -> f64 {
        let k = self.0;
        if i == 0 || i + 1 == k.len() {
            return 0.0;
        }
        let slope = |a: (f64, f64), b: (f64, f64)| (b.1 - a.1) / (b.0 - a.0);
        let (s0, s1) = (slope(k[i - 1], k[i]), slope(k[i], k[i + 1]));
        if s0 * s1 <= 0.0 { 0.0 } else { 2.0 * s0 * s1 / (s0 + s1) }
    }
}

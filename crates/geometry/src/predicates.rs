//! Every sign that decides topology comes from here; nobody else compares with a small number.

use robust::{Coord, Coord3D};

use crate::{Plane, Point, Side, Vector};

/// Where a vertex lies as seen from a plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(i8)]
pub(crate) enum Where {
    Below = -1,
    On = 0,
    Above = 1,
}

/// Where `p` lies, with everything within `on_plane_mm` of the plane *on* it. Exact: the sign of
/// `normal · p − offset ∓ on_plane_mm` is that of the real numbers behind the floating-point ones.
pub(crate) fn side_of_plane(plane: &Plane, p: &Point, on_plane_mm: f64) -> Where {
    let (n, d) = (plane.normal(), plane.offset_mm());
    let (x, y, z) = (n.x * p.x, n.y * p.y, n.z * p.z);
    let distance = x + y + z - d;
    let error = FILTER * (x.abs() + y.abs() + z.abs() + d.abs() + on_plane_mm);
    if distance.abs() + error < on_plane_mm {
        return Where::On;
    }
    if distance.abs() > on_plane_mm + error {
        return if distance > 0.0 { Where::Above } else { Where::Below };
    }
    if exact_sign(plane, p, on_plane_mm) > 0 {
        Where::Above
    } else if exact_sign(plane, p, -on_plane_mm) < 0 {
        Where::Below
    } else {
        Where::On
    }
}

/// A look at a plane from afar: tells most of what lies wholly on one side of it at a small part of the cost of
/// [`side_of_plane`], and never otherwise than that.
pub(crate) struct Sieve {
    normal: Vector,
    offset_mm: f64,
    margin_mm: f64,
}

impl Sieve {
    /// For places whose coordinates are at most `largest_mm`, with everything within `on_plane_mm` of the plane *on* it.
    pub(crate) fn new(plane: &Plane, on_plane_mm: f64, largest_mm: f64) -> Sieve {
        // The filter's terms are at most thrice `largest_mm` together; the other half of this is for its own rounding.
        let error = 2.0 * FILTER * (3.0 * largest_mm + plane.offset_mm().abs() + on_plane_mm);
        Sieve { normal: plane.normal(), offset_mm: plane.offset_mm(), margin_mm: on_plane_mm + error }
    }

    /// The side that all places in a box surely lie on; `None` for a box without bounds.
    pub(crate) fn side_of_box(&self, low: [f64; 3], high: [f64; 3]) -> Option<Side> {
        let (mut least, mut most) = (-self.offset_mm, -self.offset_mm);
        for k in 0..3 {
            let (a, b) = (self.normal[k] * low[k], self.normal[k] * high[k]);
            least += if a < b { a } else { b };
            most += if a < b { b } else { a };
        }
        self.side_of_span(least, most)
    }

    /// The side that three places surely lie on.
    pub(crate) fn side_of_three(&self, places: [&Point; 3]) -> Option<Side> {
        let [a, b, c] = places.map(|p| self.normal.dot(&p.coords) - self.offset_mm);
        self.side_of_span(a.min(b).min(c), a.max(b).max(c))
    }

    /// Not for numbers that are none: all comparisons with those are false.
    fn side_of_span(&self, least: f64, most: f64) -> Option<Side> {
        if least > self.margin_mm {
            Some(Side::Above)
        } else if most < -self.margin_mm {
            Some(Side::Below)
        } else {
            None
        }
    }
}

/// Rounding error of the filter above: three products and four sums, each within 2⁻⁵³ of its terms' magnitude, makes
/// at most 8 · 2⁻⁵³ of their sum.
pub(crate) const FILTER: f64 = 4.0 * f64::EPSILON;

/// Sign of `normal · p − offset − shift`, exactly: products are split without error by fused multiply-add and the
/// terms are summed as an expansion (Shewchuk, "Adaptive precision floating-point arithmetic and fast robust geometric
/// predicates", 1997, GROW-EXPANSION).
fn exact_sign(plane: &Plane, p: &Point, shift: f64) -> i32 {
    let n = plane.normal();
    let mut expansion = Expansion::<8>::new();
    for (a, b) in [(n.x, p.x), (n.y, p.y), (n.z, p.z)] {
        expansion.add_product(a, b);
    }
    expansion.add(-plane.offset_mm());
    expansion.add(-shift);
    expansion.sign()
}

/// A sum of at most `N` numbers, without error.
struct Expansion<const N: usize> {
    parts: [f64; N],
    len: usize,
}

impl<const N: usize> Expansion<N> {
    fn new() -> Self {
        Expansion { parts: [0.0; N], len: 0 }
    }

    /// Two numbers: what the product is rounded to, and what that takes away.
    fn add_product(&mut self, a: f64, b: f64) {
        let product = a * b;
        self.add(product);
        self.add(a.mul_add(b, -product));
    }

    fn add(&mut self, term: f64) {
        let mut carry = term;
        for part in &mut self.parts[..self.len] {
            let sum = carry + *part;
            let virtual_part = sum - carry;
            let error = (carry - (sum - virtual_part)) + (*part - virtual_part);
            *part = error;
            carry = sum;
        }
        self.parts[self.len] = carry;
        self.len += 1;
    }

    /// The last part that is not zero outweighs all before it.
    fn sign(&self) -> i32 {
        self.parts[..self.len]
            .iter()
            .rev()
            .find(|&&part| part != 0.0)
            .map_or(0, |&part| if part > 0.0 { 1 } else { -1 })
    }
}

/// How `c` lies as seen from `a` towards `b`: positive to the left, 0 on the line. Exact (the `robust` crate).
pub(crate) fn orient_2d(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    let coord = |p: [f64; 2]| Coord { x: p[0], y: p[1] };
    robust::orient2d(coord(a), coord(b), coord(c))
}

/// Whether `p` lies to the left of the line from `a` to `b` that has been moved by (ε, ε²), with ε > 0 smaller than any
/// number ("simulation of simplicity", Edelsbrunner and Mücke 1990): never on it. `a` and `b` must differ.
pub(crate) fn left_of_moved_line(a: [f64; 2], b: [f64; 2], p: [f64; 2]) -> bool {
    let turn = orient_2d(a, b, p);
    if turn != 0.0 {
        return turn > 0.0;
    }
    // What the move adds to the turn is ε (b − a)₁ − ε² (b − a)₀.
    if a[1] != b[1] { b[1] > a[1] } else { b[0] < a[0] }
}

/// Whether `q`, moved by the same (ε, ε²), lies to the left of the line from `a` to `b`. No for both directions where
/// `a` is `b`.
pub(crate) fn moved_left_of_line(a: [f64; 2], b: [f64; 2], q: [f64; 2]) -> bool {
    let turn = orient_2d(a, b, q);
    if turn != 0.0 {
        return turn > 0.0;
    }
    if a[1] != b[1] { b[1] < a[1] } else { b[0] > a[0] }
}

/// Whether `d` lies within (positive) or outside the circle through `a`, `b` and `c`, which turn left; 0 on it. Exact (the
/// `robust` crate).
pub(crate) fn in_circle(a: [f64; 2], b: [f64; 2], c: [f64; 2], d: [f64; 2]) -> f64 {
    let [a, b, c, d] = [a, b, c, d].map(|[x, y]| Coord { x, y });
    robust::incircle(a, b, c, d)
}

/// Coordinates that are not 0 must be at least this large for the signs in the plane to be exact: 2⁻¹⁴², so that their
/// products of four do not underflow (Shewchuk 1997).
pub(crate) const SMALLEST_FLAT: f64 = f64::from_bits((1023 - 142) << 52);
/// And at most this, 2²⁰¹, so that they do not overflow.
pub(crate) const LARGEST_FLAT: f64 = f64::from_bits((1023 + 201) << 52);

/// Which side of the plane through `a`, `b`, `c` the place `d` is on: positive where the three turn clockwise seen from it
/// (below a face of that order), 0 in the plane. The sign of det(a − d, b − d, c − d). Exact (the `robust` crate).
pub(crate) fn orient_3d(a: &Point, b: &Point, c: &Point, d: &Point) -> f64 {
    let coord = |p: &Point| Coord3D { x: p.x, y: p.y, z: p.z };
    robust::orient3d(coord(a), coord(b), coord(c), coord(d))
}

/// Which way one turns from the direction from `p` to `q` into that from `a` to `b`, in the plane: positive to the left, 0
/// where they are parallel. The sign of (q − p) × (b − a), exactly.
pub(crate) fn turn_between([p, q]: [[f64; 2]; 2], [a, b]: [[f64; 2]; 2]) -> i32 {
    let mut sum = Expansion::<16>::new();
    // All products of the two differences, taken apart.
    for (x, sign_x) in [(q, 1.0), (p, -1.0)] {
        for (y, sign_y) in [(b, sign_x), (a, -sign_x)] {
            sum.add_product(sign_y * x[0], y[1]);
            sum.add_product(-sign_y * x[1], y[0]);
        }
    }
    sum.sign()
}

/// Whether three places lie on one line. Exact: they do if and only if they do so seen along each of the three axes.
pub(crate) fn on_one_line([a, b, c]: [&Point; 3]) -> bool {
    [[0, 1], [1, 2], [2, 0]].into_iter().all(|axes| {
        let [a, b, c] = [a, b, c].map(|p| axes.map(|k| p[k]));
        orient_2d(a, b, c) == 0.0
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Vector;

    #[test]
    fn a_vertex_one_bit_off_the_band_is_off_the_plane() {
        let plane = Plane::new(Vector::new(0.6, 0.0, 0.8), 5.0).unwrap();
        // 0.6 and 0.8 are not exact in binary, so the exact distance of (3, 0, 4) is tiny but not zero.
        let p = Point::new(3.0, 0.0, 4.0);
        let exact = exact_sign(&plane, &p, 0.0);
        let place = side_of_plane(&plane, &p, 0.0);
        assert_eq!(place as i32, exact);
        assert_eq!(side_of_plane(&plane, &p, 1e-12), Where::On);
    }

    #[test]
    fn directions_that_differ_by_one_bit_turn() {
        let (p, q, a) = ([0.1, 0.2], [0.7, 0.9], [1e3, -7.0]);
        let along = |x: f64| [a[0] + x, a[1] + (q[1] - p[1]) / (q[0] - p[0]) * x];
        assert_eq!(turn_between([p, q], [p, q]), 0);
        assert_eq!(turn_between([p, q], [q, p]), 0);
        assert_eq!(turn_between([[1.0, 1.0], [4.0, 5.0]], [[-3.0, 0.0], [0.0, 4.0]]), 0);
        let b = along(5.0);
        assert_eq!(turn_between([p, q], [a, [b[0], b[1] + 1e-9]]), 1);
        assert_eq!(turn_between([p, q], [a, [b[0], b[1] - 1e-9]]), -1);
        assert_eq!(turn_between([[1.0, 1.0], [4.0, 5.0]], [[0.0, 0.0], [3.0, 4.0_f64.next_up()]]), 1);
        assert_eq!(turn_between([[1.0, 1.0], [4.0, 5.0]], [[0.0, 0.0], [3.0, 4.0_f64.next_down()]]), -1);
    }

    #[test]
    fn the_sieve_never_contradicts_the_exact_sign() {
        let plane = Plane::new(Vector::new(0.6, -0.3, 0.8), 5.0).unwrap();
        let sieve = Sieve::new(&plane, 1e-6, 100.0);
        let (u, _) = plane.basis();
        let mut told = 0;
        for step in -60..60_i32 {
            // Ever nearer to the edges of the band, from within and without.
            let off = f64::from(step.signum()) * (1e-6 + f64::from(step % 2 * 2 - 1) * 0.5_f64.powi(step.abs()));
            let p = plane.project(&(Point::origin() + u * 90.0)) + plane.normal() * off;
            let exact = side_of_plane(&plane, &p, 1e-6);
            let box_of = |p: &Point| <[f64; 3]>::from(p.coords);
            for side in [sieve.side_of_three([&p; 3]), sieve.side_of_box(box_of(&p), box_of(&p))].into_iter().flatten()
            {
                assert_eq!(exact, if side == Side::Above { Where::Above } else { Where::Below }, "{off}");
                told += 1;
            }
        }
        assert!(told > 60, "the sieve holds too much back: {told}");
    }

    #[test]
    fn a_box_without_bounds_is_on_no_side() {
        let everywhere = ([f64::NEG_INFINITY; 3], [f64::INFINITY; 3]);
        for normal in [Vector::x(), -Vector::z(), Vector::new(1.0, -1.0, 0.5)] {
            for offset in [0.0, 1e30, -1e30] {
                let sieve = Sieve::new(&Plane::new(normal, offset).unwrap(), 0.0, 1.0);
                assert_eq!(sieve.side_of_box(everywhere.0, everywhere.1), None);
            }
        }
    }

    #[test]
    fn the_edge_of_the_band_belongs_to_the_plane() {
        let plane = Plane::new(Vector::z(), 1.0).unwrap();
        assert_eq!(side_of_plane(&plane, &Point::new(0.0, 0.0, 1.25), 0.25), Where::On);
        assert_eq!(side_of_plane(&plane, &Point::new(0.0, 0.0, 1.25_f64.next_up()), 0.25), Where::Above);
        assert_eq!(side_of_plane(&plane, &Point::new(0.0, 0.0, 0.75_f64.next_down()), 0.25), Where::Below);
    }
}

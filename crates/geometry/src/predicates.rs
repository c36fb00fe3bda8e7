//! Every sign that decides topology comes from here; nobody else compares with a small number.

use robust::Coord;

use crate::{Plane, Point};

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

/// Rounding error of the filter above: three products and four sums, each within 2⁻⁵³ of its terms' magnitude, makes
/// at most 8 · 2⁻⁵³ of their sum.
const FILTER: f64 = 4.0 * f64::EPSILON;

/// Sign of `normal · p − offset − shift`, exactly: products are split without error by fused multiply-add and the
/// terms are summed as an expansion (Shewchuk, "Adaptive precision floating-point arithmetic and fast robust geometric
/// predicates", 1997, GROW-EXPANSION).
fn exact_sign(plane: &Plane, p: &Point, shift: f64) -> i32 {
    let n = plane.normal();
    let mut expansion = Expansion::default();
    for (a, b) in [(n.x, p.x), (n.y, p.y), (n.z, p.z)] {
        let product = a * b;
        expansion.add(product);
        expansion.add(a.mul_add(b, -product));
    }
    expansion.add(-plane.offset_mm());
    expansion.add(-shift);
    expansion.sign()
}

#[derive(Default)]
struct Expansion {
    parts: [f64; 8],
    len: usize,
}

impl Expansion {
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
    fn the_edge_of_the_band_belongs_to_the_plane() {
        let plane = Plane::new(Vector::z(), 1.0).unwrap();
        assert_eq!(side_of_plane(&plane, &Point::new(0.0, 0.0, 1.25), 0.25), Where::On);
        assert_eq!(side_of_plane(&plane, &Point::new(0.0, 0.0, 1.25_f64.next_up()), 0.25), Where::Above);
        assert_eq!(side_of_plane(&plane, &Point::new(0.0, 0.0, 0.75_f64.next_down()), 0.25), Where::Below);
    }
}

//! Nearest places of triangles.

use rayon::prelude::*;

use crate::{Mesh, Point};

/// The place of triangle `t` that is nearest to `p` (Ericson, "Real-Time Collision Detection", 2005, 5.1.5). For triangles
/// without area, a place on one of their edges.
pub(crate) fn on_triangle(p: &Point, [a, b, c]: &[Point; 3]) -> Point {
    let (ab, ac) = (b - a, c - a);
    let ap = p - a;
    let (d1, d2) = (ab.dot(&ap), ac.dot(&ap));
    if d1 <= 0.0 && d2 <= 0.0 {
        return *a;
    }
    let bp = p - b;
    let (d3, d4) = (ab.dot(&bp), ac.dot(&bp));
    if d3 >= 0.0 && d4 <= d3 {
        return *b;
    }
    let cp = p - c;
    let (d5, d6) = (ab.dot(&cp), ac.dot(&cp));
    if d6 >= 0.0 && d5 <= d6 {
        return *c;
    }
    let (va, vb, vc) = (d3 * d6 - d5 * d4, d5 * d2 - d1 * d6, d1 * d4 - d3 * d2);
    if va > 0.0 && vb > 0.0 && vc > 0.0 {
        let scale = 1.0 / (va + vb + vc);
        return a + ab * (vb * scale) + ac * (vc * scale);
    }
    // On an edge: the nearest of the three.
    let candidates = [on_segment(p, a, b), on_segment(p, b, c), on_segment(p, c, a)];
    let nearer = |x: Point, y: Point| if (y - p).norm_squared() < (x - p).norm_squared() { y } else { x };
    nearer(nearer(candidates[0], candidates[1]), candidates[2])
}

/// The place of the segment that is nearest to `p`.
pub(crate) fn on_segment(p: &Point, a: &Point, b: &Point) -> Point {
    let ab = b - a;
    let length = ab.norm_squared();
    if length <= 0.0 {
        return *a;
    }
    a + ab * ((p - a).dot(&ab) / length).clamp(0.0, 1.0)
}

/// The distance of `p` from the nearest face of `mesh`, mm; `None` where it has no faces. Looks at every face.
pub fn distance_to_surface(mesh: &Mesh, p: &Point) -> Option<f64> {
    let all = (0..mesh.triangles.len()).into_par_iter();
    let squared = all.map(|t| (on_triangle(p, &mesh.corners(t)) - p).norm_squared()).reduce_with(f64::min);
    squared.map(f64::sqrt)
}

/// The nearest places of two segments (Ericson, 2005, 5.1.9).
pub fn of_segments([p, q]: [&Point; 2], [r, s]: [&Point; 2]) -> [Point; 2] {
    let (d, e, w) = (q - p, s - r, p - r);
    let (a, b, c, f) = (d.norm_squared(), d.dot(&e), d.dot(&w), e.dot(&w));
    let length = e.norm_squared();
    let across = a * length - b * b;
    let along = if across > 0.0 { ((b * f - c * length) / across).clamp(0.0, 1.0) } else { 0.0 };
    let on_other = on_segment(&(p + d * along), r, s);
    let on_one = on_segment(&on_other, p, q);
    [on_one, on_other]
}

/// The nearest places of two triangles that do not pass through each other: one of them is a corner, or both are on
/// edges.
pub(crate) fn of_triangles(a: &[Point; 3], b: &[Point; 3]) -> [Point; 2] {
    let mut best = [a[0], b[0]];
    let mut best_squared = f64::INFINITY;
    let mut offer = |places: [Point; 2]| {
        let squared = (places[0] - places[1]).norm_squared();
        if squared < best_squared {
            (best, best_squared) = (places, squared);
        }
    };
    for k in 0..3 {
        offer([a[k], on_triangle(&a[k], b)]);
        offer([on_triangle(&b[k], a), b[k]]);
        for j in 0..3 {
            offer(of_segments([&a[k], &a[(k + 1) % 3]], [&b[j], &b[(j + 1) % 3]]));
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use parry3d::math::{Pose, Vector};
    use parry3d::query::{PointQuery, distance};
    use parry3d::shape::Triangle;
    use proptest::prelude::*;

    fn triangle() -> impl Strategy<Value = [Point; 3]> {
        prop::array::uniform3(prop::array::uniform3(-5.0..5.0_f64)).prop_map(|t| t.map(Point::from))
    }

    fn theirs(t: &[Point; 3]) -> Triangle {
        let [a, b, c] = t.map(|p| Vector::new(p.x, p.y, p.z));
        Triangle::new(a, b, c)
    }

    proptest! {
        #[test]
        fn the_nearest_place_on_a_triangle_is_that_of_parry(
            p in prop::array::uniform3(-9.0..9.0_f64).prop_map(Point::from), t in triangle()
        ) {
            let expected = theirs(&t).distance_to_local_point(Vector::new(p.x, p.y, p.z), true);
            prop_assert!((nalgebra::distance(&on_triangle(&p, &t), &p) - expected).abs() < 1e-9);
        }

        #[test]
        fn the_distance_of_triangles_is_that_of_parry(a in triangle(), b in triangle(), off in 10.5..30.0_f64) {
            let b = b.map(|p| p + crate::Vector::new(off, 0.0, 0.0));
            let [p, q] = of_triangles(&a, &b);
            let expected = distance(&Pose::IDENTITY, &theirs(&a), &Pose::IDENTITY, &theirs(&b)).unwrap().distance;
            prop_assert!((nalgebra::distance(&p, &q) - expected).abs() < 1e-6, "{} {}", nalgebra::distance(&p, &q), expected);
        }
    }

    #[test]
    fn a_triangle_without_area_is_as_near_as_its_edges() {
        let line = [Point::origin(), Point::new(1.0, 0.0, 0.0), Point::new(3.0, 0.0, 0.0)];
        assert_eq!(on_triangle(&Point::new(2.0, 5.0, 0.0), &line), Point::new(2.0, 0.0, 0.0));
        assert_eq!(on_triangle(&Point::new(9.0, 5.0, 0.0), &[line[1]; 3]), line[1]);
    }
}

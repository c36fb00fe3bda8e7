//! Where a vertex goes when the faces around it move outwards.

use crate::Vector;

/// The shortest way for a vertex that takes it at least 1 off every plane with one of these normals (of length 1); `None` where
/// there is no such way.
///
/// It is the way to the corner of a mitre, and 1 over the cosine of the smallest cone around the normals long. Found as the
/// smallest circle around points is (Welzl, "Smallest enclosing disks (balls and ellipsoids)", 1991), without shuffling: the
/// planes that bind are one, two or three.
pub(super) fn mitre(normals: &[Vector]) -> Option<Vector> {
    let mut way = *normals.first()?;
    for (i, a) in normals.iter().enumerate() {
        if is_off(&way, a) {
            continue;
        }
        way = *a;
        for (j, b) in normals[..i].iter().enumerate() {
            if is_off(&way, b) {
                continue;
            }
            way = of_two(a, b)?;
            for c in &normals[..j] {
                if !is_off(&way, c) {
                    way = of_three(a, b, c)?;
                }
            }
        }
    }
    // Rounding and nearly equal planes: stretched until it holds for all, or given up.
    let least = normals.iter().map(|n| n.dot(&way)).fold(f64::INFINITY, f64::min);
    (least > LEAST_GAIN && way.norm() / least < FARTHEST).then(|| way / least)
}

/// A way that gains less than this on one of its planes did not come out of the planes but of rounding. Our own choice, no
/// source.
const LEAST_GAIN: f64 = 0.5;
/// A way longer than this leads along the edge of a blade: it is as good as none. Our own choice, no source.
const FARTHEST: f64 = 100.0;

/// Whether the way takes a vertex off the plane, to within rounding.
fn is_off(way: &Vector, normal: &Vector) -> bool {
    way.dot(normal) >= 1.0 - 1e-12
}

fn of_two(a: &Vector, b: &Vector) -> Option<Vector> {
    let both = 1.0 + a.dot(b);
    (both > 1.0 / (FARTHEST * FARTHEST)).then(|| (a + b) / both)
}

fn of_three(a: &Vector, b: &Vector, c: &Vector) -> Option<Vector> {
    let volume = a.dot(&b.cross(c));
    let way = (b.cross(c) + c.cross(a) + a.cross(b)) / volume;
    way.iter().all(|x| x.is_finite()).then_some(way)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_corner_of_a_cube_goes_along_its_diagonal() {
        let way = mitre(&[Vector::x(), Vector::y(), Vector::z()]).unwrap();
        assert!((way - Vector::new(1.0, 1.0, 1.0)).norm() < 1e-12);
        assert_eq!(mitre(&[Vector::x()]), Some(Vector::x()));
        assert_eq!(mitre(&[Vector::x(), -Vector::x()]), None);
        assert_eq!(mitre(&[]), None);
    }

    fn normal() -> impl Strategy<Value = Vector> {
        prop::array::uniform3(-1.0..1.0f64)
            .prop_map(Vector::from)
            .prop_filter("points somewhere", |v| v.norm() > 0.1)
            .prop_map(|v| v.normalize())
    }

    proptest! {
        #[test]
        fn no_shorter_way_is_off_all_planes(normals in prop::collection::vec(normal(), 1..7), tries in prop::collection::vec(normal(), 200)) {
            let Some(way) = mitre(&normals) else { return Ok(()) };
            prop_assert!(normals.iter().all(|n| n.dot(&way) >= 1.0 - 1e-9));
            // Any other direction needs to go as far at least.
            for direction in tries {
                let gain = normals.iter().map(|n| n.dot(&direction)).fold(f64::INFINITY, f64::min);
                prop_assert!(gain <= 0.0 || 1.0 / gain >= way.norm() * (1.0 - 1e-6), "{direction} {way}");
            }
        }
    }
}

//! Area that triangles of one plane share.

use std::collections::BTreeMap;

use nalgebra::{Point2, Vector2};
use seamwright_geometry::{Plane, Point};

/// A triangle in the plane, turned counter-clockwise, with a number of the caller's.
pub(super) struct Laid {
    corners: [Point2<f64>; 3],
    owner: usize,
    min: Point2<f64>,
    max: Point2<f64>,
}

impl Laid {
    /// Drops `corners` onto `plane`.
    pub fn on(plane: &Plane, corners: [Point; 3], owner: usize) -> Laid {
        let (u, v) = plane.basis();
        let [a, b, c] = corners.map(|p| Point2::new(u.dot(&p.coords), v.dot(&p.coords)));
        let corners = if turn(a, b, c) < 0.0 { [a, c, b] } else { [a, b, c] };
        Laid { corners, owner, min: a.inf(&b).inf(&c), max: a.sup(&b).sup(&c) }
    }
}

/// For every pair of owners (one of `lower`, one of `upper`) the area that their triangles share. Triangles of one list
/// must not overlap each other.
pub(super) fn areas(lower: Vec<Laid>, mut upper: Vec<Laid>) -> BTreeMap<(usize, usize), f64> {
    upper.sort_by(|a, b| a.min.x.total_cmp(&b.min.x));
    let widest = upper.iter().map(|face| face.max.x - face.min.x).fold(0.0, f64::max);
    let mut areas = BTreeMap::new();
    for low in &lower {
        let first = upper.partition_point(|face| face.min.x < low.min.x - widest);
        for up in upper[first..].iter().take_while(|face| face.min.x <= low.max.x) {
            if up.max.x < low.min.x || up.max.y < low.min.y || low.max.y < up.min.y {
                continue;
            }
            *areas.entry((low.owner, up.owner)).or_default() += shared_area(&low.corners, &up.corners);
        }
    }
    areas
}

/// Clips the first triangle by each side of the second (Sutherland and Hodgman, "Reentrant polygon clipping", 1974).
fn shared_area(subject: &[Point2<f64>; 3], clip: &[Point2<f64>; 3]) -> f64 {
    let mut polygon = subject.to_vec();
    for i in 0..3 {
        let (from, to) = (clip[i], clip[(i + 1) % 3]);
        let inside = |p: &Point2<f64>| turn(from, to, *p);
        let mut kept = Vec::with_capacity(polygon.len() + 1);
        for (k, p) in polygon.iter().enumerate() {
            let q = &polygon[(k + 1) % polygon.len()];
            let (at_p, at_q) = (inside(p), inside(q));
            if at_p >= 0.0 {
                kept.push(*p);
            }
            if (at_p >= 0.0) != (at_q >= 0.0) {
                kept.push(p + (q - p) * (at_p / (at_p - at_q)));
            }
        }
        polygon = kept;
    }
    let Some(&origin) = polygon.first() else { return 0.0 };
    let doubled: f64 = polygon.windows(2).map(|edge| turn(origin, edge[0], edge[1])).sum();
    (doubled / 2.0).max(0.0)
}

/// Twice the area of the triangle, negative when it turns clockwise.
fn turn(a: Point2<f64>, b: Point2<f64>, c: Point2<f64>) -> f64 {
    let (ab, ac): (Vector2<f64>, Vector2<f64>) = (b - a, c - a);
    ab.perp(&ac)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use seamwright_geometry::Vector;

    fn laid(corners: [[f64; 2]; 3], owner: usize) -> Laid {
        let plane = Plane::new(Vector::z(), 0.0).unwrap();
        let (u, v) = plane.basis();
        Laid::on(&plane, corners.map(|[x, y]| Point::from(u * x + v * y)), owner)
    }

    fn total(lower: Vec<Laid>, upper: Vec<Laid>) -> f64 {
        areas(lower, upper).values().sum()
    }

    #[test]
    fn two_halves_of_a_square_share_a_quarter_with_a_half_of_the_other_diagonal() {
        let lower =
            || vec![laid([[0.0, 0.0], [2.0, 0.0], [2.0, 2.0]], 0), laid([[0.0, 0.0], [2.0, 2.0], [0.0, 2.0]], 1)];
        let upper =
            || vec![laid([[0.0, 2.0], [2.0, 0.0], [2.0, 2.0]], 2), laid([[0.0, 0.0], [2.0, 0.0], [0.0, 2.0]], 3)];
        let found = areas(lower(), upper());
        assert_eq!(found, [((0, 2), 1.0), ((0, 3), 1.0), ((1, 2), 1.0), ((1, 3), 1.0)].into());
    }

    #[test]
    fn triangles_side_by_side_share_nothing() {
        let one = || laid([[0.0, 0.0], [2.0, 0.0], [0.0, 2.0]], 0);
        assert_eq!(total(vec![one()], vec![laid([[2.0, 0.0], [2.0, 2.0], [0.0, 2.0]], 1)]), 0.0);
        assert_eq!(total(vec![one()], vec![laid([[3.0, 0.0], [5.0, 2.0], [3.0, 2.0]], 1)]), 0.0);
    }

    proptest! {
        #[test]
        fn a_triangle_shares_with_the_parts_of_a_square_what_lies_in_the_square(
            corners in prop::array::uniform3(prop::array::uniform2(-3.0..3.0f64)), middle in prop::array::uniform2(-0.9..0.9f64),
        ) {
            let square = [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]];
            let fan = (0..4).map(|i| laid([middle, square[i], square[(i + 1) % 4]], i)).collect();
            let halves = vec![laid([square[0], square[1], square[2]], 0), laid([square[0], square[2], square[3]], 1)];
            let by_fan = total(vec![laid(corners, 9)], fan);
            let by_halves = total(vec![laid(corners, 9)], halves);
            prop_assert!((by_fan - by_halves).abs() < 1e-12);
            prop_assert!(by_fan <= 4.0 + 1e-12);
            if corners.iter().flatten().all(|x| x.abs() <= 1.0) {
                let own = total(vec![laid(corners, 0)], vec![laid(corners, 0)]);
                prop_assert!((by_fan - own).abs() < 1e-12);
            }
        }
    }
}

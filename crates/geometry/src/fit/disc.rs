//! The smallest circle around points of the plane.

use crate::hull::Point2;

/// A circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Circle {
    pub centre: Point2,
    pub radius: f64,
}

/// Share of the radius by which a point may be outside and still count as inside: rounding of the centre.
const ROUNDING_SHARE: f64 = 1e-12;

/// Share of the radius that points may be inside and still be told to carry it. What is bounded by them is then wrong by
/// as much, which a thousandth of a micrometre covers.
const CARRIED_SHARE: f64 = 1e-12;

impl Circle {
    /// The smallest around `points` (E. Welzl, *Smallest enclosing disks*, LNCS 555:359–370, 1991, in the form with
    /// three loops); `None` without any. The order of the points only decides how long it takes.
    pub fn around(points: &[Point2]) -> Option<Circle> {
        let (first, rest) = points.split_first()?;
        let mut circle = Circle { centre: *first, radius: 0.0 };
        for (i, p) in rest.iter().enumerate() {
            if circle.holds(p) {
                continue;
            }
            let before = &points[..=i];
            circle = Circle { centre: *p, radius: 0.0 };
            for (j, q) in before.iter().enumerate() {
                if circle.holds(q) {
                    continue;
                }
                circle = Circle::across(p, q);
                for r in &before[..j] {
                    if !circle.holds(r) {
                        circle = Circle::through(p, q, r).unwrap_or(circle);
                    }
                }
            }
        }
        // Rounding, and corners so nearly on one line that no circle was drawn through them.
        circle.radius = points.iter().map(|p| (p - circle.centre).norm()).fold(0.0, f64::max);
        Some(circle)
    }

    /// Whether two of the points it was drawn around lie a diameter apart.
    pub fn carried_by_two(&self, points: &[Point2]) -> bool {
        let on_it: Vec<&Point2> =
            points.iter().filter(|p| self.sticks_out_mm(p) >= -self.radius * CARRIED_SHARE).collect();
        let apart = |p: &Point2, q: &Point2| (p - q).norm() >= 2.0 * self.radius * (1.0 - CARRIED_SHARE);
        (0..on_it.len()).any(|i| (0..i).any(|j| apart(on_it[i], on_it[j])))
    }

    /// How far a point is outside, mm; negative inside.
    pub fn sticks_out_mm(&self, p: &Point2) -> f64 {
        (p - self.centre).norm() - self.radius
    }

    fn holds(&self, p: &Point2) -> bool {
        (p - self.centre).norm() <= self.radius * (1.0 + ROUNDING_SHARE)
    }

    fn across(p: &Point2, q: &Point2) -> Circle {
        Circle { centre: nalgebra::center(p, q), radius: (p - q).norm() / 2.0 }
    }

    fn through(p: &Point2, q: &Point2, r: &Point2) -> Option<Circle> {
        let (a, b) = (q - p, r - p);
        let twice = 2.0 * a.perp(&b);
        let (a2, b2) = (a.norm_squared(), b.norm_squared());
        let to_centre = nalgebra::Vector2::new(b.y * a2 - a.y * b2, a.x * b2 - b.x * a2) / twice;
        let radius = to_centre.norm();
        radius.is_finite().then(|| Circle { centre: p + to_centre, radius })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn two_or_three_points_carry_it() {
        let at = |x: f64, y: f64| Point2::new(x, y);
        assert_eq!(Circle::around(&[]), None);
        assert_eq!(Circle::around(&[at(3.0, 4.0)]), Some(Circle { centre: at(3.0, 4.0), radius: 0.0 }));
        let square = [at(0.0, 0.0), at(10.0, 0.0), at(10.0, 10.0), at(0.0, 10.0)];
        let circle = Circle::around(&square).unwrap();
        assert!((circle.radius - 50.0_f64.sqrt()).abs() < 1e-12 && (circle.centre - at(5.0, 5.0)).norm() < 1e-12);
        // An equilateral triangle of side 1: 1/√3.
        let triangle = [at(0.0, 0.0), at(1.0, 0.0), at(0.5, 0.75_f64.sqrt())];
        assert!((Circle::around(&triangle).unwrap().radius - 3.0_f64.sqrt().recip()).abs() < 1e-12);
        let line = [at(0.0, 0.0), at(1.0, 1.0), at(4.0, 4.0), at(2.0, 2.0)];
        assert!((Circle::around(&line).unwrap().radius - 8.0_f64.sqrt()).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn it_holds_all_and_none_smaller_does(points in prop::collection::vec([-50.0_f64..50.0, -20.0_f64..20.0], 2..40)) {
            let points: Vec<Point2> = points.into_iter().map(Point2::from).collect();
            let circle = Circle::around(&points).unwrap();
            let radius_at = |c: Point2| points.iter().map(|p| (p - c).norm()).fold(0.0, f64::max);
            // The radius needed is convex in the centre: what no small step betters is the smallest.
            for k in 0..32 {
                let (s, c) = (f64::from(k) * std::f64::consts::PI / 16.0).sin_cos();
                let step = nalgebra::Vector2::new(c, s) * 1e-4;
                prop_assert!(radius_at(circle.centre + step) > circle.radius - 1e-9);
            }
        }
    }
}

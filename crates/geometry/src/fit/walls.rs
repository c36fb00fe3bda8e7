//! The place within straight walls that leaves the most room: a linear programme in three variables.

use crate::hull::Point2;
use nalgebra::{Matrix3, Vector2, Vector3};

/// What a shift must keep to: `normal · shift + clearance ≤ at_most`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wall {
    /// Unit length.
    pub normal: Vector2<f64>,
    pub at_most: f64,
}

impl Wall {
    /// What a shift leaves of it.
    pub fn left(&self, shift: &Vector2<f64>) -> f64 {
        self.at_most - self.normal.dot(shift)
    }

    fn row(&self) -> Vector3<f64> {
        Vector3::new(self.normal.x, self.normal.y, 1.0)
    }
}

/// Three walls that no shift can leave all at once, with what is best within those three.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corner {
    walls: [usize; 3],
    /// What is best there.
    pub shift: Vector2<f64>,
    /// The clearance there: no shift has more with all the walls.
    pub clearance: f64,
}

/// A wall is overstepped by more than this, mm: rounding of places a metre away is a thousandth of it.
const OVERSTEPPED_MM: f64 = 1e-9;
/// Steps before giving up; a handful is the rule.
const MOST_STEPS: usize = 200;
/// A pivot smaller than this is rounding of zero: rows have a length of √2.
const PIVOT: f64 = 1e-12;

/// The three walls to begin with: their normals enclose the origin. `None` where walls enclose nothing.
pub(crate) fn enclosing_three(walls: &[Wall]) -> Option<[usize; 3]> {
    let count = walls.len();
    let all = (0..count).flat_map(|i| (i + 1..count).flat_map(move |j| (j + 1..count).map(move |k| [i, j, k])));
    // Of those that enclose it, a triple far from flat keeps rounding small; any is good enough.
    const FAR_FROM_FLAT: f64 = 0.1;
    let quality = |three: &[usize; 3]| {
        let weights = weights(walls, three)?;
        let flat = rows(walls, three).determinant().abs();
        (weights.iter().all(|w| *w >= -PIVOT) && flat > PIVOT).then_some(flat)
    };
    let mut best: Option<([usize; 3], f64)> = None;
    for three in all {
        if let Some(flat) = quality(&three)
            && best.is_none_or(|(_, before)| flat > before)
        {
            best = Some((three, flat));
            if flat > FAR_FROM_FLAT {
                break;
            }
        }
    }
    best.map(|(three, _)| three)
}

fn rows(walls: &[Wall], three: &[usize; 3]) -> Matrix3<f64> {
    Matrix3::from_rows(&three.map(|i| walls[i].row().transpose()))
}

/// What share of each of three walls holds the clearance: Σ share · (normal, 1) = (0, 0, 1).
fn weights(walls: &[Wall], three: &[usize; 3]) -> Option<Vector3<f64>> {
    rows(walls, three).transpose().try_inverse().map(|inverse| inverse * Vector3::z())
}

impl Corner {
    /// The best within the three walls of [`enclosing_three`].
    pub fn of(walls: &[Wall], three: [usize; 3]) -> Option<Corner> {
        let at_most = Vector3::from(three.map(|i| walls[i].at_most));
        let best = rows(walls, &three).try_inverse()? * at_most;
        Some(Corner { walls: three, shift: best.xy(), clearance: best.z })
    }

    /// The best within all of `walls`, of which the ones before were respected already: the dual simplex method
    /// (C. E. Lemke, Naval Research Logistics Quarterly 1:36–47, 1954).
    pub fn within(self, walls: &[Wall]) -> Corner {
        self.towards(walls, f64::NEG_INFINITY)
    }

    /// The best within all of `walls`, of which only the last was not respected before, if its clearance is above `floor`.
    pub fn above(self, walls: &[Wall], floor: f64) -> Option<Corner> {
        // Most lines leave too little by themselves, which needs no look at all the walls.
        let last = walls.len().checked_sub(1)?;
        let oversteps = self.clearance - walls[last].left(&self.shift) > OVERSTEPPED_MM;
        let first = if oversteps { self.exchanged(walls, last).unwrap_or(self) } else { self };
        Some(first.towards(walls, floor)).filter(|corner| corner.clearance > floor)
    }

    /// Every step lowers the clearance, so that none is made below `floor`.
    fn towards(mut self, walls: &[Wall], floor: f64) -> Corner {
        for _ in 0..MOST_STEPS {
            if self.clearance <= floor {
                break;
            }
            let over = |wall: &Wall| self.clearance - wall.left(&self.shift);
            let worst = (0..walls.len()).map(|k| (over(&walls[k]), k)).max_by(|a, b| a.0.total_cmp(&b.0));
            let Some((_, entering)) = worst.filter(|(over, _)| *over > OVERSTEPPED_MM) else { break };
            let Some(next) = self.exchanged(walls, entering) else { break };
            self = next;
        }
        self
    }

    /// With one of the three walls replaced, so that the clearance stays held.
    fn exchanged(&self, walls: &[Wall], entering: usize) -> Option<Corner> {
        let inverse = rows(walls, &self.walls).transpose().try_inverse()?;
        let (held, pivots) = (inverse * Vector3::z(), inverse * walls[entering].row());
        let leaving = (0..3)
            .filter(|&i| pivots[i] > PIVOT)
            .min_by(|&i, &j| (held[i].max(0.0) / pivots[i]).total_cmp(&(held[j].max(0.0) / pivots[j])))?;
        let mut three = self.walls;
        three[leaving] = entering;
        Corner::of(walls, three)
    }
}

/// The walls of a convex polygon, counter-clockwise, moved inwards by `kept_mm`.
pub(crate) fn walls_of(corners: &[Point2], kept_mm: f64) -> Vec<Wall> {
    let next = corners.iter().cycle().skip(1);
    let wall = |(a, b): (&Point2, &Point2)| {
        let normal = Vector2::new(b.y - a.y, a.x - b.x).try_normalize(0.0)?;
        Some(Wall { normal, at_most: normal.dot(&a.coords) - kept_mm })
    };
    corners.iter().zip(next).filter_map(wall).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::convex_polygon;
    use proptest::prelude::*;

    fn best(walls: &[Wall]) -> Corner {
        Corner::of(walls, enclosing_three(walls).unwrap()).unwrap().within(walls)
    }

    #[test]
    fn the_middle_of_a_rectangle_and_of_a_triangle_leave_the_most() {
        let at = |x: f64, y: f64| Point2::new(x, y);
        let walls = walls_of(&[at(0.0, 0.0), at(30.0, 0.0), at(30.0, 20.0), at(0.0, 20.0)], 0.0);
        let corner = best(&walls);
        assert!((corner.clearance - 10.0).abs() < 1e-9 && (corner.shift.y - 10.0).abs() < 1e-9);
        // A right triangle 3, 4, 5 has an inscribed circle of radius 1.
        let corner = best(&walls_of(&[at(0.0, 0.0), at(4.0, 0.0), at(0.0, 3.0)], 0.0));
        assert!((corner.clearance - 1.0).abs() < 1e-12 && (corner.shift - Vector2::new(1.0, 1.0)).norm() < 1e-12);
    }

    proptest! {
        #[test]
        fn no_place_leaves_more(points in prop::collection::vec([-50.0_f64..50.0, -30.0_f64..30.0], 3..40)) {
            let corners = convex_polygon(points.into_iter().map(Point2::from).collect());
            prop_assume!(corners.len() > 2);
            let walls = walls_of(&corners, 0.0);
            let corner = best(&walls);
            let left = |shift: &Vector2<f64>| walls.iter().map(|w| w.left(shift)).fold(f64::INFINITY, f64::min);
            prop_assert!((left(&corner.shift) - corner.clearance).abs() < 1e-7);
            // What is left is concave in the shift.
            for k in 0..32 {
                let (s, c) = (f64::from(k) * std::f64::consts::PI / 16.0).sin_cos();
                prop_assert!(left(&(corner.shift + Vector2::new(c, s) * 1e-3)) <= corner.clearance + 1e-7);
            }
        }
    }
}

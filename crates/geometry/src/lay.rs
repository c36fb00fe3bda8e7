//! Laying a piece on a flat.

use crate::fit::{Effort, Figure, Ground, Levelled, Placement, ROUNDING_MM, Room, best_swing};
use crate::{Bed, Motion, Point, Vector};

/// The motion `bed_from_piece` that brings the direction `down` (piece frame, any length; the outward normal of the
/// flat to lie on) to −z and the lowest of `points` to z = `bed.raft_mm`, where it has most room.
///
/// About the vertical it is turned into the smallest rectangle that the bed holds, which packs best; where the bed
/// holds none of those, by the turn that leaves the greatest slack.
///
/// `None` when there are no points, when a number is not finite, when `down` has no length or when margins leave no
/// room. Whether the piece is
/// then inside the bed is not asked here: see [`sticks_out_mm`](crate::sticks_out_mm).
pub fn lay_on(points: &[Point], down: &Vector, bed: &Bed) -> Option<Motion> {
    let largest = down.amax();
    if !(largest > 0.0 && largest.is_finite()) || points.iter().any(|p| p.iter().any(|x| !x.is_finite())) {
        return None;
    }
    let level = Levelled::by(&(down / largest).normalize());
    let room = Room::of(bed)?;
    let figure = Figure::of(points, &room);
    let seen = figure.seen(&level, room.levels_mm())?;
    let [width, depth, _] = room.size_mm;
    let smallest = seen.outline.smallest_rectangle([width, depth], -ROUNDING_MM);
    if let Some(turn) = smallest {
        let placement = Placement::of(&figure, level.turned(turn.turn_rad), &room)?;
        if matches!(room.ground, Ground::Box) || placement.slack_mm() >= -ROUNDING_MM {
            return Some(placement.pose);
        }
    }
    let turn_rad = match room.ground {
        Ground::Box => seen.outline.best_turn([width, depth]).turn_rad,
        Ground::Disc(_) | Ground::Walled(_) => best_swing(&seen.shadow(), &room, Effort::BEST)?.turn_rad,
    };
    Some(Placement::of(&figure, level.turned(turn_rad), &room)?.pose)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{solids, sticks_out_mm};
    use proptest::prelude::*;

    #[test]
    fn a_slab_standing_on_its_edge_is_laid_flat_and_square() {
        let slab = solids::cuboid(Point::origin(), Point::new(80.0, 5.0, 40.0));
        let askew = Motion::rotation(Vector::new(0.3, -0.8, 0.5));
        let points: Vec<Point> = slab.vertices.iter().map(|p| askew * p).collect();
        let bed = Bed { raft_mm: 1.0, ..Bed::rectangle(100.0, 60.0, 20.0) };
        let pose = lay_on(&points, &(askew * Vector::new(0.0, -3.0, 0.0)), &bed).unwrap();
        let laid: Vec<Point> = points.iter().map(|p| pose * p).collect();
        let bounds = crate::Bounds::of(laid).unwrap();
        assert!((bounds.min - Point::new(10.0, 10.0, 1.0)).amax() < 1e-9, "{bounds:?}");
        assert!((bounds.max - Point::new(90.0, 50.0, 6.0)).amax() < 1e-9, "{bounds:?}");
    }

    #[test]
    fn nonsense_is_laid_nowhere() {
        let bed = Bed::rectangle(10.0, 10.0, 10.0);
        assert_eq!(lay_on(&[], &Vector::z(), &bed), None);
        assert_eq!(lay_on(&[Point::origin()], &Vector::zeros(), &bed), None);
        assert_eq!(lay_on(&[Point::origin()], &Vector::new(f64::NAN, 0.0, 0.0), &bed), None);
        assert_eq!(lay_on(&[Point::new(f64::INFINITY, 0.0, 0.0)], &Vector::z(), &bed), None);
    }

    #[test]
    fn a_strip_longer_than_the_bed_lies_on_its_diagonal() {
        let strip = solids::cuboid(Point::origin(), Point::new(130.0, 4.0, 4.0));
        let bed = Bed::rectangle(100.0, 100.0, 10.0);
        let pose = lay_on(&strip.vertices, &-Vector::z(), &bed).unwrap();
        assert!(sticks_out_mm(&strip.vertices, &pose, &bed) <= ROUNDING_MM);
    }

    proptest! {
        #[test]
        fn the_direction_points_down_and_the_lowest_point_is_on_the_raft(
            points in prop::collection::vec([-50.0_f64..50.0, -50.0_f64..50.0, -50.0_f64..50.0], 1..40),
            down in [-1.0_f64..1.0, -1.0_f64..1.0, -1.0_f64..1.0],
        ) {
            let points: Vec<Point> = points.into_iter().map(Point::from).collect();
            let down = Vector::from(down);
            prop_assume!(down.norm() > 0.01);
            let bed = Bed { raft_mm: 0.3, ..Bed::rectangle(100.0, 60.0, 20.0) };
            let pose = lay_on(&points, &down, &bed).unwrap();
            prop_assert!((pose * down.normalize() + Vector::z()).norm() < 1e-12);
            let lowest = points.iter().map(|p| (pose * p).z).fold(f64::INFINITY, f64::min);
            prop_assert!((lowest - 0.3).abs() < 1e-9);
        }
    }
}

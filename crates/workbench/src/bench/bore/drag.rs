//! Dragging an end, a bend, or all of a bore.

use egui::{Pos2, Vec2};
use seamwright_geometry::{Point, Vector};

use super::BoreInHand;
use crate::bench::drag::SNAP_MM;
use crate::bench::view::View;

/// A handle of a bore.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BoreHandle {
    /// A point of its line: an end, or a bend.
    Point(usize),
    /// All of it.
    Whole,
}

/// A handle being dragged: all that was true when it was taken. It moves in the plane that faces the viewer.
#[derive(Clone, Debug, PartialEq)]
pub struct BoreDrag {
    /// Which one.
    pub handle: BoreHandle,
    /// The line when it was taken.
    pub start: Vec<Point>,
    /// Where the handle was.
    seat: Point,
    /// Where on it the pointer took it, points.
    grabbed: Vec2,
    latest: Vec<Point>,
}

impl BoreDrag {
    /// Takes `handle` of `bore` at the screen point `at`.
    pub fn begin(handle: BoreHandle, bore: &BoreInHand, view: &View, at: Pos2) -> BoreDrag {
        let seat = match handle {
            BoreHandle::Point(i) => bore.line[i],
            BoreHandle::Whole => bore.middle(),
        };
        let grabbed = view.project(&seat).map_or(Vec2::ZERO, |p| at - p);
        BoreDrag { handle, start: bore.line.clone(), seat, grabbed, latest: bore.line.clone() }
    }

    /// Where the line was last.
    pub fn latest(&self) -> &[Point] {
        &self.latest
    }

    /// Where the line is with the pointer at `at`; on whole millimetres if `snap`.
    pub fn follow(&mut self, view: &View, at: Pos2, snap: bool) -> Vec<Point> {
        let to = view.place_at_depth_of(&self.seat, at - self.grabbed);
        let farthest = FARTHEST_DRAG * view.camera.distance_mm;
        let by = to - self.seat;
        let by = if by.norm() > farthest { by * (farthest / by.norm()) } else { by };
        let snapped = |p: Point| if snap { p.map(|x| (x / SNAP_MM).round() * SNAP_MM) } else { p };
        self.latest = match self.handle {
            BoreHandle::Point(i) => {
                let mut line = self.start.clone();
                line[i] = snapped(self.seat + by);
                line
            }
            BoreHandle::Whole => {
                // In whole steps of the way, so that both ends keep their distance.
                let by = if snap { by.map(|x| (x / SNAP_MM).round() * SNAP_MM) } else { by };
                self.start.iter().map(|p| p + by).collect()
            }
        };
        self.latest.clone()
    }

    /// How far the handle came.
    pub fn moved(&self) -> Vector {
        let at = if let BoreHandle::Point(i) = self.handle { i } else { 0 };
        match (self.latest.get(at), self.start.get(at)) {
            (Some(now), Some(then)) => now - then,
            _ => Vector::zeros(),
        }
    }
}

/// A drag goes no farther than this many times the distance of the camera.
const FARTHEST_DRAG: f64 = 1.0;

#[cfg(test)]
mod tests {
    use egui::{Rect, vec2};
    use seamwright_geometry::Bounds;

    use super::*;
    use crate::bench::{Camera, StandardView};

    fn view() -> View {
        let around = Bounds { min: Point::new(-50.0, -50.0, 0.0), max: Point::new(50.0, 50.0, 100.0) };
        let rect = Rect::from_min_size(Pos2::ZERO, vec2(1000.0, 700.0));
        View { camera: Camera::default().seen_from(StandardView::Front).framing(&around, 1000.0 / 700.0), rect }
    }

    fn bore() -> BoreInHand {
        let line = vec![Point::new(1.5, 0.0, 10.0), Point::new(1.5, 0.0, 90.0)];
        BoreInHand { line, radius_mm: 4.0, walls: Default::default(), least: None, held: true }
    }

    #[test]
    fn each_handle_is_found_where_it_is_drawn_and_none_on_a_bore_that_is_only_shown() {
        let (bore, view) = (bore(), view());
        let at = |p: &Point| view.project(p).unwrap() + vec2(3.0, -2.0);
        assert_eq!(bore.under(&view, at(&bore.line[0])), Some(BoreHandle::Point(0)));
        assert_eq!(bore.under(&view, at(&bore.line[1])), Some(BoreHandle::Point(1)));
        assert_eq!(bore.under(&view, at(&bore.middle())), Some(BoreHandle::Whole));
        assert_eq!(bore.under(&view, at(&Point::new(40.0, 0.0, 50.0))), None);
        assert_eq!(BoreInHand { held: false, ..bore.clone() }.under(&view, at(&bore.line[0])), None);
    }

    #[test]
    fn an_end_follows_the_pointer_in_the_plane_that_faces_it_and_the_other_stays() {
        let (bore, view) = (bore(), view());
        let grab = view.project(&bore.line[1]).unwrap() + vec2(4.0, 3.0);
        let to = view.project(&Point::new(21.5, 0.0, 80.0)).unwrap() + vec2(4.0, 3.0);
        let mut drag = BoreDrag::begin(BoreHandle::Point(1), &bore, &view, grab);
        let line = drag.follow(&view, to, false);
        assert_eq!(line[0], bore.line[0]);
        assert!((line[1] - Point::new(21.5, 0.0, 80.0)).norm() < 0.01, "{}", line[1]);
        let snapped = drag.follow(&view, to + vec2(1.0, 1.0), true);
        assert!(snapped[1].iter().all(|x| x.fract() == 0.0), "{}", snapped[1]);
        assert!((drag.moved() - (snapped[1] - bore.line[1])).norm() < 1e-12);
    }

    #[test]
    fn all_of_it_moves_without_turning() {
        let (bore, view) = (bore(), view());
        let grab = view.project(&bore.middle()).unwrap();
        let mut drag = BoreDrag::begin(BoreHandle::Whole, &bore, &view, grab);
        let line = drag.follow(&view, grab + vec2(50.0, 0.0), true);
        let by: Vec<Vector> = line.iter().zip(&bore.line).map(|(a, b)| a - b).collect();
        assert!((by[0] - by[1]).norm() < 1e-12 && by[0].x > 1.0 && by[0].x.fract() == 0.0, "{by:?}");
    }
}

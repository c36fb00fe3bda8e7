//! The handles of the cut being placed: where they are, and which one is under the pointer.

use egui::Pos2;
use seamwright_geometry::{Point, Vector};

use super::cut_in_hand::CutInHand;
use super::drag::Drag;
use super::lean::Lean;
use super::view::View;

/// A handle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Handle {
    /// Moves the plane along its normal.
    Move,
    /// Changes the first angle of its [`Lean`].
    TiltFirst,
    /// Changes the second angle of its [`Lean`].
    TiltSecond,
}

// Sizes on the screen, in points, where there is room.
const ARROW_FROM: f64 = 22.0;
const ARROW_LENGTH: f64 = 88.0;
const ARROW_BACK: f64 = 56.0;
const TILT_RADIUS: f64 = 108.0;
/// A bench that is less high or wide than this, points, has smaller handles, so that they stay in the picture; and at least so
/// large a share of their size. Our own choice, by eye.
const ROOMY: f32 = 280.0;
const LEAST_SHARE: f32 = 0.5;
/// How far from a handle the pointer still takes it.
const REACH: f32 = 11.0;
/// An arrow shorter than this on the screen points at the viewer: it can't be pulled, so it is not shown.
const SHORTEST_ARROW: f32 = 18.0;
/// Half of the arc drawn through a tilt knob.
const ARC_HALF_DEG: f64 = 17.0;

/// Where the handles are, in the world.
#[derive(Clone, Debug, PartialEq)]
pub struct Handles {
    /// Where they all hang, on the plane.
    pub seat: Point,
    /// The arrow's ends and where its shaft begins on either side; `None` when it points at the viewer.
    pub arrow: Option<Arrow>,
    /// The tilt knobs.
    pub knobs: [Knob; 2],
}

/// The arrow along the normal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrow {
    /// From the shaft's beginning to its tip, above the plane.
    pub above: [Point; 2],
    /// The same below.
    pub below: [Point; 2],
}

/// A knob that tilts the plane about a hinge.
#[derive(Clone, Debug, PartialEq)]
pub struct Knob {
    /// The line about which it tilts; a unit vector in the plane.
    pub hinge: Vector,
    /// Unit vector in the plane from the seat to the knob.
    pub arm: Vector,
    /// Length of the arm, mm.
    pub radius_mm: f64,
    /// Where it is.
    pub at: Point,
    /// A piece of the circle on which it runs.
    pub arc: Vec<Point>,
}

impl Handles {
    /// The handles of `cut` as seen in `view`. While a drag goes on, its hinges stay.
    pub fn of(cut: &CutInHand, view: &View, drag: Option<&Drag>) -> Handles {
        let n = cut.plane.normal();
        // A tilt turns about the place where the handles hung when it began.
        let tilted = drag.filter(|d| d.handle != Handle::Move);
        let seat = tilted.map_or_else(|| cut.seat(), |d| cut.plane.project(&d.seat));
        let share = (view.rect.height().min(view.rect.width()) / ROOMY).clamp(LEAST_SHARE, 1.0);
        let mm = view.mm_per_point(&seat) * f64::from(share);
        let axes = drag.map_or_else(|| Lean::of(&n).axes, |d| d.axes);
        let hinges = Lean::against(axes, &n).hinges(&n);
        let to_eye = view.towards_eye(&seat);
        let knobs = [0, 1].map(|i| {
            let side = drag.filter(|d| d.handle != Handle::Move).map(|d| d.sides[i]);
            let arm = hinges[i].cross(&n);
            let side = side.unwrap_or(if arm.dot(&to_eye) < 0.0 { -1.0 } else { 1.0 });
            Knob::new(seat, hinges[i], arm * side, TILT_RADIUS * mm)
        });
        let along = |points: f64| seat + n * (points * mm);
        let arrow =
            Arrow { above: [along(ARROW_FROM), along(ARROW_LENGTH)], below: [along(-ARROW_FROM), along(-ARROW_BACK)] };
        let long_enough = |ends: [Point; 2]| {
            let [a, b] = ends.map(|p| view.project(&p));
            a.zip(b).is_some_and(|(a, b)| a.distance(b) >= SHORTEST_ARROW)
        };
        Handles { seat, arrow: long_enough(arrow.above).then_some(arrow), knobs }
    }

    /// The handle under `at`: the nearest, and of two as near a knob.
    pub fn under(&self, view: &View, at: Pos2) -> Option<Handle> {
        let knob = |i: usize| view.project(&self.knobs[i].at).map_or(f32::INFINITY, |p| p.distance(at));
        let shaft = self.arrow.map_or(f32::INFINITY, |arrow| {
            [arrow.above, arrow.below]
                .map(|ends| segment_distance(view, ends, at))
                .into_iter()
                .fold(f32::INFINITY, f32::min)
        });
        [(knob(0), Handle::TiltFirst), (knob(1), Handle::TiltSecond), (shaft, Handle::Move)]
            .into_iter()
            .filter(|(d, _)| *d <= REACH)
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, handle)| handle)
    }

    /// Where the number of `handle` is written.
    pub fn number_at(&self, handle: Handle) -> Point {
        match handle {
            Handle::Move => self.arrow.map_or(self.seat, |a| a.above[1]),
            Handle::TiltFirst => self.knobs[0].at,
            Handle::TiltSecond => self.knobs[1].at,
        }
    }
}

impl Knob {
    fn new(seat: Point, hinge: Vector, arm: Vector, radius_mm: f64) -> Knob {
        let at_angle = |deg: f64| on_circle(seat, hinge, arm, radius_mm, deg.to_radians());
        let arc = (-6..=6).map(|i| at_angle(ARC_HALF_DEG * f64::from(i) / 6.0)).collect();
        Knob { hinge, arm, radius_mm, at: at_angle(0.0), arc }
    }
}

pub(super) fn on_circle(seat: Point, hinge: Vector, arm: Vector, radius_mm: f64, angle_rad: f64) -> Point {
    seat + (arm * angle_rad.cos() + hinge.cross(&arm) * angle_rad.sin()) * radius_mm
}

fn segment_distance(view: &View, ends: [Point; 2], at: Pos2) -> f32 {
    let [Some(a), Some(b)] = ends.map(|p| view.project(&p)) else { return f32::INFINITY };
    let run = b - a;
    let t = if run.length_sq() > 0.0 { ((at - a).dot(run) / run.length_sq()).clamp(0.0, 1.0) } else { 0.0 };
    at.distance(a + run * t)
}

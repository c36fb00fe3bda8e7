//! What dragging a handle of the cut being placed does.

use egui::{Pos2, Vec2};
use seamwright_geometry::{Detail, Plane, Point, Pull, Vector, drawn_to};

use super::cut_in_hand::CutInHand;
use super::handles::{Handle, Handles, Knob, on_circle};
use super::lean::Lean;
use super::pick::Ray;
use super::view::View;
use crate::text;

/// Steps that a drag falls into while the snapping key is held.
pub const SNAP_MM: f64 = 1.0;
/// See [`SNAP_MM`].
pub const SNAP_DEG: f64 = 5.0;

/// How near a plane that is dragged must come to a detail to be drawn to it, in points on the screen: about as near as a
/// hand aims. Our own choice, no source.
const PULL_POINTS: f64 = 8.0;
/// How far it may be turned against it, degrees. Our own choice, no source.
const PULL_DEG: f64 = 3.0;

/// A handle being dragged: all that was true when it was taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Drag {
    /// Which one.
    pub handle: Handle,
    /// The plane when it was taken.
    pub start: Plane,
    pub(super) axes: [Vector; 3],
    pub(super) sides: [f64; 2],
    pub(super) seat: Point,
    knob: Option<Knob>,
    /// For the arrow, how far along it the pointer took it, mm.
    grabbed_mm: f64,
    /// For a knob, where on it the pointer took it, points.
    grabbed: Vec2,
    /// For a knob, how far it has been turned, rad.
    turned_rad: f64,
    taken_at: Pos2,
    latest: Plane,
    /// Where the pointer was then.
    followed_to: Option<Pos2>,
    /// Which detail it is drawn to.
    drawn_to: Option<usize>,
}

impl Drag {
    /// Takes `handle` of `cut` at the screen point `at`.
    pub fn begin(handle: Handle, cut: &CutInHand, view: &View, at: Pos2) -> Drag {
        let handles = Handles::of(cut, view, None);
        let n = cut.plane.normal();
        let axes = Lean::of(&n).axes;
        let knob = match handle {
            Handle::Move => None,
            Handle::TiltFirst => Some(handles.knobs[0].clone()),
            Handle::TiltSecond => Some(handles.knobs[1].clone()),
        };
        let grabbed = knob.as_ref().and_then(|k| view.project(&k.at)).map_or(Vec2::ZERO, |p| at - p);
        let hinges = Lean::of(&n).hinges(&n);
        let sides = [0, 1].map(|i| if handles.knobs[i].arm.dot(&hinges[i].cross(&n)) < 0.0 { -1.0 } else { 1.0 });
        Drag {
            handle,
            start: cut.plane,
            axes,
            sides,
            seat: handles.seat,
            knob,
            grabbed_mm: along_axis(&view.ray(at), &handles.seat, &n).unwrap_or(0.0),
            grabbed,
            turned_rad: 0.0,
            taken_at: at,
            latest: cut.plane,
            followed_to: None,
            drawn_to: None,
        }
    }

    /// About which a tilt turns, and where the arrow began.
    pub fn seat(&self) -> Point {
        self.seat
    }

    /// Where the plane was last.
    pub fn latest(&self) -> Plane {
        self.latest
    }

    /// Where the pointer was when the plane came to where it was last.
    pub fn followed_to(&self) -> Option<Pos2> {
        self.followed_to
    }

    /// The detail that it is drawn to, by its place among those it was offered last.
    pub fn drawn_to(&self) -> Option<usize> {
        self.drawn_to
    }

    /// How much the plane is turned against where it was taken, degrees.
    pub fn turned_deg(&self) -> f64 {
        self.start.normal().angle(&self.latest.normal()).to_degrees()
    }

    /// Where the plane is with the pointer at `at`, drawn to the nearest of `details` if one is near.
    pub fn follow_among(&mut self, view: &View, at: Pos2, details: &[Detail]) -> Plane {
        let plane = self.follow(view, at, false);
        let held = plane.project(&self.seat);
        let pull = Pull { off_mm: PULL_POINTS * view.mm_per_point(&held), turn_deg: PULL_DEG };
        if let Some((detail, drawn)) = drawn_to(details, &plane, &held, pull) {
            self.drawn_to = details.iter().position(|one| std::ptr::eq(one, detail));
            self.latest = drawn;
        }
        self.latest
    }

    /// Where the plane is with the pointer at `at`; in whole steps if `snap`.
    pub fn follow(&mut self, view: &View, at: Pos2, snap: bool) -> Plane {
        (self.drawn_to, self.followed_to) = (None, Some(at));
        self.latest = match &self.knob {
            None => self.moved(view, at, snap),
            Some(knob) => {
                let n = self.start.normal();
                self.turned_rad =
                    turn_towards(view, &self.seat, knob, at, self.grabbed, self.taken_at, self.turned_rad);
                let angle = if snap {
                    let first = self.handle == Handle::TiltFirst;
                    snapped_turn(self.axes, &n, &knob.hinge, self.turned_rad, first)
                } else {
                    self.turned_rad
                };
                let normal = n * angle.cos() + knob.hinge.cross(&n) * angle.sin();
                Plane::through(self.seat, normal).unwrap_or(self.start)
            }
        };
        self.latest
    }

    /// What is written beside the handle: where the plane is now, and how far it came along its normal; `offset_mm` is
    /// the number that is typed for the place.
    pub fn number(&self, now: &Plane, offset_mm: f64) -> String {
        let lean = |p: &Plane| Lean::against(self.axes, &p.normal());
        match self.handle {
            Handle::Move => {
                let moved = now.offset_mm() - self.start.offset_mm();
                text::bench::moved(offset_mm, moved)
            }
            Handle::TiltFirst => angle_text(lean(&self.start).first_deg, lean(now).first_deg),
            Handle::TiltSecond => angle_text(lean(&self.start).second_deg, lean(now).second_deg),
        }
    }

    fn moved(&self, view: &View, at: Pos2, snap: bool) -> Plane {
        let n = self.start.normal();
        let Some(along) = along_axis(&view.ray(at), &self.seat, &n) else { return self.start };
        let farthest = FARTHEST_DRAG * view.camera.distance_mm;
        let offset = self.start.offset_mm() + (along - self.grabbed_mm).clamp(-farthest, farthest);
        let offset = if snap { (offset / SNAP_MM).round() * SNAP_MM } else { offset };
        Plane::new(n, offset).unwrap_or(self.start)
    }
}

/// A drag goes no farther than this many times the distance of the camera: near the vanishing point of the normal a
/// pixel would be worth metres.
const FARTHEST_DRAG: f64 = 1.0;

/// A ray whose angle to the axis has a smaller sine than this says nothing about places along it.
const MIN_SINE: f64 = 0.03;

/// How far along the line through `seat` in direction `axis` the nearest place to `ray` is, mm.
fn along_axis(ray: &Ray, seat: &Point, axis: &Vector) -> Option<f64> {
    // Nearest points of two lines: with w from the seat to the ray's origin and c = axis · direction,
    // t = (axis · w - c (direction · w)) / (1 - c²).
    let w = ray.origin - seat;
    let c = axis.dot(&ray.direction);
    let sine_squared = 1.0 - c * c;
    (sine_squared > MIN_SINE * MIN_SINE).then(|| (axis.dot(&w) - c * ray.direction.dot(&w)) / sine_squared)
}

/// The turn that brings the knob under the pointer, starting from the turn it has: the nearest on the screen within a
/// quarter turn, so that it doesn't jump to the far side of its circle.
fn turn_towards(
    view: &View,
    seat: &Point,
    knob: &Knob,
    at: Pos2,
    grabbed: Vec2,
    taken_at: Pos2,
    turned_rad: f64,
) -> f64 {
    let centre = view.project(seat);
    let seen = |angle: f64| view.project(&on_circle(*seat, knob.hinge, knob.arm, knob.radius_mm, angle));
    // When the knob's path at the beginning points at the viewer its movement can't be seen: then pulling it outwards
    // brings it towards the viewer, pushing it inwards takes it away.
    if let (Some(centre), Some(start), Some(step)) = (centre, seen(0.0), seen(0.05)) {
        let radius = (knob.radius_mm / view.mm_per_point(seat)) as f32;
        if (step - start).length() < 0.05 * radius * FORESHORTENED {
            let outward = (start - centre).normalized();
            let nearer = knob.hinge.cross(&knob.arm).dot(&view.towards_eye(seat)).signum();
            return nearer * f64::from((at - taken_at).dot(outward) / radius).clamp(-STEEPEST_RAD, STEEPEST_RAD);
        }
    }
    let wanted = at - grabbed;
    let miss = |angle: f64| seen(angle).map_or(f32::INFINITY, |p| p.distance(wanted));
    let coarse = (-90..=90)
        .map(|deg| turned_rad + f64::from(deg).to_radians())
        .min_by(|a, b| miss(*a).total_cmp(&miss(*b)))
        .unwrap_or(turned_rad);
    let (mut low, mut high) = (coarse - 1.0_f64.to_radians(), coarse + 1.0_f64.to_radians());
    for _ in 0..30 {
        let third = (high - low) / 3.0;
        if miss(low + third) < miss(high - third) {
            high -= third;
        } else {
            low += third;
        }
    }
    (low + high) / 2.0
}

/// How far a knob is turned at most when its path can't be seen: about 80 degrees.
const STEEPEST_RAD: f64 = 1.4;

/// A path is too foreshortened to follow below this share of its length.
const FORESHORTENED: f32 = 0.25;

/// The turn near `turn_rad` at which the angle of the lean is a whole number of steps.
fn snapped_turn(axes: [Vector; 3], normal: &Vector, hinge: &Vector, turn_rad: f64, first: bool) -> f64 {
    let ahead = hinge.cross(normal);
    let turned = normal * turn_rad.cos() + ahead * turn_rad.sin();
    let lean = Lean::against(axes, &turned);
    let [e1, e2, d] = axes;
    let step = |deg: f64| ((deg / SNAP_DEG).round() * SNAP_DEG).to_radians();
    // The normals with that angle are square to `w`.
    let w = if first {
        let a = step(lean.first_deg);
        e2 * a.cos() + d * a.sin()
    } else {
        let b = step(lean.second_deg);
        e1 * b.cos() - d * b.sin()
    };
    let exact = (-normal.dot(&w)).atan2(ahead.dot(&w));
    // Two opposite turns do; the one nearer to where the hand is.
    let half_turns = ((turn_rad - exact) / std::f64::consts::PI).round();
    exact + half_turns * std::f64::consts::PI
}

fn angle_text(before_deg: f64, now_deg: f64) -> String {
    let turned = super::camera::wrap_deg(now_deg - before_deg);
    text::bench::turned(now_deg, turned)
}

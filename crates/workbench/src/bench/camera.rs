//! Where the bench is looked at from.

use nalgebra::Matrix4;
use seamwright_geometry::{Bounds, Point, Vector};

use super::scene::corners;

/// A camera that circles a target, with z always up in its picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// What it looks at, mm.
    pub target: Point,
    /// How far away it is, mm.
    pub distance_mm: f64,
    /// Direction from the target to the eye, about z: 0 is +x, 90 is +y.
    pub heading_deg: f64,
    /// Height of the eye over the target: -90 (from below) to 90 (from above).
    pub elevation_deg: f64,
}

/// A view from a known side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StandardView {
    /// Looking along +y.
    Front,
    /// Looking along -y.
    Back,
    /// Looking along +x.
    Left,
    /// Looking along -x.
    Right,
    /// Looking down.
    Top,
    /// Looking up.
    Bottom,
    /// From the front, a little to the right and from above.
    ThreeQuarter,
}

impl StandardView {
    /// All of them.
    pub const ALL: [StandardView; 7] = [
        StandardView::ThreeQuarter,
        StandardView::Front,
        StandardView::Back,
        StandardView::Left,
        StandardView::Right,
        StandardView::Top,
        StandardView::Bottom,
    ];

    fn angles_deg(self) -> (f64, f64) {
        match self {
            StandardView::Front => (-90.0, 0.0),
            StandardView::Back => (90.0, 0.0),
            StandardView::Left => (180.0, 0.0),
            StandardView::Right => (0.0, 0.0),
            StandardView::Top => (-90.0, 90.0),
            StandardView::Bottom => (-90.0, -90.0),
            StandardView::ThreeQuarter => (-58.0, 22.0),
        }
    }
}

/// Angle between the upper and the lower edge of the picture. About that of a portrait lens: little distortion, so that
/// lengths can be compared by eye.
pub const FIELD_OF_VIEW_DEG: f64 = 26.0;

/// The camera stays between these distances from its target, mm: closer than a scratch and farther than any hall would
/// only lose the user.
const DISTANCE_RANGE_MM: [f64; 2] = [0.5, 1.0e6];

/// Free room around what is framed: 1 would touch the edge of the picture.
const FRAME_ROOM: f64 = 1.12;

/// No picture is taken for narrower than this, width over height, when something is framed in it.
const NARROWEST: f64 = 0.05;

impl Default for Camera {
    fn default() -> Camera {
        Camera { target: Point::origin(), distance_mm: 600.0, heading_deg: 0.0, elevation_deg: 0.0 }
            .seen_from(StandardView::ThreeQuarter)
    }
}

impl Camera {
    /// The same target and distance from a known side.
    pub fn seen_from(self, view: StandardView) -> Camera {
        let (heading_deg, elevation_deg) = view.angles_deg();
        Camera { heading_deg, elevation_deg, ..self }
    }

    /// The same direction, so that `bounds` fills a picture that is `aspect` times as wide as high.
    pub fn framing(self, bounds: &Bounds, aspect: f64) -> Camera {
        let [right, up, back] = self.axes();
        let centre = bounds.centre();
        let half_tan = (FIELD_OF_VIEW_DEG.to_radians() / 2.0).tan() / FRAME_ROOM;
        // A corner at (x, z) is inside when |x - t| ≤ (d - z) · tan, where t is how far the target is off the middle: so
        // t lies between x + z tan - d tan and x - z tan + d tan. Of all corners the tightest two give t and d.
        let fit = |axis: &Vector, tan: f64| {
            let seen = corners(bounds).map(|c| ((c - centre).dot(axis), (c - centre).dot(&back) * tan));
            let most = seen.iter().map(|(x, z)| x + z).fold(f64::NEG_INFINITY, f64::max);
            let least = seen.iter().map(|(x, z)| x - z).fold(f64::INFINITY, f64::min);
            ((most + least) / 2.0, (most - least) / (2.0 * tan))
        };
        let (off_right, wide) = fit(&right, half_tan * aspect.max(NARROWEST));
        let (off_up, high) = fit(&up, half_tan);
        let target = centre + right * off_right + up * off_up;
        Camera { target, distance_mm: clamp_distance(wide.max(high)), ..self }
    }

    /// The same direction, no nearer, and as far away and to the side as it needs for `boxes` to be in a picture that is
    /// `aspect` times as wide as high, with `room` around them (1 touches the edge).
    pub fn keeping(self, boxes: impl Iterator<Item = Bounds>, aspect: f64, room: f64) -> Camera {
        let [right, up, back] = self.axes();
        let places: Vec<Vector> = boxes.flat_map(|bounds| corners(&bounds)).map(|c| c - self.target).collect();
        if places.is_empty() {
            return self;
        }
        let half_tan = (FIELD_OF_VIEW_DEG.to_radians() / 2.0).tan() / room;
        // As in `framing`; where the target may be, for each distance, is a stretch.
        let ends = |axis: &Vector, tan: f64| {
            let seen = places.iter().map(|p| (p.dot(axis), p.dot(&back) * tan));
            seen.fold((f64::NEG_INFINITY, f64::INFINITY), |(most, least), (x, z)| (most.max(x + z), least.min(x - z)))
        };
        let sides = [(right, half_tan * aspect.max(NARROWEST)), (up, half_tan)];
        let stretches = sides.map(|(axis, tan)| (axis, tan, ends(&axis, tan)));
        let needed = stretches.iter().map(|(_, tan, (most, least))| (most - least) / (2.0 * tan));
        let distance_mm = clamp_distance(needed.fold(self.distance_mm, f64::max));
        let aside = |(axis, tan, (most, least)): &(Vector, f64, (f64, f64))| {
            let (low, high) = (most - distance_mm * tan, least + distance_mm * tan);
            // At the distance that is needed they meet, and rounding may part them.
            axis * 0.0_f64.max(low).min(high.max(low))
        };
        let target = self.target + stretches.iter().map(aside).sum::<Vector>();
        Camera { target, distance_mm, ..self }
    }

    /// Where the eye is.
    pub fn eye(&self) -> Point {
        self.target + self.axes()[2] * self.distance_mm
    }

    /// Unit vectors of the picture: to the right, up, and towards the eye.
    pub fn axes(&self) -> [Vector; 3] {
        let (sin_h, cos_h) = self.heading_deg.to_radians().sin_cos();
        let (sin_e, cos_e) = self.elevation_deg.to_radians().sin_cos();
        [
            Vector::new(-sin_h, cos_h, 0.0),
            Vector::new(-sin_e * cos_h, -sin_e * sin_h, cos_e),
            Vector::new(cos_e * cos_h, cos_e * sin_h, sin_e),
        ]
    }

    /// Circles about `pivot`, which keeps its place in the picture.
    pub fn orbited(self, pivot: &Point, heading_deg: f64, elevation_deg: f64) -> Camera {
        let seen_before = self.axes().map(|a| a.dot(&(pivot - self.eye())));
        let turned = Camera {
            heading_deg: wrap_deg(self.heading_deg + heading_deg),
            elevation_deg: (self.elevation_deg + elevation_deg).clamp(-90.0, 90.0),
            ..self
        };
        let [right, up, back] = turned.axes();
        let eye = pivot - (right * seen_before[0] + up * seen_before[1] + back * seen_before[2]);
        Camera { target: eye - back * turned.distance_mm, ..turned }
    }

    /// Shifts by `right_mm` and `up_mm` in the picture.
    pub fn panned(self, right_mm: f64, up_mm: f64) -> Camera {
        let [right, up, _] = self.axes();
        Camera { target: self.target + right * right_mm + up * up_mm, ..self }
    }

    /// Comes `factor` times as near to `fixed` (2 doubles its size), which keeps its place in the picture.
    pub fn zoomed(self, fixed: &Point, factor: f64) -> Camera {
        let distance_mm = clamp_distance(self.distance_mm / factor);
        let ratio = distance_mm / self.distance_mm;
        Camera { target: fixed + (self.target - fixed) * ratio, distance_mm, ..self }
    }

    /// Between this camera and `other`: 0 is this, 1 the other. Turns the shorter way round.
    pub fn blended(&self, other: &Camera, t: f64) -> Camera {
        let mix = |a: f64, b: f64| a + (b - a) * t;
        Camera {
            target: self.target + (other.target - self.target) * t,
            distance_mm: mix(self.distance_mm.ln(), other.distance_mm.ln()).exp(),
            heading_deg: wrap_deg(self.heading_deg + wrap_deg(other.heading_deg - self.heading_deg) * t),
            elevation_deg: mix(self.elevation_deg, other.elevation_deg),
        }
    }

    /// Turns directions of the world into directions of the picture (right, up, towards the eye).
    pub fn rotation(&self) -> Matrix4<f64> {
        let [r, u, b] = self.axes();
        Matrix4::new(r.x, r.y, r.z, 0.0, u.x, u.y, u.z, 0.0, b.x, b.y, b.z, 0.0, 0.0, 0.0, 0.0, 1.0)
    }

    /// Perspective for a picture `aspect` times as wide as high, with all of `near_mm..far_mm` in its depth.
    pub fn projection(&self, aspect: f64, near_mm: f64, far_mm: f64) -> Matrix4<f64> {
        Matrix4::new_perspective(aspect, FIELD_OF_VIEW_DEG.to_radians(), near_mm, far_mm)
    }

    /// Nearest and farthest depth that `bounds` takes up, widened a little; never nearer than a fraction of the
    /// distance, because depth precision goes with far / near.
    pub fn depth_range_mm(&self, bounds: &Bounds) -> (f64, f64) {
        let eye = self.eye();
        let back = self.axes()[2];
        let depths = corners(bounds).map(|c| -(c - eye).dot(&back));
        let (low, high) = depths.into_iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| (l.min(d), h.max(d)));
        let slack = 0.01 * self.distance_mm + 0.05 * (high - low);
        let near = (low - slack).max(self.distance_mm * NEAREST_SHARE);
        (near, (high + slack).max(near * 2.0))
    }
}

/// The nearest depth drawn, as a share of the distance to the target.
const NEAREST_SHARE: f64 = 0.004;

/// An angle brought into -180..180.
pub fn wrap_deg(angle_deg: f64) -> f64 {
    (angle_deg + 180.0).rem_euclid(360.0) - 180.0
}

fn clamp_distance(mm: f64) -> f64 {
    let [low, high] = DISTANCE_RANGE_MM;
    if mm.is_finite() { mm.clamp(low, high) } else { high }
}

//! A short journey of the camera.

use super::camera::Camera;

/// From one camera to another, in a quarter of a second.
#[derive(Clone, Copy, Debug)]
pub struct Glide {
    from: Camera,
    to: Camera,
    started_s: Option<f64>,
}

/// Long enough to be followed by eye, too short to wait for.
const DURATION_S: f64 = 0.25;

impl Glide {
    /// Sets out when it is first looked at.
    pub fn new(from: Camera, to: Camera) -> Glide {
        Glide { from, to, started_s: None }
    }

    /// Where it goes.
    pub fn goal(&self) -> Camera {
        self.to
    }

    /// The camera at `time_s`, and whether it has arrived.
    pub fn at(&mut self, time_s: f64) -> (Camera, bool) {
        let started = *self.started_s.get_or_insert(time_s);
        let t = ((time_s - started) / DURATION_S).clamp(0.0, 1.0);
        if t >= 1.0 {
            return (self.to, true);
        }
        // Sets out and arrives gently.
        (self.from.blended(&self.to, t * t * (3.0 - 2.0 * t)), false)
    }
}

//! A short journey of the camera.

use super::camera::Camera;

/// From one camera to another: gently in a quarter of a second, or after something that moves by itself.
#[derive(Clone, Copy, Debug)]
pub struct Glide {
    from: Camera,
    to: Camera,
    way: Way,
}

#[derive(Clone, Copy, Debug)]
enum Way {
    /// Set out when it was first looked at, s.
    Journey { started_s: Option<f64> },
    /// Each moment a share of what is left; when it was looked at last, and when the goal came to where it is, s.
    Chase { last_s: Option<f64>, since_s: Option<f64> },
}

/// Long enough to be followed by eye, too short to wait for.
const DURATION_S: f64 = 0.25;
/// A chase leaves a third of the way in this time: close enough behind a hand that pulls something. Our own choice, by eye.
const CHASE_S: f64 = 0.07;
/// After so long nothing is left of it that could be seen.
const CHASED_S: f64 = 8.0 * CHASE_S;

impl Glide {
    /// Sets out when it is first looked at.
    pub fn new(from: Camera, to: Camera) -> Glide {
        Glide { from, to, way: Way::Journey { started_s: None } }
    }

    /// After a goal that moves: made anew for each place it comes to, it goes on without a stop.
    pub fn chasing(from: Camera, to: Camera, before: Option<Glide>) -> Glide {
        let last_s = before.and_then(|before| match before.way {
            Way::Chase { last_s, .. } => last_s,
            Way::Journey { .. } => None,
        });
        Glide { from, to, way: Way::Chase { last_s, since_s: None } }
    }

    /// Whether it goes after something.
    pub fn is_chase(&self) -> bool {
        matches!(self.way, Way::Chase { .. })
    }

    /// Where it goes.
    pub fn goal(&self) -> Camera {
        self.to
    }

    /// The camera at `time_s`, and whether it has arrived.
    pub fn at(&mut self, time_s: f64) -> (Camera, bool) {
        match &mut self.way {
            Way::Journey { started_s } => {
                let started = *started_s.get_or_insert(time_s);
                let t = ((time_s - started) / DURATION_S).clamp(0.0, 1.0);
                if t >= 1.0 {
                    return (self.to, true);
                }
                // Sets out and arrives gently.
                (self.from.blended(&self.to, t * t * (3.0 - 2.0 * t)), false)
            }
            Way::Chase { last_s, since_s } => {
                let since = *since_s.get_or_insert(time_s);
                let passed = time_s - last_s.replace(time_s).unwrap_or(time_s);
                if time_s - since >= CHASED_S {
                    return (self.to, true);
                }
                self.from = self.from.blended(&self.to, 1.0 - (-passed.max(0.0) / CHASE_S).exp());
                (self.from, false)
            }
        }
    }
}

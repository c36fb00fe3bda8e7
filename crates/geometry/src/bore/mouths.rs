//! Which of the places where the surface comes into a channel are its own mouths.

use super::channel::{Channel, End};
use super::least::{Stretch, Walls};
use crate::Solid;

/// Where the line of a channel goes through the surface, the surface may lie in the channel up to so many diameters before
/// and behind that: so it does where the line goes in at 76° from square to the surface, half a diameter times the tangent
/// of that. What is open for longer is a groove (our own choice, no source).
pub const MOUTH_DIAMETERS: f64 = 2.0;
/// An end that stops at its point, so near to the surface, ends in it, mm: below what a printer resolves (our own choice,
/// no source).
const AT_SURFACE_MM: f64 = 0.01;

impl Walls {
    /// Parts the places where the surface comes in sideways into those where the line itself goes through it, which are
    /// mouths however aslant, and those where it breaks through.
    pub(super) fn without_mouths(
        &self,
        solid: &Solid,
        channel: &Channel,
        broken: Vec<Stretch>,
    ) -> (Vec<Stretch>, Vec<Stretch>) {
        if broken.is_empty() {
            return (broken, Vec::new());
        }
        let reach_mm = MOUTH_DIAMETERS * channel.shape().clears_mm();
        let mouths = self.mouths_mm(solid, channel, reach_mm);
        broken.into_iter().partition(|stretch| !is_mouth(stretch, &mouths, reach_mm))
    }

    /// Where the line goes through the surface, from its first point, mm, rising; open ends are looked at a little farther.
    fn mouths_mm(&self, solid: &Solid, channel: &Channel, reach_mm: f64) -> Vec<f64> {
        let (line, frames, ends) = (channel.line(), channel.frames(), channel.ends());
        let (mut mouths, mut before) = (Vec::new(), 0.0);
        for (run, ([.., along], pair)) in frames.iter().zip(line.windows(2)).enumerate() {
            let run_mm = nalgebra::distance(&pair[0], &pair[1]);
            let beyond = |is_end: bool, end: End| match end {
                _ if !is_end => 0.0,
                End::Open => reach_mm,
                End::At => AT_SURFACE_MM,
            };
            let (from, to) = (-beyond(run == 0, ends[0]), run_mm + beyond(run + 1 == frames.len(), ends[1]));
            self.pierced(solid, &pair[0], along, &mut |at, _| {
                if at >= from && at <= to {
                    mouths.push(before + at);
                }
            });
            before += run_mm;
        }
        mouths.sort_by(f64::total_cmp);
        mouths
    }
}

/// Whether every place of a stretch is near to a mouth: a thin wall that is gone through aslant has two, and what is open at
/// one reaches into what is open at the other.
fn is_mouth(stretch: &Stretch, mouths_mm: &[f64], reach_mm: f64) -> bool {
    let mut covered = stretch.from_mm;
    for at in mouths_mm {
        if at - reach_mm <= covered {
            covered = covered.max(at + reach_mm);
        }
    }
    covered > stretch.from_mm && covered >= stretch.to_mm
}

//! Ends that stop below the surface.

use super::ahead::end_corners;
use super::channel::Channel;
use super::least::Walls;
use crate::{Point, Solid, Vector};

/// An end of a channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tip {
    /// That of the first point of its line.
    First,
    /// That of the last.
    Last,
}

/// Where a blind end has to lie: see [`Walls::blind_end`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlindEnd {
    /// The middle of the flat end.
    pub place: Point,
    /// Where the line would come out of the surface.
    pub exit: Point,
    /// Distance of the flat end from the surface, in any direction, mm: what was asked for, or more where the line comes out
    /// nowhere and its end stays where it is.
    pub wall_mm: f64,
}

/// The search ends where it comes within this share of the wall asked for (our own choice, no source).
const CLOSE_SHARE: f64 = 1e-6;
/// Steps after which it ends in any case; where the surface comes to a point the last steps become ever smaller.
const MOST_STEPS: usize = 400;

impl Walls {
    /// The farthest place for the flat end of `channel` at `tip`, so that it stays `keep_mm` away from the surface in every
    /// direction. `None` where that is so nowhere on that run.
    ///
    /// From where the line comes out, nearest to the end given, it goes back. The distance of the end from the surface
    /// changes by no more than the end is moved, so that every step by what is lacking leaves no place out that would do
    /// (as in sphere tracing: J. Hart, 1996).
    pub fn blind_end(&self, solid: &Solid, channel: &Channel, tip: Tip, keep_mm: f64) -> Option<BlindEnd> {
        let line = channel.line();
        let frames = channel.frames();
        let (end, start, frame) = match tip {
            Tip::First => (line[0], line[1], *frames.first()?),
            Tip::Last => (line[line.len() - 1], line[line.len() - 2], *frames.last()?),
        };
        let run_mm = nalgebra::distance(&start, &end);
        let towards = (end - start) / run_mm;
        let exit_mm = self.exit(solid, &start, &towards, run_mm).unwrap_or(run_mm);
        let exit = start + towards * exit_mm;
        let mut at_mm = exit_mm;
        for _ in 0..MOST_STEPS {
            let place = start + towards * at_mm;
            let corners = end_corners(channel, &place, &frame);
            let near = self.away_from_flat(&solid.mesh, &place, &corners, keep_mm);
            let lacking_mm = near.map_or(0.0, |(wall_mm, _)| keep_mm - wall_mm);
            if lacking_mm <= keep_mm * CLOSE_SHARE {
                let (wall_mm, _) = self.away_from_flat(&solid.mesh, &place, &corners, f64::INFINITY)?;
                return Some(BlindEnd { place, exit, wall_mm });
            }
            at_mm -= lacking_mm;
            if at_mm.is_nan() || at_mm <= 0.0 {
                return None;
            }
        }
        None
    }

    /// How far from `start` a line leaves the material, nearest to `wanted_mm`.
    fn exit(&self, solid: &Solid, start: &Point, towards: &Vector, wanted_mm: f64) -> Option<f64> {
        let mut best: Option<f64> = None;
        self.pierced(solid, start, towards, &mut |at_mm, turn| {
            let is_nearer = best.is_none_or(|best| (at_mm - wanted_mm).abs() < (best - wanted_mm).abs());
            if turn < 0 && at_mm > 0.0 && is_nearer {
                best = Some(at_mm);
            }
        });
        best
    }
}

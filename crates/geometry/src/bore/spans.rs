//! Where lines are in the material.

use super::channel::{Channel, End};
use super::least::Walls;
use crate::inside::{look_up, turn_round};
use crate::{Plane, Point, Solid, Vector};

/// Gaps shorter than this between spans are none, mm: a tenth of a thousandth of what a printer resolves.
const CLOSE_MM: f64 = 1e-5;

impl Walls {
    /// Whether a place lies in the material.
    pub fn holds(&self, solid: &Solid, place: &Point) -> bool {
        let mut turns = 0;
        let is_on = look_up(&solid.mesh, &self.tree, place, &mut |_, turn| turns += turn);
        turns > 0 && !is_on
    }

    /// Where the line of a channel is in the material: from and to, as distances from its first point, mm, rising. Open
    /// ends are looked at without end, so that the first may begin before 0 and the last end after the line does.
    pub fn spans(&self, solid: &Solid, channel: &Channel) -> Vec<[f64; 2]> {
        let (mut spans, mut before): (Vec<[f64; 2]>, f64) = (Vec::new(), 0.0);
        let (line, frames) = (channel.line(), channel.frames());
        for (run, ([.., along], pair)) in frames.iter().zip(line.windows(2)).enumerate() {
            let run_mm = nalgebra::distance(&pair[0], &pair[1]);
            let is_prolonged = |end: usize, at: usize| run == at && channel.ends()[end] == End::Open;
            let from = if is_prolonged(0, 0) { f64::NEG_INFINITY } else { 0.0 };
            let to = if is_prolonged(1, frames.len() - 1) { f64::INFINITY } else { run_mm };
            let mut crossed: Vec<(f64, i32)> = Vec::new();
            self.pierced(solid, &pair[0], along, &mut |at, turn| crossed.push((at, turn)));
            crossed.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut turns = 0;
            for (i, (at, turn)) in crossed.iter().enumerate() {
                turns += turn;
                let next = crossed.get(i + 1).map_or(*at, |next| next.0);
                let (begin, end) = (at.max(from), next.min(to));
                if turns <= 0 || begin >= end {
                    continue;
                }
                match spans.last_mut() {
                    // What goes on in the next run, or in another shell, is one.
                    Some(last) if last[1] >= before + begin - CLOSE_MM => last[1] = before + end,
                    _ => spans.push([before + begin, before + end]),
                }
            }
            before += run_mm;
        }
        spans
    }

    /// Hands over where a line goes through the surface, as distances from a place on it, with 1 where it goes in and −1 where it
    /// comes out.
    pub(super) fn pierced(&self, solid: &Solid, from: &Point, along: &Vector, each: &mut impl FnMut(f64, i32)) {
        let Ok(square) = Plane::through(*from, *along) else { return };
        let (u, v) = square.basis();
        self.tree.along_line(from, along, &mut |face| {
            let corners = solid.mesh.corners(face as usize);
            // Seen along the line; from there on the numbers are exact, so that of faces beside one another just the right
            // ones are gone through.
            let seen = corners.map(|p| Point::new(u.dot(&(p - from)), v.dot(&(p - from)), 0.0));
            let Some(turn) = turn_round(&seen, &Point::origin()) else { return };
            let [a, b, c] = corners;
            let normal = (b - a).cross(&(c - a));
            let at = normal.dot(&(a - from)) / normal.dot(along);
            let [a, b, c] = corners.map(|p| along.dot(&(p - from)));
            each(at.max(a.min(b).min(c)).min(a.max(b).max(c)), -turn);
        });
    }
}

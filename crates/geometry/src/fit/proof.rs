//! Proofs that no pose can fit: measures that can only grow when a convex body grows, compared with the room's.
//!
//! Each is monotone under inclusion (volume, surface, diameter, mean width and least width of convex bodies), so that
//! a hull of some of a body's points proves it for the body.

use super::{ROUNDING_MM, Reason};
use crate::Hull;

/// The plainest reason why nothing that holds `hull` fits in a room of these sides, if one of the measures shows it.
pub(crate) fn too_big(hull: &Hull, room_mm: [f64; 3]) -> Option<Reason> {
    // A body may stick out by the rounding allowed, so the room is compared with that much added.
    let room = room_mm.map(|side| side + ROUNDING_MM);
    let [x, y, z] = room;
    let (length_mm, diagonal_mm) = (hull.diameter_mm(), (x * x + y * y + z * z).sqrt());
    if length_mm > diagonal_mm {
        return Some(Reason::TooLong { length_mm, diagonal_mm });
    }
    let volume = |hull| Reason::TooMuch { measure: "volume", hull, room: x * y * z, unit: "mm³" };
    let surface =
        |hull| Reason::TooMuch { measure: "surface", hull, room: 2.0 * (x * y + y * z + z * x), unit: "mm²" };
    let mean_width = |hull| Reason::TooMuch { measure: "mean width", hull, room: (x + y + z) / 2.0, unit: "mm" };
    let measures =
        [Some(volume(hull.volume_mm3())), Some(surface(hull.area_mm2())), hull.mean_width_mm().map(mean_width)];
    // Sums over a thousand faces are rounded: what exceeds by less than this share proves nothing.
    const ROUNDING_SHARE: f64 = 1e-9;
    let exceeds =
        |reason: &Reason| matches!(reason, Reason::TooMuch { hull, room, .. } if *hull > room * (1.0 + ROUNDING_SHARE));
    if let Some(reason) = measures.into_iter().flatten().find(exceeds) {
        return Some(reason);
    }
    let side_mm = x.min(y).min(z);
    let width_mm = hull.least_width_mm(side_mm)?;
    (width_mm > side_mm * (1.0 + ROUNDING_SHARE)).then_some(Reason::TooThick { width_mm, side_mm })
}

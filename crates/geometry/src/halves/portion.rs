//! The fit of what a plane leaves on one side, or of what lies between two.

use super::half::Half;
use super::silhouette::silhouette;
use super::{COARSE_MM, HalfFit, TOUCHING_MM};
use crate::fit::{Effort, Ground, Outline2, ROUNDING_MM, Room, Shadow, best_swing};
use crate::{Search, Vector, Verdict};

/// A half with the caps that it can lie on.
pub(super) struct Portion<'a> {
    pub half: &'a Half<'a>,
    /// Outward unit normals.
    pub caps: &'a [Vector],
    pub tolerance_mm: f64,
}

/// A verdict near enough to the limit that coarse outlines do not tell it.
struct Unsure;

impl Portion<'_> {
    /// The verdict in a room, given the size of the upright box. `None` where there is nothing.
    pub fn fit(&self, room: &Room, search: Search, size: Vector) -> Option<HalfFit> {
        if self.tolerance_mm > 0.0 && self.tolerance_mm < COARSE_MM {
            let coarse = Portion { tolerance_mm: COARSE_MM, ..*self };
            if let Ok(surely) = coarse.told(room, search, size, 2.0 * COARSE_MM) {
                return surely;
            }
        }
        self.told(room, search, size, -ROUNDING_MM).unwrap_or(None)
    }

    /// The verdict, where every slack is either none or at least so much. Where all of a half lies is known no better than
    /// within the tolerance.
    fn told(&self, room: &Room, search: Search, size: Vector, sure_mm: f64) -> Result<Option<HalfFit>, Unsure> {
        let sizes_mm = size.into();
        // Each of two opposite walls may be short by the tolerance.
        let error_mm = 2.0 * self.tolerance_mm;
        let answer = |verdict, slack_mm| Ok(Some(HalfFit { verdict, sizes_mm, slack_mm, error_mm }));
        let fits = |slack_mm: f64| slack_mm >= -ROUNDING_MM;
        let surely = |slack_mm: f64| if fits(slack_mm) && slack_mm < sure_mm { Err(Unsure) } else { Ok(slack_mm) };
        let no = |at_most_mm: f64| if fits(at_most_mm) { Verdict::Undecided } else { Verdict::TooBig };
        let spare_height = room.size_mm[2] - size.z;

        let Some(standing) = self.stands(room, size) else { return Ok(None) };
        let slack_mm = standing.slack_mm.min(spare_height);
        let is_exact = matches!(room.ground, Ground::Box);
        let slack_mm = if is_exact { slack_mm } else { surely(slack_mm)? };
        if fits(slack_mm) || search == Search::AsItStands {
            let verdict = if fits(slack_mm) { Verdict::AsItStands } else { no(standing.at_most_mm.min(spare_height)) };
            let error_mm = if is_exact { 0.0 } else { error_mm };
            return Ok(Some(HalfFit { verdict, sizes_mm, slack_mm, error_mm }));
        }
        // Where it is too tall, and by more than it is too wide, no turn helps.
        let mut best = slack_mm;
        if spare_height > slack_mm {
            let Some(turn) = self.turn(&Vector::z(), room, size.z) else { return Ok(None) };
            let turned = surely(turn.slack_mm.min(spare_height))?;
            if fits(turned) {
                return answer(Verdict::Turned, turned);
            }
            if search == Search::Turned {
                return answer(no(turn.at_most_mm.min(spare_height)), turned);
            }
            best = best.max(turned);
        } else if search == Search::Turned {
            return answer(Verdict::TooBig, spare_height);
        }
        for cap in self.caps {
            let up = -cap;
            let Some(height) = self.half.width_mm(&up) else { return Ok(None) };
            let spare_height = room.size_mm[2] - height;
            if spare_height <= best {
                continue;
            }
            let Some(turn) = self.turn(&up, room, height) else { return Ok(None) };
            let on_cut = surely(turn.slack_mm.min(spare_height))?;
            if fits(on_cut) {
                return answer(Verdict::Tilted, on_cut);
            }
            best = best.max(on_cut);
        }
        let verdict = if self.is_too_long(room.size_mm) { Verdict::TooBig } else { Verdict::Undecided };
        answer(verdict, best)
    }

    /// Room left as it stands, mm.
    pub fn slack_standing_mm(&self, room: &Room, size: Vector) -> Option<f64> {
        Some(self.stands(room, size)?.slack_mm.min(room.size_mm[2] - size.z))
    }

    /// Room left with the unit vector `up` pointing up and the best turn about it, mm.
    pub fn slack_with_up_mm(&self, room: &Room, up: &Vector) -> Option<f64> {
        let height = self.half.width_mm(up)?;
        Some(self.turn(up, room, height)?.slack_mm.min(room.size_mm[2] - height))
    }

    /// What it leaves seen from above, unturned.
    fn stands(&self, room: &Room, size: Vector) -> Option<Leaves> {
        let [width, depth] = [room.size_mm[0] - size.x, room.size_mm[1] - size.y];
        match &room.ground {
            Ground::Box => Some(Leaves::exactly(width.min(depth))),
            Ground::Disc(_) => self.turn(&Vector::z(), room, size.z),
            Ground::Walled(walled) => {
                let outline = silhouette(self.half, &Vector::z(), self.tolerance_mm / 2.0)?;
                let (shadow, all) = beneath(outline, size.z, room);
                let spot = walled.spot(&shadow, f64::NEG_INFINITY)?;
                let at_most_mm = if all { 2.0 * spot.at_most } else { width.min(depth) };
                Some(Leaves { slack_mm: 2.0 * spot.clearance, at_most_mm })
            }
        }
    }

    /// What its best turn leaves seen from above, with the unit vector `up` pointing up.
    fn turn(&self, up: &Vector, room: &Room, height_mm: f64) -> Option<Leaves> {
        let outline = silhouette(self.half, up, self.tolerance_mm / 2.0)?;
        let [width, depth, _] = room.size_mm;
        let in_box_mm = outline.best_turn([width, depth]).slack_mm;
        if matches!(room.ground, Ground::Box) {
            return Some(Leaves::exactly(in_box_mm));
        }
        let (shadow, all) = beneath(outline, height_mm, room);
        let swing = best_swing(&shadow, room, Effort::LIVE)?;
        let at_most_mm = if all { swing.at_most_mm.min(in_box_mm) } else { in_box_mm };
        Some(Leaves { slack_mm: swing.slack_mm, at_most_mm })
    }

    /// Whether it is wider in some direction than the room's space diagonal, which no pose can change.
    fn is_too_long(&self, room: [f64; 3]) -> bool {
        let diagonal = room.iter().map(|side| side * side).sum::<f64>().sqrt() + 2.0 * ROUNDING_MM;
        // The thirteen directions of a cube's faces, edges and corners.
        let steps = || [-1.0, 0.0, 1.0].into_iter();
        let all = steps().flat_map(|x| steps().flat_map(move |y| steps().map(move |z| Vector::new(x, y, z))));
        all.skip(14).any(|d| self.half.width_mm(&d.normalize()).is_some_and(|width| width > diagonal))
    }
}

impl Half<'_> {
    /// Distance between the two planes square to a unit vector that enclose it, mm.
    pub(super) fn width_mm(&self, direction: &Vector) -> Option<f64> {
        Some(self.farthest(direction)? + self.farthest(&-direction)?)
    }

    /// Whether it rises from a cap with this outward normal, whose plane is `offset_mm` along it.
    pub(super) fn rises_from(&self, cap: &Vector, offset_mm: f64) -> bool {
        self.farthest(&-cap).is_some_and(|reach| reach + offset_mm > TOUCHING_MM)
    }
}

/// What is left seen from above, both ends together, mm.
#[derive(Clone, Copy)]
struct Leaves {
    slack_mm: f64,
    at_most_mm: f64,
}

impl Leaves {
    fn exactly(slack_mm: f64) -> Leaves {
        Leaves { slack_mm, at_most_mm: slack_mm }
    }
}

/// The shadow of a half. Zones overhead are kept clear by all of a half that reaches up to them, which the part of it up
/// there need not: whether the shadow is all that must be known is the second answer.
fn beneath(outline: Outline2, height_mm: f64, room: &Room) -> (Shadow, bool) {
    let whole = outline.into_corners();
    let reached = |level: &f64| height_mm > *level;
    let above = room.levels_mm().iter().map(|l| if reached(l) { whole.clone() } else { Vec::new() }).collect();
    let all = !room.levels_mm().iter().any(reached);
    (Shadow { whole, above }, all)
}

//! The fit of what a plane leaves on one side, or of what lies between two.

use super::half::Half;
use super::silhouette::silhouette;
use super::tree::COARSE_POINTS_MM;
use super::{COARSE_MM, HalfFit, ROUGH_MM, TOUCHING_MM};
use crate::fit::{Effort, Ground, Outline2, ROUNDING_MM, Room, Shadow, best_swing};
use crate::{Search, Vector, Verdict};

/// A half with the caps that it can lie on.
pub(super) struct Portion<'a> {
    pub half: &'a Half<'a>,
    /// Outward unit normals.
    pub caps: &'a [Vector],
    pub tolerance_mm: f64,
}

/// A pose that is tried: what points up, how tall it is so, and what it is called if it fits.
struct Pose {
    up: Vector,
    height_mm: f64,
    called: Verdict,
}

impl Portion<'_> {
    /// The verdict in a room, given the size of the upright box. `None` where there is nothing.
    pub fn fit(&self, room: &Room, search: Search, size: Vector) -> Option<HalfFit> {
        let told = |verdict, leaves: &Leaves| {
            Some(HalfFit { verdict, sizes_mm: size.into(), slack_mm: leaves.slack_mm, error_mm: leaves.error_mm })
        };
        let no = |leaves: &Leaves| if fits(leaves.at_most_mm) { Verdict::Undecided } else { Verdict::TooBig };

        let standing = self.surely(|portion| portion.stands(room, size))?;
        if fits(standing.slack_mm) {
            return told(Verdict::AsItStands, &standing);
        }
        if search == Search::AsItStands {
            return told(no(&standing), &standing);
        }
        let mut best = standing;
        let mut too_big: Vec<(Pose, f64)> = Vec::new();
        for pose in self.poses(search, size)? {
            let at_most_mm = self.at_most_mm(&pose, room, best.slack_mm)?;
            if !fits(at_most_mm) {
                too_big.push((pose, at_most_mm));
                continue;
            }
            let turned = self.surely(|portion| portion.turn(&pose, room))?;
            if fits(turned.slack_mm) {
                return told(pose.called, &turned);
            }
            best = best.or(turned);
        }
        // It fits in none. Of those that surely don't, the best tells by how much.
        too_big.sort_by(|a, b| b.1.total_cmp(&a.1));
        for (pose, at_most_mm) in too_big {
            if at_most_mm > best.slack_mm {
                best = best.or(self.surely(|portion| portion.turn(&pose, room))?);
            }
        }
        match search {
            Search::AnyPose if self.is_too_long(room.size_mm, size) => told(Verdict::TooBig, &best),
            Search::AnyPose => told(Verdict::Undecided, &best),
            Search::Turned | Search::AsItStands => told(no(&best), &best),
        }
    }

    /// The poses that are turned about the vertical, in the order in which they are liked.
    fn poses(&self, search: Search, size: Vector) -> Option<Vec<Pose>> {
        let mut poses = vec![Pose { up: Vector::z(), height_mm: size.z, called: Verdict::Turned }];
        if search == Search::AnyPose {
            for cap in self.caps {
                poses.push(Pose { up: -cap, height_mm: self.width_mm(cap)?, called: Verdict::Tilted });
            }
        }
        Some(poses)
    }

    /// No more room than this is left in a pose, mm, told roughly; where it is no more than `enough_mm`, more roughly.
    fn at_most_mm(&self, pose: &Pose, room: &Room, enough_mm: f64) -> Option<f64> {
        let spare_height = room.size_mm[2] - pose.height_mm;
        if spare_height <= enough_mm {
            return Some(spare_height);
        }
        let [width, depth, _] = room.size_mm;
        let outline = silhouette(self.half, &pose.up, self.tolerance_mm.max(ROUGH_MM) / 2.0)?;
        Some(spare_height.min(outline.best_turn([width, depth]).slack_mm))
    }

    /// What is asked of coarse outlines, and where these are too near to the limit, of those within the tolerance.
    fn surely(&self, leaves: impl Fn(&Portion) -> Option<Leaves>) -> Option<Leaves> {
        if self.tolerance_mm > 0.0 && self.tolerance_mm < COARSE_MM {
            let coarse = leaves(&Portion { tolerance_mm: COARSE_MM, ..*self })?;
            if !fits(coarse.slack_mm) || coarse.slack_mm >= coarse.error_mm {
                return Some(coarse);
            }
        }
        leaves(self)
    }

    /// Room left as it stands, mm.
    pub fn slack_standing_mm(&self, room: &Room, size: Vector) -> Option<f64> {
        Some(self.stands(room, size)?.slack_mm)
    }

    /// Room left with the unit vector `up` pointing up and the best turn about it, mm.
    pub fn slack_with_up_mm(&self, room: &Room, up: &Vector) -> Option<f64> {
        let pose = Pose { up: *up, height_mm: self.width_mm(up)?, called: Verdict::Tilted };
        Some(self.turn(&pose, room)?.slack_mm)
    }

    /// What it leaves as it stands.
    fn stands(&self, room: &Room, size: Vector) -> Option<Leaves> {
        let [width, depth] = [room.size_mm[0] - size.x, room.size_mm[1] - size.y];
        let spare_height = room.size_mm[2] - size.z;
        match &room.ground {
            Ground::Box => Some(Leaves::exactly(width.min(depth).min(spare_height))),
            Ground::Disc(_) => {
                let upright = Pose { up: Vector::z(), height_mm: size.z, called: Verdict::AsItStands };
                self.turn(&upright, room)
            }
            Ground::Walled(walled) => {
                let outline = silhouette(self.half, &Vector::z(), self.tolerance_mm / 2.0)?;
                let (shadow, all) = beneath(outline, size.z, room);
                let spot = walled.spot(&shadow, f64::NEG_INFINITY)?;
                let at_most_mm = if all { 2.0 * spot.at_most } else { width.min(depth) };
                Some(self.leaves(2.0 * spot.clearance, at_most_mm, spare_height))
            }
        }
    }

    /// What its best turn leaves in a pose.
    fn turn(&self, pose: &Pose, room: &Room) -> Option<Leaves> {
        let outline = silhouette(self.half, &pose.up, self.tolerance_mm / 2.0)?;
        let [width, depth, height] = room.size_mm;
        let spare_height = height - pose.height_mm;
        let in_box_mm = outline.best_turn([width, depth]).slack_mm;
        if matches!(room.ground, Ground::Box) {
            return Some(self.leaves(in_box_mm, in_box_mm, spare_height));
        }
        let (shadow, all) = beneath(outline, pose.height_mm, room);
        let swing = best_swing(&shadow, room, Effort::LIVE)?;
        let at_most_mm = if all { swing.at_most_mm.min(in_box_mm) } else { in_box_mm };
        Some(self.leaves(swing.slack_mm, at_most_mm, spare_height))
    }

    /// What the outline leaves, where no more than `spare_height` is left above. Each of two opposite walls may be short by
    /// the tolerance.
    fn leaves(&self, slack_mm: f64, at_most_mm: f64, spare_height: f64) -> Leaves {
        Leaves {
            slack_mm: slack_mm.min(spare_height),
            at_most_mm: at_most_mm.min(spare_height),
            error_mm: 2.0 * self.tolerance_mm,
        }
    }

    /// Whether it is wider in some direction than the room's space diagonal, which no pose can change.
    fn is_too_long(&self, room: [f64; 3], size: Vector) -> bool {
        let diagonal = room.iter().map(|side| side * side).sum::<f64>().sqrt() + 2.0 * ROUNDING_MM;
        // The thirteen directions of a cube's faces, edges and corners.
        let steps = || [-1.0, 0.0, 1.0].into_iter();
        let all = steps().flat_map(|x| steps().flat_map(move |y| steps().map(move |z| Vector::new(x, y, z))));
        let mut directions = all.skip(14).map(|d| d.normalize());
        // No body is wider than the upright box around it.
        directions.any(|d| d.abs().dot(&size) > diagonal && self.width_mm(&d).is_some_and(|width| width > diagonal))
    }

    /// Distance between the two planes square to a unit vector that enclose it, mm. Too small by twice the tolerance at most.
    fn width_mm(&self, direction: &Vector) -> Option<f64> {
        self.half.width_mm(direction, self.tolerance_mm >= COARSE_POINTS_MM)
    }
}

fn fits(slack_mm: f64) -> bool {
    slack_mm >= -ROUNDING_MM
}

impl Half<'_> {
    /// Distance between the two planes square to a unit vector that enclose it, mm; where `coarse`, of the points that stand
    /// for others.
    pub(super) fn width_mm(&self, direction: &Vector, coarse: bool) -> Option<f64> {
        let reach = |direction: Vector| Some(direction.dot(&self.farthest_point(&direction, coarse)?.coords));
        Some(reach(*direction)? + reach(-direction)?)
    }

    /// Whether it rises from a cap with this outward normal, whose plane is `offset_mm` along it.
    pub(super) fn rises_from(&self, cap: &Vector, offset_mm: f64) -> bool {
        self.farthest(&-cap).is_some_and(|reach| reach + offset_mm > TOUCHING_MM)
    }
}

/// What is left in a pose, both ends together, mm.
#[derive(Clone, Copy)]
struct Leaves {
    slack_mm: f64,
    /// No more is left in any place of this pose.
    at_most_mm: f64,
    /// What both may be too large by.
    error_mm: f64,
}

impl Leaves {
    fn exactly(slack_mm: f64) -> Leaves {
        Leaves { slack_mm, at_most_mm: slack_mm, error_mm: 0.0 }
    }

    /// The better of two poses.
    fn or(self, other: Leaves) -> Leaves {
        let better = if other.slack_mm > self.slack_mm { other } else { self };
        Leaves { at_most_mm: self.at_most_mm.max(other.at_most_mm), ..better }
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

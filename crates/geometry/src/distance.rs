//! How near two surfaces come to each other.

use rayon::prelude::*;

use crate::boxes::SmallBox;
use crate::closest;
use crate::health::meeting;
use crate::tree::FaceTree;
use crate::{Cancelled, Mesh, Point, Progress};

/// Some faces of a mesh.
#[derive(Clone, Copy)]
pub(crate) struct Surface<'a> {
    pub mesh: &'a Mesh,
    pub tree: &'a FaceTree,
}

/// Where two surfaces come nearest to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Near {
    /// How near; 0 where they meet.
    pub distance_mm: f64,
    /// The places, one on each.
    pub places: [Point; 2],
    /// The faces that they are on.
    pub faces: [u32; 2],
}

/// The least distance between two surfaces; `None` where they come no nearer than `within_mm`. Never less than the true one,
/// and more by at most `share` of it.
///
/// Branch and bound: for each group of faces of the one, boxes of the other are opened by rising distance, and only those
/// nearer than the best that was found before, less that share. Faces are then held against faces, edges included. Where
/// two walls are equally far apart everywhere, the share is what keeps every box from being opened.
pub(crate) fn least_distance(
    [one, other]: [Surface<'_>; 2],
    within_mm: f64,
    share: f64,
    progress: &Progress,
) -> Result<Option<Near>, Cancelled> {
    // Small boxes are gone through, and the tree of the larger ones is looked into.
    let turned = one.tree.groups() < other.tree.groups();
    let pair = if turned { Pair { one: other, other: one } } else { Pair { one, other } };
    let mut best = Best { within_mm, near: None };
    let reach = pair.other.tree.bounds();
    let groups = |within_mm: f64| {
        let mut groups = Vec::new();
        let reach = reach.grown(within_mm);
        pair.one.tree.visit(0, &|around| around.meets(&reach), &mut |i| groups.push(i));
        groups
    };
    // The first look is at a few that lie far apart, which soon narrows the search.
    let first = groups(within_mm);
    for &group in first.iter().step_by(first.len().div_ceil(FEW).max(1)) {
        best.keep(pair.near_group(group, best.within_mm));
    }
    for round in groups(best.within_mm).chunks(ROUND) {
        progress.check()?;
        let within_mm = if best.near.is_some() { best.within_mm * (1.0 - share) } else { best.within_mm };
        best.keep(round.par_iter().map(|&group| pair.near_group(group, within_mm)).reduce(|| None, nearer));
        if best.within_mm <= 0.0 {
            break;
        }
    }
    Ok(best.near.map(|near| if turned { near.turned() } else { near }))
}

/// Groups looked at one by one, at first.
const FEW: usize = 64;
/// Groups looked at side by side, afterwards: what one round finds narrows the next, the same way every time.
const ROUND: usize = 1 << 10;

struct Pair<'a> {
    one: Surface<'a>,
    other: Surface<'a>,
}

impl Pair<'_> {
    /// The nearest place of the other surface to a group of faces, if it is that near.
    fn near_group(&self, group: usize, mut within_mm: f64) -> Option<Near> {
        let (around, faces) = self.one.tree.group(group);
        let own = |&face: &u32| {
            let corners = self.one.mesh.corners(face as usize);
            (face, corners, SmallBox::around(corners.into_iter()))
        };
        let own: Vec<_> = faces.iter().map(own).collect();
        let mut best: Option<Near> = None;
        self.other.tree.nearest_first(&|b| b.distance_squared_to(around), within_mm, &mut |other| {
            let corners = self.other.mesh.corners(other as usize);
            let its_box = SmallBox::around(corners.into_iter());
            for (face, own_corners, own_box) in &own {
                let boxes_squared = own_box.distance_squared_to(&its_box);
                if boxes_squared > within_mm * within_mm {
                    continue;
                }
                let near = between([*face, other], own_corners, &corners, boxes_squared <= 0.0);
                if near.distance_mm <= within_mm {
                    within_mm = near.distance_mm;
                    best = nearer(best, Some(near));
                }
            }
            within_mm
        });
        best
    }
}

fn between(faces: [u32; 2], one: &[Point; 3], other: &[Point; 3], may_meet: bool) -> Near {
    let places = closest::of_triangles(one, other);
    // The nearest places of triangles are on their edges unless they pass through each other.
    let meet = may_meet && meeting(one, other).is_some();
    Near { distance_mm: if meet { 0.0 } else { nalgebra::distance(&places[0], &places[1]) }, places, faces }
}

impl Near {
    fn turned(mut self) -> Near {
        self.places.swap(0, 1);
        self.faces.swap(0, 1);
        self
    }
}

/// The nearest found so far, and how near others are looked for.
struct Best {
    within_mm: f64,
    near: Option<Near>,
}

impl Best {
    fn keep(&mut self, near: Option<Near>) {
        self.near = nearer(self.near, near);
        self.within_mm = self.near.map_or(self.within_mm, |near| self.within_mm.min(near.distance_mm));
    }
}

/// Ties go to the lower faces, so that the order of work does not show.
fn nearer(a: Option<Near>, b: Option<Near>) -> Option<Near> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if (b.distance_mm, b.faces) < (a.distance_mm, a.faces) { b } else { a }),
        (a, b) => a.or(b),
    }
}

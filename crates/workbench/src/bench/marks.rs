//! Where the mark of a piece stands: over its middle, and where something else is to be seen there, on a spot of the piece
//! itself that is in sight. It stays on that spot for as long as it can be seen.

use std::collections::{HashMap, HashSet};

use egui::{Pos2, Rect};
use seamwright_geometry::{Bounds, Point};

use super::camera::Camera;
use super::pick::{self, HIDDEN_MM};
use super::scene::{Drawn, Label, MeshId, Scene, corners};
use super::view::View;

/// A piece is looked for at so many places across and down what it takes of the picture. Our own choice, no source.
const PLACES: usize = 9;
/// While the camera moves, so many pieces are looked for in a frame: the others wait for the next. Our own choice, no source.
const SEARCHES_WHILE_MOVING: usize = 4;

/// The spots on which marks stand.
#[derive(Debug, Default)]
pub(super) struct Marks {
    /// By mesh: the revision of its body, and the place in its own frame.
    spots: HashMap<MeshId, (u64, Point)>,
    /// What was looked for in vain, as seen like this.
    in_vain: HashSet<MeshId>,
    seen_as: Option<(Camera, Rect, u64)>,
}

impl Marks {
    /// Puts the marks of `scene` where they stand in this frame.
    pub(super) fn stand(&mut self, scene: &mut Scene, view: &View, moving: bool) {
        let seen_as = (view.camera, view.rect, scene.shadow_key());
        if self.seen_as.replace(seen_as) != Some(seen_as) {
            self.in_vain.clear();
        }
        let mut left = if moving { SEARCHES_WHILE_MOVING } else { usize::MAX };
        let mut labels = std::mem::take(&mut scene.labels);
        for label in &mut labels {
            let named = label.of.and_then(|of| scene.drawn.iter().find(|drawn| drawn.id == of));
            if let Some(drawn) = named.filter(|drawn| drawn.is_solid() && drawn.body.ready_tree().is_some()) {
                self.stand_on(label, drawn, (scene, view), &mut left);
            }
        }
        scene.labels = labels;
    }

    fn stand_on(&mut self, label: &mut Label, drawn: &Drawn, (scene, view): (&Scene, &View), left: &mut usize) {
        let revision = drawn.body.revision();
        if let Some((of, spot)) = self.spots.get(&drawn.id).copied()
            && of == revision
            && is_in_sight(&spot, drawn, (scene, view))
        {
            label.at = spot + drawn.offset;
            return;
        }
        self.spots.remove(&drawn.id);
        let seen = |at: Pos2| pick::pick(scene, &view.ray(at), false).filter(|hit| hit.id == drawn.id);
        let over_itself = view.project(&label.at).is_none_or(|at| seen(at).is_some());
        if over_itself || *left == 0 || self.in_vain.contains(&drawn.id) {
            return;
        }
        *left -= 1;
        match drawn.bounds().and_then(|bounds| best_place(&bounds, view, |at| seen(at).map(|hit| hit.point))) {
            Some(spot) => {
                self.spots.insert(drawn.id, (revision, spot));
                label.at = spot + drawn.offset;
            }
            None => {
                self.in_vain.insert(drawn.id);
            }
        }
    }
}

/// Whether nothing stands before a place of `drawn`.
fn is_in_sight(spot: &Point, drawn: &Drawn, (scene, view): (&Scene, &View)) -> bool {
    let at = view.project(&(spot + drawn.offset)).filter(|at| view.rect.contains(*at));
    let hit = at.and_then(|at| pick::pick(scene, &view.ray(at), false));
    // A place on a slope is met a little beside it.
    let near = HIDDEN_MM + 2.0 * view.mm_per_point(&(spot + drawn.offset));
    hit.is_some_and(|hit| hit.id == drawn.id && (hit.point - spot).norm() <= near)
}

/// Of the places over what is within `bounds` that `seen` finds, one with most of them around it, and of those the nearest
/// to the middle: a mark on a sliver would cover what is beside it.
fn best_place(bounds: &Bounds, view: &View, seen: impl Fn(Pos2) -> Option<Point>) -> Option<Point> {
    let across: Option<Vec<Pos2>> = corners(bounds).iter().map(|corner| view.project(corner)).collect();
    let rect = Rect::from_points(&across?).intersect(view.rect.shrink(EDGE));
    if !rect.is_positive() {
        return None;
    }
    let middle = rect.center();
    let step = rect.size() / PLACES as f32;
    let at = |x: usize, y: usize| rect.min + egui::vec2((x as f32 + 0.5) * step.x, (y as f32 + 0.5) * step.y);
    let found: Vec<Option<Point>> = (0..PLACES * PLACES).map(|i| seen(at(i % PLACES, i / PLACES))).collect();
    let around = |x: usize, y: usize| {
        let near = |i: usize| i.saturating_sub(1)..(i + 2).min(PLACES);
        near(y).flat_map(|y| near(x).map(move |x| (x, y))).filter(|(x, y)| found[y * PLACES + x].is_some()).count()
    };
    let places = found.iter().enumerate().filter_map(|(i, spot)| Some((i % PLACES, i / PLACES, (*spot)?)));
    let ranked = places.map(|(x, y, spot)| (around(x, y), at(x, y).distance(middle), spot));
    ranked.max_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1))).map(|(_, _, spot)| spot)
}

/// A mark this near to the edge of the picture would be pushed off its spot, points.
const EDGE: f32 = 14.0;

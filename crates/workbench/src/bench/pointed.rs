//! A place that is pointed out: a ring round it that is seen through everything, and what hides it is seen through.

use egui::{Align2, Pos2, Rect, Vec2};
use seamwright_geometry::{Bounds, Point, Vector};

use super::camera::Camera;
use super::overlay::Overlay;
use super::pick::{self, HIDDEN_MM, Ray};
use super::scene::{Emphasis, Scene, corners};
use super::view::View;
use super::widget::Bench;
use crate::text;

/// Makes see-through what lies between the eye and the place that is pointed out; whether anything does.
pub(super) fn uncover(scene: &mut Scene, view: &View) -> bool {
    let Some(place) = scene.pointed else { return false };
    let eye = view.camera.eye();
    let Some(direction) = (place - eye).try_normalize(0.0) else { return false };
    let (ray, far_mm) = (Ray { origin: eye, direction }, nalgebra::distance(&eye, &place));
    let mut is_hidden = false;
    while let Some(hit) = pick::pick(scene, &ray, false).filter(|hit| hit.distance_mm < far_mm - HIDDEN_MM) {
        is_hidden = true;
        let hides = |drawn: &&mut super::scene::Drawn| drawn.id == hit.id;
        scene.drawn.iter_mut().filter(hides).for_each(|drawn| drawn.emphasis = Emphasis::Ghost);
    }
    is_hidden
}

/// How much farther away than the far side of what hides it the eye stays: what is seen through is seen as a whole then, and
/// not from within. Our own choice, by eye.
const OUTSIDE: f64 = 2.2;

impl Bench {
    /// Brings `place` into the middle, so near that `reach_mm` to each side of it fill the picture; where something of `scene`
    /// hides it, no nearer than lets that be seen as a whole.
    pub fn look_at_place(&mut self, scene: &Scene, place: &Point, reach_mm: f64) {
        let reach = Vector::repeat(reach_mm);
        let around = Bounds { min: place - reach, max: place + reach };
        let Some(aspect) = self.aspect() else { return self.frame(&around) };
        let near = self.goal().framing(&around, aspect);
        let back = near.axes()[2];
        let out_mm = scene.bounds().map_or(0.0, |bounds| way_out_mm(&bounds, place, &back));
        let ray = Ray { origin: place + back * (out_mm + reach_mm), direction: -back };
        // So far before it lies the outermost of what hides it.
        let before_mm = pick::pick(scene, &ray, true).map_or(0.0, |hit| out_mm + reach_mm - hit.distance_mm);
        let least_mm = if before_mm > HIDDEN_MM { OUTSIDE * before_mm } else { 0.0 };
        self.go(Camera { target: *place, distance_mm: near.distance_mm.max(least_mm), ..near });
    }
}

/// How far it is from `place` along `way` until all of a box is behind.
fn way_out_mm(bounds: &Bounds, place: &Point, way: &Vector) -> f64 {
    corners(bounds).iter().map(|corner| (corner - place).dot(way)).fold(0.0, f64::max)
}

/// The ring, and how far beside it its words stand, in points. Our own choice, by eye.
const RADIUS: f32 = 17.0;
const BESIDE: Vec2 = Vec2::new(52.0, -46.0);

impl Overlay<'_> {
    /// The ring, its four ticks, and a line to what is said of it.
    pub fn pointed(&self, place: &Point, is_hidden: bool) {
        let Some(at) = self.view.project(place).filter(|at| self.view.rect.contains(*at)) else { return };
        let ink = self.style.warning;
        let ring: Vec<Pos2> =
            (0..=40).map(|i| at + RADIUS * Vec2::angled(i as f32 / 40.0 * std::f32::consts::TAU)).collect();
        self.haloed_line(&ring, 2.4, ink);
        for way in [Vec2::X, -Vec2::X, Vec2::Y, -Vec2::Y] {
            self.haloed_line(&[at + way * (RADIUS - 5.0), at + way * (RADIUS + 5.0)], 2.0, ink);
        }
        let beside = self.beside_ring(at);
        let from = at + beside.normalized() * RADIUS;
        self.haloed_line(&[from, at + beside], 1.6, ink);
        let align = if beside.x < 0.0 { Align2::RIGHT_CENTER } else { Align2::LEFT_CENTER };
        let (words, keys) = if is_hidden {
            (text::bench::HERE_BEHIND, text::bench::SEEN_THROUGH_KEYS)
        } else {
            (text::bench::HERE, text::bench::POINTED_KEYS)
        };
        self.tag(at + beside, align, words, ink);
        self.hint(keys);
    }

    /// Up and to the right, or where there is room.
    fn beside_ring(&self, at: Pos2) -> Vec2 {
        let room = self.view.rect.shrink(8.0);
        let x = if at.x > room.center().x + room.width() / 4.0 { -BESIDE.x } else { BESIDE.x };
        let y = if at.y + BESIDE.y < room.top() { -BESIDE.y } else { BESIDE.y };
        Vec2::new(x, y)
    }

    /// What the ring covers.
    pub fn ring_of(&self, place: &Point) -> Option<Rect> {
        Some(Rect::from_center_size(self.view.project(place)?, Vec2::splat(2.0 * RADIUS + 10.0)))
    }
}

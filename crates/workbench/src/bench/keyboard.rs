//! What the keyboard does on the bench.

use egui::{EventFilter, Key, Response, Ui};

use super::action::{BenchAction, Mode};
use super::camera::Camera;
use super::gestures::Gesture;
use super::widget::Bench;

/// One press of a key.
const KEY_ORBIT_DEG: f64 = 7.5;
const KEY_PAN_POINTS: f64 = 40.0;
const KEY_ZOOM: f64 = 1.25;

impl Bench {
    pub(super) fn follow_keys(&mut self, ui: &Ui, response: &Response, mode: Mode, actions: &mut Vec<BenchAction>) {
        if response.clicked() || response.drag_started() {
            response.request_focus();
        }
        let given_up = matches!(self.gesture, Gesture::GivenUp);
        if mode != Mode::Look && !given_up && ui.input(|i| i.key_pressed(Key::Escape)) {
            actions.push(BenchAction::ModeLeft);
        }
        if !response.has_focus() {
            return;
        }
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
        // With these, keys are commands: larger writing comes no nearer.
        if ui.input(|i| i.modifiers.command || i.modifiers.ctrl || i.modifiers.alt) {
            return;
        }
        if mode == Mode::PickPoints && ui.input(|i| i.key_pressed(Key::Enter)) {
            actions.push(BenchAction::PicksDone);
        }
        let (right, up, nearer, shift) = ui.input(|i| {
            let presses = |key: Key| i.num_presses(key) as f64;
            (
                presses(Key::ArrowRight) - presses(Key::ArrowLeft),
                presses(Key::ArrowUp) - presses(Key::ArrowDown),
                presses(Key::Plus) + presses(Key::Equals) - presses(Key::Minus),
                i.modifiers.shift,
            )
        });
        if right == 0.0 && up == 0.0 && nearer == 0.0 {
            return;
        }
        let camera = self.goal();
        let mm = self.view(response).mm_per_point(&camera.target) * KEY_PAN_POINTS;
        let moved = |camera: Camera| {
            if shift && (right != 0.0 || up != 0.0) {
                camera.panned(right * mm, up * mm)
            } else {
                camera.orbited(&camera.target, right * KEY_ORBIT_DEG, up * KEY_ORBIT_DEG)
            }
        };
        self.follow.moved(moved);
        let camera = moved(camera);
        self.put_camera(camera.zoomed(&camera.target, KEY_ZOOM.powf(nearer)));
        if nearer != 0.0 {
            self.follow.forget();
        }
    }
}

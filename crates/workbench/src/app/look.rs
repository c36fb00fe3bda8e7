//! Brings things into the picture.

use seamwright_geometry::{Bounds, Point, Vector};

use super::{App, scene};

impl App {
    pub(super) fn look_at_all(&mut self) {
        let scene = scene::build(&self.state, &self.outlines);
        if let Some(bounds) = scene.bounds() {
            self.bench.frame(&bounds);
        }
    }

    pub(super) fn look_at_selection(&mut self) {
        let scene = scene::build(&self.state, &self.outlines);
        match scene.selected_bounds() {
            Some(bounds) => self.bench.frame(&bounds),
            None => self.look_at_all(),
        }
    }

    /// Brings a place into the middle, near enough to see what is wrong with it, and points it out.
    pub(super) fn look_at_place(&mut self, place: Point) {
        let Some(part) = self.state.part_bounds() else { return };
        self.state.exploded = 0.0;
        self.state.pointed = Some(place);
        let scene = scene::build(&self.state, &self.outlines);
        self.bench.look_at_place(&scene, &place, part.diagonal() * PLACE_SHARE);
    }

    /// Brings places into the picture, with room around them.
    pub(super) fn look_at_places(&mut self, places: &[Point]) {
        let (Some(part), Some(around)) = (self.state.part_bounds(), Bounds::of(places.iter().copied())) else {
            return;
        };
        let room = Vector::repeat(part.diagonal() * PLACE_SHARE);
        self.state.exploded = 0.0;
        self.bench.frame(&Bounds { min: around.min - room, max: around.max + room });
    }

    /// Lights a shell up and brings it into the picture.
    pub(super) fn select_shell(&mut self, shell: Option<u32>) {
        self.state.selected_shell = shell;
        if let Some(bounds) = scene::shell_bounds(&self.state) {
            self.state.exploded = 0.0;
            self.bench.frame(&bounds);
        }
    }

    pub(super) fn show_finding(&mut self, part: usize, finding: usize) {
        self.state.shown_finding = Some((part, finding));
        let place = self.state.looked.as_ref().and_then(|looked| looked.parts.get(part)?.findings.get(finding)?.place);
        if let Some(place) = place {
            self.look_at_place(place);
        }
    }
}

/// What is shown around a place, to each side, as a share of the part's diagonal.
const PLACE_SHARE: f64 = 0.06;

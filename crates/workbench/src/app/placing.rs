//! A cut that is in hand: both sides' fit is worked out in every frame.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use seamwright_geometry::{Plane, Point, SectionLoop};
use seamwright_project::{CutForm, CutId, PlacingPiece};

use super::cut_found::{Asked, CutFound};
use super::engine::{Failure, Placing};
use super::messages::Messages;
use super::state::{Line, Preview, Tool, Uncut};
use super::{App, guide};

/// Live placing of the cut in hand.
#[derive(Default)]
pub(super) struct Live {
    ready: Option<(CutId, Placing)>,
    shown: Option<Preview>,
    /// Since when it is shown there, until more was asked about it.
    resting_since: Option<Instant>,
    rest_asked: bool,
    /// Since when it is shown there.
    still_since: Option<Instant>,
    pub(super) asked: Asked,
}

impl Live {
    /// Takes what the worker prepared.
    pub(super) fn take(&mut self, cut: CutId, placing: Result<Box<Placing>, Failure>, messages: &mut Messages) {
        self.shown = None;
        self.asked = self.asked.anew();
        self.ready = match placing {
            Ok(placing) => Some((cut, *placing)),
            Err(failure) => {
                // A stock that is gone is said by the job card already.
                if !failure.stock_moved {
                    messages.error(failure.text);
                }
                None
            }
        };
    }

    /// Whether an answer about the cut at rest is about where it is shown now.
    pub(super) fn takes_rest(&self) -> bool {
        self.rest_asked && self.ready.is_some()
    }

    /// Forgets everything: another project was opened, or the cut was laid down.
    pub(super) fn clear(&mut self) {
        *self = Live { asked: self.asked.anew(), ..Live::default() };
    }
}

impl App {
    /// A cut was added: it is taken in hand.
    pub(super) fn take_in_hand(&mut self, cut: Option<CutId>) {
        self.state.preview = None;
        self.state.tool = Tool::Look;
        self.state.taken_cut = cut;
        self.state.new_cut = None;
        if cut.is_some() {
            self.state.bore.taken = None;
            self.state.bore.preview = None;
            self.state.exploded = 0.0;
            self.state.selected_piece = None;
            self.state.open_line = Some(Line::Cuts);
        }
    }

    /// Has live placing prepared where it is needed, and works out both sides where the cut is shown now.
    pub(super) fn update_live(&mut self, folder: &Path, ctx: &egui::Context) {
        let Some(cut) = self.state.held_cut() else {
            self.live.clear();
            self.engine.give_up_placing();
            self.state.placing_stopped = false;
            self.state.placement = None;
            self.state.at_rest = None;
            self.state.found = CutFound::default();
            self.state.uncut.clear();
            self.outlines = Arc::default();
            return;
        };
        let id = cut.id;
        let Some(shown) = self.state.shown_cut() else { return };
        let wanted = self.state.recipe().stock.is_some() && !self.state.stopped;
        if wanted && self.engine.prepare_placing(self.state.document.recipe(), id, folder) {
            self.state.placing_stopped = false;
        }
        match &self.live.ready {
            Some((of, placing)) if *of == id => {
                if self.live.shown.as_ref() == Some(&shown) {
                    let (placing, flat) = (placing.clone(), shown.form == CutForm::Flat);
                    let since = *self.live.still_since.get_or_insert_with(Instant::now);
                    self.find_out(&placing, &shown, since, ctx);
                    return self.look_at_rest(placing, shown.plane.plane().ok().filter(|_| flat), ctx);
                }
                self.engine.give_up_rest();
                (self.live.resting_since, self.live.rest_asked) = (Some(Instant::now()), false);
                self.live.still_since = Some(Instant::now());
                self.live.asked.moved();
                (self.state.at_rest, self.state.found.exact) = (None, None);
                // The next frame finds it where it is, and asks for more.
                ctx.request_repaint();
                let Ok(surface) = shown.form.surface(&shown.plane) else { return };
                let placement = placing.at_surface(&surface);
                let guides = self.state.part_bounds().map_or_else(Vec::new, |part| guide::lines(&surface, &part));
                self.outlines = Arc::new(placement.outline.iter().map(chalk).chain(guides).collect());
                self.state.placement = Some(placement);
                let uncut = |piece: &PlacingPiece| Uncut {
                    id: piece.id.clone(),
                    bounds: piece.bounds(),
                    is_reached: piece.is_reached_by(&surface),
                };
                self.state.uncut = placing.pieces().iter().map(uncut).collect();
                self.live.shown = Some(shown);
            }
            _ => {
                self.state.placement = None;
                self.state.at_rest = None;
                self.state.found = CutFound::default();
                self.outlines = Arc::default();
            }
        }
    }

    /// Asks for what takes longer than a frame, once the cut has rested for a moment.
    fn look_at_rest(&mut self, placing: Placing, plane: Option<Plane>, ctx: &egui::Context) {
        let (Some(since), Some(plane)) = (self.live.resting_since, plane) else { return };
        match REST.checked_sub(since.elapsed()).filter(|left| !left.is_zero()) {
            Some(left) => ctx.request_repaint_after(left),
            None => {
                self.live.resting_since = None;
                self.live.rest_asked = true;
                self.engine.look_at_rest(placing, plane);
            }
        }
    }
}

/// A hand that has not moved for this long rests: longer than a hesitation, too short to be waited for. Our own choice,
/// no source.
const REST: Duration = Duration::from_millis(150);

/// A section line as the bench draws it: a closed one repeats its first point.
pub(super) fn chalk(line: &SectionLoop) -> Vec<Point> {
    let again = line.points.first().filter(|_| line.closed);
    line.points.iter().chain(again).copied().collect()
}

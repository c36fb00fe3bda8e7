//! What to do about what does not fit: the best place nearby for a cut, and advice on every piece that is too big.

use std::time::{Duration, Instant};

use seamwright_geometry::{Point, Steps, section};
use seamwright_project::{CutId, CutPlane, Edit, Nearest, NearestPlace, Note, PieceId, Recipe, evenly};

use super::App;
use super::action::{Action, Queue};
use super::command::Command;
use super::state::State;
use super::stepping::{StepAction, StepChoice};

/// What was found out about what to do.
#[derive(Clone, Debug, Default)]
pub struct Advice {
    /// What to do about every piece that does not fit, and the recipe that it is about.
    pub notes: Option<(Recipe, Vec<Note>)>,
    /// The best place nearby for a cut, and the recipe that it is about.
    pub place: Option<(Recipe, CutId, Nearest)>,
    /// Advice is being looked for: how far that is, 0 to 1.
    pub sought: Option<f64>,
    /// The lines of cuts that are shown before they are made, and the recipe that they are about.
    pub shown_cuts: Option<(Recipe, Vec<Vec<Point>>)>,
    /// Looking for advice about this recipe was stopped by the maker: it waits to be asked for again.
    pub stopped_for: Option<Recipe>,
}

impl State {
    /// What to do about every piece that does not fit; nothing while that is not known of the recipe as it is.
    pub fn advised(&self) -> &[Note] {
        match &self.advice.notes {
            Some((of, notes)) if of == self.recipe() => notes,
            _ => &[],
        }
    }

    /// Whether advice was looked for as things are now.
    pub fn is_advised(&self) -> bool {
        self.advice.notes.as_ref().is_some_and(|(of, _)| of == self.recipe())
    }

    /// The lines of cuts that are shown before they are made.
    pub(super) fn shown_cut_lines(&self) -> Option<&Vec<Vec<Point>>> {
        self.advice.shown_cuts.as_ref().filter(|(of, _)| of == self.recipe()).map(|(_, lines)| lines)
    }

    /// Whether it is open what to do about pieces that do not fit.
    pub fn is_advice_open(&self) -> bool {
        let unfit = self.pieces().iter().any(|piece| !piece.fit.verdict.fits());
        self.advice.sought.is_some() || (unfit && !self.is_out_of_date() && !self.is_advised())
    }

    /// The best place nearby for a cut, if it was looked for as things are now.
    pub fn nearest_place(&self, cut: CutId) -> Option<&Nearest> {
        let (of, found_for, nearest) = self.advice.place.as_ref()?;
        (*found_for == cut && of == self.recipe()).then_some(nearest)
    }

    /// Whether a cut is shown where it would be moved to.
    pub fn is_shown_at(&self, place: &NearestPlace) -> bool {
        self.cut_in_hand() == Some(place.cut) && self.shown_plane() == Some(place.plane)
    }
}

/// Shows what an edit would do: a cut where it would lie, cuts that would be stepped off, or the lines that cuts would draw.
pub fn show_edit(edit: &Edit, note: &Note, state: &State, queue: &mut Queue) {
    match edit {
        Edit::SetCutPlane { cut, plane } => show_cut(*cut, *plane, queue),
        Edit::AddCuts { planes, .. } => {
            let Some(piece) = note.piece.as_ref().and_then(|id| state.piece(id)) else { return };
            let Some(first) = planes.first() else { return };
            if *planes != evenly(&piece.facts.bounds, first.axis, planes.len() + 1) {
                return queue.push(Action::ShowCuts { piece: piece.id.clone(), planes: planes.clone() });
            }
            let (piece, axis) = (piece.id.clone(), first.axis);
            let choice = StepChoice { axis, backwards: false, bed: 0, steps: Steps::Equal, least_mm: 0.0 };
            queue.push(Action::SelectPiece(Some(piece)));
            queue.push(Action::Run(Command::StepOff));
            queue.push(Action::Step(StepAction::Choose(choice)));
        }
        _ => {}
    }
}

/// Takes a cut in hand and shows it somewhere else.
pub fn show_cut(cut: CutId, plane: CutPlane, queue: &mut Queue) {
    queue.push(Action::TakeCut(Some(cut)));
    queue.push(Action::Preview { cut, plane: Some(plane) });
}

/// Advice is looked for unasked once nothing has changed for this long: not between two steps of one thought. Our own
/// choice, no source.
const PAUSE: Duration = Duration::from_millis(700);
/// On larger models advice is looked for when it is asked for: every place that is tried is cut for it, which would heat
/// the machine for minutes unasked.
const MOST_FACES_UNASKED: usize = 500_000;

/// Since when the results have been as they are.
#[derive(Debug, Default)]
pub(super) struct Pause {
    since: Option<Instant>,
}

impl App {
    /// Looks for the best place nearby for a cut.
    pub(super) fn find_place(&mut self, cut: CutId) {
        let (recipe, folder) = (self.state.recipe().clone(), self.state.document.folder());
        self.engine.find_place(recipe, folder, cut);
    }

    /// Shows the lines that cuts would draw on a piece.
    pub(super) fn show_cuts(&mut self, piece: &PieceId, planes: &[CutPlane]) {
        self.take_in_hand(None);
        self.take_bore(None);
        self.state.stepping = None;
        let Some(piece) = self.state.piece(piece) else { return };
        let lines = planes.iter().filter_map(|plane| plane.plane().ok());
        let lines = lines.flat_map(|plane| section(&piece.solid, &plane).loops);
        let lines = lines.map(|line| super::placing::chalk(&line)).collect();
        self.state.selected_piece = Some(piece.id.clone());
        self.state.exploded = 0.0;
        self.state.advice.shown_cuts = Some((self.state.recipe().clone(), lines));
        // Nothing else is shown any more, and all of the piece is in the picture.
        (self.state.pointed, self.state.shown_finding) = (None, None);
        self.look_at_selection();
    }

    /// Looks for advice on what does not fit, as it was asked for.
    pub(super) fn ask_advice(&mut self) {
        self.state.advice.stopped_for = None;
        if let Some(outcome) = self.state.outcome.clone() {
            self.engine.advise(outcome, &self.state.document.folder());
        }
    }

    /// Gives advice up that is being looked for, until it is asked for again.
    pub(super) fn stop_advice(&mut self) {
        if self.engine.is_advising() {
            self.engine.give_up_advice();
            self.state.advice.stopped_for = Some(self.state.recipe().clone());
        }
    }

    /// Looks for advice by itself where there is something to say, and gives up when things change.
    pub(super) fn update_advice(&mut self, ctx: &egui::Context) {
        // What is looked for already goes on while a cut is only looked at: the answer holds for it all the same.
        let changing = self.state.preview.is_some() || self.engine.is_busy();
        let unfit = self.state.pieces().iter().any(|piece| !piece.fit.verdict.fits());
        let stopped = self.state.advice.stopped_for.as_ref() == Some(self.state.recipe());
        if self.state.is_out_of_date() || !unfit {
            self.pause.since = None;
            self.engine.give_up_advice();
        } else if changing {
            self.pause.since = None;
        } else if !stopped && !self.state.is_advised() && self.is_quickly_advised() {
            let since = *self.pause.since.get_or_insert_with(Instant::now);
            match PAUSE.checked_sub(since.elapsed()).filter(|left| !left.is_zero()) {
                Some(left) => ctx.request_repaint_after(left),
                None => self.ask_advice(),
            }
        }
        self.state.advice.sought = self.engine.advising();
        if self.state.advice.sought.is_some() {
            ctx.request_repaint_after(super::PROGRESS_EVERY);
        }
    }

    fn is_quickly_advised(&self) -> bool {
        let outcome = self.state.outcome.as_ref();
        let faces: usize =
            outcome.map_or(0, |outcome| outcome.parts.iter().map(|part| part.solid.mesh.triangles.len()).sum());
        faces <= MOST_FACES_UNASKED
    }
}

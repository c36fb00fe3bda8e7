//! Stepping off in the window: what is chosen, and the cuts that a worker finds for it.

use std::path::Path;
use std::sync::Arc;

use seamwright_geometry::{Bounds, Point, Steps};
use seamwright_project::{Axis, StepAsked, Stepped};

use super::App;
use super::engine::Piece;
use super::state::{Line, State, Tool};
use super::words;
use crate::bench::Dimension;
use crate::text;

/// What panels ask for about stepping off.
#[derive(Clone, Debug, PartialEq)]
pub enum StepAction {
    /// Chooses something else.
    Choose(StepChoice),
    /// Makes the cuts that are shown.
    Make,
    /// Leaves it.
    Leave,
}

/// What is chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct StepChoice {
    /// Cuts are square to this axis.
    pub axis: Axis,
    /// Whether it begins at the upper end of the axis.
    pub backwards: bool,
    /// Which bed.
    pub bed: usize,
    /// How long the parts are.
    pub steps: Steps,
    /// The last part is not made shorter than this, mm.
    pub least_mm: f64,
}

/// Stepping off, while it goes on.
#[derive(Clone, Debug)]
pub struct Stepping {
    /// What is chosen.
    pub choice: StepChoice,
    /// What a worker answered, and to what.
    pub found: Option<(StepAsked, Result<Arc<Stepped>, String>)>,
}

/// A last part shorter than this is hardly worth its seam, mm: some ten times the width of a usual bead of glue (common
/// practice, no source). Any other can be typed.
const LEAST_MM: f64 = 20.0;

impl State {
    /// The piece that is stepped off: the selected one, else the first that does not fit, else the largest.
    pub fn stepped_piece(&self) -> Option<&Piece> {
        let selected = self.selected_piece.as_ref().and_then(|id| self.piece(id));
        let too_big = || self.pieces().iter().find(|piece| !piece.fit.verdict.fits());
        let size = |piece: &&Piece| piece.facts.bounds.diagonal();
        let largest = || self.pieces().iter().max_by(|a, b| size(a).total_cmp(&size(b)));
        selected.or_else(too_big).or_else(largest)
    }

    /// What is asked of the worker now.
    pub fn steps_asked(&self) -> Option<StepAsked> {
        let (piece, StepChoice { axis, backwards, bed, steps, least_mm }) =
            (self.stepped_piece()?.id.clone(), self.stepping.as_ref()?.choice.clone());
        Some(StepAsked { piece, bed, axis, backwards, steps, least_mm })
    }

    /// The cuts that were found for what is chosen now, or why there are none; `None` while that is worked out.
    pub fn stepped(&self) -> Option<Result<&Arc<Stepped>, &str>> {
        let (of, found) = self.stepping.as_ref()?.found.as_ref()?;
        let is_now = !self.is_out_of_date() && self.steps_asked().as_ref() == Some(of);
        is_now.then(|| found.as_ref().map_err(String::as_str))
    }

    /// The lines of the cuts that are shown, and how long the parts are.
    pub(super) fn stepped_lines(&self) -> Option<(Vec<Vec<Point>>, Vec<Dimension>)> {
        let stepped = self.stepped()?.ok()?;
        let lines = stepped.lines.iter().map(super::placing::chalk).collect();
        let bounds = self.piece(&stepped.asked.piece)?.facts.bounds;
        Some((lines, dimensions(stepped, &bounds)))
    }
}

/// The lengths of the parts, in a row beside the piece.
fn dimensions(stepped: &Stepped, bounds: &Bounds) -> Vec<Dimension> {
    let k = stepped.asked.axis.index();
    let beside = bounds.diagonal() * BESIDE_SHARE;
    let at = |along: f64| {
        // Beside the piece to the left, or in front of it where the row runs from left to right.
        let mut p = bounds.min;
        p[usize::from(k == 0)] -= beside;
        p[k] = along;
        p
    };
    let lengths = stepped.lengths_mm();
    let ends = stepped.ends_mm.windows(2).zip(lengths);
    ends.map(|(ends, mm)| Dimension { from: at(ends[0]), to: at(ends[1]), text: words::mm(mm), apex: None }).collect()
}

/// How far from a piece its measures stand, as a share of its diagonal: clear of it, and still beside it.
const BESIDE_SHARE: f64 = 0.04;

impl App {
    /// Begins stepping off, along the longest side of the piece.
    pub(super) fn begin_stepping(&mut self) {
        self.take_in_hand(None);
        self.take_bore(None);
        self.state.exploded = 0.0;
        self.state.open_line = Some(Line::Cuts);
        self.state.tool = Tool::Look;
        let Some(piece) = self.state.stepped_piece() else { return };
        let axis = Axis::nearest(&piece.facts.bounds.size());
        let choice = StepChoice { axis, backwards: false, bed: 0, steps: Steps::Equal, least_mm: LEAST_MM };
        self.state.stepping = Some(Stepping { choice, found: None });
    }

    pub(super) fn apply_step(&mut self, action: StepAction) {
        match action {
            StepAction::Choose(choice) => {
                if let Some(stepping) = &mut self.state.stepping {
                    stepping.choice = choice;
                }
            }
            StepAction::Make => {
                let Some(Ok(stepped)) = self.state.stepped() else { return };
                let edit = stepped.edit.clone();
                self.apply_edit(edit);
            }
            StepAction::Leave => self.state.stepping = None,
        }
    }

    /// Has the cuts found for what is chosen now.
    pub(super) fn update_stepping(&mut self, folder: &Path) {
        if self.state.stepping.is_none() {
            return self.engine.give_up_stepping();
        }
        // A cut or a bore that is taken in hand is what is looked at then, or what another line is about.
        let elsewhere = self.state.open_line != Some(Line::Cuts);
        if elsewhere || self.state.held_cut().is_some() || self.state.held_bore().is_some() {
            self.state.stepping = None;
            return;
        }
        if self.state.is_out_of_date() || self.state.stopped {
            return;
        }
        if let Some(asked) = self.state.steps_asked() {
            self.engine.step_off(self.state.document.recipe(), &asked, folder);
        }
    }

    pub(super) fn take_steps(&mut self, asked: StepAsked, found: Result<Stepped, String>) {
        if let Some(stepping) = &mut self.state.stepping {
            stepping.found = Some((asked, found.map(Arc::new)));
        }
    }
}

/// What to call the two ends of an axis: where it begins, and where it ends.
pub fn end_words(axis: Axis) -> [&'static str; 2] {
    text::step_off::ENDS[axis.index()]
}

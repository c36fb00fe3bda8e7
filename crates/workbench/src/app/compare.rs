//! Before and after: while a key is held, the bench shows the pieces as they were before the last change.

use std::collections::VecDeque;
use std::path::Path;
use std::sync::Arc;

use seamwright_project::Recipe;

use super::App;
use super::bodies::Bodies;
use super::command::Command;
use super::engine::Outcome;
use super::messages::About;
use super::state::State;
use crate::text;

/// Results of earlier recipes, ready to be shown. They share what the newest results have in common with them.
#[derive(Debug, Default)]
pub(super) struct Earlier {
    kept: VecDeque<(Arc<Outcome>, Bodies)>,
    asked: Option<Recipe>,
    /// The key was held in the frame before.
    held: bool,
}

/// How many are kept: the step before, and those that a few undos in a row come past. Each may hold a whole model. Our
/// own choice, no source.
const MOST_KEPT: usize = 3;

/// Earlier results that the bench shows instead of the newest ones.
#[derive(Clone, Debug)]
pub struct Compared {
    /// The change that they are without, in the maker's words.
    pub without: String,
    /// The results; `None` while they are worked out.
    pub shown: Option<(Arc<Outcome>, Bodies)>,
}

impl Earlier {
    pub(super) fn keep(&mut self, outcome: Arc<Outcome>, bodies: Bodies) {
        self.kept.retain(|(known, _)| known.recipe != outcome.recipe);
        self.kept.push_front((outcome, bodies));
        self.kept.truncate(MOST_KEPT);
    }

    pub(super) fn clear(&mut self) {
        *self = Earlier::default();
    }

    fn of(&self, recipe: &Recipe) -> Option<(Arc<Outcome>, Bodies)> {
        self.kept.iter().find(|(outcome, _)| outcome.recipe == *recipe).cloned()
    }
}

/// Whether the key of the command is held down, and by itself: with another one it means something else.
fn is_key_held(ctx: &egui::Context) -> bool {
    let Some(keys) = Command::CompareBefore.entry().shortcut else { return false };
    !ctx.text_edit_focused() && ctx.input(|i| i.key_down(keys.logical_key) && i.modifiers.is_none())
}

impl App {
    /// Shows what was before, while that is asked for.
    pub(super) fn update_compare(&mut self, folder: &Path, ctx: &egui::Context) {
        let free = self.state.question.is_none() && !self.chooser.is_asking();
        let held = free && is_key_held(ctx);
        let wanted = self.state.comparing || held;
        let was_held = std::mem::replace(&mut self.earlier.held, held);
        if held && !was_held && before_last(&self.state).is_none() {
            self.state.messages.done_about(About::Before, text::bench::NO_CHANGE_YET);
        }
        let Some((without, recipe)) = before_last(&self.state).filter(|_| wanted) else {
            self.state.comparing = false;
            if self.state.compared.take().is_some() {
                ctx.request_repaint();
            }
            return;
        };
        let shown = self.earlier.of(&recipe);
        if shown.is_none() && self.earlier.asked.as_ref() != Some(&recipe) {
            self.earlier.asked = Some(recipe.clone());
            self.engine.look_back(&recipe, folder);
        }
        let is_new = match (&self.state.compared, &shown) {
            (Some(Compared { shown: Some((before, _)), .. }), Some((now, _))) => !Arc::ptr_eq(before, now),
            (Some(Compared { shown: None, .. }), None) => false,
            _ => true,
        };
        if is_new {
            self.state.compared = Some(Compared { without, shown });
            ctx.request_repaint();
        }
    }

    /// Earlier results were worked out anew.
    pub(super) fn take_earlier(&mut self, found: Option<(Outcome, Bodies)>) {
        if let Some((outcome, bodies)) = found {
            self.earlier.keep(Arc::new(outcome), bodies);
        }
        self.earlier.asked = None;
    }
}

/// The step before the current one, and what the current one is called.
fn before_last(state: &State) -> Option<(String, Recipe)> {
    let history = state.document.history();
    let before = history.current().checked_sub(1)?;
    Some((history.steps().get(history.current())?.title.clone(), history.steps().get(before)?.recipe.clone()))
}

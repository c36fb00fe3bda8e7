//! All steps since the project was opened; any of them can be gone back to.

use egui::{Align2, Button, RichText, ScrollArea, Window, vec2};

use super::line::remark;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue};
use crate::text;

/// Shows the list of steps when it is open.
pub fn history(ctx: &egui::Context, state: &State, queue: &mut Queue) {
    let mut open = state.history_open;
    if !open {
        return;
    }
    let paper = Paper::of(&ctx.global_style().visuals);
    let history = state.document.history();
    Window::new(text::history::TITLE)
        .open(&mut open)
        .anchor(Align2::RIGHT_TOP, vec2(-12.0, 48.0))
        .default_width(280.0)
        .resizable(false)
        .collapsible(false)
        .show(ctx, |ui| {
            ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
                for (i, step) in history.steps().iter().enumerate() {
                    let undone = i > history.current();
                    let ink = if undone { paper.ink_soft } else { paper.ink };
                    let text = RichText::new(text::history::step(i + 1, &step.title)).color(ink);
                    let row = ui.add(Button::selectable(i == history.current(), text).truncate());
                    let hint = if undone { text::history::MAKE_AGAIN } else { text::history::GO_BACK };
                    if row.on_hover_text(text::history::step_hint(&step.title, hint)).clicked() {
                        queue.push(Action::GoToStep(i));
                    }
                }
            });
            if let Some(keys) = Command::CompareBefore.entry().shortcut {
                let keys = ctx.format_shortcut(&keys);
                remark(ui, text::history::hold(&keys));
            }
        });
    if !open {
        queue.push(Action::Run(Command::History));
    }
}

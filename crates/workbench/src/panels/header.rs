//! The line at the top: what is open, whether it is saved, and the way back.

use std::time::SystemTime;

use egui::{Align, Layout, Panel, RichText, TextEdit, Ui};
use seamwright_project::Edit;

use super::typed_name::typed_name;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue, words};
use crate::text;

/// Below this width what can be reached otherwise makes room for what cannot, points.
const NARROW: f32 = 860.0;
/// Below this one, when it was saved is told only where the pointer rests on the name.
const LOW_ON_ROOM: f32 = 700.0;
/// Of a name at least so much is shown, and at most so much, points.
const LEAST_NAME: f32 = 44.0;
const MOST_NAME: f32 = 300.0;
/// What a name's field keeps free beside its text.
const NAME_MARGIN: f32 = 14.0;
/// The arrow between two names, the line between two buttons, and what is kept free beside them.
const BETWEEN: f32 = 64.0;

/// Shows the line at the top.
pub fn header(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let frame = egui::Frame::new().fill(paper.sheet).inner_margin(egui::Margin::symmetric(12, 7));
    Panel::top("header").frame(frame).show(ui, |ui| {
        ui.horizontal(|ui| {
            let narrow = ui.available_width() < NARROW;
            names(ui, state, queue, narrow);
            ui.add_space(10.0);
            saved(ui, state, queue);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                plain(ui, state, queue, Command::Commands, Command::Commands.text().to_owned());
                plain(ui, state, queue, Command::Open, Command::Open.text().to_owned());
                ui.separator();
                // In a narrow window the list of steps is opened by its key, or from the commands.
                if !narrow {
                    plain(ui, state, queue, Command::History, Command::History.text().to_owned());
                }
                plain(ui, state, queue, Command::Redo, text::header::REDO.to_owned());
                plain(ui, state, queue, Command::Undo, undo_words(state, ui.available_width()));
            });
        });
    });
}

/// How much each of `count` names may take, so that nothing at the right is pushed out.
fn most_of_each(ui: &Ui, state: &State, narrow: bool, count: f32) -> f32 {
    let (spacing, padding) = (ui.spacing().item_spacing.x, ui.spacing().button_padding.x);
    let font = egui::TextStyle::Button.resolve(ui.style());
    let width = |words: &str| ui.painter().layout_no_wrap(words.into(), font.clone(), egui::Color32::BLACK).size().x;
    let button = |words: &str| width(words) + 2.0 * padding + spacing;
    let mut taken = button(Command::Commands.text()) + button(Command::Open.text()) + button(text::header::REDO);
    taken += button(text::header::UNDO) + if narrow { 0.0 } else { button(Command::History.text()) };
    if state.document.is_unsaved() {
        taken += width(text::header::NOT_SAVED) + spacing + button(text::header::SAVE);
    } else if ui.ctx().content_rect().width() >= LOW_ON_ROOM {
        taken += width(text::header::LONGEST_SAVED) + spacing;
    }
    ((ui.available_width() - taken - BETWEEN) / count - NAME_MARGIN).min(MOST_NAME)
}

fn names(ui: &mut Ui, state: &State, queue: &mut Queue, narrow: bool) {
    let recipe = state.recipe();
    let ink_soft = Paper::of(ui.visuals()).ink_soft;
    let costume_id = ui.make_persistent_id(("header name", "costume"));
    let naming_id = costume_id.with("is being named");
    let naming = ui.data(|d| d.get_temp::<()>(naming_id)).is_some();
    // A part that stands alone shows no costume, only the way to name one.
    let shown = naming || !recipe.costume.is_empty();
    let most = most_of_each(ui, state, narrow, if shown { 2.0 } else { 1.0 });
    if shown {
        if let Some(costume) = quiet_name(ui, costume_id, text::header::COSTUME, &recipe.costume, "", most) {
            queue.edit(Edit::SetCostume(costume));
        }
        if !ui.memory(|m| m.has_focus(costume_id)) {
            ui.data_mut(|d| d.remove::<()>(naming_id));
        }
        ui.label(RichText::new("›").heading().color(ink_soft));
    }
    let part_id = ui.make_persistent_id(("header name", "part"));
    if let Some(name) = quiet_name(ui, part_id, text::header::PART, &recipe.name, text::header::PART, most) {
        queue.edit(Edit::SetName(name));
    }
    if !shown && ui.ctx().content_rect().width() >= NARROW {
        let words = RichText::new(text::header::NAME_A_COSTUME).small().color(ink_soft);
        let button = ui.add(egui::Button::new(words).frame(false));
        if button.on_hover_text(text::header::NAME_A_COSTUME_HINT).clicked() {
            ui.data_mut(|d| d.insert_temp(naming_id, ()));
            ui.memory_mut(|m| m.request_focus(costume_id));
            ui.ctx().request_repaint();
        }
    }
}

/// A name that looks like writing on the sheet until it is pointed at.
fn quiet_name(ui: &mut Ui, id: egui::Id, label: &str, name: &str, hint: &str, most: f32) -> Option<String> {
    let font = egui::TextStyle::Heading.resolve(ui.style());
    let typed = ui.data(|d| d.get_temp::<String>(id));
    let text = typed.as_deref().unwrap_or(name);
    let shown = if text.is_empty() { hint } else { text };
    let ink = Paper::of(ui.visuals()).ink;
    let width = ui.painter().layout_no_wrap(shown.to_owned(), font.clone(), ink).size().x + NAME_MARGIN;
    let width = width.clamp(LEAST_NAME, most.max(LEAST_NAME));
    let active = ui.memory(|m| m.has_focus(id)) || ui.ctx().read_response(id).is_some_and(|r| r.hovered());
    let (response, typed) = typed_name(ui, id, name, (&font, width - NAME_MARGIN), |ui, text| {
        let mut edit = TextEdit::singleline(text).id(id).font(font.clone()).hint_text(RichText::new(hint).heading());
        edit = edit.desired_width(width);
        if !active {
            edit = edit.frame(egui::Frame::new().inner_margin(egui::Margin::symmetric(5, 3)));
        }
        ui.add(edit)
    });
    let response = response.on_hover_text(text::header::name_hint(label, name));
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_label(text::header::name_of(label)));
    typed
}

fn saved(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let unsaved = state.document.is_unsaved();
    let words = match (unsaved, state.saved_at) {
        (true, _) => text::header::NOT_SAVED.to_owned(),
        (false, Some(_)) if ui.ctx().content_rect().width() < LOW_ON_ROOM => String::new(),
        (false, Some(then)) => {
            let now = SystemTime::now();
            // The words change by the minute.
            ui.ctx().request_repaint_after(std::time::Duration::from_secs(30));
            text::header::saved(&words::ago(then, now))
        }
        (false, None) => String::new(),
    };
    let ink = if unsaved { paper.warning } else { paper.ink_soft };
    if !words.is_empty() {
        let label = ui.label(RichText::new(words).color(ink));
        if let Some(path) = state.document.path() {
            label.on_hover_text(path.display().to_string());
        }
    }
    if unsaved {
        plain(ui, state, queue, Command::Save, text::header::SAVE.to_owned());
    }
}

fn undo_words(state: &State, room: f32) -> String {
    // About seven points to a letter, and the button's own margins.
    let letters = ((room - 60.0) / 7.0).max(0.0) as usize;
    match state.document.history().undo_title() {
        Some(title) if title.chars().count() <= letters => text::header::undo(title),
        Some(title) if letters > 8 => {
            let start: String = title.chars().take(letters - 1).collect();
            text::header::undo_short(start.trim_end())
        }
        _ => text::header::UNDO.into(),
    }
}

fn plain(ui: &mut Ui, state: &State, queue: &mut Queue, command: Command, words: String) {
    let paper = Paper::of(ui.visuals());
    let possible = command.is_possible(state);
    let text = RichText::new(words).color(if possible { paper.ink } else { paper.ink_soft });
    let button = ui.add_enabled(possible, egui::Button::new(text));
    let history = state.document.history();
    let step = match command {
        Command::Undo => history.undo_title(),
        Command::Redo => history.redo_title(),
        _ => None,
    };
    let tooltip = command.tooltip(ui.ctx());
    let hint = step.map_or_else(|| tooltip.clone(), |step| text::history::step_hint(step, &tooltip));
    if button.on_hover_text(hint).clicked() {
        queue.push(Action::Run(command));
    }
}

//! All commands by name: type a few letters, choose, done.

use egui::{Align2, Id, Key, Modal, Modifiers, RichText, ScrollArea, TextEdit, Ui, vec2};

use crate::app::command::{COMMANDS, Command, Entry};
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue};
use crate::text;

/// The field that is typed into and the margins about it all, points.
const HEAD: f32 = 60.0;

/// How much of the window the rows take at most: in a low window the field above them stays to be seen.
fn most_rows(ctx: &egui::Context) -> f32 {
    360.0_f32.min(ctx.content_rect().height() - 110.0).max(60.0)
}

/// Shows the list of commands when it is open.
pub fn commands(ctx: &egui::Context, state: &State, queue: &mut Queue) {
    let id = Id::unique("list of commands");
    if !state.commands_open {
        ctx.data_mut(|d| d.remove_temp::<Search>(id));
        return;
    }
    let mut search = ctx.data(|d| d.get_temp::<Search>(id)).unwrap_or_default();
    // It hangs from where it begins, so that its field keeps its place while fewer commands are left beneath it.
    let top = ((ctx.content_rect().height() - most_rows(ctx) - HEAD) / 2.0).max(0.0);
    let area = Modal::default_area(id).anchor(Align2::CENTER_TOP, vec2(0.0, top));
    let frame = Paper::of(&ctx.global_style().visuals).sheet_on_top();
    let modal = Modal::new(id).area(area).frame(frame).show(ctx, |ui| {
        ui.set_width(440.0_f32.min(ctx.content_rect().width() - 60.0));
        list(ui, state, &mut search)
    });
    let (chosen, close) = (modal.inner, modal.should_close());
    ctx.data_mut(|d| d.insert_temp(id, search));
    if chosen.is_some() || close {
        queue.push(Action::Run(Command::Commands));
    }
    if let Some(command) = chosen {
        queue.push(Action::Run(command));
    }
}

#[derive(Clone, Default)]
struct Search {
    text: String,
    at: usize,
    begun: bool,
}

fn list(ui: &mut Ui, state: &State, search: &mut Search) -> Option<Command> {
    let field =
        ui.add(TextEdit::singleline(&mut search.text).hint_text(text::command_list::HINT).desired_width(f32::INFINITY));
    ui.ctx().accesskit_node_builder(field.id, |node| node.set_label(text::command_list::FIND));
    if !search.begun {
        field.request_focus();
        search.begun = true;
    }
    if field.changed() {
        search.at = 0;
    }
    let found: Vec<&Entry> =
        COMMANDS.iter().filter(|entry| entry.command != Command::Commands && matches(entry, &search.text)).collect();
    let (mut found, not_now): (Vec<&Entry>, Vec<&Entry>) =
        found.into_iter().partition(|entry| entry.command.is_possible(state));
    // What is called so comes before what only speaks of it.
    let typed = search.text.trim().to_lowercase();
    found.sort_by_key(|entry| !entry.text.starts_with(&typed));
    let step = ui.input_mut(|i| {
        isize::from(i.consume_key(Modifiers::NONE, Key::ArrowDown))
            - isize::from(i.consume_key(Modifiers::NONE, Key::ArrowUp))
    });
    search.at = search.at.saturating_add_signed(step).min(found.len().saturating_sub(1));
    let mut chosen = None;
    if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
        chosen = found.get(search.at).map(|entry| entry.command);
    }
    let most = most_rows(ui.ctx());
    let rows = (found.len() + not_now.len()).max(1) as f32 * (24.0 + ui.spacing().item_spacing.y);
    ScrollArea::vertical().max_height(most).min_scrolled_height(rows.min(most)).auto_shrink([false, true]).show(
        ui,
        |ui| {
            for (i, entry) in found.iter().enumerate() {
                if row(ui, entry, i == search.at, step != 0) {
                    chosen = Some(entry.command);
                }
            }
            for entry in &not_now {
                impossible(ui, entry, entry.command.why_not(state).unwrap_or_default());
            }
            if found.is_empty() && not_now.is_empty() {
                ui.label(text::command_list::NOTHING);
            }
        },
    );
    chosen
}

fn row(ui: &mut Ui, entry: &Entry, marked: bool, scroll: bool) -> bool {
    let keys = entry.shortcut.map(|keys| ui.ctx().format_shortcut(&keys)).unwrap_or_default();
    let soft = Paper::of(ui.visuals()).ink_soft;
    let button = egui::Button::selectable(marked, entry.text).right_text(RichText::new(keys).color(soft));
    let response = ui.add_sized([ui.available_width(), 24.0], button).on_hover_text(entry.tooltip);
    if marked && scroll {
        response.scroll_to_me(None);
    }
    response.clicked()
}

/// A command that would do nothing now, and why.
fn impossible(ui: &mut Ui, entry: &Entry, why: &str) {
    let soft = Paper::of(ui.visuals()).ink_soft;
    let why = RichText::new(why).small().color(soft);
    let button = egui::Button::selectable(false, entry.text).right_text(why.clone());
    let response = ui.add_enabled_ui(false, |ui| ui.add_sized([ui.available_width(), 24.0], button)).inner;
    let told = text::command_list::not_now(entry.text, why.text());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, false, &told));
    response.on_disabled_hover_text(entry.tooltip);
}

/// Every word that was typed is somewhere in the command's words.
fn matches(entry: &Entry, typed: &str) -> bool {
    let said = format!("{} {} {}", entry.text, entry.tooltip, entry.command.also()).to_lowercase();
    typed.to_lowercase().split_whitespace().all(|word| said.contains(word))
}

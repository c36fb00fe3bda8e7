//! The line at the top: what is open, whether it is saved, and the way back.

use std::time::SystemTime;

use egui::{Align, Layout, Panel, RichText, TextEdit, TextStyle, Ui};
use seamwright_project::Edit;

use super::typed_name::typed_name;
use crate::app::command::Command;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, Queue, words};
use crate::text;

/// Below this width the way to name a costume makes room for what cannot be reached otherwise, points.
const NARROW: f32 = 860.0;
/// Of a name at least so much is shown, and at most so much, points.
const LEAST_NAME: f32 = 44.0;
const MOST_NAME: f32 = 300.0;
/// Whether it is saved is told in words where so much is left of each name, points; elsewhere the button to save tells it, and
/// the title of the window. Our own choice, no source.
const LEAST_BESIDE_WORDS: f32 = 80.0;
/// What a name's field keeps free beside its text.
const NAME_MARGIN: f32 = 14.0;
/// Fewer letters of what undo takes back tell nothing. Our own choice, no source.
const LEAST_TITLE: usize = 8;
/// Between the names and what is told of saving.
const AFTER_NAMES: f32 = 10.0;
/// Between two names.
const ARROW: &str = "›";

/// How the line gets by with the room that there is. No button ever leaves it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Head {
    /// With all its words.
    Whole,
    /// It does not say in words whether all is saved.
    Short,
    /// The same, with the buttons in a line of their own.
    TwoLines,
}

/// How wide its parts are at least, points.
struct Widths {
    /// Each name without its letters, and what stands between and after them.
    names: f32,
    count: f32,
    words: f32,
    save: f32,
    buttons: f32,
}

impl Widths {
    fn of(ui: &Ui, state: &State, count: f32) -> Widths {
        let spacing = ui.spacing().item_spacing.x;
        let width = |words: &str, style: TextStyle| {
            let font = style.resolve(ui.style());
            ui.painter().layout_no_wrap(words.into(), font, egui::Color32::BLACK).size().x
        };
        let button = |words: &str| width(words, TextStyle::Button) + 2.0 * ui.spacing().button_padding.x + spacing;
        let unsaved = state.document.is_unsaved();
        let words = match (unsaved, state.saved_at) {
            (true, _) => width(text::header::NOT_SAVED, TextStyle::Body) + spacing,
            (false, Some(_)) => width(text::header::LONGEST_SAVED, TextStyle::Body) + spacing,
            (false, None) => 0.0,
        };
        let between = if count > 1.0 { width(ARROW, TextStyle::Heading) + spacing } else { 0.0 };
        let [commands, open, history] = [Command::Commands, Command::Open, Command::History].map(Command::text);
        let rows = [commands, open, history, text::header::REDO, text::header::UNDO];
        Widths {
            names: count * (NAME_MARGIN + spacing) + between + AFTER_NAMES,
            count,
            words,
            save: if unsaved { button(text::header::SAVE) } else { 0.0 },
            // A line stands among them, about as wide as the room beside it.
            buttons: rows.map(button).iter().sum::<f32>() + 2.0 * spacing,
        }
    }

    fn head(&self, room: f32) -> Head {
        let rest = room - self.names - self.save - self.buttons;
        match rest / self.count {
            _ if (rest - self.words) / self.count >= LEAST_BESIDE_WORDS => Head::Whole,
            left if left >= LEAST_NAME => Head::Short,
            _ => Head::TwoLines,
        }
    }

    /// How much all names may take, so that nothing beside them is pushed out.
    fn for_names(&self, head: Head, room: f32) -> f32 {
        let words = if head == Head::Whole { self.words } else { 0.0 };
        let buttons = if head == Head::TwoLines { 0.0 } else { self.buttons };
        room - self.names - self.save - words - buttons
    }
}

/// Shows the line at the top.
pub fn header(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let frame = egui::Frame::new().fill(paper.sheet).inner_margin(egui::Margin::symmetric(12, 7));
    Panel::top("header").frame(frame).show(ui, |ui| {
        let room = ui.available_width();
        let widths = Widths::of(ui, state, if shows_costume(ui, state) { 2.0 } else { 1.0 });
        let head = widths.head(room);
        let for_names = widths.for_names(head, room);
        ui.horizontal(|ui| {
            names(ui, state, queue, for_names);
            ui.add_space(AFTER_NAMES);
            saved(ui, state, queue, head);
            if head != Head::TwoLines {
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| buttons(ui, state, queue));
            }
        });
        if head == Head::TwoLines {
            let height = ui.spacing().interact_size.y;
            let line = egui::vec2(room, height);
            ui.allocate_ui_with_layout(line, Layout::right_to_left(Align::Center), |ui| buttons(ui, state, queue));
        }
    });
}

/// From right to left.
fn buttons(ui: &mut Ui, state: &State, queue: &mut Queue) {
    plain(ui, state, queue, Command::Commands, Command::Commands.text().to_owned());
    plain(ui, state, queue, Command::Open, Command::Open.text().to_owned());
    ui.separator();
    plain(ui, state, queue, Command::History, Command::History.text().to_owned());
    plain(ui, state, queue, Command::Redo, text::header::REDO.to_owned());
    let words = undo_words(ui, state);
    plain(ui, state, queue, Command::Undo, words);
}

fn costume_id(ui: &Ui) -> egui::Id {
    ui.make_persistent_id(("header name", "costume"))
}

fn naming_id() -> egui::Id {
    egui::Id::unique("the costume is being named")
}

/// A part that stands alone shows no costume, only the way to name one.
fn shows_costume(ui: &Ui, state: &State) -> bool {
    ui.data(|d| d.get_temp::<()>(naming_id())).is_some() || !state.recipe().costume.is_empty()
}

/// `room` is for the letters of all names.
fn names(ui: &mut Ui, state: &State, queue: &mut Queue, room: f32) {
    let recipe = state.recipe();
    let ink_soft = Paper::of(ui.visuals()).ink_soft;
    let (costume_id, shown) = (costume_id(ui), shows_costume(ui, state));
    // A short name leaves its share to the other.
    let [costume, part] = [recipe.costume.as_str(), recipe.name.as_str()].map(|name| letters(ui, name));
    let share =
        |own: f32, other: f32| if shown { (room - other.min(room / 2.0)).min(own.max(room / 2.0)) } else { room };
    let [most_costume, most_part] = [share(costume, part), share(part, costume)].map(|most| most.min(MOST_NAME));
    if shown {
        if let Some(costume) = quiet_name(ui, costume_id, text::header::COSTUME, &recipe.costume, "", most_costume) {
            queue.edit(Edit::SetCostume(costume));
        }
        if !ui.memory(|m| m.has_focus(costume_id)) {
            ui.data_mut(|d| d.remove::<()>(naming_id()));
        }
        ui.label(RichText::new(ARROW).heading().color(ink_soft));
    }
    let part_id = ui.make_persistent_id(("header name", "part"));
    if let Some(name) = quiet_name(ui, part_id, text::header::PART, &recipe.name, text::header::PART, most_part) {
        queue.edit(Edit::SetName(name));
    }
    if !shown && ui.ctx().content_rect().width() >= NARROW {
        let words = RichText::new(text::header::NAME_A_COSTUME).small().color(ink_soft);
        let button = ui.add(egui::Button::new(words).frame(false));
        if button.on_hover_text(text::header::NAME_A_COSTUME_HINT).clicked() {
            ui.data_mut(|d| d.insert_temp(naming_id(), ()));
            ui.memory_mut(|m| m.request_focus(costume_id));
            ui.ctx().request_repaint();
        }
    }
}

/// How wide a name is, and the room about it that it keeps to the edge of its field, points.
fn letters(ui: &Ui, name: &str) -> f32 {
    let font = TextStyle::Heading.resolve(ui.style());
    ui.painter().layout_no_wrap(name.to_owned(), font, egui::Color32::BLACK).size().x + NAME_MARGIN
}

/// A name that looks like writing on the sheet until it is pointed at.
fn quiet_name(ui: &mut Ui, id: egui::Id, label: &str, name: &str, hint: &str, most: f32) -> Option<String> {
    let font = TextStyle::Heading.resolve(ui.style());
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

fn saved(ui: &mut Ui, state: &State, queue: &mut Queue, head: Head) {
    let paper = Paper::of(ui.visuals());
    let unsaved = state.document.is_unsaved();
    let words = match (unsaved, state.saved_at) {
        _ if head != Head::Whole => String::new(),
        (true, _) => text::header::NOT_SAVED.to_owned(),
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

/// What is taken back, as far as there is room for it: letters of other scripts may be twice as wide as those of this one.
fn undo_words(ui: &Ui, state: &State) -> String {
    let room = ui.available_width() - 2.0 * ui.spacing().button_padding.x;
    let font = TextStyle::Button.resolve(ui.style());
    let has_room =
        |words: String| ui.painter().layout_no_wrap(words, font.clone(), egui::Color32::BLACK).size().x <= room;
    let Some(title) = state.document.history().undo_title() else { return text::header::UNDO.into() };
    if has_room(text::header::undo(title)) {
        return text::header::undo(title);
    }
    let ends: Vec<usize> = title.char_indices().map(|(at, _)| at).skip(LEAST_TITLE).collect();
    let short = |end: usize| text::header::undo_short(title[..end].trim_end());
    let fitting = ends.partition_point(|end| has_room(short(*end)));
    fitting.checked_sub(1).map_or_else(|| text::header::UNDO.into(), |last| short(ends[last]))
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

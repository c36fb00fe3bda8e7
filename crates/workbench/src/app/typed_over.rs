//! Text fields that are typed over.

use egui::text::{CCursor, CCursorRange};
use egui::text_edit::TextEditState;
use egui::{Id, Response, TextEdit, Ui};

/// Shows `field`; what is typed after it was entered replaces all of `text`, which it shows.
pub fn typed_over(ui: &mut Ui, text: &mut String, field: impl FnOnce(TextEdit<'_>) -> TextEdit<'_>) -> Response {
    let mut output = field(TextEdit::singleline(text)).show(ui);
    let response = output.response.response.clone();
    if response.gained_focus() {
        select_all(ui, response.id, &mut output.state, text);
    }
    response
}

/// Enters a field by itself, as if it had been clicked.
pub fn enter(ui: &Ui, field: &Response, text: &str) {
    field.request_focus();
    let mut state = TextEditState::load(ui.ctx(), field.id).unwrap_or_default();
    select_all(ui, field.id, &mut state, text);
}

fn select_all(ui: &Ui, id: Id, state: &mut TextEditState, text: &str) {
    let all = CCursorRange::two(CCursor::default(), CCursor::new(text.chars().count()));
    state.cursor.set_char_range(Some(all));
    state.clone().store(ui.ctx(), id);
}

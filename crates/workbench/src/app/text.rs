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

fn select_all(ui: &Ui, id: Id, state: &mut TextEditState, text: &str) {
    let all = CCursorRange::two(CCursor::default(), CCursor::new(text.chars().count()));
    state.cursor.set_char_range(Some(all));
    state.clone().store(ui.ctx(), id);
}

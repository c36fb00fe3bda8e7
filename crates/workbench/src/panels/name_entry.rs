//! Where a name is typed.

use egui::{TextStyle, Ui};

use super::typed_name::typed_name;
use crate::app::typed_over::{enter, typed_over};

/// A name that can be typed. `Some` when it was changed.
pub fn name_entry(ui: &mut Ui, label: &str, name: &str, width: f32) -> Option<String> {
    let id = ui.make_persistent_id(("name", label));
    let label = ui.label(label);
    let font = TextStyle::Body.resolve(ui.style());
    let room = width - 2.0 * FIELD_MARGIN;
    let (response, typed) = typed_name(ui, id, name, (&font, room), |ui, text| {
        let field = typed_over(ui, text, |field| field.id(id).desired_width(width));
        if field.gained_focus() {
            // Of a long name more is typed over than was shown.
            enter(ui, &field, name);
        }
        field
    });
    response.labelled_by(label.id).on_hover_text(name);
    typed
}

/// What a field keeps free on each side of its text, points.
const FIELD_MARGIN: f32 = 5.0;

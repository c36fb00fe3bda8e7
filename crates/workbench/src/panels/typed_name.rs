//! A name in a field: in full while it is typed, else shortened in its middle where it is longer than the field.

use egui::{FontId, Id, Key, Modifiers, Response, Ui};

use super::middle::shortened;

/// Shows `name` in a field that `add` adds, whose text has this font and `room` points. `Some` once another name was
/// typed. What is only shown shortened is never taken for what was typed.
pub fn typed_name(
    ui: &mut Ui,
    id: Id,
    name: &str,
    (font, room): (&FontId, f32),
    add: impl FnOnce(&mut Ui, &mut String) -> Response,
) -> (Response, Option<String>) {
    let typed = ui.data(|d| d.get_temp::<String>(id));
    let entered = ui.memory(|m| m.has_focus(id));
    let in_full = entered || typed.is_some();
    let mut text = match &typed {
        Some(typed) => typed.clone(),
        None if entered => name.to_owned(),
        None => shortened(ui, name, font, room),
    };
    let is_whole = in_full || text == name;
    let response = add(ui, &mut text);
    if !is_whole {
        ui.ctx().accesskit_node_builder(response.id, |node| node.set_value(name));
    }
    let typed = if response.changed() && is_whole { Some(text) } else { typed };
    if response.lost_focus() {
        ui.data_mut(|d| d.remove_temp::<String>(id));
        let escaped = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
        return (response, typed.filter(|typed| !escaped && typed != name));
    }
    if let Some(typed) = typed {
        ui.data_mut(|d| d.insert_temp(id, typed));
    }
    (response, None)
}

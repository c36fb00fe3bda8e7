//! A choice on the card of a bore, in two cells of a grid.

use egui::{ComboBox, Ui};

/// How wide a choice is where there is room, points.
const WIDTH: f32 = 150.0;

/// Shows a choice; gives what was chosen, if it is another one.
pub fn choose<T: PartialEq + Clone>(
    ui: &mut Ui,
    name: &str,
    now: &T,
    words: &str,
    all: &[(T, String, String)],
) -> Option<T> {
    choose_hinted(ui, name, now, words, all, "")
}

/// The same, with what the choice is about when the pointer rests on it.
pub fn choose_hinted<T: PartialEq + Clone>(
    ui: &mut Ui,
    name: &str,
    now: &T,
    words: &str,
    all: &[(T, String, String)],
    about: &str,
) -> Option<T> {
    let label = ui.label(name);
    let mut chosen = None;
    // Beside a long name it is narrower: the job card is not made wider by it.
    let width = ui.available_width().min(WIDTH);
    let combo = ComboBox::from_id_salt(name).selected_text(words).width(width).truncate().show_ui(ui, |ui| {
        for (value, words, hint) in all {
            let row = ui.selectable_label(value == now, words.as_str());
            let row = if hint.is_empty() { row } else { row.on_hover_text(hint) };
            if row.clicked() && value != now {
                chosen = Some(value.clone());
            }
        }
    });
    // What is chosen says what it means; the rest is in the list.
    let of_now = all.iter().find(|(value, ..)| value == now).map_or("", |(_, _, hint)| hint.as_str());
    let hint: Vec<&str> = [of_now, about].into_iter().filter(|words| !words.is_empty()).collect();
    let response = combo.response.labelled_by(label.id);
    if !hint.is_empty() {
        response.on_hover_text(hint.join(".\n"));
    }
    ui.end_row();
    chosen
}

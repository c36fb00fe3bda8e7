//! Long names and paths, shortened in the middle: their beginnings and their ends tell them apart.

use egui::{Button, Color32, FontId, Response, RichText, Role, TextStyle, Ui, WidgetInfo};
use unicode_segmentation::UnicodeSegmentation;

/// Kept free between a name and what stands beside it, with the frame of a small button, points.
pub const NAME_GAP: f32 = 26.0;

/// `text`, or as much of its beginning and its end as fits into `room` points.
pub fn shortened(ui: &Ui, text: &str, font: &FontId, room: f32) -> String {
    let width = |text: &str| ui.painter().layout_no_wrap(text.to_owned(), font.clone(), Color32::BLACK).size().x;
    shorten(text, room, width)
}

/// A button without a frame that a long name is shortened on. `hint` follows the name in full where the pointer rests on
/// it.
pub fn name_button(ui: &mut Ui, name: &str, ink: Color32, room: f32, hint: &str) -> Response {
    let shown = shortened(ui, name, &TextStyle::Button.resolve(ui.style()), room);
    let hint = if shown == name { hint.to_owned() } else { [name, hint].join("\n") };
    let button = ui.add(Button::new(RichText::new(&shown).strong().color(ink)).frame(false));
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, name));
    button.on_hover_text(hint)
}

/// How wide words in small letters are, points.
pub fn small_width(ui: &Ui, words: &str) -> f32 {
    let font = TextStyle::Small.resolve(ui.style());
    ui.painter().layout_no_wrap(words.to_owned(), font, Color32::BLACK).size().x
}

/// The shortening for any measure of width. Never parts what a reader takes for one letter, in any script.
fn shorten(text: &str, room: f32, width: impl Fn(&str) -> f32) -> String {
    if width(text) <= room {
        return text.to_owned();
    }
    let letters: Vec<&str> = text.graphemes(true).collect();
    let with = |kept: usize| {
        // The end gets the odd one: it holds the ending of a file's name.
        let (head, tail) = (kept / 2, kept - kept / 2);
        format!("{}…{}", letters[..head].concat(), letters[letters.len() - tail..].concat())
    };
    let (mut fits, mut too_many) = (0, letters.len());
    while fits + 1 < too_many {
        let middle = usize::midpoint(fits, too_many);
        if width(&with(middle)) <= room { fits = middle } else { too_many = middle }
    }
    with(fits)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letters(text: &str) -> f32 {
        text.graphemes(true).count() as f32
    }

    #[test]
    fn the_middle_goes_and_both_ends_stay() {
        assert_eq!(shorten("helm.stl", 8.0, letters), "helm.stl");
        assert_eq!(shorten("a-very-long-name.stl", 9.0, letters), "a-ve….stl");
        assert_eq!(shorten("abcdef", 0.0, letters), "…");
    }

    #[test]
    fn no_letter_of_any_script_is_parted() {
        // A family is one sign; accents that are written as signs of their own belong to their letter.
        for name in [
            "👨‍👩‍👧👨‍👩‍👧👨‍👩‍👧👨‍👩‍👧👨‍👩‍👧👨‍👩‍👧",
            "e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}",
            "नमस्ते दुनिया नमस्ते",
            "兜の前立て兜の前立て",
        ] {
            let short = shorten(name, 5.0, letters);
            let first = name.graphemes(true).next().unwrap_or_default();
            let last = name.graphemes(true).next_back().unwrap_or_default();
            assert!(short.starts_with(first) && short.ends_with(last) && letters(&short) == 5.0, "{short}");
        }
    }
}

//! Corners of an outline, typed as a list: `0, 0; 200, 0; 100, 150`.

use egui::{Key, Label, Modifiers, RichText, Ui};

use crate::app::quantity::length_mm;
use crate::app::style::Paper;
use crate::app::typed_over::typed_over;
use crate::app::words;
use crate::text;

/// Shows the list under `name`. `Some` when it was changed to another that can be read; whether it makes an outline is
/// for others to say. What can't be read stays, with the reason beneath.
pub fn corners_entry(ui: &mut Ui, name: &str, corners_mm: &[[f64; 2]]) -> Option<Vec<[f64; 2]>> {
    let id = ui.make_persistent_id(("corners", name));
    let now = text(corners_mm);
    let label = ui.label(name);
    let kept = ui.data(|d| d.get_temp::<String>(id));
    let wrong = kept.as_ref().and_then(|kept| parse(kept).err());
    let mut typed = kept.unwrap_or_else(|| now.clone());
    let paper = Paper::of(ui.visuals());
    let focused = ui.memory(|m| m.has_focus(id));
    let response = ui
        .vertical(|ui| {
            let width = ui.available_width().min(WIDTH);
            let response = typed_over(ui, &mut typed, |field| {
                let field = field.id(id).desired_width(width);
                if wrong.is_some() && !focused { field.text_color(paper.warning) } else { field }
            });
            if let (Some(why), false) = (&wrong, focused) {
                ui.add(Label::new(RichText::new(why).small().color(paper.warning)).wrap());
            }
            response.labelled_by(label.id).on_hover_text(text::bed_form::CORNERS_HINT)
        })
        .inner;
    if response.lost_focus() {
        let escaped = ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Escape));
        ui.data_mut(|d| d.remove_temp::<String>(id));
        if escaped || typed == now {
            return None;
        }
        return match parse(&typed) {
            Ok(corners) => Some(corners),
            Err(_) => {
                ui.data_mut(|d| d.insert_temp(id, typed));
                None
            }
        };
    }
    if response.changed() {
        ui.data_mut(|d| d.insert_temp(id, typed));
    }
    None
}

/// Room for four corners of three digits each, points.
const WIDTH: f32 = 190.0;

fn text(corners_mm: &[[f64; 2]]) -> String {
    let corner = |[x, y]: &[f64; 2]| format!("{}, {}", words::entry(*x), words::entry(*y));
    corners_mm.iter().map(corner).collect::<Vec<_>>().join("; ")
}

fn parse(text: &str) -> Result<Vec<[f64; 2]>, String> {
    let corner = |part: &str| {
        let numbers: Vec<&str> = part.split(',').collect();
        let [x, y] = numbers[..] else {
            return Err(text::bed_form::no_corner(part.trim()));
        };
        let length = |text: &str| length_mm(text).map_err(|error| error.to_string());
        Ok([length(x)?, length(y)?])
    };
    text.trim().trim_end_matches(';').split(';').map(corner).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_are_read_as_they_are_written() {
        let corners = vec![[0.0, 0.0], [200.5, 0.0], [100.0, -150.0]];
        assert_eq!(text(&corners), "0, 0; 200.5, 0; 100, −150");
        assert_eq!(parse(&text(&corners)), Ok(corners));
        assert_eq!(parse("0,0; 1 in, 0; 0, =20/2;"), Ok(vec![[0.0, 0.0], [25.4, 0.0], [0.0, 10.0]]));
    }

    #[test]
    fn what_is_no_corner_is_named() {
        assert!(parse("0, 0; 12").unwrap_err().contains("\"12\" is no corner"));
        assert!(parse("0, 0; 1, apples").unwrap_err().contains("apples"));
    }
}

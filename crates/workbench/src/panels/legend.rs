//! The key to the colours on the bench: swatch, hatch and words of the verdicts that are to be seen.

use egui::{Align2, Area, Id, Order, Rect, RichText, Ui};
use seamwright_geometry::Verdict;

use super::swatch::swatch;
use crate::app::Piece;
use crate::app::state::{State, tone_of};
use crate::app::style::Paper;
use crate::bench::Tone;
use crate::shown::tone_of_piece;
use crate::text;

/// On a bench lower than this it is folded until it is asked for, points.
const LEAST_HEIGHT: f32 = 240.0;

/// In the order from the best to the worst.
const ALL: [Verdict; 5] = [Verdict::AsItStands, Verdict::Turned, Verdict::Tilted, Verdict::Undecided, Verdict::TooBig];

/// A row of the key: a swatch, and what it says.
type Said = (Tone, &'static str);

/// Shows the key in the lower right corner of `room`, and gives where; nothing where no piece is in sight.
pub fn legend(ui: &mut Ui, room: Rect, state: &State) -> Option<Rect> {
    let pieces = match state.compared.as_ref().and_then(|compared| compared.shown.as_ref()) {
        Some((earlier, _)) => &earlier.pieces,
        None => state.pieces(),
    };
    let shown = || pieces.iter().filter(|piece| !state.sets.hidden.contains(&piece.id));
    let in_sight = |verdict: &Verdict| {
        let of_pieces = shown().any(|piece| tone_of_piece(piece) == tone_of(*verdict));
        // Both sides of a cut in hand have colours of their own, until its pieces are made.
        let of_sides =
            state.cut_in_hand().is_some() && state.placed_sides().iter().any(|side| side.verdict == *verdict);
        of_pieces || of_sides
    };
    let verdicts = ALL.into_iter().filter(in_sight).map(|verdict| (tone_of(verdict), text::verdicts::means(verdict)));
    let crumb = shown().any(Piece::is_crumb).then_some((Tone::Crumb, text::verdicts::CRUMB_MEANS));
    let said: Vec<Said> = verdicts.chain(crumb).collect();
    if said.is_empty() || state.recipe().stock.is_none() {
        return None;
    }
    let paper = Paper::of(ui.visuals());
    let key = Id::unique("key to the colours is folded");
    let folded = ui.data(|d| d.get_temp::<bool>(key)).unwrap_or(room.height() < LEAST_HEIGHT);
    let area = Area::new(Id::unique("key to the colours")).order(Order::Middle).fixed_pos(room.right_bottom());
    let area = area.pivot(Align2::RIGHT_BOTTOM).show(ui.ctx(), |ui| {
        let slip = paper.slip_frame().inner_margin(egui::Margin::symmetric(8, 5)).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 3.0;
            for (tone, means) in said.into_iter().filter(|_| !folded) {
                let row = ui.horizontal(|ui| {
                    swatch(ui, tone);
                    ui.label(RichText::new(tone.words()).small().color(paper.ink));
                });
                row.response.on_hover_text(means);
            }
            let link = ui.link(RichText::new(if folded { text::bench::COLOURS } else { text::bench::FOLD }).small());
            link.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Link, true, text::bench::COLOURS));
            if link.on_hover_text(text::bench::COLOURS_HINT).clicked() {
                ui.data_mut(|d| d.insert_temp(key, !folded));
            }
        });
        slip.response.rect
    });
    // With a row more it was drawn from where the smaller one began, and so over what is beneath it.
    if area.inner.right_bottom().distance(room.right_bottom()) > 1.0 {
        ui.ctx().request_discard("the key to the colours has another size");
    }
    Some(area.response.rect)
}

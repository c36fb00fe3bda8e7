//! One numbered line of the job card: number, name, result in words; opens in place.

use egui::{Align2, CursorIcon, FontId, Rect, RichText, Sense, Stroke, Ui, UiBuilder, pos2, vec2};

use super::middle::shortened;
use super::summary::{failure_at, summary};
use crate::app::first_job::JobStep;
use crate::app::state::{Line, State};
use crate::app::style::Paper;
use crate::app::{Action, Queue};
use crate::text;
use crate::text::terms::{self, Term};

/// Width of the column of numbers, left of the margin line.
pub const NUMBER_COLUMN: f32 = 28.0;
const ROW_HEIGHT: f32 = 32.0;

/// Shows `line`; `content` fills it when it is open.
pub fn line(ui: &mut Ui, state: &State, queue: &mut Queue, line: Line, content: impl FnOnce(&mut Ui, &mut Queue)) {
    let open = state.open_line == Some(line);
    let row = head(ui, state, line, open);
    if row.clicked() {
        queue.push(Action::ToggleLine(line));
    }
    bring_asked_into_view(ui, state, line, open, &row);
    if open {
        let inner = egui::Frame::new().fill(Paper::of(ui.visuals()).slip).inner_margin(egui::Margin {
            left: NUMBER_COLUMN as i8 + 9,
            right: 10,
            top: 2,
            bottom: 10,
        });
        ui.spacing_mut().item_spacing.y = 0.0;
        inner.show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 5.0;
            if let Some(failure) = failure_at(state, line) {
                trouble(ui, &failure.text);
            }
            content(ui, queue);
        });
    }
    let y = ui.cursor().top();
    ui.painter().hline(ui.max_rect().x_range(), y, Stroke::new(1.0, Paper::of(ui.visuals()).rule));
}

/// Words about what is wrong, where it is wrong.
pub fn trouble(ui: &mut Ui, text: &str) {
    let paper = Paper::of(ui.visuals());
    egui::Frame::new().fill(paper.warning_wash).corner_radius(3).inner_margin(8).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.label(RichText::new(text).color(paper.warning));
    });
}

/// Soft words.
pub fn remark(ui: &mut Ui, text: impl Into<String>) {
    let paper = Paper::of(ui.visuals());
    ui.label(RichText::new(text).small().color(paper.ink_soft));
}

/// The words of the trade that the lines are about, in their order.
const TERMS: [Term; 8] =
    [terms::STOCK, terms::SIZE, terms::SHELL, terms::BORE, terms::CUT, terms::JOINT, terms::LAY, terms::KIT];

/// The line that the first job asks for is scrolled to once it does, and again to its top once it is opened: what is to be
/// done on it stands right beneath.
fn bring_asked_into_view(ui: &Ui, state: &State, line: Line, open: bool, row: &egui::Response) {
    let Some(step) = state.first_job.as_ref().map(|job| job.step).filter(|step| step.line() == Some(line)) else {
        return;
    };
    let key = egui::Id::unique("line that the first job asks for");
    if ui.data(|d| d.get_temp::<(JobStep, bool)>(key)) != Some((step, open)) {
        ui.data_mut(|d| d.insert_temp(key, (step, open)));
        row.scroll_to_me(open.then_some(egui::Align::TOP));
    }
}

/// The row.
fn head(ui: &mut Ui, state: &State, line: Line, open: bool) -> egui::Response {
    let paper = Paper::of(ui.visuals());
    let said = summary(state, line);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW_HEIGHT), Sense::click());
    let name = text::job_card::line(line.number(), line.name(), &said.text);
    response.widget_info(|| {
        let mut info = egui::WidgetInfo::labeled(egui::Role::Button, true, &name);
        info.selected = Some(open);
        info
    });
    if open {
        ui.painter().rect_filled(rect, 0.0, paper.slip);
    } else if response.hovered() {
        ui.painter().rect_filled(rect, 0.0, paper.accent_wash);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(rect.shrink(1.0), 2.0, Stroke::new(1.5, paper.accent), egui::StrokeKind::Inside);
    }
    let ink = if said.is_idle { paper.ink_soft } else { paper.ink };
    let number_at = pos2(rect.left() + NUMBER_COLUMN - 9.0, rect.center().y);
    let number_ink = if open { paper.accent } else { paper.ink_soft };
    let number = FontId::proportional(15.0);
    ui.painter().text(number_at, Align2::RIGHT_CENTER, line.number().to_string(), number, number_ink);
    let name_at = pos2(rect.left() + NUMBER_COLUMN + 9.0, rect.center().y);
    let name_rect = ui.painter().text(name_at, Align2::LEFT_CENTER, line.name(), FontId::proportional(15.0), ink);
    let result_ink = if said.is_warning { paper.warning } else { paper.ink_soft };
    let room = Rect::from_min_max(pos2(name_rect.right() + 12.0, rect.top()), pos2(rect.right() - 10.0, rect.bottom()));
    ui.scope_builder(UiBuilder::new().max_rect(room).layout(egui::Layout::right_to_left(egui::Align::Center)), |ui| {
        // Long names lose their middle: beginning and end tell them apart.
        let shown = shortened(ui, &said.text, &FontId::proportional(13.0), ui.available_width());
        let text = RichText::new(shown).size(13.0).color(result_ink);
        // The row itself carries the words for screen readers.
        ui.add(egui::Label::new(text).truncate().selectable(false).sense(Sense::empty()));
    });
    let term = TERMS[line.number() - 1];
    response.on_hover_text(term.means).on_hover_cursor(CursorIcon::PointingHand)
}

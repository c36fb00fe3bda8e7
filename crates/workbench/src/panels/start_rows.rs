//! Rows of the start sheet that can be pressed: a small picture, a name with figures beneath it, and something softer.

use std::path::Path;
use std::time::SystemTime;

use egui::{
    Align2, Color32, ColorImage, Id, Rect, Response, RichText, Sense, Stroke, TextStyle, TextureHandle, TextureOptions,
    Ui, pos2, vec2,
};
use seamwright_project::likeness::{Likeness, SIDE, STRENGTHS};

use super::middle::shortened;
use crate::app::demos::Demo;
use crate::app::glance::Glance;
use crate::app::start::RecentFile;
use crate::app::style::Paper;
use crate::app::{Action, Queue, StartAction, words};
use crate::text;

/// Height of a row and of the picture in it, points: of a file that was open lately, and of a demo.
pub const FILE: [f32; 2] = [56.0, 48.0];
pub const DEMO: [f32; 2] = [92.0, 84.0];
const PADDING: f32 = 4.0;
/// Between the picture and the words.
const GAP: f32 = 10.0;

/// A file that was open lately, or what became of it.
pub fn recent(ui: &mut Ui, file: &RecentFile, size: [f32; 2], queue: &mut Queue) {
    let path = &file.recent.path;
    let name = path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned());
    let folder = path.parent().map_or_else(String::new, |folder| folder.display().to_string());
    let Some(bytes) = file.bytes else { return gone(ui, path, &name, &folder, queue) };
    let known = text::start::known(file.recent.size_mm, file.recent.pieces);
    let known = if known.is_empty() { words::bytes(bytes) } else { known };
    let ago = words::ago(file.recent.opened, SystemTime::now());
    let figures = text::start::ago_and_known(&ago, &known);
    let row = Row { name: &name, figures: &figures, below: &folder, likeness: file.recent.likeness.as_ref(), size };
    let told = text::start::told(path, file.recent.triangles, bytes);
    if row.show(ui, true).on_hover_text(told).clicked() {
        queue.push(Action::Start(StartAction::Open(path.clone())));
    }
}

/// A file that is not where it was.
fn gone(ui: &mut Ui, path: &Path, name: &str, folder: &str, queue: &mut Queue) {
    let paper = Paper::of(ui.visuals());
    let off = text::start::TAKE_OFF;
    let room = ui.available_width() - 130.0;
    ui.horizontal(|ui| {
        ui.vertical(|ui| {
            ui.set_width(room);
            let name = shortened(ui, name, &TextStyle::Body.resolve(ui.style()), room);
            ui.label(RichText::new(name).color(paper.ink_soft)).on_hover_text(path.display().to_string());
            let small = TextStyle::Small.resolve(ui.style());
            let words = text::start::GONE;
            let left = room - ui.painter().layout_no_wrap(words.into(), small.clone(), paper.ink).size().x;
            let folder = shortened(ui, folder, &small, left);
            ui.label(RichText::new(format!("{words}{folder}")).small().color(paper.warning));
        });
        let button = ui.add(egui::Button::new(off).small());
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, text::common::told_apart(off, name)));
        if button.on_hover_text(text::start::TAKE_OFF_HINT).clicked() {
            queue.push(Action::Start(StartAction::Forget(path.into())));
        }
    });
}

/// A demo, and what it teaches.
pub fn show_demo(ui: &mut Ui, demo: &Demo, queue: &mut Queue) {
    let Some(model) = &demo.model else {
        let row = Row {
            name: demo.name,
            figures: demo.about,
            below: text::start::DEMO_WITHOUT_MODEL,
            likeness: None,
            size: DEMO,
        };
        row.show(ui, false);
        return;
    };
    let likeness = match model {
        Glance::Model { likeness, .. } => likeness.as_ref(),
        _ => None,
    };
    let figures = model.words();
    let row = Row { name: demo.name, figures: &figures, below: demo.about, likeness, size: DEMO };
    if row.show(ui, true).on_hover_text(text::start::DEMO_HINT).clicked() {
        queue.push(Action::Start(StartAction::OpenDemo(demo.path.clone())));
    }
}

struct Row<'a> {
    name: &'a str,
    figures: &'a str,
    below: &'a str,
    likeness: Option<&'a Likeness>,
    /// Height of the row, and of its picture.
    size: [f32; 2],
}

impl Row<'_> {
    fn show(&self, ui: &mut Ui, enabled: bool) -> Response {
        let paper = Paper::of(ui.visuals());
        let [height, side] = self.size;
        let sense = if enabled { Sense::click() } else { Sense::hover() };
        let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), sense);
        if enabled && (response.hovered() || response.has_focus()) {
            let edge = Stroke::new(1.0, if response.has_focus() { paper.accent } else { paper.rule });
            ui.painter().rect(rect, 3.0, paper.sheet, edge, egui::StrokeKind::Inside);
        }
        if let Some(likeness) = self.likeness {
            let middle = rect.left_center() + vec2(PADDING + side / 2.0, 0.0);
            picture(ui, Rect::from_center_size(middle, vec2(side, side)), likeness, paper.ink);
        }
        // Without a picture its place stays free, so that names stand below each other.
        let left = rect.left() + PADDING + side + GAP;
        let room = rect.right() - PADDING - left;
        let (body, small) = (TextStyle::Body.resolve(ui.style()), TextStyle::Small.resolve(ui.style()));
        let ink = if enabled { paper.ink } else { paper.ink_soft };
        let mut y = rect.top() + PADDING;
        for (words, font) in [(self.name, body), (self.figures, small.clone())] {
            let words = shortened(ui, words, &font, room);
            y = ui.painter().text(pos2(left, y), Align2::LEFT_TOP, words, font, ink).bottom() + 1.0;
        }
        // Where there is height for it, what is said below goes on in a second line.
        let words = if side > FILE[1] { self.below.to_owned() } else { shortened(ui, self.below, &small, room) };
        let lines = ui.painter().layout(words, small, paper.ink_soft, room);
        ui.painter().with_clip_rect(rect.intersect(ui.clip_rect())).galley(pos2(left, y), lines, paper.ink_soft);
        response.widget_info(|| {
            let told = text::common::told_apart(self.name, text::start::figures_and_more(self.figures, self.below));
            egui::WidgetInfo::labeled(egui::Role::Button, enabled, told)
        });
        response
    }
}

/// A likeness in the ink of the sheet.
fn picture(ui: &Ui, rect: Rect, likeness: &Likeness, ink: Color32) {
    let id = Id::unique(("likeness", likeness.strengths(), ink));
    let known = ui.data(|d| d.get_temp::<TextureHandle>(id));
    let texture = known.unwrap_or_else(|| {
        // On dark paper the ink is light: what is lit takes the most of it.
        let dark = ui.visuals().dark_mode;
        let darkest = STRENGTHS - 1;
        let shade = |strength: &u8| match *strength {
            0 => Color32::TRANSPARENT,
            strength if dark => ink.gamma_multiply(f32::from(STRENGTHS + 1 - strength) / f32::from(darkest)),
            strength => ink.gamma_multiply(f32::from(strength) / f32::from(darkest)),
        };
        let pixels = likeness.strengths().iter().map(shade).collect();
        let image = ColorImage::new([SIDE, SIDE], pixels);
        let texture = ui.ctx().load_texture("likeness", image, TextureOptions::LINEAR);
        ui.data_mut(|d| d.insert_temp(id, texture.clone()));
        texture
    });
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    ui.painter().image(texture.id(), rect, whole, Color32::WHITE);
}

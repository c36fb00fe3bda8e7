//! The manual, in a window beside the work.

use egui::text::LayoutJob;
use egui::{
    Align2, ColorImage, Context, FontId, Id, Key, Panel, RichText, ScrollArea, TextEdit, TextFormat, TextStyle,
    TextureHandle, TextureOptions, Ui, Window, vec2,
};

use super::line::remark;
use crate::app::manual::{Block, Page, Pen, Span};
use crate::app::pictures;
use crate::app::state::State;
use crate::app::style::Paper;
use crate::app::{Action, ManualAction, Queue};
use crate::text;

/// How large it opens, points, where there is room.
const SIZE: [f32; 2] = [640.0, 560.0];
/// More finds than this are counted, not listed.
const MOST_FOUND: usize = 60;

/// Shows the manual while it is open.
pub fn manual(ctx: &Context, state: &State, queue: &mut Queue) {
    let id = Id::unique("manual");
    let Some(manual) = state.manual else {
        ctx.data_mut(|d| d.remove_temp::<Search>(id));
        return;
    };
    let mut search = ctx.data(|d| d.get_temp::<Search>(id)).unwrap_or_default();
    let room = ctx.content_rect().size();
    let size = vec2(SIZE[0].min(room.x - 40.0), SIZE[1].min(room.y - 80.0));
    let mut open = true;
    let mut turn = None;
    let frame = Paper::of(&ctx.global_style().visuals).sheet_on_top().inner_margin(12);
    let window = Window::new(text::manual::TITLE).frame(frame).open(&mut open).collapsible(false).default_size(size);
    window.pivot(Align2::RIGHT_TOP).default_pos(ctx.content_rect().right_top() + vec2(-14.0, 52.0)).show(ctx, |ui| {
        field(ui, &mut search);
        ui.add_space(4.0);
        Panel::left("pages of the manual").resizable(false).exact_size(120.0).show_separator_line(false).show(
            ui,
            |ui| {
                for page in Page::ALL {
                    if ui.selectable_label(page == manual.page && search.text.trim().is_empty(), page.name()).clicked()
                    {
                        turn = Some(page);
                    }
                }
            },
        );
        let typed = search.text.trim().to_owned();
        let shown = if typed.is_empty() { Some(manual.page) } else { None };
        ScrollArea::vertical().id_salt(shown).auto_shrink(false).show(ui, |ui| match shown {
            // Clear of the index at the left, and of the bar at the right.
            Some(page) => margin().show(ui, |ui| blocks(ui, &page.blocks(|keys| ctx.format_shortcut(keys)))).inner,
            None => turn = margin().show(ui, |ui| found(ui, &typed)).inner.or(turn),
        });
    });
    if let Some(page) = turn {
        search.text.clear();
        queue.push(Action::Manual(ManualAction::Turn(page)));
    }
    if !open {
        queue.push(Action::Manual(ManualAction::Close));
    }
    ctx.data_mut(|d| d.insert_temp(id, search));
}

fn margin() -> egui::Frame {
    egui::Frame::new().inner_margin(egui::Margin { left: 14, right: 12, top: 2, bottom: 8 })
}

#[derive(Clone, Default)]
struct Search {
    text: String,
    begun: bool,
}

fn field(ui: &mut Ui, search: &mut Search) {
    let field = TextEdit::singleline(&mut search.text).hint_text(text::manual::HINT);
    let field = ui.add(field.desired_width(f32::INFINITY));
    ui.ctx().accesskit_node_builder(field.id, |node| node.set_label(text::manual::SEARCH));
    if !search.begun {
        field.request_focus();
        search.begun = true;
    }
    // Escape empties the field first, and puts the manual away after that.
    if field.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)) {
        search.text.clear();
    }
}

/// What holds all words that were typed, page by page; the page that is turned to.
fn found(ui: &mut Ui, typed: &str) -> Option<Page> {
    let (mut turn, mut count) = (None, 0);
    for page in Page::ALL {
        let all = page.blocks(|keys| ui.ctx().format_shortcut(keys));
        let found: Vec<Block> = all.into_iter().filter(|block| block.matches(typed)).collect();
        if found.is_empty() {
            continue;
        }
        if ui.link(RichText::new(page.name()).heading()).on_hover_text(text::manual::TURN_HINT).clicked() {
            turn = Some(page);
        }
        let room = MOST_FOUND.saturating_sub(count);
        blocks(ui, &found[..found.len().min(room)]);
        count += found.len();
        ui.add_space(8.0);
    }
    if count == 0 {
        remark(ui, text::manual::NOTHING);
    } else if count > MOST_FOUND {
        remark(ui, text::common::and_more(count - MOST_FOUND));
    }
    turn
}

fn blocks(ui: &mut Ui, blocks: &[Block]) {
    let paper = Paper::of(ui.visuals());
    for block in blocks {
        match block {
            Block::Heading { of_page: true, text } => {
                ui.label(RichText::new(text).size(20.0).color(paper.ink));
            }
            Block::Heading { text, .. } => {
                ui.add_space(8.0);
                ui.label(RichText::new(text).heading().color(paper.ink));
            }
            Block::Text(spans) => words(ui, spans),
            Block::Item(mark, spans) => {
                ui.horizontal_top(|ui| {
                    ui.add_space(6.0);
                    ui.label(RichText::new(mark).color(paper.ink_soft));
                    ui.vertical(|ui| words(ui, spans));
                });
            }
            Block::Picture { name, caption } => picture(ui, name, caption),
            Block::Entry { word, keys, text } => entry(ui, word, keys, text),
            Block::Row { keys, text, hint } => row(ui, keys, text, hint),
        }
    }
}

fn words(ui: &mut Ui, spans: &[Span]) {
    let paper = Paper::of(ui.visuals());
    let body = TextStyle::Body.resolve(ui.style());
    let code = TextStyle::Monospace.resolve(ui.style());
    let mut job = LayoutJob::default();
    for span in spans {
        let format = match span.pen {
            Pen::Plain => TextFormat::simple(body.clone(), paper.ink),
            Pen::Strong => TextFormat::simple(body.clone(), paper.accent),
            Pen::Soft => TextFormat { italics: true, ..TextFormat::simple(body.clone(), paper.ink) },
            Pen::Code => TextFormat { background: paper.sheet, ..TextFormat::simple(code.clone(), paper.ink) },
        };
        job.append(&span.text, 0.0, format);
    }
    ui.add(egui::Label::new(job).wrap().selectable(true));
}

fn entry(ui: &mut Ui, word: &str, keys: &str, text: &str) {
    let paper = Paper::of(ui.visuals());
    let font = |size: f32| FontId::proportional(size);
    let mut job = LayoutJob::default();
    job.append(word, 0.0, TextFormat::simple(font(14.0), paper.accent));
    if !keys.is_empty() {
        let keys_font = TextStyle::Monospace.resolve(ui.style());
        let format = TextFormat { background: paper.sheet, ..TextFormat::simple(keys_font, paper.ink) };
        job.append(keys, 10.0, format);
    }
    job.append(&format!("\n{text}"), 0.0, TextFormat::simple(font(13.0), paper.ink));
    ui.add(egui::Label::new(job).wrap().selectable(true));
    ui.add_space(3.0);
}

/// A row of a table: the keys in a column of their own.
fn row(ui: &mut Ui, keys: &str, text: &str, hint: &str) {
    let paper = Paper::of(ui.visuals());
    ui.horizontal(|ui| {
        let font = TextStyle::Monospace.resolve(ui.style());
        let format = TextFormat { background: paper.sheet, ..TextFormat::simple(font, paper.ink) };
        let keys = LayoutJob::single_section(keys.to_owned(), format);
        ui.allocate_ui_with_layout(vec2(KEYS_WIDTH, 18.0), egui::Layout::left_to_right(egui::Align::Center), |ui| {
            ui.set_min_width(KEYS_WIDTH);
            ui.label(keys);
        });
        ui.label(text).on_hover_text(hint);
    });
}

/// Room for the longest keys, points.
const KEYS_WIDTH: f32 = 110.0;

/// A picture as wide as the page, and what it shows.
fn picture(ui: &mut Ui, name: &str, caption: &str) {
    if let Some(texture) = texture(ui.ctx(), name) {
        let size = texture.size_vec2();
        let width = ui.available_width().min(size.x);
        let image =
            egui::Image::new(&texture).fit_to_exact_size(vec2(width, width * size.y / size.x)).alt_text(caption);
        ui.add(image);
    }
    remark(ui, caption);
}

/// The picture on the graphics card, brought there once.
fn texture(ctx: &Context, name: &str) -> Option<TextureHandle> {
    let id = Id::unique(("picture of the manual", name));
    if let Some(known) = ctx.data(|d| d.get_temp::<TextureHandle>(id)) {
        return Some(known);
    }
    let picture = image::load_from_memory(pictures::bytes(name)?).ok()?.into_rgba8();
    let size = [picture.width() as usize, picture.height() as usize];
    let texture = ctx.load_texture(name, ColorImage::from_rgba_unmultiplied(size, &picture), TextureOptions::LINEAR);
    ctx.data_mut(|d| d.insert_temp(id, texture.clone()));
    Some(texture)
}

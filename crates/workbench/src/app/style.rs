//! The look of the paperwork: sheets, pencil lines, ink. Light and dark.
//!
//! The bench has its own colours in [`BenchStyle`]; both are mixed from the same paper.

use egui::style::{Selection, WidgetVisuals, Widgets};
use egui::{Color32, CornerRadius, FontFamily, FontId, Margin, Shadow, Stroke, TextStyle, Theme, Visuals, vec2};

use crate::bench::BenchStyle;

/// The colours of the paperwork.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// A sheet.
    pub sheet: Color32,
    /// A slip that lies on a sheet: an opened line, a card, a message.
    pub slip: Color32,
    /// Where something is typed.
    pub field: Color32,
    /// Ruled lines.
    pub rule: Color32,
    /// The margin line of the job card.
    pub margin_line: Color32,
    /// Writing.
    pub ink: Color32,
    /// Writing of less weight.
    pub ink_soft: Color32,
    /// What is selected, and what can be pressed.
    pub accent: Color32,
    /// Behind what is selected.
    pub accent_wash: Color32,
    /// What needs attention.
    pub warning: Color32,
    /// Behind what needs attention.
    pub warning_wash: Color32,
}

impl Paper {
    /// For a light window.
    pub fn light() -> Paper {
        let bench = BenchStyle::light();
        Paper {
            sheet: Color32::from_rgb(0xf7, 0xf3, 0xe9),
            slip: Color32::from_rgb(0xff, 0xfc, 0xf5),
            field: Color32::from_rgb(0xff, 0xff, 0xfd),
            rule: Color32::from_rgb(0xdc, 0xd2, 0xbe),
            margin_line: Color32::from_rgb(0xd9, 0xa4, 0x8f),
            ink: bench.ink,
            ink_soft: Color32::from_rgb(0x6a, 0x63, 0x58),
            accent: bench.accent,
            accent_wash: Color32::from_rgb(0xdb, 0xe5, 0xec),
            warning: bench.warning,
            warning_wash: Color32::from_rgb(0xf8, 0xe3, 0xd2),
        }
    }

    /// For a dark window.
    pub fn dark() -> Paper {
        let bench = BenchStyle::dark();
        Paper {
            sheet: Color32::from_rgb(0x26, 0x24, 0x21),
            slip: Color32::from_rgb(0x31, 0x2e, 0x2a),
            field: Color32::from_rgb(0x1b, 0x1a, 0x18),
            rule: Color32::from_rgb(0x45, 0x40, 0x39),
            margin_line: Color32::from_rgb(0x7d, 0x55, 0x47),
            ink: bench.ink,
            ink_soft: Color32::from_rgb(0xb0, 0xa7, 0x98),
            accent: bench.accent,
            accent_wash: Color32::from_rgb(0x2f, 0x43, 0x52),
            warning: bench.warning,
            warning_wash: Color32::from_rgb(0x4a, 0x2e, 0x1c),
        }
    }

    /// The set that goes with `visuals`.
    pub fn of(visuals: &Visuals) -> Paper {
        if visuals.dark_mode { Paper::dark() } else { Paper::light() }
    }

    /// A slip of paper on a sheet.
    pub fn slip_frame(&self) -> egui::Frame {
        egui::Frame::new()
            .fill(self.slip)
            .stroke(Stroke::new(1.0, self.rule))
            .corner_radius(CORNER)
            .inner_margin(Margin::symmetric(10, 8))
    }
}

impl Paper {
    /// A sheet that lies on top of everything, for a question or a list.
    pub fn sheet_on_top(&self) -> egui::Frame {
        self.slip_frame().inner_margin(Margin::same(16)).shadow(shadow(80))
    }
}

/// One of several that exclude each other, or that is on or off: a tab of paper with round ends, washed where it is on, so
/// that it is seen to be pressed and not taken for a word.
pub fn choice<'a>(paper: &Paper, on: bool, words: impl egui::IntoAtoms<'a>) -> egui::Button<'a> {
    let line = if on { Stroke::new(1.4, paper.accent) } else { Stroke::new(1.0, paper.rule) };
    egui::Button::new(words).selected(on).corner_radius(ROUND).stroke(line)
}

/// The usual answer to a question: Return gives it.
pub fn usual<'a>(paper: &Paper, words: impl egui::IntoAtoms<'a>) -> egui::Button<'a> {
    egui::Button::new(words).fill(paper.accent_wash).stroke(Stroke::new(1.6, paper.accent))
}

fn shadow(alpha: u8) -> Shadow {
    Shadow { offset: [0, 3], blur: 12, spread: 0, color: Color32::from_black_alpha(alpha) }
}

const CORNER: CornerRadius = CornerRadius::same(3);
/// The ends of what is chosen by pressing.
const ROUND: CornerRadius = CornerRadius::same(9);

/// Gives egui our look, for light and dark.
pub fn apply(ctx: &egui::Context) {
    ctx.set_visuals_of(Theme::Light, visuals(Paper::light(), Visuals::light()));
    ctx.set_visuals_of(Theme::Dark, visuals(Paper::dark(), Visuals::dark()));
    // Where the surroundings do not say, paper is light.
    ctx.options_mut(|options| options.fallback_theme = Theme::Light);
    ctx.all_styles_mut(|style| {
        style.text_styles = [
            (TextStyle::Heading, FontId::new(17.0, FontFamily::Proportional)),
            (TextStyle::Body, FontId::new(14.0, FontFamily::Proportional)),
            (TextStyle::Button, FontId::new(14.0, FontFamily::Proportional)),
            (TextStyle::Small, FontId::new(12.0, FontFamily::Proportional)),
            (TextStyle::Monospace, FontId::new(13.0, FontFamily::Monospace)),
        ]
        .into();
        style.spacing.item_spacing = vec2(8.0, 5.0);
        style.spacing.button_padding = vec2(8.0, 3.0);
        style.spacing.interact_size.y = 22.0;
        style.interaction.selectable_labels = false;
        style.interaction.tooltip_delay = 0.35;
    });
}

fn visuals(paper: Paper, base: Visuals) -> Visuals {
    let state = |fill: Color32, line: Color32, ink: Color32| WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: Stroke::new(1.0, line),
        corner_radius: CORNER,
        fg_stroke: Stroke::new(1.0, ink),
        expansion: 0.0,
    };
    Visuals {
        widgets: Widgets {
            noninteractive: state(paper.sheet, paper.rule, paper.ink),
            inactive: state(paper.slip, paper.rule, paper.ink),
            hovered: state(paper.accent_wash, paper.accent, paper.ink),
            active: state(paper.accent_wash, paper.accent, paper.accent),
            open: state(paper.slip, paper.rule, paper.ink),
        },
        selection: Selection { bg_fill: paper.accent_wash, stroke: Stroke::new(1.0, paper.accent) },
        hyperlink_color: paper.accent,
        faint_bg_color: paper.slip,
        extreme_bg_color: paper.field,
        text_edit_bg_color: Some(paper.field),
        weak_text_color: Some(paper.ink_soft),
        warn_fg_color: paper.warning,
        error_fg_color: paper.warning,
        window_fill: paper.slip,
        window_stroke: Stroke::new(1.0, paper.rule),
        window_corner_radius: CORNER,
        menu_corner_radius: CORNER,
        window_shadow: shadow(50),
        popup_shadow: shadow(40),
        panel_fill: paper.sheet,
        slider_trailing_fill: false,
        ..base
    }
}

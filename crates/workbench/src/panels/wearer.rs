//! Sizing a model for a wearer: a measure from the table or typed, padding, and what of the model it is held against.

use egui::{ComboBox, Grid, Ui};
use seamwright_geometry::Passage;
use seamwright_project::SizedBy;
use seamwright_project::wearer::{self, Measure, MeasureKind};

use super::entry::{Entry, Typed};
use super::line::{remark, trouble};
use super::line_size::resize;
use crate::app::state::State;
use crate::app::{Action, Queue};
use crate::text;

/// What is being chosen; kept while the window is open.
#[derive(Clone, Debug, PartialEq)]
pub struct Wearing {
    /// Index of the measure in the table.
    pub measure: usize,
    /// What it is on the wearer, mm; `None` for the middle of the table.
    pub wearer_mm: Option<f64>,
    /// Padding all round, mm.
    pub gap_mm: f64,
    /// Where the inside is measured, as a share of the height of the whole.
    pub height_share: f64,
    /// Whether *across* means the greater of the two insides.
    pub longer: bool,
}

impl Default for Wearing {
    fn default() -> Self {
        Wearing { measure: 0, wearer_mm: None, gap_mm: PADDING_MM, height_share: 0.5, longer: false }
    }
}

/// Foam pads of 10 mm are commonly glued into helms (common practice, no source).
const PADDING_MM: f64 = 10.0;

/// Shows the rows.
pub fn wearer(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let measures = wearer::measures();
    let mut wearing = state.wearing.clone();
    let Some(measure) = measures.get(wearing.measure) else { return };
    Grid::new("wearer").num_columns(2).show(ui, |ui| {
        choose_measure(ui, &measures, &mut wearing);
        let wearer_mm = wearing.wearer_mm.unwrap_or(measure.men_mm[1]);
        if let Typed::Done(mm) =
            Entry::length(text::wearer::ON_WEARER, wearer_mm).hint(text::wearer::ON_WEARER_HINT).show(ui)
        {
            wearing.wearer_mm = Some(mm);
        }
        ui.end_row();
        if measure.kind != MeasureKind::Height {
            let entry = Entry::length(text::wearer::PADDING, wearing.gap_mm).hint(text::wearer::PADDING_HINT);
            if let Typed::Done(mm) = entry.show(ui) {
                wearing.gap_mm = mm.max(0.0);
            }
            ui.end_row();
        }
    });
    percentiles(ui, measure, &mut wearing);
    fit(ui, state, queue, measure, &mut wearing);
    remark(ui, text::wearer::source(wearer::SOURCE));
    if wearing != state.wearing {
        queue.push(Action::Wearing(wearing));
    }
}

fn choose_measure(ui: &mut Ui, measures: &[Measure], wearing: &mut Wearing) {
    let label = ui.label(text::wearer::MEASURE);
    let combo = ComboBox::from_id_salt("measure").selected_text(measures[wearing.measure].name).width(150.0);
    let chosen = combo.show_ui(ui, |ui| {
        for (i, measure) in measures.iter().enumerate() {
            if ui.selectable_label(i == wearing.measure, measure.name).clicked() {
                (wearing.measure, wearing.wearer_mm) = (i, None);
                wearing.longer = measure.name.contains("length");
            }
        }
    });
    chosen.response.labelled_by(label.id);
    ui.end_row();
}

fn percentiles(ui: &mut Ui, measure: &Measure, wearing: &mut Wearing) {
    remark(ui, text::wearer::OF_100);
    for (who, numbers) in [(text::wearer::MEN, measure.men_mm), (text::wearer::WOMEN, measure.women_mm)] {
        ui.horizontal(|ui| {
            remark(ui, who);
            for mm in numbers {
                let button = egui::Button::new(format!("{mm:.0}")).small();
                if ui.add(button).on_hover_text(text::wearer::of_whom(measure.name, who)).clicked() {
                    wearing.wearer_mm = Some(mm);
                }
            }
        });
    }
}

fn fit(ui: &mut Ui, state: &State, queue: &mut Queue, measure: &Measure, wearing: &mut Wearing) {
    let wearer_mm = wearing.wearer_mm.unwrap_or(measure.men_mm[1]);
    let gap_mm = if measure.kind == MeasureKind::Height { 0.0 } else { wearing.gap_mm };
    let wanted_mm = measure.kind.inside_mm(wearer_mm, gap_mm);
    let by = SizedBy::Wearer { measure: measure.name.to_owned(), wearer_mm, gap_mm };
    let now_mm = if measure.kind == MeasureKind::Height {
        state.part_bounds().map(|bounds| bounds.size().z)
    } else {
        inside(ui, state, queue, measure, wearing)
    };
    let Some(now_mm) = now_mm else { return };
    let of_what = if measure.kind == MeasureKind::Height { text::wearer::WHOLE_IS } else { text::wearer::INSIDE_IS };
    ui.label(text::wearer::now_and_wanted(of_what, now_mm, wanted_mm));
    if ui.button(text::wearer::MAKE_FIT).on_hover_text(text::wearer::MAKE_FIT_HINT).clicked() {
        resize(state, queue, now_mm, wanted_mm, by);
    }
}

/// What a head has to pass on its way in.
fn way_out(ui: &mut Ui, state: &State, passage: &Passage) {
    match passage {
        Passage::Open { plane, section } => {
            let above = plane.offset_mm() - state.part_bounds().map_or(0.0, |bounds| bounds.min.z);
            remark(ui, text::wearer::narrowest(section.girth_mm, section.breadth_mm, above));
        }
        Passage::Closed { .. } => {
            trouble(ui, text::wearer::CLOSED_BELOW);
        }
        Passage::NoRoom => {}
    }
}

/// What the inside measures at the chosen height, as far as it is known.
fn inside(ui: &mut Ui, state: &State, queue: &mut Queue, measure: &Measure, wearing: &mut Wearing) -> Option<f64> {
    let bounds = state.part_bounds()?;
    let height = bounds.size().z;
    let now = height * wearing.height_share;
    let entry = Entry::length(text::wearer::AT_HEIGHT, (now * 10.0).round() / 10.0).hint(text::wearer::AT_HEIGHT_HINT);
    ui.horizontal(|ui| {
        if let Typed::Done(mm) = entry.show(ui) {
            wearing.height_share = (mm / height).clamp(0.0, 1.0);
        }
    });
    let z = bounds.min.z + now;
    match &state.inside {
        Some(inside) if inside.is_about(state, z) => match &inside.clear {
            Some(clear) => {
                remark(ui, text::wearer::clear_inside(clear.girth_mm, clear.breadth_mm, clear.length_mm));
                way_out(ui, state, &inside.way_out);
                Some(match measure.kind {
                    MeasureKind::Across if wearing.longer => clear.length_mm,
                    MeasureKind::Across => clear.breadth_mm,
                    MeasureKind::Girth | MeasureKind::Height => clear.girth_mm,
                })
            }
            None => {
                remark(ui, text::wearer::NO_INSIDE);
                None
            }
        },
        _ => {
            if ui.button(text::wearer::MEASURE_INSIDE).clicked() {
                queue.push(Action::MeasureInside(z));
            }
            None
        }
    }
}

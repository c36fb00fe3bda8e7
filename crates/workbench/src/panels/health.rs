//! What a close look at the model found, and what is mended.

use egui::Ui;
use seamwright_geometry::mend::MendStep;
use seamwright_project::health::Finding;
use seamwright_project::{Edit, Mend, mending};

use super::line::{remark, trouble};
use super::reliefs;
use crate::app::state::State;
use crate::app::{Action, Queue};
use crate::text;

/// Shows the findings and the mends.
pub fn health(ui: &mut Ui, state: &State, queue: &mut Queue) {
    if state.outcome.as_ref().is_none_or(|outcome| outcome.parts.is_empty()) {
        return;
    }
    match state.looked.as_ref().filter(|looked| looked.is_about(state.recipe())) {
        None => {
            let look = ui.button(text::health::LOOK);
            let hint = text::health::LOOK_HINT;
            if look.on_hover_text(hint).clicked() {
                queue.push(Action::LookClosely);
            }
        }
        Some(looked) if looked.parts.iter().all(|part| part.findings.is_empty()) => {
            remark(ui, text::health::NOTHING_WRONG);
        }
        Some(looked) => {
            for (i, part) in looked.parts.iter().enumerate() {
                for (k, finding) in part.findings.iter().enumerate() {
                    ui.push_id((i, k), |ui| row(ui, state, queue, (i, k), finding));
                }
            }
        }
    }
    mends(ui, state, queue);
}

fn row(ui: &mut Ui, state: &State, queue: &mut Queue, at: (usize, usize), finding: &Finding) {
    ui.label(&finding.text);
    // A row as wide as its buttons would push the card's edge.
    ui.horizontal_wrapped(|ui| {
        let lit = state.shown_finding == Some(at);
        if finding.place.is_some()
            && ui.selectable_label(lit, text::common::SHOW).on_hover_text(text::health::SHOW_HINT).clicked()
        {
            queue.push(Action::ShowFinding(at.0, at.1));
        }
        let new: Vec<MendStep> = finding.mends.iter().filter(|step| !is_there(state, step)).copied().collect();
        if !new.is_empty() {
            let words = text::health::steps(&new.iter().map(mending::name).collect::<Vec<_>>());
            let hint = if finding.mends_are_safe {
                text::health::leaves_form(&words)
            } else {
                text::health::may_alter(&words)
            };
            if ui.button(text::health::MEND).on_hover_text(hint).clicked() {
                queue.edit(Edit::SetMends(with(state, new)));
            }
        }
        relieve(ui, state, queue, finding);
    });
}

/// Offers room in one of two shells for the other.
fn relieve(ui: &mut Ui, state: &State, queue: &mut Queue, finding: &Finding) {
    let Some(stock) = state.outcome.as_ref().and_then(|outcome| outcome.stock.as_ref()) else { return };
    let Some([a, b]) = finding.shells.map(|shells| shells.map(|shell| stock.solid_of(shell))) else { return };
    for (shell, by) in [(a, b), (b, a)].into_iter().filter(|(shell, by)| shell != by) {
        if state.recipe().reliefs.iter().any(|relief| relief.enabled && (relief.shell, relief.by) == (shell, by)) {
            continue;
        }
        let [shell_said, by_said] = [shell, by].map(|shell| u64::from(shell) + 1);
        let button = ui.button(text::health::relieve(shell_said, by_said));
        let hint = text::health::relieve_hint(shell_said, by_said);
        if button.on_hover_text(hint).clicked() {
            reliefs::add(queue, state, shell, by);
        }
    }
}

/// Whether a step of this kind is on already.
fn is_there(state: &State, step: &MendStep) -> bool {
    state.recipe().mends.iter().any(|mend| mend.enabled && same_kind(&mend.step, step))
}

fn same_kind(a: &MendStep, b: &MendStep) -> bool {
    std::mem::discriminant(a) == std::mem::discriminant(b)
}

/// The mends of the recipe with more of them, in the order in which they work best.
fn with(state: &State, steps: Vec<MendStep>) -> Vec<Mend> {
    let mut mends = state.recipe().mends.clone();
    mends.retain(|mend| mend.enabled || !steps.iter().any(|step| same_kind(step, &mend.step)));
    mends.extend(steps.into_iter().map(|step| Mend { step, enabled: true }));
    mends.sort_by_key(|mend| mending::order(&mend.step));
    mends
}

fn mends(ui: &mut Ui, state: &State, queue: &mut Queue) {
    let Some(outcome) = &state.outcome else { return };
    let mends = &state.recipe().mends;
    for (at, mend) in mends.iter().enumerate() {
        ui.horizontal(|ui| {
            let mut enabled = mend.enabled;
            if ui.checkbox(&mut enabled, mending::name(&mend.step)).on_hover_text(text::common::DONE_OR_NOT).changed() {
                let mut next = mends.clone();
                next[at].enabled = enabled;
                queue.edit(Edit::SetMends(next));
            }
            let away = ui.add(egui::Button::new(text::common::TAKE_AWAY).small());
            if away.clicked() {
                let mut next = mends.clone();
                next.remove(at);
                queue.edit(Edit::SetMends(next));
            }
        });
        for done in outcome.parts.iter().flat_map(|part| part.mended.iter()).filter(|done| done.at == at) {
            match &done.result {
                Ok(report) => remark(ui, mending::words_of(&mend.step, report, state.recipe().size.scale())),
                Err(error) => trouble(ui, error),
            }
        }
    }
    let safe = outcome.stock.iter().flat_map(|stock| &stock.safe_mends);
    let safe: Vec<MendStep> = safe.filter(|step| !is_there(state, step)).copied().collect();
    if !safe.is_empty() {
        let words = safe.iter().map(mending::name).collect::<Vec<_>>().join(", ");
        let button = ui.button(text::health::MEND_SAFE);
        if button.on_hover_text(text::health::none_alters(&words)).clicked() {
            queue.edit(Edit::SetMends(with(state, safe)));
        }
    }
}

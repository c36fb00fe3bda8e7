//! What a close look at the model found, and what is mended.

use egui::{RichText, Ui};
use seamwright_geometry::mend::{MendReport, MendStep};
use seamwright_project::health::Finding;
use seamwright_project::{Edit, Mend, mending};

use super::line::{remark, trouble};
use super::reliefs;
use crate::app::state::State;
use crate::app::style::{Paper, choice};
use crate::app::{Action, Queue, Stock};
use crate::text;

/// Shows the findings and the mends.
pub fn health(ui: &mut Ui, state: &State, queue: &mut Queue) {
    if state.outcome.as_ref().is_none_or(|outcome| outcome.parts.is_empty()) {
        return;
    }
    let looked = state.looked.as_ref().filter(|looked| looked.is_about_shells(state.recipe()));
    match looked {
        None => {
            let look = ui.button(text::health::LOOK);
            let hint = text::health::LOOK_HINT;
            if look.on_hover_text(hint).clicked() {
                queue.push(Action::LookClosely);
            }
        }
        Some(looked) if looked.parts.iter().all(|part| part.findings.is_empty()) && looked.is_about(state.recipe()) => {
            remark(ui, text::health::NOTHING_WRONG);
        }
        Some(looked) => {
            if !looked.is_about(state.recipe()) {
                ui.horizontal_wrapped(|ui| {
                    remark(ui, text::health::FOUND_BEFORE);
                    let again = ui.button(text::health::LOOK_ONCE_MORE);
                    if again.on_hover_text(text::health::LOOK_ONCE_MORE_HINT).clicked() {
                        queue.push(Action::LookClosely);
                    }
                });
            }
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
    if is_mended(state, finding) {
        let struck = RichText::new(&finding.text).strikethrough().weak();
        ui.add(egui::Label::new(struck).wrap()).on_hover_text(text::health::MENDED_SINCE);
        return;
    }
    ui.label(&finding.text);
    // A row as wide as its buttons would push the card's edge.
    ui.horizontal_wrapped(|ui| {
        let lit = state.shown_finding == Some(at);
        if finding.place.is_some()
            && ui
                .add(choice(&Paper::of(ui.visuals()), lit, text::common::SHOW))
                .on_hover_text(text::health::SHOW_HINT)
                .clicked()
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
            let parts = new.contains(&MendStep::SplitSheets);
            let hint =
                [Some(hint), comes_apart(state).filter(|_| parts)].into_iter().flatten().collect::<Vec<_>>().join("\n");
            // What crosses is united by the button that says so.
            let last = new.last().map_or("", mending::name);
            let button = ui.add(egui::Button::new(text::health::mend(last)));
            button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, text::health::mend(last)));
            if button.on_hover_text(hint).clicked() {
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
        let [shell_said, by_said] = [shell, by].map(|shell| shell_name(stock, shell));
        let button = ui.button(text::health::relieve(&shell_said, &by_said));
        let hint = text::health::relieve_hint(&shell_said, &by_said);
        if button.on_hover_text(hint).clicked() {
            reliefs::add(queue, state, shell, by);
        }
    }
}

/// Whether all that a finding asks for was done since, and left nothing.
fn is_mended(state: &State, finding: &Finding) -> bool {
    let looked = state.looked.as_ref();
    let is_new = |step: &MendStep| {
        looked.is_some_and(|looked| !looked.recipe.mends.iter().any(|mend| mend.enabled && same_kind(&mend.step, step)))
    };
    let steps = &finding.mends;
    !steps.is_empty()
        && steps.iter().any(is_new)
        && steps.iter().all(|step| is_there(state, step) && left_nothing(state, step))
}

/// Whether a step was done, and left nothing in any part. One that still runs, or failed, was not.
fn left_nothing(state: &State, step: &MendStep) -> bool {
    let Some(outcome) = &state.outcome else { return false };
    let done = outcome.parts.iter().flat_map(|part| part.mended.iter());
    let is_of_kind = |at: usize| outcome.recipe.mends.get(at).is_some_and(|mend| same_kind(&mend.step, step));
    let mut of_kind = done.filter(|done| is_of_kind(done.at)).peekable();
    of_kind.peek().is_some() && of_kind.all(|done| done.result.as_ref().is_ok_and(|report| report.left == 0))
}

/// What a shell is called in the list of shells.
fn shell_name(stock: &Stock, shell: u32) -> String {
    let called = stock.names.iter().find(|(named, _)| *named == shell).map(|(_, name)| name.as_str());
    text::shells::shell(u64::from(shell) + 1, called)
}

/// What parting surfaces that share an edge would lead to, said before it is done.
fn comes_apart(state: &State) -> Option<String> {
    let stock = state.outcome.as_ref()?.stock.as_ref()?;
    (stock.come_apart > 0).then(|| text::health::comes_apart(stock.come_apart))
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
    // Of several steps those are listed that did something or could not: the rest is one line.
    let idle = |at: usize| {
        let mut done = outcome.parts.iter().flat_map(|part| part.mended.iter()).filter(|done| done.at == at).peekable();
        let nothing = |report: &MendReport| report.did_nothing() && report.left == 0;
        mends[at].enabled && done.peek().is_some() && done.all(|done| done.result.as_ref().is_ok_and(nothing))
    };
    let is_about = outcome.recipe.mends == *mends;
    let idle: Vec<usize> = (0..mends.len()).filter(|at| is_about && idle(*at)).collect();
    for (at, mend) in mends.iter().enumerate().filter(|(at, _)| !idle.contains(at)) {
        ui.horizontal(|ui| {
            let mut enabled = mend.enabled;
            if ui.checkbox(&mut enabled, mending::name(&mend.step)).on_hover_text(text::common::DONE_OR_NOT).changed() {
                let mut next = mends.clone();
                next[at].enabled = enabled;
                queue.edit(Edit::SetMends(next));
            }
            let away = ui.add(egui::Button::new(text::common::TAKE_AWAY).small());
            if away.on_hover_text(text::health::TAKE_AWAY_HINT).clicked() {
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
    if !idle.is_empty() {
        let names: Vec<&str> = idle.iter().map(|at| mending::name(&mends[*at].step)).collect();
        ui.horizontal(|ui| {
            remark(ui, text::health::nothing_to_do(idle.len()));
            let away = ui.add(egui::Button::new(text::common::TAKE_AWAY).small());
            if away.on_hover_text(text::health::steps(&names)).clicked() {
                let kept = mends.iter().enumerate().filter(|(at, _)| !idle.contains(at));
                queue.edit(Edit::SetMends(kept.map(|(_, mend)| mend.clone()).collect()));
            }
        });
    }
    let safe = outcome.stock.iter().flat_map(|stock| &stock.safe_mends);
    let safe: Vec<MendStep> = safe.filter(|step| !is_there(state, step)).copied().collect();
    if !safe.is_empty() {
        let words = safe.iter().map(mending::name).collect::<Vec<_>>().join(", ");
        if let Some(words) = comes_apart(state).filter(|_| safe.contains(&MendStep::SplitSheets)) {
            remark(ui, words);
        }
        let button = ui.button(text::health::MEND_SAFE);
        if button.on_hover_text(text::health::none_alters(&words)).clicked() {
            queue.edit(Edit::SetMends(with(state, safe)));
        }
    }
}

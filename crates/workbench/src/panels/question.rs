//! Questions that must be answered before anything else.

use std::time::SystemTime;

use egui::{Id, Modal, Ui};
use seamwright_project::Recipe;

use crate::app::state::{Next, Question, State};
use crate::app::style::{Paper, usual};
use crate::app::{Action, Queue, StartAction, words};
use crate::text;

/// Shows the question, if there is one.
pub fn question(ctx: &egui::Context, state: &State, queue: &mut Queue) {
    let Some(question) = &state.question else { return };
    let modal = Modal::new(Id::unique("question")).frame(Paper::of(&ctx.global_style().visuals).sheet_on_top()).show(
        ctx,
        |ui| {
            ui.set_width(420.0_f32.min(ctx.content_rect().width() - 60.0));
            ui.spacing_mut().item_spacing.y = 10.0;
            match question {
                Question::Unsaved(next) => unsaved(ui, state, next),
                Question::Recover { recipe, of, kept } => recover(ui, recipe, of.is_some(), *kept),
                Question::OtherModel(path) => other_model(ui, state, path),
                Question::Dropped(path) => dropped(ui, state, path),
                Question::ReplaceFile(path) => {
                    ask(ui, text::questions::REPLACE_FILE, &text::questions::is_there(path));
                    answers(
                        ui,
                        [
                            (text::questions::KEEP_IT, vec![Action::SaveElsewhere(path.clone())]),
                            (text::questions::REPLACE_IT, vec![Action::SaveReplacing(path.clone())]),
                        ],
                    )
                }
                Question::ReplaceDemo(path) => {
                    ask(ui, text::questions::REPLACE_DEMO, &text::questions::is_demo(path));
                    answers(
                        ui,
                        [
                            (text::questions::KEEP_IT, vec![Action::Ask(crate::app::Purpose::SaveAs)]),
                            (text::questions::REPLACE_IT, vec![Action::SaveReplacing(path.clone())]),
                        ],
                    )
                }
                Question::ReplaceKit { folder, why } => {
                    ask(ui, text::questions::REPLACE_KIT, why);
                    let replace = Action::WriteKit { folder: folder.clone(), replace: true };
                    let keep = Action::Ask(crate::app::Purpose::KitFolder);
                    answers(
                        ui,
                        [(text::questions::KEEP_THEM, vec![keep]), (text::questions::REPLACE_FILES, vec![replace])],
                    )
                }
                Question::KitAmongOthers { folder, within, what } => {
                    ask(ui, text::questions::KIT_AMONG_OTHERS, &text::questions::among_others(folder, what));
                    let into = |folder: &std::path::Path, replace| {
                        vec![Action::WriteKit { folder: folder.to_path_buf(), replace }]
                    };
                    let name = within.file_name().unwrap_or_default().to_string_lossy();
                    answers(
                        ui,
                        [
                            (text::questions::new_folder(&name).as_str(), into(within, false)),
                            (text::questions::AMONG_THEM, into(folder, true)),
                            (text::questions::ELSEWHERE, vec![Action::Ask(crate::app::Purpose::KitFolder)]),
                        ],
                    )
                }
            }
        },
    );
    let closed = modal.should_close();
    let answered = match (modal.inner, closed) {
        (Some(actions), _) => actions,
        // A click beside it is no answer where work could be lost by either.
        (None, true) => match question {
            Question::Recover { of: Some(_), .. } => return,
            Question::Recover { of: None, .. } => vec![Action::RecoverLater],
            // As if the file was to be kept: otherwise what should come after saving would wait unseen.
            Question::ReplaceFile(path) => vec![Action::SaveElsewhere(path.clone())],
            Question::ReplaceDemo(_) => vec![Action::Ask(crate::app::Purpose::SaveAs)],
            _ => Vec::new(),
        },
        _ => return,
    };
    queue.push(Action::PutQuestion(None));
    answered.into_iter().for_each(|action| queue.push(action));
}

type Answer<'a> = (&'a str, Vec<Action>);

fn ask(ui: &mut Ui, heading: &str, text: &str) {
    ui.heading(heading);
    ui.label(text);
}

/// Buttons; the actions of the one that was pressed. The first is the usual one: it is marked, and Return gives it.
fn answers<'a>(ui: &mut Ui, answers: impl IntoIterator<Item = Answer<'a>>) -> Option<Vec<Action>> {
    ui.horizontal_wrapped(|ui| {
        let paper = Paper::of(ui.visuals());
        let mut given = None;
        let returned = ui.memory(|m| m.focused().is_none()) && ui.input(|i| i.events.iter().any(is_return));
        for (i, (words, actions)) in answers.into_iter().enumerate() {
            let button = if i == 0 { usual(&paper, words) } else { egui::Button::new(words) };
            if ui.add(button).clicked() || (i == 0 && returned) {
                given = Some(actions);
            }
        }
        given
    })
    .inner
}

/// Struck anew: a key that is still held down from before is no answer.
fn is_return(event: &egui::Event) -> bool {
    matches!(event, egui::Event::Key { key: egui::Key::Enter, pressed: true, repeat: false, .. })
}

fn unsaved(ui: &mut Ui, state: &State, next: &Next) -> Option<Vec<Action>> {
    ask(ui, text::questions::SAVE_FIRST, &text::questions::unsaved(&state.recipe().name));
    let go_on = match next {
        Next::New => Action::NewNow,
        Next::NewFrom(path) => Action::NewProjectFrom(path.clone()),
        Next::Open(path) => Action::OpenNow(path.clone()),
        Next::Demo(path) => Action::Start(StartAction::OpenDemoNow(path.clone())),
        Next::FirstJob => Action::Start(StartAction::FirstJobNow),
        Next::AskWhatToOpen => Action::Ask(crate::app::Purpose::Open),
        Next::Close => Action::CloseNow,
    };
    answers(
        ui,
        [
            (text::questions::SAVE, vec![Action::SaveThen(next.clone())]),
            (if *next == Next::Close { text::questions::CLOSE } else { text::questions::GO_ON }, vec![go_on]),
            (text::questions::STAY, vec![]),
        ],
    )
}

fn recover(ui: &mut Ui, recipe: &Recipe, has_file: bool, kept: Option<SystemTime>) -> Option<Vec<Action>> {
    let holds = [recipe.mends.len(), recipe.bores.len(), recipe.cuts.len()];
    let kept = kept.map(|kept| words::ago(kept, SystemTime::now()));
    ask(ui, text::questions::RECOVER, &text::questions::recover(&recipe.name, holds, kept.as_deref(), has_file));
    let recover = (text::questions::RECOVER_IT, vec![Action::Recover(Box::new(recipe.clone()))]);
    // Of a project that is open already the work would be written over: undo takes its recovery back instead.
    let later = (!has_file).then(|| (text::questions::LATER, vec![Action::RecoverLater]));
    let forget = (text::questions::FORGET_IT, vec![Action::DeclineRecovery]);
    answers(ui, [Some(recover), later, Some(forget)].into_iter().flatten())
}

/// Another model was chosen for a project that has cuts.
fn other_model(ui: &mut Ui, state: &State, path: &std::path::Path) -> Option<Vec<Action>> {
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let recipe = state.recipe();
    let holds = [recipe.mends.len(), recipe.bores.len(), recipe.cuts.len()];
    ask(ui, &text::questions::what_is(&file), &text::questions::has_model_and(&recipe.name, holds));
    answers(
        ui,
        [
            (text::questions::NEW_PROJECT, vec![new_project(state, path)]),
            (text::questions::SAME_ON_IT, vec![Action::UseAsStock(path.into())]),
            (text::questions::NOTHING, vec![]),
        ],
    )
}

/// A new project with this model, once unsaved work is safe or given up.
fn new_project(state: &State, path: &std::path::Path) -> Action {
    if state.document.is_unsaved() {
        Action::PutQuestion(Some(Question::Unsaved(Next::NewFrom(path.into()))))
    } else {
        Action::NewProjectFrom(path.into())
    }
}

fn dropped(ui: &mut Ui, state: &State, path: &std::path::Path) -> Option<Vec<Action>> {
    let file = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    ask(ui, &text::questions::what_is(&file), &text::questions::has_model(&state.recipe().name));
    answers(
        ui,
        [
            (text::questions::NEW_PROJECT, vec![new_project(state, path)]),
            (text::questions::PART_OF_MODEL, vec![Action::UseBeside(path.into())]),
            (text::questions::MODEL_OF_PROJECT, vec![Action::UseAsStock(path.into())]),
            (text::questions::NOTHING, vec![]),
        ],
    )
}

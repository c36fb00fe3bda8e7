//! Choosing files and folders: the system's dialog where there is one, ours everywhere else.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

use seamwright_project::store;

use super::engine::Wake;
use super::path_dialog::{Ended, PathDialog};
use crate::text;

/// What a file or folder is chosen for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// A project, or a model for a new one.
    Open,
    /// The model of this project.
    OpenStock,
    /// The place where the model of this project is now.
    RelocateStock,
    /// The same for a file beside the first, by its place among them.
    RelocateSource(usize),
    /// A further file of the same frame.
    AddSource,
    /// Where the project is saved from now on.
    SaveAs,
    /// The folder for the kit.
    KitFolder,
}

/// How model files end.
pub const MODEL_ENDINGS: &[&str] = &["stl", "obj", "ply", "3mf"];

impl Purpose {
    /// What the dialog is called.
    pub fn title(self) -> &'static str {
        match self {
            Purpose::Open => text::files::OPEN,
            Purpose::OpenStock => text::files::OPEN_STOCK,
            Purpose::RelocateStock | Purpose::RelocateSource(_) => text::files::RELOCATE,
            Purpose::AddSource => text::files::ADD_SOURCE,
            Purpose::SaveAs => text::files::SAVE,
            Purpose::KitFolder => text::files::KIT_FOLDER,
        }
    }

    /// Whether the dialog lists a file called `name`.
    pub fn lists(self, name: &str) -> bool {
        match self {
            Purpose::Open => is_project(name) || is_model(name),
            Purpose::OpenStock | Purpose::AddSource => is_model(name),
            Purpose::RelocateStock | Purpose::RelocateSource(_) => is_model(name),
            Purpose::SaveAs => is_project(name),
            Purpose::KitFolder => false,
        }
    }
}

/// Whether a file is named like a project.
pub fn is_project(name: &str) -> bool {
    name.to_lowercase().ends_with(store::EXTENSION)
}

/// Whether a file is named like a model that can be read.
pub fn is_model(name: &str) -> bool {
    Path::new(&name.to_lowercase()).extension().is_some_and(|e| MODEL_ENDINGS.iter().any(|m| e == *m))
}

/// `path` with the ending of project files, if it has none.
pub fn with_project_ending(path: PathBuf) -> PathBuf {
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    if is_project(&name) {
        return path;
    }
    let stem = name.strip_suffix(".json").unwrap_or(&name);
    path.with_file_name(format!("{stem}{}", store::EXTENSION))
}

/// A choice that is being made, if any.
#[derive(Default)]
pub struct Chooser {
    asking: Option<Asking>,
    /// The system has no dialog, or it is not wanted.
    own_only: bool,
}

impl std::fmt::Debug for Chooser {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Chooser").field("own_only", &self.own_only).finish_non_exhaustive()
    }
}

struct Asking {
    purpose: Purpose,
    folder: PathBuf,
    name: String,
    by: By,
}

enum By {
    System { answer: Receiver<Option<PathBuf>>, since: Instant, gave_way: bool },
    Own(Box<PathDialog>),
}

/// What was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What for.
    pub purpose: Purpose,
    /// What.
    pub path: PathBuf,
    /// Whether the system has asked already before a file is replaced.
    pub replacement_agreed: bool,
}

/// Where a system has no dialog, the answer *nothing chosen* comes at once, or after a while in which this window never
/// gave way to another. Nobody reads and closes a dialog in this time.
const NO_DIALOG_WITHIN: Duration = Duration::from_millis(400);

impl Chooser {
    /// One that never asks the system.
    pub fn own_only() -> Chooser {
        Chooser { asking: None, own_only: true }
    }

    /// Begins to ask, starting in `folder` with `name` proposed; a choice that was being made is dropped.
    pub fn ask(&mut self, purpose: Purpose, folder: PathBuf, name: &str, wake: Wake) {
        let by = if self.own_only || cfg!(target_os = "macos") {
            // The system's dialog of macOS may only be opened from the main thread, and would hold up the window.
            own_dialog(purpose, &folder, name)
        } else {
            let (sender, answer) = channel();
            let (start, proposed) = (folder.clone(), name.to_owned());
            std::thread::spawn(move || {
                // The window may be gone by now.
                let _ = sender.send(ask_system(purpose, &start, &proposed));
                wake();
            });
            By::System { answer, since: Instant::now(), gave_way: false }
        };
        self.asking = Some(Asking { purpose, folder, name: name.into(), by });
    }

    /// Whether a choice is being made.
    pub fn is_asking(&self) -> bool {
        self.asking.is_some()
    }

    /// Shows our own dialog if it is open; returns a choice once it is made.
    pub fn show(&mut self, ctx: &egui::Context) -> Option<Choice> {
        let asking = self.asking.as_mut()?;
        let purpose = asking.purpose;
        match &mut asking.by {
            By::System { answer, since, gave_way } => match answer.try_recv() {
                Ok(Some(path)) => {
                    self.asking = None;
                    Some(Choice { purpose, path, replacement_agreed: true })
                }
                Ok(None) if *gave_way && since.elapsed() > NO_DIALOG_WITHIN => {
                    self.asking = None;
                    None
                }
                Ok(None) | Err(TryRecvError::Disconnected) => {
                    log::info!("the system shows no file dialog; using our own");
                    self.own_only = true;
                    asking.by = own_dialog(purpose, &asking.folder, &asking.name);
                    ctx.request_repaint();
                    None
                }
                Err(TryRecvError::Empty) => {
                    *gave_way |= !ctx.input(|i| i.focused);
                    show_waiting(ctx, asking);
                    None
                }
            },
            By::Own(dialog) => {
                let ended = dialog.show(ctx)?;
                self.asking = None;
                match ended {
                    Ended::Chosen(path) => Some(Choice { purpose, path, replacement_agreed: false }),
                    Ended::Cancelled => None,
                }
            }
        }
    }
}

/// The system's dialog may open behind the window or not at all: say so, and offer ours.
fn show_waiting(ctx: &egui::Context, asking: &mut Asking) {
    let window = egui::Window::new(asking.purpose.title()).collapsible(false).resizable(false);
    window.anchor(egui::Align2::CENTER_CENTER, egui::Vec2::ZERO).show(ctx, |ui| {
        ui.label(text::files::SYSTEM_IS_OPEN);
        if ui.button(text::files::USE_OWN).clicked() {
            asking.by = own_dialog(asking.purpose, &asking.folder, &asking.name);
        }
    });
}

fn ask_system(purpose: Purpose, folder: &Path, name: &str) -> Option<PathBuf> {
    let dialog = rfd::FileDialog::new().set_title(purpose.title()).set_directory(folder);
    let project = store::EXTENSION.trim_start_matches('.');
    match purpose {
        Purpose::Open => {
            let both: Vec<&str> = MODEL_ENDINGS.iter().copied().chain([project]).collect();
            dialog.add_filter(text::files::PROJECTS_AND_MODELS, &both).pick_file()
        }
        Purpose::OpenStock | Purpose::AddSource | Purpose::RelocateStock | Purpose::RelocateSource(_) => {
            dialog.add_filter(text::files::MODELS, MODEL_ENDINGS).pick_file()
        }
        Purpose::SaveAs => dialog.set_file_name(name).add_filter(text::files::PROJECTS, &[project]).save_file(),
        Purpose::KitFolder => dialog.pick_folder(),
    }
}

fn own_dialog(purpose: Purpose, folder: &Path, name: &str) -> By {
    By::Own(Box::new(PathDialog::new(purpose, folder, name)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn projects_are_saved_under_the_ending_of_projects() {
        let saved = |name: &str| with_project_ending(PathBuf::from("a").join(name));
        for name in ["helm", "helm.json", "helm.seamwright.json"] {
            assert_eq!(saved(name), PathBuf::from("a/helm.seamwright.json"));
        }
        assert_eq!(saved("helm.v2"), PathBuf::from("a/helm.v2.seamwright.json"));
    }

    #[test]
    fn files_are_told_by_their_ending_in_any_case() {
        assert!(is_model("HELM.STL") && is_project("Helm.Seamwright.JSON"));
        assert!(!is_model("helm.seamwright.json") && !is_project("helm.json") && !is_model("stl"));
    }
}

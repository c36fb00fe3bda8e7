//! Our own dialog for files and folders, where the system has none.

use std::path::{Path, PathBuf};

use egui::{Align, Id, Key, Layout, Modal, ScrollArea, Ui};

use super::files::{Purpose, with_project_ending};
use super::glance::{Glance, glance};
use super::lane::{Done, Lane};
use super::style::Paper;
use super::typed_over::{enter, typed_over};
use super::words;
use crate::text;

/// A dialog that is open.
#[derive(Debug)]
pub struct PathDialog {
    purpose: Purpose,
    folder: PathBuf,
    folder_text: String,
    name: String,
    entries: Result<Vec<Entry>, String>,
    hidden: bool,
    begun: bool,
    trouble: Option<String>,
    preview: Preview,
}

/// What is told of the file that is named, before it is opened.
#[derive(Debug, Default)]
struct Preview {
    lane: Option<Lane<PathBuf, (PathBuf, Option<Glance>)>>,
    asked: Option<PathBuf>,
    seen: Option<Glance>,
}

#[derive(Debug)]
struct Entry {
    name: String,
    is_folder: bool,
    bytes: u64,
}

/// How a dialog ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ended {
    /// With this file or folder.
    Chosen(PathBuf),
    /// With none.
    Cancelled,
}

/// Room for the button beside the name of a new folder, points.
const MAKE_WIDTH: f32 = 140.0;

impl PathDialog {
    /// One that starts in `folder` with `name` proposed.
    pub fn new(purpose: Purpose, folder: &Path, name: &str) -> PathDialog {
        let proposes = matches!(purpose, Purpose::SaveAs | Purpose::KitFolder);
        let name = if proposes { name.to_owned() } else { String::new() };
        let mut dialog = PathDialog {
            purpose,
            folder: PathBuf::new(),
            folder_text: String::new(),
            name,
            entries: Ok(Vec::new()),
            hidden: false,
            begun: false,
            trouble: None,
            preview: Preview::default(),
        };
        dialog.begin_in(folder);
        dialog
    }

    /// Shows it; says once how it ended.
    pub fn show(&mut self, ctx: &egui::Context) -> Option<Ended> {
        let frame = Paper::of(&ctx.global_style().visuals).sheet_on_top();
        let modal = Modal::new(Id::unique("path dialog")).frame(frame).show(ctx, |ui| {
            ui.set_width(520.0);
            ui.heading(self.purpose.title());
            self.folder_row(ui);
            let chosen = self.list(ui);
            let done = self.foot(ui);
            chosen.or(done)
        });
        if modal.inner.is_none() && modal.should_close() {
            return Some(Ended::Cancelled);
        }
        modal.inner
    }

    fn folder_row(&mut self, ui: &mut Ui) {
        ui.horizontal(|ui| {
            let label = ui.label(text::files::FOLDER);
            let room = ui.available_width() - 110.0;
            let field = typed_over(ui, &mut self.folder_text, |field| field.desired_width(room)).labelled_by(label.id);
            if field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter)) {
                self.go_to_typed();
            }
            let up = ui.add_enabled(self.folder.parent().is_some(), egui::Button::new(text::files::UP));
            if up.on_hover_text(text::files::UP_HINT).clicked()
                && let Some(parent) = self.folder.parent().map(Path::to_path_buf)
            {
                self.go_to(parent);
            }
            if let Some(home) = directories::BaseDirs::new()
                && ui.button(text::files::HOME).on_hover_text(text::files::HOME_HINT).clicked()
            {
                self.go_to(home.home_dir().to_path_buf());
            }
        });
    }

    fn list(&mut self, ui: &mut Ui) -> Option<Ended> {
        let paper = Paper::of(ui.visuals());
        let (mut enter, mut chosen) = (None, None);
        egui::Frame::new().fill(paper.field).stroke(egui::Stroke::new(1.0, paper.rule)).inner_margin(4).show(
            ui,
            |ui| {
                ui.set_height(270.0_f32.min((ui.ctx().content_rect().height() - 250.0).max(80.0)));
                ScrollArea::vertical().auto_shrink(false).show(ui, |ui| match &self.entries {
                    Err(why) => {
                        ui.colored_label(paper.warning, why);
                    }
                    Ok(entries) => {
                        let shown = entries.iter().filter(|entry| self.hidden || !entry.name.starts_with('.'));
                        if self.purpose == Purpose::KitFolder && shown.clone().next().is_none() {
                            ui.label(egui::RichText::new(text::files::NO_FOLDERS).color(paper.ink_soft));
                        }
                        for entry in shown {
                            let response = row(ui, entry, entry.name == self.name);
                            if entry.is_folder && response.clicked() {
                                enter = Some(self.folder.join(&entry.name));
                            } else if response.double_clicked() {
                                chosen = Some(entry.name.clone());
                            } else if response.clicked() {
                                self.name.clone_from(&entry.name);
                            }
                        }
                    }
                });
            },
        );
        if let Some(folder) = enter {
            self.go_to(folder);
        }
        if let Some(name) = chosen {
            self.name = name;
            return self.confirm();
        }
        None
    }

    fn foot(&mut self, ui: &mut Ui) -> Option<Ended> {
        let mut ended = None;
        let is_kit = self.purpose == Purpose::KitFolder;
        ui.horizontal(|ui| {
            let label = ui.label(if is_kit { text::files::NEW_FOLDER } else { text::files::FILE });
            let room = if is_kit { ui.available_width() - MAKE_WIDTH } else { f32::INFINITY };
            let field = typed_over(ui, &mut self.name, |field| field.desired_width(room)).labelled_by(label.id);
            if !self.begun {
                enter(ui, &field, &self.name);
                self.begun = true;
            }
            if field.changed() {
                self.trouble = None;
            }
            let entered = field.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
            if is_kit {
                let is_there = self.folder.join(self.name.trim()).is_dir();
                let words = if is_there { text::files::USE_NAMED } else { text::files::MAKE_FOLDER };
                let possible = self.entries.is_ok() && !self.name.trim().is_empty();
                let make = ui.add_enabled(possible, egui::Button::new(words));
                if make.on_hover_text(text::files::MAKE_FOLDER_HINT).clicked() || (entered && possible) {
                    ended = self.make_folder();
                }
            } else if entered {
                ended = self.confirm();
            }
        });
        if let Some(why) = &self.trouble {
            ui.colored_label(Paper::of(ui.visuals()).warning, why);
        }
        if !matches!(self.purpose, Purpose::KitFolder | Purpose::SaveAs) {
            let path = self.folder.join(self.name.trim());
            self.preview.show(ui, path);
        }
        ui.horizontal(|ui| {
            ui.checkbox(&mut self.hidden, text::files::HIDDEN_TOO);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let (words, possible) = match self.purpose {
                    Purpose::KitFolder => (text::files::USE_FOLDER, self.entries.is_ok()),
                    Purpose::SaveAs => (text::files::SAVE_HERE, !self.name.trim().is_empty()),
                    _ => (text::files::OPEN_IT, !self.name.trim().is_empty()),
                };
                let button = ui.add_enabled(possible, egui::Button::new(words));
                let button = if is_kit { button.on_hover_text(text::files::USE_FOLDER_HINT) } else { button };
                if button.clicked() {
                    ended = self.confirm();
                }
                if ui.button(text::files::CANCEL).clicked() {
                    ended = Some(Ended::Cancelled);
                }
            });
        });
        ended
    }

    /// Ends with what is named, or goes into the folder that is named.
    fn confirm(&mut self) -> Option<Ended> {
        if self.purpose == Purpose::KitFolder {
            return Some(Ended::Chosen(self.folder.clone()));
        }
        let path = self.folder.join(self.name.trim());
        if path.is_dir() {
            self.name.clear();
            self.go_to(path);
            return None;
        }
        Some(Ended::Chosen(if self.purpose == Purpose::SaveAs { with_project_ending(path) } else { path }))
    }

    /// Makes the folder that is named, and ends with it.
    fn make_folder(&mut self) -> Option<Ended> {
        let folder = self.folder.join(self.name.trim());
        match std::fs::create_dir_all(&folder) {
            Ok(()) => Some(Ended::Chosen(folder)),
            Err(error) => {
                self.trouble = Some(text::files::trouble(&folder, error));
                None
            }
        }
    }

    /// Begins in `folder`, or in the nearest one above it that is there. A folder for a kit that is gone is proposed again.
    fn begin_in(&mut self, folder: &Path) {
        let there = folder.ancestors().find(|above| above.is_dir());
        let Some(there) = there.filter(|there| *there != folder) else { return self.go_to(folder.to_path_buf()) };
        if self.purpose == Purpose::KitFolder {
            self.name = folder.strip_prefix(there).unwrap_or(folder).display().to_string();
        }
        self.go_to(there.to_path_buf());
        self.trouble = Some(text::files::is_gone(folder));
    }

    /// Goes to the folder that was typed. Where a folder is to be made, what is not there yet is proposed as its name.
    fn go_to_typed(&mut self) {
        let typed = PathBuf::from(self.folder_text.trim());
        let there = typed.ancestors().find(|folder| folder.is_dir()).map(Path::to_path_buf);
        match (self.purpose, there) {
            (Purpose::KitFolder, Some(there)) if there != typed => {
                self.name = typed.strip_prefix(&there).unwrap_or(&typed).display().to_string();
                self.go_to(there);
            }
            _ => self.go_to(typed),
        }
    }

    fn go_to(&mut self, folder: PathBuf) {
        self.trouble = None;
        let folder = folder.canonicalize().unwrap_or(folder);
        self.entries = read(&folder, self.purpose).map_err(|error| text::files::trouble(&folder, error));
        self.folder_text = folder.display().to_string();
        self.folder = folder;
    }
}

impl Preview {
    /// Shows what is known of `path`; large models are looked into beside the window's own work.
    fn show(&mut self, ui: &mut Ui, path: PathBuf) {
        let lane = self.lane.get_or_insert_with(|| {
            let ctx = ui.ctx().clone();
            let wake = std::sync::Arc::new(move || ctx.request_repaint());
            Lane::new("a glance at a file", wake, |path: PathBuf, progress| {
                let seen = glance(&path, progress)?;
                Ok((path, seen))
            })
        });
        if self.asked.as_ref() != Some(&path) {
            self.seen = None;
            lane.stop();
            if path.is_file() {
                lane.ask(path.clone());
            }
            self.asked = Some(path);
        }
        match lane.poll() {
            Some(Done::Answered((path, seen))) if self.asked.as_ref() == Some(&path) => self.seen = seen,
            _ => {}
        }
        let words = match &self.seen {
            Some(seen) => seen.words(),
            None if lane.progress().is_some() => text::start::LOOKING_INTO.into(),
            None => String::new(),
        };
        let soft = Paper::of(ui.visuals()).ink_soft;
        // One line at all times, so that nothing jumps.
        ui.add(egui::Label::new(egui::RichText::new(format!("{words} ")).small().color(soft)).truncate());
    }
}

fn row(ui: &mut Ui, entry: &Entry, marked: bool) -> egui::Response {
    let text = if entry.is_folder { format!("{}/", entry.name) } else { entry.name.clone() };
    let size = if entry.is_folder { String::new() } else { words::bytes(entry.bytes) };
    let soft = Paper::of(ui.visuals()).ink_soft;
    let name = entry.name.clone();
    let button = egui::Button::selectable(marked, text).right_text(egui::RichText::new(size).small().color(soft));
    let response = ui.add_sized([ui.available_width(), 22.0], button);
    response.widget_info(|| egui::WidgetInfo::selected(egui::Role::Button, true, marked, &name));
    response
}

/// Folders first, then the files that may be chosen, each by name.
fn read(folder: &Path, purpose: Purpose) -> std::io::Result<Vec<Entry>> {
    let mut entries: Vec<Entry> = std::fs::read_dir(folder)?
        .filter_map(|entry| {
            let entry = entry.ok()?;
            let name = entry.file_name().to_str()?.to_owned();
            // Follows links, so that a link to a folder is one.
            let facts = std::fs::metadata(entry.path()).ok()?;
            let is_folder = facts.is_dir();
            let listed = is_folder || (purpose != Purpose::KitFolder && purpose.lists(&name));
            listed.then_some(Entry { name, is_folder, bytes: facts.len() })
        })
        .collect();
    entries.sort_by_key(|entry| (!entry.is_folder, entry.name.to_lowercase()));
    Ok(entries)
}

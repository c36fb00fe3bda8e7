//! Our own dialog for files and folders, where the system has none.

mod listing;
mod preview;

use std::path::{Path, PathBuf};

use egui::{Align, Id, Key, Layout, Modal, RichText, ScrollArea, Ui};

use super::files::{Purpose, with_project_ending};
use super::style::Paper;
use super::typed_over::{enter, typed_over};
use crate::text;
use listing::{Entry, Listing, ROW, read, row};
use preview::Preview;

/// A dialog that is open.
#[derive(Debug)]
pub struct PathDialog {
    purpose: Purpose,
    folder: PathBuf,
    folder_text: String,
    name: String,
    listing: Result<Listing, String>,
    hidden: bool,
    begun: bool,
    trouble: Option<String>,
    preview: Preview,
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
            listing: Ok(Listing::default()),
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
        let (mut enter, mut picked, mut chosen) = (None, None, None);
        egui::Frame::new().fill(paper.field).stroke(egui::Stroke::new(1.0, paper.rule)).inner_margin(4).show(
            ui,
            |ui| {
                ui.set_height(270.0_f32.min((ui.ctx().content_rect().height() - 250.0).max(80.0)));
                let listing = match &self.listing {
                    Err(why) => return drop(ui.colored_label(paper.warning, why)),
                    Ok(listing) => listing,
                };
                let shown = |entry: &&Entry| self.hidden || !entry.name.starts_with('.');
                let shown: Vec<&Entry> = listing.entries.iter().filter(shown).collect();
                if shown.is_empty() {
                    let words = if self.purpose == Purpose::KitFolder {
                        text::files::NO_FOLDERS
                    } else {
                        text::files::NOTHING_TO_CHOOSE
                    };
                    ui.label(RichText::new(words).color(paper.ink_soft));
                }
                if listing.nameless > 0 {
                    ui.label(RichText::new(text::files::nameless(listing.nameless)).small().color(paper.ink_soft));
                }
                // Only rows in sight are laid out: a folder may hold thousands.
                ScrollArea::vertical().auto_shrink(false).show_rows(ui, ROW, shown.len(), |ui, rows| {
                    for entry in &shown[rows] {
                        let response = row(ui, entry, entry.name == self.name);
                        if entry.is_folder && response.clicked() {
                            enter = Some(self.folder.join(&entry.name));
                        } else if response.double_clicked() {
                            chosen = Some(entry.name.clone());
                        } else if response.clicked() {
                            picked = Some(entry.name.clone());
                        }
                    }
                });
            },
        );
        if let Some(folder) = enter {
            self.go_to(folder);
        }
        if let Some(name) = picked {
            self.name = name;
            self.trouble = None;
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
                let possible = self.listing.is_ok() && !self.name.trim().is_empty();
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
                    Purpose::KitFolder => (text::files::USE_FOLDER, self.listing.is_ok()),
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
        if self.purpose != Purpose::SaveAs && !path.exists() {
            self.trouble = Some(text::files::is_not_there(&path));
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
        self.listing = read(&folder, self.purpose).map_err(|error| text::files::trouble(&folder, error));
        self.folder_text = folder.display().to_string();
        self.folder = folder;
    }
}

//! How the maker likes the window, kept on their machine: paper, size of everything, motion, magnifier.

use std::path::{Path, PathBuf};

use seamwright_project::kept_list;
use seamwright_project::store::StoreError;
use serde::{Deserialize, Serialize};

use super::App;

/// What the `format` field of the file says.
const FORMAT: &str = "seamwright-habits";
/// The version written here; newer ones are left alone.
const VERSION: u32 = 1;
/// Sizes that are taken from a file: beyond them the window could not be put right again.
const ZOOM: std::ops::RangeInclusive<f32> = 0.5..=4.0;

/// How the maker likes the window.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Habits {
    /// Dark paper, or light; what the system says where neither was chosen.
    pub dark: Option<bool>,
    /// How large everything is, 1 for as large as the system says.
    pub zoom: f32,
    /// Nothing glides: the view is where it is going at once.
    pub less_motion: bool,
    /// Whether a magnified piece of the picture is shown while points are picked.
    pub magnifier: bool,
}

impl Default for Habits {
    fn default() -> Self {
        Habits { dark: None, zoom: 1.0, less_motion: false, magnifier: true }
    }
}

#[derive(Serialize, Deserialize)]
struct Saved {
    format: String,
    version: u32,
    habits: Habits,
}

/// Where they are kept: `habits.json` in the settings folder of this program. `None` on a machine that names no such folder.
pub fn default_path() -> Option<PathBuf> {
    kept_list::path_of("habits.json")
}

fn load(path: &Path) -> Result<Habits, StoreError> {
    let head = |saved: &Saved| (saved.format.clone(), saved.version);
    let saved: Option<Saved> = kept_list::load(path, |bytes| kept_list::parse(bytes, (FORMAT, VERSION), head))?;
    Ok(saved.map_or_else(Habits::default, |saved| saved.habits))
}

/// The habits and the file that they are kept in.
#[derive(Debug, Default)]
pub(super) struct Kept {
    path: Option<PathBuf>,
    habits: Habits,
}

impl App {
    /// Takes up what was kept.
    pub(super) fn take_up_habits(&mut self, path: Option<PathBuf>, ctx: &egui::Context) {
        let habits = match path.as_deref().map(load) {
            Some(Ok(habits)) => habits,
            // A file that cannot be read is told of and not written over.
            Some(Err(error)) => {
                self.state.messages.error(error);
                self.habits = Kept::default();
                return;
            }
            None => Habits::default(),
        };
        if let Some(dark) = habits.dark {
            ctx.set_theme(if dark { egui::Theme::Dark } else { egui::Theme::Light });
        }
        if habits.zoom.is_finite() && habits.zoom != 1.0 {
            ctx.set_zoom_factor(habits.zoom.clamp(*ZOOM.start(), *ZOOM.end()));
        }
        self.bench.magnifies = habits.magnifier;
        self.set_less_motion(habits.less_motion, ctx);
        self.habits = Kept { path, habits };
    }

    /// Writes the habits down where they have changed.
    pub(super) fn keep_habits(&mut self, ctx: &egui::Context) {
        let habits = Habits {
            dark: self.habits.habits.dark,
            zoom: ctx.zoom_factor(),
            less_motion: self.bench.reduce_motion,
            magnifier: self.bench.magnifies,
        };
        self.write_habits(habits);
    }

    /// Light paper or dark, the other of the two.
    pub(super) fn take_other_light(&mut self, ctx: &egui::Context) {
        let dark = ctx.theme() != egui::Theme::Dark;
        ctx.set_theme(if dark { egui::Theme::Dark } else { egui::Theme::Light });
        self.write_habits(Habits { dark: Some(dark), ..self.habits.habits });
    }

    /// Whether anything glides from one place to another.
    pub(super) fn set_less_motion(&mut self, less: bool, ctx: &egui::Context) {
        self.bench.reduce_motion = less;
        let animation_s = if less { 0.0 } else { egui::Style::default().animation_time };
        ctx.all_styles_mut(|style| style.animation_time = animation_s);
    }

    fn write_habits(&mut self, habits: Habits) {
        if habits == self.habits.habits {
            return;
        }
        self.habits.habits = habits;
        let Some(path) = &self.habits.path else { return };
        if let Err(error) = kept_list::save(path, &Saved { format: FORMAT.into(), version: VERSION, habits }) {
            self.state.messages.error(error);
            // Told once.
            self.habits.path = None;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_an_older_file_does_not_name_is_as_at_first() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("habits.json");
        assert_eq!(load(&path).unwrap(), Habits::default(), "there is no file yet");
        let text = format!(r#"{{"format": "{FORMAT}", "version": 1, "habits": {{"less_motion": true}}}}"#);
        std::fs::write(&path, text).unwrap();
        assert_eq!(load(&path).unwrap(), Habits { less_motion: true, ..Habits::default() });
        std::fs::write(&path, "{}").unwrap();
        assert!(load(&path).unwrap_err().to_string().contains("habits.json"));
    }
}

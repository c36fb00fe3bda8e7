//! Where a maker's own projects go: never among the demos, which others open after them.

use std::path::{Path, PathBuf};

use seamwright_project::recent;

use super::{App, demos};

impl App {
    /// Whether demos lie in this folder.
    pub(super) fn is_of_demos(&self, folder: &Path) -> bool {
        demos::are_in(folder, &self.state.start.demo_folders)
    }

    /// Whether this file is a demo that came with the program.
    pub(super) fn is_demo(&self, file: &Path) -> bool {
        demos::is_one(file, &self.state.start.demo_folders)
    }

    /// The folder of the newest project of the maker's own, else that for documents, else their own folder.
    pub(super) fn own_folder(&self) -> PathBuf {
        // A list that cannot be read is told of where it is shown.
        let recents = self.state.start.kept_in.as_deref().and_then(|list| recent::load(list).ok()).unwrap_or_default();
        let folders = recents.iter().filter_map(|recent| recent.path.parent().map(Path::to_path_buf));
        let last_used = folders.into_iter().find(|folder| folder.is_dir() && !self.is_of_demos(folder));
        let documents = || directories::UserDirs::new()?.document_dir().map(Path::to_path_buf);
        let home = || Some(directories::UserDirs::new()?.home_dir().to_path_buf());
        let there = |folder: &PathBuf| folder.is_dir();
        last_used.or_else(|| documents().filter(there)).or_else(|| home().filter(there)).unwrap_or_default()
    }
}

//! What the surroundings decide.

use std::path::PathBuf;

/// What the surroundings decide.
#[derive(Clone, Debug)]
pub struct Settings {
    /// Where unsaved work that has no file yet is kept.
    pub spare_folder: PathBuf,
    /// Where the maker's own list of beds is kept; `None` where there is no folder for settings.
    pub own_beds: Option<PathBuf>,
    /// Where the list of files that were open lately is kept; `None` where there is no folder for settings.
    pub recent: Option<PathBuf>,
    /// Where it is kept how the maker likes the window; `None` where there is no folder for settings.
    pub habits: Option<PathBuf>,
    /// The folders that demos are looked for in, the first that has any.
    pub demo_folders: Vec<PathBuf>,
    /// Where reports of what broke are kept; `None` where there is no folder for settings.
    pub reports: Option<PathBuf>,
    /// Whether the system's file dialogs are asked for first.
    pub system_dialogs: bool,
}

//! Reliefs as the project file has them.

use serde::{Deserialize, Serialize};

use super::{FormatError, wrong};
use crate::relief::{Relief, check};

#[derive(Serialize, Deserialize)]
pub(super) struct SavedRelief {
    shell: u32,
    by: u32,
    clearance_mm: f64,
    #[serde(default = "yes")]
    enabled: bool,
}

fn yes() -> bool {
    true
}

pub(super) fn save_relief(relief: &Relief) -> SavedRelief {
    let Relief { shell, by, clearance_mm, enabled } = *relief;
    SavedRelief { shell, by, clearance_mm, enabled }
}

pub(super) fn load_reliefs(saved: Vec<SavedRelief>) -> Result<Vec<Relief>, FormatError> {
    let load = |SavedRelief { shell, by, clearance_mm, enabled }| Relief { shell, by, clearance_mm, enabled };
    let reliefs: Vec<Relief> = saved.into_iter().map(load).collect();
    for count in 1..=reliefs.len() {
        check(&reliefs[..count]).map_err(|error| wrong(format!("reliefs[{}]", count - 1), error))?;
    }
    Ok(reliefs)
}

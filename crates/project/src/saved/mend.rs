//! Mends as the project file has them.

use seamwright_geometry::mend::MendStep;
use serde::{Deserialize, Serialize};

use super::{FormatError, wrong};
use crate::mending;
use crate::recipe::Mend;

#[derive(Serialize, Deserialize)]
pub(super) struct SavedMend {
    #[serde(flatten)]
    step: SavedStep,
    #[serde(default = "yes")]
    enabled: bool,
}

#[derive(Serialize, Deserialize)]
#[serde(tag = "step", rename_all = "kebab-case")]
enum SavedStep {
    MergeNear { tolerance: f64 },
    DropZeroArea,
    DropDuplicates,
    SplitSheets,
    TurnOutward,
    FillHoles { most_edges: usize, curved: bool },
    UniteCrossing,
    KeepOuter,
}

fn yes() -> bool {
    true
}

pub(super) fn save_mend(mend: &Mend) -> SavedMend {
    let step = match mend.step {
        MendStep::MergeNear { tolerance_mm } => SavedStep::MergeNear { tolerance: tolerance_mm },
        MendStep::DropZeroArea => SavedStep::DropZeroArea,
        MendStep::DropDuplicates => SavedStep::DropDuplicates,
        MendStep::SplitSheets => SavedStep::SplitSheets,
        MendStep::TurnOutward => SavedStep::TurnOutward,
        MendStep::FillHoles { most_edges, curved } => SavedStep::FillHoles { most_edges, curved },
        MendStep::UniteCrossing => SavedStep::UniteCrossing,
        MendStep::KeepOuter => SavedStep::KeepOuter,
    };
    SavedMend { step, enabled: mend.enabled }
}

pub(super) fn load_mend((index, saved): (usize, SavedMend)) -> Result<Mend, FormatError> {
    let step = match saved.step {
        SavedStep::MergeNear { tolerance } => MendStep::MergeNear { tolerance_mm: tolerance },
        SavedStep::DropZeroArea => MendStep::DropZeroArea,
        SavedStep::DropDuplicates => MendStep::DropDuplicates,
        SavedStep::SplitSheets => MendStep::SplitSheets,
        SavedStep::TurnOutward => MendStep::TurnOutward,
        SavedStep::FillHoles { most_edges, curved } => MendStep::FillHoles { most_edges, curved },
        SavedStep::UniteCrossing => MendStep::UniteCrossing,
        SavedStep::KeepOuter => MendStep::KeepOuter,
    };
    mending::check(&step).map_err(|error| wrong(format!("mends[{index}]"), error))?;
    Ok(Mend { step, enabled: saved.enabled })
}

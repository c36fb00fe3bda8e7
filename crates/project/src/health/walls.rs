//! Walls that a printer cannot make.

use seamwright_geometry::ThinWalls;

use super::{Defect, Finding, MOST_FACES, finding};

pub(super) fn of_thin_walls(thin: &ThinWalls, width_mm: f64) -> Option<Finding> {
    let worst = thin.thinnest?;
    let text = format!(
        "walls thinner than {width_mm} mm over {:.1} cm², the thinnest {:.2} mm: a printer leaves gaps there",
        thin.area_mm2 / 100.0,
        worst.thickness_mm
    );
    Some(Finding {
        place: Some(worst.place),
        faces: thin.faces.iter().copied().take(MOST_FACES).collect(),
        ..finding(Defect::ThinWalls, thin.faces.len(), text)
    })
}

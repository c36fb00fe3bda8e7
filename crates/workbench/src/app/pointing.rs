//! What is lit up and pointed out on the bench, so that there is something to see where a place is shown.

use seamwright_geometry::{EdgeTable, Mesh, Point, open_loops};
use seamwright_project::health::{Defect, Health};

use super::action::Action;
use super::command::Command;
use super::state::{Line, State};

/// Lines that are lit up at most: the worst come first, and more would be one white patch. Our own choice, no source.
const MOST_LIT: usize = 2000;

/// The rims of the holes of a part, as lines, the longest first; for the worker. None where nothing was found open.
pub(super) fn rims(mesh: &Mesh, found: &Health) -> Vec<Vec<Point>> {
    if !found.findings.iter().any(|finding| finding.defect == Defect::OpenEdges) {
        return Vec::new();
    }
    let loops = open_loops(mesh, &EdgeTable::new(mesh)).into_iter().take(MOST_LIT);
    let line = |rim: seamwright_geometry::OpenLoop| {
        let again = rim.vertices.first().filter(|_| rim.closed);
        rim.vertices.iter().chain(again).map(|&v| mesh.vertices[v as usize]).collect()
    };
    loops.map(line).collect()
}

/// What is lit up of the finding that is shown, where it stands: its faces, or the rims of holes.
pub(super) fn finding_lines(state: &State) -> Option<Vec<Vec<Point>>> {
    let (part, finding) = state.shown_finding.filter(|_| state.open_line == Some(Line::Stock))?;
    let looked = state.looked.as_ref().filter(|looked| looked.is_about(state.recipe()))?;
    let finding = looked.parts.get(part)?.findings.get(finding)?;
    if finding.defect == Defect::OpenEdges {
        return looked.rims.get(part).cloned();
    }
    let mesh = &state.outcome.as_ref()?.parts.get(part)?.solid.mesh;
    let round = |&face: &u32| {
        let [a, b, c] = mesh.triangles.get(face as usize)?.map(|v| mesh.vertices[v as usize]);
        Some(vec![a, b, c, a])
    };
    Some(finding.faces.iter().take(MOST_LIT).filter_map(round).collect())
}

/// After what a place is no longer pointed out: the maker went on to something else.
pub(super) fn is_over_after(action: &Action) -> bool {
    matches!(
        action,
        Action::Edit(_)
            | Action::GoToStep(_)
            | Action::ToggleLine(_)
            | Action::OpenLine(_)
            | Action::TakeCut(_)
            | Action::SelectPiece(_)
            | Action::Set(_)
            | Action::ShowPiece(_)
            | Action::Explode(_)
            | Action::SelectShell(_)
            | Action::ShowMeasure(_)
            | Action::Run(
                Command::Undo
                    | Command::Redo
                    | Command::Explode
                    | Command::SelectAll
                    | Command::HidePieces
                    | Command::IsolatePieces
                    | Command::SeeThrough
                    | Command::ShowAll
                    | Command::FrameAll
                    | Command::FrameSelection
                    | Command::CutOnSurface
                    | Command::CutThroughPoints
                    | Command::BoreThroughPoints
                    | Command::CutByNumber
                    | Command::StepOff
                    | Command::Measure(_)
                    | Command::MeasureDistance
                    | Command::StandOnFace
                    | Command::OpenLine(_)
            )
    )
}

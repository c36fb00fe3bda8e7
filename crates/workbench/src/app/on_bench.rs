//! What was done on the bench, as actions.

use seamwright_project::Edit;

use super::action::{Action, Queue};
use super::command::Command;
use super::new_cuts::{across, add, tidy};
use super::sets::SetAction;
use super::state::{Line, State, Tool};
use super::{at_hand, bore_in_hand, scene};
use crate::bench::{BenchAction, DragPhase, Handle};

/// Turns what was done on the bench into actions.
pub(super) fn translate(done: Vec<BenchAction>, state: &State, queue: &mut Queue) {
    for action in done {
        match action {
            BenchAction::MeshClicked { hit: Some(hit), .. } if state.open_line == Some(Line::Shells) => {
                queue.push(Action::SelectShell(scene::shell_of(state, &hit)));
            }
            BenchAction::MeshClicked { hit, add } => {
                let piece = hit.and_then(|hit| scene::piece_of(state, hit.id)).map(|piece| piece.id.clone());
                match piece {
                    Some(piece) if add => queue.push(Action::Set(SetAction::Toggle(piece))),
                    // A click that missed what it was to add leaves the rest as it is.
                    None if add => {}
                    piece => queue.push(Action::SelectPiece(piece)),
                }
            }
            BenchAction::Boxed(meshes) => {
                let pieces = meshes.into_iter().filter_map(|id| scene::piece_of(state, id));
                queue.push(Action::Set(SetAction::Add(pieces.map(|piece| piece.id.clone()).collect())));
            }
            BenchAction::MeshHovered(mesh) => {
                let piece = mesh.and_then(|id| scene::piece_of(state, id)).map(|piece| piece.id.clone());
                queue.push(Action::LightPiece(piece));
            }
            BenchAction::SurfaceClicked(hit) if state.tool == Tool::StandOn => {
                let stance = state.with_corners(|corners| state.recipe().stance.standing_on(hit.normal, corners));
                queue.push(Action::Run(Command::LayDown));
                queue.edit(Edit::SetStance(stance));
            }
            BenchAction::SurfaceClicked(hit) => {
                if let Some(bounds) = state.part_bounds() {
                    let scope = state.scope_of_new_cut(scene::piece_of(state, hit.id));
                    queue.edit(add(tidy(across(&hit, &bounds)), scene::part_of(state, hit.id), scope));
                }
            }
            BenchAction::PointPicked(hit) if matches!(state.tool, Tool::Measure(_)) => {
                queue.push(Action::PickForMeasure(hit));
            }
            BenchAction::PointPicked(hit) => {
                queue.push(Action::PickPoint(hit.point, scene::part_of(state, hit.id)));
            }
            BenchAction::PickUndone(at) => queue.push(Action::DropPoint(at)),
            BenchAction::CutDragged { plane, handle, seat, phase } => {
                let Some(cut) = state.held_cut() else { continue };
                let moved = match handle {
                    Handle::Move => cut.plane.moved_to(&plane),
                    Handle::TiltFirst | Handle::TiltSecond => cut.plane.turned_to(&plane, seat),
                };
                let moved = tidy(moved);
                match phase {
                    DragPhase::Begun | DragPhase::Moved => {
                        queue.push(Action::Preview { cut: cut.id, plane: Some(moved) });
                    }
                    DragPhase::Released => queue.edit(Edit::SetCutPlane { cut: cut.id, plane: moved }),
                    DragPhase::Cancelled => queue.push(Action::Preview { cut: cut.id, plane: None }),
                }
            }
            BenchAction::BoreDragged { line, handle, phase } => {
                match bore_in_hand::dragged(state, &line, handle, phase) {
                    Some(bore_in_hand::BoreDragged::Preview(action)) => queue.push(Action::Bore(action)),
                    Some(bore_in_hand::BoreDragged::Edit(edit)) => queue.edit(edit),
                    None => {}
                }
            }
            BenchAction::Asked { at, hit, on_handle } => at_hand::ask(state, at, hit, on_handle, queue),
            BenchAction::Missed => queue.push(Action::Missed),
            BenchAction::PicksDone => queue.push(Action::PicksDone),
            BenchAction::ModeLeft => queue.push(Action::Run(Command::LayDown)),
            BenchAction::CameraMoved => {}
        }
    }
}

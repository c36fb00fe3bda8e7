//! Placing a cut: what the bench says becomes previews and edits; both sides' fit is worked out in every frame.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use seamwright_geometry::{Bounds, Plane, Point, SectionLoop, Vector, best_plane};
use seamwright_project::{Axis, Cut, CutForm, CutId, CutPlane, Edit, PartId, PlacingPiece, Scope, cut_along};

use super::action::{Action, Queue};

use super::command::Command;
use super::cut_found::{Asked, CutFound};
use super::engine::{Failure, Placing};
use super::free_place::free_offset_mm;
use super::messages::Messages;
use super::scene;
use super::sets::SetAction;
use super::state::{Line, Preview, State, Tool, Uncut};
use super::{App, at_hand, bores, guide};
use crate::bench::{self, BenchAction, DragPhase, Handle, SurfaceHit};

/// Live placing of the cut in hand.
#[derive(Default)]
pub(super) struct Live {
    ready: Option<(CutId, Placing)>,
    shown: Option<Preview>,
    /// Since when it is shown there, until more was asked about it.
    resting_since: Option<Instant>,
    rest_asked: bool,
    /// Since when it is shown there.
    still_since: Option<Instant>,
    pub(super) asked: Asked,
}

impl Live {
    /// Takes what the worker prepared.
    pub(super) fn take(&mut self, cut: CutId, placing: Result<Box<Placing>, Failure>, messages: &mut Messages) {
        self.shown = None;
        self.asked = self.asked.anew();
        self.ready = match placing {
            Ok(placing) => Some((cut, *placing)),
            Err(failure) => {
                // A stock that is gone is said by the job card already.
                if !failure.stock_moved {
                    messages.error(failure.text);
                }
                None
            }
        };
    }

    /// Whether an answer about the cut at rest is about where it is shown now.
    pub(super) fn takes_rest(&self) -> bool {
        self.rest_asked && self.ready.is_some()
    }

    /// Forgets everything: another project was opened, or the cut was laid down.
    pub(super) fn clear(&mut self) {
        *self = Live { asked: self.asked.anew(), ..Live::default() };
    }
}

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
            BenchAction::BoreDragged { line, handle, phase } => match bores::dragged(state, &line, handle, phase) {
                Some(bores::BoreDragged::Preview(action)) => queue.push(Action::Bore(action)),
                Some(bores::BoreDragged::Edit(edit)) => queue.edit(edit),
                None => {}
            },
            BenchAction::Asked { at, hit, on_handle } => at_hand::ask(state, at, hit, on_handle, queue),
            BenchAction::Missed => queue.push(Action::Missed),
            BenchAction::PicksDone => queue.push(Action::PicksDone),
            BenchAction::ModeLeft => queue.push(Action::Run(Command::LayDown)),
            BenchAction::CameraMoved => {}
        }
    }
}

/// A cut through a clicked place, across the part: square to the longest side among those that the surface runs along
/// there. (Square to the surface's own normal it would only graze.)
fn across(hit: &SurfaceHit, part: &Bounds) -> CutPlane {
    let axis = axis_across(&hit.normal, part);
    CutPlane { axis, through_mm: hit.point.coords.into(), tilt_deg: [0.0; 2] }
}

/// The axis along which a part is longest, of those that a surface that looks along `normal` runs along.
pub(super) fn axis_across(normal: &Vector, part: &Bounds) -> Axis {
    Axis::ALL[bench::axis_across(normal, part)]
}

fn add(plane: CutPlane, part: PartId, scope: Scope) -> Edit {
    Edit::AddCut { name: String::new(), part, plane, form: CutForm::Flat, scope }
}

/// The same place, square to another axis; where the place lies outside the part along it, its middle.
pub fn square_to(axis: Axis, cut: &Cut, part: Option<Bounds>) -> CutPlane {
    let mut plane = CutPlane { axis, tilt_deg: [0.0; 2], ..cut.plane };
    if let Some(part) = part {
        let (i, x) = (axis.index(), plane.offset_mm());
        if x <= part.min[i] || x >= part.max[i] {
            plane = plane.with_offset_mm(round_mm(part.centre()[i]));
        }
    }
    plane
}

/// A hand does not place to the hundredth: what a drag leaves is rounded to that, so that its numbers can be read.
pub(super) fn tidy(plane: CutPlane) -> CutPlane {
    let rounded = |x: f64| (x * 100.0).round() / 100.0;
    CutPlane { tilt_deg: plane.tilt_deg.map(rounded), ..plane }.with_offset_mm(rounded(plane.offset_mm()))
}

fn round_mm(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

impl App {
    /// Adds a cut across the middle of the part's longest side; its numbers are then typed.
    pub(super) fn add_cut_by_number(&mut self) {
        let on = self.state.stepped_piece();
        let scope = self.state.scope_of_new_cut(on);
        let bounds = match scope {
            Scope::All => self.state.part_bounds(),
            Scope::Pieces(_) => on.map(|piece| piece.facts.bounds),
        };
        let size = bounds.map_or_else(|| Vector::new(0.0, 0.0, 1.0), |bounds| bounds.size());
        let axis = Axis::nearest(&size);
        let mut through = bounds.map_or_else(Point::origin, |bounds| bounds.centre());
        through.coords.apply(|x| *x = round_mm(*x));
        if let Some(bounds) = bounds {
            through[axis.index()] = round_mm(free_offset_mm(self.state.recipe(), axis, &bounds));
        }
        let part =
            self.state.outcome.as_ref().and_then(|outcome| outcome.parts.first()).map_or(PartId::MAIN, |part| part.id);
        let id = self.state.recipe().next_cut;
        let plane = CutPlane { axis, through_mm: through.coords.into(), tilt_deg: [0.0; 2] };
        if self.apply_edit(add(plane, part, scope)) {
            self.state.new_cut = Some(id);
        }
    }

    /// Takes a cut back that was added and not yet told where to go: as if it had never been.
    pub(super) fn take_new_cut_back(&mut self) {
        // Every change since would have made it a cut like others: the last step is the one that added it.
        if self.state.new_cut.take().is_some() {
            self.state.document.undo();
            self.recipe_changed();
        }
    }

    /// Makes a cut of the points picked so far.
    pub(super) fn cut_through_points(&mut self) {
        let Tool::PickPoints(points) = &self.state.tool else { return };
        let best = match best_plane(points) {
            Ok(best) => best,
            Err(error) => return self.state.messages.error(error),
        };
        let (count, near) = (points.len(), points.iter().map(|p| p.coords).sum::<Vector>() / points.len() as f64);
        let id = self.state.recipe().next_cut;
        let plane = CutPlane::from_plane(&best.plane, near.into());
        if self.apply_edit(add(plane, self.state.picked_part, Scope::All)) {
            self.state.residual = Some((id, best.residual_mm, count));
        }
    }

    /// Makes a cut along the line of the points picked so far.
    pub(super) fn cut_along_points(&mut self) {
        let Tool::PickPoints(points) = &self.state.tool else { return };
        match cut_along(points, -self.bench.camera().axes()[2]) {
            Ok((plane, form)) => {
                let part = self.state.picked_part;
                self.apply_edit(Edit::AddCut { name: String::new(), part, plane, form, scope: Scope::All });
            }
            Err(error) => self.state.messages.error(error),
        }
    }

    /// A cut was added: it is taken in hand.
    pub(super) fn take_in_hand(&mut self, cut: Option<CutId>) {
        self.state.preview = None;
        self.state.tool = Tool::Look;
        self.state.taken_cut = cut;
        self.state.new_cut = None;
        if cut.is_some() {
            self.state.bore.taken = None;
            self.state.bore.preview = None;
            self.state.exploded = 0.0;
            self.state.selected_piece = None;
            self.state.open_line = Some(Line::Cuts);
        }
    }

    /// Has live placing prepared where it is needed, and works out both sides where the cut is shown now.
    pub(super) fn update_live(&mut self, folder: &Path, ctx: &egui::Context) {
        let Some(cut) = self.state.held_cut() else {
            self.live.clear();
            self.engine.give_up_placing();
            self.state.placing_stopped = false;
            self.state.placement = None;
            self.state.at_rest = None;
            self.state.found = CutFound::default();
            self.state.uncut.clear();
            self.outlines = Arc::default();
            return;
        };
        let id = cut.id;
        let Some(shown) = self.state.shown_cut() else { return };
        let wanted = self.state.recipe().stock.is_some() && !self.state.stopped;
        if wanted && self.engine.prepare_placing(self.state.document.recipe(), id, folder) {
            self.state.placing_stopped = false;
        }
        match &self.live.ready {
            Some((of, placing)) if *of == id => {
                if self.live.shown.as_ref() == Some(&shown) {
                    let (placing, flat) = (placing.clone(), shown.form == CutForm::Flat);
                    let since = *self.live.still_since.get_or_insert_with(Instant::now);
                    self.find_out(&placing, &shown, since, ctx);
                    return self.look_at_rest(placing, shown.plane.plane().ok().filter(|_| flat), ctx);
                }
                self.engine.give_up_rest();
                (self.live.resting_since, self.live.rest_asked) = (Some(Instant::now()), false);
                self.live.still_since = Some(Instant::now());
                self.live.asked.moved();
                (self.state.at_rest, self.state.found.exact) = (None, None);
                // The next frame finds it where it is, and asks for more.
                ctx.request_repaint();
                let Ok(surface) = shown.form.surface(&shown.plane) else { return };
                let placement = placing.at_surface(&surface);
                let guides = self.state.part_bounds().map_or_else(Vec::new, |part| guide::lines(&surface, &part));
                self.outlines = Arc::new(placement.outline.iter().map(chalk).chain(guides).collect());
                self.state.placement = Some(placement);
                let uncut = |piece: &PlacingPiece| Uncut {
                    id: piece.id.clone(),
                    bounds: piece.bounds(),
                    is_reached: piece.is_reached_by(&surface),
                };
                self.state.uncut = placing.pieces().iter().map(uncut).collect();
                self.live.shown = Some(shown);
            }
            _ => {
                self.state.placement = None;
                self.state.at_rest = None;
                self.state.found = CutFound::default();
                self.outlines = Arc::default();
            }
        }
    }

    /// Asks for what takes longer than a frame, once the cut has rested for a moment.
    fn look_at_rest(&mut self, placing: Placing, plane: Option<Plane>, ctx: &egui::Context) {
        let (Some(since), Some(plane)) = (self.live.resting_since, plane) else { return };
        match REST.checked_sub(since.elapsed()).filter(|left| !left.is_zero()) {
            Some(left) => ctx.request_repaint_after(left),
            None => {
                self.live.resting_since = None;
                self.live.rest_asked = true;
                self.engine.look_at_rest(placing, plane);
            }
        }
    }
}

/// A hand that has not moved for this long rests: longer than a hesitation, too short to be waited for. Our own choice,
/// no source.
const REST: Duration = Duration::from_millis(150);

/// A section line as the bench draws it: a closed one repeats its first point.
pub(super) fn chalk(line: &SectionLoop) -> Vec<Point> {
    let again = line.points.first().filter(|_| line.closed);
    line.points.iter().chain(again).copied().collect()
}

//! New cuts: by number, by a click on the surface, through picked points; and where they begin.

use seamwright_geometry::{Bounds, Point, Vector, best_plane};
use seamwright_project::{Axis, Cut, CutForm, CutPlane, Edit, PartId, Scope, cut_along};

use super::App;
use super::free_place::free_offset_mm;
use super::state::Tool;
use crate::bench::{self, SurfaceHit};

/// A cut through a clicked place, across the part: square to the longest side among those that the surface runs along
/// there. (Square to the surface's own normal it would only graze.)
pub(super) fn across(hit: &SurfaceHit, part: &Bounds) -> CutPlane {
    let axis = axis_across(&hit.normal, part);
    CutPlane { axis, through_mm: hit.point.coords.into(), tilt_deg: [0.0; 2] }
}

/// The axis along which a part is longest, of those that a surface that looks along `normal` runs along.
pub(super) fn axis_across(normal: &Vector, part: &Bounds) -> Axis {
    Axis::ALL[bench::axis_across(normal, part)]
}

pub(super) fn add(plane: CutPlane, part: PartId, scope: Scope) -> Edit {
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
}

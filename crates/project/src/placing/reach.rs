//! Where a cut leaves sides that fit: the stretch along its normal, the place nearest to where it is, and stepping off.

use seamwright_geometry::{
    Bed, Bounds, Cancelled, LastPiece, Nearby, Plane, Point, Progress, Search, Side, StepOff, StepOffError, Steps,
    Stretch, Vector, place_nearby,
};

use super::{Placing, PlacingPiece};
use crate::cut_plane::CutPlane;
use crate::recipe::PieceId;

impl Placing {
    /// The offsets along the normal of `plane` at which both sides of every piece that it crosses now would fit. `None`
    /// where it crosses nothing. It depends on the offset only by which pieces are crossed, so that it need not be
    /// asked for again while a cut is moved along its normal through the same ones.
    pub fn stretch(&self, plane: &Plane) -> Option<Stretch> {
        let crossed = self.pieces.iter().filter(|piece| piece.in_scope && piece.is_crossed(plane));
        let stretches = crossed.filter_map(|piece| piece.stretch(&plane.normal(), &self.beds));
        stretches.reduce(|a, b| a.and(&b))
    }

    /// Like [`Placing::stretch`], with both sides asked in any pose as [`Placing::exact`] does: known to half a millimetre.
    /// It takes a second or more, and belongs on a worker.
    pub fn exact_stretch(&self, plane: &Plane, progress: &Progress) -> Result<Option<Stretch>, Cancelled> {
        progress.stage("looking along the line");
        let normal = plane.normal();
        let mut all: Option<Stretch> = None;
        for piece in self.pieces.iter().filter(|piece| piece.in_scope && piece.is_crossed(plane)) {
            let Some(extent) = piece.support.support.extent_mm(&normal) else { continue };
            let Some(quick) = piece.stretch(&normal, &self.beds) else { continue };
            let wider = quick.widened(extent, EXACT_END_MM, |side, offset| {
                let Ok(there) = Plane::new(normal, offset) else { return Ok(false) };
                let sides = self.side(piece, side, &there, progress)?;
                Ok(sides.iter().all(|side| side.verdict.fits()))
            })?;
            all = Some(all.map_or(wider, |before| before.and(&wider)));
        }
        Ok(all)
    }

    /// The middle of the box around the lines that `plane` draws, on the plane; `None` where it draws none.
    pub fn middle_of_section(&self, plane: &Plane) -> Option<Point> {
        let loops = self.pieces.iter().filter(|piece| piece.in_scope).flat_map(|piece| piece.outline(plane));
        let bounds = Bounds::of(loops.flat_map(|line| line.points))?;
        Some(plane.project(&bounds.centre()))
    }

    /// The place nearest to `plane` at which both sides of every piece that it crosses now fit, moved along its normal
    /// or tilted about `through`. `None` where none was found, or where it crosses nothing.
    pub fn nearby(&self, plane: &Plane, through: &Point, progress: &Progress) -> Result<Option<Nearby>, Cancelled> {
        progress.stage("looking for the nearest place");
        let crossed: Vec<&PlacingPiece> =
            self.pieces.iter().filter(|piece| piece.in_scope && piece.is_crossed(plane)).collect();
        let stretch = |normal: &Vector| {
            let stretches = crossed.iter().filter_map(|piece| piece.stretch(normal, &self.beds));
            stretches.reduce(|a, b| a.and(&b))
        };
        place_nearby(plane, through, stretch, progress)
    }

    /// The cuts, parallel to `like`, that step a piece off so that all its parts fit; see [`StepOff`]. Backwards, they
    /// are stepped off from the end that the normal points at.
    pub fn step_off(
        &self,
        piece: &PieceId,
        like: &CutPlane,
        backwards: bool,
        steps: Steps,
        last: LastPiece,
        progress: &Progress,
    ) -> Result<Vec<CutPlane>, StepOffError> {
        let piece = self.pieces.iter().find(|known| known.id == *piece).ok_or(StepOffError::Nothing)?;
        let plane = like.plane().map_err(|_| StepOffError::NoLength)?;
        let axis = if backwards { -plane.normal() } else { plane.normal() };
        let how = StepOff { axis, steps, last, search: Search::AnyPose };
        let bed = self.beds.first().ok_or(StepOffError::Nothing)?;
        let offsets = piece.support.support.step_off(&how, bed, progress)?;
        let moved = |offset: f64| {
            let along = if backwards { -offset } else { offset };
            let plane = Plane::new(plane.normal(), along).map_err(|_| StepOffError::NoLength)?;
            Ok(like.moved_to(&plane))
        };
        offsets.into_iter().map(moved).collect()
    }
}

/// Exact ends of a stretch are looked for so closely, mm: one that is slid into is slid on from. Our own choice, no source.
const EXACT_END_MM: f64 = 0.5;

impl PlacingPiece {
    pub(super) fn is_crossed(&self, plane: &Plane) -> bool {
        let halves = self.support.support.split(plane);
        Side::BOTH.iter().all(|side| halves.bounds(*side).is_some())
    }

    /// Where each side fits one of the beds.
    fn stretch(&self, normal: &Vector, beds: &[Bed]) -> Option<Stretch> {
        let extent = self.support.support.extent_mm(normal)?;
        Some(Stretch::find(extent, |side, offset| {
            let Ok(plane) = Plane::new(*normal, offset) else { return false };
            let of = |support: &seamwright_geometry::HalfSupport| {
                let halves = support.split(&plane);
                let fits = |bed: &Bed| halves.fit(side, bed, Search::AnyPose).is_none_or(|fit| fit.verdict.fits());
                beds.iter().any(fits)
            };
            match self.parts[side as usize].as_slice() {
                [] => of(&self.support.support),
                parts => parts.iter().all(|part| of(&part.support.support)),
            }
        }))
    }
}

//! The exact verdicts on both sides of a cut that rests.

use rayon::prelude::*;
use seamwright_geometry::{
    Cancelled, CutOutcome, Fit, HalfFit, Halves, Hull, Plane, Progress, Search, Side, bodies_with, cut, fit_preferring,
};

use super::{PlacedSide, Placing, PlacingPiece, best_bed, fit_on, worse};

impl Placing {
    /// What [`Placing::at`] tells of both sides of every piece that a cut along `plane` crosses, exactly: from all their
    /// points, in any pose, so that *undecided* is left only where the search gives up. It takes from milliseconds to a
    /// second or two and belongs on a worker. Of a side that falls apart into several bodies the one that is worst off is
    /// told; where other cuts part that side, each of its parts is taken as one.
    pub fn exact(&self, plane: &Plane, progress: &Progress) -> Result<Vec<PlacedSide>, Cancelled> {
        progress.stage("looking closely at both sides");
        let crossed = self.pieces.iter().filter(|piece| piece.in_scope && piece.is_crossed(plane));
        let sides: Vec<(&PlacingPiece, Side)> =
            crossed.flat_map(|piece| Side::BOTH.map(|side| (piece, side))).collect();
        let placed: Vec<Vec<PlacedSide>> = sides
            .into_par_iter()
            .map(|(piece, side)| self.side(piece, side, plane, progress))
            .collect::<Result<_, _>>()?;
        Ok(placed.into_iter().flatten().collect())
    }

    pub(super) fn side(
        &self,
        piece: &PlacingPiece,
        side: Side,
        plane: &Plane,
        progress: &Progress,
    ) -> Result<Vec<PlacedSide>, Cancelled> {
        let whole = [(&piece.id, &piece.support)];
        let parts = piece.parts[side as usize].iter().map(|part| (&part.id, &part.support));
        let all: Vec<_> = if piece.parts[side as usize].is_empty() { whole.to_vec() } else { parts.collect() };
        let mut placed = Vec::new();
        for (part, support) in all {
            progress.check()?;
            let halves = support.support.split(plane);
            let is_whole = piece.parts[side as usize].is_empty();
            let alone = if is_whole { self.bodies_fit(piece, &halves, side, plane, progress)? } else { None };
            let fit = match alone {
                Some(fit) => Some(fit),
                None => self.exact_fit(&halves, side, progress)?,
            };
            placed.extend(fit.map(|fit| PlacedSide::of(&piece.id, part, side, fit)));
        }
        Ok(placed)
    }

    /// Of a side that falls apart into several bodies the verdict of the one that is worst off. `None` where it does not
    /// fall apart, or fits as a whole, or cannot be cut.
    fn bodies_fit(
        &self,
        piece: &PlacingPiece,
        halves: &Halves<'_>,
        side: Side,
        plane: &Plane,
        progress: &Progress,
    ) -> Result<Option<(usize, HalfFit)>, Cancelled> {
        let quick = fit_on(halves, side, &self.beds);
        if quick.is_none_or(|(_, fit)| fit.verdict.fits()) {
            return Ok(None);
        }
        /// The caps of these bodies are never told from others.
        const NO_LABEL: u32 = 0;
        let sides = match cut(&piece.solid, plane, NO_LABEL, progress)? {
            CutOutcome::Parted(sides) => sides,
            _ => return Ok(None),
        };
        let solid = if side == Side::Below { sides.below } else { sides.above };
        let bodies = bodies_with(solid, progress)?;
        if bodies.len() < 2 {
            return Ok(None);
        }
        let caps = [plane.normal() * if side == Side::Below { 1.0 } else { -1.0 }];
        let mut worst: Option<(usize, HalfFit)> = None;
        for body in bodies {
            let Some(size) = body.mesh.bounds().map(|bounds| bounds.size()) else { continue };
            let span = Hull::of(&body.mesh.vertices).vertices;
            let on_bed = best_bed(&self.beds, |bed| {
                let Fit { verdict, slack_mm, .. } = fit_preferring(&span, bed, Search::AnyPose, &caps, progress)?;
                Ok(Some(HalfFit { verdict, sizes_mm: size.into(), slack_mm, error_mm: 0.0 }))
            })?;
            let is_worse = |now: &HalfFit, than: &HalfFit| {
                worse((now.verdict, now.slack_mm), (than.verdict, than.slack_mm)).is_gt()
            };
            if let Some(on_bed) = on_bed
                && worst.as_ref().is_none_or(|(_, worst)| is_worse(&on_bed.1, worst))
            {
                worst = Some(on_bed);
            }
        }
        Ok(worst)
    }

    /// The exact verdict on the first bed that one side fits, else on that where it is best off.
    fn exact_fit(
        &self,
        halves: &Halves<'_>,
        side: Side,
        progress: &Progress,
    ) -> Result<Option<(usize, HalfFit)>, Cancelled> {
        best_bed(&self.beds, |bed| halves.exact_fit(side, bed, Search::AnyPose, progress))
    }
}

//! The exact verdicts on both sides of a cut that rests.

use rayon::prelude::*;
use seamwright_geometry::{Cancelled, HalfFit, Halves, Plane, Progress, Search, Side};

use super::{PlacedSide, Placing, PlacingPiece, is_better_off};
use crate::recipe::PieceId;

impl Placing {
    /// What [`Placing::at`] tells of both sides of every piece that a cut along `plane` crosses, exactly: from all their
    /// points, in any pose, so that *undecided* is left only where the search gives up. It takes from milliseconds to a
    /// second or two and belongs on a worker. A side that falls apart into several bodies is taken as one.
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

    fn side(
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
            let fit = self.exact_fit(&halves, side, progress)?;
            let told = |part: &PieceId| {
                let ((bed, fit), bounds) = (fit?, halves.bounds(side)?);
                Some(PlacedSide {
                    piece: piece.id.clone(),
                    part: part.clone(),
                    side,
                    bed,
                    verdict: fit.verdict,
                    sizes_mm: bounds.size().into(),
                    slack_mm: fit.slack_mm,
                    error_mm: fit.error_mm,
                })
            };
            placed.extend(told(part));
        }
        Ok(placed)
    }

    /// The exact verdict on the first bed that one side fits, else on that where it is best off.
    fn exact_fit(
        &self,
        halves: &Halves<'_>,
        side: Side,
        progress: &Progress,
    ) -> Result<Option<(usize, HalfFit)>, Cancelled> {
        let mut best: Option<(usize, HalfFit)> = None;
        for (number, bed) in self.beds.iter().enumerate() {
            let Some(fit) = halves.exact_fit(side, bed, Search::AnyPose, progress)? else { return Ok(None) };
            if fit.verdict.fits() {
                return Ok(Some((number, fit)));
            }
            let of = |fit: &HalfFit| (fit.verdict, fit.slack_mm);
            if best.as_ref().is_none_or(|(_, best)| is_better_off(of(&fit), of(best))) {
                best = Some((number, fit));
            }
        }
        Ok(best)
    }
}

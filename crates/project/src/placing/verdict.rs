//! What is found of one side of a cut, and which of several is worse.

use std::cmp::Ordering;
use std::convert::Infallible;

use seamwright_geometry::{Bed, HalfFit, Halves, Search, Side, Verdict};

use crate::recipe::PieceId;

/// One side of a piece that the moving cut crosses.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedSide {
    /// The piece, without the moving cut.
    pub piece: PieceId,
    /// The part of it that this side is: other than the piece where cuts are limited to this side.
    pub part: PieceId,
    /// Which side of the cut.
    pub side: Side,
    /// The bed that the rest is about, in the order of the recipe: the first that it fits, else that on which it is best
    /// off.
    pub bed: usize,
    /// Whether it would fit.
    pub verdict: Verdict,
    /// Width, depth and height as it stands, mm.
    pub sizes_mm: [f64; 3],
    /// Spare room of its best pose, mm; negative when it sticks out.
    pub slack_mm: f64,
    /// What `slack_mm` may be too large by, mm: the price of being quick. Hardly anything where the verdict is exact.
    pub error_mm: f64,
}

/// What orders verdicts from good to bad: *too big*, which is proven, is worse than *undecided*.
pub(super) fn badness(verdict: Verdict) -> (bool, Verdict) {
    (verdict == Verdict::TooBig, verdict)
}

/// Orders verdicts with the room that they leave from good to bad.
pub(super) fn worse((verdict, slack_mm): (Verdict, f64), (than, than_slack_mm): (Verdict, f64)) -> Ordering {
    badness(verdict).cmp(&badness(than)).then_with(|| than_slack_mm.total_cmp(&slack_mm))
}

impl PlacedSide {
    /// Orders sides from good to bad: by their verdicts, and of the same by how little room they have.
    pub fn worse(&self, than: &PlacedSide) -> Ordering {
        worse((self.verdict, self.slack_mm), (than.verdict, than.slack_mm))
    }

    /// What was found of one side of `piece`, or of the part of it that other cuts make of that side.
    pub(super) fn of(piece: &PieceId, part: &PieceId, side: Side, (bed, fit): (usize, HalfFit)) -> PlacedSide {
        PlacedSide {
            piece: piece.clone(),
            part: part.clone(),
            side,
            bed,
            verdict: fit.verdict,
            sizes_mm: fit.sizes_mm,
            slack_mm: fit.slack_mm,
            error_mm: fit.error_mm,
        }
    }

    /// The spare room that there is for certain, mm.
    pub fn at_least_mm(&self) -> f64 {
        self.slack_mm - self.error_mm
    }
}

/// The quick verdict on the first bed that one side fits, else on that where it is best off.
pub(super) fn fit_on(halves: &Halves<'_>, side: Side, beds: &[Bed]) -> Option<(usize, HalfFit)> {
    best_bed(beds, |bed| Ok::<_, Infallible>(halves.fit(side, bed, Search::AnyPose))).unwrap_or_default()
}

/// The verdict on the first bed that is fitted, else on that where it is best off; `None` where one of them has none.
pub(super) fn best_bed<E>(
    beds: &[Bed],
    mut fit_on: impl FnMut(&Bed) -> Result<Option<HalfFit>, E>,
) -> Result<Option<(usize, HalfFit)>, E> {
    let mut best: Option<(usize, HalfFit)> = None;
    let of = |fit: &HalfFit| (fit.verdict, fit.slack_mm);
    for (number, bed) in beds.iter().enumerate() {
        let Some(fit) = fit_on(bed)? else { return Ok(None) };
        if fit.verdict.fits() {
            return Ok(Some((number, fit)));
        }
        if best.as_ref().is_none_or(|(_, best)| is_better_off(of(&fit), of(best))) {
            best = Some((number, fit));
        }
    }
    Ok(best)
}

/// Of two verdicts that are no yes: what is undecided may fit still, and what is proven too big is less bad the less it
/// sticks out.
pub(super) fn is_better_off((verdict, slack_mm): (Verdict, f64), (than, than_slack_mm): (Verdict, f64)) -> bool {
    let may_fit = |verdict: Verdict| verdict != Verdict::TooBig;
    (may_fit(verdict), slack_mm) > (may_fit(than), than_slack_mm)
}

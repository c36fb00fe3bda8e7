//! What a cut makes of one piece, as it is kept.

use std::sync::Arc;

use seamwright_geometry::{Cancelled, CutOutcome, Progress, Side, Solid, bodies_with};

use super::{Body, Places};
use crate::cache::Weigh;

pub(super) enum CutResult {
    Missed(Side),
    Unreached(Places),
    /// With the side of each child; none for what hangs together round the end of the cut.
    Parted {
        children: Vec<(Option<Side>, Arc<Body>)>,
        places: Places,
    },
}

impl CutResult {
    pub(super) fn of(
        outcome: CutOutcome,
        keep_bodies_together: bool,
        progress: &Progress,
    ) -> Result<CutResult, Cancelled> {
        let parted = match outcome {
            CutOutcome::Missed(side) => return Ok(CutResult::Missed(side)),
            CutOutcome::Unreached { ended_inside } => {
                return Ok(CutResult::Unreached(Places { ended_inside, ..Places::default() }));
            }
            CutOutcome::Parted(parted) => *parted,
        };
        let family = |solid: Solid| {
            let bodies = if keep_bodies_together { vec![solid] } else { bodies_with(solid, progress)? };
            Ok(Family::of(bodies))
        };
        let (below, above) = rayon::join(|| family(parted.below), || family(parted.above));
        let around = parted.around.map_or_else(|| Ok(Family(Vec::new())), family)?;
        let side = |side: Option<Side>, family: Family| family.0.into_iter().map(move |body| (side, body));
        let of_sides = side(Some(Side::Below), below?).chain(side(Some(Side::Above), above?));
        let children = of_sides.chain(side(None, around)).collect();
        let places = Places { left_open: parted.left_open, ended_inside: parted.ended_inside };
        Ok(CutResult::Parted { children, places })
    }
}

impl Weigh for CutResult {
    fn bytes(&self) -> usize {
        match self {
            CutResult::Missed(_) | CutResult::Unreached(_) => size_of::<Self>(),
            CutResult::Parted { children, .. } => children.iter().map(|(_, body)| body.solid.bytes()).sum(),
        }
    }
}

pub(super) struct Family(pub(super) Vec<Arc<Body>>);

impl Family {
    pub(super) fn of(solids: Vec<Solid>) -> Family {
        Family(solids.into_iter().filter_map(|s| Body::new(Arc::new(s))).map(Arc::new).collect())
    }
}

impl Weigh for Family {
    fn bytes(&self) -> usize {
        self.0.iter().map(|body| body.solid.bytes()).sum()
    }
}
